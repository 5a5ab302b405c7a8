"""What is said of the file, its sheets and their headings."""

from __future__ import annotations

from collections.abc import Sequence

from costing.findings import Grade, Words, choice_words, message


@message("workbook not understood", Grade.ERROR)
def not_understood(fault: str) -> Words:
    """A package that passed the gate and still cannot be opened."""
    return Words(
        f"a workbook with a part that cannot be read ({fault})",
        "a whole workbook",
        "Open it in a spreadsheet program, look it over and save it under a new name as .xlsx.",
    )


@message("empty workbook", Grade.ERROR)
def empty_workbook() -> Words:
    """No sheet holds anything."""
    return Words(
        "no cell that is filled in on any sheet",
        "at least the sheet Recipes with its headings and rows",
        'Fill in a new workbook; "costing new NAME.xlsx" makes one with all headings.',
    )


@message("required sheet missing", Grade.ERROR)
def required_sheet_missing(title: str, found: Sequence[str]) -> Words:
    """A sheet without which nothing can be worked out."""
    return Words(
        "the sheets " + choice_words(found).replace(" or ", " and "),
        f"a sheet {title}",
        f"Add a sheet named {title} with the headings that are explained in a new workbook "
        '("costing new NAME.xlsx"), or give the sheet that has these rows this name.',
    )


@message("sheet nearly known", Grade.ERROR)
def sheet_nearly_known(found: str, meant: str) -> Words:
    """A sheet whose name is nearly an input sheet's."""
    return Words(
        f'a sheet named "{found}"',
        f'"{meant}", or a name that is not nearly the same',
        f'Name it "{meant}" if that is meant; a sheet of your own needs a name that differs more. '
        "Until then it is not read.",
    )


@message("sheet twice", Grade.ERROR)
def sheet_twice(title: str, used: str) -> Words:
    """Two sheets, or tables, for the same rows."""
    return Words(
        f'a second sheet for {title}; the rows are read from "{used}"',
        f"one sheet {title}",
        "Put all rows on one of them and delete or rename the other; until then this one is not "
        "read.",
    )


@message("hidden sheet read", Grade.NOTE)
def hidden_sheet_read(title: str) -> Words:
    """A hidden sheet that has the name of an input sheet."""
    return Words(
        f"the sheet {title} hidden",
        "sheets that are read to be in view",
        "Its rows were read. Unhide it to look them over, or give it another name if it is not "
        "meant.",
    )


@message("required heading missing", Grade.ERROR)
def required_heading_missing(missing: Sequence[str], found: Sequence[str]) -> Words:
    """An input sheet without a heading it needs."""
    if found:
        head = "the headings " + choice_words(found).replace(" or ", " and ")
    else:
        head = "none of its headings in the first 20 rows"
    return Words(
        head,
        ("also " if found else "") + choice_words(missing).replace(" or ", " and "),
        "Write what is missing, spelled so, into the row of headings; until then the sheet is not "
        "read.",
    )


@message("heading nearly known", Grade.ERROR)
def heading_nearly_known(found: str, meant: str) -> Words:
    """A heading that is nearly one of the layout's."""
    return Words(
        f'the heading "{found}"',
        f'"{meant}", or a heading that is not nearly the same',
        f'Write "{meant}" if that is meant; a column of your own needs a heading that differs '
        "more. Until then results that depend on the column are left out.",
    )


@message("heading twice", Grade.ERROR)
def heading_twice(heading: str, first: str) -> Words:
    """Two columns under one heading."""
    return Words(
        f'the heading "{heading}" a second time; the first is at {first}',
        "each heading once",
        "Delete one of the columns, or give it a heading of its own; until then results that "
        "depend on the column are left out.",
    )


@message("merged cells", Grade.ERROR)
def merged_cells(area: str) -> Words:
    """Cells merged so that a value belongs to several rows or columns."""
    return Words(
        f"the cells {area} merged",
        "each value in a cell of its own",
        "Unmerge them and write the value into every cell it is meant for; until then they count "
        "as unreadable.",
    )


@message("merged cells read down", Grade.NOTE)
def merged_cells_read_down(area: str, heading: str) -> Words:
    """Cells merged downwards in a column where a blank cell means the value above anyway."""
    return Words(
        f"the cells {area} merged",
        "each value in a cell of its own",
        f"The value was taken for all these rows, as for blank cells below {heading}. Unmerge "
        "them if you want to sort or filter.",
    )


@message("hidden rows", Grade.NOTE)
def hidden_rows(count: int, first: int, last: int) -> Words:
    """Rows that are filled in and out of view."""
    rows = f"1 hidden row (row {first})" if count == 1 else f"{count} hidden rows"
    between = "" if count == 1 else f" between row {first} and row {last}"
    return Words(
        f"{rows}{between}",
        "rows that are read to be in view",
        "They were included like the others. Unhide them or clear the filter to look them over, "
        "and delete what is not meant.",
    )


@message("rows far below", Grade.WARNING)
def rows_far_below(blank: int) -> Words:
    """Something written far below the last row."""
    return Words(
        f"something after {blank} blank rows",
        "the rows of the sheet to follow each other",
        "It was not read. Move it up to the other rows if it belongs to them, or delete it.",
    )


@message("column not read", Grade.NOTE)
def column_not_read(found: str, meant: str) -> Words:
    """A column of an input sheet whose heading is another word for one of the layout's."""
    return Words(
        f'the heading "{found}"',
        f"{meant}, or a column of your own",
        f"The column was not read. If it is meant to count, write it as {meant}; leave it if it "
        "is your own.",
    )


@message("column without heading", Grade.NOTE)
def column_without_heading() -> Words:
    """A column of an input sheet with entries and no heading."""
    return Words(
        "entries below a blank heading",
        "a heading above every column",
        "The column was not read. Write its heading above it.",
    )


@message("sheet not read", Grade.NOTE)
def sheet_not_read(title: str, meant: str) -> Words:
    """A sheet of the user's own that holds what an input sheet would."""
    return Words(
        f'the sheet "{title}" with what the sheet {meant} would hold',
        f'rows on a sheet named "{meant}", or a sheet of your own',
        f'Not read: sheet {title}. Put its rows on "{meant}" if they are meant to count; leave it '
        "if it is your own.",
    )


@message("not read yet", Grade.NOTE)
def not_read_yet(what: str) -> Words:
    """Something of the workbook's form that this version does not act on."""
    return Words(
        what,
        "what this version of costing acts on",
        "It was not read and changes nothing yet; all the rest counts.",
    )
