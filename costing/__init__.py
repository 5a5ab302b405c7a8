"""Costing for food cooked on camera: what to buy, what it costs, what has stood out too long.

Names are fetched when they are first used, so that importing the package does nothing but define.

Examples
--------
>>> import costing
>>> shoot = costing.Shoot(
...     lines=[costing.Line(dish="toast", ingredient="bread", amount="2 each")],
...     packs=[costing.Pack(ingredient="bread", amount="12 each", price="1.80")],
...     shots=[costing.Shot(dish="toast", times=7)],
... )
>>> costing.estimate(shoot).totals.bought
Decimal('3.60')
"""

from __future__ import annotations

TYPE_CHECKING = False  # as that of typing, which takes longer to import than all else here

if TYPE_CHECKING:  # for type checkers, which cannot follow the list below
    from typing import Any

    from costing.buying.values import Totals as Totals
    from costing.estimating import estimate as estimate
    from costing.findings import Finding as Finding
    from costing.findings import Grade as Grade
    from costing.findings import Place as Place
    from costing.holding.instants import UnknownZone as UnknownZone
    from costing.holding.models import Container as Container
    from costing.holding.models import Eaten as Eaten
    from costing.holding.models import Event as Event
    from costing.holding.models import EventKind as EventKind
    from costing.holding.models import Temperature as Temperature
    from costing.holding.rules import Rule as Rule
    from costing.holding.rules import load_rules as load_rules
    from costing.holding.statuses import Status as Status
    from costing.holding.statuses import Verdict as Verdict
    from costing.kitchen import CountedLot as CountedLot
    from costing.kitchen import Dish as Dish
    from costing.kitchen import HoldingClass as HoldingClass
    from costing.kitchen import Ingredient as Ingredient
    from costing.kitchen import Line as Line
    from costing.kitchen import Lot as Lot
    from costing.kitchen import Measured as Measured
    from costing.kitchen import Pack as Pack
    from costing.kitchen import PackState as PackState
    from costing.kitchen import PaidFrom as PaidFrom
    from costing.kitchen import Part as Part
    from costing.kitchen import ReceiptLine as ReceiptLine
    from costing.kitchen import ReceiptTag as ReceiptTag
    from costing.kitchen import Shop as Shop
    from costing.kitchen import Shown as Shown
    from costing.past import takes_learned as takes_learned
    from costing.quantities import AmbiguousNumber as AmbiguousNumber
    from costing.quantities import Amount as Amount
    from costing.quantities import Dimension as Dimension
    from costing.quantities import DimensionMismatch as DimensionMismatch
    from costing.quantities import Measures as Measures
    from costing.quantities import Rounding as Rounding
    from costing.quantities import Unit as Unit
    from costing.quantities import UnitNeedsSystem as UnitNeedsSystem
    from costing.quantities import UnknownCurrency as UnknownCurrency
    from costing.quantities import UnknownUnit as UnknownUnit
    from costing.quantities import UnreadableNumber as UnreadableNumber
    from costing.quantities import amount as amount
    from costing.quantities import find_unit as find_unit
    from costing.quantities import read_number as read_number
    from costing.reference import AllergenList as AllergenList
    from costing.reference import find_food as find_food
    from costing.report.estimates import Estimate as Estimate
    from costing.seasons import season as season
    from costing.shoot import Episode as Episode
    from costing.shoot import LeftOut as LeftOut
    from costing.shoot import Person as Person
    from costing.shoot import Purpose as Purpose
    from costing.shoot import Settings as Settings
    from costing.shoot import Shoot as Shoot
    from costing.shoot import Shot as Shot
    from costing.shoot import Trip as Trip
    from costing.shoot.settings import MarkUpOn as MarkUpOn
    from costing.shoot.shots import EndedBy as EndedBy
    from costing.workbook.package.refusals import Refused as Refused
    from costing.workbook.reading import read_workbook as read_workbook
    from costing.workbook.results.write import Written as Written
    from costing.workbook.results.write import write_results as write_results
    from costing.workbook.results.write import write_template as write_template
    from costing.workbook.results.write import write_workbook as write_workbook

__version__ = "0.1.0"

_ROOMS = {
    "costing.buying.values": "Totals",
    "costing.estimating": "estimate",
    "costing.findings": "Finding Grade Place",
    "costing.holding.instants": "UnknownZone",
    "costing.holding.models": "Container Eaten Event EventKind Temperature",
    "costing.holding.rules": "Rule load_rules",
    "costing.holding.statuses": "Status Verdict",
    "costing.kitchen": "CountedLot Dish HoldingClass Ingredient Line Lot Measured Pack "
    "PackState PaidFrom Part ReceiptLine ReceiptTag Shop Shown",
    "costing.past": "takes_learned",
    "costing.quantities": "AmbiguousNumber Amount Dimension DimensionMismatch Measures Rounding "
    "Unit UnitNeedsSystem UnknownCurrency UnknownUnit UnreadableNumber amount find_unit "
    "read_number",
    "costing.reference": "AllergenList find_food",
    "costing.report.estimates": "Estimate",
    "costing.seasons": "season",
    "costing.shoot": "Episode LeftOut Person Purpose Settings Shoot Shot Trip",
    "costing.shoot.settings": "MarkUpOn",
    "costing.shoot.shots": "EndedBy",
    "costing.workbook.package.refusals": "Refused",
    "costing.workbook.reading": "read_workbook",
    "costing.workbook.results.write": "Written write_results write_template write_workbook",
}
"""Public names by where they are defined."""

_HOMES = {name: home for home, names in _ROOMS.items() for name in names.split()}

__all__ = sorted(_HOMES)


if not TYPE_CHECKING:  # else a checker would take any name for one of the package's

    def __getattr__(name: str) -> Any:
        if name not in _HOMES:
            raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
        from importlib import import_module  # here only, as typing above

        return getattr(import_module(_HOMES[name]), name)


def __dir__() -> list[str]:
    return [*globals(), *__all__]
