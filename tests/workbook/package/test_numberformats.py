"""Which formats show days, and what a number is on which day."""

from __future__ import annotations

from datetime import date, datetime, time, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st
from packages import MAIN

from costing.workbook.package.numberformats import (
    cell_formats,
    days_of,
    moment,
    number_format,
    spelled_out,
    words_beside,
)

FROM_1900, FROM_1904 = datetime(1899, 12, 30), datetime(1904, 1, 1)


@pytest.mark.parametrize(
    ("code", "dated", "elapsed"),
    [
        ("yyyy-mm-dd", True, False),
        ("[h]:mm", True, True),
        ("h:mm", True, False),
        ('0 "days"', False, False),
        ("0.00", False, False),
        ("General", False, False),
        ("0" * 254 + "d", True, False),
        ("0" * 255 + "d", False, False),
    ],
)
def test_number_format__shows_days_or_a_length_of_time(
    code: str, *, dated: bool, elapsed: bool
) -> None:
    """No program takes more than 255 signs; what stands behind them is not looked through."""
    found = number_format(code)
    assert (found.code, found.dated, found.elapsed) == (code, dated, elapsed)


def styles(formats: str, cells: str) -> bytes:
    return f'<styleSheet xmlns="{MAIN}">{formats}{cells}</styleSheet>'.encode()


def test_cell_formats__by_number_own_ones_before_those_that_all_programs_have() -> None:
    """ISO/IEC 29500-1, 18.8.30: 2 is 0.00 and 14 a day; 200 and 999 a workbook spells itself."""
    own = (
        '<numFmts><numFmt numFmtId="14" formatCode="0"/>'
        '<numFmt numFmtId="200" formatCode="dd/mm"/></numFmts>'
    )
    numbers = "".join(f'<xf numFmtId="{number}"/>' for number in (2, 14, 200, 999))
    cells = f"<cellXfs>{numbers}<xf/></cellXfs>"
    found = [one.code for one in cell_formats(styles(own, cells))]
    assert found == ["0.00", "0", "dd/mm", "General", "General"]
    usual = cell_formats(styles("", cells))
    assert [one.dated for one in usual] == [False, True, False, False, False]


def test_cell_formats__of_alternatives_the_one_that_needs_no_extension() -> None:
    """ISO/IEC 29500-3, 7.5: who knows none of the choices takes the fallback."""
    alternatives = (
        '<mc:AlternateContent xmlns:mc="http://schemas.openxmlformats.org/markup-compatibility/2006">'
        '<mc:Choice Requires="own" xmlns:own="urn:own"><xf numFmtId="1" own:more="1"/></mc:Choice>'
        '<mc:Fallback><xf numFmtId="2"/></mc:Fallback></mc:AlternateContent>'
    )
    cells = f'<cellXfs count="2">{alternatives}<xf numFmtId="14"/></cellXfs>'
    assert [one.code for one in cell_formats(styles("", cells))] == ["0.00", "mm-dd-yy"]


@pytest.mark.parametrize("part", [None, styles("", ""), styles("", "<cellXfs/>")])
def test_cell_formats__a_cell_has_one_where_none_is_listed(part: bytes | None) -> None:
    assert [one.code for one in cell_formats(part)] == ["General"]


def test_cell_formats__one_that_is_no_number_is_a_fault_of_the_file() -> None:
    with pytest.raises(ValueError, match='the number format "x"'):
        cell_formats(styles("", '<cellXfs><xf numFmtId="x"/></cellXfs>'))


@given(st.dates(date(1904, 1, 1), date(9999, 12, 31)), st.sampled_from([FROM_1900, FROM_1904]))
def test_moment__is_the_contrary_of_days(day: date, epoch: datetime) -> None:
    """Law: from 1 March 1900 on each day is a number more than the one before, in either epoch."""
    number = days_of(day, epoch)
    assert number == (day - epoch.date()).days
    if number >= 1:  # a part of the first day is a time
        assert moment(number, epoch) == datetime.combine(day, time())
    assert moment(number, epoch, elapsed=True) == timedelta(days=number)


@pytest.mark.parametrize(
    ("text", "meant"),
    [
        ("2031-05-10", date(2031, 5, 10)),
        ("2031-05-10T09:30:00", datetime(2031, 5, 10, 9, 30)),
        ("09:30:00", time(9, 30)),
        ("PT26H", timedelta(hours=26)),
        ("2031-05-10 at nine", None),
        ("10 May 2031", None),
    ],
)
def test_spelled_out__as_iso_8601_has_it_and_nothing_else(text: str, meant: object) -> None:
    if meant is None:
        with pytest.raises(ValueError, match=text):
            spelled_out(text)
    else:
        assert spelled_out(text) == meant


@pytest.mark.parametrize(
    ("code", "words"),
    [
        ('General" g"', "g"),
        ('0.0," kg"', ""),
        ('[>=1000]0.0," kg";0" g"', ""),
        ('[Red]#,##0" g"', "g"),
        ("@", ""),
    ],
)
def test_words_beside__only_where_they_are_of_the_number_as_it_is(code: str, words: str) -> None:
    """Commas behind the digits divide what is shown by a thousand (ISO/IEC 29500-1, 18.8.31)."""
    assert words_beside(code) == words
