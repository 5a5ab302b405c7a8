"""The shots of a plan: what each is for, which steps it takes, how often and for whom."""

from __future__ import annotations

import re
from collections.abc import Iterable
from enum import StrEnum
from fractions import Fraction
from typing import TYPE_CHECKING, Annotated, ClassVar, TypeAlias

from pydantic import AfterValidator, BeforeValidator, Field, model_validator

from costing.listing import runs
from costing.quantities.fields import (
    AtLeast0,
    ClockOrNone,
    Count,
    CountOrNone,
    FromRow,
    Many,
    Word,
    WordOrNone,
    default,
)
from costing.quantities.numbers import DASHES, HALF_WIDTH
from costing.shoot.purposes import EATEN, Purpose

MOST_STEPS = 999
"""A number of a step above this is no step somebody wrote."""

_STEP = re.compile(r"([0-9]{1,6})(?:\s*(?:-|to)\s*([0-9]{1,6}))?", re.IGNORECASE)


class StepsUpsideDown(ValueError):
    """A range of steps that goes down.

    ``upright``: the same range going up.
    """

    def __init__(self, text: str, upright: str) -> None:
        super().__init__(f"the steps {text!r} go down; write {upright}")
        self.upright = upright


def read_steps(text: str) -> tuple[int, ...]:
    """The steps of a text such as ``2``, ``1-3`` or ``1-3, 5``, in rising order.

    Raises
    ------
    StepsUpsideDown
        If a range goes down; it is a ValueError.
    ValueError
        If it is no such text.

    Examples
    --------
    >>> read_steps("1-3, 5")
    (1, 2, 3, 5)
    """
    found: set[int] = set()
    for part in re.split("[,;、]", text.translate(HALF_WIDTH).translate(DASHES)):
        one = _STEP.fullmatch(part.strip())
        first, last = (int(one[1]), int(one[2] or one[1])) if one else (0, 0)
        # checked before the range is written out: 1-999999 would be a million steps
        if not (1 <= first <= MOST_STEPS and 1 <= last <= MOST_STEPS):
            raise ValueError(f"found {text!r}, expected steps such as '2', '1-3' or '1-3, 5'")
        if first > last:
            raise StepsUpsideDown(text, f"{last}-{first}")
        found.update(range(first, last + 1))
    return tuple(sorted(found))


def steps_words(steps: Iterable[int]) -> str:
    """Steps as they are typed.

    Examples
    --------
    >>> steps_words((1, 2, 3, 5)), steps_words((4, 5))
    ('1-3, 5', '4-5')
    """
    found = runs(steps)
    return ", ".join(str(run[0]) if len(run) == 1 else f"{run[0]}-{run[-1]}" for run in found)


def _steps(value: object) -> object:
    """Steps as a text or as numbers; one number is one step."""
    if isinstance(value, str):
        return read_steps(value)
    # not isinstance: True would be step 1
    return (value,) if value.__class__ is int else value


def _in_order(steps: tuple[int, ...]) -> tuple[int, ...]:
    return tuple(sorted(set(steps)))


if TYPE_CHECKING:
    from costing.quantities.fields import Given

    Steps: TypeAlias = Given[tuple[int, ...] | None, Iterable[int] | int | str | None]
else:
    Step = Annotated[int, Field(strict=True, ge=1, le=MOST_STEPS)]
    Steps = Annotated[tuple[Step, ...], BeforeValidator(_steps), AfterValidator(_in_order)] | None


class EndedBy(StrEnum):
    """Why a shot was not taken again.

    Examples
    --------
    >>> EndedBy("food")
    <EndedBy.FOOD: 'food'>
    """

    ENOUGH = "enough"
    FOOD = "food"
    TIME = "time"
    SPOILED = "spoiled"


class Shot(FromRow):
    """One use of food.

    Parameters
    ----------
    name : str
        Blank: named from dish and purpose.
    episode : str
        Blank: the only episode.
    steps : tuple of int, optional
        The steps it takes; ``None`` takes all.
    from_shot : str
        The shot whose copy of the dish continues here, or ``nothing`` when the steps stand for
        themselves; blank: a new copy is begun.
    batch : Fraction
        How much of the recipe each time. [recipe]
    times : int
        How many times in all; with ``fewest`` or ``most`` the likeliest number.
    fewest, most : int, optional
        Three-point estimate of an uncertain number of times.
    eaten : bool, optional
        ``None``: by purpose.
    eaters : tuple of str
        Who eats of it, by their names on People.
    eater_count : int, optional
        Or how many eat of it.
    starts : time, optional
        Clock time on the shoot date.
    taken : int, optional
        How often it was taken so far; ``None``: not yet.
    source : int, optional
        Place in the plan of the shot that ``from_shot`` names, once that is found to go; filled
        in by ``costing.shoot.defaults``.

    Examples
    --------
    >>> Shot(dish="tart", purpose="retake", steps="1-3, 5", times=2).steps
    (1, 2, 3, 5)
    """

    sheet: ClassVar[str] = "Shoot plan"
    named_by: ClassVar[str] = "label"
    dish: str
    name: str = ""
    episode: str = ""
    purpose: Word[Purpose] = default(Purpose.COOK_THROUGH)
    steps: Steps = default(None)
    from_shot: str = ""
    batch: AtLeast0 = default(Fraction(1))
    times: Count = default(1)
    fewest: CountOrNone = default(None)
    most: CountOrNone = default(None)
    eaten: bool | None = None
    eaters: Many[str] = default(())
    eater_count: CountOrNone = default(None)
    optional_lines: bool = False
    starts: ClockOrNone = default(None)
    taken: CountOrNone = default(None)
    ended_by: WordOrNone[EndedBy] = default(None)
    source: CountOrNone = default(None)
    note: str = ""

    @model_validator(mode="after")
    def _points_in_order(self) -> Shot:
        if not self.least_times <= self.times <= self.most_times:
            raise ValueError("fewest, times and most must rise in this order")
        return self

    @property
    def is_eaten(self) -> bool:
        """Whether its food is eaten, by the shot's own word or else by its purpose."""
        return self.purpose in EATEN if self.eaten is None else self.eaten

    @property
    def uncertain(self) -> bool:
        """Whether its number of times is an estimate."""
        return self.fewest is not None or self.most is not None

    @property
    def least_times(self) -> int:
        """The fewest times it is taken; blank equals Times."""
        return self.times if self.fewest is None else self.fewest

    @property
    def most_times(self) -> int:
        """The most times it is taken; blank equals Times."""
        return self.times if self.most is None else self.most

    @property
    def label(self) -> str:
        """Its name, or a name made from dish and purpose."""
        return self.name or f"{self.dish}, {self.purpose}"

    @property
    def full_label(self) -> str:
        """Its label with the episode before it."""
        return f"{self.episode}: {self.label}"
