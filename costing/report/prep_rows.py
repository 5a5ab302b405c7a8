"""Rows of Prep, Swaps and Copies: bowls of lines, stages to prepare, copies of dishes."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from itertools import groupby

from costing.findings import choice_words
from costing.kitchen import Measured
from costing.names import key
from costing.prep.bowls import Bowls, Ready
from costing.prep.stages import Copy, Stage
from costing.quantities import magnitude_text, mixed
from costing.recipe_text import without_guess
from costing.report.layouts import COPIES, PREP, SWAPS
from costing.report.make_rows import Cooked
from costing.report.tables import Row, Table
from costing.shoot import Shot
from costing.shoot.purposes import PICKED_FOR, READY_MADE
from costing.shoot.shots import steps_words

NAMED_AT_MOST = 3


def prep(
    bowls: Sequence[Bowls], kept: Mapping[tuple[str, str], str], cooked: Iterable[Cooked]
) -> Table:
    """One row for the bowls of each line, in the order in which a cook needs them.

    What one step needs is listed together, to be set on one tray, whose first row names the step.

    ``kept``: by keys of episode and ingredient what an earlier day leaves for it, in words.
    """
    made = {key(str(one.row["dish"])) for one in cooked}
    trays = groupby(bowls, key=lambda one: (one.episode, one.dish, one.ready.at, one.step))
    return Table.grouped(
        PREP,
        (
            (_row(one, kept, made, first=at == 0) for at, one in enumerate(tray))
            for _, tray in trays
        ),
    )


def _row(
    bowls: Bowls, kept: Mapping[tuple[str, str], str], made: Collection[str], *, first: bool
) -> Row:
    """A line's bowls as a row of Prep."""
    amount, line = bowls.amount, bowls.line
    notes = [kept.get((key(bowls.episode), key(line.ingredient)), "")]
    notes += [bowls.step_name] if first else []
    if bowls.made:
        notes.append("a dish of its own" + (", see Make" if key(line.ingredient) in made else ""))
    return PREP.row(
        line,
        episode=bowls.episode,
        dish=bowls.dish,
        step=bowls.step,
        amount=None if amount is None else amount.magnitude,
        unit="" if amount is None else amount.unit.name,
        bowl_size=bowls.size,
        bowls=bowls.count,
        shown=str(line.shown),
        ready_by=bowls.ready.at,
        note="; ".join([*filter(None, notes), *_notes(bowls)]),
    )


def _notes(bowls: Bowls) -> Iterator[str]:
    """What else is to be known of bowls beside their numbers."""
    line, leaf = bowls.line, bowls.leaf
    if leaf.optional:
        yield "optional"
    if line.to_taste:
        yield "to taste: no amount is worked out"
    elif bowls.each_time is None:
        yield _unknown_amount(bowls)
    else:
        yield from _about_amount(bowls)
    for use in bowls.uses:
        shot = use.shot
        if shot.uncertain:
            of = f"{shot.least_times} to {shot.most_times}"
            yield f"{shot.label} is covered {use.times} times, of {of}"
    yield from _about_ready(bowls.ready)
    if any(_stands_ready(use.shot, bowls.ready) for use in bowls.uses):
        yield "what it goes into is ready by then, see Swaps: weigh it out before"
    note, _, _ = without_guess(line.note)  # how its step was found is for who checks the recipe
    if note:
        yield note


def _unknown_amount(bowls: Bowls) -> str:
    line = bowls.line
    if line.measured is Measured.COOKED and line.amount is not None and bowls.leaf.times:
        return f"{line.amount} cooked: how much that is raw is not known"
    return f'how much of it goes into "{bowls.dish}" is not known'


def _about_amount(bowls: Bowls) -> Iterator[str]:
    """What a cook must know of the amount in a bowl, sentence by sentence."""
    line, each_time = bowls.line, bowls.each_time
    if bowls.parts > 1:
        yield f"{bowls.parts} bowls each time, together {each_time}"
    if line.measured is not Measured.TRIMMED and line.amount is not None and bowls.leaf.times:
        factor = bowls.leaf.times * bowls.uses[0].shot.batch
        yield f"ready to use; the recipe has {line.amount * factor} {line.measured}"
    if bowls.leaf.picked and any(use.shot.purpose in PICKED_FOR for use in bowls.uses):
        part = bowls.leaf.good_enough
        if part is None:
            yield f"picked out of {magnitude_text(bowls.leaf.candidates)} for each one shown"
        else:
            yield f"picked out of more: {magnitude_text(100 * part)} % are good enough to be shown"
    if bowls.volume.why_not:
        yield bowls.volume.why_not
    elif bowls.size is None:
        yield "no bowl sizes are known"


def _stands_ready(shot: Shot, ready: Ready) -> bool:
    """Whether a finished stage is shown by when the bowl is asked for."""
    return shot.purpose in READY_MADE and shot.starts is not None and shot.starts == ready.clock


def _about_ready(ready: Ready) -> Iterator[str]:
    if ready.at is None:
        if ready.clock is None:
            yield "by when is not known: no start and no call time"
        else:
            yield f"by when is not known: {ready.clock:%H:%M} of a day without a shoot date"
    if ready.no_start:
        names = [shot.label for shot in ready.no_start]
        yield f"no start is given for {choice_words(names, most=NAMED_AT_MOST, last='and')}"


def swaps(stages: Sequence[Stage]) -> Table:
    """One row for each stage, in the order in which they must be ready."""
    return SWAPS.table(
        SWAPS.row(
            stage.shot,
            episode=stage.shot.episode,
            dish=stage.dish,
            purpose=str(stage.shot.purpose),
            to_step=stage.to_step,
            times=stage.times,
            ready_by=stage.ready.at,
        )
        for stage in stages
    )


def copies(begun: Sequence[Copy], could_continue: Mapping[tuple[int, int], str]) -> Table:
    """One row for each copy of a dish.

    ``could_continue``: by the place of a shot in the plan and the number of its take which shot's
    copy it could continue with instead.
    """
    return COPIES.table(
        COPIES.row(
            episode=copy.episode,
            dish=copy.dish,
            copy=copy.number,
            shots=", ".join(shot.label for shot in copy.shots),
            steps=steps_words(copy.steps),
            first_start=copy.first,
            last_start=copy.last,
            note="; ".join(_about_copy(copy, could_continue.get(copy.take, ""))),
        )
        for copy in begun
    )


def _about_copy(copy: Copy, instead: str) -> Iterator[str]:
    """What is to be known of a copy beside its shots."""
    batch = copy.shots[0].batch
    if batch != 1:
        yield f"{mixed(batch)} of the recipe"
    if copy.spare:
        yield "only if there are more takes than Times"
    if copy.not_shot:
        names = choice_words([shot.label for shot in copy.not_shot], last="and")
        yield f"made through the steps of {names} without a take of its own"
    if instead:
        yield f"{instead} could be used instead"
