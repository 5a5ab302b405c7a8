"""From needs to what is bought: net of stock, with spoilage, in the cheapest packs."""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Sequence
from fractions import Fraction
from typing import TypeVar

from costing.buying import messages
from costing.buying.chances import percent_number, percent_text
from costing.buying.demand import Demand
from costing.buying.market import Market
from costing.buying.nearest import Lack, Nearest, nearest_plan
from costing.buying.need import Need, Needs, pieces_instead
from costing.buying.on_hand import stock_for
from costing.buying.planning import TIME_LIMIT, Plan
from costing.buying.purchases import Purchase
from costing.buying.till import Bought, exact_price, till_lines
from costing.findings import Finding, Place
from costing.kitchen import Lot, Pack
from costing.kitchen.conversion import Unconvertible, bought_as
from costing.names import key
from costing.quantities import decimal_or_fraction, grouped_by
from costing.shoot import Shoot
from costing.shoot.defaults import days_since, shopping_date

__all__ = ["Purchase", "Shopping"]

T = TypeVar("T")
ZERO = Fraction(0)


class Shopping:
    """The purchases of a whole shoot, in the order of the recipes.

    Parameters
    ----------
    needs : Needs
        What the shots need.
    seconds : float
        Time limit of a search for the cheapest basket. [s]
    chosen : sequence of Purchase, optional
        What was bought of the same needs before: the same packs are taken again, and nothing is
        searched.
    """

    def __init__(
        self,
        needs: Needs,
        *,
        seconds: float = TIME_LIMIT,
        chosen: Sequence[Purchase] | None = None,
    ) -> None:
        self.needs = needs
        self.shoot = needs.shoot
        self.findings: list[Finding] = []
        self._seconds = seconds
        self._sound = _Sound(self.shoot)
        packs = _by_name((pack.ingredient, pack) for pack in self.shoot.packs)
        lots = _by_name((lot.ingredient, lot) for lot in self.shoot.lots)
        self.purchases = [
            self._purchase(need, packs.get(name, []), lots.get(name, []))
            for name, need in _in_recipe_order(needs)
        ]
        self.market = Market(self.purchases, self.shoot)
        self.nearest: Nearest | None = None
        if chosen is None:
            self._choose()
        else:
            self._take_again(chosen)
        self._pay()

    @property
    def plan(self) -> Plan | None:
        """Caps and packs chosen together; ``None`` where each ingredient stands by itself."""
        return self.nearest.plan if self.nearest else None

    def _purchase(self, need: Need, packs: Sequence[Pack], lots: Sequence[Lot]) -> Purchase:
        planned = need.as_bought if lots else ()
        stock = stock_for(need, lots, [e for e in self.shoot.episodes if e.name in planned])
        self.findings.extend(stock.findings)
        kept = self._sound.by_episode(need.ingredient.spoilage)
        demand = Demand(need, stock, kept, self.needs.forest)
        purchase = Purchase(demand, stock.serve(need.as_bought))
        for episode, wanted in need.as_bought.items():
            net = wanted - purchase.taken.by_episode.get(episode, ZERO)
            purchase.net += net
            purchase.allowance += net / kept[episode] - net
        purchase.by_episode = purchase.demand.by_episode(need.as_bought)
        for pack in packs:
            self._offer(purchase, pack)
        return purchase

    def _offer(self, purchase: Purchase, pack: Pack) -> None:
        need = purchase.need
        try:
            amount = bought_as(pack.unit_amount, need.unit.dimension, need.ingredient)
        except Unconvertible as fault:
            self.findings.append(
                messages.pack_unit_unclear(
                    pack.at("Unit"),
                    need.ingredient.name,
                    str(pack.amount),
                    need.unit.name,
                    fault.heading,
                    pieces_instead(fault),
                )
            )
            return
        price = exact_price(pack, self.shoot.settings)
        name = need.ingredient.name
        unread = self.shoot.left_out_on("Packs", name=name) or self.shoot.left_out_on("Settings")
        if price is None and not unread:
            self.findings.append(messages.price_missing(pack.at("Price"), need.ingredient.name))
        purchase.offers.append((pack, amount, price))

    def _choose(self) -> None:
        """Take the cheapest packs, together from as few shops as may be."""
        if self.market.times or self.market.terms.coupled:
            self._plan()
        else:
            mixing = self.market.mixing
            wanted = [purchase.wanted for purchase in self.market.sold]
            for number, gap in enumerate(mixing.gaps(wanted)):
                if gap:
                    self._tell_gap(self.market.sold[number], gap)
            self.market.take(mixing.packs(wanted))
        for purchase in self.purchases:
            purchase.short = max(ZERO, purchase.covered - purchase.bought)
            if purchase.short and not purchase.offers:
                name = purchase.need.ingredient.name
                if not self.shoot.left_out_on("Packs", name=name):
                    self.findings.append(messages.pack_missing(Place("Packs", name=name), name))
            elif purchase.short and not (self.nearest and self.nearest.lacks):
                self._tell_short(purchase, purchase.short)

    def _take_again(self, chosen: Sequence[Purchase]) -> None:
        """Take the packs that were taken before, as many of each of the same rows."""
        for purchase, before in zip(self.purchases, chosen, strict=True):
            rows = {id(pack): number for number, (pack, _, _) in enumerate(before.offers)}
            for bought, _ in before.lines:
                pack, amount, _ = purchase.offers[rows[id(bought.pack)]]
                purchase.lines.append((Bought(pack, bought.count), amount * bought.count))
            purchase.by_episode, purchase.short = dict(before.by_episode), before.short

    def _plan(self) -> None:
        """Choose caps and packs together."""
        chance = 1 - self.shoot.settings.chance_of_running_out
        self.nearest = nearest = nearest_plan(self.market.planner(self._seconds), chance)
        plan = nearest.plan
        for purchase in self.purchases:
            as_bought = purchase.demand.as_bought(plan.basket.caps, self.market.planned)
            purchase.by_episode = purchase.demand.by_episode(as_bought)
        self.market.take(plan.basket.packs)
        if plan.gap != 0:
            gap = None if plan.gap is None else decimal_or_fraction(plan.gap)
            self.findings.append(
                messages.plan_not_proven(Place("Shoot plan"), f"{self._seconds:g}", gap)
            )
        for lack in nearest.lacks:
            self._tell_lack(lack, nearest, chance)

    def _pay(self) -> None:
        lines = [line for purchase in self.purchases for line, _ in purchase.lines]
        paid = iter(till_lines(lines, self.shoot.settings))
        for purchase in self.purchases:
            purchase.till = [next(paid) for _ in purchase.lines]

    def _tell_gap(self, purchase: Purchase, gap: Fraction) -> None:
        self.findings.append(
            messages.basket_not_proven(
                purchase.offers[0][0].at("Ingredient"),
                purchase.need.ingredient.name,
                decimal_or_fraction(gap),
            )
        )

    def _tell_short(self, purchase: Purchase, missing: Fraction) -> None:
        limits = [pack.where("At most") for pack, _, _ in purchase.offers]
        self.findings.append(
            messages.shops_have_too_little(
                purchase.offers[0][0].at("At most"),
                purchase.need.ingredient.name,
                purchase.text(missing),
                limits,
            )
        )

    def _tell_lack(self, lack: Lack, nearest: Nearest, chance: Fraction) -> None:
        purchase = self.market.sold[lack.article]
        name, missing = purchase.need.ingredient.name, purchase.text(lack.missing)
        first = purchase.offers[0][0]
        if lack.by_minimum:
            shops = dict.fromkeys(pack.shop for pack, _, _ in purchase.offers)
            self.findings.append(
                messages.minimum_not_reached(first.at("Shop"), name, missing, list(shops))
            )
        elif nearest.covered and self.market.times:
            limits = [p.where("At most") for p, _, _ in purchase.offers if p.at_most is not None]
            self.findings.append(
                messages.chance_not_reached(
                    first.at("At most"),
                    name,
                    missing,
                    percent_text(chance),
                    percent_text(nearest.plan.chance),
                    percent_number(1 - nearest.plan.chance, up=True),
                    limits,
                )
            )
        else:
            self._tell_short(purchase, lack.missing)


class _Sound:
    """What is still sound on the day of each episode, worked out once for each rate."""

    def __init__(self, shoot: Shoot) -> None:
        bought = shopping_date(shoot)
        self._days = {e.name: days_since(bought, e) for e in shoot.episodes}
        self._known: dict[Hashable, dict[str, Fraction]] = {}

    def by_episode(self, spoilage: Fraction) -> dict[str, Fraction]:
        """Part that is left, by episode. [fraction]"""
        rate = grouped_by(spoilage)
        if rate not in self._known:
            self._known[rate] = {
                episode: (1 - spoilage) ** days for episode, days in self._days.items()
            }
        return self._known[rate]


def _by_name(pairs: Iterable[tuple[str, T]]) -> dict[str, list[T]]:
    by_name: dict[str, list[T]] = {}
    for name, row in pairs:
        by_name.setdefault(key(name), []).append(row)
    return by_name


def _in_recipe_order(needs: Needs) -> list[tuple[str, Need]]:
    order: dict[str, int] = {}
    for line in needs.shoot.lines:
        order.setdefault(key(line.ingredient), len(order))
    return sorted(needs.by_ingredient.items(), key=lambda pair: order[pair[0]])
