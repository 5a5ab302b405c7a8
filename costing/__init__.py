"""Costing for food cooked on camera: what to buy, what it costs, what has stood out too long.

Names are fetched when they are first used, so that importing the package does nothing but define.

Examples
--------
>>> import costing
>>> shoot = costing.Shoot()
>>> costing.estimate(shoot).totals.bought
Decimal('0.00')
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from costing.estimating import Estimate, estimate
    from costing.findings import Finding, Grade, Place
    from costing.holding.models import Container, Event, EventKind, Temperature
    from costing.kitchen import Dish, Ingredient, Line, Lot, Pack, Shop
    from costing.quantities import Amount, Measures, amount
    from costing.shoot import Episode, Purpose, Settings, Shoot, Shot
    from costing.workbook.package.refusals import Refused
    from costing.workbook.reading import read_workbook
    from costing.workbook.results.new import write_template
    from costing.workbook.results.write import Written, write_results

__version__ = "0.1.0"

_HOMES = {
    "Amount": "costing.quantities",
    "Container": "costing.holding.models",
    "Dish": "costing.kitchen",
    "Episode": "costing.shoot",
    "Estimate": "costing.estimating",
    "Event": "costing.holding.models",
    "EventKind": "costing.holding.models",
    "Finding": "costing.findings",
    "Grade": "costing.findings",
    "Ingredient": "costing.kitchen",
    "Line": "costing.kitchen",
    "Lot": "costing.kitchen",
    "Measures": "costing.quantities",
    "Pack": "costing.kitchen",
    "Place": "costing.findings",
    "Purpose": "costing.shoot",
    "Refused": "costing.workbook.package.refusals",
    "Settings": "costing.shoot",
    "Shoot": "costing.shoot",
    "Shop": "costing.kitchen",
    "Shot": "costing.shoot",
    "Temperature": "costing.holding.models",
    "Written": "costing.workbook.results.write",
    "amount": "costing.quantities",
    "estimate": "costing.estimating",
    "read_workbook": "costing.workbook.reading",
    "write_results": "costing.workbook.results.write",
    "write_template": "costing.workbook.results.new",
}

__all__ = [
    "Amount",
    "Container",
    "Dish",
    "Episode",
    "Estimate",
    "Event",
    "EventKind",
    "Finding",
    "Grade",
    "Ingredient",
    "Line",
    "Lot",
    "Measures",
    "Pack",
    "Place",
    "Purpose",
    "Refused",
    "Settings",
    "Shoot",
    "Shop",
    "Shot",
    "Temperature",
    "Written",
    "amount",
    "estimate",
    "read_workbook",
    "write_results",
    "write_template",
]


def __getattr__(name: str) -> Any:
    if name not in _HOMES:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    return getattr(import_module(_HOMES[name]), name)


def __dir__() -> list[str]:
    return sorted([*globals(), *__all__])
