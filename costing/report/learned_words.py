"""What past shoots teach, in words and figures for a person."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from fractions import Fraction

from costing.findings import choice_words
from costing.quantities import ZERO, decimal_or_fraction
from costing.shoot.learned import ENOUGH_SHOOTS, Lesson
from costing.shoot.times import percent_number
from costing.shoot.weighings import TrimYieldLearned

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
    """What is to be said of them together, in sentences.

    Parameters
    ----------
    lessons : sequence of Lesson
        Of all kinds of step.
    """
    kept = sum(lesson.kept[0] for lesson in lessons)
    known = sum(lesson.kept[1] for lesson in lessons)
    if known:
        promised = sum(((lesson.promised or ZERO) * lesson.kept[1] for lesson in lessons), ZERO)
        yield (
            f"Enough: in {kept} of {known} shots ({percent_number(Fraction(kept, known))} %) the "
            "number that the plan's own Fewest, Times and Most provide for was enough; promised "
            f"was {percent_number(promised / known)} % on average."
        )
    few = [str(lesson.kind) for lesson in lessons if not lesson.rests_on_enough]
    if few:
        yield (
            f"In brackets: fewer than {ENOUGH_SHOOTS} shoots, so that a new plan does not take "
            f"them unless --few is given: {choice_words(few, most=len(few), last='and')}."
        )
    untold = sum(one.why is None for lesson in lessons for one in lesson.endings)
    if untold:
        yield (
            f"Of {untold} shots in all nothing says why they ended, and they count as enough: "
            "write food, time or spoiled into Ended by where they would have gone on."
        )
    yield (
        "Most is so high that a plan of the three provides for what past shoots ask. Above is the "
        "chance of more than the Most, or else the Times, of the newest plan."
    )
    yield "To plan with them: costing new NAME.xlsx --recipe RECIPE --takes FOLDER"
