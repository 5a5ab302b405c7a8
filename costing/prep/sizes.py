"""Which bowls hold a volume."""

from __future__ import annotations

import math
from collections.abc import Sequence
from fractions import Fraction


def bowls_for(volume: Fraction, sizes: Sequence[Fraction]) -> tuple[int, Fraction | None]:
    """The fewest bowls that hold a volume, and the smallest size in which they do.

    A bowl holds what its size says, filled to the brim. What is too much for the largest bowl is
    shared evenly among as few as hold it.

    Parameters
    ----------
    volume : Fraction
        To be held. [ml]
    sizes : sequence of Fraction
        Of the bowls at hand; ``()`` when none is known. [ml]

    Returns
    -------
    tuple of int and Fraction or None
        How many bowls of which size; one of unknown size when there are no sizes. [ml]

    Examples
    --------
    2100 ml need three bowls of up to 1000 ml, 700 ml in each; 30 ml just fit the smallest.

    >>> sizes = [Fraction(size) for size in (30, 250, 500, 750, 1000)]
    >>> bowls_for(Fraction(2100), sizes)
    (3, Fraction(750, 1))
    >>> bowls_for(Fraction(30), sizes)
    (1, Fraction(30, 1))
    """
    if not sizes:
        return 1, None
    number = max(1, math.ceil(volume / max(sizes)))
    return number, min(size for size in sizes if size * number >= volume)
