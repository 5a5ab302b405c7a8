"""The books of a shoot: what is needed, bought, used and left, and whose share it is."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property

from costing.buying import messages
from costing.buying.blanks import ready_as_cut
from costing.buying.caution import Caution
from costing.buying.need import Needs
from costing.buying.picking import Share
from costing.buying.planning import TIME_LIMIT
from costing.buying.sharing import NO_COST, CostShare, EpisodeCost, by_episode, cost_shares
from costing.buying.shopping import Purchase, Shopping
from costing.buying.solver import Deadline
from costing.buying.till import money_digits, visit_costs
from costing.buying.values import Totals, Values, shots_not_counted, told_of, totals_of, values_of
from costing.findings import Finding
from costing.names import Named, by_name, key
from costing.quantities import Dimension, money_text
from costing.reference import comes_trimmed
from costing.shoot import LeftOut, Shoot, Shot

ROW_WORK = 25
"""What a row of Recipes, Shoot plan or Packs counts for. [column times branch]"""


@dataclass(frozen=True)
class Books:
    """The books of a shoot, balanced to the smallest coin.

    Parameters
    ----------
    purchases : tuple of Purchase
        One for each ingredient, in the order of the recipes.
    shopping : Shopping, optional
        How the packs were chosen; ``None`` when they were not chosen here.
    every_take : bool
        Whether one more take of every shot is priced, however long it takes.
    """

    shoot: Shoot
    purchases: tuple[Purchase, ...]
    values: tuple[Values, ...]
    totals: Totals
    shares: tuple[CostShare, ...]
    findings: tuple[Finding, ...]
    shopping: Shopping | None = field(default=None, repr=False, compare=False)
    every_take: bool = False

    @property
    def caps(self) -> Mapping[int, int]:
        """For how many times each uncertain shot is provided, by its place in the plan. [time]"""
        plan = self.shopping.plan if self.shopping else None
        return plan.basket.caps if plan else {}

    @cached_property
    def caution(self) -> Caution | None:
        """How sure the basket is and what more or less caution would cost."""
        if self.shopping is None:
            return None
        return Caution(self.shopping, self.values, every_take=self.every_take)

    def left_out_of(self, episode: str, *, bought_only: bool = False) -> tuple[str, ...]:
        """What an episode's share of the money leaves out, in words; nothing when complete.

        With ``bought_only`` what its share of the bought value does.
        """
        own = self._shots_by_episode.get(episode, ())
        rows = [*self._rows_left_out, *shots_not_counted(self.shoot, own)]
        missing = [f"{row.what} ({row.place})" for row in rows]
        for why, episodes, is_bought in self._not_known:
            if episode in episodes and (is_bought or not bought_only):
                missing.append(why)
        return tuple(dict.fromkeys(missing))

    @cached_property
    def _shots_by_episode(self) -> Named[list[Shot]]:
        return by_name((shot.episode, shot) for shot in self.shoot.shots)

    @cached_property
    def _rows_left_out(self) -> list[LeftOut]:
        """Rows of any episode that are left out of the totals."""
        known = _named(self.purchases, self.values)
        return [row for row in self.shoot.left_out if row.in_totals and not told_of(row, known)]

    @cached_property
    def _not_known(self) -> list[tuple[str, set[str], bool]]:
        """What is missing of the purchases, in words, of which episodes, and whether in bought."""
        found = []
        for purchase, values in zip(self.purchases, self.values, strict=True):
            need, named = purchase.need, [*values.bought_missing, *values.used_missing]
            users = need.users if named else set()
            found += [
                (why, users & need.unknown.get(why, users), why in values.bought_missing)
                for why in named
            ]
        return found


def books_of(
    shoot: Shoot,
    *,
    every_take: bool = False,
    seconds: float = TIME_LIMIT,
    within: Deadline | None = None,
) -> Books:
    """Work out the books of a shoot whose episodes and shots are filled in.

    Parameters
    ----------
    every_take : bool
        Whether one more take of every shot is priced, however long it takes.
    seconds : float
        Time limit of the search for the cheapest basket. [s]
    within : Deadline, optional
        Of all searches together, in its place.

    Raises
    ------
    UnknownCurrency
        If the currency is no ISO 4217 code; a workbook's is checked when it is read.
    """
    needs = Needs(shoot)
    shopping = Shopping(needs, seconds=seconds, within=within)
    valued = [values_of(purchase, shoot.settings) for purchase in shopping.purchases]
    books = balanced(shoot, shopping.purchases, [value for value, _ in valued])
    return replace(
        books,
        findings=(
            *needs.findings,
            *shopping.findings,
            *(finding for _, findings in valued for finding in findings),
            *_yields_not_given(shopping.purchases, shoot),
            *_over_budget(shoot, books.totals, by_episode(books.shares, books.totals)),
        ),
        shopping=shopping,
        every_take=every_take,
    )


def work_besides(shoot: Shoot) -> int:
    """What working out a shoot counts for beside its searches. [column times branch]"""
    return ROW_WORK * (len(shoot.lines) + len(shoot.shots) + len(shoot.packs))


def balanced(shoot: Shoot, purchases: Sequence[Purchase], values: Sequence[Values]) -> Books:
    """The totals and shares of what is bought, as books without findings.

    ``purchases``, ``values``: one of each for each ingredient.
    """
    lines = [line for purchase in purchases for line in purchase.lines]
    visits = visit_costs(lines, shoot.shops, shoot.settings)
    totals = totals_of(values, shoot, visits=visits, named=_named(purchases, values))
    shares = cost_shares(
        purchases,
        values,
        totals,
        order=list(_shares_in_order(shoot)),
        digits=money_digits(shoot.settings),
        visits=visits,
    )
    return Books(shoot, tuple(purchases), tuple(values), totals, tuple(shares), ())


def _named(purchases: Sequence[Purchase], values: Sequence[Values]) -> set[str]:
    """Keys of the ingredients that the bought value names as left out."""
    pairs = zip(purchases, values, strict=True)
    return {key(purchase.name) for purchase, value in pairs if value.bought_missing}


def _shares_in_order(shoot: Shoot) -> Iterator[Share]:
    """Episode, dish and purpose of every shot, episodes in their own order."""
    seen: dict[str, dict[Share, None]] = {episode.name: {} for episode in shoot.episodes}
    for shot in shoot.shots:
        if shoot.is_dish(shot.dish):
            dish = shoot.recipes.spelling(shot.dish)
            seen[shot.episode].setdefault((shot.episode, dish, str(shot.purpose)))
    for shares in seen.values():
        yield from shares


def _over_budget(
    shoot: Shoot, totals: Totals, costs: Mapping[str, EpisodeCost]
) -> Iterator[Finding]:
    """The job and the episodes for which more is bought than their budget; a visit is no food."""
    budgets = [(shoot.settings.at("Budget"), "the whole job", shoot.settings.budget, totals.bought)]
    for episode in shoot.episodes:
        bought = costs.get(episode.name, NO_COST).bought
        budgets.append((episode.at("Budget"), f'"{episode.name}"', episode.budget, bought))
    for place, whose, budget, bought in budgets:
        if budget is not None and bought > budget:
            yield messages.over_budget(
                place,
                whose,
                money_text(budget, shoot.settings.currency),
                money_text(bought, shoot.settings.currency),
                money_text(bought - budget, shoot.settings.currency),
            )


def _yields_not_given(purchases: list[Purchase], shoot: Shoot) -> Iterator[Finding]:
    """What is bought by weight or volume untrimmed, since no trim yield is typed or published."""
    ready = ready_as_cut(shoot)
    for purchase in purchases:
        need = purchase.need
        name = need.ingredient.name
        if (
            shoot.is_dish(name)
            or purchase.demand.made
            or shoot.left_out_on("Ingredients", "Parts", name=name)
        ):
            continue
        if need.unit.dimension is Dimension.COUNT or need.ingredient.trim_yield is not None:
            continue
        if need.unknown and not need.total:  # whether it is counted is not known either
            continue
        if comes_trimmed(name) or key(name) in ready:
            continue
        place = need.ingredient.at("Trim yield %")
        yield messages.trim_yield_not_given(place, name)
