"""The calendar of limits, read back by a second library."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta

import pytest
from ical.calendar_stream import IcsCalendarStream
from ical.event import Event as Read
from small import line, shoot_of, sound

from costing.estimating import estimate
from costing.holding.models import Container, Eaten, Event, read_temperature
from costing.kitchen import HoldingClass
from costing.report.estimates import Estimate
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


def moved(*events: tuple[str, int, int]) -> Container:
    """A bowl with these events: kind, hour, minute; all at 4 °C."""
    cold = read_temperature("4 C")
    log = [Event(kind=k, at=NINE.replace(hour=h, minute=m), temperature=cold) for k, h, m in events]
    return bowl().model_copy(update={"events": tuple(log)})


def test_calendar__made_the_evening_before_has_the_planned_times() -> None:
    """Out at 09:00 and 15:00: back before 11:00 and, an hour used up, 16:00; gone 13:00, 18:00."""
    evening = datetime(2031, 5, 9, 20)
    plan = moved(("out", 9, 0), ("back", 10, 0), ("out", 15, 0))
    events = events_of(estimated(plan, at=evening))
    assert [(event.summary or "").split(":")[0] for event in events] == [
        "Return before 11",
        "Discard at 13",
        "Return before 16",
        "Discard at 18",
    ]
    assert len({event.uid for event in events}) == 4
    assert all(event.alarm for event in events)


def test_calendar__two_limits_on_one_minute_are_one_event() -> None:
    """By the two hours of the general rule it goes back or away before 11:00."""
    shoot = estimated(bowl()).shoot
    home = shoot.changed(
        settings=shoot.settings.model_copy(update={"holding_rules": ("HOME-2H-5C",)})
    )
    (one,) = events_of(estimate(home))
    assert one.summary == "Return before or discard at 11:00: bowl (HOME-2H-5C)"


def word(status: object) -> str:
    return str(status).rpartition(".")[2]


def read_file(result: Estimate, before: bytes | None = None) -> tuple[bytes, dict[str, Read]]:
    data = result.calendar(before)
    parsed = IcsCalendarStream.calendar_from_ics(data.decode("utf-8"))
    return data, {str(event.uid): event for event in parsed.events}


def test_calendar__event_that_no_longer_holds_is_cancelled_by_the_next_file() -> None:
    """RFC 5545: STATUS CANCELLED and a higher SEQUENCE, under the UID of the first file."""
    out, back = moved(("out", 9, 0)), moved(("out", 9, 0), ("back", 10, 0))
    first, events = read_file(estimated(out))
    assert {event.sequence for event in events.values()} == {0}
    second, later = read_file(estimated(back), first)
    assert later.keys() == events.keys()
    assert {(word(event.status), event.sequence) for event in later.values()} == {("CANCELLED", 1)}
    assert all(not event.alarm for event in later.values())
    third, still = read_file(estimated(back), second)
    assert {event.sequence for event in still.values()} == {1}
    _, again = read_file(estimated(out), third)
    assert {(word(event.status), event.sequence) for event in again.values()} == {("CONFIRMED", 2)}


def test_calendar__event_that_moves_has_a_higher_sequence_and_one_that_stays_has_not() -> None:
    first, _ = read_file(estimated(bowl()))
    _, same = read_file(estimated(bowl()), first)
    assert {event.sequence for event in same.values()} == {0}
    _, later = read_file(estimated(moved(("out", 9, 30))), first)
    assert {event.sequence for event in later.values()} == {1}
    assert min(event.start_datetime for event in later.values()) == datetime(
        2031, 5, 10, 10, 30, tzinfo=UTC
    )


def test_calendar__file_of_another_program_is_refused() -> None:
    with pytest.raises(ValueError, match="another program's calendar"):
        estimated(bowl()).calendar(b"BEGIN:VCALENDAR\r\nPRODID:me\r\nEND:VCALENDAR\r\n")


def test_calendar__names_its_version_and_who_made_it() -> None:
    """RFC 5545, 3.6: both must be in a calendar, and once; 3.7.4: the version is 2.0."""
    text = estimated(bowl("prawns, 1")).calendar().decode("utf-8")
    heads = [text.count(f"\r\n{name}:") for name in ("VERSION", "PRODID")]
    assert heads == [1, 1]
    assert "\r\nVERSION:2.0\r\n" in text


def test_calendar__no_containers() -> None:
    assert events_of(estimated()) == []


@pytest.mark.parametrize("name", ["très long " * 30, "a\\b;c,d", "line\nbreak"])
def test_calendar__any_name_comes_back(name: str) -> None:
    container = bowl(name)
    _, gone = events_of(estimated(container))
    assert gone.summary == f"Discard at 13:00: {name} (AU-2H4H)"
    assert all(len(row) <= 75 for row in estimated(container).calendar().split(b"\r\n"))


def test_calendar__the_hour_that_clocks_show_twice_is_told_apart() -> None:
    """Lisbon, 26 October 2031: at 01:00 UTC 02:00 summer time becomes 01:00; out at 23:30.

    Two hours later it is 01:30 for the first time, four hours later 02:30, which comes once.
    """
    out = datetime(2031, 10, 25, 23, 30)
    event = Event(kind="out", at=out, temperature=read_temperature("4 C"))
    late = Event(kind="out", at=out + timedelta(hours=1), temperature=read_temperature("4 C"))
    bowls = (Container(name=n, holds=("egg",), events=(e,)) for n, e in (("a", event), ("b", late)))
    said = [event.summary for event in events_of(estimated(*bowls))]
    assert said == [
        "Return before 01:30 WEST: a (AU-2H4H)",
        "Return before 01:30 WET: b (AU-2H4H)",
        "Discard at 02:30: a (AU-2H4H)",
        "Discard at 03:30: b (AU-2H4H)",
    ]
