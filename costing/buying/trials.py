"""What would be bought of one ingredient by itself, to compare published values by it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from itertools import product

from costing.buying.blanks import Blank
from costing.buying.need import Needs
from costing.buying.shopping import Shopping
from costing.kitchen import Line
from costing.names import key
from costing.quantities import ZERO
from costing.reference import Choices, Filled
from costing.shoot import Shoot


@dataclass(frozen=True, slots=True)
class Trial:
    """What would be bought of one ingredient.

    Parameters
    ----------
    rank : tuple of Fraction
        The larger the more is bought: what it costs, packs without a price, then what is wanted
        before it is rounded up to packs, at the least price or else in the largest pack, and last
        what is needed before stock. So values that buy the same packs are still distinguished.
    cost : Decimal, optional
        At the till; ``None`` where a price is not known. [money]
    """

    rank: tuple[Fraction, Fraction, Fraction, Fraction]
    cost: Decimal | None


def only(shoot: Shoot, name: str) -> Shoot:
    """The shots that take an ingredient and the packs and lots of it, nothing else.

    Uncertain takes count as often as they may come: the food is there for all of them. Other
    lines of the dishes stay only where the weight of a dish decides how much of it is taken.

    Parameters
    ----------
    shoot : Shoot
        With its episodes and shots filled in.
    name : str
        Key of the ingredient.
    """
    inside = [line for line in shoot.lines if shoot.is_dish(line.ingredient)]
    names = {name}
    for _ in shoot.parts:  # what is cut of it needs it too, and may itself be cut
        names |= {key(row.name) for row in shoot.parts if key(row.ingredient) in names}
    taking = {key(line.dish) for line in shoot.lines if key(line.ingredient) in names}
    while more := {key(x.dish) for x in inside if key(x.ingredient) in taking} - taking:
        taking |= more
    weighed = any(dish.cooked_weight is not None for dish in shoot.dishes) and bool(inside)
    made = set(taking)
    while more := {key(x.ingredient) for x in inside if key(x.dish) in made} - made:
        made |= more

    def counts(line: Line) -> bool:
        within = key(line.dish) in (made if weighed else taking)
        return within and (weighed or key(line.ingredient) in names | taking)

    return shoot.changed(
        settings=shoot.settings.model_copy(update={"leftovers_counted": ZERO}),
        lines=tuple(line for line in shoot.lines if counts(line)),
        shots=tuple(
            shot.model_copy(update={"times": shot.most or shot.times, "fewest": None, "most": None})
            for shot in shoot.shots
            if key(shot.dish) in taking
        ),
        packs=tuple(pack for pack in shoot.packs if key(pack.ingredient) == name),
        lots=tuple(lot for lot in shoot.lots if key(lot.ingredient) == name),
        shops=(),
        containers=(),
    )


def trial(shoot: Shoot, name: str) -> Trial:
    """What is bought of an ingredient in a shoot that buys nothing else.

    Parameters
    ----------
    shoot : Shoot
        As :func:`only` gives it, with the values that are tried.
    name : str
        Key of the ingredient.
    """
    bought = Shopping(Needs(shoot)).purchases
    purchase = next((one for one in bought if key(one.need.ingredient.name) == name), None)
    if purchase is None:
        return Trial((ZERO, ZERO, ZERO, ZERO), None)
    prices = {id(offer.pack): offer.price for offer in purchase.offers}
    cost = unpriced = ZERO
    for packs, _ in purchase.lines:
        price = prices[id(packs.pack)]
        cost += packs.count * (price or ZERO)
        unpriced += packs.count if price is None else 0
    per_unit = [offer.price / offer.amount for offer in purchase.offers if offer.price]
    per_pack = [1 / offer.amount for offer in purchase.offers]
    wanted = purchase.wanted * min(per_unit or per_pack, default=Fraction(1))
    paid = [line.cost for line in purchase.till if line.cost is not None]
    known = purchase.offers and not (purchase.short or purchase.need.unknown or unpriced)
    rank = (cost, unpriced, wanted, purchase.need.total)
    return Trial(rank, sum(paid, Decimal(0)) if known else None)


def options_of(
    found: Mapping[Blank, Sequence[Filled]], choices: Mapping[Blank, Choices]
) -> dict[Blank, list[Filled]]:
    """For each blank the values to try, one of each number, except that foods are kept apart.

    Where a name is used for several foods, only those foods count that have a value for each
    blank: a recipe that measures pepper by the spoon means no bell pepper.
    """
    named = [blank for blank in found if choices[blank].of_several_foods]
    foods = [{value.food_id for value in found[blank]} for blank in named]
    common = set.intersection(*foods) if foods else set()
    options: dict[Blank, list[Filled]] = {}
    for blank, values in found.items():
        linked = blank in named and common
        usable = [value for value in values if not linked or value.food_id in common]
        first: dict[tuple[Fraction, str], Filled] = {}
        for value in usable:
            first.setdefault((value.number, value.food_id if len(named) > 1 else ""), value)
        options[blank] = list(first.values())
    return options


def combinations(
    options: Mapping[Blank, Sequence[Filled]], choices: Mapping[Blank, Choices]
) -> list[dict[Blank, Filled]]:
    """Every way to take one value for each blank, those of a name for several foods of one food.

    Where no food has a value for each blank, foods are mixed: there is no better guess.
    """
    pairs = (zip(options, values, strict=True) for values in product(*options.values()))
    every = list(map(dict, pairs))
    named = [blank for blank in options if choices[blank].of_several_foods]
    of_one = [one for one in every if len({one[blank].food_id for blank in named}) <= 1]
    return of_one or every
