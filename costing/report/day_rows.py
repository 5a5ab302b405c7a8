"""Rows of what is looked at on the day: Holding times, Takes left and Who eats."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from fractions import Fraction

from costing.buying.activities import with_optional
from costing.buying.basket import Offer
from costing.buying.fitting import Chance
from costing.buying.supply import Balance, Supply
from costing.buying.takes_left import Outlook, Shortfall, TakesLeft
from costing.findings import choice_words, how_many
from costing.holding.models import EventKind
from costing.holding.statuses import Verdict
from costing.names import key
from costing.quantities import ZERO, money_text
from costing.report.layouts import HOLDING_TIMES, TAKES_LEFT, WHO_EATS
from costing.report.shop_words import base_words
from costing.report.tables import Row, Table
from costing.shoot.containers import Contents
from costing.shoot.eating import WhoEats
from costing.shoot.episodes import DayEvent
from costing.shoot.shots import EndedBy
from costing.shoot.taken import clock_face, countable_in
from costing.shoot.times import percent_text
from costing.shoot.weighings import trimmed_from


def holding_times(verdicts: Sequence[Verdict]) -> Table:
    """One row for each container and rule, in the order of the verdicts."""
    return HOLDING_TIMES.table(
        HOLDING_TIMES.row(
            container=verdict.container,
            rule=verdict.rule,
            strictest="yes" if verdict.strictest else "",
            status=str(verdict.status),
            out_for=verdict.out_for,
            discard_at=verdict.discard_at,
            return_before=verdict.return_before,
            reason=verdict.reason,
            source=verdict.source,
            verified=verdict.verified,
        )
        for verdict in verdicts
    )


DAY_OVER = "Its day is over."
NOT_LOGGED = "not logged, taken as planned"
"""Of a shot whose day is over: its takes are assumed."""

ENDED = {
    EndedBy.ENOUGH: "no more of it is wanted",
    EndedBy.FOOD: "its food had run out",
    EndedBy.TIME: "its time had run out",
    EndedBy.SPOILED: "its food was spoiled",
}
"""Why a shot is not taken again, in words."""


@dataclass(frozen=True, slots=True)
class Said:
    """What was said of the shots told before.

    Parameters
    ----------
    lacking : dict of str to str
        Of what it was said first, a shot or all that remains, by what one more take of it lacks.
    bringing : dict of int to str
        What brings what lacks, by the id of the shortfall: shots of one dish share them.
    remaining : bool
        Whether what all that remains lacks was said above them.
    """

    lacking: dict[str, str] = field(default_factory=dict)
    bringing: dict[int, str] = field(default_factory=dict)
    remaining: bool = False

    @classmethod
    def below(cls, outlook: Outlook) -> Said:
        """What was said where :func:`lacking_words` stand above the shots."""
        lacks = _lacks(outlook)
        return cls({lacks: "what remains"} if lacks else {}, remaining=bool(lacks))


def takes_left(outlook: Outlook) -> Table:
    """One row for each shot of a dish, in the order of the plan."""
    said = Said()
    return TAKES_LEFT.table(_row(one, outlook, said) for one in outlook.takes_left)


def _row(one: TakesLeft, outlook: Outlook, said: Said) -> Row:
    shot = outlook.shoot.shots[one.number]
    return TAKES_LEFT.row(
        episode=shot.episode,
        shot=shot.label,
        planned=shot.times,
        taken=one.taken,
        more=one.more,
        limited_by="; ".join(lack.supply.name for lack in one.lacks),
        short_by="; ".join(amount_of(lack.supply, lack.amount, outlook) for lack in one.lacks),
        note=" ".join((*_stands(one), *notes_of(one, outlook, said), *_over(one))),
    )


def takes_words(row: Row, shot: TakesLeft, *, lacks: bool = False) -> str:
    """How often a shot can still be taken, in a sentence; also what the next lacks, if asked."""
    more = "no limit known" if row["more"] is None else f"{row['more']} more"
    more = "day over" if shot.is_over else more
    if shot.stands:  # what can be done comes first
        more = f"{shot.stands} more if {others_words(shot)}, else {row['more'] or 'none'}"
    taken = f"{row['taken']} taken of {row['planned']}"
    taken = f"{NOT_LOGGED} ({row['taken']})" if shot.is_assumed else taken
    text = f"{row['shot']}: {more}, {taken}"
    if not (lacks and row["limited_by"]):
        return f"{text}."
    both = zip(*(str(row[of]).split("; ") for of in ("limited_by", "short_by")), strict=True)
    return f"{text}; the next lacks {', '.join(f'{name} {amount}' for name, amount in both)}."


def others_words(one: TakesLeft) -> str:
    """On what condition the food of planned takes stands there."""
    return "the others are taken as planned" if one.as_planned else "no other is taken again"


def leaves_out(one: TakesLeft) -> list[str]:
    """What the takes left of a shot leave out, and why."""
    why = {
        "how much it takes is not known": one.unmeasured,
        "nothing says how much is there": [n for n in one.left_out if n not in one.unmeasured],
    }
    return [f"Leaves out {', '.join(names)}: {words}." for words, names in why.items() if names]


def _stands(one: TakesLeft) -> Iterator[str]:
    """That the food of planned takes is there, although not with the chance asked for."""
    if one.stands:
        yield f"Its food is there for {one.stands} if {others_words(one)}."


def _over(one: TakesLeft) -> Iterator[str]:
    """That the day of a shot is over, and whether its takes are only assumed."""
    if one.is_over:
        yield f"{DAY_OVER[:-1]}; {NOT_LOGGED}." if one.is_assumed else DAY_OVER


def who_eats(eating: WhoEats) -> Table:
    """One row for each person and container or shot; then for all eaters of a shot."""
    return WHO_EATS.table(
        WHO_EATS.row(person=one.person, what=one.what, answer=str(one.answer), because=one.because)
        for one in eating.rows
    )


def amount_of(supply: Supply, base: Fraction, outlook: Outlook) -> str:
    """An amount of an ingredient as a cook says it."""
    return base_words(base, supply.purchase.need.unit, outlook.shoot.settings.measures)


def notes_of(one: TakesLeft, outlook: Outlook, said: Said | None = None) -> Iterator[str]:
    """What is to be said of a shot besides that its day is over, in sentences.

    What lacks as in a shot told before is said with its packs there, and that shot is named.
    """
    shot, so_far = outlook.shoot.shots[one.number], outlook.day.so_far.of(one.number)
    if shot.uncertain:
        yield f"{shot.least_times} to {shot.most_times} times planned."
    if so_far.spoiled:
        yield f"Spoiled {how_many(so_far.spoiled, 'time')} besides."
    if one.is_assumed:
        yield from _assumed(one, outlook)
    if one.is_over:
        return
    if so_far.ended:
        yield f"Ended: {ENDED[shot.ended_by or EndedBy.ENOUGH]}."
    if one.more is None:
        yield "Nothing known limits it." if leaves_out(one) else "Nothing limits it."
    if one.overdrawn:
        names = choice_words(one.overdrawn, last="and")
        yield f"By the books more {names} was used than there was."
    elif one.others_lack and one.others_remain and outlook.takes_of_lacking(one.number):
        more = "; so many more of this one take nothing from them" if one.more else ""
        how = "is less sure than is asked" if one.now.low else "does not fit as it is"
        if more or not (said and said.remaining):
            yield f"What remains of the others {how}{more}."
    if one.lacks:
        said = said or Said()
        lacks = "; ".join(_lacking(one, outlook, said))
        name = outlook.shoot.shot_name(shot)
        first = said.lacking.setdefault(lacks, name)
        if first != name:
            lacks = _as_before(one.lacks, first, outlook)
        asked = "To be as sure as is asked, one" if one.stands and one.after.high else "One"
        yield f"{asked} {'beyond that' if one.more else 'more'} lacks {lacks}."
    # where one more leaves too little for certain, that is what it lacks
    if one.now.low != one.after.low and (one.now.low < 1 or one.after.high > 0):
        now, after = _chance_words(one.now), _chance_words(one.after)
        yield f"Chance to finish the others: {now} without another, {after} after one more."
    if one.not_kept_back:
        yield f"Of {', '.join(one.not_kept_back)} no pieces are kept back to pick from."
    yield from leaves_out(one)
    if one.unread:
        yield f"The last count of {', '.join(one.unread)} cannot be read and does not count."


def _as_before(lacks: Sequence[Shortfall], first: str, outlook: Outlook) -> str:
    """What lacks as in the shot ``first``; one thing is named, several are only referred to."""
    if len(lacks) > 1:
        return f"the same as {first}"
    supply = lacks[0].supply
    return f"{supply.name} {amount_of(supply, lacks[0].amount, outlook)}, as {first} does"


def _assumed(one: TakesLeft, outlook: Outlook) -> Iterator[str]:
    """What takes that are only assumed do to a count of their own day, and what closing says."""
    shots, day = outlook.shoot.shots, outlook.day
    episode = shots[one.number].episode
    limited = outlook.chances.supplies.limited
    drawn = {key(limited[at].name) for at in outlook.chances.touched[one.number]}
    last = {key(count.what): count for count in day.so_far.counts if count.when}
    shot_on = outlook.shoot.shoot_dates.get(episode)
    after = [c.what for name, c in last.items() if name in drawn and day.at(c).last == shot_on]
    if one.taken and after:
        names = choice_words(after, last="and")
        yield f"That is taken off the count of {names} too: log when it was, or count again."
    if one.taken and any(key(shots[n].episode) == key(episode) for n in day.so_far.shots):
        yield "costing close counts it as not taken."


def lacking_words(outlook: Outlook) -> Iterator[str]:
    """What all that remains lacks, in a sentence."""
    if outlook.lacking:
        lacks = _lacks(outlook)
        if chance := outlook.chances.chance(0, None).low:
            how = f"fits with a chance of {percent_text(chance)}, less than is asked"
            yield f"What remains {how}: for that it lacks {lacks}."
        else:
            yield f"What remains does not fit as it is: it lacks {lacks}."


def _lacks(outlook: Outlook) -> str:
    """What all that remains lacks, and what brings it."""
    return "; ".join(_bringing(one, outlook) for one in outlook.lacking)


def _chance_words(chance: Chance) -> str:
    """A chance, rounded down; that it is a lower bound is said."""
    text = percent_text(chance.low) if chance.low else "0 %"
    return text if chance.low == chance.high else f"at least {text}"


def _lacking(one: TakesLeft, outlook: Outlook, said: Said) -> Iterator[str]:
    """What brings what one more take lacks; what goes into a dish that is sold ready together."""
    by_ready: dict[tuple[str, ...], list[str]] = {}
    drawn = {code for code, _ in outlook.supplies.per_time[one.number]}
    for lack in one.lacks:
        ready = tuple(_sold_ready(drawn, lack, outlook))
        if id(lack) not in said.bringing:
            said.bringing[id(lack)] = _bringing(lack, outlook)
        by_ready.setdefault(ready, []).append(said.bringing[id(lack)])
    yield from by_ready.pop((), ())
    for ready, lacks in by_ready.items():
        instead = "" if len(lacks) == 1 else "in place of them "
        yield f"{' and '.join(lacks)}, or {instead}{choice_words(ready)}"


def _bringing(lack: Shortfall, outlook: Outlook) -> str:
    """What brings what lacks, where and for how much."""
    missing = f"{lack.supply.name} {amount_of(lack.supply, lack.amount, outlook)}"
    if not lack.packs:
        sold = lack.supply.purchase.offers
        where = "and no shop has more" if sold else "which Packs does not have"
        return f"{missing}, {where}"
    packs = " and ".join(_pack(offer, count, lack.supply, outlook) for offer, count in lack.packs)
    currency = outlook.shoot.settings.currency
    price = "price unknown" if lack.price is None else money_text(lack.price, currency)
    return f"{missing} ({packs}, {price})"


def _sold_ready(drawn: set[str], lack: Shortfall, outlook: Outlook) -> list[str]:
    """What a shot draws that is made of an ingredient and sold ready, with its best-priced pack.

    Of what the shot draws by itself too, it cannot be said that the ready dish would do.
    """
    if lack.supply.code in drawn:
        return []
    return [
        f"{one.name} sold ready{_best_priced(one, outlook)}"
        for one in outlook.supplies.limited
        if one.purchase.demand.made and one.code in drawn.intersection(lack.supply.codes)
    ]


def _best_priced(supply: Supply, outlook: Outlook) -> str:
    """The pack with the least price for what it holds, in brackets; nothing without a price."""
    priced = [(one.price / one.amount, one) for one in supply.purchase.offers if one.price]
    if not priced:
        return ""
    _, best = min(priced, key=lambda pair: pair[0])
    price = money_text(best.price or ZERO, outlook.shoot.settings.currency)
    return f" ({_pack(best, 1, supply, outlook)}, {price} each)"


def _pack(offer: Offer, count: int, supply: Supply, outlook: Outlook) -> str:
    shop = f" at {offer.row.shop}" if offer.row.shop else ""
    if not offer.sealed:
        return f"{amount_of(supply, count * offer.amount, outlook)} loose{shop}"
    one = amount_of(supply, offer.amount, outlook)
    return f"{one if count == 1 else f'{count} x {one}'}{shop}"


def counted_words(code: str, outlook: Outlook) -> str:
    """What a count of a dish or of a part does, in a sentence."""
    one, making = outlook.supplies.goods.counts[code], outlook.supplies.goods.making
    of_it = [supply for supply in outlook.supplies.limited if supply.code == code]
    apart = making is not None and code != with_optional(one.name) in making.goods
    only = ", for shots without its optional lines" if apart else ""
    text = f"{one.name}: {one.counted} counted{only}, in place of what "
    if any(supply.bought for supply in of_it):
        return f"{text}was bought of it."
    text += "the plan has made of it. "
    if any(supply.is_good for supply in of_it):
        return f"{text}Nothing says how much is there to make more of it."
    return f"{text}More than that is made of what is there."


def gone_words(outlook: Outlook, name: str = "") -> Iterator[str]:
    """What to do about bowls that were thrown away, or about one: nothing says how much was in.

    Nothing is said once what is there was counted later, or where no shot to come takes of it.
    """
    shoot, chances = outlook.shoot, outlook.chances
    contents, countable = Contents(shoot), countable_in(shoot)
    waited_for = {key(chances.supplies.limited[at].name) for at in chances.wanting}
    for container in shoot.containers:
        of_food = [e for e in container.events if e.kind is not EventKind.ROOM]
        last = max(reversed(of_food), key=lambda e: clock_face(e.at), default=None)
        if last is None or last.kind is not EventKind.DISCARDED:
            continue
        inside = {*container.holds, *filter(None, contents.ingredients_in(container))}
        if (name and key(container.name) != key(name)) or not waited_for & set(map(key, inside)):
            continue
        gone = clock_face(last.at)
        later = [one for one in shoot.day_log if one.when and clock_face(one.when) >= gone]
        counted = {key(one.what) for one in later if one in outlook.day.so_far.counts}
        counted |= {key(row.ingredient) for row in shoot.counted if not trimmed_from(row.note)}
        held = [countable.spelling(text) for text in container.holds if text in countable]
        text = f"{container.name}: what was in it is gone, and nothing says how much that was: "
        text += "the takes left do not know of it. "
        if of := [f'"{one}"' for one in held if key(one) not in counted]:
            each = f"costing log {of[0]} counted, with its amount"
            yield f"{text}Count what is there now of {choice_words(of, last='and')}: {each}."
        elif not held and all(one.event is not DayEvent.SPOILED for one in later):
            yield f"{text}If it was for a take to come, log that shot as spoiled."


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
    if one.after_count:
        text += f" ({words(one.after_count)} of it fetched on a day after the count)"
    if more > 0:
        text += f" + not logged {words(more)}"
    elif more < 0:
        text += f" - not in the books {words(-more)}"
    return f"{text}."
