"""How names are compared: without regard to case and outer blanks, never by guess."""

from __future__ import annotations

import unicodedata
from collections.abc import Iterable, Iterator, Mapping
from typing import Generic, TypeVar

T = TypeVar("T")


def key(name: str) -> str:
    """What two spellings of one name have in common.

    Runs of blanks count as one blank, and a letter typed as one sign equals the same letter
    typed as a base and an accent.

    Examples
    --------
    >>> key("  Olive  Oil ") == key("olive oil")
    True
    """
    return " ".join(unicodedata.normalize("NFC", name).casefold().split())


class Named(Mapping[str, T], Generic[T]):
    """A mapping whose keys are names, compared by :func:`key`; the first of a name stays.

    Parameters
    ----------
    pairs : iterable of (str, T)
        Names and what they stand for.
    """

    def __init__(self, pairs: Iterable[tuple[str, T]] = ()) -> None:
        self._items: dict[str, tuple[str, T]] = {}
        for name, item in pairs:
            self._items.setdefault(key(name), (name, item))

    def __getitem__(self, name: str) -> T:
        return self._items[key(name)][1]

    def __iter__(self) -> Iterator[str]:
        return (name for name, _ in self._items.values())

    def __len__(self) -> int:
        return len(self._items)

    def spelling(self, name: str) -> str:
        """The spelling first met for ``name``."""
        return self._items[key(name)][0]
