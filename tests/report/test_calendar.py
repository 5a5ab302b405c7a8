"""The calendar of limits, read back by a second library."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta

import pytest
from ical.calendar_stream import IcsCalendarStream
from ical.event import Event as Read
from small import line, shoot_of, sound

from costing.estimating import Estimate, estimate
from costing.holding.models import Container, Eaten, Event, read_temperature
from costing.kitchen import HoldingClass
from costing.shoot import Episode

NINE = datetime(2031, 5, 10, 9)
RULES = ("AU-2H4H",)


def bowl(name: str = "bowl", *holds: str, eaten: Eaten = Eaten.YES) -> Container:
    """Out at 09:00 at 4 °C."""
    event = Event(kind="out", at=NINE, temperature=read_temperature("4 C"))
    return Container(name=name, holds=holds, events=(event,), eaten=eaten)


def estimated(*containers: Container, at: datetime | None = None) -> Estimate:
    shoot = shoot_of(
        line("cocktail", "prawns, peeled; raw", "200 g"),
        line("cocktail", "egg", "1 each"),
        line("cocktail", "basil leaves", "1 g"),
        sound("prawns, peeled; raw", holding_class=HoldingClass.ALWAYS, allergens=("crustaceans",)),
        sound("basil leaves", holding_class=HoldingClass.ALWAYS),
        Episode(name="cocktail", shoot_date=date(2031, 5, 10)),
        *containers,
        title="Cocktail",
        time_zone="Europe/Lisbon",
        holding_rules=RULES,
    )
    return estimate(shoot, at)


def events_of(result: Estimate) -> list[Read]:
    parsed = IcsCalendarStream.calendar_from_ics(result.calendar().decode("utf-8"))
    return sorted(parsed.events, key=lambda event: event.start_datetime)


def description(event: Read) -> str:
    assert event.description is not None
    return event.description


def test_calendar__alarms_at_both_limits() -> None:
    """09:00 summer time of Lisbon is 08:00 UTC; + 2 h = 10:00 UTC, + 4 h = 12:00 UTC."""
    back, gone = events_of(estimated(bowl("prawns, 1")))
    assert back.start == datetime(2031, 5, 10, 10, tzinfo=UTC)
    assert gone.start == datetime(2031, 5, 10, 12, tzinfo=UTC)
    assert back.summary == "Return before 11:00: prawns, 1 (AU-2H4H)"
    assert gone.summary == "Discard at 13:00: prawns, 1 (AU-2H4H)"
    for event in (back, gone):
        triggers = sorted(alarm.trigger for alarm in event.alarm)
        assert triggers == [timedelta(minutes=-15), timedelta(0)]


def test_calendar__description_is_the_label_with_status_and_cautions() -> None:
    result = estimated(bowl("bowl", "prawns, peeled; raw"))
    _, gone = events_of(result)
    lines = description(gone).splitlines()
    assert lines[:6] == [
        "bowl",
        "Holds: prawns, peeled; raw",
        "Out: 2031-05-10 09:00",
        "Allergens (EU list): crustaceans",
        "Eaten: yes, or not said.",
        "Discard at: 2031-05-10 13:00 WEST",
    ]
    assert lines[7].startswith("AU-2H4H: within the limit. Within the 4 h limit of AU-2H4H")
    assert lines[7].endswith("; seen in the source text)")
    assert lines[9:] == list(result.cautions)
    assert "safe to eat" not in description(gone).casefold()


def test_calendar__allergens_from_tables_and_unknown_ones_say_so() -> None:
    """The tables know what egg brings, and nothing is known of what no sheet knows."""
    (_, gone) = events_of(estimated(bowl("bowl", "egg")))
    assert "Allergens (EU list): eggs; may be incomplete: read the pack" in description(gone)
    (_, gone) = events_of(estimated(bowl("bowl", "egg", "mystery")))
    assert (
        "Allergens (EU list): eggs; unknown: read the pack of something no sheet knows; may be "
        "incomplete: read the pack" in description(gone)
    )


def test_calendar__not_eaten_has_no_alarm_and_never_food_no_event() -> None:
    events = events_of(
        estimated(bowl("plate", eaten=Eaten.NO), bowl("glued plate", eaten=Eaten.NEVER))
    )
    assert len(events) == 2
    assert all(not event.alarm and "plate" in (event.summary or "") for event in events)
    assert all("NOT EATEN: for the camera only." in description(event) for event in events)


def test_calendar__identities_stay_when_times_move() -> None:
    """A calendar that is read again moves the event and adds none."""
    early = {event.uid for event in events_of(estimated(bowl()))}
    late = bowl().model_copy(update={"events": (Event(kind="out", at=NINE.replace(hour=10)),)})
    assert {event.uid for event in events_of(estimated(late))} == early
    assert len(early) == 2
    assert {event.uid for event in events_of(estimated(bowl("other")))}.isdisjoint(early)


def test_calendar__same_input_same_bytes() -> None:
    assert estimated(bowl()).calendar() == estimated(bowl()).calendar()


def test_calendar__no_containers() -> None:
    assert events_of(estimated()) == []


@pytest.mark.parametrize("name", ["très long " * 30, "a\\b;c,d", "line\nbreak"])
def test_calendar__any_name_comes_back(name: str) -> None:
    container = bowl(name)
    _, gone = events_of(estimated(container))
    assert gone.summary == f"Discard at 13:00: {name} (AU-2H4H)"
    assert all(len(row) <= 75 for row in estimated(container).calendar().split(b"\r\n"))
