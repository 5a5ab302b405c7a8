"""Whole workbooks as plain sheets of rows, told in other ways that mean the same."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable, Mapping
from datetime import timedelta
from decimal import Decimal
from fractions import Fraction
from random import Random
from typing import Any

import openpyxl
from hypothesis import assume
from live_workbooks import read_bytes
from packages import bytes_of

from costing.estimating import estimate
from costing.quantities import Measures, decimal_or_mixed, find_unit
from costing.report.estimates import Estimate
from costing.shoot import Shoot
from costing.workbook.layout import INPUT_SHEETS, Sheet
from costing.workbook.template.cells import number_holds
from costing.workbook.template.filling import rows_of

Rows = dict[str, list[dict[str, Any]]]
"""Rows by input sheet, values by heading; blank cells are left out."""

LAYOUTS: Mapping[str, Sheet] = {layout.title: layout for layout in INPUT_SHEETS}


def rows_told(shoot: Shoot) -> Rows:
    """The rows of a shoot, every name that may carry down written out."""
    return {title: [dict(row) for row in rows] for title, rows in rows_of(shoot).items()}


def over_days(rows: Rows, random: Random) -> Rows:
    """The rows with days on which shops are open, and packs to order, to thaw and that keep."""
    day = next((row["Shoot date"] for row in rows["Episodes"] if row.get("Shoot date")), None)
    if day is None or random.random() < 0.4:
        return rows
    told = {title: [dict(row) for row in given] for title, given in rows.items()}
    shops = sorted({row["Shop"] for row in rows.get("Packs", ()) if row.get("Shop")})
    told["Trips"] = [
        {"Shop": shop, "Date": day + timedelta(days=at)}
        for shop in shops
        for at in sorted(random.sample(range(-6, 3), random.randint(1, 3)))
    ]
    for pack in told.get("Packs", ()):
        pack["Thaw days"] = random.choice([None, None, 0, 1, 2])
        pack["State"] = random.choice([None, None, "frozen", "fresh", "shelf"])
        pack["Order days"] = random.choice([None, None, 0, 4])
    for row in told.get("Ingredients", ()):
        row["Keeps days"] = random.choice([None, 0, 1, 9])
    return told


def cell_value(value: Any) -> Any:
    """A value as a cell of a plain workbook holds it: numbers exactly, or else as text."""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, (int, Decimal, Fraction)):
        exact = Fraction(value)
        if not number_holds(exact):
            return decimal_or_mixed(exact)
        return int(exact) if exact.denominator == 1 else float(exact)
    return value


def plain_workbook(rows: Rows, *, headings: Mapping[str, list[str]] | None = None) -> bytes:
    """A workbook of these sheets, in this order, their columns in the order given.

    Parameters
    ----------
    headings : mapping of str to list of str, optional
        Columns by sheet; otherwise as the layout has them. A heading that no row fills gives a
        blank column.
    """
    book = openpyxl.Workbook()
    book.remove(book.worksheets[0])
    for title, given in rows.items():
        columns = (headings or {}).get(title) or LAYOUTS[title].headings
        sheet = book.create_sheet(title)
        sheet.append(columns)
        for row in given:
            sheet.append([cell_value(row.get(heading.strip())) for heading in columns])
    return bytes_of(book)


def worked_out(data: bytes) -> Estimate:
    """The estimate of a workbook; an example that a search ran out of time for is none.

    What is found by then hangs on how busy the machine is.
    """
    shoot, _ = read_bytes(data)
    found = estimate(shoot)
    assume(not any(finding.code.endswith("not proven") for finding in found.findings))
    return found


ADDRESS = re.compile(
    r"(?<![\w.])\$?[A-Z]{1,3}\$?[1-9][0-9]{0,4}(?![\w.])|\b(rows?|Rows?) [0-9, and-]+"
)


def without_addresses(value: Any) -> Any:
    """JSON in which it is not said where in a workbook things stand."""
    if isinstance(value, dict):
        return {
            name: without_addresses(one)
            for name, one in value.items()
            if name not in ("cell", "column")
        }
    if isinstance(value, list):
        return [without_addresses(one) for one in value]
    return ADDRESS.sub("@", value) if isinstance(value, str) else value


def everything(found: Estimate) -> dict[str, Any]:
    """The whole result but for addresses; of the findings, how many there are of a code."""
    told: dict[str, Any] = without_addresses(found.as_json())
    return told | {"findings": Counter((f.grade, f.code) for f in found.findings)}


AMOUNTS = (
    *("as_bought_need", "spoilage_allowance", "on_hand_used", "net_need", "bought"),
    "left_over",
)
"""Columns of Needs that are amounts in the unit of their row."""


def figures(found: Estimate, *, amounts: Iterable[str] = AMOUNTS) -> dict[str, Any]:
    """What must not change: totals, what is bought, and needs, in grams, millilitres and pieces."""
    told = found.as_json()
    totals = _without_words(told["totals"])
    return {
        "totals": totals,
        "to buy": Counter(
            (
                *(row[name] for name in ("shop", "ingredient", "packs", "cost")),
                *_in_base(row, ("pack_amount", "bought") if amounts else ()),
            )
            for row in told["to_buy"]
        ),
        "needs": {
            row["ingredient"]: _in_base(row, amounts)
            + tuple(row[name] for name in ("used_value", "bought_value", "left_value"))
            for row in told["needs"]
        },
    }


def _without_words(totals: Mapping[str, Any]) -> dict[str, Any]:
    """Totals without what they leave out, which is told in the units of the workbook."""
    return {
        name: _without_words(value) if isinstance(value, dict) else value
        for name, value in totals.items()
        if name != "missing"
    }


def _in_base(row: Mapping[str, Any], names: Iterable[str]) -> tuple[Fraction | None, ...]:
    """Amounts of a row whatever unit they are shown in."""
    unit = row["unit"]
    size = Fraction(1) if unit is None else find_unit(unit, Measures.METRIC).size
    return tuple(None if row[name] is None else Fraction(row[name]) * size for name in names)


def differing(one: Any, other: Any, where: str = "") -> list[str]:
    """Where two results differ, and in what."""
    if isinstance(one, dict) and isinstance(other, dict):
        return [
            text
            for name in {**one, **other}
            for text in differing(one.get(name), other.get(name), f"{where}/{name}")
        ]
    if isinstance(one, list) and isinstance(other, list) and len(one) == len(other):
        pairs = enumerate(zip(one, other, strict=True))
        return [text for at, both in pairs for text in differing(*both, f"{where}/{at}")]
    return [] if one == other else [f"{where}: {one!r} and {other!r}"]


def in_coins(found: Estimate, digits: int) -> dict[str, Any]:
    """Totals in the smallest coins, of episodes too, and what is bought for how many."""
    told = found.as_json()

    def coins(row: Mapping[str, Any], names: Iterable[str]) -> tuple[Decimal | None, ...]:
        return tuple(
            None if row[name] is None else Decimal(row[name]).scaleb(digits) for name in names
        )

    return {
        "sums": coins(told["totals"], SUMS),
        "episodes": {
            name: coins(one, ("used", "share_of_bought"))
            for name, one in told["totals"]["episodes"].items()
        },
        "to buy": Counter(
            (row["shop"], row["ingredient"], row["packs"], *coins(row, ("cost",)))
            for row in told["to_buy"]
        ),
    }


SUMS = ("bought", "used", "left", "tax", "on_hand_used", "visits", "paid")


def with_names(results: dict[str, Any], names: Mapping[str, str]) -> dict[str, Any]:
    """Figures with other names in them."""

    def named(value: Any) -> Any:
        if isinstance(value, dict):
            kind = type(value)
            return kind({named(name): named(one) for name, one in value.items()})
        if isinstance(value, tuple):
            return tuple(map(named, value))
        return names.get(value, value) if isinstance(value, str) else value

    changed: dict[str, Any] = named(results)
    return changed


def renamed(rows: Rows, named: Mapping[str, Iterable[str]], names: Mapping[str, str]) -> Rows:
    """The rows with other names in the columns that hold names."""
    return {
        title: [
            {
                heading: names.get(value, value) if heading in named.get(title, ()) else value
                for heading, value in row.items()
            }
            for row in given
        ]
        for title, given in rows.items()
    }
