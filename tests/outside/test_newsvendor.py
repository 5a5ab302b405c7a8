"""Published answers of the newsvendor problem, where a plan is one shot and one divisible good.

A plan has a chance, not a cost of running out. Both ask for the same amount when the chance of
running out is what the costs make it: cost of one too many over the sum of both costs.
"""

from __future__ import annotations

import csv
import math
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction
from pathlib import Path
from statistics import NormalDist

import pytest
from small import line, pack, shoot_of, sound

from costing.buying.expected import Expected, expected
from costing.buying.need import Needs
from costing.buying.planning import Planner
from costing.buying.shopping import Shopping
from costing.buying.till import Bought, paid_lines
from costing.buying.values import values_of
from costing.shoot import Shot
from costing.shoot.defaults import completed
from costing.shoot.times import Times

FILE = Path(__file__).resolve().parents[2] / "reference" / "newsvendor_examples.csv"
with FILE.open(encoding="utf-8", newline="") as _file:
    PUBLISHED = {row["id"]: Fraction(row["value"]) for row in csv.DictReader(_file)}
RATIO = Fraction(70, 88)
"""0.70 for one too few over 0.70 + 0.18."""


def poisson(mean: int, most: int) -> Times:
    """Poisson numbers, all beyond ``most`` counted with it."""
    parts = [
        Fraction(math.exp(-mean + k * math.log(mean) - math.lgamma(k + 1))) for k in range(most)
    ]
    return Times((*enumerate(parts), (most, 1 - sum(parts, Fraction(0)))))


def normal(mean: float, deviation: float, step: float, most: int, *, shift: float) -> Times:
    """Normal amounts in steps, all beyond ``most`` counted with it.

    ``shift`` says how much of the next step still counts with a number.
    """
    spread = NormalDist(mean, deviation)
    within = [Fraction(spread.cdf((k + shift) * step)) for k in range(most)]
    chances = [b - a for a, b in zip([Fraction(0), *within], [*within, Fraction(1)], strict=True)]
    return Times(tuple(enumerate(chances)))


def one_good(step: str) -> Shopping:
    """Leek by the step, at a price of 1.00 for a gram, and a shot that takes a step each time."""
    shoot = shoot_of(
        line("soup", "leek", step),
        sound("leek"),
        pack("leek", "1 g", "1", loose=step),
        Shot(dish="soup", fewest=0, times=15, most=16),
    )
    return Shopping(Needs(completed(shoot)[0]))


def planned(step: str, times: Times) -> int:
    """How many steps are bought so that they are enough with the critical ratio."""
    market = one_good(step).market
    plan = Planner(market.terms, {0: times}, market.planned).plan(RATIO)
    assert plan is not None
    assert plan.gap == 0
    ((steps,),) = plan.basket.packs
    return steps


@pytest.mark.source("stockpyl-1.0.2", "newsvendor_poisson")
def test_newsvendor__poisson() -> None:
    """Demand with mean 50: the smallest number that is enough with 0.70/0.88 is 56."""
    assert planned("1 g", poisson(50, 100)) == PUBLISHED["newsvendor-poisson"]


@pytest.mark.source("stockpyl-1.0.2", "newsvendor_normal, Example 4.3 of the book")
def test_newsvendor__normal() -> None:
    """Mean 50, standard deviation 8, by steps of 0.004 g: the first step at or above 56.60396."""
    step = Fraction(4, 1000)
    steps = planned("0.004 g", normal(50, 8, 0.004, 15_000, shift=0))
    assert steps == math.ceil(PUBLISHED["newsvendor-normal"] / step)
    assert steps * step == Fraction("56.604")


def left_of_stock(step: str, steps: int, times: Times) -> Expected:
    """What is left on average when so many steps are there; a gram is worth 1.00."""
    found = one_good(step)
    (purchase,) = found.purchases
    (offer,) = purchase.offers
    bought = Bought(offer.row, steps, brings=offer.amount * steps)
    purchase = replace(purchase, lines=tuple(paid_lines([bought], found.shoot.settings)))
    values = values_of(purchase, found.shoot.settings)[0]
    assert values.bought == Decimal(steps) * Decimal(step.removesuffix(" g"))
    return expected([purchase], [values], {0: times}, {0: 15}, found.shoot, most_states=10_000)


@pytest.mark.source("stockpyl-1.0.2", "poisson_loss")
def test_waste__poisson() -> None:
    """Mean 15 and 18 there: 3.51760953 left on average."""
    left = left_of_stock("1 g", 18, poisson(15, 45)).left
    assert float(left) == pytest.approx(float(PUBLISHED["waste-poisson"]), abs=1e-8)


@pytest.mark.source("stockpyl-1.0.2", "normal_loss")
def test_waste__normal() -> None:
    """Mean 15, standard deviation 3 and 18.6 there: 3.76830735, here in steps of 0.02."""
    left = left_of_stock("0.02 g", 930, normal(15, 3, 0.02, 1_800, shift=0.5)).left
    assert float(left) == pytest.approx(float(PUBLISHED["waste-normal"]), abs=1e-5)


def test_newsvendor_examples__every_row_is_checked() -> None:
    """A row that nothing checks would only look like evidence."""
    text = Path(__file__).read_text(encoding="utf-8")
    assert [name for name in PUBLISHED if f'"{name}"' not in text] == []
