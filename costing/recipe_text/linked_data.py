"""Recipes of schema.org: Recipe with recipeIngredient, recipeYield, instructions.

They stand in JSON-LD, in a file of its own or inside a page, or in the tags of the page.
"""

from __future__ import annotations

import html
import json
import re
from collections import Counter
from collections.abc import Iterator, Sequence
from itertools import count
from typing import Any

from costing.findings import Place
from costing.names import key
from costing.quantities import Measures
from costing.recipe_text import recipe_messages as messages
from costing.recipe_text.linked_nodes import in_one_spelling, json_read, nodes_of, pointed_to
from costing.recipe_text.microdata import items_of_page
from costing.recipe_text.outline import (
    LONGEST_CELL,
    MOST_LINES,
    Group,
    Outline,
    RecipeUnreadable,
    SourceLine,
    check_size,
    named_after,
    step_name,
)
from costing.recipe_text.sections import FOR, named_together

_LISTS = ("recipeIngredient", "ingredients", "supply")
_METHODS = ("recipeInstructions", "step", "steps")

UNIT_CODES = {
    "GRM": "g",
    "KGM": "kg",
    "MLT": "ml",
    "LTR": "l",
    "CLT": "cl",
    "DLT": "dl",
    "ONZ": "oz",
    "LBR": "lb",
    "G21": "cup",
    "G24": "tbsp",
    "G25": "tsp",
    "C62": "each",
    "H87": "each",
}
"""Units of UN/ECE Recommendation 20, which schema.org takes for unitCode, from memory."""

NESTING_DEPTH = 40
"""Lists and objects inside one another; deeper ones are not looked into."""

_PAGE = re.compile(
    r"\s*(?:<\?xml\b[^<>]{0,200}>\s*|<!--[^<>]{0,500}-->\s*)*<(?:!doctype html|html|head|body)\b",
    re.IGNORECASE,
)
_TAG_FIRST = re.compile(r"\s*<(?:[a-z!?])", re.IGNORECASE)
_JSON = re.compile(r"""\s*[\[{][^"]{0,100}"(?:@context|@graph|@type|@id)"\s*:""")
_TAG = re.compile(r"<[^<>]{0,500}>")
_BREAK = re.compile(r"<(?:br|/p|/li|/div)\b[^<>]{0,100}>", re.IGNORECASE)
_BESIDE = re.compile(r"</?(?:span|td|th)\b[^<>]{0,500}>", re.IGNORECASE)
_SCRIPT = re.compile(
    r"<script\b[^<>]{0,500}application/ld\+json[^<>]{0,500}>(?P<data>.*?)</script\s*>",
    re.IGNORECASE | re.DOTALL,
)
_COMMENTED = re.compile(
    r"^\s*(?:<!--|(?:/\*|//)?\s*<!\[CDATA\[(?:\s*\*/)?)|(?:-->|(?:/\*|//)?\s*\]\]>(?:\s*\*/)?)\s*$"
)
_NUMBER_INSIDE = re.compile(r"(?:(?<=\s)|^)([0-9]{1,2})[.)]\s+(?=[^\W\d_])")
_NUMBERED = re.compile(r"^(?:step\s*)?[0-9]{1,2}\s*[.):]\s+", re.IGNORECASE)


def linked_data_in(text: str, here: Place) -> str | None:
    """The JSON-LD that a file is or, as a web page or a part of one, has inside.

    ``None``: it is a text of lines.

    Raises
    ------
    RecipeUnreadable
        If it is a page in which no recipe is marked.

    Examples
    --------
    >>> page = '<html><script type="application/ld+json">{"a": 1}</script></html>'
    >>> linked_data_in(page, Place("tart.html")), linked_data_in("2 eggs", Place("tart.txt"))
    ('[{"a": 1}]', None)
    """
    if _JSON.match(text):
        return text
    if not _TAG_FIRST.match(text):
        return None
    data = _json_of_page(text)
    if data is None and _PAGE.match(text):
        raise RecipeUnreadable(messages.file_is_a_page(here))
    return data


def _json_of_page(page: str) -> str | None:
    """That of all its scripts as a list; ``None``: it has none.

    Where no recipe is in it, those that the page's own tags mark are; pages often have both.
    """
    found = []
    for script in _SCRIPT.finditer(page):
        try:
            found.append(in_one_spelling(json_read(_COMMENTED.sub("", script["data"]))))
        except (ValueError, RecursionError):
            continue  # a page may hold what its own makers wrote wrongly, beside the recipe
    if not any(_recipes(found, 0)):
        found += _recipes(items_of_page(page), 0)
    return json.dumps(found, ensure_ascii=False) if found else None


def outlines_of_json(text: str, *, file_name: str) -> list[Outline]:
    """Find the recipes in JSON-LD.

    Raises
    ------
    RecipeUnreadable
        If it is not JSON, holds no Recipe, or a list or text that no workbook can hold.
    """
    here = Place(file_name)
    try:
        data = in_one_spelling(json_read(text))
    except json.JSONDecodeError as fault:
        where = f"from line {fault.lineno}, column {fault.colno} on"
        raise RecipeUnreadable(messages.file_not_json(here, where)) from None
    except (ValueError, RecursionError):
        where = "that can be read: a number is too long or lists stand too deep in lists"
        raise RecipeUnreadable(messages.file_not_json(here, where)) from None
    recipes = list(_recipes(data, 0))
    if not recipes:
        raise RecipeUnreadable(messages.file_without_recipe(here))
    named = {str(one["@id"]): one for one in recipes if isinstance(one.get("@id"), str)}
    others = {name: node for name, node in nodes_of(data) if name not in named}
    for recipe in recipes if others else ():
        for listed in (*_LISTS, *_METHODS):
            if listed in recipe:
                recipe[listed] = pointed_to(recipe[listed], dict(others))
    outlines: list[Outline] = []
    kept: list[dict[str, Any]] = []
    renamed: dict[str, dict[str, Any]] = {}
    for recipe in recipes:
        outline = _outline(recipe, file_name, named)
        namesakes = [one for one in outlines if key(one.title) == key(outline.title)]
        # pages often hold their recipe twice, by itself and inside the description of the page
        if any(_lines(outline) == _lines(one) for one in namesakes):
            outlines[0].findings.append(messages.recipe_twice(here, outline.title))
            continue
        # one without ingredients only says more of the other
        if _lines(outline) and any(_lines(one) for one in namesakes):
            called = _another_name(outline.title, outlines)
            outline.findings.append(messages.name_twice(here, outline.title, called))
            outline.title = called
            if isinstance(recipe.get("@id"), str):
                renamed[recipe["@id"]] = recipe | {"name": called}
        kept.append(recipe)
        outlines.append(outline)
    for recipe, outline in zip(kept, outlines, strict=True) if renamed else ():
        # what points to one by its id is to name it as it is called by now
        outline.groups = _outline(recipe, file_name, named | renamed).groups
    return outlines


def _lines(outline: Outline) -> list[str]:
    return [source.text for group in outline.groups for source in group.lines]


def _another_name(title: str, outlines: Sequence[Outline]) -> str:
    """A name with the first number behind it that no recipe has: Cake 2."""
    taken = {key(one.title) for one in outlines}
    return next(name for at in count(2) if key(name := f"{title} {at}") not in taken)


def _recipes(data: Any, depth: int) -> Iterator[dict[str, Any]]:
    """Objects of the type Recipe: alone, in a list, in @graph, or as what a page is about."""
    if depth > NESTING_DEPTH:
        return
    if isinstance(data, list):
        for entry in data:
            yield from _recipes(entry, depth + 1)
    elif isinstance(data, dict):
        mine = _is_a(data, "Recipe")
        # one that only points to another by its id holds nothing to read
        if mine and set(data) - {"@type", "@id"}:
            yield data
        inner = (*_LISTS, "hasPart", "isPartOf") if mine else ("@graph", "mainEntity", "hasPart")
        for name in (*inner, "mainEntityOfPage", "itemListElement", "item"):
            yield from _recipes(data.get(name), depth + 1)


def _is_a(data: dict[str, Any], wanted: str) -> bool:
    types = data.get("@type")
    names = types if isinstance(types, list) else [types]
    return any(isinstance(n, str) and re.split("[/:#]", n)[-1] == wanted for n in names)


def _outline(recipe: dict[str, Any], file_name: str, named: dict[str, dict[str, Any]]) -> Outline:
    """The outline of one recipe; too long ones are refused before their lines are read."""
    title = next(iter(_texts(recipe.get("name"))), "")
    listed = next((name for name in _LISTS if recipe.get(name)), _LISTS[0])
    told = next((name for name in _METHODS if recipe.get(name)), _METHODS[0])
    lines = list(_ingredients(recipe.get(listed), named, 0))
    out = Outline(title or named_after(file_name), file_name)
    if not title:
        out.findings.append(messages.title_missing(Place(file_name), out.title))
    check_size(len(lines), MOST_LINES, "ingredients", file_name)
    out.groups.append(Group())
    for number, line in enumerate(lines, start=1):
        headed = line.endswith(":") or FOR.fullmatch(line) is not None
        if headed and not any(sign.isdecimal() for sign in line):
            out.open_group(line.rstrip(" :"), SourceLine(number, line, listed=listed))
        else:
            together = named_together(line, Measures.METRIC)
            out.groups[-1].lines += [SourceLine(number, one, listed=listed) for one in together]
    steps = list(_steps(recipe.get(told), "", 0))[:MOST_LINES]
    if recipe.get(told) and not steps:
        out.findings.append(messages.method_not_said(Place(file_name, heading=told)))
    said_of_steps = [
        (name, SourceLine(number, said, listed=told))
        for number, (name, said, _) in enumerate(steps, start=1)
    ]
    out.method = [one for one in said_of_steps if one[0]]
    for tip in (source for name, source in said_of_steps if not name):
        out.note(messages.line_left_out, tip, tip.text)
    made = _made(recipe.get("recipeYield", recipe.get("yield")))
    out.makes = SourceLine(1, made, listed="recipeYield") if made else None
    longest = max(map(len, (*lines, *(said for _, said, _ in steps))), default=0)
    check_size(longest, LONGEST_CELL, "characters in a line", file_name)
    _put_to_supplied(out, [supply for name, _, supply in steps if name])
    return out


def _put_to_supplied(out: Outline, supplies: list[tuple[str, ...]]) -> None:
    """Put each ingredient to the step that says it takes it, where the steps say so of all."""
    waiting: dict[str, list[SourceLine]] = {}
    for group in out.groups:
        for source in group.lines:
            waiting.setdefault(source.text, []).append(source)
    wanted = Counter(line for supply in supplies for line in supply)
    # a step that leaves some out would leave them without a step at all
    if wanted and wanted == {line: len(sources) for line, sources in waiting.items()}:
        out.put_to_steps([[waiting[line].pop(0) for line in supply] for supply in supplies])


def _ingredients(value: Any, named: dict[str, dict[str, Any]], depth: int) -> Iterator[str]:
    """The lines of ingredients: texts, lists of them in one another, or objects with an amount."""
    if depth > NESTING_DEPTH:
        return
    if isinstance(value, list):
        for entry in value:
            yield from _ingredients(entry, named, depth + 1)
    elif isinstance(value, dict):
        recipe = named.get(str(value.get("@id")), value)
        name = " ".join(_texts(recipe.get("name")))
        amount = _made(
            value.get("requiredQuantity", value.get("amount", value if "value" in value else None))
        )
        if _is_a(recipe, "Recipe") and name:
            yield f"{amount or '1 batch'} {name}"
        elif name and amount:
            yield f"{amount} {name}"
        elif "itemListElement" in value:
            if name:
                yield f"{name.rstrip(' :')}:"
            yield from _ingredients(value["itemListElement"], named, depth + 1)
        else:
            yield from _texts(value)
    else:
        yield from _texts(value)


def _texts(value: Any) -> Iterator[str]:
    """The lines of a text, a number, a list of them, or an object with a text or name."""
    if isinstance(value, list):
        for entry in value:
            if not isinstance(entry, list):
                yield from _texts(entry)
            else:
                yield from _texts([inner for inner in entry if not isinstance(inner, list)])
    elif isinstance(value, dict):
        for name in ("@value", "text", "name"):
            if isinstance(value.get(name), str):
                yield from _texts(value[name])
                return
    elif isinstance(value, str):
        plain = _BREAK.sub("\n", html.unescape(html.unescape(value)))
        plain = _TAG.sub("", _BESIDE.sub(" ", plain))
        for line in plain.splitlines():
            if line.strip():
                yield " ".join(line.split())
    elif isinstance(value, int | float) and not isinstance(value, bool):
        yield str(value)


def _steps(value: Any, section: str, depth: int) -> Iterator[tuple[str, str, tuple[str, ...]]]:
    """Name, text and supplies of each step; a section's name is in front of its steps'."""
    if depth > NESTING_DEPTH:
        return
    if isinstance(value, list):
        for entry in _in_their_order(value):
            yield from _steps(entry, section, depth + 1)
    elif isinstance(value, dict):
        inner = value.get("itemListElement")
        if _is_a(value, "HowToTip"):  # beside a step, and nothing that is done
            yield "", " ".join(_texts(value)), ()
            return
        name = next(iter(_texts(value.get("name"))), "")
        if inner is not None:
            yield from _steps(inner, name, depth + 1)
            return
        if _is_a(value, "HowToSection"):
            yield from _steps(value.get("text") or name, name, depth + 1)
            return
        said = " ".join(_texts(value.get("text"))) or name
        if said:
            supply = tuple(_ingredients(value.get("supply"), {}, depth + 1))
            yield _called(section, name or said), said, supply
    else:
        for text in _texts(value):
            for line in _numbered_apart(text):
                yield _called(section, line), line, ()


def _in_their_order(entries: list[Any]) -> list[Any]:
    """The steps of a list by their positions, where each has one of its own."""
    positions = [one.get("position") for one in entries if isinstance(one, dict)]
    numbers = [int(str(one)) for one in positions if str(one).isdecimal()]
    if len(numbers) < len(entries) or len({*numbers}) < len(numbers):
        return entries
    return [entry for _, entry in sorted(zip(numbers, entries, strict=True), key=lambda at: at[0])]


def _numbered_apart(text: str) -> list[str]:
    """The steps of a text that numbers them in one row: 1. Fry. 2. Simmer."""
    marks = list(_NUMBER_INSIDE.finditer(text))
    if [int(mark[1]) for mark in marks] != list(range(1, len(marks) + 1)) or len(marks) < 2:
        return [text]
    ends = [*(mark.start() for mark in marks[1:]), len(text)]
    lead = text[: marks[0].start()].strip()
    steps = [text[mark.start() : end].strip() for mark, end in zip(marks, ends, strict=True)]
    return [lead, *steps] if lead else steps


def _called(section: str, said: str) -> str:
    name = step_name(_NUMBERED.sub("", said))
    return f"{section}: {name}" if section else name


def _made(value: Any) -> str:
    """The yield as a text; of several the first that says what is counted."""
    if isinstance(value, dict):
        ends = [" ".join(_texts(value.get(name))) for name in ("minValue", "maxValue")]
        number = " ".join(_texts(value.get("value"))) or "-".join(filter(None, ends))
        unit = " ".join(_texts(value.get("unitText"))) or UNIT_CODES.get(
            " ".join(_texts(value.get("unitCode"))), ""
        )
        return f"{number} {unit}".strip()
    texts = list(_texts(value))
    return next((text for text in texts if not text.isdecimal()), texts[0] if texts else "")
