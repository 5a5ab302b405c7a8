"""The setting Place: the rules and the list of allergens it chooses."""

from __future__ import annotations

import pytest

from costing.holding.rules import load_rules
from costing.holding.verified import Verified
from costing.quantities import Measures
from costing.reference import AllergenList
from costing.shoot import Settings
from costing.shoot.jurisdictions import (
    UnknownPlace,
    general_rule,
    jurisdiction,
    jurisdictions,
    without_rules,
)


@pytest.mark.parametrize("name", list(jurisdictions()))
def test_jurisdictions__each_names_rules_that_are_there_and_not_from_memory(name: str) -> None:
    place, rules = jurisdictions()[name], load_rules()
    for chosen in (*place.rules, place.general):
        assert rules[chosen].verified is not Verified.MEMORY
    assert rules[place.general].fallback
    assert AllergenList(place.allergens)


@pytest.mark.parametrize(
    ("typed", "name"),
    [
        ("France", "France"),
        ("fr", "France"),
        (" united  kingdom ", "United Kingdom"),
        ("Scotland", "United Kingdom, Scotland"),
        ("UK, Scotland", "United Kingdom, Scotland"),
        ("California, US", "United States, California"),
        ("US, Texas", "United States"),
        ("CA", "Canada"),
    ],
)
def test_jurisdiction__by_every_name_of_it(typed: str, name: str) -> None:
    """A state without rules of its own has those of its country."""
    assert jurisdiction(typed).name == name


@pytest.mark.parametrize("typed", ["Narnia", "US, Califronia", "Frnace", "Texas", ""])
def test_jurisdiction__is_never_guessed(typed: str) -> None:
    with pytest.raises(UnknownPlace, match="is no place whose rules are known"):
        jurisdiction(typed)


def test_settings__place_chooses_rules_and_allergen_list() -> None:
    there = Settings(place="australia")
    assert there.place == "australia"
    assert there.rules == ("AU-2H4H",)
    assert there.allergen_list is AllergenList.AU_NZ
    named = Settings(place="Australia", holding_rules=("CA-2H",), allergen_list=AllergenList.US)
    assert named.rules == ("CA-2H",)
    assert named.allergen_list is AllergenList.US


@pytest.mark.parametrize(
    ("place", "measures", "currency", "zone", "rule"),
    [
        (None, Measures.METRIC, None, None, "US-HOME-2H"),
        (None, Measures.METRIC, "EUR", None, "HOME-2H-5C"),
        (None, Measures.METRIC, None, "Asia/Tokyo", "HOME-2H-5C"),
        (None, Measures.AUSTRALIAN, None, None, "HOME-2H-5C"),
        (None, Measures.US_CUSTOMARY, "EUR", "Europe/Lisbon", "US-HOME-2H"),
        (None, Measures.METRIC, "USD", None, "US-HOME-2H"),
        (None, Measures.METRIC, "EUR", "America/Chicago", "US-HOME-2H"),
        ("Portugal", Measures.US_CUSTOMARY, "USD", None, "HOME-2H-5C"),
        ("United States", Measures.METRIC, "EUR", None, "US-HOME-2H"),
    ],
)
def test_general_rule__by_the_place_or_what_else_tells_it(
    place: str | None, measures: Measures, currency: str | None, zone: str | None, rule: str
) -> None:
    """That of the United States where Measures, currency or time zone say so or say nothing."""
    assert general_rule(place, measures, currency, zone) == rule


@pytest.mark.parametrize(
    ("typed", "name"),
    [
        ("Mexico", "Mexico"),
        ("mexico, Jalisco", "Mexico"),
        ("Turkey", "Türkiye"),
        ("Türkiye", "Türkiye"),
        ("Switzerland", "Switzerland"),
    ],
)
def test_jurisdiction__of_a_country_without_rules_is_the_general_one(typed: str, name: str) -> None:
    """A country outside the table is no slip: the contract has the WHO rule for homes elsewhere."""
    found = jurisdiction(typed)
    assert (found.name, found.rules, found.general) == (name, ("HOME-2H-5C",), "HOME-2H-5C")
    assert (found.allergens, found.has_rules, without_rules(typed)) == ("EU", False, typed)


@pytest.mark.parametrize("typed", ["Georgia", "Puerto Rico", "Texas", "Mexcio", "AL", "Europe"])
def test_jurisdiction__what_may_be_a_state_or_a_slip_is_asked(typed: str) -> None:
    """Georgia is a state and a country, AL a state and Albania."""
    with pytest.raises(UnknownPlace):
        jurisdiction(typed)
