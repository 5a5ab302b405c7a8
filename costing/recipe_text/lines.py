"""One line of a recipe, as people write it, taken apart."""

from __future__ import annotations

import re
import unicodedata
from dataclasses import replace

from costing.quantities import Measures
from costing.recipe_text import messages
from costing.recipe_text.behind import name_and_behind
from costing.recipe_text.counts import count_at
from costing.recipe_text.doubts import doubt
from costing.recipe_text.leading import Leading, leading_at
from costing.recipe_text.parts import LineParts, Pieces
from costing.recipe_text.words import FRUIT_PARTS, SIZES

LONGEST_LINE = 500
"""A longer line is no ingredient. [characters]"""

BULLET = re.compile(r"^(?:(?:[-+•‣◦▪●○·–—▢☐□✓✔]|\*(?!\*)|\[[ xX]?\])\s*)+")
_OPTIONAL = re.compile(
    r"^optional(?:ly)?\s*[:,-]\s*|\s*[(\[]\s*optional\s*[)\]]|\s*[,;–—-]\s*optional\b"
    r"|\boptional\s*(?=[,)])|\s+optional$",
    re.IGNORECASE,
)
_TASTE = re.compile(
    r"\s*[,;(]?\s*\b(?:or\s+)?(?:to|according to|as per)\s+taste\b\s*\)?\s*:?", re.IGNORECASE
)
_PARTS = "|".join(FRUIT_PARTS)
_PART_OF = re.compile(
    rf"(?:the\s+)?(?P<part>(?:[^\W\d_]+ly\s+)?(?:(?:grated|squeezed|pared|strained)\s+)?"
    rf"(?:{_PARTS})s?(?:\s*(?:,|and|&)\s*(?:[^\W\d_]+ly\s+)?(?:grated\s+)?(?:{_PARTS})s?)?)"
    r"\s+(?:of|from)\s+(?P<rest>\S.*)",
    re.IGNORECASE,
)
_COLON = re.compile(r"^(?P<name>[^:]*[^\W\d_][^:]*?)\s*:\s*(?P<amount>.+)$")
_LAST = re.compile(
    r"^(?P<name>[^\W\d_][^,(]*?)(?:\s*[,:]\s*|\s+[-–—]\s+|\s+(?:x|×)\s+|\s+)"
    r"(?P<amount>(?:about |approx\.? )?[0-9¼½¾⅓⅔⅛][^,()]*?)(?P<rest>\s*[,(].*)?$",
    re.IGNORECASE,
)


def tidied(line: str) -> str:
    """Give a line with single blanks, without control signs and bullet."""
    text = unicodedata.normalize("NFC", line)
    signs = ((sign, unicodedata.category(sign)) for sign in text)
    text = "".join(" " if kind in ("Cc", "Zs") else c for c, kind in signs if kind != "Cf")
    return BULLET.sub("", " ".join(text.split())).strip()


def read_line(line: str, measures: Measures) -> LineParts:
    """Take an ingredient line apart.

    Parameters
    ----------
    line : str
        As people write it, in English.
    measures : Measures
        Whose spoons, cups and pints the bare words are.

    Returns
    -------
    LineParts
        With a doubt for everything that a reader could take otherwise. A line that cannot be
        read has a blank amount, and as its name the text behind the amount, or the whole line.

    Examples
    --------
    >>> parts = read_line("1 1/2 cups (180 g) plain flour, sifted", Measures.METRIC)
    >>> parts.name, parts.amount, parts.unit, parts.cut
    ('plain flour', '180', 'g', 'sifted')
    >>> parts = read_line("2 cloves garlic, finely chopped", Measures.METRIC)
    >>> parts.name, parts.amount, parts.unit, parts.cut
    ('garlic clove', '2', 'each', 'finely chopped')
    """
    text = tidied(line)
    if len(text) > LONGEST_LINE:
        said = doubt(messages.line_too_long, len(text), LONGEST_LINE)
        return LineParts(line, text[:LONGEST_LINE] + "…", doubts=(said,))
    plain = _OPTIONAL.sub("", text.replace("**", "").replace("__", ""))
    optional = _OPTIONAL.search(text) is not None
    untasted = _TASTE.sub(" ", plain).strip(" ,;")
    to_taste = untasted != plain
    plain = untasted
    part = _PART_OF.fullmatch(plain)
    if part and count_at(part["rest"]):
        plain = part["rest"]
    else:
        part = None
    leading, rest = leading_at(plain, measures)
    if leading.count is None:
        leading, rest = _amount_last(plain, measures) or (leading, rest)
    raw, behind = name_and_behind(rest, measures)
    if leading.count is None and not to_taste and behind.others:
        leading.count, leading.unit = behind.others[0].count, behind.others[0].unit
        leading.doubts += behind.others.pop(0).doubts
    if part:
        behind.cuts.insert(0, part["part"])
    parts = Pieces(line, text, leading, behind, raw).put_together(to_taste=to_taste)
    return replace(parts, optional=optional)


def _amount_last(text: str, measures: Measures) -> tuple[Leading, str] | None:
    """The amount behind the name: flour 200 g, eggs x 2."""
    last = _COLON.match(text) or _LAST.match(text)
    if last is None:
        return None
    amount, rest = last["amount"], last.groupdict().get("rest") or ""
    if "rest" not in last.groupdict():
        comma = re.search(r"\s*[,(]", amount)
        if comma:
            amount, rest = amount[: comma.start()], amount[comma.start() :]
    found, left = leading_at(amount, measures)
    if found.count is None or (left and not all(w.casefold() in SIZES for w in left.split())):
        return None
    if left:
        found.modifiers.append(left)
    return found, last["name"].strip() + rest
