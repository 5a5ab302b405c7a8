"""What the shots need of each ingredient."""

from __future__ import annotations

from fractions import Fraction

import pytest
from any_shoot import EVERY_KIND, any_shoot
from hypothesis import given
from small import books, codes, line, lot, pack, purchase, sound

from costing.buying.need import Needs
from costing.kitchen import Measured
from costing.quantities import Amount, amount
from costing.shoot import Episode, Purpose, Shoot, Shot
from costing.shoot.defaults import completed


def test_need__times_batch_and_steps() -> None:
    """Step 1 has 100 g, step 2 has 30 g: 2 x 1/2 x 130 + 3 x 100 = 430 g."""
    found = books(
        line("tart", "flour", "100 g", step=1),
        line("tart", "flour", "30 g", step=2),
        Shot(dish="tart", times=2, batch=Fraction(1, 2)),
        Shot(dish="tart", times=3, steps=(1,), purpose=Purpose.RETAKE),
    )
    assert purchase(found, "flour").need.total == 430


def test_need__two_thirds_of_a_cup_three_times_is_two_cups() -> None:
    """3 x 2/3 x 250 ml = 500 ml, two packs of 250 ml and not three."""
    found = books(
        line("tart", "milk", "2/3 cup"), pack("milk", "250 ml", "1"), Shot(dish="tart", times=3)
    )
    assert purchase(found, "milk").need.total == 500
    assert purchase(found, "milk").lines[0].count == 2


def test_need__shot_that_is_never_taken_needs_nothing() -> None:
    found = books(
        line("tart", "milk", "2/3 cup"),
        line("tart", "egg", None),
        pack("milk", "250 ml", "1"),
        Shot(dish="tart", times=0),
        Shot(dish="tart", batch=Fraction(0), purpose=Purpose.HERO),
    )
    assert purchase(found, "milk").need.total == 0
    assert purchase(found, "milk").lines == ()
    assert found.totals.missing == ()


@pytest.mark.parametrize(
    ("measured", "trimmed", "as_bought"),
    [
        (Measured.TRIMMED, "300", "400"),
        (Measured.AS_BOUGHT, "225", "300"),
        (Measured.COOKED, "120", "160"),
    ],
    ids=str,
)
def test_need__state_the_line_is_measured_in(
    measured: Measured, trimmed: str, as_bought: str
) -> None:
    """300 g at 75% trimmed and 2.5 times its weight when cooked: 300 / 2.5 = 120; / 0.75 = 160."""
    found = books(
        line("soup", "rice", "300 g", measured=measured),
        sound("rice", trim_yield=Fraction(3, 4), cooked_weight=Fraction(5, 2)),
        Shot(dish="soup"),
    )
    assert purchase(found, "rice").need.trimmed == Fraction(trimmed)
    assert purchase(found, "rice").need.total == Fraction(as_bought)


def test_need__candidates_multiply_what_is_bought_and_not_what_is_shown() -> None:
    """4 strawberries shown, five looked through for each: 20 bought."""
    found = books(
        line("tart", "strawberry", "4 each", candidates=Fraction(5)),
        Shot(dish="tart", purpose=Purpose.HERO, times=2),
    )
    assert purchase(found, "strawberry").need.trimmed == 8
    assert purchase(found, "strawberry").need.total == 40


def test_need__range_takes_its_upper_end() -> None:
    found = books(
        line("tart", "egg", "3 each", amount_low=amount("2 each")), Shot(dish="tart", times=2)
    )
    assert purchase(found, "egg").need.total == 6


def test_need__names_are_one_whatever_their_case_and_blanks() -> None:
    found = books(
        line("tart", "Olive Oil", "10 ml"),
        line("TART ", " olive  oil", "20 ml", step=2),
        sound("OLIVE OIL"),
        pack("olive oil ", "30 ml", "1"),
        lot("Olive oil", "5 ml"),
        Shot(dish=" Tart"),
    )
    assert purchase(found, "olive oil").need.total == 30
    assert purchase(found, "olive oil").net == 25
    assert len(found.purchases) == 1


def test_need__mixed_units_are_added_in_the_unit_it_is_bought_in() -> None:
    """120 g + 2 of 50 g + 100 ml of 0.9 g = 310 g trimmed; at 0.8 it is 387.5 g as bought."""
    found = books(
        line("tart", "plum", "120 g"),
        line("tart", "plum", "2 each"),
        line("tart", "plum", "100 ml"),
        sound(
            "plum",
            trim_yield=Fraction("0.8"),
            density=Fraction("0.9"),
            piece_weight=Fraction(50),
        ),
        pack("plum", "1/2 kg", "2"),
        Shot(dish="tart"),
    )
    assert purchase(found, "plum").need.trimmed == 310
    assert purchase(found, "plum").need.total == Fraction("387.5")


def test_need__one_line_that_cannot_be_converted_leaves_the_others() -> None:
    """The 30 ml are named as missing; the 120 g are bought."""
    found = books(
        line("tart", "honey", "120 g"),
        line("tart", "honey", "30 ml"),
        pack("honey", "500 g", "4.20"),
        Shot(dish="tart"),
    )
    assert purchase(found, "honey").need.total == 120
    assert purchase(found, "honey").need.unknown == {"the grams per ml of honey": {"Episode 1"}}
    assert codes(found.findings).count("conversion missing") == 1
    assert found.totals.bought_missing == ("the grams per ml of honey",)


@pytest.mark.parametrize("rows", [("500 g", "1/2 l"), ("1/2 l", "500 g")], ids=["g, l", "l, g"])
def test_need__order_of_packs_does_not_decide_what_is_bought(rows: tuple[str, str]) -> None:
    """Law: without a density the pack in litres cannot be counted, wherever it stands."""
    found = books(
        line("tart", "honey", "120 g"),
        *(pack("honey", text, "4.20") for text in rows),
        Shot(dish="tart"),
    )
    assert [str(b.pack.amount) for b in purchase(found, "honey").lines] == ["500 g"]
    assert codes(found.findings).count("pack unit unclear") == 1
    assert found.totals.missing == ()


def test_need__pack_in_portions_cannot_be_counted() -> None:
    found = books(
        line("tart", "ham", "120 g"), pack("ham", "4 portions", "4.20"), Shot(dish="tart")
    )
    assert codes(found.findings)[:1] == ["pack unit unclear"]
    assert found.totals.bought_missing == ("120 g of ham that no pack covers",)


def test_need__is_kept_by_episode_dish_and_purpose() -> None:
    found = books(
        line("tart", "flour", "100 g"),
        line("pie", "flour", "10 g"),
        Episode(name="One"),
        Episode(name="Two"),
        Shot(dish="tart", episode="One"),
        Shot(dish="pie", episode="Two", times=2),
        Shot(dish="tart", episode="Two", purpose=Purpose.HERO),
        Shot(dish="tart", episode="Two", purpose=Purpose.HERO, batch=Fraction(2)),
    )
    need = purchase(found, "flour").need
    assert need.as_bought == {"One": 100, "Two": 320}
    assert need.shares == {
        ("One", "tart", "cook-through"): 100,
        ("Two", "pie", "cook-through"): 20,
        ("Two", "tart", "hero"): 300,
    }


def test_need__shot_of_an_unknown_dish_is_named_in_the_totals() -> None:
    """It is a finding of the shoot; the totals do not call themselves complete."""
    found = books(
        line("tart", "flour", "100 g"),
        pack("flour", "1 kg", "0.89"),
        Shot(dish="tart"),
        Shot(dish="trat", name="P2"),
    )
    assert found.totals.missing == ('shot "P2" (\'Shoot plan\' (row "P2", column "Dish"))',)


def test_need__step_that_does_not_exist_is_named_in_the_totals() -> None:
    found = books(
        line("tart", "flour", "100 g"),
        pack("flour", "1 kg", "0.89"),
        Shot(dish="tart", name="P1", steps=(1, 7)),
    )
    assert purchase(found, "flour").need.total == 100
    assert found.totals.missing == (
        'step 7 of shot "P1" (\'Shoot plan\' (row "P1", column "Steps"))',
    )


def test_need__no_steps_taken_needs_nothing() -> None:
    found = books(line("tart", "flour", "100 g"), Shot(dish="tart", steps=()))
    assert found.purchases == ()
    assert found.totals.bought == 0


def test_need__amount_is_never_rounded() -> None:
    """A seventh of a gram, 700 times, at a yield of a third: 300 g."""
    found = books(
        line("tart", "saffron", "1/7 g"),
        sound("saffron", trim_yield=Fraction(1, 3)),
        Shot(dish="tart", times=700),
    )
    assert purchase(found, "saffron").need.total == 300
    assert amount("300 g") == Amount(Fraction(300), amount("1 g").unit)


@given(any_shoot(**EVERY_KIND))
def test_need__is_the_sum_of_what_each_shot_takes_of_each_line(shoot: Shoot) -> None:
    """The library adds up over one common denominator; here each fraction is added by itself."""
    needs = Needs(completed(shoot)[0])
    trimmed: dict[str, Fraction] = {}
    used: dict[tuple[str, str], Fraction] = {}
    for number, shot in enumerate(needs.shoot.shots):
        batches = shot.batch * needs.forest.times(number, {})
        drawn = needs.goods.drawn_by(shot)
        takes = [
            (code, needs.batch_of(shot.dish), needs.batch_of(shot.dish)) for code in drawn or ()
        ]
        if drawn is None:
            takes = [
                (code, each.times * each.amount, each.times * each.clean)
                for _, code, each in needs.counted_of(shot)
                if each is not None
            ]
        for code, bought, clean in takes:
            at = code, shot.episode
            used[at] = used.get(at, Fraction(0)) + batches * bought
            trimmed[code] = trimmed.get(code, Fraction(0)) + batches * clean
    assert used == {
        (code, episode): taken
        for code in {**needs.by_ingredient, **needs.goods.made}
        for episode, taken in needs.need(code).used.items()
    }
    assert trimmed == {code: needs.need(code).trimmed for code in trimmed}
