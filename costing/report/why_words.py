"""Why a list costs what it costs, in sentences."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from decimal import Decimal

from costing.buying.books import Books
from costing.buying.constraints import ConstraintKind, Cost, Why
from costing.buying.purchases import Purchase
from costing.buying.takeovers import Continuation
from costing.findings import Place, choice_words
from costing.names import key
from costing.quantities import money_text
from costing.report.shop_words import NOT_KNOWN, amount_words, at_least
from costing.shoot import Shoot

NAMED = 6
"""So many ingredients are named at most."""

COPIES_NAMED = 3
"""So many shots that could take over a copy are named at most."""

SAID = {
    ConstraintKind.MINIMUM: 'the minimum spend of "{}" costs {}',
    ConstraintKind.VISIT: 'going to "{}" costs {}, its visit cost and what it changes',
    ConstraintKind.LIMIT: "that the shop has no more {} costs {}",
    ConstraintKind.UNCERTAIN: 'that nobody knows how often "{}" is taken costs {}',
    ConstraintKind.CANDIDATES: "picking the best {} costs {}",
}
"""What a constraint costs, by its kind."""

NOT_GONE_TO = 'that nothing is bought at "{}", because of its visit cost, costs {}'
"""What a visit costs that the list does without."""


def why_lines(why: Why, books: Books) -> Iterator[str]:
    """The sentences, headings ending in a colon; lines of a heading begin with two blanks."""
    currency, measures = books.shoot.settings.currency, books.shoot.settings.measures
    paid, missing = books.totals.paid, books.totals.bought_missing
    if missing and not paid:
        yield f"What the list costs is {NOT_KNOWN}."
    else:
        yield f"The list costs {at_least(paid, missing, currency)}."
    alone = [cost for cost in why.costs if cost.kind is ConstraintKind.ONE_SHOP]
    held = [cost for cost in why.costs if cost.kind is not ConstraintKind.ONE_SHOP]
    if held:
        yield "What makes it dearer, and how much less would be paid without it:"
    elif why.complete:
        yield "No limit, visit, minimum spend, uncertain take or picking makes it dearer."
    gone_to = {key(bought.pack.shop) for one in books.purchases for bought in one.lines}
    yield from (f"  {_held(cost, currency, gone_to)}" for cost in held)
    if alone:
        yield "Going to one shop only:"
    yield from (f"  {_alone(cost, currency)}" for cost in alone)
    if why.near:
        yield "Packs that are opened for little:"
    for miss in why.near:
        name = miss.purchase.need.ingredient.name
        less, pack = amount_words(miss.short, measures), amount_words(miss.pack.amount, measures)
        saved = money_text(miss.saves, currency)
        yield (
            f"  {less} less {name} would do without one pack of {pack}: {saved} saved"
            + _at(miss.pack.at("Ingredient"))
        )
    if why.nothing_spare:
        yield f"Nothing to spare {of_nothing_spare(why.nothing_spare, NAMED)}."
    if why.over:
        known = "; one take fewer, the cheapest cuts:" if why.cuts or why.complete else "."
        yield f"Over budget by {money_text(why.over, currency)}{known}"
        if not why.cuts and why.complete:
            yield "  no single take makes it cheaper"
    for cut in why.cuts:
        enough = ", which keeps the budget" if cut.enough else ""
        times = f'"{cut.shot.label}" {cut.shot.times - 1} times instead of {cut.shot.times}'
        # Fewest and Most were lowered with it: Times alone would no longer lie between them
        given = [h for h, n in (("Fewest", cut.shot.fewest), ("Most", cut.shot.most)) if n]
        times += f", {choice_words(given, last='and')} one less too" if given else ""
        saved = money_text(cut.saves, currency)
        yield f"  {times}: {saved} saved{enough}{_at(cut.shot.at('Times'))}"
    if not why.complete:
        yield "To try all of it takes too long; what is not named here may not have been looked at."


def of_nothing_spare(purchases: Sequence[Purchase], most: int) -> str:
    """Of what nothing is to spare; and with which takes, where the likely ones leave some over."""
    words = choice_words([one.need.ingredient.name for one in purchases], most=most, last="and")
    more = any(one.covered > one.wanted for one in purchases)
    return f"of {words} once every covered take is taken" if more else f"of {words}"


def saved_by_copies(found: Sequence[Continuation], shoot: Shoot) -> str:
    """What all copies that could continue save together, ``""`` where that is nothing known.

    The shots that save most are named first.
    """
    known = [(one.saving, one) for one in found if one.saving is not None and one.saving > 0]
    if not known:
        return ""
    saved = money_text(sum((saving for saving, _ in known), Decimal(0)), shoot.settings.currency)
    known.sort(key=lambda one: -one[0])  # of equal ones the order of the plan
    pairs = [
        (shoot.shot_name(shoot.shots[one.shot]), shoot.shot_name(shoot.shots[one.source]))
        for _, one in known
    ]
    first = "{} takes over the copy of {}".format(*pairs[0])
    rest = [f"{shot} that of {source}" for shot, source in pairs[1:]]
    words = choice_words([first, *rest], most=COPIES_NAMED, last="and")
    return f"{saved} less is paid if {words}: costing check says where."


def _held(cost: Cost, currency: str | None, gone_to: Collection[str]) -> str:
    """A constraint with the cell it is typed in."""
    money = money_text(cost.cost or Decimal(0), currency)
    spared = cost.kind is ConstraintKind.VISIT and key(cost.name) not in gone_to
    said = NOT_GONE_TO if spared else SAID[cost.kind]
    return said.format(cost.name, money) + _at(cost.place)


def _alone(cost: Cost, currency: str | None) -> str:
    if cost.cost is not None:
        more = "more" if cost.cost > 0 else "less"
        return f'"{cost.name}" would cost {money_text(abs(cost.cost), currency)} {more}'
    said = (("does not have", cost.lacks), ("is not open in time for", cost.late))
    reasons = [f"{no} {choice_words(names, most=NAMED, last='and')}" for no, names in said if names]
    return f'"{cost.name}" {" and ".join(reasons)}'


def _at(place: Place) -> str:
    return f" ({place.cell_reference})" if place.cell_reference else ""
