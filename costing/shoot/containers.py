"""What a container of the holding log holds, down to its ingredients."""

from __future__ import annotations

import re
from collections import deque
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import takewhile
from typing import NamedTuple

from costing.findings import Finding, quoted_words
from costing.holding.models import Container, Eaten, EventKind
from costing.kitchen import HoldingClass, Line, Measured
from costing.names import LIKENESS_OF_A_SLIP, Named, is_water, key, likenesses, nearest
from costing.reference import Filled, fill
from costing.shoot import messages
from costing.shoot.shoot import Shoot
from costing.shoot.taken import ingredients_of

_PART = re.compile(
    r"(?P<dish>.+?)\s*:\s*(?P<only>only\s+)?steps?\s+(?P<first>\d+)(?:\s*[-–]\s*(?P<last>\d+))?",
    re.IGNORECASE,
)


_SEVERAL = re.compile(r"[,+&/]|\band\b")
"""What people write between names where semicolons stand."""


@dataclass(frozen=True, slots=True)
class PartOfDish:
    """A part of a dish as the log names it.

    ``only``: whether what those steps alone add is meant, and not the dish as it is after them.
    """

    dish: str
    first: int
    last: int
    only: bool


def part_of_dish(text: str) -> PartOfDish | None:
    """What a text of Holds says of the steps of a dish, if it does.

    Examples
    --------
    >>> part_of_dish("tart: steps 1-3")
    PartOfDish(dish='tart', first=1, last=3, only=False)
    >>> part_of_dish("tart: only step 3").only, part_of_dish("tart")
    (True, None)
    """
    found = _PART.fullmatch(text.strip())
    if found is None:
        return None
    first = int(found["first"])
    return PartOfDish(found["dish"], first, int(found["last"] or first), found["only"] is not None)


def dishes_named(container: Container) -> set[str]:
    """Keys of what a container holds, of a part of a dish the whole dish."""
    parts = ((text, part_of_dish(text)) for text in container.holds)
    return {key(text if part is None else part.dish) for text, part in parts}


STARTED_BY = {
    HoldingClass.WHEN_CUT: (EventKind.CUT, EventKind.COOKED, EventKind.REHEATED),
    HoldingClass.WHEN_OPENED: (
        EventKind.CUT,
        EventKind.OPENED,
        EventKind.COOKED,
        EventKind.REHEATED,
    ),
    HoldingClass.WHEN_COOKED: (EventKind.COOKED, EventKind.REHEATED),
}
"""Events before which an ingredient of a class needs no control of temperature."""


def _measured_as_cooked(container: Container, starts_by: Sequence[EventKind]) -> bool:
    """Whether food that waits for cooking is measured, which nobody does with dry goods."""
    if starts_by != STARTED_BY[HoldingClass.WHEN_COOKED]:
        return False
    before = takewhile(lambda event: event.kind not in starts_by, container.events)
    return any(
        event.temperature is not None and event.kind is not EventKind.ROOM for event in before
    )


class Held(NamedTuple):
    """An ingredient in a container; the name ``None`` stands for what nobody knows.

    Whether it has begun to need control says the recipe: what is in a dish counts as begun. A
    dish finished with a holding class of its own has given it to all that is in it. A dish that may
    have been bought ready has more in it than its recipe says: it stands beside its ingredients.
    """

    name: str | None
    begun: bool
    dish_class: HoldingClass | None = None


@dataclass(slots=True)
class _Opened:
    """A container being gone through: what waits of Holds, and what was found in it so far."""

    container: Container
    waiting: Iterator[str]
    found: set[Held]
    turned_back: bool = False
    """Whether a container was met in itself: what it holds then hangs on the way there."""

    @staticmethod
    def of(container: Container) -> _Opened:
        """A container of which nothing was looked at."""
        return _Opened(container, iter(container.holds), set())


def sold_ready(shoot: Shoot) -> frozenset[str]:
    """Keys of the dishes that Packs has ready."""
    return frozenset(key(pack.ingredient) for pack in shoot.packs if shoot.is_dish(pack.ingredient))


class Contents:
    """The ingredients in each container of a shoot."""

    def __init__(self, shoot: Shoot) -> None:
        self._shoot = shoot
        self.findings: list[Finding] = []
        self._dishes: dict[tuple[str, int, int | None], tuple[Held, ...]] = {}
        self._known: dict[str, frozenset[Held]] = {}
        self._sold = sold_ready(shoot)

    @cached_property
    def _ingredients(self) -> Named[str]:
        return ingredients_of(self._shoot)

    @cached_property
    def _lines_of(self) -> dict[str, list[Line]]:
        """The lines that take each ingredient, by its key."""
        lines: dict[str, list[Line]] = {}
        for line in self._shoot.lines:
            lines.setdefault(key(line.ingredient), []).append(line)
        return lines

    def classed(self) -> tuple[Container, ...]:
        """The containers, marked where nothing in them needs control, or not before an event."""
        self._check_names()
        self._check_classes()
        return tuple(self._classed(container) for container in self._shoot.containers)

    def ingredients_in(self, container: Container) -> list[str | None]:
        """Names of the ingredients in a container, sorted; ``None`` first for what is unknown."""
        names = {held.name for held in self._inside(container)}
        return sorted(names, key=lambda name: (name is not None, name or ""))

    def _classed(self, container: Container) -> Container:
        """A container with what starts its clock, from the holding classes of what it holds."""
        inside = self._inside(container)
        if not inside:
            return container
        kinds: set[EventKind] = set()
        for held in inside:
            needs = held.dish_class
            if needs is None and held.name is not None:
                needs = self._class_of_food(held.name)
            if needs is HoldingClass.NONE:
                continue
            # always in need of control, unknown, or already cut or cooked: the clock runs from the
            # log
            if needs not in STARTED_BY or held.begun:
                return container
            kinds.update(STARTED_BY[needs])
        # everything in it is of class none: no rule is asked
        if not kinds:
            return container.model_copy(update={"covered": False})
        starts_by = tuple(kind for kind in EventKind if kind in kinds)
        if _measured_as_cooked(container, starts_by):
            return container
        if container.events and not kinds & {event.kind for event in container.events}:
            finding = messages.start_not_logged(container.place, container.name, starts_by)
            self.findings.append(finding)
        return container.model_copy(update={"starts_by": starts_by})

    def _class_of_food(self, name: str) -> HoldingClass | None:
        """The class of an ingredient, or of a dish as it is sold; ``None`` counts as always."""
        needs = self._shoot.ingredient(name).holding_class
        # the tables have filled what recipes take; what they make is looked up here
        if needs is None and self._shoot.is_dish(name):
            published = fill(name, "Holding class")
            return HoldingClass(published.text) if isinstance(published, Filled) else None
        return needs

    def _begun(self, name: str) -> bool:
        """Whether an ingredient held by itself may be cut or cooked already, by the recipes."""
        needs = self._class_of_food(name)
        lines = self._lines_of.get(key(name), ())
        if needs is HoldingClass.WHEN_CUT:
            return any(line.cut for line in lines)
        return needs is HoldingClass.WHEN_COOKED and any(
            line.measured is Measured.COOKED for line in lines
        )

    def _inside(self, asked: Container) -> frozenset[Held]:
        """Ingredients in a container, worked out once: a bowl is in any number of others.

        Bowls stand in bowls to any depth: those on the way are a list, by their names.
        """
        rows = self._shoot.container_rows
        if rows.get(asked.name) is asked and key(asked.name) in self._known:
            return self._known[key(asked.name)]
        way = {key(asked.name): _Opened.of(asked)}
        while True:
            name, last = next(reversed(way.items()))
            for text in last.waiting:
                other, in_itself = rows.get(text), key(text) in way
                last.turned_back |= in_itself
                if other is None or in_itself:
                    last.found.update(self._named(text, last.container, in_itself=in_itself))
                elif key(text) in self._known:
                    last.found |= self._known[key(text)]
                else:
                    way[key(text)] = _Opened.of(other)
                    break
            else:
                found = frozenset(last.found)
                if rows.get(name) is last.container and not last.turned_back:
                    self._known[name] = found
                del way[name]
                if not way:
                    return found
                outer = next(reversed(way.values()))
                outer.found |= found
                outer.turned_back |= last.turned_back

    def _named(self, text: str, container: Container, *, in_itself: bool) -> Iterator[Held]:
        """What a name in Holds is, if no other container: a dish, a part of one, an ingredient."""
        part = part_of_dish(text)
        if self._shoot.is_dish(text):
            yield from self._of_dish(text)
        elif part is not None and self._shoot.is_dish(part.dish):
            yield from self._of_part(part, text, container)
        elif text in self._ingredients:
            yield Held(text, self._begun(text))
        elif key(text) == key(container.name):
            self._say(messages.container_in_itself(container.place, container.name))
            yield Held(None, begun=True)
        elif not in_itself:
            self._tell(text, container)
            yield Held(None, begun=True)

    def _of_part(self, part: PartOfDish, text: str, container: Container) -> Iterator[Held]:
        """What is in a dish as it is after a step, or what some steps alone add to it.

        A single step can mean either: it is judged as the dish after it, the stricter. So are
        steps that add nothing, because what rests or bakes in them comes from those before.
        """
        steps = sorted({line.step for line in self._shoot.recipes[part.dish]})
        if part.last not in steps or part.first not in steps:
            known = f"{part.dish}: steps {steps[0]}-{steps[-1]}"
            self._say(messages.contents_unknown(container.place, text, [known], container.name))
            yield Held(None, begun=True)
        alone = self._of_dish(part.dish, part.first, part.last) if part.only else ()
        if alone:
            yield from alone
            return
        if part.first != steps[0] and not part.only:
            self._say(
                messages.part_unclear(
                    container.place, text, part.dish, steps[0], part.first, part.last
                )
            )
        yield from self._of_dish(part.dish, steps[0], part.last)

    def _of_dish(self, dish: str, first: int = 0, last: int | None = None) -> Sequence[Held]:
        """Every ingredient of a dish at any depth, those to taste and the optional ones too.

        Worked out once: a dish is in any number of containers.
        """
        asked = key(dish), first, last
        if asked not in self._dishes:
            self._dishes[asked] = tuple(dict.fromkeys(self._gone_through(dish, first, last)))
        return self._dishes[asked]

    def _gone_through(self, dish: str, first: int, last: int | None) -> Iterator[Held]:
        """The ingredients of a dish line by line."""
        own = self._shoot.recipes[dish]
        finished = last is None or last >= max((line.step for line in own), default=0)
        finished = finished and first <= min((line.step for line in own), default=0)
        seen = {key(dish)}
        of_class = self._class_of(dish) if finished else None
        if finished and key(dish) in self._sold:
            begun = of_class is None and self._begun(dish)
            yield Held(self._shoot.recipes.spelling(dish), begun, of_class)
        lines = deque(
            (n, of_class) for n in own if first <= n.step and (last is None or n.step <= last)
        )
        while lines:
            line, outer = lines.popleft()
            name = line.ingredient
            if not name or is_water(name):
                continue
            if not self._shoot.is_dish(name):
                yield Held(name, begun=outer is None, dish_class=outer)
            elif key(name) not in seen:
                seen.add(key(name))
                inner = outer or self._class_of(name)
                if key(name) in self._sold:
                    yield Held(name, begun=inner is None, dish_class=inner)
                lines.extend((n, inner) for n in self._shoot.recipes[name])

    def _class_of(self, dish: str) -> HoldingClass | None:
        """The class a dish has by itself, as typed in Dishes."""
        row = self._shoot.dish_rows.get(dish)
        return None if row is None else row.holding_class

    def _check_names(self) -> None:
        """Tell of containers that hold nothing, and of one logged once, nearly named as another."""
        warned: set[str] = set()
        blank = [
            container
            for container in self._shoot.containers
            if container.events and not container.holds and container.covered is None
            if container.eaten is not Eaten.NEVER and not container.is_room
        ]
        if blank and not self._shoot.left_out_on("Holding"):
            place = replace(blank[0].place, heading="Holds")
            words = quoted_words((container.name for container in blank), last="and")
            self._say(messages.contents_not_given(place, words))
        names = list(self._shoot.container_rows)
        spelled = [name.casefold() for name in names]
        for container in self._shoot.containers:
            if len(container.events) != 1 or key(container.name) in warned:
                continue
            found = likenesses(container.name.casefold(), spelled, least=LIKENESS_OF_A_SLIP, most=4)
            others = [names[at] for at, _ in found if key(names[at]) != key(container.name)]
            # bowl 1 and bowl 2 are near names and two bowls
            near = [name for name in others[:3] if not _numbered(name, container.name)]
            if near:
                warned.add(key(near[0]))
                self._say(messages.container_nearly(container.place, container.name, near[0]))

    def _check_classes(self) -> None:
        """Warn of a logged dish of class none that holds something which always needs control."""
        for row in self._shoot.dish_rows.values():
            logged = self._shoot.is_dish(row.name) and key(row.name) in self._named_in_log
            if row.holding_class is not HoldingClass.NONE or not logged:
                continue
            for held in self._of_dish(row.name):
                name = held.name or ""
                if self._shoot.ingredient(name).holding_class is HoldingClass.ALWAYS:
                    place = row.at("Holding class")
                    self._say(messages.dish_needs_no_control(place, row.name, name))
                    break

    @cached_property
    def _named_in_log(self) -> set[str]:
        return set().union(*map(dishes_named, self._shoot.containers))

    def _say(self, finding: Finding) -> None:
        if finding not in self.findings:
            self.findings.append(finding)

    def _tell(self, text: str, container: Container) -> None:
        """Tell of a name in Holds that nobody knows."""
        known = [*self._shoot.container_rows, *self._shoot.recipes, *self._ingredients]
        several = [part.strip() for part in _SEVERAL.split(text)]
        all_known = len(several) > 1 and {key(one) for one in several} <= set(map(key, known))
        near = ["; ".join(several)] if all_known else nearest(text, known)
        self._say(messages.contents_unknown(container.place, text, near, container.name))


def _numbered(one: str, other: str) -> bool:
    """Whether two names differ in numbers or single letters alone: bowl 1 and bowl 2."""
    first, second = key(one).split(), key(other).split()
    apart = [pair for pair in zip(first, second, strict=False) if pair[0] != pair[1]]
    return len(first) == len(second) and all(
        len(word) == 1 or any(sign.isdigit() for sign in word) for pair in apart for word in pair
    )
