"""The shipped tables and the extracts, read without the library."""

from __future__ import annotations

import csv
import importlib.util
import json
from pathlib import Path
from types import ModuleType

REFERENCE = Path(__file__).resolve().parent.parent / "reference"

MADE = (
    "cooked_measures",
    "cooked_weights",
    "household_measures",
    "parts",
    "piece_weights",
    "storage_days",
    "trim_yields",
)
"""Tables made from the extracts."""

WRITTEN = ("allergen_lists", "allergens", "foods", "holding_classes", "synonyms")
"""Tables written by hand."""

Row = dict[str, str]


def rows(name: str) -> list[Row]:
    """Rows of a shipped table, or of an extract as ``raw/name``."""
    with (REFERENCE / f"{name}.csv").open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def products() -> dict[str, Row]:
    """Storage times as extracted, by product."""
    text = (REFERENCE / "raw" / "foodkeeper.json").read_text(encoding="utf-8")
    return {row["id"]: row for row in json.loads(text)}


def maker() -> ModuleType:
    """The script that makes the tables."""
    spec = importlib.util.spec_from_file_location("make_tables", REFERENCE / "make_tables.py")
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module
