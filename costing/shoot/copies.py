r"""Where the copy of a dish in a shot comes from: newly begun, or from the shot before it.

A shot that shows a whole dish shows one copy of it. From makes a forest of the shots of a dish: a
copy continues from shot to shot, and each adds only its own steps. With :math:`k(p)` the number
of times shot :math:`p` is taken, its steps are provided for

.. math:: D(p) = \max\bigl(k(p), \sum_c D(c)\bigr)

times, the sum over the shots that take over from it: a copy goes to one shot, and when more are
taken than continue, the rest are new.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

from costing.findings import Finding
from costing.names import Named, by_name, is_water, key, nearest
from costing.quantities import most
from costing.shoot import messages
from costing.shoot.purposes import STEPS_ALONE, Purpose
from costing.shoot.shoot import Shoot
from costing.shoot.shots import Shot, steps_words

NOTHING = "nothing"
"""What From holds when the steps of a shot stand for themselves."""


def with_copies(shoot: Shoot, shots: tuple[Shot, ...]) -> tuple[tuple[Shot, ...], list[Finding]]:
    """The shots with the steps they are provided with, and for how many times.

    A shot that continues with a copy adds its own steps; one that shows a whole dish and leaves out
    steps before its last is provided for from the first step on, with a finding.
    """
    continuity = _Continuity(shoot, shots)
    made = []
    for number, shot in enumerate(shots):
        source = continuity.source.get(number)
        if source is not None:
            own = continuity.own_steps(number)
            all_steps = continuity.with_those_left_out(number)
            steps: tuple[int, ...] | None = all_steps
            if all_steps != own:
                words = map(steps_words, (own, continuity.made(source), all_steps))
                continuity.findings.append(messages.steps_left_out(shot.at("Steps"), *words))
        else:
            steps = _from_the_first_step(shoot, shot) or shot.steps
            if steps and steps != shot.steps and not shot.from_shot:
                continuity.findings.append(_reported(shot, steps, shoot))
        changes = {"steps": steps, "source": source}
        same = (steps, source) == (shot.steps, shot.source)
        made.append(shot if same else shot.model_copy(update=changes))
    return tuple(made), continuity.findings


def _from_the_first_step(shoot: Shoot, shot: Shot) -> tuple[int, ...] | None:
    """All steps up to the last of a shot, when it shows a whole dish and names fewer."""
    if shot.purpose in STEPS_ALONE or not shot.steps or not shoot.is_dish(shot.dish):
        return None
    # the user wrote "nothing" into From: these steps alone are meant
    if key(shot.from_shot) == NOTHING:
        return None
    known = {line.step for line in shoot.recipes[shot.dish]}
    last = max(known.intersection(shot.steps), default=0)
    if all(step in shot.steps for step in _taking(shoot, shot) if step < last):
        return None
    return tuple(sorted({*(step for step in known if step < last), *shot.steps}))


def _taking(shoot: Shoot, shot: Shot) -> set[int]:
    """The steps of a shot's dish that take food that costs something."""
    return {
        line.step
        for line in shoot.recipes[shot.dish]
        if line.ingredient and not is_water(line.ingredient) and not line.to_taste
        if shot.optional_lines or not line.optional
    }


def _reported(shot: Shot, first_on: tuple[int, ...], shoot: Shoot) -> Finding:
    """What is made instead; steps that the dish does not have are told by themselves."""
    known = {line.step for line in shoot.recipes[shot.dish]}
    named, made = (
        steps_words(tuple(step for step in steps if step in known))
        for steps in (shot.steps or (), first_on)
    )
    return messages.made_from_the_first_step(shot.at("Steps"), named, str(shot.purpose), made)


class _Continuity:
    """Which shot takes over from which, by their places in the plan."""

    def __init__(self, shoot: Shoot, shots: tuple[Shot, ...]) -> None:
        self._shoot, self._shots = shoot, shots
        self.findings: list[Finding] = []
        self.source: dict[int, int] = {}
        in_episodes = by_name((one.episode, (one.label, at)) for at, one in enumerate(shots))
        self._labels = Named((episode, by_name(pairs)) for episode, pairs in in_episodes.items())
        self._known: dict[int, tuple[int, tuple[int, ...]]] = {}
        for number, shot in enumerate(shots):
            if shot.from_shot and key(shot.from_shot) != NOTHING and shoot.is_dish(shot.dish):
                named = self._named(number)
                if named is not None:
                    self.source[number] = named
        for number in list(self.source):
            if number in self._before(number):
                self._refuse(number, "a shot that itself continues with a copy of this one")
        # those near the first shot come first: whether a copy lacks a step depends on all before it
        for number in sorted(self.source, key=lambda n: len(list(self._before(n)))):
            why = self._against(number)
            if why:
                self._refuse(number, why)
            elif why := self._made_already(number):
                self._refuse(number, why, self._steps_to_write(number))

    def _refuse(self, number: int, why: str, mended: str = "") -> None:
        shot = self._shots[number]
        del self.source[number]
        alone = self._stands_alone(shot)
        self.findings.append(
            messages.copy_cannot_continue(shot.at("From"), shot.from_shot, why, mended, alone=alone)
        )

    def _stands_alone(self, shot: Shot) -> bool:
        """Whether the steps of a shot stand for themselves when it continues with no copy."""
        if shot.purpose not in STEPS_ALONE or not shot.steps:
            return False
        return not {line.step for line in self._shoot.recipes[shot.dish]} <= set(shot.steps)

    def _named(self, number: int) -> int | None:
        """The shot that From names, in the same episode; a finding when it is none or several."""
        shot = self._shots[number]
        of_episode = self._labels[shot.episode]
        found = [at for at in of_episode.get(shot.from_shot, ()) if at != number]
        place, alone = shot.at("From"), self._stands_alone(shot)
        if not found and key(shot.label) == key(shot.from_shot):
            itself = messages.copy_cannot_continue(
                place, shot.label, "the shot itself", alone=alone
            )
            self.findings.append(itself)
        # of a row that could not be used is told by itself
        elif not found and not self._shoot.left_out_on("Shoot plan", name=shot.from_shot):
            others = (label for label, places in of_episode.items() if places != [number])
            near = nearest(shot.from_shot, others)
            self.findings.append(messages.shot_unknown(place, shot.from_shot, near, alone=alone))
        elif len(found) > 1:
            why = f"the name of {len(found)} shots"
            self.findings.append(
                messages.copy_cannot_continue(place, shot.from_shot, why, alone=alone)
            )
        return found[0] if len(found) == 1 else None

    def _against(self, number: int) -> str:
        """Why a shot cannot continue with the copy it names, in words; blank if it can."""
        shot, source = self._shots[number], self._shots[self.source[number]]
        if key(source.dish) != key(shot.dish):
            return f'a shot of another dish, "{source.dish}"'
        if source.batch != shot.batch:
            return "a shot of another batch"
        if source.is_eaten or source.purpose is Purpose.TEST:
            return "a shot that leaves no whole copy: it is eaten or tried"
        if shot.starts and (late := self._starts_later(number)) is not None:
            whose = "a shot that" if late is source else f'a copy of "{late.label}", which'
            return f"{whose} starts later, at {late.starts:%H:%M}"
        last = self._last(self.source[number])
        lacking = {s for s in _taking(self._shoot, shot) if s < last}.difference(
            self.made(self.source[number])
        )
        # a close-up of later steps may show a copy that lacks an earlier one; a whole dish may not
        if lacking and shot.purpose not in STEPS_ALONE:
            return f"a shot whose copy lacks step {min(lacking)}"
        return ""

    def _made_already(self, number: int) -> str:
        """Which of a shot's steps the copy it continues with has, in words; blank if none."""
        steps, last = self._shots[number].steps, self._last(self.source[number])
        if not steps or min(steps) > last:
            return ""
        return f"a copy that has step {last} already, for steps {steps_words(steps)}"

    def _steps_to_write(self, number: int) -> str:
        """How Steps are mended that the copy has already, in words; blank where nothing fits."""
        steps, last = self._shots[number].steps or (), self._last(self.source[number])
        rest = tuple(step for step in steps if step > last)
        if rest:
            return f'write "{steps_words(rest)}" in Steps'
        finished = last >= max(line.step for line in self._shoot.recipes[self._shots[number].dish])
        return "clear Steps" if finished else ""

    def _starts_later(self, number: int) -> Shot | None:
        """The first of those that a copy has been in before that starts after this one."""
        starts = self._shots[number].starts
        for before in map(self._shots.__getitem__, self._before(number)):
            if starts and before.starts and before.starts > starts:
                return before
        return None

    def _before(self, number: int) -> Iterator[int]:
        """The shots that a copy has been in before, the latest first; a loop is gone round once."""
        seen: set[int] = set()
        while number in self.source and number not in seen:
            seen.add(number)
            number = self.source[number]
            yield number

    def _last(self, number: int) -> int:
        """The last step that a copy has when a shot is done with it."""
        return self._done_with(number)[0]

    def made(self, number: int) -> tuple[int, ...]:
        """The steps that a copy has when a shot is done with it."""
        return self._done_with(number)[1]

    def _done_with(self, number: int) -> tuple[int, tuple[int, ...]]:
        """The last step and all steps of a copy, worked out once: its past does not change.

        Shots are looked at the earliest first, so that what From names is settled by then.
        """
        if number not in self._known:
            own, source = self.own_steps(number), self.source.get(number)
            if source is None:
                first_on = _from_the_first_step(self._shoot, self._shots[number])
                self._known[number] = max(own, default=0), first_on or own
            else:
                last, made = self._done_with(source)
                self._known[number] = max(own, default=last), tuple(sorted({*made, *own}))
        return self._known[number]

    def with_those_left_out(self, number: int) -> tuple[int, ...]:
        """The steps of a shot that continues, with those between that take food and none makes."""
        shot, own = self._shots[number], self.own_steps(number)
        before, last = self._last(self.source[number]), max(own, default=0)
        between = {step for step in _taking(self._shoot, shot) if before < step < last}
        return tuple(sorted({*own, *between}))

    def own_steps(self, number: int) -> tuple[int, ...]:
        """The steps a shot adds; where it names none, all that follow those of its copy."""
        shot = self._shots[number]
        if shot.steps is not None:
            return shot.steps
        before = self._last(self.source[number]) if number in self.source else 0
        known = {line.step for line in self._shoot.recipes[shot.dish]}
        return tuple(sorted(step for step in known if step > before))


def shots_before(shot: Shot, shots: Sequence[Shot]) -> Iterator[Shot]:
    """The shots that the copy in a shot has been through before, the latest first.

    ``shots``: the plan, from :func:`with_copies`.
    """
    return (shots[at] for at in back_from(shot.source, shots))


def back_from(number: int | None, shots: Sequence[Shot]) -> Iterator[int]:
    """A shot and those that its copy has been through before, the latest first, by their places.

    Parameters
    ----------
    number : int, optional
        Its place in the plan; ``None`` stands for no shot.
    shots : sequence of Shot
        The plan, from :func:`with_copies`.

    Examples
    --------
    >>> list(back_from(2, [Shot(dish="pie", source=source) for source in (None, 0, 1, 0)]))
    [2, 1, 0]
    """
    while number is not None:
        yield number
        number = shots[number].source


def steps_shown(shot: Shot, shoot: Shoot) -> set[int]:
    """The steps that the copy in a shot has been through.

    ``shoot``: with its shots filled in, by :func:`with_copies`.
    """
    steps: set[int] = set()
    for one in (shot, *shots_before(shot, shoot.shots)):
        if one.steps is None:
            return {line.step for line in shoot.recipes.get(shot.dish, ())}
        steps.update(one.steps)
    return steps


@dataclass(frozen=True)
class Forest:
    """For how many times the steps of each shot are provided, whatever the numbers of times.

    ``shots``: the plan, from :func:`with_copies`.
    """

    shots: tuple[Shot, ...]

    @cached_property
    def takers(self) -> dict[int, list[int]]:
        """The shots that take over from each, by their places in the plan."""
        takers: dict[int, list[int]] = {}
        for number, shot in enumerate(self.shots):
            if shot.source is not None:
                takers.setdefault(shot.source, []).append(number)
        return takers

    @cached_property
    def first(self) -> list[int]:
        """The shot that begins the copy in each, by their places in the plan."""
        roots = (number for number, shot in enumerate(self.shots) if shot.source is None)
        found = {at: root for root in roots for at in self.takers_first([root])}
        return [found[number] for number in range(len(self.shots))]

    def takers_first(self, shots: Iterable[int]) -> list[int]:
        """Shots and all that continue with their copies, each behind those that take over."""
        found: dict[int, None] = {}
        waiting = list(shots)
        while waiting:
            left = [t for t in self.takers.get(waiting[-1], ()) if t not in found]
            if left:
                waiting += left
            else:
                found[waiting.pop()] = None
        return list(found)

    def uncertain(self, number: int) -> set[int]:
        """The uncertain shots that decide how often the steps of a shot are provided."""
        return {at for at in self.takers_first([number]) if self.shots[at].uncertain}

    def times(self, number: int, counts: Mapping[int, int]) -> int:
        """For how many times the steps of a shot are provided. [time]

        Parameters
        ----------
        number : int
            Place of the shot in the plan.
        counts : mapping of int to int
            How often uncertain shots are taken; others by their Times.

        Examples
        --------
        A pie that is taken once and continues to two shots is begun twice.

        >>> forest = Forest(tuple(Shot(dish="pie", source=source) for source in (None, 0, 0)))
        >>> forest.times(0, {}), forest.times(0, {1: 3})
        (2, 4)
        """
        return self.times_of((number,), counts)[number]

    def times_of(self, shots: Iterable[int], counts: Mapping[int, int]) -> dict[int, int]:
        """The same of several shots, each that takes over looked at once. [time]"""
        asked, found = list(shots), dict[int, int]()
        for number in self.takers_first(asked):
            # as many copies as the shot shows itself, or as those that take over need, whichever is
            # more
            own, takers = counts.get(number, self.shots[number].times), self.takers.get(number)
            found[number] = own if takers is None else most(own, sum(found[t] for t in takers))
        return {number: found[number] for number in asked}
