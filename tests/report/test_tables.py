"""Result tables: headings, JSON and frames."""

from __future__ import annotations

import json
from datetime import UTC, date, datetime, timedelta
from decimal import Decimal
from fractions import Fraction

import pytest
from small import line, pack, shoot_of, sound
from tart import tart_shoot
from tree_files import modules

from costing.estimating import estimate
from costing.kitchen import Ingredient
from costing.report.assumption_rows import findings_table
from costing.report.estimates import Estimate
from costing.report.exchange import csv_text, duration, frame, plain, rows
from costing.report.layouts import RESULT_LAYOUTS, SUMMARY, TO_BUY
from costing.report.tables import Layout, ResultColumn
from costing.shoot import Shot
from costing.workbook.layout import INPUT_SHEETS

HEADINGS = {
    "Errands": "Date, Errand, Shop, What, For, Note",
    "Copies": "Episode, Dish, Copy, Shots, Steps, First start, Last start, Note",
    "Make": "Episode, Dish, Batches, Amount, Unit, Ready by, Into, Left over, Note",
    "Takes left": "Episode, Shot, Planned, Taken, More, Limited by, Short by, Note",
    "Who eats": "Person, What, Answer, Because",
    "Differences": "Episode, Ingredient, Planned, Actual, Takes, Use, Price, Packs, Not logged",
    "Charge": "Receipt, Shop, What, Paid, Tax, Charged, Note",
    "Summary": "Figure, Value, Note",
    "To buy": "Got it, Shop, Trip, Section, Ingredient, Packs, Pack amount, Unit, Price each, "
    "Cost, Needed, From on hand, Bought, Left over, Buy by, Allergens, Substitute, Note",
    "Needs": "Ingredient, Trimmed need, Trimmed unit, Unit, Trim yield %, As bought need, "
    "Spoilage allowance, On hand used, Net need, Bought, Left over, Left keeps, Used value, "
    "Bought value, Left value",
    # beyond the contract: the share of visits, without which Over could not be followed
    "Food cost": "Episode, Dish, Purpose, Used value, Share of bought, Share of visits, Budget, "
    "Over",
    "Holding times": "Container, Rule, Strictest, Status, Out for, Discard at, Return before, "
    "Reason, Source, Verified",
    "Assumptions": "Where, About, Value used, Source, How to override",
    "Labels": "Container, Label, Return before, Discard at, Rule, Caution",
    "Prep": "Episode, Dish, Step, Ingredient, Cut, Amount, Unit, Bowl size, Bowls, Shown, "
    "Ready by, Note",
    "Swaps": "Episode, Dish, Purpose, To step, Batch, Times, Ready by",
    "Findings": "Grade, Code, Sheet, Cell, Row, Column, Found, Expected, What to do",
}
"""The columns people are promised, sheet by sheet."""


@pytest.mark.parametrize("layout", RESULT_LAYOUTS, ids=lambda layout: layout.title)
def test_layout__columns_are_those_promised(layout: Layout) -> None:
    """Written down a second time here, so that a heading is not changed by a slip."""
    assert ", ".join(column.heading for column in layout.columns) == HEADINGS[layout.title]


def test_layout__headings_become_keys() -> None:
    assert ResultColumn("Trim yield %").key == "trim_yield"
    assert ResultColumn("As bought need").key == "as_bought_need"
    assert [layout.key for layout in RESULT_LAYOUTS][:3] == ["summary", "to_buy", "errands"]


def test_layout__row_is_made_by_name_and_blank_where_nothing_is_said() -> None:
    assert SUMMARY.row(note="n", figure="f") == {"figure": "f", "value": None, "note": "n"}


def test_layout__row_with_a_column_there_is_not_is_refused() -> None:
    with pytest.raises(ValueError, match=r"^To buy has no column colour$"):
        TO_BUY.row(ingredient="leek", colour="green")


def test_layout__what_was_typed_is_shown_by_the_same_heading() -> None:
    """Of the first of the rows it is about that has it; what is given by name goes first."""
    milk = pack("milk", "1 l", None, shop="dairy")
    shown = TO_BUY.row(milk, Ingredient(name="milk", section="cold shelf"))
    assert (shown["shop"], shown["section"], shown["packs"]) == ("dairy", "cold shelf", None)
    assert TO_BUY.row(milk, shop="market")["shop"] == "market"
    headings = {heading for sheet in INPUT_SHEETS for heading in sheet.headings}
    typed = [one for layout in RESULT_LAYOUTS for one in layout.columns if one.as_typed]
    assert {one.heading for one in typed} <= headings


@pytest.mark.parametrize("layout", RESULT_LAYOUTS, ids=lambda layout: layout.title)
def test_layout__says_what_every_column_means(layout: Layout) -> None:
    """And rows are told apart by columns that are there."""
    assert [column.heading for column in layout.columns if not column.meaning] == []
    assert set(layout.told_apart_by) <= set(layout.keys)
    assert len(set(layout.keys)) == len(layout.keys)


def test_layouts__table_names_in_workbooks_stay() -> None:
    """Formulas of users refer to tables by these names."""
    assert {layout.key: layout.table_name for layout in RESULT_LAYOUTS[:2]} == {
        "summary": "ResultSummary",
        "to_buy": "ResultToBuy",
    }


def test_layouts__rows_of_every_table_are_made_somewhere() -> None:
    """A table that nothing fills is a promise."""
    source = "".join(path.read_text(encoding="utf-8") for path in modules("costing"))
    unmade = {layout.key for layout in RESULT_LAYOUTS if f"{layout.key.upper()}.row(" not in source}
    assert unmade == set()


@pytest.mark.parametrize(
    ("value", "expected"),
    [
        (Fraction(20, 3), "20/3"),
        (Fraction(1, 8), "0.125"),
        (Fraction(85), "85"),
        (Decimal("38.60"), "38.60"),
        (Decimal("1E+2"), "100"),
        (5, 5),
        (None, None),
        ("leek", "leek"),
        (date(2031, 5, 9), "2031-05-09"),
        (datetime(2031, 5, 10, 14, 5, tzinfo=UTC), "2031-05-10T14:05:00+00:00"),
        (timedelta(hours=2, minutes=15), "PT2H15M"),
        (timedelta(seconds=90), "PT1M30S"),
        (timedelta(0), "PT0M"),
    ],
    ids=str,
)
def test_plain__exact_numbers_are_strings(value: object, expected: object) -> None:
    """A terminating decimal as such, otherwise a fraction; instants and spans by ISO 8601."""
    assert plain(value) == expected  # type: ignore[arg-type]


def test_duration__days_are_hours() -> None:
    assert duration(timedelta(days=2, minutes=1)) == "PT48H1M"


@pytest.fixture(scope="module")
def tart() -> Estimate:
    return estimate(tart_shoot())


@pytest.mark.parametrize("layout", RESULT_LAYOUTS, ids=lambda layout: layout.title)
def test_frame__columns_are_the_keys_even_without_rows(tart: Estimate, layout: Layout) -> None:
    found = frame(tart.tables()[layout.key])
    assert list(found.columns) == [column.key for column in layout.columns]
    assert list(frame(layout.table([])).columns) == list(found.columns)
    assert len(found) == len(tart.tables()[layout.key].rows)


def test_frame__numbers_stay_exact(tart: Estimate) -> None:
    leek = tart.needs.set_index("ingredient").loc["leek"]
    assert leek["as_bought_need"] == Fraction(20000, 9)
    assert type(leek["as_bought_need"]) is Fraction
    assert type(leek["bought_value"]) is Decimal
    assert tart.to_buy["got_it"].isna().all()


def test_json__is_plain_and_carries_the_totals(tart: Estimate) -> None:
    """38.64 bought, 31.34 used, 3.35 of it from on hand, 10.65 left; nothing is missing."""
    told = json.loads(json.dumps(tart.as_json()))
    assert told["totals"] == {
        "bought": "38.64",
        "used": "31.34",
        "left": "10.65",
        "tax": "0.00",
        "on_hand_used": "3.35",
        "visits": "0.00",
        "paid": "38.64",
        "budget": None,
        "bought_complete": True,
        "used_complete": True,
        "left_complete": True,
        "missing": [],
        "chance_of_running_out": "0",
        "chance_is": "of your own Most",
        "episodes": {
            "Tart": {
                "title": "",
                "used": "31.34",
                "share_of_bought": "38.64",
                "share_of_visits": "0.00",
            }
        },
    }
    needed = {row["ingredient"]: row["as_bought_need"] for row in told["needs"]}
    assert needed["leek"] == "20000/9"
    assert needed["garlic"] == "25"
    assert told["needs"][0]["trim_yield"] == "100"
    assert {"to_buy", "needs", "food_cost", "holding_times", "assumptions", "findings"} < set(told)
    assert told["cautions"] == list(tart.cautions)


def test_json__says_what_a_total_leaves_out() -> None:
    """A missing price is in bought and used; the rest of the books stands."""
    shoot = shoot_of(line("soup", "leek", "100 g"), pack("leek", "1 kg", None), Shot(dish="soup"))
    totals = estimate(shoot).as_json()["totals"]
    assert (totals["bought_complete"], totals["used_complete"]) == (False, False)
    assert totals["left_complete"] is False
    assert totals["missing"] == ["the price of 1 x 1 kg of leek"]


def test_findings_table__one_row_with_place_and_remedy(tart: Estimate) -> None:
    told = findings_table([one for one in tart.findings if one.code == "lot past its date"])
    assert dict(told.rows[0]) == {
        "grade": "warning",
        "code": "lot past its date",
        "sheet": "On hand",
        "cell": "",
        "row": "egg",
        "column": "Use by",
        "found": '2 each of egg, whose last day is 2031-05-08, before the shoot of "Tart"',
        "expected": "a last day on or after the day of use",
        "what_to_do": "For that it does not count and is bought again; mend the date if it is "
        "wrong.",
    }
    assert len(rows(told)) == 2


def test_csv__text_like_a_formula_stays_text() -> None:
    """A name that begins like a formula must not be run by the program that opens the file."""
    found = estimate(
        shoot_of(
            line("soup", "=1+1", "100 g"),
            sound("=1+1", substitute="@leek"),
            pack("=1+1", "1 kg", "1", shop="-stall"),
            Shot(dish="soup"),
        )
    )
    text = csv_text(found.tables()["to_buy"])
    cells = text.replace("\r", "").split("\n")[1].split(",")
    assert not [cell for cell in cells if cell.strip('"')[:1] in ("=", "@", "-", "+")]
    assert "=1+1" in text
