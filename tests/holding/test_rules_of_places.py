"""Worked cases of the rules for homes outside the United States and of further places."""

from __future__ import annotations

from datetime import timedelta

import pytest
from bowls import bowl, clock_shows, judged, verdict

from costing.holding.statuses import Status

HOUR = timedelta(hours=1)


def ends(told: object) -> str:
    return clock_shows(told.discard_at)[11:16]  # type: ignore[attr-defined]


@pytest.mark.source("fsa-chilling", "temperature of the refrigerator")
@pytest.mark.parametrize(
    ("read", "out"), [("5 C", False), ("5.1 C", True), ("60 C", True), ("60.1 C", False)]
)
def test_home__five_and_sixty(read: str, out: bool) -> None:
    """Back in a refrigerator at 5 °C it is in control; hot it must be above 60 °C."""
    told = verdict(bowl("out 10:00 4 C", f"back 11:00 {read}"), "HOME-2H-5C", at="11:30")
    assert told.out_for == (HOUR * 1.5 if out else HOUR)


@pytest.mark.source("who-five-keys-2006", "key 4")
def test_home__two_hours_whatever_the_room() -> None:
    """10:00 + 2 h = 12:00."""
    log = bowl("out 10:00 4 C")
    assert verdict(log, "HOME-2H-5C", at="11:59", room=None).status is Status.WITHIN
    assert verdict(log, "HOME-2H-5C", at="12:00").status is Status.DISCARD


@pytest.mark.source("ca-hsc-113998", "preparation")
def test_california__preparation_adds_up_and_stands_beside_the_general_rule() -> None:
    """50 min and 70 min are 2 h at 13:10; what is out for filming is judged by another rule."""
    log = bowl("prep 10:00 40 F", "back 10:50 40 F", "prep 12:00 40 F")
    assert ends(verdict(log, "US-CA-PREP2", at="12:30")) == "13:10"
    shown = bowl("out 10:00 40 F")
    verdicts, _ = judged([shown], "US-CA-PREP2", at="15:00")
    assert (verdicts[0].rule, verdicts[0].status) == ("US-HOME-2H", Status.DISCARD)


@pytest.mark.source("br-rdc-216-2004", "4.8.15 to 4.8.17")
def test_brazil__six_hours_hot_two_hours_to_cool_five_days() -> None:
    """10:00 + 6 h = 16:00, however hot it is read; 60 to 10 °C by 12:00; days 5 to 9 October."""
    pot = bowl("cooked 10:00 90 C", "reading 13:00 70 C")
    assert ends(verdict(pot, "BR-HOT6", at="15:59")) == "16:00"
    assert verdict(pot, "BR-HOT6", at="16:00").status is Status.DISCARD
    cooled = bowl("cooked 10:00 60 C", "reading 12:00 10 C", "back 13:00 4 C")
    assert verdict(cooled, "BR-COOL").status is Status.WITHIN
    late = bowl("cooked 10:00 60 C", "reading 12:01 10 C")
    assert ends(verdict(late, "BR-COOL")) == "12:00"
    days = verdict(cooled, "BR-DAYS5", at="20:00")
    assert clock_shows(days.discard_at).startswith("2026-10-10 00:00")


@pytest.mark.parametrize("then", ["reading 11:30 4 C", "reading 11:30 10 C"])
def test_brazil__cooled_in_time_it_is_not_kept_hot(then: str) -> None:
    """At 10 °C or colder at 11:30: nothing is left of the six hours hot."""
    log = bowl("cooked 10:00 90 C", then)
    assert verdict(log, "BR-HOT6", at="18:00").status is Status.WITHIN


@pytest.mark.source("es-rd-1021-2022", "cut fruit")
def test_spain__cut_melon_three_hours() -> None:
    """11:00 + 3 h = 14:00; above 25 °C at once."""
    melon = bowl("out 09:00 20 C", "cut 11:00 20 C")
    assert ends(verdict(melon, "ES-FRUIT3", at="12:00")) == "14:00"
    hot = bowl("cut 11:00 20 C", "reading 12:00 26 C")
    assert ends(verdict(hot, "ES-FRUIT3")) == "12:00"


@pytest.mark.source("jp-mass-catering", "cooling after heating")
@pytest.mark.parametrize(("read", "status"), [("11:00", "within the limit"), ("11:01", "discard")])
def test_japan__ten_degrees_in_an_hour(read: str, status: str) -> None:
    told = verdict(bowl("cooked 10:00 90 C", f"reading {read} 10 C"), "JP-COOL")
    assert told.status == status


@pytest.mark.parametrize("rule", ["ES-HOLD", "DE-HOT60", "IN-HOLD"])
def test_place__that_states_no_time_has_the_general_rule_below(rule: str) -> None:
    verdicts, _ = judged([bowl("out 10:00 4 C")], rule, at="11:00")
    assert {v.rule for v in verdicts} == {"US-HOME-2H", rule}


@pytest.mark.source("fr-arrete-2009-12-21", "Annex IV")
def test_france__the_store_is_cold_not_the_food() -> None:
    """A dish read at 4 °C in its store is not out; 2 h from the store, and 10 °C at most."""
    kept = bowl("reading 09:00 4 C", "reading 12:00 6 C")
    assert verdict(kept, "FR-COLD2", at="15:00").out_for == 0 * HOUR
    out = bowl("out 10:00 4 C", "reading 11:00 8 C")
    assert ends(verdict(out, "FR-COLD2", at="11:30")) == "12:00"


@pytest.mark.source("fr-arrete-2009-12-21", "Annex IV")
def test_france__thawed_cold_it_has_not_left_its_store() -> None:
    assert verdict(bowl("thawed 10:00 3 C"), "FR-COLD2", at="15:00").out_for == 0 * HOUR
    assert verdict(bowl("thawed 10:00 11 C"), "FR-COLD2", at="10:00").status == "discard"


@pytest.mark.source("fr-arrete-2009-12-21", "Annex IV")
def test_france__back_in_its_store_the_two_hours_run_on() -> None:
    """No figure of the text says when food is cold again: 10:00 + 2 h = 12:00."""
    told = verdict(bowl("out 10:00 4 C", "back 10:20 3 C"), "FR-COLD2", at="11:00")
    assert ends(told) == "12:00"
    assert "Going back at 2026-10-05 10:20 WEST did not stop this clock." in told.reason


@pytest.mark.source("fr-arrete-2009-12-21", "Annex IV")
@pytest.mark.parametrize(("heated", "status"), [("10:50", "not covered"), ("12:10", "discard")])
def test_france__reheated_in_time_it_is_no_cold_dish(heated: str, status: str) -> None:
    """10:00 + 2 h = 12:00, by which it is heated again; the ceiling of 10 °C is not for it."""
    log = bowl("out 10:00 3 C", f"reheated {heated} 82 C", "reading 13:00 70 C")
    assert verdict(log, "FR-COLD2", at="13:10").status == status
    warm = bowl("out 10:00 3 C", "reading 10:40 12 C", "reheated 10:50 82 C")
    assert ends(verdict(warm, "FR-COLD2", at="13:10")) == "10:40"


def test_netherlands__the_exemption_is_for_chilled_food() -> None:
    """A pot kept at 65 °C is judged by the rule for homes, below the exemption."""
    pot = bowl("cooked 10:00 90 C", "reading 12:00 66 C", "reading 15:00 65 C")
    verdicts, _ = judged([pot], "NL-2H", at="15:20")
    assert {v.rule: v.status for v in verdicts} == {
        "US-HOME-2H": "within the limit",
        "NL-2H": "not covered",
    }


def test_food_measured_above_a_ceiling__is_out_though_no_row_takes_it_out() -> None:
    """FR-COLD2 has no zone by which a reading of 20 °C would start it: the general rule judges."""
    verdicts, _ = judged([bowl("reading 10:00 20 C")], "FR-COLD2", at="15:00")
    assert (verdicts[0].rule, verdicts[0].status) == ("US-HOME-2H", Status.DISCARD)


@pytest.mark.parametrize("rule", ["US-TPHC-4P", "ES-FRUIT3"])
def test_rule_that_starts_by_cutting__does_not_judge_what_was_put_out(rule: str) -> None:
    """Nobody cut it: the general rule judges the five hours on the table."""
    verdicts, _ = judged([bowl("out 10:00 4 C")], rule, at="15:00")
    assert (verdicts[0].rule, verdicts[0].status) == ("US-HOME-2H", Status.DISCARD)


@pytest.mark.parametrize("rule", ["US-TPHC-4P", "ES-FRUIT3"])
def test_rule_that_starts_by_cutting__does_not_judge_what_was_only_measured(rule: str) -> None:
    """Five hours at 20 °C, and nobody cut it: the general rule counts from the first reading."""
    verdicts, _ = judged([bowl("reading 10:00 20 C", "reading 15:00 20 C")], rule, at="15:00")
    assert (verdicts[0].rule, verdicts[0].status) == ("US-HOME-2H", Status.DISCARD)
