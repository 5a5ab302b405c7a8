"""In which unit an ingredient is bought, and what is said of amounts that do not turn into it."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from fractions import Fraction
from typing import TYPE_CHECKING

from costing.buying import messages
from costing.findings import Finding, Place
from costing.kitchen import Ingredient, Line, Lot, Pack
from costing.kitchen.conversion import Unconvertible, bought_as
from costing.names import key
from costing.quantities import GRAM, Amount, Dimension, Unit
from costing.reference import COOKED_DENSITY, other_pieces
from costing.shoot import Shoot
from costing.shoot.messages import dish_amount_unclear

if TYPE_CHECKING:
    from costing.buying.need import Need

CONVERTIBLE = (Dimension.MASS, Dimension.VOLUME, Dimension.COUNT)


def unconvertible(line: Line, ingredient: Ingredient, fault: Unconvertible, unit: Unit) -> Finding:
    """The finding for a line whose amount cannot be turned into the unit it is bought in."""
    place = ingredient.at(fault.heading)
    if fault.heading == "Cooked weight %":
        return messages.cooked_weight_missing(place, ingredient.name, line.where("Amount"))
    if fault.heading == COOKED_DENSITY:
        return messages.cooked_measure_missing(line.at("Unit"), ingredient.name, str(line.amount))
    return messages.conversion_missing(
        place,
        f"{line.amount} of {ingredient.name} ({line.where('Amount')})",
        unit.name,
        fault.heading,
        pieces_instead(fault),
    )


def pack_or_lot_unclear(
    row: Pack | Lot, ingredient: Ingredient, unit: Unit, fault: Unconvertible
) -> Finding:
    """The finding for a pack or a lot that cannot be turned into what is needed."""
    if unit.dimension not in CONVERTIBLE:
        makes = None if unit.dimension is Dimension.BATCH else f"{unit.name}s"
        return dish_amount_unclear(row.at("Unit"), ingredient.name, str(row.amount), makes)
    return messages.pack_unit_unclear(
        row.at("Unit"),
        ingredient.name,
        str(row.amount),
        unit.name,
        fault.heading,
        pieces_instead(fault),
    )


def in_unit_bought(
    amount: Amount,
    need: Need,
    place: Place,
    findings: list[Finding],
    unclear: Callable[..., Finding] = messages.pack_unit_unclear,
) -> Fraction | None:
    """An amount in the base unit it is bought in; ``None``, and said, where that cannot be."""
    try:
        return bought_as(amount, need.unit.dimension, need.ingredient)
    except Unconvertible as fault:
        words = need.ingredient.name, str(amount), need.unit.name, fault.heading
        findings.append(unclear(place, *words, pieces_instead(fault)))
        return None


def pieces_instead(fault: Unconvertible) -> tuple[str, ...]:
    """What is published of other kinds of pieces, where the weight of a piece is missing."""
    return other_pieces(fault.ingredient) if fault.heading == "Grams per piece" else ()


def first_units(shoot: Shoot) -> dict[str, tuple[Unit, Unit]]:
    """For each ingredient the unit of its first known line, and the unit it is bought in.

    An article that no line takes is measured as Parts has it.

    Bought in the unit of its first pack of the recipe's kind, else of its first pack, so that the
    order of the rows decides nothing where one pack can be counted and another cannot.
    """
    lines = _units_by_name((line.ingredient, line.amount) for line in shoot.lines)
    for name, cut in _units_by_name((row.ingredient, row.amount) for row in shoot.parts).items():
        lines.setdefault(name, cut)
    packs = _units_by_name((pack.ingredient, pack.unit_amount) for pack in shoot.packs)
    lots = _units_by_name((lot.ingredient, lot.amount) for lot in shoot.lots)
    units: dict[str, tuple[Unit, Unit]] = {}
    for name, used in lines.items():
        measured = used[0] if used else GRAM
        stocked = packs.get(name) or lots.get(name) or [measured]
        alike = (unit for unit in stocked if unit.dimension is measured.dimension)
        units[name] = (measured, next(alike, stocked[0]))
    return units


def _units_by_name(pairs: Iterable[tuple[str, Amount | None]]) -> dict[str, list[Unit]]:
    """Units of weight, volume or pieces in the order of the sheet; a name may have none."""
    units: dict[str, list[Unit]] = {}
    for name, amount in pairs:
        known = units.setdefault(key(name), [])
        if amount is not None and amount.unit.dimension in CONVERTIBLE:
            known.append(amount.unit)
    return units
