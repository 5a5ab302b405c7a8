"""The sheets of what happened: Holding, Receipts and Counted, and the day log.

The day log is a plain CSV file beside the workbook.
"""

from __future__ import annotations

from dataclasses import replace

from costing.holding.models import Eaten, EventKind
from costing.kitchen import CountedLot, PaidFrom, ReceiptLine, ReceiptTag
from costing.shoot.episodes import DayEvent
from costing.workbook.layout.columns import INGREDIENT, NOTE, UNIT, CellKind, Column, Sheet, Without

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
            "A container of Holding, a shot of Shoot plan, an ingredient, or a dish others take.",
            required=True,
            example="bean puree bowl",
        ),
        Column(
            "Event",
            "Of a container: an event of Holding. Of a shot: taken, spoiled (its food is gone "
            "without a take) or enough (no more of it). Of what is there: counted. undone takes "
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
            "What is there of what was counted, with its unit.",
            CellKind.AMOUNT,
            example="1675 g",
        ),
        NOTE,
    ),
    kept_as="day_log",
)


RECEIPTS = Sheet(
    "Receipts",
    "ReceiptRows",
    "One row is one line of a receipt; without an ingredient it is a cost of its own.",
    (
        Column("Receipt", "Its number, or what you call it.", example="R1", carries_down=True),
        Column(
            "Date",
            "The day on it.",
            CellKind.DATE,
            example="2031-05-09",
            carries_down=True,
            kept_as="day",
        ),
        Column(
            "Shop",
            "Where it is from, as in Packs.",
            CellKind.NAME,
            example="market",
            carries_down=True,
            listed=("Packs", "Shop"),
            width=26,
        ),
        Column(
            "Ingredient",
            "What was bought, as in Packs. Blank: a cost of its own, such as a delivery or a "
            "discount on the whole receipt; it is charged, and in no ingredient's value.",
            CellKind.NAME,
            example="leek",
            default="a cost of its own, named in Note",
            listed=("Packs", "Ingredient"),
            width=22,
        ),
        Column(
            "Packs",
            "How many packs. Of goods given back, Paid is below 0; Packs may be too.",
            CellKind.NUMBER,
            unit="packs",
            example="2",
            default="unknown",
            width=8,
        ),
        Column(
            "Amount",
            "How much that was together, where packs do not say it.",
            CellKind.CONTENT,
            example="1.2",
            default="by the packs",
            width=10,
            unit_in="Unit",
        ),
        replace(UNIT, example="kg", without=Without.CELL),
        Column(
            "Paid",
            "What the till took for the line, tax as printed; below 0 for a discount or a deposit "
            "that came back.",
            CellKind.MONEY_BOTH_WAYS,
            example="2.27",
            width=10,
            in_each_row=True,
            entry="what the till took,",
        ),
        Column(
            "Tax rate %",
            "As printed on the receipt.",
            CellKind.TAX_RATE,
            example="6",
            default="that of the pack, or the setting Food tax rate %",
            width=11,
        ),
        Column(
            "Paid from",
            "Where the money came from.",
            CellKind.CHOICE,
            choices=tuple(PaidFrom),
            example="card",
            default="unknown",
            width=10,
        ),
        Column(
            "Tag",
            "What it was bought for.",
            CellKind.CHOICE,
            choices=tuple(ReceiptTag),
            example="camera",
            default="camera",
            width=11,
            without=Without.ROW,
        ),
        replace(
            NOTE,
            meaning="What a cost of its own is. On a row without ingredient: total, for the total "
            "printed on the receipt, and tax, for its printed tax, which are compared and not "
            "added. 1 USD = 0.92 EUR on any of its rows is the rate of a receipt in another "
            "currency.",
            example="delivery",
        ),
    ),
    kept_as="receipts",
    model=ReceiptLine,
    row="receipt line",
    named_from=("Ingredient", "Receipt"),
    in_totals=False,
    told_by=("Receipt", "Paid", "Paid from"),
)

COUNTED = Sheet(
    "Counted",
    "CountedRows",
    "One row is what was there of an ingredient at the end.",
    (
        replace(INGREDIENT, example="flour"),
        Column(
            "Amount",
            "How much, as bought; 0 when nothing was left.",
            CellKind.STOCK,
            example="310",
            width=10,
            unit_in="Unit",
            in_each_row=True,
            entry="how much was there,",
        ),
        UNIT,
        replace(
            NOTE,
            meaning="Whatever you want to remember. With trimmed from 1200 g the row is a weighing "
            "of the trim yield: its amount is what trimming left of that, and no count of what is "
            "there.",
            example="in the fridge door",
        ),
    ),
    kept_as="counted",
    model=CountedLot,
    row="count of",
    in_totals=False,
    told_by=("Ingredient", "Amount"),
)
