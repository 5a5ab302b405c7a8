"""One line of a recipe, as people write it, taken apart."""

from __future__ import annotations

import html
import re
import unicodedata
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import lru_cache

from costing.names import singular
from costing.quantities import Measures
from costing.quantities.numbers import HALF_WIDTH
from costing.recipe_text import messages
from costing.recipe_text.around import name_and_behind
from costing.recipe_text.counts import ONE, Count, count_at
from costing.recipe_text.front import WORDS
from costing.recipe_text.leading import AmountKind, Leading, leading_at
from costing.recipe_text.measured import WrittenAmount, weight_in_brackets
from costing.recipe_text.messages import doubt
from costing.recipe_text.parts import LineParts, Pieces
from costing.recipe_text.unit_words import unit_at, unit_word
from costing.recipe_text.words import ADVERBS, CUTS, FRUIT_PARTS, PARTS_TAKEN, SIZES, VAGUE
from costing.reference import find_food

LONGEST_LINE = 500
"""A longer line is no ingredient. [characters]"""

_MARKS = "-+*•‣◦▪●○·∙–—―▢☐□■▸►›»>→⇒➜➤✓✔✗✘※❖◆◇★☆"
BULLET = re.compile(
    rf"^(?:(?:[{re.escape(_MARKS)}\uf020-\uf0ff](?!\*)|\[[ xX]?\]|[0-9]?\ufe0f?\u20e3)\s*)+"
)
"""Also those of the fonts of signs, as word processors copy them."""
_LETTER_BULLET = re.compile(r"^\s*[o§]\t\s*")
"""A bullet of a second level, as word processors copy it."""
_NUMBERED = re.compile(r"^(?:\(?[0-9]{1,2}\)\s*|[0-9]{1,2}\.\s+|[①-⑳]\s*)(?=(?:an? |[0-9½¼¾⅓⅔⅛]))")
_OR_MORE = re.compile(r"(?<=[^\W\d_])/(?:n|en|e|er|e?s)(?=[\s,;()]|$)")
"""The ending of a plural behind a stroke: 2 Zehe/n, 1 Dose/n, 2 egg/s."""

_SPOON_OF = re.compile(
    r"\b(?P<word>colher(?:es)?|x[ií]caras?) \((?P<of>sopa|chá|café|sobremesa)\)", re.IGNORECASE
)
"""As Brazilian recipes have it: colher (sopa); the cup of their tea is the cup."""

_EMPHASIS = re.compile(r"(?<!\w)[_*]([^\W_](?:[^_*\n]{0,60}\w)?)[_*](?!\w)")
"""As Markdown has it: 2 _large_ eggs."""

_OR_SO = re.compile(r"(?<=[^\W_]) or so\b(?= \S)", re.IGNORECASE)
"""About as many: 3 or so tablespoons of water."""

_OR_OTHER_SIZE = re.compile(
    rf"(?P<one>[0-9]+ (?:{'|'.join(sorted(SIZES))})) or (?P<other>[0-9][0-9–-]* "
    rf"(?:{'|'.join(sorted(SIZES))})) (?=[^\W\d_])(?P<name>[^,(]+)",
    re.IGNORECASE,
)
"""Pieces of two sizes: 1 large or 2 small onions."""

_OTHER_WORD = re.compile(r" ?/ ?(?P<word>[^\W\d_]+)(?: (?:of|de|di))?(?= [^\W\d_])")
"""What a unit is called besides, before the name: 1 clove/piece garlic, 1 tsp/pinch salt."""

_CLOVES = re.compile(r"(?<=[0-9½¼¾⅓⅔] )cls?\b\.?(?= (?:[^\W\d_]+ )?garlic\b)", re.IGNORECASE)
"""Garlic is not measured in centilitres: 4 cl. garlic."""

_OTHER_TO_TASTE = re.compile(r"^[0-9½¼¾⅓⅔][^,]*, (?P<name>[^,()]+?) to taste$", re.IGNORECASE)
"""Another food behind one with an amount: 200 g rice, salt to taste."""

_TAG = re.compile(r"</?[a-zA-Z][^<>]{0,300}>")
_DEGREES = re.compile(r"\([^()0-9]{0,12}[0-9]{1,3} ?[°º]? ?[CF]\b[^()]*\)")
_FOOTNOTE = re.compile(r"[*†‡§]+(?=\s|[,.;)]|$)")
_FIRST_PICTURE = "\u2190"
"""Symbols from here on are arrows, marks and pictures; those before are degrees and the like."""

_KEPT_SYMBOLS = "℃℉№−∙≈≤≥"
_OPTIONAL = re.compile(
    r"^optional(?:ly)?\s*[:,-]\s*|\s*[(\[]\s*optional\s*[)\]]|\s*[,;–—-]\s*optional\b"
    r"|\boptional\s*(?=[,)])|\s+optional$"
    r"|\s*[(\[,]\s*(?:facultati(?:f|ve)s?|optionnel(?:le)?s?|opcional(?:es)?|facoltativ[oaie])\b[)\]]?",
    re.IGNORECASE,
)
_TASTE = re.compile(
    r"\s*[,;(/]?\s*(?:\b(?:adjust(?:ed)?\s+|or more\s+|or\s+)?(?:to|according to|as per|per)"
    r"\s+(?:your )?taste\b|\bq\.? ?b\b\.?"
    r"|\bnach (?:geschmack|belieben)\b|\bau goût\b|\bal gusto\b|\ba piacere\b)\s*\)?\s*:?",
    re.IGNORECASE,
)
_LEADERS = re.compile(
    r"(?<=[^\W_])(?:\s*(?:\.{4,}|_{4,})\s*(?=[^\W_])|\s+(?:\.{3}|…)\s+(?=[0-9½¼¾⅓⅔]))"
)
"""Dots that lead from a name to its amount: flour......100 g."""
_PARTS = "|".join((*FRUIT_PARTS, *PARTS_TAKEN))
_TAKEN = r"(?:[^\W\d_]+ly\s+)?(?:(?:grated|squeezed|pared|strained|scraped|picked|chopped)\s+)?"
_PART_OF = re.compile(
    rf"(?:the\s+)?(?P<part>{_TAKEN}(?:{_PARTS})s?(?:\s*(?:,|and|&)\s*{_TAKEN}(?:{_PARTS})s?)?"
    r"(?:\s+(?:only|scraped|picked|squeezed|taken|removed|cut))?)"
    r"\s+(?P<of>(?:of|from)\s+)?(?:(?:the|your|those|these)\s+(?=[0-9]))?(?P<rest>\S.*)",
    re.IGNORECASE,
)
_TIMES_BEHIND = re.compile(
    r"\s*[(\[]?\s*(?:[x×✕]\s*(?P<behind>[0-9]{1,2})|(?P<front>[0-9]{1,2})\s*[x×✕])\s*[)\]]?"
    r"(?=\s*(?:[,;(]|$))",
    re.IGNORECASE,
)
_BEHIND_AMOUNT = r"\s*(?:,(?![0-9])|\()"
"""What ends an amount that is the last: a bracket, or a comma that is not within a number (1,5)."""
_COLON = re.compile(r"^(?P<name>[^:]*[^\W\d_][^:]*?)\s*:\s*(?P<amount>.+)$")
_LAST = re.compile(
    r"^(?P<name>[^\W\d_][^,(]*?)(?:\s*[,:]\s*|\s+[-–—]\s+|\s+(?:x|×)\s+|\s+)"
    r"(?P<amount>(?:(?:about |approx\.? |up to |~ ?)?[0-9.¼½¾⅓⅔⅛]|(?:an?|one|half an?|half) )"
    r"(?:[^,()]|,(?=[0-9]))*?)"
    rf"(?P<rest>{_BEHIND_AMOUNT}.*)?(?:\s+[0-9]+(?:[.,][0-9]+)? ?%)?$",
    re.IGNORECASE,
)
_MORE_BEHIND = re.compile(r"(?:\+|plus|and|for|to|as|or)(?:\s|$)", re.IGNORECASE)

_FOR_WHAT = re.compile(
    r"(?:for|to) [^:,0-9]{2,40}:\s+(?=\S)|to (?:serve|garnish|finish|decorate),?\s+(?=[a-z])",
    re.IGNORECASE,
)
"""Said in front of the amount: For brushing: 20 g butter. To serve, lemon wedges."""

_LABELLED = re.compile(r"(?P<label>[^:,0-9]{2,40}):\s+(?=\S)")
"""What a line is part of, in front of its amount: egg wash: 1 egg."""

_CELLS = re.compile(r"\|(?P<cells>.+)\|")
_HEADINGS = ("ingredient", "ingredients", "item", "amount", "quantity")

_KANA = re.compile("[\u3040-\u30ff\u4e00-\u9fff]")
_JAPANESE_NUMBER = (
    r"[0-9]+(?:[./][0-9]+)?(?:(?:と|・|\s)[0-9]+/[0-9]+)?(?:\s?[~-]\s?[0-9]+(?:/[0-9]+)?)?"
)
_UNIT_FIRST = re.compile(rf"(大さじ|大匙|小さじ|小匙|カップ)\s*({_JAPANESE_NUMBER})(?:杯|強|弱)?")
_UNIT_BEHIND = re.compile(
    rf"({_JAPANESE_NUMBER})\s*((?!と)[\u3040-\u30ff\u4e00-\u9fff]+|k?g|m?l|cc)(?![a-z])"
)
_LABEL = re.compile("^[A-Z]\\s+(?=[\u3040-\u9fff])|\\([^()0-9]*\\)\\s*(?=[0-9])|[大中小](?=[0-9])")
"""A letter that groups ingredients, and the size in front of a number: A 酒, 卵(M)2個, 中2個."""

_NAMES_EACH = re.compile("(?P<names>[^0-9]+?)\\s*各\\s*(?P<amount>[0-9].*)")
_NO_AMOUNT = re.compile("(少々|適量|適宜|少量|お好みで|ひとつまみ|适量|少许|少許)")


@dataclass(frozen=True, slots=True)
class CooksUnit:
    """What a cook's word in a Unit cell means, as a line of a recipe is read.

    Parameters
    ----------
    unit : str
        The unit of the list it stands for; ``""`` when it names a piece or a pack.
    name : str
        What the piece or the pack is called as an ingredient of its own.
    published : str
        What the tables print of such a piece.
    """

    unit: str = ""
    name: str = ""
    published: str = ""


def cooks_unit(word: str, ingredient: str, measures: Measures) -> CooksUnit | None:
    """Give what a word that is no unit of the list means before an ingredient.

    Examples
    --------
    >>> cooks_unit("clove", "garlic", Measures.METRIC)
    CooksUnit(unit='', name='garlic clove', published='1 clove = 3.0 g')
    >>> cooks_unit("EL", "oil", Measures.METRIC).unit
    'metric tablespoon'
    """
    parts = read_line(f"1 {word} {ingredient}", measures)
    for said in parts.doubts:
        if said.message is messages.pieces_named:
            return CooksUnit(name=parts.name, published=str(said.about[2]))
        if said.message is messages.pack_size_missing:
            return CooksUnit(name=parts.name)
        if said.message in (messages.unit_near, messages.stick):
            return CooksUnit(unit=parts.unit)
    return None


def _japanese(text: str) -> str:
    """Write a Japanese amount number first, with blanks: 大さじ1と1/2 is 1 1/2 大さじ.

    Examples
    --------
    >>> _japanese("醤油…大さじ1と1/2"), _japanese("卵 3個"), _japanese("塩 少々")
    ('醤油 1 1/2 大さじ', '卵 3 個', '塩 1 少々')
    """
    if not _KANA.search(text):
        return text
    text = _LABEL.sub("", re.sub("[…‥]+|・{2,}", " ", text))
    # spoons stand before their number and grams behind it; a line has the one form or the other
    text, found = _UNIT_FIRST.subn(r" \2 \1 ", text)
    if not found:
        text, found = _UNIT_BEHIND.subn(r" \1 \2 ", text, count=1)
    if not found:
        text = _NO_AMOUNT.sub(r" 1 \1 ", re.sub(r"\([^()]*\)", " ", text), count=1)
    text = " ".join(re.sub(r"(?<=[0-9])[と・](?=[0-9])", " ", text).split())
    if each := _NAMES_EACH.fullmatch(text):
        return f"{each['amount']} each {re.sub('[、・]', ' and ', each['names'])}"
    return text


@lru_cache(maxsize=4096)  # each question about a line, and about the one above it, asks again
def tidied(line: str) -> str:
    """Give a line with single blanks, without tags, pictures, control signs and bullet.

    Examples
    --------
    >>> tidied("✅ ２ tbsp <b>salt</b> &amp; pepper"), tidied("- [ ] 180°C")
    ('2 tbsp salt & pepper', '180°C')
    """
    text = _LETTER_BULLET.sub("", unicodedata.normalize("NFC", line).translate(HALF_WIDTH))
    if "<" in text or "&" in text:
        # twice: what is copied out of a page's source is often escaped once more
        text = html.unescape(html.unescape(_TAG.sub(" ", text)))
    plain = text.isascii() and text.isprintable()
    if not plain:
        signs = ((sign, unicodedata.category(sign)) for sign in text)
        kept = (" " if kind in ("Cc", "Zs") else sign for sign, kind in signs if kind != "Cf")
        text = "".join(kept)
    text = BULLET.sub("", " ".join(text.split()))
    if cells := _CELLS.fullmatch(text):
        text = _cells_read(cells["cells"])
    shown = text if plain else "".join(map(_without_picture, text))
    return BULLET.sub("", " ".join(shown.split())).strip()


def _spoon_of(spoon: re.Match[str]) -> str:
    return f"{spoon['word']} de {spoon['of']}" if spoon["word"][0] in "cC" else spoon["word"]


def _cells_read(text: str) -> str:
    """A row of a table as a line: its cells in a row, its headings as "Ingredients"."""
    cells = [cell.strip() for cell in text.split("|")]
    if any(cell.casefold() in _HEADINGS for cell in cells):
        return "Ingredients"
    # the amount first, so that words behind a comma are not between it and the name
    first = next((cell for cell in cells if count_at(cell)), "")
    return " ".join(cell for cell in (first, *(c for c in cells if c is not first)) if cell)


def _without_picture(sign: str) -> str:
    """Give a sign, or a blank for an emoji, an arrow or what belongs to one."""
    kind = unicodedata.category(sign)
    picture = kind in ("So", "Sk", "Sm", "Me") and sign >= _FIRST_PICTURE
    dropped = (picture and sign not in _KEPT_SYMBOLS) or sign in "\ufe0f\u200d\u20e3"
    return " " if dropped else sign


def read_line(line: str, measures: Measures) -> LineParts:
    """Take an ingredient line apart.

    Parameters
    ----------
    line : str
        As people write it: English, with the spoons and pieces of some other languages.
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
        return LineParts(text[:LONGEST_LINE] + "…", doubts=(said,))
    text = _CLOVES.sub("cloves", _SPOON_OF.sub(_spoon_of, _OR_MORE.sub("", text)))
    text = _OR_OTHER_SIZE.sub(r"\g<one> \g<name>, or \g<other>", _OR_SO.sub("", text))
    text = _LEADERS.sub(": ", text)
    text = weight_in_brackets(_japanese(_NUMBERED.sub("", text)), measures)
    plain = _EMPHASIS.sub(r"\1", text.replace("**", "").replace("__", ""))
    plain = _OPTIONAL.sub("", _FOOTNOTE.sub("", plain))
    optional = _OPTIONAL.search(text) is not None
    other = _OTHER_TO_TASTE.search(plain)
    seasoned = other is not None and find_food(other["name"]).food is not None
    to_taste = not seasoned and _TASTE.search(plain) is not None
    untasted = (plain if seasoned else _TASTE.sub(" ", plain)).strip(
        " ,;:–—-" if to_taste else " ,;"
    )
    part, plain = _part_of(_without_what_for(untasted, measures))
    leading, rest = leading_at(plain, measures)
    if leading.count is None:
        # only where none is in front: "2 eggs, 100 g each" has its amount already
        leading, rest = _amount_last(_DEGREES.sub("", plain), measures) or (leading, rest)
    else:
        rest = _times_behind(leading, _without_other_word(leading, rest, measures))
    raw, behind = name_and_behind(rest, measures, each=leading.each)
    if leading.count is None and behind.others:
        leading.count, leading.unit = behind.others[0].count, behind.others[0].unit
        leading.each = behind.others[0].each
        leading.doubts += behind.others.pop(0).doubts
    if part:
        behind.cuts.insert(0, part)
    parts = Pieces(line, text, leading, behind, raw).put_together(to_taste=to_taste)
    return replace(parts, optional=optional)


def _without_what_for(text: str, measures: Measures) -> str:
    """The line without what it is for, said in front of it."""
    if what_for := _FOR_WHAT.match(text):
        return text[what_for.end() :]
    label = _LABELLED.match(text)
    # a name may stand in front of its amount too: egg: 1 large; salt: 1 tsp fine
    if label is None or find_food(label["label"]).food:
        return text
    rest = text[label.end() :]
    if count_at(rest) is None:
        return rest if _amount_last(rest, measures) else text
    _, name = leading_at(rest, measures)
    return rest if name[:1].isalpha() and not _says_of_it(name) else text


def _says_of_it(name: str) -> bool:
    """Whether all words behind an amount are sizes or cuts, so that no food is named there."""
    words = [word.casefold() for word in WORDS.findall(name.partition(",")[0])]
    return all(word in CUTS | ADVERBS | SIZES for word in words)


def _part_of(text: str) -> tuple[str, str]:
    """What is taken of a counted thing, and the thing: juice of 1 lemon, zest 2 limes."""
    part = _PART_OF.fullmatch(text)
    if part is None or not count_at(part["rest"]):
        return "", text
    if not part["of"] and not part["rest"][0].isnumeric():
        return "", text
    return part["part"], part["rest"]


def _without_other_word(leading: Leading, rest: str, measures: Measures) -> str:
    """The line behind another word for its unit; of another measure the first counts."""
    other = _OTHER_WORD.match(rest)
    if other is None or leading.count is None:
        return rest
    unit = unit_at(f" {other['word']}", measures)
    if leading.unit is not None and unit is not None and not unit[0].counts:
        leading.others.append(WrittenAmount(leading.count, unit[0]))
    elif leading.unit is not None and singular(other["word"].casefold()) in VAGUE:
        first = WrittenAmount(leading.count, leading.unit)
        leading.doubts.append(doubt(messages.amounts_two, str(first), [other["word"]]))
    return rest[other.end() :]


def _times_behind(leading: Leading, rest: str) -> str:
    """Take the number of packs behind the name: 400 g tin tomatoes x 2."""
    times = _TIMES_BEHIND.search(rest)
    sized = leading.size is not None or leading.unit is not None
    if times is None or leading.count is None or leading.count.low is None or not sized:
        return rest
    number = Fraction(int(times["behind"] or times["front"]))
    count = leading.count
    many = Count(number, number, written=times[0])
    leading.count = WrittenAmount(count).times(many).count
    total = (leading.size or WrittenAmount(ONE, leading.unit)).times(leading.count)
    leading.doubts.append(doubt(messages.amount_times, times[0].strip(" ,"), str(total)))
    return f"{rest[: times.start()]} {rest[times.end() :]}".strip()


def _amount_last(text: str, measures: Measures) -> tuple[Leading, str] | None:
    """The amount behind the name: flour 200 g, eggs x 2."""
    last = _COLON.match(text) or _LAST.match(text)
    if last is None:
        return None
    amount, rest = last["amount"], last.groupdict().get("rest") or ""
    if "rest" not in last.groupdict():
        comma = re.search(_BEHIND_AMOUNT, amount)
        if comma:
            amount, rest = amount[: comma.start()], amount[comma.start() :]
    if unit_word(rest.strip(" ,"), measures):  # flour, 200, g
        amount, rest = f"{amount} {rest.strip(' ,')}", ""
    found, left = leading_at(amount, measures)
    if found.count is None:
        return None
    # what is behind such an amount is a cut or more of the line; anything else makes it a name
    words = [word.casefold() for word in left.split()]
    if _MORE_BEHIND.match(left) or (words and all(word in CUTS | ADVERBS for word in words)):
        rest, left = f", {left}{rest}", ""
    if not all(word.casefold() in SIZES for word in left.split()):
        return None
    measured = found.unit is not None or found.kind is not AmountKind.NONE
    if not measured and found.count.written[:1].isalpha():  # leg of a lamb
        return None
    if left:
        found.modifiers.append(left)
    return found, last["name"].strip() + rest
