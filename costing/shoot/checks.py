"""What is checked over the whole shoot, whether it was read or built in code."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from datetime import date

from costing.findings import Finding, Grade, Place, Words, choice_words, message, near_words
from costing.kitchen import Line, Measured, Part
from costing.listing import row_words
from costing.names import Named, by_name, food_key, is_water, key, nearest, singular_name
from costing.quantities.fields import FromRow
from costing.reference import find_food, published_parts
from costing.shoot import messages
from costing.shoot.copies import NOTHING
from costing.shoot.defaults import completed, shoot_day
from costing.shoot.eating import unknown_eaters
from costing.shoot.episodes import DayEvent
from costing.shoot.prices import check_prices
from costing.shoot.purposes import STEPS_EXPECTED, Purpose
from costing.shoot.shoot import Shoot
from costing.shoot.shots import Shot, steps_words
from costing.shoot.taken import shots_named

LIKENESS_OF_A_PART = 0.85
"""From this on a name may be a published part's: "grape juice" is no slip of "orange juice"."""

STOCK_SHEETS = ("Ingredients", "Packs", "On hand", "Parts")
"""Sheets whose rows name what recipes take."""


def check_shoot(shoot: Shoot) -> list[Finding]:
    """Findings that need more than one row: unknown names, rows twice, steps, currency."""
    if not any(line.ingredient for line in shoot.lines):
        unread = shoot.left_out_on("Recipes")
        return [] if unread else [messages.nothing_to_cook(Place("Recipes"))]
    return [
        *_names(shoot),
        *_twice(shoot),
        *_unknown_dishes(shoot),
        *check_shots(shoot),
        *_shops(shoot),
        *_logged(shoot),
        *_shots_named_twice(shoot),
        *_currency(shoot),
        *_tax(shoot),
        *check_prices(shoot),
        *_calls(shoot),
    ]


def _currency(shoot: Shoot) -> Iterator[Finding]:
    blank = shoot.settings.currency is None and "Currency" not in shoot.settings.places
    if (
        blank
        and not shoot.left_out_on("Settings")
        and any(pack.price is not None for pack in shoot.packs)
    ):
        yield messages.currency_not_given(Place("Settings", name="Currency"))


def _tax(shoot: Shoot) -> Iterator[Finding]:
    settings = shoot.settings
    said = "Food tax rate %" in settings.places or "tax_rate" in settings.model_fields_set
    paid = [pack for pack in shoot.packs if pack.price is not None and not pack.supplied]
    if settings.prices_include_tax or said or not paid:
        return
    if all(pack.tax_rate is None for pack in paid):
        yield messages.tax_rate_missing(settings.at("Food tax rate %"))


def _calls(shoot: Shoot) -> Iterator[Finding]:
    """Episodes whose first shot starts before the call."""
    started = [shot for shot in shoot.shots if shot.starts]
    timed = by_name((shot.episode, (shot.starts, shot.label)) for shot in started)
    for episode in shoot.episodes:
        of_all = timed.get("", ())  # no episode is named
        start, label = min([*timed.get(episode.name, ()), *of_all], default=(None, ""))
        call = episode.call_time
        if start is not None and call is not None and start < call:
            yield messages.call_after_first_start(
                episode.at("Call time"), f"{call:%H:%M}", label, f"{start:%H:%M}"
            )


def _shots_named_twice(shoot: Shoot) -> Iterator[Finding]:
    """Names of several shots of an episode; a From or a log that has one tells it by itself."""
    named: dict[tuple[str, str], list[Shot]] = {}
    for shot in shoot.shots:
        if shot.name:
            named.setdefault((key(shot.episode), key(shot.name)), []).append(shot)
    gone_on = {(key(shot.episode), key(shot.from_shot)) for shot in shoot.shots}
    logged = {key(line.what) for line in shoot.day_log}
    for name, shots in named.items():
        numbers = [shot.row.number for shot in shots if shot.row.number]
        used = name in gone_on or not logged.isdisjoint((name[1], key(shots[0].full_label)))
        if len(numbers) > 1 and not used:
            yield messages.shot_named_twice(shots[1].at("Shot"), shots[0].name, row_words(numbers))


@message("taken on another day", Grade.WARNING)
def taken_on_another_day(shoot_date: str, logged: Sequence[str]) -> Words:
    return Words(
        f"{shoot_date}, while its takes are logged on {choice_words(logged, last='and')}",
        "the day on which it is shot",
        "Mend the one that is wrong: the date decides what is on hand, fetched and counted by "
        "then, and when its takes left are over.",
    )


def check_log_days(shoot: Shoot) -> Iterator[Finding]:
    """Shoot dates on which no take is logged, where all takes of the episode are on other days."""
    logged: dict[str, set[date]] = {}
    for line in shoot.day_log:
        of = shots_named(shoot, line.what, line.when) if line.event is DayEvent.TAKEN else []
        if len(of) == 1 and line.when is not None:
            days = logged.setdefault(shoot.shots[of[0]].episode, set())
            days.add(shoot_day(line.when, shoot))
    for episode in shoot.episodes:
        days = logged.get(episode.name, set())
        if episode.shoot_date is not None and days and episode.shoot_date not in days:
            said = [day.isoformat() for day in sorted(days)]
            place = episode.at("Shoot date")
            yield taken_on_another_day(place, episode.shoot_date.isoformat(), said)


def check_shots(shoot: Shoot) -> Iterator[Finding]:
    """Shots of unknown steps or episodes, and giveaways of food that was handled."""
    episodes = shoot.episode_rows
    for shot in shoot.shots:
        if not shoot.is_dish(shot.dish):
            continue
        goes_on = key(shot.from_shot) not in {"", NOTHING}  # blank Steps are then all that follow
        if shot.steps is None and shot.purpose in STEPS_EXPECTED and not goes_on:
            yield messages.steps_missing(shot.at("Steps"), str(shot.purpose))
        if shot.purpose is Purpose.GIVEAWAY and shot.times and _handled(shot, shoot):
            yield messages.giveaway_handled(shot.at("Purpose"), shot.dish)
        unread = shoot.left_out_on("Episodes", name=shot.episode)
        if shot.episode and episodes and shot.episode not in episodes and not unread:
            yield messages.episode_unknown(
                shot.at("Episode"), shot.episode, nearest(shot.episode, episodes)
            )
    yield from _unknown_steps(shoot)


def _unknown_dishes(shoot: Shoot, unusable: tuple[Shot, ...] = ()) -> Iterator[Finding]:
    """Dishes of shots that have no recipe, each said once.

    With shots that a cell leaves out, those of their dishes, which are then not said again.
    """
    told = {finding.place for finding in shoot.findings if finding.code == "dish unknown"}
    asked = {key(shot.dish) for shot in unusable or shoot.shots}
    unknown: dict[str, list[Shot]] = {}
    for shot in (*shoot.shots, *unusable):
        if key(shot.dish) in asked and not shoot.is_dish(shot.dish):
            unknown.setdefault(key(shot.dish), []).append(shot)
    for first, *others in unknown.values():
        near, place = nearest(first.dish, shoot.recipes), first.at("Dish")
        if place not in told and (near or not shoot.left_out_on("Recipes")):
            numbers = [shot.row.number for shot in (first, *others) if shot.row.number]
            rows = row_words(numbers) if others else ""
            yield messages.dish_unknown(place, first.dish, near, list(shoot.recipes), rows)


def also_wrong_with(shoot: Shoot, unusable: tuple[Shot, ...]) -> Iterator[Finding]:
    """What else is wrong with rows that a cell leaves out: names that nobody knows.

    ``unusable``: those that a cell leaves out, without it.
    """
    yield from _left_out_slips(shoot)
    if not unusable:
        return
    yield from _unknown_dishes(shoot, unusable)
    yield from check_shots(shoot.changed(shots=unusable))
    yield from unknown_eaters(shoot, unusable)
    rows = {shot.at("From").row for shot in unusable}
    for finding in completed(shoot.changed(shots=(*shoot.shots, *unusable)))[1]:
        if finding.code == "shot unknown" and finding.place.row in rows:
            yield finding


@message("name nearly another", Grade.WARNING)
def name_nearly_another(name: str, near: Sequence[str]) -> Words:
    """A row that a cell leaves out, whose name may be a slip of one that is used elsewhere."""
    return Words(
        f'"{name}", which nothing uses',
        near_words(near, "a name as elsewhere"),
        f'Write "{near[0]}" if that is meant, when the row is mended.',
    )


def _left_out_slips(shoot: Shoot) -> Iterator[Finding]:
    """Names of rows that a cell leaves out that are nearly a name which has its rows elsewhere."""
    foods = [line.ingredient for line in shoot.lines if line.ingredient]
    stocked = Named((row.called, row) for row in (*shoot.ingredients, *shoot.packs, *shoot.lots))
    used = dict.fromkeys((*STOCK_SHEETS, "Receipts", "Counted"), foods)
    used["Trips"] = [pack.shop for pack in shoot.packs if pack.shop]
    for left in shoot.left_out:
        known = Named((name, name) for name in used.get(left.sheet, ()))
        near = nearest(left.name, known) if left.name and left.name not in known else []
        # an ingredient of the recipes without a row of its own is told there
        if near and (known[near[0]] in stocked or left.sheet not in STOCK_SHEETS):
            yield name_nearly_another(left.place, left.name, near)


def _shops(shoot: Shoot) -> Iterator[Finding]:
    listed = Named((shop.name, shop) for shop in shoot.shops)
    for name, pack in Named((pack.shop, pack) for pack in shoot.packs if pack.shop).items():
        near = [] if name in listed else nearest(name, listed)
        if near:
            yield messages.shop_unknown(pack.at("Shop"), name, near)


def _logged(shoot: Shoot) -> Iterator[Finding]:
    episodes = shoot.episode_rows
    for container in shoot.containers:
        name = container.episode
        if name and episodes and name not in episodes:
            yield messages.episode_unknown(container.place, name, nearest(name, episodes))


def _handled(shot: Shot, shoot: Shoot) -> bool:
    """Whether what is given away is more than what is given out as it is bought.

    That is one step without a name, of ingredients measured as bought and without a cut.
    """
    lines = shoot.recipes[shot.dish]
    return len({line.step for line in lines}) > 1 or any(
        line.cut
        or line.step_name
        or line.measured is not Measured.AS_BOUGHT
        or shoot.is_dish(line.ingredient)
        for line in lines
    )


def _unknown_steps(shoot: Shoot) -> Iterator[Finding]:
    """Steps of shots that their dishes do not have.

    Where the numbers of a dish go back one of them is wrong, and that is the cause of a gap below
    the highest: it is told there once for all shots of the dish, and becomes an error. No slip of
    one number brings steps above the highest, so those are told where the shot names them.
    """
    if shoot.left_out_on("Recipes"):
        return
    dishes = {line.row.number: key(line.dish) for line in shoot.lines}
    going_back = {
        dishes.get(one.place.row): one for one in shoot.findings if one.code == "step goes back"
    }
    lacking: dict[str, list[str]] = {}
    for shot in shoot.shots:
        known = sorted({line.step for line in shoot.recipes.get(shot.dish, ())})
        wrong = [step for step in shot.steps or () if step not in known]
        if key(shot.dish) in going_back:
            gaps = [step for step in wrong if step < known[-1]]
            wrong = [step for step in wrong if step > known[-1]]
            if gaps:
                lacking.setdefault(key(shot.dish), []).append(
                    f'step{"s" if len(gaps) > 1 else ""} {steps_words(gaps)} of "{shot.label}"'
                )
        if wrong and known:
            yield messages.step_unknown(shot.at("Steps"), shot.dish, wrong, known)
    for dish, steps in lacking.items():
        told = going_back[dish]
        found = f"{told.found}, and no {choice_words(steps)}"
        yield replace(told, grade=Grade.ERROR, found=found)


def without_slips(shoot: Shoot, findings: Iterable[Finding]) -> list[Finding]:
    """Findings but for packs and values that lack where the name is a slip, which is said beside.

    The shoot is as it was given: an ingredient that was filled in since has a row like any other.
    """
    slipped = _slips(shoot)
    return [
        one
        for one in findings
        if not (one.code == "pack missing" or one.place.sheet == "Ingredients")
        or one.place.name not in slipped
    ]


def as_meant(shoot: Shoot) -> Shoot:
    """The shoot where no recipe takes a dish by a slip: what that leaves unused is no second fault.

    Nothing is worked out from it, as a name is never guessed.
    """
    meant = {key(name): near[0] for name, near in _slips(shoot).items() if shoot.is_dish(near[0])}
    if not meant:
        return shoot
    return shoot.changed(
        lines=tuple(
            line.model_copy(update={"ingredient": meant.get(key(line.ingredient), line.ingredient)})
            for line in shoot.lines
        )
    )


def _slips(shoot: Shoot) -> Named[list[str]]:
    """Ingredients of recipes on no other sheet, with names there that are nearly the same.

    A name stands on a sheet too where its row is left out for another fault.
    """
    used, stocked = _cooked_with(shoot), Named(_stocked_rows(shoot))
    unread = {key(left.name) for left in shoot.left_out if left.sheet in STOCK_SHEETS}
    found: list[tuple[str, list[str]]] = []
    for name in used:
        if name not in stocked and key(name) not in unread and not is_water(name):
            # a name of its own that a recipe uses is not meant, unless it is only the plural
            near = [n for n in nearest(name, stocked) if n not in used or _plural(n, name)]
            near += [d for d in nearest(name, shoot.recipes) if not _takes(shoot, d, name)]
            near = near or _published_parts_like(name, {*used, *stocked})
            found += [(name, near)] if near else []
    return Named(found)


def _published_parts_like(name: str, articles: Iterable[str]) -> list[str]:
    """Published parts of an article of the workbook for which an unknown name may be a slip."""
    parts = published_parts()
    if singular_name(key(name)) in parts or find_food(name).food is not None:
        return []
    there = {singular_name(key(article)) for article in articles}
    near = nearest(name, parts, least=LIKENESS_OF_A_PART)
    return [part for part in near if any(not there.isdisjoint(r.articles) for r in parts[part])]


def _takes(shoot: Shoot, dish: str, name: str) -> bool:
    """Whether a recipe takes an ingredient itself: then it is not meant by it."""
    return any(key(line.ingredient) == key(name) for line in shoot.recipes[dish])


def _plural(one: str, other: str) -> bool:
    return food_key(one) == food_key(other)


def _cooked_with(shoot: Shoot) -> Named[Line | Part]:
    """What recipes take, and what is cut for them, each with its first row."""
    taken = Named((line.ingredient, line) for line in shoot.lines)
    rows: list[Line | Part] = [*shoot.lines, *(row for row in shoot.parts if row.name in taken)]
    named = ((row.ingredient, row) for row in rows if row.ingredient)
    return Named((name, row) for name, row in named if not shoot.is_dish(name))


def _names(shoot: Shoot) -> Iterator[Finding]:
    """Names of recipes and of stock that differ by a slip, each pair said once."""
    used = _cooked_with(shoot)
    reported: set[str] = set()
    for name, near in _slips(shoot).items():
        reported.update(map(key, near))
        yield messages.ingredient_unknown(used[name].at("Ingredient"), name, near)
    for name, row in _stocked_rows(shoot):
        if name in used or shoot.is_dish(name) or key(name) in reported:
            continue
        if shoot.left_out_on("Recipes"):
            return
        if isinstance(row, Part) and row.ingredient not in used:
            continue  # of which no recipe uses a part, as is said
        reported.add(key(name))
        near = nearest(name, used)
        if near:
            heading = "Part" if isinstance(row, Part) else "Ingredient"
            yield messages.not_used(row.at(heading), name, near)


def _stocked_rows(shoot: Shoot) -> list[tuple[str, FromRow]]:
    rows = [(row.called, row) for row in (*shoot.ingredients, *shoot.packs, *shoot.lots)]
    return [*rows, *((row.name, row) for row in shoot.parts)]


def _twice(shoot: Shoot) -> Iterator[Finding]:
    """Second rows on sheets that have one row for each name."""
    sheets: tuple[tuple[str, Sequence[FromRow]], ...] = (
        ("Ingredient", shoot.ingredients),
        ("Dish", shoot.dishes),
        ("Episode", shoot.episodes),
        ("Shop", shoot.shops),
    )
    for heading, rows in sheets:
        first: dict[str, FromRow] = {}
        for row in rows:
            earlier = first.setdefault(key(row.called), row)
            if earlier is not row:
                yield messages.row_twice(row.at(heading), row.called, earlier.at(heading))
