"""What is said of dates and clock times."""

from __future__ import annotations

from collections.abc import Sequence

from costing.findings import Grade, Words, choice_words, message


@message("date unreadable", Grade.ERROR)
def date_unreadable(found: str, expected: str) -> Words:
    """Something that is no date."""
    return Words(found, expected, "Write the date as year-month-day, such as 2031-05-10.")


@message("date ambiguous", Grade.ERROR)
def date_ambiguous(text: str, readings: Sequence[str]) -> Words:
    """A text that two countries read as two days."""
    return Words(
        f'the text "{text}", which may be ' + choice_words(readings),
        "a date that can be read in one way only",
        "Write " + choice_words(readings) + ".",
    )


@message("date out of range", Grade.ERROR)
def date_out_of_range(found: str) -> Words:
    """A date in another century."""
    return Words(
        found,
        "a date from 2000-01-01 to 2100-12-31",
        "Write the date with all four digits of its year.",
    )


@message("time unreadable", Grade.ERROR)
def time_unreadable(found: str, expected: str) -> Words:
    """Something that is no clock time."""
    return Words(
        found, expected, "Write hours and minutes with a colon between them, such as 09:30."
    )


@message("time past midnight", Grade.ERROR)
def time_past_midnight(found: str, clock: str) -> Words:
    """More than 24 hours in a cell for a clock time."""
    return Words(
        found,
        "a clock time from 00:00 to 23:59",
        f"Write {clock} if that is meant; where the sheet takes a date, write the date of the "
        "next day before it.",
    )


@message("date missing", Grade.ERROR)
def date_missing(clock: str) -> Words:
    """A clock time that no date goes with."""
    return Words(
        f"the time {clock} and no shoot date that it is on",
        "date and time, such as 2031-05-10 10:05, or a time on a known shoot date",
        "Write the date before the time, or fill Shoot date on the sheet Episodes; until then "
        "the time counts as unreadable.",
    )
