"""How many examples a law is tried with: few in every run, more before a change lands.

Profiles of hypothesis, chosen by ``HYPOTHESIS_PROFILE``: ``quick`` for every run, ``ci`` which
``.ci/run`` takes on one Python, ``wide`` for a search at random. A law that costs more for each
example says how many it is worth under ``ci``; the other profiles take as many in proportion.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import TypeVar

from hypothesis import settings

T = TypeVar("T")

EXAMPLES = {"quick": 20, "ci": 100, "wide": 1000}
"""Of a law that says nothing else, by profile. [example]"""

FEWEST = 5
"""Of any law under any profile. [example]"""


def examples(under_ci: int) -> int:
    """So many examples under the profile ``ci``, and in proportion under others. [example]"""
    return max(FEWEST, under_ci * settings().max_examples // EXAMPLES["ci"])


def spread(every: Sequence[T]) -> Sequence[T]:
    """All of many like cases; under ``quick`` each third, evenly spread."""
    return every[::3] if settings().max_examples < EXAMPLES["ci"] else every
