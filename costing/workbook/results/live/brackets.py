"""Sums of products put into brackets, and names put into sums."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import chain

from costing.quantities import decimal_or_fraction
from costing.workbook.results.live.forms import (
    Count,
    Factors,
    Form,
    inverse,
    ratio,
    simple,
    times,
)

MOST_SCALES = 6
"""Of more different numbers in a sum none would spare the others."""

Sum = dict[Factors, Count]
"""The products of a form; a factor below 0 is a name."""


@dataclass(frozen=True, slots=True)
class Bracket:
    """Products with something in common: the sum of ``outer`` times the sum of ``inner``."""

    outer: Sum
    inner: Sum


def written_size(groups: Sequence[Bracket]) -> int:
    """How many cells a sum of products of sums is written with."""
    return sum(
        len(factors) for group in groups for one in (group.outer, group.inner) for factors in one
    )


def grouped(products: Sum) -> list[Bracket]:
    """A sum as products of shorter sums: what most products share is put before brackets."""
    rest = dict(products)
    having: dict[tuple[int, int], list[Factors]] = {}
    for factors in rest:
        for one in map(signed, factors):
            having.setdefault(one, []).append(factors)
    counts = {one: len(those) for one, those in having.items()}
    pieces: list[tuple[Factors, Count, Sum]] = []
    while (most := max(counts.values(), default=0)) > 1:
        several = {one for one, count in counts.items() if count == most}
        shared = next(one for one in map(signed, chain.from_iterable(rest)) if one in several)
        below = inverse((shared,))
        inner: Sum = {}
        for factors in having[shared]:
            if factors in rest:
                inner[times(factors, below)] = rest.pop(factors)
                for one in map(signed, factors):
                    counts[one] -= 1
        pieces.append(((shared,), 1, inner))
    single = sorted(rest.items(), key=lambda one: not one[0])  # a number behind cells
    # what is left shares nothing, so that none of it goes together with a bracket
    return together(pieces) + [Bracket({(): 1}, {factors: count}) for factors, count in single]


def signed(factor: tuple[int, int]) -> tuple[int, int]:
    """A factor, or one over it, whatever its power."""
    return factor[0], 1 if factor[1] > 0 else -1


def together(pieces: Sequence[tuple[Factors, Count, Sum]]) -> list[Bracket]:
    """Brackets that came out alike put together: (a+b)*(c+d) has been four products."""
    found: dict[frozenset[tuple[Factors, Count]], Bracket] = {}
    for outer, count, inner in pieces:
        group = found.setdefault(frozenset(inner.items()), Bracket({}, inner))
        add(group.outer, outer, count)
    return list(found.values())


def least_written_scale(sums: Sequence[Sum], count: Count) -> Count:
    """The number that is put before a function, of those that make the least of numbers in it.

    The library works in grams, cells may hold kilograms: MIN(B7*1000,C7*1000)/1000 is
    MIN(B7,C7).
    """
    sizes = [(abs(each.numerator), each.denominator) for one in sums for each in one.values()]
    different = set(sizes)
    if len(different | {(1, 1)}) > MOST_SCALES:
        return 1
    if different == {(1, 1)} and abs(count) == 1:
        return 1
    sizes_of = {Fraction(*size): times for size, times in Counter(sizes).items()}
    choices = dict.fromkeys([Fraction(1), *sorted(sizes_of)])

    def room(scale: Fraction) -> tuple[int, int]:
        left = [(each / scale, times) for each, times in sizes_of.items()]
        left.append((abs(count * scale), 1))
        shown = [(len(decimal_or_fraction(each)), times) for each, times in left if each != 1]
        return sum(times for _, times in shown), sum(size * times for size, times in shown)

    return simple(min(choices, key=room))


def take_out(rest: Sum, form: Form, number: int, found: Sum) -> None:
    """Put a name into a sum as often as it goes, for multiples of all its products."""
    if len(form.products) > len(rest):
        return
    lead = min(form.products)
    others = [(factors, count) for factors, count in form.products.items() if factors != lead]
    below = inverse(lead)
    for factors in list(rest):
        if factors not in rest:
            continue
        multiple = times(factors, below)
        count = ratio(rest[factors], form.products[lead])
        wanted = [factors]
        for each, n in others:
            one = times(each, multiple)
            there = rest.get(one)
            if there is None or there != count * n:
                break
            wanted.append(one)
        else:
            for one in wanted:
                del rest[one]
            add(found, times(multiple, ((number, 1),)), count)


def add(products: Sum, factors: Factors, count: Count) -> None:
    """Add a product to a sum."""
    both = products.get(factors, 0) + count
    if both:
        products[factors] = both
    else:
        products.pop(factors, None)


def goes_into(part: Factors, factors: Factors) -> int:
    """The power of a part that goes into a product; 0 when it does not go."""
    if len(part) > len(factors):
        return 0
    if len(part) == 1 and all(atom != part[0][0] for atom, _ in factors):
        return 0
    exponents = dict(factors)
    powers = [exponents.get(atom, 0) / each for atom, each in part]
    if all(power >= 1 for power in powers):
        return int(min(powers))
    return int(max(powers)) if all(power <= -1 for power in powers) else 0
