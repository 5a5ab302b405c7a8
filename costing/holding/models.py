"""What is logged about a container: temperatures, events, who eats of it."""

from __future__ import annotations

import re
from enum import StrEnum
from fractions import Fraction
from functools import lru_cache, total_ordering
from typing import TYPE_CHECKING, Any, Literal, TypeAlias

from pydantic import BaseModel, ConfigDict, field_validator, model_validator

from costing.findings import NOWHERE, Place
from costing.holding.instants import known_zone
from costing.quantities import decimal_or_fraction
from costing.quantities.fields import (
    FrozenModel,
    Instant,
    InstantOrNone,
    Many,
    Number,
    Word,
    default,
)
from costing.quantities.numbers import HALF_WIDTH

ScaleLetter = Literal["C", "F"]

ICE_POINT = Fraction(32)
"""The melting point of ice. [°F]"""

DEGREES_F_PER_DEGREE_C = Fraction(9, 5)

HOTTEST_FOOD = Fraction(190)
"""Deep frying stays below it, by common practice; a reading above it has lost its point: 200 for
20.0 is warm food, and would be hot food in control. [°C]"""

ABSOLUTE_ZERO = Fraction("-273.15")
"""Nothing is colder. [°C]"""

# at most nine digits: a number without end in a cell would take seconds to read
_TEMPERATURE = re.compile(
    r"(?P<value>[+\-−]?[0-9]{1,9}(?:[.,][0-9]{1,9})?)\s*"
    r"(?:°|º|degrees?|deg\.?)?\s*"
    r"(?P<unit>(?:[^\W\d_]|[℃℉]).*)?",
    re.IGNORECASE,
)
_SCALES: dict[str, ScaleLetter] = {
    **dict.fromkeys(("c", "celsius", "℃"), "C"),
    **dict.fromkeys(("f", "fahrenheit", "℉"), "F"),
}


@total_ordering
class Temperature(BaseModel):
    """A temperature in the unit it was read in.

    Two temperatures are compared exactly, whatever their units.

    ``value``: the number read; a float is refused because it is not what the display showed. [°C or
    °F] As a field of something else a text such as ``"4 C"`` is taken too.

    Raises
    ------
    ValueError
        If the value is a float, or colder than absolute zero.

    Examples
    --------
    >>> Temperature(value=5, unit="C") == Temperature(value=41, unit="F")
    True
    >>> Temperature(value=57, unit="C") < Temperature(value=135, unit="F")
    True
    """

    model_config = ConfigDict(frozen=True)

    value: Number
    unit: ScaleLetter

    @model_validator(mode="before")
    @classmethod
    def _text(cls, given: Any) -> Any:
        """A text with its unit is read; a bare number says nothing."""
        if isinstance(given, dict):
            return given
        try:
            read = read_temperature(given) if isinstance(given, str) else None
        except ValueError:
            read = None
        if read is None:
            raise ValueError(
                f"found {given!r}, expected a temperature with its unit, such as '4 C'"
            )
        return {"value": read.value, "unit": read.unit}

    @model_validator(mode="after")
    def _possible(self) -> Temperature:
        if self.in_unit("C") < ABSOLUTE_ZERO:
            raise ValueError(f"{self} is colder than absolute zero")
        return self

    def in_unit(self, unit: ScaleLetter) -> Fraction:
        """The value in ``unit``, exactly [°C or °F].

        Examples
        --------
        >>> Temperature(value=57, unit="C").in_unit("F")
        Fraction(673, 5)
        """
        if unit == self.unit:
            return self.value
        if unit == "F":
            return self.value * DEGREES_F_PER_DEGREE_C + ICE_POINT
        return (self.value - ICE_POINT) / DEGREES_F_PER_DEGREE_C

    def __eq__(self, other: object) -> bool:
        if not isinstance(other, Temperature):
            return NotImplemented
        return self.in_unit("C") == other.in_unit("C")

    def __hash__(self) -> int:
        return hash(self.in_unit("C"))

    def __lt__(self, other: Temperature) -> bool:
        return self.in_unit("C") < other.in_unit("C")

    def __str__(self) -> str:
        return _temperature_text(self.value, self.unit)

    def __repr__(self) -> str:
        return f"Temperature({self})"


@lru_cache(maxsize=1024)
def _temperature_text(value: Fraction, unit: str) -> str:
    """As it is shown; many readings of a shoot are alike."""
    return f"{decimal_or_fraction(value)} °{unit}"


def read_temperature(text: str) -> Temperature:
    """Temperature written with its unit: ``4 C``, ``40F``, ``4,5 °C``, ``-18 degrees C``.

    Raises
    ------
    ValueError
        With the reason, in words for the user, when there is no number, no unit, another unit
        than Celsius and Fahrenheit, or a temperature that cannot be.

    Examples
    --------
    >>> print(read_temperature("4 °C"), read_temperature("78F"))
    4 °C 78 °F
    >>> read_temperature("4")
    Traceback (most recent call last):
        ...
    ValueError: a number without a unit
    """
    typed = _TEMPERATURE.fullmatch(text.translate(HALF_WIDTH).strip())
    if typed is None:
        raise ValueError("no temperature" if text.strip() else "a blank")
    if typed["unit"] is None:
        raise ValueError("a number without a unit")
    scale = _SCALES.get(typed["unit"].strip().casefold())
    if scale is None:
        raise ValueError(f'the unit "{typed["unit"].strip()}"')
    value = Fraction(typed["value"].replace("−", "-").replace(",", "."))
    # not validated once more: validation reads a text by this very function
    read = Temperature.model_construct(value=value, unit=scale)
    if read.in_unit("C") < ABSOLUTE_ZERO:
        raise ValueError("a temperature below absolute zero")
    if read.in_unit("C") > HOTTEST_FOOD:
        raise ValueError("a temperature above that of any food")
    return read


if TYPE_CHECKING:
    from costing.quantities.fields import Given

    TemperatureOrNone: TypeAlias = Given[Temperature | None, Temperature | str | None]
else:
    TemperatureOrNone = Temperature | None


class EventKind(StrEnum):
    """What happened to a container.

    Examples
    --------
    >>> EventKind("out")
    <EventKind.OUT: 'out'>
    """

    OUT = "out"
    PREP = "prep"
    BACK = "back"
    CUT = "cut"
    OPENED = "opened"
    COOKED = "cooked"
    READING = "reading"
    ROOM = "room"
    REHEATED = "reheated"
    FROZEN = "frozen"
    THAWED = "thawed"
    SERVED = "served"
    DISCARDED = "discarded"


class Eaten(StrEnum):
    """Whether anybody eats of a container; ``never`` is styling that is no food.

    Examples
    --------
    >>> Eaten("never")
    <Eaten.NEVER: 'never'>
    """

    YES = "yes"
    NO = "no"
    NEVER = "never"


class Event(FrozenModel):
    """One thing that happened to a container.

    Parameters
    ----------
    at : datetime
        When: a local time without a zone, as logged, or an instant with its own offset.
    temperature : Temperature, optional
        Of the food; of the room when the event is ``room``. ``None``: not read.
    known : bool
        ``False`` when its time could not be read and this is the earliest that it may have been.

    Examples
    --------
    >>> Event(kind="out", at="2031-05-10 10:05", temperature="4 C").temperature
    Temperature(4 °C)
    """

    kind: Word[EventKind]
    at: Instant
    temperature: TemperatureOrNone = default(None)
    place: Place = NOWHERE
    known: bool = True


class Container(FrozenModel):
    """A bowl, tray or plate, with its log.

    Parameters
    ----------
    holds : tuple of str
        Ingredients, dishes, ``Dish: steps 1-3``, ``Dish: only step 3`` or names of other
        containers.
    events : tuple of Event
        In the order logged.
    marked_until : datetime, optional
        The discard time written on it; local without a zone, or an instant with its own offset.
    covered : bool, optional
        ``False`` when all it holds is of a holding class that needs no temperature control;
        ``None``: not known, which counts as covered.
    starts_by : tuple of EventKind
        Events before which nothing it holds needs temperature control; empty: it always does.

    Examples
    --------
    >>> out = Event(kind="out", at="2031-05-10 10:05", temperature="4 C")
    >>> Container(name="bowl", holds=["bean puree"], events=[out]).eaten
    <Eaten.YES: 'yes'>
    """

    name: str
    holds: Many[str] = default(())
    events: Many[Event] = default(())
    marked_until: InstantOrNone = default(None)
    eaten: Word[Eaten] = default(Eaten.YES)
    episode: str = ""
    place: Place = NOWHERE
    covered: bool | None = None
    starts_by: Many[EventKind] = default(())

    @property
    def is_room(self) -> bool:
        """Whether it is a room that was read, and nothing that food is in."""
        kinds = {event.kind for event in self.events}
        return kinds == {EventKind.ROOM} and not self.holds


class HoldingSettings(BaseModel):
    """What holds for all containers of a shoot.

    Parameters
    ----------
    zone : str
        IANA name of the time zone local times are in.
    rules : tuple of str
        Ids of the rules to judge by; none: the general rule.
    general : str
        Id of the general rule, which stands in where no chosen rule judges.
    procedures : bool
        Whether written procedures for time as a control are kept.
    room : Temperature, optional
        Of the room; ``None``: not known.

    Raises
    ------
    ValueError
        If the zone is not an IANA name.
    """

    model_config = ConfigDict(frozen=True)

    zone: str
    rules: Many[str] = default(())
    general: str = "US-HOME-2H"
    procedures: bool = False
    room: TemperatureOrNone = default(None)

    @field_validator("zone")
    @classmethod
    def _known(cls, zone: str) -> str:
        return known_zone(zone)
