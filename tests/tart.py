"""The tart shoot, built in code without any workbook.

Everything in it is invented; the arithmetic of what it must give was done by hand in exact
fractions and stands in the tests that use it.
"""

from __future__ import annotations

from datetime import date, time
from decimal import Decimal
from fractions import Fraction

from costing.kitchen import HoldingClass, Ingredient, Line, Lot, Pack
from costing.quantities import amount
from costing.shoot import Episode, Purpose, Settings, Shoot, Shot

TART = "charred-leek and white-bean tart"
DRY = "Mercearia Duas Andorinhas"
FRESH = "Banca da Tia Ameixa"
DAY = date(2031, 5, 10)

RECIPE = {
    1: {"flour": "250 g", "butter": "125 g", "egg": "1 each", "salt": "4 g"},
    2: {"leek": "400 g", "olive oil": "30 ml", "salt": "3 g"},
    3: {"white beans": "240 g", "lemon juice": "20 ml", "garlic": "10 g", "yoghurt": "60 g"},
    4: {"hazelnut": "50 g", "parsley leaf": "10 g", "goat cheese": "80 g"},
    5: {"egg": "1 each"},
    6: {"parsley leaf": "5 g", "hazelnut": "15 g", "honey": "10 g"},
}
PLAN = [
    ("P1", Purpose.COOK_THROUGH, (1, 2, 3, 4, 5, 6), 1),
    ("P2", Purpose.SWAP, (1,), 1),
    ("P3", Purpose.HERO, (1, 2, 3, 4, 5, 6), 1),
    ("P4", Purpose.RETAKE, (1,), 2),
    ("P5", Purpose.RETAKE, (2,), 2),
    ("P6", Purpose.RETAKE, (4,), 1),
    ("P7", Purpose.RESET, (6,), 4),
]
PACKS = [
    ("flour", DRY, "1 kg", "0.89", None),
    ("butter", DRY, "250 g", "2.79", None),
    ("egg", DRY, "6 each", "1.99", None),
    ("leek", FRESH, "1 kg", "1.89", "50 g"),
    ("white beans", DRY, "400 g", "1.29", None),
    ("lemon juice", FRESH, "1 each", "0.35", None),
    ("garlic", FRESH, "60 g", "0.45", None),
    ("yoghurt", DRY, "500 g", "1.49", None),
    ("goat cheese", DRY, "150 g", "3.49", None),
    ("hazelnut", DRY, "150 g", "2.99", None),
    ("parsley leaf", FRESH, "60 g", "0.99", None),
    ("honey", DRY, "500 g", "4.20", None),
    ("olive oil", DRY, "750 ml", "6.75", None),
    ("salt", DRY, "1 kg", "0.45", None),
]
YIELDS = {"leek": "0.72", "garlic": "0.80", "parsley leaf": "0.45"}
DRY_GOODS = ("flour", "salt", "olive oil", "honey", "hazelnut")
ON_HAND = [
    ("flour", "620 g", None),
    ("hazelnut", "60 g", None),
    ("honey", "210 g", None),
    ("olive oil", "400 ml", None),
    ("salt", "800 g", None),
    ("egg", "2 each", date(2031, 5, 8)),
    ("yoghurt", "125 g", date(2031, 5, 9)),
]


def lines() -> list[Line]:
    """The recipe, line by line."""
    return [
        Line(dish=TART, step=step, ingredient=name, amount=amount(text))
        for step, parts in RECIPE.items()
        for name, text in parts.items()
    ]


def ingredients() -> list[Ingredient]:
    """All ingredients with their losses."""
    names = dict.fromkeys(name for parts in RECIPE.values() for name in parts)
    return [
        Ingredient(
            name=name,
            trim_yield=Fraction(YIELDS.get(name, "1")),
            density=Fraction(1) if name == "lemon juice" else None,
            piece_weight=Fraction(30) if name == "lemon juice" else None,
            holding_class=HoldingClass.NONE if name in DRY_GOODS else None,
        )
        for name in names
    ]


def packs() -> list[Pack]:
    """All packs with their prices."""
    return [
        Pack(
            ingredient=name,
            shop=shop,
            amount=amount(text),
            price=Decimal(price),
            loose_step=None if step is None else amount(step),
        )
        for name, shop, text, price, step in PACKS
    ]


def lots() -> list[Lot]:
    """What is on hand, two lots of it past their date."""
    return [
        Lot(ingredient=name, amount=amount(text), use_by=use_by) for name, text, use_by in ON_HAND
    ]


def shots() -> list[Shot]:
    """The plan, step by step."""
    return [
        Shot(name=name, dish=TART, purpose=purpose, steps=steps, times=times)
        for name, purpose, steps, times in PLAN
    ]


def tart_shoot(**changes: object) -> Shoot:
    """The whole shoot, with what is to be changed."""
    parts: dict[str, object] = {
        "settings": Settings(currency="EUR", time_zone="Europe/Lisbon"),
        "ingredients": ingredients(),
        "packs": packs(),
        "lots": lots(),
        "lines": lines(),
        "episodes": [Episode(name="Tart", shoot_date=DAY, call_time=time(9, 30))],
        "shots": shots(),
    }
    return Shoot.model_validate(parts | changes)
