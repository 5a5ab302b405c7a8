"""What is said of faults in a holding log."""

from __future__ import annotations

from collections.abc import Sequence

from costing.findings import Grade, Words, choice_words, if_meant, message


@message("holding rule unknown", Grade.ERROR)
def holding_rule_unknown(name: str, near: Sequence[str], known: Sequence[str]) -> Words:
    meant = if_meant(near, "Write one of these ids")
    return Words(
        f'the holding rule "{name}"',
        f"one or more of {choice_words(known)}",
        f"{meant}; until then it cannot be used: food is treated as past its limit.",
    )


@message("time before the last", Grade.ERROR)
def time_before_the_last(time: str, before: str) -> Words:
    return Words(
        f"{time}, which is before the event above it ({before})",
        "a time at or after that of the event above",
        "Write the date with the time when the shoot goes past midnight, or put the rows of the "
        "container in order. Until then it is judged as typed and as sorted, and the worse of the "
        "two holds.",
    )


@message("time after the one asked", Grade.WARNING)
def time_after_the_one_asked(time: str, asked: str) -> Words:
    return Words(
        f"{time}, which is later than the instant asked about ({asked})",
        "a time that has come, or one that is planned",
        "Mend the date or the hour if it has happened already. Until then it is taken as planned "
        "and does not count.",
    )


@message("time not on the clock", Grade.WARNING)
def time_not_on_the_clock(time: str, zone: str) -> Words:
    return Words(
        f"{time}, which no clock in {zone} shows: the clocks go forward over it",
        "a time the clocks show",
        "Write the time the clock showed. Until then the instant that makes the time out the "
        "longer is used.",
    )


@message("time twice on the clock", Grade.NOTE)
def time_twice_on_the_clock(time: str, zone: str) -> Words:
    return Words(
        f"{time}, which clocks in {zone} show twice: they go back over it",
        "a time the clocks show once",
        "The one of the two instants that makes the time out the longer is used. Write a time "
        "outside that hour if the other was meant.",
    )


@message("back without temperature", Grade.NOTE)
def back_without_temperature(kind: str) -> Words:
    return Words(
        f'"{kind}" without a temperature of the food',
        "the temperature of the food with its unit, such as 4 C or 40 F",
        "Write the temperature the food had by then. Without it the time out keeps running.",
    )


@message("reading without temperature", Grade.NOTE)
def reading_without_temperature(kind: str) -> Words:
    return Words(
        f'"{kind}" without a temperature',
        "a temperature with its unit, such as 4 C or 40 F",
        "Write the temperature that was read. Without it the row counts as no reading.",
    )


@message("used after discarding", Grade.ERROR)
def used_after_discarding(kind: str, time: str) -> Words:
    return Words(
        f'"{kind}" after the container was discarded ({time})',
        "no further event of the food that was thrown away",
        "Give the new food a container name of its own. Until then all the times of this name "
        "count together, and it does not count as discarded.",
    )


@message("container without times", Grade.ERROR)
def container_without_times(name: str) -> Words:
    return Words(
        f'the container "{name}" without any event that has a time',
        "one row or more with Event and When",
        "Fill Event and When. Until then the container is treated as past its limit.",
    )


@message("containers hold each other", Grade.WARNING)
def containers_hold_each_other(name: str, other: str) -> Words:
    return Words(
        f'"{name}" in "{other}" and "{other}" in "{name}"',
        "one of them held by the other",
        "Take one of the two out of Holds. Until then the times of both count for each.",
    )


@message("own rules unreadable", Grade.ERROR)
def own_rules_unreadable(what: str) -> Words:
    return Words(
        what,
        "a list of holding rules as TOML, one table for each rule",
        "Mend the file or take it out of the folder; until then none of its rules is applied.",
    )


@message("own rule faulty", Grade.ERROR)
def own_rule_faulty(faults: Sequence[tuple[str, str]]) -> Words:
    """``faults``: where each is, and what."""
    return Words(
        "a fault at " + "; at ".join(f"{where}: {what}" for where, what in faults),
        "the keys of a published rule, each figure with source_id, locator, as_printed and "
        "verified",
        "Mend the rule in the file; until then it is not applied.",
    )


@message("own rule taken", Grade.ERROR)
def own_rule_taken(name: str) -> Words:
    return Words(
        f'the id "{name}", which is a published rule',
        "an id of your own",
        "Give the rule another id and name that one in Settings; the published rule stays as it "
        "is.",
    )
