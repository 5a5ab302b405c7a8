"""Bought on one day, needed on others: on which days an ingredient may be bought.

There is one day of shopping. What keeps from that day to its last use is bought then. What does
not is advised by *spans*: each is a run of shoot days that one trip can serve, from the last of
them less the life of the ingredient to the first of them. The spans are as few as can be: each
begins with the earliest day that is not served yet and takes in all days within its life.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from fractions import Fraction
from math import floor

from costing.buying import messages
from costing.buying.on_hand import by_date
from costing.buying.purchases import Purchase
from costing.buying.till import Bought
from costing.findings import Finding
from costing.quantities import ZERO, untraced_choice
from costing.shoot import Shoot


@dataclass(frozen=True, slots=True)
class Span:
    """Days on which what some shoot days need may be bought.

    Parameters
    ----------
    first, last : date
        From the first day on which it keeps long enough to the first day it is needed.
    amount : Fraction
        What those shoot days need of what is bought. [base unit]
    """

    first: date
    last: date
    amount: Fraction


@dataclass(frozen=True, slots=True)
class TooSoon:
    """A purchase that does not keep from the day of shopping until it is needed.

    Parameters
    ----------
    days : int
        How long it keeps. [day]
    bought, needed : date
        The day of shopping, and the last day it is needed.
    spans : tuple of Span
        Days on which it may be bought, in order; more than one where no one day will do.
    undated : Fraction
        Needed on days that nobody knows. [base unit]
    """

    days: int
    bought: date
    needed: date
    spans: tuple[Span, ...]
    undated: Fraction = ZERO

    @property
    def one_day_will_do(self) -> bool:
        """Whether one day serves everything."""
        return len(self.spans) == 1 and not self.undated

    def advice(self, purchase: Purchase) -> str:
        """When to buy it, in words; by the part where no one day serves everything."""
        if self.one_day_will_do:
            return _days(self.spans[0])
        parts = [f"{purchase.text(span.amount)} {_days(span)}" for span in self.spans]
        if self.undated:
            parts.append(f"{purchase.text(self.undated)} for a shoot without a date")
        return ", ".join(parts)


def _days(span: Span) -> str:
    if span.first == span.last:
        return f"on {span.first}"
    return f"on {span.first} or later, by {span.last}"


def too_soon(purchase: Purchase, shoot: Shoot) -> TooSoon | None:
    """Whether what is bought on the day of shopping is needed after its life has ended.

    Returns
    -------
    TooSoon or None
        ``None`` when it keeps, or when its life or a day is not known.
    """
    keeps = purchase.need.ingredient.keeps
    bought = shoot.shopping_date
    if keeps is None or bought is None or not purchase.lines:
        return None
    amounts: dict[date, Fraction] = {}
    undated = ZERO
    for episode in shoot.episodes:
        amount = purchase.by_episode.get(episode.name, ZERO)
        if not amount:
            continue
        if episode.shoot_date is None:
            undated += amount
        else:
            amounts[episode.shoot_date] = amounts.get(episode.shoot_date, ZERO) + amount
    life = floor(keeps)
    needed = max(amounts, default=bought)
    if (needed - bought).days <= life:
        return None
    return TooSoon(life, bought, needed, tuple(_spans(amounts, life, bought)), undated)


def _spans(amounts: dict[date, Fraction], life: int, bought: date) -> Iterator[Span]:
    """As few spans as serve every day; none begins before the day of shopping."""
    rest = sorted(amounts)
    while rest:
        served = [day for day in rest if (day - rest[0]).days <= life]
        first = max(bought, served[-1] - timedelta(days=life))
        yield Span(first, served[0], sum((amounts[day] for day in served), ZERO))
        rest = rest[len(served) :]


def buy_by(purchase: Purchase, shoot: Shoot) -> date | None:
    """The day by which all of it is bought.

    Returns
    -------
    date or None
        The day of shopping; where it does not keep from then, the last day on which it may be
        bought; ``None`` where no one day will do, or none is known.
    """
    soon = too_soon(purchase, shoot)
    if soon is None:
        return shoot.shopping_date
    return soon.spans[0].last if soon.one_day_will_do else None


def with_days(purchase: Purchase, shoot: Shoot) -> Purchase:
    """The same with the trip of each line, the days its packs are opened and whom they serve.

    Episodes are served by date, each of what is open first and of the lines in their order.
    """
    day, episodes = buy_by(purchase, shoot), by_date(shoot.episodes)
    rest = {one.name: untraced_choice(purchase.by_episode.get(one.name, ZERO)) for one in episodes}
    lines: list[tuple[Bought, Fraction]] = []
    for bought, amount in purchase.lines:
        count, each = bought.count, untraced_choice(amount) / bought.count
        openings: list[tuple[date | None, int]] = []
        serves: dict[str, Fraction] = {}
        used, opened = ZERO, 0
        for episode in episodes:
            part = min(rest[episode.name], each * count - used)
            if part <= 0:
                continue
            rest[episode.name] -= part
            serves[episode.name] = part
            used += part
            if (more := -(-used // each) - opened) > 0:
                openings.append((episode.shoot_date, more))
                opened += more
        whose = replace(bought, trip=day, buy_by=day, openings=tuple(openings), serves=serves)
        lines.append((whose, amount))
    return replace(purchase, lines=tuple(lines))


def check_dates(purchases: Sequence[Purchase], shoot: Shoot) -> Iterator[Finding]:
    """Findings for a day of shopping that is too late, or too soon for what does not keep."""
    late = shoot.shot_before_shopping
    bought = shoot.shopping_date
    if late is not None and bought is not None:
        yield messages.shopping_after_shoot(
            shoot.settings.at("Shopping date"),
            str(shoot.settings.shopping_date),
            late.name,
            str(late.shoot_date),
            str(bought),
        )
    for purchase in purchases:
        soon = too_soon(purchase, shoot)
        if soon is not None:
            yield messages.does_not_keep(
                purchase.need.ingredient.at("Keeps days"),
                purchase.need.ingredient.name,
                str(soon.bought),
                soon.days,
                str(soon.needed),
                soon.advice(purchase),
                one_day=soon.one_day_will_do,
            )
