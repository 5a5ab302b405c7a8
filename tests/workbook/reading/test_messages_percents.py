"""What is said of percents: one change to the good workbook each, the whole text compared."""

from __future__ import annotations

from pathlib import Path

import pytest
from good_workbook import Change, add, found_after, put

CASES = [
    pytest.param(
        put("Ingredients!C2", 0.72),
        [
            'Ingredients!C2 (row "leek", column "Trim yield %"): found 0.72 as a plain '
            "number, expected percent above 1 and at most 100 [trim yield unclear]\n"
            "  Write 72, or format the cell as 72%. If seven tenths of a percent is meant, "
            "the number is too small for a trim yield.",
        ],
        id="trim yield unclear: a part",
    ),
    pytest.param(
        put("Ingredients!C2", 1),
        [
            'Ingredients!C2 (row "leek", column "Trim yield %"): found 1 as a plain number,'
            " expected percent above 1 and at most 100 [trim yield unclear]\n"
            "  Write 100, or format the cell as 100%. If one percent is meant, the number "
            "is too small for a trim yield.",
        ],
        id="trim yield unclear: one",
    ),
    pytest.param(
        put("Ingredients!C2", "0,05"),
        [
            'Ingredients!C2 (row "leek", column "Trim yield %"): found 0.05 as a plain '
            "number, expected percent above 1 and at most 100 [trim yield unclear]\n"
            "  Write 5, or format the cell as 5%. If less than one tenth of a percent is "
            "meant, the number is too small for a trim yield.",
        ],
        id="trim yield unclear: as text",
    ),
    pytest.param(
        put("Ingredients!C2", 120),
        [
            'Ingredients!C2 (row "leek", column "Trim yield %"): found 120 percent, '
            "expected percent above 1 and at most 100 [trim yield out of range]\n"
            "  Write what is left to use of 100 parts bought. What swells in cooking "
            "belongs into Cooked weight %.",
        ],
        id="trim yield out of range: above 100",
    ),
    pytest.param(
        put("Ingredients!C2", 0),
        [
            'Ingredients!C2 (row "leek", column "Trim yield %"): found 0 percent, expected '
            "percent above 1 and at most 100 [trim yield out of range]\n"
            "  Write what is left to use of 100 parts bought. What swells in cooking "
            "belongs into Cooked weight %.",
        ],
        id="trim yield out of range: zero is not blank",
    ),
    pytest.param(
        put("Ingredients!C2", 72, "0%"),
        [
            'Ingredients!C2 (row "leek", column "Trim yield %"): found 7200 percent, '
            "expected percent above 1 and at most 100 [trim yield out of range]\n"
            "  Write what is left to use of 100 parts bought. What swells in cooking "
            "belongs into Cooked weight %.",
        ],
        id="trim yield out of range: 72 formatted as percent",
    ),
    pytest.param(
        put("Ingredients!D2", 0.85),
        [
            'Ingredients!D2 (row "leek", column "Cooked weight %"): found 0.85 as a plain '
            "number, expected percent above 1, such as 85, or 250 for what swells [cooked "
            "weight unclear]\n"
            "  Write 85, or format the cell as 85%. If eight tenths of a percent is meant, "
            "the number is too small for a cooked weight.",
        ],
        id="cooked weight unclear",
    ),
    pytest.param(
        put("Ingredients!D2", 2.5),
        [
            'Ingredients!D2 (row "leek", column "Cooked weight %"): found 2.5 percent, '
            "expected cooked weight in percent of the trimmed weight, mostly between 20 and"
            " 400 [cooked weight very small]\n"
            "  It was taken as 2.5 percent. If it becomes 2.5 times as heavy, write 250.",
        ],
        id="cooked weight very small",
    ),
    pytest.param(
        put("Ingredients!D2", -2),
        [
            'Ingredients!D2 (row "leek", column "Cooked weight %"): found -2 percent, '
            "expected percent above 0 [percent out of range]\n"
            "  Write 6 for six percent, or format the cell as 6%.",
        ],
        id="percent out of range: cooked weight",
    ),
    pytest.param(
        put("Ingredients!F2", 100),
        [
            'Ingredients!F2 (row "leek", column "Spoilage % per day"): found 100 percent, '
            "expected percent of at least 0 and below 100 [percent out of range]\n"
            "  Write 6 for six percent, or format the cell as 6%.",
        ],
        id="percent out of range: spoilage",
    ),
    pytest.param(
        put("Packs!H3", -1),
        [
            'Packs!H3 (row "butter", column "Tax rate %"): found -1 percent, expected '
            "percent from 0 to 100 [percent out of range]\n"
            "  Write 6 for six percent, or format the cell as 6%.",
        ],
        id="percent out of range: tax",
    ),
    pytest.param(
        add("Settings", "Chance of running out accepted %", 0.05),
        [
            'Settings!B7 (row "Chance of running out accepted %", column "Value"): found 0.05 '
            "percent, expected a chance in percent, such as 5 [chance very small]\n"
            "  Write 5 if 5 percent is meant; 0.05 percent is what counts until then.",
        ],
        id="chance very small",
    ),
    pytest.param(
        add("Settings", "Chance of running out accepted %", 100),
        [
            'Settings!B7 (row "Chance of running out accepted %", column "Value"): found '
            "100 percent, expected percent of at least 0 and below 100 [percent out of "
            "range]\n"
            "  Write 6 for six percent, or format the cell as 6%.",
        ],
        id="percent out of range: chance",
    ),
]


@pytest.mark.parametrize(("change", "said"), CASES)
def test_said(change: Change, said: list[str], tmp_path: Path) -> None:
    assert found_after(change, tmp_path) == said


@pytest.mark.parametrize("typed", [0.5, "0.05 %"])
def test_chance__half_a_percent_or_a_sign_is_meant(tmp_path: Path, typed: object) -> None:
    assert found_after(add("Settings", "Chance of running out accepted %", typed), tmp_path) == []
