"""Holding rules: read from the published table, and said in plain words.

A rule is data. The clocks know kinds of clock and not countries, so a further authority is a
further entry of ``reference/holding_rules.toml``.
"""

from __future__ import annotations

import tomllib
from enum import StrEnum
from fractions import Fraction
from functools import cache
from types import MappingProxyType
from typing import Any

from pydantic import BaseModel, ConfigDict, Field, model_validator

from costing.holding.figures import (
    Action,
    Ceiling,
    Cited,
    HotRoom,
    Limit,
    Start,
    Verified,
    Zone,
    weakest,
)
from costing.holding.models import EventKind, Temperature
from costing.holding.wording import length
from costing.reference import reference_file

RULES_FILE = "holding_rules.toml"

LEAVES_CONTROL = (
    EventKind.OUT,
    EventKind.PREP,
    EventKind.CUT,
    EventKind.OPENED,
    EventKind.COOKED,
    EventKind.REHEATED,
    EventKind.THAWED,
    EventKind.SERVED,
)
"""Events that start a clock which is not running; none of them ever stops one."""


class ClockKind(StrEnum):
    """How the times out of control make one time."""

    RUNNING = "running"
    ADDING_UP = "adding up"
    SINGLE_PERIOD = "single period"


class Standing(StrEnum):
    """What kind of text a rule comes from."""

    LAW = "law"
    DEFENCE = "law (defence)"
    MODEL_CODE = "model code, binding where adopted"
    GUIDANCE = "guidance"
    CONSUMER_ADVICE = "consumer advice"


class Food(StrEnum):
    """Which food a rule is about."""

    ANY = "any"
    CHILLED = "chilled"
    HOT = "hot"


class Counted(StrEnum):
    """Whether food measured in control while it is out still uses up its time."""

    TIME_OUT = "time out"
    TIME_IN_ZONE = "time in the zone"


class Marking(StrEnum):
    """Whether the discard time must be written on the container."""

    NONE = "none"
    DISCARD_TIME = "discard time"


class Rule(BaseModel):
    """One rule of one instrument, with the figures it needs and where they stand.

    Parameters
    ----------
    id : str
        As chosen in Settings.
    jurisdiction, instrument, clause, edition : str
        Where the rule stands.
    standing : Standing
        What kind of text that is.
    clock : ClockKind
        How times out make one time.
    limits : tuple of Limit
        Shortest first, the last one to discard; empty when the rule states no time.
    zone : Zone, optional
        Where the clock runs; ``None``: everywhere, once the food has left control.
    counted : Counted
        What uses up the time.
    food : Food
        Which food it is about.
    starts_by : tuple of EventKind
        Events that start the clock.
    starts : tuple of Start
        Temperatures the food may have at the start, one of which must be met; empty: any.
    ceiling : Ceiling, optional
        Above which the food is lost to the rule at once.
    hot_room : HotRoom, optional
        From which room temperature a shorter limit holds.
    marking : Marking
        What must be written on the container.
    needs_procedures : bool
        Whether written procedures must be kept beforehand.
    businesses_only : bool
        Whether it binds only businesses.
    may_return : bool
        Whether the food may go back under control to be kept.
    fallback : bool
        Whether it is applied where another rule cannot be used or states no time.
    note : str
        What else the person must know, as sentences.

    Raises
    ------
    ValueError
        If the limits are out of order or do not end with one to discard.
    """

    model_config = ConfigDict(frozen=True, extra="forbid")

    id: str = Field(min_length=1)
    jurisdiction: str = Field(min_length=1)
    instrument: str = Field(min_length=1)
    clause: str = Field(min_length=1)
    edition: str = Field(min_length=1)
    standing: Standing
    clock: ClockKind
    limits: tuple[Limit, ...] = ()
    zone: Zone | None = None
    counted: Counted = Counted.TIME_OUT
    food: Food = Food.ANY
    starts_by: tuple[EventKind, ...] = LEAVES_CONTROL
    starts: tuple[Start, ...] = ()
    ceiling: Ceiling | None = None
    hot_room: HotRoom | None = None
    marking: Marking = Marking.NONE
    needs_procedures: bool = False
    businesses_only: bool
    may_return: bool = True
    fallback: bool = False
    note: str = ""

    @model_validator(mode="after")
    def _limits_in_order(self) -> Rule:
        times = [limit.minutes for limit in self.limits]
        if times != sorted(set(times)):
            raise ValueError(f"{self.id}: limits are not in order")
        actions = [limit.action for limit in self.limits]
        if actions and actions not in (
            [Action.DISCARD],
            [Action.DO_NOT_RETURN, Action.DISCARD],
        ):
            raise ValueError(f"{self.id}: limits must end with the one limit to discard")
        return self

    @property
    def discard_limit(self) -> Limit | None:
        """The limit at which the food is thrown away."""
        return self.limits[-1] if self.limits else None

    @property
    def return_limit(self) -> Limit | None:
        """The limit from which the food may not go back, when it is not the one to discard."""
        return self.limits[0] if len(self.limits) > 1 else None

    @property
    def source(self) -> str:
        """Instrument, clause and edition."""
        return f"{self.instrument}, {self.clause}, {self.edition}"

    @property
    def figures(self) -> tuple[tuple[str, Cited], ...]:
        """Every published figure of the rule, named."""
        named: list[tuple[str, Cited]] = []
        if self.zone is not None:
            named += [("zone", edge) for edge in self.zone.edges]
        named += [(f"limit to {limit.action}", limit) for limit in self.limits]
        named += [("start temperature", start) for start in self.starts]
        if self.ceiling is not None:
            named.append(("ceiling", self.ceiling))
        if self.hot_room is not None:
            named.append(("hot room", self.hot_room))
        return tuple(named)

    @property
    def verified(self) -> Verified:
        """How the least sure of its figures was seen."""
        return weakest([figure.verified for _, figure in self.figures] or [Verified.MEMORY])

    def in_control(self, temperature: Temperature) -> bool:
        """Whether food at ``temperature`` is under temperature control by this rule."""
        if self.zone is not None:
            return self.zone.cold(temperature) or self.zone.hot(temperature)
        return any(start.holds(temperature) for start in self.starts)


def read_rules(text: str) -> dict[str, Rule]:
    """Rules from TOML: one table per rule, named by its id.

    Parameters
    ----------
    text : str
        Decimal numbers are read exactly.

    Raises
    ------
    ValueError
        If the text is no TOML, or a rule lacks what it needs, its source included.
    """
    tables: dict[str, Any] = tomllib.loads(text, parse_float=Fraction)
    return {name: Rule(id=name, **table) for name, table in tables.items()}


@cache
def _published() -> MappingProxyType[str, Rule]:
    return MappingProxyType(read_rules(reference_file(RULES_FILE).read_text(encoding="utf-8")))


def load_rules() -> dict[str, Rule]:
    """The published rules by id, in the order of the table.

    Examples
    --------
    >>> rules = load_rules()
    >>> rules["UK-CHILL4"].clock
    <ClockKind.SINGLE_PERIOD: 'single period'>
    """
    return dict(_published())


_CLOCK_WORDS = {
    ClockKind.RUNNING: "one clock from the first time out of control; it never pauses",
    ClockKind.ADDING_UP: "separate times out of control are added together",
    ClockKind.SINGLE_PERIOD: "one period out of control, however short, and never a second",
}
_FOOD_WORDS = {Food.CHILLED: "chilled food", Food.HOT: "hot food"}


def explain(rule: Rule) -> str:
    """A rule in plain words, with its clause and how far each figure is verified.

    Parameters
    ----------
    rule : Rule
        As loaded.

    Returns
    -------
    str
        Several lines.

    Examples
    --------
    >>> print(explain(load_rules()["UK-CHILL4"]).splitlines()[0])
    UK-CHILL4: England
    """
    lines = [
        f"{rule.id}: {rule.jurisdiction}",
        f"  {rule.source} ({rule.standing})",
        f"  Clock: {_CLOCK_WORDS[rule.clock]}.",
    ]
    if rule.food in _FOOD_WORDS:
        lines.append(f"  About {_FOOD_WORDS[rule.food]}.")
    if rule.zone is not None:
        lines.append(f"  Runs {rule.zone}.")
    if rule.starts_by != LEAVES_CONTROL:
        lines.append(f"  Starts when {' or '.join(rule.starts_by)}.")
    if rule.starts:
        lines.append(f"  At the start: {', or '.join(s.words for s in rule.starts)}.")
    lines += [f"  From {length(limit.time)} on: {limit.action}." for limit in rule.limits]
    if not rule.limits:
        lines.append("  States no time.")
    if rule.hot_room is not None:
        lines.append(
            f"  In a room at or above {rule.hot_room}: {length(rule.hot_room.time)} instead."
        )
    if rule.ceiling is not None:
        lines.append(f"  Above {rule.ceiling} at any moment: discard.")
    if rule.marking is Marking.DISCARD_TIME:
        lines.append("  The discard time must be marked on the container.")
    if rule.needs_procedures:
        lines.append("  Written procedures must be kept beforehand.")
    lines.append(f"  May go back under control: {_return_words(rule)}.")
    if rule.businesses_only:
        lines.append("  Binds only businesses.")
    if rule.note:
        lines.append(f"  {rule.note}")
    lines.append(f"  Verified: {rule.verified.words}.")
    lines += [
        f"    {name}: {figure.as_printed} ({figure.source_id}, {figure.locator}; "
        f"{figure.verified.words})" + (f" {figure.note}" if figure.note else "")
        for name, figure in rule.figures
    ]
    return "\n".join(lines)


def _return_words(rule: Rule) -> str:
    if not rule.may_return or rule.discard_limit is None:
        return "no"
    before = rule.return_limit or rule.discard_limit
    once = ", once" if rule.clock is ClockKind.SINGLE_PERIOD else ""
    return f"before {length(before.time)}{once}"
