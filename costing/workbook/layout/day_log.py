"""The day log: what happened on the day, a plain CSV file beside the workbook."""

from __future__ import annotations

from costing.holding.models import EventKind
from costing.shoot.day_log import DayEvent
from costing.workbook.layout.columns import NOTE, CellKind, Column, Sheet

DAY_LOG = Sheet(
    "Day log",
    "",
    "One line is one thing that happened.",
    (
        Column(
            "When",
            "Date and time, or a time on the shoot date.",
            CellKind.DATE_TIME,
            required=True,
            example="2031-05-10 10:05",
        ),
        Column(
            "What",
            "A container of Holding, a shot of Shoot plan, or an ingredient.",
            required=True,
            example="bean puree bowl",
        ),
        Column(
            "Event",
            "Of a container: an event of Holding. Of a shot: taken, spoiled (its food is gone "
            "without a take) or enough (no more of it). Of an ingredient: counted. undone takes "
            "back the last line above it of the same What.",
            CellKind.CHOICE,
            required=True,
            choices=(*EventKind, *DayEvent),
            example="out",
        ),
        Column(
            "Temperature",
            "Of the food, with its unit.",
            CellKind.TEMPERATURE,
            example="4 C",
            default="no reading",
        ),
        Column(
            "Amount",
            "What is there of an ingredient that was counted, with its unit.",
            CellKind.AMOUNT,
            example="1675 g",
        ),
        NOTE,
    ),
    kept_as="day_log",
)
