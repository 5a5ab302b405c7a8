"""A recipe's file into rows of a workbook; nothing is ever fetched."""

from __future__ import annotations

import re
from collections.abc import Iterator
from contextlib import suppress
from dataclasses import dataclass, replace
from typing import Literal

from costing.findings import Finding, Place
from costing.listing import in_order
from costing.names import Named, is_water, key, singular_name
from costing.quantities import Amount, Measures, UnitNeedsSystem, UnknownUnit, find_unit
from costing.recipe_text import messages as line_messages
from costing.recipe_text import recipe_messages as messages
from costing.recipe_text.called import fruit_parts
from costing.recipe_text.counts import number_text
from costing.recipe_text.guesses import Placed, placing_findings, with_guess
from costing.recipe_text.lines import BULLET, read_line
from costing.recipe_text.linked_data import linked_data_in, outlines_of_json
from costing.recipe_text.method import NamedLine, placed
from costing.recipe_text.outline import (
    MOST_CHARACTERS,
    Group,
    Outline,
    RecipeUnreadable,
    SourceLine,
    check_size,
    makes,
)
from costing.recipe_text.parts import LineParts
from costing.recipe_text.prose import not_listed, taken_in_steps
from costing.recipe_text.text import outline_of_text
from costing.recipe_text.unit_words import measures_said, measures_shown
from costing.recipe_text.words import NAME_WORDS

Cell = str | int | None
"""What a cell holds; ``None``: it stays blank."""

SheetRow = dict[str, Cell]
"""Value by heading."""

RECIPE_HEADINGS = (
    *("Dish", "Step", "Step name", "Ingredient", "Amount", "Unit", "Cut", "Measured"),
    *("Optional", "Note"),
)
"""Those of Recipes that a row of a step has, blank where it says nothing."""

DOUBTS_OF_GOODS = (line_messages.dish_inside, line_messages.cooked_or_raw)
"""Not said of an ingredient that is a dish of the same file."""


@dataclass(frozen=True, slots=True)
class RecipeText:
    """What was read of a file.

    Parameters
    ----------
    rows : dict of str to list of dict
        Rows by title of the sheet, each a value by heading.
    measures : Measures
        Whose spoons, cups and pints the bare words were read as.
    """

    rows: dict[str, list[SheetRow]]
    findings: list[Finding]
    measures: Measures = Measures.METRIC


def read_recipe(
    text: str,
    *,
    kind: Literal["text", "json"],
    measures: Measures | None,
    file_name: str,
    setting: Measures | None = None,
) -> RecipeText:
    r"""Read a recipe into rows for the sheets Recipes, Packs, Ingredients and Dishes.

    Parameters
    ----------
    text : str
        What the file holds: English lines as people write them, a Recipe of schema.org in
        JSON-LD, or a saved web page that has one inside, as JSON-LD or in its own tags.
    kind : {"text", "json"}
        Which of the two.
    measures : Measures, optional
        Whose spoons, cups and pints the bare words are; ``None``: as the recipe says or shows,
        by the size of a cup in ml or by words only used in the US; else the setting. Without one
        too, cups are reported once.
    file_name : str
        For the findings, and for the dish's name when the recipe has none.
    setting : Measures, optional
        Of the workbook the recipe goes into; ``None``: there is none, and it is metric.

    Returns
    -------
    RecipeText
        Rows by sheet, each original line in Note, and a finding for all that is uncertain. The
        place of a finding has the file as its sheet and the line's number as its row; in JSON
        the number counts the entries of recipeIngredient.

    Raises
    ------
    RecipeUnreadable
        With its finding, if the text is no recipe.
    ValueError
        If ``kind`` is another word.

    Examples
    --------
    >>> text = "Leek tart\n\nServes 4\n\n2 leeks, sliced\n200 g flour\n"
    >>> read = read_recipe(text, kind="text", measures=Measures.METRIC, file_name="tart.txt")
    >>> [(row["Ingredient"], row["Amount"], row["Unit"]) for row in read.rows["Recipes"]]
    [('leek', '2', 'each'), ('flour', '200', 'g')]
    >>> read.rows["Dishes"][0]["Makes"], read.findings
    ('4', [])
    """
    here = Place(file_name)
    if kind not in ("text", "json"):
        raise ValueError(f"kind must be text or json, not {kind!r}")
    check_size(len(text), MOST_CHARACTERS, "characters", file_name)
    # what is asked for, what the recipe says, what it shows, the setting: the surest first
    measures = measures or measures_said(text)
    said: tuple[str, ...] = ()
    not_asked = measures is None and setting is None
    if measures is None:
        measures, said = measures_shown(text, setting)
    outlines: list[Outline]
    data = text if kind == "json" else linked_data_in(text, here)
    if data is not None:
        outlines = outlines_of_json(data, file_name=file_name)
    else:
        outlines = [outline_of_text(text, file_name=file_name, measures=measures)]
    for outline in outlines:
        taken_in_steps(outline, measures)
    if not any(group.lines for outline in outlines for group in outline.groups):
        raise RecipeUnreadable(messages.file_empty(here))
    read = rows_of(outlines, measures)
    findings = list(read.findings)
    if said:
        findings.append(messages.measures_taken(here, said, measures.value))
    elif not_asked and any(row["Unit"] == "cup" for row in read.rows["Recipes"]):
        cups = (_cup(one) for one in (measures, Measures.US_CUSTOMARY))
        findings.append(messages.measures_not_said(here, *cups))
    return replace(read, findings=in_order(findings))


def _cup(measures: Measures) -> str:
    """How large a cup is, in whole millilitres."""
    return f"{round(find_unit('cup', measures).size)} ml"


_CALLED_TOO = re.compile(
    r"\(((?!optional|note|see|large|about)[^\W\d_]{3,}(?: [^\W\d_]+)?)\)", re.I
)
"""Another name in brackets: peanuts (groundnuts)."""

_STEP_NUMBER = re.compile(r"(?:step\s*)?\(?(?P<number>[0-9]{1,2})\s*[.):\]]?\s+(?=\S)", re.I)
_IN_DECIMALS = ("g", "kg", "mg", "ml", "cl", "dl", "l")
"""Units of which nobody writes 37 1/2."""


@dataclass(frozen=True, slots=True)
class _Read:
    """An ingredient line, its place and what was read of it."""

    outline: Outline
    step: int
    group: Group
    source: SourceLine
    parts: LineParts


def rows_of(outlines: list[Outline], measures: Measures) -> RecipeText:
    """Give the rows of the sheets Recipes, Ingredients, Packs and Dishes.

    A row of Recipes for a line keeps it in Note, with the step that was guessed for it. The steps
    are those of the method; without one each heading is a step.
    """
    findings = [finding for outline in outlines for finding in outline.findings]
    read = [one for outline in outlines for one in _lines(outline, measures)]
    titles = {key(outline.title) for outline in outlines}
    findings += [
        doubt.at(one.outline.place(one.source))
        for one in read
        for doubt in one.parts.doubts
        if doubt.message not in DOUBTS_OF_GOODS or key(one.parts.name) not in titles
    ]
    read, joined = _one_name_each(read)
    findings += [*joined, *_fruit_twice(read)]
    recipes: list[SheetRow] = []
    dishes: list[SheetRow] = []
    for outline in outlines:
        mine = [one for one in read if one.outline is outline]
        recipes += _recipe_rows(outline, mine, measures, findings)
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
    return RecipeText(rows, findings, measures)


def _lines(outline: Outline, measures: Measures) -> Iterator[_Read]:
    for step, group in enumerate(outline.groups, start=1):
        for source in group.lines:
            parts = read_line(source.said or source.text, measures)
            if source.optional:
                parts = replace(parts, optional=True)
            yield _Read(outline, step, group, source, parts)


def _recipe_rows(
    outline: Outline, read: list[_Read], measures: Measures, findings: list[Finding]
) -> Iterator[SheetRow]:
    """The rows of a dish, its ingredients in the steps of the method that name them."""
    for one in read:
        if key(one.parts.name) == key(outline.title):
            place = outline.place(one.source)
            findings.append(messages.dish_in_itself(place, one.parts.name))
    if not outline.method or outline.takes_in_steps:
        yield from _rows_by_heading(outline, read)
        return
    steps = [_told(at, source.text) for at, (_, source) in enumerate(outline.method, start=1)]
    sought = [_sought(one, measures) for one in read]
    found = placed(sought, steps, measures)
    findings += not_listed(outline, sought, steps, measures)
    several = len(outline.method) > 1
    if several:
        findings += placing_findings(
            [one.parts.name for one in read],
            found,
            [outline.place(one.source) for one in read],
            {at: outline.place(source) for at, (_, source) in enumerate(outline.method, start=1)},
        )
    findings += [
        messages.line_left_out(outline.place(group.heading), group.heading.text)
        for group in outline.groups
        if group.heading is not None and not group.lines
    ]
    taken: dict[int, list[tuple[_Read, Placed | None]]] = {}
    for one, where in zip(read, found, strict=True):
        # what no step names is taken first, where it is seen
        for each in (where, *(where.others if where else ())):
            taken.setdefault(each.step if each else 1, []).append((_part_of(one, each), each))
    for step, (called, source) in enumerate(outline.method, start=1):
        name = called or f"step {step}"
        yield _step_row(outline.title, step, name, source)
        for one, where in taken.get(step, ()):
            row = _line_row(outline.title, replace(one, step=step), name)
            yield row | {"Note": with_guess(_note(one, name), where)} if several else row


def _told(number: int, text: str) -> str:
    """A step without its bullet and its number."""
    plain = BULLET.sub("", text)
    counted = _STEP_NUMBER.match(plain)
    return plain[counted.end() :] if counted and int(counted["number"]) == number else plain


def _sought(one: _Read, measures: Measures) -> NamedLine:
    """A line as the method is looked through for it."""
    parts, text = one.parts, one.source.said or one.source.text
    also = tuple(
        name for name in _CALLED_TOO.findall(text) if NAME_WORDS.isdisjoint(name.casefold().split())
    )
    amount = None
    if parts.low is not None and parts.low == parts.high:
        with suppress(UnknownUnit, UnitNeedsSystem):
            amount = Amount(parts.low, find_unit(parts.unit or "each", measures))
    return NamedLine(parts.name, one.group.name, parts.cut, also, amount)


def _part_of(one: _Read, where: Placed | None) -> _Read:
    """A line with the amount of the part that a step takes."""
    parts = one.parts
    if where is None or where.part == 1 or parts.low is None:
        return one
    low = parts.low * where.part
    amount = number_text(low, decimal=parts.unit.casefold() in _IN_DECIMALS)
    return replace(one, parts=replace(parts, amount=amount, low=low, high=low))


def _rows_by_heading(outline: Outline, read: list[_Read]) -> Iterator[SheetRow]:
    """Each heading of ingredients is a step; the method's steps follow."""
    for step, group in enumerate(outline.groups, start=1):
        mine = [one for one in read if one.group is group]
        if group.heading is not None and (not mine or outline.takes_in_steps):
            yield _step_row(outline.title, step, group.name, group.heading)
        for one in mine:
            yield _line_row(outline.title, one, group.name)
    first = len(outline.groups) + 1
    for step, (name, source) in enumerate(outline.method, start=first):
        yield _step_row(outline.title, step, name or f"step {step}", source)


def _line_row(dish: str, one: _Read, step_name: str) -> SheetRow:
    """A row of Recipes for an ingredient line."""
    parts = one.parts
    return {
        "Dish": dish,
        "Step": one.step,
        "Step name": step_name or None,
        "Ingredient": parts.name,
        "Amount": parts.amount or None,
        "Unit": parts.unit or None,
        "Cut": parts.cut or None,
        "Measured": parts.measured or None,
        "Optional": "yes" if parts.optional else None,
        "Note": _note(one, step_name),
    }


def _note(one: _Read, step_name: str) -> str:
    """The line as it was written, with the heading it stood below if that is no step."""
    heading = one.group.name
    return one.source.text if heading in ("", step_name) else f"{one.source.text} ({heading})"


def _step_row(dish: str, step: int, name: str, source: SourceLine) -> SheetRow:
    """A row of Recipes for a step, its Note the text that it was read from."""
    row: SheetRow = dict.fromkeys(RECIPE_HEADINGS)
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
        part = " and ".join(fruit_parts(one.parts.cut))
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
