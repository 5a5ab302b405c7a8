"""From a file to a shoot: the whole path of reading, and the sheet Settings.

``costing new --recipe`` keeps each line of a recipe in Note. As long as a row says what its line
was read as, what was uncertain about the line is said again; a changed row is an answer.
"""

from __future__ import annotations

import os
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache
from pathlib import Path
from typing import Any

from costing.findings import Finding, Grade, Place, Words, choice_words, message
from costing.holding.rules import Rule, load_rules, own_rules
from costing.kitchen import Line, Pack
from costing.listing import in_order
from costing.names import key, nearest
from costing.quantities import Measures, UnitNeedsSystem, UnknownUnit, find_unit
from costing.recipe_text import LineParts, Placed, placing_findings, read_line, without_guess
from costing.shoot import InputSheet, LeftOut, Settings, Shoot, Shot
from costing.shoot.checks import also_wrong_with
from costing.shoot.messages import nothing_to_cook
from costing.workbook.layout import INGREDIENTS, INPUT_SHEETS, SETTINGS, SETTINGS_SHEET, Column
from costing.workbook.package.opc import without_collection
from costing.workbook.reading.areas import Area, Known
from costing.workbook.reading.cells import RowCells, shortened
from costing.workbook.reading.day_log import with_day_log
from costing.workbook.reading.kinds import read_cell
from costing.workbook.reading.rows import Read, SheetReader
from costing.workbook.reading.sheet_readers import SHEET_READERS
from costing.workbook.reading.sheets import FoundSheets, find_sheets, open_book, own_sheets
from costing.workbook.reading.units import units_in_common
from costing.workbook.reading.unread import unread_sheets

FOOD = ("Ingredients", "Dishes")
"""Sheets whose rows say how much is needed of what they are about."""


def read_workbook(path: str | os.PathLike[str]) -> tuple[Shoot, list[Finding]]:
    """Read a shoot from a workbook.

    Formulas are taken by the results that the spreadsheet program saved with them. Nothing is
    guessed: what cannot be read is a finding with its place, and what depends on it is left out.

    ``path``: an .xlsx or .xlsm file. It is not changed. The day log beside it is read with it.

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
    with without_collection():
        return _read_workbook(Path(path))


def _read_workbook(path: Path) -> tuple[Shoot, list[Finding]]:
    """A shoot from a workbook, and what is to be said of it."""
    book = open_book(path)
    found = find_sheets(book)
    rules, about_rules = own_rules(path.parent)
    faulty = tuple(one.place.name for one in about_rules if one.place.name not in ("", *rules))
    typed, unusable = _shoot(found, Path(book.name).stem, rules, faulty)
    shoot, about_log = with_day_log(typed, path)
    own = own_sheets(book, found)
    said = [
        *book.notes,
        *about_rules,
        *found.findings,
        *(f for area in found.areas.values() for f in area.findings),
        *unread_sheets(own, shoot),
        *still_uncertain(shoot.lines, shoot.settings.measures),
        *about_log,
    ]
    cooks = any(line.ingredient for line in shoot.lines)
    if "Recipes" in found.areas and not cooks and not shoot.left_out_on("Recipes"):
        said.append(nothing_to_cook(Place("Recipes")))
    told = {(f.place.sheet, f.place.row, f.place.heading) for f in said}
    for finding in also_wrong_with(shoot, unusable):
        place = finding.place
        if (place.sheet, place.row, place.heading) not in told:
            said.append(finding)
    if shoot.left_out_on("Episodes"):  # then a date that is missing was there, and not read
        said = [finding for finding in said if finding.code != "date missing"]
    # a currency that cannot be read is no currency that was not chosen
    if shoot.settings.currency is None and "Currency" in shoot.settings.places:
        said = [finding for finding in said if finding.code != "sign without a currency"]
    # numbers under a heading that is not ours are one cause for the whole column
    codes = ("column not read", "column in place of ours")
    renamed = {f.place.sheet for f in found.findings if f.code in codes}
    said = [f for f in said if f.code != "unit without number" or f.place.sheet not in renamed]
    findings = in_order(said, _titles(found))
    return shoot.changed(findings=tuple(findings)), findings


def _titles(found: FoundSheets) -> list[str]:
    """Sheets in the order of the layout, under the names they have in the workbook."""
    areas = found.areas
    return [
        areas[layout.title].title if layout.title in areas else layout.title
        for layout in INPUT_SHEETS
    ]


def _shoot(
    found: FoundSheets, file_name: str, rules: Mapping[str, Rule], faulty: tuple[str, ...]
) -> tuple[Shoot, tuple[Shot, ...]]:
    """Every sheet read in the order in which one needs another, as one shoot.

    With it the shots that a cell leaves out, so that all that is wrong with them is said at once.
    """
    areas = found.areas
    known = Known(rules=(*load_rules(), *rules), faulty_rules=faulty)
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
    shoot = Shoot(
        **rows,
        settings=given.settings,
        left_out=tuple(left_out),
        waiting_packs=tuple(read["Packs"].waiting) if "Packs" in read else (),
        own_rules=tuple(rules.values()),
        read_from=tuple(
            InputSheet(title, area.title, area.letters) for title, area in areas.items()
        ),
    )
    return shoot, tuple(read["Shoot plan"].unusable) if "Shoot plan" in read else ()


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


ABOUT_THE_NAME = ("recipe ingredients", "recipe word", "recipe pieces", "recipe pack size")
ABOUT_THE_UNIT = ("recipe unit", "recipe stick", "recipe ounces", "recipe spoon")
"""How the codes of findings begin that belong to another cell than Amount."""


BLANK_AMOUNT = (
    *("recipe amount missing", "recipe amount each", "recipe number", "recipe words for a number"),
    *("recipe measure", "recipe length", "recipe line"),
)
"""How the codes begin that say why Amount is blank, which the blank cell's own finding says."""


def still_uncertain(lines: Iterable[Line], measures: Measures) -> Iterator[Finding]:
    """Give what the line in a row's Note left uncertain, where the row was not changed since.

    A row whose amount is blank brings its own finding for that, and the other doubts here.
    """
    unchanged: dict[str, list[tuple[Line, Placed | None]]] = {}
    for line in lines:
        if not line.note or not line.ingredient:
            continue
        note, where, guessed = without_guess(line.note)
        parts = _read(_line_of(note), measures)
        if not _unchanged(line, parts, where.part if where else Fraction(1), measures):
            continue
        for doubt in parts.doubts:
            finding = doubt.at(line.at("Amount"))
            if line.amount is None and finding.code.startswith((*BLANK_AMOUNT, *ABOUT_THE_UNIT)):
                continue
            heading = _heading(finding.code)
            yield doubt.at(line.at(heading))
        if guessed and line.step == (where.step if where else 1):
            unchanged.setdefault(key(line.dish), []).append((line, where))
    for kept in unchanged.values():
        yield from _guesses(kept)


def _guesses(kept: list[tuple[Line, Placed | None]]) -> Iterator[Finding]:
    """Tell of the steps guessed for the rows of a dish, each step at its first row."""
    steps = {line.step: line.at("Step") for line, where in reversed(kept) if where}
    places = [line.at("Step") for line, _ in kept]
    yield from placing_findings(
        [line.ingredient for line, _ in kept], [w for _, w in kept], places, steps
    )


@lru_cache(maxsize=4096)
def _read(note: str, measures: Measures) -> LineParts:
    return read_line(note, measures)


def _line_of(note: str) -> str:
    """The line as it was written, without the heading that was added behind it."""
    text, bracket, heading = note.rpartition(" (")
    # a bracket with a number is the line's own: tomatoes (400 g)
    added = bracket and heading.endswith(")") and not any(c.isdecimal() for c in heading)
    return text if added else note


def _unchanged(line: Line, parts: LineParts, part: Fraction, measures: Measures) -> bool:
    """Whether a row says what its line, or a part, was read as; blank: none could be read."""
    if key(parts.name) != key(line.ingredient) or key(parts.cut) != key(line.cut):
        return False
    try:
        unit = find_unit(parts.unit or "each", measures)
    except (UnknownUnit, UnitNeedsSystem):
        return line.amount is None
    if line.amount is None or parts.high is None:
        return line.amount is None and parts.high is None and not line.to_taste
    return (parts.high * part * unit.size, unit.dimension) == (
        line.amount.base,
        line.amount.dimension,
    )


def _heading(code: str) -> str:
    if code.startswith(ABOUT_THE_NAME):
        return "Ingredient"
    return "Unit" if code.startswith(ABOUT_THE_UNIT) else "Amount"


VALUE = "Value"


@dataclass(frozen=True, slots=True)
class ReadSettings:
    """The settings, and what must be left out because one could not be read.

    Parameters
    ----------
    settings : Settings
        With the defaults of what is blank or unreadable.
    left_out : tuple of LeftOut
        Settings about tax that could not be read: without them no price is certain.
    """

    settings: Settings
    left_out: tuple[LeftOut, ...] = ()


class SettingCells(RowCells):
    """A row of Settings whose Value is what its setting declares."""

    __slots__ = ("setting",)
    setting: Column

    def column(self, heading: str) -> Column:
        """What the layout declares of the setting."""
        return self.setting if heading == VALUE else super().column(heading)


def settings(area: Area | None, file_name: str, knows: Known) -> ReadSettings:
    """The settings of a workbook; without the sheet all are blank.

    What the other sheets are read by is kept in ``knows``: the measures and the currency.
    """
    fields: dict[str, Any] = {"title": file_name}
    if area is None:
        return ReadSettings(Settings(**fields))
    known = {key(column.heading): column for column in SETTINGS}
    places: dict[str, Place] = {}
    rows: list[SettingCells] = []
    broken: set[str] = set()
    seen: dict[str, RowCells] = {}
    for row, filled in area.rows():
        cells = SettingCells(area, row, filled, ("Setting",))
        column = None if cells.blank else _known(cells, known, seen)
        if column is None:
            continue
        cells.setting = column
        rows.append(cells)
    # the currency first: it says which signs a sum of money may have
    for cells in sorted(rows, key=lambda one: one.setting.heading != "Currency"):
        column = cells.setting
        value = read_cell(cells, VALUE)
        fields |= value
        knows.currency = fields.get("currency")
        if cells.failed:
            broken.add(column.heading)
        if cells.failed or value:
            places[column.heading] = cells.at(VALUE)
    fields["places"] = places
    found = Settings(**fields)
    doubtful = [
        LeftOut(what=f'column "{heading}"', place=area.place(area.header, heading))
        for heading in sorted(area.doubtful)
    ]
    knows.measures = None if "Measures" in broken else found.measures
    return ReadSettings(
        found,
        tuple(doubtful)
        + tuple(
            LeftOut(what=f'setting "{name}"', place=places[name], sheet="Settings", name=name)
            for name in ("Prices include tax", "Food tax rate %")
            if name in broken
        ),
    )


def _known(
    cells: SettingCells, known: dict[str, Column], seen: dict[str, RowCells]
) -> Column | None:
    """Which setting a row is; a finding where it is none or is there already."""
    name = cells.required("Setting")
    column = known.get(key(name))
    if not name:
        return None
    if column is None:
        words = [column.heading for column in SETTINGS]
        akin = [one.heading for one in SETTINGS if key(name) in map(key, one.akin)]
        cells.fail("Setting", setting_unknown, shortened(name), words, akin or nearest(name, words))
        return None
    first = seen.setdefault(key(name), cells)
    if first is not cells:
        cells.fail("Setting", setting_twice, name, first.at("Setting").cell)
        return None
    return column


@message("setting unknown", Grade.ERROR)
def setting_unknown(name: str, known: Sequence[str], near: Sequence[str]) -> Words:
    return Words(
        f'the setting "{name}"',
        choice_words(known),
        (f"Write {choice_words(near)} if that is meant, or delete" if near else "Delete")
        + " the row.",
    )


@message("setting twice", Grade.ERROR)
def setting_twice(name: str, first: str) -> Words:
    return Words(
        f'the setting "{name}" a second time; the first is at {first}',
        "each setting once",
        "Delete one of the rows; until then the first is used.",
    )
