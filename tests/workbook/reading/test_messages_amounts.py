"""What is said of amounts, units, steps and times: one change each, the whole text compared."""

from __future__ import annotations

from datetime import datetime, time
from pathlib import Path

import pytest
from good_workbook import Change, findings, found_after, good_workbook, put, read

BACK = (("B2", 3), ("B5", 1))
"""A step that goes back twice, which is told once."""

MOVED = (("B3", 2), ("C3", "sweat"), ("C5", "simmer"))

CASES = [
    pytest.param(
        put("Recipes!E2", None),
        [
            'Recipes!E2 (row "leek", column "Amount"): found a blank cell, expected a '
            "number, a fraction such as 1 1/2, a range such as 2-3, or to taste [amount "
            "missing]\n"
            "  Fill the cell; until then the need for leek is unknown and left out.",
        ],
        id="amount missing",
    ),
    pytest.param(
        put("Recipes!E2", "To taste"),
        [
            'Recipes!E2 (row "leek", column "Amount"): found "to taste", expected an '
            "amount, if it is to be bought [amount to taste]\n"
            "  Nothing is computed for leek here; see that there is some.",
        ],
        id="amount to taste",
    ),
    pytest.param(
        put("Recipes!E2", datetime(2031, 2, 1)),
        [
            'Recipes!E2 (row "leek", column "Amount"): found the date 2031-02-01, where an '
            "amount belongs, expected a number, a fraction such as 1 1/2, or a range such "
            "as 2-3 [amount is a date]\n"
            "  Format the cell as text and write the amount again; 1/2 or 1-2 was probably "
            "typed.",
        ],
        id="amount is a date",
    ),
    pytest.param(
        put("Recipes!E2", 12.5, "dd/mm/yyyy"),
        [
            'Recipes!E2 (row "leek", column "Amount"): found the number 12.5 formatted as a'
            " date, where an amount belongs, expected a number, a fraction such as 1 1/2, "
            "or a range such as 2-3 [amount is a date]\n"
            "  Format the cell as text and write the amount again.",
        ],
        id="amount is a date: a small number",
    ),
    pytest.param(
        put("Recipes!E2", time(12)),
        [
            'Recipes!E2 (row "leek", column "Amount"): found the time 12:00, where an '
            "amount belongs, expected a number, a fraction such as 1 1/2, or a range such "
            "as 2-3 [amount is a date]\n"
            "  Format the cell as text and write the amount again.",
        ],
        id="amount is a date: a clock time",
    ),
    pytest.param(
        put("Recipes!E2", "a handful"),
        [
            'Recipes!E2 (row "leek", column "Amount"): found the text "a handful", expected'
            " an amount such as 1 1/2 [text not a number]\n"
            "  Write the number alone. What is wrong with it: there is no digit in it.",
        ],
        id="text not a number: amount",
    ),
    pytest.param(
        put("Recipes!E2", "400 g"),
        [
            'Recipes!E2 (row "leek", column "Amount"): found the text "400 g", expected the'
            " number alone, and the unit in the column Unit [unit inside amount]\n"
            "  Write 400 here and g into Unit.",
        ],
        id="unit inside amount",
    ),
    *(
        pytest.param(
            put("Recipes!E2", 400, number_format, also=("Recipes!F2", typed)),
            [
                'Recipes!E2 (row "leek", column "Amount"): found 400, which the format of the '
                f'cell shows as "400 {shown}", expected the same unit in the column Unit [unit in '
                "the format]\n"
                f"  Write {shown} into Unit if that is meant, or give the cell a format without "
                "it.",
            ],
            id=f"unit in the format: {shown} beside {typed}",
        )
        for number_format, typed, shown in (('0" g"', None, "g"), ("0\\ \\m\\l;-0", "g", "ml"))
    ),
    pytest.param(
        put("On hand!B2", "2-3"),
        [
            '\'On hand\'!B2 (row "butter", column "Amount"): found the range "2-3", expected '
            "one number [range of stock]\n"
            "  The lower end counts, 2, so that no shot runs short; weigh it for a better "
            "list.",
        ],
        id="range of stock",
    ),
    pytest.param(
        put("Recipes!F2", "grms"),
        [
            'Recipes!F2 (row "leek", column "Unit"): found the unit "grms", expected g, kg,'
            " ml, l, tsp, tbsp, cup, each, oz or one of 70 more [unknown unit]\n"
            "  Write g if that is meant; blank means each.",
        ],
        id="unknown unit",
    ),
    pytest.param(
        put("Recipes!F2", "blorp"),
        [
            'Recipes!F2 (row "leek", column "Unit"): found the unit "blorp", expected g, '
            "kg, ml, l, tsp, tbsp, cup, each, oz or one of 70 more [unknown unit]\n"
            "  Write one of these units, or into Weighs what 1 blorp is; blank means each.",
        ],
        id="unknown unit: nothing near",
    ),
    pytest.param(
        put("Recipes!F5", "EL"),
        [
            'Recipes!F5 (row "milk", column "Unit"): found the unit "EL", expected g, '
            "kg, ml, l, tsp, tbsp, cup, each, oz or one of 70 more [unknown unit]\n"
            "  Write metric tablespoon if that is meant; blank means each.",
        ],
        id="unknown unit: one of another language",
    ),
    pytest.param(
        put("Recipes!F2", "bunch"),
        [
            'Recipes!F2 (row "leek", column "Unit"): found "bunch" as the unit of leek, expected '
            "a weight, a volume or each; or what 1 bunch is, in Weighs [unit of pieces]\n"
            "  Write what 1 bunch is into Weighs for leek (published: 1 leek = 89 g; 1 slice "
            "= 6.0 g), or leek bunch into Ingredient and each here; until then its need is "
            "unknown.",
        ],
        id="unit of pieces",
    ),
    pytest.param(
        put("Recipes!D2", "leek bunch", also=("Recipes!F2", "bunch")),
        [
            'Recipes!F2 (row "leek bunch", column "Unit"): found "bunch" as the unit of leek '
            "bunch, expected each, since the ingredient is a bunch [unit of pieces]\n"
            "  Write each here; until then its need is unknown.",
        ],
        id="unit of pieces: the ingredient is one",
    ),
    pytest.param(
        put("Dishes!C2", "batch"),
        [
            'Dishes!C2 (row "leek soup", column "Unit"): found the unit "batch", expected '
            "portions, g, ml or each [unknown unit]\n"
            "  Write one of these units; blank means each.",
        ],
        id="unknown unit: a dish makes no batches",
    ),
    pytest.param(
        put("Dishes!B2", None),
        [
            'Dishes!C2 (row "leek soup", column "Unit"): found the unit "portions" and nothing in '
            "Makes, expected a number in Makes that is in this unit, or a blank [unit without "
            "number]\n"
            "  Write the number into Makes, or clear this cell; until then it changes nothing.",
        ],
        id="unit without number",
    ),
    pytest.param(
        put("Dishes!B1", None, also=("Dishes!B2", None)),
        [
            'Dishes!C2 (row "leek soup", column "Unit"): found the unit "portions" and nothing in '
            "Makes, expected a number in Makes that is in this unit, or a blank [unit without "
            "number]\n"
            "  Write the number into Makes, or clear this cell; until then it changes nothing.",
        ],
        id="unit without number: no column for it",
    ),
    pytest.param(
        put("Recipes!F5", "fl oz"),
        [
            'Recipes!F5 (row "milk", column "Unit"): found the unit "fl oz", which differs '
            "by country and is none of the chosen Measures, expected US fl oz or imperial "
            "fl oz [unit needs its country]\n"
            "  Write US fl oz or imperial fl oz, or choose other Measures on the sheet "
            "Settings.",
        ],
        id="unit needs its country",
    ),
    pytest.param(
        put("Packs!D2", "portions"),
        [
            'Packs!D2 (row "leek", column "Unit"): found the unit "portions", which only '
            "measures what a dish makes, expected a unit of weight, volume or pieces for "
            "leek [unit of dishes only]\n"
            "  Write such a unit; blank means each.",
        ],
        id="unit of dishes only",
    ),
    pytest.param(
        put("Shoot plan!E3", datetime(2031, 3, 1)),
        [
            '\'Shoot plan\'!E3 (row "S2", column "Steps"): found the date 2031-03-01, where '
            "steps belong, expected steps such as 2, 1-3 or 1-3, 5 [steps are a date]\n"
            "  Format the cell as text and write the steps again; 1-3 was probably typed.",
        ],
        id="steps are a date",
    ),
    pytest.param(
        put("Shoot plan!E3", "all"),
        [
            '\'Shoot plan\'!E3 (row "S2", column "Steps"): found the text "all", expected '
            "steps such as 2, 1-3 or 1-3, 5, from 1 to 999 [steps unreadable]\n"
            "  Write the numbers of the steps with commas between them; blank means all "
            "steps.",
        ],
        id="steps unreadable",
    ),
    pytest.param(
        put("Shoot plan!E3", 1.3),
        [
            '\'Shoot plan\'!E3 (row "S2", column "Steps"): found 1.3, expected steps such as '
            "2, 1-3 or 1-3, 5, from 1 to 999 [steps unreadable]\n"
            "  Write the numbers of the steps with commas between them; blank means all "
            "steps.",
        ],
        id="steps unreadable: no whole number",
    ),
    pytest.param(
        put("Shoot plan!E3", "0-2"),
        [
            '\'Shoot plan\'!E3 (row "S2", column "Steps"): found the text "0-2", expected '
            "steps such as 2, 1-3 or 1-3, 5, from 1 to 999 [steps unreadable]\n"
            "  Write the numbers of the steps with commas between them; blank means all "
            "steps.",
        ],
        id="steps unreadable: there is no step 0",
    ),
    pytest.param(
        put("Shoot plan!E3", "3-1"),
        [
            '\'Shoot plan\'!E3 (row "S2", column "Steps"): found the steps "3-1", which go '
            "down, expected steps that go up, such as 1-3 [step range upside down]\n"
            "  Write 1-3.",
        ],
        id="step range upside down",
    ),
    pytest.param(  # step 3 typed for the leek carries down to the butter, whose step is 1
        lambda book: [put(f"Recipes!{at}", value)(book) for at, value in BACK],
        [
            'Recipes!B2 (row "leek", column "Step"): found step 3 above step 2 in B4; row 3 '
            "without a number goes into step 3, expected steps in cooking order [step goes back]\n"
            "  Mend the number that is wrong; leave both if the lines are meant so. A blank Step "
            "means the step of the row above.",
        ],
        id="step goes back",
    ),
    pytest.param(
        put("Recipes!C3", "fry"),
        [
            'Recipes!C3 (row "butter", column "Step name"): found "fry" as the name of step'
            ' 1, which was called "sweat" above, expected one name for each step, and a '
            "number for each new step [step named twice]\n"
            "  If a new step begins here, write its number into Step; a blank Step means "
            "the step of the row above.",
        ],
        id="step named twice",
    ),
    pytest.param(  # butter went from step 1 to 2 and kept the name of step 1
        lambda book: [put(f"Recipes!{at}", value)(book) for at, value in MOVED],
        [
            'Recipes!C3 (row "butter", column "Step name"): found "sweat" as the name of step 2, '
            'which is called "simmer" below, expected one name for each step [step name left '
            "behind]\n"
            '  Write simmer here, or leave it blank; "sweat" is the name of step 1. If the row '
            "belongs there, write 1 into Step.",
        ],
        id="step name left behind",
    ),
    pytest.param(
        put("Shoot plan!G3", -1),
        [
            '\'Shoot plan\'!G3 (row "S2", column "Times"): found -1, expected 0 times or more'
            " [times negative]\n"
            "  Write how many times, or leave the cell blank.",
        ],
        id="times negative",
    ),
    pytest.param(
        put("Shoot plan!H3", 3),
        [
            '\'Shoot plan\'!G3 (row "S2", column "Times"): found Fewest 3, Times 2 and Most '
            "4, expected numbers that rise from Fewest over Times to Most [times out of "
            "order]\n"
            "  Mend one of them; a blank Times counts as 1, a blank Fewest or Most as "
            "Times. Until then the shot is left out.",
        ],
        id="times out of order",
    ),
    pytest.param(
        put("Shoot plan!G3", None, also=("Shoot plan!H3", 2)),
        [
            '\'Shoot plan\'!G3 (row "S2", column "Times"): found Fewest 2, Times blank and '
            "Most 4, expected numbers that rise from Fewest over Times to Most [times out "
            "of order]\n"
            "  Mend one of them; a blank Times counts as 1, a blank Fewest or Most as "
            "Times. Until then the shot is left out.",
        ],
        id="times out of order: blank times",
    ),
]


@pytest.mark.parametrize(("change", "said"), CASES)
def test_said(change: Change, said: list[str], tmp_path: Path) -> None:
    assert found_after(change, tmp_path) == said


@pytest.mark.parametrize(
    ("typed", "step"),
    [("50 g", "0.05 kg"), ("0,1 kg", "0.1 kg"), ("1/4 kg", "0.25 kg"), (0.2, "0.2 kg")],
)
def test_loose_step__may_have_its_own_unit(typed: object, step: str, tmp_path: Path) -> None:
    """No column has its unit: 50 g of what is sold by the kg are 0.05 kg."""
    book = good_workbook()
    put("Packs!F2", typed)(book)
    shoot, said = read(book, tmp_path)
    assert said == []
    assert str(shoot.packs[0].loose_step) == step


@pytest.mark.parametrize(
    ("number_format", "unit"),
    [('0" g"', "g"), ('[Red]#,##0.0_-"gram"', "g"), ("0", "g"), ('0" good ones"', "g")],
)
def test_amount__its_own_unit_or_another_word_in_the_format_is_no_fault(
    number_format: str, unit: str, tmp_path: Path
) -> None:
    book = good_workbook()
    put("Recipes!E2", 400, number_format, also=("Recipes!F2", unit))(book)
    shoot, said = read(book, tmp_path)
    assert (str(shoot.lines[0].amount), said) == ("400 g", [])


def test_loose_step__may_have_its_own_unit_in_the_format(tmp_path: Path) -> None:
    """50 shown as 50 g, of a pack in kg; it was 50 kg."""
    book = good_workbook()
    put("Packs!F2", 50, '0" g"')(book)
    assert str(read(book, tmp_path)[0].packs[0].loose_step) == "0.05 kg"


@pytest.mark.parametrize("typed", ["50-60 g", "0 g", "50 sprouts", "50 ml"])
def test_loose_step__of_no_one_weight_is_told(typed: str, tmp_path: Path) -> None:
    book = good_workbook()
    put("Packs!F2", typed)(book)
    assert [text.partition(" (")[0] for text in findings(book, tmp_path)] == ["Packs!F2"]


@pytest.mark.parametrize(
    "other",
    [("Dishes!C2", None), ("Recipes!D3", "leek soup")],
    ids=["no unit either", "a line asks for the number"],
)
def test_unit_without_number__is_not_told(other: tuple[str, object], tmp_path: Path) -> None:
    """Nothing is without use, or what asks for the number says so by itself."""
    assert found_after(put("Dishes!B2", None, also=other), tmp_path) == []
