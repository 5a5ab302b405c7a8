"""From needs to what is bought: net of stock, with spoilage, in the cheapest packs."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction

from costing.buying import messages
from costing.buying.activities import in_makes
from costing.buying.basket import Offer
from costing.buying.bought_units import pack_or_lot_unclear
from costing.buying.choosing import MakingChoice, choice_of
from costing.buying.making import Making
from costing.buying.market import Market, Provided, Shortage, plan_or_fallback
from costing.buying.need import Need, Needs
from costing.buying.on_hand import Stock, stock_for
from costing.buying.planning import TIME_LIMIT, Plan
from costing.buying.purchases import Demand, Purchase
from costing.buying.solver import Deadline
from costing.buying.storage import SoundParts, with_days
from costing.buying.till import exact_price, money_digits, paid_lines
from costing.findings import Finding, Place
from costing.kitchen import Lot, Pack
from costing.kitchen.conversion import Unconvertible, bought_as
from costing.names import by_name, key
from costing.quantities import ZERO, Rounding, money_text, round_money, total
from costing.shoot.times import percent_number, percent_text

__all__ = ["Purchase", "Shopping"]


class Shopping:
    """The purchases of a whole shoot, in the order of the recipes.

    Parameters
    ----------
    seconds : float
        Time limit of a search for the cheapest basket. [s]
    within : Deadline, optional
        Of all searches together, in place of the seconds of each.
    chosen : sequence of Purchase, optional
        What was bought of the same needs before: the same packs are taken again, and nothing is
        searched.
    made : MakingChoice, optional
        What was chosen then between making goods, buying them, and ways of cutting.
    """

    def __init__(
        self,
        needs: Needs,
        *,
        seconds: float = TIME_LIMIT,
        within: Deadline | None = None,
        chosen: Sequence[Purchase] | None = None,
        made: MakingChoice | None = None,
    ) -> None:
        self.needs = needs
        self.shoot = needs.shoot
        self.findings: list[Finding] = []
        self._seconds, self._within = seconds, within
        self._sound = SoundParts(self.shoot)
        self._packs = by_name((pack.ingredient, pack) for pack in self.shoot.packs)
        self._lots = by_name((lot.ingredient, lot) for lot in self.shoot.lots)
        self.choice = made or MakingChoice()
        self.making = self._making() if needs.goods.activities else None
        self.purchases = self._purchases()
        self.market = Market(self.purchases, self.shoot)
        if made is None and self.making is not None:
            self._choose(self.making)
        if made is None and chosen is None:
            self._save_lots()
        self.provided: Provided | None = None
        bought = self._chosen() if chosen is None else self._taken_again(chosen)
        self.purchases = self._paid(bought)

    @property
    def plan(self) -> Plan | None:
        """Caps and packs chosen together; ``None`` where each ingredient is separate."""
        return self.provided.plan if self.provided else None

    def _making(self) -> Making:
        """What is made and cut, with what is on hand of it."""
        making = Making(self.needs, {})
        settled, stocks = making.settled(), {}
        for activity in self.needs.goods.activities:
            for code in activity.gives:
                if code not in stocks and code in self._lots:
                    lots = [self._in_makes(lot) for lot in self._lots[code]]
                    stocks[code] = self._stock(settled[code], lots, making)
        return Making(self.needs, stocks).choosing(self.choice.chosen)

    def _in_makes(self, lot: Lot) -> Lot:
        """A lot of a dish that is given in batches, in what the dish makes."""
        if lot.amount is None or not self.shoot.is_dish(lot.ingredient):
            return lot
        made = in_makes(lot.amount, self.needs.leaves.makes(lot.ingredient))
        return lot if made is lot.amount else lot.model_copy(update={"amount": made})

    def _stock(self, need: Need, lots: Sequence[Lot], making: Making | None) -> Stock:
        """What is on hand of an ingredient and counts; why lots do not is said.

        What makings take may be wanted in more episodes at more times than the likeliest.
        """
        planned = set(need.as_bought if lots else ())
        if lots and making is not None:
            planned.update(making.linear(key(need.ingredient.name)))
        stock = stock_for(
            need,
            lots,
            [e for e in self.shoot.episodes if e.name in planned],
            dates_unread=self.shoot.left_out_on("Episodes"),
        )
        self.findings.extend(stock.findings)
        return stock

    def _purchases(self) -> list[Purchase]:
        """What could be bought for every need."""
        making = self.making
        settled = self.needs.by_ingredient if making is None else making.settled()
        bought = []
        for name in _in_recipe_order(self.needs):
            if making is not None and making.givers(name):
                bought.append(self._purchase_of_good(name, settled[name], making))
            else:
                bought.append(self._purchase(name, settled[name]))
        return bought

    def _choose(self, making: Making) -> None:
        """Choose what is made, bought ready and cut, and when, where there is a choice."""
        sold = [one.demand.code for one in self.purchases if one.offers]
        market = Market(self.purchases, self.shoot, everything=True)
        if not (making.choices(sold) or making.days_matter(market.terms.by_day)):
            return
        self.choice = choice_of(
            market.planner(self._seconds, self._within),
            making,
            chance=1 - self.shoot.settings.chance_of_running_out,
            lacking=self.not_to_be_had,
        )
        self.making = making.choosing(self.choice.chosen)
        self._buy_anew()

    def _save_lots(self) -> None:
        """Choose which lots are saved for a later day, where each ingredient is separate."""
        saved = self.market.lots_saved()
        if saved:
            chosen = replace(self.choice.chosen, saved={**self.choice.chosen.saved, **saved})
            self.choice = replace(self.choice, chosen=chosen)
            self._buy_anew()

    def _buy_anew(self) -> None:
        """What could be bought for the choice; what is to be said of it was said before."""
        said = list(self.findings)
        self.purchases = self._purchases()
        self.findings = said
        self.market = Market(self.purchases, self.shoot)

    @property
    def not_to_be_had(self) -> set[str]:
        """Keys of what nobody sells, that is not on hand and that cannot be made."""
        return {
            one.demand.code
            for one in self.purchases
            if not (one.offers or one.demand.stock.lots or one.demand.made)
        }

    @property
    def chooses(self) -> bool:
        """Whether there is a choice between making, buying ready, and ways of cutting."""
        return bool(self.choice.articles)

    def _purchase_of_good(self, name: str, need: Need, making: Making) -> Purchase:
        """What is bought ready of a good that may be made or cut too."""
        served = making.at({}).served[name]
        kept = self._sound.by_episode(need.ingredient.spoilage)
        stock = making.stocks.get(name, Stock())
        demand = Demand(need, stock, kept, self.needs.forest, making, name)
        net = sum(served.bought.values(), ZERO)
        by_episode = demand.by_episode(demand.as_bought({}, {}))
        return Purchase(
            demand,
            served.taken,
            net,
            sum(by_episode.values(), ZERO) - net,
            self._offers(name, need),
            by_episode=by_episode,
            made=served.made,
        )

    def _purchase(self, name: str, need: Need) -> Purchase:
        """What could be bought for a need, net of stock, and the offers for it."""
        making = self.making if self.making is not None and self.making.takers(name) else None
        stock = self._stock(need, self._lots.get(name, []), making)
        stock = replace(stock, saved=tuple(self.choice.chosen.saved.get(name, ())))
        kept = self._sound.by_episode(need.ingredient.spoilage)
        demand = Demand(need, stock, kept, self.needs.forest, making, name)
        taken = stock.serve(need.as_bought)
        net = allowance = ZERO
        for episode, wanted in need.as_bought.items():
            uncovered = wanted - taken.by_episode.get(episode, ZERO)
            net += uncovered
            allowance += uncovered / kept[episode] - uncovered
        by_episode = demand.by_episode(need.as_bought)
        offers = self._offers(name, need)
        return Purchase(demand, taken, net, allowance, offers, by_episode=by_episode)

    def _offers(self, name: str, need: Need) -> tuple[Offer, ...]:
        """The rows of Packs for a need that are in a unit it can be bought in."""
        offers = (self._offer(need, pack) for pack in self._packs.get(name, ()))
        return tuple(offer for offer in offers if offer is not None)

    def _offer(self, need: Need, pack: Pack) -> Offer | None:
        """A row of Packs for a need; ``None`` when it is in another kind of unit."""
        try:
            amount = bought_as(pack.unit_amount, need.unit.dimension, need.ingredient)
        except Unconvertible as fault:
            self.findings.append(pack_or_lot_unclear(pack, need.ingredient, need.unit, fault))
            return None
        price = exact_price(pack, self.shoot.settings)
        name = need.ingredient.name
        unread = self.shoot.left_out_on("Packs", name=name) or self.shoot.left_out_on("Settings")
        if price is None and not unread:
            self.findings.append(messages.price_missing(pack.at("Price"), need.ingredient.name))
        return Offer(
            amount,
            price,
            pack.at_most,
            key(pack.shop),
            sealed=pack.loose_step is None,
            supplied=pack.supplied,
            pack=pack,
        )

    def _chosen(self) -> list[Purchase]:
        """The cheapest packs, together from as few shops as may be."""
        if self.market.times or self.market.terms.coupled:
            bought = self._planned()
        else:
            mixing = self.market.planner().mixing
            needs = [purchase.by_episode for purchase in self.market.sold]
            for number, gap in enumerate(mixing.gaps(needs)):
                if gap:
                    one, dearer = self.market.sold[number], self._dearer(gap)
                    place = one.offers[0].row.at("Ingredient")
                    self.findings.append(messages.basket_not_proven(place, one.name, dearer))
            bought = self.market.bought(mixing.packs(needs))
            self._report_gap_of_choice(bought, self._gap_of_choice(bought))
        bought = [with_days(p, self.shoot) for p in bought]
        short = [p for p in bought if p.short]
        missing = [p.name for p in short if not p.offers]
        for name in missing:
            if not self.shoot.left_out_on("Packs", "Parts", name=name):
                self.findings.append(messages.pack_missing(self.shoot.pack_place(name), name))
        if not (self.provided and self.provided.shortages):
            for purchase in short:
                if purchase.offers:
                    self._report_short(purchase, purchase.short)
        return bought

    def _taken_again(self, chosen: Sequence[Purchase]) -> list[Purchase]:
        """The packs that were taken before, as many of each of the same rows."""
        again = []
        for purchase, before in zip(self.purchases, chosen, strict=True):
            rows = {id(offer.pack): number for number, offer in enumerate(before.offers)}
            taken = [(purchase.offers[rows[id(b.pack)]], b) for b in before.lines]
            lines = tuple(replace(b, pack=o.row, brings=o.amount * b.count) for o, b in taken)
            sound = purchase.sounder(before.demand.sounder_than(purchase.demand))
            again.append(sound.with_packs_of(before, lines))
        return again

    def _planned(self) -> list[Purchase]:
        """Caps and packs chosen together."""
        chance = 1 - self.shoot.settings.chance_of_running_out
        planner = self.market.planner(self._seconds, self._within)
        deadline = planner.deadline()
        self.provided = provided = plan_or_fallback(planner, chance, deadline)
        plan = provided.plan
        gap_found = self._with_gap_of_choice(plan)
        bought = self.market.bought(plan.basket.packs)
        if gap_found != 0 and plan.gap == 0:
            self._report_gap_of_choice(bought, gap_found)
        elif gap_found != 0:
            gap = None if gap_found is None else self._dearer(gap_found)
            seconds = f"{self._seconds:g}" if deadline.passed else None
            uncertain = bool(self.market.times)
            told = messages.plan_not_proven(Place("Shoot plan"), seconds, gap, uncertain=uncertain)
            self.findings.append(told)
        for shortage in provided.shortages:
            self._report_shortage(shortage, provided, chance)
        caps, planned = plan.basket.caps, self.market.planned
        return [
            replace(one, by_episode=one.demand.by_episode(one.demand.as_bought(caps, planned)))
            for one in bought
        ]

    def _paid(self, bought: Sequence[Purchase]) -> list[Purchase]:
        """The purchases with what the tills take for their lines."""
        lines = [line for purchase in bought for line in purchase.lines]
        paid = iter(paid_lines(lines, self.shoot.settings))
        return [replace(one, lines=tuple(next(paid) for _ in one.lines)) for one in bought]

    def _dearer(self, gap: Fraction) -> str:
        """So much the list may be dearer than the cheapest, up to a whole coin. [money]"""
        settings = self.shoot.settings
        return money_text(round_money(gap, money_digits(settings), Rounding.UP), settings.currency)

    def _gap_of_choice(self, bought: Sequence[Purchase]) -> Fraction:
        """How much cheaper other makings could be together with what they take. [money]"""
        made = (one for one in bought if one.name in self.choice.articles)
        return self.choice.gap(
            total(
                (exact_price(line.pack, self.shoot.settings) or ZERO) * line.count
                for one in made
                for line in one.lines
            )
        )

    def _report_gap_of_choice(self, bought: Sequence[Purchase], gap: Fraction | None) -> None:
        """Say when other makings could be cheaper: of what is made or cut and sold, if anything."""
        sold = [one for one in bought if one.name in self.choice.articles and one.offers]
        if gap != 0 and sold:
            first = next((one for one in sold if one.demand.made), sold[0])
            place = first.offers[0].row.at("Ingredient")
            dearer = None if gap is None else self._dearer(gap)
            self.findings.append(messages.making_not_proven(place, first.name, dearer))

    def _with_gap_of_choice(self, plan: Plan) -> Fraction | None:
        """How much cheaper the best plan could be, other makings among them."""
        if not self.choice.articles:
            return plan.gap
        if self.market.terms.counted and self.market.times:
            return None  # what keeps counts at the likeliest takes, which the bound does not know
        return self.choice.gap(self.market.terms.cost(plan.basket.packs))

    def _report_short(self, purchase: Purchase, missing: Fraction) -> None:
        limits = _limits_of(purchase)
        self.findings.append(
            messages.shops_have_too_little(
                limits[0].at("At most"),
                purchase.name,
                purchase.text(missing),
                [pack.where("At most") for pack in limits],
            )
        )

    def _report_shortage(self, shortage: Shortage, provided: Provided, chance: Fraction) -> None:
        """Say what stands in the way: a minimum spend, the chance or the packs there are."""
        purchase = self.market.sold[shortage.article]
        name, missing = purchase.name, purchase.text(shortage.missing)
        if shortage.by_minimum:
            shops = dict.fromkeys(offer.row.shop for offer in purchase.offers)
            place = purchase.offers[0].row.at("Shop")
            self.findings.append(messages.minimum_not_reached(place, name, missing, list(shops)))
        elif provided.covered and self.market.times:
            limits = _limits_of(purchase)
            self.findings.append(
                messages.chance_not_reached(
                    limits[0].at("At most"),
                    name,
                    missing,
                    percent_text(chance),
                    percent_text(provided.plan.chance),
                    percent_number(1 - provided.plan.chance, up=True),
                    [pack.where("At most") for pack in limits],
                )
            )
        else:
            self._report_short(purchase, shortage.missing)


def _limits_of(purchase: Purchase) -> list[Pack]:
    """The packs of which shops have only so many; all, where none says so."""
    packs = [offer.row for offer in purchase.offers]
    return [pack for pack in packs if pack.at_most is not None] or packs


def _in_recipe_order(needs: Needs) -> list[str]:
    """Keys of what is needed; an article that no line takes is behind its first part."""
    order: dict[str, int] = {}
    for line in needs.shoot.lines:
        order.setdefault(key(line.ingredient), len(order))
    for part in needs.shoot.parts:
        if key(part.name) in order:
            order.setdefault(key(part.ingredient), order[key(part.name)])
    return sorted(needs.by_ingredient, key=lambda name: order.get(name, len(order)))
