"""What a container of the holding log holds, down to its ingredients."""

from __future__ import annotations

import re
from collections.abc import Iterator

from costing.findings import Finding, nearest
from costing.holding.models import Container
from costing.kitchen import HoldingClass
from costing.names import Named, key
from costing.shoot import messages
from costing.shoot.checks import is_water
from costing.shoot.shoot import Shoot

STEP_OF_DISH = re.compile(r"(?P<dish>.+?)\s*:\s*step\s+(?P<step>\d+)", re.IGNORECASE)
"""How the log names one step of a dish: ``tart: step 3``."""


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
        self.findings: list[Finding] = []

    def classed(self) -> tuple[Container, ...]:
        """The containers, those that need no control of temperature marked as not covered."""
        return tuple(self._classed(container) for container in self._shoot.containers)

    def _classed(self, container: Container) -> Container:
        inside = self._inside(container, frozenset())
        needs_none = bool(inside) and all(
            name is not None and self._shoot.ingredient(name).holding_class is HoldingClass.NONE
            for name in inside
        )
        return container.model_copy(update={"covered": False}) if needs_none else container

    def _inside(self, container: Container, seen: frozenset[str]) -> set[str | None]:
        """Ingredients in a container; ``None`` among them for what nobody knows."""
        found: set[str | None] = set()
        for text in container.holds:
            found.update(self._named(text, container, seen | {key(container.name)}))
        return found

    def _named(self, text: str, container: Container, seen: frozenset[str]) -> Iterator[str | None]:
        other = self._containers.get(text)
        step = STEP_OF_DISH.fullmatch(text.strip())
        if other is not None and key(text) not in seen:
            yield from self._inside(other, seen)
        elif self._shoot.is_dish(text):
            yield from self._of_dish(text)
        elif step is not None and self._shoot.is_dish(step["dish"]):
            yield from self._of_step(step["dish"], int(step["step"]), text, container)
        elif text in self._ingredients:
            yield text
        elif key(text) not in seen:
            self._tell(
                text, container, [*self._containers, *self._shoot.recipes, *self._ingredients]
            )
            yield None

    def _of_step(
        self, dish: str, step: int, text: str, container: Container
    ) -> Iterator[str | None]:
        """Ingredients of one step; what a step without any holds, nobody knows."""
        steps = sorted({line.step for line in self._shoot.recipes[dish]})
        if step not in steps:
            self._tell(text, container, [f"{dish}: step {known}" for known in steps])
        inside: list[str | None] = list(self._of_dish(dish, step))
        yield from inside or [None]

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
