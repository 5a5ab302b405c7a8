"""Takes left: what is said of each shot, and the books of what was counted."""

from __future__ import annotations

from typing import Any

import pytest
from buying.test_takes_left import logged
from buying.test_takes_left import outlook as outlook_of
from small import line, lot, pack

from costing.buying.takes_left import Outlook
from costing.kitchen import Dish, Ingredient
from costing.report.day_rows import (
    Said,
    balance_words,
    lacking_words,
    leaves_out,
    notes_of,
    takes_left,
    takes_words,
)
from costing.shoot import Episode, Shot
from costing.shoot.episodes import Logged
from costing.shoot.times import percent_text, three_point

ROWS = (
    line("toast", "bread", "2 each"),
    line("toast", "butter", "10 g"),
    pack("bread", "12 each", "1.80", shop="Corner"),
    pack("butter", "250 g", "2.50", at_most=1),
    Shot(dish="toast", name="T1", times=2),
    Shot(dish="toast", name="T2"),
)


def outlook(*events: tuple[str, ...], rows: Any = ROWS) -> Outlook:
    """The outlook of a toast with these lines of the log, a minute apart."""
    return outlook_of(*rows, log=logged(*events), currency="EUR")


def test_takes_left__a_row_for_each_shot() -> None:
    """12 slices: T1 can be taken 5 times and T2 once; a sixth T1 lacks 2 slices, 1 pack."""
    row = takes_left(outlook(("T1", "taken"))).rows[0]
    assert dict(row) == {
        "episode": "Episode 1",
        "shot": "T1",
        "planned": 2,
        "taken": 1,
        "more": 4,
        "limited_by": "bread",
        "short_by": "2",
        "note": "One beyond that lacks bread 2 (12 at Corner, 1.80 EUR).",
    }


@pytest.mark.parametrize(
    ("each", "more", "lacking"), [("400 ml", 2, "200 g"), ("900 ml", 1, "800 g")]
)
def test_takes_left__what_is_made_may_be_bought_ready(each: str, more: int, lacking: str) -> None:
    """A carton of 1 l lasts for 2 soups of 400 ml or 1 of 900 ml; the next lacks 200 or 800 ml.

    1 kg of bones makes 1 l, so as many grams of bones bring it; or another carton.
    """
    rows = (
        line("stock", "bones", "1 kg"),
        line("soup", "stock", each),
        Dish(name="stock", makes="1 l"),
        Ingredient(name="bones", trim_yield="100 %"),
        pack("bones", "1 kg", "2.00", shop="Corner"),
        pack("stock", "1 l", "1.50", shop="Corner"),
        Shot(dish="soup", name="S"),
    )
    row = takes_left(outlook(rows=rows)).rows[0]
    assert row["more"] == more
    assert row["note"] == (
        f"One beyond that lacks bones {lacking} (1 kg at Corner, 2.00 EUR), or stock sold ready "
        "(1 l at Corner, 1.50 EUR each)."
    )


def test_takes_left__a_dish_sold_ready_is_in_place_of_all_that_goes_into_it() -> None:
    """Two soups of a litre take 1 kg of bones and 200 g of salt each: one more lacks both."""
    rows = (
        line("stock", "bones", "1 kg"),
        line("stock", "salt", "200 g"),
        line("soup", "stock", "1 l"),
        Dish(name="stock", makes="1 l"),
        Ingredient(name="bones", trim_yield="100 %"),
        Ingredient(name="salt", trim_yield="100 %"),
        pack("bones", "2 kg", "2.00", shop="Corner"),
        pack("salt", "400 g", "0.40", shop="Corner"),
        pack("stock", "1 l", "9.00", shop="Corner"),
        Shot(dish="soup", name="S", times=2),
    )
    assert takes_left(outlook(rows=rows)).rows[0]["note"] == (
        "One beyond that lacks bones 1 kg (2 kg at Corner, 2.00 EUR) and salt 200 g (400 g at "
        "Corner, 0.40 EUR), or in place of them stock sold ready (1 l at Corner, 9.00 EUR each)."
    )


def test_takes_left__no_ready_dish_instead_of_what_a_shot_takes_itself() -> None:
    """A stuffing lacks an onion of its own; that onion goes into the stock too is no help."""
    rows = (
        line("stock", "onion", "1 each"),
        line("stuffing", "stock", "100 ml"),
        line("stuffing", "onion", "2 each"),
        Dish(name="stock", makes="1 l"),
        pack("onion", "2 each", "1.00", shop="Corner"),
        pack("stock", "1 l", "0.10", shop="Corner"),
        Shot(dish="stuffing", name="S"),
    )
    note = takes_left(outlook(rows=rows)).rows[0]["note"]
    assert note == "One beyond that lacks onion 2 (2 at Corner, 1.00 EUR)."


def test_takes_left__what_is_said_of_uncertain_spoiled_and_ended_shots() -> None:
    """T1 one to four times: of 12 slices T2 takes 4 with one more, which leaves 4 takes of T1."""
    rows = (*ROWS[:4], Shot(dish="toast", name="T1", times=2, fewest=1, most=4), ROWS[5])
    found = outlook(("T1", "spoiled"), ("T2", "enough"), rows=rows)
    notes = [str(row["note"]) for row in takes_left(found).rows]
    assert notes[0] == (
        "1 to 4 times planned. Spoiled 1 time besides. One beyond that lacks bread 2 (12 at "
        "Corner, 1.80 EUR)."
    )
    assert notes[1].startswith("Ended: no more of it is wanted. One beyond that lacks bread 2, as ")


def test_takes_left__stop_or_go_is_said_where_it_matters() -> None:
    """With 8 slices and one T2 there are 6 for T1, three takes: enough but for a fourth."""
    rows = (*ROWS[:4], Shot(dish="toast", name="T1", times=2, fewest=1, most=4), ROWS[5])
    note = str(takes_left(outlook(("bread", "counted", "10 each"), rows=rows)).rows[1]["note"])
    assert "after one more" not in note  # with one T2 there are 8 slices, enough for all of T1
    later = outlook(("bread", "counted", "8 each"), rows=rows)
    note = str(takes_left(later).rows[1]["note"])
    three = percent_text(three_point(1, 2, 4).chance_within(3))
    assert note.endswith(
        "Chance to finish the others: 100 % of your own Most without another, "
        f"{three} after one more."
    )


def test_takes_left__what_does_not_fit_and_what_no_shop_has() -> None:
    """Butter for one take: 10 g, and the only pack is bought; 4 g lack for the other two."""
    found = outlook(("butter", "counted", "10 g"))
    row = takes_left(found).rows[0]
    assert (row["more"], row["limited_by"], row["short_by"]) == (0, "butter", "10 g")
    there = "Its food is there for 1 if no other is taken again. "
    assert row["note"] == f"{there}One more lacks butter 10 g, and no shop has more."
    second = takes_left(found).rows[1]
    assert second["note"] == (
        f"{there}What remains of the others does not fit as it is. One more lacks butter 20 g, and "
        "no shop has more."
    )


def test_lacking_words__say_once_what_all_that_remains_lacks() -> None:
    """Three takes of 10 g and 10 g there: 20 g lack. D takes no butter, and 7 of 12 slices go."""
    rows = (*ROWS, line("dry", "bread", "1 each"), Shot(dish="dry", name="D"))
    found = outlook(("butter", "counted", "10 g"), rows=rows)
    assert [*lacking_words(found)] == [
        "What remains does not fit as it is: it lacks butter 20 g, and no shop has more."
    ]
    notes = [str(row["note"]) for row in takes_left(found).rows]
    assert "again. What remains of the others does not fit as it is. " in notes[1]
    assert notes[2] == "One beyond that lacks bread 1 (12 at Corner, 1.80 EUR)."
    assert [*lacking_words(outlook())] == []
    said = Said.below(found)
    below = " ".join(" ".join(notes_of(one, found, said)) for one in found.takes_left)
    assert "One more lacks butter 20 g, as what remains does." in below


def test_lacking_words__a_shot_that_may_be_taken_more_often_counts_with_its_chance() -> None:
    """Three of T1 are within the accepted chance, two are not; with T2 40 g, and 10 g are there."""
    rows = (*ROWS[:4], Shot(dish="toast", name="T1", times=2, fewest=1, most=4), ROWS[5])
    found = outlook(("butter", "counted", "10 g"), rows=rows)
    likely = three_point(1, 2, 4)
    assert likely.chance_within(2) < found.accepted <= likely.chance_within(3)
    (said,) = lacking_words(found)
    assert said == "What remains does not fit as it is: it lacks butter 30 g, and no shop has more."


def test_takes_left__food_that_stands_there_is_told_though_the_chance_is_too_small() -> None:
    """T1 was taken twice as planned, and maybe goes on: of 4 slices T2 takes 2.

    With 2 more T1 can be taken a third time, which is enough with .286 + .460 of .791, or .944.
    """
    often = Shot(dish="toast", name="T1", times=2, fewest=1, most=4)
    rows = (*ROWS[:4], often, ROWS[5], Shot(dish="toast", name="C"))
    taken = ("T1", "taken")
    found = outlook(("C", "taken"), taken, taken, ("bread", "counted", "4 each"), rows=rows)
    first, second, done = found.takes_left
    likely = three_point(1, 2, 4).given_at_least(2)
    chance = percent_text(likely.chance_within(3))
    assert likely.chance_within(3) < found.accepted
    assert (first.more, first.stands) == (1, 0)
    assert (done.more, done.stands, done.others_lack) == (0, 0, True)
    assert (second.more, second.stands, second.as_planned) == (0, 1, True)
    assert takes_words(takes_left(found).rows[1], second) == (
        "T2: 1 more if the others are taken as planned, else none, 0 taken of 1."
    )
    lacks = "lacks bread 2 (12 at Corner, 1.80 EUR)."
    assert takes_left(found).rows[1]["note"] == (
        "Its food is there for 1 if the others are taken as planned. To be as sure as is asked, "
        "one more lacks bread 2, as T1 does. Chance to finish the others: 100 % of your own Most "
        f"without another, {chance} after one more."
    )
    assert [*lacking_words(found)] == [
        f"What remains fits with a chance of {chance}, less than is asked: for that it {lacks}"
    ]
    assert next(notes_of(done, found)) == "What remains of the others is less sure than is asked."
    assert "remains" not in next(notes_of(done, found, Said(remaining=True))), "said above it"


def test_takes_left__no_others_are_named_where_none_remain() -> None:
    """12 slices, 2 a take: 7 takes of 6 planned used 14; T2 is ended, so nothing waits."""
    rows = (*ROWS[:4], Shot(dish="toast", name="T1", times=6, taken=7))
    assert takes_left(outlook(rows=rows)).rows[0]["note"] == (
        "By the books more bread was used than there was. One more lacks bread 4 (12 at Corner, "
        "1.80 EUR)."
    )
    ended = Shot(dish="toast", name="T2", times=9, taken=0, ended_by="time")
    both = takes_left(outlook(("bread", "counted", "0 each"), rows=(*rows, ended))).rows
    needs = "One more lacks bread 2 (12 at Corner, 1.80 EUR)."
    ended_so = "Ended: its time had run out. One more lacks bread 2, as T1 does."
    assert [row["note"] for row in both] == [needs, ended_so]


@pytest.mark.parametrize(
    ("why", "words"),
    [
        ("enough", "no more of it is wanted"),
        ("food", "its food had run out"),
        ("time", "its time had run out"),
        ("spoiled", "its food was spoiled"),
    ],
)
def test_takes_left__why_a_shot_ended(why: str, words: str) -> None:
    rows = (*ROWS[:5], Shot(dish="toast", name="T2", taken=1, ended_by=why))
    assert str(takes_left(outlook(rows=rows)).rows[1]["note"]).startswith(f"Ended: {words}. ")


def test_takes_left__what_is_not_known() -> None:
    rows = (*ROWS, line("toast", "salt", "1 g"), line("dry", "salt", "1 g"), Shot(dish="dry"))
    notes = [str(row["note"]) for row in takes_left(outlook(rows=rows)).rows]
    assert notes[0].endswith("Leaves out salt: nothing says how much is there.")
    assert notes[2] == ("Nothing known limits it. Leaves out salt: nothing says how much is there.")


def test_takes_left__how_much_a_shot_takes_is_not_known() -> None:
    """Of spice in spoons no weight is known: only shots that take of it, or continue, say so."""
    spice = line("toast", "zzspice", "2 tsp", step=2)
    first = Shot(dish="toast", name="T1", steps="1")
    second = Shot(dish="toast", name="T2", steps="2", from_shot="T1")
    rows = (*ROWS[:4], spice, pack("zzspice", "20 g", "2.50"), first, second)
    said = [leaves_out(one) for one in outlook(rows=rows).takes_left]
    assert said == [[], ["Leaves out zzspice: how much it takes is not known."]]
    plenty = outlook(rows=(*rows, lot("zzspice", None, plenty=True))).takes_left
    assert not any(map(leaves_out, plenty))


def test_takes_left__how_much_goes_into_what_is_made_is_not_known() -> None:
    """The stock of a soup has spice in spoons, and of two shots alike but for it one says so."""
    rows = (
        line("stock", "bones", "1 kg"),
        line("stock", "zzspice", "2 tsp"),
        line("soup", "stock", "1 l"),
        Dish(name="stock", makes="1 l", whole_batches=True),
        pack("bones", "2 kg", "2.00"),
        pack("zzspice", "20 g", "2.50"),
        Shot(dish="soup", name="S"),
    )
    (one,) = outlook(rows=rows).takes_left
    assert leaves_out(one) == ["Leaves out zzspice: how much it takes is not known."]


def test_takes_left__shots_alike_but_for_what_is_not_known() -> None:
    spice = line("toast", "zzspice", "2 tsp", step=2)
    both = Shot(dish="toast", name="T1"), Shot(dish="toast", name="T2", steps="1")
    rows = (*ROWS[:4], spice, pack("zzspice", "20 g", "2.50"), *both)
    assert [bool(leaves_out(one)) for one in outlook(rows=rows).takes_left] == [True, False]


def test_takes_left__a_take_that_leaves_nothing_for_the_others_lacks_what_they_need() -> None:
    """Two slices are left and T2 takes them: one more T1 lacks two."""
    left = outlook(("T1", "taken"), ("T1", "taken"), ("bread", "counted", "2 each"))
    first, last = takes_left(left).rows
    assert (first["more"], last["more"]) == (0, 1)
    assert first["note"] == "One more lacks bread 2 (12 at Corner, 1.80 EUR)."
    assert last["note"] == "One beyond that lacks bread 2, as T1 does."


def test_takes_left__several_that_lack_alike_are_told_once() -> None:
    """Six slices and 30 g of butter are three takes, all planned: a fourth lacks 2 and 10 g."""
    packs = pack("bread", "6 each", "1.80"), pack("butter", "30 g", "0.50")
    both = outlook(rows=(*ROWS[:2], *packs, *ROWS[4:]))
    first, last = (str(row["note"]) for row in takes_left(both).rows)
    needs = "bread 2 (6, 1.80 EUR); butter 10 g (30 g, 0.50 EUR)"
    assert first == f"One beyond that lacks {needs}."
    assert last == "One beyond that lacks the same as T1."
    assert [*notes_of(both.takes_left[1], both)] == [f"One beyond that lacks {needs}."]


def test_takes_left__one_thing_that_lacks_alike_is_named_with_its_packs_once() -> None:
    """Six slices are three takes, all planned: a fourth of either lacks two."""
    both = outlook(rows=(ROWS[0], pack("bread", "6 each", "1.80"), *ROWS[4:]))
    first, last = (str(row["note"]) for row in takes_left(both).rows)
    assert first == "One beyond that lacks bread 2 (6, 1.80 EUR)."
    assert last == "One beyond that lacks bread 2, as T1 does."
    assert [*notes_of(both.takes_left[1], both)] == [first]


def test_balance_words__add_up() -> None:
    """12 bought, 2 used by one take; 5 counted: 5 no line explains. 15 counted: 5 besides."""
    counted = outlook(("T1", "taken"), ("bread", "counted", "5 each"))
    assert balance_words(counted.balances[0], counted) == (
        "bread: bought 12 = used 2 + there 5 + not logged 5."
    )
    more = outlook(("T1", "taken"), ("bread", "counted", "15 each"))
    assert balance_words(more.balances[0], more) == (
        "bread: bought 12 = used 2 + there 15 - not in the books 5."
    )
    books = outlook(*[("T1", "taken")] * 7)
    assert balance_words(books.balances[0], books) == (
        "bread: bought 12 = used 14 + there 0 - not in the books 2."
    )


def test_balance_words__what_is_fetched_after_the_count_is_named() -> None:
    """5 slices are counted two days before the shoot, and 12 are fetched on the day between."""
    day = Episode(name="A", shoot_date="2031-05-10")
    count = Logged(what="bread", event="counted", when="2031-05-08 10:00", amount="5 each")
    early = outlook_of(*ROWS, day, log=[count], currency="EUR")
    assert balance_words(early.balances[0], early) == (
        "bread: bought 12 = used 0 + there 17 (12 of it fetched on a day after the count) - not in "
        "the books 5."
    )


@pytest.mark.parametrize(
    ("counted_at", "there", "off"),
    [("2031-05-10 15:00", 1, True), ("2031-05-11 08:00", 3, False)],
)
def test_takes_left__a_take_assumed_after_a_count_is_said(
    counted_at: str, there: int, *, off: bool
) -> None:
    """5 slices are counted, and T3 takes 2. T2 was not logged: it takes 2 off a count of its own
    day; at a count of the next day it had happened.
    """
    rows = (
        *ROWS[:4],
        Episode(name="A", shoot_date="2031-05-10"),
        Episode(name="B", shoot_date="2031-05-11"),
        Shot(dish="toast", name="T1", episode="A"),
        Shot(dish="toast", name="T2", episode="A"),
        Shot(dish="toast", name="T3", episode="B"),
    )
    log = [
        Logged(what="T1", event="taken", when="2031-05-10 09:00"),
        Logged(what="bread", event="counted", when=counted_at, amount="5 each"),
        Logged(what="T3", event="taken", when="2031-05-11 09:00"),
    ]
    left = outlook_of(*rows, log=log, currency="EUR")
    notes = [" ".join(notes_of(one, left)) for one in left.takes_left]
    assert notes[1] == (
        ("That is taken off the count of bread too: log when it was, or count again. " * off)
        + "costing close counts it as not taken."
    )
    assert f" + there {there} " in balance_words(left.balances[0], left)
