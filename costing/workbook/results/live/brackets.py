"""Sums of products put into brackets, and names put into sums."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from costing.quantities import ONE, decimal_or_fraction
from costing.workbook.results.live.forms import Factors, Form, inverse, times

MOST_SCALES = 6
"""Of more different numbers in a sum none would spare the others."""

Sum = dict[Factors, Fraction]
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
    pieces: list[tuple[Factors, Fraction, Sum]] = []
    while rest:
        counts = Counter(
            (atom, 1 if power > 0 else -1) for factors in rest for atom, power in factors
        )
        (atom, sign), most = max(counts.items(), key=lambda one: one[1], default=((0, 1), 0))
        if most <= 1:
            break
        outer: Factors = ((atom, sign),)
        having = {
            factors: count
            for factors, count in rest.items()
            if any(one == atom and power * sign > 0 for one, power in factors)
        }
        inner = {times(factors, inverse(outer)): count for factors, count in having.items()}
        pieces.append((outer, ONE, inner))
        rest = {factors: count for factors, count in rest.items() if factors not in having}
    single = sorted(rest.items(), key=lambda one: not one[0])  # a number behind cells
    pieces += [((), ONE, {factors: count}) for factors, count in single]
    return together(pieces)


def together(pieces: Sequence[tuple[Factors, Fraction, Sum]]) -> list[Bracket]:
    """Brackets that came out alike put together: (a+b)*(c+d) has been four products."""
    found: dict[frozenset[tuple[Factors, Fraction]], Bracket] = {}
    for outer, count, inner in pieces:
        group = found.setdefault(frozenset(inner.items()), Bracket({}, inner))
        add(group.outer, outer, count)
    return list(found.values())


def least_written_scale(sums: Sequence[Sum], count: Fraction) -> Fraction:
    """The number that is put before a function, of those that make the least of numbers in it.

    The library works in grams, cells may hold kilograms: MIN(B7*1000,C7*1000)/1000 is
    MIN(B7,C7).
    """
    sizes = [(abs(each.numerator), each.denominator) for one in sums for each in one.values()]
    different = set(sizes)
    if len(different | {(1, 1)}) > MOST_SCALES:
        return ONE
    counts = [Fraction(*size) for size in sizes]
    choices = dict.fromkeys([ONE, *sorted(Fraction(*size) for size in different)])

    def room(scale: Fraction) -> tuple[int, int]:
        left = [*(each / scale for each in counts), abs(count * scale)]
        shown = [decimal_or_fraction(each) for each in left if each != 1]
        return len(shown), sum(map(len, shown))

    return min(choices, key=room)


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
        count = rest[factors] / form.products[lead]
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


def add(products: Sum, factors: Factors, count: Fraction) -> None:
    """Add a product to a sum."""
    before = products.get(factors)
    both = count if before is None else before + count
    if both:
        products[factors] = both
    else:
        products.pop(factors, None)


def goes_into(part: Factors, factors: Factors) -> int:
    """The power of a part that goes into a product; 0 when it does not go."""
    if len(part) > len(factors):
        return 0
    exponents = dict(factors)
    powers = [exponents.get(atom, 0) / each for atom, each in part]
    if all(power >= 1 for power in powers):
        return int(min(powers))
    return int(max(powers)) if all(power <= -1 for power in powers) else 0
