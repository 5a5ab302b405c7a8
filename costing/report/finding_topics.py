"""What a finding is about: what is bought, how containers are judged, or what closing says."""

from __future__ import annotations

from collections.abc import Callable, Iterable

from costing.findings import Finding, Grade
from costing.holding.verified import RULES_FILE
from costing.shoot import Shoot

SETTINGS_OF_HOLDING = frozenset(
    ("Settings", name)
    for name in (
        *("Time zone", "Time control procedures", "Holding rules", "Room temperature"),
        *("Allergen list", "Bowl sizes"),
    )
)
"""Settings that say nothing of what is bought, by sheet and name."""

SHEETS_OF_BUYING = frozenset(("Packs", "Shops", "Trips", "On hand", "Parts", "Shoot plan"))
SHEETS_OF_FOOD = frozenset(("Recipes", "Dishes", "Ingredients", "People"))
SHEETS_OF_CLOSING = frozenset(("Receipts", "Counted"))
SETTINGS_OF_CLOSING = frozenset(
    ("Settings", name) for name in ("Charge mark-up %", "Mark-up on", "Cash float", "Cash counted")
)
COLUMNS_OF_BUYING = frozenset(
    (
        *("Trim yield %", "Cooked weight %", "Grams per ml", "Grams per piece", "Weighs"),
        *("Spoilage % per day", "Keeps days", "Substitute", "Candidates", "Makes", "Budget"),
    )
)
"""Sheets and columns that say nothing of how long containers stand."""


OF_THIS_LIST = frozenset(
    ("basket not proven", "making not proven", "plan not proven", "order day past")
)
"""Codes of what a list says of the day it is asked for: an order is late, a search was ended."""

ABOVE_THE_LIST = "eater avoids"
"""Code of what is said above a list, and not once more below it."""

OF_EATERS = frozenset(
    (
        *("allergen denied", "allergen nearly known", "allergens against the tables"),
        *(ABOVE_THE_LIST, "eater not known"),
    )
)
"""Codes of what may hurt somebody who eats: it stands beside each answer that rests on it."""


def beside_an_answer(
    findings: Iterable[Finding], *, own: Callable[[Finding], bool]
) -> list[Finding]:
    """What is printed below an answer that is asked for time and again; the rest is counted.

    Errors leave something out of it. Of the warnings, which are read where a workbook is checked
    and worked out, those that are the answer's ``own``, or may hurt somebody who eats.
    """
    graver = (one for one in findings if one.grade is not Grade.NOTE)
    return [one for one in graver if one.grade is Grade.ERROR or one.code in OF_EATERS or own(one)]


def of_holding(finding: Finding, shoot: Shoot) -> bool:
    """Whether a finding is about containers alone, and leaves what is bought as it is."""
    place = finding.place
    sheets = {"Holding", RULES_FILE}
    sheets.update(container.place.sheet for container in shoot.containers)
    logs = ("Holding", "Day log")
    sheets.update(left.place.sheet for left in shoot.left_out if left.sheet in logs)
    sheets.update(line.row.sheet for line in shoot.day_log)
    return place.sheet in sheets or (place.sheet, place.name) in SETTINGS_OF_HOLDING


def of_buying(finding: Finding) -> bool:
    """Whether a finding is about money and amounts alone, and leaves containers as they are."""
    place = finding.place
    typed = place.sheet in SHEETS_OF_BUYING or place.heading in COLUMNS_OF_BUYING
    return typed or of_closing(finding)


def of_food(finding: Finding) -> bool:
    """Whether a finding is about what food is and who eats it: where none stands out, no matter."""
    return finding.place.sheet in SHEETS_OF_FOOD


def of_closing(finding: Finding) -> bool:
    """Whether a finding is about receipts, counts, or what is charged."""
    place = finding.place
    return place.sheet in SHEETS_OF_CLOSING or (place.sheet, place.name) in SETTINGS_OF_CLOSING
