"""The demo: a charred-leek and white-bean tart, shot in one day. Everything in it is invented."""

from __future__ import annotations

from datetime import date, time
from decimal import Decimal

from costing.workbook.layout import SETTINGS
from costing.workbook.template.cells import Row, Value

DEMO_NAME = "leek-tart.xlsx"
"""Name of the demo workbook."""

UNCERTAIN_NAME = "leek-tart-uncertain.xlsx"
"""Name of the demo in which the charring is taken two times, perhaps four."""

TART = "charred-leek and white-bean tart"
EPISODE = "Leek tart"
DRY = "Mercearia Duas Andorinhas"
FRESH = "Banca da Tia Ameixa"
SHOOT_DATE = date(2031, 5, 10)  # fixed, so that the demo stays the same
PRICES_SEEN = date(2031, 5, 2)

_SETTINGS: dict[str, Value] = {
    "Title": "Charred-leek and white-bean tart",
    "Currency": "EUR",
    "Prices include tax": "yes",
    "Time zone": "Europe/Lisbon",
    "Time control procedures": "yes",
    "Holding rules": "US-HOME-2H, US-TPHC-4, AU-2H4H",
    "Room temperature": "24 C",
    "Allergen list": "EU",
}

_RECIPE: tuple[tuple[str, tuple[tuple[str, int, str], ...]], ...] = (
    ("dough", (("flour", 250, "g"), ("butter", 125, "g"), ("egg", 1, "each"), ("salt", 4, "g"))),
    ("char leeks", (("leek", 400, "g"), ("olive oil", 30, "ml"), ("salt", 3, "g"))),
    (
        "bean puree",
        (
            ("white beans", 240, "g"),
            ("lemon juice", 20, "ml"),
            ("garlic", 10, "g"),
            ("yoghurt", 60, "g"),
        ),
    ),
    ("assemble", (("hazelnut", 50, "g"), ("parsley leaf", 10, "g"), ("goat cheese", 80, "g"))),
    ("egg wash", (("egg", 1, "each"),)),
    ("plate", (("parsley leaf", 5, "g"), ("hazelnut", 15, "g"), ("honey", 10, "g"))),
)
"""Steps with their lines, clean and ready to use; the tart serves six."""

_ON_CAMERA = frozenset({"leek", "goat cheese", "honey"})

_PLAN: tuple[tuple[str, str, str, int, time, str], ...] = (
    ("P1", "cook-through", "1-6", 1, time(10, 0), "first take; later the cutaway and bite tart"),
    ("P2", "swap", "1", 1, time(11, 30), "rested, blind-baked case"),
    ("P3", "hero", "1-6", 1, time(13, 0), "swap out of the oven"),
    ("P4", "retake", "1", 2, time(10, 30), "dough"),
    ("P5", "retake", "2", 2, time(11, 0), "charring: smoke"),
    ("P6", "retake", "4", 1, time(12, 30), "topping"),
    ("P7", "reset", "6", 4, time(13, 30), "garnish, every twenty minutes"),
)

_PACKS: tuple[tuple[str, str, int, str, Value, int | None, str], ...] = (
    ("flour", DRY, 1, "kg", "0,89", None, ""),
    ("butter", DRY, 250, "g", Decimal("2.79"), None, ""),
    ("egg", DRY, 6, "each", Decimal("1.99"), None, ""),
    ("leek", FRESH, 1000, "g", Decimal("1.89"), 50, ""),
    ("white beans", DRY, 400, "g", Decimal("1.29"), None, "jar of 570 g, 400 g drained"),
    ("lemon juice", FRESH, 1, "each", Decimal("0.35"), None, "whole lemons"),
    ("garlic", FRESH, 60, "g", Decimal("0.45"), None, "bulb"),
    ("yoghurt", DRY, 500, "g", Decimal("1.49"), None, "4 pots of 125 g"),
    ("goat cheese", DRY, 150, "g", Decimal("3.49"), None, "aged"),
    ("hazelnut", DRY, 150, "g", Decimal("2.99"), None, ""),
    ("parsley leaf", FRESH, 60, "g", Decimal("0.99"), None, "bunch"),
    ("honey", DRY, 500, "g", Decimal("4.20"), None, ""),
    ("olive oil", DRY, 750, "ml", Decimal("6.75"), None, ""),
    ("salt", DRY, 1, "kg", Decimal("0.45"), None, ""),
)
"""Prices as on the day; one of them came from a price file that writes the comma."""

_INGREDIENTS: tuple[tuple[str, str, int, str, str], ...] = (
    ("flour", "dry goods", 100, "none", "cereals containing gluten"),
    ("butter", "dairy", 100, "always", "milk"),
    ("egg", "dairy", 100, "always", "eggs"),
    ("salt", "dry goods", 100, "none", "none"),
    ("leek", "vegetables", 72, "when cooked", "none"),
    ("olive oil", "dry goods", 100, "none", "none"),
    ("white beans", "jars and tins", 100, "when opened", "none"),
    ("lemon juice", "fruit", 100, "none", "none"),
    ("garlic", "vegetables", 80, "when cut", "none"),
    ("yoghurt", "dairy", 100, "always", "milk"),
    ("hazelnut", "dry goods", 100, "none", "nuts"),
    ("parsley leaf", "vegetables", 45, "when cut", "none"),
    ("goat cheese", "dairy", 100, "always", "milk"),
    ("honey", "dry goods", 100, "none", "none"),
)

_ON_HAND: tuple[tuple[str, int, str, date, str], ...] = (
    ("flour", 620, "g", date(2031, 11, 30), ""),
    ("hazelnut", 60, "g", date(2031, 9, 15), ""),
    ("honey", 210, "g", date(2033, 1, 31), ""),
    ("olive oil", 400, "ml", date(2032, 2, 28), ""),
    ("salt", 800, "g", date(2035, 12, 31), ""),
    ("egg", 2, "each", date(2031, 5, 8), "past its date on the day"),
    ("yoghurt", 125, "g", date(2031, 5, 9), "past its date on the day"),
)

_LOG: tuple[tuple[str, time, str | None], ...] = (
    ("out", time(10, 5), "4 C"),
    ("back", time(12, 20), "5 C"),
    ("out", time(13, 30), None),
    ("back", time(14, 50), None),
)
"""What happened to the bowl of bean puree; it was marked until 14:05."""


def _recipe() -> list[Row]:
    rows: list[Row] = []
    for step, (name, lines) in enumerate(_RECIPE, 1):
        for at, (ingredient, amount, unit) in enumerate(lines):
            row: dict[str, Value] = {
                "Ingredient": ingredient,
                "Amount": amount,
                "Unit": unit,
                "Shown": "on camera" if ingredient in _ON_CAMERA else None,
            }
            if at == 0:
                row |= {"Dish": TART if step == 1 else None, "Step": step, "Step name": name}
            rows.append(row)
    return rows


def _plan() -> list[Row]:
    return [
        {
            "Shot": shot,
            "Episode": EPISODE if shot == "P1" else None,
            "Dish": TART,
            "Purpose": purpose,
            "Steps": steps,
            "Times": times,
            "Eaten": "yes" if shot == "P1" else None,
            "Starts": starts,
            "Note": note,
        }
        for shot, purpose, steps, times, starts, note in _PLAN
    ]


def _packs() -> list[Row]:
    return [
        {
            "Ingredient": ingredient,
            "Shop": shop,
            "Amount": amount,
            "Unit": unit,
            "Price": price,
            "Loose step": loose_step,
            "Price date": PRICES_SEEN,
            "Note": note,
        }
        for ingredient, shop, amount, unit, price, loose_step, note in _PACKS
    ]


def _ingredients() -> list[Row]:
    return [
        {
            "Ingredient": name,
            "Section": section,
            "Trim yield %": trim_yield,
            "Grams per ml": 1 if name == "lemon juice" else None,
            "Grams per piece": 30 if name == "lemon juice" else None,
            "Holding class": holding_class,
            "Allergens": allergens,
            "Note": "juice of one lemon" if name == "lemon juice" else None,
        }
        for name, section, trim_yield, holding_class, allergens in _INGREDIENTS
    ]


def _on_hand() -> list[Row]:
    return [
        {"Ingredient": name, "Amount": amount, "Unit": unit, "Use by": use_by, "Note": note}
        for name, amount, unit, use_by, note in _ON_HAND
    ]


def _holding() -> list[Row]:
    said: dict[str, Value] = {
        "Container": "bean puree bowl",
        "Holds": f"{TART}: only step 3",
        "Marked until": time(14, 5),
        "Eaten": "yes",
        "Episode": EPISODE,
    }
    return [
        {"Event": event, "When": at, "Temperature": reading, **(said if number == 0 else {})}
        for number, (event, at, reading) in enumerate(_LOG)
    ]


def demo_rows() -> dict[str, list[Row]]:
    """The rows of every input sheet, as :func:`costing.write_template` takes them."""
    return {
        "Settings": [
            {"Setting": setting.heading, "Value": _SETTINGS.get(setting.heading)}
            for setting in SETTINGS
        ],
        "Recipes": _recipe(),
        "Shoot plan": _plan(),
        "Packs": _packs(),
        "Ingredients": _ingredients(),
        "On hand": _on_hand(),
        "Episodes": [
            {
                "Episode": EPISODE,
                "Title": "Charred-leek and white-bean tart with hazelnut crumb",
                "Shoot date": SHOOT_DATE,
                "Call time": time(9, 30),
                "Portions": 6,
                "Minutes": 6,
            }
        ],
        "Dishes": [{"Dish": TART, "Photo life minutes": 30}],
        "Shops": [
            {"Shop": DRY, "Note": "dry goods and dairy"},
            {"Shop": FRESH, "Note": "fruit and vegetables"},
        ],
        "Holding": _holding(),
    }


def uncertain_rows() -> dict[str, list[Row]]:
    """The demo's rows, with one shot whose number of times is not certain."""
    uncertain: Row = {"Fewest": 1, "Most": 4}
    rows = demo_rows()
    rows["Shoot plan"] = [
        {**shot, **(uncertain if shot["Shot"] == "P5" else {})} for shot in rows["Shoot plan"]
    ]
    return rows


DEMO_ROWS = demo_rows()
"""What the demo's input sheets hold, by sheet."""
