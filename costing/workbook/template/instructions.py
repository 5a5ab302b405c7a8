"""The sheet of a new workbook that says what to fill in."""

from __future__ import annotations

from collections.abc import Collection
from typing import Any

from costing.holding.explaining import ALWAYS
from costing.workbook.layout import INPUT_SHEETS, INSTRUCTIONS_TITLE
from costing.workbook.template.styles import Styles

FILLING = (
    (
        "Recipes first",
        "A row for each ingredient of each step. A blank Dish or Step means the one of the row "
        "above.",
    ),
    (
        "Then the Shoot plan",
        "A row for each use of food: a cook-through, a retake of some steps, a swap, the hero. "
        "Steps and Times say what it takes; the rest may stay blank.",
    ),
    (
        "Then Packs",
        "What the shops sell, with prices. Quantities are worked out without it, money is not.",
    ),
    (
        "What is needed",
        "The underlined headings in the darker shade; everything else may stay blank. The note at "
        "each heading tells its meaning, its unit and what holds when a cell is blank.",
    ),
    (
        "Amounts and steps",
        "Amounts may be 250, 1 1/2, 3/4 or 2-3, steps 2 or 1-3 or 1-3, 5. In Recipes and Shoot "
        "plan these columns are text, so that no date comes of 1/2 or 1-3.",
    ),
    (
        "What is yours",
        "Columns and sheets of your own are kept as they are. Give them names that are not nearly "
        "the same as the ones here.",
    ),
)
COMMANDS = (
    ("costing", "what to do next in the folder you stand in"),
    ("costing check FILE", "tells what cannot be read or does not go together"),
    ("costing estimate FILE", "works everything out and adds the result sheets to this workbook"),
    ("costing list FILE", "what to buy on the screen; with --html as a page for the phone"),
    ("costing why FILE", "what each limit, shop and uncertain take costs"),
    ("costing holding FILE", "how long each container has been out, against the rules"),
    (
        "costing new FILE --like OLD",
        "with --recipe: a workbook from it, with packs and prices of an older workbook",
    ),
    ("costing new FILE --with SHEET", "adds a sheet to a workbook, and nothing else"),
)
WORDS = (
    ("shot", "one use of food, on camera or for it: a row of Shoot plan"),
    ("take", "one time a shot is taken"),
    ("retake", "the same steps again; it takes the food of those steps"),
    ("swap", "a copy of the dish ready at a step, to save time or undo a mistake"),
    ("hero, hero spare", "the plate shot as the finished dish, and its copy"),
    ("reset", "putting food and set back to the start of the take, such as new herbs on the hero"),
    ("stand-in", "food for light and framing, never eaten"),
    ("copy", "one making of a dish, with which a later shot may go on"),
    ("candidates", "pieces looked at for each piece that is shown"),
    ("trim yield %", "what is ready to use of what is bought, in percent"),
    ("loose goods", "goods without a pack, of which any multiple of a step is bought"),
    ("bought value", "what the tills take, tax included"),
    ("used value", "what the shots take, at the prices that were paid or that stock is worth"),
    ("left value", "the rest: bought, and from on hand, less used"),
    ("chance of running out", "that some shot is taken more often than there is food for"),
    ("container", "a bowl, box or plate of the sheet Holding"),
    ("out of control", "neither as cold nor as hot as the rule asks, for filming or serving"),
    ("finding", "something in the workbook to mend or to know: error, warning or note"),
)


def write_instructions(book: Any, made: Collection[str], look: Styles) -> None:
    """Add the sheet Instructions to a workbook that has the input sheets ``made``."""
    sheet = book.add_worksheet(INSTRUCTIONS_TITLE)
    sheet.set_column(0, 0, 28, look.of())
    sheet.set_column(1, 1, 86, look.of())
    sheet.set_row(0, 28)
    sheet.write_string(0, 0, INSTRUCTIONS_TITLE, look.title())
    row = _part(sheet, 2, "What to fill in", FILLING, look)
    sheets = [
        (layout.title, layout.purpose + ("" if layout.title in made else " Not in this workbook."))
        for layout in INPUT_SHEETS
    ]
    row = _part(sheet, row, "The sheets", sheets, look)
    row = _part(sheet, row, "The commands", COMMANDS, look)
    row = _part(sheet, row, "Words", WORDS, look)
    _part(sheet, row, "Cautions", [("", text) for text in ALWAYS], look)
    sheet.hide_gridlines(2)
    sheet.set_portrait()
    sheet.set_paper(9)
    sheet.fit_to_pages(1, 0)


def _part(
    sheet: Any, row: int, title: str, lines: Collection[tuple[str, str]], look: Styles
) -> int:
    """Write a heading and its lines; gives the row where the next part begins."""
    heading = look.heading(needed=False)
    sheet.write_string(row, 0, title, heading)
    sheet.write_blank(row, 1, None, heading)
    for name, text in lines:
        row += 1
        words = look.of(text_wrap=True, valign="vcenter", align="left", indent=1)
        if name:
            sheet.write_string(row, 0, name, look.of(bold=True, valign="vcenter", indent=1))
            sheet.write_string(row, 1, text, words)
        else:
            sheet.merge_range(row, 0, row, 1, text, words)
        sheet.set_row(row, 4 + 15 * (1 + len(text) // (88 if name else 118)))
    return row + 2
