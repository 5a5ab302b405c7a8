"""What a plan costs when something else is bought instead of an ingredient, by running it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from decimal import Decimal
from time import monotonic

from costing.buying.books import Books
from costing.buying.need import Needs
from costing.buying.published import with_published
from costing.buying.shopping import Shopping
from costing.buying.till import visit_costs
from costing.names import key
from costing.quantities import money_text
from costing.shoot import Shoot

MOST_RUN = 8
"""Plans that are run for one shot."""

SECONDS = 5.0
"""Time limit of each, and after which no other is begun. [s]"""

Paid = tuple[Decimal, frozenset[str]]
"""What tills and visits take, and the keys of ingredients of which that is not known. [money]"""


class Instead:
    """The plans of a shoot with other ingredients.

    Parameters
    ----------
    shoot : Shoot
        With its episodes and shots filled in, before blanks are filled from tables.
    books : Books
        Of the plan as it is.
    """

    def __init__(self, shoot: Shoot, books: Books) -> None:
        self._shoot, self._now = shoot, books.shopping
        self._until: float | None = None

    def cheapest(self, choices: Sequence[Mapping[str, str]]) -> tuple[int, str]:
        """Which of several choices costs least, and what is to be said of that.

        Parameters
        ----------
        choices : sequence of mapping of str to str
            What is bought instead of what; in the order of the workbook.

        Returns
        -------
        tuple of int and str
            Its place; the first where nothing is known, which is said.
        """
        now = None if self._now is None else paid_for(self._now)
        costs = {n: found for n, one in enumerate(choices) if now and (found := self._run(one, n))}
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
        if self._until is None:
            self._until = monotonic() + SECONDS
        large = self._now is None or self._now.market.is_large
        if large or number >= MOST_RUN or monotonic() > self._until:
            return None
        lines = [
            line.model_copy(update={"ingredient": choice[key(line.ingredient)]})
            if line.ingredient and key(line.ingredient) in choice
            else line
            for line in self._shoot.lines
        ]
        changed = with_published(self._shoot.changed(lines=tuple(lines))).shoot
        return paid_for(Shopping(Needs(changed), seconds=SECONDS))


def paid_for(shopping: Shopping) -> Paid | None:
    """What is paid as far as it is known; ``None`` where it is not proven to be the least."""
    if shopping.plan is not None and shopping.plan.gap != 0:
        return None
    out, costs = set(), []
    for one in shopping.purchases:
        known = [paid.cost for paid in one.till if paid.cost is not None]
        if one.short or one.need.unknown or len(known) < len(one.till):
            out.add(key(one.need.ingredient.name))
        costs += known
    lines = [line for one in shopping.purchases for line, _ in one.lines]
    visits = visit_costs(lines, shopping.shoot.shops, shopping.shoot.settings)
    return sum((*costs, *visits.values()), Decimal(0)), frozenset(out)
