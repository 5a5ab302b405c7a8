"""Whatever stands in a cell, reading ends with a shoot and findings in plain words."""

from __future__ import annotations

import tempfile
from datetime import date, datetime, time, timedelta
from pathlib import Path
from typing import Any

from budgets import examples
from good_workbook import SHEETS, good_workbook, read
from hypothesis import given, settings
from hypothesis import strategies as st

TEXT = st.text(st.characters(codec="utf-8", exclude_categories=("Cc", "Cs")), max_size=30)
VALUE: st.SearchStrategy[Any] = st.one_of(
    st.none(),
    st.booleans(),
    st.integers(-(10**9), 10**9),
    st.floats(-1e9, 1e9),
    TEXT,
    st.sampled_from(
        ["1,234", "2-3", "3-1", "to taste", "plenty", "=1+1", "#N/A", "50%", "½ ", "4 C"]
    ),
    st.dates(date(1901, 1, 1), date(2200, 1, 1)),
    st.datetimes(datetime(1901, 1, 1), datetime(2200, 1, 1)),
    st.times(),
    st.timedeltas(timedelta(0), timedelta(days=3)),
)
CELL = st.tuples(st.sampled_from(list(SHEETS)), st.integers(1, 6), st.integers(1, 10), VALUE)
FORMAT = st.sampled_from(["General", "0%", "dd/mm/yyyy", "hh:mm", "@", "[h]:mm"])


@settings(max_examples=examples(60))
@given(st.lists(st.tuples(CELL, FORMAT), min_size=1, max_size=25))
def test_read_workbook__never_fails_on_a_cell(
    changes: list[tuple[tuple[str, int, int, Any], str]],
) -> None:
    """Law: any values in any cells are read or told of; no exception reaches the person."""
    book = good_workbook()
    for (title, row, column, value), number_format in changes:
        cell = book[title].cell(row, column)
        cell.value = value
        if not isinstance(value, (date, time, timedelta)):
            cell.number_format = number_format
    with tempfile.TemporaryDirectory() as folder:
        shoot, said = read(book, Path(folder))
    assert shoot.settings is not None
    for finding in said:
        text = str(finding)
        assert finding.found
        assert finding.expected
        assert finding.remedy
        assert "Error" not in text.replace("#", "")
        assert "Fraction(" not in text
        assert "None" not in text.replace('"None"', "")


def test_read_workbook__a_long_text_is_cut_where_it_is_quoted(tmp_path: Path) -> None:
    book = good_workbook()
    long = "very " * 5000 + "much"
    for address in ("E2", "F3"):
        book["Recipes"][address] = long
    book["Shoot plan"]["D3"] = long
    book["Shoot plan"]["A3"] = long
    _, said = read(book, tmp_path)
    assert {finding.code for finding in said} == {
        "text not a number",
        "unknown unit",
        "choice unknown",
    }
    assert max(len(str(finding)) for finding in said) < 600
