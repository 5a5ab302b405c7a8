"""Bowls: what stands in them, which size holds it, how many, by when."""

from __future__ import annotations

from datetime import date, time
from fractions import Fraction
from zoneinfo import ZoneInfo

import pytest
from any_shoot import any_shoot
from hypothesis import given
from hypothesis import strategies as st
from small import line, pack, shoot_of, sound

from costing.buying.need import Needs
from costing.estimating import estimate
from costing.kitchen import Dish, Measured, Shown
from costing.kitchen.conversion import converted, trimmed
from costing.names import key
from costing.prep.bowls import Bowls, bowls_for, bowls_of
from costing.quantities import Amount, amount
from costing.report.estimates import Estimate
from costing.shoot import Episode, Shoot, Shot
from costing.shoot.defaults import completed
from costing.shoot.leaves import inside
from costing.workbook.results.write import demo_with_results

ZONE = ZoneInfo("Europe/Lisbon")
DAY = date(2031, 5, 10)


def prepared(*parts: object, **settings: object) -> list[Bowls]:
    """The bowls of a small shoot, without published values."""
    return bowls_of_shoot(shoot_of(*parts, **settings))


def bowls_of_shoot(shoot: Shoot) -> list[Bowls]:
    """The bowls of a shoot, without published values of the whole kitchen."""
    whole, _ = completed(shoot)
    return bowls_of(whole, written=whole.lines, covered={}, chosen={}, zone=ZONE)


def told(bowls: Bowls) -> tuple[object, ...]:
    """Ingredient, amount in one bowl, size and number."""
    return bowls.line.ingredient, str(bowls.amount), bowls.size, bowls.count


@pytest.fixture(scope="module")
def demo() -> Estimate:
    return demo_with_results()[1]


@pytest.mark.source(
    "usda-sr28", "WEIGHT: a cup of flour 125 g, butter 227 g, salt 292 g, leek 89 g"
)
def test_bowls__of_the_leek_tart(demo: Estimate) -> None:
    """Step 1 is performed five times: cook-through, swap, hero, two retakes; step 2 four times.

    A US cup is 236.5882365 ml. Flour 250 g are two cups, 473.2 ml, in a bowl of 500. Butter
    125 / 227 of a cup, 130.3 ml: 250. Eggs are pieces. Salt 4 / 292 of a cup, 3.2 ml: 30. Leek
    400 / 89 of a cup, 1063.3 ml: two bowls of 200 g and 531.7 ml, in 1000 each time. Oil 30 ml: 30.
    """
    rows = demo.tables()["prep"].rows
    assert [
        (row["step"], row["ingredient"], row["amount"], row["unit"], row["bowl_size"], row["bowls"])
        for row in rows[:7]
    ] == [
        (1, "flour", 250, "g", 500, 5),
        (1, "butter", 125, "g", 250, 5),
        (1, "egg", 1, "each", None, 5),
        (1, "salt", 4, "g", 30, 5),
        (2, "leek", 200, "g", 1000, 8),
        (2, "olive oil", 30, "ml", 30, 4),
        (2, "salt", 3, "g", 30, 4),
    ]
    assert [row["bowls"] for row in rows[7:]] == [2, 2, 2, 2, 3, 3, 3, 2, 6, 6, 6]
    assert {f"{row['ready_by']:%Y-%m-%d %H:%M %z}" for row in rows} == {"2031-05-10 10:00 +0100"}


@pytest.mark.source("usda-sr28", "WEIGHT NDB 11282: 160 g chopped, 115 g sliced to the cup")
def test_bowls__published_density_is_that_of_the_cut() -> None:
    """240 g are 1.5 cups chopped, 354.9 ml, and 2.09 cups sliced, 493.7 ml; whole nobody says."""
    found = prepared(
        line("soup", "onion", "240 g", cut="chopped"),
        line("soup", "onion", "240 g", cut="sliced"),
        line("soup", "onion", "240 g"),
        Shot(dish="soup"),
        bowl_sizes=tuple(map(Fraction, (100, 360, 490, 500))),
    )
    assert [one.size for one in found] == [360, 500, None]
    assert [one.volume.density is None for one in found] == [False, False, True]
    assert found[2].volume.why_not == (
        "the weight of a cup depends on the cut: fill Cut or Grams per ml to know the bowl"
    )


def test_bowls__a_cut_of_which_nothing_is_published_is_not_asked_for() -> None:
    """Cups of some cuts of apple are published, but none of apple carved, and none of moss."""
    found = prepared(
        line("salad", "apple", "100 g", cut="carved"),
        line("salad", "moss", "100 g"),
        Shot(dish="salad"),
    )
    assert [one.volume.why_not for one in found] == [
        "none is published for carved: fill Grams per ml to know the bowl",
        "Grams per ml is not known: fill Grams per ml to know the bowl",
    ]


def test_bowls__typed_density_goes_before_a_published_one() -> None:
    """240 g at 2 g/ml are 120 ml."""
    (found,) = prepared(
        line("soup", "onion", "240 g", cut="chopped"),
        sound("onion", density=Fraction(2)),
        Shot(dish="soup"),
    )
    assert (found.size, found.volume.density) == (Fraction(120), None)


@pytest.mark.source("usda-sr28", "WEIGHT NDB 20081: a cup of flour 125 g")
def test_bowls__a_cup_stays_a_cup_where_the_shop_sells_grams() -> None:
    """Two US cups are 473.2 ml, however heavy; 250 g of them are bought."""
    found = estimate(
        shoot_of(
            line("cake", "flour", "2 US cup"),
            pack("flour", "1 kg", "1"),
            Shot(dish="cake", times=3),
        )
    )
    (row,) = found.tables()["prep"].rows
    assert (row["amount"], row["unit"], row["bowl_size"], row["bowls"]) == (2, "US cup", 500, 3)
    assert found.needs["as_bought_need"].tolist() == [750]


def test_bowls__too_much_for_the_largest_is_shared_evenly() -> None:
    """2.1 l in bowls of at most 1 l: three of 0.7 l each time, six for two performances."""
    (found,) = prepared(line("soup", "stock", "2.1 l"), Shot(dish="soup", times=2))
    assert told(found) == ("stock", "0.7 l", 1000, 6)


@pytest.mark.parametrize(
    ("volume", "number", "size"),
    [
        ("0.1", 1, 30),
        ("30", 1, 30),
        ("30.01", 1, 60),
        ("60", 1, 60),
        ("60.01", 2, 60),
        ("121", 3, 60),
    ],
    ids=["little", "just", "a drop more", "the largest", "a drop more than it", "three"],
)
def test_bowls_for__the_smallest_that_holds_it(volume: str, number: int, size: int) -> None:
    """By the sizes 30 and 60: 60.01 ml are 30.005 ml in each of two, too much for 30."""
    assert bowls_for(Fraction(volume), [Fraction(60), Fraction(30)]) == (number, Fraction(size))


def test_bowls__without_sizes_there_is_one_of_unknown_size() -> None:
    (found,) = prepared(line("soup", "stock", "2 l"), Shot(dish="soup"), bowl_sizes=())
    assert told(found) == ("stock", "2 l", None, 1)


def test_bowls__trimmed_amount_stands_in_the_bowl() -> None:
    """1 kg as bought at 72% is 720 g; 300 g cooked at 1.5 are 200 g raw, in a bowl nobody knows."""
    found = prepared(
        line("soup", "leek", "1 kg", measured=Measured.AS_BOUGHT),
        line("soup", "rice", "300 g", measured=Measured.COOKED),
        sound("leek", trim_yield=Fraction("0.72"), density=Fraction(1)),
        sound("rice", cooked_weight=Fraction("1.5"), density=Fraction(1)),
        Shot(dish="soup"),
    )
    assert [told(one) for one in found] == [
        ("leek", "0.72 kg", 1000, 1),
        ("rice", "200 g", None, 1),
    ]
    assert found[1].volume.why_not == "measured cooked: the bowl depends on when it is cooked"


def test_bowls__a_dish_inside_stands_here_as_it_is_made() -> None:
    """Two pies take 2 portions of sauce each; what goes into the sauce stands on Make."""
    found = prepared(
        line("sauce", "oil", "60 ml"),
        line("sauce", "salt", None, to_taste=True, step=2),
        Dish(name="sauce", makes=amount("4 portions")),
        line("pie", "sauce", "2 portions", step=3),
        Shot(dish="pie", times=2),
    )
    assert [told(one) for one in found] == [("sauce", "2 portion", None, 2)]


def test_bowls__water_and_lines_to_taste_stand_ready_too() -> None:
    """Neither is ever bought or computed, but the cook reaches for both."""
    found = prepared(
        line("soup", "water", "500 ml"),
        line("soup", "salt", None, to_taste=True),
        Shot(dish="soup", times=2),
    )
    assert [told(one) for one in found] == [("water", "500 ml", 500, 2), ("salt", "None", None, 2)]


def test_bowls__optional_lines_only_where_the_shot_takes_them() -> None:
    """Of three performances one takes the seeds."""
    found = prepared(
        line("soup", "oil", "60 ml"),
        line("soup", "seeds", "10 ml", optional=True),
        Shot(dish="soup", times=2),
        Shot(dish="soup", optional_lines=True),
    )
    assert [(one.line.ingredient, one.count) for one in found] == [("oil", 3), ("seeds", 1)]


def test_bowls__another_batch_is_another_bowl() -> None:
    """Half a batch of 100 ml is 50 ml in 60; a double one 200 ml in 250."""
    found = prepared(
        line("soup", "oil", "100 ml"),
        Shot(dish="soup", batch=Fraction(1, 2), times=3),
        Shot(dish="soup", batch=Fraction(2)),
        Shot(dish="soup", batch=Fraction(1, 2)),
    )
    assert [told(one) for one in found] == [("oil", "50 ml", 60, 4), ("oil", "200 ml", 250, 1)]


def test_bowls__nothing_is_prepared_for_no_time_no_batch_or_no_amount() -> None:
    found = prepared(
        line("soup", "oil", "0 ml"),
        line("pie", "flour", "60 ml"),
        Shot(dish="soup"),
        Shot(dish="pie", times=0),
        Shot(dish="pie", batch=Fraction(0)),
        Shot(dish="nothing known"),
    )
    assert found == []


def test_bowls__an_amount_nobody_knows_is_not_none() -> None:
    """A blank amount: bowls, with no amount; of a dish inside the recipe says how much."""
    found = prepared(
        line("soup", "leek", None),
        line("soup", "sauce", "100 g", step=2),
        line("sauce", "oil", "60 ml"),
        Shot(dish="soup", times=2),
        Shot(dish="soup", batch=Fraction(2)),
    )
    assert [told(one) for one in found] == [
        ("leek", "None", None, 3),
        ("sauce", "100 g", None, 2),
        ("sauce", "200 g", None, 1),
    ]


def test_bowls__of_a_dish_that_goes_into_itself_nobody_knows_how_much() -> None:
    """Soup of sauce of soup is told of; what is unknown of one batch is so of two, in one row."""
    found = prepared(
        line("soup", "sauce", "100 g"),
        line("sauce", "soup", "10 g"),
        Shot(dish="soup"),
        Shot(dish="soup", batch=Fraction(2)),
    )
    assert [told(one) for one in found] == [("soup", "None", None, 2)]


def test_bowls__a_dish_made_as_a_whole_has_them_where_its_making_is_shown() -> None:
    """Two heroes are cooked off camera, which stands on Make; the cook-through needs its oil."""
    found = prepared(
        line("pie", "oil", "60 ml"),
        Dish(name="pie", makes=amount("1 portion"), whole_batches=True),
        Shot(dish="pie", purpose="cook-through"),
        Shot(dish="pie", purpose="hero", times=2),
    )
    assert [told(one) for one in found] == [("oil", "60 ml", 60, 1)]


def test_bowls__in_the_order_of_the_day() -> None:
    """By episode, then by when they are needed, then by dish and step."""
    found = prepared(
        line("tart", "flour", "60 ml"),
        line("tart", "egg", "1 each", step=2),
        line("soup", "leek", "60 ml"),
        Episode(name="A", shoot_date=DAY, call_time=time(9)),
        Episode(name="B", shoot_date=DAY, call_time=time(8)),
        Shot(dish="soup", episode="B"),
        Shot(dish="tart", episode="A", steps=(2,), from_shot="nothing", starts=time(11)),
        Shot(dish="tart", episode="A", starts=time(14)),
        Shot(dish="soup", episode="A", starts=time(12)),
    )
    assert [
        (one.episode, one.line.ingredient, one.ready.at and f"{one.ready.at:%H:%M}")
        for one in found
    ] == [
        ("A", "egg", "11:00"),
        ("A", "leek", "12:00"),
        ("A", "flour", "14:00"),
        ("B", "leek", "08:00"),
    ]


def test_bowls__lines_of_another_shoot_are_the_programmers_fault() -> None:
    whole, _ = completed(shoot_of(line("soup", "leek", "60 ml"), Shot(dish="soup")))
    with pytest.raises(ValueError, match="zip"):
        bowls_of(whole, written=(), covered={}, chosen={}, zone=ZONE)


def test_bowls__shown_on_camera_stays_beside_ahead() -> None:
    found = prepared(
        line("soup", "leek", "60 ml", shown=Shown.ON_CAMERA),
        line("soup", "oil", "60 ml"),
        Shot(dish="soup"),
    )
    assert [str(one.line.shown) for one in found] == ["on camera", "ahead"]


@given(shoot=any_shoot())
def test_bowls__hold_together_the_trimmed_need(shoot: Shoot) -> None:
    """Law: over all bowls the amounts are the trimmed need, in the unit of Needs.

    What goes into dishes inside others is not weighed out for the shots.
    """
    whole, _ = completed(shoot)
    needs = Needs(whole, apart=inside(whole)).by_ingredient
    held = dict.fromkeys(needs, Fraction(0))
    for one in bowls_of_shoot(shoot):
        if one.made:
            continue
        ingredient = whole.ingredient(one.line.ingredient)
        assert one.amount is not None
        clean = trimmed(one.amount * one.count, ingredient, Measured.TRIMMED)
        target = needs[key(ingredient.name)].trimmed_unit.dimension
        held[key(ingredient.name)] += converted(clean, target, ingredient)
    assert held == {name: need.trimmed for name, need in needs.items()}


@given(shoot=any_shoot(), which=st.integers(0, 3))
def test_bowls__one_more_take_is_never_fewer_bowls(shoot: Shoot, which: int) -> None:
    """Law: every bowl there was is still there, and as many of it at least."""
    shots = list(shoot.shots)
    which %= len(shots)
    shots[which] = shots[which].model_copy(update={"times": shots[which].times + 1})
    before = counts(bowls_of_shoot(shoot))
    after = counts(bowls_of_shoot(shoot.changed(shots=tuple(shots))))
    assert all(after[bowl] >= count for bowl, count in before.items())


def counts(found: list[Bowls]) -> dict[tuple[str, str, int, int, Amount | None], int]:
    """How many bowls there are of each kind."""
    kinds: dict[tuple[str, str, int, int, Amount | None], int] = {}
    for one in found:
        kind = (one.episode, one.dish, one.step, id(one.line), one.amount)
        kinds[kind] = kinds.get(kind, 0) + one.count
    return kinds


@given(
    volume=st.fractions(min_value=0, max_value=9000),
    sizes=st.lists(st.sampled_from([30, 60, 120, 250, 500, 1000]), min_size=1, unique=True),
)
def test_bowls_for__hold_it_and_nothing_less_would(volume: Fraction, sizes: list[int]) -> None:
    """Law: so many of that size hold it, no smaller size does, one bowl fewer does not."""
    number, size = bowls_for(volume, [Fraction(one) for one in sizes])
    assert size is not None
    assert number * size >= volume
    assert all(number * one < volume for one in sizes if one < size)
    assert number == 1 or (number - 1) * max(sizes) < volume
