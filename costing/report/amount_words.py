"""Amounts and packs as somebody in a shop reads them."""

from __future__ import annotations

from fractions import Fraction

from costing.report.tables import Row, Value


def quantity(value: Value, unit: str) -> str:
    """An amount as a cook reads it: at most two digits after the point, three below one.

    Examples
    --------
    >>> quantity(Fraction(20000, 9), "g"), quantity(Fraction(1, 40), "kg"), quantity(None, "g")
    ('2222.22 g', '0.025 kg', '-')
    """
    if not isinstance(value, Fraction):
        return "-"
    digits = 2 if abs(value) >= 1 else 3
    text = format(float(round(value, digits)), f".{digits}f").rstrip("0").rstrip(".")
    return f"{text} {unit}"


def packs(row: Row) -> str:
    """How many packs of what, for a row of To buy; ``?`` where no pack is known."""
    number, amount = row["packs"], row["pack_amount"]
    if number is None:
        return "?"
    if amount == 1 and row["unit"] == "each":
        return f"{number} each"
    return f"{number} x {quantity(amount, str(row['unit']))}"
