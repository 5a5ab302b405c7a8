"""What a line says around the name: sizes and cuts before it; cuts, amounts, choices behind."""

from __future__ import annotations

import re
from dataclasses import dataclass, field

from costing.names import singular_name
from costing.quantities import Measures
from costing.recipe_text.counts import count_at
from costing.recipe_text.measured import WrittenAmount, measured_at, state_at, whole_measure
from costing.recipe_text.words import (
    ADVERBS,
    BEFORE_NAME,
    BOUGHT_MINCED,
    COOKED,
    CUTS,
    DRINKS,
    FOR_WHAT,
    FRESH_CUTS,
    FRONT_CUTS,
    FRUIT_PARTS,
    HOT,
    LENGTHS,
    PRODUCTS,
    QUALITIES,
    SIZES,
    TEMPERATURES,
)
from costing.reference import find_food

_FRONT = re.compile(r"([^\W\d_]+(?:-[^\W\d_]+)*)\.?\s+(?=\S)")
_STATE_WORDS = re.compile(r"(?:(?:good|best) quality|room[ -]temperature)\s+(?=\S)", re.IGNORECASE)
_SIZE_WORDS = re.compile(r"(?:extra|very)[ -](?:large|small)\s+(?=\S)", re.IGNORECASE)
_JOIN = re.compile(r"(?:,\s*|\s*(?:,\s*)?(?:and|&)\s+)(?=\S)")

_COMMA = re.compile(r"\s*[,;:]\s+|\s+[-‐–—]\s+|\s*[,;]$|(?<=[^\W\d_]),(?=[^\W\d_])")
_BRACKETS = re.compile(r"\s*[(\[]([^()\[\]]*)[)\]]")
_WORDS = re.compile(r"[^\W\d_]+(?:-[^\W\d_]+)*")
_PLUS = re.compile(r"(?:plus|\+|and|&)\s+", re.IGNORECASE)
_EXTRA = (
    r"(?:(?:plus|and|with)\s+|\+\s*)(?:a (?:little|bit|few)(?: of)? |some )?"
    r"(?:extra|more|(?:a|some) (?:little )?(?:for|to)|for|an? [^\W\d_]+ (?:for|to))\b"
)
_MORE = re.compile(_EXTRA, re.IGNORECASE)
_REMARK = re.compile(r"(?:for|to|from|if|as|with|preferably|such|at|in|see|or|on)\b", re.IGNORECASE)
_PART = "|".join(FRUIT_PARTS)
_ONLY_PART = re.compile(
    rf"(?:the )?(?:{_PART})s?(?: (?:and|&) (?:{_PART})s?)?(?: only)?", re.IGNORECASE
)
_PART_FROM = re.compile(rf"(?P<part>{_PART})s? (?:from|of) (?P<fruit>\S.*)", re.IGNORECASE)

_TAIL = re.compile(
    rf"\s+(?P<tail>{_EXTRA}.*"
    r"|for (?:the|[^\W\d_-]+ing|deep-frying|shallow-frying|garnish|serving)\b.*"
    rf"|to (?:{'|'.join(sorted(FOR_WHAT))})\b.*"
    r"|at room temperature\b.*|(?:straight )?from the (?:fridge|freezer|tin|can|jar)\b.*"
    r"|(?:as|if|when) (?:needed|required|necessary|desired|you like)\b.*"
    r"|cut (?:in|into|on|lengthways|lengthwise)\b.*)$",
    re.IGNORECASE,
)
# "packed in oil" says which food it is, not what is done to it
_CUT_TAIL = re.compile(
    rf"\s+(?P<tail>(?:(?:{'|'.join(sorted(ADVERBS))})\s+)*(?:{'|'.join(sorted(CUTS - {'packed'}))})"
    rf"(?:\s+(?:and|&|in|into|with|on|until|through)\s+.*)?)$",
    re.IGNORECASE,
)
_SEVERAL = re.compile(r"[^(]*?,[^(]*?(?:,?\s(?:and|&)\s|\s+or\s+)(?=\S)", re.IGNORECASE)
"""Names in a row up to the "and" before the last: carrots, celery and onion."""

_SECOND = re.compile(r"\s+(?:and|plus|&|\+)\s+(?=[0-9¼½¾⅓⅔])", re.IGNORECASE)
_LENGTH_FIRST = re.compile(
    rf"[0-9./½¼¾⅓⅔ x×–-]+ ?(?:(?:{'|'.join(sorted(LENGTHS, key=len, reverse=True))})s?\b"
    r"|[\"″”%°])",
    re.IGNORECASE,
)
_INSIDE = re.compile(r"\s+(?=[0-9¼½¾⅓⅔])")


@dataclass(slots=True)
class NameFront:
    """A name with what stood in front of it.

    Parameters
    ----------
    text : str
        The name.
    cuts : list of str
        What is done to the food.
    sizes : list of str
        Small, large.
    """

    text: str
    cuts: list[str] = field(default_factory=list)
    sizes: list[str] = field(default_factory=list)


def front_taken_off(text: str, *, counted: bool, cuts: bool) -> NameFront:
    """Give the name without sizes, states and cuts in front of it.

    Parameters
    ----------
    text : str
        From the name on.
    counted : bool
        Whether pieces are counted: only then a size is no part of the name.
    cuts : bool
        Whether "chopped" is something to be done; in a tin it is done already.

    Examples
    --------
    >>> name = front_taken_off("large ripe tomatoes", counted=True, cuts=True)
    >>> name.text, name.sizes
    ('tomatoes', ['large'])
    >>> front_taken_off("finely chopped fresh mint", counted=False, cuts=True).cuts
    ['finely chopped']
    """
    name = NameFront(text)
    while _one_off(name, counted=counted, cuts=cuts):
        pass
    return name


def _one_off(name: NameFront, *, counted: bool, cuts: bool) -> bool:
    """Take off the front of a name what is no part of it; whether there was anything.

    State and quality (ripe, cold) are left to the line in Note; sizes and cuts are kept.
    """
    if state := _STATE_WORDS.match(name.text):
        return _take(name, state.end())
    if counted and (size := _SIZE_WORDS.match(name.text)):
        return _take(name, size.end(), name.sizes)
    word = _FRONT.match(name.text)
    if word is None:
        return False
    low, rest = word[1].casefold(), name.text[word.end() :]
    if counted and low in SIZES:
        return _take(name, word.end(), name.sizes)
    chilled = low in TEMPERATURES and not rest.casefold().startswith("cuts")
    hot = low in HOT and _says_any(rest, DRINKS)
    if low in QUALITIES or chilled or hot:
        return _take(name, word.end())
    end = cut_end(name.text) if cuts else 0
    return bool(end) and not _sold_so(name.text, end) and _take(name, end, name.cuts)


def _take(name: NameFront, end: int, kept: list[str] | None = None) -> bool:
    if kept is not None:
        kept.append(name.text[:end].strip(" ,"))
    name.text = name.text[end:].lstrip(" ,")
    return True


def cut_end(text: str) -> int:
    """Where the words end that say what is done to the food, 0 when none stand in front.

    Examples
    --------
    >>> text = "peeled and finely grated ginger"
    >>> text[cut_end(text):]
    'ginger'
    >>> cut_end("ground cumin"), cut_end("minced beef")
    (0, 0)
    """
    end, at, adverbs = 0, 0, []
    while word := _FRONT.match(text, at):
        low = word[1].casefold()
        if low in ADVERBS:
            adverbs.append(low)
            at = word.end()
            continue
        fresh = "freshly" in adverbs and low in FRESH_CUTS
        if not (fresh or low in FRONT_CUTS):
            break
        if low == "minced" and _says_any(text[word.end() :], BOUGHT_MINCED):
            break
        end = at = word.end()
        adverbs.clear()
        if joined := _JOIN.match(text, at):
            at = joined.end()
    return end


def _sold_so(text: str, end: int) -> bool:
    """Whether the words with the cut name another food: crushed red pepper, shredded coconut.

    What is grated is not: a shop sells it so too, and a recipe that says grated means the piece.
    """
    if text.casefold().startswith("grated"):
        return False
    whole, bare = find_food(text).food, find_food(text[end:]).food
    return whole is not None and whole != bare


def _says_any(text: str, words: frozenset[str]) -> bool:
    return any(word.casefold() in words for word in _WORDS.findall(text))


@dataclass(slots=True)
class Behind:
    """What is behind the name.

    Parameters
    ----------
    cuts : list of str
        What is done to the food.
    others : list of WrittenAmount
        The amount said in other words.
    added : list of (str, WrittenAmount)
        More of it, to be added, each as written and as read.
    second : list of str
        Amounts of something else, or such as cannot be added.
    extras : list of str
        More of it without an amount.
    choices : list of str
        Other ingredients that would do.
    cooked : list of str
        Words that say the food is cooked.
    state : str
        For the Measured cell: "untrimmed weight" behind the name, or behind the brackets.
    """

    cuts: list[str] = field(default_factory=list)
    others: list[WrittenAmount] = field(default_factory=list)
    added: list[tuple[str, WrittenAmount]] = field(default_factory=list)
    second: list[str] = field(default_factory=list)
    extras: list[str] = field(default_factory=list)
    choices: list[str] = field(default_factory=list)
    cooked: list[str] = field(default_factory=list)
    state: str = ""


def name_and_behind(text: str, measures: Measures, *, each: bool = False) -> tuple[str, Behind]:
    """Take apart the text from the name on.

    Parameters
    ----------
    text : str
        From the name on.
    measures : Measures
        Whose spoons, cups and pints the bare words are.
    each : bool
        Whether the amount is for each of several names: then commas may part them.

    Examples
    --------
    >>> name, behind = name_and_behind("butter, cold, diced, plus extra", Measures.METRIC)
    >>> name, behind.cuts, behind.extras
    ('butter', ['diced'], ['plus extra'])
    """
    found = Behind()
    for inside in _BRACKETS.findall(text):
        for part in re.split(r"\s*[,;]\s+|(?<=[^\W\d_]) ?/ ?(?=[0-9])", inside):
            _part(found, part, measures)
    text = re.sub(r"\s+", " ", _BRACKETS.sub(" ", text)).strip()
    text = re.sub(r" (?=[,;])", "", text).strip(" ()[]")
    if state := state_at(text):
        found.state, text = state[0], state[1].strip()
    several = _SEVERAL.match(text) if each else None
    held = text[: several.end()] if several else ""
    name, *parts = [part.strip() for part in _COMMA.split(text[len(held) :])]
    name = f"{held}{name}"
    if parts and name.casefold() in COOKED and (end := cut_end(parts[0])):
        name = f"{parts[0][:end]} {name} {parts[0][end:]}"
        parts = parts[1:]
    # boneless, skinless chicken: a comma before the noun parts no cut from it
    while parts and _only_adjectives(name):
        name = f"{name}, {parts.pop(0)}"
    name = _tails(found, name.strip(" .:"), measures)
    name = _part_from(name)
    for part in parts:
        if part.casefold() in PRODUCTS:
            name = f"{part} {name}"
        else:
            _part(found, part, measures)
    return name, found


def _part_from(name: str) -> str:
    """Juice from 1 lemon, behind an amount: lemon juice."""
    part = _PART_FROM.fullmatch(name)
    if part is None:
        return name
    counted = count_at(part["fruit"])
    fruit = counted[1].strip() if counted else part["fruit"]
    return f"{singular_name(fruit)} {part['part']}" if fruit else name


def _only_adjectives(text: str) -> bool:
    words = [word.casefold() for word in _WORDS.findall(text)]
    return bool(words) and all(word in BEFORE_NAME for word in words)


def _tails(found: Behind, name: str, measures: Measures) -> str:
    """Take off what is behind the name without a comma."""
    # from the end of the line inwards: a second amount, what it is for, a cut, a number inside
    if second := _SECOND.search(name):
        _part(found, f"plus {name[second.end() :]}", measures)
        name = name[: second.start()]
    if tail := _TAIL.search(name):
        _part(found, tail["tail"], measures)
        name = name[: tail.start()]
    if tail := _CUT_TAIL.search(name):
        found.cuts.append(tail["tail"])
        name = name[: tail.start()]
    for number in _INSIDE.finditer(name):
        if measured_at(name[number.end() :], measures):
            found.second.append(name[number.end() :])
            name = _before_or(name[: number.start()], name)
            break
    return name.strip()


def _before_or(name: str, whole: str) -> str:
    """A name before "or" and another amount: 1 tbsp fresh or 1 tsp dried oregano."""
    first = re.sub(r"\s+or$", "", name, flags=re.IGNORECASE)
    if first == name or not _only_adjectives(first):
        return first
    return f"{first} {_WORDS.findall(whole)[-1]}"


def _part(found: Behind, text: str, measures: Measures) -> None:
    """One part between commas, or in brackets."""
    text = text.strip(" .,;:")
    if not text:
        return
    state = state_at(text)
    if state is not None and not state[1].strip():
        found.state = state[0]
        return
    other = whole_measure(text, measures)
    if other is None and (pieces := re.match(r"(?:about |approx\.? |~)?([0-9]+)\b", text)):
        other = _pieces(text, pieces)
    plus = _PLUS.match(text)
    also = [whole_measure(one, measures) for one in re.split(r" ?/ ?", text)]
    # the same amount comes before more of it, and a cut last: its words stand in all the others
    if other is not None:
        found.others.append(other)
    elif len(also) > 1 and None not in also:
        found.others += [one for one in also if one is not None]
    elif _MORE.match(text):
        found.extras.append(text)
    elif plus and count_at(text[plus.end() :]):
        _more(found, text, text[plus.end() :], measures)
    elif measured_at(text, measures) or _counts_more(text):
        found.second.append(text)
    elif text.casefold().startswith("or "):
        found.choices.append(text)
    elif is_cut(text):
        found.cuts.append(text)
        found.cooked += [word for word in _WORDS.findall(text.casefold()) if word in COOKED]


def _counts_more(text: str) -> bool:
    """Whether a part begins with a number of something: 1 green pepper, but not 2 cm thick."""
    number = text[:1].isnumeric() and count_at(text) is not None
    return number and not _LENGTH_FIRST.match(text)


def _pieces(text: str, number: re.Match[str]) -> WrittenAmount | None:
    """About 3 medium: the same amount in pieces."""
    words = _WORDS.findall(text[number.end() :])
    counted = count_at(number[1])
    if counted is None or any(word.casefold() not in SIZES for word in words):
        return None
    return WrittenAmount(counted[0])


def _more(found: Behind, text: str, amount: str, measures: Measures) -> None:
    """Plus 2 tbsp for dusting, plus 1 for glazing: added, unless other food follows."""
    more = measured_at(amount, measures)
    if more is None and (counted := count_at(amount)):
        more = WrittenAmount(counted[0]), counted[1]
    rest = more[1].strip().casefold() if more else ""
    if more and (not rest or rest.startswith(("for ", "more", "extra", "to "))):
        found.added.append((text, more[0]))
    else:
        found.second.append(text)


def is_cut(text: str) -> bool:
    """Whether a part says what is done to the food.

    Examples
    --------
    >>> is_cut("peeled and quartered"), is_cut("zest and juice"), is_cut("at room temperature")
    (True, True, False)
    """
    if _REMARK.match(text):
        return False
    words = {word.casefold() for word in _WORDS.findall(text)}
    return bool(words & CUTS) or _ONLY_PART.fullmatch(text) is not None
