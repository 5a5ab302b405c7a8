"""Fields of models and the row each was read from: exact numbers and text, never a float.

A field keeps one type and takes several when it is built: ``price="1.80"`` is kept as a Decimal.
A type checker learns both from :class:`Given`; when the program runs, each name below is the type
that is kept, with the reader in front of it. A default is written ``default(...)``, because the
checker would compare it with neither.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from datetime import date, datetime, time
from decimal import Decimal
from enum import StrEnum
from fractions import Fraction
from typing import TYPE_CHECKING, Annotated, Any, ClassVar, Generic, TypeAlias, TypeVar

from pydantic import AfterValidator, BaseModel, BeforeValidator, ConfigDict, Field
from pydantic_core import PydanticKnownError

from costing.findings import NO_ROW, Place, Row
from costing.quantities.amounts import Amount, typed_amount
from costing.quantities.numbers import UnreadableNumber, exact, read_number, terminating

Kept = TypeVar("Kept", covariant=True)
Taken = TypeVar("Taken", contravariant=True)
T = TypeVar("T")
E = TypeVar("E", bound=StrEnum)

LONGEST_LIFE = 99_999
"""What keeps for ever keeps so long; the day it ends is still one of the calendar. [day]"""

MOST_DAYS_BEFORE = 9_999
"""So long before a shoot a workbook still has days, which begin in 1900 or 1904. [day]"""

NumberLike: TypeAlias = "int | Decimal | Fraction | str"


def default(value: Any) -> Any:
    """The value of a field that is not given."""
    return value


class FrozenModel(BaseModel):
    """A frozen model that shows what it was given, and not where that is."""

    model_config = ConfigDict(frozen=True)

    def __repr_args__(self) -> Iterator[tuple[str, Any]]:
        """The fields that are not as when nothing is given."""
        for name, field in type(self).model_fields.items():
            value = getattr(self, name)
            of_places = name == "places" or isinstance(value, Place | Row)
            if not of_places and (field.is_required() or value != field.default):
                yield name, value


def _inexact(value: object) -> ValueError:
    """Why a float or a truth value is refused, and what to write instead."""
    if isinstance(value, float) and value - value == 0:
        meant = exact(value)
        return ValueError(
            f"found the float {value!r}, expected an exact number: write {str(value)!r}, "
            f"Decimal({str(value)!r}) or Fraction({meant.numerator}, {meant.denominator})"
        )
    return ValueError(
        f"found {value!r}, expected an exact number such as '1 1/2' or Fraction(3, 2)"
    )


def exact_number(value: object) -> Fraction:
    """The exact number that a field is given, as a number or as people write it.

    Raises
    ------
    ValueError
        If it is a float, a range, or no number.

    Examples
    --------
    >>> exact_number("1 1/2"), exact_number(3)
    (Fraction(3, 2), Fraction(3, 1))
    """
    if isinstance(value, Fraction):
        return value  # one that remembers how it was made stays so
    if isinstance(value, str):
        found = read_number(value)
        if found.is_range:
            raise UnreadableNumber(value, "a range where one number is expected")
        return found.low
    if isinstance(value, (int, Decimal)) and not isinstance(value, bool):
        return exact(value)
    raise _inexact(value)


def part_of_one(value: object) -> Fraction:
    """A part of one, as a number from 0 to 1 or as a percent with its sign.

    A number without the sign is never taken for a percent: ``"0.8"`` and ``"80 %"`` are the same,
    and ``"80"`` is eighty times the whole.

    Examples
    --------
    >>> part_of_one("80 %"), part_of_one("0.8")
    (Fraction(4, 5), Fraction(4, 5))
    """
    if isinstance(value, str) and value.rstrip().endswith("%"):
        return exact_number(value.rstrip()[:-1]) / 100
    return exact_number(value)


def sum_of_money(value: object) -> Decimal:
    """Money as a Decimal; the currency is the shoot's and is never written beside the number.

    Examples
    --------
    >>> sum_of_money("1.80"), sum_of_money(3), sum_of_money(Decimal("2.50"))
    (Decimal('1.8'), Decimal('3'), Decimal('2.50'))
    """
    if isinstance(value, Decimal):
        return value
    found = terminating(exact_number(value))
    if found is None:
        raise ValueError(f"found {value!r}, expected money with an end, such as '1.80'")
    return found


def whole_number(value: object) -> int:
    """A whole number; a float is refused even where it has no part behind the point."""
    if value.__class__ is int:
        return value
    found = exact_number(value)
    if found.denominator != 1:
        raise ValueError(f"found {value!r}, expected a whole number")
    return found.numerator


def amount_given(value: object) -> Amount:
    """An amount, or its text with the unit.

    The spoons, cups and pints of a text are those of the shoot's setting Measures.

    Examples
    --------
    >>> amount_given("250 g"), amount_given(amount_given("2 each"))
    (amount('250 g'), amount('2 each'))
    """
    if isinstance(value, Amount):
        return value
    if isinstance(value, str):
        return typed_amount(value)
    raise ValueError(f"found {value!r}, expected an amount with its unit, such as '250 g'")


def _not_below_0(value: Amount) -> Amount:
    """Refuse what nothing can be, as a number below 0 is refused."""
    if value.magnitude < 0:
        raise PydanticKnownError("greater_than_equal", {"ge": 0})
    return value


def _above_0(value: Amount) -> Amount:
    """Refuse nothing, as 0 is refused where a number must be above it."""
    if value.magnitude <= 0:
        raise PydanticKnownError("greater_than", {"gt": 0})
    return value


def _read(kind: type[T], read: Callable[[str], T], example: str) -> Callable[[object], object]:
    """A reader of dates or times: a number is never taken for seconds since some day."""

    def reader(value: object) -> object:
        if isinstance(value, str):
            try:
                return read(value.strip())
            except ValueError:
                pass
        elif isinstance(value, kind):
            return value
        raise ValueError(f"found {value!r}, expected a {kind.__name__} such as {example!r}")

    return reader


def _clock(text: str) -> time:
    return time.fromisoformat(f"0{text}" if text[1:2] == ":" else text)


if TYPE_CHECKING:

    class Given(Generic[Kept, Taken]):
        """A field that keeps one type and takes others when it is built."""

        def __get__(self, instance: object, owner: object = None) -> Kept: ...
        def __set__(self, instance: object, value: Taken) -> None: ...

    Number: TypeAlias = Given[Fraction, NumberLike]
    NumberOrNone: TypeAlias = Given[Fraction | None, NumberLike | None]
    AtLeast0: TypeAlias = Number
    AtLeast0OrNone: TypeAlias = NumberOrNone
    LifeOrNone: TypeAlias = NumberOrNone
    AtLeast1: TypeAlias = Number
    PositiveOrNone: TypeAlias = NumberOrNone
    PartOrNone: TypeAlias = NumberOrNone
    RatioOrNone: TypeAlias = NumberOrNone
    Share: TypeAlias = Number
    ShareOrNone: TypeAlias = NumberOrNone
    ShareBelow1: TypeAlias = Number
    Positives: TypeAlias = Given[tuple[Fraction, ...], Iterable[NumberLike]]
    Money: TypeAlias = Given[Decimal, NumberLike]
    MoneyOrNone: TypeAlias = Given[Decimal | None, NumberLike | None]
    MoneyBothWays: TypeAlias = Money
    Count: TypeAlias = Given[int, NumberLike]
    CountOrNone: TypeAlias = Given[int | None, NumberLike | None]
    DaysBeforeOrNone: TypeAlias = CountOrNone
    CountFrom1: TypeAlias = Count
    AmountGiven: TypeAlias = Given[Amount, Amount | str]
    AmountOrNone: TypeAlias = Given[Amount | None, Amount | str | None]
    PositiveAmount: TypeAlias = AmountGiven
    PositiveAmountOrNone: TypeAlias = AmountOrNone
    Day: TypeAlias = Given[date, date | str]
    Days: TypeAlias = Given[tuple[date, ...], Iterable[date | str]]
    DayOrNone: TypeAlias = Given[date | None, date | str | None]
    ClockOrNone: TypeAlias = Given[time | None, time | str | None]
    Instant: TypeAlias = Given[datetime, datetime | str]
    InstantOrNone: TypeAlias = Given[datetime | None, datetime | str | None]
    Word: TypeAlias = Given[E, E | str]
    WordOrNone: TypeAlias = Given[E | None, E | str | None]
    Many: TypeAlias = Given[tuple[T, ...], Iterable[T]]
    ManyOrNone: TypeAlias = Given[tuple[T, ...] | None, Iterable[T] | None]
else:
    _EXACT, _PART = BeforeValidator(exact_number), BeforeValidator(part_of_one)
    _WHOLE, _MONEY = BeforeValidator(whole_number), BeforeValidator(sum_of_money)
    Number = Annotated[Fraction, _EXACT]
    AtLeast0 = Annotated[Fraction, _EXACT, Field(ge=0)]
    AtLeast0OrNone = AtLeast0 | None
    LifeOrNone = Annotated[Fraction, _EXACT, Field(ge=0, le=LONGEST_LIFE)] | None
    AtLeast1 = Annotated[Fraction, _EXACT, Field(ge=1)]
    Positive = Annotated[Fraction, _EXACT, Field(gt=0)]
    PositiveOrNone = Positive | None
    PartOrNone = Annotated[Fraction, _PART, Field(gt=0, le=1)] | None
    RatioOrNone = Annotated[Fraction, _PART, Field(gt=0)] | None
    Share = Annotated[Fraction, _PART, Field(ge=0, le=1)]
    ShareOrNone = Share | None
    ShareBelow1 = Annotated[Fraction, _PART, Field(ge=0, lt=1)]
    Positives = tuple[Positive, ...]
    Money = Annotated[Decimal, _MONEY, Field(ge=0)]
    MoneyOrNone = Money | None
    MoneyBothWays = Annotated[Decimal, _MONEY]
    Count = Annotated[int, _WHOLE, Field(ge=0)]
    CountOrNone = Count | None
    DaysBeforeOrNone = Annotated[int, _WHOLE, Field(ge=0, le=MOST_DAYS_BEFORE)] | None
    CountFrom1 = Annotated[int, _WHOLE, Field(ge=1)]
    AmountGiven = Annotated[Amount, BeforeValidator(amount_given), AfterValidator(_not_below_0)]
    AmountOrNone = AmountGiven | None
    PositiveAmount = Annotated[Amount, BeforeValidator(amount_given), AfterValidator(_above_0)]
    PositiveAmountOrNone = PositiveAmount | None
    Day = Annotated[date, BeforeValidator(_read(date, date.fromisoformat, "2031-05-10"))]
    Days = tuple[Day, ...]
    DayOrNone = Day | None
    ClockOrNone = Annotated[time, BeforeValidator(_read(time, _clock, "09:30"))] | None
    Instant = Annotated[
        datetime, BeforeValidator(_read(datetime, datetime.fromisoformat, "2031-05-10 09:30"))
    ]
    InstantOrNone = Instant | None
    Word = Annotated[E, Field()]
    WordOrNone = Annotated[E | None, Field()]
    Many = tuple[T, ...]
    ManyOrNone = tuple[T, ...] | None


class FromRow(FrozenModel):
    """A model that remembers the row it was read from.

    ``row``: where it is in a workbook; nowhere for what was built in code.
    """

    model_config = ConfigDict(extra="forbid", arbitrary_types_allowed=True)

    sheet: ClassVar[str] = ""
    named_by: ClassVar[str] = "name"
    row: Row = NO_ROW

    @property
    def called(self) -> str:
        """What the row is about, in the user's words."""
        return str(getattr(self, self.named_by, ""))

    def at(self, heading: str = "") -> Place:
        """Place of the cell below ``heading``; for what was built in code, where it would be."""
        if self.row.sheet:
            return self.row.at(heading)
        return Place(self.sheet, heading=heading, name=self.called)

    def where(self, heading: str = "") -> str:
        """The same in short: the cell, or else sheet and heading."""
        place = self.at(heading)
        return place.cell_reference or str(place)
