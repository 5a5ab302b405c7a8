"""What is there on the day, with the pieces to look at as supplies of their own."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import chain, combinations

from costing.buying.counted_goods import Drawn
from costing.buying.picking import Picking
from costing.buying.supply import Supplies, Supply
from costing.quantities import ZERO

MOST_EPISODES = 4
"""Episodes that pick of one ingredient, up to which every set of them is looked at."""


@dataclass(frozen=True, slots=True)
class KeptBack:
    """What is there, with what is kept back to pick from.

    Parameters
    ----------
    supplies : Supplies
        Those there are, and behind them those of the pieces to look at.
    left_out : frozenset of str
        Names of ingredients of which nothing is kept back but the pieces that are used.
    """

    supplies: Supplies
    left_out: frozenset[str]


def kept_back(supplies: Supplies) -> KeptBack:
    r"""What is there, with the pieces to look at as supplies of their own.

    Of an ingredient that is picked, :math:`\max(U_e, L_e)` is needed in episode :math:`e`, what is
    used and what is looked at. That fits where for every set :math:`S` of the episodes that pick

    .. math:: \sum_{e \in S} w_e L_e + \sum_{e \notin S} w_e U_e \le \text{what there is}

    and each of these is a supply of its own, linear in how often the shots are taken.

    A part that is good enough, and what is made or cut, is no such sum and is left out, by name.

    Parameters
    ----------
    supplies : Supplies
        What is there of everything.
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
    return KeptBack(replace(supplies, per_time=per_time, limited=limited), frozenset(left_out))


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
