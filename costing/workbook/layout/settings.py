"""The sheet Settings and each setting it may hold."""

from __future__ import annotations

from costing.quantities import Measures, Rounding
from costing.shoot.settings import AllergenList
from costing.workbook.layout.columns import YES_NO, Column, Kind, Sheet

SETTINGS = (
    Column(
        "Title",
        "What this shoot is called.",
        example="Spring tart",
        default="the name of the file",
    ),
    Column(
        "Currency",
        "Code of three letters (ISO 4217) of the currency of all prices.",
        Kind.CURRENCY,
        example="EUR",
        default="money without a sign, with two digits",
    ),
    Column(
        "Prices include tax",
        "Whether the prices in Packs are what the till takes.",
        Kind.YES_NO,
        choices=YES_NO,
        example="yes",
        default="yes",
        akin=("VAT included", "Tax included"),
    ),
    Column(
        "Food tax rate %",
        "Tax added when prices do not include it.",
        Kind.PERCENT,
        unit="percent",
        example="6",
        default="0",
        akin=("VAT", "VAT %", "GST", "Tax", "Tax %", "Tax rate", "Sales tax"),
    ),
    Column(
        "Tax rounding",
        "What happens to a part of the smallest coin of tax, once per shop and rate.",
        Kind.CHOICE,
        choices=tuple(Rounding),
        example="half up",
        default="half up",
    ),
    Column(
        "Measures",
        "What tsp, tbsp, cup, fl oz and pint mean in this workbook.",
        Kind.CHOICE,
        choices=tuple(Measures),
        example="metric",
        default="metric",
        akin=("Units", "Cups"),
    ),
    Column(
        "Time zone",
        "Name of the zone the clock times are in, as the IANA time zone list writes it.",
        Kind.TIME_ZONE,
        example="Europe/Lisbon",
        default="the zone of the computer",
        akin=("Zone",),
    ),
    Column(
        "Time control procedures",
        "Whether written procedures for time as a control of food are kept on this set.",
        Kind.YES_NO,
        choices=YES_NO,
        example="no",
        default="no: rules that need them cannot be used",
    ),
    Column(
        "Place",
        "Country, and state where it matters; it chooses the holding rules and the allergen list.",
        example="France",
        default="unknown: the general rule for homes, and the list of the EU",
    ),
    Column(
        "Holding rules",
        "One or more ids of holding rules, with commas between them.",
        Kind.RULES,
        example="US-HOME-2H, AU-2H4H",
        default="those of Place, or else the general rule for homes",
        akin=("Rules", "Rule"),
    ),
    Column(
        "Room temperature",
        "Temperature of the set, a number with its unit.",
        Kind.TEMPERATURE,
        example="24 C",
        default="unknown: rules that depend on it take their limit for a hot room",
        akin=("Temperature", "Room"),
    ),
    Column(
        "Shopping date",
        "The day the food is bought.",
        Kind.DATE,
        example="2031-05-09",
        default="the day before the first shoot date",
        akin=("Shopping", "Shopping day"),
    ),
    Column(
        "Chance of running out accepted %",
        "How likely it may be that food runs out anywhere in the shoot.",
        Kind.PERCENT,
        unit="percent",
        example="5",
        default="5",
        akin=("Risk", "Risk %", "Chance"),
    ),
    Column(
        "Count leftovers that keep at %",
        "How much of the value of leftovers that keep is taken off when baskets are compared.",
        Kind.PERCENT,
        unit="percent",
        example="50",
        default="0",
    ),
    Column(
        "Allergen list",
        "Whose list of allergens is used.",
        Kind.CHOICE,
        choices=tuple(AllergenList),
        example="EU",
        default="that of Place, else EU",
        akin=("Allergens",),
    ),
    Column(
        "Budget",
        "What may be paid for the whole job, visits and deliveries too; Episodes may have their "
        "own.",
        Kind.MONEY,
        unit="money",
        example="250.00",
        default="none",
    ),
    Column(
        "Bowl sizes",
        "Sizes of the bowls at hand, with commas between them.",
        Kind.SIZES,
        unit="ml",
        example="60, 120, 250",
        default="30, 60, 120, 250, 500, 1000",
        akin=("Bowls",),
    ),
)

SETTINGS_SHEET = Sheet(
    "Settings",
    "SettingRows",
    "One row is one setting; a blank value means what stands beside it.",
    (
        Column("Setting", "Which setting.", required=True, example="Currency", width=34),
        Column("Value", "What it is set to.", required=True, example="EUR", width=30),
    ),
    first=True,
    akin=("Options", "Preferences", "Setup"),
)
