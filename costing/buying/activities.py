"""What turns goods into others: a batch of a dish that is made, an article that is cut one way.

The table of activities (T. C. Koopmans, 1951): a row for each good, a column for each activity,
which takes of some goods and gives others. A dish that is in whole batches, on hand or sold ready
is a good of its own, and so is each part of an article.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from fractions import Fraction
from typing import TYPE_CHECKING

from costing.buying import messages
from costing.findings import Finding
from costing.kitchen import Part
from costing.kitchen.conversion import Unconvertible, bought_as
from costing.names import key
from costing.quantities import BATCH, ONE, ZERO, Amount, Dimension
from costing.shoot import Shot
from costing.shoot.copies import Forest
from costing.shoot.purposes import SHOWS_MAKING

if TYPE_CHECKING:
    from costing.buying.need import Need, Needs
    from costing.buying.picking import LookedAt


@dataclass(frozen=True, slots=True)
class Activity:
    """Making a batch of a dish, or cutting an article one way.

    Parameters
    ----------
    gives : mapping of str to Fraction
        By the key of each good what one run gives. [base unit it is bought in]
    takes : mapping of str to (Fraction, Fraction)
        By the key of each good what one run takes, as bought and trimmed. [base unit]
    whole : bool
        Whether it is run a whole number of times.
    keeps : mapping of str to Fraction
        By the key of each good for so long what is left of it serves later shoot days. [day]
    unknown : tuple of (str, str)
        Goods of which it takes what is not known, and why, in words.
    cut : bool
        Whether an article is cut, and no dish made.
    steps : tuple of int, optional
        Of the dish; ``None`` stands for all.
    """

    name: str
    gives: Mapping[str, Fraction]
    takes: Mapping[str, tuple[Fraction, Fraction]]
    whole: bool
    keeps: Mapping[str, Fraction]
    unknown: tuple[tuple[str, str], ...] = ()
    cut: bool = False
    way: str = ""
    steps: tuple[int, ...] | None = None
    optional: bool = False


Run = tuple[int, str]
"""An activity, and the episode it is run in."""


@dataclass(slots=True)
class Linear:
    """A constant, a part for each time a shot is provided for, and for each run. [base unit]

    ``beyond`` has what is looked at beyond the pieces used, with a factor.
    """

    constant: Fraction = ZERO
    per_time: dict[int, Fraction] = field(default_factory=dict)
    per_run: dict[Run, Fraction] = field(default_factory=dict)
    beyond: dict[LookedAt, Fraction] = field(default_factory=dict)

    def add(self, other: Linear, factor: Fraction) -> None:
        """Add a multiple of another."""
        self.constant += other.constant * factor
        for shot, amount in other.per_time.items():
            self.per_time[shot] = self.per_time.get(shot, ZERO) + amount * factor
        for run, amount in other.per_run.items():
            self.per_run[run] = self.per_run.get(run, ZERO) + amount * factor
        for looked_at, amount in other.beyond.items():
            self.beyond[looked_at] = self.beyond.get(looked_at, ZERO) + amount * factor


def linear_parts(need: Need, forest: Forest, planned: Mapping[int, int]) -> dict[str, Linear]:
    """What the shots take of a need, by episode.

    Parameters
    ----------
    need : Need
        Made with the likeliest numbers of times.
    planned : mapping of int to int
        These numbers. [time]
    """
    parts = {episode: Linear(amount) for episode, amount in need.used.items()}
    for shot, ((episode, _, _), amount) in need.per_time.items():
        parts[episode].constant -= forest.times(shot, planned) * amount
        if amount:
            parts[episode].per_time[shot] = amount
    return parts


@dataclass(slots=True)
class Goods:
    """The goods of a shoot that are made or cut, and the activities that give them.

    Parameters
    ----------
    needs : Needs
        Whose lines and ingredients.
    made : dict of str to Need
        What is needed of each dish that is made, by key; its own is the first of a dish.
    activities : list of Activity
        In the order in which they were met.
    """

    needs: Needs
    made: dict[str, Need] = field(default_factory=dict)
    activities: list[Activity] = field(default_factory=list)
    findings: list[Finding] = field(default_factory=list)
    _steps: dict[tuple[str, int], list[int]] = field(default_factory=dict)

    def __post_init__(self) -> None:
        """Note which shots take which steps of a dish, and not the whole of it."""
        for number, shot in enumerate(self.needs.shoot.shots):
            if key(shot.dish) in self.needs.drawn and not self.needs.leaves.takes_all(shot):
                for step in self._steps_of(shot):
                    self._steps.setdefault((key(shot.dish), step), []).append(number)

    def drawn_by(self, shot: Shot) -> tuple[str, ...] | None:
        """Keys of what a shot takes a batch of each; ``None`` where it takes its lines.

        Of a dish in whole batches the shots that take the whole of it are rounded up together,
        and so are, step by step, those that take only some steps.
        """
        name = key(shot.dish)
        if name not in self.needs.drawn:
            return None
        optional = shot.optional_lines
        whole = name in self.needs.whole_batches
        if self.needs.leaves.takes_all(shot):
            shown = shot.purpose in SHOWS_MAKING
            # the camera sees it being cooked: it takes the lines, whatever stands ready of it
            if shown and not whole:
                return None
            ready = name in self.needs.stocked
            return (self.dish(name, optional=optional, shown=shown and ready),)
        if not whole:
            return None
        classes: dict[tuple[int, ...], list[int]] = {}
        for step in self._steps_of(shot):
            classes.setdefault(tuple(self._steps[name, step]), []).append(step)
        return tuple(
            self.dish(name, steps=tuple(steps), optional=optional) for steps in classes.values()
        )

    def _steps_of(self, shot: Shot) -> list[int]:
        taking = {leaf.step for leaf in self.needs.leaves.of(shot.dish)}
        return sorted(taking if shot.steps is None else taking & set(shot.steps))

    def dish(
        self,
        name: str,
        *,
        steps: tuple[int, ...] | None = None,
        optional: bool = False,
        shown: bool = False,
    ) -> str:
        """The key of a dish that is made, its activity noted when it is first asked for.

        Parameters
        ----------
        steps : tuple of int, optional
            Where only these are made.
        shown : bool
            Whether its making is shown, so that it cannot be bought ready.
        """
        leaves = self.needs.leaves.of(name)
        optional = optional and any(leaf.optional for leaf in leaves)
        code = key(name)
        # packs and lots are of the whole dish without optional lines: only that has its plain key
        if steps is not None or optional or shown:
            code = f"{code}|{steps}|{optional}|{shown}"
        if code in self.made:
            return code
        need = self.made[code] = self.needs.need_of_dish(name)
        if code == key(name) and code in self.needs.stocked:
            self.needs.by_ingredient.setdefault(code, need)
        takes: dict[str, tuple[Fraction, Fraction]] = {}
        unknown = []
        of_it = (
            leaf
            for leaf in leaves
            if (steps is None or leaf.step in steps) and (optional or not leaf.optional)
        )
        for leaf, taken, each in self.needs.counted(of_it, optional=optional):
            if each is None:
                unknown.append((taken, self.needs.why(leaf.line)))
                continue
            before = takes.get(taken, (ZERO, ZERO))
            bought, clean = each.of(ONE)
            takes[taken] = before[0] + bought, before[1] + clean
        row = self.needs.shoot.dish_rows.get(name)
        self.activities.append(
            Activity(
                need.ingredient.name,
                {code: self.needs.batch_of(name)},
                takes,
                whole=row is not None and row.whole_batches,
                keeps={code: ZERO if row is None else row.keeps_days or ZERO},
                unknown=tuple(unknown),
                steps=steps,
                optional=optional,
            )
        )
        return code

    def goods_of(self, shot: Shot) -> list[str]:
        """Keys of the dishes that a shot takes of, as its recipe has them; none inside them."""
        made = self.drawn_by(shot)
        if made is not None:
            return list(made)
        apart = self.needs.leaves.apart
        codes = (
            code
            for leaf, code, _ in self.needs.counted_of(shot)
            if key(leaf.line.ingredient) in apart
        )
        return list(dict.fromkeys(codes))

    def about_optional(self) -> Iterator[Finding]:
        """Dishes on hand or sold ready of which nothing serves a shot with optional lines."""
        afresh = {with_optional(name): name for name in self.needs.stocked}
        shots: dict[str, list[Shot]] = {}
        for shot in self.needs.shoot.shots:
            if shot.optional_lines and self.needs.shoot.is_dish(shot.dish):
                codes = self.goods_of(shot)
                for code in codes:  # and what these are made of
                    if code in afresh:
                        shots.setdefault(code, []).append(shot)
                    givers = [one for one in self.activities if code in one.gives]
                    codes += [good for one in givers for good in one.takes if good not in codes]
        for code, takers in shots.items():
            yield messages.made_with_optional(
                takers[0].at("Optional lines"),
                self.made[code].ingredient.name,
                [f'"{shot.label}"' for shot in takers],
            )

    def known(self, code: str) -> bool:
        """Whether all that a dish takes which is made is known; true of what is no such dish."""
        return not any(self.unmeasured(code))

    def unmeasured(self, code: str) -> Iterator[str]:
        """Ingredients of which it is not known how much goes into a dish that is made."""
        for one in self.activities if code in self.made else ():
            if code in one.gives:
                yield from (self.needs.need(taken).ingredient.name for taken, _ in one.unknown)
                for taken in one.takes:
                    yield from self.unmeasured(taken)

    def cut_parts(self) -> None:
        """Note the ways of cutting articles whose parts are needed."""
        ways: dict[tuple[str, str], list[Part]] = {}
        for row in self.needs.shoot.parts:
            if self.needs.shoot.is_dish(row.name):
                self.findings.append(messages.part_is_a_dish(row.at("Part"), row.name))
                continue
            ways.setdefault((key(row.ingredient), key(row.way)), []).append(row)
        needed = list(self.needs.by_ingredient)
        wanted: set[tuple[str, str]] = set()
        for name in needed:  # an article may itself be a part, so that the list grows
            for at, rows in ways.items():
                if at in wanted or all(key(row.name) != name for row in rows):
                    continue
                if self._within(at[0], name):
                    self.findings.append(
                        messages.part_of_itself(rows[0].at("Ingredient"), rows[0].ingredient)
                    )
                    continue
                wanted.add(at)
                before = set(self.needs.by_ingredient)
                if self.needs.shoot.is_dish(at[0]):
                    self.dish(rows[0].ingredient)
                elif at[0] not in before:
                    self.needs.article(rows[0])
                needed += [code for code in self.needs.by_ingredient if code not in before]
        for at in ways:
            if at in wanted and (cutting := self._cutting(ways[at])) is not None:
                self.activities.append(cutting)

    def _within(self, article: str, part: str) -> bool:
        """Whether an article is cut from one of its own parts, or made of it."""
        found, waiting, shoot = set[str](), [article], self.needs.shoot
        while waiting:
            name = waiting.pop()
            if name == part:
                return True
            of = {key(row.ingredient) for row in shoot.parts if key(row.name) == name}
            if shoot.is_dish(name):
                of |= {key(line.ingredient) for line in shoot.recipes[name]}
            waiting += of - found
            found |= of
        return False

    def _cutting(self, rows: list[Part]) -> Activity | None:
        """One way of cutting an article; ``None`` where it gives nothing that is needed."""
        first = rows[0]
        article = self.needs.need(key(first.ingredient))
        try:
            bought = bought_as(first.amount, article.unit.dimension, article.ingredient)
        except Unconvertible as fault:
            self.findings.append(self._unclear(first, article, fault, first.amount))
            return None
        gives: dict[str, Fraction] = {}
        keeps: dict[str, Fraction] = {}
        for row, given in self._given(rows):
            need = self.needs.by_ingredient[key(row.name)]
            try:
                amount = bought_as(given, need.unit.dimension, need.ingredient)
            except Unconvertible as fault:
                self.findings.append(self._unclear(row, need, fault, given))
                continue
            # rows of one way may be of different amounts of the article: all are counted for the
            # first's
            gives[key(row.name)] = amount * (first.amount.base / row.amount.base)
            keeps[key(row.name)] = need.ingredient.keeps or ZERO
        if not gives:
            return None
        # nobody opens half an egg; what is weighed or measured is cut in any part
        whole = first.amount.unit.dimension is Dimension.COUNT
        return Activity(
            article.ingredient.name,
            gives,
            {key(first.ingredient): (bought, bought)},
            whole=whole,
            keeps=keeps,
            cut=True,
            way=first.way,
        )

    def _given(self, rows: list[Part]) -> Iterator[tuple[Part, Amount]]:
        """Each part that is needed with what is given of it, in the unit it is bought in if so."""
        by_part: dict[str, list[Part]] = {}
        for row in rows:
            by_part.setdefault(key(row.name), []).append(row)
        for name, of_part in by_part.items():
            need = self.needs.by_ingredient.get(name)
            if need is not None:
                dimension = need.unit.dimension
                alike = [r for r in of_part if r.part_amount.unit.dimension is dimension]
                row = (alike or of_part)[0]
                yield row, row.part_amount

    def _unclear(self, row: Part, need: Need, fault: Unconvertible, given: Amount) -> Finding:
        return messages.conversion_missing(
            need.ingredient.at(fault.heading),
            f"{given} of {need.ingredient.name} ({row.where('Ingredient')})",
            need.unit.name,
            fault.heading,
        )


def with_optional(name: str) -> str:
    """The key of a dish that is made with its optional lines."""
    return f"{key(name)}|None|True|False"


def batch_amount(makes: Amount | None) -> Amount:
    """What a batch is counted in: what the dish makes, else batches."""
    return Amount(ONE, BATCH) if makes is None else makes


def in_makes(amount: Amount, makes: Amount | None) -> Amount:
    """An amount in what a dish makes, where it is given in batches."""
    in_batches = amount.unit.dimension is Dimension.BATCH
    return batch_amount(makes) * amount.base if in_batches else amount
