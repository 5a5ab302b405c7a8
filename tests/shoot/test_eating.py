"""Who may eat what: an unknown is never a yes, and nothing is called safe."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from small import line, pack, row, shoot_of

from costing.cli.printed_list import print_list
from costing.estimating import estimate
from costing.holding.models import Container, Event
from costing.kitchen import Dish, Ingredient
from costing.quantities import amount
from costing.report.estimates import Estimate
from costing.shoot import Shot
from costing.shoot.avoiding import Answer, diets, known_of, read_avoided, substances_of
from costing.shoot.episodes import Person

LINES = (
    line("tart", "butter", "50 g"),
    line("tart", "leek", "200 g"),
    line("tart", "filling", "1 portion", step=2),
    line("filling", "goat cheese", "40 g"),
    line("filling", "house paste", None, to_taste=True),
    Dish(name="filling", makes=amount("1 portion")),
)
BITE = Shot(dish="tart", name="B1", purpose="bite", eaters=["camera", "sound"])


def done(*rows: Any, people: dict[str, list[str] | None], **given: Any) -> Estimate:
    """The estimate of a small shoot with these people and what they avoid."""
    shoot = shoot_of(*LINES, *rows, **{"holding_rules": ["US-HOME-2H"], "time_zone": "UTC"} | given)
    persons = [Person(name=name, avoids=avoids) for name, avoids in people.items()]
    return estimate(shoot.changed(people=persons))


def answers(found: Estimate, what: str = "B1") -> dict[str, tuple[str, str]]:
    """Answer and reason by person."""
    rows = found.tables()["who_eats"].rows
    return {
        str(r["person"]): (str(r["answer"]), str(r["because"])) for r in rows if r["what"] == what
    }


def test_who_eats__allergens_are_found_through_dishes() -> None:
    """Butter and, in the filling, goat cheese bring milk; of the house paste nothing is known."""
    found = answers(done(BITE, people={"camera": ["milk"], "sound": ["leek"], "props": ["egg"]}))
    assert found["camera"] == ("avoids", "milk: butter and goat cheese.")
    assert found["sound"] == ("avoids", "leek: leek.")
    assert found["props"] == ("unknown", "egg: house paste. Read the pack.")


def test_who_eats__a_copy_keeps_the_optional_lines_of_the_shots_before() -> None:
    """The hero has walnuts on it, and its bite shows the same tart; the tart of B2 has none."""
    rows = (
        line("tart", "walnut", "20 g", step=3, optional=True),
        Ingredient(name="house paste", allergens=[]),
        Shot(dish="tart", name="H", purpose="hero", optional_lines=True),
        Shot(dish="tart", name="B1", purpose="bite", from_shot="H", eaters=["camera"]),
        Shot(dish="tart", name="B2", purpose="bite", eaters=["camera"]),
    )
    found = done(*rows, people={"camera": ["nuts"]})
    assert answers(found)["camera"] == ("avoids", "nuts: walnut.")
    assert answers(found, "B2")["camera"][0] == "nothing listed"


READY = (
    pack("filling", "1 portion", "2.00"),
    Ingredient(name="house paste", allergens=[]),
    Container(name="dish", holds=["tart: steps 1-2"], events=[]),
)


@pytest.mark.parametrize("what", ["B1", "dish"])
@pytest.mark.parametrize(
    ("allergens", "fish"),
    [
        (None, ("unknown", "fish: filling, if it was bought ready. Read the pack.")),
        (["fish"], ("avoids", "fish: filling, if it was bought ready.")),
        ([], ("nothing listed", "None of 5 ingredients is listed with it. Read the pack.")),
    ],
)
def test_who_eats__a_dish_sold_ready_has_in_it_what_its_pack_says(
    what: str, allergens: list[str] | None, fish: tuple[str, str]
) -> None:
    """The recipe of the filling has no fish; a filling from the shop may have."""
    typed = [] if allergens is None else [Ingredient(name="filling", allergens=allergens)]
    found = done(BITE, *READY, *typed, people={"camera": ["fish"], "sound": ["milk"]})
    assert answers(found, what)["camera"] == fish
    assert answers(found, what)["sound"][0] == "avoids"


def test_who_eats__a_dish_that_is_shown_being_made_is_not_bought_ready() -> None:
    """A cook-through of the filling makes it; a bite of it may be from the shop."""
    made = Shot(dish="filling", name="C", purpose="cook-through", eaten=True)
    bite = Shot(dish="filling", name="B", purpose="bite")
    found = done(*READY[:2], made, bite, people={"camera": ["fish"]})
    assert answers(found, "C")["camera"][0] == "nothing listed"
    assert answers(found, "B")["camera"][0] == "unknown"


@pytest.mark.parametrize(
    ("number", "because"),
    [
        (4, "milk: food 0, food 1, food 2 and food 3."),
        (5, "milk: food 0, food 1, food 2, food 3 and 1 more."),
    ],
)
def test_who_eats__four_reasons_are_named(number: int, because: str) -> None:
    """A reason that has more of them is sure all the same."""
    foods = [Ingredient(name=f"food {n}", allergens=["milk"]) for n in range(number)]
    lines = [line("tart", one.name, "1 g") for one in foods]
    shoot = shoot_of(*lines, *foods, BITE, holding_rules=["US-HOME-2H"], time_zone="UTC")
    people = [Person(name="camera", avoids=["milk"])]
    assert answers(estimate(shoot.changed(people=people)))["camera"] == ("avoids", because)


def test_who_eats__all_rows_of_a_person_count() -> None:
    """One row says leek, one milk, one nothing: whoever avoids either avoids the tart."""
    shoot = shoot_of(*LINES, BITE, holding_rules=["US-HOME-2H"], time_zone="UTC")
    rows = {"Sound": ["egg"], "sound": None, "SOUND": ["milk"]}
    people = [Person(name=name, avoids=avoids) for name, avoids in rows.items()]
    found = answers(estimate(shoot.changed(people=[*people, Person(name="camera")])))
    assert found["Sound"] == ("avoids", "milk: butter and goat cheese.")
    assert found["camera"] == ("unknown", "What is avoided is not said.")
    assert len(found) == 3


def test_who_eats__what_is_known_of_all_is_nothing_listed_and_read_the_pack() -> None:
    paste = Ingredient(name="house paste", allergens=["mustard"])
    found = answers(done(BITE, paste, people={"camera": ["egg"], "sound": [], "props": None}))
    assert found["camera"] == (
        "nothing listed",
        "None of 4 ingredients is listed with it. Read the pack.",
    )
    assert found["sound"] == ("nothing listed", "Nothing is avoided.")
    assert found["props"] == ("unknown", "What is avoided is not said.")


def test_who_eats__a_substitute_that_may_have_been_bought_counts() -> None:
    """Margarine instead of butter brings soy, as typed: nobody knows which of them was bought."""
    rows = (
        Ingredient(name="house paste", allergens=[]),
        Ingredient(name="butter", allergens=["milk"], substitute="margarine"),
        Ingredient(name="margarine", allergens=["soybeans"]),
    )
    found = answers(done(BITE, *rows, people={"camera": ["soy"]}))
    assert found["camera"] == (
        "unknown",
        "soy: margarine, if it was bought instead of butter. Read the pack.",
    )


def test_who_eats__the_list_in_use_decides_what_is_known() -> None:
    """Celery is on the list of the EU and on none of the US: there nothing is known about it."""
    rows = (BITE, Ingredient(name="house paste", allergens=[]))
    people: dict[str, list[str] | None] = {"camera": ["celery"]}
    assert answers(done(*rows, people=people, allergen_list="EU"))["camera"][0] == "nothing listed"
    assert answers(done(*rows, people=people, allergen_list="US"))["camera"][0] == "unknown"


BOWL = Container(
    name="bowl",
    holds=["butter"],
    events=[Event(kind="out", at="2031-05-10 09:00", temperature="4 C")],
)


@pytest.mark.parametrize(
    ("at", "eaten", "answer", "because"),
    [
        (
            "2031-05-10 10:00",
            "yes",
            "nothing listed",
            "None of 1 ingredient is listed with it. Read",
        ),
        ("2031-05-10 11:00", "yes", "not to be eaten", "Discard by US-HOME-2H, as logged."),
        ("2031-05-10 10:00", "no", "not to be eaten", "It is marked as not eaten."),
        ("2031-05-10 10:00", "never", "not to be eaten", "It is marked as no food."),
    ],
    ids=["in time", "at the limit", "not eaten", "no food"],
)
def test_who_eats__the_clock_and_the_mark_of_a_container(
    at: str, eaten: str, answer: str, because: str
) -> None:
    """Two hours by the general rule of the US; at the limit is past it."""
    from datetime import datetime

    bowl = BOWL.model_copy(update={"eaten": Container(name="x", eaten=eaten).eaten})
    given = {"holding_rules": ["US-HOME-2H"], "time_zone": "UTC", "room_temperature": "20 C"}
    shoot = shoot_of(*LINES, bowl, **given)
    whole = shoot.changed(people=[Person(name="camera", avoids=["egg"])])
    found = answers(estimate(whole, datetime.fromisoformat(at)), "bowl")["camera"]
    assert found[0] == answer
    assert found[1].startswith(because)


@pytest.mark.parametrize("purpose", ["hero", "cook-through", "bite"])
def test_who_eats__whom_the_plan_names_eats_unless_eaten_says_no(purpose: str) -> None:
    """Contract: Eaten left blank counts as yes for warnings; a typed no counts as typed."""
    shot = Shot(dish="tart", name="H", purpose=purpose, eaters=["camera"])
    found = done(shot, people={"camera": ["milk"]})
    assert answers(found, "H")["camera"] == ("avoids", "milk: butter and goat cheese.")
    assert [f.place.heading for f in found.findings if f.code == "eater avoids"] == ["Eaters"]
    typed = done(shot.model_copy(update={"eaten": False}), people={"camera": ["milk"]})
    assert answers(typed, "H")["camera"] == (
        "not to be eaten",
        "The plan says that it is not eaten.",
    )
    assert [f for f in typed.findings if f.code == "eater avoids"] == []


def test_who_eats__servings_by_what_is_avoided() -> None:
    """Three eaters: one vegetarian, one of whom nothing is avoided, one nobody has on the list."""
    meal = Shot(dish="tart", name="M", purpose="crew meal", eaters=["camera", "sound", "grip"])
    found = done(meal, people={"camera": ["vegetarian"], "sound": []})
    assert answers(found, "M")["all 3 eaters"] == (
        "unknown",
        "Servings: 1 x vegetarian, 1 x nothing avoided, 1 x not said.",
    )
    assert [str(f) for f in found.findings if f.code == "eater unknown"] == [
        '\'Shoot plan\' (row "M", column "Eaters"): found the eater "grip", who is not on the '
        "sheet People, expected a name of People [eater unknown]\n"
        "  Add a row to People; until then what that person avoids is unknown."
    ]


def test_who_eats__one_eater_is_the_only_one() -> None:
    found = answers(done(Shot(dish="tart", name="B1", purpose="bite", eater_count=1), people={}))
    assert found == {"the only eater, not named": ("unknown", "Servings: 1 x not said.")}


def test_who_eats__one_eater_is_named() -> None:
    """Below the rows of everybody on People, of whom one eats of it."""
    bite = Shot(dish="tart", name="B1", purpose="bite", eaters=["sound"])
    found = answers(done(bite, people={"camera": ["milk"], "sound": ["egg"]}))
    assert list(found) == ["camera", "sound", "the only eater, sound"]
    assert found["the only eater, sound"][1] == "Servings: 1 x egg."


def test_who_eats__how_many_eat_and_nobody_says_who() -> None:
    meal = Shot(dish="tart", name="M", purpose="crew meal", eater_count=5)
    found = answers(done(meal, people={"camera": []}), "M")
    assert found["all 5 eaters"] == ("unknown", "Servings: 5 x not said.")


def test_who_eats__eaters_of_whom_there_are_none_have_no_servings() -> None:
    """Each person is answered as where Eaters is blank."""
    shots = [Shot(dish="tart", name="M", purpose="bite", eater_count=n) for n in (0, None)]
    nobody, blank = (answers(done(shot, people={"camera": ["milk"]}), "M") for shot in shots)
    assert nobody == blank == {"camera": ("avoids", "milk: butter and goat cheese.")}


OILS = (
    *(line("toast", "butter", "10 g"), line("toast", "leek", "10 g")),
    Ingredient(name="butter", substitute="soy spread; sunflower oil; olive oil"),
    Ingredient(name="soy spread", allergens=["soybeans"]),
    pack("sunflower oil", "1 kg", "3.00"),
    Shot(dish="toast", name="T", purpose="bite", eaters=["camera", "sound"]),
)
"""Toast for somebody who avoids milk and somebody who avoids soy."""


def instead(*rows: Any) -> str:
    """What is said of the toast that would feed both."""
    found = done(*OILS, *rows, people={"camera": ["milk"], "sound": ["soy"]}, currency="EUR")
    (said,) = [one for one in found.findings if one.code == "eater avoids"]
    return said.remedy.removeprefix("With ").replace(
        " instead of butter nothing that its eaters avoid is listed; ", ": "
    )


def test_who_eats__the_cheapest_that_feeds_all_is_that_of_the_changed_plan() -> None:
    """Olive oil is dearer per gram (15.00 against 3.00 a kilo), and its small pack is cheaper.

    Butter for 2.50 is bought now: 1.50 is 1.00 less, and 3.00 would be 0.50 more.
    """
    butter, olive = pack("butter", "250 g", "2.50"), pack("olive oil", "100 g", "1.50")
    assert instead(butter, olive) == (
        "olive oil: the list then costs 1.00 EUR less, the least of 2 choices. Read the packs."
    )
    assert instead(butter) == (
        "sunflower oil: the list then costs 0.50 EUR more (1 besides not worked out). "
        "Read the packs."
    )
    assert instead(olive) == (
        "olive oil: the list then costs 1.50 EUR, the least of 2 choices. Read the packs."
    )


def test_who_eats__what_feeds_all_and_has_no_price_is_told_without() -> None:
    rows = [one for one in OILS if getattr(one, "ingredient", "") != "sunflower oil"]
    found = done(*rows, people={"camera": ["milk"], "sound": ["soy"]})
    (said,) = [one for one in found.findings if one.code == "eater avoids"]
    assert said.remedy == (
        "With sunflower oil instead of butter nothing that its eaters avoid is listed; what that "
        "costs is not worked out, nor which of 2 choices is cheapest. Read the packs."
    )


def test_who_eats__an_eater_who_avoids_it_is_told_with_what_feeds_all() -> None:
    """Of three substitutes the spread brings soy."""
    found = done(*OILS, people={"camera": ["milk"], "sound": ["soy"]}, currency="EUR")
    assert [str(f) for f in found.findings if f.code == "eater avoids"] == [
        '\'Shoot plan\' (row "T", column "Eaters"): found "camera" among those who eat of it, and '
        "what they avoid in it (milk: butter), expected nobody who avoids what is in it [eater "
        "avoids]\n"
        "  With sunflower oil instead of butter nothing that its eaters avoid is listed; the list "
        "then costs 3.00 EUR (1 besides not worked out). Read the packs."
    ]
    (words,) = found.eating.warnings
    assert words.startswith("camera avoids what is in T (milk: butter). With sunflower oil instead")
    assert words.endswith("(1 besides not worked out). Read the packs.")
    none = done(BITE, people={"camera": ["milk"], "sound": []})
    (said,) = [f for f in none.findings if f.code == "eater avoids"]
    assert said.remedy == (
        "Take the name out, or plan another dish for that person; the workbook names no "
        "substitute with which nothing that its eaters avoid is listed."
    )


def test_who_eats__who_avoids_what_is_planned_for_them_stands_above_the_list(
    capsys: pytest.CaptureFixture[str],
) -> None:
    """Once for each reason, before anything that is bought; nobody eats of "C"."""
    shots = [Shot(dish="tart", name=name, purpose="bite", eaters=["camera"]) for name in "AB"]
    spare = Shot(dish="tart", name="C", purpose="hero spare")
    found = done(*shots, spare, people={"camera": ["milk"], "sound": ["milk"]})
    words = "camera avoids what is in A and B (milk: butter and goat cheese)."
    assert found.eating.warnings == [words]
    print_list(found)
    printed = capsys.readouterr().out
    assert printed.startswith(f"{words}\n")
    assert f">{words}</p>" in found.phone_page().partition("<main>")[0]
    assert done(*shots, spare, people={"camera": []}).eating.warnings == []


def test_who_eats__shots_of_one_name_are_told_apart_by_their_episodes() -> None:
    rows = [Shot(dish="tart", name="B", purpose="bite", episode=name) for name in ("One", "Two")]
    told = done(*rows, people={"camera": []}).tables()["who_eats"].rows
    assert [row["what"] for row in told] == ["One: B", "Two: B"]


@pytest.mark.parametrize(
    ("written", "meant"), [("Dairy", "milk"), ("shellfish", "crustaceans; molluscs")]
)
def test_who_eats__a_word_that_lists_have_otherwise_is_told_with_theirs(
    written: str, meant: str
) -> None:
    found = done(BITE, people={"camera": [written], "sound": meant.split("; ")})
    assert [str(f) for f in found.findings if f.code == "avoids unknown"] == [
        f'People (row "camera", column "Avoids"): found "{written}", which is no allergen, '
        f'ingredient or diet, expected "{meant}" [avoids unknown]\n'
        f'  Write "{meant}" if that is meant; until then nothing is known about it, and the '
        "answer is unknown.",
    ]


def test_who_eats__what_nobody_knows_is_told() -> None:
    found = done(BITE, people={"camera": ["vegetrian"], "sound": ["qwertz"]})
    assert [str(f) for f in found.findings if f.code == "avoids unknown"] == [
        'People (row "camera", column "Avoids"): found "vegetrian", which is no allergen, '
        'ingredient or diet, expected "vegetarian" or "vegetarians" [avoids unknown]\n'
        '  Write "vegetarian" if that is meant; until then nothing is known about it, and the '
        "answer is unknown.",
        'People (row "sound", column "Avoids"): found "qwertz", which is no allergen, ingredient '
        "or diet, expected an allergen of a list, an ingredient of the workbook, or a diet: "
        "vegetarian, vegan, no pork, no alcohol, no gluten or no lactose [avoids unknown]\n"
        "  Write one of these; until then nothing is known about it, and the answer is unknown.",
    ]
    assert {one[0] for one in answers(found).values()} == {"unknown"}


def test_who_eats__without_people_there_is_no_row() -> None:
    assert done(BITE.model_copy(update={"eaters": ()}), people={}).tables()["who_eats"].rows == ()


@pytest.mark.trade
@pytest.mark.parametrize(
    ("diet", "name", "answer"),
    [
        ("vegetarian", "leek", "nothing listed"),
        ("vegetarian", "bacon", "avoids"),
        ("vegetarian", "gelatine powder", "avoids"),
        ("vegetarian", "goat cheese", "unknown"),  # rennet: read the pack
        ("vegetarian", "house paste", "unknown"),
        ("vegan", "butter", "avoids"),
        ("vegan", "peanut butter", "nothing listed"),
        ("vegan", "honey", "avoids"),
        ("vegan", "plain flour", "nothing listed"),
        ("vegan", "egg noodles", "avoids"),
        ("no pork", "lard", "avoids"),
        ("no pork", "gelatine powder", "unknown"),
        ("no alcohol", "red wine", "avoids"),
        ("no alcohol", "red wine vinegar", "nothing listed"),
        ("gluten free", "plain flour", "avoids"),
        ("gluten free", "soy sauce", "avoids"),  # brewed with wheat
        ("gluten free", "leek", "nothing listed"),
        ("lactose", "yoghurt", "avoids"),
    ],
)
def test_diets__what_a_cook_knows_of_a_food(diet: str, name: str, answer: str) -> None:
    """Common practice: what these foods are commonly made of."""
    shoot = shoot_of(*LINES)
    assert known_of(read_avoided(diet, shoot, []), name, shoot) == answer


@pytest.mark.parametrize(
    ("avoided", "name", "answer"),
    [
        ("milk", "coconut milk", "nothing listed"),
        ("milk", "tinned coconut milk", "nothing listed"),
        ("milk", "oat milk", "nothing listed"),
        ("oats", "oat milk", "avoids"),
        ("milk", "buttermilk", "avoids"),
        ("milk", "milk powder", "avoids"),
        ("milk", "condensed milk", "avoids"),
        ("milk", "milk chocolate", "avoids"),
        # no published names, or of several foods: the word decides
        ("milk", "coconut milk powder", "avoids"),
        ("milk", "coconut milk or milk", "avoids"),
        ("milk", "barista oat milk", "avoids"),
        # a word for several may be meant wider than the list, which has no pine nuts
        ("nuts", "pine nut", "avoids"),
        # a word that the list in use does not print is not looked for there
        ("coconut", "coconut milk", "avoids"),
    ],
)
def test_known_of__what_is_published_of_a_food_decides_before_its_name(
    avoided: str, name: str, answer: str
) -> None:
    """Common practice: milk of coconuts or oats is no milk; other foods with it may be."""
    shoot = shoot_of(*LINES, allergen_list="EU")
    assert known_of(read_avoided(avoided, shoot, []), name, shoot) == answer


def test_known_of__what_is_typed_of_a_food_is_never_lost() -> None:
    """A coconut milk with milk in it, as its pack says."""
    shoot = shoot_of(Ingredient(name="coconut milk", allergens=["milk"]), allergen_list="EU")
    assert known_of(read_avoided("milk", shoot, []), "coconut milk", shoot) is Answer.AVOIDS


@pytest.mark.parametrize(
    ("typed", "avoided", "answer"),
    [
        *((said, "egg", "avoids") for said in ("milk / egg", "milk\negg", "contains: eggs")),
        *((said, "milk", "avoids") for said in ("milk protein", "whey powder (milk)", "butter")),
        ("soy lecithin", "soybeans", "avoids"),
        ("prawns", "crustaceans", "avoids"),
        ("wheat flour", "no gluten", "avoids"),
        *(("gluten", one, "avoids") for one in ("wheat", "gluten", "coeliac", "rye")),
        ("gluten", "milk", "nothing listed"),
        # a word that is in no list and no food may be the same by another name
        *((said, "milk", "unknown") for said in ("casein", "dairy", "E999", "Milchzucker")),
        ("shellfish", "molluscs", "unknown"),
        ("casein", "vegan", "unknown"),
        # of the food all is known, and nutmeg is no nut
        *((said, "milk", "nothing listed") for said in ("garlic", "celery salt", "almond")),
        ("nutmeg", "nuts", "nothing listed"),
    ],
)
def test_known_of__an_allergen_in_other_words_is_never_a_yes(
    typed: str, avoided: str, answer: str
) -> None:
    """A spread of which its maker says so, as labels have it (common practice)."""
    shoot = shoot_of(Ingredient(name="spread", allergens=[typed]), allergen_list="EU")
    assert known_of(read_avoided(avoided, shoot, []), "spread", shoot) == answer


def test_diets__each_has_a_meaning_and_no_word_means_two() -> None:
    by_name = {diet.name: diet for diet in diets().values()}
    assert all(diet.meaning for diet in by_name.values())
    assert len(diets()) == sum(1 + len(diet.also) for diet in by_name.values())


def test_substances_of__words_of_the_list_in_use_come_first() -> None:
    """The EU groups nuts and gluten cereals, so a bare word means each of them."""
    assert substances_of("cereals containing gluten", "EU") >= {"wheat", "rye", "barley", "oats"}
    assert substances_of("peanuts", "US") == {"peanut"}
    assert substances_of("nonsense", "EU") == frozenset()


@given(st.sampled_from(sorted(diets())), st.text(max_size=20))
def test_known_of__a_name_nobody_knows_is_never_a_yes(diet: str, name: str) -> None:
    """Law: of a name that no table has, the answer is that it is avoided or unknown."""
    shoot = shoot_of()
    invented = f"zzxq {name} zzxq"
    answer = known_of(read_avoided(diet, shoot, []), invented, shoot)
    clear = any(word in invented for word in ("butter", "milk", "flour", "oil"))
    assert clear or answer is not Answer.NOTHING_LISTED


def test_who_eats__no_word_promises_safety() -> None:
    found = done(BITE, BOWL, people={"camera": ["milk"], "sound": [], "props": ["vegan"]})
    said = " ".join(str(value) for row in found.tables()["who_eats"].rows for value in row.values())
    assert "safe" not in said.casefold()


def test_eater_not_known__whole_text() -> None:
    """Of a filling bought ready only its pack says what is in it; where it does, all is known."""
    at = row("Shoot plan", 2, "B1", Eaters="H")
    bite = Shot(dish="tart", name="B1", purpose="bite", eaters=["camera", "sound"], row=at)
    people: dict[str, list[str] | None] = {"camera": ["fish"], "sound": None, "props": ["fish"]}
    said = [f for f in done(*READY, bite, people=people).findings if f.place.heading == "Eaters"]
    assert [str(one) for one in said] == [
        '\'Shoot plan\'!H2 (row "B1", column "Eaters"): found "camera" among those who eat of '
        "it, and nothing that says whether it has what they avoid (fish: filling, if it was bought "
        "ready), expected what each brings, in Allergens [eater not known]\n"
        "  Read its pack and write it into Allergens, beside its name on the sheet Ingredients."
    ]
    told = Ingredient(name="filling", allergens=[])
    assert [
        f.code for f in done(*READY, told, bite, people=people).findings if "eat" in f.code
    ] == []
    slip: dict[str, list[str] | None] = {"camera": ["fisch sauce"]}
    codes = [f.code for f in done(*READY, bite, people=slip).findings]
    assert "eater not known" not in codes
