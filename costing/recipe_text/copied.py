"""The lines of a text that was copied from a page, a letter or a book, without what is around them.

A page has its links and stars, a letter its greeting, a quoted one a sign before each line.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence

from costing.recipe_text.around import is_cut
from costing.recipe_text.lines import tidied
from costing.recipe_text.outline import SourceLine
from costing.recipe_text.words import TELLS

LONGEST_AROUND = 200
"""A longer line is of the recipe. [characters]"""

_LINE_TAG = re.compile(r"</?(?:li|p|br|ul|ol|div|h[1-6])\b[^<>]{0,300}>", re.IGNORECASE)
"""Where a page begins a new line."""

_AROUND = re.compile(
    r"(?:skip|jump) to (?!step [0-9])[^\W\d_]+.*|home\s*[»›>/].*|advertisement|scroll to .*"
    r"|(?:(?:print|pin|save|share|rate|review)(?: (?:it|this|the))?(?: recipe)?\b[\s|·•]*)+"
    r"|[0-9.]+ ?(?:/ ?5|stars?|from|out of)\b.*\b(?:votes?|ratings?|reviews?|stars?)\W*"
    r"|(?:recipe )?by [^\W\d_]+(?: [^\W\d_]+){0,2}"
    r"|by [A-Z].*(?:updated|published|posted|20[0-9]{2})\b.*|(?:[0-9½]+x\s*){2,}"
    r"|(?:#\w+\s*){2,}|follow @\w+.*|sent from my .*"
    r"|(?:love|cheers|thanks(?! to)|(?:best |kind |warm )?(?:wishes|regards)|yours)"
    r"(?: .{0,20})?,.{0,30}",
    re.IGNORECASE,
)
"""Lines of a page or a letter, as they are copied along with a recipe."""

_HEADS_A_LETTER = re.compile(
    r"(?:from|to|cc|subject|date|sent)\s*:\s+\S.*|(?:hi|hello|hey|dear)\b[^.:]{0,40}[,!]",
    re.IGNORECASE,
)
_STARRED = re.compile(r"(?P<sign>\*{1,3}|[†‡])(?P<apart>\s*)\w")
_IN_A_WORD = re.compile(r"(?P<first>[^\W\d_]{2,})[-‐\u00ad]$")
_KEEPS_HYPHEN = frozenset(
    ("self", "low", "full", "half", "free", "extra", "well", "deep", "stir", "semi", "non", "bone")
)
"""First parts of words with a hyphen of their own: self-raising."""

_QUOTED = re.compile(r"(?:> ?)+")


def lines_of(rows: Sequence[str]) -> tuple[list[SourceLine], list[SourceLine]]:
    """The lines that say something, and beside them those that are around a recipe.

    Examples
    --------
    >>> kept, around = lines_of(["Hi Jo,", "", "2 eggs<br>salt", "-----"])
    >>> [one.text for one in kept], [one.text for one in around]
    (['2 eggs', 'salt'], ['Hi Jo,'])
    """
    quoted = any(_QUOTED.fullmatch(row.strip()) for row in rows)
    kept: list[SourceLine] = []
    around: list[SourceLine] = []
    for number, row in enumerate(rows, start=1):
        bare = _QUOTED.sub("", row, count=1) if quoted and row.startswith(">") else row
        for part in _LINE_TAG.split(bare):
            source = SourceLine(number, part.strip())
            # a row of dashes or stars is a ruled line
            if any(map(str.isalnum, tidied(source.text))):
                (around if is_around(source.text, above_all=not kept) else kept).append(source)
    return kept, around


def is_around(text: str, *, above_all: bool) -> bool:
    """Whether a line is none of a recipe's but of the page or letter it was copied from.

    Examples
    --------
    >>> is_around("Jump to Recipe", above_all=True), is_around("Hi Jo,", above_all=False)
    (True, False)
    """
    if len(text) > LONGEST_AROUND:
        return False
    plain = tidied(text)
    heads = above_all and _HEADS_A_LETTER.fullmatch(plain) is not None
    return heads or _AROUND.fullmatch(plain) is not None


def is_footnote(text: str, listed: Iterable[str]) -> bool:
    """Whether a line is what a star behind one of the ingredients above it points to.

    Examples
    --------
    >>> is_footnote("* soaked overnight", ["200 g beans*"]), is_footnote("* salt", ["* 1 egg*"])
    (True, False)
    """
    starred = _STARRED.match(text)
    above = list(listed) if starred else []
    others = [other["apart"] for other in map(_STARRED.match, above) if other]
    if starred is None or starred["apart"] in others:
        return False
    pointing = re.compile(rf"\w{re.escape(starred['sign'])}(?![\w*†‡])")
    return any(map(pointing.search, above))


def breaks_off(above: str, text: str) -> bool:
    """Whether a line surely ends in the middle, however short: in a word, a cut or a sentence."""
    if not text[:1].islower():
        return False
    sentence = (
        above[:1].isupper() and text.endswith(".") and not above.endswith((".", "!", "?", ":"))
    )
    return (
        _broken_word(above) is not None
        or above.endswith((" and", " or"))
        or (above.endswith(",") and is_cut(text))
        or (sentence and above.split()[0].casefold() in TELLS)
    )


def _broken_word(text: str) -> re.Match[str] | None:
    # the last word alone: a row that grows line by line is long
    return _IN_A_WORD.search(text.rpartition(" ")[2])


def put_together(above: str, text: str) -> str:
    """Two lines as one; a word that a hyphen breaks is whole again, but for self-raising."""
    broken = _broken_word(above)
    if broken is None or not text[:1].islower():
        return f"{above} {text}"
    return f"{above if broken['first'].casefold() in _KEEPS_HYPHEN else above[:-1]}{text}"
