"""Which step of the method takes which ingredient, guessed by the words that name it.

A name is looked for whole first (spring onion), then by its last words (onion), then by what cooks
call it for short (the chicken, for chicken thighs; pasta, for spaghetti). Longer words are taken
first, so that "spring onions" never names the red onion.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field

from costing.findings import Finding, Place, choice_words
from costing.names import food_key
from costing.recipe_text import recipe_messages as messages
from costing.recipe_text.words import (
    CALLED,
    CONTAINERS,
    FRUIT_PARTS,
    LIQUIDS,
    PIECES,
    QUALITIES,
    SHORT_FOR,
    SIZES,
    TAKEN_BY,
    UNNAMED,
)
from costing.reference import find_food

LONGEST_QUOTE = 60
"""Of the words that name an ingredient. [characters]"""

LONGEST_STEP = 2_000
"""Of a step nothing is looked for behind so much text. [characters]"""

_WORD = re.compile(r"[^\W_]+(?:['’][^\W_]+)?|&")
_CLAUSE_END = re.compile(r"[.,;:!?()]")
_NOT_THESE = re.compile(r"\b(?:but|except|apart from|without|not)\b[^.;:]*", re.IGNORECASE)
_ALL = re.compile(
    r"\b(?:everything|(?:all|rest|remaining|remainder|other)\b[^.;:]{0,25}\bingredients)\b",
    re.IGNORECASE,
)
_DRY = re.compile(r"\bdry ingredients\b", re.IGNORECASE)
_GROUP_NOISE = re.compile(r"^(?:for|to make|to)\s+(?:the\s+)?", re.IGNORECASE)

BLACK_PEPPER = "pepper with salt"
"""How the pepper of "salt and pepper" is called here; no word of a recipe has blanks."""

JOINED_BY = "and"
"""Two foods in one line; what is behind it alone names the line less well than both."""

NAMES_OF_A_LIST = 2
"""A step that names so many ingredients lists them, whatever it says of "all"."""


@dataclass(frozen=True, slots=True)
class Placed:
    """Where an ingredient is taken.

    Parameters
    ----------
    step : int
        The first step that names it, from 1.
    words : str
        The words that do.
    later : tuple of int
        Other steps that name it.
    """

    step: int
    words: str
    later: tuple[int, ...] = ()


GUESSES_NAMED = 3
"""So many ingredients are named with the step they were put to; Note has it of each."""

NO_STEP = "; no step names it"
_GUESS = re.compile(
    r'; step (?P<step>[0-9]{1,4}) by "(?P<words>[^"]*)"'
    r"(?:, again in (?P<later>[0-9]{1,4}(?:, [0-9]{1,4})*))?\Z"
)


def with_guess(note: str, where: Placed | None) -> str:
    """Give a line's Note with the step it was put to and the words that tell so.

    Examples
    --------
    >>> with_guess("2 leeks", Placed(2, "Add the leeks", (3, 4)))
    '2 leeks; step 2 by "Add the leeks", again in 3, 4'
    """
    if where is None:
        return note + NO_STEP
    words = where.words.replace('"', "'")
    again = f", again in {', '.join(map(str, where.later))}" if where.later else ""
    return f'{note}; step {where.step} by "{words}"{again}'


def without_guess(note: str) -> tuple[str, Placed | None, bool]:
    """Give the Note without the guess behind it, the guess, and whether there is one.

    Examples
    --------
    >>> without_guess('2 leeks; step 2 by "Add the leeks"')
    ('2 leeks', Placed(step=2, words='Add the leeks', later=()), True)
    >>> without_guess("2 leeks; no step names it")
    ('2 leeks', None, True)
    """
    if note.endswith(NO_STEP):
        return note.removesuffix(NO_STEP), None, True
    found = _GUESS.search(note)
    if found is None:
        return note, None, False
    later = tuple(map(int, found["later"].split(", "))) if found["later"] else ()
    return note[: found.start()], Placed(int(found["step"]), found["words"], later), True


def placing_findings(
    names: Sequence[str],
    found: Sequence[Placed | None],
    places: Sequence[Place],
    steps: Mapping[int, Place],
) -> Iterator[Finding]:
    """Say which step each ingredient was put to and by which words, and which no step names.

    ``names``, ``found``, ``places``: of the ingredients, where each was put, and the place of its
    line.
    """
    unnamed = [at for at, where in enumerate(found) if where is None]
    if unnamed:
        yield messages.steps_unnamed(places[unnamed[0]], [names[at] for at in unnamed])
    both = zip(names, found, strict=True)
    guessed = [(where, name) for name, where in both if where is not None and where.step in steps]
    if guessed:
        guessed.sort(key=lambda one: one[0].step)
        yield messages.step_guessed(steps[guessed[0][0].step], _guessed_words(guessed))
    for place, where in zip(places, found, strict=True):
        if where is not None and where.later:
            yield messages.step_named_twice(place, where.step, where.words, where.later)


def _guessed_words(guessed: Sequence[tuple[Placed, str]]) -> str:
    """The first ingredients with their steps and the words that name them; the rest is counted."""
    by_step: dict[int, dict[str, list[str]]] = {}
    for where, name in guessed[:GUESSES_NAMED]:
        by_step.setdefault(where.step, {}).setdefault(where.words, []).append(name)
    said = [
        f"step {step} takes "
        + ", ".join(f'{", ".join(named)} ("{words}")' for words, named in by_words.items())
        for step, by_words in by_step.items()
    ]
    more = len(guessed) - GUESSES_NAMED
    return choice_words([*said, *([f"{more} more"] if more > 0 else [])], last="and")


@dataclass(slots=True)
class _Sought:
    """An ingredient with the words it may be called by, the best first."""

    at: int
    group: str
    liquid: bool
    aliases: list[tuple[str, ...]]
    found: dict[int, tuple[int, str]] = field(default_factory=dict)
    """By step: which of the aliases was found, and the words around it."""

    def of_its_name(self, rank: int) -> bool:
        """Whether an alias is of the words of the name itself, as yolk is of egg yolk."""
        return set(self.aliases[rank]) <= set(self.aliases[0])


def placed(
    names: Sequence[str], groups: Sequence[str], steps: Sequence[str], cuts: Sequence[str] = ()
) -> list[Placed | None]:
    """Give for each ingredient the step that takes it, ``None`` when no step names it.

    Parameters
    ----------
    groups : sequence of str
        For each the heading it is below, ``""`` without one.
    cuts : sequence of str
        What is done to each: a step may name the zest of a lemon that is zested.

    Examples
    --------
    >>> found = placed(["leek", "butter"], ["", ""], ["Melt the butter.", "Add the leeks."])
    >>> [one.step for one in found]
    [2, 1]
    """
    sought = [
        _Sought(
            at,
            food_key(_GROUP_NOISE.sub("", group)),
            food_key(name).rpartition(" ")[2] in LIQUIDS,
            _aliases(name, fruit_parts(cut)),
        )
        for at, (name, group, cut) in enumerate(
            zip(names, groups, cuts or [""] * len(names), strict=True)
        )
    ]
    calls = [(alias, rank, one) for one in sought for rank, alias in enumerate(one.aliases)]
    # the longest names first, so that "olive oil" takes its words before "oil" can
    calls.sort(key=lambda call: (-len(call[0]), call[1]))
    by_word: dict[str, list[int]] = {}
    for at, (alias, _, _) in enumerate(calls):
        by_word.setdefault(alias[0], []).append(at)
    texts = [step[:LONGEST_STEP] for step in steps]
    for number, text in enumerate(texts, start=1):
        if _ALL.search(text):  # "everything but the salt" does not name the salt
            text = _NOT_THESE.sub(lambda these: " " * len(these[0]), text)
        _look_in(number, text, calls, by_word)
    # names before groups, and groups before the order of the list: each leaves less to guess
    _leave_to_the_best(sought)
    for number, text in enumerate(texts, start=1):
        _take_groups(number, text, sought)
    _share_in_order(sought)
    return [_placed(one) for one in sought]


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


def _placed(one: _Sought) -> Placed | None:
    if not one.found:
        return None
    first, *later = sorted(one.found)
    return Placed(first, one.found[first][1], tuple(later))


def fruit_parts(cut: str) -> list[str]:
    """Which parts of a fruit or an egg a cut takes.

    Examples
    --------
    >>> fruit_parts("zested and juiced"), fruit_parts("finely grated zest"), fruit_parts("peeled")
    (['juice', 'zest'], ['zest'], [])
    """
    words = {word.casefold() for word in _WORD.findall(cut)}
    return [part for part in FRUIT_PARTS if words & {part, f"{part}s", *TAKEN_BY.get(part, ())}]


def _aliases(name: str, parts: Sequence[str] = ()) -> list[tuple[str, ...]]:
    """The words an ingredient may be called by, the surest first."""
    whole = food_key(name.replace("&", JOINED_BY)).split()
    noise = PIECES | CONTAINERS | SIZES | QUALITIES | UNNAMED
    core = [word for word in whole if word not in noise] or whole
    if not core:
        return []
    known = find_food(name).food
    # what is taken of a fruit names it as well as the fruit does: the lemon zest, the zest
    found = [(*core, part) for part in parts] + [(part,) for part in parts]
    found.append(tuple(_pepper_of_salt(core)))
    if known is not None:
        found.append(tuple(food_key(known.name).split()))
    found += [tuple(core[at:]) for at in range(1, len(core)) if core[at] != JOINED_BY]
    if core[-1] in SHORT_FOR:
        found.append((core[0],))
    found += [(kind,) for kind, foods in CALLED.items() if not foods.isdisjoint(core)]
    # "Fold in the berries" is said of raspberries
    if core[-1].endswith("berry"):
        found.append(("berry",))
    if core[-1] == "pepper" and core[0] in ("pepper", "black", "white"):
        found.append((BLACK_PEPPER,))
    if core == ["egg"]:
        found += [("yolk",), ("white",)]
    return [alias for alias in dict.fromkeys(found) if any(map(str.isalpha, "".join(alias)))]


def _look_in(
    number: int,
    text: str,
    calls: Sequence[tuple[tuple[str, ...], int, _Sought]],
    by_word: Mapping[str, Sequence[int]],
) -> None:
    """Note what a step names; words once taken by a longer name are not read again.

    ``by_word`` has the places of the calls that begin with a word.
    """
    words = [
        (part, found.start())
        for found in _WORD.finditer(text)
        for part in food_key(found[0].replace("&", JOINED_BY)).split()
    ]
    keys = _pepper_of_salt([word for word, _ in words])
    places: dict[str, list[int]] = {}
    for at, word in enumerate(keys):
        places.setdefault(word, []).append(at)
    named = (call for word in places for call in by_word.get(word, ()))
    taken: dict[int, tuple[str, ...]] = {}
    clauses: dict[int, str] = {}
    for alias, rank, one in map(calls.__getitem__, sorted(named)):
        for at in places[alias[0]]:
            span = range(at, at + len(alias))
            if tuple(keys[at : at + len(alias)]) != alias or number in one.found:
                continue
            if any(taken.get(place, alias) != alias for place in span):
                continue
            taken |= dict.fromkeys(span, alias)
            if at not in clauses:
                clauses[at] = _clause(text, words[at][1])
            one.found[number] = rank, clauses[at]


def _pepper_of_salt(keys: list[str]) -> list[str]:
    """In "salt and pepper" the pepper is black, whatever other peppers there are."""
    pairs = {at + 2 for at in range(len(keys) - 2) if keys[at] == "salt"}
    return [BLACK_PEPPER if at in pairs and k == "pepper" else k for at, k in enumerate(keys)]


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


def _names_group(words: str, group: str) -> bool:
    if group not in words:
        return False
    verbs = "make|mix|whisk|prepare|blend|stir"
    made = re.search(rf"\b(?:{verbs})(?: \w+)?(?: the)? {re.escape(group)}\b", words)
    return f"{group} ingredient" in words or f"for the {group}" in words or made is not None
