"""Every published number names its source, its place in it, and how it was seen."""

from __future__ import annotations

import csv
import re
import tomllib
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from tree_files import TREE, files, name

FOLDER = TREE / "reference"
TABLES = [path for path in files() if path.parent == FOLDER and path.suffix == ".csv"]
RULES = [path for path in files() if path.parent == FOLDER and path.suffix == ".toml"]
NUMBER = re.compile(r"-?\d+([.,/]\d+)?")
SEEN = {"source-text", "adopted-text", "part-text", "secondary", "memory"}


def rows(path: Path) -> list[dict[str, str]]:
    with path.open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


SOURCES = {row["source_id"] for row in rows(FOLDER / "sources.csv")}


def unsourced(row: dict[str, Any]) -> list[str]:
    """What a row lacks of source, place and verification."""
    lacks = []
    if row.get("source_id") not in SOURCES:
        lacks.append(f"source {row.get('source_id')!r}")
    if not row.get("locator"):
        lacks.append("locator")
    if row.get("verified") not in SEEN:
        lacks.append(f"verified {row.get('verified')!r}")
    return lacks


@pytest.mark.parametrize("path", TABLES, ids=name)
def test_table__every_number_has_a_source(path: Path) -> None:
    if path.name == "sources.csv":
        assert len(SOURCES) == len(rows(path))
        return
    wrong = [
        f"{row['id']}: {', '.join(lacks)}"
        for row in rows(path)
        if any(NUMBER.fullmatch(cell or "") for cell in row.values()) and (lacks := unsourced(row))
    ]
    assert not wrong, "\n".join(wrong)


@pytest.mark.parametrize("path", TABLES, ids=name)
def test_table__ids_are_stable_keys(path: Path) -> None:
    """One header, each id once, UTF-8, lines that end in LF, every row as long as the header."""
    raw = path.read_bytes()
    assert b"\r" not in raw
    assert raw.endswith(b"\n")
    table = rows(path)
    ids = [row["source_id" if path.name == "sources.csv" else "id"] for row in table]
    assert len(ids) == len(set(ids))
    assert all(ids)
    assert all(None not in row and None not in row.values() for row in table)


def numbered_tables(item: Any, where: str, given: dict[str, Any]) -> Iterator[tuple[str, Any]]:
    """Tables of a TOML file that hold a number, with what the tables around them say."""
    if isinstance(item, list):
        for number, member in enumerate(item):
            yield from numbered_tables(member, f"{where}[{number}]", given)
    elif isinstance(item, dict):
        around = given | {k: item[k] for k in ("source_id", "locator", "verified") if k in item}
        if any(isinstance(v, int | float) and not isinstance(v, bool) for v in item.values()):
            yield where, around
        for key, member in item.items():
            if isinstance(member, dict | list):
                yield from numbered_tables(member, f"{where}.{key}", around)


@pytest.mark.parametrize("path", RULES, ids=name)
def test_rules__every_number_has_a_source(path: Path) -> None:
    found = list(numbered_tables(tomllib.loads(path.read_text(encoding="utf-8")), "", {}))
    wrong = [f"{where}: {', '.join(lacks)}" for where, row in found if (lacks := unsourced(row))]
    assert not wrong, "\n".join(wrong)
    assert len(found) > 10 or path.name == "jurisdictions.toml"  # names rules and has no numbers


def test_unsourced__a_wrong_row_would_be_seen() -> None:
    """The check can fail."""
    assert unsourced({"source_id": "nobody", "verified": "surely"}) == [
        "source 'nobody'",
        "locator",
        "verified 'surely'",
    ]
