"""What somebody avoids, and what is known of an ingredient about it.

An unknown never becomes a yes: a name that no table knows, a food that is mixed before it is sold,
and an allergen that the list in use does not print are unknown.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum
from functools import cache
from pathlib import Path

from costing.names import food_key, key
from costing.reference import ALLERGEN_LISTS, Filled, allergen_words, fill, find_food
from costing.shoot.shoot import Shoot

DIET_FILE = Path(__file__).with_name("diets.toml")

MIXED_GROUPS = frozenset({"sauce", "canned", "bread", "sweet", "drink", "noodle", "baking"})
"""Groups of foods that are mixed before they are sold: what is in them says the pack."""


class Answer(StrEnum):
    """What is known of whether somebody may eat something, the gravest first.

    Examples
    --------
    >>> max([Answer.NOTHING_LISTED, Answer.AVOIDS], key=GRAVITY.index)
    <Answer.AVOIDS: 'avoids'>
    """

    NOTHING_LISTED = "nothing listed"
    UNKNOWN = "unknown"
    AVOIDS = "avoids"
    NOT_TO_BE_EATEN = "not to be eaten"


GRAVITY = tuple(Answer)
"""The answers, each graver than those before it."""


@dataclass(frozen=True, slots=True)
class Diet:
    """A diet of our list; the fields are explained in ``diets.toml``."""

    name: str
    meaning: str
    also: tuple[str, ...]
    groups: frozenset[str]
    words: tuple[str, ...]
    brings: frozenset[str]
    clear: frozenset[str]
    clear_words: tuple[str, ...]
    doubtful: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Avoided:
    """One thing that somebody avoids.

    Parameters
    ----------
    substances : frozenset of str
        When it is a word of an allergen list, what it means there.
    known : bool
        Whether it is one of these, an ingredient of the shoot or a published food.
    """

    text: str
    diet: Diet | None = None
    substances: frozenset[str] = frozenset()
    known: bool = True


@cache
def diets() -> dict[str, Diet]:
    """The diets by their names and by other words for them.

    Examples
    --------
    >>> diets()["gluten"].name
    'no gluten'
    """
    found: dict[str, Diet] = {}
    for name, row in tomllib.loads(DIET_FILE.read_text(encoding="utf-8")).items():
        diet = Diet(
            name,
            row["meaning"],
            tuple(row["also"]),
            frozenset(row["groups"]),
            tuple(map(food_key, row["words"])),
            frozenset(row["brings"]),
            frozenset(row["clear"]),
            tuple(map(food_key, row["clear_words"])),
            tuple(map(food_key, row["doubtful"])),
        )
        found.update(dict.fromkeys((key(word) for word in (name, *diet.also)), diet))
    return found


@cache
def _substances(allergen_list: str) -> dict[str, frozenset[str]]:
    """What the words of a list mean: whole, without their brackets, and what is in them.

    Gluten alone, which no list prints, is what a list groups as having it.
    """
    found: dict[str, set[str]] = {}
    for substance, listed in allergen_words(allergen_list).items():
        head, _, inside = listed.word.partition("(")
        gluten = "gluten" if has_words(food_key(head), "gluten") else ""
        for word in (listed.word, head, inside.rstrip(")"), substance, gluten):
            if word.strip():
                found.setdefault(food_key(word), set()).add(substance)
    return {word: frozenset(several) for word, several in found.items()}


def substances_of(word: str, allergen_list: str) -> frozenset[str]:
    """What a word means by the list in use, or else by any other; nothing when it is in none.

    Examples
    --------
    >>> sorted(substances_of("Milk", "EU")), sorted(substances_of("lupins", "US"))
    (['milk'], ['lupin'])
    """
    every = (allergen_list, *(one for one in ALLERGEN_LISTS if one != allergen_list))
    return next(
        (found for one in every if (found := _substances(one).get(food_key(word)))), frozenset()
    )


@cache
def substances_in(typed: str, allergen_list: str) -> frozenset[str] | None:
    """What is typed as an allergen means: a word of a list, or every such word that is in it.

    Else what is published of a food of that name; ``None``: nobody knows what is meant.

    Examples
    --------
    >>> sorted(substances_in("soy lecithin", "EU")), sorted(substances_in("milk / eggs", "EU"))
    (['soy'], ['egg', 'milk'])
    >>> sorted(substances_in("butter", "EU")), substances_in("casein", "EU")
    (['milk'], None)
    >>> sorted(substances_in("gluten", "US"))
    ['barley', 'oats', 'rye', 'wheat']
    """
    if whole := substances_of(typed, allergen_list):
        return whole
    words = food_key(typed)
    lists = map(_substances, ALLERGEN_LISTS)
    inside = (found for one in lists for word, found in one.items() if has_words(words, word))
    if meant := frozenset[str]().union(*inside):
        return meant
    published = fill(typed, "Allergens", allergen_list=allergen_list)
    if not isinstance(published, Filled) or not isinstance(published.value, tuple):
        return None
    return frozenset[str]().union(
        *(substances_of(str(word), allergen_list) for word in published.value)
    )


def read_avoided(text: str, shoot: Shoot, ingredients: Iterable[str]) -> Avoided:
    """What a text of Avoids means: a diet, an allergen, an ingredient or a published food."""
    diet = diets().get(key(text))
    substances = substances_of(text, str(shoot.settings.allergen_list))
    named = key(text) in map(key, ingredients) or find_food(text).food is not None
    return Avoided(text, diet, substances, known=bool(diet or substances or named))


def has_words(name: str, words: str) -> bool:
    """Whether the words stand in a name, one after the other; both as :func:`food_key`."""
    return re.search(rf"(?:^| ){re.escape(words)}(?: |$)", name) is not None


def allergens_of(name: str, shoot: Shoot) -> tuple[str, ...] | None:
    """The allergens of an ingredient, as typed or else as published; ``None`` is unknown."""
    typed = shoot.ingredient(name).allergens
    if typed is not None:
        return tuple(typed)
    found = fill(name, "Allergens", allergen_list=str(shoot.settings.allergen_list))
    if isinstance(found, Filled) and isinstance(found.value, tuple):
        return tuple(map(str, found.value))
    return None


def known_of(avoided: Avoided, name: str, shoot: Shoot) -> Answer:
    """What is known of an ingredient about something that is avoided."""
    allergens = allergens_of(name, shoot)
    used = str(shoot.settings.allergen_list)
    meant = [substances_in(word, used) for word in allergens or ()]
    brings = frozenset(map(food_key, allergens or ())).union(*filter(None, meant))
    # an allergen that nobody knows may be the one that is avoided, by another word
    all_known = allergens is not None and None not in meant
    wanted = food_key(avoided.text)
    food, avoided_food = find_food(name).food, find_food(avoided.text).food
    # what is known to be avoided comes before what is unknown: a sure no is never hidden by a doubt
    if wanted and has_words(food_key(name), wanted) and not _published_without(avoided, name, used):
        return Answer.AVOIDS
    if food is not None and avoided_food is not None and food == avoided_food:
        return Answer.AVOIDS
    if brings & (avoided.substances | {wanted}):
        return Answer.AVOIDS
    if avoided.diet is not None:
        return _by_diet(avoided.diet, name, brings, known=all_known)
    if avoided.substances:
        listed = avoided.substances <= set(allergen_words(used))
        return Answer.NOTHING_LISTED if all_known and listed else Answer.UNKNOWN
    if not avoided.known or food is None or food.group in MIXED_GROUPS:
        return Answer.UNKNOWN
    return Answer.NOTHING_LISTED


def _published_without(avoided: Avoided, name: str, allergen_list: str) -> bool:
    """Whether a food of that very name is published, and what is avoided not among what it brings.

    So coconut milk is no milk. A word for several, such as nuts, may be meant wider than its list
    says, and a word that the list does not print is not looked for there: both stay avoided.
    """
    if len(avoided.substances) != 1 or not avoided.substances <= set(allergen_words(allergen_list)):
        return False
    found = fill(name, "Allergens", allergen_list=allergen_list)
    if find_food(name).how not in ("name", "synonym") or not isinstance(found, Filled):
        return False
    listed = found.value if isinstance(found.value, tuple) else ()
    return not any(avoided.substances & substances_of(str(w), allergen_list) for w in listed)


def _by_diet(diet: Diet, name: str, brings: frozenset[str], *, known: bool) -> Answer:
    """What is known of an ingredient by a diet: by its allergens, its name, its group of foods."""
    if brings & diet.brings:
        return Answer.AVOIDS
    words, food = food_key(name), find_food(name).food
    # the clear words first, as they hold others: coconut milk is no milk, and buckwheat no wheat
    if any(has_words(words, one) for one in diet.clear_words):
        return Answer.NOTHING_LISTED if known else Answer.UNKNOWN
    if any(has_words(words, one) for one in diet.words):
        return Answer.AVOIDS
    if food is not None and food.group in diet.groups:
        return Answer.AVOIDS
    if food is None or not known or any(has_words(words, one) for one in diet.doubtful):
        return Answer.UNKNOWN
    return Answer.NOTHING_LISTED if food.group in diet.clear else Answer.UNKNOWN
