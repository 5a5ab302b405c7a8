"""What a step of the method is called."""

from __future__ import annotations

import re

LONGEST_NAME = 60
"""Of a step; the rest stands in Note. [characters]"""

_END = re.compile(r"(?<=[^\W_])[.!?;:](?:\s|$)")


def step_name(text: str) -> str:
    """Give the first sentence, cut between words when it is long.

    Examples
    --------
    >>> step_name("Char the leeks. Let them cool.")
    'Char the leeks'
    >>> step_name("Bring a large pan of salted water to the boil and cook the pasta in it")
    'Bring a large pan of salted water to the boil and cook the…'
    """
    plain = " ".join(text.split())
    end = _END.search(plain)
    first = plain[: end.start()] if end else plain
    if len(first) <= LONGEST_NAME:
        return first.strip()
    kept = first[:LONGEST_NAME].rpartition(" ")[0] or first[: LONGEST_NAME - 1]
    return kept.rstrip(" ,") + "…"
