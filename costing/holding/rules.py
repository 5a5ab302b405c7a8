"""Holding rules: read from the published table, and from a file of the user's own.

A rule is data. The clocks know kinds of clock and not countries, so a further authority is a
further entry of ``reference/holding_rules.toml``, or of a file of that name beside the workbook.
"""

from __future__ import annotations

import tomllib
from enum import StrEnum
from fractions import Fraction
from functools import cache
from pathlib import Path
from types import MappingProxyType
from typing import Any

from pydantic import BaseModel, ConfigDict, Field, ValidationError, model_validator

from costing.findings import Finding, Place
from costing.holding.figures import (
    Action,
    Bound,
    Ceiling,
    Cited,
    CountedFrom,
    Days,
    HotRoom,
    Limit,
    PassStage,
    Sided,
    Start,
    Zone,
    figure_or_text,
)
from costing.holding.messages import own_rule_faulty, own_rule_taken, own_rules_unreadable
from costing.holding.models import EventKind, Temperature
from costing.holding.verified import RULES_FILE, Verified, weakest
from costing.reference import reference_file

FILE_LIMIT = 1_000_000
"""A larger file is no list of rules. [bytes]"""

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

RETURNS = (EventKind.BACK, EventKind.FROZEN)
"""Events that can end a time out, when the food was measured inside control."""

HEATED = (EventKind.COOKED, EventKind.REHEATED)
"""Events that themselves explain why the food is no longer cold."""


class ClockKind(StrEnum):
    """How the times out of control make one time."""

    RUNNING = "running"
    ADDING_UP = "adding up"
    SINGLE_PERIOD = "single period"
    ONE_PASS = "one pass"
    DAYS = "days"


TIMES_OUT = (ClockKind.RUNNING, ClockKind.ADDING_UP, ClockKind.SINGLE_PERIOD)
"""Kinds of clock that judge times out of control; the others judge cooling, heating and age."""


class Standing(StrEnum):
    """What kind of text a rule comes from."""

    LAW = "law"
    DEFENCE = "law (defence)"
    MODEL_CODE = "model code, binding where adopted"
    GUIDANCE = "guidance"
    CONSUMER_ADVICE = "consumer advice"


class FoodState(StrEnum):
    """Which food a rule is about."""

    ANY = "any"
    CHILLED = "chilled"
    HOT = "hot"


class Counted(StrEnum):
    """Whether food measured in control while it is out uses up its time all the same."""

    TIME_OUT = "time out"
    TIME_IN_ZONE = "time in the zone"


class Marking(StrEnum):
    """Whether the discard time must be written on the container."""

    NONE = "none"
    DISCARD_TIME = "discard time"
    DAY = "day"


class Rule(BaseModel):
    """One rule of one instrument, with the figures it needs and where they stand.

    Parameters
    ----------
    limits : tuple of Limit
        Shortest first, the last one to discard; empty when the rule states no time.
    zone : Zone, optional
        Where the clock runs; ``None``: everywhere, once the food has left control.
    starts_by : tuple of EventKind
        Events that start the clock.
    starts : tuple of Start
        Temperatures the food may have at the start, one of which must be met; empty: any.
    stages : tuple of PassStage
        Of one pass, the temperatures to be reached in time, in their order.
    pass_from : Sided, optional
        Of one pass, where it begins: the last reading there counts. ``None``: at the first of the
        events that start it.
    days : Days, optional
        Of a clock of days, how many.
    reheat : Sided, optional
        What food must reach when it is reheated.
    text : Cited, optional
        The words of a rule that gives no figure.
    ceiling : Ceiling, optional
        Above which the food is lost to the rule at once.
    hot_room : HotRoom, optional
        From which room temperature a shorter limit holds.
    needs_procedures : bool
        Whether written procedures must be kept beforehand.
    may_return : bool
        Whether the food may go back under control to be kept.
    cooled_by : str
        Id of the rule about cooling by which cooling, proven by readings, is no time out; none:
        cooling is time out.
    partial : bool
        Whether it judges a part of the time out only, so that others must stand beside it.
    fallback : bool
        Whether it can be applied where another rule cannot be used or states no time.
    note : str
        What else the user must know, as sentences.

    Raises
    ------
    ValueError
        If the limits are out of order or do not end with one to discard, or a rule has not what
        its kind of clock needs.

    Examples
    --------
    >>> load_rules()["AU-2H4H"].jurisdiction
    'Australia'
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
    counted: Counted = Counted.TIME_IN_ZONE
    food: FoodState = FoodState.ANY
    starts_by: tuple[EventKind, ...] = LEAVES_CONTROL
    starts: tuple[Start, ...] = ()
    stages: tuple[PassStage, ...] = ()
    pass_from: Sided | None = None
    days: Days | None = None
    reheat: Sided | None = None
    text: Cited | None = None
    ceiling: Ceiling | None = None
    hot_room: HotRoom | None = None
    marking: Marking = Marking.NONE
    needs_procedures: bool = False
    businesses_only: bool
    may_return: bool = True
    cooled_by: str = ""
    partial: bool = False
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

    @model_validator(mode="after")
    def _fits_its_clock(self) -> Rule:
        if bool(self.stages) != (self.clock is ClockKind.ONE_PASS):
            raise ValueError(f"{self.id}: a clock of one pass has stages, and no other has")
        if bool(self.days) != (self.clock is ClockKind.DAYS):
            raise ValueError(f"{self.id}: a clock of days has days, and no other has")
        if self.clock is ClockKind.DAYS and self.zone is None:
            raise ValueError(f"{self.id}: a clock of days has a zone")
        if self.limits and self.clock not in TIMES_OUT:
            raise ValueError(f"{self.id}: only clocks of times out have limits")
        if self.stages and self.stages[0].counted_from is CountedFrom.STAGE_BEFORE:
            raise ValueError(f"{self.id}: the first stage has none before it")
        return self

    @property
    def never_pauses(self) -> bool:
        """Whether time in control counts too, once its clock runs."""
        return self.clock is ClockKind.RUNNING

    @property
    def once_only(self) -> bool:
        """Whether a second time out is one too many, however short the first."""
        return self.clock is ClockKind.SINGLE_PERIOD

    @property
    def states_time(self) -> bool:
        """Whether it gives any time at all."""
        return bool(self.limits or self.stages or self.days)

    @property
    def cools(self) -> bool:
        """Whether its stages go downwards."""
        return bool(self.stages) and self.stages[-1].bound in (Bound.AT_MOST, Bound.BELOW)

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
        zone = () if self.zone is None else self.zone.edges
        named: list[tuple[str, Cited | None]] = [("zone", edge) for edge in zone]
        named += [(f"limit to {limit.action}", limit) for limit in self.limits]
        named += [("start temperature", start) for start in self.starts]
        named.append(("begins", self.pass_from))
        named += [("stage", stage) for stage in self.stages]
        named += [("days", self.days), ("reheat", self.reheat), ("words", self.text)]
        named += [("ceiling", self.ceiling), ("hot room", self.hot_room)]
        return tuple((name, cited) for name, cited in named if cited is not None)

    @property
    def verified(self) -> Verified:
        """How the least sure of its figures was seen."""
        return weakest([figure.verified for _, figure in self.figures])

    def side(self, temperature: Temperature) -> FoodState | None:
        """On which side food at ``temperature`` is in control; ``None``: it is not."""
        if self.zone is not None:
            if self.zone.cold(temperature):
                return FoodState.CHILLED
            return FoodState.HOT if self.zone.hot(temperature) else None
        # a rule without a zone says by its start temperatures alone what is hot enough or cold
        # enough
        for start in self.starts:
            if start.holds(temperature):
                return (
                    FoodState.CHILLED
                    if start.bound in (Bound.AT_MOST, Bound.BELOW)
                    else FoodState.HOT
                )
        return None

    def in_control(self, temperature: Temperature) -> bool:
        """Whether food at ``temperature`` is under temperature control by this rule."""
        return self.side(temperature) is not None

    def out_of_control(self, temperature: Temperature) -> bool:
        """Whether it is known not to be.

        A rule without a figure for cold food says nothing of food that is not hot.
        """
        if self.zone is not None and self.zone.lower is None:
            return False
        return not self.in_control(temperature)


def read_rules(text: str) -> dict[str, Rule]:
    """Rules from TOML: one table per rule, named by its id.

    Decimal numbers are read exactly.

    Raises
    ------
    ValueError
        If the text is no TOML, or a rule lacks what it needs, its source included.
    """
    # a float of the table would be no tenth of a degree: it is read as the fraction that is printed
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


def own_rules(folder: Path) -> tuple[dict[str, Rule], list[Finding]]:
    """The rules of ``holding_rules.toml`` in a folder, and what is wrong with the others.

    Gives rules by id; a faulty rule is a finding and is left out, the rest is used.
    """
    path = folder / RULES_FILE
    place = Place(RULES_FILE)
    try:
        if not path.is_file():
            return {}, []
        if path.stat().st_size > FILE_LIMIT:
            return {}, [own_rules_unreadable(place, f"a file of more than {FILE_LIMIT} bytes")]
        # some editors put a mark of the encoding before the text
        tables = tomllib.loads(path.read_text(encoding="utf-8-sig"), parse_float=figure_or_text)
    except OSError as fault:
        return {}, [own_rules_unreadable(place, f"a file that cannot be read ({fault.strerror})")]
    except UnicodeDecodeError:
        return {}, [own_rules_unreadable(place, "a file that is not saved as UTF-8")]
    # a whole number of 5000 digits is a ValueError, brackets a thousand deep a RecursionError
    except (ValueError, RecursionError) as fault:
        return {}, [own_rules_unreadable(place, f"text that is no TOML ({fault})")]
    rules: dict[str, Rule] = {}
    findings: list[Finding] = []
    published = {name.casefold() for name in load_rules()}
    for name, table in tables.items():
        where = Place(RULES_FILE, name=name)
        if name.casefold() in published:
            findings.append(own_rule_taken(where, name))
            continue
        try:
            if not isinstance(table, dict):
                raise ValueError("not a table of its own")
            rule = Rule(id=name, **table)
            if rule.cooled_by not in ("", *tables, *load_rules()):
                raise ValueError(f'cooled_by names no rule: "{rule.cooled_by}"')
            rules[name] = rule
        except (ValidationError, ValueError, TypeError, ZeroDivisionError) as fault:
            findings.append(own_rule_faulty(where, _faults(fault)))
    return rules, findings


def _faults(fault: Exception) -> list[tuple[str, str]]:
    """Where in the rule its faults are, and what each is, in words."""
    if not isinstance(fault, ValidationError):
        return [("the rule as a whole", str(fault))]
    said = ((".".join(map(str, one["loc"])), one["msg"]) for one in fault.errors(include_url=False))
    return [(at or "the rule as a whole", msg.removeprefix("Value error, ")) for at, msg in said]
