"""The text of a formula gives the number it was made of, now and after every edit."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from fractions import Fraction
from typing import Any

import pytest
from expressions import Cells, Expression, cell_of, constant, grown
from hypothesis import assume, given
from hypothesis import strategies as st

from costing.quantities import exact_money, excess, follows, least, most, round_money, traced
from costing.workbook.results.live.cells import InputCell, ResultCell
from costing.workbook.results.live.forms import Forms
from costing.workbook.results.live.writer import NamedForm, NotWritten, Text, Writer

NAMES = ("Plan!$A$1", "Plan!$A$2", "Recipes!$B$1", "Recipes!$B$2")
values = st.fractions(min_value=-12, max_value=12, max_denominator=6)
cells_of = st.fixed_dictionaries(dict.fromkeys(NAMES, values))


def in_cells(cells: Cells) -> Callable[[str], Fraction]:
    return lambda name: traced(cells[name], InputCell(name))


numbers = st.one_of(values, st.sampled_from([Fraction(1, 1000), Fraction(1000), 0])).map(constant)
expressions = st.recursive(
    st.one_of(st.sampled_from(NAMES).map(cell_of), numbers), grown, max_leaves=14
)


def calculated(text: str, cells: Cells) -> Fraction:
    """What a formula gives, read by Python's own rules for brackets and operators."""
    functions = {
        "MIN": min,
        "MAX": max,
        "ROUND": lambda value, digits: Fraction(round_money(value, int(digits))),
        "IF": lambda condition, then, otherwise: then if condition else otherwise,
    }
    known: dict[str, Any] = {**functions, "Fraction": Fraction}
    for number, name in enumerate(cells):
        text = text.replace(name, f"cell_{'abcdefgh'[number]}")
        known[f"cell_{'abcdefgh'[number]}"] = cells[name]
    exact = re.sub(r"(?<![A-Za-z_.])(\d+(?:\.\d+)?)", r"Fraction('\1')", text)
    value = eval(exact.replace("^Fraction('", "**int('"), known)  # noqa: S307
    return Fraction(value)


@given(expressions, cells_of, cells_of, st.lists(expressions, max_size=3))
def test_formula__gives_its_number_for_any_numbers_in_the_cells(
    expression: Expression, now: Cells, later: Cells, parts: Sequence[Expression]
) -> None:
    """Whatever other results it may refer to, which are worked out in cells of their own."""
    forms = Forms()
    try:
        found = expression(in_cells(now))
        wanted = expression(later.__getitem__)
        results = [(part(in_cells(now)), part(later.__getitem__)) for part in parts]
    except ZeroDivisionError:
        assume(False)
    assume(follows(found) and isinstance(found, Fraction))
    names, known = [], dict(later)
    for number, (part, value) in enumerate(results):
        if follows(part) and isinstance(part, Fraction):
            known[f"Results!$Z${number}"] = Fraction(value)
            names.append(NamedForm(forms.of(part), Text(f"Results!$Z${number}")))
    try:
        text = Writer(forms, names).text(forms.of(found)).text
    except NotWritten:
        assume(False)
    assert calculated(text, known) == wanted


A, B, C, D = (
    traced(Fraction(n), InputCell(name))
    for n, name in ((7, "P!A1"), (3, "P!B2"), (5, "R!C3"), (11, "R!D4"))
)
COUNT = traced(Fraction(2), ResultCell("to_buy", (0, 0), "packs", Fraction(2)))


def written(number: Fraction, names: Mapping[str, Fraction] | None = None) -> str:
    forms = Forms()
    known = [NamedForm(forms.of(one), Text(text)) for text, one in (names or {}).items()]
    return Writer(forms, known).text(forms.of(number)).text


@pytest.mark.parametrize(
    ("number", "text"),
    [
        (A * 1, "P!A1"),
        (A / 1000, "P!A1/1000"),
        (A * Fraction("0.89"), "P!A1*0.89"),
        (A * 1000 / 1000, "P!A1"),
        (A * Fraction(20, 3), "P!A1*20/3"),
        (A / (B / 100), "P!A1/P!B2*100"),
        (A / (B * C), "P!A1/(P!B2*R!C3)"),
        (1 / A, "1/P!A1"),
        (A - (B - A), "P!A1*2-P!B2"),
        (A + 2 + B + 3, "P!A1+P!B2+5"),
        (A - A + B, "P!B2"),
        ((1 - B) ** 2, "(1-P!B2)^2"),
        (-A - B, "0-(P!A1+P!B2)"),
        (A * C + B * C + A * D + B * D, "(P!A1+P!B2)*(R!C3+R!D4)"),
        (A * C / 1000 + B * C / 1000, "R!C3*(P!A1+P!B2)/1000"),
        (A * C + A * D + B * C + D, "R!C3*(P!A1+P!B2)+R!D4*(P!A1+1)"),
        (A * B * C + A * B * D, "P!A1*P!B2*(R!C3+R!D4)"),
        (least(A, B), "MIN(P!A1,P!B2)"),
        (least(A * 1000, B * 1000) / 1000, "MIN(P!A1,P!B2)"),
        (most(Fraction(0), A - B), "MAX(0,P!A1-P!B2)"),
        (least(A, A), "P!A1"),
        (exact_money(round_money(A / 3, 2)), "ROUND(P!A1/3,2)"),
        (exact_money(round_money(exact_money(round_money(A / 3, 2)), 2)), "ROUND(P!A1/3,2)"),
        (A * C / (A + B) + B * C / (A + B), "R!C3"),
        ((A + (A + D) * B / (C + D)) / (A + (A + D) * B / (C + D)), "1"),
        (A * COUNT, "P!A1*2"),
        ((A * COUNT + B) / (COUNT * C + D), "(P!A1+P!B2/2)/(R!C3+R!D4/2)"),
    ],
)
def test_formula__is_short_and_reads_from_left_to_right(number: Fraction, text: str) -> None:
    assert written(number) == text


@pytest.mark.parametrize(
    ("number", "names", "text"),
    [
        (A * C / B, {"F7": A * C}, "F7/P!B2"),
        ((A + B) * 5, {"F7": (A + B) / 1000}, "F7*5000"),
        (A + B - least(A + B, C), {"F7": A + B, "H7": least(A + B, C)}, "F7-H7"),
        (A + B, {"F7": A, "G7": B, "H7": A + B}, "H7"),
        (COUNT * A, {"E7": COUNT}, "E7*P!A1"),
    ],
)
def test_formula__refers_to_results_that_stand_already(
    number: Fraction, names: Mapping[str, Fraction], text: str
) -> None:
    assert written(number, names) == text


def test_formula__sums_of_numbers_that_are_not_rounded_lose_their_noise_first() -> None:
    """The last binary digit of a long sum would tip half a coin."""
    forms = Forms()
    name = NamedForm(forms.of(A + B), Text("SUM(T[Used])"), noisy=True)
    form = forms.of(exact_money(round_money(A + B, 2)))
    assert Writer(forms, [name]).text(form).text == "ROUND(ROUND(SUM(T[Used]),9),2)"


def test_formula__what_is_over_a_limit_is_blank_when_nothing_is() -> None:
    bought, budget = round_money(A / 3, 2), round_money(B / 3, 2)
    over = excess(bought, budget, 2)
    assert over is not None
    names = {"E7": exact_money(bought), "F7": exact_money(budget)}
    assert written(exact_money(over), names) == 'IF(E7>F7,ROUND(E7-F7,2),"")'


def test_formula__longer_than_a_cell_takes_is_not_written() -> None:
    forms = Forms()
    cells = [traced(Fraction(n), InputCell(f"'Shoot plan'!$F${n}")) for n in range(900)]
    with pytest.raises(NotWritten):
        Writer(forms).text(forms.of(sum(cells, Fraction(0))))


def test_formula__deeper_than_programs_take_is_not_written() -> None:
    found, forms = A, Forms()
    for number in range(100):
        found = least(found + number, B)
    with pytest.raises(NotWritten):
        Writer(forms).text(forms.of(found))


def test_forms__of_a_sum_of_thousands_are_found_without_deep_calls() -> None:
    """Each line adds to the sum before it; the last is not worked out through all others."""
    found, forms = Fraction(0), Forms()
    for number in range(15_000):
        found += A * number
    assert written(found) == f"P!A1*{sum(range(15_000))}"
    assert len(forms.of(found).products) == 1
