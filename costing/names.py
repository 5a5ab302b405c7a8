"""How names are compared: without regard to case and outer blanks, never by guess.

A name that is nearly another is suggested to the user; nothing is computed from a near name.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable, Iterator, Mapping, Sequence
from functools import lru_cache
from typing import ClassVar, Generic, TypeVar

T = TypeVar("T")

LIKENESS_OF_A_SLIP = 0.75
"""From this likeness on two names may be one name with a slip of the finger. [ratio]"""

LIKENESS_IN_ANY_ORDER = 0.9
"""The same of names whose words stand in another order, where more would be alike. [ratio]"""

WATERS = frozenset(
    (
        *("water", "wasser", "eau", "acqua", "agua", "água"),
        *("vatten", "vand", "vann", "woda", "vesi", "水"),
    )
)
WATER_KINDS = frozenset(
    (
        *("boiled", "boiling", "chilled", "cold", "cool", "filtered", "fresh", "freshly", "hot"),
        *("ice", "iced", "icy", "just", "lukewarm", "salted", "simmering", "tap", "tepid"),
        *("very", "warm"),
    )
)
"""Words for water from the tap, and of how hot or clean it is: free, and never on a list."""

NO_PLURALS = frozenset(
    (
        *("anis", "asparagus", "bass", "brussels", "cassis", "chablis", "citrus", "cos", "coulis"),
        *("couscous", "gas", "greens", "grits", "haggis", "hummus", "hundreds", "molasses"),
        *("octopus", "pastis", "pois", "swiss", "thousands"),
    )
)
"""Words that end in s and are no plural, or have no singular of the same meaning."""

SINGULARS = {
    "leaves": "leaf",
    "loaves": "loaf",
    "halves": "half",
    "knives": "knife",
    "chillies": "chilli",
    "chilies": "chili",
    **{
        f"{word}s": word
        for word in (
            *("quiche", "brioche", "ceviche", "fraiche", "fraîche", "ganache", "niche", "tranche"),
            *("brie", "brownie", "calorie", "cookie", "pie", "prairie", "smoothie", "sweetie"),
            *("toastie", "tofu", "veggie"),
        )
    },
}
"""Plurals of the kitchen that the rules of :func:`singular` would get wrong."""

SHORTEST_PLURAL = 3
"""A shorter word is no plural: ``is``, ``as``. [characters]"""

SPELLINGS_AT_HAND = 65_536
"""Names whose key is not worked out again: a shoot looks the same ones up all the time."""


UNSEEN = dict.fromkeys(
    [0xAD, 0x200B, 0x200E, 0x200F, *range(0x202A, 0x202F), *range(0x2060, 0x2070), 0xFEFF]
)
"""Soft hyphens, blanks without width and marks of direction, as copied pages hold them."""


@lru_cache(maxsize=SPELLINGS_AT_HAND)
def key(name: str) -> str:
    """What two spellings of one name have in common.

    Runs of blanks count as one blank, a letter typed as one sign equals the same letter typed as
    a base and an accent, and signs that nobody sees count for nothing.

    Examples
    --------
    >>> key("  Olive  Oil ") == key("olive oil")
    True
    """
    if not name.isascii():
        name = unicodedata.normalize("NFC", name).translate(UNSEEN)
    return " ".join(name.casefold().split())


def is_water(name: str) -> bool:
    """Whether an ingredient is water from the tap.

    Examples
    --------
    >>> is_water("Boiling  water"), is_water("ice-cold water"), is_water("rose water")
    (True, True, False)
    """
    *kinds, last = key(name).replace("-", " ").split() or [""]
    return last in WATERS and WATER_KINDS.issuperset(kinds)


def singular(word: str) -> str:
    """The singular of one English word; a word that is no plural stays as it is.

    Examples
    --------
    >>> [singular(word) for word in ("onions", "tomatoes", "cherries", "bay", "peaches", "leaves")]
    ['onion', 'tomato', 'cherry', 'bay', 'peach', 'leaf']
    >>> [singular(word) for word in ("lbs", "watercress", "asparagus", "cookies", "olives")]
    ['lb', 'watercress', 'asparagus', 'cookie', 'olive']
    """
    low = word.casefold()
    # the exceptions first: the rules below would get them wrong
    if low in SINGULARS:
        return word[: len(SINGULARS[low])] if low.startswith(SINGULARS[low]) else SINGULARS[low]
    if len(low) < SHORTEST_PLURAL or not low.endswith("s") or low in NO_PLURALS:
        return word
    # watercress and citrus are one of it
    if low.endswith(("ss", "us")):
        return word
    if low.endswith("ies"):
        return word[:-3] + "y"
    if low.endswith(("oes", "ches", "shes", "xes", "sses", "zzes")):
        return word[:-2]
    return word[:-1]


def singular_name(name: str) -> str:
    """Give a name with its last word in the singular.

    Examples
    --------
    >>> singular_name("green chillies"), singular_name("sardines in oil")
    ('green chilli', 'sardines in oil')
    """
    head, blank, last = name.rpartition(" ")
    return head + blank + singular(last)


def food_key(name: str) -> str:
    """What two spellings of a food's name have in common.

    Case, accents, hyphens, apostrophes, runs of blanks and plural endings do not matter.

    Examples
    --------
    >>> food_key("  Crème  Fraîche ") == food_key("creme fraiche")
    True
    >>> food_key("Spring-Onions")
    'spring onion'
    """
    # accents are taken off, which key leaves: creme and crème are one food and may be two names
    plain = "".join(c for c in unicodedata.normalize("NFKD", name) if not unicodedata.combining(c))
    words = re.sub(r"[^a-z0-9%]+", " ", plain.casefold().replace("'", "").replace("’", ""))
    return " ".join(singular(word) for word in words.split())


def likenesses(
    text: str,
    texts: Sequence[str],
    *,
    least: float,
    by_words: bool = False,
    any_order: bool = False,
    most: int | None = None,
) -> list[tuple[int, float]]:
    """Places of the texts that are at least so alike, with how alike, the likeliest first.

    Parameters
    ----------
    text : str
        What is compared, letter by letter: case counts.
    least : float
        The least likeness that is given. [of 1]
    by_words : bool
        Compare sets of words in any order, so that a text all of whose words stand in the other
        is wholly alike; otherwise letters in their order.
    any_order : bool
        Compare letters in their order once the words of each are sorted.
    """
    from rapidfuzz import fuzz, process  # only where a name is not known

    in_order = fuzz.token_sort_ratio if any_order else fuzz.ratio
    scorer = fuzz.token_set_ratio if by_words else in_order
    found = process.extract(text, texts, scorer=scorer, limit=most, score_cutoff=100 * least)
    return [(place, score / 100) for _, score, place in found]


def likeness(one: str, other: str) -> float:
    """How alike two texts are by their letters in order, from 0 to 1."""
    from rapidfuzz import fuzz  # only where a name is not known

    return fuzz.ratio(one, other) / 100


def slips(one: str, other: str) -> int:
    """How many letters are missing, added, changed or swapped with their neighbour.

    Examples
    --------
    >>> slips("recpies", "recipes"), slips("pack", "packs"), slips("note", "shops")
    (1, 1, 4)
    """
    from rapidfuzz.distance import OSA  # only where a name is not known

    return int(OSA.distance(one, other))


def nearest(
    name: str,
    known: Iterable[str],
    *,
    most: int = 3,
    least: float = LIKENESS_OF_A_SLIP,
) -> list[str]:
    """Known names that look like ``name``, the likeliest first.

    Examples
    --------
    >>> nearest("Hreo", ["hero", "swap", "retake"])
    ['hero']
    >>> nearest("onions, red", ["red onion", "red wine"])
    ['red onion']
    """
    spelled = {k.casefold(): k for k in known}
    keys, text = list(spelled), name.casefold()
    found = likenesses(text, keys, least=least, most=most)
    if " " in text:
        turned = likenesses(text, keys, least=LIKENESS_IN_ANY_ORDER, any_order=True, most=most)
        found = sorted([*turned, *found], key=lambda one: -one[1])
    places = list(dict.fromkeys(place for place, _ in found))
    return [spelled[keys[place]] for place in places[:most]]


class UnknownWord(ValueError):
    """A text that is not on a closed list.

    ``nearest``: words of the list that look like it, the likeliest first; may be empty.
    """

    said: ClassVar[str]
    """What is wrong, with the text in braces."""

    def __init__(self, text: str, nearest: Sequence[str] = ()) -> None:
        self.text = text
        self.nearest = list(nearest)
        near = f"; nearest: {', '.join(self.nearest)}" if self.nearest else ""
        super().__init__(f"{self.said.format(repr(text))}{near}")


class Named(Mapping[str, T], Generic[T]):
    """A mapping whose keys are names, compared by :func:`key`; the first of a name stays."""

    def __init__(self, pairs: Iterable[tuple[str, T]] = ()) -> None:
        self._items: dict[str, tuple[str, T]] = {}
        for name, item in pairs:
            self._items.setdefault(key(name), (name, item))

    def __getitem__(self, name: str) -> T:
        return self._items[key(name)][1]

    def __contains__(self, name: object) -> bool:
        # a mapping's own way raises and catches an error for each name that is not there
        return isinstance(name, str) and key(name) in self._items

    def __iter__(self) -> Iterator[str]:
        return (name for name, _ in self._items.values())

    def __len__(self) -> int:
        return len(self._items)

    def spelling(self, name: str) -> str:
        """The spelling first met for ``name``."""
        return self._items[key(name)][0]

    @property
    def order(self) -> dict[str, int]:
        """Place of each name among them by its key, from 0."""
        return {name: number for number, name in enumerate(self._items)}


def by_name(pairs: Iterable[tuple[str, T]]) -> Named[list[T]]:
    """All that goes by each name, in its order.

    Examples
    --------
    >>> by_name([("Leek", 1), ("salt", 2), ("leek", 3)])["leek"]
    [1, 3]
    """
    rows = list(pairs)
    found = Named((name, list[T]()) for name, _ in rows)
    for name, row in rows:
        found[name].append(row)
    return found
