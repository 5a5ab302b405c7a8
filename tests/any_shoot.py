"""Shoots of every kind for laws: hypothesis draws them, any conversion in them can be made."""

from __future__ import annotations

from datetime import date, timedelta
from decimal import Decimal
from fractions import Fraction
from typing import Any

from hypothesis import strategies as st

from costing.kitchen import Dish, HoldingClass, Ingredient, Line, Lot, Measured, Pack
from costing.quantities import (
    EACH,
    GRAM,
    MILLILITRE,
    PORTION,
    Amount,
    Dimension,
    Rounding,
    currency_digits,
)
from costing.shoot import Episode, Purpose, Settings, Shoot, Shot

INGREDIENTS = ("almond", "beet", "chard", "dill")
DISHES = ("sauce", "tart")
FIRST_DAY = date(2031, 5, 10)
UNITS = (GRAM, MILLILITRE, EACH)
CURRENCIES = ("EUR", "JPY", "KWD", None)

fractions = st.builds(Fraction, st.integers(1, 90), st.sampled_from([1, 2, 3, 7]))
spoilages = st.sampled_from([Fraction(0), Fraction(1, 10), Fraction(1, 3)])


@st.composite
def ingredients(draw: st.DrawFn, name: str, *, lossless: bool = False) -> Ingredient:
    """An ingredient whose conversions are all known."""
    return Ingredient(
        name=name,
        trim_yield=Fraction(1)
        if lossless
        else draw(st.sampled_from([None, Fraction(1), Fraction("0.72"), Fraction(1, 3)])),
        cooked_weight=draw(st.sampled_from([Fraction(1, 2), Fraction(5, 2)])),
        density=draw(st.sampled_from([Fraction(1, 2), Fraction("0.92"), Fraction(1)])),
        piece_weight=draw(st.sampled_from([Fraction(10), Fraction(125, 2)])),
        spoilage=Fraction(0) if lossless else draw(spoilages),
        keeps_days=draw(st.sampled_from([None, Fraction(2), Fraction(10)])),
        holding_class=draw(st.sampled_from([None, HoldingClass.NONE, HoldingClass.ALWAYS])),
    )


MEASURED_BY = {dimension: list(Measured) for dimension in Dimension} | {
    Dimension.VOLUME: [Measured.TRIMMED, Measured.AS_BOUGHT]
}
"""What a cup cooked weighs is published of some foods, and of none of these."""


@st.composite
def lines(draw: st.DrawFn, dish: str) -> list[Line]:
    """One to five lines of a dish."""
    units = [draw(st.sampled_from(UNITS)) for _ in range(draw(st.integers(1, 5)))]
    return [
        Line(
            dish=dish,
            step=draw(st.integers(1, 3)),
            ingredient=draw(st.sampled_from(INGREDIENTS)),
            amount=Amount(draw(fractions), unit),
            measured=draw(st.sampled_from(MEASURED_BY[unit.dimension])),
            candidates=draw(st.sampled_from([Fraction(1), Fraction(1), Fraction(3)])),
            optional=draw(st.booleans()) and draw(st.booleans()),
        )
        for unit in units
    ]


@st.composite
def packs(draw: st.DrawFn, /, name: str, digits: int, **kinds: bool) -> list[Pack]:
    """Up to three rows of Packs; ``kinds`` says which may be among them."""
    rows = []
    for _ in range(draw(st.integers(1 if kinds.get("always") else 0, 3))):
        unit = draw(st.sampled_from(UNITS))
        size = Fraction(draw(st.sampled_from([1, 6, 30, 100, 250, 1000])))
        coins = Decimal(draw(st.integers(0, 999)))
        rows.append(
            Pack(
                ingredient=name,
                shop=draw(st.sampled_from(["", "stall", "Market"])),
                amount=Amount(size, unit),
                price=None
                if kinds.get("unpriced") and draw(st.integers(0, 3)) == 0
                else coins.scaleb(-digits),
                loose_step=Amount(size / 10, unit)
                if kinds.get("loose") and draw(st.booleans())
                else None,
                at_most=draw(st.integers(0, 4))
                if kinds.get("limited") and draw(st.booleans())
                else None,
                supplied=bool(kinds.get("supplied")) and draw(st.integers(0, 3)) == 0,
                tax_rate=draw(st.sampled_from([None, Fraction(0), Fraction(19, 100)]))
                if kinds.get("taxed")
                else None,
            )
        )
    return rows


@st.composite
def lots(draw: st.DrawFn, name: str) -> list[Lot]:
    """Up to two lots whose last days differ, so that their order is their own."""
    days = draw(
        st.lists(st.sampled_from([None, -1, 0, 1, 30]), unique=True, min_size=0, max_size=2)
    )
    return [
        Lot(
            ingredient=name,
            amount=Amount(draw(fractions), draw(st.sampled_from(UNITS))),
            use_by=None if day is None else FIRST_DAY + timedelta(days=day),
            value=draw(st.sampled_from([None, None, Decimal(0), Decimal("2.5")])),
            supplied=draw(st.integers(0, 4)) == 0,
        )
        for day in days
    ]


@st.composite
def shots(draw: st.DrawFn, episodes: list[Episode]) -> list[Shot]:
    """One to four shots, none of them uncertain."""
    return [
        Shot(
            dish=draw(st.sampled_from(DISHES)),
            episode=draw(st.sampled_from([episode.name for episode in episodes])),
            purpose=draw(st.sampled_from([Purpose.COOK_THROUGH, Purpose.HERO, Purpose.RETAKE])),
            steps=draw(st.sampled_from([None, None, (1,), (1, 2), (2, 3)])),
            batch=draw(st.sampled_from([Fraction(1), Fraction(1, 3), Fraction(2)])),
            times=draw(st.integers(0, 3)),
            optional_lines=draw(st.booleans()),
        )
        for _ in range(draw(st.integers(1, 4)))
    ]


@st.composite
def any_shoot(
    draw: st.DrawFn,
    /,
    *,
    lossless: bool = False,
    stocked: bool = True,
    currencies: tuple[str | None, ...] = CURRENCIES,
    **kinds: bool,
) -> Shoot:
    """A whole shoot; the tart may hold the sauce.

    Parameters
    ----------
    lossless : bool
        Nothing is trimmed away and nothing spoils.
    stocked : bool
        Whether something may be on hand.
    kinds : bool
        Which rows of Packs there may be: always, unpriced, loose, limited, supplied, taxed.
    """
    currency = draw(st.sampled_from(currencies))
    digits = 2 if currency is None else currency_digits(currency)
    include = draw(st.booleans()) if kinds.get("taxed") else True
    episodes = [
        Episode(name="One", shoot_date=FIRST_DAY),
        Episode(name="Two", shoot_date=FIRST_DAY + timedelta(days=draw(st.integers(0, 2)))),
    ][: draw(st.integers(1, 2))]
    inner: list[Line] = draw(lines("sauce"))
    outer: list[Line] = draw(lines("tart"))
    portions = draw(st.sampled_from([None, Fraction(1), Fraction(3, 2)]))
    if portions is not None:
        inside = Line(dish="tart", step=2, ingredient="sauce", amount=Amount(portions, PORTION))
        outer.insert(draw(st.integers(0, len(outer))), inside)
    settings: dict[str, Any] = {
        "currency": currency,
        "prices_include_tax": include,
        "tax_rate": Fraction(7, 100) if kinds.get("taxed") else Fraction(0),
        "tax_rounding": draw(st.sampled_from(list(Rounding))),
        "shopping_date": FIRST_DAY - timedelta(days=draw(st.integers(0, 3))),
    }
    return Shoot(
        settings=Settings(**settings),
        ingredients=tuple(draw(ingredients(name, lossless=lossless)) for name in INGREDIENTS),
        packs=tuple(row for name in INGREDIENTS for row in draw(packs(name, digits, **kinds))),
        lots=tuple(row for name in INGREDIENTS for row in draw(lots(name))) if stocked else (),
        dishes=(Dish(name="sauce", makes=Amount(Fraction(4), PORTION)),),
        lines=(*inner, *outer),
        episodes=tuple(episodes),
        shots=tuple(draw(shots(episodes))),
    )


EVERY_KIND: dict[str, Any] = {
    "unpriced": True,
    "loose": True,
    "limited": True,
    "supplied": True,
    "taxed": True,
}
"""All kinds of rows of Packs at once."""
