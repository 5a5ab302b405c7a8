"""Random logs, judged by the library and by a clock that was written apart.

``minutes.py`` judges each minute by itself; the library walks from event to event.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import UTC, timedelta
from fractions import Fraction

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from logs_at_random import RULES, at
from logs_at_random import settings as chosen
from minutes import (
    AU_COOL,
    FIGURES,
    US_COOL,
    Figures,
    Row,
    out_minutes,
    passes,
    thrown_away_at,
)

from costing.holding.models import Container, Event, EventKind, Temperature
from costing.holding.rules import Rule
from costing.holding.statuses import Status, Verdict
from costing.holding.verdicts import judge

KINDS = ("out", "back", "reading", "cooked", "prep", "served", "reheated", "cut", "opened")
FOOD = tuple(
    Fraction(degrees)
    for degrees in ("3", "4", "5", "5.1", "20", "21", "22", "59", "60", "61", "70")
)


JUST_HEATED = Fraction(70)
COOLER = tuple(food for food in FOOD if food < 50)
AFTER_COOKING = ("reading", "reading", "reading", "back", "out")


@st.composite
def rows(draw: st.DrawFn, kinds: Sequence[str], foods: Sequence[Fraction] = FOOD) -> list[Row]:
    """A log in order, no two events in one minute; what was just heated is hot, if measured."""
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
        heated = kind in ("cooked", "reheated") and food is not None
        found.append(Row(minute, kind, JUST_HEATED if heated else food))
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


def uncooled(name: str) -> Rule:
    """The rule with cooling left aside."""
    return RULES[name].model_copy(update={"cooled_by": ""})


def ends(
    told: Verdict,
    out: set[int],
    log: list[Row],
    figures: Figures,
    asked: int,
    *,
    cooling: bool = False,
) -> None:
    """Same time out, and past its limit since the same minute."""
    assert told.out_for == timedelta(minutes=len(out))
    still = asked in out_minutes(log, figures, asked + 1, cooling=cooling)
    thrown = thrown_away_at(out, log, figures, still=still)
    assert (told.status is Status.DISCARD) == (thrown is not None)
    if thrown is not None:
        assert told.discard_at is not None
        assert told.discard_at.astimezone(UTC) == at(thrown)


ADDING_UP = ("HOME-2H-5C", "CA-2H", "HK-2H4H", "AU-2H4H")
"""One limit or two; cooling as US-COOL or AU-COOL asks."""


@pytest.mark.parametrize("name", ADDING_UP)
@given(rows(KINDS), st.integers(min_value=0, max_value=300), st.booleans())
@settings(max_examples=2 * settings().max_examples)
def test_minutes__time_out_is_that_of_a_clock_written_apart(
    name: str, log: list[Row], later: int, cooled: bool
) -> None:
    """Any order of events, every temperature at, above and below its edge.

    From a return limit on nothing ends the time out; cold readings after it are time in control
    all the same.
    """
    figures, asked = FIGURES[name], log[-1].minute + later
    out = out_minutes(log, figures, asked, cooling=cooled)
    told = judged(log, RULES[name] if cooled else uncooled(name), asked)
    ends(told, out, log, figures, asked)
    late = (figures.no_return or figures.limit) <= len(out) < figures.limit
    assert (told.status is Status.DO_NOT_RETURN) == late


@pytest.mark.parametrize("name", ADDING_UP)
@given(
    rows(("reading",), (Fraction(70),)) | st.just([]),
    rows(AFTER_COOKING, COOLER),
    st.integers(min_value=0, max_value=300),
)
@settings(max_examples=2 * settings().max_examples)
def test_minutes__cooling_is_proven_as_by_a_clock_written_apart(
    name: str, hot: list[Row], cooling: list[Row], later: int
) -> None:
    """Food that is cooked once and kept hot for a while; 21 °C and 5 °C in time, or late."""
    begun = hot[-1].minute if hot else 0
    then = [replace(row, minute=begun + row.minute) for row in cooling]
    cooked = [Row(0, "cooked", Fraction(90)), *hot, *then]
    figures, asked = FIGURES[name], then[-1].minute + later
    out = out_minutes(cooked, figures, asked, cooling=True)
    ends(judged(cooked, RULES[name], asked), out, cooked, figures, asked)


@pytest.mark.parametrize("name", ["US-COOL", "AU-COOL"])
@given(
    rows(("reading", "reading", "cooked", "reheated", "out"), (*FOOD, Fraction(40))),
    st.integers(min_value=0, max_value=300),
)
def test_minutes__pass_is_missed_when_a_clock_written_apart_says(
    name: str, log: list[Row], later: int
) -> None:
    """Cooling in two stages, each missed at the end of its time, and not made good later."""
    asked = log[-1].minute + later
    found = passes(log, US_COOL if name == "US-COOL" else AU_COOL, asked)
    told = judged(log, RULES[name], asked)
    assert (told.status is Status.NOT_COVERED) == (not found)
    late_at = found[-1].late_at if found else None
    assert (told.status is Status.DISCARD) == (late_at is not None)
    if late_at is not None:
        assert told.discard_at is not None
        assert told.discard_at.astimezone(UTC) == at(late_at)


@given(rows(KINDS), st.integers(min_value=0, max_value=300), st.booleans())
@settings(max_examples=2 * settings().max_examples)
def test_minutes__running_clock_is_that_of_a_clock_written_apart(
    log: list[Row], later: int, cooled: bool
) -> None:
    """US-TPHC-4: from the first removal on, whatever comes back.

    What was measured warm when its clock begins begins unlawfully (FDA Food Code, 3-501.19(B)(1)),
    whatever a later removal says; so does what was heated, or out, unmeasured.
    """
    figures, asked = FIGURES["US-TPHC-4"], log[-1].minute + later
    out = out_minutes(log, figures, asked, cooling=cooled)
    rule = RULES["US-TPHC-4"] if cooled else uncooled("US-TPHC-4")
    marked = container(log).model_copy(update={"marked_until": at(min(out, default=asked) + 240)})
    verdicts, _ = judge([marked], {**RULES, rule.id: rule}, chosen([rule.id]), at(asked))
    told = next(verdict for verdict in verdicts if verdict.rule == rule.id)
    if told.status is not Status.CANNOT_BE_USED:
        ends(told, out, log, figures, asked)


@given(rows(("out", "back", "reading", "prep")), st.integers(min_value=0, max_value=300))
def test_minutes__running_clock_begins_lawfully_or_cannot_be_used(
    log: list[Row], later: int
) -> None:
    """It can be used if a removal begins it, measured cold or hot, and not otherwise."""
    figures, asked = FIGURES["US-TPHC-4"], log[-1].minute + later
    out = out_minutes(log, figures, asked, cooling=False)
    assume(out)
    begun = min(out)
    rule = uncooled("US-TPHC-4")
    marked = container(log).model_copy(update={"marked_until": at(begun + 240)})
    verdicts, _ = judge([marked], {**RULES, rule.id: rule}, chosen([rule.id]), at(asked))
    told = next(verdict for verdict in verdicts if verdict.rule == rule.id)
    removing = [row for row in log if row.minute >= begun and row.kind not in ("back", "reading")]
    read = [row for row in log if row.minute > begun and row.food is not None]
    by = removing[0] if removing and removing[0].minute == begun else next(iter(read), None)
    warm = any(row.minute == begun and figures.side(row.food) == "warm" for row in log)
    lawful = by in removing and by is not None and figures.side(by.food) in ("cold", "hot")
    assert (told.status is Status.CANNOT_BE_USED) == (not lawful or warm)


BELOW_HOT = tuple(food for food in (*FOOD, Fraction(8), Fraction(81, 10)) if food < 50)


@given(
    rows(("out", "back", "reading", "prep", "cut", "opened"), BELOW_HOT),
    st.integers(min_value=0, max_value=300),
)
def test_minutes__one_period_is_that_of_a_clock_written_apart(log: list[Row], later: int) -> None:
    """UK-CHILL4: chilled food, put out once; what was out for preparation counts as time out."""
    figures, asked = FIGURES["UK-CHILL4"], log[-1].minute + later
    out = out_minutes(log, figures, asked, cooling=False)
    ends(judged(log, RULES["UK-CHILL4"], asked), out, log, figures, asked)


@given(rows(KINDS, (*FOOD, Fraction(8), Fraction(63))), st.integers(min_value=0, max_value=300))
def test_minutes__one_hot_period_is_that_of_a_clock_written_apart(
    log: list[Row], later: int
) -> None:
    """UK-HOT2, where it is about the food: two hours from when it first left control, once."""
    figures, asked = FIGURES["UK-HOT2"], log[-1].minute + later
    out = out_minutes(log, figures, asked, cooling=False)
    told = judged(log, RULES["UK-HOT2"], asked)
    if told.status is not Status.NOT_COVERED:
        ends(told, out, log, figures, asked)


@given(
    rows(KINDS),
    st.integers(min_value=0, max_value=300),
    st.lists(
        st.tuples(
            st.integers(min_value=0, max_value=1200),
            st.sampled_from([Fraction(24), Fraction("31.9"), Fraction(32), Fraction(33)]),
        ),
        max_size=3,
    ),
    st.booleans(),
)
def test_minutes__hot_room_is_that_of_a_clock_written_apart(
    log: list[Row], later: int, read: list[tuple[int, Fraction]], cooled: bool
) -> None:
    """US-HOME-2H: one hour where food is out in a room at 90 °F (32 °C) or above.

    Food that cools as US-COOL asks is not out.
    """
    figures = FIGURES["US-HOME-2H"]
    rooms = [Row(minute, "room", degrees) for minute, degrees in read]
    both = sorted([*log, *rooms], key=lambda row: row.minute)
    asked = both[-1].minute + later
    out = out_minutes(both, figures, asked, cooling=cooled)
    rule = RULES["US-HOME-2H"] if cooled else uncooled("US-HOME-2H")
    ends(judged(both, rule, asked), out, both, figures, asked, cooling=cooled)
