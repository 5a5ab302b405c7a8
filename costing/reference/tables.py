"""The published rows about a food, by kind, each with its source; read once, when first asked."""

from __future__ import annotations

from abc import ABC, abstractmethod
from collections.abc import Mapping
from dataclasses import dataclass, fields
from fractions import Fraction
from functools import cache
from typing import Any, ClassVar, TypeVar

from costing.names import food_key
from costing.quantities import Measures, find_unit
from costing.reference.files import sources, table_rows
from costing.reference.foods import Food, find_food, food


@dataclass(frozen=True, slots=True, kw_only=True)
class PublishedRow:
    """What every published row carries.

    ``verified``: how it was seen: source-text, secondary or memory.
    """

    table: ClassVar[str]
    row_id: str
    food_id: str
    source_id: str
    locator: str
    verified: str
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class PublishedNumber(PublishedRow, ABC):
    """A published number.

    Parameters
    ----------
    value : Fraction, optional
        ``None`` where no number is printed.
    fills : bool
        Whether it may fill a blank; other rows are only shown.
    """

    value: Fraction | None
    unit: str
    as_printed: str
    fills: bool

    @property
    @abstractmethod
    def state(self) -> str:
        """What tells this row from others of the same food."""


@dataclass(frozen=True, slots=True, kw_only=True)
class TrimYield(PublishedNumber):
    """Edible part of what is bought, with the state before and after and what is removed. [%]"""

    table = "trim_yields"
    before: str
    after: str
    removed: str
    basis: str

    @property
    def state(self) -> str:
        """As bought, as used, and what is removed in between."""
        less = f" (less {self.removed[0].lower()}{self.removed[1:]})" if self.removed else ""
        return f"{self.before} -> {self.after}{less}"


@dataclass(frozen=True, slots=True, kw_only=True)
class HouseholdMeasure(PublishedNumber):
    """Grams of one US cup, tablespoon, teaspoon or fluid ounce of a food and cut. [g/unit]"""

    table = "household_measures"
    cut: str
    sort: str

    @property
    def cuts(self) -> tuple[str, ...]:
        """The cut words it is printed for; none when it is of the food as it comes."""
        return tuple(word for word in self.cut.split("; ") if word)

    @property
    def size(self) -> Fraction:
        """The measure it was taken with. [ml]"""
        return find_unit(self.unit.removeprefix("g/"), Measures.US_CUSTOMARY).size

    @property
    def is_cup(self) -> bool:
        """Whether it was taken with a cup, which is rounded less than a spoon."""
        return self.unit == "g/US cup"

    @property
    def density(self) -> Fraction:
        """Grams per millilitre of the measure. [g/ml]"""
        return (self.value or Fraction(0)) / self.size

    @property
    def state(self) -> str:
        """The cut, with what else tells it apart."""
        return ", ".join(part for part in (self.cut.replace("; ", " or "), self.sort) if part)


@dataclass(frozen=True, slots=True, kw_only=True)
class CookedMeasure(HouseholdMeasure):
    """The same of the cooked food: what fills a cup after cooking. [g/unit]"""

    table = "cooked_measures"


@dataclass(frozen=True, slots=True, kw_only=True)
class PieceWeight(PublishedNumber):
    """Weight of one piece, trimmed or ``weighed`` as bought. [g]"""

    table = "piece_weights"
    piece: str
    size: str
    weighed: str
    recipe_only: bool

    @property
    def kinds(self) -> frozenset[str]:
        """The words that say which kind of piece it is, such as ``thin`` and ``slice``."""
        return frozenset(self.piece.replace("-", " ").split())

    @property
    def state(self) -> str:
        """The size, what the piece is, and how it is weighed where that is not trimmed."""
        return ", ".join(part for part in (self.size, self.piece, self.weighed) if part)


@dataclass(frozen=True, slots=True, kw_only=True)
class CookedWeight(PublishedNumber):
    """Cooked weight of a food as percent of its raw weight, with its kind. [%]"""

    table = "cooked_weights"
    method: str
    kind: str
    low: Fraction | None
    high: Fraction | None

    @property
    def state(self) -> str:
        """How it is cooked, and the kind of ratio."""
        return f"{self.method} ({self.kind})"


@dataclass(frozen=True, slots=True, kw_only=True)
class StorageDays(PublishedNumber):
    """How long a food keeps; the value is the low end of the range. [day]"""

    table = "storage_days"
    place: str
    counted_from: str
    low: Fraction | None
    high: Fraction | None

    @property
    def state(self) -> str:
        """Where it is kept, and from when."""
        start = "" if self.counted_from == "not stated" else f" from {self.counted_from}"
        return self.place + start


@dataclass(frozen=True, slots=True, kw_only=True)
class PublishedHolding(PublishedRow):
    """From when on a food needs time or temperature control, with the legal word for it."""

    table = "holding_classes"
    holding_class: str
    legal_word: str
    doubtful: bool
    jurisdiction: str
    edition: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PublishedAllergen(PublishedRow):
    """What a food brings that lists of allergens name; ``none`` states that it brings nothing."""

    table = "allergens"
    substance: str
    certainty: str
    why: str


@dataclass(frozen=True, slots=True)
class Published:
    """Every published row about a food, by kind; shown-only rows are among them."""

    food: Food
    trim_yields: tuple[TrimYield, ...]
    household_measures: tuple[HouseholdMeasure, ...]
    cooked_measures: tuple[CookedMeasure, ...]
    piece_weights: tuple[PieceWeight, ...]
    cooked_weights: tuple[CookedWeight, ...]
    storage_days: tuple[StorageDays, ...]
    holding: PublishedHolding | None
    allergens: tuple[PublishedAllergen, ...]


R = TypeVar("R", bound=PublishedRow)

_RENAMED = {"id": "row_id", "use": "fills"}
_NUMBERS = ("value", "low", "high")


def _read(kind: type[R], row: Mapping[str, str]) -> R:
    """A row of a table as an object; columns that its kind has no field for are left out."""
    wanted = {field.name for field in fields(kind)}
    given: dict[str, Any] = {}
    for column, text in row.items():
        name = _RENAMED.get(column, column)
        if name not in wanted:
            continue
        if name in _NUMBERS:
            given[name] = Fraction(text) if text else None
        elif name == "fills":
            # what is marked "recipe" fills a recipe's blank, and never that of what a shop sells
            # one of
            given[name] = text in ("fill", "recipe")
            if "recipe_only" in wanted:
                given["recipe_only"] = text == "recipe"
        elif name == "doubtful":
            given[name] = text == "yes"
        else:
            given[name] = text
    return kind(**given)


@cache
def _rows_by_food(table: str) -> Mapping[str, list[dict[str, str]]]:
    by_food: dict[str, list[dict[str, str]]] = {}
    for row in table_rows(table):
        by_food.setdefault(row["food_id"], []).append(row)
    return by_food


def _of(kind: type[R], food_id: str) -> tuple[R, ...]:
    return tuple(_read(kind, row) for row in _rows_by_food(kind.table).get(food_id, ()))


@cache
def published(food_id: str) -> Published:
    """Everything the tables hold about a food.

    Raises
    ------
    KeyError
        If no food has that id.

    Examples
    --------
    >>> [(row.after, int(row.value)) for row in published("apple").trim_yields if row.fills]
    [('cored', 90), ('cored and peeled', 77)]
    """
    return Published(
        food(food_id),
        _of(TrimYield, food_id),
        _of(HouseholdMeasure, food_id),
        _of(CookedMeasure, food_id),
        _of(PieceWeight, food_id),
        _of(CookedWeight, food_id),
        _of(StorageDays, food_id),
        next(iter(_of(PublishedHolding, food_id)), None),
        _of(PublishedAllergen, food_id),
    )


READY_WORDS = frozenset(
    ("canned", "dried", "dry", "ground", "jarred", "powder", "powdered", "tinned")
)
"""Words of a name that say the trimming was done before it was sold."""


@cache
def _untrimmed_groups() -> frozenset[str]:
    """Groups of foods of which every published trim yield is 100: dairy, oils, grains ..."""
    rows = [(food(row["food_id"]).group, row["value"]) for row in table_rows("trim_yields")]
    trimmed = {group for group, value in rows if Fraction(value) < 100}
    return frozenset(group for group, _ in rows if group not in trimmed)


def comes_trimmed(name: str) -> bool:
    """Whether nobody trims a food of this name, by its published group or by its own words.

    Examples
    --------
    Coriander may be the herb, which is trimmed, or the spice, which is not.

    >>> comes_trimmed("goat cheese"), comes_trimmed("canned white beans"), comes_trimmed("leek")
    (True, True, False)
    >>> comes_trimmed("coriander")
    False
    """
    match = find_food(name)
    meant = [match.food] if match.food else [one.food for one in match.meant]
    if meant and all(one.group in _untrimmed_groups() for one in meant):
        return True
    return not READY_WORDS.isdisjoint(food_key(name).split())


@dataclass(frozen=True, slots=True)
class PublishedPart:
    """What one article gives of one of its parts, as a row prints it: an egg its yolk.

    Parameters
    ----------
    articles, names : tuple of str
        What the article and the part are called, the usual word first.
    amount, value : Fraction
        So much of the article gives so much of the part.
    amount_unit, unit : str
        Their units: ``each``, ``g`` or ``ml``.
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
