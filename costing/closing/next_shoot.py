"""What is on hand for the next shoot: lots that are left, and what is left off and why.

Lots are used before what was bought, the earliest last day first. What is left of a lot that was
begun, of opened packs and of loose goods is open from the first day of use; packs that need not
have been opened are sealed. A count decides how much of it is left. Packs go on at prices as paid.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal
from fractions import Fraction

from costing.buying.left_over import Brought, left_of
from costing.buying.lives import life_of
from costing.buying.on_hand import last_day
from costing.buying.till import exact_price, money_digits, tax_rate
from costing.closing.closed import Closed, ClosedIngredient
from costing.closing.counts import dishes_logged
from costing.closing.fetched import Fetched
from costing.closing.made import lots_of_dishes, weighable
from costing.closing.receipts import PaidLine
from costing.holding.statuses import NOT_TO_BE_EATEN, Status, Verdict
from costing.kitchen import HoldingClass, Lot, Pack, PackState
from costing.kitchen.packs import worth
from costing.names import key
from costing.quantities import ONE, ZERO, Amount, Dimension, exact_money, round_money
from costing.shoot import Settings, Shoot
from costing.shoot.containers import part_of_dish
from costing.shoot.defaults import shoot_day
from costing.shoot.weighings import trimmed_from

NOT_CARRIED = (*NOT_TO_BE_EATEN, Status.DO_NOT_RETURN)
"""Verdicts on a bowl with which nothing that may have been in it goes on to the next shoot."""


@dataclass(frozen=True, slots=True)
class NextStock:
    """What the next shoot has on hand.

    Parameters
    ----------
    left_off : tuple of str
        How much of what is not carried, and why.
    rounded : bool
        Whether a little less of something is carried than there is by the takes.
    """

    lots: tuple[Lot, ...]
    left_off: tuple[str, ...]
    rounded: bool = False


@dataclass(frozen=True, slots=True)
class _Rest:
    """A lot that is left, whether it was begun, its last day, and whether it was rounded down."""

    lot: Lot
    begun: bool
    last: date | None
    rounded: bool = False


def next_stock(closed: Closed, verdicts: Sequence[Verdict] = ()) -> NextStock:
    """What is left of a shoot that is closed.

    What is past its life on the last day of the shoot is left off; so is what is open of an
    ingredient that was in a bowl which must not be used again. Sealed packs of it are carried.
    """
    shoot = closed.shoot
    day = last_shoot_day(shoot)
    bad = _bad_bowls(shoot, verdicts)
    carried: list[_Rest] = []
    left_off: list[str] = []
    for rest in _rests(closed):
        if rest.lot.amount is not None and rest.lot.amount.base <= 0:
            continue  # all of it was used, or less is left than can be weighed
        why = _why_not(rest, day, bad)
        if why:
            left_off.append(f"{lot_words(rest.lot)}: {why}")
        else:
            carried.append(rest)
    left_off += (
        f'what is in "{one.container}": {one.status} by {one.rule}'
        for one in verdicts
        if one.strictest and one.status in NOT_CARRIED
    )
    for known in closed.ingredients:
        if known.bought and not known.is_known:
            why = "how much of it is left is not known; count it and add it to On hand"
            left_off.append(f"{known.name}: {why}")
    lots = tuple(one.lot for one in carried)
    return NextStock(lots, tuple(left_off), any(one.rounded for one in carried))


def lot_words(lot: Lot) -> str:
    """How much of what a lot is."""
    amount = "plenty" if lot.plenty else lot.amount or "an unknown amount"
    return f"{amount} of {lot.ingredient}"


def last_shoot_day(shoot: Shoot) -> date | None:
    """The last day of a shoot, by its episodes and what was logged; ``None``: none is known."""
    days = [episode.shoot_date for episode in shoot.episodes if episode.shoot_date]
    moments = [event.at for container in shoot.containers for event in container.events]
    moments += [line.when for line in shoot.day_log if line.when]
    return max([*days, *(shoot_day(at, shoot) for at in moments)], default=None)


def _why_not(rest: _Rest, day: date | None, bad: Mapping[str, str]) -> str:
    """Why a lot is left off; blank: it is not."""
    if rest.last is not None and day is not None and rest.last < day:
        return f"its last day was {rest.last.isoformat()}"
    return bad.get(key(rest.lot.ingredient), "") if rest.begun else ""


def _bad_bowls(shoot: Shoot, verdicts: Iterable[Verdict]) -> dict[str, str]:
    """Why nothing open of an ingredient is carried, by its key: the bowl it stood out in."""
    strictest = {key(one.container): one for one in verdicts if one.strictest}
    inside = {key(one.name): one.holds for one in shoot.containers}

    def held(names: Iterable[str], seen: frozenset[str]) -> Iterator[str]:
        for name in names:
            part = part_of_dish(name)
            yield key(part.dish if part else name)
            if key(name) in inside and key(name) not in seen:
                yield from held(inside[key(name)], seen | {key(name)})

    found: dict[str, str] = {}
    for container in shoot.containers:
        verdict = strictest.get(key(container.name))
        if verdict is None or verdict.status not in NOT_CARRIED:
            continue
        for name in held(container.holds, frozenset((key(container.name),))):
            found.setdefault(
                name, f'open, and of what stood in "{container.name}" ({verdict.status})'
            )
    return found


def _rests(closed: Closed) -> Iterator[_Rest]:
    """What is left of everything there was, in the order of On hand, then what was bought."""
    shoot = closed.shoot
    left: dict[int, _Rest] = {}
    bought: list[_Rest] = []
    made: list[Lot] = []
    for one in closed.ingredients:
        if one.is_known:
            from_lots, used = _of_lots(one, shoot)
            left |= from_lots
            bought += _of_packs(one, used, shoot)
            if one.made is not None and (shoot.is_dish(one.name) or one.counted):
                made += one.made.lots(one.name, one.left_of_making)
    besides = list(_counted_besides(closed))
    names = {key(one.lot.ingredient) for one in besides}
    for lot in (one for one in shoot.lots if key(one.ingredient) not in names):
        rest = left.get(id(lot))
        if rest is None:  # it did not count, or nothing of it was planned: as it was
            known = closed.by_name.get(lot.ingredient)
            last = last_day(lot, known.planned.need) if known else lot.use_by
            rest = _Rest(lot, lot.opened is not None, last)
        yield rest
    yield from besides
    yield from bought
    logged = dishes_logged(closed.books, closed.untold)
    made += lots_of_dishes(shoot, closed.making, closed.by_name, logged, last_shoot_day(shoot))
    yield from (_Rest(lot, True, lot.use_by) for lot in made)


def _counted_besides(closed: Closed) -> Iterator[_Rest]:
    """What was counted of what the shots take nothing of, with the earliest use by of its lots."""
    for row in closed.shoot.counted:
        planned = row.ingredient in closed.by_name or closed.shoot.is_dish(row.ingredient)
        if planned or trimmed_from(row.note):
            continue
        lots = [lot for lot in closed.shoot.lots if key(lot.ingredient) == key(row.ingredient)]
        new = Lot(ingredient=row.ingredient, amount=row.amount)
        lot = min((*lots, new), key=lambda one: one.use_by or date.max)
        value = _coins(worth(lots, row.amount), closed.shoot)
        lot = lot.model_copy(update={"amount": row.amount, "value": value, "plenty": False})
        yield _Rest(lot, lot.opened is not None, lot.use_by)


def _of_lots(one: ClosedIngredient, shoot: Shoot) -> tuple[dict[int, _Rest], Fraction]:
    """What is left of the lots that count, by their identity, and what was used beyond them."""
    used, need = one.used_besides_making, one.planned.need
    found: dict[int, _Rest] = {}
    for usable in one.planned.demand.stock.lots:
        lot, whole = usable.lot, Fraction(usable.amount)
        taken = max(ZERO, min(used, whole))
        used -= taken
        typed = id(_as_typed(lot, [row for row in shoot.lots if id(row) not in found]))
        if not taken:
            found[typed] = _Rest(lot, lot.opened is not None, usable.last)
            continue
        part = 1 - taken / whole
        exact = lot.amount and Amount(lot.amount.magnitude * part, lot.amount.unit)
        amount = exact and weighable(exact)
        rest = lot.model_copy(
            update={
                "amount": amount,
                "opened": lot.opened or _opened(amount, one, shoot),
                "value": lot.value and _coins(exact_money(lot.value) * part, shoot),
            }
        )
        found[typed] = _Rest(rest, True, last_day(rest, need), amount != exact)
    return found, used


def _as_typed(lot: Lot, rows: Sequence[Lot]) -> Lot:
    """The row of On hand of a lot; one that is given in batches counts in what the dish makes."""
    for one in rows:
        in_batches = one.amount is not None and one.amount.dimension is Dimension.BATCH
        if one is lot or (in_batches and one.model_copy(update={"amount": lot.amount}) == lot):
            return one
    return lot


def _of_packs(one: ClosedIngredient, used: Fraction, shoot: Shoot) -> Iterator[_Rest]:
    """What is left of what was bought, sealed and open; what was given free is used first."""
    if used < 0:
        beyond = Amount(-used / one.unit.size, one.unit)
        lot = Lot(ingredient=one.name, amount=beyond, note="Counted beyond all that was there.")
        yield _Rest(lot, True, None)
    for free in (True, False):
        rows = [row for row in one.fetched if free is bool(row.pack and row.pack.supplied)]
        brought = sum((row.amount for row in rows), ZERO)
        if brought <= 0:
            continue
        # which packs were taken back to the shop nobody says: then none is taken to be sealed still
        taken_back = any(row.amount < 0 for row in rows)
        left = left_of(
            [Brought(brought, ZERO, 1, sealed=False)]
            if taken_back
            else [_brought(row, one) for row in rows],
            used,
        )
        used = max(ZERO, used - brought)
        price = sum((row.worth for row in rows), ZERO) / brought
        valued = not free and all(row.price_known for row in rows)
        for amount, begun in ((left.sealed, False), (left.rest, True)):
            exact = Amount(amount / one.unit.size, one.unit)
            there = weighable(exact)
            lot = Lot(
                ingredient=one.name,
                amount=there,
                use_by=_use_by(rows, one, shoot, begun=begun),
                opened=_opened(there, one, shoot) if begun else None,
                value=_coins(Fraction(price * amount), shoot) if valued else None,
                supplied=free,
            )
            yield _Rest(lot, begun, last_day(lot, one.planned.need), there != exact)


def _brought(row: Fetched, one: ClosedIngredient) -> Brought:
    """A receipt line as packs of one kind; without a row of Packs it may be open, and is."""
    offers = {id(offer.pack): Fraction(offer.amount) for offer in one.planned.offers}
    size = offers.get(id(row.pack)) if row.pack is not None else None
    sealed = row.pack is not None and row.pack.loose_step is None
    if size is None or row.amount % size:
        return Brought(row.amount, row.worth, 1, sealed=False)
    count = int(row.amount / size)
    return Brought(size, row.worth / count, count, sealed=sealed)


def _opened(amount: Amount | None, one: ClosedIngredient, shoot: Shoot) -> date | None:
    """Since when what is left is open; whole pieces and loose goods of no life open are not."""
    ingredient = one.planned.need.ingredient
    if (
        amount is not None
        and amount.dimension is Dimension.COUNT
        and amount.magnitude.denominator == 1
    ):
        return None
    packs = [offer.pack for offer in one.planned.offers if offer.pack is not None]
    loose = bool(packs) and all(pack.loose_step is not None for pack in packs)
    lasting = loose or ingredient.holding_class is HoldingClass.NONE
    if ingredient.keeps_opened is None and lasting:
        return None
    return first_use(one, shoot)


def first_use(one: ClosedIngredient, shoot: Shoot) -> date | None:
    """The first shoot day that takes of it, the earliest it can have been opened."""
    users = one.planned.need.users
    return min(
        (e.shoot_date for e in shoot.episodes if e.shoot_date and e.name in users), default=None
    )


def fetched_on(row: Fetched, shoot: Shoot) -> date | None:
    """The day on the receipt, else the shopping date."""
    return (row.line.line.day if row.line is not None else None) or shoot.shopping_date


def _use_by(
    rows: Iterable[Fetched], one: ClosedIngredient, shoot: Shoot, *, begun: bool
) -> date | None:
    """The last day of packs of some lines by the life of their State, the earliest of them.

    It counts from the day they were fetched; of what was frozen or for the shelf, once it is begun,
    also from its thawing or opening.
    """
    ingredient, days = one.planned.need.ingredient, []
    for row in rows:
        fetched = fetched_on(row, shoot)
        packs = [offer.pack for offer in one.planned.offers if offer.pack is not None]
        unlisted = Pack(ingredient=one.name, amount=Amount(ONE, one.unit))
        for pack in [row.pack] if row.pack is not None else packs or [unlisted]:
            life = life_of(pack, ingredient)
            days.append(_after(fetched, life.sealed))
            if begun and pack.state is not PackState.FRESH:
                days.append(_after(first_use(one, shoot) or fetched, life.opened))
    return min((day for day in days if day is not None), default=None)


def _after(day: date | None, life: int | None) -> date | None:
    return None if day is None or life is None else day + timedelta(days=life)


def _coins(value: Fraction | None, shoot: Shoot) -> Decimal | None:
    return None if value is None else round_money(value, money_digits(shoot.settings))


MORE_DIGITS = 2
"""Of a price for a pack behind the smallest coin: two packs for 3.79 are 1.895 each. [digit]"""


def packs_as_paid(closed: Closed, packs: Sequence[Pack]) -> tuple[Pack, ...]:
    """The rows of Packs with the prices of the receipts and their day, and rows for new packs.

    Of a pack on several receipts the latest price stands; discounts are left out of it.

    ``packs``: the rows as they were typed, in the order of the shoot.
    """
    shoot = closed.shoot
    typed = {id(one): pack for one, pack in zip(shoot.packs, packs, strict=False)}
    new: list[Pack] = []
    rows = [
        (one, row, row.line)
        for one in closed.ingredients
        for row in one.fetched
        if row.line is not None and row.amount > 0 and row.price > 0
    ]
    rows.sort(key=lambda found: fetched_on(found[1], shoot) or date.min)
    for one, row, line in rows:
        if row.pack is None or not _same_shop(row.pack, line):
            new.append(_new_pack(one, row, line, shoot))
        elif id(row.pack) in typed:
            price = _price_paid(row.pack, one, row, line, shoot.settings)
            day = fetched_on(row, shoot) or row.pack.price_date
            changes = {"price_date": day} | ({} if price is None else {"price": price})
            typed[id(row.pack)] = typed[id(row.pack)].model_copy(update=changes)
    return (*typed.values(), *new)


def _same_shop(pack: Pack, line: PaidLine) -> bool:
    """Whether a receipt is from the shop of a row of Packs, as far as both say it."""
    return not pack.shop or not line.line.shop or key(pack.shop) == key(line.line.shop)


def _price_paid(
    pack: Pack, one: ClosedIngredient, row: Fetched, line: PaidLine, settings: Settings
) -> Decimal | None:
    """The price of a pack as its row says it; ``None`` where it was paid as listed."""
    brings = next(Fraction(offer.amount) for offer in one.planned.offers if offer.pack is pack)
    each = row.price / row.amount * brings
    if each == exact_price(pack, settings):
        return None
    whole = each * pack.amount.base / pack.unit_amount.base
    return _listed(whole, line, tax_rate(pack, settings), settings)


def _new_pack(one: ClosedIngredient, row: Fetched, line: PaidLine, shoot: Shoot) -> Pack:
    """A row for what was bought and is on no row of Packs."""
    count = line.line.packs or Fraction(1)
    rate = line.line.tax_rate
    if rate is None and (shoot.settings.prices_include_tax or line.rate != shoot.settings.tax_rate):
        rate = line.rate  # that of its other packs, with which the receipt was reckoned
    return Pack(
        ingredient=one.name,
        shop=line.line.shop,
        amount=Amount(row.amount / count / one.unit.size, one.unit),
        price=_listed(row.price / count, line, shoot.settings.tax_rate, shoot.settings),
        tax_rate=rate,
        price_date=fetched_on(row, shoot),
    )


def _listed(paid: Fraction, line: PaidLine, rate: Fraction, settings: Settings) -> Decimal:
    """What was paid as a row of Packs says it: with tax or without, by the setting."""
    if not settings.prices_include_tax:
        if line.tax is not None and line.paid:
            paid *= 1 - Fraction(line.tax) / Fraction(line.paid)
        else:
            paid /= 1 + rate
    return round_money(paid, money_digits(settings) + MORE_DIGITS)
