"""The workbook part: its tabs, its names, and what is added to them."""

from __future__ import annotations

import posixpath
from collections.abc import Collection, Sequence
from dataclasses import dataclass, replace
from xml.sax.saxutils import escape

from costing.workbook.package.addresses import whole
from costing.workbook.package.conformance import STRICT, TRANSITIONAL
from costing.workbook.package.opc import ContentTypes, Package, RelationsPart
from costing.workbook.package.refusals import (
    Refused,
    damaged,
    file_place,
    shared_workbook,
    signed,
    structure_protected,
)
from costing.workbook.package.xmlparts import Document, Element, XmlFault, attribute_text

ORDER = (
    *("fileVersion", "fileSharing", "workbookPr", "workbookProtection", "bookViews", "sheets"),
    *("functionGroups", "externalReferences", "definedNames", "calcPr", "oleSize"),
    *("customWorkbookViews", "pivotCaches", "smartTagPr", "smartTagTypes", "webPublishing"),
    *("fileRecoveryPr", "webPublishObjects", "extLst"),
)
RELATION_IDS = tuple(f"{{{one.relations}}}id" for one in (TRANSITIONAL, STRICT))
"""The attribute that names a relationship, in either class."""
SHEET_CONTENT = "application/vnd.openxmlformats-officedocument.spreadsheetml.worksheet+xml"
STYLES_CONTENT = "application/vnd.openxmlformats-officedocument.spreadsheetml.styles+xml"


@dataclass(slots=True)
class Tab:
    """A sheet as the workbook lists it; ``part`` is ``""`` when its part is missing."""

    title: str
    sheet_id: int
    relation: str
    part: str
    kind: str
    element: Element | None = None

    @property
    def hidden(self) -> bool:
        """Whether it is not shown among the tabs."""
        return self.element is not None and self.element.attributes.get("state", "visible") not in (
            "",
            "visible",
        )


@dataclass(slots=True)
class DefinedName:
    """A defined name; ``tab`` is the position of the sheet it belongs to, None for the workbook."""

    name: str
    tab: int | None
    text: str
    element: Element


class WorkbookPart:
    """The workbook part of a package, with its relationships and content types.

    Raises
    ------
    Refused
        If it is damaged.
    """

    def __init__(self, package: Package) -> None:
        self.package = package
        self.place = file_place(package.name)
        try:
            self.document = Document(package.read(package.workbook))
            self.relations = RelationsPart(package, package.workbook)
            self.types = ContentTypes(package)
        except XmlFault as fault:
            raise Refused(damaged(self.place, f"{fault} in the workbook part")) from None
        self.root = self.document.root
        self.tabs = self._read_tabs()
        self.names = self._read_names()
        properties = self.root.child("workbookPr")
        self.from_1904 = properties is not None and properties.flag("date1904")
        self._new_names: list[str] = []

    def check_may_be_changed(self) -> None:
        """Refuse a workbook that is signed, shared, or protected in its structure.

        Raises
        ------
        Refused
            With the reason.
        """
        kinds = {relation.kind for relation in self.package.relations("")}
        # the relationship by which signatures are found, or the signatures themselves without it
        if "origin" in kinds or any(
            name.lower().startswith("_xmlsignatures/") for name in self.package.names
        ):
            raise Refused(signed(self.place))
        protection = self.root.child("workbookProtection")
        if protection is not None and protection.flag("lockStructure"):
            raise Refused(structure_protected(self.place))
        if any(relation.kind == "revisionHeaders" for relation in self.relations.relations):
            raise Refused(shared_workbook(self.place))

    def _read_tabs(self) -> list[Tab]:
        """The tabs in their order, each with the part it is kept in."""
        by_id = {relation.id: relation for relation in self.relations.relations}
        sheets = self.root.child("sheets")
        if sheets is None:
            raise Refused(damaged(self.place, "a workbook without a list of sheets"))
        tabs = []
        for element in sheets.all("sheet"):
            at = element.attributes
            named = next((at[one] for one in RELATION_IDS if one in at), "")
            relation = by_id.get(named)
            part = self.package.find(relation.target) if relation else None
            tabs.append(
                Tab(
                    at.get("name", ""),
                    whole(at.get("sheetId"), 0),
                    named,
                    part or "",
                    relation.kind if relation else "",
                    element,
                )
            )
        return tabs

    def _read_names(self) -> list[DefinedName]:
        listed = self.root.child("definedNames")
        found = []
        for element in listed.all("definedName") if listed else ():
            tab = whole(element.attributes.get("localSheetId"), -1)
            position = tab if tab >= 0 else None
            found.append(
                DefinedName(element.attributes.get("name", ""), position, element.text, element)
            )
        return found

    def part_of(self, kind: str) -> str | None:
        """The part that the workbook is related to in this way."""
        for relation in self.relations.relations:
            if relation.kind == kind and not relation.external:
                return self.package.find(relation.target)
        return None

    def folder(self, name: str) -> str:
        """A name in the folder of the workbook part."""
        return posixpath.join(posixpath.dirname(self.package.workbook), name)

    def add_tab(self, title: str, part: str) -> int:
        """Add a sheet after the others; its position is given back."""
        relation = self.relations.add("worksheet", part)
        self.types.add(part, SHEET_CONTENT)
        number = max((tab.sheet_id for tab in self.tabs), default=0) + 1
        sheets = self.root.child("sheets")
        assert sheets is not None  # noqa: S101 - a workbook without is refused
        self.document.append(
            sheets,
            f'<{sheets.prefix}sheet name="{attribute_text(title)}" sheetId="{number}" '
            f'xmlns:r="{self.package.conformance.relations}" r:id="{relation}"/>',
        )
        self.tabs.append(Tab(title, number, relation, part, "worksheet"))
        return len(self.tabs) - 1

    def remove_tabs(self, positions: Collection[int]) -> None:
        """Take sheets out of the list, with their names; positions stated elsewhere follow.

        It is called once, before any sheet is added.
        """
        new: dict[int, int] = {}
        for old, tab in enumerate(self.tabs):
            if old not in positions:
                new[old] = len(new)
                continue
            self.relations.remove(tab.relation)
            if tab.element is not None:
                self.document.remove(tab.element)
        for name in self.names:
            if name.tab in positions:
                self.document.remove(name.element)
            elif name.tab is not None and name.tab in new:
                self.document.set_attribute(name.element, "localSheetId", str(new[name.tab]))
        views = self.root.child("bookViews")
        for view in views.all("workbookView") if views else ():
            for key in ("activeTab", "firstSheet"):
                at = whole(view.attributes.get(key), -1)
                if at >= 0:
                    # a view on a sheet that is gone opens the one now in its place
                    moved = new.get(at, min(at, len(new) - 1))
                    self.document.set_attribute(view, key, str(moved))
        self.tabs = [tab for old, tab in enumerate(self.tabs) if old in new]
        self.names = [
            replace(name, tab=None if name.tab is None else new.get(name.tab))
            for name in self.names
            if name.tab not in positions
        ]

    def arrange(self, order: Sequence[int], *, open_first: bool) -> dict[str, bytes]:
        """Put the sheets into another order; names and views follow.

        It is called alone, before anything else is changed.

        Gives the parts of sheets that are no longer, or now, the one that is selected.
        ``order``: positions of all sheets as they are now, in the order they shall have.
        """
        places = [tab.element for tab in self.tabs if tab.element is not None]
        for place, old in zip(places, order, strict=True):
            self.document.replace(place.start, place.end, self.document.raw(places[old]))
        new = {old: number for number, old in enumerate(order)}
        for name in self.names:
            if name.tab in new:
                self.document.set_attribute(name.element, "localSheetId", str(new[name.tab]))
        views = self.root.child("bookViews")
        for view in views.all("workbookView") if views else ():
            active = whole(view.attributes.get("activeTab"), 0)
            opened = 0 if open_first else new.get(active, 0)
            self.document.set_attribute(view, "activeTab", str(opened))
            if open_first:
                self.document.set_attribute(view, "firstSheet", "0")
        self.tabs = [self.tabs[old] for old in order]
        if not open_first:
            return {}
        parts = {tab.part: self._selected(tab, selected=tab is self.tabs[0]) for tab in self.tabs}
        return {part: data for part, data in parts.items() if data is not None}

    def _selected(self, tab: Tab, *, selected: bool) -> bytes | None:
        """The part of a sheet that is selected or not: edits go to every sheet that is."""
        if not tab.part:
            return None
        document = Document(self.package.read(tab.part), skip=("sheetData",))
        views = document.root.child("sheetViews")
        for view in views.all("sheetView") if views else ():
            if view.flag("tabSelected") is not selected:
                document.set_attribute(view, "tabSelected", str(int(selected)))
        changed = document.result()
        return changed if changed != document.original else None

    def add_name(self, name: str, text: str, *, tab: int, hidden: bool) -> None:
        """Add a name that belongs to a sheet."""
        prefix = self.root.prefix
        attributes = f'name="{attribute_text(name)}" localSheetId="{tab}"'
        if hidden:
            attributes += ' hidden="1"'
        self._new_names.append(
            f"<{prefix}definedName {attributes}>{escape(text)}</{prefix}definedName>"
        )

    def set_name(self, name: DefinedName, text: str) -> None:
        """Give a name another content."""
        if name.text != text:
            self.document.replace(name.element.inner, name.element.close, escape(text))

    def drop_calculation_chain(self) -> set[str]:
        """Forget the order of calculation, which programs find again; the parts to leave out."""
        gone = set()
        for relation in self.relations.relations:
            if relation.kind == "calcChain":
                self.relations.remove(relation.id)
                part = self.package.find(relation.target)
                if part is not None:
                    self.types.remove(part)
                    gone.add(part)
        return gone

    def changed_parts(self) -> dict[str, bytes]:
        """The three parts as they are to be written, with the word to calculate on opening."""
        self._write_names()
        self._calculate_on_opening()
        return {
            self.package.workbook: self.document.result(),
            self.relations.name: self.relations.document.result(),
            self.types.name: self.types.document.result(),
        }

    def _write_names(self) -> None:
        inside = "".join(self._new_names)
        self._new_names = []
        listed = self.root.child("definedNames")
        if not inside:
            if listed is not None and not self.names:
                self.document.remove_whole(listed)
            return
        if listed is not None:
            self.document.append(listed, inside)
            return
        tag = f"{self.root.prefix}definedNames"
        xml = f"<{tag}>{inside}</{tag}>"
        self.document.insert(self.root, xml, local="definedNames", order=ORDER)

    def _calculate_on_opening(self) -> None:
        # Excel follows the word; LibreOffice trusts stored values, so stale ones are taken out.
        properties = self.root.child("calcPr")
        if properties is None:
            xml = f'<{self.root.prefix}calcPr fullCalcOnLoad="1"/>'
            self.document.insert(self.root, xml, local="calcPr", order=ORDER)
        elif not properties.flag("fullCalcOnLoad"):
            self.document.set_attribute(properties, "fullCalcOnLoad", "1")
