"""What is said of settings and temperatures: one change each, the whole text compared."""

from __future__ import annotations

from pathlib import Path

import pytest
from good_workbook import Change, add, found_after, put

CASES = [
    pytest.param(
        put("Settings!A3", "Curency"),
        [
            'Settings!A3 (row "Curency", column "Setting"): found the setting "Curency", '
            "expected Title, Currency, Prices include tax, Food tax rate %, Tax rounding, "
            "Measures, Time zone, Time control procedures, Place, Holding rules or one of 11 "
            "more [setting unknown]\n"
            "  Write Currency if that is meant, or delete the row.",
        ],
        id="setting unknown",
    ),
    pytest.param(
        add("Settings", "Oven", "big"),
        [
            'Settings!A7 (row "Oven", column "Setting"): found the setting "Oven", expected'
            " Title, Currency, Prices include tax, Food tax rate %, Tax rounding, Measures,"
            " Time zone, Time control procedures, Place, Holding rules or one of"
            " 11 more [setting unknown]\n"
            "  Delete the row.",
        ],
        id="setting unknown: nothing near",
    ),
    pytest.param(
        add("Settings", "currency", "GBP"),
        [
            'Settings!A7 (row "currency", column "Setting"): found the setting "currency" a'
            " second time; the first is at A3, expected each setting once [setting twice]\n"
            "  Delete one of the rows; until then the first is used.",
        ],
        id="setting twice",
    ),
    pytest.param(
        add("Settings", None, "EUR"),
        [
            'Settings!A7 (column "Setting"): found a blank cell in a row that is filled in,'
            " expected an entry such as Currency [entry missing]\n"
            "  Fill the cell, or clear the rest of the row; until then the row cannot be "
            "used.",
        ],
        id="entry missing: a value without its setting",
    ),
    pytest.param(  # the sign on Packs is of the currency that cannot be read, which is said
        put("Settings!B3", "Euro", also=("Packs!E3", "2.79 €")),
        [
            'Settings!B3 (row "Currency", column "Value"): found the text "Euro", expected '
            "a currency code of three letters (ISO 4217), such as EUR [currency unknown]\n"
            "  Write EUR if that is meant. Until then money is shown without a sign.",
        ],
        id="currency unknown",
    ),
    *(
        pytest.param(
            put("Settings!B5", city),
            [
                f'Settings!B5 (row "Time zone", column "Value"): found the text "{city}", '
                "expected the name of a time zone of the IANA list, such as Europe/Lisbon [time "
                f"zone unknown]\n  Write {zone} if that is meant. Until then clock times are "
                "taken in the computer's zone.",
            ],
            id=f"time zone unknown: {city} without its continent",
        )
        for city, zone in (
            ("Lisbon", "Europe/Lisbon"),
            ("new york", "America/New_York"),
            ("Lisboa", "Europe/Lisbon"),
            ("Easterm", "Pacific/Easter, Canada/Eastern or US/Eastern"),
        )
    ),
    *(
        pytest.param(
            put("Settings!B5", found),
            [
                f'Settings!B5 (row "Time zone", column "Value"): found {found.upper()}, a time '
                f"zone without summer time, expected the zone of a place, such as {place} [time "
                f"zone without summer time]\n  Write {place}, or the place that is meant. Until "
                "then the hour is an hour behind in summer, and food has stood out longer than is "
                "reckoned.",
            ],
            id=f"time zone without summer time: {found}",
        )
        for found, place in (
            ("EST", "America/New_York"),
            ("MST", "America/Denver"),
            ("gmt", "Europe/London"),
        )
    ),
    *(
        pytest.param(
            put("Settings!B5", found),
            [
                f'Settings!B5 (row "Time zone", column "Value"): found the text "{found}", '
                "expected the name of a time zone of the IANA list, such as Europe/Lisbon [time "
                "zone unknown]\n  Until then clock times are taken in the computer's zone.",
            ],
            id=f"time zone unknown: {found} is of no place",
        )
        for found in ("GMT+1", "utc -5", "+01:00")
    ),
    pytest.param(
        put("Settings!B5", "Europe/Lisboa"),
        [
            'Settings!B5 (row "Time zone", column "Value"): found the text "Europe/Lisboa",'
            " expected the name of a time zone of the IANA list, such as Europe/Lisbon "
            "[time zone unknown]\n"
            "  Write Europe/Lisbon if that is meant. Until then clock times are taken in "
            "the computer's zone.",
        ],
        id="time zone unknown",
    ),
    pytest.param(
        add("Settings", "Place", "Portugall"),
        [
            'Settings!B7 (row "Place", column "Value"): found the text "Portugall", expected a '
            "country, and its state where it matters, such as France or United States, California "
            "[place unknown]\n"
            "  Write Portugal if that is meant. Where it has no rules here, leave it blank and "
            "fill Holding rules and Allergen list. Until then it counts as blank."
        ],
        id="place unknown",
    ),
    pytest.param(
        add("Settings", "Place", "US, Ohio"),
        [
            'Settings!B7 (row "Place", column "Value"): found Ohio, which has no rules of its own '
            "here, expected the rules of the place where is cooked [place without rules]\n"
            "  Those of United States are used, and its list of allergens. Ask for the local food "
            "code; if it says otherwise, fill Holding rules and Allergen list.",
        ],
        id="place without rules",
    ),
    pytest.param(
        add("Settings", "Place", "Mexico"),
        [
            'Settings!B7 (row "Place", column "Value"): found Mexico, which has no rules of its '
            "own here, expected the rules of the place where is cooked [place without rules]\n"
            "  The general rule for homes is used, and the list of allergens of the EU. Ask for "
            "the local food code; if it says otherwise, fill Holding rules and Allergen list.",
        ],
        id="place without rules: a country",
    ),
    pytest.param(
        add("Settings", "Place", "Texas"),
        [
            'Settings!B7 (row "Place", column "Value"): found the text "Texas", expected a '
            "country, and its state where it matters, such as France or United States, California "
            "[place unknown]\n"
            "  If it is a state, write its country before it: United States, Texas. Where it has "
            "no rules here, leave it blank and fill Holding rules and Allergen list. Until then it "
            "counts as blank."
        ],
        id="place unknown: a state alone",
    ),
    pytest.param(
        add("Settings", "Place", "Fairyland, North"),
        [
            'Settings!B7 (row "Place", column "Value"): found the text "Fairyland, North", '
            "expected a country, and its state where it matters, such as France or United States, "
            "California [place unknown]\n"
            "  Where it has no rules here, leave it blank and fill Holding rules and Allergen "
            "list. Until then it counts as blank."
        ],
        id="place unknown: a country with a state",
    ),
    pytest.param(
        put("Settings!B6", 24),
        [
            'Settings!B6 (row "Room temperature", column "Value"): found 24 without a unit,'
            " expected a temperature with its unit, such as 24 C or 24 F [temperature "
            "without unit]\n"
            "  Write 24 C or 24 F; until then it counts as not measured.",
        ],
        id="temperature without unit: of the room",
    ),
    pytest.param(
        put("Holding!E2", "4"),
        [
            'Holding!E2 (row "milk jug", column "Temperature"): found 4 without a unit, '
            "expected a temperature with its unit, such as 4 C or 4 F [temperature without "
            "unit]\n"
            "  Write 4 C or 4 F; until then it counts as not measured.",
        ],
        id="temperature without unit: as text",
    ),
    pytest.param(
        put("Holding!E2", "warm"),
        [
            'Holding!E2 (row "milk jug", column "Temperature"): found the text "warm", '
            "expected a temperature with its unit, such as 4 C or 39 F [temperature "
            "unreadable]\n"
            "  Write a number and C or F; until then it counts as not measured.",
        ],
        id="temperature unreadable",
    ),
    pytest.param(
        put("Holding!E2", "650 C"),
        [
            'Holding!E2 (row "milk jug", column "Temperature"): found the text "650 C", a '
            "temperature above that of any food, expected a temperature with its unit, such as 4 C "
            "or 39 F [temperature unreadable]\n"
            "  Write a number and C or F; until then it counts as not measured.",
        ],
        id="temperature unreadable: above that of any food",
    ),
    pytest.param(
        add("Settings", "Bowl sizes", "60, big"),
        [
            'Settings!B7 (row "Bowl sizes", column "Value"): found the text "60, big", '
            "expected sizes in ml above 0 with commas between them, such as 60, 120, 250 "
            "[bowl sizes unreadable]\n"
            "  Write the numbers alone; until then the usual sizes are used.",
        ],
        id="bowl sizes unreadable",
    ),
]


@pytest.mark.parametrize(("change", "said"), CASES)
def test_said(change: Change, said: list[str], tmp_path: Path) -> None:
    assert found_after(change, tmp_path) == said
