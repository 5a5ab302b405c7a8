"""What takes are left by receipts and counts, each number worked by hand."""

from __future__ import annotations

from datetime import date, datetime, timedelta
from fractions import Fraction
from typing import Any

import pytest
from buying.test_takes_left import DAY, TOAST, logged, more_of, outlook
from small import line, lot, pack, shoot_of

from costing.buying.books import books_of
from costing.buying.takes_left import Outlook
from costing.day.follows import left
from costing.estimating import estimate
from costing.findings import Place, Row
from costing.kitchen import CountedLot, Ingredient, ReceiptLine
from costing.quantities import amount
from costing.report.estimates import Estimate
from costing.shoot import Episode, LeftOut, Shot
from costing.shoot.defaults import completed
from costing.shoot.episodes import Logged


def counted(ingredient: str, text: str, note: str = "") -> CountedLot:
    """A row of Counted."""
    return CountedLot(ingredient=ingredient, amount=amount(text), note=note)


def taken(*rows: Any, log: Any = ()) -> Estimate:
    """The estimate of a small shoot with its log."""
    return estimate(shoot_of(*rows).changed(day_log=log))


def books_said(found: Estimate) -> list[str]:
    """What `costing left` says of ingredients, below the shots."""
    return [text for text, _ in left(found) if " = used " in text or "receipts" in text]


FLOUR = (
    line("bun", "odd flour", "100 g"),
    Ingredient(name="odd flour", trim_yield=Fraction(1)),
    pack("odd flour", "100 g", "1"),
    Shot(dish="bun", name="A", times=2),
)
"""Two packs of 100 g are listed for two takes."""


def test_takes_left__what_is_on_a_receipt_was_bought() -> None:
    """3 packs paid: 300 g, of which two takes and one spoiled copy used all; by the list 200 g."""
    log = logged(("A", "taken"), ("A", "spoiled"), ("A", "taken"))
    paid = ReceiptLine(ingredient="odd flour", packs=3, paid="3")
    found = taken(*FLOUR, paid, log=log)
    (row,) = found.tables()["takes_left"].rows
    assert (row["more"], row["short_by"]) == (0, "100 g")
    (books,) = found.outlook.balances
    assert [int(one) for one in (books.bought, books.used, books.there)] == [300, 300, 0]
    assert "does not fit" not in str(row["note"])


def test_takes_left__what_is_on_no_receipt_was_bought_as_listed() -> None:
    """Bread 12 by its list; butter 1 pack of 250 g by its receipt; a crew's bread is not theirs."""
    rows = (
        *TOAST,
        ReceiptLine(ingredient="butter", packs=1, paid="2.50"),
        ReceiptLine(ingredient="bread", packs=4, paid="7.20", tag="crew"),
    )
    assert {one.supply.name: int(one.bought) for one in taken(*rows).outlook.balances} == {
        "bread": 12,
        "butter": 250,
    }


def test_takes_left__a_receipt_says_how_much_there_is_of_what_packs_do_not_have() -> None:
    """250 g on the receipt, 100 g a take, two planned: two takes, and the next lacks 50 g."""
    rows = [row for row in FLOUR if not hasattr(row, "price")]
    found = taken(*rows, ReceiptLine(ingredient="odd flour", amount="250 g", paid="2"))
    (row,) = found.tables()["takes_left"].rows
    assert (row["more"], row["short_by"]) == (2, "50 g")


def test_takes_left__counted_is_later_than_every_line_of_the_log() -> None:
    """Nine slices by the log, then five on the sheet: 2 for T2, so one more T1; 12 - 2 - 5 = 5."""
    log = logged(("bread", "counted", "9 each"), ("T1", "taken"))
    found = outlook(*TOAST, counted("bread", "3 each"), counted("bread", "2 each"), log=log)
    assert more_of(found) == {"T1": 1, "T2": 1}
    (bread,) = [one for one in found.balances if one.supply.name == "bread"]
    amounts = (bread.bought, bread.used, bread.there, bread.not_logged)
    assert tuple(map(int, amounts)) == (12, 2, 5, 5)


def test_takes_left__counted_without_a_log() -> None:
    """60 g are there, a take needs 50 g and one was: one more, and the next lacks 40 g."""
    rows = (
        line("salad", "walnut pieces", "50 g"),
        pack("walnut pieces", "100 g", "2"),
        Shot(dish="salad", name="A", times=1, taken=1),
        Episode(name="one", shoot_date=date(2031, 5, 10)),
        counted("walnut pieces", "60 g"),
    )
    (row,) = taken(*rows).tables()["takes_left"].rows
    assert (row["more"], row["limited_by"], row["short_by"]) == (1, "walnut pieces", "40 g")


def test_takes_left__a_weighing_before_trimming_is_no_count() -> None:
    found = outlook(*TOAST, counted("butter", "40 g", "trimmed from 50 g"))
    assert more_of(found) == {"T1": 5, "T2": 4}


def test_takes_left__packs_of_several_days_stay_as_listed_and_that_is_said() -> None:
    """400 g on each of two days; the receipt has one pack, and does not say of which day."""
    first = date(2031, 5, 10)
    days = {"E10": first, "E24": first + timedelta(days=14)}
    rows = (
        line("soup", "cod", "100 g"),
        Ingredient(name="cod", trim_yield=Fraction(1), keeps_days=Fraction(2)),
        pack("cod", "400 g", "5"),
        *(Episode(name=name, shoot_date=day) for name, day in days.items()),
        *(Shot(name=name, dish="soup", episode=name, times=3) for name in days),
        ReceiptLine(ingredient="cod", packs=1, paid="5"),
    )
    found = taken(*rows)
    assert [row["more"] for row in found.tables()["takes_left"].rows] == [4, 4]
    assert books_said(found) == [
        "cod: its receipts are not counted here; its packs are those of the list."
    ]


def test_left__a_shot_whose_day_is_over_has_no_takes_left() -> None:
    """E1 was on the 9th, and the log is of the 10th: its takes are over, not without limit.

    Nobody logged them: that they were taken as planned is said to be assumed, of one that somebody
    logged it is not.
    """
    days = {"E1": date(2031, 5, 9), "E2": date(2031, 5, 10)}
    rows = (
        *FLOUR[:3],
        *(Episode(name=name, shoot_date=day) for name, day in days.items()),
        *(Shot(name=f"of {name}", dish="bun", episode=name, times=2) for name in days),
    )
    found = taken(*rows, log=logged(("of E2", "taken")))
    said = dict(left(found))
    assert said["of E1: day over, not logged, taken as planned (2)."] == ""
    note = found.tables()["takes_left"].rows[0]["note"]
    assert note == "Its day is over; not logged, taken as planned."
    told = taken(*rows, log=logged(("of E1", "taken"), ("of E2", "taken")))
    assert dict(left(told))["of E1: day over, 1 taken of 2."] == ""
    assert told.tables()["takes_left"].rows[0]["note"] == "Its day is over."
    assert (
        said["of E2: 1 more, 1 taken of 2."]
        == "One beyond that lacks odd flour 100 g (100 g, 1.00)."
    )


def test_left__what_is_bought_on_the_next_day_is_not_in_a_count_of_the_night_before() -> None:
    """50 g at half past midnight, and the 100 g of the 11th come later: B can be taken once."""
    days = {"A": date(2031, 5, 10), "B": date(2031, 5, 11)}
    rows = (
        *FLOUR[:3],
        *(Episode(name=name, shoot_date=day) for name, day in days.items()),
        *(Shot(name=name, dish="bun", episode=name) for name in days),
        *(ReceiptLine(ingredient="odd flour", packs=1, paid="1", day=day) for day in days.values()),
    )
    night = Logged(
        what="odd flour", event="counted", when=datetime(2031, 5, 11, 0, 30), amount="50 g"
    )
    found = taken(*rows, log=[*logged(("A", "taken")), night])
    assert [row["more"] for row in found.tables()["takes_left"].rows][1] == 1


def test_left__a_shoot_past_midnight_goes_on() -> None:
    """Half an hour into the 11th it is still the bun of the 10th that is taken.

    Of the 300 g for three buns one is used: A may be taken once more besides the one of the 11th.
    """
    rows = (
        *FLOUR[:2],
        pack("odd flour", "300 g", "1", at_most=1),
        *(
            Episode(name=name, shoot_date=date(2031, 5, day))
            for name, day in (("E", 10), ("F", 11))
        ),
        *(Shot(name="A", dish="bun", episode=name) for name in "EF"),
    )
    night = Logged(what="A", event="taken", when=datetime(2031, 5, 11, 0, 30))
    said = [text for text, _ in left(taken(*rows, log=[night])) if text.startswith("A: ")]
    assert said == ["A: 1 more, 1 taken of 1.", "A: 2 more, 0 taken of 1."]


def test_takes_left__a_count_that_changes_nothing_is_told() -> None:
    found = outlook(*TOAST, lot("salt", "50 g"), log=logged(("salt", "counted", "40 g")))
    assert more_of(found) == {"T1": 5, "T2": 4}
    assert [str(finding) for finding in found.supplies.findings] == [
        '\'Day log\' (row "salt", column "What"): found "salt" counted, of which no shot takes '
        "anything, expected counts of what the shots take [count changes nothing]\n"
        "  It changes nothing for the takes that are left. Leave it for what comes, or take it "
        "back."
    ]
    found = outlook(*TOAST, lot("breads", "1 each"), log=logged(("breads", "counted", "1 each")))
    (said,) = found.supplies.findings
    assert said.expected == '"bread"'
    assert said.remedy.endswith('that are left. Take it back and count "bread" if that is meant.')


def test_takes_left__a_count_in_another_kind_of_unit_is_told_and_not_used() -> None:
    """Slices that were weighed: what a slice weighs is not given."""
    found = outlook(*TOAST, log=logged(("bread", "counted", "300 g")))
    assert more_of(found) == {"T1": 5, "T2": 4}
    assert [finding.code for finding in found.supplies.findings] == ["pack unit unclear"]


def test_takes_left__of_two_counts_the_later_by_its_time_counts() -> None:
    """100 g at 15:00 take the place of 900 g at 10:00, wherever the line of 10:00 stands."""
    late, early = (
        Logged(what="butter", event="counted", when=DAY.replace(hour=hour), amount=amount(text))
        for hour, text in ((15, "100 g"), (10, "900 g"))
    )
    for log in ([late, early], [early, late]):
        found = outlook(*TOAST, log=log)
        (butter,) = [one for one in found.balances if one.supply.name == "butter"]
        assert int(butter.there) == 100


@pytest.mark.parametrize(
    ("read", "unread", "told"),
    [
        ([], ["Day log 3"], True),
        ([2], ["Day log 3"], True),
        ([4], ["Day log 3"], False),
        ([3], ["Day log 2", "Day log 4"], True),
        ([3, 5], ["Day log 2", "Day log 4"], False),
        ([4], ["Counted 2"], True),
        ([], ["Packs 2"], False),
        ([], [], False),
    ],
)
def test_takes_left__a_count_that_cannot_be_read_is_told_unless_a_later_one_can(
    read: list[int], unread: list[str], *, told: bool
) -> None:
    """Lines of the log by their numbers; a row of Counted is later than every line."""
    counts = [
        Logged(
            what="Odd flour",
            event="counted",
            when=datetime(2031, 5, 10, 9, number),
            amount=amount("90 g"),
            row=Row("Day log", number),
        )
        for number in read
    ]
    rows = [(sheet, int(number)) for sheet, _, number in (one.rpartition(" ") for one in unread)]
    left_out = [
        LeftOut(what="a count", place=Place(sheet, number), sheet=sheet, name="odd flour")
        for sheet, number in rows
    ]
    whole = completed(shoot_of(*FLOUR).changed(day_log=counts, left_out=left_out))[0]
    found = Outlook(books_of(whole))
    assert [one.unread for one in found.takes_left] == [("odd flour",) if told else ()]
