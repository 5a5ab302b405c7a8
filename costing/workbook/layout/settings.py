"""The sheet Settings and each setting it may hold."""

from __future__ import annotations

from costing.quantities import Measures, Rounding
from costing.reference import AllergenList
from costing.shoot.settings import MarkUpOn
from costing.workbook.layout.columns import CellKind, Column, Sheet

SETTINGS = (
    Column(
        "Title", "What this shoot is called.", example="Spring tart", default="the name of the file"
    ),
    Column(
        "Currency",
        "Code of three letters (ISO 4217) of the currency of all prices.",
        CellKind.CURRENCY,
        example="EUR",
        default="money without a sign, with two digits",
    ),
    Column(
        "Prices include tax",
        "Whether the prices in Packs are what the till takes.",
        CellKind.YES_NO,
        default="yes",
        akin=("VAT included", "Tax included"),
    ),
    Column(
        "Food tax rate %",
        "Tax added when prices do not include it.",
        CellKind.TAX_RATE,
        example="6",
        default="0",
        akin=("VAT", "VAT %", "GST", "Tax", "Tax %", "Tax rate", "Sales tax"),
        kept_as="tax_rate",
    ),
    Column(
        "Tax rounding",
        "What happens to a part of the smallest coin of tax, once per shop and rate.",
        CellKind.CHOICE,
        choices=tuple(Rounding),
        example="half up",
        default="half up",
    ),
    Column(
        "Measures",
        "What tsp, tbsp, cup, fl oz and pint mean in this workbook.",
        CellKind.CHOICE,
        choices=tuple(Measures),
        example="metric",
        default="metric",
        akin=("Units", "Cups"),
    ),
    Column(
        "Time zone",
        "Name of the zone the clock times are in, as the IANA time zone list writes it.",
        CellKind.TIME_ZONE,
        example="Europe/Lisbon",
        default="the zone of the computer",
        akin=("Zone",),
    ),
    Column(
        "Time control procedures",
        "Whether written procedures for time as a control of food are kept on this set.",
        CellKind.YES_NO,
        example="no",
        default="no: rules that need them cannot be used",
        kept_as="procedures",
    ),
    Column(
        "Place",
        "Country, and state where it matters; it chooses the holding rules and the allergen list.",
        CellKind.PLACE,
        example="France",
        default="unknown: the general rule for homes, and the list of the EU",
    ),
    Column(
        "Holding rules",
        "One or more ids of holding rules, with commas between them.",
        CellKind.RULES,
        example="US-HOME-2H, AU-2H4H",
        default="those of Place, or else the general rule for homes",
        akin=("Rules", "Rule"),
    ),
    Column(
        "Room temperature",
        "Temperature of the set, a number with its unit.",
        CellKind.TEMPERATURE,
        example="24 C",
        default="unknown: rules that depend on it take their limit for a hot room",
        akin=("Temperature", "Room"),
    ),
    Column(
        "Shopping date",
        "The day the food is bought, or several with semicolons between.",
        CellKind.DATES,
        other="more_shopping_dates",
        example="2031-05-09",
        default="the day before each shoot date",
        akin=("Shopping", "Shopping day"),
    ),
    Column(
        "Chance of running out accepted %",
        "How likely it may be that food runs out anywhere in the shoot.",
        CellKind.CHANCE,
        example="5",
        default="5",
        akin=("Risk", "Risk %", "Chance"),
        kept_as="chance_of_running_out",
    ),
    Column(
        "Count leftovers that keep at %",
        "How much of the value of leftovers that keep is taken off when baskets are compared.",
        CellKind.PERCENT,
        example="50",
        default="0",
        kept_as="leftovers_counted",
    ),
    Column(
        "Allergen list",
        "Whose list of allergens is used.",
        CellKind.CHOICE,
        choices=tuple(AllergenList),
        example="EU",
        default="that of Place, else EU",
        akin=("Allergens",),
    ),
    Column(
        "Budget",
        "What may be paid for the whole job, visits and deliveries too; Episodes may have their "
        "own.",
        CellKind.MONEY,
        example="250.00",
        default="none",
        akin=("Budget limit", "Limit", "Maximum budget", "Max budget", "Spending limit"),
    ),
    Column(
        "Bowl sizes",
        "Sizes of the bowls at hand, with commas between them.",
        CellKind.SIZES,
        unit="ml",
        example="60, 120, 250",
        default="30, 60, 120, 250, 500, 1000",
        akin=("Bowls",),
    ),
    Column(
        "Charge mark-up %",
        "Put on what is charged of the receipts.",
        CellKind.PERCENT_FROM_0,
        example="15",
        default="none",
        kept_as="charge_mark_up",
    ),
    Column(
        "Mark-up on",
        "Whether the mark-up is a part of what was paid, or of that before tax.",
        CellKind.CHOICE,
        choices=tuple(MarkUpOn),
        example="before tax",
        default="paid",
        kept_as="mark_up_on",
    ),
    Column(
        "Cash float",
        "Cash that was there before the shopping.",
        CellKind.MONEY,
        example="100.00",
        default="cash is not reconciled",
    ),
    Column(
        "Cash counted",
        "Cash that was counted at the end.",
        CellKind.MONEY,
        example="12.40",
        default="cash is not reconciled",
    ),
)

SETTINGS_SHEET = Sheet(
    "Settings",
    "SettingRows",
    "One row is one setting; a blank value means what is written beside it.",
    (
        Column("Setting", "Which setting.", required=True, example="Currency", width=34),
        Column("Value", "What it is set to.", required=True, example="EUR", width=30),
    ),
    first=True,
    akin=("Options", "Preferences", "Setup"),
    kept_as="settings",
    known_by="Setting",
)
