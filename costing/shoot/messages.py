"""What is said of faults that concern more than one cell of a shoot."""

from __future__ import annotations

from collections.abc import Sequence

from costing.findings import (
    Grade,
    Place,
    Words,
    choice_words,
    if_meant,
    lack,
    message,
    quoted_words,
)
from costing.names import key
from costing.quantities import Amount
from costing.shoot.shots import steps_words


@message("recipe loop", Grade.ERROR)
def recipe_loop(dish: str, inside: str) -> Words:
    return Words(
        f'the dish "{inside}" inside "{dish}", which is itself made with "{dish}"'
        if key(inside) != key(dish)
        else f'the dish "{inside}" as an ingredient of itself',
        "dishes that end in ingredients",
        "Take one of the two lines out, or give one of the dishes another name.",
    )


@message("dish amount unclear", Grade.ERROR)
def dish_amount_unclear(dish: str, amount: str, makes: Amount | str | None) -> Words:
    """A dish used by an amount that cannot be set against what it makes, or what it is made in."""
    made = "nothing said of what it makes" if makes is None else f"a dish that makes {makes}"
    return Words(
        f'{amount} of the dish "{dish}" and {made}',
        "an amount in the same kind of unit as the dish makes, or a number of batches",
        f'Fill Makes and Unit for "{dish}" on the sheet Dishes in the same kind of unit, or write '
        "the amount here in batches (1 batch is the whole recipe).",
    )


@message("dish unknown", Grade.ERROR)
def dish_unknown(name: str, near: Sequence[str], known: Sequence[str], rows: str) -> Words:
    """Shots of a dish that has no recipe; rows in words where there are several."""
    return Words(
        f'the dish "{name}"{rows and f" in {rows}"}, which has no recipe',
        f"one of {choice_words(known)}" if known else "a dish from the sheet Recipes",
        (f'Write "{near[0]}" if that is meant, or give' if near else "Give")
        + f' "{name}" its lines on the sheet Recipes.',
    )


@message("episode unknown", Grade.WARNING)
def episode_unknown(name: str, near: Sequence[str]) -> Words:
    """A shot of an episode that has no row on a sheet Episodes that has rows."""
    return Words(
        f'the episode "{name}", which has no row on the sheet Episodes',
        "an episode listed there",
        (f'Write "{near[0]}" if that is meant, or add' if near else "Add")
        + f' a row for "{name}"; until then it has no date and no budget.',
    )


@message("shop unknown", Grade.WARNING)
def shop_unknown(name: str, near: Sequence[str]) -> Words:
    """A pack from a shop that has no row on Shops, spelled nearly like one that has."""
    return Words(
        f'the shop "{name}", which has no row on the sheet Shops',
        "a shop spelled as on the sheet Shops; nearly the same is " + quoted_words(near),
        "Spell it alike on both sheets if one shop is meant; until then it has no visit cost and "
        "no minimum spend.",
    )


@message("ingredient unknown", Grade.ERROR)
def ingredient_unknown(name: str, near: Sequence[str]) -> Words:
    """An ingredient nobody else knows, spelled nearly like one that is known."""
    return Words(
        f'the ingredient "{name}", which is on no other sheet',
        "an ingredient or a dish spelled as elsewhere; nearly the same is " + quoted_words(near),
        f'Write "{near[0]}" if that is meant, or give "{name}" a row of its own on the sheet '
        "Ingredients.",
    )


@message("not used in a recipe", Grade.WARNING)
def not_used(name: str, near: Sequence[str]) -> Words:
    """A pack, a lot or an ingredient whose name is nearly one of the recipes'."""
    return Words(
        f'"{name}", which no recipe uses',
        "an ingredient spelled as in the recipes; nearly the same is " + quoted_words(near),
        f'Write "{near[0]}" if that is meant; leave it if it is for another day.',
    )


@message("row twice", Grade.ERROR)
def row_twice(name: str, first: Place) -> Words:
    return Words(
        f'a second row for "{name}"; the first is at {first.cell_reference or first}',
        "one row for each",
        "Put what both rows say into one and delete the other; until then the first is used.",
    )


@message("shot named twice", Grade.NOTE)
def shot_named_twice(name: str, rows: str) -> Words:
    """Shots of one episode under one name, which nothing names yet."""
    return Words(
        f'the name "{name}" of {rows}',
        "a name of its own for each shot of an episode",
        "All of them count. Name them apart before one is logged or written into From, which could "
        "mean any of them.",
    )


@lack("steps missing", Grade.WARNING)
def steps_missing(purpose: str) -> Words:
    return Words(
        f"no steps for a {purpose}",
        "the steps it takes, such as 2 or 1-3",
        "Write the steps; until then the whole dish is counted.",
    )


@message("step unknown", Grade.ERROR)
def step_unknown(dish: str, wrong: Sequence[int], known: Sequence[int]) -> Words:
    return Words(
        f'step{"s" if len(wrong) > 1 else ""} {steps_words(wrong)}, which "{dish}" does not have',
        f"steps that it has: {steps_words(known)}",
        "Mend the steps here, or add the step to the recipe.",
    )


@message("call after first start", Grade.NOTE)
def call_after_first_start(call: str, shot: str, start: str) -> Words:
    return Words(
        f'the call at {call} and the start of "{shot}" at {start}',
        "a call before the first start",
        "Mend whichever is wrong; the shot keeps its start.",
    )


@message("shoot plan empty", Grade.WARNING)
def shoot_plan_empty(dishes: Sequence[str]) -> Words:
    return Words(
        "no shots",
        "a row for each use of food",
        "Until shots are planned one cook-through and one hero are counted of "
        + quoted_words(dishes, last="and")
        + ".",
    )


@lack("shoot date missing", Grade.WARNING)
def shoot_date_missing(episode: str) -> Words:
    """An episode without a date, which would use what is on hand with dates."""
    return Words(
        f"no shoot date for {episode}",
        "a date, because what is on hand has dates and does not count until the day is known",
        "Write the date of the shoot into Shoot date on the sheet Episodes.",
    )


@message("tax rate missing", Grade.WARNING)
def tax_rate_missing() -> Words:
    return Words(
        "a blank cell, while prices do not include tax and no pack has a rate",
        "the percent that the till adds, or 0",
        "Fill it, or Tax rate % on the sheet Packs; until then no tax is added.",
    )


@message("currency not given", Grade.NOTE)
def currency_not_given() -> Words:
    return Words(
        "no currency",
        "a code of three letters such as EUR",
        "Money is shown without a sign and with two digits until it is given.",
    )


@message("nothing to cook", Grade.ERROR)
def nothing_to_cook() -> Words:
    return Words(
        "no recipe lines",
        "a row for each ingredient of each step",
        "Fill the sheet Recipes: Dish, Step, Ingredient, Amount and Unit.",
    )


@message("episode missing", Grade.WARNING)
def episode_missing(first: str) -> Words:
    return Words(
        "a blank cell in a workbook with several episodes",
        "the episode the shot belongs to",
        f'Write its episode; until then it is counted with "{first}".',
    )


@message("contents unknown", Grade.ERROR)
def contents_unknown(name: str, near: Sequence[str], container: str) -> Words:
    return Words(
        f'"{name}" in the container "{container}", which no other sheet knows',
        'ingredients, dishes, "dish: steps 1-2" or other containers, separated by semicolons',
        if_meant(near, "Mend the name")
        + "; until then the container is judged as food that needs control of its temperature.",
    )


@message("container in itself", Grade.WARNING)
def container_in_itself(name: str) -> Words:
    """A container whose own name stands in its Holds, and is no food."""
    return Words(
        f'"{name}" in itself',
        "what is in it: ingredients, dishes or other containers, separated by semicolons",
        "Write what is in it; until then it is judged as food that needs control of its "
        "temperature.",
    )


@message("contents not given", Grade.NOTE)
def contents_not_given(containers: str) -> Words:
    remedy = "Until then it is judged as food that needs control of its temperature."
    return Words(f"nothing in Holds for {containers}", "what is in it, in one of its rows", remedy)


@message("part of a dish unclear", Grade.WARNING)
def part_unclear(text: str, dish: str, begin: int, first: int, last: int) -> Words:
    steps = f"step {last}" if first == last else f"steps {first}-{last}"
    whole = f"{dish}: steps {begin}-{last}"
    return Words(
        f'"{text}", which can mean two things',
        f'"{whole}" (the dish as it is after step {last}) or "{dish}: only {steps}" (what is '
        "added there)",
        "Write the one that is meant. Until then it is judged as the first, the stricter.",
    )


@message("dish needs no control", Grade.WARNING)
def dish_needs_no_control(dish: str, inside: str) -> Words:
    """A dish of class none, though something in it needs control of its temperature."""
    return Words(
        f'none for "{dish}", which holds {inside}',
        "none only for what needs no control of its temperature once it is finished",
        "Leave the cell blank unless baking, drying or the like has made it so; until then no "
        "holding rule is applied to it.",
    )


@message("container nearly another", Grade.WARNING)
def container_nearly(name: str, other: str) -> Words:
    """A container logged once, under a name that may be a slip of another's."""
    return Words(
        f'the container "{name}" logged once, beside "{other}"',
        "one name for one container in all its rows",
        f'Write "{other}" if that is meant. Until then each is judged by its own rows.',
    )


@message("comes out too early", Grade.WARNING)
def comes_out_too_early(
    container: str, out: str, shot: str, when: str, limit: str, after: Sequence[str]
) -> Words:
    """Food that will be past its limit in the shot in which it is eaten.

    ``after`` has a time for each container that is needed to serve all shots.
    """
    one = f"Take it out after {after[0]}, with no time out before, or have other food for the shot."
    several = (
        f"No one time serves every shot in which it is eaten: have {len(after)} containers, out "
        f"after {' and after '.join(after)}, with no time out before."
    )
    return Words(
        f'"{container}", {out}: past the {limit} in "{shot}" at {when}, where it is eaten',
        "food within its limit when it is eaten",
        one if len(after) == 1 else several,
    )


@message("stands too long", Grade.NOTE)
def stands_too_long(
    container: str, out: str, shot: str, when: str, limit: str, after: str
) -> Words:
    """Food that will be past its limit in a shot in which nobody eats of it."""
    return Words(
        f'"{container}", {out}: past the {limit} in "{shot}" at {when}, where nobody eats of it',
        "no in Eaten for food that only stands before the camera",
        f"Write no in Eaten on the sheet Holding if nobody eats of it; otherwise take it out after "
        f"{after}.",
    )


@message("giveaway handled", Grade.WARNING)
def giveaway_handled(dish: str) -> Words:
    return Words(
        f'a giveaway of "{dish}", which the recipe has cut, cooked or opened',
        "sealed packs or whole, uncut produce: one step without a name, measured as bought, no cut",
        "Nobody follows its time and temperature once it is given away: ask the competent "
        "authority of the place first, or plan what is given as it is bought.",
    )


@message("start not logged", Grade.WARNING)
def start_not_logged(container: str, kinds: Sequence[str]) -> Words:
    """A container that is not judged, because nothing logged makes its food need control."""
    events = choice_words(list(kinds))
    return Words(
        f'"{container}" without {events} in its log, so no clock is running',
        f"{events} with its time, when that has happened to what it holds",
        "Log it if it has, from the day before too. Until then the food counts as whole, sealed "
        "or uncooked, and no rule is applied.",
    )


@message("made from first step", Grade.WARNING)
def made_from_the_first_step(steps: str, purpose: str, counted: str) -> Words:
    return Words(
        f"steps {steps} alone for a {purpose}, which shows a dish made from its first step",
        f"{counted}, or in From the shot whose copy continues",
        f"Counted as {counted}, so that there is a dish to show. Write that, or nothing into From "
        "if these steps stand for themselves.",
    )


@message("steps left out", Grade.WARNING)
def steps_left_out(steps: str, made: str, counted: str) -> Words:
    return Words(
        f"steps {steps} on a copy that has {made or 'none'}",
        f"{counted}, so that no step is left out that takes food",
        f"Counted as {counted}. Write that, or name in From the shot in which they are made.",
    )


@message("shot unknown", Grade.WARNING)
def shot_unknown(name: str, near: Sequence[str], *, alone: bool) -> Words:
    return Words(
        f'the shot "{name}", which this episode does not have',
        "a shot of the same dish, or nothing",
        if_meant(near, "Mend the name") + f"; until then {_taken_instead(alone=alone)}.",
    )


@message("copy cannot continue", Grade.WARNING)
def copy_cannot_continue(name: str, why: str, mended: str = "", *, alone: bool) -> Words:
    """A shot that is to continue with a copy that it cannot take over.

    ``mended`` says how its Steps are mended, where that is known.
    """
    return Words(
        f'"{name}", {why}',
        "an earlier shot of the same dish and batch that leaves a whole copy, and steps that "
        "follow its last",
        f"Name such a shot, or {mended or 'mend Steps'}; until then {_taken_instead(alone=alone)}.",
    )


def _taken_instead(*, alone: bool) -> str:
    """What is done for a shot that continues with no copy."""
    return "its steps stand for themselves" if alone else "a new copy is begun"


@message("entry changes nothing", Grade.NOTE)
def entry_changes_nothing(rows: str, why: str) -> Words:
    return Words(
        f"{rows}, {why}",
        "an entry that counts for this shoot",
        "It changes nothing here. Leave it for what comes, or clear it.",
    )
