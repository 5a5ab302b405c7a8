"""What is uncertain about a line, until the line's place is known."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from costing.findings import Finding, Place


@dataclass(frozen=True, slots=True)
class Doubt:
    """A finding that waits for its place.

    Parameters
    ----------
    message : callable
        Of :mod:`costing.recipe_text.messages`.
    about : tuple
        What the message is told.
    """

    message: Callable[..., Finding]
    about: tuple[object, ...] = ()

    def at(self, place: Place) -> Finding:
        """Give the finding at its place."""
        return self.message(place, *self.about)


def doubt(message: Callable[..., Finding], *about: object) -> Doubt:
    """Give a doubt in one call; lists become tuples, so that doubts can be compared."""
    return Doubt(message, tuple(tuple(a) if isinstance(a, list) else a for a in about))
