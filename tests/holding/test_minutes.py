"""Random logs, judged by the library and by a clock that was written apart.

``minutes.py`` judges each minute by itself; the library walks from event to event.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import UTC, timedelta
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from logs_at_random import RULES, at
from logs_at_random import settings as chosen
from minutes import FIGURES, Row, out_minutes

from costing.holding.models import Container, Event, EventKind, Temperature
from costing.holding.rules import Rule
from costing.holding.statuses import Status, Verdict
from costing.holding.verdicts import judge

KINDS = ("out", "back", "reading", "cooked", "prep", "served", "reheated")
FOOD = tuple(
    Fraction(degrees)
    for degrees in ("3", "4", "5", "5.1", "20", "21", "22", "59", "60", "61", "70")
)


COOLER = tuple(food for food in FOOD if food < 50)
AFTER_COOKING = ("reading", "reading", "reading", "back", "out")


@st.composite
def rows(draw: st.DrawFn, kinds: Sequence[str], foods: Sequence[Fraction] = FOOD) -> list[Row]:
    """A log in order, no two events in one minute."""
    steps = draw(
        st.lists(
            st.tuples(
                st.sampled_from(kinds),
                st.integers(min_value=1, max_value=150),
                st.none() | st.sampled_from(foods),
            ),
            min_size=1,
            max_size=8,
        )
    )
    minute, found = 0, []
    for kind, gap, food in steps:
        minute += gap
        found.append(Row(minute, kind, food))
    return found


def container(log: list[Row]) -> Container:
    events = [
        Event(
            kind=EventKind(row.kind),
            at=at(row.minute),
            temperature=None if row.food is None else Temperature(value=row.food, unit="C"),
        )
        for row in log
    ]
    return Container(name="bowl", events=tuple(events))


def judged(log: list[Row], rule: Rule, asked: int) -> Verdict:
    verdicts, _ = judge([container(log)], {**RULES, rule.id: rule}, chosen([rule.id]), at(asked))
    return next(verdict for verdict in verdicts if verdict.rule == rule.id)


def agree(told: Verdict, out: list[int], limit: int) -> None:
    """Same time out; past the limit exactly when the limit is reached."""
    assert told.out_for == timedelta(minutes=len(out))
    assert (told.status is Status.DISCARD) == (len(out) >= limit)
    if told.status is Status.DISCARD and told.discard_at is not None:
        assert told.discard_at.astimezone(UTC) == at(sorted(out)[limit - 1] + 1)


@pytest.mark.parametrize("name", list(FIGURES))
@given(rows(KINDS), st.integers(min_value=0, max_value=300))
@settings(max_examples=200)
def test_minutes__time_out_is_that_of_a_clock_written_apart(
    name: str, log: list[Row], later: int
) -> None:
    """Cooling left aside: any order of events, every temperature at, above and below its edge."""
    rule = RULES[name].model_copy(update={"cooled_by": ""})
    asked = log[-1].minute + later
    out = out_minutes(log, FIGURES[name], asked, cooling=False)
    agree(judged(log, rule, asked), sorted(out), FIGURES[name].limit)


@pytest.mark.parametrize("name", list(FIGURES))
@given(
    rows(("reading",), (Fraction(70),)) | st.just([]),
    rows(AFTER_COOKING, COOLER),
    st.integers(min_value=0, max_value=300),
)
@settings(max_examples=200)
def test_minutes__cooling_is_proven_as_by_a_clock_written_apart(
    name: str, hot: list[Row], cooling: list[Row], later: int
) -> None:
    """Food that is cooked once and kept hot for a while; 21 °C and 5 °C in time, or late."""
    begun = hot[-1].minute if hot else 0
    then = [replace(row, minute=begun + row.minute) for row in cooling]
    cooked = [Row(0, "cooked", Fraction(90)), *hot, *then]
    asked = then[-1].minute + later
    out = out_minutes(cooked, FIGURES[name], asked, cooling=True)
    assert judged(cooked, RULES[name], asked).out_for == timedelta(minutes=len(out))
