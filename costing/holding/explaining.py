"""Rules in plain words, with clause and how far verified, and the cautions that go with them."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from costing.holding.figures import CountedFrom
from costing.holding.instants import length
from costing.holding.rules import LEAVES_CONTROL, ClockKind, FoodState, Marking, Rule, Standing
from costing.holding.verified import Verified

_CLOCK_WORDS = {
    ClockKind.RUNNING: "one clock from the first time out of control; it never pauses",
    ClockKind.ADDING_UP: "separate times out of control are added together",
    ClockKind.SINGLE_PERIOD: "one period out of control, however short, and never a second",
    ClockKind.ONE_PASS: "one pass from one temperature to another; a missed stage is not made good",
    ClockKind.DAYS: "days by the calendar, the first of them the day of making or opening",
}
_FOOD_WORDS = {FoodState.CHILLED: "chilled food", FoodState.HOT: "hot food"}


def explain(rule: Rule) -> str:
    """A rule in plain words, with its clause and how far each figure is verified.

    Examples
    --------
    >>> from costing.holding.rules import load_rules
    >>> print(explain(load_rules()["UK-CHILL4"]).splitlines()[0])
    UK-CHILL4: England
    """
    lines = [
        f"{rule.id}: {rule.jurisdiction}",
        f"  {rule.source} ({rule.standing})",
    ]
    if rule.states_time:
        lines.append(f"  Clock: {_CLOCK_WORDS[rule.clock]}.")
    if rule.food in _FOOD_WORDS:
        lines.append(f"  About {_FOOD_WORDS[rule.food]}.")
    if rule.zone is not None and rule.clock is ClockKind.DAYS:
        lines.append(f"  For food kept {rule.zone.control}.")
    elif rule.zone is not None:
        lines.append(f"  Runs {rule.zone}.")
    if rule.starts_by != LEAVES_CONTROL:
        lines.append(f"  Starts when {' or '.join(rule.starts_by)}.")
    if rule.starts:
        lines.append(f"  At the start: {', or '.join(s.words for s in rule.starts)}.")
    lines += [f"  From {length(limit.time)} on: {limit.action}." for limit in rule.limits]
    lines += _stage_lines(rule)
    if rule.days is not None:
        lines.append(f"  After day {rule.days.count}: discard; frozen days are not counted.")
    if not rule.states_time:
        lines.append("  States no time.")
    lines += _besides(rule)
    if rule.note:
        lines.append(f"  {rule.note}")
    lines.append(f"  Verified: {rule.verified.words}.")
    lines += [
        f"    {name}: {figure.as_printed} ({figure.source_id}, {figure.locator}; "
        f"{figure.verified.words})" + (f" {figure.note}" if figure.note else "")
        for name, figure in rule.figures
    ]
    return "\n".join(lines)


def _besides(rule: Rule) -> Iterator[str]:
    """What it asks for, or allows, beside its times."""
    if rule.reheat is not None:
        yield f"  Reheated: {rule.reheat.words}."
    if rule.hot_room is not None:
        yield f"  In a room at or above {rule.hot_room}: {length(rule.hot_room.time)} instead."
    if rule.cooled_by:
        yield f"  Cooling proven by readings as {rule.cooled_by} asks is not counted."
    if rule.partial:
        yield "  Judges a part of the time out only; another rule applies beside it."
    if rule.ceiling is not None:
        yield f"  Above {rule.ceiling} at any moment: discard."
        if rule.ceiling.monitored:
            yield "  In a warmer room it can be used once the food was measured there."
    if rule.marking is Marking.DISCARD_TIME:
        yield "  The discard time must be marked on the container."
    if rule.marking is Marking.DAY:
        yield "  The last day must be marked on the container."
    if rule.needs_procedures:
        yield "  Written procedures must be kept beforehand."
    if rule.limits:
        yield f"  May go back under control: {_return_words(rule)}."
    if rule.businesses_only:
        yield "  Binds only businesses."


def _stage_lines(rule: Rule) -> list[str]:
    lines = (
        [] if rule.pass_from is None else [f"  Begins at the last reading {rule.pass_from.words}."]
    )
    for stage in rule.stages:
        after = {CountedFrom.START: "of the start", CountedFrom.STAGE_BEFORE: "of the stage before"}
        lines.append(
            f"  Within {length(stage.time)} {after[stage.counted_from]}: {stage.words}; else "
            "discard."
        )
    return lines


def _return_words(rule: Rule) -> str:
    if not rule.may_return or rule.discard_limit is None:
        return "no"
    before = rule.return_limit or rule.discard_limit
    once = ", once" if rule.once_only else ""
    return f"before {length(before.time)}{once}"


GENERAL_CAUTIONS = (
    "These are reminders of time and temperature worked out from published rules and from what "
    "was logged. They do not show that any food is safe, and they are no legal advice.",
    "The food code of the place and its competent authority come first. Ask them where the two "
    "differ.",
    "When in doubt, throw it out. Looks, smell and taste do not tell, and heating again does not "
    "take every toxin away.",
    "Young children, older people, pregnant people and people with weak immune systems need "
    "stricter care than these rules give.",
)


def cautions(used: Iterable[Rule]) -> list[str]:
    """Cautions to show wherever statuses or times are shown.

    ``used``: the rules that gave the statuses; their order does not matter.
    """
    rules = sorted({rule.id: rule for rule in used}.values(), key=lambda rule: rule.id)
    given = list(GENERAL_CAUTIONS)
    procedures = [rule.id for rule in rules if rule.needs_procedures]
    if procedures:
        given.append(
            f"{', '.join(procedures)}: time as a control asks for written procedures kept "
            "beforehand and for the discard time marked on the food. Some authorities want to be "
            "told first, or do not allow it."
        )
    advice = [rule.id for rule in rules if rule.standing is Standing.CONSUMER_ADVICE]
    if advice:
        given.append(
            f"{', '.join(advice)}: advice for homes. A professional kitchen keeps to its own code, "
            "which can differ and can be stricter."
        )
    unread = [
        f"{rule.id} ({_unread(rule)})"
        for rule in rules
        if rule.verified is not Verified.SOURCE_TEXT
    ]
    if unread:
        given.append(
            "Figures not confirmed in the source text itself: "
            + "; ".join(unread)
            + ". Confirm them with the authority before relying on them."
        )
    return given


def _unread(rule: Rule) -> str:
    """The figures of a rule that were not seen in its source text."""
    return ", ".join(
        f"{name}: {figure.as_printed}"
        for name, figure in rule.figures
        if figure.verified is not Verified.SOURCE_TEXT
    )
