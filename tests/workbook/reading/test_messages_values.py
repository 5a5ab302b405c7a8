"""What is said of single cells: one change to the good workbook each, the whole text compared."""

from __future__ import annotations

from datetime import datetime, time
from decimal import Decimal
from pathlib import Path

import pytest
from good_workbook import Change, add, findings, found_after, good_workbook, put, read

CASES = [
    pytest.param(
        add("Shoot plan", "S3"),
        [
            '\'Shoot plan\'!A4 (row "S3", column "Shot"): found "S3" with nothing beside it, '
            "expected the purpose of the shot, and what else it takes [shot only named]\n"
            '  It counts as one cook-through: a whole "leek soup" is bought for it. Write its '
            "Purpose, cook-through if it is meant so, or clear the row."
        ],
        id="shot only named",
    ),
    pytest.param(
        put("Ingredients!G1", "Allergens", also=("Ingredients!G2", "milc; celery, eggs; nuts")),
        [
            'Ingredients!G2 (row "leek", column "Allergens"): found the allergen "milc", expected '
            'a word of an allergen list, of which "milk" is nearest [allergen nearly known]\n'
            "  Write milk if that is meant; until then milc is shown as it is, and nobody who "
            "avoids milk is warned of it.",
        ],
        id="allergen nearly known",
    ),
    *(
        pytest.param(
            put("Ingredients!G1", "Allergens", also=("Ingredients!G2", f"celery, {word}")),
            [
                f'Ingredients!G2 (row "leek", column "Allergens"): found the words "{word}", '
                "expected the allergens that it brings, with commas between, or none [allergen "
                "denied]\n"
                "  Take them out of the cell; until then it counts as bringing what they name.",
            ],
            id=f"allergen denied: {word}",
        )
        for word in ("milk-free", "free from egg", "no nuts", "without soy", "non-dairy")
    ),
    pytest.param(
        put("Ingredients!E2", -1),
        [
            'Ingredients!E2 (row "leek", column "Grams per ml"): found -1, expected a '
            "number above 0 [number out of range]\n"
            "  Write a number in this range.",
        ],
        id="number out of range: density",
    ),
    *(
        pytest.param(
            put(f"{sheet}1", heading, also=(f"{sheet}2", most + 1)),
            [
                f'{sheet}2 (row "leek", column "{heading}"): found {most + 1}, expected a number '
                f"of at most {most} [number out of range]\n"
                "  Write a number in this range.",
            ],
            id=f"number out of range: {heading}",
        )
        for sheet, heading, most in (
            ("Ingredients!G", "Keeps days", 99_999),
            ("Packs!I", "Order days", 9_999),
            ("Packs!I", "Thaw days", 9_999),
        )
    ),
    pytest.param(
        put("Dishes!D1", "Photo life minutes", also=("Dishes!D2", 0)),
        [
            'Dishes!D2 (row "leek soup", column "Photo life minutes"): found 0, expected a number '
            "above 0 [number out of range]\n"
            "  Write a number in this range.",
        ],
        id="number out of range: photo life",
    ),
    pytest.param(
        put("Recipes!H2", 0.5),
        [
            'Recipes!H2 (row "leek", column "Candidates"): found 0.5, expected a number of '
            "1 or more, or a part such as 80% [number out of range]\n"
            "  Write a number in this range.",
        ],
        id="number out of range: candidates",
    ),
    pytest.param(
        put("Recipes!B4", 0),
        [
            'Recipes!B4 (row "potato", column "Step"): found 0, expected a step of 1 or '
            "more [number out of range]\n"
            "  Write a number in this range.",
        ],
        id="number out of range: step",
    ),
    pytest.param(
        put("Packs!F2", 0),
        [
            'Packs!F2 (row "leek", column "Loose step"): found 0, expected a step above 0 '
            "[number out of range]\n"
            "  Write a number in this range.",
        ],
        id="number out of range: loose step",
    ),
    pytest.param(
        put("Packs!C2", 0),
        [
            'Packs!C2 (row "leek", column "Amount"): found 0, expected an amount above 0 '
            "[number out of range]\n"
            "  Write a number in this range.",
        ],
        id="number out of range: pack",
    ),
    pytest.param(
        put("Packs!E3", -1),
        [
            'Packs!E3 (row "butter", column "Price"): found -1, expected money of 0 or more'
            " [number out of range]\n"
            "  Write a number in this range.",
        ],
        id="number out of range: price",
    ),
    pytest.param(
        put("Recipes!E2", -4),
        [
            'Recipes!E2 (row "leek", column "Amount"): found -4, expected an amount of 0 or'
            " more [number out of range]\n"
            "  Write a number in this range.",
        ],
        id="number out of range: amount",
    ),
    pytest.param(
        put("Packs!G3", 1.5),
        [
            'Packs!G3 (row "butter", column "At most"): found 1.5, expected a whole number '
            "of packs or loose steps [not a whole number]\n"
            "  Write a whole number.",
        ],
        id="not a whole number: packs",
    ),
    pytest.param(
        put("Shoot plan!G3", 1.5),
        [
            '\'Shoot plan\'!G3 (row "S2", column "Times"): found 1.5, expected a whole number'
            " of times [not a whole number]\n"
            "  Write a whole number; for a part of a recipe use the column Batch.",
        ],
        id="not a whole number: times",
    ),
    pytest.param(
        put("Packs!E3", "ask"),
        [
            'Packs!E3 (row "butter", column "Price"): found the text "ask", expected money '
            "such as 2.79 [text not a number]\n"
            "  Write the number alone. What is wrong with it: there is no digit in it.",
        ],
        id="text not a number: price",
    ),
    pytest.param(
        put("Packs!F2", "50 ml"),
        [
            'Packs!F2 (row "leek", column "Loose step"): found the text "50 ml", expected a '
            "number such as 0.05 [text not a number]\n"
            '  Write the number alone. What is wrong with it: "ml" in the number.',
        ],
        id="text not a number: loose step of another kind than its pack",
    ),
    pytest.param(
        put("Shoot plan!G3", "two"),
        [
            '\'Shoot plan\'!G3 (row "S2", column "Times"): found the text "two", expected a '
            "whole number such as 2 [text not a number]\n"
            "  Write the number alone. What is wrong with it: there is no digit in it.",
        ],
        id="text not a number: times in a word",
    ),
    pytest.param(
        put("Recipes!E2", True),
        [
            'Recipes!E2 (row "leek", column "Amount"): found TRUE, expected an amount such '
            "as 1 1/2 [text not a number]\n"
            "  Write the number alone. What is wrong with it: a truth value.",
        ],
        id="text not a number: a truth value",
    ),
    pytest.param(
        put("Packs!C2", "1,234"),
        [
            'Packs!C2 (row "leek", column "Amount"): found the text "1,234", which may be '
            "1234 or 1.2340, expected a number that can be read in one way only [ambiguous "
            "number]\n"
            "  Write 1234 or 1.2340.",
        ],
        id="ambiguous number",
    ),
    pytest.param(
        put("Packs!C2", "1.500"),
        [
            'Packs!C2 (row "leek", column "Amount"): found the text "1.500", read as 1.5, '
            "expected a number that can be read in one way only [number read as decimal]\n"
            "  Write 1500 if that is meant, or 1.5.",
        ],
        id="number read as decimal",
    ),
    pytest.param(
        put("Shoot plan!F3", "1-2"),
        [
            '\'Shoot plan\'!F3 (row "S2", column "Batch"): found the range "1-2", expected a '
            "number such as 1/2 [range not expected]\n"
            "  Write one number.",
        ],
        id="range not expected: batch",
    ),
    pytest.param(
        put("Packs!C2", "2-3"),
        [
            'Packs!C2 (row "leek", column "Amount"): found the range "2-3", expected an '
            "amount such as 250 [range not expected]\n"
            "  Write one number.",
        ],
        id="range not expected: pack",
    ),
    pytest.param(
        put("Recipes!E4", "3-2"),
        [
            'Recipes!E4 (row "potato", column "Amount"): found the range "3-2", which goes '
            "down from 3 to 2, expected a range that goes up, such as 2-3 [range upside "
            "down]\n"
            "  Write 2-3 if a range is meant.",
        ],
        id="range upside down",
    ),
    pytest.param(
        put("Recipes!E4", "1-1/2"),
        [
            'Recipes!E4 (row "potato", column "Amount"): found the range "1-1/2", which '
            "goes down from 1 to 1/2, expected a range that goes up, such as 2-3 [range "
            "upside down]\n"
            "  Write 1/2-1 if a range is meant; for 1 and 1/2 write 1 1/2.",
        ],
        id="range upside down: a mixed number",
    ),
    pytest.param(
        put("Shoot plan!F3", datetime(2031, 2, 1)),
        [
            '\'Shoot plan\'!F3 (row "S2", column "Batch"): found the date 2031-02-01, '
            "expected a number such as 1/2 [number is a date]\n"
            "  Format the cell as a number and write the number again.",
        ],
        id="number is a date",
    ),
    pytest.param(
        put("Ingredients!E3", 0.5, "hh:mm"),
        [
            'Ingredients!E3 (row "milk", column "Grams per ml"): found the time 12:00, '
            "expected a number such as 0.92 [number is a date]\n"
            "  Format the cell as a number and write the number again; 0.5 was probably "
            "typed.",
        ],
        id="number is a date: a small number",
    ),
    pytest.param(
        put("Packs!E3", datetime(2031, 5, 1)),
        [
            'Packs!E3 (row "butter", column "Price"): found the date 2031-05-01, where a '
            "price belongs, expected money such as 2.79 [price is a date]\n"
            "  Format the cell as a number and write the price again; 1.5 or 5.1 was "
            "probably typed.",
        ],
        id="price is a date",
    ),
    *(
        pytest.param(
            put("Packs!E3", typed),
            [
                f'Packs!E3 (row "butter", column "Price"): found the text "{typed}", expected '
                f"money such as 2.79 [price said otherwise]\n  {remedy}",
            ],
            id=f"price said otherwise: {typed}",
        )
        for typed, remedy in (
            ("99p", "Write 0.99 if that is meant."),
            ("5 cents", "Write 0.05 if that is meant."),
            (
                "2 for €3.00",
                "Write 3.00 if the row is for all 2, with the Amount of all of them; else what one "
                "of them costs.",
            ),
            (
                "3.00 for 2",
                "Write 3.00 if the row is for all 2, with the Amount of all of them; else what one "
                "of them costs.",
            ),
        )
    ),
    pytest.param(
        put("Packs!E3", 12.5, "dd/mm/yyyy"),
        [
            'Packs!E3 (row "butter", column "Price"): found the number 12.5 formatted as a '
            "date, where a price belongs, expected money such as 2.79 [price is a date]\n"
            "  Format the cell as a number and write the price again; 12.5 was probably "
            "typed.",
        ],
        id="price is a date: a small number",
    ),
    pytest.param(
        put("Packs!E3", "USD 2.79"),
        [
            'Packs!E3 (row "butter", column "Price"): found the text "USD 2.79" with the '
            "sign USD, expected money in EUR, the setting Currency [money of another "
            "currency]\n"
            "  Write the price in EUR without a sign, in a cell whose format has none, or mend the "
            "setting.",
        ],
        id="money of another currency: code",
    ),
    pytest.param(
        put("Packs!E3", "£2.79"),
        [
            'Packs!E3 (row "butter", column "Price"): found the text "£2.79" with the sign '
            "£, expected money in EUR, the setting Currency [money of another currency]\n"
            "  Write the price in EUR without a sign, in a cell whose format has none, or mend the "
            "setting.",
        ],
        id="money of another currency: sign",
    ),
    pytest.param(
        put("Packs!E3", 2.79, "[$£-809]#,##0.00"),
        [
            'Packs!E3 (row "butter", column "Price"): found 2.79 with the sign £, expected money '
            "in EUR, the setting Currency [money of another currency]\n"
            "  Write the price in EUR without a sign, in a cell whose format has none, or mend the "
            "setting.",
        ],
        id="money of another currency: number format",
    ),
    pytest.param(
        put("Settings!B3", None, also=("Packs!E3", "kr 25")),
        [
            'Packs!E3 (row "butter", column "Price"): found the text "kr 25" with the sign kr, '
            "while no currency is chosen, expected amounts without a sign, or their currency on "
            "the sheet Settings [sign without a currency]\n"
            "  Write the code into Currency, such as DKK, ISK, NOK or SEK for kr; until then "
            "amounts count as if all were of one currency.",
        ],
        id="sign without a currency: of several",
    ),
    pytest.param(
        put("Settings!B3", None, also=("Packs!E3", "£25")),
        [
            'Packs!E3 (row "butter", column "Price"): found the text "£25" with the sign £, '
            "while no currency is chosen, expected amounts without a sign, or their currency on "
            "the sheet Settings [sign without a currency]\n"
            "  Write the code into Currency, such as GBP for £; until then amounts "
            "count as if all were of one currency.",
        ],
        id="sign without a currency",
    ),
    pytest.param(
        put("Packs!E3", 2.79, "₿ #,##0.00", also=("Settings!B3", None)),
        [
            'Packs!E3 (row "butter", column "Price"): found 2.79 with the sign ₿, while no '
            "currency is chosen, expected amounts without a sign, or their currency on the sheet "
            "Settings [sign without a currency]\n"
            "  Write the code into Currency; until then amounts count as if all were of one "
            "currency.",
        ],
        id="sign without a currency: of no currency that is known",
    ),
    pytest.param(
        put("Packs!H3", 0.08),
        [
            'Packs!H3 (row "butter", column "Tax rate %"): found 0.08 percent, expected the tax in '
            "percent, such as 8 [tax rate very small]\n"
            "  Write 8 if 8 percent is meant; 0.08 percent is what counts until then.",
        ],
        id="tax rate very small",
    ),
    pytest.param(
        add("Settings", "Food tax rate %", 0.055),
        [
            'Settings!B7 (row "Food tax rate %", column "Value"): found 0.055 percent, expected '
            "the tax in percent, such as 8 [tax rate very small]\n"
            "  Write 5.5 if 5.5 percent is meant; 0.055 percent is what counts until then.",
        ],
        id="tax rate very small: of the settings",
    ),
    pytest.param(
        put("Shoot plan!D3", "re-take"),
        [
            '\'Shoot plan\'!D3 (row "S2", column "Purpose"): found the text "re-take", '
            "expected cook-through, retake, swap, hero, hero spare, close-up, reset, bite, "
            "vertical pass, test or one of 3 more [choice unknown]\n"
            '  Write "retake" if that is meant, or another of the words that are offered '
            "there.",
        ],
        id="choice unknown",
    ),
    pytest.param(
        put("Holding!C3", "taken"),
        [
            'Holding!C3 (row "milk jug", column "Event"): found the text "taken", which is said of '
            "a shot, expected out, prep, back, cut, opened, cooked, reading, room, reheated, "
            "frozen or one of 3 more [event of a shot]\n"
            "  Write out if the container was taken out. A take is a number in Taken on the Shoot "
            "plan, or a line of the day log: costing log SHOT taken. Until then the food counts "
            "as out.",
        ],
        id="event of a shot",
    ),
    pytest.param(
        put("Holding!F3", time(13, 30)),
        [
            'Holding!F3 (row "milk jug", column "Marked until"): found "milk jug" marked until '
            "2031-05-10 14:05 and 2031-05-10 13:30, expected one discard time for a container "
            "[container marked twice]\n"
            "  The earliest counts for all its rows. Give new food a container name of its own.",
        ],
        id="container marked twice",
    ),
    pytest.param(
        put("Recipes!G4", "raw weight"),
        [
            'Recipes!G4 (row "potato", column "Measured"): found the text "raw weight", '
            "expected trimmed, as bought or cooked [choice unknown]\n"
            "  Write one of the words that are offered there.",
        ],
        id="choice unknown: nothing near",
    ),
    pytest.param(
        add("Settings", "Prices include tax", 1),
        [
            'Settings!B7 (row "Prices include tax", column "Value"): found 1, expected yes '
            "or no [choice unknown]\n"
            "  Write one of the words that are offered there.",
        ],
        id="choice unknown: a number",
    ),
    pytest.param(
        put("Shoot plan!C2", None, also=("Shoot plan!C3", None)),
        [
            '\'Shoot plan\'!C2 (row "S1", column "Dish"): found a blank cell in a row that is'
            " filled in, expected the dish, such as leek tart [entry missing]\n"
            "  Fill the cell, or clear the rest of the row; until then the row cannot be "
            "used.",
        ],
        id="entry missing: dish",
    ),
    pytest.param(
        put("Recipes!D2", None),
        [
            'Recipes!D2 (row "sweat", column "Ingredient"): found a blank cell in a row '
            "that is filled in, expected the ingredient, such as leek [entry missing]\n"
            "  Fill the cell, or clear the rest of the row; until then the row cannot be "
            "used.",
        ],
        id="entry missing: ingredient",
    ),
    pytest.param(
        put("Packs!C2", None),
        [
            'Packs!C2 (row "leek", column "Amount"): found a blank cell in a row that is '
            "filled in, expected what is in one pack, such as 250 [entry missing]\n"
            "  Fill the cell, or clear the rest of the row; until then the row cannot be "
            "used.",
        ],
        id="entry missing: pack",
    ),
    pytest.param(
        put("Holding!C3", None),
        [
            'Holding!C3 (row "milk jug", column "Event"): found a blank cell in a row that '
            "is filled in, expected an entry such as out [entry missing]\n"
            "  Fill the cell, or clear the rest of the row; until then the row cannot be "
            "used.",
        ],
        id="entry missing: event",
    ),
    pytest.param(
        put("Packs!E3", "=1+1"),
        [
            'Packs!E3 (row "butter", column "Price"): found a formula that was never '
            "calculated, expected money such as 2.79 [formula never calculated]\n"
            "  Open the workbook in your spreadsheet program and save it there; then its "
            "results are in the file.",
        ],
        id="formula never calculated",
    ),
    pytest.param(
        put("Packs!E3", "#DIV/0!"),
        [
            'Packs!E3 (row "butter", column "Price"): found the error #DIV/0!, expected '
            "money such as 2.79 [error cell]\n"
            "  Mend the formula or the entry so that the cell shows a value, or clear the "
            "cell.",
        ],
        id="error cell",
    ),
    pytest.param(
        put("Episodes!B2", 20310510, "yyyy-mm-dd"),
        [
            'Episodes!B2 (row "Soup", column "Shoot date"): found crosses: a number that no'
            " date has, formatted as a date, expected a date such as 2031-05-10 [error "
            "cell]\n"
            "  Mend the formula or the entry so that the cell shows a value, or clear the "
            "cell. Until then what is on hand with a last day does not count.",
        ],
        id="error cell: crosses instead of a date",
    ),
]


@pytest.mark.parametrize(("change", "said"), CASES)
def test_said(change: Change, said: list[str], tmp_path: Path) -> None:
    assert found_after(change, tmp_path) == said


@pytest.mark.trade
@pytest.mark.parametrize(
    ("currency", "text", "price"),
    [
        ("GBP", "£3.50", "3.50"),
        ("GBP", "GBP 3.50", "3.50"),
        ("USD", "$ 3.50 USD", "3.50"),
        ("CAD", "C$3.50", "3.50"),
        ("AUD", "$3.50", "3.50"),
        ("EUR", "1.234,56", "1234.56"),
        ("EUR", "3,50 €", "3.50"),
        ("EUR", "1 234.50", "1234.50"),
        ("EUR", "25,-", "25"),
        ("CHF", "Fr. 12.\u2013", "12"),
        ("CHF", "1'234.50", "1234.50"),
        ("INR", "Rs 40", "40"),
        ("LKR", "Rs. 40", "40"),
        ("SEK", "kr 25", "25"),
        ("NOK", "25 kr", "25"),
        ("JPY", "¥1,500", "1500"),
        ("BRL", "R$ 12,50", "12.50"),
    ],
)
def test_price__is_read_with_the_sign_of_its_currency(
    currency: str, text: str, price: str, tmp_path: Path
) -> None:
    book = good_workbook()
    put("Settings!B3", currency, also=("Packs!E3", text))(book)
    shoot, found = read(book, tmp_path)
    assert found == []
    assert shoot.packs[1].price == Decimal(price)


@pytest.mark.trade
@pytest.mark.parametrize(
    ("currency", "text", "code"),
    [
        ("EUR", "£3.50", "money of another currency"),
        ("EUR", "3.50 USD", "money of another currency"),
        ("EUR", "Rs 40", "money of another currency"),
        ("EUR", "kr 25", "money of another currency"),
        ("EUR", "$3.50", "money of another currency"),
        ("USD", "C$3.50", "money of another currency"),
        ("EUR", "1,234", "ambiguous number"),
        ("GBP", "99p", "price said otherwise"),
        ("EUR", "€3 USD", "text not a number"),
        ("EUR", "3,50 EUR/kg", "text not a number"),
    ],
)
def test_price__is_never_read_wrong_in_silence(
    currency: str, text: str, code: str, tmp_path: Path
) -> None:
    book = good_workbook()
    put("Settings!B3", currency, also=("Packs!E3", text))(book)
    shoot, found = read(book, tmp_path)
    assert [finding.code for finding in found] == [code]
    assert shoot.packs[1].price is None


@pytest.mark.parametrize("change", [put("Packs!H3", 0.08, "0%"), put("Packs!H3", "0.5%")])
def test_tax_rate__with_a_percent_sign_is_what_it_says(change: Change, tmp_path: Path) -> None:
    assert found_after(change, tmp_path) == []


@pytest.mark.parametrize("currency", ["EUR", None])
@pytest.mark.parametrize("code", ["[$¤-409]#,##0.00", "¤ #,##0.00"])
def test_price__in_a_format_for_money_of_any_currency(
    code: str, currency: str | None, tmp_path: Path
) -> None:
    book = good_workbook()
    put("Packs!E3", 2.79, code, also=("Settings!B3", currency))(book)
    assert findings(book, tmp_path) == []
    shoot, _ = read(book, tmp_path)
    assert shoot.packs[1].price == Decimal("2.79")
