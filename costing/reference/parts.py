"""What one article gives of its parts, by the tables: an egg its yolk and its white."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from functools import cache

from costing.names import key, singular
from costing.reference.files import sources, table_rows


@dataclass(frozen=True, slots=True)
class PublishedPart:
    """One published row.

    Parameters
    ----------
    articles, names : tuple of str
        What the article and the part are called, the usual word first.
    amount, value : Fraction
        So much of the article gives so much of the part.
    amount_unit, unit : str
        Their units: ``each``, ``g`` or ``ml``.
    source : str
        Where it is printed, in words.
    as_printed : str
        What is printed there.
    from_memory : bool
        Whether it has no published source and is no plain count.
    """

    articles: tuple[str, ...]
    names: tuple[str, ...]
    amount: Fraction
    amount_unit: str
    value: Fraction
    unit: str
    source: str
    as_printed: str
    from_memory: bool


def plain(name: str) -> str:
    """A name as the table spells it: its last word in the singular.

    Examples
    --------
    >>> plain("Egg Yolks")
    'egg yolk'
    """
    words = key(name).split()
    return " ".join([*words[:-1], singular(words[-1])]) if words else ""


@cache
def published_parts() -> Mapping[str, tuple[PublishedPart, ...]]:
    """Rows by each name of a part.

    Examples
    --------
    >>> [(part.value, part.unit) for part in published_parts()["egg yolk"]]
    [(Fraction(1, 1), 'each'), (Fraction(17, 1), 'g')]
    """
    found: dict[str, list[PublishedPart]] = {}
    for row in table_rows("parts"):
        where = f"{sources()[row['source_id']]}; {row['locator']}"
        memory = row["verified"] == "memory"
        part = PublishedPart(
            tuple(name.strip() for name in row["article"].split(";")),
            tuple(name.strip() for name in row["part"].split(";")),
            Fraction(row["amount"]),
            row["amount_unit"],
            Fraction(row["value"]),
            row["unit"],
            f"{where} (memory)" if memory else where,
            row["as_printed"],
            from_memory=memory and row["unit"] != "each",
        )
        for name in part.names:
            found.setdefault(name, []).append(part)
    return {name: tuple(parts) for name, parts in found.items()}
