"""What a note says of a weighing: ``trimmed from 1200 g`` beside what trimming left."""

from __future__ import annotations

import re

from costing.quantities import Amount, amount

TRIMMED_FROM = re.compile(r"\btrimmed from\s+(.+?)\s*(?:[;,(].*)?$", re.IGNORECASE)
"""At the end of a note, or before a mark; what follows is an amount as it was bought."""


def trimmed_from(note: str) -> Amount | None:
    """What was weighed before trimming, where a note says so.

    Examples
    --------
    >>> print(trimmed_from("trimmed from 1.2 kg"))
    1.2 kg
    >>> trimmed_from("what was trimmed from it is in the bin") is None
    True
    """
    found = TRIMMED_FROM.search(note)
    if found is None:
        return None
    try:
        whole = amount(found[1])
    except ValueError:
        return None
    return whole if whole.base > 0 else None
