"""The page of the day in a browser: nobody is shut out of it, by day, by night or in print.

By the rules of axe-core, as the page for a phone is looked at; as the page opens, and with all that
folds and asks open.
"""

from __future__ import annotations

from datetime import datetime
from pathlib import Path

import pytest
from browser import (
    NARROW,
    SIZES,
    STYLES,
    Driven,
    in_browser,
    seen,
    width_where_narrow,
    with_axe,
    without_policy,
)
from report.test_day_page import UTC, page

OPEN = """
Array.prototype.forEach.call(document.querySelectorAll("details"), function (one) {
  one.open = true;
});
Array.prototype.filter.call(document.querySelectorAll("button"), function (one) {
  return one.dataset.act === "new bowl / Reading";
})[0].click();
"""


def day() -> str:
    """The page of this hour, with one bowl past its limit and one that is not."""
    return page(datetime.now(UTC).replace(microsecond=0))


@in_browser
@with_axe
@pytest.mark.parametrize("styles", STYLES)
@pytest.mark.parametrize("first", ["", OPEN], ids=["as it opens", "all open"])
def test_day_page__shuts_nobody_out(
    first: str, styles: str, tmp_path: Path, window: Driven
) -> None:
    """No violation of any rule that axe knows, and nothing wider than the window."""
    found = seen(window, day(), tmp_path, size=SIZES["phone"], styles=styles, first=first)
    assert found["violations"] == []
    assert found["passes"] > 10
    assert found["wide"] <= found["window"]


@in_browser
@with_axe
def test_day_page__a_fault_would_be_seen(tmp_path: Path, window: Driven) -> None:
    """Letters in the colour of the paper, and a box without its label, are told."""
    text = without_policy(day()).replace("--quiet: #4E5D65", "--quiet: #F0F0F0")
    text = text.replace("label.htmlFor = box.id", "box.id").replace("<label ", "<b ")
    told = " ".join(seen(window, text, tmp_path, size=SIZES["phone"], first=OPEN)["violations"])
    assert "color-contrast" in told
    assert "label" in told


@in_browser
def test_day_page__needs_no_scrolling_to_the_side_on_a_narrow_phone(
    tmp_path: Path, window: Driven
) -> None:
    assert width_where_narrow(window, day(), tmp_path) <= NARROW
