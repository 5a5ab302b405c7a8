"""What the tills of a market may take beyond the exact prices, and what nobody there sells."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction
from itertools import product
from typing import Any

import pytest
from plans import shopping
from small import line, pack, shoot_of, sound

from costing.buying.market import Market
from costing.kitchen import Shop
from costing.shoot import Shot


def stall(**settings: Any) -> Market:
    """Four goods at a stall with a minimum spend; two by steps of 50 g, one of another tax."""
    six, thirteen = Fraction(6, 100), Fraction(13, 100)
    packs = [
        pack("leek", "1 kg", "18.99", shop="stall", loose="50 g", tax_rate=six),
        pack("beet", "500 g", "1.50", shop="stall", tax_rate=thirteen),
        pack("chard", "1 kg", "23.89", shop="stall", loose="50 g", tax_rate=six),
        pack("dill", "20 g", None, shop="stall", tax_rate=six),
        pack("dill", "20 g", "0.333", shop="corner", tax_rate=Fraction(1, 2)),
    ]
    goods = [(sound(one), line("soup", one, "20 g")) for one in ("leek", "beet", "chard", "dill")]
    shop = Shop(name="stall", minimum_spend=Decimal(5))
    rows = [row for both in goods for row in both]
    return shopping(
        shoot_of(*rows, *packs, shop, Shot(dish="soup"), currency="EUR", **settings)
    ).market


@pytest.mark.parametrize(("included", "slack"), [(True, "0.01"), (False, "0.0313")])
def test_slack__is_half_a_coin_a_line_with_its_tax_and_a_coin_a_rate(
    included: bool, slack: str
) -> None:
    """Worked by hand: steps cost 0.9495 and 1.1945, the pack 1.50, and that rounds to itself.

    Two lines of half a coin: 0.01. Tax on top: 0.01 x 1.13 at the higher rate, and a coin for each
    of the two rates. What has no price, and what another shop sells, lifts nothing.
    """
    market = stall(prices_include_tax=included)
    assert market.planner().slack == {"stall": Fraction(slack)}


@pytest.mark.parametrize("included", [True, False])
def test_slack__no_till_takes_more_beyond_the_exact_prices(included: bool) -> None:
    """Law: of up to six of each of three goods at the stall, every number."""
    market = stall(prices_include_tax=included)
    terms, slack = market.terms, market.planner().slack["stall"]
    for leek, beet, chard in product(range(7), repeat=3):
        packs = ((leek,), (beet,), (chard,), (0, 0))
        exact = sum(offer.cost * count for offer, count in terms.taken(packs))
        assert market.till_of("stall", packs) - exact <= slack
