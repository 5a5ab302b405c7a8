"""What is said of faults in a holding log: every message, whole."""

from __future__ import annotations

import pytest
from bowls import bowl, judged

from costing.findings import Finding, Grade
from costing.holding import messages
from costing.holding.models import Container

CELL = 'Holding!C{} (row "bowl", column "Event")'
NAME = 'Holding!A2 (row "{}", column "Container")'

MESSAGES: dict[str, tuple[list[Container], tuple[str, ...], str]] = {
    "holding rule unknown": (
        [bowl("out 10:00 4 C")],
        ("US-HOME-2", "AU-2H4H"),
        'Settings (row "Holding rules", column "Value"): found the holding rule "US-HOME-2", '
        "expected one or more of US-HOME-2H, HOME-2H-5C, US-TPHC-4, AU-2H4H, UK-CHILL4, UK-HOT2, "
        "US-HOLD, US-TPHC-4P, US-TPHC-6, US-COOL or one of 26 more [holding rule unknown]\n"
        '  Write "US-HOME-2H" if that is meant; until then it cannot be used: food is treated as '
        "past its limit.",
    ),
    "time before the last": (
        [bowl("out 22:00 4 C", "back 00:30 4 C")],
        ("US-HOME-2H",),
        f"{CELL.format(3)}: found 2026-10-05 00:30 WEST, which is before the event above it "
        "(2026-10-05 22:00 WEST), expected a time at or after that of the event above "
        "[time before the last]\n"
        "  Write the date with the time when the shoot goes past midnight, or put the rows of the "
        "container in order. Until then it is judged as typed and as sorted, and the worse of the "
        "two holds.",
    ),
    "time not on the clock": (
        [bowl("out 2027-03-28 01:30 4 C")],
        ("US-HOME-2H",),
        f"{CELL.format(2)}: found 2027-03-28 01:30, which no clock in Europe/Lisbon shows: the "
        "clocks go forward over it, expected a time the clocks show [time not on the clock]\n"
        "  Write the time the clock showed. Until then the instant that makes the time out the "
        "longer is used.",
    ),
    "time twice on the clock": (
        [bowl("out 2027-10-31 01:30 4 C")],
        ("US-HOME-2H",),
        f"{CELL.format(2)}: found 2027-10-31 01:30, which clocks in Europe/Lisbon show twice: they "
        "go back over it, expected a time the clocks show once [time twice on the clock]\n"
        "  The one of the two instants that makes the time out the longer is used. Write a time "
        "outside that hour if the other was meant.",
    ),
    "back without temperature": (
        [bowl("out 10:00 4 C", "back 10:30")],
        ("US-HOME-2H",),
        f'{CELL.format(3)}: found "back" without a temperature of the food, expected the '
        "temperature of the food with its unit, such as 4 C or 40 F [back without temperature]\n"
        "  Write the temperature the food had by then. Without it the time out keeps running.",
    ),
    "reading without temperature": (
        [bowl("room 10:00", "out 10:30 4 C")],
        ("US-HOME-2H",),
        f'{CELL.format(2)}: found "room" without a temperature, expected a temperature with its '
        "unit, such as 4 C or 40 F [reading without temperature]\n"
        "  Write the temperature that was read. Without it the row counts as no reading.",
    ),
    "used after discarding": (
        [bowl("out 10:00 4 C", "discarded 10:30", "out 11:00 4 C")],
        ("US-HOME-2H",),
        f'{CELL.format(4)}: found "out" after the container was discarded (2026-10-05 11:00 WEST), '
        "expected no further event of the food that was thrown away [used after discarding]\n"
        "  Give the new food a container name of its own. Until then all the times of this name "
        "count together, and it does not count as discarded.",
    ),
    "container without times": (
        [bowl(name="jug")],
        ("US-HOME-2H",),
        f'{NAME.format("jug")}: found the container "jug" without any event that has a time, '
        "expected one row or more with Event and When [container without times]\n"
        "  Fill Event and When. Until then the container is treated as past its limit.",
    ),
    "containers hold each other": (
        [
            bowl("out 10:00 4 C", name="jug", holds=("pan",)),
            bowl("out 10:00 4 C", name="pan", holds=("jug",)),
        ],
        ("US-HOME-2H",),
        f'{NAME.format("jug")}: found "jug" in "pan" and "pan" in "jug", expected one of them held '
        "by the other [containers hold each other]\n"
        "  Take one of the two out of Holds. Until then the times of both count for each.",
    ),
}


def found_in(containers: list[Container], rules: tuple[str, ...]) -> list[Finding]:
    _, found = judged(containers, *rules)
    return found


@pytest.mark.parametrize(("containers", "rules", "text"), MESSAGES.values(), ids=list(MESSAGES))
def test_message__whole(containers: list[Container], rules: tuple[str, ...], text: str) -> None:
    assert [str(finding) for finding in found_in(containers, rules)] == [text]


def test_message__time_after_the_one_asked() -> None:
    """Said once for a container, at the first of its times to come."""
    log = bowl("out 10:00 4 C", "back 22:05 4 C", "out 23:00")
    _, found = judged([log], "US-HOME-2H", at="11:00")
    assert [str(finding) for finding in found if finding.grade is Grade.WARNING] == [
        f"{CELL.format(3)}: found 2026-10-05 22:05 WEST, which is later than the instant asked "
        "about (2026-10-05 11:00 WEST), expected a time that has come, or one that is planned "
        "[time after the one asked]\n"
        "  Mend the date or the hour if it has happened already. Until then it is taken as planned "
        "and does not count."
    ]


def test_message__rule_that_looks_like_none() -> None:
    [finding] = found_in([bowl("out 10:00 4 C")], ("kitchen sense",))
    assert finding.remedy == (
        "Write one of these ids; until then it cannot be used: food is treated as past its limit."
    )


def test_message__of_a_return_into_the_freezer() -> None:
    [finding] = found_in([bowl("out 10:00 4 C", "frozen 10:30")], ("US-HOME-2H",))
    assert finding.found == '"frozen" without a temperature of the food'


def test_message__of_the_mark_and_of_the_instant_asked_about() -> None:
    log = bowl("out 2027-10-30 22:00 4 C", marked="2027-10-31 01:30")
    _, found = judged([log], "US-TPHC-4", at="2027-10-31 01:45")
    assert [(f.code, str(f.place)) for f in found] == [
        ("time twice on the clock", NAME.format("bowl")),
        ("time twice on the clock", 'row "the instant asked about"'),
    ]


def test_message__every_one_is_tested() -> None:
    names = {
        name
        for name, told in vars(messages).items()
        if getattr(told, "__module__", "") == messages.__name__
        if not name.startswith("own_rule")  # those have a file of their own
    }
    assert {name.replace("_", " ") for name in names} == {*MESSAGES, "time after the one asked"}
