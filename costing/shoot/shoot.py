"""The whole shoot, usable without any workbook."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from datetime import date, timedelta
from functools import cached_property
from typing import Any

from pydantic import BaseModel, ConfigDict, model_validator

from costing.findings import Finding, Place, Row
from costing.holding.models import Container
from costing.holding.rules import Rule, load_rules
from costing.kitchen import CountedLot, Dish, Ingredient, Line, Lot, Pack, Part, ReceiptLine, Shop
from costing.names import Named, by_name, key, singular
from costing.quantities import Amount, Measures
from costing.quantities.amounts import under
from costing.quantities.fields import FromRow, Many, default
from costing.shoot.episodes import Episode, Logged, Person, Trip
from costing.shoot.read_from import InputSheet, LeftOut
from costing.shoot.settings import Settings
from costing.shoot.shots import Shot

MEASURED = {
    "lines": ("amount", "amount_low"),
    "packs": ("amount", "loose_step"),
    "lots": ("amount",),
    "dishes": ("makes",),
    "parts": ("amount", "part_amount"),
    "receipts": ("amount",),
    "counted": ("amount",),
    "day_log": ("amount",),
}
"""Fields of a shoot, and the amounts in their rows."""

WORKBOOK_FIELDS = ("settings", "waiting_packs", "read_from", "findings")
"""Fields that are no rows of the shoot: how it is judged, and the workbook it is in."""

UNCOUNTED_FIELDS = ("left_out", "own_rules")
"""Those of which the number says nothing in a line about a shoot."""

PLACE_FIELDS = frozenset({"row", "places", "sheet"})
"""Fields of rows that say where they stand."""


class Shoot(BaseModel):
    """Everything that is known of a shoot.

    Parameters
    ----------
    settings : Settings
        With the defaults of what is blank.
    ingredients, packs, lots, shops, dishes, lines, parts : tuple
        What the kitchen brings.
    episodes, shots : tuple
        What is planned; without shots each dish is cooked through once and has one hero.
    trips, people, receipts, counted : tuple
        When shops can be visited, who eats, what was paid, and what was there at the end.
    day_log : tuple of Logged
        What the log of the day tells of shots and ingredients; of containers it tells events.
    waiting_packs : tuple of Row
        Rows of Packs that name an ingredient and wait for its pack.
    own_rules : tuple of Rule
        Holding rules of the user's own, beside the published ones.
    read_from : tuple of InputSheet
        Sheets of the workbook it was read from.
    findings : tuple of Finding
        What is to be said of the workbook it was read from.

    Examples
    --------
    >>> Shoot(lines=[Line(dish="toast", ingredient="bread", amount="2 each")])
    <Shoot: 1 recipe, 1 line>
    """

    model_config = ConfigDict(frozen=True, extra="forbid", ignored_types=(cached_property,))

    settings: Settings = Settings()
    ingredients: Many[Ingredient] = default(())
    packs: Many[Pack] = default(())
    lots: Many[Lot] = default(())
    shops: Many[Shop] = default(())
    dishes: Many[Dish] = default(())
    lines: Many[Line] = default(())
    episodes: Many[Episode] = default(())
    shots: Many[Shot] = default(())
    containers: Many[Container] = default(())
    parts: Many[Part] = default(())
    trips: Many[Trip] = default(())
    people: Many[Person] = default(())
    receipts: Many[ReceiptLine] = default(())
    counted: Many[CountedLot] = default(())
    day_log: Many[Logged] = default(())
    left_out: Many[LeftOut] = default(())
    own_rules: Many[Rule] = default(())
    waiting_packs: Many[Row] = default(())
    read_from: Many[InputSheet] = default(())
    findings: Many[Finding] = default(())

    @classmethod
    def _rows(cls) -> list[str]:
        """Fields that say something of the shoot itself, in the order in which they are shown."""
        return [name for name in cls.model_fields if name not in WORKBOOK_FIELDS]

    @property
    def amounts(self) -> Iterator[Amount]:
        """Every amount that is in a row."""
        for rows, fields in MEASURED.items():
            for row in getattr(self, rows):
                yield from (one for name in fields if (one := getattr(row, name)) is not None)

    @model_validator(mode="after")
    def _measured_by_the_setting(self) -> Shoot:
        """Cups of amounts that were given as text are those of the setting Measures."""
        measures = self.settings.measures
        for name, headings in MEASURED.items():
            rows: tuple[FromRow, ...] = getattr(self, name)
            read = tuple(_read_by(measures, row, headings) for row in rows)
            if any(one is not other for one, other in zip(read, rows, strict=True)):
                # still being built, so that nobody has seen it: frozen for everybody else
                self.__dict__[name] = read
        return self

    def __repr__(self) -> str:
        """How much there is of everything, in a line."""
        rows = {"recipes": self.recipes} | {
            name: getattr(self, name) for name in self._rows() if name not in UNCOUNTED_FIELDS
        }
        parts = [
            f"{len(found)} {name if len(found) != 1 else singular(name)}"
            for name, found in rows.items()
            if found
        ]
        title = f" {self.settings.title!r}" if self.settings.title else ""
        return f"<Shoot{title}: {', '.join(parts) or 'nothing in it'}>"

    __str__ = __repr__

    def __eq__(self, other: object) -> bool:
        """Whether two shoots say the same, wherever it is and whatever was found in it."""
        return self.difference(other) == "" if isinstance(other, Shoot) else NotImplemented

    def __hash__(self) -> int:
        return hash((self.settings.title, *(len(getattr(self, name)) for name in self._rows())))

    def difference(self, other: Shoot) -> str:
        """The first thing in which two shoots differ, in words; ``""`` when they say the same.

        Examples
        --------
        >>> from costing.shoot import Shot
        >>> Shoot(shots=[Shot(dish="soup")]).difference(Shoot(shots=[Shot(dish="tart")]))
        "shots[0].dish: 'soup' and 'tart'"
        """
        pairs = [("settings", self.settings, other.settings)]
        for name in self._rows():
            rows, others = getattr(self, name), getattr(other, name)
            if len(rows) != len(others):
                return f"{name}: {len(rows)} and {len(others)} of them"
            both = zip(rows, others, strict=True)
            pairs += [(f"{name}[{at}]", one, another) for at, (one, another) in enumerate(both)]
        return next((text for pair in pairs if (text := _difference(*pair))), "")

    def changed(self, **changes: Any) -> Shoot:
        """A shoot with other values for some of its fields, checked as those of a new one.

        Unlike pydantic's ``model_copy`` it looks everything up again.

        Raises
        ------
        pydantic.ValidationError
            If there is no such field, or a value does not fit; it is a ValueError.
        """
        given = {name: getattr(self, name) for name in type(self).model_fields}
        return Shoot(**given | changes)

    @cached_property
    def recipes(self) -> Named[tuple[Line, ...]]:
        """Lines by dish, in the order of the sheet."""
        lines = by_name((line.dish, line) for line in self.lines)
        return Named((dish, tuple(of_it)) for dish, of_it in lines.items())

    @cached_property
    def ingredient_rows(self) -> Named[Ingredient]:
        """Ingredients that have a row of their own."""
        return Named((ingredient.name, ingredient) for ingredient in self.ingredients)

    @cached_property
    def _packs(self) -> Named[list[Pack]]:
        return by_name((pack.ingredient, pack) for pack in self.packs)

    def packs_of(self, name: str) -> Sequence[Pack]:
        """The packs of an ingredient, or of a dish sold ready, in the order of the sheet."""
        return self._packs.get(name, ())

    @cached_property
    def dish_rows(self) -> Named[Dish]:
        """Dishes that have a row of their own."""
        return Named((dish.name, dish) for dish in self.dishes)

    @cached_property
    def container_rows(self) -> Named[Container]:
        """The containers of the holding log by their names."""
        return Named((container.name, container) for container in self.containers)

    @cached_property
    def person_rows(self) -> Named[Person]:
        """The people by their names."""
        return Named((person.name, person) for person in self.people)

    @property
    def rules(self) -> dict[str, Rule]:
        """All holding rules by their ids, the user's own behind the published ones."""
        return load_rules() | {rule.id: rule for rule in self.own_rules}

    @cached_property
    def episode_rows(self) -> Named[Episode]:
        """The episodes by their names."""
        return Named((episode.name, episode) for episode in self.episodes)

    def left_out_on(self, *sheets: str, name: str = "") -> bool:
        """Whether something of these input sheets could not be used.

        What is missing may stand there: to say that it is missing would say the same again.

        ``name``: only what may be about this: its own rows, rows without a name, whole sheets.
        """
        return any(
            left.sheet in sheets and (not name or key(left.name) in ("", key(name)))
            for left in self.left_out
        )

    def ingredient(self, name: str) -> Ingredient:
        """The ingredient of that name, one of which nothing is known when it has no row."""
        return self.ingredient_rows.get(name) or Ingredient(name=name)

    def pack_place(self, name: str) -> Place:
        """Where a pack of that name is to be filled in: the row that waits for it, or the sheet."""
        rows = (row.at("Amount") for row in self.waiting_packs if key(row.name) == key(name))
        return next(rows, Place("Packs", name=name))

    def is_dish(self, name: str) -> bool:
        """Whether there is a recipe of that name."""
        return name in self.recipes

    @cached_property
    def shots_called(self) -> Named[list[int]]:
        """Places in the plan of the shots of each label."""
        return by_name((shot.label, number) for number, shot in enumerate(self.shots))

    @cached_property
    def shots_called_in_full(self) -> Named[list[int]]:
        """The same by the label with its episode before it, such as ``Leek tart: P5``."""
        return by_name((shot.full_label, number) for number, shot in enumerate(self.shots))

    def shot_name(self, shot: Shot) -> str:
        """Its label, with its episode where another shot of the plan has the same."""
        return shot.full_label if len(self.shots_called[shot.label]) > 1 else shot.label

    @cached_property
    def whole_dishes(self) -> tuple[str, ...]:
        """Dishes that are not an ingredient of another."""
        inside = {key(line.ingredient) for line in self.lines if line.ingredient}
        return tuple(dish for dish in self.recipes if key(dish) not in inside)

    @cached_property
    def shoot_dates(self) -> Named[date | None]:
        """When each episode is shot, by its name."""
        return Named((episode.name, episode.shoot_date) for episode in self.episodes)

    @cached_property
    def shopping_date(self) -> date | None:
        """The first day of shopping: as set, else the day before the first shoot date.

        A day that is set after a shoot serves nobody and is not used. ``None`` when neither is
        known.
        """
        if self.settings.shopping_dates and self.shot_before_shopping is None:
            return self.settings.shopping_dates[0]
        dates = [episode.shoot_date for episode in self.episodes if episode.shoot_date]
        return min(dates) - timedelta(days=1) if dates else None

    @cached_property
    def shopping_dates(self) -> tuple[date, ...]:
        """All days of shopping: as set, else the day before each shoot date.

        Where the first that is set is after a shoot, the day before the first shoot counts too.
        """
        typed = self.settings.shopping_dates
        dates = [episode.shoot_date for episode in self.episodes if episode.shoot_date]
        if not typed:
            return tuple(sorted({day - timedelta(days=1) for day in dates}))
        if self.shot_before_shopping is not None:
            return tuple(sorted({min(dates) - timedelta(days=1), *typed}))
        return typed

    @cached_property
    def _trips(self) -> Named[tuple[date, ...]]:
        days = by_name((trip.shop, trip.day) for trip in self.trips if trip.shop).items()
        return Named((shop, tuple(sorted(set(its)))) for shop, its in days)

    def open_days(self, shop: str) -> tuple[date, ...]:
        """When a shop can be visited or delivers: its rows on Trips, else every shopping date."""
        return self._trips.get(shop) or self.shopping_dates

    def goes_the_day_before(self, shop: str) -> bool:
        """Whether its days are those before each shoot, since none are set."""
        return shop not in self._trips and not self.settings.shopping_dates

    @cached_property
    def shot_before_shopping(self) -> Episode | None:
        """The first episode with shots that is shot before the shopping date as it is set."""
        bought = min(self.settings.shopping_dates, default=None)
        taken = {key(shot.episode) for shot in self.shots}
        dated = [
            (episode.shoot_date, episode)
            for episode in self.episodes
            if episode.shoot_date and (not taken or key(episode.name) in taken)
        ]
        if bought is None or not dated:
            return None
        day, first = min(dated, key=lambda pair: pair[0])
        return first if day < bought else None


def _read_by(measures: Measures, row: FromRow, fields: Iterable[str]) -> FromRow:
    """A row whose amounts are read by a setting where they were given as text."""
    texts: dict[str, Amount] = {
        name: given for name in fields if (given := getattr(row, name)) is not None and given.typed
    }
    read = {name: under(measures, given) for name, given in texts.items()}
    changed = {name: one for name, one in read.items() if one.unit != texts[name].unit}
    return row.model_copy(update=changed) if changed else row


def _difference(where: str, one: BaseModel, other: BaseModel) -> str:
    """The first field in which two rows differ, in words."""
    for name, value in one.__dict__.items():
        another = other.__dict__.get(name)
        if name in PLACE_FIELDS or isinstance(value, Place) or value == another:
            continue
        if isinstance(value, tuple) and isinstance(another, tuple) and len(value) == len(another):
            parts = enumerate(zip(value, another, strict=True))
            found = [
                _difference(f"{where}.{name}[{at}]", *both)
                if isinstance(both[0], BaseModel)
                else f"{where}.{name}[{at}]: {both[0]!r} and {both[1]!r}"
                for at, both in parts
                if both[0] != both[1]
            ]
            if text := next(filter(None, found), ""):
                return text
            continue
        return f"{where}.{name}: {value!r} and {another!r}"
    return ""
