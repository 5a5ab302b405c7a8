r"""Copies of a dish that could continue in a later shot and don't: fewer are begun, less is bought.

A copy that a shot leaves whole may be shown in a later shot that needs it at least as far. The
fewest copies of a dish are a minimum path cover of its shots: as many copies fewer as there are
pairs in the largest matching of shots that leave one with shots that begin one [1]_, each as often
as it is taken. Among the largest matchings the one whose copies have been taken furthest is used.

What is found is suggested and never assumed: whether the same one can be shown again, nobody but
the cook can say. What it saves is worked out by running the changed plan.

References
----------
.. [1] D. R. Fulkerson, "Note on Dilworth's decomposition theorem for partially ordered sets",
   Proceedings of the American Mathematical Society 7 (4), 1956, pp. 701-702.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal

from costing.buying.alternatives import paid_for
from costing.buying.books import Books
from costing.buying.matching import largest_matching
from costing.buying.need import Needs
from costing.buying.planning import proven
from costing.buying.shopping import Shopping
from costing.findings import Finding, Grade, Words, choice_words, message
from costing.names import key
from costing.quantities import money_text
from costing.shoot import Purpose, Shoot, Shot
from costing.shoot.copies import STEPS_ALONE, Forest, steps_shown
from costing.shoot.defaults import completed
from costing.shoot.shots import steps_words


@message("copy could continue", Grade.NOTE)
def copy_could_continue(
    shot: str,
    source: str,
    start: str,
    fewer: int,
    saving: str,
    steps: str,
    least: tuple[int, int, int],
    *,
    eaten: bool,
) -> Words:
    """A shot that begins a copy, while an earlier one leaves a copy that it could show."""
    now, after, anyhow = least
    number = "one copy" if fewer == 1 else f"{fewer} copies"
    limits = " and is within its limits when it is eaten" if eaten else ""
    order = f", {anyhow} at the least in another order" if anyhow < after else ""
    return Words(
        f'a new copy for "{shot}", while "{source}" leaves one',
        f'"{source}" to continue as "{shot}"{start}: {number} fewer, {saving} less',
        f'Write "{source}" in From{steps} if the same one can be shown{limits}. {now} are begun '
        f"now, {after} with all that could continue{order}.",
    )


@message("more copies could continue", Grade.NOTE)
def more_could_continue(pairs: Sequence[str], *, unknown: bool) -> Words:
    """Copies that could continue, of which is not worked out what that saves."""
    why = "the totals leave something out" if unknown else "those are too many plans to try"
    return Words(
        f"new copies where others could continue: {choice_words(pairs, last='and')}",
        "as few copies as the shots allow",
        "Name the earlier shot in From, and mend Steps as said, where the same one can be shown. "
        f"What that saves is not worked out: {why}.",
    )


LEAVES_NO_COPY = frozenset(
    {Purpose.BITE, Purpose.CREW_MEAL, Purpose.GIVEAWAY, Purpose.TEST, Purpose.STAND_IN}
)
"""Purposes after which no whole copy is left that could be shown."""

TAKES_APART = frozenset({"carve", "carved", "carving", "eat", "eaten", "portion", "portioned"})
"""Words of a step's name after which the dish is no longer whole."""

MOST_PRICED = 8
"""Suggestions whose saving is worked out; each runs the plan once more."""

MOST_SHOTS = 100
"""Shots up to which savings are worked out."""

SECONDS = 5.0
"""Time limit of one run. [s]"""


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
    """

    source: int
    shot: int
    fewer: int
    rest: tuple[int, ...]
    blank: bool
    saving: Decimal | None
    least: tuple[int, int, int]


def could_continue(books: Books) -> list[Continuation]:
    """The copies of a shoot that could continue, in the order of the plan.

    Parameters
    ----------
    books : Books
        Of the plan as it is.
    """
    plans = _Plans(books.shoot, books.caps)
    found = [one for shots in plans.dishes() for one in plans.suggested(shots)]
    found = _possible(books.shoot, found)
    return _priced(books, found) if found else []


def _possible(shoot: Shoot, found: Sequence[Continuation]) -> list[Continuation]:
    """Those that can be written into the plan together, and bring no finding there."""
    kept: Sequence[Continuation] = ()
    while len(kept) != len(found):  # one that is refused may have been the source of another
        kept, shots = found, list(shoot.shots)
        for one in kept:
            shots[one.shot] = _changed(shoot, one)
        changed, _ = completed(shoot.changed(shots=tuple(shots)))
        found = [one for one in kept if changed.shots[one.shot].source == one.source]
    return list(kept)


def _changed(shoot: Shoot, one: Continuation) -> Shot:
    """The shot that continues, as it is to be written."""
    update = {"from_shot": shoot.shots[one.source].label, "steps": None if one.blank else one.rest}
    return shoot.shots[one.shot].model_copy(update=update)


def findings_of(
    books: Books, found: Sequence[Continuation], typed: Sequence[Shot]
) -> list[Finding]:
    """What is said of copies that could continue: those that save something, and those not priced.

    Parameters
    ----------
    books : Books
        Of the plan as it is.
    found : sequence of Continuation
        From :func:`could_continue`.
    typed : sequence of Shot
        The plan before its blanks were filled in.
    """
    findings, others = [], []
    shots, currency = books.shoot.shots, books.shoot.settings.currency
    for one in found:
        if one.saving is None:
            others.append(one)
        elif one.saving > 0:
            shot, source = shots[one.shot], shots[one.source]
            findings.append(
                copy_could_continue(
                    shot.at("From"),
                    shot.label,
                    source.label,
                    f" from {shot.starts:%H:%M}" if shot.starts else "",
                    one.fewer,
                    money_text(one.saving, currency),
                    _written(one, typed[one.shot]),
                    one.least,
                    eaten=shot.is_eaten,
                )
            )
    if others:
        place, unknown = shots[others[0].shot].at("From"), bool(books.totals.bought_missing)
        names = [
            f'"{shots[o.source].label}" as "{shots[o.shot].label}"'
            + _written(o, typed[o.shot], " with ", " with its Steps cleared")
            for o in others
        ]
        findings.append(more_could_continue(place, names, unknown=unknown))
    return findings


def _written(
    one: Continuation, typed: Shot, to_write: str = " and ", to_clear: str = " and clear its Steps"
) -> str:
    """What to write beside From, in words."""
    if typed.steps is None or typed.steps == one.rest:
        return ""
    return to_clear if one.blank else f'{to_write}"{steps_words(one.rest)}" in Steps'


class _Plans:
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
            Continuation(source, shot, number, *self._rest(source, shot), None, (now, after, least))
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


def _priced(books: Books, found: Sequence[Continuation]) -> list[Continuation]:
    """The same with what each saves beyond those before it."""
    shopping, shoot = books.shopping, books.shoot
    if shopping is None or len(shoot.shots) > MOST_SHOTS:
        return list(found)
    large = shopping.market.is_large
    # each price would be a long search of its own, and eight of them are asked for
    if large and shopping.market.terms.coupled:
        return list(found)
    priced, shots = [], list(shoot.shots)
    before = _paid_for(shopping, books.caps) if large else _paid(shopping)
    for at, one in enumerate(found):
        if before is None or at >= MOST_PRICED:
            priced.append(one)
            continue
        shots[one.shot] = _changed(shoot, one)
        changed, _ = completed(shoot.changed(shots=tuple(shots)))
        needs = Needs(changed)
        if large:  # not searched again: caps stay, and packs are found for them alone
            same = Shopping(needs, chosen=shopping.purchases, made=shopping.choice)
            after = _paid_for(same, books.caps)
        else:
            after = _paid(Shopping(needs, seconds=SECONDS))
        priced.append(replace(one, saving=None if after is None else before - after))
        before = after
    return priced


def _paid_for(shopping: Shopping, caps: Mapping[int, int]) -> Decimal | None:
    """What the tills take for the cheapest packs for caps; ``None`` where not known. [money]"""
    if any(one.need.unknown or not one.offers for one in shopping.purchases):
        return None
    market = shopping.market
    packs = proven(market.planner().cheapest(caps))
    priced = all(offer.price is not None for a in market.terms.articles for offer in a.offers)
    return market.till(packs) if packs is not None and priced else None


def _paid(shopping: Shopping) -> Decimal | None:
    """What the tills and visits take; ``None`` where something is unknown or not proven. [money]"""
    found = paid_for(shopping)
    return None if found is None or found[1] else found[0]
