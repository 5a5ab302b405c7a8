"""Past shoots: the workbooks of a folder, read one after the other, and what they teach."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from pathlib import Path
from typing import Any, TypeVar

from costing.asked import Stop, workbooks_in
from costing.findings import Place, choice_words, how_many
from costing.kitchen import Line
from costing.names import key, singular
from costing.quantities import ZERO, decimal_or_fraction
from costing.shoot import Shoot, Shot
from costing.shoot.defaults import completed
from costing.shoot.endings import endings_of, kind_of
from costing.shoot.learned import ENOUGH_SHOOTS, Lesson, learned_note, lessons
from costing.shoot.messages import nothing_to_cook
from costing.shoot.purposes import OF_AN_EMPTY_PLAN
from costing.shoot.times import percent_number
from costing.shoot.weighings import TrimYieldLearned, trimmings_of, yields_learned
from costing.workbook.package.refusals import Refused
from costing.workbook.reading import read_workbook

Told = TypeVar("Told")


@dataclass(frozen=True, slots=True)
class PastShoot:
    """A workbook of a folder that was read.

    ``workbook``: its path from the folder.
    """

    workbook: str
    shoot: Shoot


@dataclass(frozen=True, slots=True)
class NotRead:
    """A workbook of a folder that cannot be used.

    ``workbook``: its path from the folder.
    """

    workbook: str
    why: str

    def __str__(self) -> str:
        return f"{self.workbook}: {self.why}"


def told_of_each(
    folder: Path, told: Callable[[PastShoot], Told]
) -> tuple[list[Told], tuple[NotRead, ...]]:
    """What is told of each workbook of a folder and the folders in it; those that cannot be used.

    Nothing else of one is kept when the next is read, so that there may be thousands.

    Raises
    ------
    Stop
        If there is no such folder.
    """
    found, not_read = list[Told](), list[NotRead]()
    for one in _past_shoots(folder):
        if isinstance(one, NotRead):
            not_read.append(one)
        else:
            found.append(told(one))
    return found, tuple(not_read)


def _past_shoots(folder: Path) -> Iterator[PastShoot | NotRead]:
    """The workbooks of a folder, one after the other."""
    if not folder.is_dir():
        raise Stop(f"{folder}: found no folder, expected one with workbooks of past shoots.")
    for path in workbooks_in(folder, deep=True):
        name = path.relative_to(folder).as_posix()
        try:
            shoot, _ = read_workbook(path)
        except Refused as refused:
            yield NotRead(name, refused.finding.found)
            continue
        if not any(line.ingredient for line in shoot.lines):
            yield NotRead(name, nothing_to_cook(Place("Recipes")).found)
            continue
        yield PastShoot(name, shoot)


@dataclass(frozen=True, slots=True)
class TakesLearned:
    """What the workbooks of a folder teach about numbers of times.

    Parameters
    ----------
    lessons : tuple of Lesson
        By kind of step, those that rest on most shoots first.
    yields : tuple of TrimYieldLearned
        Trim yields by what was weighed, the most weighed first.
    """

    lessons: tuple[Lesson, ...]
    workbooks: int
    not_read: tuple[NotRead, ...] = ()
    yields: tuple[TrimYieldLearned, ...] = ()

    def used(self, *, few: bool) -> TakesLearned:
        """The same with what a new plan takes of it.

        ``few``: whether what rests on few shoots or weighings is asked for.
        """
        return replace(
            self,
            lessons=tuple(one for one in self.lessons if few or one.rests_on_enough),
            yields=tuple(one for one in self.yields if few or one.rests_on_enough),
        )


def takes_learned(folder: str | Path) -> TakesLearned:
    """What the workbooks of a folder teach about numbers of times, by kind of step.

    ``folder``: with workbooks whose shots say Taken and Ended by, or with their day logs.

    Examples
    --------
    >>> import tempfile
    >>> import costing
    >>> toast = costing.Shoot(
    ...     lines=[costing.Line(dish="toast", ingredient="bread", amount="2 each")],
    ...     shots=[costing.Shot(dish="toast", taken=3, ended_by="food")],
    ... )
    >>> with tempfile.TemporaryDirectory() as folder:
    ...     costing.write_workbook(Path(folder, "toast.xlsx"), toast)
    ...     (lesson,) = takes_learned(folder).lessons
    >>> str(lesson.kind), lesson.shoots, lesson.endings[0].at_least
    ('cook-through, whole dish', 1, True)
    """
    found, not_read = told_of_each(
        Path(folder),
        lambda one: (
            list(endings_of(completed(one.shoot)[0], one.workbook)),
            list(trimmings_of(one.shoot)),
        ),
    )
    taught = tuple(lessons([ending for endings, _ in found for ending in endings]))
    learned = yields_learned([weighing for _, weighed in found for weighing in weighed])
    return TakesLearned(taught, len(found), not_read, learned)


def planned_rows(
    recipe: Iterable[dict[str, Any]], taught: Sequence[Lesson]
) -> list[dict[str, Any]]:
    """Rows of Shoot plan for new dishes with the numbers of times that past shoots teach.

    Each dish that is not an ingredient of another has its cook-through and its hero, as an empty
    plan counts them, and every kind of step that it has in common with past shoots.
    """
    lines = [
        Line(
            dish=row["Dish"],
            step=row["Step"],
            step_name=row["Step name"] or "",
            ingredient=row["Ingredient"] or "",
        )
        for row in recipe
    ]
    shoot = Shoot(lines=lines)
    by_kind = {lesson.kind.key: lesson for lesson in taught}
    rows = []
    for dish in shoot.whole_dishes:
        steps = {line.step for line in shoot.recipes[dish]}
        shots = [Shot(dish=dish, purpose=purpose) for purpose in OF_AN_EMPTY_PLAN]
        shots[1:1] = [
            Shot(dish=dish, purpose=lesson.kind.purpose, steps=named)
            for lesson in taught
            if (named := _steps_named(shoot, dish, lesson.kind.steps)) and set(named) != steps
        ]
        rows += [_planned(shot, by_kind.get(kind_of(shot, shoot).key)) for shot in shots]
    return rows


def _steps_named(shoot: Shoot, dish: str, names: Sequence[str]) -> tuple[int, ...]:
    """The steps of a dish that have all of these names; none where one is missing."""
    by_name = {key(line.step_name): line.step for line in shoot.recipes[dish]}
    found = tuple(by_name[key(name)] for name in names if key(name) in by_name)
    return found if len(found) == len(names) else ()


def _planned(shot: Shot, lesson: Lesson | None) -> dict[str, Any]:
    """The row of a shot, with what is taught of its kind."""
    row: dict[str, Any] = {"Dish": shot.dish, "Purpose": str(shot.purpose)}
    if shot.steps:
        row["Steps"] = ", ".join(map(str, shot.steps))
    if lesson is not None:
        fewest, times, most = lesson.suggested
        row["Times"] = times
        if fewest != most:
            row |= {"Fewest": fewest, "Most": most}
        row["Note"] = learned_note(lesson)
    return row


def with_yields(
    rows: Iterable[dict[str, Any]], yields: Sequence[TrimYieldLearned]
) -> list[dict[str, Any]]:
    """Rows of Ingredients with the trim yields that were weighed, where none is typed.

    ``yields``: what is to be used; a name is the same in singular and plural.
    """
    by_name = {key(singular(one.ingredient)): one for one in yields}
    found = []
    for row in rows:
        one = by_name.get(key(singular(str(row["Ingredient"]))))
        if one is not None and row.get("Trim yield %") in (None, ""):
            said = " ".join(filter(None, (row.get("Note"), one.note)))
            row = row | {"Trim yield %": one.percent, "Note": said}
        found.append(row)
    return found


HEADINGS = (
    ("Kind of step", False),
    ("Shoots", True),
    ("Fewest", True),
    ("Times", True),
    ("Most", True),
    ("Spread", True),
    ("Above", True),
    ("Enough", True),
    ("Ended at", False),
)
"""Of the columns on the screen, each with whether its cells stand to the right."""


def row_of(lesson: Lesson) -> tuple[str, ...]:
    """The cells of one kind of step; points that are not used stand in brackets."""
    kept, known = lesson.kept
    points = [str(point) for point in lesson.suggested]
    if not lesson.rests_on_enough:
        points = [f"({point})" for point in points]
    above = lesson.chances.more_than(lesson.endings[-1].shot.most_times)
    return (
        str(lesson.kind),
        str(lesson.shoots),
        *points,
        f"{lesson.chances.spread:.1f}",
        f"{percent_number(above, up=True)} %",
        f"{kept} of {known}" if known else "-",
        ended_words(lesson),
    )


YIELD_HEADINGS = (
    *(("Trim yield of", False), ("Weighings", True), ("%", True), ("Least", True), ("Most", True)),
)
"""Of trim yields, likewise."""


def yield_cells(one: TrimYieldLearned) -> tuple[str, ...]:
    """The cells of one trim yield; one that is not used stands in brackets."""
    percent = decimal_or_fraction(one.percent)
    least, most = map(decimal_or_fraction, one.ends)
    shown = percent if one.rests_on_enough else f"({percent})"
    return one.ingredient, str(len(one.weighings)), shown, least, most


def ended_words(lesson: Lesson) -> str:
    """At which numbers of times its shoots ended, and how often.

    Examples
    --------
    >>> from costing.shoot.endings import ShotEnding, StepKind
    >>> from costing.shoot.shots import EndedBy, Shot
    >>> shot, kind = Shot(dish="crepe"), StepKind("retake", ("pour",))
    >>> told = [(2, None), (3, EndedBy.FOOD), (1, None), (2, None)]
    >>> endings = tuple(ShotEnding(kind, k, why, shot, Fraction(1, 20)) for k, why in told)
    >>> ended_words(Lesson(kind, endings))
    '1, 2 (2x), at least 3'
    """
    counted = Counter((one.at_least, one.times) for one in lesson.endings)
    return ", ".join(
        ("at least " if at_least else "") + str(times) + (f" ({often}x)" if often > 1 else "")
        for (at_least, times), often in sorted(counted.items())
    )


def about_lessons(lessons: Sequence[Lesson]) -> Iterator[str]:
    """What is to be said of them together, in sentences."""
    kept = sum(lesson.kept[0] for lesson in lessons)
    known = sum(lesson.kept[1] for lesson in lessons)
    if known:
        promised = sum(((lesson.promised or ZERO) * lesson.kept[1] for lesson in lessons), ZERO)
        share, shots = percent_number(Fraction(kept, known)), "shots" if known > 1 else "shot"
        yield (
            f"Enough: in {kept} of {known} {shots} ({share} %) the number that the plan's own "
            "Fewest, Times and Most provide for was enough; promised was "
            f"{percent_number(promised / known)} % on average."
        )
    few = [str(lesson.kind) for lesson in lessons if not lesson.rests_on_enough]
    if few:
        yield (
            f"In brackets: fewer than {ENOUGH_SHOOTS} shoots, so that a new plan does not take "
            f"them unless --few is given: {choice_words(few, most=len(few), last='and')}."
        )
    untold = sum(one.why is None for lesson in lessons for one in lesson.endings)
    if untold:
        ended = how_many(untold, "shot ended; it counts", "shots ended; they count")
        yield (
            f"Nothing says why {ended} as enough. Write food, time or spoiled into Ended by where "
            "there would have been more takes."
        )
    yield (
        "Most is so high that a plan of the three provides for what past shoots ask. Above is the "
        "chance of more than the Most, or else the Times, of the newest plan."
    )
    yield "To plan with them: costing new NAME.xlsx --recipe RECIPE --takes FOLDER"
