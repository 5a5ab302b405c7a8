"""Charts of a result sheet that come when there is something to show, and go when there is not.

A chart that is there is the person's, to move and to restyle; one the person deleted stays away. A
chart without anything to show is taken out rather than hidden: LibreOffice shows what is hidden
after it saved, and puts numbers in the place of references to rows that are all hidden. What was
done to it goes with it, as programs write charts anew when they save: nobody can tell what in them
is the person's.

A copy of a chart has the same name. Ours is the first of two alike, and none of them while ours is
away or deleted.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Sequence
from functools import cached_property

from costing.workbook.package.carrying import Carrier
from costing.workbook.package.cells import ResultSheet
from costing.workbook.package.frames import (
    DRAWING_CONTENT,
    EMPTY_DRAWING,
    Cells,
    Frame,
    frames,
    free_number,
    pointed,
    put_back,
    referred,
    ways_back,
)
from costing.workbook.package.offsets import Document
from costing.workbook.package.parts import Package, relations_name
from costing.workbook.package.relations import ContentTypes, RelationsPart

DRAWN, DELETED, AWAY = "d", "x", "-"
"""What a mark says of a chart: it is there, the person deleted it, it had nothing to show."""


def states(sheet: ResultSheet) -> str:
    """What the mark of a new sheet says of its charts."""
    return "".join(DRAWN if wanted else AWAY for wanted in sheet.charts.values())


class Charting:
    """The work on the charts of one sheet of ours.

    Parameters
    ----------
    package : Package
        The workbook.
    sheet : ResultSheet
        What is to be written.
    title : str
        Of its tab.
    new_part : callable
        Gives a free part name from a folder, a stem and an ending.
    types : ContentTypes
        Of the workbook.
    """

    def __init__(
        self,
        package: Package,
        sheet: ResultSheet,
        title: str,
        *,
        new_part: Callable[[str, str, str], str],
        types: ContentTypes,
    ) -> None:
        self.package, self.sheet, self.title = package, sheet, title
        self.new_part, self.types = new_part, types
        self.changed: dict[str, bytes] = {}
        self.gone: set[str] = set()

    @cached_property
    def _carrier(self) -> Carrier:
        if self.sheet.drawing_from is None:
            raise ValueError(f"nothing to take the charts of {self.sheet.mark!r} from")
        return Carrier(self.sheet.drawing_from(), new_part=self.new_part, types=self.types)

    def drawing(self) -> str:
        """The drawing of a new sheet: its part."""
        part = self._carrier.drawing(self.title)
        self.changed |= self._carrier.parts
        return part

    def come_and_go(
        self, relations: RelationsPart, said: str, *, moved: int = 0
    ) -> tuple[str, str]:
        """Draw and take out charts on a sheet that is there.

        Parameters
        ----------
        relations : RelationsPart
            Of the sheet.
        said : str
            What its mark says of the charts.
        moved : int
            Rows by which the block stood lower than it is written now: charts that moved with it
            follow it back.

        Returns
        -------
        str
            What the mark is to say.
        str
            Name of the relation to a drawing that is new, ``""`` when none is.
        """
        listed = [one.target for one in relations.relations if one.kind == "drawing"]
        part = self.package.find(listed[0]) if listed else None
        document = Document(self.package.read(part) if part else EMPTY_DRAWING)
        named = frames(document.root)
        wanted = self.sheet.charts
        without = {n for n, before in zip(wanted, said, strict=False) if before in (AWAY, DELETED)}
        there = {name: frame for name, frame in named.items() if name not in without}
        now = self._states(said, there)
        new = [n for n, s in zip(wanted, now, strict=True) if s == DRAWN and n not in there]
        old = [n for n, s in zip(wanted, now, strict=True) if s == AWAY and n in there]
        if not new and not old and not (moved and there):
            return now, ""
        identity = ""
        if part is None:
            part = self.new_part("drawings", "drawing", "xml")
            self.types.add(part, DRAWING_CONTENT)
            identity = relations.add("drawing", part)
        of_drawing = RelationsPart(self.package, part)
        if old:
            self._take_out(document, of_drawing, [there[name] for name in old])
        if moved:
            self._follow(document, of_drawing, there, moved)
        number = free_number(document.root)
        for at, name in enumerate(new):
            chart, anchor = self._carrier.chart(self.title, name)
            xml = anchor(of_drawing.add("chart", chart), number + at)
            if name in named:
                document.replace(named[name].anchor.start, named[name].anchor.start, xml)
            else:
                document.append(document.root, xml)
        if new:
            self.changed |= self._carrier.parts
        self.changed |= {part: document.result(), of_drawing.name: of_drawing.document.result()}
        return now, identity

    def _states(self, said: str, there: dict[str, Frame]) -> str:
        """What becomes of each chart; a mark that says nothing knows of none deleted."""
        now = ""
        for number, (name, wanted) in enumerate(self.sheet.charts.items()):
            before = said[number : number + 1]
            if before == DELETED or (before == DRAWN and name not in there):
                now += DELETED
            else:
                now += DRAWN if wanted else AWAY
        return now

    def _follow(
        self, document: Document, relations: RelationsPart, there: dict[str, Frame], moved: int
    ) -> None:
        """Let our charts show the cells again that they were made for, and lie over them.

        A spreadsheet program shifts both when rows are put in above; the block is then written
        where it always is.
        """
        fresh_part = self._carrier.source_drawing(self.title)
        source = self._carrier.source
        fresh = frames(Document(source.read(fresh_part)).root)
        made = {one.id: one.target for one in source.relations(fresh_part)}
        parts = {one.id: self.package.find(one.target) for one in relations.relations}
        going = [name for name, wanted in self.sheet.charts.items() if not wanted]
        meant: dict[Cells, str] = {}
        ours: dict[str, bytes] = {}
        for name in sorted(fresh.keys() & there.keys() - set(going)):
            put_back(document, there[name], fresh[name], moved)
            part = parts.get(there[name].identity)
            if part is not None:
                ours[part] = self.package.read(part)
                meant |= referred(source.read(made[fresh[name].identity]))
        found = {cells for chart in ours.values() for cells in referred(chart)}
        back = ways_back(meant, found, moved)
        for part, chart in ours.items():
            after = pointed(chart, back)
            if after != chart:
                self.changed[part] = after

    def _take_out(self, document: Document, relations: RelationsPart, old: Sequence[Frame]) -> None:
        """Take charts out, with the parts that nothing else leads to."""
        identities = {frame.identity for frame in old}
        for frame in old:
            document.remove(frame.anchor)
        for identity in identities:
            relations.remove(identity)
        without = {(relations.source, identity) for identity in identities}
        for part in reached(self.package) - reached(self.package, without=without):
            self.types.remove(part)
            self.gone |= {part, self.package.find(relations_name(part)) or part}


def reached(package: Package, *, without: Collection[tuple[str, str]] = ()) -> set[str]:
    """Parts that relationships lead to, from the package on, ``""``.

    Parameters
    ----------
    package : Package
        The workbook.
    without : collection of tuple
        Parts and names of relationships of theirs that are not followed.
    """
    found: set[str] = set()
    waiting = [""]
    while waiting:
        part = waiting.pop()
        if part in found:
            continue
        found.add(part)
        for one in package.relations(part):
            target = None if one.external else package.find(one.target)
            if target is not None and (part, one.id) not in without:
                waiting.append(target)
    return found
