"""No two sentences about one row contradict each other, over plans of several days."""

from __future__ import annotations

import re
from collections.abc import Iterator
from datetime import UTC, date, datetime, timedelta
from typing import Any

from hypothesis import given
from hypothesis import strategies as st
from ical.calendar_stream import IcsCalendarStream
from small import line, pack, shoot_of, sound

from costing.estimating import estimate
from costing.kitchen import Dish, Shop
from costing.names import key
from costing.report.estimates import Estimate
from costing.report.shop_words import MONTHS, WEEKDAYS
from costing.report.tables import Row
from costing.shoot import Episode, Shoot, Shot
from costing.shoot.episodes import Trip

FIRST = date(2031, 5, 5)
SHOPS = ("Market", "Fish van")
GOODS = ("cod", "broth cube", "pea", "goose")


def days(of: int) -> st.SearchStrategy[date]:
    """A day of the job."""
    return st.integers(0, of).map(lambda more: FIRST + timedelta(days=more))


@st.composite
def plans(draw: st.DrawFn) -> Shoot:
    """A few shoot days up to a fortnight apart, shops with days of their own, lives and states."""
    parts: list[Any] = []
    names = [f"E{n}" for n in range(1, draw(st.integers(1, 3)) + 1)]
    for name in names:
        parts.append(Episode(name=name, shoot_date=draw(st.none() | days(18)), call_time="9:30"))
        most = draw(st.sampled_from([None, None, 2]))
        parts.append(Shot(name=f"{name} shot", episode=name, dish="stew", most=most))
    for good in draw(st.lists(st.sampled_from(GOODS), min_size=1, max_size=3, unique=True)):
        parts.append(line("stew", good, f"{draw(st.sampled_from([50, 300, 700]))} g"))
        parts.append(sound(good, keeps_days=draw(st.none() | st.integers(0, 12))))
        for shop in draw(st.lists(st.sampled_from(SHOPS), min_size=1, max_size=2)):
            loose = draw(st.sampled_from([None, None, "50 g"]))
            frozen = draw(st.booleans())
            parts.append(
                pack(
                    good,
                    draw(st.sampled_from(["300 g", "1 kg"])),
                    str(draw(st.integers(1, 9))),
                    shop=shop,
                    loose=loose,
                    state="frozen" if frozen else None,
                    order_days=draw(st.none() | st.integers(0, 3)),
                    thaw_days=draw(st.integers(0, 4)) if frozen else None,
                )
            )
    if draw(st.booleans()):
        parts.append(line("stew", "sauce", "100 ml"))
        parts.append(line("sauce", "pea", "100 g"))
        parts.append(Dish(name="sauce", makes="1 l", keeps_days=draw(st.none() | st.just(3))))
    for shop in SHOPS:
        cost, least = draw(st.sampled_from([(0, 0), (0, 0), (2, 0), (0, 9)]))
        parts.append(Shop(name=shop, visit_cost=cost, minimum_spend=least))
    trips = [Trip(shop=SHOPS[1], day=day) for day in draw(st.lists(days(18), max_size=2))]
    dates = draw(st.lists(days(16), max_size=2, unique=True))
    settings = {"shopping_date": dates[0]} if dates else {}
    more = {"more_shopping_dates": tuple(dates[1:])} if dates[1:] else {}
    return shoot_of(*parts, *trips, time_zone="UTC", **settings, **more)


ISO = re.compile(r"\d{4}-\d\d-\d\d")
SAID = re.compile(rf"(?:{'|'.join(WEEKDAYS)}) (\d+) ({'|'.join(MONTHS)}) (\d{{4}})")


def dates_in(text: str) -> str:
    """A text with its dates as ISO 8601 has them."""

    def iso(found: re.Match[str]) -> str:
        return str(date(int(found[3]), MONTHS.index(found[2]) + 1, int(found[1])))

    return SAID.sub(iso, text)


ON_OR_LATER = re.compile(r"(?:buy|g|kg|ml|l|each) on (\S+) or later, by (\S+?)(?=[,;:.]|$)", re.I)
ON = re.compile(r"(?:buy|g|kg|ml|l|each) on (\d\S+?)(?=[,;:.]|$)", re.I)
BY = re.compile(r"(?:buy|g|kg|ml|l|each) by (\d\S+?)(?=[,;:.]|$)", re.I)


def advised(text: str) -> Iterator[tuple[date, date]]:
    """First and last day of each stretch on which a text says to buy."""
    text = dates_in(text)
    for first, last in ON_OR_LATER.findall(text):
        yield date.fromisoformat(first), date.fromisoformat(last)
    for day in ON.findall(text):
        yield date.fromisoformat(day), date.fromisoformat(day)
    for day in BY.findall(text):
        yield date.min, date.fromisoformat(day)


def test_advised__reads_what_is_said() -> None:
    """The check above can fail: it finds the days in the words."""
    assert list(
        advised(
            "keeps 1 day, needed on 2031-05-16: buy on 2031-05-15 or later, by 2031-05-16; thick"
        )
    ) == [(date(2031, 5, 15), date(2031, 5, 16))]
    assert list(advised("Buy 300 g on Fri 9 May 2031, 50 g by Sat 10 May 2031.")) == [
        (date(2031, 5, 9), date(2031, 5, 9)),
        (date.min, date(2031, 5, 10)),
    ]


def bought(found: Estimate) -> list[Row]:
    """Rows of To buy that buy something."""
    return [row for row in found.tables()["to_buy"].rows if row["packs"]]


@given(plans())
def test_advice__no_two_sentences_about_one_row_contradict(shoot: Shoot) -> None:
    """Law: To buy, its notes, the list, the findings and Errands name the same days.

    A row is fetched on its Trip, not after Buy by; what a sentence says of when to buy holds the
    Trip of a row; an order goes out before, nothing thaws before it is there, and all of it is
    ready on the first day it is used; and a calendar has the days of Errands.
    """
    found = estimate(shoot)
    rows = bought(found)
    lines = [one for one in found.list_lines if not one.lacking]
    assert [(one.name, one.trip, one.buy_by) for one in lines] == [
        (row["ingredient"], row["trip"], row["buy_by"]) for row in rows
    ]
    for row in rows:
        trip, buy_by = row["trip"], row["buy_by"]
        assert (trip is None) == (buy_by is None)
        if isinstance(trip, date) and isinstance(buy_by, date):
            assert trip <= buy_by
            for first, last in advised(str(row["note"])):
                assert first <= trip <= buy_by <= last
    for finding in found.findings:
        name = finding.place.name
        trips = [row["trip"] for row in rows if row["ingredient"] == name]
        if finding.code == "does not keep":
            for first, last in advised(finding.remedy):
                assert any(isinstance(day, date) and first <= day <= last for day in trips)
    errands_agree(found)


def errands_agree(found: Estimate) -> None:
    """Check the errands against the lines they are made of."""
    rows = found.tables()["errands"].rows
    by_kind: dict[str, list[Row]] = {}
    for row in rows:
        by_kind.setdefault(str(row["errand"]), []).append(row)
    dated = [row["date"] for row in rows if row["date"] is not None]
    assert dated == sorted(dated, key=str)
    fetched = {(row["shop"], row["date"]): str(row["what"]) for row in by_kind.get("fetch", ())}
    assert len(fetched) == len(by_kind.get("fetch", ()))
    if rows:
        assert set(fetched) == {(row["shop"], row["trip"]) for row in bought(found)}
    dates = {one.name: one.shoot_date for one in found.shoot.episodes}
    orders, thaws = set(), set()
    for purchase in found.books.purchases:
        name = purchase.need.ingredient.name
        for one in purchase.lines if rows else ():
            used = [day for episode in one.serves if (day := dates[episode]) is not None]
            assert f"{name} " in fetched[one.pack.shop, one.trip]
            if one.trip is None:
                continue
            thaw = timedelta(days=one.pack.thaw_days or 0)
            assert all(one.trip + thaw <= day for day in used)
            assert all(day is None or day >= one.trip + thaw for day, _ in one.openings)
            if one.pack.order_days:
                orders.add((one.pack.shop, one.trip - timedelta(days=one.pack.order_days)))
            if one.pack.thaw_days:
                thaws |= {(name, day - thaw) for day, _ in one.openings if day is not None}
    assert orders == {(row["shop"], row["date"]) for row in by_kind.get("order", ())}
    assert len(thaws) == len(by_kind.get("thaw", ()))
    for name, day in thaws:
        assert any(
            key(str(row["what"])).startswith(key(name)) and row["date"] == day
            for row in by_kind["thaw"]
        )
    made = found.errand_calendar(datetime(2031, 5, 1, tzinfo=UTC))
    events = IcsCalendarStream.calendar_from_ics(made.data.decode("utf-8")).events
    assert sorted(event.start_datetime.date() for event in events) == sorted(
        row["date"] for row in rows if isinstance(row["date"], date)
    )
