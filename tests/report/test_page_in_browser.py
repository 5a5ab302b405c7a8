"""The page for a phone in a browser: nobody is shut out of it, at any size, by day, night or print.

The rules are those of axe-core, which checks the Web Content Accessibility Guidelines; Chromium
draws the page (``browser``).
"""

from __future__ import annotations

from datetime import date
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
from small import line, pack, shoot_of, sound
from tart import tart_shoot

from costing.estimating import estimate
from costing.shoot import Episode, Shot


def pages() -> dict[str, str]:
    """The tart, a list with everything in it that a page may say, and one over several days."""
    full = shoot_of(
        line("soup", "leek", "600 g"),
        sound("leek", section="vegetables", allergens=("milk",), substitute="onion; celery"),
        pack("leek", "1 kg", "2", shop="stall", note="the thick ones"),
        line("soup", "salt", "5 g"),
        sound("salt", section="dry"),
        pack("salt", "1 kg", None, shop="stall"),
        line("soup", "saffron", "1 g"),
        Shot(dish="soup"),
        title="Soup & <more>",
        currency="EUR",
        prices_include_tax=False,
        tax_rate="10 %",
    )
    days = shoot_of(
        line("roast", "turkey", "20 lb"),
        sound("turkey", keeps_days=9, section="meat"),
        pack("turkey", "20 lb", "36", shop="stall", state="frozen", order_days=3),
        Episode(name="Roast", shoot_date=date(2031, 5, 15)),
        Shot(dish="roast"),
        shopping_date=date(2031, 5, 9),
        title="By day",
    )
    return {
        "tart": estimate(tart_shoot()).phone_page(),
        "everything": estimate(full).phone_page(),
        "days": estimate(days).phone_page(),
    }


@in_browser
@with_axe
@pytest.mark.parametrize("styles", STYLES)
@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("name", ["tart", "everything", "days"])
def test_page__shuts_nobody_out(
    name: str, size: str, styles: str, tmp_path: Path, window: Driven
) -> None:
    """No violation of any rule that axe knows, and nothing wider than the window."""
    found = seen(window, pages()[name], tmp_path, size=SIZES[size], styles=styles)
    assert found["violations"] == []
    assert found["passes"] > 10
    assert found["wide"] <= found["window"]


@in_browser
@with_axe
def test_page__a_fault_would_be_seen(tmp_path: Path, window: Driven) -> None:
    """Letters in the colour of the paper, and a box without its label, are told."""
    page = without_policy(pages()["tart"]).replace("--quiet: #4E5D65", "--quiet: #F0F0F0")
    page = page.replace("<label ", "<b ")
    told = " ".join(seen(window, page, tmp_path, size=SIZES["phone"])["violations"])
    assert "color-contrast" in told
    assert "label" in told


@in_browser
def test_page__needs_no_scrolling_to_the_side_on_a_narrow_phone(
    tmp_path: Path, window: Driven
) -> None:
    assert width_where_narrow(window, pages()["everything"], tmp_path) <= NARROW
