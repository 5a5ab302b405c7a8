"""Rules in plain words."""

from __future__ import annotations

import pytest

from costing.holding.explaining import explain
from costing.holding.rules import load_rules


@pytest.mark.parametrize("name", list(load_rules()))
def test_explain__tells_how_every_figure_was_seen_and_promises_nothing(name: str) -> None:
    rule = load_rules()[name]
    text = explain(rule)
    assert "safe to eat" not in text.casefold()
    assert f"  Verified: {rule.verified.words}." in text.splitlines()
    for _, figure in rule.figures:
        assert f"{figure.as_printed} ({figure.source_id}, {figure.locator}; " in text


@pytest.mark.parametrize(
    ("name", "line"),
    [
        ("US-COOL", "  Begins at the last reading at least 135 °F."),
        ("US-COOL", "  Within 2 h of the start: at most 70 °F (21 °C); else discard."),
        ("AU-COOL", "  Within 4 h of the stage before: at most 5 °C; else discard."),
        ("US-DATE7", "  After day 7: discard; frozen days are not counted."),
        ("US-DATE7", "  For food kept at or below 41 °F (5 °C)."),
        ("US-DATE7", "  The last day must be marked on the container."),
        ("SCO-HOLD", "  Reheated: at least 82 °C."),
        ("EU-GEN", "  States no time."),
    ],
)
def test_explain__says(name: str, line: str) -> None:
    assert line in explain(load_rules()[name]).splitlines()


def test_explain__names_the_rule_by_which_cooling_is_no_time_out() -> None:
    told = explain(load_rules()["US-CA-PREP2"])
    assert "  Cooling proven by readings as US-COOL asks is not counted." in told.splitlines()
    assert "  Judges a part of the time out only; another rule applies beside it." in told
