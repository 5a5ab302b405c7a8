"""Which step of the method takes which ingredient, guessed by the words that name it.

A name is looked for whole first (spring onion), then by its last words (onion), then by what cooks
call it for short (the chicken, for chicken thighs; pasta, for spaghetti). Longer words are taken
first, so that "spring onions" never names the red onion.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from itertools import groupby

from costing.names import food_key
from costing.quantities import Amount, Measures
from costing.recipe_text.called import JOINED_BY, Word, aliases, key_of, pepper_of_salt, words_of
from costing.recipe_text.endings import language_of, respelled
from costing.recipe_text.guesses import Placed
from costing.recipe_text.shares import (
    Share,
    ShareKind,
    divided,
    rest_behind,
    rest_of_several,
    said_of_it,
    share_before,
)
from costing.recipe_text.words import LIQUIDS, NOUN_FIRST, TAKEN_AS_VERB, WORKED_BY

LONGEST_QUOTE = 60
"""Of the words that name an ingredient. [characters]"""

LONGEST_STEP = 2_000
"""Of a step nothing is looked for behind so much text. [characters]"""

_CLAUSE_END = re.compile(r"[,;:!?()。、！？]|\.(?![0-9])(?=\s+[^a-z\s]|\s*$)")
_NOT_THESE = re.compile(r"\b(?:but|except|apart from|without|not)\b[^.;:]*", re.IGNORECASE)
_ALL = re.compile(
    r"\b(?:everything|(?:all|rest|remaining|remainder|other)\b[^.;:]{0,25}\bingredients)\b",
    re.IGNORECASE,
)
_DRY = re.compile(r"\bdry ingredients\b", re.IGNORECASE)
_VERBS = "|".join(sorted(WORKED_BY | TAKEN_AS_VERB))
_VERB = re.compile(
    # behind "and" a name may stand: add milk and cream a little at a time
    rf"(?:^\W*|[.;:!?]\s+)(?:{_VERBS})"
    r"(?=\s+(?:the|an?|all|both|each|half|most|your|with|together|soft(?:ened)?|butter|margarine)\b)"
    rf"|(?:,|\band|\bthen)\s+(?:{_VERBS})(?=\s+(?:the|each|your|together)\b)",
    re.IGNORECASE,
)
_GROUP_NOISE = re.compile(r"^(?:for|to make|to)\s+(?:the\s+)?", re.IGNORECASE)

NAMES_OF_A_LIST = 2
"""A step that names so many ingredients lists them, whatever it says of "all"."""


@dataclass(frozen=True, slots=True)
class NamedLine:
    """A line of the recipe, as the method is looked through for it.

    Parameters
    ----------
    group : str
        The heading it is below, ``""`` without one.
    cut : str
        What is done to it: a step may name the zest of a lemon that is zested.
    also : tuple of str
        Its names in brackets.
    amount : Amount, optional
        All of it; ``None``: it is not known.
    """

    name: str
    group: str = ""
    cut: str = ""
    also: tuple[str, ...] = ()
    amount: Amount | None = None


@dataclass(slots=True)
class _Sought:
    """An ingredient with the words it may be called by, the best first."""

    line: NamedLine
    group: str
    aliases: list[tuple[str, ...]]
    found: dict[int, tuple[int, str]] = field(default_factory=dict)
    """By step: which of the aliases was found, and the words around it."""
    named: set[tuple[int, int]] = field(default_factory=set)
    """Wherever a step names it: the step, and the word of it."""

    @property
    def liquid(self) -> bool:
        """Whether it is none of the dry ingredients."""
        return food_key(self.line.name).rpartition(" ")[2] in LIQUIDS

    def of_its_name(self, rank: int) -> bool:
        """Whether an alias is of the words of the name itself, as yolk is of egg yolk."""
        return set(self.aliases[rank]) <= set(self.aliases[0])


@dataclass(frozen=True, slots=True)
class _Step:
    """A step of the method with its words, and which of them are taken by which alias.

    ``verbs``: words that look like a food and tell what to do, by their place.
    """

    text: str
    words: list[Word]
    keys: list[str]
    verbs: dict[int, str]
    taken: dict[int, tuple[str, ...]] = field(default_factory=dict)


def placed(
    lines: Sequence[NamedLine], steps: Sequence[str], measures: Measures = Measures.METRIC
) -> list[Placed | None]:
    """Give for each ingredient the step that takes it, ``None`` when no step names it.

    Examples
    --------
    >>> lines = [NamedLine("leek"), NamedLine("butter")]
    >>> [one.step for one in placed(lines, ["Melt half the butter.", "Add the leeks."])]
    [2, 1]
    >>> (butter,) = placed(lines[1:], ["Melt half the butter.", "Add the rest of the butter."])
    >>> [(one.step, str(one.part)) for one in (butter, *butter.others)]
    [(1, '1/2'), (2, '1/2')]
    """
    language = language_of(steps)
    sought = [
        _Sought(
            line,
            food_key(_GROUP_NOISE.sub("", line.group)),
            aliases(line.name, cut=line.cut, also=line.also, noun_first=language in NOUN_FIRST),
        )
        for line in lines
    ]
    calls = [(alias, rank, one) for one in sought for rank, alias in enumerate(one.aliases)]
    # the longest names first, so that "olive oil" takes its words before "oil" can
    calls.sort(key=lambda call: (-len(call[0]), call[1]))
    by_word: dict[str, list[int]] = {}
    for at, (alias, _, _) in enumerate(calls):
        by_word.setdefault(alias[0], []).append(at)
    names = {word for line in lines for word in key_of(line.name)}
    texts = [step[:LONGEST_STEP] for step in steps]
    read: list[_Step] = []
    for number, text in enumerate(texts, start=1):
        if _ALL.search(text):  # "everything but the salt" does not name the salt
            text = _NOT_THESE.sub(lambda these: " " * len(these[0]), text)
        words = words_of(text, [line.name for line in lines])
        keys = respelled([word for word, _, _ in words], names, language)
        keys = pepper_of_salt(keys)
        verbs = {found.end() for found in _VERB.finditer(text)}
        as_verbs = {at: keys[at] for at, (_, _, end) in enumerate(words) if end in verbs}
        keys = ["" if at in as_verbs else key for at, key in enumerate(keys)]
        read.append(_Step(text, words, keys, as_verbs))
        _look_in(number, read[-1], calls, by_word)
    _take_verbs(read, sought)
    # names before groups, and groups before the order of the list: each leaves less to guess
    _leave_to_the_best(sought)
    for number, text in enumerate(texts, start=1):
        _take_groups(number, text, sought)
    for number, text in enumerate(texts, start=1):
        _take_named_groups(number, text, sought)
    _share_in_order(sought)
    places = Counter(place for one in sought for place in one.named if place[0] in one.found)
    return [_placed(one, read, places, measures) for one in sought]


def _share_in_order(sought: Sequence[_Sought]) -> None:
    """Give each line of an ingredient its own step where as many steps name it as lines list it.

    A recipe lists sugar twice, for the cake and for the icing, in the order in which it is used.
    """
    alike: dict[tuple[frozenset[tuple[str, ...]], tuple[int, ...]], list[_Sought]] = {}
    for one in sought:
        # plain flour and self-raising flour are alike where the method calls both flour
        called = {one.aliases[rank] for rank, _ in one.found.values() if rank < len(one.aliases)}
        if called:
            alike.setdefault((frozenset(called), tuple(sorted(one.found))), []).append(one)
    for (_, steps), lines in alike.items():
        if len(lines) == len(steps):
            for one, step in zip(lines, steps, strict=True):
                one.found = {step: one.found[step]}


def _placed(
    one: _Sought, steps: Sequence[_Step], places: Mapping[tuple[int, int], int], measures: Measures
) -> Placed | None:
    if not one.found:
        return None
    first, *later = sorted(one.found)
    whole = Placed(first, one.found[first][1], tuple(later))
    named = [place for place in sorted(one.named) if place[0] in one.found]
    # what another line is called by the same words divides neither
    if any(places[place] > 1 for place in named):
        return whole
    shares = [(step, _share_at(one, steps[step - 1], at, measures)) for step, at in named]
    if not later:
        onward = " ".join(step.text for step in steps[first - 1 :])
        return replace(whole, said=said_of_it([share for _, share in shares], onward))
    parts = divided(shares)
    said = [
        Placed(step, _clause(steps[step - 1].text, steps[step - 1].words[at][1]), part=parts[step])
        for step, at in _first_of_each(named, shares)
        if step in parts
    ]
    return replace(said[0], others=tuple(said[1:])) if said else whole


def _first_of_each(
    named: Sequence[tuple[int, int]], shares: Sequence[tuple[int, Share]]
) -> list[tuple[int, int]]:
    """Of each step the first place that says how much it takes."""
    said = [
        place
        for place, (_, share) in zip(named, shares, strict=True)
        if share.kind is not ShareKind.NOTHING and not share.held
    ]
    return [next(places) for _, places in groupby(said, key=lambda place: place[0])]


def _share_at(one: _Sought, step: _Step, at: int, measures: Measures) -> Share:
    """How much of a line is taken at one of the words that name it."""
    own = [word for alias in one.aliases for word in alias]
    before = step.text[: step.words[at][1]]
    share = share_before(before, own=own, line=one.line.amount, measures=measures)
    if share.kind is ShareKind.NOTHING:
        names = [place in step.taken for place in range(at)]
        words = range(at + 1, len(step.keys))
        end = next((place for place in words if step.keys[place] not in own), len(step.keys))
        behind = step.text[step.words[end - 1][2] :]
        if rest_behind(behind) or rest_of_several(step.keys[:at], names):
            return Share(ShareKind.REST)
    return share


def _look_in(
    number: int,
    step: _Step,
    calls: Sequence[tuple[tuple[str, ...], int, _Sought]],
    by_word: Mapping[str, Sequence[int]],
) -> None:
    """Note what a step names; words once taken by a longer name are not read again.

    ``by_word`` has the places of the calls that begin with a word.
    """
    keys, taken = step.keys, step.taken
    places: dict[str, list[int]] = {}
    for at, word in enumerate(keys):
        places.setdefault(word, []).append(at)
    named = (call for word in places for call in by_word.get(word, ()))
    clauses: dict[int, str] = {}
    for alias, rank, one in map(calls.__getitem__, sorted(named)):
        for at in places[alias[0]]:
            span = range(at, at + len(alias))
            if tuple(keys[at : at + len(alias)]) != alias:
                continue
            if any(taken.get(place, alias) != alias for place in span):
                continue
            taken |= dict.fromkeys(span, alias)
            one.named.add((number, at))
            if number in one.found:
                continue
            if at not in clauses:
                clauses[at] = _clause(step.text, step.words[at][1])
            one.found[number] = rank, clauses[at]


def _take_verbs(steps: Sequence[_Step], sought: Sequence[_Sought]) -> None:
    """Put what no step names to one that does it: "Butter the tin" takes the butter."""
    for one in [one for one in sought if not one.found]:
        for number, step in enumerate(steps, start=1):
            for at, verb in step.verbs.items():
                if verb in TAKEN_AS_VERB and (verb,) in one.aliases and number not in one.found:
                    rank = one.aliases.index((verb,))
                    one.found[number] = rank, _clause(step.text, step.words[at][1])
                    one.named.add((number, at))


def _clause(text: str, at: int) -> str:
    """The words around a place, up to the next stops."""
    start = max((stop.end() for stop in _CLAUSE_END.finditer(text, 0, at)), default=0)
    stop = _CLAUSE_END.search(text, at)
    clause = " ".join(text[start : stop.start() if stop else len(text)].split())
    if len(clause) <= LONGEST_QUOTE:
        return clause
    name_on = " ".join(text[at : stop.start() if stop else len(text)].split())
    return name_on if len(name_on) <= LONGEST_QUOTE else name_on[:LONGEST_QUOTE].rstrip() + "…"


def _leave_to_the_best(sought: list[_Sought]) -> None:
    """Of several that share a short name, leave it to those that no step names better.

    "Heat the oil" is the olive oil where another step says sesame oil; "fry the pepper" is not the
    "salt and pepper" that another step names in these words; yolks are no egg beside egg yolks.
    """
    named = Counter(
        (number, one.aliases[rank]) for one in sought for number, (rank, _) in one.found.items()
    )
    own = {
        (number, one.aliases[rank])
        for one in sought
        for number, (rank, _) in one.found.items()
        if one.of_its_name(rank)
    }
    for one in sought:
        joined = bool(one.aliases) and JOINED_BY in one.aliases[0]
        best = min((rank for rank, _ in one.found.values()), default=0)
        # only before the step that names it best: after that the short name may well mean it
        surest = min((step for step, (rank, _) in one.found.items() if rank == best), default=0)
        for number, (rank, _) in sorted(one.found.items()):
            call = number, one.aliases[rank]
            shared = number < surest and (joined or named[call] > 1)
            if rank > best and (shared or (call in own and not one.of_its_name(rank))):
                named[call] -= 1
                del one.found[number]


def _take_groups(number: int, text: str, sought: list[_Sought]) -> None:
    """Put what no step names to one that takes a whole group: all the ingredients."""
    sweeping = _ALL.search(text) or _DRY.search(text)
    named = sum(1 for one in sought if number in one.found) if sweeping else 0
    unnamed = [one for one in sought if not one.found]
    words = food_key(text)
    for one in unnamed:
        if one.group and _names_group(words, one.group):
            at = max(text.casefold().find(one.group.split()[-1]), 0)
            one.found[number] = len(one.aliases), _clause(text, at)
    # "Mix all with the flour" means the rest; a step that lists what it takes means just that
    if sweeping is None or named > NAMES_OF_A_LIST:
        return
    groups = {one.group for one in sought if one.group}
    if any(f"{group} ingredient" in food_key(sweeping[0]) for group in groups):
        return  # all the meatball ingredients are those of one heading
    for one in unnamed:
        if not one.found and not (_DRY.search(text) and one.liquid):
            one.found[number] = len(one.aliases), sweeping[0]


def _take_named_groups(number: int, text: str, sought: list[_Sought]) -> None:
    """Put what is left of a group to the first step that names it: add A, toss in the sauce."""
    words = f" {food_key(text)} "
    for one in sought:
        if len(one.group) == 1:  # "a" is a word of its own, and in Japanese stands by none
            letter = rf"(?<![A-Za-z]){re.escape(one.group.upper())}(?![A-Za-z])"
            named = re.search(letter, text) is not None
        else:
            named = f" {one.group} " in words
        if one.group and not one.found and named:
            at = re.search(re.escape(one.group.split()[-1]), text, re.IGNORECASE)
            one.found[number] = len(one.aliases), _clause(text, at.start() if at else 0)


def _names_group(words: str, group: str) -> bool:
    if group not in words:
        return False
    verbs = "make|mix|whisk|prepare|blend|stir"
    made = re.search(rf"\b(?:{verbs})(?: \w+)?(?: the)? {re.escape(group)}\b", words)
    return f"{group} ingredient" in words or f"for the {group}" in words or made is not None
