"""Units in cells: those of the list, and those that Weighs brings for an ingredient."""

from __future__ import annotations

from collections.abc import Container, Mapping, Sequence
from fractions import Fraction

from costing.findings import Grade, Words, choice_words, message
from costing.names import key, singular
from costing.quantities import (
    BATCH,
    EACH,
    PORTION,
    Dimension,
    Measures,
    Unit,
    UnitNeedsSystem,
    UnknownUnit,
    find_unit,
    known_unit_names,
)
from costing.recipe_text import cooks_unit
from costing.workbook.layout import ON_HAND, PACKS, PARTS, RECIPES, CellKind
from costing.workbook.reading.areas import Area, Known
from costing.workbook.reading.cells import RowCells, shortened, words_of
from costing.workbook.reading.weighs import Weighed, own_word

LONGEST_WORD = 30
"""A longer text in Unit is no cook's word for one. [characters]"""

AMOUNTS_OF_GOODS = (RECIPES.title, PACKS.title, ON_HAND.title, PARTS.title)
"""Sheets whose rows measure the Ingredient they name."""


def unit_of(cells: RowCells, heading: str) -> Unit | None:
    """The unit below a heading, read once for all the amounts of a row that are in it."""
    if heading not in cells.units:
        found = unit(cells, heading, cells.area.known.measures)
        kind, of_goods = cells.column(heading).kind, _named(cells, heading)
        if kind is CellKind.UNIT_OF_GOODS and found in (PORTION, BATCH):
            made = cells.area.known.dishes
            if made is not None and key(of_goods) not in made:
                cells.fail(heading, unit_of_dishes_only, cells.name(heading), cells.row.name)
                found = None
        elif kind is CellKind.UNIT_OF_DISH and found == BATCH:
            known = ("portions", "g", "ml", "each")
            cells.fail(heading, unknown_unit, cells.name(heading), (), known)
            found = None
        cells.units[heading] = found
    return cells.units[heading]


def _named(cells: RowCells, heading: str) -> str:
    """What a unit measures, by the name in its row."""
    return cells.name(cells.column(heading).unit_of)


def unit(cells: RowCells, heading: str, measures: Measures | None) -> Unit | None:
    """The unit of a cell, each when blank; ``None`` when it cannot be read.

    Without ``measures``, because that setting could not be read, a word that means another unit
    under another setting cannot be read either.
    """
    text = cells.name(heading)
    if not text:
        return None if heading in cells.failed else _pieces(cells, heading)
    try:
        if measures is not None:
            one = find_unit(text, measures)
            return _pieces(cells, heading) if one == EACH else one
        # the setting is unreadable: a word counts where it means the same under every setting
        found = {find_unit(text, each) for each in Measures}
        if len(found) == 1:
            return found.pop()
    except UnknownUnit as fault:
        return _unit_of_its_own(cells, heading, text, measures or Measures.METRIC, fault.nearest)
    except UnitNeedsSystem as fault:
        if measures is not None:
            cells.fail(heading, unit_needs_its_country, text, fault.choices)
    cells.failed.add(heading)
    return None


def units_in_common(areas: Mapping[str, Area], known: Known, own: Container[str]) -> None:
    """Take a cook's word for a unit of its own where an ingredient is measured in nothing else.

    A bunch that the recipe asks for and a bunch that a shop sells need no weight to be compared.

    Parameters
    ----------
    areas : mapping of str to Area
        The sheets found; what they are read by must be known but for this.
    known : Known
        Gets the words as units.
    own : container of str
        Keys of ingredients whose pieces the user describes, which are left alone.
    """
    words: dict[str, set[str]] = {}
    sold: dict[str, str] = {}
    for title in AMOUNTS_OF_GOODS:
        if title not in areas:
            continue
        area = areas[title]
        for filled in area.filled().values():
            named, unit_text = (words_of(filled.get(heading)) for heading in ("Ingredient", "Unit"))
            words.setdefault(key(named), set()).add(own_word(unit_text))
            if title != RECIPES.title:
                sold[key(named)] = named
    for name, used in words.items():
        if name not in sold or len(used) > 1 or name in own or name in known.pieces:
            continue
        (word,) = used
        try:
            find_unit(word, known.measures or Measures.METRIC)
        except UnknownUnit:
            said = cooks_unit(word, sold[name], known.measures or Measures.METRIC)
            if said is not None and said.name:
                units = {word: Unit(word, Dimension.COUNT, Fraction(1))}
                known.pieces[name] = Weighed(units=units)
        except UnitNeedsSystem:
            continue


def _pieces(cells: RowCells, heading: str) -> Unit:
    """Each; with a warning where all that Weighs says is what a part of it is, such as a clove."""
    named = _named(cells, heading)
    weighed = cells.area.known.pieces.get(key(named))
    columns = cells.area.layout.columns
    is_counted = any(c.unit_in == heading and c.heading in cells.cells for c in columns)
    if weighed is not None and weighed.part and is_counted:
        cells.tell(heading, each_of_what, named, weighed.part)
    return EACH


def _unit_of_its_own(
    cells: RowCells, heading: str, text: str, measures: Measures, near: Sequence[str]
) -> Unit | None:
    """A unit that Weighs says of the ingredient; else what to write for a cook's word, by name."""
    ingredient = _named(cells, heading)
    weighed = cells.area.known.pieces.get(key(ingredient))
    own = weighed.units.get(own_word(text)) if weighed else None
    if own is not None:
        return own
    if weighed is None and key(ingredient) in cells.area.known.pieces:
        cells.failed.add(heading)  # what it is may stand there, and that is reported
        return None
    is_short = ingredient and len(text) <= LONGEST_WORD
    said = cooks_unit(text, ingredient, measures) if is_short else None
    if said is not None and said.name:
        about = (text, own_word(text), ingredient, said.name, said.published)
        cells.fail(heading, unit_of_pieces, *about)
        return None
    words = shortened(text), [said.unit] if said is not None else near, known_unit_names(measures)
    cells.fail(heading, unknown_unit, *words, weighs=bool(ingredient))
    return None


@message("unknown unit", Grade.ERROR)
def unknown_unit(
    text: str, near: Sequence[str], known: Sequence[str], *, weighs: bool = False
) -> Words:
    """A word that is no unit of the list; ``weighs``: nor one that Weighs may say."""
    own = f", or into Weighs what 1 {singular(text)} is" if weighs else ""
    return Words(
        f'the unit "{text}"',
        choice_words(known, most=9),
        (
            f"Write {choice_words(near)} if that is meant"
            if near
            else f"Write one of these units{own}"
        )
        + "; blank means each.",
    )


@message("unit of pieces", Grade.ERROR)
def unit_of_pieces(text: str, piece: str, ingredient: str, name: str, published: str) -> Words:
    """A clove, a bunch, a can: how many make one that is sold, or what one weighs, is not said."""
    if ingredient.casefold().endswith(f" {piece.casefold()}"):
        return Words(
            f'"{text}" as the unit of {ingredient}',
            f"each, since the ingredient is a {piece}",
            "Write each here; until then its need is unknown.",
        )
    known = f" (published: {published})" if published else ""
    own = "" if name == ingredient else f", or {name} into Ingredient and each here"
    return Words(
        f'"{text}" as the unit of {ingredient}',
        f"a weight, a volume or each; or what 1 {piece} is, in Weighs",
        f"Write what 1 {piece} is into Weighs for {ingredient}{known}{own}; until then its need is "
        "unknown.",
    )


@message("each of what", Grade.WARNING)
def each_of_what(ingredient: str, piece: str) -> Words:
    """Pieces of an ingredient of which Weighs names only a part, such as a clove."""
    return Words(
        f"pieces of {ingredient}, where Weighs says what a {piece} is and not what a piece is",
        f"into Weighs how many make one, such as 1 each = 10 {piece}",
        f"A piece is taken for a {piece}; if it is more, write that.",
    )


@message("unit needs its country", Grade.ERROR)
def unit_needs_its_country(text: str, choices: Sequence[str]) -> Words:
    return Words(
        f'the unit "{text}", which differs by country and is none of the chosen Measures',
        choice_words(choices),
        f"Write {choice_words(choices)}, or choose other Measures on the sheet Settings.",
    )


@message("unit of dishes only", Grade.ERROR)
def unit_of_dishes_only(unit: str, what: str) -> Words:
    return Words(
        f'the unit "{unit}", which only measures what a dish makes',
        f"a unit of weight, volume or pieces for {what}",
        "Write such a unit; blank means each.",
    )
