"""What a food brings, in the words of four lists, derived things included."""

from __future__ import annotations

import pytest
from published_tables import rows

from costing.reference import ALLERGEN_LISTS, Filled, all_foods, allergen_words, fill
from costing.reference.tables import published


def brings(name: str, allergen_list: str) -> tuple[str, ...]:
    given = fill(name, "Allergens", allergen_list=allergen_list)
    assert isinstance(given, Filled), given
    assert isinstance(given.value, tuple)
    return given.value


@pytest.mark.source("usda-sr28", "FOOD_DES NDB 16123: made from soy and wheat")
def test_allergens__soy_sauce_brings_wheat() -> None:
    assert brings("soy sauce", "US") == ("soybeans", "wheat")
    assert brings("soy sauce", "EU") == ("soybeans", "cereals containing gluten (wheat)")
    assert brings("soy sauce", "AU-NZ") == ("soy", "wheat")
    assert brings("soy sauce", "CA") == ("soy", "wheat and triticale")


@pytest.mark.trade
def test_allergens__what_all_foods_of_a_plain_name_bring() -> None:
    """Every cream and every cheese is of milk; some vinegars bring sulphites and others nothing."""
    assert brings("cream", "EU") == ("milk",)
    assert brings("cheese", "US") == ("milk",)
    cream = fill("cream", "Holding class")
    assert isinstance(cream, Filled)
    assert cream.text == "always"
    assert "single cream" in cream.note
    assert fill("vinegar", "Allergens") is None
    assert fill("tomato sauce", "Holding class") is None


@pytest.mark.trade
def test_allergens__fish_sauce_brings_fish_and_oyster_sauce_molluscs() -> None:
    assert brings("fish sauce", "EU") == ("fish",)
    assert "molluscs" in brings("oyster sauce", "EU")
    assert "crustaceans and molluscs" in brings("oyster sauce", "CA")


@pytest.mark.source("us-falcpa-faster", "the nine; molluscs are not among them")
def test_allergens__molluscs_are_not_on_the_list_of_the_united_states() -> None:
    assert brings("mussels", "US") == ()
    given = fill("mussels", "Allergens", allergen_list="US")
    assert isinstance(given, Filled)
    assert given.text == "none"


@pytest.mark.source("eu-1169-2011-annex-ii", "Annex II point 8 names eight nuts")
def test_allergens__pine_nuts_are_on_two_lists_and_not_on_the_european() -> None:
    assert brings("pine nuts", "EU") == ()
    assert brings("pine nuts", "CA") == ("tree nuts (pine nut)",)
    assert brings("pine nuts", "AU-NZ") == ("pine nut",)


@pytest.mark.source("eu-1169-2011-annex-ii", "Annex II points 9 and 10")
def test_allergens__celery_is_european_alone_and_mustard_also_canadian() -> None:
    assert [li for li in ALLERGEN_LISTS if brings("celery", li)] == ["EU"]
    assert [li for li in ALLERGEN_LISTS if brings("mustard", li)] == ["EU", "CA"]


@pytest.mark.source("fsanz-1-2-3", "Standard 1.2.3 and Schedule 9")
def test_allergens__lupin_is_on_the_european_and_the_australian_list() -> None:
    assert [li for li in ALLERGEN_LISTS if "lupin" in allergen_words(li)] == ["EU", "AU-NZ"]


@pytest.mark.source("us-falcpa-faster", "the nine major food allergens")
def test_allergen_lists__the_united_states_name_nine() -> None:
    printed = {row["as_printed"] for row in rows("allergen_lists") if row["list"] == "US"}
    assert printed == {
        "crustacean shellfish",
        "eggs",
        "fish",
        "milk",
        "peanuts",
        "sesame",
        "soybeans",
        "tree nuts",
        "wheat",
    }


@pytest.mark.source("eu-1169-2011-annex-ii", "Annex II, fourteen points")
def test_allergen_lists__the_european_has_fourteen_points() -> None:
    points = {row["locator"] for row in rows("allergen_lists") if row["list"] == "EU"}
    assert points == {f"Annex II point {number}" for number in range(1, 15)}


@pytest.mark.source("fsanz-1-2-3", "23 required names")
def test_allergen_lists__australia_and_new_zealand_require_23_names() -> None:
    assert len([row for row in rows("allergen_lists") if row["list"] == "AU-NZ"]) == 23


@pytest.mark.source("hc-priority-allergens", "eleven priority allergens")
def test_allergen_lists__canada_has_eleven_and_names_gluten_sources() -> None:
    printed = {row["as_printed"] for row in rows("allergen_lists") if row["list"] == "CA"}
    assert len(printed - {"gluten sources"}) == 11


@pytest.mark.parametrize("allergen_list", ALLERGEN_LISTS)
def test_allergens__every_food_known_answers_in_every_list(allergen_list: str) -> None:
    """A cell of words: no comma inside a word, and what is unknown stays unknown."""
    unknown = []
    for food in all_foods():
        given = fill(food.name, "Allergens", allergen_list=allergen_list)
        if given is None:
            unknown.append(food.name)
            continue
        assert isinstance(given, Filled)
        assert isinstance(given.value, tuple)
        assert not [word for word in given.value if "," in word or ";" in word]
        assert "traces and the maker's label are not known" in given.note
    assert unknown == ["baked beans", "harissa", "hot sauce", "salsa", "canned tomato sauce"]


def test_allergens__what_is_only_often_in_it_is_named_and_said() -> None:
    given = fill("tamari", "Allergens", allergen_list="US")
    assert isinstance(given, Filled)
    assert given.value == ("soybeans", "wheat")
    assert given.note == (
        "wheat: some are brewed with a little wheat; traces and the maker's label are not known"
    )
    assert given.verified == "memory"


def test_allergens__none_and_a_substance_never_stand_together() -> None:
    for food in all_foods():
        substances = [row.substance for row in published(food.food_id).allergens]
        assert substances.count("none") == 0 or substances == ["none"], food.name


def test_allergens__every_substance_is_on_some_list() -> None:
    listed = {row["substance"] for row in rows("allergen_lists")}
    assert {row["substance"] for row in rows("allergens")} - {"none"} <= listed
    assert {row["list"] for row in rows("allergen_lists")} == set(ALLERGEN_LISTS)


@pytest.mark.parametrize("allergen_list", ALLERGEN_LISTS)
def test_allergens__each_answer_says_where_its_first_word_is_printed(allergen_list: str) -> None:
    """Law: the row of the list that names it; without a word, the row of the food itself.

    As printed are all its words, each once; a note says nothing where nothing is noted.
    """
    listed = allergen_words(allergen_list)
    for food in all_foods():
        given = fill(food.name, "Allergens", allergen_list=allergen_list)
        if not isinstance(given, Filled):
            continue
        own = published(food.food_id).allergens
        words = [listed[row.substance] for row in own if row.substance in listed]
        first = words[0] if words else own[0]
        assert (given.source_id, given.locator) == (first.source_id, first.locator)
        assert given.as_printed == ", ".join(dict.fromkeys(word.as_printed for word in words))
        assert all(part.rstrip(":") == part != "" for part in given.note.split("; "))
