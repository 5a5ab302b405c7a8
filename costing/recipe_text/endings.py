"""Nouns that a method ends, or joins to another, as its language does: lök, löken; Muskatnuss."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence

from costing.recipe_text.words import ENDINGS, LETTERS_OF, NO_NOUNS, SAID_IN

ENGLISH = "english"

_STEM = 3
"""Of a word at least so much stays as it is. [letters]"""

_JOINED = 4
"""The last part of a joined word is at least so long, without an ending of its own. [letters]"""

_BEGINS = 5
"""A word that a longer one begins with is at least so long. [letters]"""

_MOST_ALIKE = 50
"""So many words that begin alike are looked at. [words]"""


def language_of(texts: Iterable[str]) -> str:
    """The language of a method by its small words; English where nothing says otherwise.

    Examples
    --------
    >>> language_of(["Hacka löken och lägg i den."]), language_of(["Chop it and add the leek."])
    ('swedish', 'english')
    """
    words = Counter(word for text in texts for word in text.casefold().split())
    said = {name: sum(words[word] for word in small) for name, small in SAID_IN.items()}
    letters = Counter(sign for word, times in words.items() for sign in word * times)
    own = {name: sum(letters[sign] for sign in signs) for name, signs in LETTERS_OF.items()}
    most = max(said, key=lambda name: (said[name], name == ENGLISH, own.get(name, 0)))
    return most if said[most] > said[ENGLISH] else ENGLISH


def respelled(words: Sequence[str], names: Iterable[str], language: str) -> list[str]:
    """The words of a method, each that is a name with another ending spelled as the name.

    Parameters
    ----------
    words : sequence of str
        As words are compared.
    names : iterable of str
        The words of the names, compared alike.
    language : str
        Of the method; one without endings in ``words.txt`` changes nothing.

    Examples
    --------
    >>> respelled(["hacka", "loken"], ["lokar"], "swedish")
    ['hacka', 'lokar']
    >>> respelled(["mjolet"], ["vetemjol", "mjolk"], "swedish")
    ['vetemjol']
    >>> respelled(["aeggene"], ["aeg"], "danish")
    ['aeg']
    """
    endings = ENDINGS.get(language)
    if endings is None:
        return list(words)
    known = list(dict.fromkeys(names))
    begins: dict[str, list[tuple[str, int]]] = {}
    for name in known:
        for at in range(len(name) - _STEM + 1):
            alike = begins.setdefault(name[at : at + _STEM], [])
            if len(alike) < _MOST_ALIKE and (at == 0 or at >= _STEM):
                alike.append((name, at))
    exact = set(known)
    looked_at = set(words) - exact - NO_NOUNS.get(language, frozenset())
    spelled = {word: _name_of(word, begins, endings) for word in looked_at}
    return [spelled.get(word, word) for word in words]


def _name_of(
    word: str, begins: Mapping[str, Sequence[tuple[str, int]]], endings: frozenset[str]
) -> str:
    """The one name that a word is, of all that have its first letters; else the word itself."""
    ranked: dict[int, set[str]] = {}
    for name, at in begins.get(word[:_STEM], ()):
        rank = _likeness(name, at, word, endings)
        if rank is not None:
            ranked.setdefault(rank, set()).add(name)
    best = ranked[min(ranked)] if ranked else set()
    return best.pop() if len(best) == 1 else word


def _likeness(name: str, at: int, word: str, endings: frozenset[str]) -> int | None:
    """0: the name with another ending, 1: the end of the name, 2: begins with it; else none."""
    part = name[at:]
    same = next((i for i, (a, b) in enumerate(zip(part, word, strict=False)) if a != b), None)
    same = min(len(part), len(word)) if same is None else same
    # the longest stem is not always the one: mjölk is no mjöl with a k
    for stem in range(same, _STEM - 1, -1):
        left, right = part[stem:], word[stem:]
        # with its last letter doubled too: æg, æggene
        ends = (right, right.removeprefix(part[stem - 1]))
        if at == 0 and any({left, end} - {""} <= endings for end in ends):
            return 0
        if at and not left and (not right or right in endings):
            return 1 if len(part) >= _JOINED or right else None
    return 2 if at == 0 and len(part) >= _BEGINS and word.startswith(part) else None
