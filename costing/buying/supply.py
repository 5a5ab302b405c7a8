"""One ingredient on the day: what is there of it, what its uses come to, and its books."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from fractions import Fraction
from itertools import chain, combinations

from costing.buying.counted_goods import CountedGoods, Drawn, Draws
from costing.buying.lives import Days, OpenedPacks, allotted
from costing.buying.picking import Picking
from costing.buying.purchases import Purchase
from costing.buying.shooting_day import Day
from costing.findings import Finding
from costing.quantities import ONE, ZERO, total
from costing.shoot.copies import Forest


@dataclass(frozen=True)
class Supply:
    """What is there of one ingredient.

    Parameters
    ----------
    purchase : Purchase
        Of the ingredient, made as if every number of times were uncertain.
    codes : tuple of str
        What shots draw that takes of it: itself, and dishes or parts that are made of it.
    bought : Fraction
        What was bought of it: by its receipts, or else as listed. [base unit]
    counted_at : Day, optional
        How far the day was when it was counted; ``None``: it is as bought and on hand.
    weights : mapping of str to Fraction
        By episode, what one unit used then takes of the supply, for what spoils until then; 0
        where there is plenty of it on hand.
    lots : tuple of OpenedPacks
        What is on hand, which is used first, where its dates decide whom it serves.
    level : Fraction
        What else there is for the whole shoot, the uses up to the count added. [base unit]
    packs : tuple of OpenedPacks
        The same, where the days decide which packs serve whom.
    went_in : mapping of str to Fraction
        By episode what went into dishes and parts that were counted. [base unit]
    is_good : bool
        Whether it is a dish or a part that was counted and of which no more can be made.
    """

    purchase: Purchase
    code: str
    codes: tuple[str, ...]
    bought: Fraction
    counted_at: Day | None = None
    weights: Mapping[str, Fraction] = field(default_factory=dict)
    lots: tuple[OpenedPacks, ...] = ()
    level: Fraction = ZERO
    packs: tuple[OpenedPacks, ...] = ()
    days: Days = field(default_factory=dict)
    went_in: Mapping[str, Fraction] = field(default_factory=dict)
    is_good: bool = False
    _known: dict[tuple[tuple[Drawn, Fraction], ...], dict[str, Fraction]] = field(
        default_factory=dict, repr=False, compare=False
    )

    @property
    def name(self) -> str:
        """Of the ingredient."""
        return self.purchase.name

    @property
    def counted(self) -> bool:
        """Whether it was counted."""
        return self.counted_at is not None

    @property
    def is_sum(self) -> bool:
        """Whether what is used adds up to one number, whatever is made and whenever it is used."""
        return not self.lots and not self.packs and self.purchase.demand.making is None

    def used(self, draws: Draws) -> dict[str, Fraction]:
        """What is used of it by episode, what making and cutting take included. [base unit]"""
        demand = self.purchase.demand
        if demand.making is None:  # of a season most episodes use nothing of it
            return {
                e: amount for (code, e), amount in draws.items() if amount and code == self.code
            }
        draws = _with_looked_at(draws)
        own, made = dict.fromkeys(demand.kept, ZERO), demand.made and not self.is_good
        if not made:
            own |= {
                episode: amount for (code, episode), amount in draws.items() if code == self.code
            }
        known = tuple(sorted(draws.items()))
        if known not in self._known:
            besides: dict[str, dict[str, Fraction]] = {}
            for (code, episode), amount in draws.items():
                if code != self.code or made:
                    besides.setdefault(code, {})[episode] = amount
            nothing = dict.fromkeys(range(len(demand.forest.shots)), 0)
            making = demand.making.only(besides)
            if self.is_good:
                taken = making.taken(self.code, nothing)
            else:
                taken = replace(demand, making=making).as_bought(nothing, {})
            gone = self.went_in
            self._known[known] = {e: own[e] + taken.get(e, ZERO) + gone.get(e, ZERO) for e in own}
        return self._known[known]

    def lacking(self, draws: Draws) -> Fraction:
        """What is used, less what there is: above 0 it does not fit. [base unit]"""
        wanted = self._wanted(draws)
        if self.packs:
            return self._lacking_together(wanted)
        return total(wanted.values()) - self.level

    def missing(self, draws: Draws) -> Fraction:
        """The same, and 0 where it fits, which takes less to say than by how much. [base unit]"""
        if self.packs:
            return allotted(self.packs, self._wanted(draws), self.days).missing
        return max(ZERO, self.lacking(draws))

    def _wanted(self, draws: Draws) -> dict[str, Fraction]:
        """What the days need of what there is besides the lots. [base unit]"""
        weights, used = self.weights, self.used(draws)
        wanted = {e: amount for e, amount in used.items() if amount and weights[e]}
        if self.lots:
            wanted = allotted(self.lots, wanted, self.days).lacking
        return {e: weights[e] * amount for e, amount in wanted.items()}

    def _lacking_together(self, needs: Mapping[str, Fraction]) -> Fraction:
        """By how much some days together need more than all that serves any of them.

        Below 0 it is what the day with the least to spare could use besides: one day is taken to
        need more than there is, and what then lacks says how much of that it would get.
        """
        if missing := allotted(self.packs, needs, self.days).missing:
            return missing
        much = sum((one.amount for one in self.packs), ONE)
        kept = self.purchase.demand.kept
        tried = ({**needs, name: needs.get(name, ZERO) + much} for name in kept)
        return max(allotted(self.packs, more, self.days).missing - much for more in tried)


def looked_at(code: str) -> str:
    """The key of the pieces of a dish that are looked at, used or not."""
    return f"{code}{_LOOKED_AT}"


_LOOKED_AT = " looked at "
"""No key ends in a blank, so that it is no ingredient's."""


def _with_looked_at(draws: Draws) -> Draws:
    """What is drawn, of a dish that is picked what is used or looked at, whichever is more."""
    drawn: dict[Drawn, Fraction] = {}
    for (code, episode), amount in draws.items():
        of = code.removesuffix(_LOOKED_AT), episode
        drawn[of] = max(amount, drawn.get(of, ZERO))
    return drawn


@dataclass(slots=True)
class Supplies:
    """What is there of everything that the shots take.

    Parameters
    ----------
    per_time : mapping of int to Draws
        What each time of a shot draws, by its place in the plan. [base unit]
    limited : tuple of Supply
        Of which it is known how much there is.
    unknown : dict of str to set of str
        Ingredients of which it is not, with the keys of what is drawn that takes of them.
    unmeasured : mapping of int to tuple of str
        Ingredients of which it is not known how much a shot takes, by its place in the plan.
    unread : dict of str to set of str
        Ingredients whose last count cannot be read, with the same keys.
    as_listed : list of str
        Names of those with receipts that are taken as listed: the days of their packs decide.
    """

    per_time: Mapping[int, Draws] = field(default_factory=dict)
    limited: tuple[Supply, ...] = ()
    unknown: dict[str, set[str]] = field(default_factory=dict)
    unmeasured: Mapping[int, tuple[str, ...]] = field(default_factory=dict)
    unread: dict[str, set[str]] = field(default_factory=dict)
    as_listed: list[str] = field(default_factory=list)
    findings: list[Finding] = field(default_factory=list)
    goods: CountedGoods = field(default_factory=CountedGoods)

    def draws(self, provided: Mapping[int, int]) -> dict[Drawn, Fraction]:
        """What is drawn when the steps of shots are used so often. [base unit]"""
        draws: dict[Drawn, Fraction] = {}
        for number, times in provided.items():
            for drawn, amount in self.per_time[number].items():
                part = times * amount
                draws[drawn] = draws[drawn] + part if drawn in draws else part
        return draws


def counted_draws(
    supplies: Supplies, day: Day, forest: Forest, codes: Iterable[str] | None = None
) -> dict[Drawn, Fraction]:
    """What was drawn by then of some ingredients and made dishes, or of all. [base unit]"""
    draws = supplies.draws(day.provided(forest, supplies.per_time, day.numbers))
    if codes is None:
        return draws
    wanted = set(codes)
    return {one: amount for one, amount in draws.items() if one[0] in wanted}


@dataclass(frozen=True, slots=True)
class Balance:
    """The books of one ingredient on the day: bought + on hand = used + there + not logged.

    Parameters
    ----------
    bought, on_hand : Fraction
        What the shops and the lots that count brought. [base unit it is bought in]
    used : Fraction
        By the takes so far, with what is expected to have spoiled of that. [base unit]
    there : Fraction
        As counted, less what was used since; or by the books. [base unit]
    not_logged : Fraction
        The rest: what a count found missing, or below 0 what it found besides. [base unit]
    after_count : Fraction
        What of ``there`` was not counted, as it is fetched on a later day. [base unit]
    """

    supply: Supply
    bought: Fraction
    on_hand: Fraction
    used: Fraction
    there: Fraction
    not_logged: Fraction
    after_count: Fraction = ZERO


def balances(day: Day, supplies: Supplies, forest: Forest) -> Iterator[Balance]:
    """The books of every ingredient of which it is known how much there is.

    Of dishes and parts that were counted there are none: what went into them is in those of that.
    """
    by_code: dict[str, dict[Drawn, Fraction]] = {}
    for one, amount in counted_draws(supplies, day, forest).items():
        by_code.setdefault(one[0], {})[one] = amount
    for supply in supplies.limited:
        if supply.code in supplies.goods.counts:
            continue
        demand, bought = supply.purchase.demand, supply.bought
        on_hand = ZERO if demand.made else sum((o.amount for o in demand.stock.lots), ZERO)
        draws = dict(chain.from_iterable(by_code.get(c, {}).items() for c in supply.codes))
        by_episode = supply.used(draws)
        served = demand.stock.serve(by_episode).total if on_hand else ZERO
        used, later = served + demand.wanted(by_episode), ZERO
        if not supply.counted:
            there = bought + on_hand - used
        elif supply.packs:
            # what was counted, and what was fetched since
            at_hand, *fetched = supply.packs
            later = sum((one.amount for one in fetched), ZERO)
            there = at_hand.amount + later - sum(by_episode.values(), ZERO)
        else:
            there = -supply.lacking(draws)
        rest = bought + on_hand - used - there
        yield Balance(supply, bought, on_hand, used, there, rest, later)


MOST_EPISODES = 4
"""Episodes that pick of one ingredient, up to which every set of them is looked at."""


def kept_back(supplies: Supplies) -> tuple[Supplies, frozenset[str]]:
    r"""What is there, with the pieces to look at as supplies of their own.

    Of an ingredient that is picked, :math:`\max(U_e, L_e)` is needed in episode :math:`e`, what is
    used and what is looked at. That fits where for every set :math:`S` of the episodes that pick

    .. math:: \sum_{e \in S} w_e L_e + \sum_{e \notin S} w_e U_e \le \text{what there is}

    and each of these is a supply of its own, linear in how often the shots are taken.

    A part that is good enough, and what is made or cut, is no such sum and is left out, by name.

    Returns
    -------
    Supplies
        Those there are, and behind them those of the pieces to look at.
    frozenset of str
        Names of ingredients of which nothing is kept back but the pieces that are used.
    """
    per_time = {number: dict(draws) for number, draws in supplies.per_time.items()}
    looked_at: list[Supply] = []
    left_out: set[str] = set()
    for supply in supplies.limited:
        making, picking = supply.purchase.demand.making, supply.purchase.need.picking
        made = {} if making is None else making.needs.goods.made
        of_dishes = [made[code].picking for code in supply.codes if code in made]
        if any(map(_by_part, of_dishes)):
            left_out.add(supply.name)
        if picking is None:
            continue
        episodes = picking.episodes
        if _by_part(picking) or not supply.is_sum or len(episodes) > MOST_EPISODES:
            left_out.add(supply.name)
            continue
        sizes = range(1, len(episodes) + 1)
        sets = chain.from_iterable(combinations(episodes, size) for size in sizes)
        looked_at += [_looked_at(supply, picking, some, per_time) for some in sets]
    limited = (*supplies.limited, *looked_at)
    return replace(supplies, per_time=per_time, limited=limited), frozenset(left_out)


def _by_part(picking: Picking | None) -> bool:
    """Whether a part of some pieces is good enough: how many are looked at is no sum."""
    return any(pick.leaf.good_enough is not None for pick in picking.picks) if picking else False


def _looked_at(
    supply: Supply,
    picking: Picking,
    episodes: Sequence[str],
    per_time: dict[int, dict[Drawn, Fraction]],
) -> Supply:
    """A supply of what is looked at in some episodes and used in the others."""
    code = f"{supply.code} to pick from: {'; '.join(episodes)}"
    for draws in per_time.values():
        used = {e: amount for (of, e), amount in draws.items() if of == supply.code}
        draws.update({(code, e): amount for e, amount in used.items() if e not in episodes})
    for pick in picking.picks:
        place = code, pick.share[0]
        if place[1] in episodes:
            draws = per_time[pick.shot]
            draws[place] = draws.get(place, ZERO) + pick.leaf.candidates * pick.amount
    return replace(supply, code=code, codes=(code,))
