"""Recipes that a saved page marks in its own tags: microdata and RDFa.

The words are those of schema.org's Recipe; the forms are those of the standard "HTML Microdata"
(W3C) and of RDFa Lite 1.1, from memory.
"""

from __future__ import annotations

import pytest

from costing.quantities import Measures
from costing.recipe_text import RecipeText, RecipeUnreadable, read_recipe
from costing.recipe_text.microdata import DEEPEST, items_of_page

SCOPE = 'itemscope itemtype="https://schema.org/Recipe"'
SOUP = f"""\
<?xml version="1.0"?>
<!-- saved at home -->
<!DOCTYPE html>
<html><body><div {SCOPE}>
<h1 itemprop="name">Lentil soup</h1>
<div itemprop="author" itemscope itemtype="https://schema.org/Person">
<span itemprop="name">Somebody</span></div>
<meta itemprop="recipeYield" content="Serves 4">
<ul>
  <li itemprop="recipeIngredient">200 g red
      lentils
  <li itemprop="recipeIngredient"><span>1</span> <span>onion</span>, chopped<script>go()</script>
  <li itemprop="ingredients">1&nbsp;l stock</li>
</ul>
<ol itemprop="recipeInstructions"><li>Soften the onion.</li><li>Add lentils and stock.</li></ol>
</div></body></html>
"""


def read(page: str) -> RecipeText:
    return read_recipe(page, kind="text", measures=Measures.METRIC, file_name="soup.html")


def told_elsewhere(number: int, *names: str) -> str:
    """A recipe of which more is told in places, in each of which the next is pointed to."""
    inner = "".join(f'<i {SCOPE} itemprop="{name}" itemref="p@"></i>' for name in names)
    places = (f'<p id="p{at}">{inner}</p>'.replace("@", str(at + 1)) for at in range(number))
    return f'<html><b {SCOPE} itemref="p0"></b>{"".join(places)}</html>'


def lines(found: RecipeText) -> list[tuple[object, object, object]]:
    rows = [row for row in found.rows["Recipes"] if row["Ingredient"]]
    return [(row["Ingredient"], row["Amount"], row["Unit"]) for row in rows]


def test_page_with_microdata__comes_in_as_a_recipe() -> None:
    """Tags left open, a name inside another item, a value in a tag, the older word."""
    found = read(SOUP)
    assert {row["Dish"] for row in found.rows["Recipes"]} == {"Lentil soup"}
    assert lines(found) == [
        ("onion", "1", "each"),
        ("red lentils", "200", "g"),
        ("stock", "1", "l"),
    ]
    steps = [row["Step name"] for row in found.rows["Recipes"] if row["Ingredient"] is None]
    assert steps == ["Soften the onion", "Add lentils and stock"]
    assert (found.rows["Dishes"][0]["Makes"], found.rows["Dishes"][0]["Unit"]) == ("4", "portion")


def test_page_with_rdfa__is_read_in_the_same_words() -> None:
    found = read(
        '<html><body vocab="https://schema.org/" typeof="Recipe"><p property="name">Toast</p>'
        '<p property="recipeIngredient">2 slices of bread</p>'
        '<div property="recipeInstructions" typeof="HowToStep">'
        '<b property="text">Toast it.</b></div>'
        "</body></html>"
    )
    assert lines(found) == [("bread slice", "2", "each")]
    assert [row["Step name"] for row in found.rows["Recipes"]] == ["Toast it", "Toast it"]


def test_page_with_microdata__amount_and_name_in_cells_and_steps_by_position() -> None:
    """Cells and spans have no blank between them, and "200 grice" was 200 pieces of it."""
    step = '<li itemprop="recipeInstructions" ITEMSCOPE itemtype="https://schema.org/HowToStep">'
    found = read(
        f'<html><div ITEMSCOPE itemtype="https://schema.org/Recipe"><b itemprop="name">Rice</b>'
        '<table><tr itemprop="recipeIngredient"><td>200 g</td><td>rice</td></tr></table>'
        '<p itemprop="recipeIngredient"><span>2</span><span>cloves</span><span>garlic</span></p>'
        f'{step}<meta itemprop="position" content="2"><b itemprop="text">Add the garlic.</b></li>'
        f'{step}<meta itemprop="position" content="1"><b itemprop="text">Boil the rice.</b></li>'
        "</div></html>"
    )
    assert lines(found) == [("rice", "200", "g"), ("garlic clove", "2", "each")]


def test_page_with_both__is_read_once() -> None:
    """JSON-LD, which says more, before the tags; without a recipe in it, the tags."""
    linked = '<script type="application/ld+json">{"@type": "%s", "name": "Lentil soup"%s}</script>'
    both = SOUP.replace("</body>", linked % ("Recipe", ', "recipeIngredient": ["3 eggs"]'))
    assert lines(read(both)) == [("egg", "3", "each")]
    assert len(lines(read(SOUP.replace("</body>", linked % ("WebPage", ""))))) == 3


@pytest.mark.parametrize(
    "page",
    [
        f'<html><div {SCOPE} itemref="what how"><b itemprop="name">Toast</b></div>'
        '<ul id=what><li itemprop="recipeIngredient">2 slices of bread</ul>'
        '<p id="how" itemprop="recipeInstructions">Toast the bread.</p></html>',
        '<html prefix="s: https://schema.org/"><p about="#r" property="s:recipeIngredient">'
        '2 slices of bread</p><div typeof="s:Recipe" resource="#r"><b property="s:name">Toast</b>'
        '</div><p about="#r"><b property="s:recipeInstructions">Toast the bread.</b></p></html>',
    ],
    ids=["itemref", "about"],
)
def test_page__says_more_of_an_item_elsewhere(page: str) -> None:
    """Microdata names the ids of the places, RDFa in each place the item it is about."""
    found = read(page)
    assert lines(found) == [("bread slice", "2", "each")]
    assert {row["Dish"] for row in found.rows["Recipes"]} == {"Toast"}
    assert [row["Step name"] for row in found.rows["Recipes"]] == ["Toast the bread"] * 2


@pytest.mark.parametrize(
    "page",
    [
        f'<html><p id="a"><b {SCOPE} itemprop="hasPart" itemref="a"></b></p></html>',
        told_elsewhere(3_000, "hasPart"),
        told_elsewhere(60, "hasPart", "mainEntityOfPage"),
        "<html itemscope>" + "<a " * 200_000,
        "<html itemscope>" + "<!--" * 200_000,
        "<html itemscope><![if x]><![>",
        f"<html {SCOPE}>" + "<b>" * (DEEPEST + 1),
    ],
    ids=[
        "items in one another",
        "a long chain of places",
        "places that are told again and again",
        "tags without an end",
        "comments without an end",
        "odd declarations",
        "too deep",
    ],
)
def test_page_that_is_none__is_refused_in_words(page: str) -> None:
    assert not any(item.get("name") for item in items_of_page(page))
    with pytest.raises(RecipeUnreadable, match="a web page in which no recipe is marked as one"):
        read(page)
