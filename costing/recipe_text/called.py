"""What the method calls an ingredient: by all of its name, by a part, by a word for several."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence

from costing.names import food_key
from costing.recipe_text.unit_words import near_piece_at
from costing.recipe_text.words import (
    CALLED,
    CONTAINERS,
    FRUIT_PARTS,
    PIECES,
    QUALITIES,
    SHORT_FOR,
    SIZES,
    TAKEN_BY,
    UNNAMED,
)
from costing.reference import find_food

BLACK_PEPPER = "pepper with salt"
"""How the pepper of "salt and pepper" is called here; no word of a recipe has blanks."""

JOINED_BY = "and"
"""Two foods in one line; what is behind it alone names the line less well than both."""

_OR = "or"
_COMES_IN = frozenset(("in", "with", "without", "for", "i", "im", "mit", "med", "con", "aux", "a"))
"""Behind one of them stands what a food comes in, has, or is for, in the languages of methods."""

_NOT_APART = "\u3041-\u30ff\u3400-\u9fff"
"""Letters of languages that write no blank between words."""

_WORD = rf"[^\W_{_NOT_APART}]+(?:['’][^\W_]+)?|&"
_ANY_WORD = re.compile(_WORD)
_NAME_NOT_APART = re.compile(rf"[{_NOT_APART}]+")
_LETTERS = str.maketrans({"ø": "o", "æ": "ae", "œ": "oe", "Ø": "o", "Æ": "ae", "Œ": "oe"})
"""Letters that are no other with an accent."""

_ARTICLE = re.compile(r"(?:[dljnsmtc]|qu|(?:de|da|a|ne|su)ll|un)['’](?=[^\W_]{2})", re.IGNORECASE)
"""One that a vowel has shortened: d'ail, l'huile, nell'olio."""

Word = tuple[str, int, int]
"""A word as words are compared, and where it begins and ends in its text."""


def words_of(text: str, names: Iterable[str] = ()) -> list[Word]:
    """The words of a text; of one without blanks, the ``names`` that stand in it.

    Examples
    --------
    >>> [word for word, _, _ in words_of("Fry the leeks in l'huile.")]
    ['fry', 'the', 'leek', 'in', 'huile']
    >>> [word for word, _, _ in words_of("鍋で牛肉を炒める", ["牛肉"])]
    ['牛肉']
    """
    apart = sorted({one for name in names for one in _NAME_NOT_APART.findall(name)}, key=len)
    known = "|".join(map(re.escape, reversed(apart)))
    word = re.compile(f"{known}|{_WORD}") if known else _ANY_WORD
    return [
        (part, found.start(), found.end())
        for found in word.finditer(text)
        for part in _key(found[0])
    ]


def _key(word: str) -> list[str]:
    if _NAME_NOT_APART.fullmatch(word):
        return [word]
    return food_key(_ARTICLE.sub("", word.replace("&", JOINED_BY)).translate(_LETTERS)).split()


def key_of(name: str) -> list[str]:
    """The words of a name.

    Examples
    --------
    >>> key_of("gousse d'ail"), key_of("Salt & pepper")
    (['gousse', 'ail'], ['salt', 'and', 'pepper'])
    """
    return [word for word, _, _ in words_of(name, [name])]


def fruit_parts(cut: str) -> list[str]:
    """Which parts of a fruit or an egg a cut takes.

    Examples
    --------
    >>> fruit_parts("zested and juiced"), fruit_parts("finely grated zest"), fruit_parts("peeled")
    (['juice', 'zest'], ['zest'], [])
    """
    words = {word.casefold() for word in _ANY_WORD.findall(cut)}
    return [part for part in FRUIT_PARTS if words & {part, f"{part}s", *TAKEN_BY.get(part, ())}]


def aliases(
    name: str, *, cut: str = "", also: Sequence[str] = (), noun_first: bool = False
) -> list[tuple[str, ...]]:
    """The words an ingredient may be called by, the surest first.

    Parameters
    ----------
    cut : str
        What is done to it: of a lemon that is zested the zest is called too.
    also : sequence of str
        Its names in brackets: peanuts (groundnuts).
    noun_first : bool
        Whether the noun stands before what is said of it: crème fraîche, called la crème.

    Examples
    --------
    >>> aliases("olive oil"), aliases("lemon", cut="zested")
    ([('olive', 'oil'), ('oil',)], [('lemon', 'zest'), ('zest',), ('lemon',)])
    >>> aliases("anchovies in oil"), aliases("butter or oil")
    ([('anchovy', 'in', 'oil'), ('anchovy',)], [('butter', 'or', 'oil'), ('oil',), ('butter',)])
    """
    whole = key_of(name)
    noise = PIECES | CONTAINERS | SIZES | QUALITIES | UNNAMED
    core = [word for word in whole if word not in noise and near_piece_at(word) is None] or whole
    if not core:
        return []
    known = find_food(name).food
    # what is taken of a fruit names it as well as the fruit does: the lemon zest, the zest
    parts = fruit_parts(cut)
    found = [(*core, part) for part in parts] + [(part,) for part in parts]
    found.append(tuple(pepper_of_salt(core)))
    salted = JOINED_BY in core and "salt" in core and core[-1] == "pepper"
    found += [("salt", JOINED_BY, BLACK_PEPPER)] if salted else []
    if known is not None:
        found.append(tuple(food_key(known.name).split()))
    # tuna in oil is the tuna, and no oil
    end = next((at for at, word in enumerate(core) if at and word in _COMES_IN), len(core))
    first = 1 if end == len(core) else 0
    found += [tuple(core[at:end]) for at in range(first, end) if core[at] not in (JOINED_BY, _OR)]
    found += _before_or(core[:end])
    found += [tuple(core[:at]) for at in range(len(core) - 1, 0, -1) if noun_first]
    found += [tuple(key_of(one)) for one in also]
    found += _for_short(core)
    return [alias for alias in dict.fromkeys(found) if any(map(str.isalpha, "".join(alias)))]


def _before_or(core: list[str]) -> Iterator[tuple[str, ...]]:
    """The first of two choices: butter or oil, chicken or vegetable stock."""
    if _OR in core[1:-1]:
        first, last = core[: core.index(_OR)], core[core.index(_OR) + 1 :]
        shared = [*first, last[-1]]
        yield tuple(shared if len(last) > 1 and find_food(" ".join(shared)).food else first)


def _for_short(core: list[str]) -> Iterator[tuple[str, ...]]:
    """What cooks call it for short: the chicken, pasta, the yolks."""
    if core[-1] in SHORT_FOR:
        yield (core[0],)
    for kind, foods in CALLED.items():
        if not foods.isdisjoint(core):
            yield (kind,)
    # "Fold in the berries" is said of raspberries
    if core[-1].endswith("berry"):
        yield ("berry",)
    if core[-1] == "pepper" and core[0] in ("pepper", "black", "white"):
        yield (BLACK_PEPPER,)
    if core == ["egg"]:
        yield from (("yolk",), ("white",))


def pepper_of_salt(keys: list[str]) -> list[str]:
    """In "salt and pepper" the pepper is black, whatever other peppers there are.

    Examples
    --------
    >>> pepper_of_salt(["salt", "and", "pepper"])
    ['salt', 'and', 'pepper with salt']
    """
    pairs = {at + 2 for at in range(len(keys) - 2) if keys[at] == "salt"}
    return [BLACK_PEPPER if at in pairs and k == "pepper" else k for at, k in enumerate(keys)]
