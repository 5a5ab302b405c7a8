"""Rules of a person's own, in a file beside the workbook."""

from __future__ import annotations

import tomllib
from pathlib import Path

import pytest
from by_hand import save_workbook_by_hand
from openpyxl import load_workbook

from costing.estimating import estimate
from costing.holding.rules import load_rules, own_rules
from costing.holding.verified import RULES_FILE
from costing.workbook.reading import read_workbook
from costing.workbook.results.write import write_results

GOOD = """
[OUR-KITCHEN-1H]
jurisdiction = "our kitchen"
instrument = "plan on the wall"
clause = "bowls"
edition = "spring"
standing = "guidance"
clock = "adding up"
businesses_only = false

[OUR-KITCHEN-1H.zone.lower]
celsius = 5
inclusive = false
source_id = "our-plan"
locator = "line 1"
as_printed = "5 °C"
verified = "source-text"

[[OUR-KITCHEN-1H.limits]]
minutes = 60
action = "discard"
source_id = "our-plan"
locator = "line 2"
as_printed = "one hour"
verified = "source-text"
"""


def toml_fault(text: str) -> str:
    """What this Python says of text that is no TOML; the words change between versions."""
    try:
        tomllib.loads(text)
    except tomllib.TOMLDecodeError as fault:
        return str(fault)
    raise ValueError("this is TOML")


def written(folder: Path, text: str) -> Path:
    """A folder with that file of rules."""
    (folder / RULES_FILE).write_text(text, encoding="utf-8")
    return folder


def save_log_by_hand(path: Path) -> None:
    """A workbook that chooses the rule above, with a jug that is out for an hour."""
    save_workbook_by_hand(path)
    book = load_workbook(path)
    book["Settings"].append(["Holding rules", "our-kitchen-1h"])
    book["Settings"].append(["Time zone", "Europe/Lisbon"])
    log = book.create_sheet("Holding")
    log.append(["Container", "Holds", "Event", "When", "Temperature"])
    log.append(["jug", "milk", "out", "2031-05-10 10:00", "4 C"])
    log.append([None, None, "reading", "2031-05-10 11:00", "12 C"])
    book.save(path)


def test_own_rules__all_faults_of_a_rule_are_told_at_once(tmp_path: Path) -> None:
    text = GOOD.replace("minutes = 60", "minute = 60").replace('"guidance"', '"house rule"')
    _, (finding,) = own_rules(written(tmp_path, text))
    said = str(finding).partition("found a fault at ")[2].partition(", expected the keys")[0]
    places = [one.partition(":")[0] for one in said.split("; at ")]
    assert places == ["standing", "limits.0.minutes", "limits.0.minute"]


@pytest.mark.parametrize("encoding", ["cp1252", "utf-16"])
def test_own_rules__another_encoding_is_told_in_words(tmp_path: Path, encoding: str) -> None:
    (tmp_path / RULES_FILE).write_bytes(GOOD.encode(encoding))
    rules, (finding,) = own_rules(tmp_path)
    assert rules == {}
    assert "found a file that is not saved as UTF-8, expected" in str(finding)


def test_own_rules__none_beside_the_workbook(tmp_path: Path) -> None:
    assert own_rules(tmp_path) == ({}, [])


def test_own_rules__are_read_and_judge_the_workbook_beside_them(tmp_path: Path) -> None:
    """Out at 10:00, one hour allowed: past it from 11:00 on."""
    path = written(tmp_path, GOOD) / "plan.xlsx"
    save_log_by_hand(path)
    shoot, findings = read_workbook(path)
    assert not findings
    first, *_ = estimate(shoot).verdicts
    assert (first.rule, str(first.status)) == ("OUR-KITCHEN-1H", "discard")
    assert first.discard_at is not None
    assert f"{first.discard_at:%H:%M}" == "11:00"


@pytest.mark.parametrize(
    ("text", "said"),
    [
        (
            "[[",
            f"'holding_rules.toml': found text that is no TOML ({toml_fault('[[')}), expected a "
            "list of holding rules as TOML, one table for each rule [own rules unreadable]\n"
            "  Mend the file or take it out of the folder; until then none of its rules is "
            "applied.",
        ),
        (
            GOOD.replace("minutes = 60\n", ""),
            "'holding_rules.toml' (row \"OUR-KITCHEN-1H\"): found a fault at limits.0.minutes: "
            "Field required, expected the keys of a published rule, each figure with source_id, "
            "locator, as_printed and verified [own rule faulty]\n"
            "  Mend the rule in the file; until then it is not applied.",
        ),
        (
            GOOD.replace("celsius = 5\n", "fahrenheit = 5\ncelsius = 5\n"),
            "'holding_rules.toml' (row \"OUR-KITCHEN-1H\"): found a fault at zone.lower: 5 °F (5 "
            "°C) are two temperatures, not one in two units, expected the keys of a published "
            "rule, each figure with source_id, locator, as_printed and verified [own rule faulty]\n"
            "  Mend the rule in the file; until then it is not applied.",
        ),
        (
            "OUR = 3\n",
            "'holding_rules.toml' (row \"OUR\"): found a fault at the rule as a whole: not a table "
            "of its own, expected the keys of a published rule, each figure with source_id, "
            "locator, as_printed and verified [own rule faulty]\n"
            "  Mend the rule in the file; until then it is not applied.",
        ),
        (
            GOOD.replace(
                "[[OUR",
                "[OUR-KITCHEN-1H.zone.upper]\nfahrenheit = 41\ninclusive = false\n"
                "source_id = 'our'\nlocator = 'line 3'\nas_printed = '41 °F'\n"
                "verified = 'memory'\n\n[[OUR",
            ),
            "'holding_rules.toml' (row \"OUR-KITCHEN-1H\"): found a fault at zone: the lower "
            "edge of the zone is not below its upper one, expected the keys of a published rule, "
            "each figure with source_id, locator, as_printed and verified [own rule faulty]\n"
            "  Mend the rule in the file; until then it is not applied.",
        ),
        (
            GOOD.replace('"adding up"', '"adding up"\ncooled_by = "US-COLD"'),
            "'holding_rules.toml' (row \"OUR-KITCHEN-1H\"): found a fault at the rule as a whole: "
            'cooled_by names no rule: "US-COLD", expected the keys of a published rule, each '
            "figure with source_id, locator, as_printed and verified [own rule faulty]\n"
            "  Mend the rule in the file; until then it is not applied.",
        ),
        (
            GOOD.replace("OUR-KITCHEN-1H", "us-home-2h"),
            '\'holding_rules.toml\' (row "us-home-2h"): found the id "us-home-2h", which is a '
            "published rule, expected an id of your own [own rule taken]\n"
            "  Give the rule another id and name that one in Settings; the published rule stays "
            "as it is.",
        ),
    ],
    ids=[
        "no TOML",
        "a figure missing",
        "two temperatures in one figure",
        "no table",
        "a zone upside down: 41 °F is 5 °C",
        "a companion that is no rule",
        "a published id",
    ],
)
def test_own_rules__faulty_ones_are_told_and_left_out(tmp_path: Path, text: str, said: str) -> None:
    rules, (finding,) = own_rules(written(tmp_path, text))
    assert rules == {}
    assert str(finding) == said


def test_own_rules__a_faulty_rule_does_not_take_the_others_with_it(tmp_path: Path) -> None:
    rules, findings = own_rules(written(tmp_path, GOOD + "\n[OTHER]\nclock = 'adding up'\n"))
    assert list(rules) == ["OUR-KITCHEN-1H"]
    assert [finding.code for finding in findings] == ["own rule faulty"]


def test_own_rules__published_rules_stay_as_they_are(tmp_path: Path) -> None:
    before = load_rules()
    own_rules(written(tmp_path, GOOD))
    assert load_rules() == before


@pytest.mark.parametrize(
    ("table", "codes"),
    [
        (GOOD.replace("inclusive", "inclusve"), ["own rule faulty"]),
        (GOOD.replace("KITCHEN-1H", "KITCHEN-2H"), ["holding rule unknown"]),
        (GOOD, []),
    ],
)
def test_own_rules__a_faulty_one_that_is_chosen_is_told_once(
    tmp_path: Path, table: str, codes: list[str]
) -> None:
    """What the cell Holding rules names is known, and why it is not applied is said."""
    path = tmp_path / "day.xlsx"
    save_workbook_by_hand(path)
    book = load_workbook(path)
    book["Settings"].append(["Holding rules", "OUR-KITCHEN-1H, US-HOME-2H"])
    book.save(path)
    written(tmp_path, table)
    findings = read_workbook(path)[1]
    assert [one.code for one in findings if "rule" in one.code] == codes


@pytest.mark.parametrize(
    ("table", "code"),
    [
        (GOOD.replace("minutes = 60\n", ""), "own rule faulty"),
        (GOOD.replace("KITCHEN-1H", "KITCHEN-2H"), "holding rule unknown"),
    ],
    ids=["faulty", "unknown"],
)
def test_own_rules__a_chosen_one_that_cannot_be_read_may_be_stricter_than_the_general_rule(
    tmp_path: Path, table: str, code: str
) -> None:
    """An hour out is half of the two of HOME-2H-5C, and all that the rule as meant allows."""
    path = written(tmp_path, table) / "day.xlsx"
    save_log_by_hand(path)
    found = estimate(read_workbook(path)[0])
    assert [(one.rule, str(one.status), one.strictest) for one in found.verdicts] == [
        ("our-kitchen-1h", "rule cannot be used", True),
        ("HOME-2H-5C", "within the limit", False),
    ]
    assert [one.code for one in found.findings if "rule" in one.code] == [code]
    write_results(path, found)
    shown = {cell.value for row in load_workbook(path)["Holding times"] for cell in row}
    assert {"rule cannot be used", "within the limit"} <= shown


@pytest.mark.parametrize(
    ("was", "wrong", "where"),
    [
        ("celsius = 5", "celsius = nan", "zone.lower.celsius"),
        ("celsius = 5", "celsius = -inf", "zone.lower.celsius"),
        ("celsius = 5", "celsius = 1e999999", "zone.lower.celsius"),
        ("minutes = 60", "minutes = 99999999999999", "limits.0.minutes"),
        ("minutes = 60", "minutes = true", "limits.0.minutes"),
        ("celsius = 5", "celsius = false", "zone.lower.celsius"),
    ],
)
def test_own_rules__a_number_that_is_no_figure_is_told(
    tmp_path: Path, was: str, wrong: str, where: str
) -> None:
    """TOML has nan, inf, true and false; a limit of millions of years is none."""
    rules, (finding,) = own_rules(written(tmp_path, GOOD.replace(was, wrong)))
    assert (rules, finding.code) == ({}, "own rule faulty")
    assert f"a fault at {where}: " in finding.found


def test_own_rules__a_number_too_long_to_be_read_is_told(tmp_path: Path) -> None:
    rules, (finding,) = own_rules(written(tmp_path, GOOD.replace("= 60", f"= {'6' * 5000}")))
    assert (rules, finding.code) == ({}, "own rules unreadable")
