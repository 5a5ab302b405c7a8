"""Which shots leave a copy of a dish whole, and which could take one over and begin none.

The fewest copies of a dish are a minimum path cover of its shots: as many copies fewer as there are
pairs in the largest matching of shots that leave one with shots that begin one [1]_, each as often
as it is taken. Among the largest matchings the one whose copies have been taken furthest is used.

References
----------
.. [1] D. R. Fulkerson, "Note on Dilworth's decomposition theorem for partially ordered sets",
   Proceedings of the American Mathematical Society 7 (4), 1956, pp. 701-702.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal

from costing.buying.matching import largest_matching
from costing.names import key
from costing.shoot import Purpose, Shoot
from costing.shoot.copies import Forest, steps_shown
from costing.shoot.purposes import LEAVES_NO_COPY, STEPS_ALONE

TAKES_APART = frozenset({"carve", "carved", "carving", "eat", "eaten", "portion", "portioned"})
"""Words of a step's name after which the dish is no longer whole."""


@dataclass(frozen=True, slots=True)
class Continuation:
    """A copy that could continue.

    Parameters
    ----------
    source, shot : int
        Places in the plan of the shot that leaves it and of the one that begins another.
    fewer : int
        Copies that are begun less. [copy]
    rest : tuple of int
        Steps that the later shot adds.
    blank : bool
        Whether blank Steps stand for them.
    saving : Decimal, optional
        How much less is paid, besides what earlier suggestions save; ``None`` is not known.
        [money]
    least : tuple of (int, int, int)
        Copies of the dish begun now, with all suggestions, and at the least in any order of the
        shots.
    alone : bool
        Whether all this holds when nothing else that is suggested is done.
    """

    source: int
    shot: int
    fewer: int
    rest: tuple[int, ...]
    blank: bool
    saving: Decimal | None
    least: tuple[int, int, int]
    alone: bool = True


class Takeovers:
    """Which shots of a plan leave a copy, and which begin one."""

    def __init__(self, shoot: Shoot, caps: Mapping[int, int]) -> None:
        self.shoot, self.shots = shoot, shoot.shots
        self.forest = Forest(shoot.shots)
        self.times = self.forest.times_of(range(len(self.shots)), caps)
        self._takes_apart = {
            (key(line.dish), line.step)
            for line in shoot.lines
            if TAKES_APART.intersection(key(line.step_name).split())
        }
        self._last = [max(steps_shown(shot, shoot), default=0) for shot in self.shots]
        recipes = shoot.recipes.items()
        self._finished = {key(dish): max(one.step for one in lines) for dish, lines in recipes}
        self._labels = Counter((key(s.episode), key(s.label)) for s in self.shots)

    def dishes(self) -> Iterator[list[int]]:
        """The shots of each episode, dish, batch and choice of optional lines."""
        groups: dict[tuple[object, ...], list[int]] = {}
        for number, shot in enumerate(self.shots):
            if self.times[number] and shot.batch and self.shoot.is_dish(shot.dish):
                alike = key(shot.episode), key(shot.dish), shot.batch, shot.optional_lines
                groups.setdefault(alike, []).append(number)
        return (shots for shots in groups.values() if len(shots) > 1)

    def suggested(self, shots: Sequence[int]) -> list[Continuation]:
        """The takeovers of a dish with which the fewest copies are begun."""
        begun = [n for n in shots if self._begins(n)]
        whole = {n for n in shots if self._leaves_a_copy(n)}
        leaving = sorted(whole, key=lambda n: (-self._last[n], n))
        timed = all(self.shots[n].starts for n in shots)
        first = self.forest.first  # a copy does not continue in the shot that begins it
        pairs = [(p, c) for p in leaving for c in begun if first[p] != c]
        pairs = [(p, c) for p, c in pairs if self._far_enough(p, c)]
        in_order = [(p, c) for p, c in pairs if self._in_order(p, c, timed=timed)]
        if not in_order:
            return []
        by_shot: dict[int, dict[int, int]] = {}
        for (source, shot), times in self._matched(leaving, begun, in_order).items():
            by_shot.setdefault(shot, {})[source] = times
        fewer = self._saved({c: max(by, key=lambda p: (by[p], -p)) for c, by in by_shot.items()})
        anyhow = [(p, c) for p, c in pairs if self._acyclic(p, c, whole)]
        now = sum(self.times[n] for n in shots if self.shots[n].source is None and self._whole(n))
        least = now - sum(self._matched(leaving, begun, anyhow).values())
        after = now - sum(number for _, number in fewer.values())
        return [
            Continuation(
                *(source, shot, number, *self._rest(source, shot), None, (now, after, least)),
                alone=self._saved({shot: source}) == {shot: (source, number)},
            )
            for shot, (source, number) in fewer.items()
        ]

    def _matched(
        self, leaving: Sequence[int], begun: Sequence[int], pairs: Sequence[tuple[int, int]]
    ) -> dict[tuple[int, int], int]:
        """How many copies of which shot others take over, as many as there can be."""
        free = {shot: self._free(shot) for shot in leaving}
        return largest_matching(free, {shot: self.times[shot] for shot in begun}, pairs)

    def _saved(self, sources: Mapping[int, int]) -> dict[int, tuple[int, int]]:
        """By shot its source and how many copies fewer are begun, one after the other."""
        saved: dict[int, tuple[int, int]] = {}
        times, takers = dict(self.times), self.forest.takers.items()
        needed = {number: sum(times[one] for one in found) for number, found in takers}
        back = [shot.source for shot in self.shots]
        for shot in sorted(sources):
            before = [sources[shot]]
            while (source := back[before[-1]]) is not None:
                before.append(source)
            if before[-1] == shot:
                continue  # it would continue with its own copy
            # counted at the first shot of the copy: what one saves hangs on those added before it
            more, changed = times[shot], dict[int, tuple[int, int]]()
            for at in before:
                of_takers = needed.get(at, 0) + more
                changed[at] = of_takers, max(times[at], of_takers)
                more = changed[at][1] - times[at]
                if not more:
                    break
            if more < times[shot]:
                saved[shot], back[shot] = (sources[shot], times[shot] - more), sources[shot]
                for at, (of_takers, own) in changed.items():
                    needed[at], times[at] = of_takers, own
        return saved

    def _whole(self, number: int) -> bool:
        """Whether a shot shows a whole dish, and not only what some steps add."""
        shot = self.shots[number]
        return shot.source is not None or shot.purpose not in STEPS_ALONE

    def _begins(self, number: int) -> bool:
        """Whether a shot begins a copy and says nothing of where it comes from."""
        shot = self.shots[number]
        return self._whole(number) and not shot.from_shot  # what cannot be named there is told

    def _leaves_a_copy(self, number: int) -> bool:
        """Whether a copy is left whole that does not continue, by a shot that From can name."""
        shot = self.shots[number]
        return (
            self._whole(number)
            and not shot.is_eaten
            and shot.purpose not in LEAVES_NO_COPY
            and self._free(number) > 0
            and self._labels[key(shot.episode), key(shot.label)] == 1
            and all((key(shot.dish), step) not in self._takes_apart for step in self._made(number))
        )

    def _free(self, number: int) -> int:
        """Copies that a shot leaves and that do not continue. [copy]"""
        continuing = sum(self.times[taker] for taker in self.forest.takers.get(number, ()))
        return self.times[number] - continuing

    def _made(self, number: int) -> set[int]:
        """Steps that the copy in a shot has been through."""
        return steps_shown(self.shots[number], self.shoot)

    def _in_order(self, source: int, shot: int, *, timed: bool) -> bool:
        """Whether a copy may continue in the order of Starts, or of rows where some are blank."""
        one, other = self.shots[source].starts, self.shots[shot].starts
        if one is None or other is None or one == other:
            return source < shot
        return one < other and (timed or source < shot)

    def _far_enough(self, source: int, shot: int) -> bool:
        """Whether a shot needs the copy of another at least as far as that one takes it."""
        one, other = self.shots[source], self.shots[shot]
        purposes = {one.purpose, other.purpose}
        if Purpose.HERO_SPARE in purposes <= {Purpose.HERO, Purpose.HERO_SPARE}:
            return False  # a spare stands ready beside its hero
        last, needed = self._last[source], self._last[shot]
        # blank Steps are all that follow, so that nothing can be written for none of several
        return last < needed or (last == needed == self._finished[key(other.dish)])

    def _acyclic(self, source: int, shot: int, leaving: Collection[int]) -> bool:
        """Whether a takeover keeps to an order of those that take a dish equally far.

        Those that leave no copy come last; the others may come in any order.
        """
        one, other = ((self._last[n], n not in leaving, n) for n in (source, shot))
        return one < other

    def _rest(self, source: int, shot: int) -> tuple[tuple[int, ...], bool]:
        """The steps that are left for a shot, and whether they are all that follow."""
        known = {line.step for line in self.shoot.recipes[self.shots[shot].dish]}
        following = {step for step in known if step > self._last[source]}
        rest = following.intersection(self._made(shot))
        return tuple(sorted(rest)), rest == following
