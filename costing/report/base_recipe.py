"""A dish as it is published: the base recipe, never what a shoot multiplies it to.

What is given reads back as the same rows: each line is below the step that takes it, an
amount in its own unit stays exact, and :func:`read_otherwise` reads all of it again and names what
would come in otherwise.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from enum import StrEnum
from typing import Literal

from costing.kitchen import Line, Measured
from costing.names import SINGULARS, key, singular
from costing.quantities import (
    EACH,
    PORTION,
    Amount,
    Dimension,
    Measures,
    find_unit,
    read_number,
)
from costing.recipe_text import RecipeText, read_recipe
from costing.report.metric_and_us import ROUNDED, Converted, RecipeAmount, System, in_metric, in_us
from costing.shoot import Shoot


class RecipeForm(StrEnum):
    """What a recipe is written as."""

    TEXT = "text"
    MARKDOWN = "markdown"
    JSON = "json"


US_CUPS = f"Cups and spoons are {Measures.US_CUSTOMARY}."
"""A reader of recipes takes it at its word."""

STATES = {Measured.COOKED: "cooked weight", Measured.AS_BOUGHT: "as bought"}
MEASURED = (Dimension.MASS, Dimension.VOLUME)
PLURAL_IN_ES = ("s", "x", "z", "ch", "sh", "tomato", "potato", "mango")
"""Endings of what is counted that take -es, by the rules of English spelling."""
_WORK = (
    "baking|basting|blanching|boiling|brushing|buttering|coating|cooking|decorating|decoration|"
    "dipping|drizzling|dusting|finishing|frying|garnish|garnishing|glazing|grating|greasing|"
    "kneading|lining|oiling|poaching|roasting|rolling|rubbing|sealing|serving|shaping|"
    "spreading|sprinkling|tossing|topping"
)
_THINGS = (
    "base|batter|board|bowl|broth|crumble|crust|dish|dough|dressing|filling|frosting|glaze|grill|"
    "icing|marinade|mould|pan|pastry|pot|rim|salad|sauce|soup|sponge|surface|table|tin|top|tray|"
    "water|worktop"
)
_PURPOSE = re.compile(
    r"(?:^|, ?|\()((?:for (?:(?:the|a|an|deep|shallow|extra|work|baking|frying|roasting|cake|loaf|"
    rf"pie|muffin|pasta|cooking)[ -])*(?:{_WORK}|(?:{_THINGS})s?)\b|"
    r"to (?:serve|finish|dust|garnish|decorate|glaze|grease)\b)[^,;.()]*)"
    r"\)?(?:;|$)",
    re.IGNORECASE,
)
"""What of a Note a reader of the recipe must know, by the work and the things of a kitchen; the
rest of it, who a line is for among it, may be nobody else's business."""
_NUMBER_IN_FRONT = re.compile(r"^(?:step\s*)?[0-9]{1,2}\s*[.):]\s+", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class GivenLine:
    """A line as it is written, with the row it stands for and the amount that is given."""

    text: str
    line: Line
    amount: RecipeAmount | None


@dataclass(frozen=True, slots=True)
class GivenStep:
    """A step with what it takes."""

    name: str
    text: str
    lines: tuple[GivenLine, ...]


@dataclass(frozen=True, slots=True)
class GivenRecipe:
    """A recipe ready to be written in one of the forms."""

    title: str
    makes: str
    steps: tuple[GivenStep, ...]
    notes: tuple[str, ...]

    @property
    def has_method(self) -> bool:
        """Whether there is more to say of the steps than that there is one."""
        return len(self.steps) > 1 or any(step.text for step in self.steps)


def given_recipe(shoot: Shoot, dish: str, system: System) -> GivenRecipe:
    """A dish with its ingredients in order of use.

    Raises
    ------
    KeyError
        If there is no recipe of that name.
    """
    lines, converted = shoot.recipes[dish], Converted(shoot)
    numbers = sorted({line.step for line in lines})
    steps = tuple(
        _step([line for line in lines if line.step == number], at, system, converted)
        for at, number in enumerate(numbers, start=1)
    )
    return GivenRecipe(
        shoot.recipes.spelling(dish),
        _makes(shoot, dish),
        steps,
        tuple(_notes(converted, [line.ingredient for line in lines if line.ingredient])),
    )


def _step(lines: Sequence[Line], at: int, system: System, converted: Converted) -> GivenStep:
    """A step: its text is the Note of the row without an ingredient, behind its name."""
    name = next((line.step_name for line in lines if line.step_name), "")
    notes = " ".join(line.note for line in lines if not line.ingredient and line.note)
    said = _NUMBER_IN_FRONT.sub("", notes.replace("**", "").replace("__", ""))
    # a text that begins with the step's name would say it twice
    if name and not key(said).startswith(key(name.rstrip("…"))):
        said = f"{name}: {said}" if said else name
    if not said and at > 1:
        said = f"Continue with what is ready at step {at}"
    given = tuple(_line(line, system, converted) for line in lines if line.ingredient)
    return GivenStep(name, said, given)


def _makes(shoot: Shoot, dish: str) -> str:
    row = shoot.dish_rows.get(dish)
    if row is None or row.makes is None:
        return ""
    serves = row.makes.unit == PORTION
    amount = Amount(row.makes.magnitude, EACH) if serves else row.makes
    return f"{'Serves' if serves else 'Makes'} {RecipeAmount(amount)}"


def _notes(converted: Converted, names: Sequence[str]) -> Iterator[str]:
    """What a reader of the recipe must know: rounding, whose cups, what was not converted."""
    if converted.most:
        yield ROUNDED.format(most=float(converted.most_percent))
    if converted.cups:
        yield US_CUPS
    made = [name for name in names if converted.shoot.is_dish(name)]
    for said, about in (
        ("By volume, since the weight of a cup is not known", converted.by_volume),
        ("In grams alone, too little for ounces", converted.by_weight),
        ("With a recipe of its own", made),
    ):
        if about:
            yield f"{said}: {', '.join(dict.fromkeys(about))}."


def _line(line: Line, system: System, converted: Converted) -> GivenLine:
    """A line as it is read again: amount, state, name, cut."""
    name, amount, given, front, state = line.ingredient, line.amount, None, "", ""
    if amount is not None and amount.dimension in MEASURED:
        given, front = _measured(line, amount, system, converted)
        state = STATES.get(line.measured, "")
    elif amount is not None:
        given = RecipeAmount(amount, line.amount_low)
        front = str(given)
        if amount.dimension is Dimension.COUNT and amount.magnitude > 1:
            # of an ingredient's own unit, such as a sprig, the unit is counted and not the name
            if amount.unit == EACH:
                name = _plural(name)
            else:
                front = _plural(front)
    taste = "to taste" if line.to_taste else ""
    purpose = found[1] if (found := _PURPOSE.search(line.note)) and not line.to_taste else ""
    parts = [f"{front} {name}".strip(), state, line.cut, taste, purpose]
    text = ", ".join(part for part in parts if part)
    return GivenLine(f"{text} (optional)" if line.optional else text, line, given)


def _measured(
    line: Line, amount: Amount, system: System, converted: Converted
) -> tuple[RecipeAmount, str]:
    """An amount in one system, or in metric with US measures in brackets."""
    if system is System.US:
        us = in_us(line, amount, converted)
        return us, str(us)
    metric = in_metric(line, amount, converted)
    if system is System.METRIC:
        return metric, str(metric)
    us = in_us(line, amount, converted)
    return metric, str(metric) if str(us) == str(metric) else f"{metric} ({us})"


def _plural(name: str) -> str:
    """A counted name in the plural, where its last word is read as the singular again."""
    head, blank, last = name.rpartition(" ")
    low = last.casefold()
    many = next((many for many, one in SINGULARS.items() if one == low), f"{last}s")
    if low.endswith(PLURAL_IN_ES):
        many = f"{last}es"
    elif low.endswith("y") and not low.endswith(("ay", "ey", "oy", "uy")):
        many = f"{last[:-1]}ies"
    return head + blank + (many if singular(many) == last else last)


def written(recipe: GivenRecipe, form: RecipeForm) -> str:
    """A recipe as text, Markdown or JSON-LD."""
    return (
        _as_json(recipe)
        if form is RecipeForm.JSON
        else _as_text(recipe, form is RecipeForm.MARKDOWN)
    )


def _as_text(recipe: GivenRecipe, marked: bool) -> str:
    """A recipe in lines, marked up as Markdown where asked."""
    title, part, of_step = ("# ", "## ", "### ") if marked else ("", "", "")
    blocks = [f"{title}{recipe.title}", recipe.makes, f"{part}Ingredients"]
    for number, step in enumerate(recipe.steps, start=1):
        if step.lines and recipe.has_method:
            blocks.append(f"{of_step}Step {number}{'' if marked else ':'}")
        blocks.append("\n".join(f"- {line.text}" for line in step.lines))
    if recipe.has_method:
        said = enumerate(recipe.steps, start=1)
        blocks += [f"{part}Method", "\n".join(f"{n}. {step.text}" for n, step in said)]
    if recipe.notes:
        blocks += [f"{part}Notes", "\n".join(f"- {note}" for note in recipe.notes)]
    return "\n\n".join(block for block in blocks if block) + "\n"


def _as_json(recipe: GivenRecipe) -> str:
    """A recipe as schema.org has it; the supplies of a step are the lines it takes."""
    data: dict[str, object] = {
        "@context": "https://schema.org",
        "@type": "Recipe",
        "name": recipe.title,
        "recipeYield": recipe.makes,
        "recipeIngredient": [line.text for step in recipe.steps for line in step.lines],
        "recipeInstructions": [
            {
                "@type": ["HowToStep", "HowToDirection"],
                "position": number,
                "name": step.name or step.text,
                "text": step.text,
                "supply": [{"@type": "HowToSupply", "name": line.text} for line in step.lines],
            }
            for number, step in enumerate(recipe.steps, start=1)
            if recipe.has_method
        ],
        "description": " ".join(recipe.notes),
    }
    return json.dumps({k: v for k, v in data.items() if v}, indent=2, ensure_ascii=False) + "\n"


def read_otherwise(recipe: GivenRecipe, form: RecipeForm) -> list[str]:
    """What of a written recipe would not be read as what it stands for: name, yield or lines."""
    kind: Literal["text", "json"] = "json" if form is RecipeForm.JSON else "text"
    text = written(recipe, form)
    read = read_recipe(text, kind=kind, measures=None, file_name=recipe.title)
    rows = [row for row in read.rows["Recipes"] if row["Ingredient"]]
    given = [(at, one) for at, step in enumerate(recipe.steps, start=1) for one in step.lines]
    whole = read.rows["Recipes"][0]["Dish"], *(d["Note"] for d in read.rows.get("Dishes", []))
    expected = recipe.title, *([recipe.makes] if recipe.makes else [])
    if len(rows) != len(given) or whole != expected:
        return [*expected, *(one.text for _, one in given)]
    return [
        one.text
        for row, (at, one) in zip(rows, given, strict=True)
        if _as_read(row, read) != _as_given(one, at)
    ]


def _as_given(given: GivenLine, at: int) -> tuple[object, ...]:
    """What a line's row must say; pieces are trimmed whole, so that no state is written."""
    line, amount = given.line, given.amount
    weighed = amount is not None and amount.high.dimension is not Dimension.COUNT
    return (
        at,
        _either_number(line.ingredient),
        key(line.cut),
        line.measured if weighed else Measured.TRIMMED,
        line.optional,
        "to taste" if line.to_taste else amount and (amount.low or amount.high, amount.high),
    )


def _as_read(row: dict[str, str | int | None], read: RecipeText) -> tuple[object, ...]:
    amount: object = row["Amount"]
    if amount not in (None, "to taste"):
        number = read_number(str(amount))
        unit = find_unit(str(row["Unit"]), read.measures)
        amount = Amount(number.low, unit), Amount(number.high, unit)
    return (
        row["Step"],
        _either_number(str(row["Ingredient"])),
        key(str(row["Cut"] or "")),
        row["Measured"] or Measured.TRIMMED,
        row["Optional"] == "yes",
        amount,
    )


def _either_number(name: str) -> str:
    """A name so that its plural is the same: what is counted is named in the singular when read."""
    head, blank, last = key(name).rpartition(" ")
    return head + blank + singular(last)
