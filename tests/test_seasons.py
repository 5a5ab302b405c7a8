"""A season of workbooks: every figure by hand, currencies apart, what is skipped, the charts."""

from __future__ import annotations

import zipfile
from datetime import date
from decimal import Decimal
from fractions import Fraction
from pathlib import Path
from typing import Any

import openpyxl
import pytest
from commands import typed
from openpyxl.utils import get_column_letter
from small import line, pack, paid, shoot_of, sound

import costing
from costing.kitchen import CountedLot
from costing.seasons import FIGURE_NAMES, episodes_of
from costing.shoot.episodes import Logged


def shoot(
    number: int, price: str | None, *more: Any, currency: str = "EUR", **episode: Any
) -> costing.Shoot:
    """A tart of 200 g of leek for its hero and once more for a retake, of 1 kg at a price."""
    return costing.Shoot(
        settings=costing.Settings(currency=currency),
        ingredients=[sound("leek")],
        lines=[line("tart", "leek", "200 g")],
        packs=[pack("leek", "1 kg", price)],
        episodes=[costing.Episode(name=f"E{number}", shoot_date=date(2031, 5, number), **episode)],
        shots=[
            costing.Shot(dish="tart", purpose="hero", taken=1),
            costing.Shot(dish="tart", purpose="retake", steps="1", taken=1),
        ],
        receipts=[one for one in more if isinstance(one, costing.ReceiptLine)],
        counted=[one for one in more if isinstance(one, CountedLot)],
    )


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Prices 2, 4 and 9 for the pack in euro, one unknown, one in yen, one file that is none."""
    folder = tmp_path_factory.mktemp("season")
    (folder / "late").mkdir()
    closed = (paid("leek", "4.50", packs=1), CountedLot(ingredient="leek", amount="500 g"))
    for name, one in {
        "late/third.xlsx": shoot(3, "9.00", portions=6),
        "first.xlsx": shoot(1, "2.00", portions=4, minutes=10),
        "second.xlsx": shoot(2, "4.00", *closed, portions=4, minutes=16),
        "open.xlsx": shoot(4, None),
        "yen.xlsx": shoot(5, "300", currency="JPY"),
    }.items():
        costing.write_workbook(folder / name, one)
    (folder / "broken.xlsx").write_text("no workbook", encoding="utf-8")
    return folder


@pytest.fixture(scope="module")
def found(folder: Path) -> Any:
    return costing.season(folder)


def test_season__episodes_in_their_order_with_their_cost(found: Any) -> None:
    """400 of 1000 g are used: 0.80, 1.60 and 3.60 of packs for 2, 4 and 9; 120 of 300 yen.

    Of the second a receipt says 4.50, and 500 g are left, so that 500 g were used for 2.25.
    """
    table = found.frame("season")
    assert list(table["workbook"]) == [
        *("first.xlsx", "second.xlsx", "late/third.xlsx", "open.xlsx", "yen.xlsx")
    ]
    assert list(table["currency"]) == ["EUR"] * 4 + ["JPY"]
    assert list(table["used_value"].dropna()) == [0.80, 1.60, 3.60, 120]
    assert list(table["paid"].dropna()) == [2, 4, 9, 300]
    assert table.loc[3, ["used_value", "paid"]].isna().all(), "not known, and not 0"
    assert list(table["actual"].dropna()) == [2.25]
    assert list(table["used_per_portion"].dropna()) == [0.20, 0.40, 0.60]
    assert list(table["paid_per_minute"].dropna()) == [0.20, 0.25]
    assert list(table["actual_per_minute"].dropna()) == [2.25 / 16]
    assert "leek" in table["leaves_out"][3]
    assert [str(one) for one in found.not_read] == ["broken.xlsx: a plain text file"]


def test_season__median_and_range_with_the_workbooks_behind_them(found: Any) -> None:
    """Of 0.80, 1.60, 3.60 the median is 1.60; of 0.20 and 0.25 it is 0.225, between the two.

    The episode without a price is in none; the one in yen is a figure of its own.
    """
    rows = {(row["currency"], row["figure"]): row for row in found.tables["figures"].rows}
    used = rows["EUR", "Used value"]
    assert (used["episodes"], used["least"], used["median"], used["most"]) == (
        *(3, Fraction("0.8"), Fraction("1.6"), Fraction("3.6")),
    )
    assert (used["least_in"], used["median_in"], used["most_in"]) == (
        *("E1 (first.xlsx)", "E2 (second.xlsx)", "E3 (late/third.xlsx)"),
    )
    minute = rows["EUR", "Paid per minute"]
    assert minute["median"] == Fraction("0.225")
    assert minute["median_in"] == "E1 (first.xlsx); E2 (second.xlsx)"
    assert rows["EUR", "Used value, hero"]["median"] == Fraction("0.8"), "half of 1.60"
    assert rows["JPY", "Used value"]["median"] == 120
    assert {name for _, name in rows} <= {
        *FIGURE_NAMES,
        *("Used value, hero", "Used value, retake"),
    }


def test_season__purposes_add_up_to_the_episode(found: Any) -> None:
    """Law: used value by purpose is the used value, in every episode."""
    table, purposes = found.frame("season"), found.frame("by_purpose")
    sums = purposes[["retake", "hero"]].sum(axis=1, min_count=1)
    assert list(sums) == pytest.approx(list(table["used_value"]), nan_ok=True)


def test_season__is_what_the_estimate_of_each_workbook_says(folder: Path, found: Any) -> None:
    """Law: one pass over the folder gives for each what `costing estimate` gives."""
    for one in found.episodes:
        estimate = costing.estimate(costing.read_workbook(folder / one.workbook)[0])
        totals = estimate.totals
        known = not totals.missing or totals.used
        assert (one.used, one.paid) == ((totals.used, totals.paid) if known else (None, None))


def test_episodes_of__one_that_takes_nothing_is_left_out() -> None:
    """A shoot of two episodes, one of them without a shot."""
    whole = shoot(1, "2.00")
    other = costing.Episode(name="other")
    both = whole.changed(episodes=(*whole.episodes, other))
    assert [one.name for one in episodes_of(both)] == ["E1"]


@pytest.mark.parametrize(
    ("told", "used"),
    [
        ((), None),
        ((paid("leek", "4.50", packs=1),), Decimal("1.80")),
        ((CountedLot(ingredient="leek", amount="500 g"),), Decimal("2.00")),
    ],
    ids=["nothing", "receipt", "count"],
)
def test_episodes_of__a_receipt_or_a_count_alone_says_what_was_used(
    told: tuple[Any, ...], used: Decimal | None
) -> None:
    """400 of 1000 g as planned for the 4.50 paid; 500 g that are not left for 4.00 as planned."""
    (found,) = episodes_of(shoot(1, "4.00", *told))
    assert found.actual == used


def test_season__prints_and_writes_charts(
    folder: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Rows over time, the figures, and a workbook with three charts over its sheets."""
    monkeypatch.chdir(tmp_path)
    done = typed("season", str(folder), "--output", "season.xlsx")
    assert done.exit_code == 0, done.output
    lines = [" ".join(one.split()) for one in done.output.splitlines()]
    assert "2031-05-02 1.60 EUR 2.25 EUR 4.00 EUR 0.56 EUR 0.14 EUR E2 (second.xlsx)" in lines, (
        done.output
    )
    assert "2031-05-04 - - - - - E4 (open.xlsx)" in lines, "nothing known of it is no 0"
    assert "Used value 3 1.60 EUR 0.80 EUR to 3.60 EUR" in lines
    assert "Not read: broken.xlsx: a plain text file" in lines
    assert lines[-1] == "Written: season.xlsx"
    assert "In no median and no range, as they leave something out: 1 of 5 episodes." in done.output
    book = openpyxl.load_workbook("season.xlsx")
    assert book.sheetnames == ["Charts", "Season", "By purpose", "Figures"]
    headings = [cell.value for cell in book["Season"][1]]
    assert book["Season"].cell(3, 1 + headings.index("Actual")).value == 2.25
    uncounted = {name: book["Season"].cell(5, 1 + at).value for at, name in enumerate(headings)}
    assert uncounted["Episode"] == "E4"
    blank = {"Actual", "Portions", "Minutes", "Used per portion", "Actual per minute"}
    assert {uncounted[name] for name in blank} == {None}, "what is not known: no zero and no word"
    assert book["Season"].cell(2, 1 + headings.index("Leaves out")).value is None
    lines_below = {cell.border.bottom.style for row in book["Season"].rows for cell in row}
    assert lines_below == {"thin"}, "a blank cell stands on the same line as the others"
    wrapped = {
        (sheet.title, str(heading.value))
        for sheet in book
        for heading, *below in sheet.columns
        if any(cell.alignment.wrap_text for cell in below)
    }
    assert wrapped == {
        *(("Season", name) for name in ("Leaves out", "Not in Actual")),
        *(("Figures", f"{which} in") for which in ("Median", "Least", "Most")),
    }, "columns of long texts, in lines below each other"
    with zipfile.ZipFile("season.xlsx") as package:
        charts = [name for name in package.namelist() if name.startswith("xl/charts/chart")]
        first = package.read("xl/charts/chart1.xml").decode()
    assert len(charts) == 3
    at = get_column_letter(1 + headings.index("Used value"))
    assert f"Season!${at}$2:${at}$5" in first, "the four episodes in euro, without the one in yen"
    assert typed("season", str(folder), "--output", "season.xlsx").exit_code == 2, (
        "never over a file"
    )


SCREEN = """\
Shot on          Used     Actual       Paid   Per portion   Per minute   Episode
_
2031-05-01   0.80 EUR          -   2.00 EUR      0.20 EUR     0.08 EUR   E1 (first.xlsx)
2031-05-02   1.60 EUR   2.25 EUR   4.00 EUR      0.56 EUR     0.14 EUR   E2 (second.xlsx)
2031-05-03   3.60 EUR          -   9.00 EUR      0.60 EUR            -   E3 (late/third.xlsx)
2031-05-04          -          -          -             -            -   E4 (open.xlsx)

Of an episode        Episodes     Median                  Range
_
Used value                  3   1.60 EUR   0.80 EUR to 3.60 EUR
Actual                      1   2.25 EUR               2.25 EUR
Paid                        3   4.00 EUR   2.00 EUR to 9.00 EUR
Used per portion            3   0.40 EUR   0.20 EUR to 0.60 EUR
Actual per portion          1   0.56 EUR               0.56 EUR
Paid per portion            3   1.00 EUR   0.50 EUR to 1.50 EUR
Used per minute             2   0.09 EUR   0.08 EUR to 0.10 EUR
Actual per minute           1   0.14 EUR               0.14 EUR
Paid per minute             2   0.23 EUR   0.20 EUR to 0.25 EUR
Used value, retake          3   0.80 EUR   0.40 EUR to 1.80 EUR
Used value, hero            3   0.80 EUR   0.40 EUR to 1.80 EUR

Shot on         Used   Actual      Paid   Per portion   Per minute   Episode
_
2031-05-05   120 JPY        -   300 JPY             -            -   E5 (yen.xlsx)

Of an episode        Episodes    Median     Range
_
Used value                  1   120 JPY   120 JPY
Paid                        1   300 JPY   300 JPY
Used value, retake          1    60 JPY    60 JPY
Used value, hero            1    60 JPY    60 JPY

Used and Paid are by the plan, Actual by receipts and counts. Per portion and per minute are of
  Actual where it is known, else of Used.
In no median and no range, as they leave something out: 1 of 5 episodes. What it is stands on the
  sheet Season of --output.
Not read: broken.xlsx: a plain text file
"""


def test_season__its_screen(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The figures of the tests above, money to the right; two halves of each used value.

    2.25/4 = 0.5625 and 2.25/16 = 0.1406; 1.60/16 = 0.10, and 0.09 is in the middle of it and 0.08.
    """
    monkeypatch.chdir(folder)
    said = typed("season").output.splitlines()
    assert ["_" if set(one) == {"─"} else one for one in said] == SCREEN.splitlines()


def test_season__of_one_episode_that_leaves_something_out(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Of two foods one has no price: 0.80 is the least it used, 2.00 the least paid for it, and it
    is in no figure.
    """
    half = shoot(1, "2.00").changed(
        lines=[line("tart", "leek", "200 g"), line("tart", "salt", "5 g")]
    )
    costing.write_workbook(tmp_path / "half.xlsx", half)
    monkeypatch.chdir(tmp_path)
    said = [" ".join(one.split()) for one in typed("season").output.splitlines()]
    assert said[2:] == [
        "2031-05-01 at least 0.80 EUR - at least 2.00 EUR - - E1",
        "(half.xlsx)",
        "",
        "Used and Paid are by the plan.",
        "In no median and no range, as they leave something out: 1 of 1 episode. What it is stands "
        "on the",
        "sheet Season of --output.",
    ]


@pytest.mark.parametrize("read", [True, False], ids=["beside another", "alone"])
def test_season__a_receipt_that_cannot_be_read_is_in_no_actual_and_is_told(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, *, read: bool
) -> None:
    """0.80 of the 2.00 paid for 1 kg is used, and what the other line says nobody knows."""
    closed = shoot(1, "2.00", paid("leek", "2.00", packs=1), portions=2)
    costing.write_workbook(tmp_path / "torn.xlsx", closed)
    book = openpyxl.load_workbook(tmp_path / "torn.xlsx")
    receipts = book["Receipts"]
    rows = list(receipts.values)
    headings = next(row for row in rows if row[0] == "Receipt")
    second = 3 + rows.index(headings)
    if not read:
        receipts.delete_rows(second - 1)
        second -= 1
    for heading, value in {"Receipt": "R2", "Ingredient": "chard", "Paid": "two fifty"}.items():
        receipts.cell(second, 1 + headings.index(heading)).value = value
    book.save(tmp_path / "torn.xlsx")
    found = costing.season(tmp_path)
    (row,) = found.tables["season"].rows
    line_lost = f'receipt line "chard" in row {second}'
    assert row["not_in_actual"] == line_lost
    assert row["actual"] == (Decimal("0.80") if read else None)
    figures = [str(one["figure"]) for one in found.tables["figures"].rows]
    assert [one for one in figures if one.startswith(("Actual", "Paid"))] == [
        *("Paid", "Paid per portion")
    ]
    monkeypatch.chdir(tmp_path)
    assert typed("season").output.endswith(
        f"Not in Actual of torn.xlsx, which is in no median: {line_lost}.\n"
    )


@pytest.mark.parametrize(
    ("packs", "lacks"), [("two", True), (None, True), (1, False)], ids=["unread", "blank", "whole"]
)
def test_season__what_a_receipt_does_not_say_is_not_the_list_in_a_median(
    packs: Any, lacks: bool, tmp_path: Path
) -> None:
    """The list stands in for the packs of a line that says none: such an Actual is not whole."""
    costing.write_workbook(
        tmp_path / "torn.xlsx", shoot(1, "2.00", paid("leek", "2.00", packs=1), portions=2)
    )
    book = openpyxl.load_workbook(tmp_path / "torn.xlsx")
    receipts = book["Receipts"]
    rows = list(receipts.values)
    at = next(number for number, row in enumerate(rows, 1) if row[0] == "Receipt")
    receipts.cell(at + 1, 1 + rows[at - 1].index("Packs")).value = packs
    book.save(tmp_path / "torn.xlsx")
    found = costing.season(tmp_path)
    (row,) = found.tables["season"].rows
    assert row["not_in_actual"] == ("how much leek was bought" if lacks else "")
    figures = [str(one["figure"]) for one in found.tables["figures"].rows]
    assert ("Actual" in figures) is not lacks


def test_season__nothing_to_show(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """An empty folder: 1, and it is said, where one is or by its name."""
    done = typed("season", str(tmp_path))
    assert done.exit_code == 1
    assert done.output.startswith("No episode to show: 0 workbooks were read in")
    monkeypatch.chdir(tmp_path)
    assert typed("season").output == "No episode to show: 0 workbooks were read in this folder.\n"


def test_season__of_one_workbook_that_takes_nothing(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Its one shot is of a dish that has no recipe."""
    tea = costing.Shoot(lines=[line("tea", "mint", "5 g")], shots=[costing.Shot(dish="cake")])
    costing.write_workbook(tmp_path / "tea.xlsx", tea)
    monkeypatch.chdir(tmp_path)
    said = typed("season").output
    assert said == "No episode to show: 1 workbook was read in this folder.\n"


def two_days(*more: Any, price: str | None = "5", **of_the_pack: Any) -> dict[str, Any]:
    """Three breads of 1 g of flour on one day and one on another; what each day used in the end."""
    days = [costing.Episode(name=name) for name in ("A", "B")]
    shots = [
        costing.Shot(dish="bread", episode=name, times=n, taken=n)
        for name, n in (("A", 3), ("B", 1))
    ]
    whole = shoot_of(
        *(sound("flour"), line("bread", "flour", "1 g"), *days, *shots),
        *(pack("flour", "100 g", price, shop="Mill", **of_the_pack), *more),
        currency="EUR",
    )
    return {one.name: one.actual for one in episodes_of(whole)}


FLOUR = paid("flour", "5", shop="Mill", packs=1)
SAFFRON = paid("saffron", "9", shop="Mill", packs=1)


@pytest.mark.parametrize(
    ("told", "used"),
    [
        ((FLOUR,), {"A": Decimal("0.15"), "B": Decimal("0.05")}),
        ((FLOUR, SAFFRON), {"A": Decimal("6.90"), "B": Decimal("2.30")}),
        (
            (FLOUR, SAFFRON, line("bread", "dill", "1 g"), pack("dill", "1 kg", None)),
            {"A": None, "B": None},
        ),
    ],
    ids=["as planned", "besides", "unknown"],
)
def test_episodes_of__what_no_episode_planned_is_shared_over_them(
    told: tuple[Any, ...], used: dict[str, Any]
) -> None:
    """Three and one of 100 g for 5.00: 0.15 and 0.05. The saffron, 9.00, is shared as these are,
    6.75 and 2.25, so that both days have all of the 9.20 that was used. No price: nobody knows.
    """
    assert two_days(*told) == used


def test_episodes_of__what_no_episode_planned_is_shared_evenly_where_nothing_else_cost() -> None:
    assert two_days(SAFFRON, price=None, supplied=True) == {
        "A": Decimal("4.50"),
        "B": Decimal("4.50"),
    }


def test_episodes_of__what_was_used_as_planned_shows_the_same_to_the_coin() -> None:
    """Three times 1 g and once, of 100 g for 0.50: 0.015 and 0.005, together 0.02.

    Each rounded by itself would be 0.02 and 0.01, more than there was.
    """
    coins = two_days(paid("flour", "0.50", shop="Mill", packs=1), price="0.50")
    assert sum(coins.values()) == Decimal("0.02")


LOGGED = Logged(what="leek", event="counted", amount="500 g", when="2031-05-01 18:00")


@pytest.mark.parametrize(
    ("taken", "used"),
    [((1, 1), Decimal("2.00")), ((1, None), None)],
    ids=["all told", "in the middle of the day"],
)
def test_episodes_of__a_count_of_the_log_closes_once_every_shot_is_told(
    taken: tuple[int | None, ...], used: Decimal | None
) -> None:
    """The 500 g of 1000 that are not left, for 4.00; with a shot still to come nothing is over."""
    whole = shoot(1, "4.00")
    plan = [
        one.model_copy(update={"taken": times})
        for one, times in zip(whole.shots, taken, strict=True)
    ]
    (found,) = episodes_of(whole.changed(shots=plan, day_log=[LOGGED]))
    assert found.actual == used


def test_season__without_a_currency_stands_first_and_without_a_date_last(tmp_path: Path) -> None:
    """By currency and date, then by the name of the workbook."""
    undated = shoot(1, "2.00").changed(episodes=[costing.Episode(name="E1")])
    for name, one in {
        "a.xlsx": undated,
        "b.xlsx": shoot(2, "2.00"),
        "c.xlsx": shoot(1, "2.00"),
        "d.xlsx": shoot(1, "2.00"),
        "e.xlsx": shoot(3, "2.00").changed(settings=costing.Settings()),
    }.items():
        costing.write_workbook(tmp_path / name, one)
    books = [one.workbook for one in costing.season(tmp_path).episodes]
    assert books == ["e.xlsx", "c.xlsx", "d.xlsx", "b.xlsx", "a.xlsx"]
