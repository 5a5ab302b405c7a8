"""Forms as formulas: with the cells they can refer to, short, and in an order people read."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import NamedTuple

from costing.quantities import decimal_or_fraction, terminating
from costing.quantities.traced import Operation
from costing.workbook.results.live.brackets import (
    Bracket,
    Sum,
    add,
    goes_into,
    grouped,
    least_written_scale,
    take_out,
    together,
    written_size,
)
from costing.workbook.results.live.cells import LONGEST_FORMULA, InputCell
from costing.workbook.results.live.forms import (
    Call,
    Count,
    Factors,
    Form,
    Forms,
    common,
    inverse,
    powered,
    ratio,
    simple,
    times,
)

MOST_PRODUCTS = 1_000
"""A longer sum is not written. [products]"""

BRACKET_DEPTH = 30
"""So deep brackets may stand in each other; spreadsheet programs take 64 functions."""

NOISELESS_DIGITS = 9
"""Digits behind the point to which added-up binary numbers agree in every program."""

MOST_DIGITS = 15
"""A number with more digits is written as the nearest one a cell can hold."""

ATOM, POWER, PRODUCT, SUM = range(4)
"""How loosely the outermost operation of a text binds."""


class NotWritten(Exception):
    """No formula that a cell takes says it."""


class Text(NamedTuple):
    """A part of a formula as the file spells it, and how loosely its outermost operation binds."""

    text: str
    binding: int = ATOM

    def within(self, binding: int) -> str:
        """The text as part of an operation that binds so loosely; in brackets where it must be."""
        return self.text if self.binding <= binding else f"({self.text})"


@dataclass(frozen=True, slots=True)
class NamedForm:
    """What a number is called where a formula is.

    Parameters
    ----------
    text : Text
        A cell, or a short formula over cells.
    noisy : bool
        Whether it adds up numbers that are not rounded.
    """

    form: Form
    text: Text
    noisy: bool = False


class Writer:
    """Writes formulas that may use some names.

    ``names``: what may be referred to; of several that fit the longest is taken, then the first.
    """

    def __init__(self, forms: Forms, names: Sequence[NamedForm] = ()) -> None:
        self._forms = forms
        self._names = [name for name in names if not name.form.constant]
        self._numbered = list(enumerate(self._names, -len(self._names)))
        self._brackets: dict[int, tuple[int, Factors, Count]] = {}
        sums: list[tuple[int, NamedForm]] = []
        for number, name in self._numbered:
            if len(name.form.products) > 1:
                bracket, shared, count = self._forms.bracket_of(name.form)
                if self._brackets.setdefault(bracket, (number, shared, count))[0] == number:
                    sums.append((number, name))
        # the longest names first: what they replace is gone before a shorter one could break it up
        self._sums = sorted(sums, key=lambda one: -len(one[1].form.products))
        self._products = sorted(
            (one for one in self._numbered if len(one[1].form.products) == 1),
            key=lambda one: -len(min(one[1].form.products)),
        )
        self._named_atoms = {
            atom for _, one in self._products for part in one.form.products for atom, _ in part
        }
        self._depth = 0

    def text(self, form: Form) -> Text:
        """The formula of a form.

        Raises
        ------
        NotWritten
            When it would be too long, or refers to what has no name here.
        """
        return self._deeper(self._named(form))

    def _deeper(self, products: Sum) -> Text:
        """A sum inside others."""
        self._depth += 1
        if self._depth > BRACKET_DEPTH:
            raise NotWritten
        text = self._sum_text(products)
        self._depth -= 1
        return text

    def _named(self, form: Form) -> Sum:
        """The form with names in it wherever they fit."""
        named: Sum = {}
        for factors, count in self._sums_named(form).items():
            one = self._factors_named(factors, count)
            held = self._held(one[0])
            if not held:
                add(named, *one)
                continue
            # where one count has no name here, no other may stand as a name in the same product
            mine = Form({tuple(each for each in factors if each[0] >= 0): count})
            names = tuple(each for each in factors if each[0] < 0)
            for more, times_more in self._forms.replaced(mine, held).products.items():
                add(named, *self._factors_named(times(more, names), times_more))
        return named

    def _sums_named(self, form: Form) -> Sum:
        """The form with names for sums in it."""
        if len(form.products) > 1:
            bracket, shared, count = self._forms.bracket_of(form)
            if (bracket, -1) in shared:
                return {times(shared, ((bracket, 1),)): count}
            if bracket in self._brackets:
                number, shared_of_name, count_of_name = self._brackets[bracket]
                multiple = times(shared, inverse(shared_of_name))
                return {times(multiple, ((number, 1),)): ratio(count, count_of_name)}
        rest = dict(form.products)
        found: Sum = {}
        for number, name in self._sums:
            take_out(rest, name.form, number, found)
        # too long for a formula: the cell keeps its value
        if len(found) + len(rest) > MOST_PRODUCTS:
            raise NotWritten
        for factors, count in rest.items():
            add(found, factors, count)
        return found

    def _held(self, factors: Factors) -> dict[int, Fraction]:
        """All counts in a product, if there is one among them without a name."""
        counting = self._forms.counting
        concerned = [atom for atom, _ in factors if atom in counting]
        if not concerned:
            return {}
        found: dict[int, Fraction] = {}
        for atom in concerned:
            what = self._forms.atoms[atom]
            if not isinstance(what, Form):
                found.update(counting[atom])
                continue
            for one, count in self._sums_named(what).items():
                found.update(self._held(self._factors_named(one, count)[0]))
        if found:
            for atom in concerned:
                found.update(counting[atom])
        return found

    def _factors_named(self, factors: Factors, count: Count) -> tuple[Factors, Count]:
        """A product with the names of parts of it."""
        if self._named_atoms.isdisjoint(atom for atom, _ in factors):
            return factors, count
        for number, name in self._products:
            ((part, count_of_part),) = name.form.products.items()
            while power := goes_into(part, factors):
                factors = times(times(factors, inverse(part, -power)), ((number, power),))
                count = ratio(count, powered(count_of_part, power))
        return factors, count

    def _shortest(self, products: Sum) -> list[Bracket]:
        """The brackets of a sum, set by the rule that leaves the fewest cells.

        What is needed is a sum of times over the shots and of amounts over the recipe: it is short
        when the cells of one sheet are put together.
        """
        sheets = dict.fromkeys(self._sheet(atom) for one in products for atom, _ in one)
        found = [self._by_sheet(products, sheet) for sheet in sheets if sheet]
        return min([grouped(products), *found], key=written_size)

    def _sheet(self, atom: int) -> str:
        return self._forms.sheets.get(atom, "")

    def _by_sheet(self, products: Sum, sheet: str) -> list[Bracket]:
        """A sum as products of sums over cells of one sheet with sums of all the rest."""
        found: dict[Factors, Sum] = {}
        for factors, count in products.items():
            inner = tuple(one for one in factors if self._sheet(one[0]) == sheet)
            outer = tuple(one for one in factors if self._sheet(one[0]) != sheet)
            found.setdefault(outer, {})[inner] = count
        pieces = []
        for outer, sum_of_inner in found.items():
            first = sum_of_inner[min(sum_of_inner)]
            same = {f: ratio(n, first) for f, n in sum_of_inner.items()}
            pieces.append((outer, first, same))
        return together(pieces)

    def _sum_text(self, products: Sum) -> Text:
        """A sum as text, with the factor that all its products share in front."""
        if not products:
            return number_text(0)
        # a minus sign in front binds tighter than a power in spreadsheets: -2^2 is 4 there
        if all(count < 0 for count in products.values()):
            turned = self._sum_text({factors: -count for factors, count in products.items()})
            return Text(f"0-{turned.within(PRODUCT)}", SUM)
        if len(products) == 1:
            ((factors, count),) = products.items()
            return self._product_text(factors, count)
        shared, count = common(products)
        if count == 1:
            count = least_written_scale([products], 1)
        if shared or count != 1:
            below = inverse(shared)
            inner = {times(f, below): ratio(each, count) for f, each in products.items()}
            return self._product_text(shared, count, self._sum_text(inner))
        return self._groups_text(self._shortest(products))

    def _groups_text(self, groups: Sequence[Bracket]) -> Text:
        """Products of sums, added up; those that are taken away behind the others."""
        above: list[Text] = []
        below: list[Text] = []
        for group in groups:
            outer, inner, single = group.outer, group.inner, len(group.outer) == 1
            negative = all(count < 0 for count in inner.values())
            if negative:
                inner = {factors: -count for factors, count in inner.items()}
            if inner == {(): 1} and not negative:
                piece = self._sum_text(outer)
            elif single and len(inner) == 1:
                ((factors, count),) = inner.items()
                ((more, times_more),) = outer.items()
                piece = self._product_text(times(more, factors), count * times_more)
            elif single:
                ((more, times_more),) = outer.items()
                piece = self._product_text(more, times_more, self._sum_text(inner))
            else:
                piece = self._product_text((), 1, self._sum_text(outer), self._sum_text(inner))
            (below if negative else above).append(piece)
        if not above:
            above = [number_text(0)]
        text = "+".join(piece.within(SUM) for piece in above)
        text += "".join(f"-{piece.within(PRODUCT)}" for piece in below)
        return _checked(text, SUM)

    def _product_text(self, factors: Factors, count: Count, *more: Text) -> Text:
        """A product of factors and of more texts, with a number before it."""
        if len(factors) == 1 and count == 1 and factors[0][1] == 1 and not more:
            alone, scale = self._atom_text(factors[0][0], 1)
            if scale == 1:
                return alone
        above: list[Text] = []
        below: list[Text] = []
        for atom, power in sorted(factors, key=self._place):
            base, scale = self._atom_text(atom, count if power == 1 else ratio(1, count))
            if scale != 1:
                count = simple(count * powered(scale, power))
            if abs(power) != 1:
                base = Text(f"{base.within(ATOM)}^{abs(power)}", POWER)
            (above if power > 0 else below).append(base)
        above += more
        # 20/3 stays exact as a division; 0.333 would not be what the library found
        divided = count.denominator != 1 and (
            count.numerator == 1 or terminating(Fraction(count)) is None
        )
        multiplied = count.numerator if divided else count
        if not above:
            above, multiplied = [number_text(multiplied)], 1
        if len(above) == 1 and not below and multiplied == 1 and not divided:
            return above[0]
        text = above[0].within(PRODUCT)
        text += "".join(f"*{piece.within(POWER)}" for piece in above[1:])
        if len(below) == 1:
            text += f"/{below[0].within(POWER)}"
        elif below:
            text += f"/({'*'.join(piece.within(POWER) for piece in below)})"
        if multiplied != 1:
            text += f"*{number_text(multiplied).within(POWER)}"
        if divided:
            text += f"/{number_text(count.denominator).text}"
        return _checked(text, PRODUCT)

    def _place(self, factor: tuple[int, int]) -> tuple[int, int]:
        """Where a factor is in a product: cells of the row, functions, then other cells."""
        atom, _ = factor
        if atom < 0:
            return 0, -atom
        return (2 if isinstance(self._forms.atoms[atom], InputCell) else 1), atom

    def _atom_text(self, atom: int, count: Count) -> tuple[Text, Count]:
        """A factor, and a number that was put before it.

        ``count``: the number that is before it already.
        """
        if atom < 0:
            return self._names[atom].text, 1
        what = self._forms.atoms[atom]
        if isinstance(what, InputCell):
            return Text(what.reference), 1
        if isinstance(what, Call):
            return self._call_text(what, count)
        if not isinstance(what, Form):
            raise NotWritten
        named = self._named(what)
        scale = least_written_scale([named], count)
        return self._deeper({factors: ratio(each, scale) for factors, each in named.items()}), scale

    def _call_text(self, call: Call, count: Count) -> tuple[Text, Count]:
        """A call of a function as text, and the scale it was taken out of."""
        if call.operation is Operation.EXCESS:
            amount, limit = map(self.text, call.forms)
            left = f"ROUND({amount.within(SUM)}-{limit.within(PRODUCT)},{call.digits})"
            return _checked(f'IF({amount.text}>{limit.text},{left},"")'), 1
        if call.operation is Operation.ROUND:
            rounded = self._named(*call.forms)
            text = self._deeper(rounded).text
            # sums of floats miss by their last digits, and 0.5 just below rounds down: so the noise
            # is rounded off before the rounding that counts
            if any(map(self._is_noisy, rounded)):
                text = f"ROUND({text},{NOISELESS_DIGITS})"
            return _checked(f"ROUND({text},{call.digits})"), 1
        named = [self._named(form) for form in call.forms]
        scale = least_written_scale(named, count)
        scaled = [{f: ratio(each, scale) for f, each in one.items()} for one in named]
        texts = [self._deeper(one).text for one in scaled]
        return _checked(f"{call.operation}({','.join(texts)})"), scale

    def _is_noisy(self, factors: Factors) -> bool:
        return any(atom < 0 and self._names[atom].noisy for atom, _ in factors)


def number_text(value: Count) -> Text:
    """A number.

    Examples
    --------
    >>> [number_text(Fraction(one)).text for one in ("0.72", "20/3", "1.234567e-9")]
    ['0.72', '20/3', '1.234567E-09']
    """
    text = str(value) if isinstance(value, int) else decimal_or_fraction(value)
    if len(text) > MOST_DIGITS:
        text = repr(value.numerator / value.denominator).upper()
    return Text(text, SUM if value < 0 else PRODUCT if "/" in text else ATOM)


def _checked(text: str, binding: int = ATOM) -> Text:
    if len(text) > LONGEST_FORMULA:
        raise NotWritten
    return Text(text, binding)
