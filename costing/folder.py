"""What to do next in the folder that one stands in."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from costing.asked import typed, workbooks_in
from costing.listing import row_words
from costing.shoot import Shoot
from costing.workbook.owned.splice import opened
from costing.workbook.package.refusals import Refused
from costing.workbook.reading import read_workbook

RECIPES = (".txt", ".json", ".jsonld")
RESULT = "to_buy"
"""Mark of the result sheet that says that a workbook was worked out before."""


def next_steps(folder: Path) -> Iterator[str]:
    """Lines that say what stands in a folder and which command comes next.

    Parameters
    ----------
    folder : Path
        Where one stands.
    """
    books = workbooks_in(folder)
    if not books:
        yield from _begin(folder)
    elif len(books) > 1:
        newest = max(books, key=lambda path: path.stat().st_mtime)
        yield f"This folder holds {len(books)} workbooks; the one saved last is {newest.name}."
        yield from _go_on(newest)
    else:
        yield f"This folder holds {books[0].name}."
        yield from _go_on(books[0])


def _begin(folder: Path) -> Iterator[str]:
    """Without a workbook: from a recipe that stands there, or from the demo."""
    yield "No workbook stands in this folder yet."
    texts = sorted(path for path in folder.iterdir() if path.suffix.casefold() in RECIPES)
    if texts:
        name, recipe = typed(Path(f"{texts[0].stem}.xlsx")), typed(Path(texts[0].name))
        yield f"From a recipe that is here: costing new {name} --recipe {recipe}"
    else:
        yield "From a recipe as plain text: costing new tart.xlsx --recipe tart.txt"
    yield "A workbook to fill in:       costing new plan.xlsx"
    yield "A whole shoot to look at:    costing demo demo"


def _go_on(path: Path) -> Iterator[str]:
    """With a workbook: what it lacks first, else the answers it can give."""
    name = typed(Path(path.name))
    try:
        shoot, findings = read_workbook(path)
        worked_out = _worked_out(path)
    except Refused as refused:
        yield f"It cannot be read: {refused.finding}"
        return
    errors = sum(finding.grade == "error" and bool(finding.place.row) for finding in findings)
    if errors:
        yield f"{errors} error{'s' if errors > 1 else ''} to mend:             costing check {name}"
    yield from _lacking(shoot)
    if not worked_out:
        yield f"Work it out:                 costing estimate {name}"
        return
    yield f"After a change:              costing estimate {name}"
    yield f"For the shop:                costing list {name} --html"
    yield f"Why the list is as it is:    costing why {name}"
    if shoot.containers:
        yield f"Bowls that are out:          costing holding {name}"


def _worked_out(path: Path) -> bool:
    """Whether results stand in it."""
    try:
        with opened(path.read_bytes(), name=path.name) as tabs:
            return RESULT in tabs.own
    except Refused:  # it may be read and not written into: the results are then beside it
        return path.with_name(f"{path.stem} results.xlsx").exists()


def _lacking(shoot: Shoot) -> Iterator[str]:
    """What is still to be filled in, in the order of the work."""
    if not any(line.ingredient for line in shoot.lines):
        yield "Still to fill in: Recipes, a row for each ingredient of each step."
        return
    if not shoot.shots:
        yield "Still to fill in: Shoot plan, a row for each use of food."
    if shoot.waiting_packs:
        rows = row_words([row.number for row in shoot.waiting_packs if row.number])
        yield f"Still to fill in: Packs, {rows}: Amount, Unit and Price."
