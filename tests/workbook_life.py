"""A workbook in somebody's hands: edited, saved elsewhere, moved about, logged, and run again.

Beside it lives the same workbook without any run, into which only the edits and the log go: what
the library finds in the two must be the same.
"""

from __future__ import annotations

import re
import shutil
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from decimal import Decimal
from fractions import Fraction
from pathlib import Path
from random import Random
from typing import Any

from live_edits import edited_number, number_cells
from live_workbooks import MAKERS
from office import Office, Step
from openpyxl.utils import range_boundaries
from packages import parts_of, sheets_of, zipped
from recalculation import alike, looked_at, with_numbers
from soundness import faults
from told_otherwise import differing, everything

from costing.day.lines import log, undo
from costing.estimating import estimate
from costing.report.estimates import Estimate
from costing.workbook.layout import INPUT_SHEETS, RESULT_TITLES
from costing.workbook.reading import read_workbook
from costing.workbook.results.write import write_results

INPUTS = {sheet.title for sheet in INPUT_SHEETS}
SHEET = re.compile(rb"<sheet [^>]*/>")
MOST_TO_LOG = 12
"""Lines in the log of one life, so that it stays a day."""


def sheets_in_order(data: bytes, order: list[int]) -> bytes:
    """The workbook with its sheets in another order; names that belong to a sheet stay with it."""
    parts = parts_of(data)
    xml = parts["xl/workbook.xml"]
    found = SHEET.findall(xml)
    place = {old: new for new, old in enumerate(order)}
    moved = iter([found[old] for old in order])
    xml = SHEET.sub(lambda _: next(moved), xml)
    xml = re.sub(
        rb'localSheetId="(\d+)"',
        lambda match: b'localSheetId="%d"' % place[int(match[1])],
        xml,
    )
    xml = re.sub(rb' (activeTab|firstSheet)="\d+"', b"", xml)
    xml = xml.replace(b' tabSelected="1"', b"")
    return zipped({**parts, "xl/workbook.xml": xml})


def sheet_renamed(data: bytes, old: str, new: str) -> bytes:
    """The workbook with another name on a sheet, and in all that refers to it."""
    told = {
        f'name="{old}"': f'name="{new}"',
        f"'{old}'!": f"'{new}'!",
        f"&apos;{old}&apos;!": f"&apos;{new}&apos;!",
    }
    parts = {}
    for name, part in parts_of(data).items():
        if name.endswith(".xml") and not name.startswith("xl/tables/"):
            text = part.decode()
            for before, after in told.items():
                if not before.startswith("name") or name == "xl/workbook.xml":
                    text = text.replace(before, after)
            text = re.sub(rf"(?<![\w' ]){re.escape(old)}!", f"'{new}'!", text)
            part = text.encode()
        parts[name] = part
    return zipped(parts)


@dataclass
class Life:
    """A workbook, its twin that no run touches, and how far it has come.

    Parameters
    ----------
    folder : Path
        Where both may lie.
    seed : int
        Of everything that happens.
    name : str
        Which of the workbooks of ``MAKERS``.
    office : Office | None
        Where it is edited now and then as people do.
    """

    folder: Path
    seed: int
    name: str
    office: Office | None = None
    titles: dict[str, str] = field(default_factory=dict)
    done: list[str] = field(default_factory=list)
    logged: int = 0
    standing: int = 0

    def __post_init__(self) -> None:
        """Both workbooks as they are before the first run."""
        self.random = Random(self.seed)  # noqa: S311 - nothing secret depends on it
        self.path, self.twin = (self.folder / who / "plan.xlsx" for who in ("own", "twin"))
        for path in (self.path, self.twin):
            path.parent.mkdir()
            path.write_bytes(MAKERS[self.name]())
        self.at = datetime(2031, 5, 10, 9)

    def __str__(self) -> str:
        """What was done, the last thing last."""
        return "; ".join(self.done)

    def live(self, steps: int) -> None:
        """Run, then so many things at random, each followed by a run.

        Every second of them is done in LibreOffice, where there is one.
        """
        ways: list[Callable[[], str]] = [self.edit, self.move, self.rename, self.log, self.tick]
        self.run()
        for number in range(1, steps + 1):
            if self.office is not None and number % 2 == 0:
                self.done.append(self.edit_in(self.office))
            else:
                self.done.append(self.random.choice(ways)())
            self.run()

    def run(self) -> Estimate:
        """Read, work out, write: what is written is what a fresh estimate of the twin gives."""
        before, ticked = self.path.read_bytes(), self.ticks()
        found = estimate(read_workbook(self.path)[0])
        written = write_results(self.path, found)
        after = self.path.read_bytes()
        assert written.path == self.path, written
        none_wrong(differing(inputs_of(before), inputs_of(after)))
        none_wrong(faults(after, titles=set(looked_at(after).sheetnames) - INPUTS))
        fresh = estimate(read_workbook(self.twin)[0])
        none_wrong(differing(everything(found), everything(fresh)))
        none_wrong(list(self.wrong_cells(after, fresh)))
        lost = {row for row in ticked if row in self.to_buy_rows()} - self.ticks()
        none_wrong([f"the tick of {row}" for row in lost])
        write_results(self.path, estimate(read_workbook(self.path)[0]))
        again = self.path.read_bytes()
        none_wrong([f"{one} after a second run" for one in parts_differing(after, again)])
        return found

    def edit(self) -> str:
        """Another number in an input cell, of both workbooks."""
        cell = self._any_number()
        place = cell.parent.title, cell.coordinate
        number = edited_number(cell, self.random)
        for path in (self.path, self.twin):
            path.write_bytes(with_numbers(path.read_bytes(), {place: number}))
        return f"{place[0]}!{place[1]} is {number}"

    def edit_in(self, office: Office) -> str:
        """LibreOffice opens the workbook, calculates it, edits it as people do, and saves it.

        Numbers and rows go into both workbooks; the twin has no result sheets to move or rename.
        """
        both: list[Step] = []
        for _ in range(self.random.randint(0, 2)):
            cell = self._any_number()
            title, row = cell.parent.title, cell.row
            for step in both:
                if step[:2] == ("insert", title) and int(step[2]) <= row:
                    row += int(step[3])
            if self.random.random() < 0.5:
                both.append(("insert", title, row, self.random.randint(1, 3)))
            else:
                number = edited_number(cell, self.random)
                both.append(("number", title, f"{cell.column_letter}{row}", number))
        own: list[Step] = []
        there = looked_at(self.path.read_bytes()).sheetnames
        if self.random.random() < 0.5:
            own.append(("move", self.random.choice(there), self.random.randint(0, len(there))))
        if self.random.random() < 0.5:
            own.append(("rename", *self._other_title(there)))
        if both:
            self.twin.write_bytes(office.edited(self.twin.read_bytes(), both, calculated=True))
        data = office.edited(self.path.read_bytes(), [*both, *own], calculated=True)
        self.path.write_bytes(data)
        return f"in LibreOffice {[*both, *own]}"

    def _any_number(self) -> Any:
        """An input cell with a number."""
        return self.random.choice(number_cells(looked_at(self.twin.read_bytes())))

    def _other_title(self, there: Sequence[str]) -> tuple[str, str]:
        """The name of a result sheet, and another that it has from now on."""
        ours = [title for title in RESULT_TITLES if self.titles.get(title, title) in there]
        title = self.random.choice(ours)
        old, new = self.titles.get(title, title), f"Ours {len(self.done)}"
        self.titles[title] = new
        return old, new

    def move(self) -> str:
        """All sheets in another order."""
        data = self.path.read_bytes()
        order = list(range(len(looked_at(data).sheetnames)))
        self.random.shuffle(order)
        self.path.write_bytes(sheets_in_order(data, order))
        return f"sheets in the order {order}"

    def rename(self) -> str:
        """Another name on a result sheet."""
        old, new = self._other_title(looked_at(self.path.read_bytes()).sheetnames)
        self.path.write_bytes(sheet_renamed(self.path.read_bytes(), old, new))
        return f"{old} is called {new}"

    def log(self) -> str:
        """A line in the log, or one taken back."""
        shoot, _ = read_workbook(self.path)
        if self.logged >= MOST_TO_LOG:
            return "nothing more to log"
        self.at += timedelta(minutes=self.random.randint(1, 30))
        shots = [shot.name for shot in shoot.shots if shot.name]
        goods = {
            line.ingredient: line.amount.unit
            for line in shoot.lines
            if line.amount and not shoot.is_dish(line.ingredient)
        }
        bowls = [container.name for container in shoot.containers]
        words = [[name, self.random.choice(["taken", "spoiled"])] for name in shots]
        words += [[name, self.random.choice(["out", "back"]), "4 C"] for name in bowls]
        words += [
            [name, "counted", f"{self.random.randint(1, 400)} {unit}"]
            for name, unit in goods.items()
        ]
        chosen = self.random.choice(words)
        if self.standing and self.random.random() < 0.2:
            undo(self.path, [])
            self.standing -= 1
        else:
            log(self.path, chosen, when=f"{self.at:%Y-%m-%d %H:%M}")
            self.logged += 1
            self.standing += 1
        beside = self.path.with_name("plan day log.csv")
        shutil.copy(beside, self.twin.with_name(beside.name))
        return " ".join(chosen)

    def tick(self) -> str:
        """A row of the shopping list is ticked."""
        rows = self.to_buy_rows()
        if not rows:
            return "nothing to tick"
        chosen = self.random.choice(sorted(rows, key=str))
        parts = parts_of(self.path.read_bytes())
        title, row = self.titles.get("To buy", "To buy"), rows[chosen]
        name = sheets_of(parts)[title]
        pattern = rb'<c r="A%d"((?: s="\d+")?)(?: t="\w+")?(?:/>|>.*?</c>)' % row
        mark = rb'<c r="A%d"\1 t="inlineStr"><is><t>x</t></is></c>' % row
        new, count = re.subn(pattern, mark, parts[name], count=1)
        assert count == 1
        self.path.write_bytes(zipped({**parts, name: new}))
        return f"ticked {chosen}"

    def to_buy_rows(self) -> dict[tuple[Any, ...], int]:
        """Rows of the shopping list by what tells them apart, those that it tells apart."""
        return {key: row for key, row, _ in self._listed()}

    def ticks(self) -> set[tuple[Any, ...]]:
        """What is ticked on the shopping list."""
        return {key for key, _, tick in self._listed() if tick}

    def _listed(self) -> list[tuple[tuple[Any, ...], int, Any]]:
        book = looked_at(self.path.read_bytes(), values=True)
        title = self.titles.get("To buy", "To buy")
        if title not in book.sheetnames:
            return []
        sheet = book[title]
        (reference,) = (table.ref for table in sheet.tables.values())
        header, *rows = sheet[reference]
        at = {cell.value: number for number, cell in enumerate(header)}
        told = [
            (
                tuple(row[at[name]].value for name in ("Shop", "Ingredient", "Unit")),
                row[0].row,
                row[at["Got it"]].value,
            )
            for row in rows
        ]
        keys = [key for key, _, _ in told]
        return [one for one in told if keys.count(one[0]) == 1]

    def wrong_cells(self, data: bytes, fresh: Estimate) -> Iterator[str]:
        """Cells of result tables that do not hold what a fresh estimate gives."""
        book = looked_at(data, values=True)
        for table in fresh.tables().values():
            title = self.titles.get(table.layout.title, table.layout.title)
            if not table.rows or title not in book.sheetnames or not book[title].tables:
                if table.rows and table.layout.title not in ("Summary", "Labels"):
                    yield f"no sheet {title}"
                continue
            (reference,) = (one.ref for one in book[title].tables.values())
            left, top, _, _ = range_boundaries(reference)
            assert left is not None
            assert top is not None
            for number, row in enumerate(table.rows, 1):
                for at, column in enumerate(table.layout.columns):
                    cell = book[title].cell(top + number, left + at)
                    value = row[column.key]
                    if not same(cell.value, value):
                        yield f"{title}!{cell.coordinate}: {cell.value!r}, not {value!r}"


def parts_differing(one: bytes, other: bytes) -> list[str]:
    """Names of the parts in which two packages differ."""
    parts, others = parts_of(one), parts_of(other)
    return [name for name in {**parts, **others} if parts.get(name) != others.get(name)]


def none_wrong(found: list[str]) -> None:
    """Nothing is in a list of what is wrong; a failure shows all of it."""
    if found:
        raise AssertionError("\n".join(found[:20]))


def same(shown: Any, value: Any) -> bool:
    """Whether a cell holds what a result does: a number, percent as part of one, or a text."""
    if isinstance(value, bool) or not isinstance(value, (Fraction, Decimal, int, str)):
        return True  # dates and spans of time have tests of their own
    if isinstance(value, str):
        return ("" if shown is None else str(shown)) == value
    number = float(value)
    return alike(shown, number, size=1e4) or alike(shown, number / 100, size=1e2)


def inputs_of(data: bytes) -> dict[tuple[str, str], Any]:
    """Every cell of the sheets that are not ours, with its format."""
    book = looked_at(data)
    return {
        (title, cell.coordinate): (cell.value, cell.number_format)
        for title in book.sheetnames
        if title in INPUTS or title.startswith("Notes")
        for row in book[title].iter_rows()
        for cell in row
        if cell.value is not None
    }
