"""What is said of shopping days: lines that no planned trip serves, and lives nobody knows."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from fractions import Fraction

from costing.buying.lives import life_of
from costing.buying.purchases import Purchase
from costing.buying.till import Bought
from costing.findings import Finding, Grade, Words, how_many, lack, message
from costing.kitchen import PackState
from costing.names import key
from costing.quantities import ZERO
from costing.shoot import Shoot


@dataclass(frozen=True, slots=True)
class OutOfPlan:
    """A line for which no open day of its shop will do.

    Parameters
    ----------
    line : Bought
        Which, on a trip of its own.
    amount : Fraction
        What is used of it. [base unit]
    first, last : date or None, date
        From the first day on which it keeps long enough to the last day that is in time.
    needed : date
        The day it is needed: the last it serves, which it has to keep for; the first where its
        shop is not open in time.
    life : int, optional
        How long it keeps from its trip. [day]
    before : date, optional
        The last open day before it; ``None``: its shop is not open in time at all.
    """

    line: Bought
    amount: Fraction
    first: date | None
    last: date
    needed: date
    life: int | None
    before: date | None

    @property
    def days(self) -> str:
        """On which days it may be bought, in words."""
        if self.first is None:
            return f"by {self.last}"
        if self.first == self.last:
            return f"on {self.first}"
        return f"on {self.first} or later, by {self.last}"


def out_of_plan(purchase: Purchase, bought: Bought, shoot: Shoot) -> OutOfPlan | None:
    """What is to be said of a line whose trip nobody planned; ``None`` of one that is planned."""
    open_days = shoot.open_days(bought.pack.shop)
    if bought.trip is None or bought.opened is None or bought.trip in open_days:
        return None
    until = max(day for name in bought.serves if (day := shoot.shoot_dates[name]) is not None)
    life = life_of(bought.pack, purchase.need.ingredient)
    keeps, last = life.unopened, bought.opened - timedelta(days=life.thaw)
    before = max((day for day in open_days if day <= last), default=None)
    first = None if keeps is None else min(last, until - timedelta(days=keeps))
    if first is not None and before is not None:
        first = max(first, before)
    needed = bought.opened if before is None else until
    amount = sum(bought.serves.values(), ZERO)
    return OutOfPlan(bought, amount, first, last, needed, keeps, before)


def check_dates(purchases: Sequence[Purchase], shoot: Shoot) -> Iterator[Finding]:
    """Findings for a day of shopping that is too late, or too soon for what does not keep."""
    late = shoot.shot_before_shopping
    if late is not None:
        yield shopping_after_shoot(
            shoot.settings.at("Shopping date"),
            str(min(shoot.settings.shopping_dates)),
            late.name,
            str(late.shoot_date),
            str(shoot.shopping_date),
        )
    too_late: set[str] = set()
    for purchase in purchases:
        found = (out_of_plan(purchase, line, shoot) for line in purchase.lines)
        lines = [one for one in found if one is not None]
        late_lines = [one for one in lines if one.before is None]
        too_late.update(key(one.line.pack.shop) for one in late_lines)
        yield from _too_soon(purchase, [one for one in lines if one.before is not None])
        yield from _too_late(purchase, late_lines, shoot)
        yield from _unknown_life(purchase, shoot)
    yield from _after_all(shoot, too_late)


def _after_all(shoot: Shoot, too_late: Collection[str]) -> Iterator[Finding]:
    """Days of shopping after the last shoot; of shops that are not said to open too late."""
    taken = {key(shot.episode) for shot in shoot.shots}
    dates = [one.shoot_date for one in shoot.episodes if not taken or key(one.name) in taken]
    known = [day for day in dates if day is not None]
    if not known or len(known) < len(dates):
        return
    for day in shoot.settings.shopping_dates[1 if shoot.shot_before_shopping else 0 :]:
        if day > max(known):
            place = shoot.settings.at("Shopping date")
            yield shopping_after_all_shoots(place, str(day), str(max(known)))
    sellers = {key(pack.shop) for pack in shoot.packs} - set(too_late)
    for trip in shoot.trips:
        if trip.day > max(known) and key(trip.shop) in sellers:
            yield shopping_after_all_shoots(trip.at("Date"), str(trip.day), str(max(known)))


def _too_soon(purchase: Purchase, lines: Sequence[OutOfPlan]) -> Iterator[Finding]:
    """What does not keep from the open day before it."""
    if not lines:
        return
    last = max(lines, key=lambda one: one.needed)
    parts = [f"{purchase.text(one.amount)} {one.days}" for one in lines]
    ingredient = purchase.need.ingredient
    yield does_not_keep(
        ingredient.at("Keeps days"),
        ingredient.name,
        str(last.before),
        last.life or 0,
        str(last.needed),
        lines[0].days if len(lines) == 1 else ", ".join(parts),
        one_day=len(lines) == 1,
    )


def _too_late(purchase: Purchase, lines: Sequence[OutOfPlan], shoot: Shoot) -> Iterator[Finding]:
    """What no shop is open in time for."""
    for one in lines:
        pack = one.line.pack
        own = next((trip for trip in shoot.trips if key(trip.shop) == key(pack.shop)), None)
        place = own.at("Date") if own and pack.shop else shoot.settings.at("Shopping date")
        yield no_trip_in_time(
            place,
            purchase.name,
            pack.shop,
            str(one.needed),
            str(one.last),
            pack.thaw_days,
            str(shoot.open_days(pack.shop)[0]),
        )


def _unknown_life(purchase: Purchase, shoot: Shoot) -> Iterator[Finding]:
    """What is bought on an earlier trip than it could be, though nobody knows how long it keeps."""
    ingredient, dates = purchase.need.ingredient, shoot.shoot_dates
    for bought in purchase.lines:
        used = [day for name in bought.serves if (day := dates[name]) is not None]
        if bought.trip is None or not used or life_of(bought.pack, ingredient).sealed is not None:
            continue
        open_days = shoot.open_days(bought.pack.shop)
        if bought.trip in open_days and any(bought.trip < d < max(used) for d in open_days):
            # Keeps days counts from the trip of what is fresh, else from thawing or opening
            later = bought.pack.state in (PackState.FROZEN, PackState.SHELF)
            place = bought.pack.at("State") if later else ingredient.at("Keeps days")
            yield life_unknown(place, ingredient.name, str(bought.pack.state) if later else "")
            return


@message("does not keep", Grade.WARNING)
def does_not_keep(
    ingredient: str, bought: str, days: int, needed: str, advice: str, *, one_day: bool
) -> Words:
    """Something bought longer before its use than it keeps."""
    return Words(
        f"{ingredient} bought on {bought}, which keeps {how_many(days, 'day')}, needed on {needed}",
        "a day of shopping within its storage life",
        f"Buy it {advice}, or fill Keeps days if yours keeps longer."
        if one_day
        else f"Buy {advice}: the list counts a trip for each of them, which no shopping date or "
        "row of Trips names. Or fill Keeps days if yours keeps longer.",
    )


@lack("storage life unknown", Grade.NOTE)
def life_unknown(names: str, state: str) -> Words:
    """What keeps for nobody knows how long, bought for a later shoot day than the next."""
    mend = (
        "Leave State blank where that is not so: Keeps days counts from thawing or opening."
        if state
        else "Fill Keeps days where that is not so."
    )
    return Words(
        f"no storage life of {names}{state and f' ({state})'}, bought for several shoot days at "
        "once",
        "how many days it keeps",
        f"Taken to keep until the last of them. {mend}",
    )


@lack("no trip in time", Grade.WARNING)
def no_trip_in_time(
    good: str, shop: str, needed: str, by: str, thaw: int | None, opens: str
) -> Words:
    """Something for which no shop is open early enough, or several things."""
    thawed = f", {how_many(thaw, 'day')} before to thaw," if thaw else ""
    where = f"{shop} is" if shop else "the shops are"
    return Words(
        f"{good} for {needed}{thawed} while {where} open from {opens} on",
        f"a day on or before {by}",
        "Write such a day into Shopping date, or a row for the shop on the sheet Trips; the list "
        f"counts that as fetched by {by}, which nobody has planned.",
    )


@message("shopping after a shoot", Grade.ERROR)
def shopping_after_shoot(set_to: str, episode: str, shot_on: str, used: str) -> Words:
    """A day of shopping that is set after a day on which the food is used."""
    return Words(
        f'{set_to}, after the shoot of "{episode}" on {shot_on}',
        f"a day on or before {shot_on}",
        f"Write such a day here, or mend Shoot date on the sheet Episodes; until then {used} "
        "counts, the day before the first shoot date.",
    )


@message("shopping after all shoots", Grade.WARNING)
def shopping_after_all_shoots(set_to: str, last: str) -> Words:
    """One of several days of shopping or trips, on which nothing can be bought in time."""
    return Words(
        f"{set_to}, after the last shoot on {last}",
        f"a day on or before {last}",
        "Nothing is bought on it. Mend it, take it out, or mend Shoot date on the sheet Episodes.",
    )
