"""What was there of each ingredient at the end, by the sheet Counted or by the log of the day.

A count of the log may stand between takes: what is there at the end is what was counted less what
the takes after it used, and what was used beyond the takes until then is of the episodes before it.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from fractions import Fraction

from costing.buying.activities import in_makes
from costing.buying.books import Books
from costing.buying.bought_units import in_unit_bought
from costing.buying.shooting_day import Day
from costing.buying.supplies import Receipted, supplies_of
from costing.buying.supply import Supply, counted_draws
from costing.closing import messages
from costing.findings import Finding, Place
from costing.names import Named, key, nearest
from costing.quantities import ZERO, Amount
from costing.shoot.copies import Forest
from costing.shoot.leaves import Leaves
from costing.shoot.shots import EndedBy
from costing.shoot.taken import countable_in, so_far
from costing.shoot.weighings import trimmed_from

COUNTED_ALIKE = Fraction(5, 100)
"""Two counts so near are one: scales differ, and a tub is weighed with its lid. [of the larger]"""


@dataclass(frozen=True, slots=True)
class LastCount:
    """What was counted of one ingredient, in the base unit it is bought in.

    Parameters
    ----------
    there : Fraction
        At the end: what was counted, less what the takes after it used.
    before, after : mapping of str to Fraction
        What the takes of each episode used up to a count of the log, and after it; both are empty
        for a count at the end.
    """

    there: Fraction
    before: Mapping[str, Fraction] = field(default_factory=dict)
    after: Mapping[str, Fraction] = field(default_factory=dict)

    def shares(self, used: Fraction) -> dict[str, Fraction]:
        """The part of each episode in what was used; nothing where the count does not tell it.

        What was used up to the count is shared by what the takes until then used.

        Examples
        --------
        100 g by the takes of each of two days, counted between them: 300 g used in all are 200 g
        of the first day.

        >>> hundred = Fraction(100)
        >>> LastCount(Fraction(200), {"one": hundred}, {"two": hundred}).shares(Fraction(300))
        {'one': Fraction(2, 3), 'two': Fraction(1, 3)}
        """
        later, known = sum(self.after.values(), ZERO), sum(self.before.values(), ZERO)
        earlier = used - later
        if not later or not known or earlier < 0:
            return {}
        names = dict.fromkeys((*self.before, *self.after))
        return {
            name: (earlier * self.before.get(name, ZERO) / known + self.after.get(name, ZERO))
            / used
            for name in names
        }


def counts_of(
    books: Books,
    untold: Mapping[int, int],
    brought: Mapping[str, Receipted],
    findings: list[Finding],
) -> dict[str, LastCount]:
    """What was there at the end, by key: by the sheet Counted, or else by the day log.

    Parameters
    ----------
    untold : mapping of int to int
        Takes of the shots of which nothing is told, by their places in the plan. [time]
    brought : mapping of str to Receipted
        What receipts say was bought, by key: a count may be older than the shopping. [base unit]
    findings : list of Finding
        What cannot be used is added to it.
    """
    shoot = books.shoot
    known = Named((one.need.ingredient.name, one) for one in books.purchases)
    # the sheet is later than the log: here what the log says is to be known without it
    of_goods = [c for c in shoot.counted if (one := known.get(c.ingredient)) is None or one.made]
    by_the_log = replace(books, shoot=shoot.changed(counted=tuple(of_goods)))
    found = _logged_counts(by_the_log, untold, brought)
    sheet: dict[str, Fraction] = {}
    places: dict[str, Place] = {}
    for row in shoot.counted:
        if trimmed_from(row.note) is not None:
            continue  # a weighing of a yield, not of what is there
        purchase = known.get(row.ingredient)
        dish = shoot.is_dish(row.ingredient)
        made = dish if purchase is None else bool(purchase.made)
        if dish:
            acts = row.ingredient in countable_in(shoot)
            findings.append(
                messages.count_of_a_dish(row.at("Ingredient"), row.ingredient, made=made, acts=acts)
            )
        elif made:
            findings.append(messages.count_of_a_part(row.at("Ingredient"), row.ingredient))
        if purchase is None and dish:
            continue
        if purchase is None:
            near = nearest(row.ingredient, known)
            if near or not shoot.left_out_on("Recipes", "Shoot plan"):
                finding = messages.count_of_nothing(row.at("Ingredient"), row.ingredient, near)
                findings.append(finding)
            continue
        amount = in_makes(row.amount, Leaves(shoot).makes(row.ingredient)) if dish else row.amount
        place, unclear = row.at("Amount"), messages.closing_unit_unclear
        there = in_unit_bought(amount, purchase.need, place, findings, unclear)
        if there is not None:
            code = key(row.ingredient)
            sheet[code] = sheet.get(code, ZERO) + Fraction(there)
            places[code] = place
    for code, there in sheet.items():
        log = found.get(code)
        # takes between two counts may have used less or more than planned, which Differences tells
        if log is None or any(log.after.values()):
            continue
        if abs(there - log.there) > COUNTED_ALIKE * max(there, log.there):
            one, unit = known[code], known[code].need.unit
            said = (str(Amount(base / unit.size, unit)) for base in (there, log.there))
            name = one.need.ingredient.name
            findings.append(messages.counts_apart(places[code], name, *said))
    return found | {code: LastCount(there) for code, there in sheet.items()}


def _logged_counts(
    books: Books, untold: Mapping[int, int], brought: Mapping[str, Receipted]
) -> dict[str, LastCount]:
    """What is there by the last count of the log, less what was used after it."""
    if not so_far(books.shoot).counts:
        return {}
    day, forest, of_the_takes = _at_the_end(books, untold)
    supplies = supplies_of(day, of_the_takes, forest, brought)

    def used(one: Supply, then: Day) -> dict[str, Fraction]:
        draws = one.used(counted_draws(supplies, then, forest, one.codes))
        kept = one.purchase.demand.kept
        weights = {name: 1 / kept[name] for name in draws} if one.packs else one.weights
        return {name: Fraction(weights[name] * amount) for name, amount in draws.items()}

    found: dict[str, LastCount] = {}
    for one in supplies.limited:
        if one.counted_at is None:
            continue
        lacking = one.lacking(counted_draws(supplies, day, forest, one.codes))
        before, at_the_end = used(one, one.counted_at), used(one, day)
        after = {name: amount - before.get(name, ZERO) for name, amount in at_the_end.items()}
        found[one.code] = LastCount(max(ZERO, -Fraction(lacking)), before, after)
    return found


def dishes_logged(books: Books, untold: Mapping[int, int]) -> dict[str, Amount]:
    """What is left of dishes that were made, by their last count in the log, by key.

    ``untold``: takes of the shots of which nothing is told, by their places in the plan. [time]
    """
    if not so_far(books.shoot).counts:
        return {}
    day, forest, of_the_takes = _at_the_end(books, untold)
    supplies = supplies_of(day, of_the_takes, forest)
    return supplies.goods.left_after(counted_draws(supplies, day, forest))


def _at_the_end(books: Books, untold: Mapping[int, int]) -> tuple[Day, Forest, Books]:
    """The last day, its copies and its books: no shot is still to be taken as planned."""
    shots = tuple(
        shot.model_copy(
            update={
                "taken": untold.get(number, shot.taken),
                "ended_by": shot.ended_by or EndedBy.ENOUGH,
            }
        )
        for number, shot in enumerate(books.shoot.shots)
    )
    shoot = books.shoot.changed(shots=shots)
    return Day.of(shoot), Forest(shots), replace(books, shoot=shoot)
