"""What is ordered, fetched, thawed and made on which day, worked by hand."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest
from buying.test_sharing import DUCK_EGGS
from commands import typed
from good_workbook import good_workbook
from ical.calendar_stream import IcsCalendarStream
from ical.event import Event as Read
from small import line, may, pack, shoot_of, sound

import costing
from costing.cli.printed_list import printed_list
from costing.estimating import as_of, estimate
from costing.kitchen import Dish
from costing.report.errands import Errand, ErrandKind, WhatFor
from costing.report.estimates import Estimate
from costing.report.shop_words import day_words
from costing.report.shopping_list import ListDay, ListLine, list_days
from costing.shoot import Episode, Purpose, Shot

NOW = datetime(2031, 5, 1, 12, tzinfo=UTC)


def roast(**changes: Any) -> Estimate:
    """A bird that thaws five days, sauce made ahead, fish ordered; shot on the 15th at 09:30.

    The 20 lb bird as it is bought; all is fetched on the 10th.
    """
    shop = changes.pop("shop", "Ice house")
    settings = {"title": "Roast", "currency": "EUR", "time_zone": "Europe/Lisbon"}
    return estimate(
        shoot_of(
            line("roast", "turkey", "20 lb", measured="as bought"),
            line("roast", "sauce", "500 ml"),
            line("sauce", "onion", "400 g"),
            line("sauce", "cod bones", "300 g"),
            sound("onion"),
            sound("cod bones"),
            sound("turkey", keeps_days=9),
            Dish(name="sauce", makes="1 l"),
            pack("turkey", "20 lb", "36", shop=shop, state="frozen"),
            pack("onion", "1 kg", "1.20", shop="Market"),
            pack("cod bones", "300 g", "2.50", shop="Fish van", order_days=2),
            Episode(name="Roast", shoot_date=may(15), call_time="9:30"),
            Shot(name="R1", dish="roast"),
            Shot(name="R2", dish="roast", purpose=Purpose.RETAKE, steps=(1,), times=0),
            **{"shopping_date": may(10), **settings, **changes},
        )
    )


def rows(result: Estimate) -> list[tuple[Any, ...]]:
    """The rows of Errands, cell by cell."""
    return [tuple(row.values()) for row in result.tables()["errands"].rows]


def test_errands__by_day_with_amounts_and_what_for() -> None:
    """20 lb by 24 hours for each 4 lb: 5 days before the 15th is the 10th. Half a batch of a litre
    of sauce, ready when the shoot begins; the fish is ordered two days before the 10th.
    """
    assert rows(roast()) == [
        (may(8), "order", "Fish van", "cod bones 300 g", "Roast: R1", "for Sat 10 May 2031"),
        (may(10), "fetch", "Ice house", "turkey 20 lb", "Roast: R1", "36.00 EUR"),
        (may(10), "fetch", "Market", "onion 1 kg", "Roast: R1", "1.20 EUR"),
        (may(10), "fetch", "Fish van", "cod bones 300 g", "Roast: R1", "2.50 EUR"),
        (
            *(may(10), "thaw", "", "turkey 20 lb", "Roast: R1"),
            "into the refrigerator until Thu 15 May 2031",
        ),
        (may(15), "make", "", "sauce 500 ml (0.5 batches)", "Roast: R1", "ready by 09:30"),
    ]


def test_orders__that_are_past_on_the_day_of_asking_are_told() -> None:
    """Ordered on the 8th, fetched on the 10th: told from the 9th to the 10th, and not before."""
    said = "order day past"
    found = roast()
    told = {
        day: [str(one) for one in as_of(found, may(day)).findings if one.code == said]
        for day in (8, 9, 10, 11)
    }
    assert {day: len(texts) for day, texts in told.items()} == {8: 0, 9: 1, 10: 1, 11: 0}
    assert told[9] == [
        "Packs: found cod bones 300 g, to be ordered from Fish van on Thu 8 May 2031, before "
        "today, expected an order that is placed, or an order day still to come [order day past]\n"
        "  If it is not ordered yet, ask whether it can still be there on Sat 10 May 2031; else a "
        "later row for it on the sheet Trips, or another pack, is needed."
    ]


def test_list__tells_orders_that_are_past(tmp_path: Path) -> None:
    """Shopping tomorrow, to be ordered three days before: the day of the command is known."""
    today = datetime.now(UTC).date()
    book = good_workbook()
    book["Settings"].append(["Shopping date", today + timedelta(days=1)])
    book["Episodes"]["B2"] = today + timedelta(days=2)
    book["On hand"]["D2"] = today + timedelta(days=30)
    book["Packs"]["I1"], book["Packs"]["I2"] = "Order days", 3
    book.save(tmp_path / "soup.xlsx")
    said = " ".join(typed("list", tmp_path / "soup.xlsx").output.split())
    assert f"to be ordered from Corner on {day_words(today - timedelta(days=2))}, before" in said


def test_errands__what_is_all_supplied_by_one_is_brought() -> None:
    """Of the second shop one of two is paid for."""
    found = shoot_of(
        *(line("soup", name, "1 kg") for name in ("leek", "onion", "rice")),
        *map(sound, ("leek", "onion", "rice")),
        pack("leek", "1 kg", None, shop="client", supplied=True),
        pack("onion", "1 kg", None, shop="Market", supplied=True),
        pack("rice", "1 kg", "2", shop="Market"),
        Shot(dish="soup"),
        currency="EUR",
        shopping_date=may(9),
    )
    assert [(one[2], one[5]) for one in rows(estimate(found))] == [
        ("client", "supplied, nothing to pay: agree who brings it"),
        ("Market", "2.00 EUR"),
    ]


def test_errands__what_is_fetched_on_the_day_is_the_mornings() -> None:
    """Shopping on the day of the shoot, before the call."""
    found = estimate(
        shoot_of(
            line("soup", "leek", "1 kg"),
            sound("leek"),
            pack("leek", "1 kg", None, shop="Market"),
            Episode(name="Soup", shoot_date=may(9), call_time="10:15"),
            Shot(dish="soup"),
            shopping_date=may(9),
        )
    )
    note = "on the morning of the shoot, before 10:15"
    assert rows(found) == [(may(9), "fetch", "Market", "leek 1 kg", "Soup", note)]


def test_errands__a_way_that_nobody_planned_says_so() -> None:
    """Cod that keeps a day, shopping on the 2nd, needed on the 9th: fetched on the 8th."""
    found = estimate(
        shoot_of(
            line("soup", "cod", "300 g"),
            sound("cod", keeps_days=1),
            pack("cod", "300 g", "6.40", shop="Van"),
            Episode(name="Soup", shoot_date=may(9)),
            Shot(dish="soup"),
            shopping_date=may(2),
            currency="EUR",
        )
    )
    note = "on none of the shopping dates; 6.40 EUR"
    assert rows(found) == [(may(8), "fetch", "Van", "cod 300 g", "Soup", note)]


def test_errands__a_dish_bought_ready_names_the_shots_that_take_it() -> None:
    """Broth sold ready goes into the soup, with its optional lines or without them."""
    for optional in (False, True):
        found = estimate(
            shoot_of(
                line("soup", "broth", "1 l"),
                line("soup", "leek", "100 g", optional=True),
                line("broth", "bones", "1 kg"),
                Dish(name="broth", makes="1 l"),
                sound("leek"),
                pack("broth", "1 l", "2", shop="Market"),
                pack("leek", "1 kg", "2", shop="Market"),
                Episode(name="Soup", shoot_date=may(9)),
                Shot(name="S1", dish="soup", optional_lines=optional),
                Shot(name="S2", dish="soup", times=0),
                shopping_date=may(8),
            )
        )
        ((_, errand, _, what, for_, _),) = rows(found)
        assert (errand, for_) == ("fetch", "Soup: S1")
        assert str(what).startswith("broth 1 l")


def test_errands__are_for_the_shots_that_take_of_those_very_packs() -> None:
    """A bird of 1 kg thaws two days for each of two shoots: each errand is for its own shoot.

    Eggs that keep two days: six for the yolks of the first shoot, whose whites serve M of the
    second, and two for the yolks of G.
    """
    found = estimate(
        shoot_of(
            line("roast", "bird", "1 kg", measured="as bought"),
            *DUCK_EGGS,
            sound("bird", keeps_days=90),
            pack("bird", "1 kg", "9", shop="Ice house", state="frozen", thaw_days=2),
            Episode(name="One", shoot_date=may(10)),
            Episode(name="Two", shoot_date=may(12)),
            Shot(name="R", dish="roast", episode="One"),
            Shot(name="C", dish="curd", episode="One"),
            Shot(name="M", dish="meringue", episode="Two"),
            Shot(name="G", dish="glaze", episode="Two"),
            Shot(name="S", dish="roast", episode="Two"),
            shopping_date=may(8),
            more_shopping_dates=(may(9), may(11)),
        )
    )
    assert [(day, *words[:3], what_for) for day, *words, what_for, _ in rows(found)] == [
        (may(8), "fetch", "Ice house", "bird 2 x 1 kg", "One: R; Two: S"),
        (may(8), "thaw", "", "bird 1 kg", "One: R"),
        (may(9), "fetch", "Farm", "duck egg 3 x 2", "One: C; Two: M"),
        (may(10), "thaw", "", "bird 1 kg", "Two: S"),
        (may(11), "fetch", "Farm", "duck egg 2", "Two: G"),
    ]


def test_errands__without_any_day_there_are_none() -> None:
    found = estimate(
        shoot_of(line("soup", "leek", "1 kg"), pack("leek", "1 kg", "2"), Shot(dish="soup"))
    )
    assert rows(found) == []
    assert found.errands.empty
    assert found.as_json()["errands"] == []


def test_errands__come_as_frame_and_json() -> None:
    found = roast()
    assert list(found.errands["errand"]) == ["order", "fetch", "fetch", "fetch", "thaw", "make"]
    assert found.as_json()["errands"][0] == {
        "date": "2031-05-08",
        "errand": "order",
        "shop": "Fish van",
        "what": "cod bones 300 g",
        "for": "Roast: R1",
        "note": "for Sat 10 May 2031",
    }


def test_what_for__names_shots_where_it_is_not_for_all() -> None:
    shoot = shoot_of(
        Episode(name="Tart"),
        Episode(name="Soup"),
        Shot(name="T1", episode="Tart", dish="tart"),
        *(Shot(name=f"S{n}", episode="Soup", dish="soup") for n in range(1, 10)),
    )
    said = WhatFor(shoot)
    assert said.words(shoot.shots) == "Tart; Soup"
    assert said.words(shoot.shots[:3]) == "Tart; Soup: S1 and S2"
    assert said.words(shoot.shots[1:9]) == "Soup: S1, S2, S3, S4, S5, S6 and 2 more"


def line_on(day: int | None, name: str = "leek", **more: Any) -> ListLine:
    """A line of the list that is fetched on a day."""
    return ListLine("", name, shop="Market", buy="1 kg", trip=may(day) if day else None, **more)


def errand_on(day: int, kind: str = "order") -> Errand:
    """Something to be done on a day."""
    return Errand(may(day), ErrandKind(kind), ("turkey 18 lb",), (), "the butcher", "by noon")


def test_list_days__one_day_stays_one_list() -> None:
    """What is made does not part a list; nor does what is fetched, which its lines say."""
    lines = [line_on(9), line_on(9, "salt"), line_on(None, "moss", lacking="no pack yet")]
    for errands in ([], [errand_on(10, "make")], [errand_on(9, "fetch")]):
        assert list_days(lines, errands) == [ListDay(None, lines)]
    thawing = errand_on(9, "thaw")
    assert list_days(lines, [errand_on(10, "make"), thawing]) == [ListDay(None, lines, [thawing])]


def test_list_days__days_without_shopping_stand_between_and_what_lacks_at_the_end() -> None:
    first, second = line_on(9), line_on(23)
    lacking = line_on(None, "moss", lacking="no pack yet")
    errands = [errand_on(7), errand_on(9, "fetch"), errand_on(23, "make")]
    assert list_days([first, second, lacking], errands) == [
        ListDay(may(7), [], [errands[0]]),
        ListDay(may(9), [first], []),
        ListDay(may(23), [second], [errands[2]]),
        ListDay(None, [lacking], []),
    ]


def test_printed_list__fetches_before_it_thaws() -> None:
    """On one day what is ordered stands above the shop, what thaws or is made of it below."""
    errands = [errand_on(9), errand_on(9, "thaw"), errand_on(9, "make"), errand_on(23, "make")]
    days = list_days([line_on(9, cost=None), line_on(23, cost=None)], errands)
    assert [line for line in printed_list(days, None, 50) if not line.startswith("Total")] == [
        "Fri 9 May 2031",
        "[ ] Order from the butcher: turkey 18 lb, by noon",
        "",
        "Market     Buy  Price each     Cost  Needed",
        "[ ] leek  1 kg              unknown",
        "",
        "[ ] Thaw from the butcher: turkey 18 lb, by noon",
        "[ ] Make from the butcher: turkey 18 lb, by noon",
        "",
        "Fri 23 May 2031",
        "Market     Buy  Price each     Cost  Needed",
        "[ ] leek  1 kg              unknown",
        "",
        "[ ] Make from the butcher: turkey 18 lb, by noon",
        "",
        "In all: not known yet",
    ]


def test_printed_list__says_its_days() -> None:
    days = list_days([line_on(9, cost=None), line_on(23, cost=None)], [errand_on(7)])
    assert list(printed_list(days, None, 50)) == [
        "Wed 7 May 2031",
        "[ ] Order from the butcher: turkey 18 lb, by noon",
        "",
        "Fri 9 May 2031",
        "Market     Buy  Price each     Cost  Needed",
        "[ ] leek  1 kg              unknown",
        "Total: not known yet",
        "",
        "Fri 23 May 2031",
        "Market     Buy  Price each     Cost  Needed",
        "[ ] leek  1 kg              unknown",
        "Total: not known yet",
        "",
        "In all: not known yet",
    ]


def events_of(data: bytes) -> list[Read]:
    """The events as a second library reads them, in their order."""
    return list(IcsCalendarStream.calendar_from_ics(data.decode("utf-8")).events)


def test_calendar__days_are_whole_days_and_what_is_made_has_its_time() -> None:
    """09:30 summer time of Lisbon is 08:30 UTC."""
    made = roast().errand_calendar(NOW)
    events = events_of(made.data)
    assert made.events == len(events) == 6
    assert [event.start for event in events] == [
        *(may(8), may(10), may(10), may(10), may(10)),
        datetime(2031, 5, 15, 8, 30, tzinfo=UTC),
    ]
    assert [event.summary for event in events] == [
        "Order from Fish van: cod bones 300 g",
        "Fetch from Ice house: turkey 20 lb",
        "Fetch from Market: onion 1 kg",
        "Fetch from Fish van: cod bones 300 g",
        "Thaw: turkey 20 lb",
        "Make: sauce 500 ml (0.5 batches)",
    ]
    assert events[4].description == (
        "turkey 20 lb\nFor Roast: R1.\ninto the refrigerator until Thu 15 May 2031"
    )
    assert {event.transparency for event in events} == {"TRANSPARENT"}
    rings = [alarm.trigger for event in events for alarm in event.alarm]
    assert rings == [*[timedelta(hours=8)] * 5, -timedelta(hours=2)]


def test_calendar__the_same_errand_keeps_its_name_when_its_day_moves() -> None:
    """Shopping two days sooner: orders and fetches move, thawing and making stay as they were."""
    first = roast().errand_calendar(NOW)
    later = NOW + timedelta(days=1)
    again = roast().errand_calendar(later, first.data)
    assert again.data == first.data
    moved = roast(shopping_date=may(8)).errand_calendar(later, first.data)
    assert (moved.events, moved.cancelled) == (6, 0)
    before, after = events_of(first.data), events_of(moved.data)
    assert [event.uid for event in before] == [event.uid for event in after]
    assert [event.sequence for event in after] == [1, 1, 1, 1, 0, 0]
    assert [event.dtstamp == later for event in after] == [True, True, True, True, False, False]


def test_calendar__two_ways_to_one_shop_are_two_entries() -> None:
    """Peas thaw for three days, leek keeps two: both are for the shoot on the 10th.

    Each keeps its own name in the next file, and nothing is cancelled.
    """
    found = estimate(
        shoot_of(
            *(line("soup", name, "100 g") for name in ("leek", "pea")),
            *(sound(name, keeps_days=2) for name in ("leek", "pea")),
            pack("leek", "1 kg", "2", shop="Market"),
            pack("pea", "500 g", "1", shop="Market", state="frozen", thaw_days=3),
            Episode(name="E", shoot_date=may(10)),
            Shot(dish="soup"),
            time_zone="UTC",
        )
    )
    made = found.errand_calendar(NOW)
    fetched = [one for one in events_of(made.data) if "Market" in str(one.summary)]
    assert [one.start for one in fetched] == [may(7), may(9)]
    assert len({one.uid for one in fetched}) == 2
    again = found.errand_calendar(NOW + timedelta(days=1), made.data)
    assert (again.data, again.cancelled) == (made.data, 0)


def test_calendar__what_no_longer_holds_is_cancelled() -> None:
    """The bird comes from another shop: the way to the first one is gone."""
    first = roast().errand_calendar(NOW)
    other = roast(shop="Butcher").errand_calendar(NOW, first.data)
    assert (other.events, other.cancelled) == (6, 1)
    gone = events_of(other.data)[-1]
    assert (gone.summary, gone.status, gone.sequence) == (
        "Fetch from Ice house: turkey 20 lb",
        "CANCELLED",
        1,
    )
    assert gone.start == may(10)


@pytest.fixture
def workbook(tmp_path: Path) -> Path:
    """A good workbook in a folder of its own."""
    path = tmp_path / "plan.xlsx"
    good_workbook().save(path)
    return path


def test_list__writes_a_calendar_of_errands(workbook: Path) -> None:
    """One trip to each shop of the workbook, and again the same file."""
    file = workbook.with_name("errands.ics")
    result = typed("list", workbook, "--calendar", file)
    assert result.exit_code == 0
    assert f"Written: {file}, {len(events_of(file.read_bytes()))} events." in result.output
    before = file.read_bytes()
    assert typed("list", workbook, "--calendar", file).exit_code == 0
    assert file.read_bytes() == before


def test_list__a_calendar_of_limits_is_not_overwritten(workbook: Path) -> None:
    file = workbook.with_name("mine.ics")
    file.write_bytes(
        b"BEGIN:VCALENDAR\r\nPRODID:-//costing//holding times//EN\r\nEND:VCALENDAR\r\n"
    )
    result = typed("list", workbook, "--calendar", file)
    assert result.exit_code == 2
    assert result.output == (
        f"{file}: found a file that this command has not written, expected a free name or its "
        "calendar of the last run. Name another file.\n"
    )


def test_list__without_a_day_no_calendar_is_written(tmp_path: Path) -> None:
    path, file = tmp_path / "soup.xlsx", tmp_path / "errands.ics"
    shoot = shoot_of(line("soup", "leek", "1 kg"), pack("leek", "1 kg", "2"), Shot(dish="soup"))
    costing.write_workbook(path, shoot)
    result = typed("list", path, "--calendar", file)
    assert result.exit_code == 0
    assert result.output.splitlines()[0] == (
        "No errand has a day: no calendar is written. Fill Shoot date on the sheet Episodes, or "
        "Shopping date."
    )
    assert not file.exists()
