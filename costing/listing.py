"""Findings as they are listed: by place, the same of many rows as one, and counted."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import replace
from itertools import groupby

from costing.findings import GRADES, Finding, Grade, choice_words, how_many

NAMES = frozenset({"Dish", "Episode", "Ingredient", "Person", "Shop"})
"""Headings of what rows are about: what is wrong with a name follows from no other cell."""

NAMED_TOGETHER = 6
"""So many rows are named, each with its cell, in a finding about the same lack in many."""

NAMED_FIRST = 3
"""Of more rows the first so many are named, and all of them by their numbers."""

MENDED_AT_ONCE = frozenset({"formula never calculated"})
"""Errors of many cells that are mended at once; of all others each cell has its own finding."""


def in_order(findings: Iterable[Finding], sheets: Iterable[str] = ()) -> list[Finding]:
    """Findings by place (sheets in the order given, then the others), each once.

    An error about a whole sheet or file comes before all others: they may follow from it.
    """
    order = {sheet: number for number, sheet in enumerate(sheets)}

    def key(finding: Finding) -> tuple[bool, int, str, int, int, str, int, str]:
        place = finding.place
        return (
            finding.grade is not Grade.ERROR or bool(place.row or place.heading),
            order.get(place.sheet, len(order)),
            place.sheet,
            place.row or 0,
            len(place.column),
            place.column,
            GRADES.index(finding.grade),
            finding.code,
        )

    return sorted(together(sorted(dict.fromkeys(findings), key=key)), key=key)


def merged(
    read: Iterable[Finding], computed: Iterable[Finding], sheets: Iterable[str] = ()
) -> list[Finding]:
    """Findings of reading and of computing in one list, by place.

    What computing says of a row that reading found an error in would say the same again in other
    words, or call blank what is only unreadable: it is left out. What it says of a cell under the
    code of reading is the same with what follows from it.

    Parameters
    ----------
    read, computed : iterable of Finding
        Of the workbook, and of what was worked out from it.
    sheets : iterable of str
        In the order in which findings are printed.
    """
    found = list(computed)
    again = {(one.code, one.place) for one in found}
    known = [one for one in read if (one.code, one.place) not in again]
    faulty = {(f.place.sheet, f.place.row) for f in known if f.grade is Grade.ERROR}
    more = [
        f
        for f in found
        if f.place.row is None
        or f.grade is Grade.ERROR
        or f.place.heading in NAMES
        or (f.place.sheet, f.place.row) not in faulty
    ]
    return in_order([*known, *more], sheets)


def counted(findings: Iterable[Finding]) -> str:
    """Count findings by grade, in words.

    Examples
    --------
    >>> counted([])
    'no findings'
    """
    by_grade = Counter(finding.grade for finding in findings)
    parts = [how_many(by_grade[grade], grade) for grade in GRADES if by_grade[grade]]
    return ", ".join(parts) or "no findings"


def together(findings: Iterable[Finding]) -> list[Finding]:
    """The same lack in many rows as one finding at the first of them, with all of them named.

    The same is what a message registered by :func:`lack` says of each with the same words beside
    the name, or what is said of several rows of a column in just the same words.
    """
    alike: dict[tuple[object, ...], list[Finding]] = {}
    for one in findings:
        place = one.place
        if one.lack is not None:
            same: tuple[object, ...] = (place.sheet, place.heading, one.lack.key)
        elif place.row is not None and (one.grade is not Grade.ERROR or one.code in MENDED_AT_ONCE):
            same = (place.sheet, place.heading, one.code, one.found, one.expected, one.remedy)
        else:
            same = (one,)
        alike.setdefault(same, []).append(one)
    return [group[0] if len(group) == 1 else _of_all(group) for group in alike.values()]


def _of_all(group: list[Finding]) -> Finding:
    first = group[0]
    listed = _named_together(group)
    place = replace(first.place, name="")
    if first.lack is None:
        found = f"{first.found}: {listed}"
        return replace(first, place=place, found=found)
    said = first.lack.said(listed)
    return Finding(first.grade, first.code, place, said.found, said.expected, said.remedy)


def _named_together(group: list[Finding]) -> str:
    """The names of what lacks the same: all of a few, of many the first and their rows."""
    bare = dict.fromkeys(one.place.name if one.lack is None else one.lack.name for one in group)
    if len({one.place for one in group}) == 1:  # all lack it for the sake of one cell
        return choice_words(bare, most=NAMED_TOGETHER, last="and")
    names = dict.fromkeys(map(_named, group))
    if len(names) <= NAMED_TOGETHER:
        return choice_words(names, most=NAMED_TOGETHER, last="and")
    listed = choice_words(filter(None, bare), most=NAMED_FIRST, last="and")
    rows = row_words([one.place.row for one in group if one.place.row])
    return f"{listed} ({rows})" if listed and rows else listed or rows


def summed_up(findings: Sequence[Finding], *, above: int, each: str = "") -> list[Finding]:
    """The findings, those of a code that comes often as one, in the place of the first.

    Parameters
    ----------
    above : int
        More findings of one code than this become one.
    each : str
        Where each of them is read, said where their remedies differ.
    """
    by_code: dict[str, list[Finding]] = {}
    for finding in findings:
        by_code.setdefault(finding.code, []).append(finding)
    kept = dict.fromkeys(
        finding if len(by_code[finding.code]) <= above else by_code[finding.code][0]
        for finding in findings
    )
    return [
        _as_one(by_code[one.code], each) if len(by_code[one.code]) > above else one for one in kept
    ]


def _as_one(alike: Sequence[Finding], each: str) -> Finding:
    """Many findings of one code in the words of the first, with the rows of all of them."""
    first = alike[0]
    by_sheet: dict[str, list[int]] = {first.place.sheet: []}
    for one in alike:
        if one.place.row:
            by_sheet.setdefault(one.place.sheet, []).append(one.place.row)
    rows = ", ".join(
        row_words(of_it) + ("" if sheet == first.place.sheet else f" of {sheet}")
        for sheet, of_it in by_sheet.items()
        if of_it
    )
    remedy = first.remedy
    if any(one.remedy != remedy for one in alike):
        remedy += f" {len(alike) - 1} more like this: {each or 'on the sheet Findings'}."
    where = f"{len(alike)} of this kind" + (f" ({rows})" if rows else "")
    return replace(first, found=f"{first.found}; {where}", remedy=remedy)


def row_words(rows: Iterable[int]) -> str:
    """Row numbers as runs in words.

    Examples
    --------
    >>> row_words([4, 5, 6, 9]), row_words([7])
    ('rows 4 to 6 and 9', 'row 7')
    """
    found = runs(sorted(set(rows)))
    said = [
        words
        for run in found
        for words in ([f"{run[0]} to {run[-1]}"] if len(run) > 2 else map(str, run))
    ]
    several = sum(map(len, found)) > 1
    listed = choice_words(said, most=len(said), last="and")
    return f"row{'s' if several else ''} {listed}" if found else ""


def runs(numbers: Iterable[int]) -> list[list[int]]:
    """Numbers in rising order, those that follow each other together.

    Examples
    --------
    >>> runs([1, 2, 3, 5, 6])
    [[1, 2, 3], [5, 6]]
    """
    # what follows each other is as far from its place in the row as the one before
    groups = groupby(enumerate(numbers), key=lambda pair: pair[1] - pair[0])
    return [[number for _, number in group] for _, group in groups]


def _named(finding: Finding) -> str:
    place = finding.place
    name = place.name if finding.lack is None else finding.lack.name
    cell = place.cell or (f"row {place.row}" if place.row else "")
    return f"{name} ({cell})" if name and cell and not name.endswith(")") else name or cell
