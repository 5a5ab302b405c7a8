"""The log to fill in by hand: one page, with the columns of the day log."""

from __future__ import annotations

import re

import pytest
from small import line, shoot_of

from costing.estimating import estimate
from costing.holding.models import Container
from costing.report.estimates import Estimate
from costing.report.paper_log import ROWS, paper_log
from costing.shoot import Shot
from costing.workbook.layout.holding import DAY_LOG

USABLE = 297 - 2 * 12 - 2 * 4
"""Height of an A4 page inside its margins. [mm]"""


def done(shots: int = 2) -> Estimate:
    """A small shoot with a bowl and some shots."""
    rows = [Shot(dish="toast", name=f"T{number}") for number in range(shots)]
    bowl = Container(name="blue <bowl>", holds=["bread"])
    return estimate(shoot_of(line("toast", "bread", "2 each"), bowl, *rows, title="Toast"))


def test_paper_log__has_the_columns_of_the_log_and_the_names_of_the_day() -> None:
    page = paper_log(done(), DAY_LOG.headings)
    assert re.findall(r"<th [^>]*>([^<]+)</th>", page) == list(DAY_LOG.headings)
    assert "Bowls: blue &lt;bowl&gt;." in page
    assert "Shots: T0 and T1." in page
    assert "when in doubt, throw it out" in page


def test_paper_log__is_one_page() -> None:
    """24 lines of 7.6 mm and a head of 6 mm leave 76 mm of 265 for the words above and below."""
    page = paper_log(done(40), DAY_LOG.headings)
    assert page.count("<tr>") == ROWS + 1
    assert "T13 and 26 more." in page
    (head,) = re.findall(r"\nth { height: ([\d.]+)mm", page)
    (row,) = re.findall(r"\ntd { height: ([\d.]+)mm", page)
    assert ROWS * float(row) + float(head) < USABLE - 70


def test_paper_log__goes_with_the_log() -> None:
    with pytest.raises(ValueError, match="columns of the day log"):
        paper_log(done(), ("When", "What"))
