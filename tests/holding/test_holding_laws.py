"""Laws every rule keeps, whatever the log."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import UTC, datetime, timedelta

from bowls import FIVE, utc
from hypothesis import assume, given
from hypothesis import strategies as st
from logs_at_random import (
    RULES,
    at,
    badness,
    gaps,
    logs,
    minutes,
    rule_sets,
    settings,
    strictest,
    temperatures,
    zones,
)

from costing.holding.models import (
    Container,
    Eaten,
    Event,
    EventKind,
    HoldingSettings,
    Temperature,
)
from costing.holding.statuses import Status
from costing.holding.verdicts import judge


@st.composite
def outings(draw: st.DrawFn) -> list[tuple[int, int]]:
    """Times out that end measured in control: start and end in minutes."""
    times, offset = [], 0
    for pause, out in draw(st.lists(st.tuples(gaps, gaps), min_size=1, max_size=4)):
        times.append((offset + pause, offset + pause + out))
        offset += pause + out
    return times


def of_outings(times: Sequence[tuple[int, int]], marked: int | None) -> Container:
    four = Temperature(value=4, unit="C")
    events = [
        Event(kind=kind, at=at(offset), temperature=four)
        for start, end in times
        for kind, offset in ((EventKind.OUT, start), (EventKind.BACK, end))
    ]
    return Container(
        name="bowl",
        events=tuple(events),
        marked_until=None if marked is None else at(marked),
    )


WARM = Temperature(value=30, unit="C")


def warm_after(container: Container, instant: datetime) -> Container:
    """Whatever is measured later is warm: it proves nothing of the time before.

    A later reading in control, or of a stage of cooling, can show that food was not out.
    """
    events = [
        e.model_copy(update={"temperature": WARM}) if e.temperature and e.at > instant else e
        for e in container.events
    ]
    return container.model_copy(update={"events": tuple(events)})


@given(logs(), rule_sets, minutes, minutes)
def test_law__a_status_never_gets_better_with_time(
    log: Container, rules: list[str], first: int, later: int
) -> None:
    assume(log.events)
    container = warm_after(log, at(first))
    early = strictest(container, rules, at(first))
    late = strictest(container, rules, at(first + later))
    assert badness(late) >= badness(early)


@given(logs(), minutes, minutes)
def test_law__what_is_to_be_discarded_stays_so_and_since_then(
    log: Container, first: int, later: int
) -> None:
    """Only an earlier instant can come to light."""
    assume(log.events)
    container = warm_after(log, at(first))
    for rule in FIVE:
        early = strictest(container, [rule, "US-HOME-2H"], at(first))
        if early.status is Status.DISCARD and early.discard_at is not None:
            late = strictest(container, [rule, "US-HOME-2H"], at(first + later))
            assert late.status is Status.DISCARD
            assert late.discard_at is not None
            assert late.discard_at.astimezone(UTC) <= early.discard_at.astimezone(UTC)


@given(outings(), st.data(), rule_sets, st.none() | minutes)
def test_law__more_time_out_never_gives_a_better_status(
    times: list[tuple[int, int]], data: st.DataObject, rules: list[str], marked: int | None
) -> None:
    number = data.draw(st.integers(min_value=0, max_value=len(times) - 1))
    start, end = times[number]
    after = times[number + 1][0] if number + 1 < len(times) else end + 200
    before = times[number - 1][1] if number else 0
    longer = list(times)
    longer[number] = (
        data.draw(st.integers(min_value=before, max_value=start)),
        data.draw(st.integers(min_value=end, max_value=after)),
    )
    asked = at(data.draw(st.integers(min_value=0, max_value=200)) + max(after, times[-1][1]))
    shorter_told = strictest(of_outings(times, marked), rules, asked)
    longer_told = strictest(of_outings(longer, marked), rules, asked)
    assert badness(longer_told) >= badness(shorter_told)


@given(outings(), gaps, gaps, rule_sets, st.none() | minutes)
def test_law__one_more_time_out_never_gives_a_better_status(
    times: list[tuple[int, int]], pause: int, out: int, rules: list[str], marked: int | None
) -> None:
    last = times[-1][1]
    more = [*times, (last + pause, last + pause + out)]
    asked = at(last + pause + out)
    fewer_told = strictest(of_outings(times, marked), rules, asked)
    assert badness(strictest(of_outings(more, marked), rules, asked)) >= badness(fewer_told)


@given(logs(), rule_sets, st.sampled_from(FIVE), minutes)
def test_law__one_more_rule_never_gives_a_better_status(
    container: Container, rules: list[str], added: str, asked: int
) -> None:
    """As long as one of the rules is about the food: otherwise the general one stands in."""
    assume(container.events)
    verdicts, _ = judge([container], RULES, settings(rules), at(asked))
    assume(any(v.rule in rules and v.status is not Status.NOT_COVERED for v in verdicts))
    fewer = next(verdict for verdict in verdicts if verdict.strictest)
    more = strictest(container, [*rules, added], at(asked))
    assert badness(more) >= badness(fewer)


@given(logs(), rule_sets, minutes, st.integers(min_value=-10_000, max_value=10_000), zones)
def test_law__shifted_in_time_everything_shifts(
    container: Container, rules: list[str], asked: int, hours: int, zone: str
) -> None:
    """By up to 416 days either way, over every clock change of the zone."""
    assume(container.events)
    by = timedelta(hours=hours)
    moved = container.model_copy(
        update={
            "events": tuple(e.model_copy(update={"at": e.at + by}) for e in container.events),
            "marked_until": None if container.marked_until is None else container.marked_until + by,
        }
    )
    here, _ = judge([container], RULES, settings(rules, zone), at(asked))
    there, _ = judge([moved], RULES, settings(rules, zone), at(asked) + by)
    for before, after in zip(here, there, strict=True):
        assert (before.rule, before.status, before.out_for) == (
            after.rule,
            after.status,
            after.out_for,
        )
        for name in ("discard_at", "return_before", "asked_at"):
            old, new = getattr(before, name), getattr(after, name)
            assert (old is None) == (new is None)
            if old is not None and new is not None:
                assert old.astimezone(UTC) + by == new.astimezone(UTC)


@given(logs(), rule_sets, minutes)
def test_law__order_of_the_rules_changes_no_status(
    container: Container, rules: list[str], asked: int
) -> None:
    assume(container.events)
    one, _ = judge([container], RULES, settings(rules), at(asked))
    other, _ = judge([container], RULES, settings(rules[::-1]), at(asked))
    assert {v.rule: (v.status, v.discard_at) for v in one} == {
        v.rule: (v.status, v.discard_at) for v in other
    }
    assert one[0].status is other[0].status


@given(logs(), logs(), rule_sets, minutes)
def test_law__what_holds_another_is_never_better_than_alone(
    inner: Container, outer: Container, rules: list[str], asked: int
) -> None:
    """It holds something of its own as well, so its own log counts in either case."""
    assume(inner.events and outer.events)
    inner = inner.model_copy(update={"name": "inner", "marked_until": None})
    holding = outer.model_copy(update={"holds": ("inner", "salt")})
    alone = strictest(outer, rules, at(asked))
    verdicts, _ = judge([inner, holding], RULES, settings(rules), at(asked))
    together = next(v for v in verdicts if v.strictest and v.container == "bowl")
    assert badness(together) >= badness(alone)


any_events = st.builds(
    Event,
    kind=st.sampled_from(list(EventKind)),
    at=st.datetimes(
        min_value=datetime(2026, 10, 31),
        max_value=datetime(2026, 11, 2),
    ),
    temperature=temperatures,
)
any_containers = st.builds(
    Container,
    name=st.sampled_from(["a", "b", "c"]),
    holds=st.lists(st.sampled_from(["a", "b", "c", "salt"]), max_size=3).map(tuple),
    events=st.lists(any_events, max_size=6).map(tuple),
    marked_until=st.none()
    | st.datetimes(
        min_value=datetime(2026, 10, 31),
        max_value=datetime(2026, 11, 2),
    ),
    eaten=st.sampled_from(list(Eaten)),
    covered=st.sampled_from([None, True, False]),
)


@given(st.lists(any_containers, max_size=4), rule_sets, st.booleans(), st.none() | minutes)
def test_law__any_log_gets_its_verdicts(
    containers: list[Container], rules: list[str], procedures: bool, asked: int | None
) -> None:
    """However faulty; each container that has a time has one strictest verdict, never a promise.

    A room that is read has none.
    """
    chosen = HoldingSettings(zone="America/Chicago", rules=tuple(rules), procedures=procedures)
    instant = None if asked is None else utc("2026-11-01 04:00") + timedelta(minutes=asked)
    verdicts, found = judge(containers, RULES, chosen, instant)
    known = asked is not None or any(container.events for container in containers)
    food = sum(not container.is_room for container in containers)
    assert sum(v.strictest for v in verdicts) == (food if known else 0)
    for verdict in verdicts:
        assert verdict.out_for >= timedelta(0)
        assert "safe" not in verdict.reason.casefold()
        assert verdict.reason
        if verdict.status is Status.WITHIN:
            assert verdict.rule in verdict.reason
            assert "as logged" in verdict.reason
            assert "Other hazards are not checked." in verdict.reason
        if verdict.status is Status.CANNOT_BE_USED:
            assert verdict.reason.endswith("treat as past its limit")
    assert all(str(finding) for finding in found)
