"""Whether a title or heading is nearly one of the input sheets': a typing slip, a singular."""

from __future__ import annotations

import unicodedata
from collections.abc import Iterable

from costing.names import key, singular, slips

SHORT = 5
"""Up to this length a slip is reported only when the first letter is right. [characters]"""

ONE_SLIP = 4
TWO_SLIPS = 8
"""From these lengths on one slip, and two slips, are reported. [characters]"""


def heading_key(text: str) -> str:
    """What two spellings of one heading have in common; full-width letters are letters."""
    return key(unicodedata.normalize("NFKC", text))


def nearly(text: str, known: Iterable[str]) -> str | None:
    """The known name that ``text`` is nearly, ``None`` when it is far from all of them.

    Blanks, hyphens and other marks, plural and singular, and one or two slips are what "nearly"
    means. A name with a digit that the known one has not is somebody's own: ``Note 2``.

    Examples
    --------
    >>> nearly("Trim yield", ["Dish", "Trim yield %"]), nearly("Note 2", ["Note"])
    ('Trim yield %', None)
    """
    short = key(text)
    for name in known:
        other = key(name)
        if _letters(short) == _letters(other) or _singular(short) == _singular(other):
            return name
    for name in known:
        other = key(name)
        if not any(c.isdigit() for c in short) and slips(short, other) <= _allowed(short, other):
            return name
    return None


def _letters(text: str) -> str:
    return "".join(c for c in text if c.isalnum())


def _singular(text: str) -> str:
    return _letters("".join(map(singular, text.replace("-", " ").replace("_", " ").split())))


def _allowed(text: str, known: str) -> int:
    shorter = min(len(text), len(known))
    if shorter < ONE_SLIP or (shorter <= SHORT and text[:1] != known[:1]):
        return 0
    return 2 if shorter >= TWO_SLIPS else 1
