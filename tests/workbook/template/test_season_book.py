"""The workbook about a season: what its charts are drawn of, and how they and the sheets look."""

from __future__ import annotations

import io
import zipfile
from collections import Counter
from datetime import date, datetime
from decimal import Decimal
from fractions import Fraction
from itertools import pairwise
from xml.etree.ElementTree import Element

import openpyxl
import pytest
from packages import tree_of

from costing.seasons import PastEpisode, Season
from costing.shoot import Purpose
from costing.workbook.template.season_book import season_bytes

C = "{http://schemas.openxmlformats.org/drawingml/2006/chart}"
A = "{http://schemas.openxmlformats.org/drawingml/2006/main}"
EMU = 914_400 // 96
"""English metric units of a pixel: 914,400 to the inch (ISO/IEC 29500-1, 20.1.10.16)."""
XDR = "{http://schemas.openxmlformats.org/drawingml/2006/spreadsheetDrawing}"


def episode(name: str, day: int | None, currency: str | None, used: str | None) -> PastEpisode:
    """An episode of four portions and a minute and a half, 4 paid for it, with every purpose."""
    return PastEpisode(
        workbook=f"{name}.xlsx",
        name=name,
        day=date(2031, 5, day) if day else None,
        currency=currency,
        used=Decimal(used) if used else None,
        actual=None,
        paid=Decimal(4),
        by_purpose={str(purpose): Decimal(1) for purpose in Purpose},
        portions=Fraction(4),
        minutes=Fraction(3, 2),
        left_out=("the price of dill",),
    )


ONE_IN_YEN = episode("noodles", 1, "JPY", "300")
IN_EURO = (episode("tart", 2, "EUR", "1.5"), episode("soup", 3, "EUR", "2"))
UNDATED = episode("pie", None, "EUR", None)


def parts(*episodes: PastEpisode) -> dict[str, bytes]:
    data = season_bytes(Season(episodes, len(episodes)).tables)
    with zipfile.ZipFile(io.BytesIO(data)) as package:
        return {name: package.read(name) for name in package.namelist()}


@pytest.fixture(scope="module")
def charts() -> list[Element]:
    found = parts(ONE_IN_YEN, *IN_EURO, UNDATED)
    return [tree_of(found[f"xl/charts/chart{n}.xml"]) for n in (1, 2, 3)]


def said(chart: Element, path: str) -> list[str]:
    """The texts below this path of elements of a chart."""
    spelled = "/".join(f"{C}{name}" for name in path.split("/"))
    return [one.text or "" for one in chart.iterfind(f".//{spelled}")]


def test_charts__are_of_the_episodes_in_the_currency_of_most(charts: list[Element]) -> None:
    """Row 1 holds the headings, row 2 the episode in yen, rows 3 to 5 the three in euro."""
    lines = [(said(chart, "tx/strRef/f"), said(chart, "val/numRef/f")) for chart in charts[:2]]
    assert lines == [
        (
            ["Season!$E$1", "Season!$F$1", "Season!$G$1"],
            ["Season!$E$3:$E$5", "Season!$F$3:$F$5", "Season!$G$3:$G$5"],
        ),
        (["Season!$J$1", "Season!$K$1"], ["Season!$J$3:$J$5", "Season!$K$3:$K$5"]),
    ]
    assert {place for chart in charts[:2] for place in said(chart, "cat/numRef/f")} == {
        "Season!$A$3:$B$5"
    }
    bars = said(charts[2], "val/numRef/f")
    assert bars[0] == "'By purpose'!$E$3:$E$5"
    assert len(bars) == len(set(Purpose)), "none of the purposes is left out"
    assert set(said(charts[2], "cat/numRef/f")) == {"'By purpose'!$A$3:$B$5"}


@pytest.mark.parametrize(
    ("episodes", "words"),
    [
        ((ONE_IN_YEN, *IN_EURO), "Episodes in EUR, by date; all rows are on the sheets behind."),
        ((episode("a", 1, None, "2"),), "Episodes, by date; all rows are on the sheets behind."),
        ((), "No episode to show."),
    ],
    ids=["most in euro", "no currency", "none"],
)
def test_front__says_which_episodes_are_drawn(
    episodes: tuple[PastEpisode, ...], words: str
) -> None:
    data = season_bytes(Season(episodes, len(episodes)).tables)
    page = openpyxl.load_workbook(io.BytesIO(data))["Charts"]
    assert [cell.value for row in page.iter_rows() for cell in row] == [words]


def test_charts__start_at_nothing_and_are_told_apart_without_colours(
    charts: list[Element],
) -> None:
    """A cost drawn from above 0 on would look a multiple of another; printed, all ink is grey."""
    for chart in charts:
        assert [one.get("val") for one in chart.iter(f"{C}min")] == ["0"]
        assert list(chart.iter(f"{C}majorGridlines"))
        inks = [one.get("val") for ser in chart.iter(f"{C}ser") for one in ser.iter(f"{A}srgbClr")]
        assert len(set(inks) - {"FFFFFF"}) == 1
        assert not list(chart.iter(f"{C}overlay")), "the title stands above the lines, not on them"
        axis = chart.find(f".//{C}catAx")
        assert axis is not None, "days stand side by side, however far apart"
        guessed = [one.get("val") for one in axis.iter(f"{C}auto")]
        assert "1" not in guessed, "no program makes a scale of time of it by its own guess"
        form = axis.find(f"{C}numFmt")
        assert form is not None
        assert form.get("formatCode") == "yyyy-mm-dd"
    for chart in charts[:2]:
        marks = [one.get("val") for one in chart.iter(f"{C}symbol")]
        assert len(set(marks)) == len(marks)
        dashes = [one.get("val") for one in chart.iter(f"{A}prstDash")]
        assert dashes == ["solid", *["dash"] * (len(marks) - 1)]
    patterns = Counter(one.get("prst") for one in charts[2].iter(f"{A}pattFill"))
    assert len(patterns) == len(list(charts[2].iter(f"{C}ser")))


@pytest.mark.watched("how high charts are and how far apart is taste, and only a change is told")
def test_charts__stand_below_each_other_and_say_what_they_show() -> None:
    """In rows of 20 pixels, from the second on; each begins a little below the one before it."""
    found = parts(*IN_EURO)
    drawn = tree_of(found["xl/drawings/drawing1.xml"])

    def down(anchor: Element, end: str) -> int:
        place = anchor.find(f"{XDR}{end}")
        assert place is not None
        row, more = (int(place.findtext(f"{XDR}{what}", "")) for what in ("row", "rowOff"))
        return 20 * row + more // EMU

    spans = [(down(anchor, "from"), down(anchor, "to")) for anchor in drawn]
    assert spans[0][0] == 20
    assert {bottom - top for top, bottom in spans} == {340}
    assert {after[0] - before[1] for before, after in pairwise(spans)} == {18}
    titles = [next(tree_of(found[f"xl/charts/chart{n}.xml"]).itertext()) for n in (1, 2, 3)]
    named = [one.get("descr") for one in drawn.iter(f"{XDR}cNvPr")]
    assert (
        named
        == titles
        == [
            "Cost of each episode",
            "Cost per portion and per minute",
            "Used value by purpose",
        ]
    )


@pytest.mark.watched("how large letters and lines are is taste, and only a change is told")
def test_charts__letters_and_lines(charts: list[Element]) -> None:
    """In hundredths of points; lines in 12,700 to the point."""
    for chart in charts:
        letters = Counter(one.get("sz") for one in chart.iter(f"{A}defRPr"))
        assert letters == {"1200": 1, "1000": 2}
        assert {one.get("b") for one in chart.iter(f"{A}defRPr")} == {"0"}
        assert [one.get("val") for one in chart.iter(f"{C}legendPos")] == ["b"]
    widths = {one.get("w") for chart in charts for one in chart.iter(f"{A}ln")} - {None}
    assert widths == {"15875", "3175"}
    assert {one.get("val") for chart in charts for one in chart.iter(f"{C}size")} == {"6"}


def test_sheets__headings_stay_in_view_and_each_value_has_the_format_of_its_kind() -> None:
    data = season_bytes(Season((*IN_EURO, UNDATED), 3).tables)
    book = openpyxl.load_workbook(io.BytesIO(data))
    for page in book.worksheets[1:]:
        assert page.freeze_panes == "A2"
        assert page.sheet_view.showGridLines is False
        assert {cell.font.b for cell in page[1]} == {True}
        assert {cell.font.u for cell in page[1]} == {None}
    assert book["Charts"].sheet_view.showGridLines is False
    assert book["Charts"].freeze_panes is None
    season = book["Season"]
    headings = [cell.value for cell in season[1]]
    shown = dict(zip(headings, season[2], strict=True))
    assert {name: shown[name].number_format for name in ("Shoot date", "Episode", "Paid")} == {
        "Shoot date": "yyyy-mm-dd",
        "Episode": "General",
        "Paid": "#,##0.00",
    }
    assert shown["Shoot date"].value == datetime(2031, 5, 2)
    assert (shown["Used per minute"].value, shown["Used per minute"].number_format) == (
        1,
        "#,##0.00##",
    )
    assert shown["Minutes"].value == 1.5
    assert (season["A4"].value, season["E4"].value) == (None, None), "unknown: blank, and not 0"
