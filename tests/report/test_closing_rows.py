"""What is said and shown of a shoot that is closed, whole text."""

from __future__ import annotations

from typing import Any

import pytest
from live_workbooks import read_bytes, workbook_of
from small import line, lot, pack, paid, shoot_of, sound

import costing
from costing.closing.closed import Closed
from costing.kitchen import CountedLot
from costing.report.closing_rows import (
    closed_json,
    closing_figures,
    closing_words,
    words_above,
    words_after,
)
from costing.shoot import Shot
from costing.shoot.episodes import Logged

ROWS = (
    sound("flour"),
    line("bread", "flour", "200 g"),
    line("bread", "salt", "5 g"),
    sound("salt"),
    pack("flour", "500 g", "1.20", shop="Mill"),
    lot("salt", "1 kg", supplied=True),
    Shot(dish="bread", episode="One", times=3, taken=4),
    paid("flour", "2.60", shop="Mill", packs=2, tax_rate="5 %", paid_from="float"),
    paid("", "2.00", shop="Mill", note="delivery", paid_from="float"),
    paid("", "1.00", shop="Mill", note="tea", tag="crew", paid_from="card"),
    CountedLot(ingredient="flour", amount="100 g"),
)


def closed(**settings: Any) -> Closed:
    """Two bags at 1.30, 100 g left of them after four takes of 200 g; salt was supplied."""
    found = costing.estimate(shoot_of(*ROWS, **({"currency": "EUR"} | settings))).closed
    assert found is not None
    return found


def test_closing_words__differences_charge_supplied_goods_costs_and_cash() -> None:
    """Planned 600 g x 0.0024 = 1.44. A take more 0.48, 100 g more 0.24; 900 g x 0.0002 = 0.18.

    Charged 4.60 and 10 % of each line, 0.26 and 0.20.
    """
    assert list(closing_words(closed(charge_mark_up="0.1", cash_float="10", cash_counted="6"))) == [
        "Used value: 1.44 EUR planned, 2.34 EUR actual, +0.90 EUR.",
        "  +0.48 EUR  flour: more takes than planned",
        "  +0.24 EUR  flour: more used than the takes need",
        "  +0.18 EUR  flour: the packs listed cost more",
        "Charged: 5.06 EUR, which is 4.60 EUR paid, 0.12 EUR of it tax, and a mark-up of 10 % on "
        "what was paid, 0.46 EUR.",
        "Supplied and not charged: salt 1 kg, 20 g used and 980 g left by the takes.",
        "Paid on receipts: 5.60 EUR; camera 4.60 EUR (2.00 EUR of it without an ingredient) and "
        "crew 1.00 EUR (1.00 EUR of it without an ingredient).",
        "Cash: float 10.00 EUR less 4.60 EUR paid from it leaves 5.40 EUR; counted 6.00 EUR, "
        "0.60 EUR more than that.",
    ]


def test_closing_words__name_the_shots_that_are_in_neither_value() -> None:
    """A dish that has no recipe was neither planned nor used, as far as anybody knows."""
    rows = (*ROWS, Shot(dish="bred", name="C2", episode="One"))
    found = costing.estimate(shoot_of(*rows, currency="EUR")).closed
    assert found is not None
    assert next(closing_words(found)).endswith('+0.90 EUR, without shot "C2".')


def test_closing_words__say_that_spoiled_takes_are_in_the_use() -> None:
    """Two takes of 200 g and one that spoiled, at 1.20 for 500 g: 0.48 above the takes."""
    spoiled = Logged(what="P1", event="spoiled")
    bought = paid("flour", "2.40", shop="Mill", packs=2)
    rows = (*ROWS[:2], ROWS[4], Shot(dish="bread", name="P1", times=2, taken=2), spoiled, bought)
    found = costing.estimate(shoot_of(*rows, currency="EUR")).closed
    assert found is not None
    assert list(closing_words(found))[1] == (
        "  +0.48 EUR  flour: more used than the takes need, spoiled takes included"
    )


def test_closing_words__the_lines_add_up_to_the_difference() -> None:
    """Seven goods of 1.00 a take, taken once more than planned: five lines, 2.00 of two others."""
    names = [f"good{number}" for number in range(7)]
    rows: list[Any] = [row for one in names for row in (sound(one), line("bread", one, "100 g"))]
    rows += [pack(one, "100 g", "1.00", shop="Mill") for one in names]
    got = [paid(one, "2.00", shop="Mill", packs=2) for one in names]
    whole = shoot_of(*rows, Shot(dish="bread", taken=2), *got, currency="EUR")
    found = costing.estimate(whole).closed
    assert found is not None
    words = list(closing_words(found))
    assert words[0].endswith("+7.00 EUR.")
    assert [one.split()[0] for one in words[1:6]] == ["+1.00"] * 5
    assert words[6] == "  +2.00 EUR  2 others, on Differences"


def test_closing_words__say_what_of_the_receipts_is_in_no_sum() -> None:
    """A receipt in dollars without a rate, and a row with a Tag that is none."""
    sheets: dict[str, list[list[Any]]] = {
        "Recipes": [["Dish", "Step", "Ingredient", "Amount", "Unit"], ["mix", 1, "oat", 100, "g"]],
        "Packs": [["Ingredient", "Amount", "Unit", "Price"], ["oat", 100, "g", 1]],
        "Shoot plan": [["Dish", "Times", "Taken"], ["mix", 1, 1]],
        "Receipts": [
            ["Receipt", "Ingredient", "Packs", "Paid", "Tag"],
            ["R1", "oat", 1, 1, "camera"],
            ["R1", "oat", 1, 1.1, "sponsor"],
            ["R4", "oat", 1, "2.00 USD", "camera"],
        ],
        "Settings": [["Setting", "Value"], ["Currency", "EUR"]],
    }
    found = costing.estimate(read_bytes(workbook_of(sheets))[0]).closed
    assert found is not None
    left = ['receipt line "oat" in row 3', 'receipt "R4"']
    words = list(closing_words(found))
    assert "Paid on receipts: 1.00 EUR; camera 1.00 EUR." in words
    assert f"Left out of what is paid and charged: {left[0]} and {left[1]}." in words
    notes = {row["figure"]: str(row["note"]) for row in closing_figures(found)}
    assert notes["Paid on receipts"] == f"for camera; without {left[0]} and {left[1]}"
    told = closed_json(found)
    assert (told["paid_complete"], told["missing"]) == (False, left)


def test_closing_words__without_mark_up_and_count() -> None:
    words = list(closing_words(closed(cash_float="10")))
    assert "Charged: 4.60 EUR, as paid, 0.12 EUR of it tax." in words
    assert words[-1].endswith("leaves 5.40 EUR; not counted.")
    agreed = list(closing_words(closed(cash_float="10", cash_counted="5.40")))
    assert agreed[-1].endswith("counted 5.40 EUR, which agrees.")


def test_words_above__each_sheet_has_its_own_and_no_other() -> None:
    found = closed(charge_mark_up="0.1")
    tables = costing.estimate(found.shoot).tables()
    above = {name: len(words_above(table, found)) for name, table in tables.items()}
    assert {name: lines for name, lines in above.items() if lines} == {
        "differences": 2,
        "charge": 2,
    }


def test_words_after__stand_once_it_is_known_what_was_taken() -> None:
    """Summary begins with them, and with what to buy as long as shots are still to come."""
    assert words_after(closed()) == "Used value: 1.44 EUR planned, 2.34 EUR actual, +0.90 EUR."
    bread = Shot(dish="bread", episode="One", times=3)
    rows = [row for row in ROWS if not isinstance(row, Shot)]
    counted_none = [row for row in rows if not isinstance(row, CountedLot)]
    assert words_after(costing.estimate(shoot_of(*rows, bread)).closed) != ""
    assert words_after(costing.estimate(shoot_of(*counted_none, bread)).closed) == ""
    assert words_after(None) == ""


def test_charge_rows__say_the_goods_the_day_and_the_mark_up() -> None:
    rows = costing.estimate(closed(charge_mark_up="0.1").shoot).tables()["charge"].rows
    assert [(row["what"], str(row["charged"]), row["note"]) for row in rows] == [
        ("flour, 2 x", "2.86", "mark-up 0.26 EUR"),
        ("delivery", "2.20", "tax not known; mark-up 0.20 EUR"),
    ]


@pytest.mark.parametrize(
    ("line_paid", "what", "note"),
    [
        (paid("flour", "1.20", shop="Mill", amount="500 g"), "flour, 500 g", "tax not known"),
        (paid("flour", "1.20", shop="Mill"), "flour", "tax not known"),
        (paid("", "1.20"), "a cost of its own", "tax not known"),
        (paid("", "1.20", note="gloves", tax_rate="0 %"), "gloves", ""),
        (
            paid("flour", "1.20", note="torn bag", day="2031-05-09", tax_rate="0 %"),
            "flour",
            "2031-05-09; torn bag",
        ),
    ],
    ids=["by amount", "by name", "nothing said", "a cost by its note", "goods with day and note"],
)
def test_charge_rows__say_what_is_known_of_a_line(line_paid: Any, what: str, note: str) -> None:
    shoot = shoot_of(*ROWS[:5], line_paid, currency="EUR")
    (row,) = costing.estimate(shoot).tables()["charge"].rows
    assert (row["what"], row["note"]) == (what, note)


def test_closing_words__without_a_receipt_nothing_is_charged_or_paid() -> None:
    counted = (*ROWS[:5], CountedLot(ingredient="flour", amount="100 g"))
    found = costing.estimate(shoot_of(*counted, currency="EUR")).closed
    assert found is not None
    assert not any(text.startswith(("Charged", "Paid", "Cash")) for text in closing_words(found))


def test_closing_figures__of_summary() -> None:
    found = closing_figures(closed(charge_mark_up="0.1", cash_float="10", cash_counted="6"))
    assert [(row["figure"], str(row["value"])) for row in found] == [
        ("Actual used value", "2.34"),
        ("Paid on receipts", "5.60"),
        ("Charged", "5.06"),
        ("Cash difference", "0.60"),
    ]
    assert closing_figures(None) == []


def test_charge_rows__say_what_was_paid_in_another_currency() -> None:
    """10.00 at 1.20 are 12.00."""
    foreign = paid("", "10", note="1 GBP = 1.20 EUR", receipt="R9")
    shoot = shoot_of(*ROWS, foreign, currency="EUR")
    row = costing.estimate(shoot).tables()["charge"].rows[-1]
    assert (str(row["paid"]), row["note"]) == ("12.00", "10.00 GBP paid; tax not known")
