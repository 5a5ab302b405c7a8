"""What a method calls an ingredient, in English and in other languages; recipes are invented."""

from __future__ import annotations

import pytest

from costing.quantities import Measures
from costing.recipe_text import read_recipe
from costing.recipe_text.endings import language_of, respelled


def taken(text: str) -> list[tuple[str, int, str]]:
    """Each ingredient with its step and amount, in the order of the sheet."""
    read = read_recipe(text, kind="text", measures=Measures.METRIC, file_name="x.txt")
    unnamed = [one.found for one in read.findings if one.code == "recipe step unknown"]
    assert unnamed == []
    rows = read.rows["Recipes"]
    return [
        (str(row["Ingredient"]), int(row["Step"] or 0), f"{row['Amount']}")
        for row in rows
        if row["Ingredient"]
    ]


FRENCH = """Gratin de fenouil

Pour 4 personnes

Ingrédients
800 g de fenouils jeunes
20 cl de crème épaisse
2 c. à soupe d'huile de noix
1 gousse d'ail
3 œufs
1 pincée de sel

Préparation
1. Faire fondre les fenouils et l'ail dans l'huile.
2. Battre les œufs avec la crème, saler.
"""
SWEDISH = """Plättar

Ca 20 st

Ingredienser
4 dl mjölk
2 dl vetemjöl
2 ägg
1 krm salt
2 gula lökar

Gör så här
1. Vispa ihop mjölet, saltet och hälften av mjölken.
2. Rör i äggen och resten av mjölken.
3. Hacka löken och stek den.
"""
GERMAN = """Nudelauflauf

Zutaten für 4 Portionen
300 g Nudeln
200 g Bergkäse
2 große Zwiebeln
40 g Butter
1 Prise Muskat
1 Bund Schnittlauch

So geht's
1. Die Zwiebel in der Hälfte der Butter braten.
2. Nudeln mit dem Käse und der Muskatnuss schichten.
3. Mit der restlichen Butter und dem Schnittlauch servieren.
"""
JAPANESE = """にくじゃが

材料(2人分)
牛肉 150g
じゃがいも 3個
しょうゆ 大さじ2

作り方
1. じゃがいもを切る。
2. 鍋で牛肉を炒める。
3. しょうゆを加えて煮る。
"""
ITALIAN = """Ceci al rosmarino

Per 4 persone

Ingredienti
250 g di ceci secchi
2 spicchi d'aglio
3 cucchiai di olio extravergine

Preparazione
1. Mettere a bagno i ceci per una notte.
2. Soffriggere l'aglio nell'olio.
"""
DUTCH = """Stoofpot

Voor 4 personen

Ingrediënten
3 uien
30 g boter

Bereiding
1. Snijd de uien in ringen.
2. Smelt de boter en bak de uien.
"""
PORTUGUESE = """Caldo de couve

Ingredientes
300 g de batata
1 cebola
30 ml de azeite

Preparação
1. Refogue a cebola no azeite.
2. Junte as batatas e cubra com água.
"""
DANISH = """Frikadeller

Ingredienser
2 dl mælk
50 g hvedemel
40 g smør

Fremgangsmåde
1. Rør melet og mælken sammen, og lad det hvile.
2. Steg i smørret.
"""


@pytest.mark.parametrize(
    ("text", "wanted"),
    [
        (FRENCH, [("fenouils jeunes", 1, "800"), ("huile de noix", 1, "2"),
                  ("gousse d'ail", 1, "1"), ("crème épaisse", 2, "20"), ("œuf", 2, "3"),
                  ("sel", 2, "1")]),
        (SWEDISH, [("mjölk", 1, "2"), ("vetemjöl", 1, "2"), ("salt", 1, "1"), ("mjölk", 2, "2"),
                   ("ägg", 2, "2"), ("gula lökar", 3, "2")]),
        (GERMAN, [("große Zwiebeln", 1, "2"), ("Butter", 1, "20"), ("Nudeln", 2, "300"),
                  ("Bergkäse", 2, "200"), ("Muskat", 2, "1"), ("Butter", 3, "20"),
                  ("Schnittlauch Bund", 3, "1")]),
        (JAPANESE, [("じゃがいも", 1, "3"), ("牛肉", 2, "150"), ("しょうゆ", 3, "2")]),
        (ITALIAN, [("ceci secchi", 1, "250"), ("spicchio d'aglio", 2, "2"),
                   ("olio extravergine", 2, "3")]),
        (DUTCH, [("uien", 1, "3"), ("boter", 2, "30")]),
        (PORTUGUESE, [("cebola", 1, "1"), ("azeite", 1, "30"), ("batata", 2, "300")]),
        (DANISH, [("mælk", 1, "2"), ("hvedemel", 1, "50"), ("smør", 2, "40")]),
    ],
    ids=["French", "Swedish", "German", "Japanese", "Italian", "Dutch", "Portuguese", "Danish"],
)  # fmt: skip
def test_read_recipe__steps_take_their_ingredients_in_other_languages(
    text: str, wanted: list[tuple[str, int, str]]
) -> None:
    """The step of each was written beside it by hand."""
    assert taken(text) == wanted


def test_read_recipe__a_name_in_brackets_names_it_too() -> None:
    text = (
        "Laddoo\n\n2 cups peanuts (groundnuts)\n1 tsp dry ginger (saunth)\n"
        "200 g sugar (optional)\n\n"
        "Method\n1. Grind the groundnuts.\n2. Add saunth and sugar.\n"
    )
    assert [(name, step) for name, step, _ in taken(text)] == [
        ("peanuts", 1),
        ("dry ginger", 2),
        ("sugar", 2),
    ]


def test_read_recipe__salt_and_pepper_are_taken_where_both_are_said() -> None:
    text = (
        "Hash\n\n500 g potatoes\n1 tsp kosher salt and black pepper\n1 red pepper\n\n"
        "Method\n1. Fry the potatoes and pepper.\n2. Season with salt and pepper.\n"
    )
    assert [(name, step) for name, step, _ in taken(text)] == [
        ("potatoes", 1),
        ("red pepper", 1),
        ("kosher salt and black pepper", 2),
    ]


def test_respelled__a_word_that_may_be_two_names_is_left() -> None:
    assert respelled(["mjolet"], ["vetemjol", "ragmjol"], "swedish") == ["mjolet"]
    assert respelled(["onion"], ["oni"], "english") == ["onion"]


def test_respelled__to_prove_is_no_yeast() -> None:
    assert respelled(["jasa", "jasten"], ["jast"], "swedish") == ["jasa", "jast"]


def test_language_of__is_english_where_both_say_as_much() -> None:
    assert language_of(["in", "Fry."]) == "english"
    assert language_of([]) == "english"


def test_language_of__as_many_small_words_are_told_apart_by_letters() -> None:
    """The word i is of Italian (the, of several) and of Swedish and Danish (in)."""
    assert language_of(["Smula jästen i mjölken."]) == "swedish"
    assert language_of(["Smuldr gæren i mælken."]) == "danish"
    assert language_of(["Taglia i porri."]) == "italian"
