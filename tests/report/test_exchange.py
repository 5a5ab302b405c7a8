"""Frames for plots beside the exact ones, and how a notebook shows an estimate."""

from __future__ import annotations

from datetime import date
from fractions import Fraction

import pandas as pd
import pytest
from bowls import bowl
from small import line, pack, shoot_of, sound
from tart import tart_shoot

from costing.estimating import estimate
from costing.report.layouts import RESULT_LAYOUTS
from costing.report.tables import ValueKind
from costing.shoot import Shot

TYPES = {
    ValueKind.COUNT: "float64",
    ValueKind.QUANTITY: "float64",
    ValueKind.PERCENT: "float64",
    ValueKind.MONEY: "float64",
    ValueKind.DATE: "datetime64",
    ValueKind.INSTANT: "datetime64",
    ValueKind.DURATION: "timedelta64",
}
"""Type of a column by its kind; other columns hold text."""


@pytest.mark.parametrize("layout", RESULT_LAYOUTS, ids=lambda layout: layout.key)
def test_frame__has_the_exact_columns_in_types_that_plots_take(layout: object) -> None:
    tart = estimate(tart_shoot(containers=[bowl("out 10:05 4 C", day="2031-05-10")]))
    key = layout.key  # type: ignore[attr-defined]
    exact, typed = getattr(tart, key, None), tart.frame(key)
    columns = layout.columns  # type: ignore[attr-defined]
    assert list(typed.columns)[: len(columns)] == [column.key for column in columns]
    if isinstance(exact, pd.DataFrame):
        assert list(exact.columns) == [column.key for column in columns]
        assert len(exact) == len(typed)
    for column in columns:
        if column.kind in TYPES and len(typed):
            assert str(typed[column.key].dtype).startswith(TYPES[column.kind]), column


def test_frame__says_what_its_numbers_count_in() -> None:
    tart = estimate(tart_shoot())
    assert set(tart.frame("food_cost")["currency"]) == {"EUR"}
    assert set(tart.frame("needs")["unit"]) == {"g", "ml", "each"}
    summary = tart.frame("summary").set_index("figure")
    assert (summary.loc["Bought value", "value"], summary.loc["Bought value", "unit"]) == (
        38.64,
        "EUR",
    )
    assert tart.frame("to_buy")["buy_by"].max() == pd.Timestamp(date(2031, 5, 9))


def test_frame__unknown_is_nan_and_exact_stays_exact() -> None:
    found = estimate(
        shoot_of(line("soup", "leek", "1/3 kg"), pack("leek", "1 kg", None), Shot(dish="soup"))
    )
    assert found.frame("to_buy")["cost"].isna().all()
    assert found.to_buy["cost"][0] is None
    assert found.needs["trimmed_need"][0] == Fraction(1, 3)
    assert found.frame("needs")["trimmed_need"][0] == pytest.approx(1 / 3)


def test_frame__of_a_table_there_is_not_names_those_there_are() -> None:
    with pytest.raises(KeyError, match="there is no table 'tobuy'; there are summary, to_buy"):
        estimate(tart_shoot()).frame("tobuy")


def test_json__an_episode_that_leaves_something_out_says_so() -> None:
    """Contract: such a total carries complete: false, and missing beside it; no other does."""
    found = estimate(
        shoot_of(
            *(line("soup", "leek", "1 kg"), sound("leek"), pack("leek", "1 kg", "2")),
            *(line("stew", "salt", "1 kg"), sound("salt"), pack("salt", "1 kg", None)),
            *(Shot(dish=dish, episode=dish.title()) for dish in ("soup", "stew")),
            currency="EUR",
        )
    ).as_json()
    soup, stew = (found["totals"]["episodes"][name] for name in ("Soup", "Stew"))
    assert (soup["used"], soup.keys() & {"complete", "missing"}) == ("2.00", set())
    assert (stew["complete"], stew["missing"]) == (False, ["the price of 1 x 1 kg of salt"])
    whole = found["totals"]
    assert (whole["bought_complete"], whole["missing"]) == (
        False,
        ["the price of 1 x 1 kg of salt"],
    )


def test_notebook__shows_figures_and_list_with_every_sign_escaped() -> None:
    found = estimate(
        shoot_of(
            line("soup", "<b>leek</b>", "400 g"),
            pack("<b>leek</b>", "1 kg", "1.89", shop="R & S"),
            sound("<b>leek</b>"),
            Shot(dish="soup"),
            title="A <script>",
            currency="EUR",
        )
    )
    page = found._repr_html_()
    assert "<td>&lt;b&gt;leek&lt;/b&gt;</td><td>1 kg</td><td>1.89 EUR</td><td>400 g" in page
    assert "R &amp; S" in page
    assert "<script>" not in page
    assert page.startswith("<p>Estimate &#x27;A &lt;script&gt;&#x27;: bought 1.89 EUR,")


def test_notebook__without_anything_to_buy_has_the_figures_alone() -> None:
    page = estimate(shoot_of())._repr_html_()
    assert page.count("<table>") == 1
    assert page.endswith("</table>")
    assert "<th>Figure</th>" in page


def test_notebook__says_a_chance_in_digits() -> None:
    """Of three to five takes, most often three, four are provided for.

    By hand: the beta distribution of the three points on [2.5, 5.5] has the shape 1 + 4 x 0.5/3 =
    5/3 and 1 + 4 x 2.5/3 = 13/3; beyond 4.5, two thirds of the way, lie 2.296 % of it by scipy.
    """
    rows = (line("soup", "leek", "1 kg"), sound("leek"), pack("leek", "1 kg", "2"))
    page = estimate(shoot_of(*rows, Shot(dish="soup", times=3, most=5)))._repr_html_()
    assert "<td>Chance of running out %</td><td>2.3</td>" in page


def test_notebook__says_loose_goods_and_what_has_no_pack_as_the_list_does() -> None:
    """Nine steps of 50 g are 450 g; the row of To buy counts the steps."""
    found = estimate(
        shoot_of(
            line("soup", "leek", "430 g"),
            line("soup", "salt", "5 g"),
            pack("leek", "1 kg", "2.00", loose="50 g"),
            sound("leek"),
            Shot(dish="soup"),
        )
    )
    page = found._repr_html_()
    assert "<td>leek</td><td>450 g</td><td>0.90</td><td>430 g</td>" in page
    assert "<td>salt</td><td>no pack yet</td><td>not known</td><td>5 g</td>" in page
