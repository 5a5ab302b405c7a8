"""Why a result sheet is not rewritten, or a row not added, in words for who can mend it."""

from __future__ import annotations

from costing.findings import Grade, Words, message

ASIDE = "to the right of the results, or below them"


@message("column between results", Grade.ERROR)
def column_between(heading: str) -> Words:
    """A column put in before or between those of a result table."""
    return Words(
        f'the column "{heading}" put in between the result columns',
        "columns of your own to the right of the table",
        "Move it to the right of the table and run again.",
    )


@message("array formula in results", Grade.ERROR)
def array_formula(reference: str) -> Words:
    """An array formula over cells that are rewritten."""
    return Words(
        f"an array formula over the result cells {reference}",
        f"array formulas {ASIDE}",
        "Move it there, or delete it, and run again.",
    )


@message("merged cells in results", Grade.ERROR)
def merged_cells_in_results(reference: str) -> Words:
    """Merged cells would hide what is written into them."""
    return Words(
        f"the result cells {reference} merged",
        f"merged cells {ASIDE}",
        "Unmerge them and run again.",
    )


@message("no room below", Grade.ERROR)
def no_room_below(needed: int, free: int) -> Words:
    """Rows to be added that would run into what is below."""
    rows = "1 row" if free == 1 else f"{free} rows"
    return Words(
        f"{rows} free above what is here, where {needed} are to be added",
        f"{needed} blank rows below the last one that is filled in",
        f"Insert {needed - free} more rows above this one and run again; nothing was changed.",
    )
