"""What is said of needs, packs, lots, prices and parts: what is missing, unclear or not proven."""

from __future__ import annotations

from collections.abc import Sequence

from costing.findings import Grade, Words, choice_words, lack, message, quoted_words


@lack("conversion missing", Grade.ERROR)
def conversion_missing(taken: str, unit: str, heading: str, others: Sequence[str] = ()) -> Words:
    """An amount in one kind of unit, bought in another, without what connects them.

    ``others`` is what is published of other kinds of pieces.
    """
    example = "0.92" if heading == "Grams per ml" else "50"
    weighed = "1 cup = 125 g" if heading == "Grams per ml" else "1 bunch = 60 g"
    return Words(
        f"a blank cell, while the recipes take {taken} and it is bought in {unit}",
        f"{heading.lower()}, such as {example}",
        f"Write into Weighs on the sheet Ingredients what a cook can weigh, such as {weighed}, or "
        f"fill {heading} there, or write the recipe in a unit of the same kind as {unit}."
        + published_instead(others),
    )


def published_instead(others: Sequence[str]) -> str:
    """What to say where only the weight of another kind of piece is published."""
    return f" Published is another kind of piece: {choice_words(others)}." if others else ""


@message("measure of another cut", Grade.NOTE)
def measure_of_another_cut(ingredient: str, as_printed: str, printed: str, cut: str) -> Words:
    """A published cup of one cut that is taken for another, or for a line that names none."""
    return Words(
        f'the published "{as_printed}", {printed}, for {ingredient} {cut or "without a cut"}',
        "a weight of the cut that the recipe measures",
        "It is used; weigh a cup of yours and write it into Weighs, such as 1 cup = 125 g, if it "
        "differs. What is packed, drained or cut finer weighs differently.",
    )


@message("cooked measure missing", Grade.ERROR)
def cooked_measure_missing(ingredient: str, amount: str) -> Words:
    """A volume measured cooked, of a food whose cooked weight for a cup is not published."""
    return Words(
        f"{amount} of {ingredient} measured cooked, and no published weight of a cup of it cooked",
        f"the cooked {ingredient} by weight, or the raw by any measure",
        "Weigh it cooked and write the amount in g, or write what goes into the pan and trimmed "
        "into Measured.",
    )


@message("cooked weight missing", Grade.ERROR)
def cooked_weight_missing(ingredient: str, where: str) -> Words:
    """A line measured cooked, of an ingredient whose cooked weight is not known."""
    return Words(
        f"a blank cell, while {where} measures {ingredient} cooked",
        "cooked weight in percent of the trimmed raw weight, such as 250 for a grain",
        f"Fill Cooked weight % for {ingredient} on the sheet Ingredients, or write the raw amount "
        "in the recipe.",
    )


@message("portion of an ingredient", Grade.ERROR)
def portion_of_ingredient(ingredient: str, amount: str) -> Words:
    """Portions or batches of something that is no dish."""
    return Words(
        f"{amount} of {ingredient}, which is not a dish",
        "a weight, a volume or a number of pieces",
        f"Write the amount in such a unit, or give {ingredient} a recipe of its own.",
    )


@lack("trim yield not given", Grade.WARNING)
def trim_yield_not_given(ingredient: str) -> Words:
    """An ingredient bought by weight or volume, without its trim yield."""
    return Words(
        "a blank cell",
        "the edible part in percent, above 0 and at most 100",
        f"Counted as 100, nothing lost in trimming: {ingredient}. If something is cut away, write "
        "what is left in percent.",
    )


@lack("price missing", Grade.WARNING)
def price_missing(ingredient: str) -> Words:
    """A pack without its price, or an ingredient without a pack."""
    return Words(
        f"no price for {ingredient}",
        "the price of a pack, or 0 if it costs nothing",
        "Fill Price on the sheet Packs; until then others are bought, or the totals leave it out.",
    )


@lack("pack missing", Grade.WARNING)
def pack_missing(ingredient: str) -> Words:
    """An ingredient that must be bought and that no shop sells."""
    return Words(
        f"no pack yet of {ingredient}",
        "Amount, Unit and Price",
        "Fill them in on the sheet Packs; until then the list shows only how much is needed, and "
        "every total leaves it out.",
    )


@message("pack unit unclear", Grade.ERROR)
def pack_unit_unclear(
    ingredient: str, amount: str, unit: str, heading: str, others: Sequence[str] = ()
) -> Words:
    """A pack or a lot in another kind of unit than the first, without what connects them."""
    return Words(
        f"{amount} of {ingredient}, which is counted in {unit}",
        f"the same kind of unit, or {heading.lower()} on the sheet Ingredients",
        f"Fill {heading} for {ingredient}, or write this row in a unit of the same kind as "
        f"{unit}; until then the row is not used." + published_instead(others),
    )


@message("shops have too little", Grade.ERROR)
def shops_have_too_little(ingredient: str, missing: str, limits: Sequence[str]) -> Words:
    """Pack limits that do not let enough be bought."""
    return Words(
        f"all that the shops have of {ingredient}, and {missing} still missing",
        "packs enough for every shot",
        "Raise At most at " + choice_words(limits, last="and") + ", add another "
        "pack, or take out a shot; the list buys all there is.",
    )


@message("basket not proven", Grade.WARNING)
def basket_not_proven(ingredient: str, gap: str) -> Words:
    """A search for the cheapest packs that was ended by its limit."""
    return Words(
        f"so many ways to buy {ingredient} that the search was ended",
        "packs few enough to prove the cheapest mixture",
        f"What the list buys may be up to {gap} dearer than the cheapest; take rows out of Packs "
        "that nobody would buy.",
    )


@message("making not proven", Grade.WARNING)
def making_not_proven(ingredient: str, gap: str | None) -> Words:
    """What is made, cut and bought ready costs more than the bound of the search for it.

    No gap is known where leftovers are counted and times are uncertain: what keeps is what the
    likeliest takes leave of the packs for all that are covered.
    """
    return Words(
        f"{ingredient} made, cut or bought ready in a way that is not proven to be the cheapest",
        "a way that no other can be cheaper than",
        (
            "How much dearer than the cheapest the list is, is not known while leftovers that keep "
            "are counted: set Count leftovers that keep at % to 0 to compare."
            if gap is None
            else f"What the list buys may be up to {gap} dearer than the cheapest. While times are "
            "uncertain or a visit costs something, what is on hand of an ingredient goes to the "
            "first day that takes of it: leave its row out of On hand to compare. Else give the "
            "search longer (costing estimate --seconds)."
        ),
    )


@message("lot past its date", Grade.WARNING)
def lot_past_its_date(ingredient: str, amount: str, last: str, episodes: Sequence[str]) -> Words:
    """A lot that is past its date on the day it would be used."""
    names = quoted_words(episodes, last="and")
    return Words(
        f"{amount} of {ingredient}, whose last day is {last}, before the shoot of {names}",
        "a last day on or after the day of use",
        "For that it does not count and is bought again; mend the date if it is wrong.",
    )


@lack("lot without a date", Grade.WARNING)
def lot_without_a_date(lot: str) -> Words:
    """A lot of something perishable without a date."""
    return Words(
        f"no date for {lot}, which needs control of its temperature",
        "the use-by date on the pack",
        "It does not count and is bought again; write the date if it is still good for the shoot.",
    )


@lack("life after opening unknown", Grade.NOTE)
def life_after_opening_unknown(ingredient: str) -> Words:
    """A lot that was opened, of something nobody knows the life of."""
    return Words(
        f"a day of opening for {ingredient}, and no life after it",
        "Keeps days on the sheet Ingredients",
        "The day changes nothing until Keeps days says how long it keeps.",
    )


@lack("lot taken as good", Grade.NOTE)
def lot_taken_as_good(lot: str) -> Words:
    """A lot without a date, of something nobody has classed."""
    return Words(
        f"no date for {lot}",
        "the use-by date on the pack",
        "It counts; look at it before the shoot, or write its date.",
    )


@lack("lot amount missing", Grade.WARNING)
def lot_amount_missing(ingredient: str) -> Words:
    """A lot whose amount is not known."""
    return Words(
        f"no amount of {ingredient}",
        "an amount with its unit, or plenty",
        "It does not count until the amount is written.",
    )


@lack("value of stock unknown", Grade.WARNING)
def value_of_stock_unknown(ingredient: str) -> Words:
    """A lot that is used and has neither a value nor a pack to value it by."""
    return Words(
        f"no value for {ingredient} on hand, and no pack to value it by",
        "money for the whole lot",
        "Fill Value on the sheet On hand; until then the used value leaves it out and says so.",
    )


@message("chance not reached", Grade.ERROR)
def chance_not_reached(
    ingredient: str, missing: str, asked: str, reached: str, accepted: str, limits: Sequence[str]
) -> Words:
    """Pack limits that do not let enough be bought for the chance that was asked for."""
    return Words(
        f"packs of {ingredient} that cover every shot with a chance of {reached}, and {missing} "
        f"missing for {asked}",
        f"packs enough for a chance of {asked}",
        "Raise At most at " + choice_words(limits, last="and") + ", add another pack, or write "
        f"{accepted} into Chance of running out accepted % on the sheet Settings; the list covers "
        "what can be covered.",
    )


@message("minimum spend not reached", Grade.ERROR)
def minimum_not_reached(ingredient: str, missing: str, shops: Sequence[str]) -> Words:
    """Something sold only by shops whose minimum spend is more than all they sell comes to."""
    names = quoted_words(shops)
    return Words(
        f"{missing} of {ingredient} that only {names} would sell, and too little to buy there to "
        "reach the minimum spend",
        "packs enough at such a shop, or another shop",
        f"Lower Minimum spend, raise At most of what is sold there, or add a pack of {ingredient} "
        "from another shop; the list leaves it out.",
    )


@message("plan not proven", Grade.WARNING)
def plan_not_proven(seconds: str | None, gap: str | None, *, uncertain: bool) -> Words:
    """A search for the cheapest basket that was ended by its time limit, or gave up before it."""
    found = f"so many ways to cover the shots that the search was ended after {seconds} s"
    helps, other = "Give the search longer (costing estimate --seconds)", ", or narrow"
    if seconds is None:
        found = "ways to cover the shots that are too near each other to tell which of them will do"
        helps, other = "More time would not help", "; narrow"
    if uncertain:
        helps += f"{other} Fewest and Most where they are wider than need be"
    dearer = f"What the list buys may be up to {gap} dearer than the cheapest that will do."
    if gap is None:
        dearer = "How much dearer than the cheapest the list is, is not known."
    wanted = "a plan small enough to prove the cheapest basket"
    return Words(found, wanted, f"{dearer} It covers what it says it covers. {helps}.")


@message("several published values", Grade.WARNING)
def several_published(
    ingredient: str, why: str, candidates: Sequence[str], taken: str, apart: str = ""
) -> Words:
    """A blank that more than one published value fits, or one that is of something else.

    ``apart`` says what the ends would cost where they are far apart.
    """
    if len(candidates) == 1:
        return Words(
            f"a blank cell for {ingredient}, with one published value: {why}",
            f"{candidates[0]}, or your own",
            f"Write the one that is meant into the cell; until then it is {taken}.{apart}",
        )
    return Words(
        f"a blank cell for {ingredient}, with several published values: {why}",
        f"one of {choice_words(candidates)}",
        "Write the one that is meant into the cell; until then the one that buys most is taken: "
        f"{taken}.{apart}",
    )


@message("several cooked measures", Grade.WARNING)
def several_cooked_measures(
    ingredient: str, amount: str, candidates: Sequence[str], taken: str, apart: str
) -> Words:
    """A volume measured cooked, of which more than one weight is published."""
    return Words(
        f"{amount} of {ingredient} measured cooked, and several published weights of it",
        f"one of {choice_words(candidates)}",
        "Write the cooked amount in g, or the cut that is meant; until then the one that buys "
        f"most is taken: {taken}.{apart}",
    )


@message("no published name", Grade.NOTE)
def no_published_name(ingredient: str, near: Sequence[str]) -> Words:
    """A blank, of an ingredient whose name the tables do not have."""
    return Words(
        f'a blank cell, and no published values under the name "{ingredient}"',
        f"a value, or a name of the tables; the nearest {'are' if near[1:] else 'is'} "
        + choice_words(near),
        f'Fill the cell; costing published "{near[0]}" shows what is known of that food.',
    )


@message("class against the tables", Grade.WARNING)
def class_against_tables(ingredient: str, published: str, source: str) -> Words:
    """An ingredient classed as needing no control, against what is published."""
    return Words(
        f"the holding class none for {ingredient}",
        f'the published class "{published}" ({source}), or a reason to differ from it',
        "Write the published class unless an assessment of this very food says otherwise; as it "
        "is, no time is counted for it.",
    )


@message("over budget", Grade.WARNING)
def over_budget(whose: str, budget: str, bought: str, over: str) -> Words:
    """More bought than a budget has."""
    return Words(
        f"a budget of {budget} for {whose}, where what is bought comes to {bought}",
        f"at most {budget}",
        f"It is {over} over. Raise the budget, or spare takes of what costs most: Summary lists "
        "it.",
    )


@message("candidates not counted", Grade.WARNING)
def candidates_not_counted(entry: str, ingredient: str, amount: str) -> Words:
    """Candidates on a line whose amount is not counted in pieces."""
    return Words(
        f"{entry} for {amount} of {ingredient}",
        "candidates of a line that is counted in pieces",
        "Write the amount in each, with the weight of one into Weighs on the sheet Ingredients, or "
        "clear Candidates; until then nothing is bought to pick from.",
    )


@message("no risk of too few", Grade.WARNING)
def no_risk_of_too_few(part: str, counted: str) -> Words:
    """A part of the pieces that is good enough, where no risk is accepted at all."""
    return Words(
        f"{part} good enough, while no chance of running out is accepted",
        "candidates as a number, or a chance of running out above 0",
        f"No number of pieces has enough good ones for certain; so many are counted that too few "
        f"are good in {counted} % of all shoots.",
    )


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
