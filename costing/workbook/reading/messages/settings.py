"""What is said of settings and temperatures."""

from __future__ import annotations

from collections.abc import Sequence

from costing.findings import Grade, Words, choice_words, message


@message("setting unknown", Grade.ERROR)
def setting_unknown(name: str, known: Sequence[str], near: Sequence[str]) -> Words:
    """A setting nobody knows."""
    return Words(
        f'the setting "{name}"',
        choice_words(known),
        (f"Write {choice_words(near)} if that is meant, or delete" if near else "Delete")
        + " the row.",
    )


@message("setting twice", Grade.ERROR)
def setting_twice(name: str, first: str) -> Words:
    """A setting that stands there a second time."""
    return Words(
        f'the setting "{name}" a second time; the first is at {first}',
        "each setting once",
        "Delete one of the rows; until then the first is used.",
    )


@message("currency unknown", Grade.ERROR)
def currency_unknown(found: str, near: Sequence[str]) -> Words:
    """A currency that is no code of ISO 4217."""
    return Words(
        found,
        "a currency code of three letters (ISO 4217), such as EUR",
        (f"Write {choice_words(near)} if that is meant. " if near else "")
        + "Until then money is shown without a sign.",
    )


@message("place unknown", Grade.ERROR)
def place_unknown(found: str, near: Sequence[str], state: str = "") -> Words:
    """A country or state for which no rules are known.

    ``state`` is how it would be written if it were one of the United States.
    """
    return Words(
        found,
        "a country, and its state where it matters, such as France or United States, California",
        (f"Write {choice_words(near)} if that is meant. " if near else "")
        + (f"If it is a state, write its country before it: {state}. " if state else "")
        + "Where it has no rules here, leave it blank and fill Holding rules and Allergen list. "
        "Until then it counts as blank.",
    )


@message("time zone unknown", Grade.ERROR)
def time_zone_unknown(found: str, near: Sequence[str]) -> Words:
    """A time zone the list does not have."""
    return Words(
        found,
        "the name of a time zone of the IANA list, such as Europe/Lisbon",
        (f"Write {choice_words(near)} if that is meant. " if near else "")
        + "Until then clock times are taken in the computer's zone.",
    )


@message("temperature without unit", Grade.ERROR)
def temperature_without_unit(number: str) -> Words:
    """A temperature that may be Celsius or Fahrenheit."""
    return Words(
        f"{number} without a unit",
        f"a temperature with its unit, such as {number} C or {number} F",
        f"Write {number} C or {number} F; until then it counts as not measured.",
    )


@message("temperature unreadable", Grade.ERROR)
def temperature_unreadable(found: str) -> Words:
    """Something that is no temperature."""
    return Words(
        found,
        "a temperature with its unit, such as 4 C or 39 F",
        "Write a number and C or F; until then it counts as not measured.",
    )


@message("bowl sizes unreadable", Grade.ERROR)
def bowl_sizes_unreadable(found: str) -> Words:
    """Something that is no list of sizes."""
    return Words(
        found,
        "sizes in ml above 0 with commas between them, such as 60, 120, 250",
        "Write the numbers alone; until then the usual sizes are used.",
    )
