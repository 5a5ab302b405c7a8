"""An estimate written into its workbook or beside it, and new workbooks, the demo among them."""

from __future__ import annotations

import os
import tempfile
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import partial
from pathlib import Path

from costing.estimating import estimate
from costing.findings import Finding, choice_words
from costing.listing import merged
from costing.report.assumption_rows import findings_table
from costing.report.estimates import Estimate
from costing.report.layouts import FINDINGS, RESULT_LAYOUTS
from costing.shoot import Shoot
from costing.workbook.demo import DEMO_NAME, DEMO_ROWS, UNCERTAIN_NAME, uncertain_rows
from costing.workbook.layout import INPUT_TITLES, INSTRUCTIONS_TITLE
from costing.workbook.owned.splice import Spliced, opened, splice, spliced_into
from costing.workbook.package.commit import new_file, open_elsewhere, read_file, replace_file
from costing.workbook.package.opc import without_collection
from costing.workbook.package.refusals import Refused
from costing.workbook.reading import read_workbook
from costing.workbook.results.sheets import blank_sheet, empty_marks, result_sheets
from costing.workbook.results.target import target_of
from costing.workbook.template import template_bytes
from costing.workbook.template.cells import Row
from costing.workbook.template.filling import rows_of
from costing.workbook.template.writing import results_alone_bytes

IN_PLACE_REFUSED = frozenset(
    {
        *("signed workbook", "structure protected", "shared workbook"),
        *("column between results", "array formula in results", "merged cells in results"),
    }
)
"""Codes of refusals after which the results go into a workbook of their own."""
NOT_NOW = {
    "open elsewhere": "is open elsewhere",
    "write protected": "is write-protected",
    "cannot be replaced": "stays as it is",
}
"""Codes of refusals that leave the workbook as it is, and what they say of it."""
UNCHANGED = "Nothing changed."
KEPT = ". The version before is kept in .costing-backups."
SIBLINGS = 99
"""So many names beside a workbook are tried, since the files may be open too."""
NAMED_AT_MOST = 5


@dataclass(frozen=True, slots=True)
class Written:
    """Where the results went, and what there is to tell about it.

    ``notes``: lines for the user: where, why not elsewhere, cells kept and formulas to look at.

    Examples
    --------
    >>> Written(Path("plan.xlsx"), ("Written: plan.xlsx.",)).path.name
    'plan.xlsx'
    """

    path: Path
    notes: tuple[str, ...]


def write_results(
    path: str | Path,
    estimate: Estimate,
    findings: Sequence[Finding] | None = None,
    *,
    output: str | Path | None = None,
) -> Written:
    """Write the result sheets; everything else in the workbook stays as it is, byte for byte.

    Parameters
    ----------
    path : str or Path
        The workbook the shoot was read from.
    findings : sequence of Finding, optional
        More findings to be shown than those the estimate has, which are of reading the workbook
        and of working it out.
    output : str or Path, optional
        Write a copy with the results there instead.

    Returns
    -------
    Written
        A workbook that is open in another program, signed, protected or shared is not touched:
        the results then stand beside it in ``NAME results.xlsx``.

    Raises
    ------
    Refused
        If the workbook cannot be read, or nothing can be written; it is then as it was.

    Examples
    --------
    >>> import tempfile
    >>> import costing
    >>> with tempfile.TemporaryDirectory() as folder:
    ...     costing.write_template(Path(folder, "tart.xlsx"))
    ...     shoot, findings = costing.read_workbook(Path(folder, "tart.xlsx"))
    ...     written = write_results(Path(folder, "tart.xlsx"), costing.estimate(shoot), findings)
    >>> written.path.name
    'tart.xlsx'
    """
    source = Path(path)
    if findings is not None:
        more = tuple(merged(findings, estimate.findings, INPUT_TITLES))
        estimate = replace(estimate, findings=more)
    data, seen = read_file(source)
    spliced, refused = with_results(data, estimate, source.name)
    notes = _notes(spliced)
    if output is not None:
        target = Path(output)
        if refused is not None:
            notes.insert(0, _why(refused))
        kept = _put(target, spliced.data)
        return Written(target, (*notes, f"Written: {target}{kept}"))
    if refused is None:
        try:
            changed = replace_file(source, spliced.data, seen)
        except Refused as fault:
            if fault.finding.code not in NOT_NOW:
                raise
            why = f"{source.name} {NOT_NOW[fault.finding.code]}: {fault.finding.found}."
        else:
            written = f"Written: {source}{KEPT}"
            return Written(source, (*notes, written if changed else f"{source}: {UNCHANGED}"))
    else:
        why = _why(refused)
    target = _sibling(source, plain=refused is not None)
    kept = _put(target, spliced.data)
    return Written(target, (*notes, why, f"Written beside it: {target}{kept}"))


def with_results(data: bytes, estimate: Estimate, name: str = "") -> tuple[Spliced, Refused | None]:
    """The workbook with its results, or a workbook of results alone and the reason for it.

    Raises
    ------
    Refused
        If it is no workbook that can be read.
    """
    try:
        return _spliced(data, estimate, name), None
    except Refused as refused:
        if refused.finding.code not in IN_PLACE_REFUSED:
            raise
        alone = results_alone_bytes(name, refused.finding.found)
        return _spliced(alone, estimate, name), refused


def _spliced(data: bytes, estimate: Estimate, name: str) -> Spliced:
    with without_collection(), opened(data, name=name) as tabs:
        made_here = FINDINGS.key in tabs.own and INSTRUCTIONS_TITLE in (
            tab.title for tab in tabs.book.tabs
        )
        # In a workbook that this library made the results stand before the inputs; in all others
        # the order of sheets is their owner's, and new ones stand at the end.
        order = [layout.key for layout in RESULT_LAYOUTS] if made_here else []
        sheets = result_sheets(estimate, partial(target_of, tabs))
        return spliced_into(tabs, sheets, remove=empty_marks(sheets), order=order)


def _why(refused: Refused) -> str:
    finding = refused.finding
    return f"{finding.place}: found {finding.found}, so it is left as it is. {finding.remedy}"


def _notes(spliced: Spliced) -> list[str]:
    notes = []
    if spliced.edited:
        rows = _some([f"{one.sheet} row {one.row}" for one in spliced.edited])
        notes.append(
            f"Result rows that had been edited were rewritten: {rows}. Edit the input sheets "
            "instead; the edited version is kept in .costing-backups."
        )
    if spliced.kept:
        cells = _some([f"{cell.sheet}!{cell.now}" for cell in spliced.kept])
        notes.append(f"Your own cells on result sheets stay: {cells}.")
    if spliced.recalculated:
        cells = _some([f"{sheet}!{cell}" for sheet, cell in spliced.recalculated])
        notes.append(f"Your formulas over the results are calculated when the file opens: {cells}.")
    return notes


def _some(cells: Sequence[str]) -> str:
    return choice_words(cells, most=NAMED_AT_MOST, last="and")


def _put(target: Path, data: bytes) -> str:
    """Write a file; gives what is to be said of one that stood there, which may be anybody's."""
    if not target.exists():
        new_file(target, data)
        return ""
    _, seen = read_file(target)
    return KEPT if replace_file(target, data, seen) else ""


def _sibling(source: Path, *, plain: bool) -> Path:
    """A file beside the workbook that nobody has open."""
    suffix = ".xlsx" if plain else source.suffix
    for number in range(1, SIBLINGS):
        ending = " results" if number == 1 else f" results {number}"
        target = source.with_name(source.stem + ending + suffix)
        if open_elsewhere(target) is None:
            return target
    return source.with_name(f"{source.stem} results{suffix}")


def new_workbook_bytes(
    *,
    all_sheets: bool = False,
    rows: Mapping[str, Sequence[Row]] | None = None,
    more: Collection[str] = (),
    remarks: Mapping[str, str] | None = None,
) -> bytes:
    """What ``template_bytes`` gives for the same, with a sheet Findings that marks faulty cells.

    Examples
    --------
    >>> new_workbook_bytes()[:2]
    b'PK'
    """
    sheets = template_bytes(
        all_sheets=all_sheets, rows=rows, more=more, marking=True, remarks=remarks
    )
    return splice(sheets, [blank_sheet(findings_table([]))]).data


def write_template(path: str | os.PathLike[str], *, all_sheets: bool = False) -> None:
    """Write a new workbook to be filled in.

    ``all_sheets``: whether it has every input sheet; otherwise Settings, Recipes, Shoot plan and
    Packs.

    Raises
    ------
    Refused
        If there is a file of that name, which is never overwritten, or it cannot be written.

    Examples
    --------
    >>> import tempfile
    >>> with tempfile.TemporaryDirectory() as folder:
    ...     write_template(Path(folder, "tart.xlsx"))
    ...     Path(folder, "tart.xlsx").exists()
    True
    """
    new_file(Path(path), new_workbook_bytes(all_sheets=all_sheets))


def write_workbook(path: str | os.PathLike[str], shoot: Shoot) -> None:
    """Write a shoot into a new workbook, from which the same shoot is read.

    Parameters
    ----------
    path : str or path
        Where to. A shoot without a title is read with the name of the file.
    shoot : Shoot
        Built in code or read. Holding rules of your own stay in their file beside the workbook.

    Raises
    ------
    Refused
        If there is a file of that name, which is never overwritten, or it cannot be written.
    ValueError
        If the shoot holds something that a workbook cannot say; nothing is then written.

    Examples
    --------
    >>> import tempfile
    >>> from costing.kitchen import Line
    >>> shoot = Shoot(lines=[Line(dish="toast", ingredient="bread", amount="2 each")])
    >>> with tempfile.TemporaryDirectory() as folder:
    ...     write_workbook(Path(folder, "toast.xlsx"), shoot)
    ...     read_workbook(Path(folder, "toast.xlsx"))[0].recipes["toast"][0].ingredient
    'bread'
    """
    target = Path(path)
    new_file(target, new_workbook_bytes(rows=rows_of(shoot)))
    read, _ = read_workbook(target)
    title = shoot.settings.title or read.settings.title
    expected = shoot.changed(settings=shoot.settings.model_copy(update={"title": title}))
    if difference := expected.difference(read):
        # a file that says another shoot is worse than none
        target.unlink()
        raise ValueError(f"a workbook cannot say this shoot: given and read again, {difference}")


def demo_with_results(*, uncertain: bool = False) -> tuple[bytes, Estimate]:
    """The demo workbook and its estimate; the same bytes at every call.

    ``uncertain``: with one shot whose number of times is not certain.
    """
    name = UNCERTAIN_NAME if uncertain else DEMO_NAME
    data = new_workbook_bytes(all_sheets=True, rows=uncertain_rows() if uncertain else DEMO_ROWS)
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / name
        path.write_bytes(data)
        shoot, _ = read_workbook(path)
    result = estimate(shoot)
    spliced, _ = with_results(data, result, name)
    return spliced.data, result
