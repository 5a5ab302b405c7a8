"""A day at random: lines logged, counted and taken back, and what the workbook makes of them."""

from __future__ import annotations

import tempfile
from datetime import datetime, timedelta
from fractions import Fraction
from pathlib import Path
from typing import Any

from budgets import examples
from good_workbook import good_workbook
from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, invariant, rule

from costing.buying.books import books_of
from costing.buying.takes_left import Outlook
from costing.day.lines import LogLine, write
from costing.holding.models import EventKind
from costing.shoot.defaults import completed
from costing.shoot.episodes import DayEvent
from costing.workbook.reading import read_workbook

START = datetime(2031, 5, 10, 9, 30)
LEEK = Fraction(400) / Fraction("0.72")
"""Leek as bought for one soup; S2 makes half of one. [g]"""


class Day(RuleBasedStateMachine):
    """The log as it should be, beside the log as it is."""

    def __init__(self) -> None:
        super().__init__()
        self.folder = tempfile.TemporaryDirectory()
        self.path = Path(self.folder.name, "plan.xlsx")
        self.lines: list[tuple[str, str, Any]] = []
        self.minute = 0
        self.before: dict[str, int | None] = {}
        self.gave_more = False

    @initialize()
    def begin(self) -> None:
        """A workbook without a log."""
        good_workbook().save(self.path)

    def teardown(self) -> None:
        """Nothing of it stays."""
        self.folder.cleanup()

    def add(self, what: str, event: EventKind | DayEvent, **more: str) -> None:
        """Add a line a minute later."""
        self.minute += 1
        when = f"{START + timedelta(minutes=self.minute):%Y-%m-%d %H:%M}"
        assert write(self.path, LogLine(what, event, **more), when)

    @rule(
        shot=st.sampled_from(["S1", "S2"]),
        event=st.sampled_from([DayEvent.TAKEN, DayEvent.SPOILED]),
    )
    def use(self, shot: str, event: DayEvent) -> None:
        """A take, or food that is gone without one."""
        self.add(shot, event)
        self.lines.append((shot, str(event), None))

    @rule(grams=st.integers(0, 2000))
    def count(self, grams: int) -> None:
        """Leek is counted."""
        self.add("leek", DayEvent.COUNTED, amount=f"{grams} g")
        self.lines.append(("leek", "counted", grams))
        self.gave_more = True

    @rule(kind=st.sampled_from([EventKind.OUT, EventKind.READING]))
    def bowl(self, kind: EventKind) -> None:
        """Something happens to the jug."""
        self.add("milk jug", kind, temperature="4 C")
        self.lines.append(("milk jug", str(kind), None))

    @rule(what=st.sampled_from(["S1", "S2", "leek", "milk jug"]))
    def undo(self, what: str) -> None:
        """The last line of a name is taken back, if one still counts."""
        at = next((n for n in reversed(range(len(self.lines))) if self.lines[n][0] == what), None)
        if at is not None:
            self.add(what, DayEvent.UNDONE)
            del self.lines[at]
            self.gave_more = True

    def counted(self, event: str, shot: str, until: int | None = None) -> int:
        """How often something is logged of a shot, in all or up to a line."""
        return sum(1 for line in self.lines[:until] if line[:2] == (shot, event))

    def leek_used(self, until: int | None = None) -> Fraction:
        """Leek that was used, as bought."""
        soups = Fraction(0)
        for shot, part in (("S1", Fraction(1)), ("S2", Fraction(1, 2))):
            times = self.counted("taken", shot, until) + self.counted("spoiled", shot, until)
            soups += times * part
        return soups * LEEK

    @invariant()
    def the_log_is_what_happened(self) -> None:
        """Takes, the jug's events and the books of the leek are those of the lines that stand."""
        shoot, findings = read_workbook(self.path)
        assert [f.code for f in findings] == []
        whole, _ = completed(shoot)
        outlook = Outlook(books_of(whole))
        taken = {whole.shots[one.number].label: one.taken for one in outlook.takes_left}
        assert taken == {shot: self.counted("taken", shot) for shot in ("S1", "S2")}
        jug = [line for line in self.lines if line[0] == "milk jug"]
        assert len(shoot.containers[0].events) == 2 + len(jug)
        (leek,) = [one for one in outlook.balances if one.supply.name == "leek"]
        assert leek.bought + leek.on_hand == leek.used + leek.there + leek.not_logged
        counts = [n for n, line in enumerate(self.lines) if line[1] == "counted"]
        if counts:
            since = self.leek_used() - self.leek_used(counts[-1])
            assert leek.there == self.lines[counts[-1]][2] - since
        more = {whole.shots[one.number].label: one.more for one in outlook.takes_left}
        if self.before and not self.gave_more:
            fits = {whole.shots[o.number].label for o in outlook.takes_left if not o.others_lack}
            assert all(more[shot] <= self.before[shot] for shot in fits)  # type: ignore[operator]
        self.before, self.gave_more = more, False


TestDay = Day.TestCase
TestDay.settings = settings(max_examples=examples(12), stateful_step_count=12, deadline=None)
