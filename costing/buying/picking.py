r"""Pieces to pick from: more are looked at than a hero, a hero spare or a close-up shows.

Of the pieces of one ingredient in one episode :math:`U` are used in all, and the three purposes
show :math:`a_{lp} D_p` of line :math:`l` in shot :math:`p`, which is provided for :math:`D_p`
times. With :math:`C_l` candidates for each of them

.. math:: \max\Bigl(U, \sum_{l,p} C_l\, a_{lp} D_p\Bigr)

are needed: what is looked at and not picked serves the other shots of the episode, a dish as such
a dish. Where a part :math:`q` of the pieces is good enough instead, the least :math:`n` with
:math:`P(\mathrm{Bin}(n, q) \ge \lceil \sum_p a_{lp} D_p \rceil) \ge 1 - r` stands for the product,
:math:`r` the chance of running out that is accepted.

What is needed beyond the pieces used is need of the shots that pick, in proportion to the
candidates of each.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache

from costing.buying import messages
from costing.buying.activities import Linear
from costing.findings import Finding
from costing.kitchen import Line
from costing.quantities import ONE, ZERO, decimal_or_fraction, is_traced, most
from costing.quantities.traced import TracedNumber
from costing.shoot.copies import Forest
from costing.shoot.leaves import Leaf
from costing.shoot.times import percent_number

Share = tuple[str, str, str]
"""Episode, dish and purpose: whose part of the food it is."""

LEAST_RISK = Fraction(1, 10_000)
"""Where no risk is accepted, no number of pieces is enough; so much is. [fraction]"""


@dataclass(frozen=True, slots=True)
class Pick:
    """Pieces of one line that a shot picks each time.

    Parameters
    ----------
    leaf : Leaf
        The line, with its candidates or the part of it that is good enough.
    amount : Fraction
        As bought, one candidate for each piece. [base unit]
    pieces : Fraction
        The same in pieces. [piece]
    """

    shot: int
    share: Share
    leaf: Leaf
    amount: Fraction
    pieces: Fraction


@dataclass(frozen=True, slots=True)
class GoodEnough:
    """Picks of alike pieces of which a part is good enough.

    Parameters
    ----------
    part : Fraction
        How many of all pieces are. [fraction]
    each : Fraction
        What a piece is as bought. [base unit]
    """

    part: Fraction
    each: Fraction
    picks: tuple[Pick, ...]


@dataclass(frozen=True, slots=True)
class Picking:
    """Everything that is picked of one ingredient.

    ``risk``: that too few of the pieces are good enough. [fraction]
    """

    picks: tuple[Pick, ...]
    risk: Fraction
    forest: Forest

    @property
    def episodes(self) -> tuple[str, ...]:
        """In which something is picked."""
        return tuple(dict.fromkeys(pick.share[0] for pick in self.picks))

    def by_number(self, episode: str) -> Iterator[Pick]:
        """The picks with a number of candidates."""
        for pick in self.picks:
            if pick.share[0] == episode and pick.leaf.good_enough is None:
                yield pick

    def by_part(self, episode: str) -> list[GoodEnough]:
        """The picks of which a part is good enough, pieces of one size and part together."""
        groups: dict[tuple[Fraction, Fraction], list[Pick]] = {}
        for pick in self.picks:
            part = pick.leaf.good_enough
            if pick.share[0] == episode and part is not None and pick.pieces:
                groups.setdefault((part, pick.amount / pick.pieces), []).append(pick)
        return [GoodEnough(*alike, tuple(picks)) for alike, picks in groups.items()]

    def looked_at(self, episode: str, counts: Mapping[int, int]) -> Fraction:
        """As bought, all pieces that are looked at. [base unit]"""
        return sum((amount for _, amount in self._looked_at(episode, counts)), ZERO)

    def needed(self, used: dict[str, Fraction], counts: Mapping[int, int]) -> dict[str, Fraction]:
        """What is used or looked at, whichever is more, by episode. [base unit]"""
        return used | {
            episode: most(used.get(episode, ZERO), self.looked_at(episode, counts))
            for episode in self.episodes
        }

    def shares_beyond(self, used: Mapping[str, Fraction]) -> Iterator[tuple[Share, Fraction]]:
        """Whose it is what is looked at beyond what is used, at the likeliest numbers of times."""
        for episode in self.episodes:
            parts = list(self._looked_at(episode, {}))
            whole = sum((amount for _, amount in parts), ZERO)
            beyond = whole - used.get(episode, ZERO)
            if beyond > 0:
                for pick, amount in parts:
                    yield pick.share, beyond * amount / whole

    def _looked_at(
        self, episode: str, counts: Mapping[int, int]
    ) -> Iterator[tuple[Pick, Fraction]]:
        """What is looked at for each pick. [base unit]"""
        for pick in self.by_number(episode):
            times = self.forest.times(pick.shot, counts)
            yield pick, pick.leaf.candidates * pick.amount * times
        for group in self.by_part(episode):
            picked = [pick.pieces * self.forest.times(pick.shot, counts) for pick in group.picks]
            shown = sum(picked, ZERO)
            number = pieces_to_pick_from(shown, good_enough=group.part, risk=self.risk)
            for pick, pieces in zip(group.picks, picked, strict=True):
                amount = group.each * number * pieces / shown if shown else ZERO
                # the number is found by a search: what is made of it does not follow cells
                follows_none = is_traced(pick.amount) or is_traced(shown) or is_traced(group.part)
                yield pick, TracedNumber(amount) if follows_none else amount


def pieces_to_pick_from(picked: Fraction, *, good_enough: Fraction, risk: Fraction) -> int:
    """The least number of pieces among which there are enough good ones.

    Parameters
    ----------
    picked : Fraction
        Pieces that are shown; a part of one takes a whole one. [piece]
    good_enough : Fraction
        Part of all pieces that may be shown, above 0. [fraction]
    risk : Fraction
        That too few of them are; 0 counts as the least there is. [fraction]

    Returns
    -------
    int
        [piece]

    Examples
    --------
    One and two heroes when 70 % of the pieces are good enough, at 95 %: of 2 pieces one is good
    with 1 - 0.3 x 0.3 = 91 %, of 3 with 97.3 %; of 4 two are with 91.63 %, of 5 with 96.922 %.

    >>> part, risk = Fraction(7, 10), Fraction(1, 20)
    >>> [pieces_to_pick_from(Fraction(n), good_enough=part, risk=risk) for n in (0, 1, 2)]
    [0, 3, 5]
    """
    # plain numbers, as they are looked up again; and a searched number follows no cell
    least_risk = max(Fraction(risk), LEAST_RISK)
    return _least_number(math.ceil(Fraction(picked)), Fraction(good_enough), least_risk)


@lru_cache(maxsize=4096)
def _least_number(picked: int, good_enough: Fraction, risk: Fraction) -> int:
    """By doubling, then halving what lies between: more pieces are never less sure."""
    # fewer than are picked are never enough
    enough, step = picked, 1
    while chance_of_fewer(picked, enough, good_enough) > risk:
        enough, step = enough + step, 2 * step
    too_few = picked - 1
    while enough - too_few > 1:
        middle = (enough + too_few) // 2
        if chance_of_fewer(picked, middle, good_enough) > risk:
            too_few = middle
        else:
            enough = middle
    return enough


def chance_of_fewer(picked: int, pieces: int, good_enough: Fraction) -> Fraction:
    r"""That fewer of some pieces are good enough than are picked, exact.

    .. math:: P(\mathrm{Bin}(n, q) < k) = \sum_{j<k} \binom{n}{j} q^j (1 - q)^{n-j}

    Parameters
    ----------
    picked, pieces : int
        :math:`k` and :math:`n`. [piece]
    good_enough : Fraction
        :math:`q`. [fraction]
    """
    good, whole = good_enough.numerator, good_enough.denominator
    ways = (
        math.comb(pieces, j) * good**j * (whole - good) ** (pieces - j)
        for j in range(min(picked, pieces + 1))
    )
    return Fraction(sum(ways), whole**pieces)


@dataclass(frozen=True, eq=False, slots=True)
class LookedAt:
    """The pieces looked at in one episode, beyond those that are used there.

    Two of them are the same where they are of the same picking, whatever is used.
    """

    picking: Picking
    episode: str
    used: Linear

    def __eq__(self, other: object) -> bool:
        if not isinstance(other, LookedAt):
            return NotImplemented
        return self.picking is other.picking and self.episode == other.episode

    def __hash__(self) -> int:
        return hash((id(self.picking), self.episode))


def with_looked_at(parts: dict[str, Linear], picking: Picking | None) -> dict[str, Linear]:
    """What is used by episode, with what is looked at beyond it."""
    if picking is None:
        return parts
    for episode in picking.episodes:
        used = Linear()
        used.add(parts.setdefault(episode, Linear()), ONE)
        parts[episode].beyond[LookedAt(picking, episode, used)] = ONE
    return parts


def about_candidates(lines: Iterable[Line], risk: Fraction) -> Iterator[Finding]:
    """Candidates that pick nothing, and the first part of which no number is sure enough."""
    told = risk > 0
    for line in lines:
        part = line.good_enough
        entry = str(decimal_or_fraction(line.candidates)) if part is None else _percent(part)
        place = line.at("Candidates")
        if line.counted is None:
            if entry != "1" and (line.amount is not None or line.to_taste):
                amount = str(line.amount or "to taste")
                yield messages.candidates_not_counted(place, entry, line.ingredient, amount)
        elif part is not None and part < 1 and not told:
            told = True
            yield messages.no_risk_of_too_few(place, entry, percent_number(LEAST_RISK))


def _percent(part: Fraction) -> str:
    return f"{decimal_or_fraction(100 * part)} %"
