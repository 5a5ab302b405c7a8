"""What is there and what each take draws in whole numbers, one denominator for each supply.

A question about takes left compares thousands of sums. Of fractions most of their time goes into
bringing each to lowest terms; a plain int says the same once all of them have one denominator.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import cast

from costing.buying.counted_goods import Drawn, Draws
from costing.buying.lives import OpenedPacks
from costing.buying.supply import Supplies, Supply

EVERY = ""
"""Stands for the episode where what all episodes use adds up to one number."""


def whole(number: Fraction, times: int) -> Fraction:
    """A number times a multiple of its denominator, as the int that this is.

    An int is as good a fraction as any, and is added and compared at a small part of the price.
    """
    return cast("Fraction", number.numerator * (times // number.denominator))


NONE = whole(Fraction(0), 1)
"""Nothing, as an int: a sum that begins with it stays whole."""


@dataclass(frozen=True, slots=True)
class WholeSupplies:
    """What is there, and what is drawn of it, in whole numbers.

    Parameters
    ----------
    each : sequence of Draws
        What each time of a shot draws, by its place in the plan. Of a supply whose uses add up to
        one number it is that number, without an episode.
    supplies : sequence of Supply
        What there is. What is made or cut is worked out in fractions, and stays as it is.
    sizes : sequence of int
        By how much each of them is multiplied.
    dearest : sequence of Fraction
        The greatest weight of an episode, for each of them.
    scales : mapping of str to int
        By how much what is drawn is multiplied, by the key of the ingredient.
    """

    each: Sequence[Draws]
    supplies: Sequence[Supply]
    sizes: Sequence[int]
    dearest: Sequence[Fraction]
    scales: Mapping[str, int]

    def lacking(self, at: int, use: Draws, *, exact: bool = False) -> Fraction:
        """By how much a supply is lacking; above 0 it does not last. [1 / its size]

        ``exact``: whether it matters what it has to spare, below 0; else that may be told as 0.
        """
        supply = self.supplies[at]
        if supply.is_sum:
            return use.get((supply.code, EVERY), NONE) - supply.level
        if supply.purchase.demand.making is not None:
            use = {one: Fraction(amount, self.scales[one[0]]) for one, amount in use.items()}
        return supply.lacking(use) if exact else supply.missing(use)


def in_whole_numbers(
    supplies: Supplies, taking: Mapping[Drawn, Sequence[int]], shots: int
) -> WholeSupplies:
    """Supplies in whole numbers.

    ``taking``: the supplies that what is drawn takes of.
    """
    bottoms: dict[str, set[int]] = {}
    for draws in supplies.per_time.values():
        for (code, _), amount in draws.items():
            bottoms.setdefault(code, set()).add(amount.denominator)
    for supply in supplies.limited:
        bottoms.setdefault(supply.code, set()).update(o.amount.denominator for o in supply.lots)
    scales = {code: math.lcm(*several) for code, several in bottoms.items()}
    both = [_in_whole(supply, scales[supply.code]) for supply in supplies.limited]
    each: list[dict[Drawn, Fraction]] = [{} for _ in range(shots)]
    for number, draws in supplies.per_time.items():
        of_shot = each[number]
        for one, amount in draws.items():
            drawn = whole(amount, scales[one[0]])
            for at in taking[one]:
                supply = both[at][0]
                if supply.is_sum:
                    place, part = (supply.code, EVERY), drawn * supply.weights[one[1]]
                    of_shot[place] = of_shot.get(place, NONE) + part
                else:
                    of_shot[one] = drawn
    there = [one for one, _ in both]
    dearest = [max(one.weights.values(), default=NONE) for one in there]
    return WholeSupplies(each, there, [size for _, size in both], dearest, scales)


def _in_whole(supply: Supply, of_draws: int) -> tuple[Supply, int]:
    """A supply where draws are multiplied by a number, and by how much it itself is."""
    if supply.purchase.demand.making is not None:
        return supply, 1
    parts = (*supply.weights.values(), supply.level, *(one.amount for one in supply.packs))
    of_weights = math.lcm(*{part.denominator for part in parts})
    size = of_draws * of_weights

    def times(number: int, packs: tuple[OpenedPacks, ...]) -> tuple[OpenedPacks, ...]:
        return tuple(replace(one, amount=whole(one.amount, number)) for one in packs)

    weights = {name: whole(weight, of_weights) for name, weight in supply.weights.items()}
    lots, packs = times(of_draws, supply.lots), times(size, supply.packs)
    level = whole(supply.level, size)
    return replace(supply, weights=weights, lots=lots, level=level, packs=packs), size
