"""What is said of parts and of dishes that are made; parts the tables know and nobody wrote."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from costing.buying.bought_units import first_units
from costing.findings import Finding, Grade, Words, choice_words, message
from costing.kitchen import Part
from costing.names import key, singular_name
from costing.quantities import Amount, Measures, find_unit
from costing.reference import published_parts
from costing.shoot import Shoot


@message("part of itself", Grade.ERROR)
def part_of_itself(article: str) -> Words:
    """An article of Parts that is cut from one of its own parts."""
    return Words(
        f"{article} cut into something that {article} is itself cut from",
        "an article that is bought",
        "Nothing is cut from it until one of the two rows is changed.",
    )


@message("part from memory", Grade.NOTE)
def part_from_memory(words: str) -> Words:
    """What an article gives of a part, where no table prints it."""
    return Words(
        f"a blank, and {words} taken as kitchens reckon it, from no table",
        "what one of yours gives",
        "It is used; weigh what one of yours gives and write the row into Parts.",
    )


@message("part is a dish", Grade.WARNING)
def part_is_a_dish(name: str) -> Words:
    """A part that Recipes says how to make."""
    return Words(
        f"{name}, which is a dish of Recipes",
        "a part that no recipe makes",
        "It is made by its recipe, and none of it is cut. Delete this row, or give the part "
        "another name and take that in the recipes.",
    )


@message("made with optional lines", Grade.WARNING)
def made_with_optional(dish: str, shots: Sequence[str]) -> Words:
    """Shots with the optional lines of a dish that is on hand or sold ready without them."""
    return Words(
        f"{dish} with its optional lines for {choice_words(shots, last='and')}",
        f"{dish} without them, as it is on hand or sold ready",
        "It is made afresh, and nothing that is on hand or sold ready of it is used there. Leave "
        "Optional lines blank where that may be used.",
    )


def with_parts(shoot: Shoot) -> tuple[Shoot, list[Finding]]:
    """A shoot with the published parts of what its recipes take.

    A part that has a row in Parts is left as it is; so is one that is bought or on hand by itself,
    unless the article it may be cut from is in the workbook too: then the two compete.

    Parameters
    ----------
    shoot : Shoot
        As given.

    Returns
    -------
    tuple of Shoot and list of Finding
        What is no published figure is said.
    """
    given = {key(row.name) for row in shoot.parts}
    stocked = {key(pack.ingredient) for pack in shoot.packs}
    stocked |= {key(lot.ingredient) for lot in shoot.lots}
    known = {singular_name(key(name)): name for name in _names(shoot)}
    units = first_units(shoot)
    added: list[Part] = []
    findings: list[Finding] = []
    for name in dict.fromkeys(line.ingredient for line in shoot.lines if line.amount is not None):
        if key(name) in given or shoot.is_dish(name) or shoot.left_out_on("Parts"):
            continue
        given.add(key(name))
        every = published_parts().get(singular_name(key(name)), ())
        bought = units[key(name)][1].dimension
        alike = [row for row in every if find_unit(row.unit, Measures.METRIC).dimension is bought]
        for row in alike or every:
            article = next((known[one] for one in row.articles if one in known), None)
            if article is None and key(name) in stocked:
                continue
            part = Part(
                ingredient=article or row.articles[0],
                amount=Amount(row.amount, find_unit(row.amount_unit, Measures.METRIC)),
                name=name,
                part_amount=Amount(row.value, find_unit(row.unit, Measures.METRIC)),
                source=row.source,
            )
            added.append(part)
            if row.from_memory:
                words = f"{part.part_amount} of {name} from {part.amount} of {part.ingredient}"
                findings.append(part_from_memory(part.at("Part amount"), words))
    return (shoot.changed(parts=(*shoot.parts, *added)) if added else shoot), findings


def _names(shoot: Shoot) -> Iterable[str]:
    """What the workbook itself calls articles."""
    for rows in (shoot.packs, shoot.lots, shoot.lines):
        yield from (row.ingredient for row in rows if row.ingredient)
    yield from (row.name for row in shoot.ingredients)
