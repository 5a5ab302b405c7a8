"""Bought on one day, needed on another: what does not keep that long."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, timedelta
from math import floor

from costing.buying import messages
from costing.buying.shopping import Purchase
from costing.findings import Finding
from costing.shoot import Shoot
from costing.shoot.defaults import shopping_date


@dataclass(frozen=True, slots=True)
class TooSoon:
    """A purchase that does not keep until it is needed.

    Parameters
    ----------
    days : int
        How long it keeps. [day]
    needed : date
        The last day it is needed.
    not_before : date
        The first day on which it may be bought.
    """

    days: int
    needed: date
    not_before: date


def too_soon(purchase: Purchase, shoot: Shoot) -> TooSoon | None:
    """Whether what is bought on the shopping date is needed after its life has ended.

    Returns
    -------
    TooSoon or None
        ``None`` when it keeps, or when its life or a day is not known.
    """
    keeps = purchase.need.ingredient.keeps
    bought = shopping_date(shoot)
    if keeps is None or bought is None or not purchase.lines:
        return None
    days = [
        episode.shoot_date
        for episode in shoot.episodes
        if episode.shoot_date and purchase.need.as_bought.get(episode.name)
    ]
    needed = max(days, default=bought)
    life = floor(keeps)
    if (needed - bought).days <= life:
        return None
    return TooSoon(life, needed, needed - timedelta(days=life))


def check_storage(purchases: tuple[Purchase, ...], shoot: Shoot) -> Iterator[Finding]:
    """Findings for what does not keep from the shopping date until it is needed."""
    bought = shopping_date(shoot)
    for purchase in purchases:
        soon = too_soon(purchase, shoot)
        if soon is not None and bought is not None:
            yield messages.does_not_keep(
                purchase.need.ingredient.at("Keeps days"),
                purchase.need.ingredient.name,
                bought.isoformat(),
                soon.days,
                soon.needed.isoformat(),
                soon.not_before.isoformat(),
            )
