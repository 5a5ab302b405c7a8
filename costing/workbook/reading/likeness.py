"""Whether a sheet or a heading is nearly one of ours: a slip of the finger, a singular."""

from __future__ import annotations

from collections.abc import Iterable

from costing.names import key

SHORT = 5
"""Up to this length a slip is told only when the first letter is right. [characters]"""

ONE_SLIP = 4
TWO_SLIPS = 8
"""From these lengths on one slip, and two slips, are told. [characters]"""


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
        if not any(c.isdigit() for c in short) and _slips(short, other) <= _allowed(short, other):
            return name
    return None


def _letters(text: str) -> str:
    return "".join(c for c in text if c.isalnum())


def _singular(text: str) -> str:
    words = []
    for word in text.replace("-", " ").replace("_", " ").split():
        if word.endswith(("shes", "ches")):
            word = word[:-2]
        elif word.endswith("s") and len(word) > 2:
            word = word[:-1]
        words.append(word)
    return _letters("".join(words))


def _allowed(text: str, known: str) -> int:
    shorter = min(len(text), len(known))
    if shorter < ONE_SLIP or (shorter <= SHORT and text[:1] != known[:1]):
        return 0
    return 2 if shorter >= TWO_SLIPS else 1


def _slips(one: str, other: str) -> int:
    """How many letters are missing, added, changed or swapped with their neighbour."""
    if abs(len(one) - len(other)) > 2:
        return 3
    before: list[int] = []
    row = list(range(len(other) + 1))
    for i, a in enumerate(one, 1):
        before, above, row = row, before, [i]
        for j, b in enumerate(other, 1):
            cost = min(before[j] + 1, row[j - 1] + 1, before[j - 1] + (a != b))
            if i > 1 and j > 1 and a == other[j - 2] and b == one[i - 2]:
                cost = min(cost, above[j - 2] + 1)
            row.append(cost)
    return row[-1]
