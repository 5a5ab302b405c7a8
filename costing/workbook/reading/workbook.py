"""From a file to a shoot: the whole path of reading on one page."""

from __future__ import annotations

import os
from collections.abc import Mapping
from functools import partial
from pathlib import Path

from costing.findings import Finding, Place
from costing.holding.rules import Rule, load_rules, own_rules
from costing.kitchen import Line, Pack
from costing.listing import in_order
from costing.names import key
from costing.shoot import InputSheet, LeftOut, Shoot
from costing.shoot.messages import nothing_to_cook
from costing.workbook.layout import INGREDIENTS, INPUT_SHEETS, SETTINGS_SHEET
from costing.workbook.reading.areas import Known
from costing.workbook.reading.as_written import still_uncertain
from costing.workbook.reading.books import open_book
from costing.workbook.reading.day_log import with_day_log
from costing.workbook.reading.rows import Read, SheetReader
from costing.workbook.reading.settings import settings
from costing.workbook.reading.sheet_readers import SHEET_READERS
from costing.workbook.reading.sheets import FoundSheets, find_sheets, own_sheets, texts_of_row
from costing.workbook.reading.units import units_in_common
from costing.workbook.reading.unread import unread_sheets

FOOD = ("Ingredients", "Dishes")
"""Sheets whose rows say how much is needed of what they are about."""


def read_workbook(path: str | os.PathLike[str]) -> tuple[Shoot, list[Finding]]:
    """Read a shoot from a workbook.

    Formulas are taken by the results that the spreadsheet program saved with them. Nothing is
    guessed: what cannot be read is a finding with its place, and what depends on it is left out.

    Parameters
    ----------
    path : str or path
        An .xlsx or .xlsm file. It is not changed. The day log beside it is read with it.

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
    shoot, about_log = with_day_log(_shoot(found, Path(book.name).stem, rules), Path(path))
    own = own_sheets(book, found)
    said = [
        *book.notes,
        *about_rules,
        *found.findings,
        *(f for area in found.areas.values() for f in area.findings),
        *unread_sheets(own, shoot, partial(texts_of_row, book)),
        *still_uncertain(shoot.lines, shoot.settings.measures),
        *about_log,
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
    known = Known(rules=(*load_rules(), *rules))
    for area in areas.values():
        area.known = known
    given = settings(areas.get("Settings"), file_name, known)
    read: dict[str, Read] = {}
    # Ingredients first: their own units may stand on the sheets below
    for layout in (INGREDIENTS, *(sheet for sheet in INPUT_SHEETS if sheet is not INGREDIENTS)):
        if layout.title in areas and layout is not SETTINGS_SHEET:
            read[layout.title] = SHEET_READERS.get(layout.title, SheetReader)(
                areas[layout.title]
            ).read()
        if layout is INGREDIENTS:
            described = read[layout.title].rows if layout.title in read else ()
            units_in_common(areas, known, {key(row.name) for row in described if row.piece_weight})
    rows = {
        layout.kept_as: tuple(read[layout.title].rows)
        for layout in INPUT_SHEETS
        if layout.title in read
    }
    uncertain = {name for title in FOOD if title in read for name in read[title].uncertain}
    rows["lines"] = _needed(rows.get("lines", ()), uncertain)
    rows["packs"] = _priced(rows.get("packs", ()), certain=not given.left_out)
    left_out = [
        LeftOut(what=f'sheet "{title}"', place=place, sheet=title) for title, place in found.unread
    ]
    left_out += [one.model_copy(update={"sheet": "Settings"}) for one in given.left_out]
    left_out += [
        left.model_copy(update={"sheet": title})
        for title in areas
        if title in read
        for left in read[title].left_out
    ]
    return Shoot(
        **rows,
        settings=given.settings,
        left_out=tuple(left_out),
        waiting_packs=tuple(read["Packs"].waiting) if "Packs" in read else (),
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
