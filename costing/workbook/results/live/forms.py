"""What a traced number is made of, put into the shortest form, and that form as a formula.

A form is a sum of products of cells. Sums are added up and what cancels is gone, whatever way the
library took, so that two numbers that are the same for all cells mostly have the same form. That is
how a formula finds the result cells it can refer to instead of repeating them.
"""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from typing import TypeAlias

from costing.quantities.traced import Cell, Made, Operation, TracedNumber
from costing.workbook.results.live.cells import InputCell, ResultCell

Factors: TypeAlias = tuple[tuple[int, int], ...]
"""A product: what is multiplied, by its number, and how often; in rising order."""

Count: TypeAlias = int | Fraction
"""A number before a product; a whole one is an ``int``, which is worked with much faster."""

Products: TypeAlias = Mapping[Factors, Count]
"""A sum of products, none of them 0 times."""

Addends: TypeAlias = list[tuple[Fraction, int]]
"""The numbers of a sum, each with 1, or -1 where it is taken away."""


class Form:
    """A sum of products with whole exponents.

    ``products``: what each product is multiplied with, none of it 0.
    """

    __slots__ = ("_key", "bracketed", "products")

    def __init__(self, products: Products) -> None:
        self.products = products
        self.bracketed: tuple[int, Factors, Count] | None = None
        self._key: frozenset[tuple[Factors, Count]] | None = None

    @property
    def key(self) -> frozenset[tuple[Factors, Count]]:
        """The same for the same form."""
        if self._key is None:
            self._key = frozenset(self.products.items())
        return self._key

    @property
    def constant(self) -> bool:
        """Whether nothing moves it."""
        return not self.products or (len(self.products) == 1 and () in self.products)


def simple(number: Count) -> Count:
    """A number as an ``int`` where it is whole."""
    return number.numerator if number.denominator == 1 else number


def ratio(one: Count, other: Count) -> Count:
    """One number divided by another, exactly.

    Examples
    --------
    >>> ratio(6, 3), ratio(2, 3)
    (2, Fraction(2, 3))
    """
    return one if other == 1 else simple(Fraction(one) / other)


def powered(number: Count, exponent: int) -> Count:
    """A power of a number, exactly; that of an ``int`` may be a float."""
    return number if exponent == 1 else simple(Fraction(number) ** exponent)


def times(one: Factors, other: Factors) -> Factors:
    """The product of two products.

    Examples
    --------
    >>> times(((1, 1), (2, 1)), ((2, -1), (3, 2)))
    ((1, 1), (3, 2))
    """
    if len(one) < len(other):
        one, other = other, one
    if not other:
        return one
    if len(other) == 1:  # put in its place: this is asked for every product of every sum
        ((wanted, power),) = other
        for at, (atom, exponent) in enumerate(one):
            if atom == wanted:
                both = exponent + power
                return one[:at] + (((atom, both),) if both else ()) + one[at + 1 :]
            if atom > wanted:
                return one[:at] + other + one[at:]
        return one + other
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
    _constants: dict[Fraction, Form] = field(default_factory=dict)
    _same: dict[tuple[Hashable, ...], Form] = field(default_factory=dict)

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
            form = self._sum(addends) if addends else self._of_parts(top)
            self._known[id(top)] = top, form  # the number is kept, so that no other takes its id
        return self._get(wanted)

    def _has(self, one: Fraction) -> bool:
        return type(one) is not TracedNumber or id(one) in self._known

    def _get(self, one: Fraction) -> Form:
        if type(one) is TracedNumber:
            return self._known[id(one)][1]
        if one not in self._constants:
            self._constants[one] = _constant(one)
        return self._constants[one]

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
            first, *rest = made.parts
            sign_of_rest = -sign if made.operation is Operation.SUBTRACT else sign
            waiting += [(each, sign_of_rest) for each in reversed(rest)]
            waiting.append((first, sign))
        return found if len(found) > 1 else []

    def _sum(self, addends: Iterable[tuple[Fraction, int]]) -> Form:
        """The form of a sum; the same numbers are added up once."""
        forms = [(self._get(one), sign) for one, sign in addends]
        same: tuple[Hashable, ...] = (Operation.ADD, *(id(form) * sign for form, sign in forms))
        if same not in self._same:
            products: dict[Factors, Count] = {}
            for form, sign in forms:
                for factors, number_of_them in form.products.items():
                    products[factors] = products.get(factors, 0) + sign * number_of_them
            self._same[same] = Form({one: count for one, count in products.items() if count})
        return self._same[same]

    def _of_parts(self, one: Fraction) -> Form:
        """The form of a number that is no sum; those of its parts are known."""
        assert isinstance(one, TracedNumber)  # noqa: S101 - plain numbers are known
        origin = one.origin
        if isinstance(origin, Cell):
            return Form({((self._atom(origin.name, origin.name), 1),): 1})
        if not isinstance(origin, Made):
            raise TypeError(f"{one!r} cannot be followed")
        forms = [self._get(part) for part in origin.parts]
        same: tuple[Hashable, ...] = (origin.operation, origin.digits, *map(id, forms))
        if same not in self._same:
            self._same[same] = self._made(one, origin, forms)
        return self._same[same]

    def _made(self, one: Fraction, origin: Made, forms: Sequence[Form]) -> Form:
        """The form of a number from those of its parts; what no product holds is a call."""
        if origin.operation is Operation.MULTIPLY:
            return self._product(*forms)
        if origin.operation is Operation.DIVIDE:
            return self._product(forms[0], self._power(forms[1], -1))
        if origin.operation is Operation.POWER:
            return self._power(forms[0], int(origin.parts[1]))
        if all(form.constant for form in forms):
            return _constant(one)
        # the smaller or larger of equal forms is that form, whatever is typed
        if len({form.key for form in forms}) == 1 and origin.operation in _CHOICES:
            return forms[0]
        # rounding twice to the same digits changes nothing
        if origin.operation is Operation.ROUND and self._is_rounded(forms[0], origin.digits):
            return forms[0]
        call = Call(origin.operation, tuple(forms), origin.digits)
        key = (call.operation, tuple(form.key for form in forms), call.digits)
        return Form({((self._atom(key, call), 1),): 1})

    def _is_rounded(self, form: Form, digits: int) -> bool:
        """Whether a form is one number that has been rounded as much before."""
        if list(form.products.values()) != [1]:
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
        products: dict[Factors, Count] = {}
        for factors, count in form.products.items():
            one = Form({(): count})
            for atom, power in factors:
                what = self.atoms[atom]
                if atom in held:
                    part = _constant(held[atom])
                elif isinstance(what, Form):
                    part = self.replaced(what, held)
                else:
                    part = Form({((atom, 1),): 1})
                one = self._product(one, part if power == 1 else self._power(part, power))
            for each, number_of_them in one.products.items():
                products[each] = products.get(each, 0) + number_of_them
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
        products: dict[Factors, Count] = {}
        for factors, count in one.products.items():
            for more, count_of_more in other.products.items():
                both = times(factors, more)
                products[both] = products.get(both, 0) + simple(count * count_of_more)
        return Form(products)

    def _power(self, base: Form, exponent: int) -> Form:
        if not base.products:
            return Form({}) if exponent else Form({(): 1})
        one = self.in_brackets(base)
        ((factors, count),) = one.products.items()
        return Form({inverse(factors, exponent): powered(count, exponent)})

    def in_brackets(self, form: Form) -> Form:
        """A sum as one product: what all its products share, times the rest in brackets.

        The brackets of two forms are the same when one is a multiple of the other.
        """
        if len(form.products) <= 1:
            return form
        bracket, shared, count = self.bracket_of(form)
        return Form({times(shared, ((bracket, 1),)): count})

    def bracket_of(self, form: Form) -> tuple[int, Factors, Count]:
        """What is in the brackets of a sum, what all its products share, and a number.

        What they share may be one over the same brackets: then the two cancel.
        """
        if form.bracketed is None:
            shared = in_all(form.products)
            count = form.products[min(form.products)]
            rest = form if count == 1 and not shared else divided(form, count, shared)
            form.bracketed = self._atom(("sum", rest.key), rest), shared, count
        return form.bracketed


_CHOICES = (Operation.LEAST, Operation.MOST)
_SUMS = (Operation.ADD, Operation.SUBTRACT)


def _made_by(one: Fraction) -> Made | None:
    origin = one.origin if type(one) is TracedNumber else None
    return origin if isinstance(origin, Made) else None


def _parts(one: Fraction) -> Sequence[Fraction]:
    made = _made_by(one)
    return made.parts if made else ()


def _constant(number: Fraction) -> Form:
    return Form({(): simple(Fraction(number))} if number else {})


def divided(form: Form, count: Count, shared: Factors) -> Form:
    """A sum divided by a number and a product; of its few numbers each is divided once."""
    known: dict[Count, Count] = {}
    below = inverse(shared)
    found: dict[Factors, Count] = {}
    for factors, each in form.products.items():
        if each not in known:
            known[each] = ratio(each, count)
        found[times(factors, below)] = known[each]
    return Form(found)


def common(products: Products) -> tuple[Factors, Count]:
    """What all products of a sum share, and the number before all of them where it is the same."""
    sizes = {(abs(one.numerator), one.denominator) for one in products.values()}
    return in_all(products), simple(Fraction(*sizes.pop())) if len(sizes) == 1 else 1


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
