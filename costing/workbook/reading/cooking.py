"""Recipes, Ingredients and Dishes as they are read."""

from __future__ import annotations

from typing import Any

from costing.kitchen import Dish, HoldingClass, Ingredient, Line, Measured, Shown
from costing.names import is_water, key
from costing.quantities import BATCH, Measures, decimal_or_fraction
from costing.workbook.reading.amounts import (
    TO_TASTE,
    amount_above_0,
    amount_of,
    measure,
    unit,
)
from costing.workbook.reading.areas import Area
from costing.workbook.reading.cells import Carried, RowCells
from costing.workbook.reading.messages import amounts as messages
from costing.workbook.reading.messages import values
from costing.workbook.reading.numbers import number, whole
from costing.workbook.reading.percents import cooked_weight, percent_from_0, trim_yield
from costing.workbook.reading.rows import Read, built
from costing.workbook.reading.weighs import Unweighed, weighed
from costing.workbook.reading.wording import shortened

NEED = ("Amount", "Unit", "Cut", "Measured", "Candidates", "Optional")
"""Columns of Recipes without which a line's need is unknown."""

LOSSES = (
    "Trim yield %",
    "Cooked weight %",
    "Grams per ml",
    "Grams per piece",
    "Weighs",
    "Spoilage % per day",
)
"""Columns of Ingredients without which the need for one is unknown."""


class Steps:
    """The number of the step a line falls in: a blank one is that of the dish's line above."""

    def __init__(self) -> None:
        self._last: dict[str, int] = {}
        self._names: dict[tuple[str, int], str] = {}

    def of(self, dish: str, given: int | None) -> int:
        """The step of a line of ``dish``."""
        step = self._last.get(dish, 1) if given is None else given
        self._last[dish] = step
        return step

    def name(self, cells: RowCells, dish: str, step: int) -> str:
        """The name of a step, where its line gives it one."""
        name = cells.name("Step name")
        if name:
            first = self._names.setdefault((dish, step), name)
            if key(first) != key(name):
                finding = messages.step_named_twice(
                    cells.at("Step name"), step, shortened(first), shortened(name)
                )
                cells.findings.append(finding)
        return name


def recipe_lines(area: Area, measures: Measures | None) -> Read:
    """The lines of the sheet Recipes."""
    read = Read()
    dishes, steps = Carried("Dish"), Steps()
    for row, filled in area.rows():
        cells = RowCells(area, row, filled, ("Ingredient", "Step name", "Dish"), dishes.value)
        if cells.blank:
            continue
        dish = dishes.required(cells)
        line = _line(cells, dish, steps, measures)
        if line is not None:
            read.rows.append(line)
        elif cells.failed:
            read.leave_out("recipe line", cells.row)
    return read


def _line(cells: RowCells, dish: str, steps: Steps, measures: Measures | None) -> Line | None:
    """A row of Recipes as a line; ``None`` where it lacks what a line needs."""
    given = whole(cells, "Step")
    if given is not None and given < 1:
        finding = values.number_out_of_range(cells.at("Step"), str(given), "a step of 1 or more")
        cells.fail("Step", finding)
    ingredient = cells.name("Ingredient")
    if not dish or "Step" in cells.failed or "Ingredient" in cells.failed:
        return None
    step = steps.of(key(dish), given)
    step_name = steps.name(cells, key(dish), step)
    if not ingredient:
        if "Amount" in cells.cells:
            cells.required("Ingredient")
            return None
        if given is None and not step_name:
            return None
    fields = {
        "dish": dish,
        "step": step,
        "step_name": step_name,
        "ingredient": ingredient,
        "cut": cells.name("Cut"),
        "measured": cells.choice("Measured", Measured) or Measured.TRIMMED,
        "shown": cells.choice("Shown", Shown) or Shown.AHEAD,
        "optional": cells.yes("Optional") or False,
        "note": cells.text("Note"),
    }
    candidates = number(cells, "Candidates")
    if candidates is not None:
        fields["candidates"] = candidates
    if ingredient:
        fields |= _amounts(cells, ingredient, measures)
    line = built(Line, cells, {"candidates": "Candidates"}, fields)
    if line is None or cells.failed.isdisjoint(NEED):
        return line
    return line.model_copy(update={"amount": None, "amount_low": None, "to_taste": False})


def _amounts(cells: RowCells, ingredient: str, measures: Measures | None) -> dict[str, Any]:
    found = measure(cells, "Amount", word=TO_TASTE)
    measured_in = unit(cells, "Unit", measures)
    if found.word:
        cells.findings.append(messages.amount_to_taste(cells.at("Amount"), ingredient))
        return {"to_taste": True}
    if found.high is None:
        if "Amount" not in cells.failed and not is_water(ingredient):
            cells.findings.append(messages.amount_missing(cells.at("Amount"), ingredient))
        return {}
    fields = {"amount": amount_of(found.high, measured_in)}
    if found.low != found.high:
        fields["amount_low"] = amount_of(found.low, measured_in)
    return fields


def ingredients(area: Area, measures: Measures | None) -> Read:
    """The rows of the sheet Ingredients."""
    read = Read()
    headings = {
        "density": "Grams per ml",
        "piece_weight": "Grams per piece",
        "keeps_days": "Keeps days",
    }
    for row, filled in area.rows():
        cells = RowCells(area, row, filled, ("Ingredient",))
        if cells.blank:
            continue
        name = cells.required("Ingredient")
        if not name:
            read.leave_out("ingredient", cells.row)
            continue
        holding_class = _holding_class(cells)
        fields = {
            "name": name,
            "section": cells.name("Section"),
            "trim_yield": trim_yield(cells, "Trim yield %"),
            "cooked_weight": cooked_weight(cells, "Cooked weight %"),
            "density": number(cells, "Grams per ml"),
            "piece_weight": number(cells, "Grams per piece"),
            "keeps_days": number(cells, "Keeps days"),
            "holding_class": holding_class,
            "allergens": _allergens(cells),
            "substitute": cells.name("Substitute"),
            "note": cells.text("Note"),
        }
        fields |= _weighs(cells, fields, measures)
        spoilage = percent_from_0(cells, "Spoilage % per day", below_100=True)
        if spoilage is not None:
            fields["spoilage"] = spoilage
        ingredient = built(Ingredient, cells, headings, fields)
        if ingredient is not None:
            read.rows.append(ingredient)
        if not cells.failed.isdisjoint(LOSSES):
            read.uncertain.add(key(name))
            read.leave_out("ingredient", cells.row)
    return read


def _weighs(cells: RowCells, fields: dict[str, Any], measures: Measures | None) -> dict[str, Any]:
    """What Weighs gives where the columns of grams are blank; the units go to the area."""
    text = cells.text("Weighs")
    if not text:
        return {}
    try:
        found = weighed(text, measures)
    except Unweighed as fault:
        place = cells.at("Weighs")
        cells.fail("Weighs", messages.weighs_unreadable(place, fault.part, fault.against))
        cells.area.pieces = {**cells.area.pieces, key(fields["name"]): None}
        return {}
    cells.area.pieces = {**cells.area.pieces, key(fields["name"]): found}
    given: dict[str, Any] = {"weighs": text}
    for field, heading, value in (
        ("density", "Grams per ml", found.density),
        ("piece_weight", "Grams per piece", found.piece_weight),
    ):
        if fields[field] is None and heading not in cells.failed:
            given[field] = value
        elif value not in (None, fields[field]):
            shown = decimal_or_fraction(value)
            cells.findings.append(messages.weighs_otherwise(cells.at(heading), heading, shown))
    return given


def _allergens(cells: RowCells) -> tuple[str, ...] | None:
    """What an ingredient brings: ``None`` when the cell is blank, nothing when it says none."""
    text = cells.name("Allergens")
    if not text:
        return None
    words = [word.strip() for word in text.replace(";", ",").split(",")]
    return tuple(dict.fromkeys(word for word in words if word and key(word) not in ("none", "-")))


def dishes(area: Area, measures: Measures | None) -> Read:
    """The rows of the sheet Dishes."""
    read = Read()
    for row, filled in area.rows():
        cells = RowCells(area, row, filled, ("Dish",))
        if cells.blank:
            continue
        name = cells.required("Dish")
        if not name:
            read.leave_out("dish", cells.row)
            continue
        makes = amount_above_0(cells, "Makes", "an amount")
        measured_in = unit(cells, "Unit", measures)
        if measured_in == BATCH:
            finding = messages.unknown_unit(
                cells.at("Unit"), cells.name("Unit"), (), ("portions", "g", "ml", "each")
            )
            cells.fail("Unit", finding)
            measured_in = None
        fields = {
            "name": name,
            "makes": amount_of(makes, measured_in),
            "cooked_weight": cooked_weight(cells, "Cooked weight %"),
            "holding_class": _holding_class(cells),
            "photo_life": number(cells, "Photo life minutes"),
            "note": cells.text("Note"),
        }
        dish = built(Dish, cells, {"photo_life": "Photo life minutes"}, fields)
        if dish is not None:
            read.rows.append(dish)
        if not cells.failed.isdisjoint(("Makes", "Unit", "Cooked weight %")):
            read.uncertain.add(key(name))
            read.leave_out("dish", cells.row)
    return read


def _holding_class(cells: RowCells) -> HoldingClass | None:
    """The class of a food, ``None`` when blank; one that cannot be read counts as always."""
    found = cells.choice("Holding class", HoldingClass)
    unreadable = found is None and "Holding class" in cells.failed
    return HoldingClass.ALWAYS if unreadable else found
