"""What a plan would cost with other published values, measures or ingredients, by running it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from costing.buying.blanks import FIELDS
from costing.buying.books import Books, books_of, work_besides
from costing.buying.need import Needs
from costing.buying.published import Fill, FilledShoot, with_published
from costing.buying.shopping import Shopping
from costing.buying.solver import Deadline
from costing.buying.till import visit_costs
from costing.findings import Finding, Grade, Words, choice_words, message
from costing.names import key
from costing.quantities import Measures, money_text
from costing.quantities.fields import FromRow
from costing.reference import COOKED_DENSITY
from costing.shoot import Shoot
from costing.shoot.shoot import MEASURED

NUMBERS = (*FIELDS, COOKED_DENSITY)
"""Filled values that change what is bought."""

LARGEST_PLAN = 20_000
"""Lines times shots up to which every range is tried; beyond it the effects stay unknown."""


@dataclass(frozen=True, slots=True)
class Effect:
    """The bought value at both ends of a range.

    ``low``, ``high``: with the value at the low and at the high end of its range. [money]
    """

    low: Decimal
    high: Decimal

    @property
    def width(self) -> Decimal:
        """How far the two are apart. [money]"""
        return abs(self.high - self.low)


def effects_of(shoot: Shoot, fills: Sequence[Fill], books: Books) -> dict[Fill, Effect]:
    """For each filled value with a range the bought value at its ends.

    Returns
    -------
    dict of Fill to Effect
        Nothing for values without a range, and nothing at all for a plan too large to try, or
        with numbers of times, shops or leftovers that make each trial a search of its own.
    """
    if not cheap_to_try(shoot):
        return {}
    taken = {fill.place: fill.value.number for fill in fills if fill.value.column in NUMBERS}
    effects, deadline = dict[Fill, Effect](), Deadline(work=WORK)
    for fill in (one for one in fills if _ends(one) and books.purchases):
        ends = (taken | {fill.place: end} for end in _ends(fill))
        effect = Effect(*(_bought(with_published(shoot, taking=one), deadline) for one in ends))
        if deadline.passed:  # where something is made or cut, each trial may be a search of its own
            break
        effects[fill] = effect
    return effects


def cheap_to_try(shoot: Shoot) -> bool:
    """Whether another run takes little: the plan is small and nothing makes it a search."""
    searching = (
        any(shot.uncertain for shot in shoot.shots)
        or any(shop.visit_cost or shop.minimum_spend for shop in shoot.shops)
        or shoot.settings.leftovers_counted
    )
    return not searching and len(shoot.lines) * len(shoot.shots) <= LARGEST_PLAN


def _ends(fill: Fill) -> list[Fraction]:
    """The ends of the range of a value; none when it has no range."""
    low, high = fill.value.low, fill.value.high
    if low is None or high is None or low == high or fill.value.column not in NUMBERS:
        return []
    return [low, high]


def _bought(filled: FilledShoot, deadline: Deadline) -> Decimal:
    """What a changed plan buys for; not the least where that takes too long. [money]"""
    return books_of(filled.shoot, within=deadline).totals.bought


def unchosen_words(shoot: Shoot) -> tuple[str, ...]:
    """Words such as cup that were read by the measures of a blank setting, each once.

    ``shoot``: with its lines as they were written.
    """
    settings = shoot.settings
    # chosen in a cell, or by whoever built the shoot in code
    if "Measures" in settings.places or "measures" in settings.model_fields_set:
        return ()
    words = (amount.unit.bare for amount in shoot.amounts)
    return tuple(dict.fromkeys(word for word in words if word))


@message("measures not chosen", Grade.NOTE)
def measures_not_chosen(
    words: Sequence[str], taken: str, bought: str, others: Mapping[str, str] | None
) -> Words:
    """Cups or spoons, and nobody said whose.

    ``others`` is what would be bought by the measures that change it; ``None``: not worked out.
    """
    change = ""
    if others:
        named = [f"{money} by {measures}" for measures, money in others.items()]
        change = f", which buys for {bought}; it would be {choice_words(named, last='and')}"
    elif others is not None:
        change = f", and all others buy for {bought} too"
    return Words(
        f"a blank cell, while amounts are in {choice_words(words, last='and')}",
        "the measures of the recipes, as they differ by country",
        f"Choose Measures on the sheet Settings; until then they are {taken}{change}.",
    )


def about_measures(shoot: Shoot, books: Books) -> list[Finding]:
    """What is to be said where cups or spoons occur and no measures are chosen."""
    words = unchosen_words(shoot)
    if not words or shoot.left_out_on("Settings"):
        return []
    settings, others = shoot.settings, None
    if cheap_to_try(shoot) and not books.totals.bought_missing:
        deadline = Deadline(work=WORK)
        others = {
            str(measures): money_text(bought, settings.currency)
            for measures, bought in _bought_under_others(shoot, deadline)
            if bought != books.totals.bought
        }
        others = None if deadline.passed else others
    bought = money_text(books.totals.bought, settings.currency)
    place = settings.at("Measures")
    return [measures_not_chosen(place, words, str(settings.measures), bought, others)]


def _bought_under_others(shoot: Shoot, deadline: Deadline) -> Iterator[tuple[Measures, Decimal]]:
    """What would be bought under each of the other measures that have all the words. [money]"""
    for measures in Measures:
        changed = None if measures is shoot.settings.measures else _under(shoot, measures)
        if changed is not None:
            yield measures, _bought(with_published(changed), deadline)


def _under(shoot: Shoot, measures: Measures) -> Shoot | None:
    """The same words under other measures; ``None`` where one of them means nothing there."""
    changes: dict[str, tuple[FromRow, ...]] = {}
    for rows, fields in MEASURED.items():
        changed: list[FromRow] = []
        for row in getattr(shoot, rows):
            given = {field: getattr(row, field) for field in fields}
            under = {field: amount.under(measures) for field, amount in given.items() if amount}
            if None in under.values():
                return None
            changed.append(row.model_copy(update=under) if under != given else row)
        changes[rows] = tuple(changed)
    return shoot.changed(**changes)


PLANS_RUN = 8
"""Plans that are run for one shot."""

WORK = 2_000_000
"""Of the searches of all, about ten seconds; then no other is begun. [column times branch]"""

Paid = tuple[Decimal, frozenset[str]]
"""What tills and visits take, and the keys of ingredients of which that is not known. [money]"""


class Instead:
    """The plans of a shoot with other ingredients.

    ``shoot``: with its episodes and shots filled in, before blanks are filled from tables.
    """

    def __init__(self, shoot: Shoot, books: Books) -> None:
        self._shoot, self._now = shoot, books.shopping
        self._deadline = Deadline(work=WORK)

    def cheapest(self, choices: Sequence[Mapping[str, str]]) -> tuple[int, str]:
        """Which of several choices costs least, and what is to be said of that.

        ``choices``: what is bought instead of what; in the order of the workbook.

        Returns
        -------
        tuple of int and str
            Its place; the first where nothing is known, which is said.
        """
        now = None if self._now is None else paid_for(self._now)
        costs = {n: found for n, one in enumerate(choices) if now and (found := self._run(one, n))}
        # a sum that leaves out more than today's list does is no price to compare with it
        known = {n: paid for n, (paid, out) in costs.items() if now and out <= now[1]}
        others = len(choices) - len(known)
        if not now or not known:
            nor = f", nor which of {len(choices)} choices is cheapest" if others > 1 else ""
            return 0, f"what that costs is not worked out{nor}"
        best = min(known, key=lambda n: (known[n], n))
        currency = self._shoot.settings.currency
        more = known[best] - now[0]
        if costs[best][1] != now[1]:  # what is taken out had no price
            text = f"the list then costs {money_text(known[best], currency)}"
        elif more:
            words = "more" if more > 0 else "less"
            text = f"the list then costs {money_text(abs(more), currency)} {words}"
        else:
            text = "the list then costs as much as now"
        if len(known) > 1:
            text += f", the least of {len(known)} choices"
        if others:
            text += f" ({others} besides not worked out)"
        return best, text

    def _run(self, choice: Mapping[str, str], number: int) -> Paid | None:
        """What the changed plan costs; ``None`` where it is not run to its end."""
        large = self._now is None or self._now.market.is_large
        if large or number >= PLANS_RUN or self._deadline.passed:
            return None
        lines = [
            line.model_copy(update={"ingredient": choice[key(line.ingredient)]})
            if line.ingredient and key(line.ingredient) in choice
            else line
            for line in self._shoot.lines
        ]
        changed = with_published(self._shoot.changed(lines=tuple(lines))).shoot
        self._deadline.spend(work_besides(changed))
        found = paid_for(Shopping(Needs(changed), within=self._deadline))
        return None if self._deadline.passed else found


def paid_for(shopping: Shopping) -> Paid | None:
    """What is paid as far as it is known; ``None`` where it is not proven to be the least."""
    if shopping.plan is not None and shopping.plan.gap != 0:
        return None
    out, costs = set(), []
    for one in shopping.purchases:
        known = [line.paid.cost for line in one.lines if line.paid.cost is not None]
        if one.short or one.need.unknown or len(known) < len(one.lines):
            out.add(one.demand.code)
        costs += known
    lines = [line for one in shopping.purchases for line in one.lines]
    visits = visit_costs(lines, shopping.shoot.shops, shopping.shoot.settings)
    return sum((*costs, *visits.values()), Decimal(0)), frozenset(out)
