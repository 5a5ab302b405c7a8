"""A published value that fits a blank, or the values among which the tables cannot decide."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from costing.reference.files import sources
from costing.reference.tables import Published, PublishedNumber


@dataclass(frozen=True, slots=True, kw_only=True)
class Filled:
    """A published value that fits a blank.

    Parameters
    ----------
    value : Fraction, str or tuple of str
        As the column is written: percent for yields and cooked weights, a class word, or the
        words of an allergen list (an empty tuple: none of them).
    unit : str
        Of a number: ``%``, ``g/ml``, ``g`` or ``day``; otherwise ``""``.
    low, high : Fraction, optional
        The range printed, or the stated spread.
    state : str
        What the value is of: the state before and after, the cut, the size, the place.
    source_id, locator, verified, as_printed : str
        Where it is printed, what is printed there, and how that was seen.
    note : str
        What must be known of it, other published values included.
    borrowed : str
        For which cut it is printed where it is taken for another, in words; else ``""``.
    """

    column: str
    food_id: str
    value: Fraction | str | tuple[str, ...]
    unit: str = ""
    low: Fraction | None = None
    high: Fraction | None = None
    state: str = ""
    source_id: str = ""
    locator: str = ""
    verified: str = ""
    as_printed: str = ""
    note: str = ""
    borrowed: str = ""

    @property
    def number(self) -> Fraction:
        """The value of a column of numbers."""
        if not isinstance(self.value, Fraction):
            raise TypeError(f"{self.column} is a column of words")
        return self.value

    @property
    def text(self) -> str:
        """The value as it may be typed into the cell."""
        if isinstance(self.value, tuple):
            return ", ".join(self.value) or "none"
        if isinstance(self.value, str):
            return self.value
        return shown_number(self.value)

    @property
    def source(self) -> str:
        """Where it is printed, in words."""
        where = f"{sources()[self.source_id]}; {self.locator}"
        return where if self.verified == "source-text" else f"{where} ({self.verified})"


@dataclass(frozen=True, slots=True, kw_only=True)
class Choices:
    """Published values among which the tables cannot decide.

    Parameters
    ----------
    food_id : str
        The food they are of; ``""`` where the name is used for several.
    candidates : tuple of Filled
        The values, in the order of the tables.
    of_the_food : bool
        Whether they are of the food as it is used; otherwise they are of something else, such as
        a leaf where a bunch is sold, and are only shown.
    """

    column: str
    food_id: str
    candidates: tuple[Filled, ...]
    why: str
    of_the_food: bool = True

    @property
    def of_several_foods(self) -> bool:
        """Whether the name is used for several foods, each with values of its own."""
        return not self.food_id


def shown_number(value: Fraction) -> str:
    """A number as a person types it, to at most four significant digits after the point.

    Examples
    --------
    >>> shown_number(Fraction(90)), shown_number(Fraction(160) / Fraction("236.5882365"))
    ('90', '0.6763')
    """
    if value.denominator == 1:
        return str(value.numerator)
    # four digits are more than any of the tables prints, and none of them has a power of ten
    return f"{float(value):.4g}"


def from_row(column: str, row: PublishedNumber, value: Fraction, unit: str = "") -> Filled:
    """A row of a table as a value for ``column``."""
    return Filled(
        column=column,
        food_id=row.food_id,
        value=value,
        unit=unit or row.unit,
        low=getattr(row, "low", None),
        high=getattr(row, "high", None),
        state=row.state,
        source_id=row.source_id,
        locator=row.locator,
        verified=row.verified,
        as_printed=row.as_printed,
        note=row.note,
    )


def from_rows(column: str, rows: Iterable[PublishedNumber]) -> list[Filled]:
    """Rows with a number, as values for ``column``."""
    return [from_row(column, row, row.value) for row in rows if row.value is not None]


def with_note(chosen: Filled, *notes: str) -> Filled:
    """The value with more said in its note."""
    return replace(chosen, note="; ".join(part for part in (chosen.note, *notes) if part))


def others_published(others: Iterable[Filled]) -> str:
    """Name the other published values, for a note."""
    named = [f"{o.text} ({o.state})" if o.state else o.text for o in others]
    return "also published: " + ", ".join(dict.fromkeys(named)) if named else ""


def _agree(values: Sequence[Filled], within: Fraction) -> bool:
    numbers = [value.number for value in values]
    return max(numbers) <= min(numbers) * (1 + within)


def decided(
    column: str,
    about: Published,
    fitting: list[Filled],
    shown: list[Filled],
    *,
    within: Fraction = Fraction(0),
    why: str,
) -> Filled | Choices | None:
    """The one fitting value, or all of them; values that agree count as one."""
    if not fitting and not shown:
        return None
    if fitting and _agree(fitting, within):
        apart = [f for f in fitting[1:] if f.value != fitting[0].value]
        return with_note(fitting[0], others_published([*apart, *shown]))
    if not fitting:
        why = "what is published is not of the food as it is used: " + "; ".join(
            dict.fromkeys(value.note or value.state for value in shown)
        )
    return undecided(column, about, fitting or shown, why, of_the_food=bool(fitting))


def undecided(
    column: str,
    about: Published,
    candidates: Sequence[Filled],
    why: str,
    *,
    of_the_food: bool = True,
) -> Choices | None:
    """The candidates with the reason why none is taken; ``None`` when there are none."""
    if not candidates:
        return None
    return Choices(
        column=column,
        food_id=about.food.food_id,
        candidates=tuple(candidates),
        why=why,
        of_the_food=of_the_food,
    )
