"""What a programme is asked to find."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from fractions import Fraction

from costing.buying.articles import Article
from costing.buying.demand import Counts
from costing.quantities import ONE, ZERO
from costing.shoot.times import Times

HALF = Fraction(1, 2)


@dataclass(frozen=True, slots=True)
class Question:
    """What a programme is to find.

    Parameters
    ----------
    values : mapping of int to sequence of int
        For each uncertain shot the caps it may have, rising. [time]
    times : mapping of int to Times
        The chances of each of them.
    planned : mapping of int to int
        The likeliest numbers, which the needs are made with. [time]
    chance : Fraction
        That all shots stay within their caps, at least; 0 asks for none. [fraction]
    more : mapping of int to mapping of str to Fraction
        What is needed besides, by article and episode. [base unit]
    slack : mapping of str to Fraction
        By how much rounding may lift the till of a shop above the exact prices. [money]
    elastic : bool
        Whether a part of what is wanted may be missing.
    forbidden : frozenset of int
        Activities that are not to be run.
    choosing : bool
        Whether it is to be found what is made, bought ready and cut which way; otherwise that is
        as the makings have chosen it.
    """

    values: Mapping[int, Sequence[int]]
    times: Mapping[int, Times]
    planned: Counts
    chance: Fraction = ZERO
    more: Mapping[int, Mapping[str, Fraction]] = field(default_factory=dict)
    slack: Mapping[str, Fraction] = field(default_factory=dict)
    elastic: bool = False
    forbidden: frozenset[int] = frozenset()
    choosing: bool = False

    def wanted(self, number: int, article: Article, caps: Counts) -> Fraction:
        """To be bought of an article for these caps, exact. [base unit]"""
        as_bought = article.demand.as_bought(caps, self.planned)
        for episode, amount in self.more.get(number, {}).items():
            as_bought[episode] = as_bought.get(episode, ZERO) + amount
        return max(ZERO, article.demand.wanted(as_bought))

    def chance_within(self, caps: Counts) -> Fraction:
        """That every shot stays within its cap. [fraction]"""
        return math.prod((self.times[p].chance_within(k) for p, k in caps.items()), start=ONE)


def log_of(chance: Fraction) -> Fraction:
    """Logarithm of a chance above 0, good to the last digit near 1 too."""
    return Fraction(math.log1p(-float(1 - chance)) if chance > HALF else math.log(chance))
