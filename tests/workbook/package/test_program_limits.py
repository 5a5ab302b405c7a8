"""Nothing written is more than spreadsheet programs take, whatever stands in the inputs."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Any

import pytest
from live_workbooks import run, with_formulas, workbook_of
from packages import parts_of, sheets_of, zipped
from program_limits import formula_faults, over_limits

from costing.workbook.template import template_bytes

WORDS = "of a very long name that somebody pasted "


def long_words() -> bytes:
    """Names of hundreds of characters, dishes in every episode, every ingredient in every dish."""

    def food(number: int) -> str:
        return f"food {number} {WORDS * 8}".strip()

    def dish(number: int) -> str:
        return f"dish {number} {WORDS * 8}".strip()

    def episode(number: int) -> str:
        return f"day {number} {WORDS * 8}".strip()

    foods, dishes, episodes = range(20), range(3), range(3)
    purposes = ("cook-through", "hero", "swap", "bite", "crew meal")
    sheets: dict[str, Sequence[Sequence[Any]]] = {
        "Settings": [["Setting", "Value"], ["Currency", "EUR"], ["Measures", "metric"]],
        "Recipes": [
            ["Dish", "Ingredient", "Amount", "Unit"],
            *([dish(d), food(f), 100 + f, "g"] for d in dishes for f in foods),
        ],
        "Shoot plan": [
            ["Episode", "Dish", "Purpose", "Times"],
            *([episode(e), dish(d), p, 2] for e in episodes for d in dishes for p in purposes),
        ],
        "Packs": [
            ["Ingredient", "Shop", "Amount", "Unit", "Price", "Note"],
            *([food(f), f"shop {f % 3} {WORDS * 8}", 1000, "g", 1.29 + f, WORDS] for f in foods),
        ],
        "Episodes": [["Episode", "Portions"], *([episode(e), 4] for e in episodes)],
        "Holding": [
            ["Container", "Holds", "Event", "When"],
            [f"bowl {WORDS * 8}", dish(0), "out", "10:00"],
        ],
    }
    return run(workbook_of(sheets))[0]


def test_long_words__everything_written_is_within_the_limits() -> None:
    data = long_words()
    assert {"To buy", "Summary", "Food cost", "Findings"} <= set(sheets_of(parts_of(data)))
    assert over_limits(data) == []


@pytest.mark.parametrize("name", ["demo", "brunch"])
def test_results_with_formulas__are_within_the_limits(name: str) -> None:
    data, _ = with_formulas(name)
    assert over_limits(data) == []


def test_template__is_within_the_limits() -> None:
    assert over_limits(template_bytes(all_sheets=True)) == []


BEYOND = {
    "formula of": (r"<f>", "<f>" + "1+" * 4_096),
    "in a formula": (r"<f>", f'<f>"{"a" * 256}"&amp;'),
    "brackets inside each other": (r"<f>", f"<f>{'(' * 65}1{')' * 65}+"),
    "brackets that do not close": (r"<f>", "<f>("),
    "too many arguments": (r"<f>", f"<f>SUM(1{',1' * 255})+"),
    "characters": (r"<is><t[^>]*>", f"<is><t>{'a' * 32_768}"),
    "high": (r'<row r="1"(?: ht="[^"]*")?', '<row r="1" ht="410"'),
    "prompt of": (r' prompt="', f' prompt="{"a" * 256}'),
    "promptTitle of": (r'promptTitle="', f'promptTitle="{"a" * 33}'),
    "a reference by table": (r"<formula>", "<formula>tNeeds[Unit]+"),
    "wide": (r'width="[\d.]+"', 'width="256"'),
    "link of": (r'location="', f'location="{"a" * 2_085}'),
    "oddFooter of": (r"<oddFooter>", f"<oddFooter>{'a' * 256}"),
    "outline": (r'<row r="1"', '<row r="1" outlineLevel="8"'),
}


@pytest.mark.parametrize("fault", sorted(BEYOND))
def test_over_limits__finds_what_is_too_much(fault: str) -> None:
    """Each limit passed by one in a workbook that keeps them all."""
    pattern, new = BEYOND[fault]
    parts = parts_of(with_formulas("demo")[0])
    sheets = sheets_of(parts)
    changed = {}
    for part in sheets.values():
        text = parts[part].decode()
        if re.search(pattern, text):
            changed[part] = re.sub(pattern, lambda _: new, text, count=1).encode()
            break
    assert changed
    assert any(fault in told for told in over_limits(zipped(parts | changed)))


@pytest.mark.parametrize("name", ["A1", "xfd12", "R1C1", "a b", "1st", "t" * 256])
def test_over_limits__finds_a_table_name_that_no_program_takes(name: str) -> None:
    parts = parts_of(with_formulas("demo")[0])
    part = next(one for one in parts if one.startswith("xl/tables/"))
    text = re.sub(rb'displayName="[^"]*"', b'displayName="%s"' % name.encode(), parts[part])
    assert any("table name" in told for told in over_limits(zipped(parts | {part: text})))


def test_over_limits__finds_a_table_column_named_otherwise_than_its_cell() -> None:
    parts = parts_of(with_formulas("demo")[0])
    for part in (one for one in parts if one.startswith("xl/tables/")):
        text = re.sub(rb'(<tableColumn id="1" name=")', rb"\1The ", parts[part])
        (told,) = over_limits(zipped(parts | {part: text}))
        assert "heading 'The " in told


def test_formula_faults__a_formula_at_its_limits_has_none() -> None:
    assert list(formula_faults("1" * 8_192, "A1")) == []
    assert list(formula_faults(f'"{"a" * 254}"""', "A1")) == []
    assert list(formula_faults(f"{'(' * 64}1{')' * 64}", "A1")) == []
    assert list(formula_faults(f"SUM(1{',1' * 254})", "A1")) == []
