"""Foods by the words a cook calls them: an exact name, a synonym, or suggestions.

Only an exact name or a synonym is a match; the text search suggests and never decides.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cache, lru_cache
from typing import Literal

from costing.names import food_key, likeness, likenesses
from costing.reference.cuts import (
    FORM_WORDS,
    PIECE_WORDS,
    PREPARATION_WORDS,
    SIZES,
    TABLE_PIECES,
    published_form,
    published_forms,
)
from costing.reference.files import table_rows

MOST_SUGGESTIONS = 5
"""As many names as a finding can name on one line."""

LEAST_LIKENESS = 0.7
"""Below it nothing is suggested: names of other foods begin to crowd in. [of 1]"""

SURE_LIKENESS = 0.8
"""From here on letters alone are enough for a short word too. [of 1]"""

LONG_WORD = 6
"""A word of fewer letters has too many neighbours. [characters]"""


@dataclass(frozen=True, slots=True)
class Food:
    """A food the tables know.

    ``group``: what kind of food it is, such as ``vegetable``.
    """

    food_id: str
    name: str
    group: str


@dataclass(frozen=True, slots=True)
class Suggestion:
    """A known food whose name is like the words looked for.

    ``likeness``: how alike; a name the tables know for several foods is wholly alike. [of 1]
    """

    food: Food
    likeness: float


@dataclass(frozen=True, slots=True)
class Match:
    """What a name was found to be.

    Parameters
    ----------
    food : Food, optional
        The one food meant; ``None`` when no name or synonym fits, or several do.
    how : {'name', 'synonym', 'form', 'several', 'none'}
        ``form``: a known name with a form or a kind of piece that is published of the food;
        ``several``: the word is used for more than one food; the suggestions are those.
    size : str
        The size word the name began with, such as ``large``.
    forms : tuple of str
        Words of the name that say a form or a kind of piece published of the food.
    key : str
        What is known of the name when nothing fits it.
    meant : tuple of Suggestion
        The foods a word is used for, when it is used for several.
    """

    food: Food | None
    how: Literal["name", "synonym", "form", "several", "none"]
    size: str = ""
    forms: tuple[str, ...] = ()
    key: str = ""
    meant: tuple[Suggestion, ...] = ()

    @property
    def suggestions(self) -> tuple[Suggestion, ...]:
        """Foods it may have meant, the likeliest first; looked for only when asked."""
        return _suggestions(self.key) if self.how == "none" else self.meant


NO_MATCH = Match(None, "none")


@dataclass(frozen=True, slots=True)
class _Index:
    """Foods by id, and ids by key: of the name first, then of each synonym."""

    foods: Mapping[str, Food]
    names: Mapping[str, str]
    synonyms: Mapping[str, str]
    shared: Mapping[str, tuple[str, ...]]


@cache
def _index() -> _Index:
    foods = {r["id"]: Food(r["id"], r["name"], r["group"]) for r in table_rows("foods")}
    synonyms: dict[str, str] = {}
    shared: dict[str, tuple[str, ...]] = {}
    for row in table_rows("synonyms"):
        key = food_key(row["synonym"])
        if row["several"] == "yes":
            shared[key] = (*shared.get(key, ()), row["food_id"])
        else:
            synonyms[key] = row["food_id"]
    names = {food_key(food.name): food.food_id for food in foods.values()}
    return _Index(foods, names, synonyms, shared)


def all_foods() -> tuple[Food, ...]:
    """Every food the tables know."""
    return tuple(_index().foods.values())


def food(food_id: str) -> Food:
    """The food of an id.

    Raises
    ------
    KeyError
        If no food has that id.
    """
    return _index().foods[food_id]


@lru_cache(maxsize=4096)
def find_food(name: str) -> Match:
    """The food a name means, or what it may have meant.

    ``name``: as the user writes it; a size word may stand in front.

    Returns
    -------
    Match
        With a food when a name or synonym fits, otherwise with suggestions.

    Examples
    --------
    >>> find_food("Scallions").food.name
    'spring onion'
    >>> match = find_food("large eggs")
    >>> match.food.name, match.size
    ('egg', 'large')
    >>> match = find_food("lettuce leaves")
    >>> match.how, match.forms
    ('none', ())
    >>> [s.food.name for s in find_food("sprnig onion").suggestions][:1]
    ['spring onion']
    """
    key = food_key(name)
    return _sized(key) or _formed(key) or Match(None, "none", key=key)


def _sized(key: str) -> Match | None:
    """What is known by a key, or by it without a size in front."""
    # as written first: the name of a food may itself begin with such a word
    for size in ("", *SIZES):
        bare = key.removeprefix(size + " ") if size else key
        if size and bare == key:
            continue
        found = _named(bare, size)
        if found is not None:
            return found
    return None


def _formed(key: str) -> Match | None:
    """A known food with a form or a piece in its name, when all such words are published of it."""
    words = [word for word in key.split() if word != "of"]
    said = [word for word in words if word in FORM_WORDS | PIECE_WORDS or word in TABLE_PIECES]
    found = _sized(" ".join(word for word in words if word not in said)) if said else None
    if found is None or found.food is None:
        return None
    known = published_forms().get(found.food.food_id, frozenset())
    forms = tuple(published_form(word, known) for word in said)
    return replace(found, how="form", forms=forms) if all(forms) else None


def _named(key: str, size: str) -> Match | None:
    index = _index()
    if key in index.names:
        return Match(index.foods[index.names[key]], "name", size)
    if key in index.synonyms:
        food = index.foods[index.synonyms[key]]
        return Match(food, "synonym", size, _forms_beside_name(key, food))
    if key in index.shared:
        meant = tuple(Suggestion(index.foods[i], 1.0) for i in index.shared[key])
        return Match(None, "several", size, meant=meant)
    return None


def _forms_beside_name(key: str, food: Food) -> tuple[str, ...]:
    """Forms and pieces that a synonym says and the food's own name does not: a garlic clove."""
    known = published_forms().get(food.food_id, frozenset())
    own = food_key(food.name).split()
    forms = (published_form(word, known) for word in key.split() if word not in own)
    return tuple(form for form in forms if form)


def _bare(key: str) -> str:
    """A key without the words that only tell how the food is prepared."""
    return " ".join(word for word in key.split() if word not in PREPARATION_WORDS)


@dataclass(frozen=True, slots=True)
class _Searched:
    """What is searched, one place in each list for one known name.

    Parameters
    ----------
    bare : tuple of str
        Its key without words of preparation.
    sorted_keys, sorted_bare : tuple of str
        The key, and that, with the words in alphabetical order.
    joined : tuple of str
        The key without blanks.
    own : tuple of str
        The key of the food's own name.
    """

    foods: tuple[str, ...]
    bare: tuple[str, ...]
    sorted_keys: tuple[str, ...]
    sorted_bare: tuple[str, ...]
    joined: tuple[str, ...]
    own: tuple[str, ...]


@cache
def _searched() -> _Searched:
    """Names, synonyms and words of several foods in the forms that are compared, made once."""
    index = _index()
    pairs = [*index.names.items(), *index.synonyms.items()]
    pairs += [(key, i) for key, ids in index.shared.items() for i in ids]
    keys = tuple(key for key, _ in pairs)
    bare = tuple(map(_bare, keys))
    return _Searched(
        foods=tuple(food_id for _, food_id in pairs),
        bare=bare,
        sorted_keys=tuple(map(_sorted_words, keys)),
        sorted_bare=tuple(map(_sorted_words, bare)),
        joined=tuple(key.replace(" ", "") for key in keys),
        own=tuple(food_key(index.foods[food_id].name) for _, food_id in pairs),
    )


def _sorted_words(key: str) -> str:
    return " ".join(sorted(key.split()))


def _is_slip(typed: str, known: str, score: float) -> bool:
    """Whether letters alone make it nearly another: tea is no steak, and hake no sake."""
    long = min(len(typed), len(known)) >= LONG_WORD
    return (score >= SURE_LIKENESS) + (typed[0] == known[0]) + long >= 2


def _shares_by_synonym_alone(bare: str, searched: _Searched, place: int) -> bool:
    """Whether only a part of a synonym is shared: curd is no tofu for the sake of bean curd."""
    words, known = set(bare.split()), set(searched.bare[place].split())
    return not known <= words and not words & set(searched.own[place].split())


@lru_cache(maxsize=4096)
def _suggestions(key: str) -> tuple[Suggestion, ...]:
    """Known foods with names like ``key``, by likenesses of letters and of words.

    A name whose words all occur in ``key`` scores well, the better the more of ``key`` it covers;
    a name written apart or together scores as one word.
    """
    searched = _searched()
    bare = _bare(key)
    sorted_key = _sorted_words(key)
    scores: list[tuple[int, float]] = []
    # The weights were chosen on the words of tests/reference/cooks_words.csv: letters in order
    # decide, joined or bare forms stand a little behind them, and words alone count less, because a
    # short name all of whose words occur in a long one would else be wholly alike.
    for text, texts, weight in (
        (sorted_key, searched.sorted_keys, 1.0),
        (key.replace(" ", ""), searched.joined, 0.99),
        (_sorted_words(bare), searched.sorted_bare, 0.97),
    ):
        found = likenesses(text, texts, least=LEAST_LIKENESS / weight)
        scores += [(at, score * weight) for at, score in found if _is_slip(text, texts[at], score)]
    for place, score in likenesses(
        bare, searched.bare, least=(LEAST_LIKENESS - 0.1) / 0.85, by_words=True
    ):
        if _shares_by_synonym_alone(bare, searched, place):
            continue
        whole = likeness(sorted_key, searched.sorted_keys[place])
        scores.append((place, score * 0.85 + whole * 0.1))
    best: dict[str, float] = {}
    for place, score in scores:
        food_id = searched.foods[place]
        best[food_id] = max(best.get(food_id, 0.0), score)
    ranked = sorted(best.items(), key=lambda pair: (-pair[1], pair[0]))
    foods = _index().foods
    return tuple(
        Suggestion(foods[i], score)
        for i, score in ranked[:MOST_SUGGESTIONS]
        if score >= LEAST_LIKENESS
    )
