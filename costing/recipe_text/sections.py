"""The sections of a recipe: the words that head them, on a line of their own or run in.

Old books print them run in (INGREDIENTS.--1/2 lb. of suet, 2 eggs. Mode.--Chop the suet), and lines
that end where the page ended are one.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import replace
from enum import StrEnum

from costing.quantities import Measures
from costing.recipe_text.around import is_cut
from costing.recipe_text.copied import breaks_off, put_together
from costing.recipe_text.counts import count_at
from costing.recipe_text.lines import BULLET, LONGEST_LINE, read_line, tidied
from costing.recipe_text.measured import whole_measure
from costing.recipe_text.outline import LONGEST_CELL, SourceLine, is_yield_line
from costing.recipe_text.parts import TO_TASTE
from costing.recipe_text.words import FRUIT_PARTS, NAME_WORDS, TELLS
from costing.reference import find_food

LONGEST_PLAIN = 1_000
"""A longer line is a paragraph of the method. [characters]"""

LONGEST_TITLE = 80
"""A longer line is no name and no ingredient. [characters]"""

WORDS_OF_PROSE = 8
"""A sentence without an amount and with at least so many words is no ingredient. [words]"""

DONE_TO = frozenset(("the", "it", "them", "all", "everything"))
"""Second words of a sentence that tells what to do: Smoke the tomatoes."""

_DONE_WITH = DONE_TO | {"between", "into", "over", "onto", "until"}
"""Words of what is done, and of no name of a food."""

WRAPPED = 50
"""A line that the width of the page has broken is at least so long. [characters]"""


class Section(StrEnum):
    """Which part of a recipe is being read."""

    START = "start"
    INGREDIENTS = "ingredients"
    METHOD = "method"
    OTHER = "other"


_WORDS = {
    Section.INGREDIENTS: "ingredients|you will need|what you need|shopping list|ingrédients|zutaten"
    "|ingredienti|ingredientes|ingredienser|ingrediënten|składniki|ainekset|you(?:'|’)ll need|材料"
    "|食材|malzemeler|ingredience|suroviny|hozzávalók|ingrediente",
    Section.METHOD: "method|mode|instructions?|directions?|preparation|steps|procedure"
    "|how to(?: make it)?|to make|préparation|zubereitung|prepara(?:zione|ción|ção)|procedimento"
    "|elaboración|modo de (?:prepar(?:o|ar|ación|ação)|fazer)|gör så här|fremgangsmåde"
    "|bereiding(?:swijze)?|så gör du|tillagning|fremgangsmåte|sådan gør du|slik gjør du"
    "|przygotowanie|sposób przygotowania|valmistus"
    "|so geht(?:'|’)?s|作り方|手順|做法|步骤|步驟|yapılışı|hazırlanışı|postup|elkészítés",
    Section.OTHER: "notes?|tips?|nutrition|nutritional information|equipment|special equipment"
    "|storage|variations?|cook'?s notes?|serving suggestions?",
}
_SECTION = re.compile(
    "|".join(rf"(?P<{name}>(?:{words}))" for name, words in _WORDS.items()), re.IGNORECASE
)
_COLON = r"\s*(?::|\.?\s*(?:--+|—)|\.\s*[-–])\s*"
"""Behind a heading that is run in: a colon or, in old books, a stop and a dash."""

INLINE_SECTION = re.compile(
    rf"(?P<word>method|mode|directions?|instructions?|procedure|préparation|zubereitung"
    r"|prepara(?:zione|ción)|procedimento|elaboración|作り方|手順|notes?|tips?|equipment|nutrition)"
    rf"{_COLON}(?P<rest>\S.*)",
    re.IGNORECASE,
)
_LISTED = re.compile(
    rf"(?:[0-9]{{1,4}}\. )?(?P<word>{_WORDS[Section.INGREDIENTS]}){_COLON}(?P<rest>\S.*)",
    re.IGNORECASE,
)
_SAID_BESIDE = re.compile(rf"(?:time|average cost|seasonable|sufficient)(?:{_COLON}|,? )", re.I)
_LABEL = re.compile(r"[A-Z][A-Za-z ]{2,25}:\s")
"""At the start of a line of its own: QUANTITY: 4 helpings."""

_COLUMNS = re.compile(r"\s{3,}")
"""Between the columns of a list that a book prints in two."""

_SENTENCE = re.compile(r"(?<=[^\W\d_]{2}\.)\s+(?=[A-Z])|(?<=[0-9]d\.)\s+(?=[A-Z])")
_ITEM_ENDS = re.compile(
    r"\s*;\s*(?:and\s+)?|\s*,\s+(?:and\s+)?|(?<![0-9])\s+and\s+(?=[0-9½¼¾⅓⅔])", re.IGNORECASE
)
_TAKEN = re.compile(
    rf"(?:the |a few |a little |some )?(?:grated |chopped )?(?:{'|'.join(FRUIT_PARTS)})s?\b", re.I
)
NUMBERED = re.compile(
    r"^(?:step\s*)?[0-9]{1,2}\s*[.):]\s+(?=\S)|^step\s+[0-9]{1,2}\b\s*[-–]?\s*|^[①-⑳]\s*", re.I
)
INLINE = re.compile(r"(?P<heading>[^:0-9]{2,40}):\s+(?P<line>\S.*)")
_OVEN = re.compile(r"(?:pre-?heat|heat|turn on) (?:the|your|an|a) \w+\b.*[0-9].*", re.IGNORECASE)
"""Said above the ingredients, as short as it is: it is no ingredient."""

TO_SERVE = re.compile(r"to (?:serve|garnish|finish|decorate)", re.IGNORECASE)
"""Inside a method too it may head what is bought for it."""

FOR = re.compile(rf"(?:for|to make) the\b[^,]*|{TO_SERVE.pattern}", re.IGNORECASE)
BRACKET_BEHIND = re.compile(r"\s*\([^()]*\)\s*(:?)$")
_BRACKETED = re.compile(r"(?P<head>.*)\((?P<makes>[^()]*)\)\s*:?")
_WITH_YIELD = re.compile(
    r"(?P<head>[^\W\d_ ]+(?: [^\W\d_]+){0,2}?),?(?: [-–—])? "
    r"(?P<makes>(?:for|serves|makes|pour|für|per|para|voor|för|til) [^.]*?)\s*:?",
    re.IGNORECASE,
)
"""Ingredients for 4 people:"""

MARK = re.compile(r"^(?P<signs>#{1,6})\s+(?P<text>.*?)\s*#*$")
BOLD = re.compile(r"^(\*\*|__)(?P<text>.+)\1(?P<colon>:?)$")
_BOLD_WORDS = re.compile(r"(?<![*\w])(\*\*|__)(?P<text>[^\s*_](?:[^*_]*[^\s*_])?)\1(?![*\w])")
_ALL_SLANTED = re.compile(r"([*_])(?P<text>[^\W\d_](?:[^*_]*[^*_\s])?)\1")
_SLANTED = re.compile(r"(?<!\w)(_|\*)(?P<text>[^\W\d_][^_*]*)\1(?!\w)")


def plain_line(text: str) -> str:
    """Give a line without the stars that make it, or words of it, bold.

    Examples
    --------
    >>> plain_line("**Filling**:"), plain_line("**Serves:** 4")
    ('Filling:', 'Serves: 4')
    """
    bold = BOLD.match(text)
    if bold and bold[1] not in bold["text"]:
        return bold["text"].strip() + bold["colon"]
    return _BOLD_WORDS.sub(r"\g<text>", text)


def section_of(text: str) -> Section | None:
    """The section that a line heads, if it is the heading of one.

    Examples
    --------
    >>> section_of("## Ingredients:"), section_of("Zubereitung"), section_of("2 eggs")
    (<Section.INGREDIENTS: 'ingredients'>, <Section.METHOD: 'method'>, None)
    """
    if len(text) > LONGEST_PLAIN:
        return None
    mark = MARK.match(tidied(text))
    plain = plain_line(mark["text"] if mark else tidied(text))
    bare = BRACKET_BEHIND.sub(r"\1", heading_and_yield(plain)[0])
    found = _SECTION.fullmatch(bare.rstrip(" :-–—"))
    return Section(str(found.lastgroup)) if found else None


def heading_and_yield(plain: str) -> tuple[str, str]:
    """A heading, and what it says that the recipe makes; blank: nothing.

    Examples
    --------
    >>> heading_and_yield("Ingredients (serves 4)"), heading_and_yield("Zutaten für 2 Personen:")
    (('Ingredients', 'serves 4'), ('Zutaten', 'für 2 Personen'))
    """
    said = _BRACKETED.fullmatch(plain) or _WITH_YIELD.fullmatch(plain)
    if said is None or not is_yield_line(said["makes"]):
        return plain, ""
    return said["head"].strip(), said["makes"].strip()


def without_number(text: str, sources: Sequence[SourceLine]) -> str:
    """The first line without the number that a book gives its recipes: 45. Apple soup.

    It stands apart from the second line, is no step and does not begin a row of numbered ones.
    """
    number = NUMBERED.match(text)
    if number is None or len(sources) < 2 or sources[1].number == sources[0].number + 1:
        return text
    rest = text[number.end() :]
    step = rest.endswith(".") and not rest.isupper()
    numbered = NUMBERED.match(tidied(sources[1].text)) is not None
    return text if step or numbered or reads_as_ingredient(rest) else rest.rstrip(".")


def is_prose(said: str) -> bool:
    """Whether a line is a sentence that tells what to do, and no ingredient.

    Examples
    --------
    >>> is_prose("Mix, then bake."), is_prose("egg wash: 1 egg with 1 Tbsp. milk")
    (True, False)
    """
    labelled = INLINE.fullmatch(said)
    if labelled and count_at(labelled["line"]) and not said.endswith("."):
        return False
    ended = said.endswith((".", "!", "?"))
    counted = count_at(said)
    number = counted is not None and counted[0].written.casefold() not in ("a", "an")
    then = re.search(r"\.\s+([A-Z][a-z]+) ", said) if len(said) > LONGEST_TITLE else None
    # "A day ahead, soak beans." is a sentence, and so is "6 eggs; 1 lb. flour. Beat the eggs."
    number = number and not (then and then[1].casefold() in TELLS)
    words = [word.strip(",.;:!?") for word in said.casefold().split()]
    told = ended and (words[0] in TELLS or not DONE_TO.isdisjoint(words[1:2]))
    long = not number and (ended or ". " in said) and (told or len(words) >= WORDS_OF_PROSE)
    return long or _OVEN.fullmatch(said) is not None


def reads_as_ingredient(said: str) -> bool:
    """Whether a line begins with a number, be it words such as a few, and is no sentence.

    Examples
    --------
    >>> reads_as_ingredient("a few olives"), reads_as_ingredient("2 hours later, stir.")
    (True, False)
    """
    if said.endswith(".") or len(said) > LONGEST_TITLE or NUMBERED.match(said):
        return False
    return count_at(said) is not None


def is_ingredient(said: str, measures: Measures) -> bool:
    """Whether a line is surely one: short, with an amount of a known food, or in a unit.

    Examples
    --------
    >>> [is_ingredient(said, Measures.METRIC) for said in ("300 g noodles", "2 min rest")]
    [True, False]
    """
    if not reads_as_ingredient(said) or len(said.split()) > WORDS_OF_PROSE:
        return False
    read = read_line(said, measures)
    return bool(read.amount) and (read.unit != "each" or find_food(read.name).how != "none")


def names_alone(said: str) -> bool:
    """Whether a short line without an amount names food, and tells nothing to do.

    Examples
    --------
    >>> [names_alone(said) for said in ("soured cream", "slice the bread", "Serve warm.", "")]
    [True, False, False, False]
    """
    words = said.casefold().split()
    told = not words or words[0] in TELLS or not _DONE_WITH.isdisjoint(words)
    return not (told or said.endswith((".", "!", ":"))) and len(words) < WORDS_OF_PROSE


def lines_apart(sources: Sequence[SourceLine], measures: Measures) -> list[SourceLine]:
    """Give the lines with what is run in on lines of its own, and broken lines put together."""
    return [one for source in _joined(sources, measures) for one in _apart(source, measures)]


def _joined(sources: Sequence[SourceLine], measures: Measures) -> Iterator[SourceLine]:
    """The lines that the width of the page has broken, each put together again."""
    whole: SourceLine | None = None
    last, in_row = 0, False
    for source in sources:
        follows = whole is not None and source.number == last + 1
        if whole and follows and _goes_on(whole.text, source.text, measures, in_row=in_row):
            whole = replace(whole, text=put_together(whole.text, source.text))
        else:
            if whole is not None:
                yield whole
            whole, in_row = source, False
        # a row stays one: looked through again at each of its lines, a long one takes minutes
        in_row = in_row or (len(whole.text) <= LONGEST_LINE and _is_row(whole.text, measures))
        last = source.number
    if whole is not None:
        yield whole


def _is_row(text: str, measures: Measures) -> bool:
    """Whether several ingredients stand behind their heading: Ingredients: 2 eggs, salt."""
    listed = _LISTED.fullmatch(_upright(text))
    return listed is not None and len(_items(listed["rest"], measures)) > 1


def _goes_on(above: str, text: str, measures: Measures, *, in_row: bool) -> bool:
    """Whether a line goes on with the sentence, or the row of ingredients, of the line above it."""
    if len(above) + len(text) > LONGEST_CELL:
        return False
    if not BULLET.match(text) and breaks_off(above, text):
        return True
    if BULLET.match(text) or above.endswith((".", "!", "?", ":")) or not above or not text:
        return False
    if in_row:
        return not _heads(text)
    if len(above) < WRAPPED or not text[0].islower():
        return False
    # a name in front of its amount is a line of its own: sugar 2 cups
    named = len(above) <= LONGEST_LINE and read_line(text, measures).amount
    return not (named and read_line(above, measures).amount)


def _heads(text: str) -> bool:
    plain = _upright(text)
    heads = (_LABEL, INLINE_SECTION, _LISTED, _SAID_BESIDE)
    return section_of(text) is not None or any(one.match(plain) for one in heads)


def _upright(text: str) -> str:
    """A line without the signs that make words of it bold or slanted: _Mode_.--Chop it."""
    return _SLANTED.sub(r"\g<text>", plain_line(text))


def _apart(source: SourceLine, measures: Measures) -> Iterator[SourceLine]:
    plain = _upright(source.text)
    columns = _COLUMNS.split(source.text)
    listed = _LISTED.fullmatch(plain)
    items = _items(listed["rest"], measures) if listed else []
    if listed and (len(items) > 1 or count_at(listed["rest"])):
        yield replace(source, text=listed["word"])
        yield from (replace(source, text=item) for item in items)
    elif _SAID_BESIDE.match(plain):
        yield from (replace(source, text=one) for one in _SENTENCE.split(plain))
    elif run_in := INLINE_SECTION.fullmatch(plain):
        yield replace(source, text=f"{run_in['word']}: {run_in['rest']}")
    elif parts := _list_of_a_part(plain):
        yield from (replace(source, text=part) for part in parts)
    elif slanted := _ALL_SLANTED.fullmatch(source.text):
        yield replace(source, text=f"**{slanted['text']}**")
    elif len(columns) > 1 and all(map(count_at, columns)):
        yield from (replace(source, text=column) for column in columns)
    else:
        together = named_together(source.text, measures)
        yield from (replace(source, text=one) for one in together)


def _list_of_a_part(text: str) -> list[str]:
    """A heading and the ingredients in a row behind it: Curry paste: 10 chillies, 3 shallots."""
    listed = INLINE.fullmatch(text) if len(text) <= LONGEST_CELL and ". " not in text else None
    items = re.split(r",\s+(?![^(]*\))", listed["line"].rstrip(".")) if listed else []
    if listed is None or len(items) <= 2 or not all(map(count_at, items)):
        return []
    return [f"{listed['heading']}:", *items]


def _items(text: str, measures: Measures) -> list[str]:
    """The ingredients of a row of them.

    Examples
    --------
    >>> _items("2 eggs, well beaten, the rind of 1 lemon, salt to taste.", Measures.METRIC)
    ['2 eggs, well beaten', 'the rind of 1 lemon', 'salt to taste']
    """
    items: list[str] = []
    at = 0
    text = text.strip().rstrip(".")
    apart = True
    for end in (*_ITEM_ENDS.finditer(text), None):
        part = text[at : end.start() if end else len(text)].strip()
        behind = bool(items) and _is_bare_amount(part, measures)  # flour, 1 lb.
        if items and (behind or not (apart or _begins_item(part, measures))):
            items[-1] += f", {part}"
        elif part:
            items.append(part)
        at = end.end() if end else len(text)
        apart = end is not None and ";" in end[0]
    return items


def _is_bare_amount(part: str, measures: Measures) -> bool:
    """Whether a part is an amount and no more, of the name before it."""
    counted = count_at(part)
    return whole_measure(part, measures) is not None or (
        counted is not None and not counted[1].strip(" .")
    )


def named_together(text: str, measures: Measures) -> list[str]:
    """Several ingredients in one line, each with its amount; else the line alone.

    Examples
    --------
    >>> named_together("1 onion, 2 tomatoes", Measures.METRIC)
    ['1 onion', '2 tomatoes']
    >>> named_together("2 lemons, 1 zested, 1 halved", Measures.METRIC)
    ['2 lemons, 1 zested, 1 halved']
    """
    plain = tidied(text).rstrip(".")
    if len(plain) > LONGEST_LINE:
        return [text]
    parts = [part.strip() for part in plain.split(";")]
    if len(parts) > 2 and all(read_line(part, measures).amount for part in parts):
        return parts
    parts = re.split(r"(?<![0-9]),\s+(?![^(]*\))", plain)
    if len(parts) == 1 or not all(map(count_at, parts)):  # most lines are one, and not read twice
        return [text]
    read = (read_line(part, measures) for part in parts)
    known = all(one.amount and not one.cut and find_food(one.name).how != "none" for one in read)
    return parts if known else [text]


def _begins_item(part: str, measures: Measures) -> bool:
    """Whether a part between two commas is another ingredient, and not said of the one before."""
    if count_at(part) or _TAKEN.match(part):
        return True
    if is_cut(part):
        return False
    if find_food(part).how != "none" or read_line(part, measures).amount == TO_TASTE:
        return True
    # a single word that no list has may be salt in a language the tables do not know
    return part.isalpha() and part.casefold() not in NAME_WORDS
