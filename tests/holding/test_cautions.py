"""The cautions beside every list of holding times."""

from __future__ import annotations

from itertools import combinations

import pytest
from bowls import FIVE

from costing.holding.explaining import GENERAL_CAUTIONS, cautions, explain
from costing.holding.rules import load_rules


def said(*names: str) -> list[str]:
    table = load_rules()
    return cautions(table[name] for name in names)


def test_cautions__always() -> None:
    assert said() == list(GENERAL_CAUTIONS)
    assert list(GENERAL_CAUTIONS) == [
        "These are reminders of time and temperature worked out from published rules and from what "
        "was logged. They do not show that any food is safe, and they are no legal advice.",
        "The food code of the place and its competent authority come first. Ask them where the two "
        "differ.",
        "When in doubt, throw it out. Looks, smell and taste do not tell, and heating again does "
        "not take every toxin away.",
        "Young children, older people, pregnant people and people with weak immune systems need "
        "stricter care than these rules give.",
    ]


def test_cautions__time_as_a_control() -> None:
    assert said("US-TPHC-4")[len(GENERAL_CAUTIONS) :] == [
        "US-TPHC-4: time as a control asks for written procedures kept beforehand and for the "
        "discard time marked on the food. Some authorities want to be told first, or do not allow "
        "it.",
        "Figures not confirmed in the source text itself: US-TPHC-4 (limit to discard: within 4 "
        "hours, start temperature: 41 °F (5 °C) or less, start temperature: 135 °F (57 °C) or "
        "above). Confirm them with the authority before relying on them.",
    ]


def test_cautions__advice_for_homes() -> None:
    assert said("US-HOME-2H")[len(GENERAL_CAUTIONS) :] == [
        "US-HOME-2H: advice for homes. A professional kitchen keeps to its own code, which can "
        "differ and can be stricter.",
        "Figures not confirmed in the source text itself: US-HOME-2H (zone: 40 °F, zone: 140 °F, "
        "limit to discard: 2 hours, hot room: 1 hour when above 90 °F). Confirm them with the "
        "authority before relying on them.",
    ]


def test_cautions__figures_seen_in_the_source_text_need_none() -> None:
    assert said("AU-2H4H") == list(GENERAL_CAUTIONS)


def test_cautions__order_and_repetition_do_not_matter() -> None:
    assert said("UK-HOT2", "US-HOME-2H", "UK-HOT2") == said("US-HOME-2H", "UK-HOT2")


@pytest.mark.parametrize("count", [1, 2, 5])
def test_cautions__promise_nothing(count: int) -> None:
    for names in combinations(FIVE, count):
        assert "safe to eat" not in " ".join(said(*names)).casefold()


@pytest.mark.parametrize("name", FIVE)
def test_explain__promises_nothing(name: str) -> None:
    assert "safe to eat" not in explain(load_rules()[name]).casefold()
