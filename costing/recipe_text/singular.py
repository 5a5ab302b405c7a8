"""The singular of a counted food, so that 1 onion and 2 onions are one ingredient."""

from __future__ import annotations

from costing.names import singular

__all__ = ["singular", "singular_name"]


def singular_name(name: str) -> str:
    """Give a name with its last word in the singular.

    Examples
    --------
    >>> singular_name("green chillies"), singular_name("sardines in oil")
    ('green chilli', 'sardines in oil')
    """
    head, blank, last = name.rpartition(" ")
    return head + blank + singular(last)
