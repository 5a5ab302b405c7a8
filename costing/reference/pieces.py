"""The weight of one piece, of the kind that is counted: an onion, a clove of garlic, a wedge."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from fractions import Fraction

from costing.names import singular
from costing.reference.cuts import TABLE_PIECES
from costing.reference.filled import Choices, Filled, decided, from_row, from_rows, with_note
from costing.reference.foods import Match, find_food
from costing.reference.tables import PieceWeight, Published, published

AGREEMENT = Fraction(5, 100)
"""Values no further apart than this part agree, and the first printed stands for all. [fraction]

The tables print whole grams and whole percents: two figures for one thing may differ by as much.
"""

USUAL_SIZE = "medium"
"""The size that is meant where none is named."""

GROWN_PIECES = frozenset(
    ("bulb", "bunch", "clove", "ear", "floweret", "head", "leaf", "pod", "spear", "sprig", "stalk")
)
"""Pieces in which a food grows; the others (wedge, slice, ring) come of cutting one up."""


def kind_of_piece(name: str, cut: str = "") -> str:
    """Which kind of piece is counted, by the name or else the cut; ``""``: the food whole.

    Examples
    --------
    >>> kind_of_piece("garlic clove"), kind_of_piece("lemon", "wedge"), kind_of_piece("lemon")
    ('clove', 'wedge', '')
    """
    match = find_food(name)
    if match.food is None:
        return ""
    return _kind_of_piece(match, cut, published(match.food.food_id).piece_weights)


def piece_weight(
    about: Published,
    match: Match,
    cut: str,
    *,
    sold_each: bool,
    trim_yield: Filled | Choices | None,
) -> Filled | Choices | None:
    """The weight of the kind of piece that is counted.

    Parameters
    ----------
    about, match, cut : Published, Match, str
        The food, and how the name and the line call it.
    sold_each : bool
        Whether a shop counts it: what a shop sells one of may be a bag, a bunch or a bottle, and
        is never taken for one berry, one spear or the juice of one.
    trim_yield : Filled, Choices or None
        What is published of the food: a piece weighed as it is bought is worth so much.
    """
    column = "Grams per piece"
    kind = _kind_of_piece(match, cut, about.piece_weights)
    if kind:
        rows = [row for row in about.piece_weights if row.piece == kind] or [
            row for row in about.piece_weights if kind in row.kinds
        ]
    else:
        usable = (row for row in about.piece_weights if row.fills)
        rows = [row for row in usable if not (sold_each and row.recipe_only)]
    fitting = [
        value for row in _of_size(rows, match.size) if (value := _trimmed_piece(row, trim_yield))
    ]
    return decided(
        column,
        about,
        fitting,
        [] if fitting else from_rows(column, about.piece_weights),
        within=AGREEMENT,
        why="it depends on the size",
    )


def _kind_of_piece(match: Match, cut: str, rows: Iterable[PieceWeight]) -> str:
    """The kind of piece that the name says, or else the cut; none is the food counted whole.

    A cut in the plural may say how the whole is cut up (2 lemons, wedges), except where it names
    what grows as a piece (2 garlic, cloves).
    """
    known = {word for row in rows for word in row.kinds}
    for word in match.forms:
        if word in known:
            return word
    said = cut.casefold().strip()
    one = TABLE_PIECES.get(singular(said), (singular(said),))[0]
    return one if one in known and (one in GROWN_PIECES or singular(said) == said) else ""


def _of_size(rows: list[PieceWeight], size: str) -> list[PieceWeight]:
    """Those of the size that the name says; else the medium ones, those without a size, or all."""
    if size:
        return [row for row in rows if row.size == size] or rows
    return (
        [row for row in rows if row.size == USUAL_SIZE] or [row for row in rows if not row.size]
    ) or rows


def _trimmed_piece(row: PieceWeight, trim_yield: Filled | Choices | None) -> Filled | None:
    """A piece weighed as it is bought is worth its trim yield, where one is published."""
    if row.value is None:
        return None
    value = from_row("Grams per piece", row, row.value)
    if not row.weighed:
        return value
    # weighed with its peel and no yield to take that off: it would count as too much food
    if not isinstance(trim_yield, Filled):
        return None
    return replace(
        with_note(value, f"{value.text} g as printed, times the trim yield {trim_yield.text} %"),
        value=row.value * trim_yield.number / 100,
    )
