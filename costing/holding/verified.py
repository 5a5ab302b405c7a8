"""How far published figures are verified, and the published rules in a line each.

Nothing here needs the models of the rules: to import those takes longer than to print the list.
"""

from __future__ import annotations

import tomllib
from collections.abc import Iterator, Sequence
from enum import StrEnum
from typing import Any

from costing.reference.files import reference_file

RULES_FILE = "holding_rules.toml"


class Verified(StrEnum):
    """How a figure was seen, the surest first."""

    SOURCE_TEXT = "source-text"
    PART_TEXT = "part-text"
    ADOPTED_TEXT = "adopted-text"
    SECONDARY = "secondary"
    MEMORY = "memory"

    @property
    def words(self) -> str:
        """The same in plain words."""
        return _VERIFIED_WORDS[self]


_VERIFIED_WORDS = {
    Verified.SOURCE_TEXT: "seen in the source text",
    Verified.PART_TEXT: "source text seen in part",
    Verified.ADOPTED_TEXT: "seen in a text that adopts or parallels it, not in the instrument",
    Verified.SECONDARY: "seen in a secondary source only",
    Verified.MEMORY: "from memory, not verified",
}


def weakest(seen: Sequence[Verified]) -> Verified:
    """The least sure of several; nothing that was seen is from memory.

    Examples
    --------
    >>> weakest([Verified.SOURCE_TEXT, Verified.SECONDARY]).words
    'seen in a secondary source only'
    """
    return max(seen, key=list(Verified).index, default=Verified.MEMORY)


def rules_listed() -> list[str]:
    """The published rules in a line each: where it is, and how the least sure figure was seen.

    Examples
    --------
    >>> next(line for line in rules_listed() if line.startswith("US-TPHC-4"))[:45]
    'US-TPHC-4    United States, where adopted: FD'
    """
    tables = tomllib.loads(reference_file(RULES_FILE).read_text(encoding="utf-8"))
    return [
        f"{name:12} {table['jurisdiction']}: {table['instrument']}, {table['clause']} "
        f"({weakest([*_seen(table)]).words})"
        for name, table in tables.items()
    ]


def _seen(table: Any) -> Iterator[Verified]:
    """How each figure of a rule was seen."""
    for name, value in table.items():
        if name == "verified":
            yield Verified(value)
        for inner in value if isinstance(value, list) else [value]:
            if isinstance(inner, dict):
                yield from _seen(inner)
