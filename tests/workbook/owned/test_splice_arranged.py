"""Where new result sheets stand among the tabs of a workbook."""

from __future__ import annotations

import io
from collections.abc import Sequence
from dataclasses import replace

import openpyxl
import pytest
from blocks import summary, to_buy
from packages import plain, zipped

from costing.workbook.owned.resultsheets import ResultSheet
from costing.workbook.owned.splice import arranged, splice
from costing.workbook.package.gate import open_gate

SHEETS: dict[str, ResultSheet] = {
    "summary": summary(),
    "to_buy": to_buy(),
    "needs": replace(summary(), mark="needs", title="Needs"),
}
MARKS = ["summary", "to_buy", "needs"]
"""The order of the result sheets; the workbook has Recipes first."""


@pytest.mark.parametrize(
    ("there", "added", "tabs", "opened"),
    [
        # the first of all is new: all results come first, and the first of them is opened
        ([], MARKS, ["Summary", "To buy", "Needs", "Recipes"], "Summary"),
        (["needs"], ["summary"], ["Summary", "Needs", "Recipes"], "Summary"),
        # a later one stands behind the one before it
        (["summary", "needs"], ["to_buy"], ["Recipes", "Summary", "To buy", "Needs"], "Recipes"),
        (["needs", "summary"], ["to_buy"], ["Recipes", "Needs", "Summary", "To buy"], "Recipes"),
        (["summary"], ["to_buy", "needs"], ["Recipes", "Summary", "To buy", "Needs"], "Recipes"),
        # one without another before it stays at the end
        ([], ["to_buy"], ["Recipes", "To buy"], "Recipes"),
        (["summary"], [], ["Recipes", "Summary"], "Recipes"),
    ],
)
def test_arranged__results_first_or_behind_the_one_before(
    there: Sequence[str], added: Sequence[str], tabs: list[str], opened: str
) -> None:
    data = (
        splice(zipped(plain()), [SHEETS[mark] for mark in there]).data if there else zipped(plain())
    )
    data = splice(data, [SHEETS[mark] for mark in (*there, *added)]).data
    package = arranged(open_gate(data), MARKS, added=set(added))
    book = openpyxl.load_workbook(io.BytesIO(package.data))
    assert book.sheetnames == tabs
    assert book.active == book[opened]
