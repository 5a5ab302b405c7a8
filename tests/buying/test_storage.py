"""Days of shopping: no two sentences about one row contradict each other."""

from __future__ import annotations

import re
from collections import defaultdict
from datetime import date, timedelta
from fractions import Fraction
from typing import Any

from hypothesis import given
from hypothesis import strategies as st
from small import books_of_shoot, line, lot, pack, purchase, row, shoot_of, sound

from costing.buying.storage import Span, check_dates, too_soon
from costing.findings import Grade
from costing.report.shopping_rows import to_buy
from costing.shoot import Episode, Settings, Shoot, Shot
from costing.shoot.defaults import completed

FIRST = date(2031, 5, 10)


def may(day: int) -> date:
    """A day of May."""
    return date(2031, 5, day)


def soup_on(*days: int | None, keeps: str, **settings: Any) -> Shoot:
    """A soup of 300 g of cod on each of these days of May."""
    episodes = [
        Episode(name=f"E{n}", shoot_date=None if day is None else may(day))
        for n, day in enumerate(days, start=1)
    ]
    return completed(
        shoot_of(
            line("soup", "cod", "300 g"),
            sound("cod", keeps_days=Fraction(keeps)),
            pack("cod", "400 g", "5"),
            *episodes,
            *(Shot(dish="soup", episode=one.name) for one in episodes),
            **settings,
        )
    )[0]


def test_dates__a_fortnight_apart_each_day_has_its_own_amount() -> None:
    """Cod that keeps two days, 300 g on the 10th and on the 24th: no one day will do."""
    shoot = soup_on(10, 24, keeps="2")
    found = books_of_shoot(shoot)
    soon = too_soon(purchase(found, "cod"), shoot)
    assert soon is not None
    assert soon.spans == (
        Span(may(9), may(10), Fraction(300)),
        Span(may(22), may(24), Fraction(300)),
    )
    (listed,) = to_buy(found).rows
    assert listed["buy_by"] is None
    assert listed["note"] == (
        "keeps 2 days, needed on 2031-05-24: buy 300 g on 2031-05-09 or later, by 2031-05-10, "
        "300 g on 2031-05-22 or later, by 2031-05-24"
    )
    (finding,) = check_dates(found.purchases, shoot)
    assert finding.remedy == (
        "Buy 300 g on 2031-05-09 or later, by 2031-05-10, 300 g on 2031-05-22 or later, by "
        "2031-05-24; the list counts one day of shopping, and bought apart it may take more "
        "packs. Or fill Keeps days if yours keeps longer."
    )


def test_dates__one_later_day_serves_both_shoots() -> None:
    """Three days' life, the 10th and the 12th: from the 9th on; set to the 5th, it is too soon."""
    found = books_of_shoot(soup_on(10, 12, keeps="3", shopping_date=may(5)))
    (listed,) = to_buy(found).rows
    assert listed["buy_by"] == may(10)
    assert listed["note"] == (
        "keeps 3 days, needed on 2031-05-12: buy on 2031-05-09 or later, by 2031-05-10"
    )


def test_dates__an_amount_without_a_day_is_named() -> None:
    shoot = soup_on(10, None, keeps="0")
    (listed,) = to_buy(books_of_shoot(shoot)).rows
    assert listed["buy_by"] is None
    assert listed["note"] == (
        "keeps 0 days, needed on 2031-05-10: buy 300 g on 2031-05-10, 300 g for a shoot without a "
        "date"
    )


def test_message__shopping_after_a_shoot() -> None:
    """An error, and the day before the first shoot counts."""
    shoot = soup_on(10, 12, keeps="9", shopping_date=may(11))
    place = row("Settings", 12, "Shopping date", Value="B").at("Value")
    settings = Settings(shopping_date=may(11), places={"Shopping date": place})
    shoot = shoot.changed(settings=settings)
    (finding,) = check_dates(books_of_shoot(shoot).purchases, shoot)
    assert finding.grade is Grade.ERROR
    assert str(finding) == (
        'Settings!B12 (row "Shopping date", column "Value"): found 2031-05-11, after the shoot of '
        '"E1" on 2031-05-10, expected a day on or before 2031-05-10 [shopping after a shoot]\n'
        "  Write such a day here, or mend Shoot date on the sheet Episodes; until then 2031-05-09 "
        "counts, the day before the first shoot date."
    )
    assert shoot.shopping_date == may(9)


def test_dates__shopping_on_the_day_of_the_shoot_is_no_error() -> None:
    shoot = soup_on(10, keeps="9", shopping_date=may(10))
    assert list(check_dates(books_of_shoot(shoot).purchases, shoot)) == []


days = st.integers(0, 20) | st.none()


@st.composite
def any_dates(draw: st.DrawFn) -> Shoot:
    """One or two ingredients over up to four days, certain or not, some on hand."""
    episodes = [
        Episode(name=f"E{n}", shoot_date=None if day is None else FIRST + timedelta(days=day))
        for n, day in enumerate(draw(st.lists(days, min_size=1, max_size=4)))
    ]
    parts: list[Any] = list(episodes)
    for number, episode in enumerate(episodes):
        most = draw(st.sampled_from([None, 2]))
        parts.append(Shot(dish=f"dish {number % 2}", episode=episode.name, most=most))
    for name in ("cod", "dill"):
        parts += [
            line(f"dish {draw(st.integers(0, 1))}", name, "300 g"),
            sound(
                name,
                keeps_days=draw(st.sampled_from([None, *map(Fraction, (0, 1, 2, 5, 12))])),
                spoilage=draw(st.sampled_from([Fraction(0), Fraction(1, 10)])),
            ),
            pack(name, "400 g", "5", at_most=draw(st.sampled_from([None, 2]))),
            pack(name, "250 g", "4"),
        ]
        if draw(st.booleans()):
            use_by = FIRST + timedelta(days=draw(st.integers(-1, 20)))
            parts.append(lot(name, "350 g", use_by=use_by))
    set_to = draw(st.none() | st.integers(-4, 22))
    day = None if set_to is None else FIRST + timedelta(days=set_to)
    return completed(shoot_of(*parts, shopping_date=day))[0]


def spans_said(note: str) -> list[tuple[date, date]]:
    """The spans that a note names, read from its words."""
    said = re.findall(r"on (\S{10})(?: or later, by (\S{10}))?(?:,|;|$)", note.partition("buy")[2])
    return [(date.fromisoformat(a), date.fromisoformat(b or a)) for a, b in said]


@given(any_dates())
def test_dates__no_two_sentences_about_one_row_contradict(shoot: Shoot) -> None:
    """Law: what a row and its finding say can all be done, and serves every day it is for.

    Read back from the words, as a person does: each "on X or later" is not after its "by" nor
    after Buy by, each part keeps until all its days, and the parts add up to what is bought for.
    """
    found = books_of_shoot(shoot)
    findings = [f for f in check_dates(found.purchases, shoot) if f.code == "does not keep"]
    remedies = {finding.found.split(" bought on ")[0]: finding.remedy for finding in findings}
    for listed in to_buy(found).rows:
        bought = purchase(found, str(listed["ingredient"]))
        day, note = listed["buy_by"], str(listed["note"])
        assert day is None or isinstance(day, date)
        spans = spans_said(note)
        needed: dict[date, Fraction] = defaultdict(Fraction)
        for one in shoot.episodes:
            if one.shoot_date and bought.by_episode.get(one.name):
                needed[one.shoot_date] += bought.by_episode[one.name]
        assert (listed["ingredient"] in remedies) == bool(spans)
        if not spans:
            assert day == shoot.shopping_date
            keeps = bought.need.ingredient.keeps
            assert keeps is None or day is None or (max(needed, default=day) - day).days <= keeps
            continue
        assert note.split(": buy ")[1].split(";")[0] in remedies[str(listed["ingredient"])]
        soon = too_soon(bought, shoot)
        assert soon is not None
        assert [(span.first, span.last) for span in soon.spans] == spans
        if day is not None:
            ((first, last),) = spans
            assert first <= day <= last == min(needed)
        for span in soon.spans:
            end = span.first + timedelta(days=soon.days)
            assert span.first <= span.last
            assert span.amount == sum(n for at, n in needed.items() if span.last <= at <= end)
        assert sum(span.amount for span in soon.spans) + soon.undated == bought.covered


def test_line__says_its_trip_its_last_day_and_whom_it_serves() -> None:
    """Worked by hand: 300 g a day of cod that keeps, packs of 400 g; one is open from the 10th.

    100 g of the first pack serve the 12th too, so the second is opened then, for 200 g.
    """
    bought = purchase(books_of_shoot(soup_on(10, 12, keeps="9", shopping_date=may(8))), "cod")
    ((listed, _),) = bought.lines
    assert (listed.trip, listed.buy_by, listed.opened) == (may(8), may(8), may(10))
    assert listed.openings == ((may(10), 1), (may(12), 1))
    assert listed.serves == {"E1": 300, "E2": 300}
    assert bought.whose(listed) == [("E1", "soup", "cook-through"), ("E2", "soup", "cook-through")]
