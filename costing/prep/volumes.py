"""How much room an amount takes in a bowl, as far as it is known."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

from costing.kitchen import Line, Measured
from costing.names import key
from costing.quantities import Amount, Dimension
from costing.reference import Filled, fill
from costing.shoot import Shoot

HEADING = "Grams per ml"
PIECES_WORDS = "in pieces: the bowl is not worked out"
DISH_WORDS = "in portions or batches: the bowl is not worked out"
COOKED_WORDS = "measured cooked: the bowl depends on when it is cooked"

Chosen = Mapping[tuple[str, str], Fraction]
"""Published densities that are taken, by the keys of ingredient and cut. [g/ml]"""


@dataclass(frozen=True, slots=True)
class Volume:
    """The room an amount takes.

    Parameters
    ----------
    value : Fraction, optional
        ``None`` when it is not known. [ml]
    why_not : str
        Why it is not known, in words; ``""`` when it is, or when no amount is known either.
    density : Filled, optional
        A published density taken for it that is needed for nothing else.
    """

    value: Fraction | None = None
    why_not: str = ""
    density: Filled | None = None


class Volumes:
    """The room that a shoot's recipe lines take.

    Parameters
    ----------
    shoot : Shoot
        With its blanks filled.
    chosen : mapping of (str, str) to Fraction
        Published densities that have been taken already.
    """

    def __init__(self, shoot: Shoot, chosen: Chosen) -> None:
        self._shoot = shoot
        self._chosen = chosen
        self._known: dict[tuple[str, str], Fraction | Filled | str] = {}

    def of(self, line: Line, amount: Amount) -> Volume:
        """The room that an amount of a line takes, trimmed and ready to use.

        A volume is its own room, however the shop sells the food. A weight takes the density that
        was typed, else the published one of the line's cut that is taken already, else the one
        that is published for it when there is exactly one. Nothing is guessed: pieces, and what
        the recipe weighs cooked, have no room.

        ``amount``: of it. [mass, volume or count]

        Examples
        --------
        600 g of a paste of 1.2 g/ml fill 500 ml.

        >>> from costing.kitchen import Ingredient
        >>> from costing.quantities import amount
        >>> paste = Ingredient(name="paste", density=Fraction("1.2"))
        >>> volumes = Volumes(Shoot(ingredients=[paste]), {})
        >>> volumes.of(Line(dish="soup", ingredient="paste"), amount("600 g")).value
        Fraction(500, 1)
        >>> volumes.of(Line(dish="soup", ingredient="egg"), amount("2 each")).why_not
        'in pieces: the bowl is not worked out'
        """
        if line.measured is Measured.COOKED:
            return Volume(why_not=COOKED_WORDS)
        if amount.dimension is Dimension.VOLUME:
            return Volume(amount.base)
        if amount.dimension is not Dimension.MASS:
            of_dish = amount.dimension is not Dimension.COUNT
            return Volume(why_not=DISH_WORDS if of_dish else PIECES_WORDS)
        wanted = key(line.ingredient), key(line.cut)
        if wanted not in self._known:
            self._known[wanted] = self._density(line, wanted)
        found = self._known[wanted]
        if isinstance(found, str):
            return Volume(why_not=found)
        if isinstance(found, Filled):
            return Volume(amount.base / found.number, density=found)
        return Volume(amount.base / found)

    def _density(self, line: Line, wanted: tuple[str, str]) -> Fraction | Filled | str:
        """Grams per ml: as typed or taken, a published value, or in words why it is not known."""
        given = self._shoot.ingredient(line.ingredient).density
        # a typed density holds for every cut; a published one was filled in for the food without a
        # cut
        if given is not None and (wanted[0], "") not in self._chosen:
            return given
        if wanted in self._chosen:
            return self._chosen[wanted]
        found = fill(line.ingredient, HEADING, cut=line.cut)
        if isinstance(found, Filled):
            return found
        why = found.why if found else f"{HEADING} is not known"
        columns = HEADING if line.cut or found is None else f"Cut or {HEADING}"
        return f"{why}: fill {columns} to know the bowl"
