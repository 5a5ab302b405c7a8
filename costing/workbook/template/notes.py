"""What a new workbook says beside a heading and a cell: meaning, unit, example, default."""

from __future__ import annotations

from costing.findings import choice_words
from costing.workbook.layout import Column

LONGEST_PROMPT = 255
"""A spreadsheet shows no longer input message. [characters]"""


def note_text(column: Column) -> str:
    """All that is declared of a column, for the note at its heading."""
    parts = [column.meaning]
    if column.unit:
        parts.append(f"Unit: {column.unit}.")
    if column.choices:
        parts.append(f"One of: {choice_words(column.choices, most=len(column.choices))}.")
    if column.example:
        parts.append(f"Example: {column.example}")
    if column.required and not column.carries_down:
        parts.append("Needed in every row.")
    elif column.default:
        parts.append(f"Blank: {column.default}.")
    return "\n".join(parts)


def prompt_text(column: Column) -> str:
    """As much of it as fits into the message shown while a cell is chosen."""
    parts = [column.meaning]
    if column.example:
        parts.append(f"Example: {column.example}")
    if column.default:
        parts.append(f"Blank: {column.default}.")
    while len("\n".join(parts)) > LONGEST_PROMPT:
        parts.pop()
    return "\n".join(parts)
