"""What the workbook may hold and this version doesn't act on yet, so that it can be said.

A column, setting or sheet that the layout declares is read: what is listed here of it then counts
for nothing.
"""

from __future__ import annotations

COLUMNS_NOT_READ_YET: dict[str, tuple[str, ...]] = {
    "Shoot plan": ("Eaters", "Taken", "Ended by"),
    "Packs": ("State", "Order days", "Thaw days"),
    "Dishes": ("Whole batches", "Keeps days"),
}
"""Headings by the input sheet they may stand on."""

SETTINGS_NOT_READ_YET = (
    "Charge mark-up %",
    "Mark-up on",
    "Cash float",
    "Cash counted",
)

SHEETS_NOT_READ_YET: dict[str, tuple[str, ...]] = {
    "Parts": ("Ingredient", "Part"),
    "Trips": ("Shop", "Date"),
    "People": ("Person", "Avoids"),
    "Receipts": ("Shop", "Paid"),
    "Counted": ("Ingredient", "Amount"),
}
"""Sheets by title, with headings that tell one from a sheet of one's own of that name."""
