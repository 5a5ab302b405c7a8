"""What a traced number is made of, put into the shortest form, and that form as a formula.

A form is a sum of products of cells. Sums are added up and what cancels is gone, whatever way the
library took, so that two numbers that are the same for all cells mostly have the same form. That is
how a formula finds the result cells it can refer to instead of repeating them.
"""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from functools import cached_property
from typing import TypeAlias

from costing.quantities import ONE, ZERO
from costing.quantities.traced import Cell, Made, Operation, TracedNumber
from costing.workbook.results.live.cells import InputCell
from costing.workbook.results.live.replay import ResultCell

Factors: TypeAlias = tuple[tuple[int, int], ...]
"""A product: what is multiplied, by its number, and how often; in rising order."""

Addends: TypeAlias = list[tuple[Fraction, int]]
"""The numbers of a sum, each with 1, or -1 where it is taken away."""


class Form:
    """A sum of products with whole exponents.

    Parameters
    ----------
    products : mapping of Factors to Fraction
        What each product is multiplied with, none of it 0.
    """

    __slots__ = ("__dict__", "bracketed", "products")

    def __init__(self, products: Mapping[Factors, Fraction]) -> None:
        self.products = products
        self.bracketed: tuple[int, Factors, Fraction] | None = None

    @cached_property
    def key(self) -> frozenset[tuple[Factors, Fraction]]:
        """The same for the same form."""
        return frozenset(self.products.items())

    @property
    def constant(self) -> bool:
        """Whether nothing moves it."""
        return not self.products or (len(self.products) == 1 and () in self.products)


def times(one: Factors, other: Factors) -> Factors:
    """The product of two products.

    Examples
    --------
    >>> times(((1, 1), (2, 1)), ((2, -1), (3, 2)))
    ((1, 1), (3, 2))
    """
    if not one or not other:
        return one or other
    exponents = dict(one)
    for atom, exponent in other:
        exponents[atom] = exponents.get(atom, 0) + exponent
    return tuple(sorted((atom, exponent) for atom, exponent in exponents.items() if exponent))


def inverse(factors: Factors, exponent: int = -1) -> Factors:
    """One divided by a product, or another power of it."""
    return tuple((atom, each * exponent) for atom, each in factors) if exponent else ()


@dataclass(frozen=True, slots=True)
class Call:
    """A function of forms: ``MIN``, ``MAX``, ``ROUND``, or the excess of one over another."""

    operation: Operation
    forms: tuple[Form, ...]
    digits: int = 0


@dataclass
class Forms:
    """The forms of numbers, and the cells and functions in them, each with a number of its own.

    Attributes
    ----------
    atoms : list
        What products are made of: the name of a cell, a call, or a sum in brackets.
    counting : dict
        The counts of packs in cells and in brackets, by the numbers of those that have any: what
        stands for them where their cell cannot be referred to.
    sheets : dict
        The sheets of the user's cells, by their numbers.
    """

    atoms: list[Hashable | Call | Form] = field(default_factory=list)
    counting: dict[int, dict[int, Fraction]] = field(default_factory=dict)
    sheets: dict[int, str] = field(default_factory=dict)
    _numbers: dict[Hashable, int] = field(default_factory=dict)
    _known: dict[int, tuple[Fraction, Form]] = field(default_factory=dict)

    def of(self, wanted: Fraction) -> Form:
        """The form of a number, worked out from its parts upwards and each part once."""
        # a stack instead of recursion: a sum over hundreds of lines is deeper than Python allows
        waiting: list[tuple[Fraction, Addends | None]] = [(wanted, None)]
        while waiting:
            top, addends = waiting.pop()
            if self._has(top):
                continue
            if addends is None:
                addends = self._addends(top)
                parts = [part for part, _ in addends] if addends else _parts(top)
                more: list[tuple[Fraction, Addends | None]]
                more = [(part, None) for part in parts if not self._has(part)]
                if more:
                    waiting += [(top, addends), *reversed(more)]
                    continue
            form = self._sum(addends) if addends else self._made(top)
            self._known[id(top)] = top, form  # the number is kept, so that no other takes its id
        return self._get(wanted)

    def _has(self, one: Fraction) -> bool:
        return not isinstance(one, TracedNumber) or id(one) in self._known

    def _get(self, one: Fraction) -> Form:
        if isinstance(one, TracedNumber):
            return self._known[id(one)][1]
        return Form({(): Fraction(one)} if one else {})

    def _addends(self, whole: Fraction) -> Addends:
        """The numbers a long sum adds up and takes away; none when it is no sum."""
        made = _made_by(whole)
        if made is None or made.operation not in _SUMS:
            return []
        found: Addends = []
        waiting = [(whole, 1)]
        while waiting:
            one, sign = waiting.pop()
            made = _made_by(one)
            known = one is not whole and self._has(one)
            if made is None or made.operation not in _SUMS or known:
                found.append((one, sign))
                continue
            first, second = made.parts
            waiting.append((second, -sign if made.operation is Operation.SUBTRACT else sign))
            waiting.append((first, sign))
        return found if len(found) > 1 else []

    def _sum(self, addends: Iterable[tuple[Fraction, int]]) -> Form:
        products: dict[Factors, Fraction] = {}
        for one, sign in addends:
            for factors, number_of_them in self._get(one).products.items():
                signed = number_of_them if sign > 0 else -number_of_them
                before = products.get(factors)
                products[factors] = signed if before is None else before + signed
        return Form({factors: count for factors, count in products.items() if count})

    def _made(self, one: Fraction) -> Form:
        """The form of a number that is no sum; those of its parts are known."""
        assert isinstance(one, TracedNumber)  # noqa: S101 - plain numbers are known
        origin = one.origin
        if isinstance(origin, Cell):
            return Form({((self._atom(origin.name, origin.name), 1),): ONE})
        if not isinstance(origin, Made):
            raise TypeError(f"{one!r} cannot be followed")
        forms = [self._get(part) for part in origin.parts]
        if origin.operation is Operation.MULTIPLY:
            return self._product(*forms)
        if origin.operation is Operation.DIVIDE:
            return self._product(forms[0], self._power(forms[1], -1))
        if origin.operation is Operation.POWER:
            return self._power(forms[0], int(origin.parts[1]))
        if all(form.constant for form in forms):
            return Form({(): Fraction(one)} if one else {})
        # the smaller or larger of equal forms is that form, whatever is typed
        if len({form.key for form in forms}) == 1 and origin.operation in _CHOICES:
            return forms[0]
        # rounding twice to the same digits changes nothing
        if origin.operation is Operation.ROUND and self._is_rounded(forms[0], origin.digits):
            return forms[0]
        call = Call(origin.operation, tuple(forms), origin.digits)
        key = (call.operation, tuple(form.key for form in forms), call.digits)
        return Form({((self._atom(key, call), 1),): ONE})

    def _is_rounded(self, form: Form, digits: int) -> bool:
        """Whether a form is one number that has been rounded as much before."""
        if list(form.products.values()) != [ONE]:
            return False
        (factors,) = form.products
        what = self.atoms[factors[0][0]] if len(factors) == 1 and factors[0][1] == 1 else None
        return (
            isinstance(what, Call) and what.operation is Operation.ROUND and what.digits <= digits
        )

    def replaced(self, form: Form, held: Mapping[int, Fraction]) -> Form:
        """The form with numbers in the place of some cells, in brackets too.

        Parameters
        ----------
        form : Form
            Of which no function is looked into.
        held : mapping of int to Fraction
            The numbers, by the numbers of their cells.
        """
        products: dict[Factors, Fraction] = {}
        for factors, count in form.products.items():
            one = Form({(): count})
            for atom, power in factors:
                what = self.atoms[atom]
                if atom in held:
                    part = Form({(): held[atom]} if held[atom] else {})
                elif isinstance(what, Form):
                    part = self.replaced(what, held)
                else:
                    part = Form({((atom, 1),): ONE})
                one = self._product(one, part if power == 1 else self._power(part, power))
            for each, number_of_them in one.products.items():
                products[each] = products.get(each, ZERO) + number_of_them
        return Form({factors: count for factors, count in products.items() if count})

    def _atom(self, key: Hashable, what: Hashable | Call | Form) -> int:
        found = self._numbers.setdefault(key, len(self.atoms))
        if found < len(self.atoms):
            return found
        self.atoms.append(what)
        if isinstance(what, InputCell):
            self.sheets[found] = what.reference.rpartition("!")[0]
        elif isinstance(what, ResultCell) and what.held is not None:
            self.counting[found] = {found: what.held}
        elif isinstance(what, Form):
            inside = {atom for factors in what.products for atom, _ in factors}
            counts = [self.counting[atom] for atom in inside if atom in self.counting]
            if counts:
                self.counting[found] = {at: n for one in counts for at, n in one.items()}
        return found

    def _product(self, one: Form, other: Form) -> Form:
        """A product; of two sums both stay in brackets, so that it never grows long."""
        if len(one.products) > 1 and len(other.products) > 1:
            one, other = self.in_brackets(one), self.in_brackets(other)
        products: dict[Factors, Fraction] = {}
        for factors, count in one.products.items():
            for more, count_of_more in other.products.items():
                both = times(factors, more)
                product = count if count_of_more is ONE else count * count_of_more
                before = products.get(both)
                products[both] = product if before is None else before + product
        return Form(products)

    def _power(self, base: Form, exponent: int) -> Form:
        if not base.products:
            return Form({}) if exponent else Form({(): ONE})
        one = self.in_brackets(base)
        ((factors, count),) = one.products.items()
        return Form({inverse(factors, exponent): count**exponent})

    def in_brackets(self, form: Form) -> Form:
        """A sum as one product: what all its products share, times the rest in brackets.

        The brackets of two forms are the same when one is a multiple of the other.
        """
        if len(form.products) <= 1:
            return form
        bracket, shared, count = self.bracket_of(form)
        return Form({times(shared, ((bracket, 1),)): count})

    def bracket_of(self, form: Form) -> tuple[int, Factors, Fraction]:
        """What is in the brackets of a sum, what all its products share, and a number.

        What they share may be one over the same brackets: then the two cancel.
        """
        if form.bracketed is None:
            shared = in_all(form.products)
            count = form.products[min(form.products)]
            below = inverse(shared)
            rest = Form(
                {times(one, below): each for one, each in divided(form.products, count).items()}
            )
            form.bracketed = self._atom(("sum", rest.key), rest), shared, count
        return form.bracketed


_CHOICES = (Operation.LEAST, Operation.MOST)
_SUMS = (Operation.ADD, Operation.SUBTRACT)


def _made_by(one: Fraction) -> Made | None:
    origin = one.origin if isinstance(one, TracedNumber) else None
    return origin if isinstance(origin, Made) else None


def _parts(one: Fraction) -> Sequence[Fraction]:
    made = _made_by(one)
    return made.parts if made else ()


def divided(products: Mapping[Factors, Fraction], count: Fraction) -> Mapping[Factors, Fraction]:
    """A sum divided by a number; a recipe has few numbers, each of which is divided once."""
    if count == ONE:
        return products
    known: dict[tuple[int, int], Fraction] = {}
    found: dict[Factors, Fraction] = {}
    for factors, each in products.items():
        at = each.numerator, each.denominator
        if at not in known:
            known[at] = each / count
        found[factors] = known[at]
    return found


def common(products: Mapping[Factors, Fraction]) -> tuple[Factors, Fraction]:
    """What all products of a sum share, and the number before all of them where it is the same."""
    sizes = {(abs(one.numerator), one.denominator) for one in products.values()}
    return in_all(products), Fraction(*sizes.pop()) if len(sizes) == 1 else ONE


def in_all(products: Iterable[Factors]) -> Factors:
    """What all products share."""
    several = iter(products)
    shared = dict(next(several))
    for factors in several:
        if not shared:
            break
        exponents = dict(factors)
        for atom, exponent in list(shared.items()):
            other = exponents.get(atom, 0)
            if other * exponent <= 0:
                del shared[atom]
            elif abs(other) < abs(exponent):
                shared[atom] = other
    return tuple(sorted(shared.items()))
