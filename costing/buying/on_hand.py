"""What is on hand and still good on the day, used earliest date first."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import date, timedelta
from fractions import Fraction

from costing.buying import messages
from costing.buying.need import Need
from costing.findings import Finding
from costing.kitchen import HoldingClass, Lot
from costing.kitchen.conversion import Unconvertible, bought_as
from costing.shoot import Episode
from costing.shoot.messages import shoot_date_missing

ZERO = Fraction(0)


@dataclass(slots=True)
class Taken:
    """What a shoot takes of what is on hand.

    Parameters
    ----------
    by_episode : dict of str to Fraction
        Used of the lots. [base unit the ingredient is bought in]
    from_lots : list of (Lot, Fraction, Fraction)
        Lot that counts, its whole amount, and how much of it is used.
    plenty : Lot, optional
        The lot there is plenty of, when it is used.
    left : Fraction
        Still good and not used.
    findings : list of Finding
        Why lots do not count.
    """

    by_episode: dict[str, Fraction] = field(default_factory=dict)
    from_lots: list[tuple[Lot, Fraction, Fraction]] = field(default_factory=list)
    plenty: Lot | None = None
    left: Fraction = ZERO
    findings: list[Finding] = field(default_factory=list)

    @property
    def total(self) -> Fraction:
        """Used over all episodes. [base unit the ingredient is bought in]"""
        return sum(self.by_episode.values(), ZERO)


def last_day(lot: Lot, need: Need) -> date | None:
    """Last day a lot may be used: its date, or the end of its life after opening if sooner."""
    days = [lot.use_by] if lot.use_by else []
    keeps = need.ingredient.keeps_opened
    if lot.opened and keeps is not None:
        days.append(lot.opened + timedelta(days=math.floor(keeps)))
    return min(days, default=None)


def taken_from_stock(need: Need, lots: Sequence[Lot], episodes: Sequence[Episode]) -> Taken:
    """Cover a need from stock: episodes by date, and for each the lots by date.

    Parameters
    ----------
    need : Need
        As bought, by episode.
    lots : sequence of Lot
        Of this ingredient.
    episodes : sequence of Episode
        Those of the shoot; an episode without a date takes no dated lot.

    Returns
    -------
    Taken
        What is used, what is left, and what does not count.
    """
    taken = Taken()
    if not lots:
        return taken
    users = _by_date([e for e in episodes if need.as_bought.get(e.name)])
    usable = [lot for lot in lots if _counts(lot, need, users, taken)]
    usable.sort(key=lambda lot: last_day(lot, need) or date.max)
    amounts = {id(lot): _amount(lot, need, taken) for lot in usable}
    left = dict(amounts)
    for episode in users:
        wanted = need.as_bought[episode.name]
        for lot in usable:
            if wanted <= 0:
                break
            if not _good_for(lot, need, episode):
                continue
            part = wanted if lot.plenty else min(wanted, left[id(lot)])
            if lot.plenty:
                taken.plenty = lot
            else:
                left[id(lot)] -= part
            wanted -= part
            taken.by_episode[episode.name] = taken.by_episode.get(episode.name, ZERO) + part
    taken.from_lots = [
        (lot, amounts[id(lot)], amounts[id(lot)] - left[id(lot)])
        for lot in usable
        if not lot.plenty
    ]
    taken.left = sum(left.values(), ZERO)
    return taken


def _by_date(episodes: list[Episode]) -> list[Episode]:
    return sorted(episodes, key=lambda e: (e.shoot_date is None, e.shoot_date or date.max))


def _good_for(lot: Lot, need: Need, episode: Episode) -> bool:
    last = last_day(lot, need)
    if last is None:
        return True
    return episode.shoot_date is not None and last >= episode.shoot_date


def _counts(lot: Lot, need: Need, users: list[Episode], taken: Taken) -> bool:
    """Whether a lot is good for anyone, telling why not."""
    ingredient = need.ingredient
    text = "plenty" if lot.plenty else str(lot.amount)
    if lot.amount is None and not lot.plenty:
        taken.findings.append(messages.lot_amount_missing(lot.at("Amount"), ingredient.name))
        return False
    last = last_day(lot, need)
    place = lot.at("Use by")
    if last is None:
        if ingredient.holding_class not in (None, HoldingClass.NONE):
            taken.findings.append(messages.lot_without_a_date(place, ingredient.name, text))
            return False
        if ingredient.holding_class is None and users:
            taken.findings.append(messages.lot_taken_as_good(place, ingredient.name, text))
        return True
    if last != lot.use_by:
        place = lot.at("Opened")
    too_late = [e.name for e in users if e.shoot_date is not None and last < e.shoot_date]
    if too_late:
        taken.findings.append(
            messages.lot_past_its_date(place, ingredient.name, text, last.isoformat(), too_late)
        )
    undated = [e for e in users if e.shoot_date is None]
    taken.findings.extend(
        shoot_date_missing(
            e.at("Shoot date"),
            e.name,
            f"{ingredient.name} on hand has a date and does not count until the day is known",
        )
        for e in undated
    )
    return len(too_late) + len(undated) < len(users) or not users


def _amount(lot: Lot, need: Need, taken: Taken) -> Fraction:
    if lot.amount is None:
        return ZERO
    try:
        return bought_as(lot.amount, need.unit.dimension, need.ingredient)
    except Unconvertible as fault:
        taken.findings.append(
            messages.pack_unit_unclear(
                lot.at("Unit"),
                need.ingredient.name,
                str(lot.amount),
                need.unit.name,
                fault.heading,
            )
        )
        return ZERO
