"""The rows behind the charts of Summary, and which of them are hidden.

Places are worked by hand from the panels' own sizes, the first row of a panel being 0.
"""

from __future__ import annotations

from datetime import timedelta
from decimal import Decimal
from fractions import Fraction

import pytest
from small import books, line, pack, sound

from costing.buying.caution import CHANCES_TRIED, MOST_LEVELS, Caution, Point
from costing.buying.sharing import CostShare
from costing.shoot import Shot
from costing.workbook.package.cellxml import NewCell
from costing.workbook.results.look import CHART_DATA, Look
from costing.workbook.results.panels import (
    ALL_OTHERS,
    HEIGHT,
    POINTS,
    PURPOSES,
    MoneyBar,
    Panel,
    Panels,
    caution_panel,
    money_panel,
    planned_point,
    times_out_panel,
    used_by_purpose,
)
from costing.workbook.results.times_out import CONTAINERS, TimeBars, TimeOut

LOOK = Look("EUR")
MONEY = [MoneyBar("Bought"), MoneyBar("Used"), MoneyBar("Left")]


def euros(value: str) -> NewCell:
    return LOOK.money(Decimal(value), None, CHART_DATA)


def texts(panel: Panel) -> list[str]:
    """What stands in the first column of the rows that are seen and hold something."""
    return [
        str(row[0].value)
        for number, row in enumerate(panel.rows)
        if row and row[0] is not None and number not in panel.hidden
    ]


def seen(panel: Panel) -> int:
    return len(panel.rows) - len(panel.hidden)


def shrunk(panel: Panel) -> dict[int, float]:
    """Heights of the rows that are seen."""
    return {n: panel.heights[n] for n in range(len(panel.rows)) if n not in panel.hidden}


def times(number: int, left_out: str = "") -> Panel:
    one = TimeOut("bowl: discard (US-HOME-2H)", timedelta(hours=3), timedelta(hours=2))
    return times_out_panel(TimeBars((one,) * number, left_out=left_out), LOOK)


@pytest.mark.parametrize("number", range(PURPOSES + 1))
def test_money_panel__only_bars_that_hold_something_and_always_as_many_rows(number: int) -> None:
    """16 rows: two headings, 6 + 3 bars and 5 of room; a row of bars is never hidden whole."""
    bars = [MoneyBar(f"purpose {n}", euros("1")) for n in range(number)]
    panel = money_panel(bars, MONEY)
    assert seen(panel) == 16
    names = [f"purpose {n}" for n in range(number)] or [""]
    assert texts(panel) == [
        *("Used value by purpose", *names),
        *("Bought, used and left", "Bought", "Used", "Left"),
    ]
    assert 0 not in panel.hidden
    assert len(panel.rows) - 1 not in panel.hidden
    assert [row[0].value for row in panel.rows[8:11] if row[0]] == ["Bought", "Used", "Left"]


def test_used_by_purpose__the_smallest_are_taken_together() -> None:
    """Eight purposes of 1 to 8: five are kept, 3 + 2 + 1 = 6 are all others."""
    shares = [
        CostShare("one", "soup", f"purpose {n}", used=Decimal(n), bought=Decimal(0))
        for n in range(1, 9)
    ]
    bars = used_by_purpose(shares, "used", "purposes", LOOK)
    assert [(bar.name, bar.cell.value) for bar in bars if bar.cell] == [
        *((f"purpose {n}", Decimal(n)) for n in (8, 7, 6, 5, 4)),
        (ALL_OTHERS, Decimal(6)),
    ]
    assert bars[0].cell is not None
    assert bars[0].cell.formula == 'SUMIF(purposes,"purpose 8",used)'


@pytest.mark.parametrize("number", [1, 2, CONTAINERS])
def test_times_out_panel__a_row_for_each_container(number: int) -> None:
    """Besides the bars: a line of text, the headings, and three rows of room."""
    panel = times(number)
    assert seen(panel) == 1 + 1 + number + 3
    bars = [row for row in panel.rows if row and row[0] and ":" in str(row[0].value)][-number:]
    for row in bars:
        values = [cell.value for cell in row if cell]
        assert values == ["bowl: discard (US-HOME-2H)", Fraction(1, 8), Fraction(1, 12)]


def test_times_out_panel__the_line_of_what_is_left_out_is_seen_when_it_says_something() -> None:
    assert 1 in times(2).hidden
    assert 1 not in times(2, "Without bars: 1 container.").hidden
    assert "Without bars: 1 container." in texts(times(2, "Without bars: 1 container."))


def test_times_out_panel__shrinks_to_one_row_of_cells_without_a_log() -> None:
    panel = times(0, "Without bars: 1 container.")
    assert shrunk(panel) == {2: 0.75, 3: 0.75}


def test_times_out_panel__a_limit_left_out_is_a_blank_cell() -> None:
    panel = times_out_panel(TimeBars((TimeOut("bowl", timedelta(hours=3), None),)), LOOK)
    assert [cell.value for cell in panel.rows[3] if cell] == ["bowl", Fraction(1, 8), None]


def uncertain() -> Caution:
    """One to four takes of 100 g, two likeliest, of packs of 100 g at 1.00."""
    shot = Shot(dish="soup", name="P1", fewest=1, times=2, most=4)
    soup = line("soup", "leek", "100 g")
    found = books(soup, sound("leek"), pack("leek", "100 g", "1"), shot, currency="EUR")
    assert found.caution is not None
    return found.caution


def test_caution_panel__the_planned_point_first_then_every_efficient_one() -> None:
    """Three takes are covered at 5 %; four cost 4.00, two 2.00 with a chance of 33.03 %."""
    panel = caution_panel(uncertain(), LOOK)
    values = [[cell.value for cell in row if cell] for row in panel.rows]
    title = "Bought value against the chance of running out (%), of your own Most"
    assert values[:7] == [
        [],
        [title],
        ["the least for this chance", "Chance of running out %", "Bought value"],
        ["planned", Fraction("4.39"), Decimal("3.00")],
        ["", Fraction(0), Decimal("4.00")],
        ["", Fraction("4.39"), Decimal("3.00")],
        ["", Fraction("33.03"), Decimal("2.00")],
    ]
    assert all(row[1:] == [None, None] for row in values[7:])
    assert not panel.hidden
    assert [panel.heights[n] for n in range(2)] == [9, 15]
    assert {panel.heights[n] for n in range(2, 21)} == {12}


def test_caution_panel__shrinks_when_no_number_of_times_is_uncertain() -> None:
    """Its points lie at a chance of -1 %, left of the chart, and their numbers show nothing."""
    certain = books(line("soup", "leek", "100 g"), sound("leek"), pack("leek", "100 g", "1"))
    for caution in (None, certain.caution):
        panel = caution_panel(caution, LOOK)
        assert shrunk(panel) == {3: 0.75, 4: 0.75}
        held = [[cell.value for cell in row if cell] for row in panel.rows[4:]]
        assert held == [["", -1, 0]] * POINTS
        formats = {cell.style.number_format for row in panel.rows[4:] for cell in row[1:] if cell}
        assert formats == {";;;"}


def test_planned_point__is_the_cheapest_within_the_chance_of_the_basket() -> None:
    points = [Point(Fraction(n, 100), Decimal(90 - n)) for n in (0, 4, 33)]
    assert planned_point(points, uncertain()) == points[1]
    assert planned_point(points, None) is None
    assert planned_point([], uncertain()) is None


def test_points__all_that_are_ever_tried_have_a_row() -> None:
    """Up to 16 chances, or those of the list, and the one of the basket that is bought."""
    assert max(MOST_LEVELS, len(CHANCES_TRIED)) + 1 == POINTS == 17


def test_panels__stand_below_each_other_whatever_they_show() -> None:
    """22 rows of money, 18 of times out, 21 of caution, from row 6 on."""
    for number, caution in ((0, None), (2, uncertain()), (12, None)):
        money = money_panel([], MONEY)
        panels = Panels(6, money, times(number), caution_panel(caution, LOOK))
        assert len(panels.rows) == HEIGHT == 61
        assert panels.charted == [(6, 27), (30, 45), (48, 66)]
        lower = {46, 47, 48, *range(51, 67)}
        assert {at for at in panels.hidden if at > 45} == (set() if caution else lower)
        assert (set(range(28, 46)) - {30, 31} <= panels.hidden) is (number == 0)
    assert (panels.heights[30], panels.heights[31]) == (15, 24)
