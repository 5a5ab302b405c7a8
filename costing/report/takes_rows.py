"""Rows of the day: how often each shot can still be taken, and who may eat what."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from costing.buying.basket import Offer
from costing.buying.fitting import Chance
from costing.buying.supplies import Supply
from costing.buying.takes_left import Balance, Outlook, Shortfall, TakesLeft
from costing.findings import choice_words
from costing.quantities import ZERO, money_text
from costing.report.layouts import TAKES_LEFT, WHO_EATS
from costing.report.shop_words import quantity
from costing.report.tables import Row, Table
from costing.shoot.eating import WhoEats
from costing.shoot.shots import EndedBy
from costing.shoot.times import percent_text

DAY_OVER = "Its day is over."

ENDED = {
    EndedBy.ENOUGH: "no more of it is wanted",
    EndedBy.FOOD: "its food had run out",
    EndedBy.TIME: "its time had run out",
    EndedBy.SPOILED: "its food was spoiled",
}
"""Why a shot is not taken again, in words."""


def takes_left(outlook: Outlook) -> Table:
    """One row for each shot of a dish, in the order of the plan."""
    return Table.of(TAKES_LEFT, (_row(one, outlook) for one in outlook.takes_left))


def _row(one: TakesLeft, outlook: Outlook) -> Row:
    shot = outlook.shoot.shots[one.number]
    return TAKES_LEFT.row(
        episode=shot.episode,
        shot=shot.label,
        planned=shot.times,
        taken=one.taken,
        more=one.more,
        limited_by="; ".join(lack.supply.name for lack in one.lacks),
        short_by="; ".join(amount_of(lack.supply, lack.amount, outlook) for lack in one.lacks),
        note=" ".join(_notes(one, outlook)),
    )


def who_eats(eating: WhoEats) -> Table:
    """One row for each person and container or shot; then for all eaters of a shot."""
    return Table.of(
        WHO_EATS,
        (
            WHO_EATS.row(
                person=one.person, what=one.what, answer=str(one.answer), because=one.because
            )
            for one in eating.rows
        ),
    )


def amount_of(supply: Supply, base: Fraction, outlook: Outlook) -> str:
    """An amount of an ingredient as a cook says it."""
    unit = supply.purchase.need.unit
    return quantity(base / unit.size, unit.name, outlook.shoot.settings.measures)


def _notes(one: TakesLeft, outlook: Outlook) -> Iterator[str]:
    """What is to be said of a shot, in sentences."""
    shot, so_far = outlook.shoot.shots[one.number], outlook.day.so_far.of(one.number)
    if shot.uncertain:
        yield f"{shot.least_times} to {shot.most_times} times planned."
    if so_far.spoiled:
        yield f"Spoiled {so_far.spoiled} time{'' if so_far.spoiled == 1 else 's'} besides."
    if one.is_over:
        yield DAY_OVER
        return
    if so_far.ended:
        yield f"Ended: {ENDED[shot.ended_by or EndedBy.ENOUGH]}."
    if one.more is None:
        yield "Nothing known limits it." if one.left_out else "Nothing limits it."
    if one.overdrawn:
        names = choice_words(one.overdrawn, last="and")
        yield f"By the books more {names} was used than there was."
    elif one.others_lack and one.others_remain:
        more = "; so many more of this one take nothing from them" if one.more else ""
        yield f"What remains of the others does not fit as it is{more}."
    if one.lacks:
        bringing = (_bringing(one.number, lack, outlook) for lack in one.lacks)
        yield f"One more needs {'; '.join(bringing)}."
    if one.now.low == 1 and one.after.high == 0:
        if one.others_remain:
            yield "After one more the others lack something."
    elif one.now.low != one.after.low:
        now, after = _chance_words(one.now), _chance_words(one.after)
        yield f"Chance to finish the others: {now} without another, {after} after one more."
    if one.not_kept_back:
        yield f"Of {', '.join(one.not_kept_back)} no pieces are kept back to pick from."
    if one.left_out:
        yield f"Leaves out {', '.join(one.left_out)}: nothing says how much is there."


def _chance_words(chance: Chance) -> str:
    """A chance, rounded down; that it is a lower bound is said."""
    text = percent_text(chance.low) if chance.low else "0 %"
    return text if chance.low == chance.high else f"at least {text}"


def _bringing(number: int, lack: Shortfall, outlook: Outlook) -> str:
    """What brings what lacks, where and for how much."""
    missing = f"{lack.supply.name} {amount_of(lack.supply, lack.amount, outlook)}"
    ready = (
        f", or {choice_words(names)} sold ready"
        if (names := _sold_ready(number, lack, outlook))
        else ""
    )
    if not lack.packs:
        sold = lack.supply.purchase.offers
        where = "and no shop has more" if sold else "which Packs does not have"
        return f"{missing}, {where}{ready}"
    packs = " and ".join(_pack(offer, count, lack.supply, outlook) for offer, count in lack.packs)
    currency = outlook.shoot.settings.currency
    price = "price unknown" if lack.price is None else money_text(lack.price, currency)
    return f"{missing} ({packs}, {price}){ready}"


def _sold_ready(number: int, lack: Shortfall, outlook: Outlook) -> list[str]:
    """What a shot draws that is made of an ingredient and sold ready: that may cost less.

    Of what the shot draws by itself too, it cannot be said that the ready dish would do.
    """
    drawn = {code for code, _ in outlook.supplies.per_time[number]}
    if lack.supply.code in drawn:
        return []
    return [
        one.name
        for one in outlook.supplies.limited
        if one.purchase.demand.made and one.code in drawn.intersection(lack.supply.codes)
    ]


def _pack(offer: Offer, count: int, supply: Supply, outlook: Outlook) -> str:
    shop = f" at {offer.row.shop}" if offer.row.shop else ""
    if not offer.sealed:
        return f"{amount_of(supply, count * offer.amount, outlook)} loose{shop}"
    one = amount_of(supply, offer.amount, outlook)
    return f"{one if count == 1 else f'{count} x {one}'}{shop}"


def balance_words(one: Balance, outlook: Outlook) -> str:
    """The books of one ingredient so far, in a sentence.

    Bought and on hand is what was used, what is there, and what no line of the log explains.
    """
    parts = [("bought", one.bought), ("on hand", one.on_hand)]

    def words(base: Fraction) -> str:
        return amount_of(one.supply, base, outlook)

    had = " + ".join(f"{word} {words(amount)}" for word, amount in parts if amount)
    there, more = one.there, one.not_logged
    if there < 0:  # more was used than there was: it came from somewhere
        there, more = ZERO, more + there
    text = f"{one.supply.name}: {had or 'nothing bought'} = used {words(one.used)} + there "
    text += words(there)
    if more > 0:
        text += f" + not logged {words(more)}"
    elif more < 0:
        text += f" - not in the books {words(-more)}"
    return f"{text}."
