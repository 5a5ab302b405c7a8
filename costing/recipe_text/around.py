"""What a line says behind the name: cuts, the amount in other words, more of it, choices."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, field

from costing.names import is_water, singular, singular_name
from costing.quantities import Measures
from costing.recipe_text.counts import count_at
from costing.recipe_text.front import WORDS, cut_end
from costing.recipe_text.measured import (
    WrittenAmount,
    measured_at,
    state_at,
    whole_measure,
)
from costing.recipe_text.unit_words import near_piece_at
from costing.recipe_text.words import (
    ADVERBS,
    BEFORE_NAME,
    COOKED,
    CUTS,
    FOR_WHAT,
    FRUIT_PARTS,
    LENGTHS,
    PIECES,
    PRODUCTS,
    SIZES,
)
from costing.reference import find_food

_COMMA = re.compile(r"\s*[,;:]\s+|\s+[-‐–—]\s+|\s*[,;]$|(?<=[^\W\d_]),(?=[^\W\d_])")
_BRACKETS = re.compile(r"\s*[(\[]([^()\[\]]*)[)\]]")
_OF_BUTTER = re.compile(r"\b(?:butter|margarine)\b", re.IGNORECASE)
_STICKS = re.compile(r"\bsticks?\b(?! of)", re.IGNORECASE)
_LEAN_AND_FAT = re.compile(r"[0-9]{2} ?/ ?[0-9]{1,2}\b")
"""Of a hundred parts: ground beef (80/20)."""
_PLUS = re.compile(r"(?:plus|\+|and|&)\s+", re.IGNORECASE)
_EXTRA = (
    r"(?:(?:plus|and|with)\s+|\+\s*)(?:a (?:little|bit|few)(?: of)? |some )?"
    r"(?:extra|more|(?:a|some) (?:little )?(?:for|to)|for|an? [^\W\d_]+ (?:for|to))\b"
    r"|(?:plus\s+|\+\s*)(?:[^\W\d_]+ ){1,2}(?:for|to)\b"
)
_MORE = re.compile(_EXTRA, re.IGNORECASE)
_THEN_MORE = re.compile(rf"(?<=[^\W\d_])\s+(?={_EXTRA})", re.IGNORECASE)
_REMARK = re.compile(r"(?:for|to|from|if|as|with|preferably|such|at|in|see|or|on)\b", re.IGNORECASE)
_PART = "|".join(FRUIT_PARTS)
_ONLY_PART = re.compile(
    rf"(?:the )?(?:{_PART})s?(?: (?:and|&) (?:{_PART})s?)?(?: only)?", re.IGNORECASE
)
_PART_OF_MORE = re.compile(rf"(?:the )?(?:{_PART})s? (?:of|from) [0-9½¼¾⅓⅔].*", re.IGNORECASE)
"""Of another number than the line begins with: zest of 1 lemon, juice of 2."""

_EACH_LAST = re.compile(r"[0-9].*\b(?:each|apiece)\s*$", re.IGNORECASE)
_THE = r"(?:(?:the|your|same|other|remaining|reserved) )*"
_PART_FROM = re.compile(rf"(?P<part>{_PART})s? (?:from|of) {_THE}(?P<fruit>\S.*)", re.IGNORECASE)

_TAIL = re.compile(
    rf"\s+(?P<tail>{_EXTRA}.*"
    r"|for (?:the|(?:[^\W\d_]+[- ])?[^\W\d_]+ing|garnish)\b.*"
    r"|(?:of )?(?:about )?(?:the )?size of an? [^\W\d_]+\b.*"
    rf"|to (?:{'|'.join(sorted(FOR_WHAT))})\b.*"
    r"|per (?:person|head|serving|portion)\b.*|divided\b.*|at room temperature\b.*"
    r"|(?:straight )?from the (?:fridge|freezer|tin|can|jar)\b.*"
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
_OR_LAST = re.compile(r"^or\s+|\s+or\s+", re.IGNORECASE)
"""Before the last of several choices."""

_SEVERAL = re.compile(r"[^(]*?,[^(]*?(?:,?\s(?:and|&)\s|\s+or\s+)(?=\S)", re.IGNORECASE)
"""Names in a row up to the "and" before the last: carrots, celery and onion."""

_SECOND = re.compile(r"\s+(?:and|plus|&|\+)\s+(?=[0-9¼½¾⅓⅔])", re.IGNORECASE)
_OTHER_PIECES = re.compile(r"(?<=[^\W\d_])\s+or\s+(?P<other>[0-9][0-9–-]*\s+[^\W\d_].*)$")
"""3 chicken breasts or 6 thighs."""

_LENGTH_FIRST = re.compile(
    rf"[0-9./½¼¾⅓⅔ x×–-]+ ?(?:(?:{'|'.join(LENGTHS)})s?\b"
    r"|[\"″”%°])",
    re.IGNORECASE,
)
_FOR_IT = re.compile(r"(?P<name>[^\W\d_][^,]*?) (?:for|to|as) \S.*", re.IGNORECASE)
"""Another food and what it is for: cocoa for dusting, salt to taste."""

_INSIDE = re.compile(r"\s+(?=[0-9¼½¾⅓⅔])")


_SURE = ("name", "synonym")
_GO_WITH = ("spice", "oil", "dairy", "egg")
"""Groups of foods that other foods are prepared with."""


@dataclass(slots=True)
class Behind:
    """What is behind the name.

    Parameters
    ----------
    others : list of WrittenAmount
        The amount said in other words.
    added : list of (str, WrittenAmount)
        More of it, to be added, each as written and as read.
    second : list of str
        Amounts of something else, or such as cannot be added.
    extras : list of str
        More of it without an amount.
    rest : list of str
        What says nothing of amount, cut or choice; it may name another food.
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
    rest: list[str] = field(default_factory=list)
    cooked: list[str] = field(default_factory=list)
    state: str = ""


def name_and_behind(text: str, measures: Measures, *, each: bool) -> tuple[str, Behind]:
    """Take apart the text from the name on.

    ``each``: whether the amount is for each of several names: then commas may part them.

    Examples
    --------
    >>> name, behind = name_and_behind(
    ...     "butter, cold, diced, plus extra", Measures.METRIC, each=False
    ... )
    >>> name, behind.cuts, behind.extras
    ('butter', ['diced'], ['plus extra'])
    """
    found = Behind()
    for inside in _BRACKETS.findall(text):
        if inside.casefold().startswith("or "):  # or 6 rashers, chopped: the cut is of the other
            found.choices.append(inside.strip())
            continue
        if _OF_BUTTER.search(text):
            inside = _STICKS.sub(r"\g<0> of butter", inside)
        parts = re.split(r"\s*[,;]\s+|(?<=[^\W\d_]) ?/ ?(?=[0-9])", inside)
        each_of_them = len(parts) > 1 and _EACH_LAST.search(inside)
        for part in parts:  # of 150g/5oz each both are for each
            bare = each_of_them and _EACH_LAST.search(part) is None
            _part(found, f"{part} each" if bare else part, measures)
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
    if shares := _with_shared_noun(name, parts):
        name, last = shares
        found.choices.append(", ".join(parts[:last]))
        parts = parts[last:]
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


def _with_shared_noun(name: str, parts: Sequence[str]) -> tuple[str, int] | None:
    """A name with the noun that it shares with its choices: olive, sunflower or vegetable oil.

    It does where all of them are foods with it: rice, quinoa or egg noodles are three foods. With
    it how many of the parts are choices.
    """
    last = next((at for at, part in enumerate(parts) if _OR_LAST.search(part)), None)
    if last is None:
        return None
    others = [one for part in parts[: last + 1] for one in _OR_LAST.split(part) if one]
    noun = others[-1].rpartition(" ")[2]
    shared = [f"{one} {noun}" for one in (name, *others[:-1])]
    known = noun != others[-1] and all(find_food(one).food for one in shared)
    return (shared[0], last + 1) if known else None


def _only_adjectives(text: str) -> bool:
    words = [word.casefold() for word in WORDS.findall(text)]
    return bool(words) and all(word in BEFORE_NAME for word in words)


def _tails(found: Behind, name: str, measures: Measures) -> str:
    """Take off what is behind the name without a comma."""
    # from the end of the line inwards: a second amount, what it is for, a cut, a number inside
    if second := _SECOND.search(name):
        _part(found, f"plus {name[second.end() :]}", measures)
        name = name[: second.start()]
    other = _OTHER_PIECES.search(name)
    if other and measured_at(other["other"], measures) is None:
        found.choices.append(f"or {other['other']}")
        name = name[: other.start()]
    if tail := _TAIL.search(name):
        _part(found, tail["tail"], measures)
        name = name[: tail.start()]
    if tail := _CUT_TAIL.search(name):
        found.cuts.append(tail["tail"])
        name = name[: tail.start()]
    for number in _INSIDE.finditer(name):
        if measured_at(name[number.end() :], measures) or _food_counted(name, number):
            found.second.append(name[number.end() :])
            name = _before_or(name[: number.start()], name)
            break
    return name.strip()


def _food_counted(name: str, number: re.Match[str]) -> bool:
    """Whether a number in a name counts another food: flour 10 eggs, citron 1 glass brandy."""
    counted = count_at(name[number.end() :])
    if counted is None:
        return False
    foods = (name[: number.start()], counted[1].strip())  # size 3 eggs are one
    held = near_piece_at(counted[1])
    named = held is not None and held[1].strip()[:1].isalpha()
    return named or all(find_food(one).food for one in foods)


def _before_or(name: str, whole: str) -> str:
    """A name before "or" and another amount: 1 tbsp fresh or 1 tsp dried oregano."""
    first = re.sub(r"\s+or$", "", name, flags=re.IGNORECASE)
    if first == name or not _only_adjectives(first):
        return first
    return f"{first} {WORDS.findall(whole)[-1]}"


def _part(found: Behind, text: str, measures: Measures) -> None:
    """One part between commas, or in brackets."""
    text = text.strip(" .,;:")
    if not text:
        return
    if more := _THEN_MORE.search(text):  # melted plus more for the pan
        _part(found, text[: more.start()], measures)
        text = text[more.end() :]
    state = state_at(text)
    if state is not None and not state[1].strip():
        found.state = state[0]
        return
    other = whole_measure(text, measures)
    lean = _LEAN_AND_FAT.match(text) is not None
    pieces = re.match(r"(?:about |approx\.? |~)?([0-9]+(?: ?[-–] ?[0-9]+)?)\b(?![0-9.,]* ?%)", text)
    if other is None and pieces and not lean:
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
    elif lean:
        found.rest.append(text)
    elif (
        _PART_OF_MORE.fullmatch(text)
        or measured_at(text, measures)
        or _counts_more(text)
        or _other_food_in(text, measures)
        or ((used := _FOR_IT.fullmatch(text)) and find_food(used["name"]).food is not None)
    ):
        found.second.append(text)
    elif text.casefold().startswith("or ") or _names_foods(text):
        found.choices.append(text)
    elif is_cut(text):
        found.cuts.append(text)
        found.cooked += [word for word in WORDS.findall(text.casefold()) if word in COOKED]
    else:
        found.rest.append(text)


def _names_foods(text: str) -> bool:
    """Whether words behind a comma are a choice of foods: butter, lard or oil."""
    several = re.split(r"\s+or\s+", text, flags=re.IGNORECASE)
    return len(several) > 1 and any(find_food(one).food is not None for one in several)


def _counts_more(text: str) -> bool:
    """Whether a part begins with a number of something: 1 green pepper, but not 2 cm thick."""
    if not (number := count_at(text)):
        return False
    if text[:1].isnumeric():
        return not _LENGTH_FIRST.match(text)
    return find_food(number[1]).how in _SURE  # an egg, but not a little


def goes_with(text: str, name: str) -> bool:
    """Whether words behind a name are a food that goes with it: salt, but not the olive of oil.

    One of the same group says what it is: jeera (cumin seeds), cheese, cheddar.
    """
    found, other = find_food(text), find_food(name).food
    if found.food is None or found.how not in _SURE or found.food.group not in _GO_WITH:
        return False
    alike = other is not None and other.group == found.food.group
    return not alike and kind_of(name, [text]) == name


def kind_of(name: str, behind: Sequence[str]) -> str:
    """The name with the word behind it that makes it that of another published food.

    Examples
    --------
    >>> kind_of("milk", ["coconut"]), kind_of("milk", ["cold from the fridge"])
    ('coconut milk', 'milk')
    """
    own, kinds = find_food(name).food, (f"{text} {name}" for text in behind if text.isalpha())
    found = ((kind, find_food(kind)) for kind in kinds)
    return next((kind for kind, of in found if of.how in _SURE and of.food != own), name)


def _other_food_in(text: str, measures: Measures) -> bool:
    """Whether words behind a name have an amount of another food inside them.

    Water is free, and what is cut into 2 cm pieces or divided into cups names no food.
    """
    for number in _INSIDE.finditer(text):
        measured = measured_at(text[number.end() :], measures)
        if measured is None:
            continue
        name, behind = text[: number.start()].strip(), measured[1].strip(" .,)").casefold()
        joins = name.casefold().endswith((" with", " in")) and behind[:1].isalpha()
        if joins and not is_water(behind.removeprefix("of ")):
            return True
        if not behind and find_food(name).food is not None:
            return True
    return False


def _pieces(text: str, number: re.Match[str]) -> WrittenAmount | None:
    """About 3 medium, 2 sticks, 6 slices: the same amount in pieces."""
    words = [singular(word.casefold()) for word in WORDS.findall(text[number.end() :])]
    counted = count_at(number[1].replace(" ", ""))
    if counted is None or not set(words) <= SIZES | PIECES:
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
    words = {word.casefold() for word in WORDS.findall(text)}
    return bool(words & CUTS) or _ONLY_PART.fullmatch(text) is not None
