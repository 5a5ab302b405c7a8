"""What the screen shows of holding: order and plans."""

from __future__ import annotations

from datetime import datetime
from zoneinfo import ZoneInfo

import pytest
from bowls import bowl, judged

from costing import screen
from costing.report.holding_rows import holding_times
from costing.shoot.planning import Planned

LISBON = ZoneInfo("Europe/Lisbon")


def test_holding__earliest_discard_time_first_and_those_without_one_last(
    capsys: pytest.CaptureFixture[str],
) -> None:
    """Clocks go back on 2031-10-26: 01:30 comes twice, and the later is an hour later."""
    logs = [
        bowl("reading 20:00 4 C", name="cold", day="2031-10-25"),
        bowl("out 2031-10-26 00:10 4 C", name="third", day="2031-10-25"),
        bowl("out 21:00 4 C", name="first", day="2031-10-25"),
        bowl("out 22:00 4 C", name="second", day="2031-10-25"),
    ]
    verdicts, _ = judged(logs, "AU-2H4H", "US-HOME-2H")
    screen.holding(holding_times(verdicts), (), asked="")
    rows = capsys.readouterr().out.splitlines()
    named = [row.split()[0] for row in rows if row.split()[1:2] in (["AU-2H4H"], ["US-HOME-2H"])]
    assert [name for name in named if name in ("first", "second", "third", "cold")] == [
        "first",
        "second",
        "third",
        "cold",
    ]


def test_holding__without_a_log_says_so_and_keeps_the_cautions(
    capsys: pytest.CaptureFixture[str],
) -> None:
    screen.holding(holding_times([]), ("When in doubt, throw it out.",), asked="")
    assert [line for line in capsys.readouterr().out.splitlines() if line] == [
        "Holding times",
        "- No container is logged: no row was read from a sheet Holding. Nothing is judged.",
        "- When in doubt, throw it out.",
    ]


def test_planned__a_line_for_each(capsys: pytest.CaptureFixture[str]) -> None:
    eaten_at = datetime(2031, 5, 10, 14, 10, tzinfo=LISBON)
    out_after = datetime(2031, 5, 10, 12, 10, tzinfo=LISBON)
    one = Planned("prawns", "bite", "US-HOME-2H", eaten_at, out_after, eaten_at - out_after)
    screen.planned([one])
    assert " ".join(capsys.readouterr().out.split()) == (
        '- prawns: to be eaten in "bite" at 2031-05-10 14:10, out after 2031-05-10 12:10, once '
        "(2 h of US-HOME-2H)"
    )
