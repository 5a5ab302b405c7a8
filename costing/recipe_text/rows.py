"""The rows of a new workbook from recipes in outline."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from costing.findings import Finding, in_order
from costing.names import Named, is_water, key
from costing.quantities import Measures
from costing.recipe_text import messages as line_messages
from costing.recipe_text import recipe_messages as messages
from costing.recipe_text.lines import read_line
from costing.recipe_text.makes import makes
from costing.recipe_text.names import singular_name
from costing.recipe_text.outline import Group, Outline, Source
from costing.recipe_text.parts import LineParts
from costing.recipe_text.words import FRUIT_PARTS

Cell = str | int | None
"""What a cell holds; ``None``: it stays blank."""

SheetRow = dict[str, Cell]
"""Value by heading."""

OF_GOODS = (line_messages.dish_inside, line_messages.cooked_or_raw)
"""Not said of an ingredient that is a dish of the same file."""


@dataclass(frozen=True, slots=True)
class RecipeText:
    """What was read of a file.

    Parameters
    ----------
    rows : dict of str to list of dict
        Rows by title of the sheet, each a value by heading.
    findings : list of Finding
        What is uncertain, in the order of the lines.
    """

    rows: dict[str, list[SheetRow]]
    findings: list[Finding]


@dataclass(frozen=True, slots=True)
class _Read:
    """An ingredient line with where it stands and what was read of it."""

    outline: Outline
    step: int
    group: Group
    source: Source
    parts: LineParts


def rows_of(outlines: list[Outline], measures: Measures) -> RecipeText:
    """Give the rows of the sheets Recipes, Ingredients, Packs and Dishes.

    Each row of Recipes that stands for a line keeps it in Note. Headings become steps in their
    order; the method's steps follow as rows without an ingredient.
    """
    findings = [finding for outline in outlines for finding in outline.findings]
    read = [one for outline in outlines for one in _lines(outline, measures)]
    titles = {key(outline.title) for outline in outlines}
    findings += [
        doubt.at(one.outline.place(one.source))
        for one in read
        for doubt in one.parts.doubts
        if doubt.message not in OF_GOODS or key(one.parts.name) not in titles
    ]
    read, joined = _one_name_each(read)
    findings += [*joined, *_fruit_twice(read)]
    recipes: list[SheetRow] = []
    dishes: list[SheetRow] = []
    for outline in outlines:
        mine = [one for one in read if one.outline is outline]
        recipes += _recipe_rows(outline, mine, findings)
        dishes += _dish_rows(outline, measures, findings)
    names = _to_buy(read, [outline.title for outline in outlines])
    rows: dict[str, list[SheetRow]] = {
        "Recipes": recipes,
        "Packs": [
            {"Ingredient": name, "Amount": None, "Unit": None, "Price": None} for name in names
        ],
        "Ingredients": [{"Ingredient": name} for name in names],
    }
    if dishes:
        rows["Dishes"] = dishes
    return RecipeText(rows, in_order(findings))


def _lines(outline: Outline, measures: Measures) -> Iterator[_Read]:
    for step, group in enumerate(outline.groups, start=1):
        for source in group.lines:
            parts = read_line(source.said or source.text, measures)
            if source.optional:
                parts = replace(parts, optional=True)
            yield _Read(outline, step, group, source, parts)


def _recipe_rows(
    outline: Outline, read: list[_Read], findings: list[Finding]
) -> Iterator[SheetRow]:
    for step, group in enumerate(outline.groups, start=1):
        mine = [one for one in read if one.group is group]
        for one in mine:
            if key(one.parts.name) == key(outline.title):
                place = outline.place(one.source)
                findings.append(messages.dish_in_itself(place, one.parts.name))
            yield _line_row(outline.title, one)
        if not mine and group.heading is not None:
            yield _step_row(outline.title, step, group.name, group.heading)
    first = len(outline.groups) + 1
    for step, (name, source) in enumerate(outline.method, start=first):
        yield _step_row(outline.title, step, name or f"step {step}", source)
    if outline.method:
        last = first + len(outline.method) - 1
        outline_of_method = outline.method[0][1]
        place = outline.place(outline_of_method)
        findings.append(messages.method_apart(place, first, last, outline.title))


def _line_row(dish: str, one: _Read) -> SheetRow:
    parts = one.parts
    return {
        "Dish": dish,
        "Step": one.step,
        "Step name": one.group.name or None,
        "Ingredient": parts.name,
        "Amount": parts.amount or None,
        "Unit": parts.unit or None,
        "Cut": parts.cut or None,
        "Measured": parts.measured or None,
        "Optional": "yes" if parts.optional else None,
        "Note": one.source.text,
    }


def _step_row(dish: str, step: int, name: str, source: Source) -> SheetRow:
    row: SheetRow = dict.fromkeys(
        (
            "Dish",
            "Step",
            "Step name",
            "Ingredient",
            "Amount",
            "Unit",
            "Cut",
            "Measured",
            "Optional",
            "Note",
        )
    )
    return row | {"Dish": dish, "Step": step, "Step name": name, "Note": source.text}


def _dish_rows(outline: Outline, measures: Measures, findings: list[Finding]) -> Iterator[SheetRow]:
    if outline.makes is None:
        return
    made = makes(outline.makes.text, measures)
    findings += [doubt.at(outline.place(outline.makes)) for doubt in made.doubts]
    if made.amount:
        yield {
            "Dish": outline.title,
            "Makes": made.amount,
            "Unit": made.unit,
            "Note": outline.makes.text,
        }


def _one_name_each(read: list[_Read]) -> tuple[list[_Read], list[Finding]]:
    """Give a plural the name of its singular, where another line has it."""
    spelled = Named((one.parts.name, one.parts.name) for one in read)
    joined: list[_Read] = []
    findings: list[Finding] = []
    for one in read:
        name = one.parts.name
        single = singular_name(name)
        if key(single) != key(name) and single in spelled:
            taken = spelled[single]
            place = one.outline.place(one.source)
            findings.append(messages.names_joined(place, name, taken))
            joined.append(replace(one, parts=replace(one.parts, name=taken)))
        else:
            joined.append(one)
    return joined, findings


def _fruit_twice(read: list[_Read]) -> Iterator[Finding]:
    """Tell of the juice of a fruit in one line and its zest in another."""
    seen: dict[tuple[int, str], str] = {}
    for one in read:
        part = " and ".join(p for p in FRUIT_PARTS if p in one.parts.cut.casefold())
        if not part or one.parts.unit != "each":
            continue
        at = (id(one.outline), key(one.parts.name))
        other = seen.setdefault(at, part)
        if other != part:
            place = one.outline.place(one.source)
            yield messages.fruit_twice(place, one.parts.name, part, other)


def _to_buy(read: list[_Read], dishes: list[str]) -> list[str]:
    """Distinct names of ingredients, without water and without other dishes."""
    made = {key(dish) for dish in dishes}
    names = Named(
        (one.parts.name, one.parts.name)
        for one in read
        if not is_water(one.parts.name)
        and (key(one.parts.name) not in made or key(one.parts.name) == key(one.outline.title))
    )
    return list(names.values())
