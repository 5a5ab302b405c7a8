"""What is said of lines of a recipe, and the doubts that wait for their place to be said."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from costing.findings import Finding, Grade, Place, Words, choice_words, message

AMOUNTS = "a number, a fraction such as 1 1/2, or a range such as 2-3"


@dataclass(frozen=True, slots=True)
class Doubt:
    """A finding that waits for its place.

    ``message``: one of this module or of ``recipe_messages``.
    """

    message: Callable[..., Finding]
    about: tuple[object, ...] = ()

    def at(self, place: Place) -> Finding:
        """Give the finding at its place."""
        return self.message(place, *self.about)


def doubt(message: Callable[..., Finding], *about: object) -> Doubt:
    """Give a doubt in one call; lists become tuples, so that doubts can be compared."""
    return Doubt(message, tuple(tuple(a) if isinstance(a, list) else a for a in about))


@message("recipe line nameless", Grade.ERROR)
def nameless(text: str) -> Words:
    return Words(
        f'"{text}", which names no ingredient',
        "an amount, a unit and an ingredient, such as 200 g flour",
        "The whole line is in Ingredient; write the ingredient's name there and its Amount.",
    )


@message("recipe number unreadable", Grade.ERROR)
def number_unreadable(text: str, reason: str) -> Words:
    return Words(
        f'the amount "{text}": {reason}',
        AMOUNTS,
        "Amount stays blank; write it there. The line is in Note.",
    )


@message("recipe number unclear", Grade.ERROR)
def number_unclear(text: str, readings: Sequence[str]) -> Words:
    return Words(
        f'the amount "{text}", which may be {choice_words(readings)}',
        AMOUNTS,
        f"Amount stays blank; write {choice_words(readings)} there.",
    )


@message("recipe point unclear", Grade.WARNING)
def point_unclear(text: str, taken: str, other: str) -> Words:
    return Words(
        f'the amount "{text}", read as {taken}',
        "digits without grouping",
        f"Write {other} into Amount if that is meant.",
    )


@message("recipe hyphen in number", Grade.NOTE)
def hyphen_in_number(text: str, taken: str) -> Words:
    return Words(
        f'the amount "{text}", read as {taken}',
        "a blank between a whole number and its fraction",
        "Change Amount if another number is meant.",
    )


@message("recipe amount missing", Grade.WARNING)
def amount_missing(name: str) -> Words:
    return Words(
        "no amount",
        f"{AMOUNTS}; or to taste",
        f"Fill Amount; until then the need for {name} is unknown. If the line is a heading, end it "
        "with a colon.",
    )


@message("recipe words for a number", Grade.WARNING)
def number_vague(word: str, name: str) -> Words:
    """A few, some."""
    return Words(
        f'"{word}" in place of a number',
        AMOUNTS,
        f"Fill Amount; until then the need for {name} is unknown.",
    )


@message("recipe couple", Grade.NOTE)
def couple() -> Words:
    return Words('"a couple"', "a number", "It is read as 2; change Amount if more are meant.")


@message("recipe measure vague", Grade.WARNING)
def measure_vague(word: str, name: str) -> Words:
    return Words(
        f'the measure "{word}", which has no size',
        "a weight, a volume or a number of pieces",
        f"Fill Amount and Unit; until then the need for {name} is unknown.",
    )


@message("recipe length given", Grade.WARNING)
def length_given(text: str, name: str) -> Words:
    return Words(
        f'the length "{text}"',
        "a weight, a volume or a number of pieces",
        f"Fill Amount and Unit; until then the need for {name} is unknown.",
    )


@message("recipe unit unclear", Grade.ERROR)
def unit_unclear(text: str, choices: Sequence[str]) -> Words:
    return Words(
        f'the unit "{text}"',
        choice_words(choices),
        f"Write {choice_words(choices)} into Unit; until then the line cannot be computed.",
    )


@message("recipe unit differs", Grade.ERROR)
def unit_differs(text: str, choices: Sequence[str]) -> Words:
    return Words(
        f'the unit "{text}", which differs by country and which these Measures have not',
        choice_words(choices),
        f"Write {choice_words(choices)} into Unit, or choose other Measures.",
    )


@message("recipe unit near", Grade.NOTE)
def unit_near(text: str, shown: str) -> Words:
    """A slip, a short form or another language's word for a unit."""
    return Words(
        f'the unit "{text}"',
        "a unit of the list",
        f"It is read as {shown}; change Unit if another is meant.",
    )


@message("recipe word strange", Grade.WARNING)
def word_strange(word: str, name: str) -> Words:
    return Words(
        f'"{word}" behind the number',
        "a unit of the list, a size or a food",
        f"It is taken for a part of the name, and {name} is counted in pieces. If it is a measure, "
        "change Ingredient, Amount and Unit.",
    )


@message("recipe weight each or all", Grade.WARNING)
def each_or_all(size: str, count: str, each: str, total: str) -> Words:
    return Words(
        f"{count.strip()} ({size})",
        '"each" or "in total" behind the weight',
        f"The larger is taken, {each}, as {size} each; write {total} into Amount and Unit if it is "
        "the weight of all.",
    )


@message("recipe weight all or each", Grade.WARNING)
def all_or_each(size: str, count: str, each: str) -> Words:
    return Words(
        f"{size} behind {count.strip()} pieces",
        '"each" or "in total" behind the weight',
        f"{size} is taken as the weight of all; write {each} into Amount and Unit if it is each.",
    )


@message("recipe amount times", Grade.NOTE)
def amount_times(text: str, total: str) -> Words:
    return Words(
        f'"{text}" at the end of the line',
        "how many in front of the size",
        f"The amount is read as {total}; change Amount if it is not meant so.",
    )


@message("recipe pieces named", Grade.NOTE)
def pieces_named(written: str, name: str, known: str) -> Words:
    published = f" (published: {known})" if known else ""
    return Words(
        f'"{written}", which is no unit of the list',
        "a weight, a volume or pieces",
        f"It is counted as pieces of {name}; to buy it by weight, write a weight into Amount and "
        f"Unit{published}.",
    )


@message("recipe pack size missing", Grade.WARNING)
def pack_size_missing(written: str, name: str) -> Words:
    return Words(
        f'"{written}" without what it holds',
        "the weight or volume of one, such as 400 g",
        f"It is counted as pieces of the ingredient {name}; write a weight into Amount and Unit "
        "if packs differ.",
    )


@message("recipe size not weighed", Grade.NOTE)
def size_not_weighed(size: str, name: str) -> Words:
    """Small, medium, large."""
    return Words(
        f'the size "{size}"',
        "a weight, if the size matters",
        f"The ingredient is {name} without its size; fill Grams per piece on the sheet "
        "Ingredients, or write the weight into Amount and Unit.",
    )


@message("recipe spoon heaped", Grade.NOTE)
def spoon_heaped(word: str, unit: str) -> Words:
    return Words(
        f'"{word} {unit}"',
        "a level measure",
        f"A level {unit} is counted; write more into Amount if it matters.",
    )


@message("recipe amounts two", Grade.NOTE)
def amounts_two(taken: str, left: Sequence[str]) -> Words:
    return Words(
        f"the amount {taken} beside {choice_words(left)}",
        "one amount; a weight is preferred, then a volume in ml, then what comes first",
        f"{taken} is taken; change Amount and Unit if the other is meant.",
    )


@message("recipe size of each", Grade.NOTE)
def size_of_each(size: str, count: str, word: str) -> Words:
    return Words(
        f"{size} beside {count} {word}",
        '"each" or "in total" behind the size',
        f"It is read as {size} each; change Amount if it is the weight of all.",
    )


@message("recipe amounts added", Grade.NOTE)
def amounts_added(written: str, total: str) -> Words:
    return Words(
        f'"{written}"',
        "one amount",
        f"Together it is {total}; change Amount and Unit if that is not meant.",
    )


@message("recipe amount second", Grade.WARNING)
def amount_second(text: str, taken: str) -> Words:
    return Words(
        f'"{text}" behind the first amount',
        "one ingredient and one amount in a line",
        f"Counted: {taken or 'nothing'}. Add a row for the rest.",
    )


@message("recipe extra unmeasured", Grade.NOTE)
def extra_unmeasured(text: str) -> Words:
    """Plus extra for greasing."""
    return Words(
        f'"{text}" without an amount',
        "an amount for all that is used",
        "Only the amount in front of it is counted; raise Amount by what it takes.",
    )


@message("recipe ingredients or", Grade.WARNING)
def ingredients_or(text: str, name: str) -> Words:
    return Words(
        f'"{text}", a choice',
        "one ingredient in a line",
        f"The ingredient is called {name}; write the one that is used into Ingredient.",
    )


@message("recipe ingredients and", Grade.WARNING)
def ingredients_and(name: str) -> Words:
    return Words(
        f'"{name}", perhaps two ingredients',
        "one ingredient in a line",
        "If they are bought apart, write a row for each with its own Amount.",
    )


@message("recipe amount each", Grade.WARNING)
def amount_each(amount: str, name: str) -> Words:
    return Words(
        f'{amount} "each" of {name}',
        "one ingredient in a line",
        f"Amount stays blank; write a row for each ingredient, with {amount}.",
    )


@message("recipe ounces of liquid", Grade.NOTE)
def ounces_of_liquid(name: str) -> Words:
    """Ounces of something that is poured."""
    return Words(
        f"ounces of {name}",
        "oz for a weight, fl oz for a volume",
        "The weight is taken; write fl oz into Unit if the volume is meant.",
    )


@message("recipe cooked or raw", Grade.NOTE)
def cooked_or_raw(word: str, name: str) -> Words:
    """An amount of cooked food, perhaps."""
    return Words(
        f'"{word}"',
        "the state in which the amount is measured",
        f"The amount is taken for {name} as bought and trimmed; if it is weighed after cooking at "
        "home, write cooked into Measured.",
    )


@message("recipe drained or not", Grade.NOTE)
def drained_or_not(amount: str, name: str) -> Words:
    """What a tin holds, liquid included."""
    return Words(
        f"{amount} of {name}, to be drained",
        "the drained weight, if packs are entered drained",
        f"{amount} is taken as the recipe has it; make Amount here and in Packs the same kind.",
    )


@message("recipe drained pulse", Grade.WARNING)
def drained_pulse(name: str, canned: str) -> Words:
    """Beans to be drained, without a can to tell that they were not dry."""
    return Words(
        f"{name}, drained",
        f"{canned} if they come from a can, or {name} soaked and drained",
        f"It stays {name}, which is bought dry; write {canned} into Ingredient if a can is meant.",
    )


@message("recipe stick", Grade.NOTE)
def stick() -> Words:
    return Words(
        '"stick" of butter',
        "a weight",
        "The US stick of a quarter pound is taken; write the weight if another is meant.",
    )


@message("recipe dish inside", Grade.WARNING)
def dish_inside(unit: str, name: str) -> Words:
    """A batch or portion of something that has no lines here."""
    return Words(
        f"a {unit} of {name}",
        "a dish of this workbook, or a weight, volume or pieces",
        f"Write the lines of the dish {name} into Recipes, or change Amount and Unit.",
    )


@message("recipe line too long", Grade.ERROR)
def line_too_long(length: int, most: int) -> Words:
    return Words(
        f"{length} characters in a line",
        f"at most {most} for an ingredient",
        "Write each ingredient on a line of its own; the line is in Note.",
    )
