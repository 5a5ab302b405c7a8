"""A shoot that is closed: how often its shots were taken, what was bought, used and left.

Where nothing says what happened, what was planned stands in for it, and that is said once: an
episode of which no take is reported was taken as planned, an ingredient on no receipt was bought as
listed, and one that nobody counted was used by the takes. In an episode of which takes are
reported, a shot without a number was not taken, as its column says.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date
from fractions import Fraction
from functools import cached_property

from costing.buying.books import Books
from costing.buying.making import Making
from costing.buying.need import Needs
from costing.buying.purchases import Purchase
from costing.buying.shooting_day import Day
from costing.buying.shopping import Shopping
from costing.buying.values import Values
from costing.closing import messages
from costing.closing.counts import LastCount, counts_of
from costing.closing.fetched import Fetched, as_listed, fetched_of, is_planned
from costing.closing.made import MadeDish, made_of
from costing.closing.receipts import PaidLine, Receipt, receipts_of
from costing.findings import Finding, Place, choice_words, quoted_words
from costing.kitchen import ReceiptTag
from costing.names import Named, by_name, key, nearest
from costing.quantities import ZERO, Amount, Unit, money_text
from costing.shoot import Shoot
from costing.shoot.copies import Forest
from costing.shoot.shots import EndedBy
from costing.shoot.taken import so_far
from costing.shoot.weighings import trimmed_from


@dataclass(frozen=True, slots=True)
class ShotTaken:
    """How often one shot was taken.

    Parameters
    ----------
    times : int
        Takes, or as planned where nothing is reported of its episode. [time]
    spoiled : int
        How often its food was gone without a take. [time]
    given : bool
        Whether the plan or the log says so.
    """

    times: int
    spoiled: int = 0
    given: bool = False
    ended_by: EndedBy | None = None


@dataclass(frozen=True)
class ClosedIngredient:
    """What became of one ingredient; amounts in the base unit it is bought in.

    Parameters
    ----------
    planned, taken, used_up : Purchase
        Of the plan; of the same packs at the takes there were; and with those that spoiled.
    fetched : tuple of Fetched
        What was bought, what is supplied by the list included.
    as_listed : bool
        Whether no receipt says what was bought, so that the list is taken instead.
    count : LastCount, optional
        What was counted at the end; ``None``: not counted.
    """

    planned: Purchase
    taken: Purchase
    used_up: Purchase
    values: Values
    fetched: tuple[Fetched, ...]
    as_listed: bool
    count: LastCount | None = None

    @property
    def name(self) -> str:
        """Of the ingredient."""
        return self.planned.need.ingredient.name

    @property
    def unit(self) -> Unit:
        """The unit it is bought in."""
        return self.planned.need.unit

    @property
    def counted(self) -> bool:
        """Whether it was counted at the end."""
        return self.count is not None

    @property
    def bought(self) -> Fraction:
        """What all lines brought."""
        return sum((one.amount for one in self.fetched), ZERO)

    @property
    def on_hand(self) -> Fraction:
        """What was there before and counts."""
        return sum((Fraction(one.amount) for one in self.planned.demand.stock.lots), ZERO)

    @cached_property
    def made(self) -> MadeDish | None:
        """What was made or cut of it at the takes there were; ``None``: nothing."""
        return made_of(self.used_up.demand.making, self.used_up.demand.code)

    @property
    def used(self) -> Fraction:
        """What was used of stock and bought, spoilage included: by the count, or by the takes.

        Where it is made too, no count tells what was used of which.
        """
        if self.count is not None and self.made is None:
            return self.bought + self.on_hand - self.count.there
        return total_of(self.used_up)

    @property
    def left_of_making(self) -> Fraction:
        """What is left of what was made: as counted, the rest of the count being of the others."""
        if self.made is None:
            return ZERO
        if self.count is not None:
            return min(self.count.there, self.made.amount)
        return self.made.left

    @property
    def used_besides_making(self) -> Fraction:
        """What was used of stock and bought, where a count says what is left of all together."""
        if self.count is None:
            return self.used
        return self.bought + self.on_hand - (self.count.there - self.left_of_making)

    @property
    def left(self) -> Fraction:
        """What is left: as counted, or by the takes, and never below nothing."""
        if self.count is not None:
            return self.count.there
        return max(ZERO, self.bought + self.on_hand - self.used) + self.left_of_making

    @property
    def is_known(self) -> bool:
        """Whether it is known how much of it plan and takes need, and that it is not plenty."""
        # what the takes need is among what was used up
        unknown = self.planned.need.unknown or self.used_up.need.unknown
        return not unknown and not any(one.lot.plenty for one in self.planned.demand.stock.lots)

    def text(self, base: Fraction) -> str:
        """An amount in the unit it is bought in."""
        return str(Amount(base / self.unit.size, self.unit))


def total_of(purchase: Purchase) -> Fraction:
    """What must be there for a purchase's takes, from stock and bought, spoilage included."""
    return Fraction(purchase.taken.total) + Fraction(purchase.wanted)


@dataclass(frozen=True)
class Closed:
    """A shoot after its end, beside its plan.

    Parameters
    ----------
    taken : mapping of int to ShotTaken
        How often each shot was taken, by its place in the plan.
    ingredients : tuple of ClosedIngredient
        One for each of the plan, in the order of the recipes.
    unplanned : tuple of PaidLine
        Lines, for the shots by their tag, of ingredients the plan does not know.
    unclear : tuple of str
        Ingredients whose receipts do not say, in words that can be read, how much was bought.
    making : Making, optional
        What the takes there were had made, those that spoiled among them.
    findings : tuple of Finding
        What nothing says, and what does not fit together.
    """

    books: Books
    taken: Mapping[int, ShotTaken]
    receipts: tuple[Receipt, ...]
    ingredients: tuple[ClosedIngredient, ...]
    unplanned: tuple[PaidLine, ...]
    unclear: tuple[str, ...] = ()
    making: Making | None = field(default=None, repr=False)
    findings: tuple[Finding, ...] = field(default=(), repr=False)

    @property
    def shoot(self) -> Shoot:
        """The shoot as it was planned."""
        return self.books.shoot

    @property
    def used_books(self) -> Books:
        """The books with the packs of the plan, at the takes there were, those that spoiled too."""
        used = _at(self.books, _times(self.shoot, self.taken)[1])
        bought = tuple(used.purchases)
        return replace(self.books, shoot=used.shoot, purchases=bought, shopping=used)

    @property
    def lines(self) -> Iterator[PaidLine]:
        """All lines of all receipts."""
        for receipt in self.receipts:
            yield from receipt.lines

    @cached_property
    def by_name(self) -> Named[ClosedIngredient]:
        """The ingredients by their names."""
        return Named((one.name, one) for one in self.ingredients)

    @property
    def untold(self) -> dict[int, int]:
        """Takes of the shots of which nothing is told, by their places in the plan. [time]"""
        return _untold(self.taken)

    @property
    def brought(self) -> dict[str, dict[date | None, Fraction]]:
        """What receipts say was bought, by key and date, without what is as listed. [base unit]"""
        return _by_receipts(self.ingredients)


def _untold(taken: Mapping[int, ShotTaken]) -> dict[int, int]:
    """Takes of the shots of which nothing is told, by their places in the plan. [time]"""
    return {number: one.times for number, one in taken.items() if not one.given}


def _by_receipts(
    ingredients: Iterable[ClosedIngredient],
) -> dict[str, dict[date | None, Fraction]]:
    """What receipts say was bought, by key and date, without what is as listed. [base unit]"""
    found: dict[str, dict[date | None, Fraction]] = {}
    for one in ingredients:
        if any(each.line for each in one.fetched):
            by_day = found.setdefault(key(one.name), {})
            for each in one.fetched:
                day = each.line.line.day if each.line else None
                by_day[day] = by_day.get(day, ZERO) + each.amount
    return found


def closed(books: Books) -> Closed:
    """Close a shoot: what its sheets, receipts and log say of it, beside its plan."""
    shoot = books.shoot
    findings: list[Finding] = []
    taken = dict(enumerate(_taken(shoot, findings)))
    receipts, about_receipts = receipts_of(shoot)
    findings += about_receipts
    at_takes, with_spoiled = (_at(books, times) for times in _times(shoot, taken))
    as_taken, used_up = at_takes.purchases, with_spoiled.purchases
    lines = _by_ingredient(receipts)
    ingredients, unclear = [], []
    for number, purchase in enumerate(books.purchases):
        paid = lines.pop(key(purchase.need.ingredient.name), ())
        paid = [line for line in paid if is_planned(line.line.tag, purchase)]
        fetched = fetched_of(purchase, paid, shoot, findings) if paid else None
        if fetched is None and not all(line.line.is_discount for line in paid):
            unclear.append(purchase.need.ingredient.name)
        one = ClosedIngredient(
            purchase,
            as_taken[number],
            used_up[number],
            books.values[number],
            tuple(_brought(purchase, fetched, shoot)),
            fetched is None and bool(purchase.lines),
        )
        ingredients.append(one)
    counts = counts_of(books, _untold(taken), _by_receipts(ingredients), findings)
    ingredients = [replace(one, count=counts.get(key(one.name))) for one in ingredients]
    unplanned = [
        line for rows in lines.values() for line in rows if line.line.tag is ReceiptTag.CAMERA
    ]
    made = with_spoiled.making
    whole = Closed(
        books, taken, receipts, tuple(ingredients), tuple(unplanned), tuple(unclear), made
    )
    return replace(whole, findings=(*findings, *_about(whole)))


def _taken(shoot: Shoot, findings: list[Finding]) -> Iterator[ShotTaken]:
    """How often each shot was taken; what nothing says is said."""
    so_far_taken = so_far(shoot)
    episodes = {
        key(shot.episode)
        for number, shot in enumerate(shoot.shots)
        if number in so_far_taken.shots or shot.taken is not None
    }
    silent = Named((one.episode, one) for one in shoot.shots if key(one.episode) not in episodes)
    if silent:
        names = quoted_words(silent, last="and")
        first = next(iter(silent.values()))
        findings.append(messages.no_takes_given(first.at("Taken"), names))
    for number, shot in enumerate(shoot.shots):
        one = so_far_taken.of(number)
        if number in so_far_taken.shots or shot.taken is not None:
            yield ShotTaken(one.times, one.spoiled, True, shot.ended_by)
        elif key(shot.episode) in episodes:
            if shot.times:
                findings.append(messages.taken_not_given(shot.at("Taken"), shot.label))
            yield ShotTaken(0)
        else:
            yield ShotTaken(shot.times)


def _times(shoot: Shoot, taken: Mapping[int, ShotTaken]) -> tuple[dict[int, int], dict[int, int]]:
    """How often each shot was taken, and how often its steps were used, spoiled ones included."""
    day, forest = Day.of(shoot), Forest(shoot.shots)
    times = {number: one.times for number, one in taken.items()}
    return times, day.provided(forest, times, times)


def _at(books: Books, times: Mapping[int, int]) -> Shopping:
    """The same packs for other numbers of times, with what these need of them."""
    shots = tuple(
        shot.model_copy(update={"times": times[number], "fewest": None, "most": None})
        for number, shot in enumerate(books.shoot.shots)
    )
    needs = Needs(books.shoot.changed(shots=shots))
    made = books.shopping.choice if books.shopping else None
    return Shopping(needs, chosen=books.purchases, made=made)


def _by_ingredient(receipts: Iterable[Receipt]) -> dict[str, list[PaidLine]]:
    lines: dict[str, list[PaidLine]] = {}
    for line in (one for receipt in receipts for one in receipt.lines if one.line.ingredient):
        lines.setdefault(key(line.line.ingredient), []).append(line)
    return lines


def _brought(
    purchase: Purchase, fetched: Sequence[Fetched] | None, shoot: Shoot
) -> Iterator[Fetched]:
    """What was bought, the list standing in for it, and what the list has supplied besides."""
    if fetched is None:
        yield from as_listed(purchase, shoot.settings)
        return
    yield from fetched
    on_receipts = {id(one.pack) for one in fetched}
    for one in as_listed(purchase, shoot.settings, supplied=True):
        if id(one.pack) not in on_receipts:
            yield one


def _about(whole: Closed) -> Iterator[Finding]:
    """What no receipt and no count says, and what is on receipts and in no plan."""
    shoot = whole.shoot
    bought = [one for one in whole.ingredients if one.planned.lines]
    listed = [
        f"{one.name} (tagged {tags[0]})" if tags else one.name
        for one in bought
        if one.as_listed and not _supplied(one)
        if not shoot.left_out_on("Receipts", name=one.name)
        if (tags := _tags(one, shoot)) is not None
    ]
    if not shoot.receipts and listed and not shoot.left_out_on("Receipts"):
        money = money_text(whole.books.totals.bought, shoot.settings.currency)
        yield messages.no_receipts(Place("Receipts"), money)
    elif listed:
        yield messages.receipt_missing(Place("Receipts"), choice_words(listed, last="and"))
    uncounted = [one.name for one in whole.ingredients if not one.counted and total_of(one.taken)]
    uncounted = [name for name in uncounted if not shoot.left_out_on("Counted", name=name)]
    if uncounted:
        yield messages.not_counted(Place("Counted"), choice_words(uncounted, last="and"))
    for one in whole.ingredients:
        if one.used < 0:
            there, brought = one.text(one.left), one.text(one.bought + one.on_hand)
            yield messages.counted_more(_count_place(shoot, one.name), one.name, there, brought)
    unread = shoot.left_out_on("Recipes", "Shoot plan")
    for first, *_ in by_name((one.line.ingredient, one.line) for one in whole.unplanned).values():
        near = nearest(first.ingredient, whole.by_name)
        if near or not unread:
            place = first.at("Ingredient")
            yield messages.receipt_ingredient_unknown(place, first.ingredient, near)


def _tags(one: ClosedIngredient, shoot: Shoot) -> list[ReceiptTag] | None:
    """Tags of its lines; ``None`` where one is for the plan, so that what is wrong with it is said.

    A discount alone is no line of what was bought.
    """
    lines = [line for line in shoot.receipts if key(line.ingredient) == key(one.name)]
    tags = [line.tag for line in lines if not line.is_discount]
    return None if any(is_planned(tag, one.planned) for tag in tags) else tags


def _supplied(one: ClosedIngredient) -> bool:
    """Whether all that is to be bought of it is given free, and needs no receipt."""
    return all(bought.pack.supplied for bought in one.planned.lines)


def _count_place(shoot: Shoot, name: str) -> Place:
    rows = (row for row in shoot.counted if trimmed_from(row.note) is None)
    counted = [row.at("Amount") for row in rows if key(row.ingredient) == key(name)]
    logged = [row.at("Amount") for row in so_far(shoot).counts if key(row.what) == key(name)]
    return counted[0] if counted else logged[-1]
