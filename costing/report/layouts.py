"""Every result table, declared once: its title, its columns, and what they mean.

A column needs no more than its line here and a value by its key where the rows are made, or
``as_typed`` where it shows what was typed; a table its declaration, rows, and a line in
``Estimate``. Sheet, JSON, frame and the check that says when
results are out of date come of themselves.
"""

from __future__ import annotations

from costing.report.tables import Layout, ResultColumn, ValueKind

TEXT, LONG_TEXT, STATUS = ValueKind.TEXT, ValueKind.LONG_TEXT, ValueKind.STATUS
COUNT, QUANTITY, PERCENT = ValueKind.COUNT, ValueKind.QUANTITY, ValueKind.PERCENT
MONEY, PRICE = ValueKind.MONEY, ValueKind.PRICE
DATE, INSTANT, DURATION = ValueKind.DATE, ValueKind.INSTANT, ValueKind.DURATION

SUMMARY = Layout(
    "Summary",
    "The main figures of the shoot.",
    (
        ResultColumn("Figure", "What the value is of.", TEXT, 34),
        ResultColumn("Value", "Money, a number or words.", ValueKind.MIXED, 20),
        ResultColumn("Note", "What it takes in and what it leaves out.", LONG_TEXT, 61),
    ),
    told_apart_by=("figure",),
    always=True,
)
TO_BUY = Layout(
    "To buy",
    "One row for each pack to buy, by day, shop and section; the signs + open what is folded.",
    (
        ResultColumn("Got it", "Yours to tick.", ValueKind.TICK, 5),
        ResultColumn("Shop", "Where it is bought.", TEXT, 12, as_typed=True),
        ResultColumn("Trip", "The day it is fetched.", DATE, 19),
        ResultColumn("Section", "Part of the shop.", TEXT, 10, folded=True, as_typed=True),
        ResultColumn("Ingredient", "As the recipes call it.", TEXT, 14),
        ResultColumn("Packs", "How many, of loose goods how many steps.", COUNT, 8),
        ResultColumn("Pack amount", "What is in one.", QUANTITY, 10),
        ResultColumn("Unit", "Of all amounts of the row.", TEXT, 8),
        ResultColumn("Price each", "Of one, tax as paid.", PRICE, 11, folded=True),
        ResultColumn("Cost", "Of all of them at the till.", MONEY, 11),
        ResultColumn(
            "Needed", "Of the ingredient, for all its packs together.", QUANTITY, 11, folded=True
        ),
        ResultColumn("From on hand", "What of it is not bought again.", QUANTITY, 10, folded=True),
        ResultColumn("Bought", "What the packs of this row hold.", QUANTITY, 10, folded=True),
        ResultColumn(
            "Left over", "Of the ingredient, when all is shot.", QUANTITY, 10, folded=True
        ),
        ResultColumn("Buy by", "The last day that will do.", DATE, 19, folded=True),
        ResultColumn("Allergens", "Of the ingredient; read the pack.", LONG_TEXT, 18, folded=True),
        ResultColumn(
            "Substitute", "What may be taken instead, and brings.", LONG_TEXT, 16, folded=True
        ),
        ResultColumn("Note", "What else to know in the shop.", LONG_TEXT, 50),
    ),
    told_apart_by=("shop", "ingredient", "unit"),
    then_by=("trip", "pack_amount"),
    always=True,
    live="Packs and shops are those of the last run; other cells follow your edits where they are "
    "formulas, which a cost with tax on top is not.",
)
ERRANDS = Layout(
    "Errands",
    "One row for each thing to do before the shoot, by date.",
    (
        ResultColumn("Date", "The day to do it.", DATE, 19),
        ResultColumn("Errand", "Order, fetch, thaw or make.", TEXT, 10),
        ResultColumn("Shop", "Where, for what is ordered or fetched.", TEXT, 20),
        ResultColumn("What", "Which goods or dish, and how much.", LONG_TEXT, 50),
        ResultColumn("For", "The episode or dish it is for.", TEXT, 24),
        ResultColumn("Note", "What else to know.", LONG_TEXT, 44),
    ),
    told_apart_by=("date", "errand", "shop", "what"),
)
COPIES = Layout(
    "Copies",
    "One row for each copy of a dish: the shots it goes through and the steps it is taken to.",
    (
        ResultColumn("Episode", "Whose.", TEXT, 20),
        ResultColumn("Dish", "What is made.", TEXT, 26),
        ResultColumn("Copy", "Its number among those of the dish.", COUNT, 8),
        ResultColumn("Shots", "In the order in which it goes through them.", LONG_TEXT, 40),
        ResultColumn("Steps", "Those that are made on it.", TEXT, 12),
        ResultColumn("First start", "When it is first shot.", INSTANT, 16),
        ResultColumn("Last start", "When it is last shot.", INSTANT, 16),
        ResultColumn("Note", "What else to know.", LONG_TEXT, 44),
    ),
    told_apart_by=("episode", "dish", "copy"),
)
MAKE = Layout(
    "Make",
    "One row for each dish that is made to go into others, or in whole batches.",
    (
        ResultColumn("Episode", "Whose.", TEXT, 20),
        ResultColumn("Dish", "What is made.", TEXT, 26),
        ResultColumn("Batches", "How many times its recipe.", QUANTITY, 9),
        ResultColumn("Amount", "What they give together.", QUANTITY, 10),
        ResultColumn("Unit", "Of the amounts of the row.", TEXT, 8),
        ResultColumn("Ready by", "When it is first needed.", INSTANT, 16),
        ResultColumn("Into", "What takes of it, and how much.", LONG_TEXT, 44),
        ResultColumn(
            "Left over",
            "When all is shot; it has no left value, as the used value has all.",
            QUANTITY,
            10,
        ),
        ResultColumn("Note", "What else to know.", LONG_TEXT, 36),
    ),
    told_apart_by=("episode", "dish", "unit"),
)
NEEDS = Layout(
    "Needs",
    "One row for each ingredient, from ready to use to bought, used and left.",
    (
        ResultColumn("Ingredient", "As the recipes call it.", TEXT, 14),
        ResultColumn("Trimmed need", "Clean and ready to use, for all shots.", QUANTITY, 11),
        ResultColumn("Trimmed unit", "Of the need ready to use.", TEXT, 9),
        ResultColumn("Unit", "Of all other amounts of the row.", TEXT, 8),
        ResultColumn("Trim yield %", "What trimming leaves of what is bought.", PERCENT, 8),
        ResultColumn("As bought need", "The need before trimming.", QUANTITY, 11),
        ResultColumn("Spoilage allowance", "Bought to be lost before the shoot.", QUANTITY, 11),
        ResultColumn("On hand used", "Stock that is not bought again.", QUANTITY, 10),
        ResultColumn("Net need", "As bought need less stock.", QUANTITY, 10),
        ResultColumn("Bought", "What all packs hold.", QUANTITY, 10),
        ResultColumn("Left over", "Packs and good stock less what is used.", QUANTITY, 10),
        ResultColumn(
            "Left keeps",
            "What keeps until the next shoot day or seven days; opened, by a known life alone.",
            QUANTITY,
            10,
        ),
        ResultColumn("Used value", "Of what the shots take, trim and spoilage in it.", MONEY, 11),
        ResultColumn("Bought value", "What the tills take.", MONEY, 11),
        ResultColumn("Left value", "Of what is left over.", MONEY, 11),
    ),
    told_apart_by=("ingredient",),
    always=True,
    live="Amounts and values follow what you edit, for the packs of the last run; Left keeps does "
    "not.",
)
FOOD_COST = Layout(
    "Food cost",
    "One row for each episode, dish and purpose; what has a budget, the job too, has its own row.",
    (
        ResultColumn("Episode", "Whose cost it is.", TEXT, 28),
        ResultColumn("Dish", "Blank on the row of a whole episode or job.", TEXT, 34),
        ResultColumn("Purpose", "What the shots are for.", TEXT, 16),
        ResultColumn("Used value", "Of what they take.", MONEY, 12),
        ResultColumn("Share of bought", "Their part of what the tills take.", MONEY, 12),
        ResultColumn("Share of visits", "Their part of visits and deliveries.", MONEY, 12),
        ResultColumn("Budget", "Of the episode, or of the whole job.", MONEY, 12),
        ResultColumn(
            "Over", "Share of bought less budget, without visits; blank when not over.", MONEY, 12
        ),
    ),
    told_apart_by=("episode", "dish", "purpose"),
    always=True,
    live="Shares add up to the coin, which no formula can do: they are those of the last run.",
)
HOLDING_TIMES = Layout(
    "Holding times",
    "One row for each container and rule, the strictest rule of a container first.",
    (
        ResultColumn("Container", "The bowl, box or plate of the log.", TEXT, 20),
        ResultColumn("Rule", "Its id; costing rules explains it.", TEXT, 15),
        ResultColumn("Strictest", "Yes on the rule that decides.", TEXT, 9),
        ResultColumn("Status", "By this rule, of what was logged.", STATUS, 20),
        ResultColumn("Out for", "Time out that the rule counts.", DURATION, 9),
        ResultColumn("Discard at", "When its limit is reached.", INSTANT, 16),
        ResultColumn("Return before", "When it may no longer go back.", INSTANT, 16),
        ResultColumn("Reason", "How the rule comes to it.", LONG_TEXT, 64),
        ResultColumn("Source", "Where the rule is published.", LONG_TEXT, 36, folded=True),
        ResultColumn("Verified", "How far its words were checked.", LONG_TEXT, 24, folded=True),
    ),
    told_apart_by=("container", "rule"),
)
LABELS = Layout(
    "Labels",
    "One row for each container and each dish made, to be printed and cut along the dashed lines.",
    (
        ResultColumn("Container", "Its name.", TEXT, 20),
        ResultColumn("Label", "What is in it, allergens, and whether it is eaten.", LONG_TEXT, 56),
        ResultColumn("Return before", "By the strictest rule.", INSTANT, 16),
        ResultColumn("Discard at", "By the strictest rule.", INSTANT, 16),
        ResultColumn("Rule", "The strictest one.", TEXT, 14),
        ResultColumn("Caution", "What the label does not show.", LONG_TEXT, 44),
    ),
    told_apart_by=("container",),
    cut_out=True,
)
WHO_EATS = Layout(
    "Who eats",
    "One row for each person and what they are to eat.",
    (
        ResultColumn("Person", "As on the sheet People.", TEXT, 18),
        ResultColumn("What", "The shot or container.", TEXT, 28),
        ResultColumn("Answer", "What the lists say; no answer says that it is safe.", STATUS, 18),
        ResultColumn("Because", "Which of what they avoid is in it, or not known.", LONG_TEXT, 64),
    ),
    told_apart_by=("person", "what"),
)
TAKES_LEFT = Layout(
    "Takes left",
    "One row for each shot: how many more times it can be taken with what is there.",
    (
        ResultColumn("Episode", "Whose.", TEXT, 12),
        ResultColumn("Shot", "Its name.", TEXT, 12),
        ResultColumn("Planned", "Times in all.", COUNT, 9),
        ResultColumn("Taken", "So far.", COUNT, 9),
        ResultColumn("More", "Still possible, with enough kept for all others.", COUNT, 9),
        ResultColumn("Limited by", "The ingredient that runs out first.", TEXT, 12),
        ResultColumn("Short by", "What the next take lacks of it.", TEXT, 10),
        ResultColumn("Note", "What one more would cost after shopping, and where.", LONG_TEXT, 50),
    ),
    told_apart_by=("episode", "shot"),
)
PREP = Layout(
    "Prep",
    "What is in one bowl, the smallest size [ml] that holds it, and how many bowls for all the "
    "times of its step; a tray for each step.",
    (
        ResultColumn("Episode", "Whose.", TEXT, 12),
        ResultColumn("Dish", "What it goes into.", TEXT, 16),
        ResultColumn("Step", "In which it goes in.", COUNT, 6),
        ResultColumn("Ingredient", "What is weighed out.", TEXT, 14, as_typed=True),
        ResultColumn("Cut", "How it is cut.", TEXT, 9, as_typed=True),
        ResultColumn("Amount", "In one bowl.", QUANTITY, 9),
        ResultColumn("Unit", "Of the amount.", TEXT, 7),
        ResultColumn("Bowl size", "The smallest that holds it. [ml]", QUANTITY, 7),
        ResultColumn("Bowls", "How many, for all times.", COUNT, 7),
        ResultColumn("Shown", "Ahead, or on camera.", TEXT, 10),
        ResultColumn("Ready by", "When its step is first shot.", INSTANT, 16),
        ResultColumn("Note", "What else to know.", LONG_TEXT, 44),
    ),
    told_apart_by=("episode", "dish", "step", "ingredient", "cut"),
)
SWAPS = Layout(
    "Swaps",
    "One row for each stage to prepare: to which step the dish is taken, how often, by when.",
    (
        ResultColumn("Episode", "Whose.", TEXT, 20),
        ResultColumn("Dish", "What is prepared.", TEXT, 26),
        ResultColumn("Purpose", "What the shot is for.", TEXT, 12),
        ResultColumn("To step", "The last step that is made.", COUNT, 8),
        ResultColumn("Batch", "How much of the recipe each.", QUANTITY, 8, as_typed=True),
        ResultColumn("Times", "How many of them.", COUNT, 8),
        ResultColumn("Ready by", "When its shot starts.", INSTANT, 16),
    ),
    told_apart_by=("episode", "dish", "purpose", "to_step", "batch"),
)
DIFFERENCES = Layout(
    "Differences",
    "One row for each episode and ingredient: actual less planned, and what it comes of.",
    (
        ResultColumn("Episode", "Whose.", TEXT, 20),
        ResultColumn("Ingredient", "As the recipes call it, or the receipts.", TEXT, 20),
        ResultColumn("Planned", "Used value by the plan.", MONEY, 12),
        ResultColumn("Actual", "Used value by receipts and what was counted.", MONEY, 12),
        ResultColumn("Takes", "Of it for more or fewer takes.", MONEY, 12),
        ResultColumn("Use", "Of it for more or less used than the takes need.", MONEY, 12),
        ResultColumn("Price", "Of it for the same packs at another price.", MONEY, 12),
        ResultColumn("Packs", "Of it for other packs than listed.", MONEY, 12),
        ResultColumn("Not logged", "The rest, which nothing explains.", MONEY, 12),
    ),
    told_apart_by=("episode", "ingredient"),
)
CHARGE = Layout(
    "Charge",
    "One row for each line of a receipt that is charged; what is supplied is not.",
    (
        ResultColumn("Receipt", "Its number.", TEXT, 12, as_typed=True),
        ResultColumn("Shop", "Where.", TEXT, 20, as_typed=True),
        ResultColumn("What", "The goods, or a cost of its own.", LONG_TEXT, 40),
        ResultColumn("Paid", "At the till, tax as printed.", MONEY, 12),
        ResultColumn("Tax", "How much of it is tax.", MONEY, 12),
        ResultColumn("Charged", "With the mark-up.", MONEY, 12),
        ResultColumn("Note", "What else to know.", LONG_TEXT, 44),
    ),
    told_apart_by=("receipt", "shop", "what"),
)
ASSUMPTIONS = Layout(
    "Assumptions",
    "One row for each value that nobody typed.",
    (
        ResultColumn("Where", "The sheet and cell it would stand in.", TEXT, 24),
        ResultColumn("About", "What it is, and what it could change.", LONG_TEXT, 34),
        ResultColumn("Value used", "With its unit.", TEXT, 24),
        ResultColumn("Source", "Where it comes from.", LONG_TEXT, 36),
        ResultColumn("How to override", "What to write, and where.", LONG_TEXT, 44),
    ),
    told_apart_by=("where", "about"),
)
FINDINGS = Layout(
    "Findings",
    "One row for each problem, with its place and what to do.",
    (
        ResultColumn("Grade", "Error, warning or note.", STATUS, 9),
        ResultColumn("Code", "The kind of problem.", TEXT, 22),
        ResultColumn("Sheet", "Where it is.", TEXT, 13),
        ResultColumn("Cell", "Where it is.", ValueKind.CELL, 7),
        ResultColumn("Row", "The name in the row.", TEXT, 18),
        ResultColumn("Column", "The heading above.", TEXT, 16, folded=True),
        ResultColumn("Found", "What was found there.", LONG_TEXT, 36),
        ResultColumn("Expected", "What should.", LONG_TEXT, 36),
        ResultColumn("What to do", "To mend it.", LONG_TEXT, 54),
    ),
    always=True,
)
RESULT_LAYOUTS = (
    *(SUMMARY, TO_BUY, ERRANDS, COPIES, MAKE, TAKES_LEFT, WHO_EATS, NEEDS, FOOD_COST),
    *(DIFFERENCES, CHARGE, HOLDING_TIMES, LABELS, PREP, SWAPS, ASSUMPTIONS, FINDINGS),
)
"""In the order of their sheets."""
