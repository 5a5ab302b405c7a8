"""Blanks filled from published tables: only where they are needed, and only by one clear value.

A trim yield fills a blank when something is bought by weight or volume, density and piece weight
when an amount must be turned into another kind of unit, and so on. A density belongs to a cut, so
the amount of a line is turned at once by the density of its own cut.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from fractions import Fraction

from costing.buying import messages
from costing.buying.need import first_units
from costing.findings import Finding
from costing.kitchen import HoldingClass, Ingredient, Line, Measured
from costing.names import is_water, key
from costing.quantities import GRAM, MILLILITRE, Amount, Dimension
from costing.reference import Choices, Filled, fill, find_food
from costing.shoot import Shoot

FIELDS: Mapping[str, tuple[str, Fraction]] = {
    "Trim yield %": ("trim_yield", Fraction(1, 100)),
    "Cooked weight %": ("cooked_weight", Fraction(1, 100)),
    "Grams per ml": ("density", Fraction(1)),
    "Grams per piece": ("piece_weight", Fraction(1)),
}
"""For each heading the field of an ingredient, and what one of the heading's units is in it."""

LIVES = {
    "Keeps days": "published_keeps",
    "Keeps days after opening": "published_keeps_opened",
}
"""Storage lives by their name in the tables, and the fields of an ingredient they fill."""

Taking = Mapping[tuple[str, str, str], Fraction]
"""Values to take instead, by ingredient key, heading and cut, in the unit of the heading."""


@dataclass(frozen=True, slots=True)
class Fill:
    """A blank that was filled.

    Parameters
    ----------
    ingredient : Ingredient
        Whose blank, as it was given.
    value : Filled
        The published value.
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
class Published:
    """A shoot with its blanks filled.

    Parameters
    ----------
    shoot : Shoot
        With the published values in its ingredients and lines.
    fills : list of Fill
        What was filled.
    findings : list of Finding
        Where several published values fit, or none has the name.
    """

    shoot: Shoot
    fills: list[Fill] = field(default_factory=list)
    findings: list[Finding] = field(default_factory=list)


def with_published(shoot: Shoot, *, taking: Taking | None = None) -> Published:
    """Fill what is blank and needed.

    Parameters
    ----------
    shoot : Shoot
        As given.
    taking : mapping, optional
        Values to take instead of those published, to see what they would change.

    Returns
    -------
    Published
        Of several published values the one that buys most is taken until the person decides, so
        that no take is lost; that is told.
    """
    filling = _Filling(shoot, taking or {})
    lines = tuple(filling.line(line) for line in shoot.lines)
    for name in filling.used:
        filling.ingredient(name)
    kept = [filling.known.get(key(row.name), row) for row in shoot.ingredients]
    listed = {key(row.name) for row in shoot.ingredients}
    kept.extend(row for name, row in filling.known.items() if name not in listed)
    filled = shoot.changed(ingredients=tuple(kept), lines=lines)
    return Published(filled, filling.fills, filling.findings)


def _of_several_foods(name: str, heading: str, cut: str) -> Choices | None:
    """The values of all foods that go by one plain name, such as rice."""
    match = find_food(name)
    if match.how != "several":
        return None
    values = [(one.food.name, fill(one.food.name, heading, cut=cut)) for one in match.suggestions]
    candidates = tuple(
        replace(value, state=", ".join(part for part in (food, value.state) if part))
        for food, value in values
        if isinstance(value, Filled)
    )
    why = "several foods go by this name"
    return (
        Choices(column=heading, food_id="", candidates=candidates, why=why) if candidates else None
    )


class _Filling:
    """The work on one shoot."""

    def __init__(self, shoot: Shoot, taking: Taking) -> None:
        self.shoot = shoot
        self.taking = taking
        self.fills: list[Fill] = []
        self.findings: list[Finding] = []
        self.known: dict[str, Ingredient] = {}
        self.units = first_units(shoot)
        self.used = {
            key(line.ingredient): line.ingredient
            for line in shoot.lines
            if line.ingredient and not shoot.is_dish(line.ingredient)
            if not is_water(line.ingredient)
        }.values()
        self._amounts: dict[str, list[Amount]] = {}
        self._packed: dict[str, set[Dimension]] = {}
        self._cooked: set[str] = set()
        self._index()

    def _index(self) -> None:
        """Note once in which units each ingredient is measured and sold."""
        for line in self.shoot.lines:
            if line.amount is not None:
                self._amounts.setdefault(key(line.ingredient), []).append(line.amount)
            if line.measured is Measured.COOKED:
                self._cooked.add(key(line.ingredient))
        sold = [(pack.ingredient, pack.unit_amount) for pack in self.shoot.packs]
        sold += [(lot.ingredient, lot.amount) for lot in self.shoot.lots if lot.amount]
        for name, amount in sold:
            self._amounts.setdefault(key(name), []).append(amount)
            self._packed.setdefault(key(name), set()).add(amount.unit.dimension)

    def line(self, line: Line) -> Line:
        """The line, its amount turned by the density of its cut where the shop sells otherwise."""
        amount = line.amount
        if amount is None or key(line.ingredient) not in self.units or line.to_taste:
            return line
        if self.shoot.is_dish(line.ingredient) or is_water(line.ingredient):
            return line
        ingredient = self.shoot.ingredient(line.ingredient)
        bought = self.units[key(line.ingredient)][1].dimension
        dimension = amount.unit.dimension
        turned = {
            (Dimension.VOLUME, Dimension.MASS): GRAM,
            (Dimension.VOLUME, Dimension.COUNT): GRAM,
            (Dimension.MASS, Dimension.VOLUME): MILLILITRE,
        }.get((dimension, bought))
        if turned is None or ingredient.density is not None:
            return line
        most = max if dimension is Dimension.VOLUME else min
        density = self._number(ingredient, "Grams per ml", cut=line.cut, buys_most=most)
        if density is None:
            return line
        factor = density if dimension is Dimension.VOLUME else 1 / density

        def turn(given: Amount | None) -> Amount | None:
            return None if given is None else Amount(given.base * factor, turned)

        return line.model_copy(update={"amount": turn(amount), "amount_low": turn(line.amount_low)})

    def ingredient(self, name: str) -> None:
        """Fill what the ingredient as a whole needs."""
        row = self.shoot.ingredient(name)
        changes: dict[str, object] = {}
        for heading in self._needed(row):
            attribute, scale = FIELDS[heading]
            bought = self.units[key(name)][1].dimension
            larger_buys_more = heading == "Grams per piece" and bought is not Dimension.COUNT
            number = self._number(row, heading, buys_most=max if larger_buys_more else min)
            if number is not None:
                changes[attribute] = number * scale
        changes.update(self._days(row))
        changes.update(self._words(row))
        if changes:
            self.known[key(name)] = row.model_copy(update=changes)

    def _needed(self, row: Ingredient) -> Iterator[str]:
        """Headings that are blank and without which something cannot be computed."""
        name = key(row.name)
        bought = self.units[name][1].dimension
        kinds = {amount.unit.dimension for amount in self._amounts.get(name, ())} - {bought}
        sold = self._packed.get(name, set()) | {bought}
        if row.trim_yield is None and (bought is not Dimension.COUNT or len(sold) > 1):
            yield "Trim yield %"
        if row.cooked_weight is None and name in self._cooked:
            yield "Cooked weight %"
        if row.density is None and Dimension.VOLUME in sold and len(sold) > 1:
            yield "Grams per ml"
        if row.piece_weight is None and kinds and Dimension.COUNT in kinds | {bought}:
            yield "Grams per piece"

    def _number(
        self, row: Ingredient, heading: str, *, buys_most: Callable[..., Filled], cut: str = ""
    ) -> Fraction | None:
        """The published number for a blank, in the unit of the heading."""
        found = fill(row.name, heading, cut=cut) or _of_several_foods(row.name, heading, cut)
        if found is None:
            self._unknown(row, heading)
            return None
        if isinstance(found, Choices):
            found = self._of_several(row, found, buys_most)
        self._taken(row, found, cut)
        return self.taking.get((key(row.name), heading, key(cut)), found.number)

    def _of_several(
        self, row: Ingredient, found: Choices, buys_most: Callable[..., Filled]
    ) -> Filled:
        """The value that buys most, told with the others and their range."""
        candidates = sorted(found.candidates, key=lambda candidate: candidate.number)
        taken = buys_most(candidates, key=lambda candidate: candidate.number)
        if candidates[0].number == candidates[-1].number:
            return taken
        told = [f"{one.text} ({one.state})" if one.state else one.text for one in found.candidates]
        finding = messages.several_published(
            row.at(found.column), row.name, found.why, told, taken.text
        )
        if finding not in self.findings:
            self.findings.append(finding)
        return replace(taken, low=candidates[0].number, high=candidates[-1].number)

    def _unknown(self, row: Ingredient, heading: str) -> None:
        near = [one.food.name for one in find_food(row.name).suggestions]
        if near:
            finding = messages.no_published_name(row.at(heading), row.name, near)
            if finding not in self.findings:
                self.findings.append(finding)

    def _taken(self, row: Ingredient, value: Filled, cut: str = "") -> None:
        one = Fill(row, value, cut)
        if one.place not in {other.place for other in self.fills}:
            self.fills.append(one)

    def _days(self, row: Ingredient) -> dict[str, object]:
        """Storage lives, from purchase and after opening."""
        changes: dict[str, object] = {}
        if row.keeps_days is None:
            for heading, attribute in LIVES.items():
                keeps = fill(row.name, heading)
                if isinstance(keeps, Filled):
                    self._taken(row, keeps)
                    changes[attribute] = keeps.number
        return changes

    def _words(self, row: Ingredient) -> dict[str, object]:
        """Holding class and allergens, filled where blank; a class of none against the tables."""
        changes: dict[str, object] = {}
        holding = fill(row.name, "Holding class")
        if isinstance(holding, Filled):
            published = HoldingClass(holding.text)
            if row.holding_class is None:
                self._taken(row, holding)
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
        if row.allergens is None and isinstance(allergens, Filled):
            words = allergens.value
            if isinstance(words, tuple) and words:
                self._taken(row, allergens)
                changes["allergens"] = words
        return changes
