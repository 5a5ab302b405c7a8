"""What the chosen rules say of each container at an instant.

The strictest rule comes first and gives the container its status. Stricter is, in this order: the
worse status (discard, rule cannot be used, do not return, within the limit, not covered), the
earlier instant to discard at, the earlier end of a return, the earlier place among the chosen
rules. A rule that cannot be used is treated as past its limit: it ranks just below discard only
because discard says since when. ``discarded`` and ``never eat`` hold for the container as a whole.

A chosen rule that cannot be read, because it is unknown or faulty, cannot be used either.

Where no chosen rule judges what is asked of a container, because none can be used, states a time or
is about the time the food was out, the general rule is applied as well.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

from costing.findings import Finding, Place
from costing.holding.clocks import standing
from costing.holding.contents import History, Nesting
from costing.holding.instants import one_instant
from costing.holding.logs import Log, Moment, discarded_at, later_than_asked, read_logs
from costing.holding.messages import holding_rule_unknown
from costing.holding.models import Container, Eaten, HoldingSettings
from costing.holding.passes import cools_only
from costing.holding.reasons import Context, discarded_reason, never_reason, reason
from costing.holding.rules import LEAVES_CONTROL, Rule
from costing.holding.statuses import Bar, Clock, Conditions, Course, Status, Verdict
from costing.names import Named, key, nearest

RULES_PLACE = Place(sheet="Settings", heading="Value", name="Holding rules")
ASKED_PLACE = Place(name="the instant asked about")


def judge(
    containers: Sequence[Container],
    rules: Mapping[str, Rule],
    settings: HoldingSettings,
    at: datetime | None = None,
) -> tuple[list[Verdict], list[Finding]]:
    """Verdicts on every container, in the order given, the strictest rule first.

    Parameters
    ----------
    containers : sequence of Container
        In the order of the sheet.
    rules : mapping of str to Rule
        All rules there are, the general one included.
    settings : HoldingSettings
        Which rules are chosen, the time zone, the room.
    at : datetime, optional
        The instant asked about, local or with its own offset; ``None``: the last event of the
        whole log.

    Returns
    -------
    list of Verdict
        A row for each container and rule; none for a room.
    list of Finding
        Faults of the log.

    Raises
    ------
    ValueError
        If ``rules`` has no general rule.
    """
    bench = _Bench(containers, rules, settings)
    asked = bench.instant_asked(at)
    if asked is not None:
        for log in bench.logs:
            bench.findings += later_than_asked(log, asked, bench.zone)
    judged = [number for number, one in enumerate(containers) if not one.is_room]
    verdicts = [verdict for number in judged for verdict in bench.verdicts(number, asked)]
    return verdicts, bench.findings


def strictest_at(
    containers: Sequence[Container],
    rules: Mapping[str, Rule],
    settings: HoldingSettings,
    asked: Iterable[tuple[int, datetime]],
) -> list[Verdict | None]:
    """The one status of single containers at instants of their own.

    In the order asked; ``None`` for a container nothing is known of.
    ``asked``: number of a container and the instant asked about.
    """
    bench = _Bench(containers, rules, settings)
    worst = [bench.verdicts(number, bench.instant_asked(at)) for number, at in asked]
    return [verdicts[0] if verdicts else None for verdicts in worst]


def judge_ahead(
    containers: Sequence[Container],
    rules: Mapping[str, Rule],
    settings: HoldingSettings,
    at: datetime | None,
) -> list[tuple[Verdict, ...]]:
    """Verdicts on each container at each time at which it leaves control later than asked.

    ``containers``, ``rules``, ``settings``, ``at``: as for :func:`judge`; without an instant
    nothing is later.
    """
    bench = _Bench(containers, rules, settings)
    asked = bench.instant_asked(at)
    if asked is None:
        return []
    return [
        tuple(bench.verdicts(number, moment.at))
        for number, log in enumerate(bench.logs)
        for moment in log
        if moment.at > asked and moment.kind in LEAVES_CONTROL and not moment.disordered
    ]


@dataclass(frozen=True, slots=True)
class _Question:
    """One container at one instant, with the histories of its components by each way."""

    number: int
    container: Container
    asked: datetime
    discarded_at: datetime | None
    inner_never: Container | None
    histories: list[tuple[_Way, list[History]]]

    @property
    def never(self) -> bool:
        """Whether nobody eats of it, or of what it holds."""
        return self.container.eaten is Eaten.NEVER or self.inner_never is not None

    @property
    def judged_at(self) -> datetime:
        """The instant the clocks are read at."""
        return self.discarded_at or self.asked


@dataclass(frozen=True, slots=True)
class _Way:
    """One way the logs can be meant."""

    nesting: Nesting
    rooms: tuple[Moment, ...]
    logs: list[Log]


def _by_strictness_and_time_out(clock: Clock) -> tuple[tuple[int, datetime, datetime], timedelta]:
    """Sorts the strictest first; of components back in control the one out for the longest."""
    is_back = clock.status is Status.WITHIN and clock.discard_at is None
    return clock.strictness, -clock.out_for if is_back else timedelta(0)


class _Bench:
    """The logs of a shoot, made ready to be judged."""

    def __init__(
        self,
        containers: Sequence[Container],
        rules: Mapping[str, Rule],
        settings: HoldingSettings,
    ) -> None:
        self.containers = containers
        self.names = [container.name for container in containers]
        self.settings = settings
        self.rules = rules
        self.zone = ZoneInfo(settings.zone)
        self.findings: list[Finding] = []
        self.general = _general(rules, settings.general)
        self.chosen = self._chosen(rules)
        ways, found = read_logs(containers, self.zone)
        self.findings += found
        self.logs = ways[0]
        moments = (moment for logs in ways for log in logs for moment in log)
        # a time put in place of one that cannot be read tells nothing of how late it is
        self.last = max((m.at for m in moments if m.event.known), default=None)
        self.marks = [self._mark(container) for container in containers]
        self.ways = [_Way(Nesting(containers, logs), _rooms(logs), logs) for logs in ways]
        self.nesting = self.ways[0].nesting
        self.findings += self.nesting.loops()

    def instant_asked(self, at: datetime | None) -> datetime | None:
        """The instant asked about, the later of two. [UTC]"""
        if at is None:
            return None
        instant, found = one_instant(at, self.zone, late=True, place=ASKED_PLACE)
        self.findings += found
        return instant

    def verdicts(self, number: int, asked: datetime | None) -> list[Verdict]:
        """Rows of one container."""
        question = self._question(number, asked)
        if question is None:
            return []
        by_rule = [self._clocks(question, rule) for rule in self.chosen]
        if self.general not in self.chosen and self._needs_general(question, by_rule):
            by_rule.append(self._clocks(question, self.general))
        # a rule judges the container by its strictest component, in the strictest way to read the
        # log
        worst = [min(clocks, key=_by_strictness_and_time_out) for clocks in by_rule]
        worst.sort(key=lambda clock: clock.strictness)
        return [self._verdict(question, one, first=one is worst[0]) for one in worst]

    def _chosen(self, rules: Mapping[str, Rule]) -> list[Rule]:
        named = Named((name, rule) for name, rule in rules.items())
        chosen: dict[str, Rule] = {}
        for name in self.settings.rules:
            if name in named:
                chosen.setdefault(named[name].id, named[name])
            else:
                # how strict it is nobody knows; the general rule says whether food needs control
                chosen.setdefault(key(name), self.general.model_copy(update={"id": name}))
                self.findings.append(
                    holding_rule_unknown(RULES_PLACE, name, nearest(name, rules), list(rules))
                )
        return list(chosen.values()) or [self.general]

    def _mark(self, container: Container) -> datetime | None:
        if container.marked_until is None:
            return None
        mark, found = one_instant(
            container.marked_until, self.zone, late=False, place=container.place
        )
        self.findings += found
        return mark

    def _question(self, number: int, asked: datetime | None) -> _Question | None:
        """What is asked of a container, and what every way of reading the log agrees on."""
        container = self.containers[number]
        asked = self.last if asked is None else asked
        if asked is None:
            return None
        # thrown away only if every way of reading the log says so
        thrown = [discarded_at(way.logs[number], asked) for way in self.ways]
        never = [
            self.containers[inner]
            for inner in sorted(self.nesting.within(number))
            if self.containers[inner].eaten is Eaten.NEVER
        ]
        return _Question(
            number,
            container,
            asked,
            None if None in thrown else thrown[0],
            never[0] if never else None,
            [(way, way.nesting.histories(number)) for way in self.ways],
        )

    def _clocks(self, question: _Question, rule: Rule) -> list[Clock]:
        """A rule's clocks for all that the container holds, component by component.

        Where the logs can be meant in several ways, each component has a clock for each.
        """
        at = question.judged_at
        if question.container.covered is False:
            return [Clock(rule, Status.NOT_COVERED, at, Course(), bars=(Bar.CLASS_NONE,))]
        clocks = [
            standing(history, rule, self._conditions(question.number, rule, history, way), at)
            for way, histories in question.histories
            for history in histories
        ]
        if rule.id not in self.rules:
            unread = Clock(rule, Status.CANNOT_BE_USED, at, Course(), bars=(Bar.NOT_READ,))
            return [clock if clock.asks_nothing else unread for clock in clocks]
        if self.logs[question.number] or not rule.states_time:
            return clocks
        unknown = Clock(rule, Status.CANNOT_BE_USED, at, Course(), bars=(Bar.NO_TIMES,))
        return [unknown] * len(clocks)

    def _conditions(self, number: int, rule: Rule, history: History, way: _Way) -> Conditions:
        marks = [self.marks[inner] for inner in history.through]
        return Conditions(
            self.settings.procedures,
            self.settings.room,
            self.marks[number],
            tuple(mark for mark in marks if mark is not None),
            way.rooms,
            self.rules.get(rule.cooled_by),
            self.zone,
        )

    def _needs_general(self, question: _Question, by_rule: Sequence[Sequence[Clock]]) -> bool:
        """Whether the general rule is applied beside the chosen ones.

        It is where no chosen rule judges what is asked of a component: because none can be used,
        none states a time, or none is about the time the food was out. Food that needs no control,
        or not yet, asks nothing.
        """
        return not all(
            any(clock.judges_time_out for clock in component)
            or self._cools_only(question, number)
            or all(clock.asks_nothing for clock in component)
            for number, component in enumerate(zip(*by_rule, strict=True))
        )

    def _cools_only(self, question: _Question, component: int) -> bool:
        """Whether a chosen rule about cooling judges all that is logged of a component."""
        if not self.logs[question.number]:
            return False
        histories = [one for _, several in question.histories for one in several]
        return any(
            cools_only(histories[component], rule, question.judged_at) for rule in self.chosen
        )

    def _verdict(self, question: _Question, clock: Clock, *, first: bool) -> Verdict:
        """The verdict of one rule; never eaten and thrown away come before what its clock says."""
        status = clock.status
        context = Context(
            question.container,
            self.marks[question.number],
            self.names,
            self.zone,
            self._goes_on_within(question),
        )
        if question.never:
            status, why = Status.NEVER_EAT, never_reason(question.container, question.inner_never)
        elif question.discarded_at is not None:
            status = Status.DISCARDED
            why = discarded_reason(clock, context, question.discarded_at)
        else:
            why = reason(clock, context)
        open_still, is_read = status is clock.status, clock.rule.id in self.rules
        return Verdict(
            container=question.container.name,
            rule=clock.rule.id,
            strictest=first,
            status=status,
            out_for=clock.out_for,
            discard_at=self._local(clock.discard_at if open_still else None),
            return_before=self._local(clock.return_before if open_still else None),
            reason=why,
            source=clock.rule.source if is_read else "",
            verified=clock.rule.verified.words if is_read else "",
            asked_at=question.asked.astimezone(self.zone),
            alarm=status in (Status.DISCARD, Status.CANNOT_BE_USED)
            and question.container.eaten is Eaten.YES,
            limit=clock.limit,
        )

    def _goes_on_within(self, question: _Question) -> list[int]:
        """Containers that hold this one, and in whose log something happened after its own."""
        last = max((one.at for one in self.logs[question.number]), default=question.asked)
        return [
            outer
            for outer in self.nesting.holders(question.number)
            if any(last < one.at <= question.asked for one in self.logs[outer])
        ]

    def _local(self, instant: datetime | None) -> datetime | None:
        return None if instant is None else instant.astimezone(self.zone)


def _rooms(logs: Iterable[Log]) -> tuple[Moment, ...]:
    """Readings of the room, in time."""
    read = [moment for log in logs for moment in log if moment.room is not None]
    return tuple(sorted(read, key=lambda moment: moment.at))


def _general(rules: Mapping[str, Rule], name: str) -> Rule:
    """The general rule of the settings, or else the first of the table."""
    general = [rule for rule in rules.values() if rule.fallback]
    if not general:
        raise ValueError("the rules have none that is applied where another cannot be used")
    return next((rule for rule in general if rule.id == name), general[0])
