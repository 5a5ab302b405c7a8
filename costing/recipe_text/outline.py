"""A recipe in outline: its name, groups of ingredient lines, method, and what it makes."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace
from pathlib import PurePath

from costing.findings import Finding, Place
from costing.quantities import BATCH, PORTION, Measures
from costing.recipe_text import recipe_messages as messages
from costing.recipe_text.counts import count_at
from costing.recipe_text.measured import WrittenAmount, measured_at, without_about
from costing.recipe_text.messages import Doubt, doubt

MOST_CHARACTERS = 1_000_000
"""A longer text is no recipe. [characters]"""

MOST_LINES = 2_000
"""A recipe has no more lines. [lines]"""

LONGEST_CELL = 32_000
"""A longer line does not fit a cell of a spreadsheet. [characters]"""


LONGEST_NAME = 60
"""Of a step; the rest is in Note. [characters]"""

_GIVES = "rendimento|rendimiento|rinde|rendement|ergibt"

_WORDS = re.compile(
    r"^(?P<word>serves|serving|servings|portions?|portionen|porzioni|porciones|raciones|porções"
    r"|comensales|personnes|personen|persone|personas|makes|yields?|feeds|(?:enough|sufficient) for"
    rf"|{_GIVES}|quantity|portioner|porties|for|pour|für|voor|för|til|till"
    r"|per|para)\b\s*:?\s*|^(?P<listed>材料)\s*\(?",
    re.IGNORECASE,
)
_PEOPLE = re.compile(
    r"\s*(?:(?:servings?|portions?|helpings?|people|persons?|adults|guests|serves|portionen|porzioni|porciones"
    r"|porções|raciones|portioner|porties|personnes|personen|personer|persone|personas|pers)\b"
    r"|人[分前])",
    re.IGNORECASE,
)
_OF_ANYTHING = ("", "makes", "yield", "yields", *_GIVES.split("|"))
"""What begins a yield that need not be of portions, as it is with all other such words."""

_NOUN = re.compile(r"[^\W\d_]")
_BRACKETS = re.compile(r"\([^()]*\)")
_YIELD_LINE = re.compile(
    rf"^(?:(?:serves|makes|yields?|feeds|(?:enough|sufficient) for|{_GIVES})\b\s*:?\s*\S.*"
    r"|quantity\s*:?\s*[0-9].*"
    r"|(?:servings?|portions?|portionen|porzioni|porciones|raciones|porções|comensales|personnes"
    r"|personen|persone|personas)\s*:?\s*(?:about )?[0-9].*"
    r"|for [^\W_]+ (?:people|persons)|for [0-9]+(?: ?[-–] ?[0-9]+)?(?: (?:people|persons))?"
    r"|[0-9]+(?: ?[-–] ?[0-9]+)? (?:servings?|portions?|helpings|portionen|porzioni|porciones"
    r"|raciones|people|persons|personas|personen|personnes|persone|portioner|porties|personer)"
    r"|(?:pour|für|per|para|voor|för|til|till|for) [0-9]+(?: ?[-–] ?[0-9]+)? (?:personnes|personen"
    r"|persone|personas|personer|pers|portionen|portioner|porties|portions|porzioni|porciones)"
    r"|(?:ca\.? |cirka |about )?[0-9]+(?: ?[-–] ?[0-9]+)?"
    r" (?:st|stk|stück|stycken|pcs|pieces|pièces|pezzi|piezas|unidades)"
    r"|(?:材料\s*)?\(?[0-9]+(?:[-–~][0-9]+)?人[分前]\)?)\.?$",
    re.IGNORECASE,
)
_ABOUT_IT = re.compile(
    r"(?:(?:prep(?:aration)?|cook(?:ing)?|bak(?:e|ing)|total|active|hands[- ]on|rest(?:ing)?"
    r"|chill(?:ing)?|ris(?:e|ing)|proving|marinating|ready in)(?: time)?\s*:?\s*(?:about )?[0-9]"
    r".*(?:min|hour|hr|h|day).*"
    r"|(?:difficulty|cuisine|course|category|keywords?|author|source|calories|kcal|rating|tags?"
    r"|skill level|diet|url|photo|(?:prep|cook|total) time)\s*:.*"
    r"|[^\W\d_]+(?: [^\W\d_]+)?\s*:\s*(?:about |ca\.? )?[0-9]+ ?"
    r"(?:mins?|minutes|minuten|h|hr|hours?|heures?|std|stunden?)\.?"
    r"|time\.?(?:--|—).*|(?:average cost|seasonable)\b.*|(?:https?://|www\.)\S+)",
    re.IGNORECASE,
)
_DONE_SO_LONG = re.compile(r"(?:bake|chill|cook|rest|rise)\s+(?!time)[^:]*$", re.IGNORECASE)
_SIDE_BY_SIDE = re.compile(r"\s+[|·•]\s+")
_TITLE = re.compile(
    r"(?:title|name|recipe(?: name| title)?|recette|rezept|ricetta|receta|receita)\s*:\s+(?=\S)",
    re.IGNORECASE,
)
_IN_NAME = re.compile(
    r"(?P<name>.*[^\W_])\s*(?:[-–—|,:]\s+|\((?=.*\)$))(?P<makes>(?:serves|makes|feeds|yields?)\b"
    r"[^()]*|(?<=\()(?:(?:for|pour|für|per|para) [^()]*|[0-9]+ [^()]*"
    r"|[0-9]+(?:[-–~][0-9]+)?人[分前]))\)?",
    re.IGNORECASE,
)
"""The name of a dish with what it makes: Buns (makes 12)."""

_SENTENCE_END = re.compile(r"(?<=[^\W_])[.!?;:](?:\s|$)")


class RecipeUnreadable(Exception):
    """A file that holds no recipe that can be read."""

    def __init__(self, finding: Finding) -> None:
        self.finding = finding
        super().__init__(str(finding))


def check_size(number: int, most: int, what: str, file_name: str) -> None:
    """Refuse a recipe of more than a limit lets in."""
    if number > most:
        place = Place(file_name)
        raise RecipeUnreadable(messages.file_too_large(place, number, most, what))


@dataclass(frozen=True, slots=True)
class SourceLine:
    """A line with the number it is found by.

    Parameters
    ----------
    number : int
        Of the line in the text, or of the entry in its JSON list, from 1.
    text : str
        As written, without outer blanks.
    said : str
        What is read of it, without a number or heading in front.
    optional : bool
        Whether it is below a heading that says so.
    listed : str
        Name of the JSON list it is an entry of; ``""`` for plain text.
    """

    number: int
    text: str
    said: str = ""
    optional: bool = False
    listed: str = ""


@dataclass(slots=True)
class Group:
    """Ingredient lines below one heading.

    ``name``: the heading; ``""`` without one.
    """

    name: str = ""
    lines: list[SourceLine] = field(default_factory=list)
    heading: SourceLine | None = None


@dataclass(slots=True)
class Outline:
    """A recipe before its lines are read.

    Parameters
    ----------
    method : list of (str, SourceLine)
        Name and line of each step.
    takes_in_steps : bool
        Whether the groups are steps of the method with their ingredients below them.
    prose : list of SourceLine
        Sentences above the ingredients: of a recipe without a list, its method.
    """

    title: str
    file_name: str
    groups: list[Group] = field(default_factory=list)
    method: list[tuple[str, SourceLine]] = field(default_factory=list)
    takes_in_steps: bool = False
    makes: SourceLine | None = None
    findings: list[Finding] = field(default_factory=list)
    prose: list[SourceLine] = field(default_factory=list)

    def open_group(self, name: str, heading: SourceLine) -> None:
        """Begin the ingredients below a heading; a first group without any of its own goes."""
        if self.groups and not self.groups[-1].lines and not self.groups[-1].name:
            self.groups.pop()
        self.groups.append(Group(name, heading=heading))

    def take_yield_of_name(self, first: Sequence[SourceLine]) -> None:
        """Take what the name says of what the recipe makes off it: Buns (makes 12)."""
        self.title, said = name_and_yield(self.title)
        if said:
            self.makes = SourceLine(first[0].number, said)

    def take_yield(self, source: SourceLine, said: str) -> None:
        """Take what a line says the recipe makes; what says nothing, or says it again, is told."""
        if said and self.makes is None:
            self.makes = SourceLine(source.number, said)
        else:
            self.note(messages.line_left_out, source, source.text)

    def put_to_steps(self, lines: Sequence[Sequence[SourceLine]]) -> None:
        """Make the steps of the method the groups, each with the lines that are said of it."""
        steps = zip(self.method, lines, strict=True)
        self.groups = [Group(name, [*said], heading=step) for (name, step), said in steps]
        self.method.clear()
        self.takes_in_steps = True

    def place(self, source: SourceLine) -> Place:
        """Place of a line."""
        return Place(self.file_name, source.number, "", source.listed, source.text)

    def note(self, message: Callable[..., Finding], source: SourceLine, *about: object) -> None:
        """Add a finding about a line."""
        self.findings.append(message(self.place(source), *about))


def step_name(text: str) -> str:
    """Give the first sentence, cut between words when it is long.

    Examples
    --------
    >>> step_name("Char the leeks. Let them cool.")
    'Char the leeks'
    >>> step_name("Bring a large pan of salted water to the boil and cook the pasta in it")
    'Bring a large pan of salted water to the boil and cook the…'
    """
    plain = " ".join(text.split())
    end = _SENTENCE_END.search(plain)
    first = plain[: end.start()] if end else plain
    if len(first) <= LONGEST_NAME:
        return first.strip()
    kept = first[:LONGEST_NAME].rpartition(" ")[0] or first[: LONGEST_NAME - 1]
    return kept.rstrip(" ,") + "…"


def named_after(file_name: str) -> str:
    """Give a dish its name after the file.

    Examples
    --------
    >>> named_after("folder/leek_tart.txt")
    'leek tart'
    """
    stem = PurePath(file_name.replace("\\", "/")).stem
    return " ".join(stem.replace("_", " ").replace("-", " ").split()) or "recipe"


@dataclass(frozen=True, slots=True)
class Makes:
    """What one batch makes.

    ``amount``, ``unit``: for the cells Makes and Unit; blank when it cannot be read.
    """

    amount: str = ""
    unit: str = ""
    doubts: tuple[Doubt, ...] = ()


def is_yield_line(text: str) -> bool:
    """Whether a line says what the recipe makes.

    Examples
    --------
    >>> is_yield_line("Serves 4-6"), is_yield_line("4 eggs")
    (True, False)
    """
    return _YIELD_LINE.match(_outside(text)) is not None


def about_it(text: str, *, in_method: bool = False) -> tuple[bool, str]:
    """Whether a line is of times and the like, and what it says beside them that it makes.

    "Bake 30 minutes." is a step, and so is the same without its stop in a method.

    Examples
    --------
    >>> about_it("Prep: 20 mins | Serves 6"), about_it("Cook: 1 hour"), about_it("4 eggs")
    ((True, 'Serves 6'), (True, ''), (False, ''))
    """
    if (in_method or text.endswith(".")) and _DONE_SO_LONG.match(text):
        return False, ""
    if _ABOUT_IT.fullmatch(text) is None:
        return False, ""
    return True, next(filter(is_yield_line, _SIDE_BY_SIDE.split(text)), "")


def is_about_the_dish(text: str) -> bool:
    """Whether a line says what a dish makes, how long it takes and the like.

    Examples
    --------
    >>> is_about_the_dish("Makes 24"), is_about_the_dish("Oat cookies")
    (True, False)
    """
    return is_yield_line(text) or about_it(text)[0]


def without_label(text: str) -> str:
    """Give a dish's name without the word that says it is one.

    Examples
    --------
    >>> without_label("Recipe: Leek tart"), without_label("Receta: Gazpacho")
    ('Leek tart', 'Gazpacho')
    """
    return _TITLE.sub("", text, count=1)


def name_and_yield(text: str) -> tuple[str, str]:
    """The name of a dish, and what it says there that it makes; blank: nothing.

    Examples
    --------
    >>> name_and_yield("Sticky buns (makes 12)"), name_and_yield("Tea for two")
    (('Sticky buns', 'makes 12'), ('Tea for two', ''))
    """
    found = _IN_NAME.fullmatch(text)
    if found is None or not is_yield_line(found["makes"]):
        return text, ""
    return found["name"], found["makes"].strip()


def _outside(text: str) -> str:
    """A yield without brackets around all of it."""
    return text[1:-1].strip() if text[:1] == "(" and text[-1:] == ")" else text


def makes(text: str, measures: Measures) -> Makes:
    """Read a yield.

    Examples
    --------
    >>> made = makes("Makes about 500 ml", Measures.METRIC)
    >>> made.amount, made.unit
    ('500', 'ml')
    >>> made = makes("Serves 4", Measures.METRIC)
    >>> made.amount, made.unit
    ('4', 'portion')
    """
    text = _outside(text)
    word = _WORDS.match(text)
    rest = without_about((text[word.end() :] if word else text).strip(" ."))
    counted = count_at(rest)
    if counted is None or not counted[0].low:
        return Makes(doubts=(doubt(messages.yield_unreadable, text),))
    count, behind = counted
    said = (word["word"] or "").casefold() if word else ""
    measured = measured_at(rest, measures)
    unit = measured[0].unit if measured else None
    if measured and unit and unit.unit not in (PORTION, BATCH, None):
        count = measured[0].count
    else:
        unit = None
    # of a range the lower end: who counted on the upper one would run short
    amount = WrittenAmount(replace(count, high=count.low), unit)
    if not amount.amount or (not said and count.written.casefold() in ("a", "an")):
        return Makes(doubts=(doubt(messages.yield_unreadable, text),))
    doubts = [*count.doubts]
    if count.low != count.high:
        doubts.append(doubt(messages.yield_range, text, amount.amount))
    if unit is not None:
        return Makes(amount.amount, unit.shown, tuple(doubts))
    bare = not said and not _NOUN.search(_BRACKETS.sub("", behind))
    if bare:
        doubts.append(doubt(messages.yield_bare, text))
    people = bare or said not in _OF_ANYTHING or _PEOPLE.match(behind) is not None
    return Makes(amount.amount, "portion" if people else "each", tuple(doubts))
