"""Cells that were typed and change nothing, in rows that count."""

from __future__ import annotations

import re
from collections.abc import Callable, Collection, Iterable, Iterator, Mapping, Sequence
from datetime import date

from costing.findings import Finding, Grade, Place, Words, choice_words, message
from costing.kitchen import Dish, Ingredient, Line, Lot, Measured, Pack
from costing.names import Named, key
from costing.quantities import Dimension, decimal_or_fraction
from costing.quantities.fields import FromRow
from costing.shoot import messages
from costing.shoot.leaves import Leaves, made_apart, made_unseen
from costing.shoot.leaves import inside as inside_others
from costing.shoot.purposes import PICKED_FOR
from costing.shoot.shoot import Shoot
from costing.shoot.shots import Shot

Rows = Sequence[tuple[str, FromRow]]
"""Rows with the names they are about."""

Idle = tuple[str, Sequence[FromRow], str]
"""A heading, the rows of which a cell below it changes nothing, and why."""


@message("not picked in the making", Grade.WARNING)
def not_picked_in_the_making(rows: str, _: str) -> Words:
    """Candidates of what goes into a dish in whole batches, on hand or sold ready."""
    return Words(
        f"{rows} in a dish that is in whole batches, on hand or sold ready",
        "candidates of a line of the dish that is shown",
        "Where a hero, hero spare or close-up shows such a dish, nothing more is bought to pick "
        "from for its making. Write Candidates beside the line that takes it in pieces, or clear "
        "them here.",
    )


def unused_cells(shoot: Shoot) -> Iterator[Finding]:
    """Cells that nothing asks for, in rows that count."""
    used = {key(line.ingredient) for line in shoot.lines} | made_apart(shoot)
    not_shown, in_the_making = _not_picked(shoot)
    for heading, rows, why in (
        *_of_ingredients(shoot, [row for row in shoot.ingredients if key(row.name) in used]),
        *_of_dishes(shoot, used),
        *_of_shots(shoot),
        *_of_packs_and_lots(shoot),
        ("Candidates", not_shown, "of which no hero, hero spare or close-up shows a piece"),
    ):
        yield from reported(heading, named(rows), why, messages.entry_changes_nothing)
    yield from reported("Candidates", named(in_the_making), "", not_picked_in_the_making)


def _of_ingredients(shoot: Shoot, used: Sequence[Ingredient]) -> Iterator[Idle]:
    """Weights of rows that are used, where no line is measured so."""
    cooked = {key(line.ingredient) for line in shoot.lines if line.measured is Measured.COOKED}
    measured: tuple[Line | Pack | Lot, ...] = (*shoot.lines, *shoot.packs, *shoot.lots)
    counted, weighed = (
        {
            key(row.ingredient)
            for row in measured
            if row.amount is not None and (row.amount.unit.dimension is Dimension.COUNT) is pieces
        }
        for pieces in (True, False)
    )
    yield (
        "Cooked weight %",
        [row for row in used if row.cooked_weight and key(row.name) not in cooked],
        "whose cooked weight no line asks for: none is measured cooked",
    )
    yield (
        "Trim yield %",
        [row for row in used if row.trim_yield not in (None, 1) and key(row.name) not in weighed],
        "whose trim yield no weight or volume asks for: pieces are whole as bought",
    )
    yield (
        "Grams per piece",
        [row for row in used if row.piece_weight and key(row.name) not in counted],
        "whose weight of a piece nothing asks for: nothing is counted in pieces",
    )


def _of_dishes(shoot: Shoot, used: Collection[str]) -> Iterator[Idle]:
    """What says how a dish goes into others, or keeps, where neither is asked."""
    dishes = [row for row in shoot.dishes if shoot.is_dish(row.name)]
    whole = [row for row in dishes if key(row.name) not in used]
    keeping = [row for row in dishes if row.keeps_days is not None]
    for_days = _made_for_days(shoot) if keeping else set()
    yield (
        "Makes",
        [row for row in whole if row.makes and not _as_its_note_says(row)],
        "whose Makes counts only for costing recipe and where another dish takes some of it",
    )
    yield (
        "Cooked weight %",
        [row for row in whole if row.cooked_weight],
        "whose cooked weight counts only where another dish takes some of it",
    )
    yield (
        "Keeps days",
        [row for row in keeping if key(row.name) not in for_days],
        "whose keeping days count only where it is made for more than one shoot day, and for "
        "what costing close --next takes on",
    )


def _of_shots(shoot: Shoot) -> Iterator[Idle]:
    yield (
        "Optional lines",
        list(_without_optional(shoot)),
        "none of whose steps has an optional line",
    )
    yield (
        "Eaters",
        [shot for shot in shoot.shots if shot.eater_count == 0],
        "whose Eaters count nobody: that nobody eats of it is said with no in Eaten",
    )


def _of_packs_and_lots(shoot: Shoot) -> Iterator[Idle]:
    """Days that count back from none, and money for what is free."""
    dated = any(shoot.shoot_dates.values())
    fetched = dated or shoot.settings.shopping_dates or shoot.trips
    yield (
        "Order days",
        [pack for pack in shoot.packs if pack.order_days and not fetched],
        "whose Order days count back from a day that is not known",
    )
    yield (
        "Thaw days",
        [pack for pack in shoot.packs if pack.thaw_days and not dated],
        "whose Thaw days count back from a shoot date that is not known",
    )
    yield (
        "Price",
        [pack for pack in shoot.packs if pack.supplied and pack.price],
        "whose price counts for nothing: it is supplied, which is free",
    )
    yield (
        "Value",
        [lot for lot in shoot.lots if lot.supplied and lot.value],
        "whose value counts for nothing: it is supplied, which is worth nothing here",
    )


def _as_its_note_says(dish: Dish) -> bool:
    """Whether Makes is kept from the recipe, whose words for it stand in the Note."""
    said = re.findall(r"[0-9][0-9.,/]*", dish.note)
    return dish.makes is not None and decimal_or_fraction(dish.makes.magnitude) in said


def _without_optional(shoot: Shoot) -> Iterator[Shot]:
    """Shots that ask for optional lines and take none."""
    leaves = Leaves(shoot, to_taste=True)
    asking = (one for one in shoot.shots if one.optional_lines and shoot.is_dish(one.dish))
    yield from (one for one in asking if not any(leaf.optional for leaf in leaves.taken_by(one)))


def _not_picked(shoot: Shoot) -> tuple[list[Line], list[Line]]:
    """Lines with candidates that no purpose that picks shows, and those hidden from some shot.

    What goes into a dish in whole batches, on hand or sold ready is not picked from in its making.
    """
    lines = [line for line in shoot.lines if line.picked and line.counted is not None]
    shown, hidden = set[int](), set[int]()
    stocked = {key(row.ingredient) for row in shoot.packs}
    stocked |= {key(row.ingredient) for row in shoot.lots}
    whole, apart = Leaves(shoot), Leaves(shoot, apart=made_unseen(shoot))
    for shot in shoot.shots if lines else ():
        if shot.purpose in PICKED_FOR and shoot.is_dish(shot.dish):
            seen = _lines_shown(shoot, shot, whole)
            ready = key(shot.dish) in stocked
            shown |= seen
            hidden |= seen - (set() if ready else _lines_shown(shoot, shot, apart))
    return (
        [line for line in lines if id(line) not in shown],
        [line for line in lines if id(line) in hidden],
    )


def _lines_shown(shoot: Shoot, shot: Shot, leaves: Leaves) -> set[int]:
    """The lines that a shot shows, by their identity, lines that take a dish included."""
    dishes = with_inner(shoot, [shot.dish], apart=leaves.apart)
    return {id(leaf.line) for leaf in leaves.shown_in(shot)} | {
        id(line)
        for dish in dishes
        for line in shoot.recipes[dish]
        if shoot.is_dish(line.ingredient)
    }


def _made_for_days(shoot: Shoot) -> set[str]:
    """Keys of the dishes that are made, and for shots of several days."""
    days: dict[str, set[date]] = {}
    for shot in shoot.shots:
        if (day := shoot.shoot_dates.get(shot.episode)) is not None:
            for dish in with_inner(shoot, [shot.dish]):
                days.setdefault(dish, set()).add(day)
    made = inside_others(shoot) | made_apart(shoot)
    return {dish for dish in made if len(days.get(dish, ())) > 1}


def named(rows: Iterable[FromRow]) -> Rows:
    """Rows with the names they are about."""
    return [(row.called, row) for row in rows]


def reported(
    heading: str,
    rows: Rows,
    why: str,
    said: Callable[[Place, str, str], Finding],
    near: Mapping[str, Sequence[str]] | None = None,
) -> Iterator[Finding]:
    """One finding for all rows, at the first of them."""
    if rows:
        shown = []
        for name in Named(rows):
            meant = (near or {}).get(name)
            shown.append(f'"{name}"' + (f' (or is "{meant[0]}" meant?)' if meant else ""))
        words = choice_words(shown, last="and")
        yield said(rows[0][1].at(heading), words, why)


def with_inner(shoot: Shoot, dishes: Iterable[str], *, apart: Collection[str] = ()) -> set[str]:
    """Keys of dishes that have a recipe, and of those in them at any depth, none apart."""
    found: set[str] = set()
    waiting = list(dishes)
    while waiting:
        dish = waiting.pop()
        if key(dish) not in found and shoot.is_dish(dish):
            found.add(key(dish))
            inner = [line.ingredient for line in shoot.recipes[dish]]
            waiting += [name for name in inner if key(name) not in apart]
    return found
