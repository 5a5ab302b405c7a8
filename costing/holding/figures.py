"""The published figures a holding rule is made of: temperatures and times, each with its source."""

from __future__ import annotations

from datetime import timedelta
from enum import StrEnum
from fractions import Fraction
from functools import lru_cache
from typing import Annotated

from pydantic import BaseModel, BeforeValidator, ConfigDict, Field, model_validator

from costing.holding.models import EventKind, Temperature
from costing.holding.verified import Verified
from costing.quantities import decimal_or_fraction

MOST_DAYS = 3_650
"""No rule about food has a longer time. [days]"""

MOST_MINUTES = MOST_DAYS * 24 * 60
"""The same. [minutes]"""


ROUNDING_OF_A_PAIR = 1
"""So near are 40 °F and 4 °C of one figure, each printed in whole degrees. [°C]"""


def figure_or_text(text: str) -> Fraction | str:
    """A figure of a TOML file, exact; nan and inf, which TOML has too, stay texts and are faults.

    So is a power of ten of three digits, which it takes minutes to write out.

    Examples
    --------
    >>> figure_or_text("0.1"), figure_or_text("-inf"), figure_or_text("1e999999")
    (Fraction(1, 10), '-inf', 'inf')
    """
    power = text.casefold().partition("e")[2]
    if len(power.lstrip("+-0")) > 2:
        return "inf"
    return text if text.lstrip("+-") in ("nan", "inf") else Fraction(text)


def _number(given: object) -> object:
    """A figure as it is given; true and false, which Python takes for 1 and 0, are none."""
    if isinstance(given, bool):
        raise ValueError(f"found {str(given).lower()}, expected a number")
    return given


WholeNumber = Annotated[int, BeforeValidator(_number)]
ExactNumber = Annotated[Fraction, BeforeValidator(_number)]


class Action(StrEnum):
    """What a rule asks for when a limit is reached."""

    DO_NOT_RETURN = "do not return"
    DISCARD = "discard"


class Cited(BaseModel):
    """Something published, where it is printed and how it was seen.

    ``source_id``: a row of ``reference/sources.csv``.
    """

    model_config = ConfigDict(frozen=True, extra="forbid")

    source_id: str = Field(min_length=1)
    locator: str = Field(min_length=1)
    as_printed: str = Field(min_length=1)
    verified: Verified
    note: str = ""


class Figure(Cited):
    """A published temperature, in the units it is compared in.

    Pairs such as 70 °F and 21 °C are printed together but are not equal. A reading is compared
    with the figure in its own unit when there is one, so each figure may hold the stricter value
    for readings in the other unit; otherwise the reading is converted exactly.

    ``fahrenheit``, ``celsius``: at least one of the two. [°F, °C]

    Raises
    ------
    ValueError
        If both are missing, or are not one temperature.
    """

    fahrenheit: ExactNumber | None = None
    celsius: ExactNumber | None = None

    @model_validator(mode="after")
    def _given(self) -> Figure:
        if self.fahrenheit is None and self.celsius is None:
            raise ValueError("a temperature figure needs fahrenheit, celsius or both")
        if self.fahrenheit is not None and self.celsius is not None:
            both = Temperature(value=self.fahrenheit, unit="F").in_unit("C"), self.celsius
            if abs(both[0] - both[1]) > ROUNDING_OF_A_PAIR:
                raise ValueError(f"{self} are two temperatures, not one in two units")
        return self

    def position(self, temperature: Temperature) -> int:
        """-1, 0 or 1: the temperature is below the figure, at it, or above it."""
        own = self.fahrenheit if temperature.unit == "F" else self.celsius
        if own is not None:
            figure, value = own, temperature.value
        elif self.fahrenheit is not None:
            figure, value = self.fahrenheit, temperature.in_unit("F")
        elif self.celsius is not None:
            figure, value = self.celsius, temperature.in_unit("C")
        else:
            raise ValueError("a temperature figure needs fahrenheit, celsius or both")
        # multiplied crosswise: every reading is compared with every figure, and fractions are slow
        over = value.numerator * figure.denominator - figure.numerator * value.denominator
        return (over > 0) - (over < 0)

    @property
    def temperature(self) -> Temperature:
        """The same as a reading, in Celsius where it is printed so."""
        if self.celsius is not None:
            return Temperature(value=self.celsius, unit="C")
        return Temperature(value=self.fahrenheit or Fraction(0), unit="F")

    def __str__(self) -> str:
        return _pair_text(self.fahrenheit, self.celsius)


@lru_cache(maxsize=1024)
def _pair_text(fahrenheit: Fraction | None, celsius: Fraction | None) -> str:
    """A figure in its units, the other printed one in brackets."""
    pair = (("°F", fahrenheit), ("°C", celsius))
    shown = [f"{decimal_or_fraction(value)} {unit}" for unit, value in pair if value is not None]
    return shown[0] if len(shown) == 1 else f"{shown[0]} ({shown[1]})"


class Edge(Figure):
    """One end of the zone of temperatures in which a clock runs.

    ``inclusive``: whether the clock runs at the figure itself.
    """

    inclusive: bool


class Zone(BaseModel):
    """Temperatures at which a clock runs; what lies outside it is temperature control.

    ``lower``, ``upper``: its ends; a missing one is open. At least one of the two.

    Raises
    ------
    ValueError
        If both are missing, or the lower one is not below the upper one.
    """

    model_config = ConfigDict(frozen=True, extra="forbid")

    lower: Edge | None = None
    upper: Edge | None = None

    @model_validator(mode="after")
    def _bounded(self) -> Zone:
        if self.lower is None and self.upper is None:
            raise ValueError("a zone needs a lower or an upper edge")
        edges = [edge.temperature for edge in self.edges]
        if edges != sorted(set(edges)):
            raise ValueError("the lower edge of the zone is not below its upper one")
        return self

    def cold(self, temperature: Temperature) -> bool:
        """Whether the temperature is in control on the cold side."""
        if self.lower is None:
            return False
        at = self.lower.position(temperature)
        return at < 0 or (at == 0 and not self.lower.inclusive)

    def hot(self, temperature: Temperature) -> bool:
        """Whether the temperature is in control on the hot side."""
        if self.upper is None:
            return False
        at = self.upper.position(temperature)
        return at > 0 or (at == 0 and not self.upper.inclusive)

    @property
    def control(self) -> str:
        """The temperatures outside the zone, in words."""
        sides = []
        if self.lower is not None:
            sides.append(f"{'below' if self.lower.inclusive else 'at or below'} {self.lower}")
        if self.upper is not None:
            sides.append(f"{'above' if self.upper.inclusive else 'at or above'} {self.upper}")
        return ", or ".join(sides)

    @property
    def edges(self) -> tuple[Edge, ...]:
        """The edges there are."""
        return tuple(edge for edge in (self.lower, self.upper) if edge is not None)

    def __str__(self) -> str:
        words = []
        if self.lower is not None:
            words.append(f"{'at or above' if self.lower.inclusive else 'above'} {self.lower}")
        if self.upper is not None:
            words.append(f"{'at or below' if self.upper.inclusive else 'below'} {self.upper}")
        return " and ".join(words)


class Timed(Cited):
    """Something published with a time.

    ``minutes``: the time. [min]
    """

    minutes: WholeNumber = Field(gt=0, le=MOST_MINUTES)

    @property
    def time(self) -> timedelta:
        """The same as a length of time."""
        return timedelta(minutes=self.minutes)


class Limit(Timed):
    """A time from the start of the clock on, when something must be done; reached is past it."""

    action: Action


class Bound(StrEnum):
    """On which side of its figure a start condition is met."""

    AT_MOST = "at most"
    BELOW = "below"
    AT_LEAST = "at least"
    ABOVE = "above"


class Sided(Figure):
    """A temperature with the side of it that is asked for."""

    bound: Bound

    def holds(self, temperature: Temperature) -> bool:
        """Whether ``temperature`` is on the side asked for."""
        at = self.position(temperature)
        return {
            Bound.AT_MOST: at <= 0,
            Bound.BELOW: at < 0,
            Bound.AT_LEAST: at >= 0,
            Bound.ABOVE: at > 0,
        }[self.bound]

    @property
    def words(self) -> str:
        """The condition in words."""
        return f"{self.bound} {self}"


class Start(Sided):
    """A temperature the food must have when the clock starts.

    ``events``: the events it is asked at; empty: at any that starts the clock.
    """

    events: tuple[EventKind, ...] = ()

    def met(self, kind: EventKind, temperature: Temperature) -> bool:
        """Whether food at ``temperature`` may start this clock by ``kind``."""
        if self.events and kind not in self.events:
            return False
        return self.holds(temperature)

    @property
    def words(self) -> str:
        """The condition in words."""
        return " when ".join(part for part in (super().words, " or ".join(self.events)) if part)


class CountedFrom(StrEnum):
    """From when the time of a stage counts."""

    START = "start"
    STAGE_BEFORE = "stage before"


class PassStage(Sided, Timed):
    """A temperature that food being cooled or heated must reach in time.

    Parameters
    ----------
    counted_from : CountedFrom
        The start of the whole, or the moment the stage before was reached.
    last_instant : bool
        Whether food that reaches it at the end of the time is still in time.
    """

    counted_from: CountedFrom = CountedFrom.START
    last_instant: bool = True


class Days(Cited):
    """How many days food may be kept, the day of making or opening being the first.

    Parameters
    ----------
    count : int
        The last of them is the last day. [day]
    mark_after_minutes : int, optional
        Food kept longer than this must be marked; ``None``: no mark is asked for. [min]
    """

    count: WholeNumber = Field(gt=0, le=MOST_DAYS)
    mark_after_minutes: WholeNumber | None = Field(default=None, gt=0, le=MOST_MINUTES)


class Ceiling(Figure):
    """A temperature above which the food is lost to its rule at once.

    ``monitored``: whether the food must have been measured where the room is above it.
    """

    monitored: bool = False


class HotRoom(Figure, Timed):
    """A room temperature from which a shorter limit holds for the whole time out."""
