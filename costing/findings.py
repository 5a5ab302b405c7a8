"""A problem in somebody's data: where it is, what was found, what is expected, what to do.

The user's faults are collected as findings; the programmer's raise exceptions. One message is
one function, registered under its code with :func:`message`; a test compares its whole text.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from enum import StrEnum
from functools import wraps
from typing import Concatenate, ParamSpec

P = ParamSpec("P")


class Grade(StrEnum):
    """How much a finding hurts.

    Examples
    --------
    >>> [str(grade) for grade in Grade]
    ['error', 'warning', 'note']
    """

    ERROR = "error"
    WARNING = "warning"
    NOTE = "note"


GRADES = tuple(Grade)


def quoted_sheet(sheet: str) -> str:
    """Give a sheet's name as a cell reference spells it.

    Examples
    --------
    >>> quoted_sheet("Recipes"), quoted_sheet("On hand")
    ('Recipes', "'On hand'")
    """
    plain = sheet.isascii() and sheet.isalnum() and not sheet[:1].isdigit()
    return sheet if plain else "'" + sheet.replace("'", "''") + "'"


@dataclass(frozen=True, slots=True)
class Place:
    """Where in a workbook something is; every part may be unknown.

    Parameters
    ----------
    row : int, optional
        Row number as the spreadsheet shows it, from 1.
    column : str
        Column letter as the spreadsheet shows it.
    name : str
        What the row is about, in the user's words.

    Examples
    --------
    >>> print(Place("On hand", 7, "D", "Use by", "egg"))
    'On hand'!D7 (row "egg", column "Use by")
    """

    sheet: str = ""
    row: int | None = None
    column: str = ""
    heading: str = ""
    name: str = ""

    @property
    def cell(self) -> str:
        """The cell's address without its sheet, ``""`` when it has none."""
        return f"{self.column}{self.row}" if self.column and self.row else ""

    @property
    def cell_reference(self) -> str:
        """The cell with its sheet, as it is typed into a name box; ``""`` when it has none."""
        return f"{quoted_sheet(self.sheet)}!{self.cell}" if self.sheet and self.cell else ""

    def __str__(self) -> str:
        at = self.cell or (f"row {self.row}" if self.row else "")
        sheet = quoted_sheet(self.sheet) if self.sheet else ""
        start = self.cell_reference or " ".join(part for part in (sheet, at) if part)
        about = ", ".join(
            f'{word} "{text}"'
            for word, text in (("row", self.name), ("column", self.heading))
            if text
        )
        if start and about:
            return f"{start} ({about})"
        return start or about or "the shoot"


NOWHERE = Place()


@dataclass(frozen=True, slots=True)
class Row:
    """A row of a sheet, able to give the place of each of its cells.

    Parameters
    ----------
    columns : mapping of str to str
        Column letter by heading, shared by the rows of a sheet.
    held : dict of str to int, float or str
        What the cells hold that numbers were read from, by heading: a number as it is stored, or
        a text. A blank cell and one that could not be read are not in it.
    """

    sheet: str = ""
    number: int | None = None
    name: str = ""
    columns: Mapping[str, str] = field(default_factory=dict, repr=False, compare=False)
    held: dict[str, float | str] = field(default_factory=dict, repr=False, compare=False)

    def at(self, heading: str = "") -> Place:
        """Place of the cell below ``heading``, or of the whole row."""
        return Place(self.sheet, self.number, self.columns.get(heading, ""), heading, self.name)


NO_ROW = Row()


@dataclass(frozen=True, slots=True)
class Words:
    """The three sentences of a message."""

    found: str
    expected: str
    remedy: str


@dataclass(frozen=True, slots=True)
class Lack:
    """What a finding says of one row and could say of several.

    Parameters
    ----------
    key : tuple of str
        Equal for findings that say the same of different rows.
    said : callable
        The sentences for the names of several rows.
    """

    name: str
    key: tuple[str, ...]
    said: Callable[[str], Words]


@dataclass(frozen=True, slots=True)
class Finding:
    """One problem, with its place, in words for whoever can mend it.

    Parameters
    ----------
    code : str
        Two to four plain words.
    found, expected, remedy : str
        The three sentences.
    lack : Lack, optional
        What lacks the same as others may; ``None`` for a finding of its own.

    Examples
    --------
    >>> place = Place("Packs", 7, "E", "Price", "leek")
    >>> print(Finding(Grade.WARNING, "price missing", place, "a blank", "a price", "Fill it in."))
    Packs!E7 (row "leek", column "Price"): found a blank, expected a price [price missing]
      Fill it in.
    """

    grade: Grade
    code: str
    place: Place
    found: str
    expected: str
    remedy: str
    lack: Lack | None = field(default=None, compare=False, repr=False)

    def __str__(self) -> str:
        return (
            f"{self.place}: found {self.found}, expected {self.expected} [{self.code}]\n"
            f"  {self.remedy}"
        )


@dataclass(slots=True)
class _Registry:
    grades: dict[str, Grade] = field(default_factory=dict)
    homes: dict[str, str] = field(default_factory=dict)


REGISTRY = _Registry()


def message(
    code: str, grade: Grade
) -> Callable[[Callable[P, Words]], Callable[Concatenate[Place, P], Finding]]:
    """Register a function that words the finding ``code``.

    The decorated function gives :class:`Words`; calling it with a place in front gives the
    :class:`Finding`. A code is two to four plain words and is never used for two messages.
    """

    def decorate(words: Callable[P, Words]) -> Callable[Concatenate[Place, P], Finding]:
        # a module may be run twice, as by a collector of doctests; its messages are the same
        home = f"{words.__module__}.{words.__qualname__}"
        if REGISTRY.homes.setdefault(code, home) != home:
            raise ValueError(f"two messages share the code {code!r}")
        REGISTRY.grades[code] = grade

        @wraps(words)
        def finding(place: Place, /, *args: P.args, **kwargs: P.kwargs) -> Finding:
            said = words(*args, **kwargs)
            return Finding(grade, code, place, said.found, said.expected, said.remedy)

        return finding

    return decorate


def lack(
    code: str, grade: Grade
) -> Callable[
    [Callable[Concatenate[str, P], Words]], Callable[Concatenate[Place, str, P], Finding]
]:
    """Register a message about something that many rows may lack alike.

    The decorated function gives its :class:`Words` for one name, or for several in a list, and
    for what they share; see :mod:`costing.listing`.
    """

    def decorate(
        words: Callable[Concatenate[str, P], Words],
    ) -> Callable[Concatenate[Place, str, P], Finding]:
        alone = message(code, grade)(words)

        @wraps(words)
        def finding(place: Place, name: str, /, *shared: P.args, **more: P.kwargs) -> Finding:
            def said(names: str) -> Words:
                return words(names, *shared, **more)

            key = code, repr(shared), repr(more)
            return replace(alone(place, name, *shared, **more), lack=Lack(name, key, said))

        return finding

    return decorate


def choice_words(known: Iterable[str], *, most: int = 10, last: str = "or") -> str:
    """Up to ``most`` words as a list in prose, the last behind ``last``.

    Examples
    --------
    >>> choice_words(["yes", "no"])
    'yes or no'
    >>> choice_words(["a", "b", "c"], most=2)
    'a, b or one of 1 more'
    >>> choice_words(["sweet or sour", "salt", "hot"], last="and")
    'sweet or sour, salt and hot'
    """
    words = list(known)
    if len(words) > most:
        left = len(words) - most
        rest = f"one of {left} more" if last == "or" else f"{left} more"
        return ", ".join(words[:most]) + f" {last} {rest}"
    if len(words) < 2:
        return "".join(words)
    return ", ".join(words[:-1]) + f" {last} " + words[-1]


def how_many(number: int, one: str, several: str = "") -> str:
    """A number of things, with the word for one of them or for several.

    Examples
    --------
    >>> how_many(1, "row"), how_many(0, "row"), how_many(2, "copy", "copies")
    ('1 row', '0 rows', '2 copies')
    """
    return f"{number} {one if number == 1 else several or one + 's'}"


def quoted_words(names: Iterable[str], *, last: str = "or") -> str:
    """Names in quotes as a list in prose, the last behind ``last``.

    Examples
    --------
    >>> quoted_words(["P5", "P6"], last="and")
    '"P5" and "P6"'
    """
    return choice_words((f'"{name}"' for name in names), last=last)


def near_words(near: Sequence[str], otherwise: str) -> str:
    """The nearest known names, quoted, as what is expected; other words where none is near.

    Examples
    --------
    >>> near_words(["P5", "P6"], "the name of a shot"), near_words([], "the name of a shot")
    ('"P5" or "P6"', 'the name of a shot')
    """
    return quoted_words(near) if near else otherwise


def if_meant(near: Sequence[str], otherwise: str) -> str:
    """What to do about an unknown name: write the nearest known one; else what else there is.

    Examples
    --------
    >>> if_meant(["P5", "P6"], "Mend the name"), if_meant([], "Mend the name")
    ('Write "P5" if that is meant', 'Mend the name')
    """
    return f'Write "{near[0]}" if that is meant' if near else otherwise
