"""Blanks filled from published tables: only where they are needed.

Where several published values fit, the one that buys most is taken until the user decides.
Which one that is depends on what is needed, on hand and sold, and in which units: the purchase is
computed with each.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from decimal import Decimal
from fractions import Fraction
from math import prod

from costing.buying import messages
from costing.buying.blanks import (
    Blank,
    Blanks,
    Trial,
    combinations,
    only,
    options_of,
    trial,
    with_values,
)
from costing.findings import Finding, Grade, Words, choice_words, message
from costing.kitchen import HoldingClass, Ingredient, Line
from costing.names import is_water, key
from costing.quantities import money_text
from costing.reference import (
    COOKED_DENSITY,
    Choices,
    Filled,
    fill,
    fill_of_several_foods,
    find_food,
)
from costing.shoot import Shoot

LIVES = {
    "Keeps days": "published_keeps",
    "Keeps days after opening": "published_keeps_opened",
}
"""Storage lives by their name in the tables, and the fields of an ingredient they fill."""

MOST_COMBINATIONS = 60
"""Up to so many combinations of values of one ingredient all are tried; above, one by one.

Three blanks of four values each are 64, more than any food of the tables has today.
"""

PRICE_RATIO = Fraction(5, 4)
"""Above this ratio of the dearest purchase to the cheapest the finding gives both prices."""

Chosen = dict[Blank, Filled]

Taking = Mapping[tuple[str, str, str], Fraction]
"""Values to take instead, by ingredient key, heading and cut, in the unit of the heading."""


@dataclass(frozen=True, slots=True)
class Fill:
    """A blank that was filled.

    Parameters
    ----------
    ingredient : Ingredient
        Whose blank, as it was given.
    cut : str
        Of the line it is for; ``""`` for the ingredient as a whole.
    """

    ingredient: Ingredient
    value: Filled
    cut: str = ""

    @property
    def place(self) -> tuple[str, str, str]:
        """Ingredient, heading and cut, as keys."""
        return key(self.ingredient.name), self.value.column, key(self.cut)


@dataclass(slots=True)
class FilledShoot:
    """A shoot with its blanks filled.

    ``findings``: where several published values fit, or none has the name.
    """

    shoot: Shoot
    fills: list[Fill] = field(default_factory=list)
    findings: list[Finding] = field(default_factory=list)


def with_published(shoot: Shoot, *, taking: Taking | None = None) -> FilledShoot:
    """Fill what is blank and needed.

    ``taking``: values to take instead of those published, to see what they would change; where a
    value is given for each of several that fit, nothing has to be tried.

    Returns
    -------
    FilledShoot
        Of several published values the one that buys most is taken until the user decides, so
        that no take is lost; a finding says so.
    """
    filling = _Filling(shoot, taking or {})
    filling.settle()
    return FilledShoot(filling.filled(), filling.fills, filling.findings)


class _Filling:
    """The work on one shoot.

    ``found`` is what may fill each blank, ``taken`` what was taken, ``kept`` the rows with the
    classes, allergens and lives that no purchase decides.
    """

    def __init__(self, shoot: Shoot, taking: Taking) -> None:
        self.shoot = shoot
        self.taking = taking
        self.blanks = Blanks(shoot)
        self.findings: list[Finding] = []
        self.unknown: set[str] = set()
        self.rows: dict[str, Ingredient] = {}
        self.kept: dict[str, Ingredient] = {}
        self.fills_of: dict[str, list[Fill]] = {}
        for name, lines in self.blanks.lines.items():
            row = self.rows[name] = shoot.ingredient(lines[0].ingredient)
            fills = self.fills_of[name] = []
            said = {} if is_water(name) else self._days(row, fills) | self._words(row, fills)
            self.kept[name] = row.model_copy(update=said)
        self.found: dict[str, dict[Blank, list[Filled]]] = {}
        self.first: dict[tuple[str, Blank], Line] = {}
        self.taken: dict[str, dict[Blank, Filled]] = {}

    def settle(self) -> None:
        """Look up every blank; where several values fit, try them and take what buys most."""
        undecided: list[tuple[str, dict[Blank, Choices]]] = []
        for name, row in self.rows.items():
            choices = self._look_up(name, row)
            self.taken[name] = {blank: fits[0] for blank, fits in self.found[name].items()}
            if choices:
                undecided.append((name, choices))
        for name, choices in undecided:
            self._choose(name, choices)

    @property
    def fills(self) -> list[Fill]:
        """What was filled, each cell once, what turns lines first."""
        fills: dict[tuple[str, str, str], Fill] = {}
        for name, row in self.rows.items():
            for blank, value in self.taken[name].items():
                if blank.of_lines:
                    fills.setdefault((name, blank.heading, blank.cut), Fill(row, value, blank.cut))
        for name, row in self.rows.items():
            for blank, value in self.taken[name].items():
                fills.setdefault((name, blank.heading, blank.cut), Fill(row, value, blank.cut))
            for one in self.fills_of[name]:
                fills[one.place] = one
        return list(fills.values())

    def filled(self) -> Shoot:
        """The shoot with what was taken; ingredients without a row of their own come behind."""
        known = {name: self._row(name) for name in self.rows}
        kept = [known.get(key(row.name), row) for row in self.shoot.ingredients]
        listed = {key(row.name) for row in self.shoot.ingredients}
        kept.extend(
            row for name, row in known.items() if name not in listed and row != self.rows[name]
        )
        return self.shoot.changed(
            ingredients=tuple(kept), lines=tuple(self._lines(self.shoot.lines))
        )

    def _look_up(self, name: str, row: Ingredient) -> dict[Blank, Choices]:
        """What may fill each blank of an ingredient; those that are not decided."""
        fits = self.found.setdefault(name, {})
        choices: dict[Blank, Choices] = {}

        def look(blank: Blank, cut: str) -> None:
            """Keep what may fill a blank; of several values purchases decide."""
            found = self._published(row, blank.heading, cut)
            if isinstance(found, Filled):
                values = [found]
            elif found is not None and (found.of_the_food or blank.heading != "Grams per piece"):
                values = list(found.candidates)
            else:  # a leaf is no head: then the weight of a piece is missing, which is said there
                if found is None:
                    self._unknown(row, blank.heading)
                return
            forced = self.taking.get((name, blank.heading, blank.cut))
            if forced is not None:
                values = [replace(values[0], value=forced)]
            elif isinstance(found, Choices):
                choices.setdefault(_of_cell(blank), found)
            elif blank.of_lines and values[0].borrowed:
                self._borrowed(row, blank.heading, values[0], cut)
            fits[blank] = values

        for blank, line in self.blanks.of_lines(row):
            self.first[name, _of_cell(blank)] = line
            look(blank, line.cut)
        turned = {blank: values[0].number for blank, values in fits.items()}
        for blank in dict.fromkeys(self.blanks.of_ingredient(row, turned)):
            look(blank, "")
        return choices

    def _published(self, row: Ingredient, heading: str, cut: str) -> Filled | Choices | None:
        each = self.blanks.sold_each(row)
        given = fill(row.name, heading, cut=cut, sold_each=each)
        return given or fill_of_several_foods(row.name, heading, cut=cut, sold_each=each)

    def _borrowed(self, row: Ingredient, heading: str, value: Filled, cut: str) -> None:
        about = (row.name, value.as_printed, value.borrowed, cut)
        finding = messages.measure_of_another_cut(row.at(heading), *about)
        if finding not in self.findings:
            self.findings.append(finding)

    def _unknown(self, row: Ingredient, heading: str) -> None:
        if heading == COOKED_DENSITY:  # no column: the line that asks for it says what to do
            return
        near = [one.food.name for one in find_food(row.name).suggestions]
        if near and key(row.name) not in self.unknown:  # one name is one cause, however many blanks
            self.unknown.add(key(row.name))
            self.findings.append(messages.no_published_name(row.at(heading), row.name, near))

    def _choose(self, name: str, choices: Mapping[Blank, Choices]) -> None:
        """Take the values with which most is bought, and say between which it was chosen."""
        found = {_of_cell(blank): values for blank, values in self.found[name].items()}
        options = options_of({blank: found[blank] for blank in choices}, choices)
        alone = self._alone(name)
        tried: dict[tuple[Filled, ...], Trial] = {}

        def bought(chosen: Chosen) -> Trial:
            known = tuple(chosen.values())
            if known not in tried:
                taken = self.taken[name] | self._in_cells(name, chosen)
                tried[known] = self._trial(alone, name, taken)
            return tried[known]

        def most(every: Iterable[Chosen]) -> Chosen:
            return max(every, key=lambda chosen: bought(chosen).rank)

        best = {blank: values[0] for blank, values in options.items()}
        every = [best]
        if prod(map(len, options.values())) <= MOST_COMBINATIONS:
            every = combinations(options, choices)
            best = most(every)
        else:
            for blank, values in options.items():
                best = most({**best, blank: value} for value in values)
        for blank, values in options.items():
            trials = [
                bought(most([x for x in every if x[blank] is value] or [{**best, blank: value}]))
                for value in values
            ]
            numbers = [value.number for value in values]
            # values alike differ only by what goes with them, which the other blank's finding says
            matters = len(set(numbers)) > 1 and any(x.rank != trials[0].rank for x in trials)
            if matters or len(choices[blank].candidates) == 1:
                costs = [one.cost for one in trials]
                self._tell(name, blank, choices[blank].why, values, costs, best[blank])
            taken = replace(best[blank], low=min(numbers), high=max(numbers))
            self.taken[name] |= self._in_cells(name, {blank: taken})

    def _in_cells(self, name: str, chosen: Chosen) -> Chosen:
        """The values for every blank that is filled from the same cell."""
        return {b: chosen[_of_cell(b)] for b in self.found[name] if _of_cell(b) in chosen}

    def _tell(
        self,
        name: str,
        blank: Blank,
        why: str,
        values: Sequence[Filled],
        costs: Sequence[Decimal | None],
        taken: Filled,
    ) -> None:
        """Say between which values was chosen, and what each would cost where that differs."""
        row, currency = self.rows[name], self.shoot.settings.currency
        known = [cost for cost in costs if cost is not None]
        differ = len(known) == len(costs) and min(known) != max(known)
        texts = [
            value.text
            + (" g/ml" if blank.heading == COOKED_DENSITY else "")
            + (f" ({value.state})" if value.state else "")
            + (f" for {money_text(cost, currency)}" if differ and cost is not None else "")
            for value, cost in zip(values, costs, strict=True)
        ]
        apart = ""
        if differ and Fraction(max(known)) > PRICE_RATIO * Fraction(min(known)):
            most, least = money_text(max(known), currency), money_text(min(known), currency)
            at_most = any(shot.uncertain for shot in self.shoot.shots)
            apart = f" With it {row.name} costs {most}, with another as little as {least}"
            apart += ", for every take of your own Most." if at_most else "."
        if blank.heading == COOKED_DENSITY:
            line = self.first[name, blank]
            finding = messages.several_cooked_measures(
                line.at("Amount"), row.name, str(line.amount), texts, taken.text, apart
            )
        else:
            about = (row.name, why, texts, taken.text, apart)
            finding = messages.several_published(row.at(blank.heading), *about)
        self.findings.append(finding)

    def _row(self, name: str) -> Ingredient:
        """The row of an ingredient with what was taken for it as a whole."""
        return with_values(self.kept[name], _numbers(self.taken[name]))

    def _lines(self, lines: Iterable[Line], *, but: str = "") -> Iterator[Line]:
        """Lines turned by what was taken; those of one ingredient may be left as written."""
        for line in lines:
            name = key(line.ingredient)
            if name in self.rows and name != but:
                yield self.blanks.turned(line, self.rows[name], _numbers(self.taken[name]))
            else:
                yield line

    def _alone(self, name: str) -> Shoot:
        """What decides how much is bought of an ingredient, all others with what was taken."""
        alone = only(self.shoot, name)
        used = {key(line.ingredient) for line in alone.lines}
        rows = (self.kept[x] if x == name else self._row(x) for x in self.rows if x in used)
        return alone.changed(
            ingredients=tuple(rows), lines=tuple(self._lines(alone.lines, but=name))
        )

    def _trial(self, alone: Shoot, name: str, taken: Mapping[Blank, Filled]) -> Trial:
        """What would be bought of an ingredient with these values."""
        numbers, row = _numbers(taken), self.rows[name]
        tried = with_values(self.kept[name], numbers)
        rows = (tried if key(other.name) == name else other for other in alone.ingredients)
        lines = (
            self.blanks.turned(line, row, numbers) if key(line.ingredient) == name else line
            for line in alone.lines
        )
        return trial(alone.changed(ingredients=tuple(rows), lines=tuple(lines)), name)

    def _days(self, row: Ingredient, fills: list[Fill]) -> dict[str, object]:
        """Storage lives, from purchase and after opening."""
        changes: dict[str, object] = {}
        if row.keeps_days is None:
            for heading, attribute in LIVES.items():
                keeps = fill(row.name, heading)
                if isinstance(keeps, Filled):
                    fills.append(Fill(row, keeps))
                    changes[attribute] = keeps.number
        return changes

    def _words(self, row: Ingredient, fills: list[Fill]) -> dict[str, object]:
        """Holding class and allergens, filled where blank; none of either against the tables."""
        changes: dict[str, object] = {}
        holding = fill(row.name, "Holding class")
        if isinstance(holding, Filled):
            published = HoldingClass(holding.text)
            if row.holding_class is None:
                fills.append(Fill(row, holding))
                changes["holding_class"] = published
            elif row.holding_class is HoldingClass.NONE is not published:
                self.findings.append(
                    messages.class_against_tables(
                        row.at("Holding class"), row.name, str(published), holding.source
                    )
                )
        allergens = fill(
            row.name, "Allergens", allergen_list=str(self.shoot.settings.allergen_list)
        )
        if not isinstance(allergens, Filled):
            return changes
        if row.allergens is None:
            fills.append(Fill(row, allergens))
            changes["allergens"] = allergens.value
        elif not row.allergens and isinstance(brings := allergens.value, tuple) and brings:
            place = row.at("Allergens")
            told = allergens_against_tables(place, row.name, brings, allergens.source)
            self.findings.append(told)
        return changes


@message("allergens against the tables", Grade.WARNING)
def allergens_against_tables(ingredient: str, published: Sequence[str], source: str) -> Words:
    """An ingredient said to bring no allergen, against what is published."""
    return Words(
        f"none for {ingredient}",
        f"{choice_words(published, last='and')} ({source}), or a pack that says otherwise",
        "Write what the pack says; as it is, nobody who avoids that is warned.",
    )


def _of_cell(blank: Blank) -> Blank:
    """The blank of an ingredient as a whole, or of a cut, that the same cell fills."""
    return replace(blank, of_lines=False)


def _numbers(values: Mapping[Blank, Filled]) -> dict[Blank, Fraction]:
    return {blank: value.number for blank, value in values.items()}
