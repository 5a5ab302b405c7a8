"""The rows behind the charts of Summary, and which of them are hidden.

Places are worked by hand from the panels' own sizes, the first row of a panel being 0.
"""

from __future__ import annotations

from datetime import datetime, timedelta
from decimal import Decimal
from fractions import Fraction
from zoneinfo import ZoneInfo

import pytest
from small import books, line, pack, sound

from costing.buying.caution import CHANCES_TRIED, MOST_LEVELS, Caution, Point
from costing.buying.sharing import CostShare
from costing.holding.rules import ClockKind, load_rules
from costing.holding.statuses import Status, Verdict
from costing.shoot import Shot
from costing.workbook.package.cellxml import NewCell
from costing.workbook.results.look import CHART_DATA, Look
from costing.workbook.results.panels import (
    ABOUT,
    ALL_OTHERS,
    CONTAINERS,
    HEIGHT,
    POINTS,
    PURPOSES,
    Panel,
    Panels,
    TimeBars,
    TimeOut,
    bar,
    caution_panel,
    money_panel,
    planned_point,
    times_out,
    times_out_panel,
    used_by_purpose,
)

LOOK = Look("EUR")
MONEY = [bar("Bought"), bar("Used"), bar("Left")]


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
    bars = [bar(f"purpose {n}", euros("1")) for n in range(number)]
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
    assert [tuple(cell.value for cell in row if cell) for row in bars] == [
        *((f"purpose {n}", Decimal(n)) for n in (8, 7, 6, 5, 4)),
        (ALL_OTHERS, Decimal(6)),
    ]
    assert bars[0][1] is not None
    assert bars[0][1].formula == 'SUMIF(purposes,"purpose 8",used)'


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


HOME, TPHC = "US-HOME-2H", "US-TPHC-4"
ASKED = datetime(2031, 5, 10, 15, 0, tzinfo=ZoneInfo("Europe/Lisbon"))


def hours(number: float) -> timedelta:
    return timedelta(hours=number)


def verdict(
    name: str = "bowl",
    status: Status = Status.WITHIN,
    out: float = 1,
    *,
    limit: float = 2,
    rule: str = HOME,
    left: float | None = None,
    strictest: bool = True,
) -> Verdict:
    """What a rule says; ``left`` hours until the food must be gone, where a clock runs."""
    return Verdict(
        container=name,
        rule=rule,
        strictest=strictest,
        status=status,
        out_for=hours(out),
        discard_at=None if left is None else ASKED + hours(left),
        return_before=None,
        reason="",
        source="",
        verified="",
        asked_at=ASKED,
        alarm=False,
        limit=hours(limit),
    )


def bars(*verdicts: Verdict) -> tuple[TimeOut, ...]:
    return times_out(verdicts).times


def test_times_out__the_name_says_status_and_rule() -> None:
    assert bars(verdict("bean puree", Status.DISCARD, 4.75)) == (
        TimeOut("bean puree: discard (US-HOME-2H)", hours(4.75), hours(2)),
    )


def test_times_out__only_the_strictest_rule_of_a_container_counts() -> None:
    other = verdict(rule=TPHC, limit=4, strictest=False)
    assert [one.name for one in bars(verdict(), other)] == ["bowl: within the limit (US-HOME-2H)"]


def test_times_out__past_first_then_the_larger_part_of_the_limit() -> None:
    """Used up: 2.5 of 2, 3 of 4 and 1 of 2 hours; a rule that cannot be used counts as past."""
    shown = bars(
        verdict("half", out=1, limit=2),
        verdict("none", Status.CANNOT_BE_USED, 0, limit=4, rule=TPHC),
        verdict("three quarters", out=3, limit=4, rule=TPHC),
        verdict("over", Status.DISCARD, 2.5),
    )
    assert [one.name.partition(":")[0] for one in shown] == [
        *("over", "none", "three quarters", "half"),
    ]


@pytest.mark.parametrize(
    ("left", "expected"),
    [(None, 4), (3, 4), (0.5, 1.5), (-1, 1)],
    ids=["clock stopped", "the limit decides", "a mark is earlier", "a mark is past"],
)
def test_times_out__never_more_time_left_than_there_is(left: float | None, expected: float) -> None:
    """Out for 1 h of 4: the limit shown is 1 h and what is left until the food must be gone."""
    (shown,) = bars(verdict(out=1, limit=4, rule=TPHC, left=left))
    assert shown.limit == hours(expected)


@pytest.mark.parametrize("status", [Status.DISCARD, Status.CANNOT_BE_USED])
def test_times_out__no_limit_beside_food_that_is_past_it_for_another_reason(status: Status) -> None:
    """A mark, a reading or a gap in the log decided after 1 h 20 min of 4 h."""
    (shown,) = bars(verdict(status=status, out=4 / 3, limit=4, rule=TPHC, left=-0.5))
    assert (shown.out, shown.limit) == (hours(4 / 3), None)


@pytest.mark.parametrize("kind", [ClockKind.DAYS, ClockKind.ONE_PASS])
def test_times_out__rules_of_other_kinds_have_no_bars(kind: ClockKind) -> None:
    other = next(rule.id for rule in load_rules().values() if rule.clock is kind)
    assert bars(verdict(rule=other)) == ()
    (shown,) = bars(verdict(status=Status.DISCARD, rule=other))
    assert shown == TimeOut(f"bowl: discard ({other})", None, None)


@pytest.mark.parametrize("status", [Status.DISCARDED, Status.NEVER_EAT, Status.NOT_COVERED])
def test_times_out__nothing_is_shown_of_what_no_rule_judges(status: Status) -> None:
    assert times_out([verdict(status=status)]).times == ()


def test_times_out__says_which_containers_are_left_out() -> None:
    past = [verdict(f"bowl {n}", Status.DISCARD, 2 + n / 10) for n in range(CONTAINERS + 3)]
    shown = times_out([*past, verdict("gone", Status.DISCARDED)])
    assert len(shown.times) == CONTAINERS
    assert shown.times[0].name.startswith("bowl 14:")
    assert shown.left_out == (
        "12 of 15 containers are shown, those furthest past their limit or nearest to it. Without "
        "bars: 1 container discarded, never eaten, or without a limit in hours."
    )
    assert times_out([verdict()]).left_out == ""


def test_times_out__says_what_the_times_are() -> None:
    assert times_out([verdict()]).about == (
        "Time out as logged, limits by published rules (hours:minutes). Other hazards are not "
        "checked: see Holding times."
    )


def test_times_out__tells_rules_of_the_persons_own_apart() -> None:
    own = load_rules()[HOME].model_copy(update={"id": "OUR-3H"})
    shown = times_out([verdict(rule="OUR-3H"), verdict("other")], [own])
    assert shown.about == f"{ABOUT} Not published, but rules of your own: OUR-3H."
    assert times_out([verdict()], [own]).about == ABOUT


def test_times_out__no_word_promises_safety() -> None:
    shown = times_out([verdict(), verdict("gone", Status.DISCARDED)])
    words = " ".join([shown.about, shown.left_out, *(one.name for one in shown.times)])
    assert "safe" not in words.casefold()


def test_times_out__nothing_without_a_log() -> None:
    assert times_out([]).times == ()
    assert times_out([]).left_out == ""
