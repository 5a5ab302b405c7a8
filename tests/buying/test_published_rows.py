"""How long frozen packs thaw: typed, by a published time, or not known and said."""

from __future__ import annotations

from datetime import date
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st
from small import line, pack, shoot_of, sound

from costing.buying.lives import Life, life_of
from costing.buying.published_rows import published_thaw, with_days_of_state
from costing.estimating import estimate
from costing.quantities import Measures, amount, find_unit
from costing.quantities.amounts import Amount
from costing.shoot import Episode, Shot

BIRD = (line("roast", "turkey", "18 lb"), Shot(dish="roast"))


@pytest.mark.source("usda-fsis-turkey", "thawing time in the refrigerator, table by weight")
@pytest.mark.parametrize(
    ("pounds", "most_days"), [(4, 3), (12, 3), (16, 4), (20, 5), (24, 6)], ids=str
)
def test_published_thaw__is_within_the_table_by_weight(pounds: int, most_days: int) -> None:
    """The table beside the rule, from memory: 4 to 12 lb 1 to 3 days, 12 to 16 lb 3 to 4, 16 to 20
    lb 4 to 5, 20 to 24 lb 5 to 6; at the upper end of a row it is the most days of the row.
    """
    found = published_thaw(amount(f"{pounds} lb"))
    assert found is not None
    assert 1 <= found.number <= most_days
    assert pounds == 4 or found.number == most_days


def test_published_thaw__18_lb_by_both_ends_of_the_range() -> None:
    """18 / 4 = 4.5, begun days 5; 18 / 5 = 3.6, begun days 4."""
    found = published_thaw(amount("18 lb"))
    assert found is not None
    assert found.text == "5"
    assert [found.low, found.high] == [4, 5]


POUNDS = st.fractions(min_value=Fraction(1, 10), max_value=60, max_denominator=100)


@given(light=POUNDS, more=POUNDS)
def test_published_thaw__a_heavier_piece_never_thaws_sooner(
    light: Fraction, more: Fraction
) -> None:
    """Law; and four pounds more are one day more."""
    unit = find_unit("lb", Measures.METRIC)
    first, second = (published_thaw(Amount(x, unit)) for x in (light, light + more))
    if first is not None:
        assert second is not None
        assert second.number >= first.number
        longer = published_thaw(Amount(light + 4, unit))
        assert longer is not None
        assert longer.number == first.number + 1
    else:
        assert light < 4


def test_with_days_of_state__typed_days_stand_and_fresh_packs_have_none() -> None:
    packs = (
        pack("turkey", "18 lb", "30", state="frozen", thaw_days=2),
        pack("turkey", "18 lb", "60", state="fresh"),
        pack("turkey", "18 lb", "60"),
        pack("turkey", "18 lb", "40", state="frozen"),
        pack("goose", "18 lb", "40", state="frozen"),
    )
    shoot, taken, findings = with_days_of_state(shoot_of(*BIRD, *packs))
    assert [one.thaw_days for one in shoot.packs] == [2, None, None, 5, None]
    assert [one.pack.price for one in taken if one.value.column == "Thaw days"] == [40]
    assert len(findings) == 1  # nobody cooks the goose


@pytest.mark.source("usda-foodkeeper", "turkey: refrigerate and freeze, from date of purchase")
def test_with_days_of_state__a_state_chooses_how_long_a_pack_keeps() -> None:
    """Whole turkey 1 to 2 days refrigerated and 12 months frozen; the low end counts, 360 days.

    Days that were typed count for what is fresh; of a frozen pack they count from its thawing.
    """
    packs = [pack("turkey", "18 lb", "30", state=state) for state in ("frozen", "fresh", None)]
    shoot, _, _ = with_days_of_state(shoot_of(*BIRD, *packs))
    assert [one.published_keeps for one in shoot.packs] == [360, 1, None]
    typed = shoot_of(*BIRD, *packs, sound("turkey", keeps_days=Fraction(3)))
    shoot, taken, _ = with_days_of_state(typed)
    assert [str(one.pack.state) for one in taken] == ["frozen", "frozen"]  # it keeps, and it thaws
    of = shoot.ingredient("turkey")
    assert [life_of(one, of) for one in shoot.packs] == [
        Life(360, 3, thaw=5),
        Life(3, 3),
        Life(3, 3),
    ]


@pytest.mark.source("usda-foodkeeper", "turkey: refrigerate and freeze, from date of purchase")
def test_life_of__what_has_thawed_keeps_as_published_where_no_days_are_typed() -> None:
    """Two shoots ten days apart take 2 kg each of birds of 5 kg, which keep a day once thawed.

    Worked by hand: the bird thawed for the 8th is past its day on the 18th, so two are bought.
    """
    found = estimate(
        shoot_of(
            line("roast", "turkey, whole", "2 kg"),
            sound("turkey, whole"),
            pack("turkey, whole", "5 kg", "20", state="frozen"),
            Episode(name="E1", shoot_date=date(2031, 5, 8)),
            Episode(name="E2", shoot_date=date(2031, 5, 18)),
            Shot(dish="roast", episode="E1"),
            Shot(dish="roast", episode="E2"),
        )
    )
    (bird,) = found.books.purchases
    assert [(one.count, list(one.serves)) for one in bird.lines] == [(1, ["E1"]), (1, ["E2"])]
    (of,) = [one for one in found.shoot.ingredients if one.name == "turkey, whole"]
    assert life_of(found.shoot.packs[0], of) == Life(360, 1, thaw=3)
    used_frozen = found.shoot.packs[0].model_copy(update={"thaw_days": 0})
    assert life_of(used_frozen, of) == Life(360, None)


def test_with_days_of_state__pieces_of_a_pack_count_one_by_one() -> None:
    """5 kg of breasts of 174 g are no large piece; of 12 lb birds sold each, each is one."""
    shoot = shoot_of(
        line("roast", "chicken breast", "1 each"),
        line("roast", "turkey", "1 each"),
        pack("chicken breast", "5 kg", "30", state="frozen"),
        pack("turkey", "2 each", "50", state="frozen"),
        Shot(dish="roast"),
    )
    ingredients = [
        shoot.ingredient("chicken breast").model_copy(update={"piece_weight": Fraction(174)}),
        shoot.ingredient("turkey").model_copy(update={"piece_weight": Fraction(5443)}),
    ]
    thawed, _, _ = with_days_of_state(shoot.changed(ingredients=ingredients))
    assert [one.thaw_days for one in thawed.packs] == [None, 3]


def test_message__thaw_days_published() -> None:
    found = estimate(shoot_of(*BIRD, pack("turkey", "18 lb", "30", state="frozen")))
    source = (
        "Let's Talk Turkey: A Consumer Guide to Safely Roasting a Turkey, US Department of "
        "Agriculture, Food Safety and Inspection Service; Safe methods for thawing, in the "
        "refrigerator (memory)"
    )
    said = [str(one) for one in found.findings if one.code == "thaw days published"]
    assert said == [
        'Packs (row "turkey", column "Thaw days"): found a blank cell for frozen turkey, 18 lb a '
        "piece, expected days in the refrigerator before it is used [thaw days published]\n"
        '  Taken: 5, by the published "24 hours for each 4 to 5 pounds" (' + source + "). Write "
        "your own days if your refrigerator or your way of thawing is another."
    ]
    (row,) = [row for row in found.tables()["assumptions"].rows if "Thaw days" in str(row["about"])]
    assert row["value_used"] == "5 day"
    assert row["about"] == "Thaw days of turkey: a piece of 18 lb in a refrigerator; from 4 to 5"
    assert str(row["source"]).startswith(source)
    assert row["how_to_override"] == "Fill Thaw days for turkey on the sheet Packs."


def test_message__thaw_days_not_given() -> None:
    """Of small pieces and of what is no fish, meat or poultry nothing is published here."""
    found = estimate(
        shoot_of(
            line("soup", "pea", "1 kg"),
            pack("pea", "2.5 kg", "5", state="frozen"),
            line("soup", "cod", "1 kg"),
            pack("cod", "1 kg", "5", state="frozen"),
            Shot(dish="soup"),
        )
    )
    said = [str(one) for one in found.findings if one.code == "thaw days not given"]
    assert said == [
        'Packs (column "Thaw days"): found a blank cell for frozen pea and cod, '
        "expected days to thaw before it is used, or 0 [thaw days not given]\n"
        "  No time to thaw is counted. Write the days, or 0 for what is used frozen."
    ]
