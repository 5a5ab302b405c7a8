"""From a file to a shoot: the whole path of reading on one page."""

from __future__ import annotations

import os
from collections.abc import Mapping
from functools import partial
from pathlib import Path

from costing.findings import Finding, Place
from costing.holding.own_rules import own_rules
from costing.holding.rules import Rule, load_rules
from costing.kitchen import Line, Pack
from costing.listing import in_order
from costing.names import key
from costing.shoot import InputSheet, LeftOut, Shoot
from costing.shoot.messages import nothing_to_cook
from costing.workbook.layout import INPUT_SHEETS
from costing.workbook.reading.as_written import still_uncertain
from costing.workbook.reading.books import open_book
from costing.workbook.reading.cooking import dishes, ingredients, recipe_lines
from costing.workbook.reading.holding import containers
from costing.workbook.reading.rows import Read
from costing.workbook.reading.settings import settings
from costing.workbook.reading.sheets import FoundSheets, find_sheets, own_sheets, texts_of_row
from costing.workbook.reading.shooting import episodes, shots
from costing.workbook.reading.shopping import lots, packs, shops
from costing.workbook.reading.unread import unread_sheets


def read_workbook(path: str | os.PathLike[str]) -> tuple[Shoot, list[Finding]]:
    """Read a shoot from a workbook.

    Formulas are taken by the results that the spreadsheet program saved with them. Nothing is
    guessed: what cannot be read is a finding with its place, and what depends on it is left out.

    Parameters
    ----------
    path : str or path
        An .xlsx or .xlsm file. It is not changed.

    Returns
    -------
    tuple of Shoot and list of Finding
        What was read, and what is to be said of it in the order of the sheets; the shoot keeps
        its findings, so that an estimate of it shows them too.

    Raises
    ------
    Refused
        If the file cannot be read as a workbook; its ``finding`` says why and what to do.

    Examples
    --------
    >>> import tempfile
    >>> import costing
    >>> with tempfile.TemporaryDirectory() as folder:
    ...     costing.write_template(Path(folder, "tart.xlsx"))
    ...     shoot, findings = read_workbook(Path(folder, "tart.xlsx"))
    >>> shoot.settings.title, [finding.code for finding in findings]
    ('tart', ['nothing to cook'])
    """
    book = open_book(path)
    found = find_sheets(book)
    rules, about_rules = own_rules(Path(path).parent)
    shoot = _shoot(found, Path(book.name).stem, rules)
    own = own_sheets(book, found)
    said = [
        *book.notes,
        *about_rules,
        *found.findings,
        *(f for area in found.areas.values() for f in area.findings),
        *unread_sheets(own, shoot, partial(texts_of_row, book)),
        *still_uncertain(shoot.lines, shoot.settings.measures),
    ]
    cooks = any(line.ingredient for line in shoot.lines)
    if "Recipes" in found.areas and not cooks and not shoot.left_out_on("Recipes"):
        said.append(nothing_to_cook(Place("Recipes")))
    if shoot.left_out_on("Episodes"):  # then a date that is missing was there, and not read
        said = [finding for finding in said if finding.code != "date missing"]
    findings = in_order(said, _titles(found))
    return shoot.changed(findings=tuple(findings)), findings


def _titles(found: FoundSheets) -> list[str]:
    """Sheets in the order of the layout, under the names they have in the workbook."""
    areas = found.areas
    return [
        areas[layout.title].title if layout.title in areas else layout.title
        for layout in INPUT_SHEETS
    ]


def _shoot(found: FoundSheets, file_name: str, rules: Mapping[str, Rule]) -> Shoot:
    """Every sheet read in the order in which one needs another, as one shoot."""
    areas = found.areas
    given = settings(areas.get("Settings"), file_name, [*load_rules(), *rules])
    measures, currency = given.measures, given.settings.currency
    read = {title: Read() for title in areas}
    if "Ingredients" in areas:  # first: their own units may stand on the sheets below
        read["Ingredients"] = ingredients(areas["Ingredients"], measures)
        for title in ("Recipes", "Packs", "On hand"):
            if title in areas:
                areas[title].pieces = areas["Ingredients"].pieces
    if "Recipes" in areas:
        read["Recipes"] = recipe_lines(areas["Recipes"], measures)
    if "Shoot plan" in areas:
        read["Shoot plan"] = shots(areas["Shoot plan"])
    if "Packs" in areas:
        read["Packs"] = packs(areas["Packs"], measures, currency)
    if "On hand" in areas:
        read["On hand"] = lots(areas["On hand"], measures, currency)
    if "Episodes" in areas:
        read["Episodes"] = episodes(areas["Episodes"], currency)
    if "Dishes" in areas:
        read["Dishes"] = dishes(areas["Dishes"], measures)
    if "Shops" in areas:
        read["Shops"] = shops(areas["Shops"], currency)
    if "Holding" in areas:
        days = read["Episodes"].rows if "Episodes" in read else []
        read["Holding"] = containers(areas["Holding"], days)
    rows = {title: tuple(one.rows) for title, one in read.items()}
    uncertain = {name for one in read.values() for name in one.uncertain}
    left_out = [
        LeftOut(what=f'sheet "{title}"', place=place, sheet=title) for title, place in found.unread
    ]
    left_out += [one.model_copy(update={"sheet": "Settings"}) for one in given.left_out]
    left_out += [
        left.model_copy(update={"sheet": title})
        for title, one in read.items()
        for left in one.left_out
    ]
    return Shoot(
        settings=given.settings,
        ingredients=rows.get("Ingredients", ()),
        packs=_priced(rows.get("Packs", ()), certain=not given.left_out),
        lots=rows.get("On hand", ()),
        shops=rows.get("Shops", ()),
        dishes=rows.get("Dishes", ()),
        lines=_needed(rows.get("Recipes", ()), uncertain),
        episodes=rows.get("Episodes", ()),
        shots=rows.get("Shoot plan", ()),
        containers=rows.get("Holding", ()),
        left_out=tuple(left_out),
        own_rules=tuple(rules.values()),
        read_from=tuple(
            InputSheet(title, area.title, area.letters) for title, area in areas.items()
        ),
    )


def _needed(lines: tuple[Line, ...], uncertain: set[str]) -> tuple[Line, ...]:
    """Lines, the need unknown for what cannot be reckoned with."""
    if not uncertain:
        return lines
    unknown = {"amount": None, "amount_low": None}
    return tuple(
        line.model_copy(update=unknown) if key(line.ingredient) in uncertain else line
        for line in lines
    )


def _priced(packs: tuple[Pack, ...], *, certain: bool) -> tuple[Pack, ...]:
    """Packs, the price unknown when a setting about tax could not be read."""
    if certain:
        return packs
    return tuple(pack.model_copy(update={"price": None}) for pack in packs)
