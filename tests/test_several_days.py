"""A job of three shoot days in a workbook, from its cells to its errands, worked by hand.

A recipe test on 2 May, and two days in a row, 15 and 16 May; shopping on 1, 12 and 14 May.

* cod, 300 g for the test and for the chowder, keeps two days: a pack for each, 6.40 each, ordered
  two days before.
* broth, a litre for 2.00, keeps three days once it is open: one for the test's 200 ml; one opened
  on the 15th for 300 ml, of which the 16th takes 500 ml more.
* the frozen bird thaws four days: 12 May, for the 16th.
* onions keep: a kilogram for 1.20 serves all three, 200 g each.

Bought 2 x 6.40 + 2 x 2.00 + 24.00 + 1.20 = 42.00. The test has 6.40 + 2.00 + 0.40 = 8.80; the
chowder 6.40 + 3/8 of 2.00 + 0.40 = 7.55; the roast 24.00 + 5/8 of 2.00 + 0.40 = 25.65.
"""

from __future__ import annotations

from datetime import date, datetime
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner
from openpyxl import load_workbook
from small import line, may, pack, shoot_of, sound

import costing
from costing.cli import main
from costing.kitchen import Dish
from costing.report.estimates import Estimate
from costing.shoot import Episode, Purpose, Shoot, Shot


def job() -> Shoot:
    """The job, as it is in the workbook."""
    return shoot_of(
        line("chowder", "cod", "300 g"),
        line("chowder", "broth", "300 ml"),
        line("chowder", "onion", "200 g"),
        line("trial chowder", "cod", "300 g"),
        line("trial chowder", "broth", "200 ml"),
        line("trial chowder", "onion", "200 g"),
        line("roast", "turkey", "12 lb"),
        line("roast", "gravy", "600 ml"),
        line("roast", "onion", "200 g"),
        line("gravy", "broth", "500 ml"),
        Dish(name="gravy", makes="600 ml"),
        sound("cod", keeps_days=2),
        sound("broth", keeps_days=3),
        sound("onion", keeps_days=30),
        sound("turkey", keeps_days=2),
        pack("cod", "300 g", "6.40", shop="Fish van", order_days=2),
        pack("broth", "1 l", "2", shop="Market", state="shelf"),
        pack("onion", "1 kg", "1.20", shop="Market"),
        pack("turkey", "12 lb", "24", shop="Ice house", state="frozen", thaw_days=4),
        Episode(name="Recipe test", shoot_date=may(2), budget=6),
        Episode(name="Chowder", shoot_date=may(15), call_time="9:30"),
        Episode(name="Roast", shoot_date=may(16), call_time="10:00"),
        Shot(name="T1", episode="Recipe test", dish="trial chowder", purpose=Purpose.TEST),
        Shot(name="C1", episode="Chowder", dish="chowder"),
        Shot(name="R1", episode="Roast", dish="roast"),
        title="Harbour week",
        currency="EUR",
        time_zone="Europe/Lisbon",
        budget=40,
        shopping_date=may(1),
        more_shopping_dates=(may(12), may(14)),
    )


@pytest.fixture(scope="module")
def path(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The workbook with its results."""
    file = tmp_path_factory.mktemp("days") / "harbour.xlsx"
    costing.write_workbook(file, job())
    assert CliRunner().invoke(main, ["estimate", str(file)]).exit_code == 0
    return file


@pytest.fixture(scope="module")
def found(path: Path) -> Estimate:
    """What is worked out of the workbook."""
    return costing.estimate(costing.read_workbook(path)[0])


def cells(path: Path, sheet: str, first: str) -> list[tuple[Any, ...]]:
    """The rows of a result sheet below the heading that begins so, dates as dates."""
    rows = list(load_workbook(path, data_only=True)[sheet].iter_rows(values_only=True))
    start = next(n for n, row in enumerate(rows) if first in row)
    width = sum(cell is not None for cell in rows[start])
    return [
        tuple(cell.date() if isinstance(cell, datetime) else cell for cell in row[:width])
        for row in rows[start + 1 :]
        if any(cell is not None for cell in row)
    ]


def test_errands__stand_in_the_workbook(path: Path) -> None:
    every = "Recipe test; Chowder; Roast"
    assert cells(path, "Errands", "Errand") == [
        (date(2031, 4, 29), "order", "Fish van", "cod 300 g", "Recipe test", "for Thu 1 May 2031"),
        (may(1), "fetch", "Fish van", "cod 300 g", "Recipe test", "6.40 EUR"),
        (may(1), "fetch", "Market", "broth 1 l; onion 1 kg", every, "3.20 EUR"),
        (may(12), "order", "Fish van", "cod 300 g", "Chowder", "for Wed 14 May 2031"),
        (may(12), "fetch", "Ice house", "turkey 12 lb", "Roast", "24.00 EUR"),
        (
            *(may(12), "thaw", None, "turkey 12 lb", "Roast"),
            "into the refrigerator until Fri 16 May 2031",
        ),
        (may(14), "fetch", "Fish van", "cod 300 g", "Chowder", "6.40 EUR"),
        (may(14), "fetch", "Market", "broth 1 l", "Chowder; Roast", "2.00 EUR"),
        (may(16), "make", None, "gravy 600 ml (1 batch)", "Roast", "ready by 10:00"),
    ]


def test_to_buy__each_row_has_its_trip(found: Estimate) -> None:
    rows, of_all = found.tables()["to_buy"].rows, "needed and left over are of all its trips"
    assert [(row["trip"], row["ingredient"], row["cost"], row["note"]) for row in rows] == [
        (may(1), "cod", Decimal("6.40"), of_all),
        (may(1), "broth", Decimal("2.00"), of_all),
        (
            *(may(1), "onion", Decimal("1.20")),
            '"Chowder" needs 200 g of what "Recipe test" leaves; '
            '"Roast" needs 200 g of what "Recipe test" leaves',
        ),
        (may(12), "turkey", Decimal("24.00"), ""),
        (may(14), "cod", Decimal("6.40"), of_all),
        (
            may(14),
            "broth",
            Decimal("2.00"),
            f'{of_all}; "Roast" needs 500 ml of what "Chowder" leaves',
        ),
    ]


def test_prep__the_second_day_knows_what_the_first_leaves(found: Estimate) -> None:
    """The onions of the test; the broth goes into gravy, which is no line of the roast's Prep."""
    notes = [
        (row["episode"], row["ingredient"], row["note"])
        for row in found.tables()["prep"].rows
        if "left of" in str(row["note"])
    ]
    told = '200 g of it left of "Recipe test"'
    assert [(episode, name, str(note).split("; ")[0]) for episode, name, note in notes] == [
        ("Chowder", "onion", told),
        ("Roast", "onion", told),
    ]


def test_food_cost__each_day_has_its_own_purse_and_the_job_one_over_all(found: Estimate) -> None:
    """8.80 is 2.80 over 6; 42.00 is 2.00 over 40."""
    rows = found.tables()["food_cost"].rows
    assert found.totals.bought == 42
    assert [(row["episode"], row["dish"], row["share_of_bought"], row["over"]) for row in rows] == [
        ("Recipe test", None, Decimal("8.80"), Decimal("2.80")),
        ("Recipe test", "trial chowder", Decimal("8.80"), None),
        ("Chowder", "chowder", Decimal("7.55"), None),
        ("Roast", "roast", Decimal("25.65"), None),
        ("Whole job", None, Decimal("42.00"), Decimal("2.00")),
    ]


PRINTED = """
Tue 29 Apr 2031
[ ] Order from Fish van: cod 300 g, for Thu 1 May 2031

Thu 1 May 2031
Fish van      Buy  Price each       Cost  Needed  Left over
[ ] cod     300 g    6.40 EUR   6.40 EUR   600 g        0 g
      needed and left over are of all its trips
Total: 6.40 EUR

Market        Buy  Price each       Cost  Needed  Left over
[ ] broth     1 l    2.00 EUR   2.00 EUR     1 l        1 l
      needed and left over are of all its trips
[ ] onion    1 kg    1.20 EUR   1.20 EUR   600 g      400 g
      "Chowder" needs 200 g of what "Recipe test" leaves
      "Roast" needs 200 g of what "Recipe test" leaves
Total: 3.20 EUR

Mon 12 May 2031
[ ] Order from Fish van: cod 300 g, for Wed 14 May 2031

Ice house     Buy  Price each       Cost  Needed  Left over
[ ] turkey  12 lb   24.00 EUR  24.00 EUR   12 lb       0 lb
Total: 24.00 EUR

[ ] Thaw: turkey 12 lb, into the refrigerator until Fri 16 May 2031

Wed 14 May 2031
Fish van      Buy  Price each       Cost  Needed  Left over
[ ] cod     300 g    6.40 EUR   6.40 EUR   600 g        0 g
      needed and left over are of all its trips
Total: 6.40 EUR

Market        Buy  Price each       Cost  Needed  Left over
[ ] broth     1 l    2.00 EUR   2.00 EUR     1 l        1 l
      needed and left over are of all its trips
      "Roast" needs 500 ml of what "Chowder" leaves
Total: 2.00 EUR

Fri 16 May 2031
[ ] Make: gravy 600 ml (1 batch), ready by 10:00

In all: 42.00 EUR

"""


def test_list__by_day_on_the_screen_and_in_csv(path: Path) -> None:
    """Day by day, shop by shop, with a line between them; what is not bought stands apart."""
    printed = CliRunner().invoke(main, ["list", str(path)]).output
    counted = f"2 warnings bearing on what is bought; all findings: costing check {path}\n"
    assert printed == PRINTED + counted
    file = path.with_name("list.csv")
    assert CliRunner().invoke(main, ["list", str(path), "--csv", str(file)]).exit_code == 0
    trips = [row.split(",")[2] for row in file.read_text("utf-8-sig").splitlines()[1:]]
    assert trips == sorted(trips)


def test_tick_and_note_of_a_trip__go_with_that_trip(path: Path, tmp_path: Path) -> None:
    """The cod of the test has gone from the list; that of the chowder is not ticked by it."""
    file = tmp_path / "harbour.xlsx"
    file.write_bytes(path.read_bytes())
    book = load_workbook(file)
    page, plan = book["To buy"], book["Shoot plan"]
    ticked = {"cod": "ask for the tail", "onion": "the small ones"}
    for row in page.iter_rows(max_col=5):
        name, trip = row[4].value, row[2].value
        if name in ticked and isinstance(trip, datetime) and trip.date() == may(1):
            row[0].value = "x"
            page[f"T{row[0].row}"] = ticked.pop(str(name))
    assert not ticked
    values = list(plan.iter_rows(values_only=True))
    plan.delete_rows(next(n for n, row in enumerate(values, 1) if "T1" in row))
    book.save(file)
    assert CliRunner().invoke(main, ["estimate", str(file)]).exit_code == 0
    rows = load_workbook(file)["To buy"].iter_rows(max_col=20, values_only=True)
    found = [(row[0], row[4], row[19]) for row in rows if row[4] in ("cod", "onion")]
    assert found == [
        (None, "cod", None),
        ("x", "onion", "the small ones"),  # fetched on another day
        ("x", "cod", "ask for the tail"),  # set aside below, with what it was
    ]
