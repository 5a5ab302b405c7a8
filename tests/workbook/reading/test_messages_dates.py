"""What is said of dates and clock times: one change each, the whole text compared."""

from __future__ import annotations

from datetime import datetime, time, timedelta
from pathlib import Path

import pytest
from good_workbook import Change, found_after, put

CASES = [
    pytest.param(
        put("Episodes!B2", "Saturday"),
        [
            'Episodes!B2 (row "Soup", column "Shoot date"): found the text "Saturday", '
            "expected a date such as 2031-05-10 [date unreadable]\n"
            "  Write the date as year-month-day, such as 2031-05-10. Until then what is on hand "
            "with a last day does not count.",
        ],
        id="date unreadable",
    ),
    pytest.param(
        put("On hand!D2", time(9)),
        [
            '\'On hand\'!D2 (row "butter", column "Use by"): found the time 09:00, expected a'
            " date such as 2031-06-30 [date unreadable]\n"
            "  Write the date as year-month-day, such as 2031-05-10.",
        ],
        id="date unreadable: a clock time",
    ),
    pytest.param(
        put("On hand!D2", "03/04/2031"),
        [
            '\'On hand\'!D2 (row "butter", column "Use by"): found the text "03/04/2031", '
            "which may be 2031-03-04 or 2031-04-03, expected a date that can be read in one"
            " way only [date ambiguous]\n"
            "  Write 2031-03-04 or 2031-04-03.",
        ],
        id="date ambiguous",
    ),
    pytest.param(
        put("Holding!D3", "10/06/2031 12:20"),
        [
            'Holding!D3 (row "milk jug", column "When"): found the text "10/06/2031 12:20",'
            " which may be 2031-10-06 or 2031-06-10, expected a date that can be read in "
            "one way only [date ambiguous]\n"
            "  Write 2031-10-06 or 2031-06-10.",
        ],
        id="date ambiguous: with a time",
    ),
    pytest.param(
        put("Holding!D3", "10/05/2031 12:20"),
        [
            'Holding!D3 (row "milk jug", column "When"): found the date "10/05/2031", which may be '
            "2031-10-05 or 2031-05-10, expected a date that can be read in one way only [date by "
            "shoot date]\n"
            "  Read as 2031-05-10, as only that is a shoot date or the day before or after one. "
            "Write 2031-10-05 if that is meant.",
        ],
        id="date by shoot date",
    ),
    pytest.param(
        put("On hand!D2", datetime(1931, 5, 10)),
        [
            '\'On hand\'!D2 (row "butter", column "Use by"): found the date 1931-05-10, '
            "expected a date from 2000-01-01 to 2100-12-31 [date out of range]\n"
            "  Write the date with all four digits of its year.",
        ],
        id="date out of range",
    ),
    pytest.param(
        put("On hand!D2", "1931-05-10"),
        [
            '\'On hand\'!D2 (row "butter", column "Use by"): found the text "1931-05-10", '
            "expected a date from 2000-01-01 to 2100-12-31 [date out of range]\n"
            "  Write the date with all four digits of its year.",
        ],
        id="date out of range: as text",
    ),
    pytest.param(
        put("Shoot plan!J2", "ten"),
        [
            '\'Shoot plan\'!J2 (row "S1", column "Starts"): found the text "ten", expected a '
            "clock time such as 10:30 [time unreadable]\n"
            "  Write hours and minutes with a colon between them, such as 09:30.",
        ],
        id="time unreadable",
    ),
    pytest.param(
        put("Shoot plan!J2", 9.5, "General"),
        [
            '\'Shoot plan\'!J2 (row "S1", column "Starts"): found 9.5, expected a clock time '
            "such as 10:30 [time unreadable]\n"
            "  Write hours and minutes with a colon between them, such as 09:30.",
        ],
        id="time unreadable: a number",
    ),
    pytest.param(
        put("Holding!D2", -1, "hh:mm"),
        [
            'Holding!D2 (row "milk jug", column "When"): found the number -1 formatted as a'
            " date, expected a date from 2000-01-01 to 2100-12-31 [date out of range]\n"
            "  Write the date with all four digits of its year.",
        ],
        id="date out of range: a negative number",
    ),
    pytest.param(
        put("Holding!D2", "2031-05-10"),
        [
            'Holding!D2 (row "milk jug", column "When"): found the text "2031-05-10", '
            "expected a date and time such as 2031-05-10 10:05, or a time on the shoot date"
            " [time unreadable]\n"
            "  Write hours and minutes with a colon between them, such as 09:30.",
        ],
        id="time unreadable: a date without a time",
    ),
    pytest.param(
        put("Holding!D2", datetime(2031, 5, 10), "yyyy-mm-dd"),
        [
            'Holding!D2 (row "milk jug", column "When"): found the date 2031-05-10, '
            "expected a date and time such as 2031-05-10 10:05, or a time on the shoot date"
            " [time unreadable]\n"
            "  Write hours and minutes with a colon between them, such as 09:30.",
        ],
        id="time unreadable: a date cell without a time",
    ),
    pytest.param(
        put("Shoot plan!J2", timedelta(hours=25, minutes=30)),
        [
            '\'Shoot plan\'!J2 (row "S1", column "Starts"): found the time 25:30, expected a '
            "clock time from 00:00 to 23:59 [time past midnight]\n"
            "  Write 01:30 if that is meant; where the sheet takes a date, write the date "
            "of the next day before it.",
        ],
        id="time past midnight",
    ),
    pytest.param(
        put("Shoot plan!J2", "25:30"),
        [
            '\'Shoot plan\'!J2 (row "S1", column "Starts"): found the time 25:30, expected a '
            "clock time from 00:00 to 23:59 [time past midnight]\n"
            "  Write 01:30 if that is meant; where the sheet takes a date, write the date "
            "of the next day before it.",
        ],
        id="time past midnight: as text",
    ),
    pytest.param(
        put("Episodes!B2", None),
        [
            'Holding!D2 (column "When"): found 10:05 (D2) and 12:20 (D3), and no shoot '
            "date that such a time is on, expected date and time, such as 2031-05-10 10:05, or "
            "a time on a known shoot date [date missing]\n"
            "  Write the date before the time, or fill Shoot date on the sheet Episodes; "
            "until then such a time counts as unreadable.",
        ],
        id="date missing",
    ),
]


@pytest.mark.parametrize(("change", "said"), CASES)
def test_said(change: Change, said: list[str], tmp_path: Path) -> None:
    assert found_after(change, tmp_path) == said
