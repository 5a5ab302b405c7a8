"""Where the files of ``reference/`` stand, and the sources their rows name."""

from __future__ import annotations

import csv
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from types import MappingProxyType

_PACKAGE = Path(__file__).resolve().parent.parent
REFERENCE_FOLDERS = (_PACKAGE / "data" / "reference", _PACKAGE.parent / "reference")
"""Inside an installed package, and beside the package in its own tree."""


def reference_file(name: str) -> Path:
    """Path of a file of published values.

    ``name``: of the file, such as ``sources.csv``.

    Raises
    ------
    FileNotFoundError
        If there is no such file.

    Examples
    --------
    >>> reference_file("sources.csv").name
    'sources.csv'
    """
    for folder in REFERENCE_FOLDERS:
        if (folder / name).is_file():
            return folder / name
    raise FileNotFoundError(f"no file {name!r} among the published values")


def table_rows(name: str) -> list[dict[str, str]]:
    """The rows of a table of published values, as text by column.

    ``name``: of the table, such as ``trim_yields``.
    """
    with reference_file(f"{name}.csv").open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


@dataclass(frozen=True, slots=True)
class Source:
    """Where published figures come from.

    ``title``, ``issuer``, ``edition``, ``year``, ``licence``: of the publication; ``""`` where it
    has none.
    """

    source_id: str
    title: str
    issuer: str
    edition: str
    year: str
    licence: str
    where: str

    def __str__(self) -> str:
        return ", ".join(dict.fromkeys(part for part in (self.title, self.issuer) if part))


@cache
def sources() -> Mapping[str, Source]:
    """Every source by its id.

    Examples
    --------
    >>> print(sources()["usda-sr28"])
    National Nutrient Database for Standard Reference, Release 28, US Department of Agriculture
    """
    return MappingProxyType({row["source_id"]: Source(**row) for row in table_rows("sources")})
