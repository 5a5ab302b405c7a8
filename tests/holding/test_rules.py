"""The published rules: complete, sourced, with the figures of their instruments."""

from __future__ import annotations

import csv
import tomllib

import pytest
from bowls import FIVE, TREE
from pydantic import ValidationError

from costing.holding.explaining import explain
from costing.holding.figures import Action
from costing.holding.models import EventKind, read_temperature
from costing.holding.rules import ClockKind, Rule, load_rules, read_rules
from costing.holding.verified import Verified

LEAST = """
[X-1]
jurisdiction = "nowhere"
instrument = "an instrument"
clause = "1"
edition = "first"
standing = "guidance"
clock = "adding up"
businesses_only = false

[[X-1.limits]]
minutes = 60
action = "discard"
source_id = "a-source"
locator = "1"
as_printed = "1 hour"
verified = "memory"
"""


ALL = (
    "US-HOME-2H",
    "HOME-2H-5C",
    *FIVE[1:],
    *("US-HOLD", "US-TPHC-4P", "US-TPHC-6", "US-COOL", "US-COOL-AMB", "US-DATE7", "US-REHEAT"),
    *("SCO-HOLD", "AU-COOL", "SG-4H", "HK-2H4H", "CA-2H", "CA-NB", "EU-GEN", "FR-COLD2"),
    *("FR-COOL", "FR-REHEAT", "IE-CC", "IE-CC-DAYS", "NL-2H", "CODEX-39"),
    *("US-CA-PREP2", "BR-HOT6", "BR-COOL", "BR-DAYS5", "ES-HOLD", "ES-FRUIT3", "JP-COOL"),
    *("DE-HOT60", "IN-HOLD"),
)


def test_load_rules__in_the_order_of_the_table() -> None:
    assert tuple(load_rules()) == ALL


def test_load_rules__one_is_applied_where_another_cannot_be_used() -> None:
    assert [rule.id for rule in load_rules().values() if rule.fallback] == [
        "US-HOME-2H",
        "HOME-2H-5C",
    ]


@pytest.mark.parametrize("name", ALL)
def test_load_rules__every_figure_names_a_known_source(name: str) -> None:
    with (TREE / "reference" / "sources.csv").open(encoding="utf-8", newline="") as file:
        known = {row["source_id"] for row in csv.DictReader(file)}
    figures = load_rules()[name].figures
    assert figures
    for _, figure in figures:
        assert figure.source_id in known
        assert figure.locator.strip()
        assert figure.as_printed.strip()


@pytest.mark.parametrize("missing", ["source_id", "locator", "verified", "as_printed"])
def test_read_rules__refuse_a_figure_without(missing: str) -> None:
    text = "\n".join(line for line in LEAST.splitlines() if not line.startswith(missing))
    with pytest.raises(ValidationError, match=missing):
        read_rules(text)


@pytest.mark.parametrize("missing", ["instrument", "clause", "edition", "businesses_only"])
def test_read_rules__refuse_a_rule_without(missing: str) -> None:
    text = "\n".join(line for line in LEAST.splitlines() if not line.startswith(missing))
    with pytest.raises(ValidationError, match=missing):
        read_rules(text)


@pytest.mark.parametrize(
    ("change", "reason"),
    [
        (('source_id = "a-source"', 'source_id = ""'), "at least 1 character"),
        (('verified = "memory"', 'verified = "sure"'), "Input should be 'source-text'"),
        (('action = "discard"', 'action = "do not return"'), "must end with the one limit"),
        (("minutes = 60", "minutes = 0"), "greater than 0"),
        (('clock = "adding up"', 'clock = "egg timer"'), "Input should be 'running'"),
        (('edition = "first"', 'edition = "first"\nzone = {}'), "a zone needs a lower or an upper"),
        (('edition = "first"', 'edition = "first"\nsnooze = true'), "Extra inputs"),
        (('clock = "adding up"', 'clock = "one pass"'), "a clock of one pass has stages"),
        (('clock = "adding up"', 'clock = "days"'), "a clock of days has days"),
    ],
    ids=lambda value: value[1][:24] if isinstance(value, tuple) else "",
)
def test_read_rules__refuse_what_no_clock_can_run(change: tuple[str, str], reason: str) -> None:
    with pytest.raises(ValidationError, match=reason):
        read_rules(LEAST.replace(*change))


def test_read_rules__refuse_limits_out_of_order() -> None:
    shorter = LEAST[LEAST.index("[[X-1.limits]]") :].replace("60", "30")
    with pytest.raises(ValidationError, match="X-1: limits are not in order"):
        read_rules(LEAST + shorter)


def test_read_rules__refuse_a_temperature_in_no_unit() -> None:
    ceiling = LEAST[LEAST.index("[[X-1.limits]]") :].replace("[[X-1.limits]]", "[X-1.ceiling]")
    lines = [line for line in ceiling.splitlines() if not line.startswith(("minutes", "action"))]
    with pytest.raises(ValidationError, match="needs fahrenheit, celsius or both"):
        read_rules(LEAST + "\n".join(lines))


def test_read_rules__refuse_what_is_no_table() -> None:
    with pytest.raises(tomllib.TOMLDecodeError):
        read_rules("[X-1")


@pytest.mark.source("usda-two-hour-2016", "danger zone, two-hour rule, one-hour rule")
def test_load_rules__us_home_2h() -> None:
    rule = load_rules()["US-HOME-2H"]
    assert rule.clock is ClockKind.ADDING_UP
    assert limits(rule) == [(120, Action.DISCARD)]
    assert in_control(rule, "4 C", "40 F", "60 C", "140 F")
    assert out_of_control(rule, "4.1 C", "40.1 F", "59.9 C", "139.9 F")
    assert rule.hot_room is not None
    assert (rule.hot_room.minutes, str(rule.hot_room)) == (60, "90 °F (32 °C)")
    assert not rule.businesses_only


@pytest.mark.source("va-2vac5-585-850", "B 1")
def test_load_rules__us_tphc_4() -> None:
    rule = load_rules()["US-TPHC-4"]
    assert rule.clock is ClockKind.RUNNING
    assert limits(rule) == [(240, Action.DISCARD)]
    assert in_control(rule, "41 F", "5 C", "135 F", "57.3 C")
    assert out_of_control(rule, "41.1 F", "5.1 C", "134.9 F", "57.2 C")
    assert rule.needs_procedures
    assert not rule.may_return
    assert rule.businesses_only


@pytest.mark.source("fsanz-2h4h-2023", "times and temperatures of the rule")
def test_load_rules__au_2h4h() -> None:
    rule = load_rules()["AU-2H4H"]
    assert rule.clock is ClockKind.ADDING_UP
    assert limits(rule) == [(120, Action.DO_NOT_RETURN), (240, Action.DISCARD)]
    assert in_control(rule, "5 C", "41 F", "60 C", "140 F")
    assert out_of_control(rule, "5.1 C", "59.9 C")


@pytest.mark.source("uksi-2013-2996", "Schedule 4 paras 2 and 5")
def test_load_rules__uk_chill4() -> None:
    rule = load_rules()["UK-CHILL4"]
    assert rule.clock is ClockKind.SINGLE_PERIOD
    assert limits(rule) == [(240, Action.DISCARD)]
    assert in_control(rule, "8.0 C", "46.4 F")
    assert out_of_control(rule, "8.1 C", "46.5 F")


@pytest.mark.source("wsi-2006-31", "Schedule 4 paras 6 and 7(2)")
def test_load_rules__uk_hot2() -> None:
    rule = load_rules()["UK-HOT2"]
    assert rule.clock is ClockKind.SINGLE_PERIOD
    assert limits(rule) == [(120, Action.DISCARD)]
    assert in_control(rule, "63 C", "145.4 F", "8 C")
    assert out_of_control(rule, "62.9 C", "145.3 F")


def limits(rule: Rule) -> list[tuple[int, Action]]:
    return [(limit.minutes, limit.action) for limit in rule.limits]


def in_control(rule: Rule, *texts: str) -> bool:
    return all(rule.in_control(read_temperature(text)) for text in texts)


def out_of_control(rule: Rule, *texts: str) -> bool:
    return not any(rule.in_control(read_temperature(text)) for text in texts)


def test_load_rules__least_sure_figure_gives_the_status_of_the_rule() -> None:
    assert {name: str(rule.verified) for name, rule in load_rules().items()} == {
        "US-HOME-2H": "secondary",
        **dict.fromkeys(ALL[-9:], "secondary"),
        "HOME-2H-5C": "secondary",
        "US-TPHC-4": "adopted-text",
        "AU-2H4H": "source-text",
        "UK-CHILL4": "adopted-text",
        "UK-HOT2": "secondary",
        "US-HOLD": "adopted-text",
        "US-TPHC-4P": "adopted-text",
        "US-TPHC-6": "adopted-text",
        "US-COOL": "adopted-text",
        "US-COOL-AMB": "adopted-text",
        "US-DATE7": "adopted-text",
        "US-REHEAT": "adopted-text",
        "SCO-HOLD": "adopted-text",
        "AU-COOL": "secondary",
        "SG-4H": "source-text",
        "HK-2H4H": "source-text",
        "CA-2H": "source-text",
        "CA-NB": "source-text",
        "EU-GEN": "secondary",
        "FR-COLD2": "secondary",
        "FR-COOL": "secondary",
        "FR-REHEAT": "secondary",
        "IE-CC": "source-text",
        "IE-CC-DAYS": "source-text",
        "NL-2H": "secondary",
        "CODEX-39": "memory",
    }


def test_load_rules__gives_a_table_of_its_own_each_time() -> None:
    load_rules().clear()
    assert tuple(load_rules()) == ALL


def test_read_rules__a_rule_without_figures_is_not_verified() -> None:
    rule = read_rules(LEAST[: LEAST.index("[[X-1.limits]]")])["X-1"]
    assert rule.verified is Verified.MEMORY
    assert not rule.in_control(read_temperature("4 C"))


def test_explain__the_whole_of_a_rule() -> None:
    assert explain(load_rules()["AU-2H4H"]) == (
        "AU-2H4H: Australia\n"
        "  FSANZ 2-hour/4-hour rule, guidance to Standard 3.2.2, the rule as stated, "
        "updated 7 December 2023 (guidance)\n"
        "  Clock: separate times out of control are added together.\n"
        "  Runs above 5 °C and below 60 °C.\n"
        "  From 2 h on: do not return.\n"
        "  From 4 h on: discard.\n"
        "  Cooling proven by readings as AU-COOL asks is not counted.\n"
        "  May go back under control: before 2 h.\n"
        "  Binds only businesses.\n"
        "  One way to keep to the Standard; a business may show another. A return after the "
        "first limit breaks the rule and does not stop the clock.\n"
        "  Verified: seen in the source text.\n"
        "    zone: 5 °C (fsanz-2h4h-2023, temperatures of the rule; seen in the source text)\n"
        "    zone: 60 °C (fsanz-2h4h-2023, temperatures of the rule; seen in the source text)\n"
        "    limit to do not return: less than 2 hours (fsanz-2h4h-2023, times of the rule; "
        "seen in the source text)\n"
        "    limit to discard: 4 hours or longer (nsw-2h4h, times of the rule; seen in the "
        "source text) The FSANZ page since December 2023 prints more than 4 hours."
    )


@pytest.mark.parametrize(
    ("name", "line"),
    [
        ("US-HOME-2H", "  In a room at or above 90 °F (32 °C): 1 h instead."),
        ("US-TPHC-4", "  At the start: at most 41 °F (5 °C), or at least 135 °F."),
        ("US-TPHC-4", "  The discard time must be marked on the container."),
        ("US-TPHC-4", "  Written procedures must be kept beforehand."),
        ("US-TPHC-4", "  May go back under control: no."),
        ("UK-CHILL4", "  May go back under control: before 4 h, once."),
        ("UK-CHILL4", "  About chilled food."),
    ],
)
def test_explain__says(name: str, line: str) -> None:
    assert line in explain(load_rules()[name]).splitlines()


def test_explain__what_only_further_rules_have() -> None:
    text = LEAST[: LEAST.index("[[X-1.limits]]")].replace(
        'edition = "first"', 'edition = "first"\nstarts_by = ["cut", "opened"]'
    )
    ceiling = (
        '[X-1.ceiling]\nfahrenheit = 70\nsource_id = "a"\nlocator = "1"\n'
        'as_printed = "70 °F"\nverified = "memory"\n'
    )
    rule = read_rules(text + ceiling)["X-1"]
    assert rule.starts_by == (EventKind.CUT, EventKind.OPENED)
    lines = explain(rule).splitlines()
    assert "  Starts when cut or opened." in lines
    assert "  States no time." in lines
    assert "  Above 70 °F at any moment: discard." in lines
