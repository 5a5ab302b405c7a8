"""Result sheets put into somebody's workbook; every other part of it stays byte for byte.

Touched are the workbook part with its relationships, the list of content types, the formats (only
appended to), the sheets and tables of our own, and the stored values of formulas elsewhere that
need a result which changed. The order of calculation is dropped: the program makes it anew.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass

from costing.workbook.package.cells import ResultSheet
from costing.workbook.package.encodings import BadXml
from costing.workbook.package.gate import open_gate
from costing.workbook.package.limits import LIMITS, Limits
from costing.workbook.package.owntabs import EditedCell, KeptCell, Names, OwnTabs
from costing.workbook.package.refusals import Refused, damaged, file_place
from costing.workbook.package.removal import take_out
from costing.workbook.package.stale import strip_stale


@dataclass(frozen=True, slots=True)
class Spliced:
    """A workbook with its result sheets, and what there is to tell about them.

    Parameters
    ----------
    data : bytes
        The workbook.
    titles, tables : dict of str to str
        Title and table name of each result sheet by its mark.
    added : tuple of str
        Marks of the sheets that are new.
    edited : tuple of EditedCell
    kept : tuple of KeptCell
    recalculated : tuple of (str, str)
        Sheet and cell of the person's formulas whose stored value was out of date and is gone.
    removed, emptied : tuple of str
        Marks of the sheets taken out, and of those that something still refers to or that hold
        something of the person's: these stay without their block.
    """

    data: bytes
    titles: dict[str, str]
    tables: dict[str, str]
    added: tuple[str, ...] = ()
    edited: tuple[EditedCell, ...] = ()
    kept: tuple[KeptCell, ...] = ()
    recalculated: tuple[tuple[str, str], ...] = ()
    removed: tuple[str, ...] = ()
    emptied: tuple[str, ...] = ()


def planned_names(
    data: bytes, sheets: Sequence[ResultSheet], *, name: str = "", limits: Limits = LIMITS
) -> Names:
    """Titles and table names that :func:`splice` will give, for formulas that refer to them.

    A tab or a table that the person renamed keeps its name; a title that is taken by a sheet of
    the person's gets a number.

    Raises
    ------
    Refused
        As :func:`splice`.
    """
    with opened(data, name=name, limits=limits) as tabs:
        return tabs.plan(sheets)


def splice(
    data: bytes,
    sheets: Sequence[ResultSheet],
    *,
    remove: Collection[str] = (),
    name: str = "",
    limits: Limits = LIMITS,
) -> Spliced:
    """Put result sheets into a workbook.

    Parameters
    ----------
    data : bytes
        The workbook.
    sheets : sequence of ResultSheet
        Those that are there are written anew, the others added after the last sheet, in order.
    remove : collection of str
        Marks of sheets of ours that are to go.
    name : str
        The file's name, for findings.

    Raises
    ------
    Refused
        If the file does not pass the gate or must not be changed: the results belong into
        another file then.
    ValueError
        If two sheets share a mark.
    """
    with opened(data, name=name, limits=limits) as tabs:
        return spliced_into(tabs, sheets, remove=remove)


@contextmanager
def opened(data: bytes, *, name: str = "", limits: Limits = LIMITS) -> Iterator[OwnTabs]:
    """The sheets of ours in a workbook, which is let through the gate once.

    Parameters
    ----------
    data : bytes
        The workbook.
    name : str
        The file's name, for findings.

    Raises
    ------
    Refused
        If the file does not pass the gate or must not be changed; also when a part turns out to
        be damaged while it is worked on.
    """
    with _damage_refused(name):
        yield OwnTabs(open_gate(data, name=name, limits=limits))


def spliced_into(
    tabs: OwnTabs, sheets: Sequence[ResultSheet], *, remove: Collection[str] = ()
) -> Spliced:
    """Put result sheets into a workbook that is open; it is used up by that.

    Parameters
    ----------
    tabs : OwnTabs
        The workbook.
    sheets, remove
        As for :func:`splice`.

    Raises
    ------
    ValueError
        If two sheets share a mark.
    """
    marks = [sheet.mark for sheet in sheets]
    if len(set(marks)) < len(marks) or set(marks) & set(remove):
        raise ValueError(f"a mark stands twice among {sorted([*marks, *remove])}")
    take_out(tabs, remove, marks)
    names = tabs.plan(sheets)
    for sheet in sheets:
        tabs.put(sheet, names)
    recalculated = strip_stale(tabs.book, tabs.own_parts, tabs.changed_names, tabs.changed)
    data = tabs.result()
    return Spliced(
        data,
        names.titles,
        names.tables,
        tuple(tabs.added),
        tuple(tabs.edited),
        tuple(tabs.kept),
        tuple(recalculated),
        tuple(tabs.removed),
        tuple(tabs.emptied),
    )


@contextmanager
def _damage_refused(name: str) -> Iterator[None]:
    """Turn what is wrong with the XML of a part into a refusal."""
    try:
        yield
    except BadXml as fault:
        raise Refused(damaged(file_place(name), str(fault))) from None
