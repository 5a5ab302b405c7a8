"""Every message about a line, as it arises from a recipe of that line, whole text."""

from __future__ import annotations

import pytest

from costing.quantities import Measures
from costing.recipe_text import read_recipe

LINES = [
    pytest.param(
        "1 bunch",
        '\'tart.txt\' row 3 (row "1 bunch"): found "1 bunch", which names no ingredient, '
        "expected an amount, a unit and an ingredient, such as 200 g flour [recipe line"
        " nameless]\n"
        "  The whole line is in Ingredient; write the ingredient's name there and "
        "its Amount.",
        id="recipe line nameless",
    ),
    pytest.param(
        "1/0 cup sugar",
        '\'tart.txt\' row 3 (row "1/0 cup sugar"): found the amount "1/0": a division by '
        "zero, expected a number, a fraction such as 1 1/2, or a range such as 2-3 "
        "[recipe number unreadable]\n"
        "  Amount stays blank; write it there. The line is in Note.",
        id="recipe number unreadable",
    ),
    pytest.param(
        "3-2 eggs",
        '\'tart.txt\' row 3 (row "3-2 eggs"): found the amount "3-2": the range goes '
        "down, expected a number, a fraction such as 1 1/2, or a range such as 2-3 "
        "[recipe number unreadable]\n"
        "  Amount stays blank; write it there. The line is in Note.",
        id="recipe number unreadable: down",
    ),
    pytest.param(
        "1,250 g flour",
        '\'tart.txt\' row 3 (row "1,250 g flour"): found the amount "1,250", which may be'
        " 1250 or 1.25, expected a number, a fraction such as 1 1/2, or a range such as"
        " 2-3 [recipe number unclear]\n"
        "  Amount stays blank; write 1250 or 1.25 there.",
        id="recipe number unclear",
    ),
    pytest.param(
        "2 200 g flour",
        '\'tart.txt\' row 3 (row "2 200 g flour"): found the amount "2 200", which may be'
        " 400 or 2200, expected a number, a fraction such as 1 1/2, or a range such as "
        "2-3 [recipe number unclear]\n"
        "  Amount stays blank; write 400 or 2200 there.",
        id="recipe number unclear: grouped",
    ),
    pytest.param(
        "1.500 g salt",
        '\'tart.txt\' row 3 (row "1.500 g salt"): found the amount "1.500", read as 1.5, '
        "expected digits without grouping [recipe point unclear]\n"
        "  Write 1500 into Amount if that is meant.",
        id="recipe point unclear",
    ),
    pytest.param(
        "1-1/2 cups sugar",
        '\'tart.txt\' row 3 (row "1-1/2 cups sugar"): found the amount "1-1/2", read as 1'
        " 1/2, expected a blank between a whole number and its fraction [recipe hyphen "
        "in number]\n"
        "  Change Amount if another number is meant.",
        id="recipe hyphen in number",
    ),
    pytest.param(
        "chives",
        "'tart.txt' row 3 (row \"chives\"): found no amount, expected a number, a "
        "fraction such as 1 1/2, or a range such as 2-3; or to taste [recipe amount "
        "missing]\n"
        "  Fill Amount; until then the need for chives is unknown. If the line is a "
        "heading, end it with a colon.",
        id="recipe amount missing",
    ),
    pytest.param(
        "a few sprigs of mint",
        '\'tart.txt\' row 3 (row "a few sprigs of mint"): found "few" in place of a '
        "number, expected a number, a fraction such as 1 1/2, or a range such as 2-3 "
        "[recipe words for a number]\n"
        "  Fill Amount; until then the need for mint sprig is unknown.",
        id="recipe words for a number",
    ),
    pytest.param(
        "a couple of carrots",
        '\'tart.txt\' row 3 (row "a couple of carrots"): found "a couple", expected a '
        "number [recipe couple]\n"
        "  It is read as 2; change Amount if more are meant.",
        id="recipe couple",
    ),
    pytest.param(
        "knob of butter",
        '\'tart.txt\' row 3 (row "knob of butter"): found the measure "knob", which has '
        "no size, expected a weight, a volume or a number of pieces [recipe measure "
        "vague]\n"
        "  Fill Amount and Unit; until then the need for butter is unknown.",
        id="recipe measure vague",
    ),
    pytest.param(
        "5 cm piece of ginger",
        '\'tart.txt\' row 3 (row "5 cm piece of ginger"): found the length "5 cm", '
        "expected a weight, a volume or a number of pieces [recipe length given]\n"
        "  Fill Amount and Unit; until then the need for ginger is unknown.",
        id="recipe length given",
    ),
    pytest.param(
        "2 c flour",
        '\'tart.txt\' row 3 (row "2 c flour"): found the unit "c", expected cup or cl '
        "[recipe unit unclear]\n"
        "  Write cup or cl into Unit; until then the line cannot be computed.",
        id="recipe unit unclear",
    ),
    pytest.param(
        "1 pint milk",
        '\'tart.txt\' row 3 (row "1 pint milk"): found the unit "pint", which differs by '
        "country and which these Measures have not, expected US pint or imperial pint "
        "[recipe unit differs]\n"
        "  Write US pint or imperial pint into Unit, or choose other Measures.",
        id="recipe unit differs",
    ),
    pytest.param(
        "2 cloves garlic",
        '\'tart.txt\' row 3 (row "2 cloves garlic"): found "2 cloves", which is no unit '
        "of the list, expected a weight, a volume or pieces [recipe pieces named]\n"
        "  It is counted as pieces of garlic clove; to buy it by weight, write a weight into "
        "Amount and Unit (published: 1 clove = 3.0 g).",
        id="recipe pieces named",
    ),
    pytest.param(
        "1 jar passata",
        '\'tart.txt\' row 3 (row "1 jar passata"): found "1 jar" without what it holds, '
        "expected the weight or volume of one, such as 400 g [recipe pack size missing]\n"
        "  It is counted as pieces of the ingredient passata jar; write a weight into "
        "Amount and Unit if packs differ.",
        id="recipe pack size missing",
    ),
    pytest.param(
        "1 large onion",
        '\'tart.txt\' row 3 (row "1 large onion"): found the size "large", expected a '
        "weight, if the size matters [recipe size not weighed]\n"
        "  The ingredient is onion without its size; fill Grams per piece on the sheet "
        "Ingredients, or write the weight into Amount and Unit.",
        id="recipe size not weighed",
    ),
    pytest.param(
        "1 heaped tbsp cornflour",
        '\'tart.txt\' row 3 (row "1 heaped tbsp cornflour"): found "heaped tbsp", '
        "expected a level measure [recipe spoon heaped]\n"
        "  A level tbsp is counted; write more into Amount if it matters.",
        id="recipe spoon heaped",
    ),
    pytest.param(
        "1 1/2 cups (180 g) plain flour",
        "'tart.txt' row 3 (row \"1 1/2 cups (180 g) plain flour\"): found the amount 180 "
        "g beside 1 1/2 cup, expected one amount; a weight is preferred, then a volume "
        "in ml, then what comes first [recipe amounts two]\n"
        "  180 g is taken; change Amount and Unit if the other is meant.",
        id="recipe amounts two",
    ),
    pytest.param(
        "2 cans (400 g) beans",
        "'tart.txt' row 3 (row \"2 cans (400 g) beans\"): found 400 g beside 2 cans, "
        'expected "each" or "in total" behind the size [recipe size of each]\n'
        "  It is read as 400 g each; change Amount if it is the weight of all.",
        id="recipe size of each",
    ),
    pytest.param(
        "1 cup plus 2 tbsp flour",
        '\'tart.txt\' row 3 (row "1 cup plus 2 tbsp flour"): found "1 cup plus 2 tbsp", '
        "expected one amount [recipe amounts added]\n"
        "  Together it is 1.12 cup; change Amount and Unit if that is not meant.",
        id="recipe amounts added",
    ),
    pytest.param(
        "2 tbsp oil, 1 tbsp garum",
        '\'tart.txt\' row 3 (row "2 tbsp oil, 1 tbsp garum"): found "1 tbsp garum" '
        "behind the first amount, expected one ingredient and one amount in a line "
        "[recipe amount second]\n"
        "  Counted: 2 tbsp. Add a row for the rest.",
        id="recipe amount second",
    ),
    pytest.param(
        "100 g sugar, plus 2 tbsp for dusting",
        '\'tart.txt\' row 3 (row "100 g sugar, plus 2 tbsp for dusting"): found "plus 2 '
        'tbsp for dusting" behind the first amount, expected one ingredient and one '
        "amount in a line [recipe amount second]\n"
        "  Counted: 100 g. Add a row for the rest.",
        id="recipe amount second: no sum",
    ),
    pytest.param(
        "100 g butter, plus extra for greasing",
        '\'tart.txt\' row 3 (row "100 g butter, plus extra for greasing"): found "plus '
        'extra for greasing" without an amount, expected an amount for all that is used'
        " [recipe extra unmeasured]\n"
        "  Only the amount in front of it is counted; raise Amount by what it takes.",
        id="recipe extra unmeasured",
    ),
    pytest.param(
        "1 tbsp butter or oil",
        '\'tart.txt\' row 3 (row "1 tbsp butter or oil"): found "butter or oil", a '
        "choice, expected one ingredient in a line [recipe ingredients or]\n"
        "  The ingredient is called butter or oil; write the one that is used into "
        "Ingredient.",
        id="recipe ingredients or",
    ),
    pytest.param(
        "1 cup milk (or oat drink)",
        '\'tart.txt\' row 3 (row "1 cup milk (or oat drink)"): found "or oat drink", a '
        "choice, expected one ingredient in a line [recipe ingredients or]\n"
        "  The ingredient is called milk; write the one that is used into Ingredient.",
        id="recipe ingredients or: in brackets",
    ),
    pytest.param(
        "1 tbsp salt and pepper",
        '\'tart.txt\' row 3 (row "1 tbsp salt and pepper"): found "salt and pepper", '
        "perhaps two ingredients, expected one ingredient in a line [recipe ingredients"
        " and]\n"
        "  If they are bought apart, write a row for each with its own Amount.",
        id="recipe ingredients and",
    ),
    pytest.param(
        "1 tsp each cumin and coriander",
        '\'tart.txt\' row 3 (row "1 tsp each cumin and coriander"): found 1 tsp "each" of'
        " cumin and coriander, expected one ingredient in a line [recipe amount each]\n"
        "  Amount stays blank; write a row for each ingredient, with 1 tsp.",
        id="recipe amount each",
    ),
    pytest.param(
        "8 oz milk",
        "'tart.txt' row 3 (row \"8 oz milk\"): found ounces of milk, expected oz for a "
        "weight, fl oz for a volume [recipe ounces of liquid]\n"
        "  The weight is taken; write fl oz into Unit if the volume is meant.",
        id="recipe ounces of liquid",
    ),
    pytest.param(
        "200 g cooked rice",
        '\'tart.txt\' row 3 (row "200 g cooked rice"): found "cooked", expected the state'
        " in which the amount is measured [recipe cooked or raw]\n"
        "  The amount is taken for cooked rice as bought and trimmed; if it is weighed "
        "after cooking at home, write cooked into Measured.",
        id="recipe cooked or raw",
    ),
    pytest.param(
        "400 g tin beans, drained",
        "'tart.txt' row 3 (row \"400 g tin beans, drained\"): found 400 g of tinned "
        "beans, to be drained, expected the drained weight, if packs are entered "
        "drained [recipe drained or not]\n"
        "  400 g is taken as the recipe has it; make Amount here and in Packs the same "
        "kind.",
        id="recipe drained or not",
    ),
    pytest.param(
        "1 cup black beans, drained and rinsed",
        "'tart.txt' row 3 (row \"1 cup black beans, drained and rinsed\"): found black beans, "
        "drained, expected canned black beans if they come from a can, or black beans soaked and "
        "drained [recipe drained pulse]\n"
        "  It stays black beans, which is bought dry; write canned black beans into Ingredient if "
        "a can is meant.",
        id="recipe drained pulse",
    ),
    pytest.param(
        "1 stick butter",
        '\'tart.txt\' row 3 (row "1 stick butter"): found "stick" of butter, expected a '
        "weight [recipe stick]\n"
        "  The US stick of a quarter pound is taken; write the weight if another is "
        "meant.",
        id="recipe stick",
    ),
    pytest.param(
        "1 batch pastry",
        "'tart.txt' row 3 (row \"1 batch pastry\"): found a batch of pastry, expected a "
        "dish of this workbook, or a weight, volume or pieces [recipe dish inside]\n"
        "  Write the lines of the dish pastry into Recipes, or change Amount and Unit.",
        id="recipe dish inside",
    ),
    pytest.param(
        "400g tin tomatoes x 2",
        '\'tart.txt\' row 3 (row "400g tin tomatoes x 2"): found "x 2" at the end of the '
        "line, expected how many in front of the size [recipe amount times]\n"
        "  The amount is read as 800 g; change Amount if it is not meant so.",
        id="recipe amount times",
    ),
    pytest.param(
        "2 EL oil",
        '\'tart.txt\' row 3 (row "2 EL oil"): found the unit "EL", expected a unit of the '
        "list [recipe unit near]\n"
        "  It is read as metric tablespoon; change Unit if another is meant.",
        id="recipe unit near",
    ),
    pytest.param(
        "8 lamb chops (about 1 kg)",
        "'tart.txt' row 3 (row \"8 lamb chops (about 1 kg)\"): found 1 kg behind 8 pieces, "
        'expected "each" or "in total" behind the weight [recipe weight all or each]\n'
        "  1 kg is taken as the weight of all; write 8 kg into Amount and Unit if it is each.",
        id="recipe weight all or each",
    ),
    pytest.param(
        "4 (800g) chicken fillets",
        "'tart.txt' row 3 (row \"4 (800g) chicken fillets\"): found 4 (800 g), expected "
        '"each" or "in total" behind the weight [recipe weight each or all]\n'
        "  The larger is taken, 3200 g, as 800 g each; write 800 g into Amount and Unit if it is "
        "the weight of all.",
        id="recipe weight each or all",
    ),
    pytest.param(
        "2 blorps onions",
        '\'tart.txt\' row 3 (row "2 blorps onions"): found "blorps" behind the number, '
        "expected a unit of the list, a size or a food [recipe word strange]\n"
        "  It is taken for a part of the name, and blorps onion is counted in pieces. If it is a "
        "measure, change Ingredient, Amount and Unit.",
        id="recipe word strange",
    ),
    pytest.param(
        "11/2 cups flour",
        '\'tart.txt\' row 3 (row "11/2 cups flour"): found the amount "11/2", which may be '
        "5.5 or 1.5, expected a number, a fraction such as 1 1/2, or a range such as 2-3 "
        "[recipe number unclear]\n"
        "  Amount stays blank; write 5.5 or 1.5 there.",
        id="recipe number unclear: blank lost",
    ),
]


def findings(line: str) -> list[str]:
    text = f"Tart\n\n{line}\n"
    read = read_recipe(text, kind="text", measures=Measures.METRIC, file_name="tart.txt")
    return [str(finding) for finding in read.findings]


@pytest.mark.trade
@pytest.mark.parametrize(("line", "text"), LINES)
def test_message__of_a_line(line: str, text: str) -> None:
    assert findings(line) == [text]


def test_message__of_a_line_too_long() -> None:
    line = "flour " * 100
    (text,) = findings(line)
    assert text == (
        f"'tart.txt' row 3 (row \"{line.strip()}\"): found 599 characters in a line, expected at "
        "most 500 for an ingredient [recipe line too long]\n"
        "  Write each ingredient on a line of its own; the line is in Note."
    )
