"""What was typed and is not read, although it holds what an input sheet would hold."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence, Set
from itertools import pairwise

from costing.findings import Finding, Grade, Place, Words, message, quoted_words
from costing.holding.models import EventKind
from costing.names import key
from costing.shoot import Shoot
from costing.workbook.layout import INPUT_SHEETS, SETTINGS, Column, Sheet
from costing.workbook.layout.columns import NOTE
from costing.workbook.package.worksheets import Worksheet
from costing.workbook.reading.headings import HEADING_ROWS, heading_key, nearly, texts_in

OWN_HEADLINE = "Written by costing"
"""How the line begins that is above what the library writes, and above copies of it."""

HEADLINE_ROWS = 4
"""Rows in which that line is looked for: a title may be put above it. [row]"""

HEADINGS_NEEDED = 4
"""So many headings of the layout say by themselves what a sheet is for."""

NEAR_HEADINGS_NEEDED = 3
"""So many near headings say it below a title that people give to such a sheet."""

SHEET_OF_HEADING = {
    heading_key(column.heading): layout.title
    for layout in INPUT_SHEETS
    for column in layout.columns
    if column.one_meaning
}
"""Headings that mean one thing on whatever sheet they stand, and where they are read."""

LOST = frozenset(
    map(heading_key, ("Waste", "Waste %", "Loss", "Loss %", "Trim loss %", "Refuse %"))
)
"""Headings of what is cut away, the contrary of Trim yield %."""

LEFT = '"Trim yield %" with what is left of 100 percent: 72 where 28 are lost'


def unread_columns(
    layout: Sheet,
    texts: Mapping[int, str],
    columns: Mapping[int, str],
    filled: Set[int],
    place: Callable[[int], Place],
) -> Iterator[Finding]:
    """Columns of an input sheet that hold what one of its own would.

    Parameters
    ----------
    texts : mapping of int to str
        What is in the row of headings, by column.
    columns : mapping of int to str
        Our headings that are read, by column.
    filled : set of int
        Columns in which anything is below the heading.
    """
    present = set(columns.values())
    unknown: dict[int, str] = {}
    for number, text in texts.items():
        if number not in filled or number in columns:
            continue
        meant = _akin(text, layout.columns)
        if meant is not None:
            present.add(meant)
        if heading_key(text) in LOST and layout.title == "Ingredients":
            yield column_not_read(place(number), text, LEFT)
        elif meant in columns.values():
            beside = f'entries of "{meant}", which is here too'
            yield column_not_read(place(number), text, beside)
        elif meant is not None:
            yield column_not_read(place(number), text, f'"{meant}"')
        elif heading_key(text) in SHEET_OF_HEADING:
            other = SHEET_OF_HEADING[heading_key(text)]
            yield column_not_read(place(number), text, f"that column on the sheet {other}")
        else:
            unknown[number] = text
    instead = list(_instead(layout, unknown, columns, present))
    if instead:
        named = [unknown[number] for numbers, _ in instead for number in numbers]
        absent = [heading for _, headings in instead for heading in headings]
        yield column_in_place_of_ours(place(instead[0][0][0]), named, absent)
    if columns:
        for number in range(min(columns), max(columns)):
            if number not in texts and number in filled:
                yield column_without_heading(place(number))


def _instead(
    layout: Sheet, unknown: Mapping[int, str], columns: Mapping[int, str], present: Set[str]
) -> Iterator[tuple[list[int], list[str]]]:
    """Unknown columns between two of ours, as many as are absent just there, and those.

    Where more of ours are absent nothing says that one of them is meant, and a column that was
    put between two that follow each other is the person's own. A required one is an error already.
    """
    order, needed = list(layout.headings), set(layout.required_headings)
    for left, right in pairwise(sorted(columns)):
        between = order[order.index(columns[left]) + 1 : order.index(columns[right])]
        absent = [heading for heading in between if heading not in present]
        stand = [number for number in unknown if left < number < right]
        if stand and len(stand) == len(absent) and needed.isdisjoint(absent):
            yield stand, absent


def _akin(text: str, columns: Iterable[Column]) -> str | None:
    """The heading for which people write another word."""
    for column in columns:
        if heading_key(text) in map(heading_key, (*column.akin, *column.older)):
            return column.heading
    return None


def unread_sheets(sheets: Iterable[Worksheet], shoot: Shoot) -> Iterator[Finding]:
    """The user's own sheets that hold what an input sheet would.

    Parameters
    ----------
    sheets : iterable of Worksheet
        Those in view that are not read.
    shoot : Shoot
        As it was read, whose names tell what rows are about.
    """
    known = _known_names(shoot)
    for sheet in sheets:
        top = [texts_in(sheet, row) for row in range(1, HEADING_ROWS + 1)]
        above = (text for texts in top[:HEADLINE_ROWS] for text in texts.values())
        if any(text.startswith(OWN_HEADLINE) for text in above):
            continue
        found = [
            (len(columns), layout)
            for row, texts in enumerate(top, start=1)
            if texts
            for layout in INPUT_SHEETS
            if (columns := _held(layout, sheet, row, texts, known))
        ]
        if found:
            layout = max(found, key=lambda one: one[0])[1]
            yield sheet_not_read(Place(sheet.title), sheet.title, layout.title)


def _held(
    layout: Sheet,
    sheet: Worksheet,
    row: int,
    texts: Mapping[int, str],
    known: Mapping[str, set[str]],
) -> dict[str, int]:
    """Columns of a sheet by the layout's headings they may be; none when it is for another use."""
    exact = {heading_key(column.heading): column.heading for column in layout.columns}
    columns: dict[str, int] = {}
    alike = 0
    for number, text in texts.items():
        same = exact.get(heading_key(text))
        heading = same or nearly(text, layout.headings) or _akin(text, layout.columns)
        if heading is not None and heading != NOTE.heading and heading not in columns:
            columns[heading] = number
            alike += same is not None
    # one heading alone, or none below it, is a list of the user's own about anything
    if len(columns) < 2 or max(sheet.rows) <= row:
        return {}
    named = columns.get(layout.known_by)
    names_known = named is not None and any(
        isinstance(cell.value, str) and key(cell.value) in known[layout.known_by]
        for at, cells in sheet.rows.items()
        if at > row and (cell := cells.get(named)) is not None
    )
    titled = key(sheet.title) in map(key, (*layout.akin, *layout.older))
    whole = columns.keys() >= set(layout.required_headings)
    if alike >= HEADINGS_NEEDED or (names_known and (whole or titled)):
        return columns
    return columns if titled and len(columns) >= NEAR_HEADINGS_NEEDED else {}


def _known_names(shoot: Shoot) -> dict[str, set[str]]:
    """Names by the heading they stand below on our sheets, as keys."""
    ingredients = {key(line.ingredient) for line in shoot.lines if line.ingredient}
    ingredients |= {key(pack.ingredient) for pack in shoot.packs}
    dishes = {key(line.dish) for line in shoot.lines}
    shops = {key(pack.shop) for pack in shoot.packs} | {key(shop.name) for shop in shoot.shops}
    episodes = {key(one.name) for one in shoot.episodes} | {key(s.episode) for s in shoot.shots}
    return {
        "Ingredient": ingredients,
        "Dish": dishes,
        "Episode": episodes,
        "Shop": shops,
        "Person": {key(name) for shot in shoot.shots for name in shot.eaters},
        "Event": {key(kind) for kind in EventKind},
        "Setting": {key(setting.heading) for setting in SETTINGS},
    }


@message("column not read", Grade.NOTE)
def column_not_read(found: str, meant: str) -> Words:
    """A column of an input sheet whose heading is another word for one of the layout's."""
    return Words(
        f'the heading "{found}"',
        f"{meant}, or a column of your own",
        f"The column was not read. If it is meant to count, write it as {meant}; leave it if it "
        "is your own.",
    )


@message("column in place of ours", Grade.NOTE)
def column_in_place_of_ours(found: Sequence[str], absent: Sequence[str]) -> Words:
    """Columns of an input sheet that stand where others, which are absent, would."""
    many = len(found) > 1
    return Words(
        f"the heading{'s' if many else ''} {quoted_words(found, last='and')} in the place of "
        f"{quoted_words(absent, last='and')}, which {'are' if many else 'is'} absent",
        f"{quoted_words(absent)}, or a column of your own",
        f"{'These columns were' if many else 'The column was'} not read. If it is one of ours, "
        "name it so; leave it if it is your own.",
    )


@message("column without heading", Grade.NOTE)
def column_without_heading() -> Words:
    return Words(
        "entries below a blank heading",
        "a heading above every column",
        "The column was not read. Write its heading above it.",
    )


@message("sheet not read", Grade.NOTE)
def sheet_not_read(title: str, meant: str) -> Words:
    return Words(
        f'the sheet "{title}" with what the sheet {meant} would hold',
        f'rows on a sheet named "{meant}", or a sheet of your own',
        f'Not read: sheet {title}. Put its rows on "{meant}" if they are meant to count; leave it '
        "if it is your own.",
    )
