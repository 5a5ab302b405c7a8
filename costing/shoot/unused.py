"""Rows that were typed and change nothing: nothing typed is dropped in silence."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Iterator, Mapping, Sequence
from datetime import date

from costing.findings import Finding, Grade, Place, Words, choice_words, message
from costing.kitchen import Ingredient, Line, Lot, Measured, Pack
from costing.names import Named, is_water, key, nearest, singular
from costing.quantities import Dimension, Measures
from costing.quantities.fields import FromRow
from costing.shoot import messages
from costing.shoot.leaves import Leaves, made_apart, weighed_dishes
from costing.shoot.leaves import inside as inside_others
from costing.shoot.shoot import Shoot
from costing.shoot.shots import PICKED_FOR, Shot

Rows = Sequence[tuple[str, FromRow]]
"""Rows with the names they are about."""


@message("rows change nothing", Grade.NOTE)
def rows_change_nothing(rows: str, why: str) -> Words:
    """Rows that count for no result."""
    return Words(
        f"{rows}, {why}",
        "rows that count for this shoot",
        "They change nothing. Spell the names as elsewhere, or add what is missing, if they are "
        "meant for this shoot; leave them for another.",
    )


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


@message("settings change nothing", Grade.NOTE)
def settings_change_nothing(names: str) -> Words:
    """Settings that no result of this shoot depends on."""
    return Words(
        names,
        "settings that count for this shoot",
        "They change nothing here: nothing that was typed depends on them. Leave them for what "
        "comes.",
    )


def check_unused(shoot: Shoot) -> list[Finding]:
    """Findings about rows that count for no result.

    Where rows that would use them could not be read, nothing is said: it would follow from that.

    Parameters
    ----------
    shoot : Shoot
        With its episodes and shots filled in.
    """
    findings: list[Finding] = []
    if not shoot.shots:
        return findings
    if not shoot.left_out_on("Recipes"):
        findings += [*_stocked(shoot), *_cut(shoot)]
        made = [dish for dish in shoot.dishes if not shoot.is_dish(dish.name)]
        near = {dish.name: nearest(dish.name, shoot.recipes) for dish in made}
        findings += _reported("Dish", _named(made), "which no recipe makes", near)
    if not shoot.left_out_on("Recipes", "Shoot plan"):
        findings += _planned(shoot)
    if not any(finding.grade is Grade.ERROR for finding in shoot.findings):
        findings += _settings(shoot)
        findings += _cells(shoot)
    if not shoot.left_out_on("Packs"):
        sellers = Named((pack.shop, pack) for pack in shoot.packs if pack.shop)
        for rows in (shoot.shops, shoot.trips):
            findings += _reported("Shop", _apart(_named(rows), sellers), "where no pack is from")
    return findings


def _cells(shoot: Shoot) -> Iterator[Finding]:
    """Cells that nothing asks for, in rows that count."""
    inside = {key(line.ingredient) for line in shoot.lines}
    cooked = {key(line.ingredient) for line in shoot.lines if line.measured is Measured.COOKED}
    measured: tuple[Line | Pack | Lot, ...] = (*shoot.lines, *shoot.packs, *shoot.lots)
    counted = {
        key(row.ingredient)
        for row in measured
        if row.amount is not None and row.amount.unit.dimension is Dimension.COUNT
    }
    inside |= made_apart(shoot)
    whole = [row for row in shoot.dishes if shoot.is_dish(row.name) and key(row.name) not in inside]
    used = [row for row in shoot.ingredients if key(row.name) in inside]
    keeping = [r for r in shoot.dishes if r.keeps_days is not None and shoot.is_dish(r.name)]
    for_days = _made_for_days(shoot) if keeping else set()
    not_shown, in_the_making = _not_picked(shoot)
    dated = any(shoot.shoot_dates.values())
    fetched = dated or shoot.settings.shopping_dates or shoot.trips
    for heading, rows, why in (
        (
            "Cooked weight %",
            _named(r for r in used if r.cooked_weight and key(r.name) not in cooked),
            "whose cooked weight no line asks for: none is measured cooked",
        ),
        (
            "Grams per piece",
            _named(r for r in used if r.piece_weight and key(r.name) not in counted),
            "whose weight of a piece nothing asks for: nothing is counted in pieces",
        ),
        (
            "Makes",
            _named(r for r in whole if r.makes),
            "whose Makes counts only for costing recipe and where another dish takes some of it",
        ),
        (
            "Cooked weight %",
            _named(r for r in whole if r.cooked_weight),
            "whose cooked weight counts only where another dish takes some of it",
        ),
        (
            "Keeps days",
            _named(r for r in keeping if key(r.name) not in for_days),
            "whose keeping days count only where it is made for more than one shoot day, and for "
            "what costing close --next takes on",
        ),
        (
            "Optional lines",
            _named(_without_optional(shoot)),
            "none of whose steps has an optional line",
        ),
        (
            "Order days",
            _named(pack for pack in shoot.packs if pack.order_days and not fetched),
            "whose Order days count back from a day that is not known",
        ),
        (
            "Thaw days",
            _named(pack for pack in shoot.packs if pack.thaw_days and not dated),
            "whose Thaw days count back from a shoot date that is not known",
        ),
        (
            "Price",
            _named(pack for pack in shoot.packs if pack.supplied and pack.price),
            "whose price counts for nothing: it is supplied, which is free",
        ),
        (
            "Value",
            _named(lot for lot in shoot.lots if lot.supplied and lot.value),
            "whose value counts for nothing: it is supplied, which is worth nothing here",
        ),
        ("Candidates", not_shown, "of which no hero, hero spare or close-up shows a piece"),
    ):
        yield from _reported(heading, rows, why, said=messages.entry_changes_nothing)
    yield from _reported("Candidates", in_the_making, "", said=not_picked_in_the_making)


def _without_optional(shoot: Shoot) -> Iterator[Shot]:
    """Shots that ask for optional lines and take none."""
    leaves = Leaves(shoot, to_taste=True)
    asking = (one for one in shoot.shots if one.optional_lines and shoot.is_dish(one.dish))
    yield from (one for one in asking if not any(leaf.optional for leaf in leaves.taken_by(one)))


def _not_picked(shoot: Shoot) -> tuple[Rows, Rows]:
    """Lines with candidates that no purpose that picks shows, and those hidden from some shot.

    What goes into a dish in whole batches, on hand or sold ready is not picked from in its making.
    """
    lines = [line for line in shoot.lines if line.picked and line.counted is not None]
    shown, hidden = set[int](), set[int]()
    stocked = {key(row.ingredient) for row in shoot.packs}
    stocked |= {key(row.ingredient) for row in shoot.lots}
    whole, apart = Leaves(shoot), Leaves(shoot, apart=made_apart(shoot))
    for shot in shoot.shots if lines else ():
        if shot.purpose in PICKED_FOR and shoot.is_dish(shot.dish):
            seen = _lines_shown(shoot, shot, whole)
            ready = key(shot.dish) in stocked
            shown |= seen
            hidden |= seen - (set() if ready else _lines_shown(shoot, shot, apart))
    return (
        _named(line for line in lines if id(line) not in shown),
        _named(line for line in lines if id(line) in hidden),
    )


def _lines_shown(shoot: Shoot, shot: Shot, leaves: Leaves) -> set[int]:
    """The lines that a shot shows, by their identity, lines that take a dish included."""
    dishes = _with_inner(shoot, [shot.dish], apart=leaves.apart)
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
            for dish in _with_inner(shoot, [shot.dish]):
                days.setdefault(dish, set()).add(day)
    made = inside_others(shoot) | made_apart(shoot)
    return {dish for dish in made if len(days.get(dish, ())) > 1}


def _every_shop_has_trips(shoot: Shoot) -> bool:
    """Whether all packs are of shops with days of their own."""
    own = {key(trip.shop) for trip in shoot.trips}
    return bool(shoot.packs) and all(pack.shop and key(pack.shop) in own for pack in shoot.packs)


def _settings(shoot: Shoot) -> Iterator[Finding]:
    """Settings that were given and that nothing depends on.

    Metric measures are not among them: a new workbook of a recipe without cups has them filled in.
    Nor is Time zone, which is of use as soon as something is logged on the day.
    """
    settings = shoot.settings
    priced = [pack for pack in shoot.packs if pack.price and not pack.supplied]
    own_rates = [pack.tax_rate for pack in priced if pack.tax_rate is not None]
    on_top = not settings.prices_include_tax and len(own_rates) < len(priced)
    dated = any(episode.shoot_date for episode in shoot.episodes)
    acting = {
        "Prices include tax": bool(priced),
        "Food tax rate %": on_top,
        "Tax rounding": any(own_rates) or (on_top and settings.tax_rate > 0),
        "Measures": settings.measures is Measures.METRIC
        or any(amount.unit.bare for amount in shoot.amounts),
        "Time control procedures": bool(shoot.containers),
        "Holding rules": bool(shoot.containers),
        "Room temperature": bool(shoot.containers),
        "Shopping date": bool(dated or shoot.packs) and not _every_shop_has_trips(shoot),
        "Chance of running out accepted %": any(shot.uncertain for shot in shoot.shots)
        or any(line.good_enough is not None for line in shoot.lines),
        "Count leftovers that keep at %": bool(priced),
        "Budget": bool(priced),
        "Charge mark-up %": bool(shoot.receipts),
        "Mark-up on": bool(shoot.receipts and settings.charge_mark_up),
        "Cash float": bool(shoot.receipts),
        "Cash counted": bool(shoot.receipts),
    }
    idle = [name for name, acts in acting.items() if name in settings.places and not acts]
    if idle:
        words = choice_words(idle, last="and")
        yield settings_change_nothing(settings.places[idle[0]], words)


def _named(rows: Iterable[FromRow]) -> Rows:
    return [(row.called, row) for row in rows]


def _reported(
    heading: str,
    rows: Rows,
    why: str,
    near: Mapping[str, Sequence[str]] | None = None,
    said: Callable[[Place, str, str], Finding] = rows_change_nothing,
) -> Iterator[Finding]:
    """One finding for all rows, at the first of them."""
    if rows:
        shown = []
        for name in Named(rows):
            meant = (near or {}).get(name)
            shown.append(f'"{name}"' + (f' (or is "{meant[0]}" meant?)' if meant else ""))
        words = choice_words(shown, last="and")
        yield said(rows[0][1].at(heading), words, why)


def _apart(rows: Rows, known: Mapping[str, object]) -> Rows:
    """Rows whose names nobody has.

    A name that is nearly one without a row of its own is a slip, reported there.
    """
    listed = Named(rows)
    alone = [name for name in known if name not in listed]
    return [(name, row) for name, row in rows if name not in known and not nearest(name, alone)]


def _stocked(shoot: Shoot) -> Iterator[Finding]:
    """Packs, ingredients and lots that no recipe uses, with a name that shares their words."""
    recipes = Named((line.ingredient, line) for line in shoot.lines if line.ingredient)
    elsewhere = [held for container in shoot.containers for held in container.holds]
    elsewhere += (name for row in shoot.ingredients for name in row.substitutes)
    elsewhere += [*(shot.dish for shot in shoot.shots), *_articles(shoot)]
    apart = made_apart(shoot)
    used = Named((name, name) for name in (*recipes, *elsewhere))
    cooked_with = [name for name in recipes if not shoot.is_dish(name)]
    for listed in map(_named, (shoot.packs, shoot.ingredients, shoot.lots)):
        made = [(n, row) for n, row in listed if shoot.is_dish(n) and key(n) not in apart]
        yield from _reported("Ingredient", made, "which the recipes make")
        have_a_row = Named(listed)
        free = [
            name
            for name in recipes
            if name not in have_a_row and not shoot.is_dish(name) and not is_water(name)
        ]
        bought = [(n, row) for n, row in listed if not shoot.is_dish(n) or key(n) in apart]
        # a name that is nearly one of the recipes is told as a slip
        rows = [one for one in _apart(bought, used) if not nearest(one[0], cooked_with)]
        near = {name: _sharing_words(name, free) for name, _ in rows}
        yield from _reported("Ingredient", rows, "which no recipe uses", near)
        water = [(name, row) for name, row in listed if name in used and is_water(name)]
        from_the_tap = [(name, row) for name, row in water if not _weighs(row, shoot)]
        yield from _reported("Ingredient", from_the_tap, "which is free and never bought")


def _weighs(row: FromRow, shoot: Shoot) -> bool:
    """Whether a row says what weighs the water in a dish of which others take grams."""
    if not isinstance(row, Ingredient):
        return False
    of_it = {Dimension.VOLUME: row.density, Dimension.COUNT: row.piece_weight}
    lines = [one for one in shoot.lines if key(one.ingredient) == key(row.name)]
    told = [one for one in lines if one.amount and of_it.get(one.amount.unit.dimension)]
    dishes = weighed_dishes(shoot) if told else frozenset()
    return any(key(one.dish) in dishes for one in told)


def _articles(shoot: Shoot) -> list[str]:
    """Articles of Parts some part of which is used, whatever it is cut from in turn."""
    used = {key(line.ingredient) for line in shoot.lines}
    articles: list[str] = []
    for _ in shoot.parts:
        for row in shoot.parts:
            if key(row.name) in used and key(row.ingredient) not in map(key, articles):
                articles.append(row.ingredient)
                used.add(key(row.ingredient))
    return articles


def _cut(shoot: Shoot) -> Iterator[Finding]:
    """Articles of Parts no part of which is used."""
    cut = set(map(key, _articles(shoot)))
    rows = [(row.ingredient, row) for row in shoot.parts if key(row.ingredient) not in cut]
    yield from _reported("Ingredient", rows, "of which no recipe uses a part")


def _sharing_words(name: str, known: Iterable[str]) -> list[str]:
    """Names with all the words of this one and more, or all but some: ``flour``, ``rye flour``."""
    words = set(map(singular, key(name).split()))
    return [other for other in known if _within(words, set(map(singular, key(other).split())))]


def _within(one: set[str], other: set[str]) -> bool:
    return one < other or other < one


def _planned(shoot: Shoot) -> Iterator[Finding]:
    """Dishes, single lines and episodes that no shot takes."""
    leaves = Leaves(shoot)
    taken: set[int] = set()
    for shot in shoot.shots:
        if shoot.is_dish(shot.dish):
            taken.update(id(leaf.line) for leaf in leaves.taken_by(shot))
    dishes = _with_inner(shoot, [shot.dish for shot in shoot.shots])
    rows = [(dish, lines[0]) for dish, lines in shoot.recipes.items() if key(dish) not in dishes]
    yield from _reported("Dish", rows, "which no shot takes")
    lines = [
        (line.ingredient, line)
        for line in shoot.lines
        if key(line.dish) in dishes and id(line) not in taken
        if line.ingredient and not line.to_taste and not shoot.is_dish(line.ingredient)
    ]
    if lines:
        words = choice_words(
            [f'"{name}" of "{line.dish}", step {line.step}' for name, line in lines], last="and"
        )
        yield rows_change_nothing(
            lines[0][1].at("Ingredient"), words, "which no shot takes, by its steps or as optional"
        )
    gone_on = {key(shot.from_shot) for shot in shoot.shots}
    idle = [s for s in shoot.shots if not (s.times or s.uncertain or key(s.label) in gone_on)]
    yield from _reported("Times", _named(idle), "taken 0 times")
    none_of = [(one.ingredient, one) for one in shoot.lines if one.amount and not one.amount.base]
    yield from _reported("Amount", none_of, "of which the recipe takes nothing")
    none = [shot for shot in shoot.shots if not shot.batch and shot.times]
    yield from _reported("Batch", _named(none), "of which nothing is made each time")
    planned = Named((shot.episode, shot) for shot in shoot.shots)
    without = _apart(_named(shoot.episodes), planned)
    yield from _reported("Episode", without, "for which no shot is planned")


def _with_inner(shoot: Shoot, dishes: Iterable[str], *, apart: Collection[str] = ()) -> set[str]:
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
