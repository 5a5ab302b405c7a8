"""Which of equally good mixtures to take: fewest shops, then the order in the sheet."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations

from costing.buying.basket import Kind, Mixtures, Offer

SHOPS_COMBINED = 10
"""Of up to so many shops that could be spared every choice is tried."""


@dataclass(frozen=True, slots=True)
class Tied:
    """The equally good mixtures of one ingredient, with the offers they are made of."""

    offers: Sequence[Offer]
    mixtures: Mixtures

    def filled(self, shops: frozenset[str]) -> tuple[int, ...] | None:
        """Packs by offer with the earliest rows first, from these shops and the nameless one.

        ``None`` when these shops do not have enough.
        """
        vectors = [
            vector
            for counts in self.mixtures.counts
            if (vector := self._vector(counts, shops)) is not None
        ]
        return max(vectors, default=None)

    def _vector(self, counts: Sequence[int], shops: frozenset[str]) -> tuple[int, ...] | None:
        vector = [0] * len(self.offers)
        for kind, count in zip(self.mixtures.kinds, counts, strict=True):
            left = count
            for number in kind.offers:
                offer = self.offers[number]
                if left and (not offer.shop or offer.shop in shops):
                    vector[number] = left if offer.at_most is None else min(left, offer.at_most)
                    left -= vector[number]
            if left:
                return None
        return tuple(vector)

    def used_kinds(self) -> Iterator[Kind]:
        """Kinds that any of the mixtures takes."""
        for number, kind in enumerate(self.mixtures.kinds):
            if any(counts[number] for counts in self.mixtures.counts):
                yield kind

    def shops(self) -> list[str]:
        """Shops that any of the mixtures could go to, in the order of the sheet."""
        numbers = sorted(number for kind in self.used_kinds() for number in kind.offers)
        names = (self.offers[number].shop for number in numbers)
        return list(dict.fromkeys(name for name in names if name))


def packs_from_fewest_shops(tied: Sequence[Tied]) -> list[tuple[int, ...]]:
    """For each ingredient the packs to take, from as few shops as possible over all of them.

    Parameters
    ----------
    tied : sequence of Tied
        One for each ingredient.

    Returns
    -------
    list of tuple of int
        Packs by offer, one tuple for each ingredient. Where more than ten shops could be spared,
        shops are spared one by one, the last in the sheet first, until none can be.
    """
    every = frozenset(name for one in tied for name in one.shops())
    needed = frozenset(
        name for name in every if any(one.filled(every - {name}) is None for one in tied)
    )
    optional = [
        name
        for name in dict.fromkeys(name for one in tied for name in one.shops())
        if name not in needed
    ]
    if len(optional) > SHOPS_COMBINED:
        optional = _none_to_spare(tied, needed, optional)
        needed, optional = needed | frozenset(optional), []
    for size in range(len(optional) + 1):
        for more in combinations(optional, size):
            chosen = [one.filled(needed | frozenset(more)) for one in tied]
            if None not in chosen:
                return [vector for vector in chosen if vector is not None]
    raise ValueError("the mixtures take more than all shops together have")


def _none_to_spare(tied: Sequence[Tied], needed: frozenset[str], optional: list[str]) -> list[str]:
    """Shops left when each that can be spared is, from the last to the first."""
    kept = list(optional)
    for name in reversed(optional):
        fewer = [other for other in kept if other != name]
        shops = needed | frozenset(fewer)
        if all(one.filled(shops) is not None for one in tied):
            kept = fewer
    return kept
