"""The sheet Holding, and the day log, a plain CSV file beside the workbook."""

from __future__ import annotations

from costing.holding.models import Eaten, EventKind
from costing.shoot.day_log import DayEvent
from costing.workbook.layout.columns import NOTE, CellKind, Column, Sheet

HOLDING = Sheet(
    "Holding",
    "HoldingRows",
    "One row is one event in the life of a container.",
    (
        Column(
            "Container",
            "Bowl, tray or plate, as it is labelled. What is said once about it holds for all its "
            "rows.",
            CellKind.NAME,
            required=True,
            example="bean puree bowl",
            default="the container of the row above",
            carries_down=True,
            width=22,
            akin=("Bowl", "Tray"),
            kept_as="name",
            in_each_row=True,
        ),
        Column(
            "Holds",
            'Ingredients, dishes, "Dish: steps 1-3" (as it is after step 3), "Dish: only step '
            '3" (what that step adds) or other containers, with semicolons between.',
            example="leek tart: only step 3",
            width=42,
            akin=("Contents", "Food"),
            by_hand=True,
        ),
        Column(
            "Event",
            "What happened. out: left temperature control, for filming or serving; prep: out to "
            "be prepared; room: a reading of the room, not of the food.",
            CellKind.CHOICE,
            required=True,
            choices=tuple(EventKind),
            example="out",
            width=12,
            akin=("Action",),
            kept_as="kind",
            by_hand=True,
        ),
        Column(
            "When",
            "Date and time, or a time on the shoot date. A night shoot writes the date.",
            CellKind.DATE_TIME,
            required=True,
            example="10:05",
            width=17,
            akin=("Time", "At"),
            kept_as="at",
            by_hand=True,
        ),
        Column(
            "Temperature",
            "Of the food, with its unit.",
            CellKind.TEMPERATURE,
            example="4 C",
            default="no reading",
            width=13,
            akin=("Temp", "Degrees"),
            by_hand=True,
        ),
        Column(
            "Marked until",
            "The discard time written on the container.",
            CellKind.DATE_TIME,
            example="14:05",
            default="not marked",
            width=17,
            akin=("Discard at",),
            by_hand=True,
            one_meaning=True,
        ),
        Column(
            "Eaten",
            "Whether anybody will eat of it; never for styling that is no food.",
            CellKind.CHOICE,
            choices=tuple(Eaten),
            example="yes",
            default="yes",
            width=9,
            by_hand=True,
        ),
        Column(
            "Episode",
            "The episode whose shoot date a bare time is on.",
            CellKind.NAME,
            example="leek tart",
            default="the first episode",
            listed=("Episodes", "Episode"),
            width=18,
            by_hand=True,
        ),
        NOTE,
    ),
    older=("Holding log",),
    akin=("Log", "Temperatures", "Temperature log", "Bowls"),
    kept_as="containers",
    named_from=("Container",),
    known_by="Event",
)


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
