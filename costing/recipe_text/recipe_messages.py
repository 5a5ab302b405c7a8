"""What is said of a whole recipe, its yield and its method."""

from __future__ import annotations

from collections.abc import Sequence

from costing.findings import Grade, Words, lack, message

FORMS = "lines of text, or a schema.org Recipe in JSON-LD, microdata or RDFa"


@message("recipe file empty", Grade.ERROR)
def file_empty() -> Words:
    return Words(
        "no ingredient line",
        "at least one line such as 200 g flour",
        "Write one ingredient in each line of the file.",
    )


@message("recipe file too large", Grade.ERROR)
def file_too_large(found: int, most: int, what: str) -> Words:
    return Words(
        f"{found} {what}",
        f"at most {most}",
        "Save the recipe alone in a file of its own.",
    )


@message("recipe file not text", Grade.ERROR)
def file_is_a_page() -> Words:
    return Words(
        "a web page in which no recipe is marked as one",
        FORMS,
        "Copy the recipe's lines into a text file.",
    )


@message("recipe file not json", Grade.ERROR)
def file_not_json(where: str) -> Words:
    return Words(
        f"a text that is no JSON {where}",
        "a schema.org Recipe in JSON-LD",
        "Save the JSON alone, from its first { or [ to its last; a plain recipe goes into a file "
        "that ends in .txt.",
    )


@message("recipe file without recipe", Grade.ERROR)
def file_without_recipe() -> Words:
    return Words(
        "JSON without a Recipe",
        'an object with "@type": "Recipe", alone, in a list or in "@graph"',
        "Save the part of the page that holds the Recipe, or write its lines into a text file.",
    )


@message("recipe twice", Grade.NOTE)
def recipe_twice(title: str) -> Words:
    """One recipe in two places of a file."""
    return Words(
        f"the recipe {title} twice, line for line",
        "each recipe once",
        "It is taken once.",
    )


@message("recipe name twice", Grade.WARNING)
def name_twice(title: str, called: str) -> Words:
    """Two recipes of one name, with other ingredients."""
    return Words(
        f"a second recipe called {title}, with other ingredients",
        "a name for each dish",
        f"It is called {called}; change Dish, or delete its rows if one of the two is enough.",
    )


@message("recipe measures taken", Grade.NOTE)
def measures_taken(words: Sequence[str], measures: str) -> Words:
    """Cups and spoons of a recipe whose words are those of one country."""
    return Words(
        ", ".join(words),
        "whose cups and spoons are meant",
        f"{measures} is taken and is in Settings; change Measures there, or begin again with "
        "--measures, if another is meant.",
    )


@message("recipe measures not said", Grade.NOTE)
def measures_not_said(metric: str, us: str) -> Words:
    """Cups of a recipe that shows nowhere whose they are, without a workbook that says so."""
    return Words(
        "cups, and no word on whose they are",
        "whose cups and spoons are meant",
        f"Metric is taken, a cup of {metric} (a US cup is {us}), and is in Settings; change "
        "Measures there if another is meant.",
    )


@message("recipe title taken", Grade.WARNING)
def title_taken(title: str) -> Words:
    return Words(
        f'"{title}" as the first line, with no blank line behind it',
        "the dish's name, and a blank line behind it",
        "It is taken for the name of the dish; if it is an ingredient, add a row for it.",
    )


@message("recipe title missing", Grade.NOTE)
def title_missing(title: str) -> Words:
    return Words(
        "no name of the dish",
        "the dish's name above its ingredients",
        f"The dish is called {title}, after the file; change Dish in Recipes.",
    )


@message("recipe dish in itself", Grade.WARNING)
def dish_in_itself(name: str) -> Words:
    return Words(
        f'the ingredient "{name}" in a dish of the same name',
        "two names",
        "Rename the dish or the ingredient; as it is the dish would need itself.",
    )


@message("recipe line left out", Grade.NOTE)
def line_left_out(text: str) -> Words:
    return Words(
        f'"{text}", taken for a remark',
        "ingredients, headings and the method",
        "It is left out; add a row if it names an ingredient.",
    )


@message("recipe method not said", Grade.WARNING)
def method_not_said() -> Words:
    """A method that is only pointed to, or of pictures."""
    return Words(
        "a method without a word that can be read",
        "steps with their text",
        "All is put to step 1; write the steps into Step and Step name of Recipes.",
    )


@lack("recipe step guessed", Grade.NOTE)
def step_guessed(steps: str) -> Words:
    """Ingredients put to the step that names them: ``step 2 takes egg``, or several of these."""
    return Words(
        f"that {steps}",
        "each ingredient in the step that uses it",
        "Note in Recipes says it of each. Change Step where another step takes one; when all are "
        'right, delete the words behind the last ";" of each Note, and this is not said again.',
    )


@message("recipe line divided", Grade.NOTE)
def lines_divided(names: Sequence[str]) -> Words:
    said = ", ".join(dict.fromkeys(names))
    return Words(
        f"{said} divided over the steps that say how much of it they take",
        "a row for what each step takes",
        "The rows add up to the line; Note has the part and the words. Change Amount or Step where "
        "another step takes it.",
    )


@message("recipe step named twice", Grade.NOTE)
def step_named_twice(step: int, words: str, later: Sequence[int]) -> Words:
    steps = "step" if len(later) == 1 else "steps"
    again = ", ".join(map(str, later))
    return Words(
        f'step {step} by "{words}", and named again in {steps} {again}',
        "a row for what each step takes",
        f"All of it is put to step {step}; if a later step takes a part, add a row for that part.",
    )


@message("recipe without list", Grade.WARNING)
def taken_of_sentences(taken: Sequence[str]) -> Words:
    return Words(
        f"sentences, and no list of ingredients; taken: {', '.join(taken)}",
        "a line for each ingredient",
        "What has no amount there is not taken: salt, a sprinkling of flour. Add a row for each.",
    )


@message("recipe food not listed", Grade.WARNING)
def not_listed(step: int, said: str) -> Words:
    return Words(
        f'"{said}" in step {step}, and no such ingredient above',
        "every ingredient in a line of its own",
        "Nothing is bought for it; add a row.",
    )


@message("recipe rest not taken", Grade.NOTE)
def rest_not_taken(step: int, words: str, part: str) -> Words:
    return Words(
        f'step {step} by "{words}", {part} of the line, and no step that takes the rest',
        "steps that take all of a line",
        f"All of it is put to step {step}; change Amount, or add a row where the rest is taken.",
    )


@message("recipe step unknown", Grade.WARNING)
def steps_unnamed(names: Sequence[str]) -> Words:
    said = ", ".join(dict.fromkeys(names))
    return Words(
        f"no step that names {said}",
        "for each ingredient the step that uses it",
        'It is put to step 1; change Step in Recipes. Where 1 is right, delete "; no step names '
        'it" in Note, and this is not said again.',
    )


@message("recipe names joined", Grade.NOTE)
def names_joined(written: str, name: str) -> Words:
    """A plural where another line has the singular."""
    return Words(
        f'"{written}" here and "{name}" in another line',
        "one name for one ingredient",
        f"Both are called {name}; change Ingredient if they are bought apart.",
    )


@message("recipe fruit twice", Grade.NOTE)
def fruit_twice(name: str, part: str, other: str) -> Words:
    """The juice in one line and the zest in another."""
    return Words(
        f"{name} for {part} here and for {other} in another line",
        "one line for each whole piece",
        f"Both lines count; if the same {name} serves both, delete one Amount.",
    )


@message("recipe yield unreadable", Grade.WARNING)
def yield_unreadable(text: str) -> Words:
    return Words(
        f'the yield "{text}"',
        "a number, such as serves 4, makes 12 or makes 500 ml",
        "Fill Makes and Unit on the sheet Dishes if the dish goes into another.",
    )


@message("recipe yield range", Grade.NOTE)
def yield_range(text: str, low: str) -> Words:
    return Words(
        f'the yield "{text}"',
        "one number",
        f"The lower end counts, {low}, so that nothing runs short; change Makes on the sheet "
        "Dishes.",
    )


@message("recipe yield bare", Grade.NOTE)
def yield_bare(text: str) -> Words:
    return Words(
        f'the yield "{text}" without a unit',
        "portions, g, ml or pieces",
        "Portions are taken; change Unit on the sheet Dishes if pieces are meant.",
    )
