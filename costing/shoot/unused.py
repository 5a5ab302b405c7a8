"""Rows that were typed and change nothing: nothing typed is dropped in silence."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence

from costing.findings import Finding, Grade, Words, choice_words, message
from costing.kitchen import Ingredient
from costing.names import Named, is_water, key, nearest, singular
from costing.quantities import Dimension, Measures
from costing.quantities.fields import FromRow
from costing.shoot.leaves import Leaves, made_unseen, weighed_dishes
from costing.shoot.shoot import Shoot
from costing.shoot.unused_cells import Rows, named, reported, unused_cells, with_inner


@message("rows change nothing", Grade.NOTE)
def rows_change_nothing(rows: str, why: str) -> Words:
    return Words(
        f"{rows}, {why}",
        "rows that count for this shoot",
        "They change nothing. Spell the names as elsewhere, or add what is missing, if they are "
        "meant for this shoot; leave them for another.",
    )


@message("settings change nothing", Grade.NOTE)
def settings_change_nothing(names: str) -> Words:
    return Words(
        names,
        "settings that count for this shoot",
        "They change nothing here: nothing that was typed depends on them. Leave them for what "
        "comes.",
    )


def check_unused(shoot: Shoot) -> list[Finding]:
    """Findings about rows that count for no result.

    Where rows that would use them could not be read, nothing is said: it would follow from that.
    """
    findings: list[Finding] = []
    if not shoot.shots:
        return findings
    if not shoot.left_out_on("Recipes"):
        findings += [*_stocked(shoot), *_cut(shoot)]
        planned = {key(shot.dish) for shot in shoot.shots}  # without a recipe, as is said there
        made = [d for d in shoot.dishes if not shoot.is_dish(d.name) and key(d.name) not in planned]
        near = {dish.name: nearest(dish.name, shoot.recipes) for dish in made}
        findings += _reported("Dish", named(made), "which no recipe makes", near)
    if not shoot.left_out_on("Recipes", "Shoot plan"):
        findings += _planned(shoot)
    if not any(finding.grade is Grade.ERROR for finding in shoot.findings):
        findings += _settings(shoot)
        findings += unused_cells(shoot)
    if not shoot.left_out_on("Packs"):
        sellers = Named((pack.shop, pack) for pack in shoot.packs if pack.shop)
        findings += _reported("Shop", _apart(named(shoot.shops), sellers), "where no pack is from")
        # a pack's shop needs no trip of its own, so that nothing else tells of a slip here
        trips = [(name, row) for name, row in named(shoot.trips) if name not in sellers]
        meant = {name: nearest(name, sellers) for name, _ in trips}
        findings += _reported("Shop", trips, "where no pack is from", meant)
    return findings


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


def _reported(
    heading: str, rows: Rows, why: str, near: Mapping[str, Sequence[str]] | None = None
) -> Iterator[Finding]:
    return reported(heading, rows, why, rows_change_nothing, near)


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
    # of a dish that is neither sold nor on hand no row of Ingredients is asked for
    stocked = {key(row.called) for rows in (shoot.packs, shoot.lots) for row in rows}
    apart = made_unseen(shoot) & stocked
    used = Named((name, name) for name in (*recipes, *elsewhere))
    cooked_with = [name for name in recipes if not shoot.is_dish(name)]
    for listed in map(named, (shoot.packs, shoot.ingredients, shoot.lots)):
        made = [(n, row) for n, row in listed if shoot.is_dish(n) and key(n) not in apart]
        # a name alone, as a recipe leaves it that was written before the dish was, says nothing
        made = [(n, row) for n, row in made if row != Ingredient(name=n, row=row.row)]
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
    # a name that waits for its pack has no model yet
    waiting = [
        (row.name, Ingredient(name=row.name, row=row))
        for row in shoot.waiting_packs
        if row.name not in used and not shoot.is_dish(row.name)
    ]
    meant = {name: nearest(name, cooked_with) for name, _ in waiting}
    yield from _reported("Ingredient", waiting, "which no recipe uses", meant)


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
    dishes = with_inner(shoot, [shot.dish for shot in shoot.shots])
    rows = [(dish, lines[0]) for dish, lines in shoot.recipes.items() if key(dish) not in dishes]
    # what a shot spells otherwise is said there
    unknown = [shot.dish for shot in shoot.shots if not shoot.is_dish(shot.dish)]
    rows = [(dish, first) for dish, first in rows if not nearest(dish, unknown)]
    cooked = [dish for dish in shoot.recipes if key(dish) in dishes]
    near = {dish: nearest(dish, cooked) for dish, _ in rows}
    yield from _reported("Dish", rows, "which no shot takes", near)
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
    yield from _reported("Times", named(idle), "taken 0 times")
    none_of = [(one.ingredient, one) for one in shoot.lines if one.amount and not one.amount.base]
    yield from _reported("Amount", none_of, "of which the recipe takes nothing")
    none = [shot for shot in shoot.shots if not shot.batch and shot.times]
    yield from _reported("Batch", named(none), "of which nothing is made each time")
    planned = Named((shot.episode, shot) for shot in shoot.shots)
    without = _apart(named(shoot.episodes), planned)
    yield from _reported("Episode", without, "for which no shot is planned")
