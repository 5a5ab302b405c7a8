"""Containers inside containers: the worst component governs."""

from __future__ import annotations

from datetime import timedelta

from bowls import bowl, clock_shows, judged

from costing.holding.models import Container, Eaten
from costing.holding.statuses import Status, Verdict

MINUTE = timedelta(minutes=1)


def last(containers: list[Container], rule: str, at: str, **settings: str | None) -> Verdict:
    """The strictest verdict on the last of the containers."""
    verdicts, _ = judged(containers, rule, at=at, room=settings.get("room", "24 C"))
    return next(v for v in verdicts if v.strictest and v.container == containers[-1].name)


def test_contents__what_was_poured_in_keeps_its_time() -> None:
    """The tub was out 10:00 to 11:00 and again at 11:30; its puree is in the bowl from 11:40."""
    tub = bowl("out 10:00 4 C", "back 11:00 4 C", "out 11:30 4 C", name="tub")
    dish = bowl("out 11:40 4 C", name="dish", holds=("Tub",))
    told = last([tub, dish], "US-HOME-2H", "12:00")
    assert told.out_for == 90 * MINUTE
    assert clock_shows(told.discard_at) == "2026-10-05 12:30 WEST"
    assert 'Counted with the times of "tub", which it holds.' in told.reason


def test_contents__return_of_the_outer_ends_the_time_of_what_was_poured_in() -> None:
    tub = bowl("out 10:00 4 C", name="tub")
    dish = bowl("prep 10:20 4 C", "back 10:50 4 C", name="dish", holds=("tub",))
    told = last([tub, dish], "US-HOME-2H", "18:00")
    assert told.out_for == 50 * MINUTE
    assert told.discard_at is None


def test_contents__back_in_control_the_component_that_was_out_longest_is_told() -> None:
    """Jug out 9:00 to 9:40, then in the bowl with ham out 10:00 to 10:30: 40 + 30 = 70 of 120 min.

    The ham had 30 min, and none of it is out.
    """
    jug = bowl("out 09:00 4 C", "back 09:40 4 C", name="jug")
    dish = bowl("out 10:00 4 C", "back 10:30 4 C", name="dish", holds=("ham", "jug"))
    told = last([jug, dish], "US-HOME-2H", "11:00")
    assert (told.out_for, told.discard_at) == (70 * MINUTE, None)
    assert "50 min are left of the limit" in told.reason


def test_contents__what_stands_in_another_container_is_pointed_to() -> None:
    """The bowl went back at 10:00, and the tray that holds it went out at 11:00."""
    tub = bowl("out 09:30 4 C", "back 10:00 4 C", name="tub")
    tray = bowl("out 11:00 4 C", name="tray", holds=("tub",))
    verdicts, _ = judged([tub, tray], "US-HOME-2H", at="11:30", room="24 C")
    said = {v.container: v.reason for v in verdicts}
    assert 'What of it is in "tray", or stands on it, is judged there.' in said["tub"]
    assert "is judged there" not in said["tray"]
    before, _ = judged([tub, tray], "US-HOME-2H", at="10:30", room="24 C")
    assert not any("is judged there" in v.reason for v in before)


def test_contents__emptied_in_the_same_minute_is_poured_in() -> None:
    tub = bowl("out 10:00 4 C", "prep 10:20", name="tub")
    dish = bowl("out 10:20 4 C", "back 10:50 4 C", name="dish", holds=("tub",))
    assert last([tub, dish], "US-HOME-2H", "18:00").out_for == 50 * MINUTE


def test_contents__return_of_the_outer_does_not_cool_the_rest_of_the_inner() -> None:
    """The dish goes back at 10:20, the tub at 10:30."""
    tub = bowl("out 10:00 4 C", "back 10:30 4 C", name="tub")
    dish = bowl("out 10:10 4 C", "back 10:20 4 C", name="dish", holds=("tub",))
    assert last([tub, dish], "US-HOME-2H", "18:00").out_for == 30 * MINUTE


def test_contents__inner_that_goes_on_while_the_outer_is_filled_is_not_emptied() -> None:
    """The tub still stands there at 10:20, and nobody logged it back."""
    tub = bowl("out 10:00 4 C", "reading 10:20 9 C", name="tub")
    dish = bowl("prep 10:05 4 C", "out 10:30 4 C", "back 10:50 4 C", name="dish", holds=("tub",))
    assert last([tub, dish], "US-HOME-2H", "11:00").out_for == 60 * MINUTE


def test_contents__reading_of_the_room_says_nothing_of_the_food() -> None:
    tub = bowl("out 10:00 4 C", "room 10:30 24 C", name="tub")
    dish = bowl("out 10:20 4 C", "back 10:50 4 C", name="dish", holds=("tub",))
    assert last([tub, dish], "US-HOME-2H", "18:00").out_for == 50 * MINUTE


def test_contents__return_of_the_inner_does_not_cool_the_outer() -> None:
    """The rest in the tub goes back at 10:30; what is in the dish stays out."""
    tub = bowl("out 10:00 4 C", "back 10:30 4 C", name="tub")
    dish = bowl("prep 10:10 4 C", name="dish", holds=("tub",))
    assert last([tub, dish], "US-HOME-2H", "11:00").out_for == 60 * MINUTE


def test_contents__rest_of_the_inner_still_counts() -> None:
    """Nobody knows when more of the tub went in, so its later times count as well."""
    tub = bowl("out 10:00 4 C", "back 10:10 4 C", "out 12:00 4 C", "back 12:20 4 C", name="tub")
    dish = bowl("out 10:10 4 C", "back 10:40 4 C", name="dish", holds=("tub",))
    assert last([tub, dish], "US-HOME-2H", "18:00").out_for == 60 * MINUTE


def test_contents__rest_of_the_inner_thrown_away_ends_only_its_own_time() -> None:
    tub = bowl("out 10:00 4 C", "discarded 11:00", name="tub")
    dish = bowl("out 10:30 4 C", "back 10:45 4 C", name="dish", holds=("tub",))
    told = last([tub, dish], "US-HOME-2H", "18:00")
    assert told.out_for == 60 * MINUTE
    assert told.status is Status.WITHIN


def test_contents__rest_thrown_away_before_does_not_end_the_time_of_what_was_poured_in() -> None:
    """Out in the tub at 10:00, in the dish from some time before 10:40: 1 h by 11:00."""
    tub = bowl("out 10:00 4 C", "discarded 10:30", name="tub")
    dish = bowl("out 10:40 4 C", name="dish", holds=("tub",))
    assert last([tub, dish], "US-HOME-2H", "11:00").out_for == 60 * MINUTE


def test_contents__last_reading_of_the_food_is_the_latest_of_its_containers() -> None:
    """4 °C in the tub at 09:00 and in the dish at 10:00, 9 °C at 10:30: out since 10:00."""
    tub = bowl("reading 09:00 4 C", name="tub")
    dish = bowl("reading 10:00 4 C", "reading 10:30 9 C", name="dish", holds=("tub",))
    assert last([tub, dish], "AU-2H4H", "11:00").out_for == 60 * MINUTE


def test_contents__worst_of_two_components_governs_and_they_do_not_add_up() -> None:
    """One was out for 1 h, the other for 1 h 30 min; the dish is out 10 min more."""
    beans = bowl("out 09:00 4 C", "back 10:00 4 C", name="beans")
    leeks = bowl("out 10:00 4 C", "back 11:30 4 C", name="leeks")
    dish = bowl("out 12:00 4 C", name="dish", holds=("beans", "leeks"))
    told = last([beans, leeks, dish], "US-HOME-2H", "12:10")
    assert told.out_for == 100 * MINUTE
    assert clock_shows(told.discard_at) == "2026-10-05 12:30 WEST"
    assert 'Counted with the times of "leeks"' in told.reason


def test_contents__at_any_depth() -> None:
    """30 min in the jar, 20 min in the tub, 10 min in the dish."""
    jar = bowl("opened 10:00 4 C", "back 10:30 4 C", name="jar")
    tub = bowl("out 11:00 4 C", "back 11:20 4 C", name="tub", holds=("jar",))
    dish = bowl("out 12:00 4 C", name="dish", holds=("tub", "salt"))
    assert last([jar, tub, dish], "US-HOME-2H", "12:10").out_for == 60 * MINUTE


def test_contents__container_of_the_same_name_as_its_food_does_not_hold_itself() -> None:
    verdicts, found = judged([bowl("out 10:00 4 C", name="hummus", holds=("Hummus",))], at="11:00")
    assert [v.status for v in verdicts] == [Status.WITHIN]
    assert found == []


def test_contents__start_of_the_first_container_is_the_start_of_the_clock() -> None:
    """Out of the refrigerator in the tub at 10:00 at 4 °C: the dish may be marked until 14:00."""
    tub = bowl("out 10:00 4 C", name="tub")
    for marked, status in (("14:00", Status.WITHIN), ("14:20", Status.CANNOT_BE_USED)):
        dish = bowl("out 10:20", name="dish", holds=("tub",), marked=marked)
        verdicts, _ = judged([tub, dish], "US-TPHC-4", at="11:00")
        assert next(v.status for v in verdicts if v.container == "dish") is status


def test_contents__earlier_mark_of_a_component_governs() -> None:
    tub = bowl("out 10:00 4 C", name="tub", marked="12:00")
    dish = bowl("out 10:20 4 C", name="dish", holds=("tub",), marked="14:00")
    told = last([tub, dish], "US-TPHC-4", "11:00")
    assert clock_shows(told.discard_at) == "2026-10-05 12:00 WEST"


def test_contents__what_needs_no_control_brings_no_time_along() -> None:
    """The flour has stood in the kitchen since the morning; the dough counts from 11:00."""
    flour = bowl("out 08:00 22 C", name="flour tub", covered=False)
    dough = bowl("out 11:00 4 C", name="dough", holds=("flour tub",))
    told = last([flour, dough], "US-HOME-2H", "12:00")
    assert told.status is Status.WITHIN
    assert told.out_for == 60 * MINUTE


def test_contents__component_that_no_chosen_rule_is_about_has_the_general_rule() -> None:
    """Hot stock goes into the sauce, and the only rule chosen is for chilled food."""
    stock = bowl("out 10:00 70 C", name="stock")
    sauce = bowl("out 10:30", name="sauce", holds=("stock", "cream"))
    verdicts, _ = judged([stock, sauce], "UK-CHILL4", at="12:00")
    assert [(v.rule, v.status) for v in verdicts if v.container == "sauce"] == [
        ("US-HOME-2H", Status.DISCARD),
        ("UK-CHILL4", Status.WITHIN),
    ]


def test_contents__two_that_hold_each_other() -> None:
    one = bowl("out 10:00 4 C", name="one", holds=("two",))
    two = bowl("out 10:30 4 C", name="two", holds=("one",))
    verdicts, found = judged([one, two], "US-HOME-2H", at="11:00")
    assert [v.out_for for v in verdicts] == [60 * MINUTE, 60 * MINUTE]
    assert [finding.code for finding in found] == ["containers hold each other"]


def test_contents__ring_of_three_is_found() -> None:
    ring = [bowl("out 10:00 4 C", name=name, holds=(inner,)) for name, inner in ("ab", "bc", "ca")]
    verdicts, found = judged(ring, "US-HOME-2H", at="11:00")
    assert len(verdicts) == 3
    assert {finding.code for finding in found} == {"containers hold each other"}


def test_contents__two_containers_of_one_name_both_count() -> None:
    early = bowl("out 10:00 4 C", name="tub")
    late = bowl("out 10:30 4 C", name="tub")
    dish = bowl("out 10:40 4 C", name="dish", holds=("tub",))
    assert last([late, early, dish], "US-HOME-2H", "11:00").out_for == 60 * MINUTE


def test_contents__what_holds_styling_is_never_eaten() -> None:
    glue = bowl("out 10:00", name="glue", eaten=Eaten.NEVER)
    dish = bowl("out 10:30 4 C", name="dish", holds=("glue", "oats"))
    told = last([glue, dish], "US-HOME-2H", "20:00")
    assert told.status is Status.NEVER_EAT
    assert told.reason == 'It holds "glue", which is never eaten: no rule can make it food.'
    assert not told.alarm


def test_contents__styling_that_holds_styling_is_so_by_itself() -> None:
    glue = bowl("out 10:00", name="glue", eaten=Eaten.NEVER)
    prop = bowl("out 10:00", name="prop", holds=("glue",), eaten=Eaten.NEVER)
    told = last([glue, prop], "US-HOME-2H", "20:00")
    assert told.reason == "Logged as never eaten: no rule can make it food."


def test_contents__many_containers_in_each_other_are_soon_judged() -> None:
    """Each holds the two before it: the ways through them double, the work must not."""
    tower = [
        bowl(
            f"out 10:{number:02d} 4 C",
            name=f"n{number}",
            holds=(f"n{number - 1}", f"n{number - 2}"),
        )
        for number in range(40)
    ]
    assert last(tower, "US-HOME-2H", "11:00").out_for == 60 * MINUTE
