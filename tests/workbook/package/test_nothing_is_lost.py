"""Whatever the person types beside or below the block is still there after any runs: a law."""

from __future__ import annotations

import io
from dataclasses import replace
from fractions import Fraction

import openpyxl
from blocks import HEADINGS, Line, to_buy
from budgets import examples
from hypothesis import given, settings
from hypothesis import strategies as st
from packages import bytes_of, parts_of, plain, zipped
from soundness import faults

from costing.workbook.owned.resultsheets import ResultSheet
from costing.workbook.owned.splice import splice
from costing.workbook.package.cellxml import NewCell

NAMES = ("leek", "cream", "salt", "butter", "egg", "flour", "leek")
lists = st.lists(st.sampled_from(NAMES), max_size=9)


def lines(names: list[str]) -> list[Line]:
    return [(name, 1, Fraction(n)) for n, name in enumerate(names)]


def places(names: list[str]) -> st.SearchStrategy[set[tuple[int, int]]]:
    """Places beside the block, or at least a row below it."""
    bottom = 3 + max(len(names), 1)
    beside = st.tuples(st.integers(1, bottom + 6), st.integers(6, 9))
    below = st.tuples(st.integers(bottom + 2, bottom + 8), st.integers(1, 9))
    return st.sets(st.one_of(beside, below), max_size=6)


def list_of(names: list[str], *, keyed: bool = True, above: int = 0) -> ResultSheet:
    """The list with some more lines above its headings."""
    sheet = to_buy(lines(names), keyed=keyed)
    more = [[NewCell(f"line {number}")] for number in range(above)]
    rows = [*sheet.rows[:2], *more, *sheet.rows[2:]]
    return replace(sheet, rows=rows, header_row=3 + above)


runs = st.lists(st.tuples(lists, st.integers(0, 3)), min_size=1, max_size=3)


@given(st.data(), lists, runs, st.booleans())
@settings(max_examples=examples(80))
def test_typed_cells__are_there_once_after_any_runs(
    data: st.DataObject, first: list[str], later: list[tuple[list[str], int]], keyed: bool
) -> None:
    spliced = splice(zipped(plain()), [list_of(first, keyed=keyed)])
    book = openpyxl.load_workbook(io.BytesIO(spliced.data))
    typed = set()
    for row, column in sorted(data.draw(places(first))):
        text = f"typed {row} {column}"
        book["To buy"].cell(row, column).value = text
        typed.add(text)
    workbook = bytes_of(book)
    for names, above in later:
        spliced = splice(workbook, [list_of(names, keyed=keyed, above=above)])
        assert spliced.edited == ()
        workbook = spliced.data
        page = openpyxl.load_workbook(io.BytesIO(workbook))["To buy"]
        found = [c.value for row in page.iter_rows() for c in row if c.value is not None]
        assert sorted(str(v) for v in found if str(v).startswith("typed")) == sorted(typed)
        block = [
            [c.value for c in row]
            for row in page.iter_rows(3 + above, 3 + above + len(names), 1, 4)
        ]
        assert block == [
            list(HEADINGS),
            *([None, name, packs, cost] for name, packs, cost in lines(names)),
        ]
        told = {(one.cell, one.now) for one in spliced.kept}
        assert all(page[now].value is not None for _, now in told)
        assert faults(workbook) == []
    names, above = later[-1]
    again = splice(workbook, [list_of(names, keyed=keyed, above=above)])
    assert parts_of(again.data) == parts_of(workbook)


@given(st.data(), lists, lists)
@settings(max_examples=examples(40))
def test_notes_beside_rows__go_with_their_rows(
    data: st.DataObject, first: list[str], later: list[str]
) -> None:
    """A note names its row; afterwards it stands beside a row of that name, or below with it."""
    workbook = splice(zipped(plain()), [to_buy(lines(first))]).data
    book = openpyxl.load_workbook(io.BytesIO(workbook))
    noted = data.draw(st.sets(st.integers(0, max(len(first) - 1, 0))))
    for number in noted:
        if number < len(first):
            book["To buy"].cell(4 + number, 7).value = f"about {first[number]}"
    spliced = splice(bytes_of(book), [to_buy(lines(later))])
    page = openpyxl.load_workbook(io.BytesIO(spliced.data))["To buy"]
    pairs = [(row[1].value, row[6].value) for row in page.iter_rows(4, None, 1, 7) if row[6].value]
    assert len(pairs) == len([n for n in noted if n < len(first)])
    assert all(note == f"about {name}" for name, note in pairs)
