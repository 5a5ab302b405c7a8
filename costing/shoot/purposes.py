"""What a shot is for, and what follows from it: a row for each purpose."""

from __future__ import annotations

from enum import Enum, StrEnum


class Purpose(StrEnum):
    """What a shot is for; it sets the defaults of the shot's other columns.

    Examples
    --------
    >>> Purpose("hero spare")
    <Purpose.HERO_SPARE: 'hero spare'>
    """

    COOK_THROUGH = "cook-through"
    RETAKE = "retake"
    SWAP = "swap"
    HERO = "hero"
    HERO_SPARE = "hero spare"
    CLOSE_UP = "close-up"
    RESET = "reset"
    BITE = "bite"
    VERTICAL_PASS = "vertical pass"
    TEST = "test"
    STAND_IN = "stand-in"
    CREW_MEAL = "crew meal"
    GIVEAWAY = "giveaway"


class Trait(Enum):
    """What may follow from a purpose, in words."""

    STEPS_EXPECTED = "Steps should be given; without them all are taken, with a warning"
    STEPS_ALONE = "it uses the steps it names; every other shows a dish made from its first step"
    PICKED_FOR = "its pieces are picked out of the candidates of a line"
    EATEN = "its food is eaten unless the shot says otherwise"
    SHOWS_MAKING = "a dish is cooked for it, although it may be on hand or sold ready"
    READY_MADE = "its dish stands ready when it starts"
    FRESH_PLATE = "it puts a fresh plate on set"
    LEAVES_NO_COPY = "after it no whole copy is left that could be shown"


TRAITS: dict[Purpose, set[Trait]] = {
    Purpose.COOK_THROUGH: {Trait.SHOWS_MAKING},
    Purpose.RETAKE: {Trait.STEPS_EXPECTED, Trait.STEPS_ALONE, Trait.SHOWS_MAKING},
    Purpose.SWAP: {Trait.STEPS_EXPECTED, Trait.READY_MADE},
    Purpose.HERO: {Trait.PICKED_FOR, Trait.READY_MADE, Trait.FRESH_PLATE},
    Purpose.HERO_SPARE: {Trait.PICKED_FOR, Trait.READY_MADE, Trait.FRESH_PLATE},
    Purpose.CLOSE_UP: {
        *(Trait.STEPS_EXPECTED, Trait.STEPS_ALONE),
        *(Trait.PICKED_FOR, Trait.SHOWS_MAKING),
    },
    Purpose.RESET: {
        *(Trait.STEPS_EXPECTED, Trait.STEPS_ALONE),
        *(Trait.SHOWS_MAKING, Trait.FRESH_PLATE),
    },
    Purpose.BITE: {Trait.EATEN, Trait.LEAVES_NO_COPY},
    Purpose.VERTICAL_PASS: {Trait.STEPS_ALONE, Trait.SHOWS_MAKING},
    Purpose.TEST: {Trait.SHOWS_MAKING, Trait.LEAVES_NO_COPY},
    Purpose.STAND_IN: {Trait.READY_MADE, Trait.LEAVES_NO_COPY},
    Purpose.CREW_MEAL: {Trait.EATEN, Trait.LEAVES_NO_COPY},
    Purpose.GIVEAWAY: {Trait.STEPS_ALONE, Trait.EATEN, Trait.LEAVES_NO_COPY},
}


def _having(trait: Trait) -> frozenset[Purpose]:
    return frozenset(purpose for purpose in Purpose if trait in TRAITS[purpose])


STEPS_EXPECTED = _having(Trait.STEPS_EXPECTED)
STEPS_ALONE = _having(Trait.STEPS_ALONE)
PICKED_FOR = _having(Trait.PICKED_FOR)
EATEN = _having(Trait.EATEN)
SHOWS_MAKING = _having(Trait.SHOWS_MAKING)
READY_MADE = _having(Trait.READY_MADE)
FRESH_PLATE = _having(Trait.FRESH_PLATE)
LEAVES_NO_COPY = _having(Trait.LEAVES_NO_COPY)

OF_AN_EMPTY_PLAN = (Purpose.COOK_THROUGH, Purpose.HERO)
"""What is counted of each whole dish where nothing is planned."""
