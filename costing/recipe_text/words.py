"""The closed lists of words an ingredient line is read by; they stand in ``words.txt``."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

WORD_FILE = Path(__file__).with_name("words.txt")


def _lists() -> dict[str, frozenset[str]]:
    found: dict[str, list[str]] = {}
    words: list[str] = []
    for row in WORD_FILE.read_text(encoding="utf-8").splitlines():
        line = row.partition("#")[0].strip()
        if line.startswith("["):
            words = found.setdefault(line.strip("[]"), [])
        else:
            words += line.split()
    return {name: frozenset(listed) for name, listed in found.items()}


_LISTS = _lists()

_TO_TWELVE = "one two three four five six seven eight nine ten eleven twelve"
NUMBER_WORDS = {word: number for number, word in enumerate(_TO_TWELVE.split(), start=1)}
_TEENS = "thirteen fourteen fifteen sixteen seventeen eighteen nineteen"
NUMBER_WORDS |= {word: number for number, word in enumerate(_TEENS.split(), start=13)}
NUMBER_WORDS |= {
    word: 10 * tens
    for tens, word in enumerate(
        ["twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety"], 2
    )
}
NUMBER_WORDS |= dict.fromkeys(("ein", "eine", "einen", "un", "une", "una", "uno"), 1)

FRACTION_WORDS = {"half": 2, "third": 3, "quarter": 4, "fourth": 4, "eighth": 8}
"""Parts of one by their words."""

HALF_WORDS = dict.fromkeys(_LISTS["halves"], Fraction(1, 2))
"""A half in other languages, which is before the unit without "a"."""

NO_NUMBER = _LISTS["no number"]
ABOUT = _LISTS["about"]
CONTAINERS = _LISTS["containers"]
KEPT_CONTAINERS = {"tin": "tinned", "can": "canned"}
"""Containers that tell another food: a tinned tomato is not a fresh one."""

PIECES = _LISTS["pieces"]
PIECES_OF_A_WEIGHT = _LISTS["pieces of a weight"]
VAGUE = _LISTS["vague"]
BY_EYE = _LISTS["by eye"]
LENGTHS = _LISTS["lengths"]
LENGTH_PIECES = _LISTS["length pieces"]
UNCLEAR_UNITS = _LISTS["unclear units"]
SIZES = _LISTS["sizes"]
QUALITIES = _LISTS["qualities"]
HEAPS = _LISTS["heaps"]
SALT = _LISTS["salt"]
TO, OR = _LISTS["to another number"], _LISTS["or another number"]
MODIFIERS = _LISTS["modifiers"] | HEAPS | SIZES
TEMPERATURES = _LISTS["temperatures"]
BEFORE_NAME = _LISTS["before a name"] | QUALITIES | SIZES | TEMPERATURES
HOT = _LISTS["hot"]
DRINKS = _LISTS["drinks"]
LIQUIDS = _LISTS["liquids"] | DRINKS
ADVERBS = _LISTS["adverbs"]
FRONT_CUTS = _LISTS["cuts in front"]
CUTS = _LISTS["cuts behind"] | FRONT_CUTS
FRESH_CUTS = _LISTS["fresh cuts"]
BOUGHT_MINCED = _LISTS["bought minced"]
COOKED = _LISTS["cooked"]
PARTS_TAKEN = ("seed", "leaf", "leave", "kernel", "pulp", "flesh", "needle", "pip")
"""Parts that are taken of something counted, beside those of a fruit or an egg."""

FRUIT_PARTS = ("juice", "zest", "rind", "peel", "yolk", "white")
"""In the order in which they are named."""

TAKEN_BY = {"juice": ("juiced",), "zest": ("zested",)}
"""What is done to a fruit of which a part is taken; a fruit that is peeled is eaten."""

TELLS = _LISTS["tells"]
DISH_PARTS = _LISTS["parts of a dish"]
UNNAMED = _LISTS["unnamed"]
SHORT_FOR = _LISTS["short for"]
CALLED = {
    name.rpartition(" ")[2]: words
    for name, words in _LISTS.items()
    if name.startswith(("called ", "verb "))
}
"""What several foods are called for short, with the words of their names; verbs of seasoning."""

WORKED_BY = _LISTS["verbs of work"]
TAKEN_AS_VERB = _LISTS["verbs of a food"]
"""Both begin a clause and look like a food: Cream the butter, Butter the tin."""

SAID_IN = {
    name.removeprefix("said in "): words
    for name, words in _LISTS.items()
    if name.startswith("said in ")
}
"""Small words of each language."""

LETTERS_OF = {
    name.removeprefix("letters of "): words
    for name, words in _LISTS.items()
    if name.startswith("letters of ")
}
"""Letters that tell apart languages which have small words in common: Italian i, Swedish i."""

ENDINGS = {
    name.removeprefix("endings in "): words
    for name, words in _LISTS.items()
    if name.startswith("endings in ")
}
"""What a noun may have behind it, by language."""

NO_NOUNS = {
    name.removeprefix("no nouns in "): words
    for name, words in _LISTS.items()
    if name.startswith("no nouns in ")
}
"""Words that only look like a noun with an ending, by language."""

ARTICLES = _LISTS["articles"]
NOUN_FIRST = _LISTS["noun first"]
"""Languages with the noun before what is said of it."""

FOR_WHAT = _LISTS["for what"]
PRODUCTS = _LISTS["products"]
ONE_NAME = frozenset(("half and half", "macaroni and cheese", "sweet and sour"))
"""Two words with "and" between them that are one food."""

_OF_METHODS = (
    "said in ",
    "endings in ",
    "no nouns in ",
    "noun first",
    "articles",
    "verb ",
    "verbs ",
)
"""Lists by which methods are read, and no names."""

NAME_WORDS = (
    frozenset().union(
        *(words for name, words in _LISTS.items() if not name.startswith(_OF_METHODS))
    )
    - DISH_PARTS
    - SALT
    - _LISTS["vague"]
    - _LISTS["by eye"]
    - _LISTS["unclear units"]
)
"""Words of the lists, which are no strange word at the start of a name."""
