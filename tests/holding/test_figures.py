"""Published temperatures: compared in the unit of the reading, edge by edge."""

from __future__ import annotations

from datetime import timedelta
from fractions import Fraction

import pytest

from costing.holding.figures import (
    Bound,
    Edge,
    Figure,
    HotRoom,
    Start,
    Zone,
)
from costing.holding.models import EventKind, read_temperature
from costing.holding.verified import Verified


def figure(fahrenheit: str | None = None, celsius: str | None = None) -> Figure:
    return Figure(
        source_id="s",
        locator="l",
        as_printed="p",
        verified=Verified.MEMORY,
        fahrenheit=None if fahrenheit is None else Fraction(fahrenheit),
        celsius=None if celsius is None else Fraction(celsius),
    )


def edge(celsius: str, *, inclusive: bool) -> Edge:
    return Edge(**figure(celsius=celsius).model_dump() | {"inclusive": inclusive})


def start(bound: Bound, *events: EventKind) -> Start:
    return Start(**figure(celsius="5").model_dump() | {"bound": bound, "events": events})


@pytest.mark.parametrize(
    ("fahrenheit", "celsius", "read", "position"),
    [
        ("40", "4", "40 F", 0),
        ("40", "4", "4 C", 0),
        ("40", "4", "4.4 C", 1),  # 39.92 °F, but above the 4 °C printed beside 40 °F
        ("135", None, "57 C", -1),  # 134.6 °F
        ("135", None, "135 F", 0),
        (None, "63", "145.4 F", 0),
        (None, "63", "145.5 F", 1),
        (None, "63", "62.9 C", -1),
    ],
)
def test_figure__compared_in_the_unit_of_the_reading(
    fahrenheit: str | None, celsius: str | None, read: str, position: int
) -> None:
    assert figure(fahrenheit, celsius).position(read_temperature(read)) == position


@pytest.mark.parametrize(
    ("fahrenheit", "celsius", "shown"),
    [("40", "4", "40 °F (4 °C)"), ("135", None, "135 °F"), (None, "8.5", "8.5 °C")],
)
def test_figure__as_shown(fahrenheit: str | None, celsius: str | None, shown: str) -> None:
    assert str(figure(fahrenheit, celsius)) == shown


@pytest.mark.parametrize(
    ("zone", "cold", "hot", "words", "control"),
    [
        (
            Zone(lower=edge("5", inclusive=False)),
            ["4.9 C", "5 C"],
            [],
            "above 5 °C",
            "at or below 5 °C",
        ),
        (
            Zone(upper=edge("60", inclusive=False)),
            [],
            ["60 C", "60.1 C"],
            "below 60 °C",
            "at or above 60 °C",
        ),
        (
            Zone(lower=edge("5", inclusive=True), upper=edge("60", inclusive=True)),
            ["4.9 C"],
            ["60.1 C"],
            "at or above 5 °C and at or below 60 °C",
            "below 5 °C, or above 60 °C",
        ),
    ],
    ids=["no upper edge", "no lower edge", "both, with their edges"],
)
def test_zone__what_lies_outside(
    zone: Zone, cold: list[str], hot: list[str], words: str, control: str
) -> None:
    reads = ["4.9 C", "5 C", "5.1 C", "59.9 C", "60 C", "60.1 C"]
    assert [read for read in reads if zone.cold(read_temperature(read))] == cold
    assert [read for read in reads if zone.hot(read_temperature(read))] == hot
    assert (str(zone), zone.control) == (words, control)


@pytest.mark.parametrize(
    ("bound", "met"),
    [
        (Bound.AT_MOST, [True, True, False]),
        (Bound.BELOW, [True, False, False]),
        (Bound.AT_LEAST, [False, True, True]),
        (Bound.ABOVE, [False, False, True]),
    ],
)
def test_start__bounds(bound: Bound, met: list[bool]) -> None:
    condition = start(bound)
    reads = [read_temperature(text) for text in ("4.9 C", "5 C", "5.1 C")]
    assert [condition.met(EventKind.OUT, read) for read in reads] == met


def test_start__only_for_its_events() -> None:
    condition = start(Bound.AT_MOST, EventKind.CUT, EventKind.OPENED)
    cold = read_temperature("4 C")
    assert condition.met(EventKind.CUT, cold)
    assert not condition.met(EventKind.OUT, cold)
    assert condition.words == "at most 5 °C when cut or opened"


def test_hot_room__its_shorter_time() -> None:
    room = HotRoom(**figure(celsius="32").model_dump() | {"minutes": 60})
    assert room.time == timedelta(hours=1)
