"""Days of shopping: no two sentences about one row contradict each other."""

from __future__ import annotations

import re
from collections import defaultdict
from datetime import date, timedelta
from decimal import Decimal
from fractions import Fraction
from typing import Any

from hypothesis import given
from hypothesis import strategies as st
from small import books_of_shoot, line, lot, may, pack, purchase, row, shoot_of, sound

from costing.buying.out_of_plan import check_dates
from costing.buying.storage import first_trip
from costing.findings import Grade
from costing.listing import merged
from costing.report.shopping_rows import to_buy
from costing.shoot import Episode, Settings, Shoot, Shot, Trip
from costing.shoot.defaults import completed

FIRST = date(2031, 5, 10)


def test_first_trip__of_what_no_pack_covers_is_the_day_of_shopping() -> None:
    parts = (line("soup", "leek", "100 g"), sound("leek"), Shot(dish="soup"))
    shoot = shoot_of(*parts, shopping_date=may(9))
    assert first_trip(purchase(books_of_shoot(shoot), "leek"), shoot) == may(9)


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


def test_dates__a_fortnight_apart_each_day_has_its_own_trip() -> None:
    """Worked by hand: cod that keeps two days, 300 g on the 10th and on the 24th.

    Without a date set there is a trip the day before each: a pack of 400 g each, 5.00 each. A pack
    of 600 g for 8.00 would do for both if it kept; as it does not, two of 400 g are bought.
    """
    shoot = soup_on(10, 24, keeps="2")
    shoot = shoot.changed(packs=(*shoot.packs, pack("cod", "600 g", "8")))
    found = books_of_shoot(shoot)
    rows = [(r["trip"], r["buy_by"], r["packs"], r["cost"], r["note"]) for r in to_buy(found).rows]
    assert rows == [
        (may(9), may(9), 1, Decimal("5.00"), "needed and left over are of all its trips"),
        (may(23), may(23), 1, Decimal("5.00"), "needed and left over are of all its trips"),
    ]
    assert list(check_dates(found.purchases, shoot)) == []


def test_dates__one_date_for_two_that_are_a_fortnight_apart() -> None:
    """Worked by hand: with the 9th alone nobody has planned a trip for the 24th: it is said."""
    shoot = soup_on(10, 24, keeps="2", shopping_date=may(9))
    found = books_of_shoot(shoot)
    first, second = to_buy(found).rows
    assert (first["trip"], first["buy_by"]) == (may(9), may(9))
    assert (second["trip"], second["buy_by"]) == (may(23), may(24))
    assert str(second["note"]).endswith(
        "keeps 2 days, needed on 2031-05-24: buy on 2031-05-22 or later, by 2031-05-24"
    )
    (finding,) = check_dates(found.purchases, shoot)
    assert finding.remedy == (
        "Buy it on 2031-05-22 or later, by 2031-05-24, or fill Keeps days if yours keeps longer."
    )


def test_dates__three_that_no_date_serves() -> None:
    """Worked by hand: each of the two has a trip of its own that nobody has planned."""
    shoot = soup_on(14, 24, keeps="2", shopping_date=may(9))
    (finding,) = check_dates(books_of_shoot(shoot).purchases, shoot)
    assert finding.remedy == (
        "Buy 300 g on 2031-05-12 or later, by 2031-05-14, 300 g on 2031-05-22 or later, by "
        "2031-05-24: the list counts a trip for each of them, which no shopping date or row of "
        "Trips names. Or fill Keeps days if yours keeps longer."
    )


def test_dates__one_later_day_serves_both_shoots() -> None:
    """Three days' life, the 10th and the 12th: from the 9th on; set to the 5th, it is too soon."""
    found = books_of_shoot(soup_on(10, 12, keeps="3", shopping_date=may(5)))
    (listed,) = to_buy(found).rows
    assert (listed["trip"], listed["buy_by"]) == (may(9), may(10))
    assert listed["note"] == (
        "keeps 3 days, needed on 2031-05-12: buy on 2031-05-09 or later, by 2031-05-10"
    )


def test_dates__what_a_shoot_without_a_date_takes_is_bought_too() -> None:
    """Worked by hand: what keeps for no day is bought on the 10th, 600 g for both."""
    (listed,) = to_buy(books_of_shoot(soup_on(10, None, keeps="0"))).rows
    assert (listed["trip"], listed["buy_by"], listed["packs"]) == (may(10), may(10), 2)
    assert listed["note"] == "keeps 0 days, needed on 2031-05-10: buy on 2031-05-10"


def test_message__no_trip_in_time() -> None:
    """Worked by hand: a frozen bird that thaws four days for the 10th, shops open on the 9th."""
    shoot = completed(
        shoot_of(
            line("roast", "bird", "1 each"),
            pack("bird", "1 each", "40", state="frozen", thaw_days=4),
            Episode(name="E1", shoot_date=may(10)),
            Shot(dish="roast"),
            shopping_date=may(9),
        )
    )[0]
    found = books_of_shoot(shoot)
    (listed,) = to_buy(found).rows
    assert (listed["trip"], listed["buy_by"]) == (may(6), may(6))
    assert listed["note"] == "needed on 2031-05-10: buy by 2031-05-06"
    (finding,) = check_dates(found.purchases, shoot)
    assert str(finding) == (
        'Settings (row "Shopping date"): found bird for 2031-05-10, 4 days before to thaw, while '
        "the shops are open from 2031-05-09 on, expected a day on or before 2031-05-06 "
        "[no trip in time]\n"
        "  Write such a day into Shopping date, or a row for the shop on the sheet Trips; the list "
        "counts that as fetched by 2031-05-06, which nobody has planned."
    )


def test_message__no_trip_in_time_of_several_is_one_with_their_names() -> None:
    """Both are of the one cell; another day is another message."""
    shoot = completed(
        shoot_of(
            *(line("roast", "bird", "1 each"), line("roast", "rub", "10 g")),
            *(pack("bird", "1 each", "40", shop="Mill"), pack("rub", "50 g", "3", shop="Mill")),
            *(Episode(name="E1", shoot_date=may(10)), Trip(shop="Mill", day=may(12))),
            Shot(dish="roast"),
        )
    )[0]
    told = merged([], check_dates(books_of_shoot(shoot).purchases, shoot))
    told = [one for one in told if one.code == "no trip in time"]
    assert [one.found.partition(" while")[0] for one in told] == ["bird and rub for 2031-05-10"]


def test_message__no_trip_in_time_is_about_the_first_day() -> None:
    """Worked by hand: a bird for the 10th and the 12th thaws four days, so by the 6th."""
    shoot = completed(
        shoot_of(
            line("roast", "bird", "1 kg"),
            sound("bird", keeps_days=Fraction(3)),
            pack("bird", "2 kg", "40", state="frozen", thaw_days=4),
            Episode(name="E1", shoot_date=may(10)),
            Episode(name="E2", shoot_date=may(12)),
            Shot(dish="roast", episode="E1"),
            Shot(dish="roast", episode="E2"),
            shopping_date=may(9),
        )
    )[0]
    found = books_of_shoot(shoot)
    (listed,) = to_buy(found).rows
    assert (
        listed["note"]
        == 'needed on 2031-05-10: buy by 2031-05-06; "E2" needs 1 kg of what "E1" leaves'
    )
    (finding,) = check_dates(found.purchases, shoot)
    assert finding.found == (
        "bird for 2031-05-10, 4 days before to thaw, while the shops are open from 2031-05-09 on"
    )


def test_message__no_trip_in_time_names_the_row_of_the_shop() -> None:
    """A market that opens on the 12th alone is too late for the 10th."""
    shoot = soup_on(10, keeps="9")
    place = row("Trips", 2, "market", Shop="A", Date="B")
    shoot = shoot.changed(
        packs=(pack("cod", "400 g", "5", shop="market"),),
        trips=(Trip(shop="Market", day=may(12), row=place),),
    )
    (finding,) = check_dates(books_of_shoot(shoot).purchases, shoot)
    assert str(finding.place) == 'Trips!B2 (row "market", column "Date")'
    assert finding.found == "cod for 2031-05-10 while market is open from 2031-05-12 on"


def test_message__storage_life_unknown() -> None:
    """Bought on the 9th for the 24th too, though shops open on the 23rd; once for both goods."""
    shoot = completed(
        shoot_of(
            *(
                part
                for name in ("tofu", "miso")
                for part in (
                    line("soup", name, "300 g"),
                    sound(name),
                    pack(name, "600 g", "5"),
                )
            ),
            *(Episode(name=name, shoot_date=day) for name, day in (("A", may(10)), ("B", may(24)))),
            *(Shot(dish="soup", episode=name) for name in ("A", "B")),
        )
    )[0]
    found = merged((), list(check_dates(books_of_shoot(shoot).purchases, shoot)), ["Ingredients"])
    assert [str(one) for one in found] == [
        'Ingredients (column "Keeps days"): found no storage life of tofu and miso, bought for '
        "several shoot days at once, expected how many days it keeps [storage life unknown]\n"
        "  Taken to keep until the last of them. Fill Keeps days where that is not so."
    ]


def test_message__storage_life_unknown_of_what_is_frozen() -> None:
    """Twenty days after thawing are typed; how long it lasts frozen is what nobody knows."""
    frozen = pack("cod", "600 g", "5", state="frozen", row=row("Packs", 2, "cod", State="J"))
    shoot = soup_on(10, 24, keeps="20").changed(packs=(frozen,))
    (found,) = check_dates(books_of_shoot(shoot).purchases, shoot)
    assert str(found) == (
        'Packs!J2 (row "cod", column "State"): found no storage life of cod (frozen), bought for '
        "several shoot days at once, expected how many days it keeps [storage life unknown]\n"
        "  Taken to keep until the last of them. Leave State blank where that is not so: Keeps "
        "days counts from thawing or opening."
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


def test_message__shopping_after_all_shoots() -> None:
    """Of the 9th, the 12th and the 15th the last serves neither the 10th nor the 12th."""
    settings = Settings(shopping_date=may(9), more_shopping_dates=(may(12), may(15)))
    shoot = soup_on(10, 12, keeps="9", shopping_date=may(9)).changed(settings=settings)
    (finding,) = check_dates(books_of_shoot(shoot).purchases, shoot)
    assert finding.grade is Grade.WARNING
    assert str(finding) == (
        'Settings (row "Shopping date"): found 2031-05-15, after the last shoot on 2031-05-12, '
        "expected a day on or before 2031-05-12 [shopping after all shoots]\n"
        "  Nothing is bought on it. Mend it, take it out, or mend Shoot date on the sheet Episodes."
    )
    undated = soup_on(10, None, keeps="9", shopping_date=may(9)).changed(settings=settings)
    assert "after all" not in str([*check_dates(books_of_shoot(undated).purchases, undated)])


def test_message__trips_after_all_shoots() -> None:
    """The quay sells for 1.00, on the 30th only; the shop for 5.00 every day: 5.00 on the 10th.

    Where the quay alone has cod its day is told as being too late, and not twice.
    """
    quay = pack("cod", "400 g", "1", shop="quay")
    trip = Trip(shop="quay", day=may(30), row=row("Trips", 2, "quay", Date="B"))
    shoot = soup_on(10, keeps="9", shopping_date=may(9))
    both = shoot.changed(packs=(*shoot.packs, quay), trips=(trip,))
    found = books_of_shoot(both)
    assert found.totals.bought == 5
    assert [str(finding) for finding in check_dates(found.purchases, both)] == [
        'Trips!B2 (row "quay", column "Date"): found 2031-05-30, after the last shoot on '
        "2031-05-10, expected a day on or before 2031-05-10 [shopping after all shoots]\n"
        "  Nothing is bought on it. Mend it, take it out, or mend Shoot date on the sheet Episodes."
    ]
    alone = shoot.changed(packs=(quay,), trips=(trip,))
    (finding,) = check_dates(books_of_shoot(alone).purchases, alone)
    assert finding.code == "no trip in time"


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
    later = [] if day is None else draw(st.lists(st.integers(1, 9), max_size=2))
    more = tuple(FIRST + timedelta(days=set_to + n) for n in later) if set_to is not None else ()
    return completed(shoot_of(*parts, shopping_date=day, more_shopping_dates=more))[0]


def spans_said(note: str) -> list[tuple[date, date]]:
    """The spans that a note names, read from its words."""
    said = re.findall(r"buy on (\S{10})(?: or later, by (\S{10}))?(?:,|;|$)", note)
    return [(date.fromisoformat(a), date.fromisoformat(b or a)) for a, b in said]


@given(any_dates())
def test_dates__no_two_sentences_about_one_row_contradict(shoot: Shoot) -> None:
    """Law: what a row and its finding say can all be done, and serves every day it is for.

    The trip is not after Buy by; what is said of a trip that nobody planned has it between its two
    days, the last of which is Buy by; what is bought is within its life whenever it is used, open
    for no longer than its opened life; and all that is needed is served, or said to be missing.
    """
    found = books_of_shoot(shoot)
    findings = [f for f in check_dates(found.purchases, shoot) if f.code == "does not keep"]
    remedies = {finding.found.split(" bought on ")[0]: finding.remedy for finding in findings}
    dates = {one.name: one.shoot_date for one in shoot.episodes}
    unplanned = set()
    rows = {
        (r["ingredient"], r["trip"], r["pack_amount"]): r for r in to_buy(found).rows if r["packs"]
    }
    lines = [(one, b, b.brings) for one in found.purchases for b in one.lines]
    assert len(rows) == len(lines)
    for one, bought, amount in lines:
        trip, by = bought.trip, bought.buy_by
        listed = rows[one.need.ingredient.name, trip, bought.pack.amount.magnitude]
        note = str(listed["note"])
        assert listed["buy_by"] == by
        assert trip is None or by is None or trip <= by
        spans, name = spans_said(note), one.need.ingredient.name
        if trip is None or bought.opened is None or trip in shoot.open_days(bought.pack.shop):
            assert not spans
        else:
            unplanned.add(name)
            ((first, last),) = spans
            assert first <= trip <= last == by == bought.opened
            assert note.split(": buy ")[1].split(";")[0] in remedies[name]
        keeps = one.need.ingredient.keeps
        assert sum(bought.serves.values()) <= amount
        assert sum(count for _, count in bought.openings) <= bought.count
        for episode in bought.serves:
            day = dates[episode]
            if day is not None and trip is not None:
                assert trip <= day
                assert keeps is None or (day - trip).days <= keeps
                starts = [on for on, _ in bought.openings if on is not None and on <= day]
                assert keeps is None or not starts or (day - max(starts)).days <= keeps
    assert set(remedies) == unplanned
    for one in found.purchases:
        served: dict[str, Fraction] = defaultdict(Fraction)
        for bought in one.lines:
            for episode, part in bought.serves.items():
                served[episode] += part
        assert sum(served.values()) + one.short == one.covered


def test_line__says_its_trip_its_last_day_and_whom_it_serves() -> None:
    """Worked by hand: 300 g a day of cod that keeps, packs of 400 g: one for each day."""
    bought = purchase(books_of_shoot(soup_on(10, 12, keeps="9", shopping_date=may(8))), "cod")
    (listed,) = bought.lines
    assert (listed.trip, listed.buy_by, listed.opened) == (may(8), may(8), may(10))
    assert listed.openings == ((may(10), 1), (may(12), 1))
    assert listed.serves == {"E1": 300, "E2": 300}
    assert bought.whose(listed) == [("E1", "soup", "cook-through"), ("E2", "soup", "cook-through")]
