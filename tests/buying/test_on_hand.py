"""Stock: which lots count, in which order, for which episode."""

from __future__ import annotations

from datetime import date
from fractions import Fraction
from typing import Any

import pytest
from small import books, codes, line, lot, may, pack, purchase, sound, value

from costing.buying.on_hand import last_day
from costing.kitchen import HoldingClass, Lot
from costing.shoot import Episode, Shot

SOUP = line("soup", "leek", "400 g")
PACK = pack("leek", "100 g", "1")


def episodes(*days: int | None) -> list[Any]:
    """An episode and a shot of the soup on each day."""
    parts: list[Any] = []
    for number, day in enumerate(days, start=1):
        name = f"E{number}"
        parts.append(Episode(name=name, shoot_date=may(day) if day else None))
        parts.append(Shot(dish="soup", episode=name))
    return parts


def parts_of_lots(found: Any) -> dict[str, Fraction]:
    """How much of each lot is used, by its note."""
    taken = purchase(found, "leek").taken
    return {lot.note: used for lot, _, used in taken.from_lots}


def test_taken__earliest_date_first_over_two_episodes() -> None:
    """400 g each: the first takes 300 to 10 May and 100 to 12 May, the second 250 to 12 May."""
    found = books(
        SOUP,
        sound("leek"),
        PACK,
        lot("leek", "350 g", use_by=may(12), note="to the 12th"),
        lot("leek", "300 g", use_by=may(10), note="to the 10th"),
        *episodes(10, 12),
    )
    taken = purchase(found, "leek").taken
    assert parts_of_lots(found) == {"to the 10th": 300, "to the 12th": 350}
    assert taken.by_episode == {"E1": 400, "E2": 250}
    assert purchase(found, "leek").net == 150


def test_taken__episodes_are_served_by_date_and_not_by_row() -> None:
    """The row order is 12 and 10 May; the lot to 10 May is good for the second row alone."""
    found = books(
        SOUP,
        sound("leek"),
        PACK,
        lot("leek", "500 g", use_by=may(10), note="a"),
        *episodes(12, 10),
    )
    assert purchase(found, "leek").taken.by_episode == {"E2": 400}
    assert purchase(found, "leek").taken.left == 100
    assert codes(found.findings) == ["lot past its date"]


def test_taken__undated_lot_after_the_dated_ones() -> None:
    found = books(
        SOUP,
        sound("leek", holding_class=HoldingClass.NONE),
        PACK,
        lot("leek", "1 kg", note="undated"),
        lot("leek", "300 g", use_by=may(10), note="dated"),
        *episodes(10),
    )
    assert parts_of_lots(found) == {"dated": 300, "undated": 100}
    assert found.findings == ()


@pytest.mark.parametrize(
    ("held", "counts", "code"),
    [
        (HoldingClass.NONE, True, None),
        (None, True, "lot taken as good"),
        (HoldingClass.WHEN_CUT, False, "lot without a date"),
        (HoldingClass.WHEN_OPENED, False, "lot without a date"),
        (HoldingClass.WHEN_COOKED, False, "lot without a date"),
        (HoldingClass.ALWAYS, False, "lot without a date"),
    ],
    ids=lambda value: str(value) if isinstance(value, HoldingClass) else "",
)
def test_taken__undated_lot_counts_unless_it_is_perishable(
    held: HoldingClass | None, counts: bool, code: str | None
) -> None:
    found = books(SOUP, sound("leek", holding_class=held), PACK, lot("leek", "1 kg"), *episodes(10))
    assert purchase(found, "leek").net == (0 if counts else 400)
    assert codes(found.findings) == ([code] if code else [])


@pytest.mark.parametrize(
    ("day", "used"), [(9, 0), (10, 400), (11, 400)], ids=["day before", "on the day", "day after"]
)
def test_taken__last_day_of_use_is_a_day_of_use(day: int, used: int) -> None:
    found = books(SOUP, sound("leek"), PACK, lot("leek", "1 kg", use_by=may(day)), *episodes(10))
    assert purchase(found, "leek").taken.total == used


def test_taken__episode_without_a_date_takes_no_dated_lot() -> None:
    found = books(
        SOUP,
        sound("leek", holding_class=HoldingClass.NONE),
        PACK,
        lot("leek", "150 g", use_by=may(30), note="dated"),
        lot("leek", "100 g", note="undated"),
        *episodes(None),
    )
    assert purchase(found, "leek").taken.by_episode == {"E1": 100}
    assert codes(found.findings) == ["shoot date missing"]


def test_taken__lot_late_for_one_and_unsure_for_the_other_is_good_for_none() -> None:
    """Neither uses it, so it is not among what is left and good."""
    found = books(
        SOUP, sound("leek"), PACK, lot("leek", "1 kg", use_by=may(9)), *episodes(10, None)
    )
    assert purchase(found, "leek").taken.total == 0
    assert purchase(found, "leek").taken.left == 0
    assert codes(found.findings) == ["lot past its date", "shoot date missing"]


@pytest.mark.parametrize(
    ("changes", "last"),
    [
        ({}, None),
        ({"use_by": may(20)}, may(20)),
        ({"opened": may(1)}, may(4)),
        ({"opened": may(1), "use_by": may(3)}, may(3)),
        ({"opened": may(1), "use_by": may(20)}, may(4)),
    ],
    ids=["nothing", "date", "opened", "date is sooner", "life after opening is sooner"],
)
def test_last_day__the_sooner_of_date_and_life_after_opening(
    changes: dict[str, Any], last: date | None
) -> None:
    """Keeps 3 1/2 days, of which 3 are whole: 1 May + 3 = 4 May."""
    need = purchase(books(SOUP, sound("leek", keeps_days=Fraction(7, 2)), *episodes(10)), "leek")
    assert last_day(Lot(ingredient="leek", **changes), need.need) == last


def test_last_day__opened_without_a_known_life_has_none() -> None:
    need = purchase(books(SOUP, sound("leek"), *episodes(10)), "leek").need
    assert last_day(Lot(ingredient="leek", opened=may(1)), need) is None


def test_taken__opened_lot_ends_with_its_life() -> None:
    found = books(
        SOUP,
        sound("leek", keeps_days=Fraction(3)),
        PACK,
        lot("leek", "1 kg", opened=may(8), use_by=may(30)),
        *episodes(10, 12),
    )
    assert purchase(found, "leek").taken.by_episode == {"E1": 400}
    assert purchase(found, "leek").taken.left == 600


def test_taken__plenty_is_never_bought_and_its_value_is_named() -> None:
    found = books(
        SOUP,
        sound("leek", holding_class=HoldingClass.NONE),
        PACK,
        lot("leek", None, plenty=True),
        *episodes(10, 12),
    )
    assert purchase(found, "leek").taken.total == 800
    assert purchase(found, "leek").lines == ()
    assert found.totals.used == 0
    assert found.totals.used_missing == ("the value of leek, of which there is plenty",)
    assert found.totals.bought_missing == ()


def test_taken__plenty_that_is_not_reached_is_not_missing() -> None:
    """The dated lot covers the need to the gram, so nothing is taken of the plenty."""
    found = books(
        SOUP,
        sound("leek", holding_class=HoldingClass.NONE),
        lot("leek", None, plenty=True),
        lot("leek", "400 g", use_by=may(10), value="0.80"),
        *episodes(10),
    )
    assert found.totals.missing == ()


def test_taken__supplied_plenty_is_worth_nothing_and_not_missing() -> None:
    found = books(
        SOUP,
        sound("leek", holding_class=HoldingClass.NONE),
        lot("leek", None, plenty=True, supplied=True),
        *episodes(10),
    )
    assert found.totals.missing == ()


def test_taken__lot_in_another_unit() -> None:
    """20 pieces of 30 g trimmed, at a yield of 0.75: 20 x 30 / 0.75 = 800 g as bought."""
    found = books(
        line("soup", "leek", "900 g"),
        sound("leek", trim_yield=Fraction(3, 4), piece_weight=Fraction(30)),
        PACK,
        lot("leek", "20 each", use_by=may(30)),
        *episodes(10),
    )
    assert purchase(found, "leek").need.total == 1200
    assert purchase(found, "leek").net == 400


def test_taken__lot_that_cannot_be_counted_does_not_count() -> None:
    found = books(SOUP, sound("leek"), PACK, lot("leek", "2 l", use_by=may(30)), *episodes(10))
    assert purchase(found, "leek").net == 400
    assert codes(found.findings) == ["pack unit unclear"]


def test_taken__lot_without_an_amount_does_not_count() -> None:
    found = books(SOUP, sound("leek"), PACK, lot("leek", None), *episodes(10))
    assert purchase(found, "leek").net == 400
    assert codes(found.findings) == ["lot amount missing"]


def test_taken__stock_needs_no_spoilage_allowance() -> None:
    """Half of 400 g is on hand; only the other half is bought with its allowance.

    200 / (1 - 1/5) = 250, so the allowance is 50.
    """
    found = books(
        SOUP,
        sound("leek", spoilage=Fraction(1, 5)),
        PACK,
        lot("leek", "200 g", use_by=may(30)),
        *episodes(10),
    )
    assert purchase(found, "leek").net == 200
    assert purchase(found, "leek").allowance == 50


def test_taken__lots_of_nothing_that_is_used_say_nothing() -> None:
    """No recipe takes the mint, so nobody needs to know when it ends."""
    found = books(SOUP, sound("leek"), PACK, lot("mint", "5 g", use_by=may(1)), *episodes(10))
    assert [p.need.ingredient.name for p in found.purchases] == ["leek"]
    assert found.findings == ()


def test_taken__own_value_of_a_lot_is_used_in_proportion() -> None:
    """300 of 600 g worth 1.80: 0.90; the rest of the need at the pack's 0.01 a gram: 1.00."""
    found = books(
        SOUP,
        sound("leek"),
        PACK,
        lot("leek", "300 g", use_by=may(30), value="1.80"),
        *episodes(10),
    )
    assert value(found, "leek").on_hand_used == Fraction("1.80")
    assert value(found, "leek").used == Fraction("2.80")
    half = books(
        line("soup", "leek", "300 g"),
        sound("leek"),
        PACK,
        lot("leek", "600 g", use_by=may(30), value="1.80"),
        *episodes(10),
    )
    assert value(half, "leek").used == Fraction("0.90")
