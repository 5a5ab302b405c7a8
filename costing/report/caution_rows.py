"""Rows of Summary about uncertain takes, what one more costs, and what is dearest."""

from __future__ import annotations

import math
from collections.abc import Iterator
from fractions import Fraction

from costing.buying.books import Books
from costing.buying.caution import Spare, Take
from costing.buying.expected import Expected
from costing.buying.purchases import Purchase
from costing.buying.till import money_digits
from costing.findings import choice_words
from costing.quantities import ZERO, money_text, round_money
from costing.report.tables import Value
from costing.shoot.times import OWN_MOST, percent, percent_text

MINUTE = 60
"""[s]"""

DEAREST = 3
"""So many ingredients are named as the dearest."""

Row = list[Value]


def uncertainty(books: Books) -> Iterator[Row]:
    """How sure the basket is, what is used and left on average, and what caution costs."""
    caution = books.caution
    if caution is None or not caution.uncertain:
        return
    yield from how_sure(books)
    if caution.expected is not None:
        yield from _expected(caution.expected, money_digits(books.shoot.settings))
    for spare in caution.spares:
        yield _spare(spare, books.shoot.settings.currency)
    points, left_out = caution.points
    for point in points:
        yield [
            f"Bought at a chance of running out of {_text(point.chance_of_running_out)}",
            point.bought,
            "the least for this chance",
        ]
    if left_out:
        levels = ", ".join(percent_text(level) for level in sorted(left_out))
        yield ["Bought at other chances", None, f"not proven within the limit: {levels}"]


def how_sure(books: Books) -> Iterator[Row]:
    """The chance of running out, and how often each uncertain shot is covered."""
    caution = books.caution
    if caution is None or not caution.uncertain:
        return
    accepted = percent_text(books.shoot.settings.chance_of_running_out)
    chance = caution.chance_of_running_out
    yield [
        "Chance of running out %",
        None if chance is None else percent(chance, up=True),
        f"{accepted} is accepted; the chance that a shot is taken more often than it is covered"
        + (f"; 0 is {OWN_MOST}, beyond it nothing is promised" if chance == 0 else "")
        if chance is not None
        else f"not known: {choice_words(_unknown(books), most=2, last='and')}",
    ]
    for take in caution.takes:
        if take.chance_enough is not None:
            yield _covered(take, take.chance_enough)


def _unknown(books: Books) -> list[str]:
    """Why a need is not known, in words."""
    return list(dict.fromkeys(why for one in books.purchases for why in one.need.unknown))


def _spare(spare: Spare, currency: str | None) -> Row:
    name = spare.purchase.need.ingredient.name
    loose = not any(offer.sealed for offer in spare.purchase.offers)
    return [
        f"Of the {name} bought, for takes that may come %",
        percent(spare.part),
        f"{spare.packs} {'loose steps' if loose else 'packs'} where Times alone would take "
        f"{spare.planned_packs}; it adds {money_text(spare.cost, currency)}",
    ]


def _text(chance: Fraction) -> str:
    return percent_text(chance, up=True)


def _covered(take: Take, chance: Fraction) -> Row:
    shot = take.shot
    fewest = shot.times if shot.fewest is None else shot.fewest
    most = shot.times if shot.most is None else shot.most
    return [
        f"Times covered, {shot.label}",
        take.covered,
        f"planned {shot.times}, from {fewest} to {most}; enough with a chance of "
        f"{percent_text(chance)}",
    ]


def _expected(expected: Expected, digits: int) -> Iterator[Row]:
    error = round_money(expected.left_error, digits)
    yield ["Expected used value", round_money(expected.used, digits), "on average over all takes"]
    yield [
        "Expected left value",
        round_money(expected.left, digits),
        f"on average; drawn at random, standard error {error}"
        if expected.left_error
        else "on average",
    ]
    yield [
        "of which keeps",
        round_money(expected.keeps, digits),
        "what is within its life on the next shoot day",
    ]


def one_more(books: Books) -> Iterator[Row]:
    """What one more of each shot would add to the cheapest basket."""
    caution = books.caution
    if caution is None:
        return
    visits = caution.visits_counted
    for take in caution.takes:
        if not take.priced:
            continue
        if take.one_more is None:
            note = (
                "not known: an amount or a price is missing, the shops have too little, or the "
                "least was not proven"
            )
        elif take.one_more == 0:
            note = "fits in what is bought and on hand"
        else:
            note = "more to be paid" + (", visits to shops counted" if visits else "")
        yield [f"One more of {take.shot.label}", take.one_more, note]
    rest = sum(not take.priced for take in caution.takes)
    if rest:
        yield [
            f"One more of {rest} other shot{'' if rest == 1 else 's'}",
            None,
            f"not worked out, it takes about {_duration(caution.seconds_for_the_rest)}; ask for it "
            "with: costing estimate --every-take",
        ]


def _duration(seconds: float) -> str:
    """About how long, in words: in whole minutes from two of them on."""
    if seconds < 2 * MINUTE:
        return f"{max(1, math.ceil(seconds))} s"
    return f"{math.ceil(seconds / MINUTE)} min"


def dearest(books: Books) -> Iterator[Row]:
    """The ingredients that most is paid for, and whose need that is."""
    pairs = list(zip(books.purchases, books.values, strict=True))
    pairs.sort(key=lambda pair: -pair[1].bought)
    for purchase, values in pairs[:DEAREST]:
        if values.bought:
            name = purchase.need.ingredient.name
            yield [f"Among what costs most: {name}", values.bought, _purposes(purchase)]


def _purposes(purchase: Purchase) -> str:
    """Purposes that need it, the largest part first."""
    need = purchase.need
    parts: dict[str, Fraction] = {}
    shares = need.shares.items() if need.total else need.per_time.values()
    for (_, _, purpose), amount in shares:
        parts[purpose] = parts.get(purpose, ZERO) + amount
    total = sum(parts.values(), ZERO)
    largest = sorted(parts.items(), key=lambda pair: -pair[1])
    return ", ".join(
        f"{purpose} {round(100 * part / total)} %" for purpose, part in largest if part
    )
