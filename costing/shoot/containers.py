"""What a container of the holding log holds, down to its ingredients."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from itertools import takewhile
from typing import NamedTuple

from costing.findings import Finding
from costing.holding.models import Container, EventKind
from costing.kitchen import HoldingClass, Line, Measured
from costing.names import Named, is_water, key, nearest
from costing.shoot import messages
from costing.shoot.shoot import Shoot

STEP_OF_DISH = re.compile(r"(?P<dish>.+?)\s*:\s*step\s+(?P<step>\d+)", re.IGNORECASE)
"""How the log names one step of a dish: ``tart: step 3``."""

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

    Whether it has begun to need control says the recipe: what is in a dish counts as begun.
    """

    name: str | None
    begun: bool


class Contents:
    """The ingredients in each container of a shoot.

    Parameters
    ----------
    shoot : Shoot
        Whose log and recipes.
    """

    def __init__(self, shoot: Shoot) -> None:
        self._shoot = shoot
        self._containers = Named((c.name, c) for c in shoot.containers)
        self._ingredients = Named(
            (name, name)
            for name in (
                *(line.ingredient for line in shoot.lines if line.ingredient),
                *(row.name for row in shoot.ingredients),
                *(pack.ingredient for pack in shoot.packs),
                *(lot.ingredient for lot in shoot.lots),
            )
        )
        self._lines_of: dict[str, list[Line]] = {}
        for line in shoot.lines:
            self._lines_of.setdefault(key(line.ingredient), []).append(line)
        self.findings: list[Finding] = []

    def classed(self) -> tuple[Container, ...]:
        """The containers, marked where nothing in them needs control, or not before an event."""
        return tuple(self._classed(container) for container in self._shoot.containers)

    def ingredients_in(self, container: Container) -> list[str | None]:
        """Names of the ingredients in a container, sorted; ``None`` first for what is unknown."""
        names = {held.name for held in self._inside(container, frozenset())}
        return sorted(names, key=lambda name: (name is not None, name or ""))

    def _classed(self, container: Container) -> Container:
        inside = self._inside(container, frozenset())
        if not inside:
            return container
        kinds: set[EventKind] = set()
        for held in inside:
            needs = None if held.name is None else self._shoot.ingredient(held.name).holding_class
            if needs is HoldingClass.NONE:
                continue
            if needs not in STARTED_BY or held.begun:
                return container
            kinds.update(STARTED_BY[needs])
        if not kinds:
            return container.model_copy(update={"covered": False})
        starts_by = tuple(kind for kind in EventKind if kind in kinds)
        if _measured_as_cooked(container, starts_by):
            return container
        if container.events and not kinds & {event.kind for event in container.events}:
            finding = messages.start_not_logged(container.place, container.name, starts_by)
            self.findings.append(finding)
        return container.model_copy(update={"starts_by": starts_by})

    def _begun(self, name: str) -> bool:
        """Whether an ingredient held by itself may be cut or cooked already, by the recipes."""
        needs = self._shoot.ingredient(name).holding_class
        lines = self._lines_of.get(key(name), ())
        if needs is HoldingClass.WHEN_CUT:
            return any(line.cut for line in lines)
        return needs is HoldingClass.WHEN_COOKED and any(
            line.measured is Measured.COOKED for line in lines
        )

    def _inside(self, container: Container, seen: frozenset[str]) -> set[Held]:
        """Ingredients in a container."""
        found: set[Held] = set()
        for text in container.holds:
            found.update(self._named(text, container, seen | {key(container.name)}))
        return found

    def _named(self, text: str, container: Container, seen: frozenset[str]) -> Iterator[Held]:
        other = self._containers.get(text)
        step = STEP_OF_DISH.fullmatch(text.strip())
        if other is not None and key(text) not in seen:
            yield from self._inside(other, seen)
        elif self._shoot.is_dish(text):
            yield from (Held(name, begun=True) for name in self._of_dish(text))
        elif step is not None and self._shoot.is_dish(step["dish"]):
            yield from self._of_step(step["dish"], int(step["step"]), text, container)
        elif text in self._ingredients:
            yield Held(text, self._begun(text))
        elif key(text) not in seen:
            self._tell(
                text, container, [*self._containers, *self._shoot.recipes, *self._ingredients]
            )
            yield Held(None, begun=True)

    def _of_step(self, dish: str, step: int, text: str, container: Container) -> Iterator[Held]:
        """Ingredients of one step; what a step without any holds, nobody knows."""
        steps = sorted({line.step for line in self._shoot.recipes[dish]})
        if step not in steps:
            self._tell(text, container, [f"{dish}: step {known}" for known in steps])
        inside: list[str | None] = list(self._of_dish(dish, step))
        yield from (Held(name, begun=True) for name in inside or [None])

    def _of_dish(self, dish: str, step: int | None = None) -> Iterator[str]:
        """Every ingredient of a dish at any depth, those to taste and the optional ones too."""
        seen = {key(dish)}
        lines = [n for n in self._shoot.recipes[dish] if step is None or n.step == step]
        while lines:
            name = lines.pop(0).ingredient
            if not name or is_water(name):
                continue
            if not self._shoot.is_dish(name):
                yield name
            elif key(name) not in seen:
                seen.add(key(name))
                lines.extend(self._shoot.recipes[name])

    def _tell(self, text: str, container: Container, known: list[str]) -> None:
        near = nearest(text, known)
        finding = messages.contents_unknown(container.place, text, near, container.name)
        if finding not in self.findings:
            self.findings.append(finding)
