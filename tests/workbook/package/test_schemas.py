"""Every part we write is valid by the schemas of the format, as an independent validator has them.

The validator carries the particles of ISO/IEC 29500 as the Open XML SDK publishes them; rules that
these do not hold are in :mod:`soundness` and :mod:`test_program_limits`. What another program wrote
may be at fault before: only new faults count.
"""

from __future__ import annotations

import re
from collections import Counter
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest
from blocks import LINES, summary, to_buy
from live_workbooks import by_hand, run, with_formulas
from openxml_audit import FileFormat, OpenXmlValidator, ValidationSeverity
from packages import PACKAGE, TYPES, Parts, parts_of, tree_of, zipped
from packages_at_random import in_strict, in_transitional, usual
from zoo import ZOO

from costing.workbook.owned.splice import splice
from costing.workbook.template import template_bytes
from costing.workbook.template.adding import add_to_workbook


@cache
def validator() -> OpenXmlValidator:
    """Made once, as it reads its schemas."""
    return OpenXmlValidator(file_format=FileFormat.OFFICE_2016, max_errors=10_000)


@cache
def schema_faults(data: bytes) -> Counter[str]:
    """What the validator, and the two schemas of packages, find fault with, looked for once."""
    with TemporaryDirectory() as folder:
        path = Path(folder) / "plan.xlsx"
        path.write_bytes(data)
        found = validator().validate(path).errors
    # Its warnings are of what a program may write otherwise when it saves, such as texts in cells.
    wrong = [one for one in found if one.severity is ValidationSeverity.ERROR]
    told = Counter(f"{one.part_uri}: {one.description}" for one in wrong)
    return told + Counter(package_faults(parts_of(data)))


def package_faults(parts: Parts) -> list[str]:
    """Faults by the schemas of content types and relationships, ISO/IEC 29500-2 annexes C and D."""
    types = {"Default": {"Extension", "ContentType"}, "Override": {"PartName", "ContentType"}}
    found = _listing("[Content_Types].xml", parts, TYPES, "Types", types)
    said = {"Relationship": {"Id", "Type", "Target"}}
    for name in parts:
        if name.endswith(".rels"):
            found += _listing(name, parts, PACKAGE, "Relationships", said)
            ids = [one.get("Id", "") for one in tree_of(parts[name])]
            found += [f"{name}: {i} twice" for i, n in Counter(ids).items() if n > 1]
            found += [f"{name}: {i!r} is no name" for i in ids if not NCNAME.fullmatch(i)]
    return found


NCNAME = re.compile(r"[^\W\d][\w.-]*")
OPTIONAL = {"TargetMode": {"External", "Internal"}}


def _listing(
    name: str, parts: Parts, space: str, root: str, elements: dict[str, set[str]]
) -> list[str]:
    """A root, and in any order elements of these names with these attributes and nothing inside."""
    top = tree_of(parts[name])
    found = [] if top.tag == f"{{{space}}}{root}" else [f"{name}: root {top.tag}"]
    for one in top:
        wanted = elements.get(one.tag.removeprefix(f"{{{space}}}"))
        said = {key for key in one.attrib if one.get(key) not in OPTIONAL.get(key, ())}
        if wanted is None or said != wanted or len(one) or any(not one.get(k) for k in wanted):
            found.append(f"{name}: {one.tag} {sorted(one.keys())}")
    return found


@pytest.mark.parametrize("name", ["demo", "by hand", "brunch", "two shops"])
def test_results__add_nothing_that_a_schema_forbids(name: str) -> None:
    data, _ = with_formulas(name)
    assert schema_faults(data) - schema_faults(by_hand()) == Counter()


def test_results__charts_drawings_tables_formats_are_among_what_is_judged() -> None:
    parts = parts_of(with_formulas("demo")[0])
    for folder in ("worksheets/", "tables/", "drawings/", "charts/", "styles.xml", "workbook.xml"):
        assert any(name.startswith(f"xl/{folder}") for name in parts)


@pytest.mark.parametrize("name", sorted(ZOO))
def test_splice__adds_nothing_that_a_schema_forbids(name: str) -> None:
    before = ZOO[name]()
    known = schema_faults(before)
    once = splice(before, [to_buy(), summary()]).data
    assert schema_faults(once) - known == Counter()
    again = splice(once, [to_buy(LINES[:1])], remove=["summary"]).data
    assert schema_faults(again) - known == Counter()


def test_strict_workbook__results_add_nothing_that_a_schema_forbids() -> None:
    """Judged with the namespaces and percent signs of Transitional, which the validator knows."""
    known = schema_faults(usual())
    found = schema_faults(in_transitional(run(in_strict(usual()))[0]))
    assert found - known == Counter()


def test_template__is_valid() -> None:
    assert schema_faults(template_bytes(all_sheets=True)) == Counter()


def test_added_rows_and_sheets__add_nothing_that_a_schema_forbids(tmp_path: Path) -> None:
    path = tmp_path / "old.xlsx"
    path.write_bytes(by_hand())
    known = schema_faults(by_hand())
    add_to_workbook(path, {"Shops": [{"Shop": "Corner", "Visit cost": 2}]}, ["Trips", "People"])
    assert schema_faults(path.read_bytes()) - known == Counter()


FAULTS = {
    "an attribute left out": ("xl/tables/table17.xml", rb' id="\d+"', b""),
    "an attribute unknown": ("xl/tables/table17.xml", b"totalsRowShown", b"totalsRowShwn"),
    "columns before the filter": (
        "xl/tables/table17.xml",
        rb"(<autoFilter[^>]*/>)(<tableColumns.*</tableColumns>)",
        rb"\2\1",
    ),
    "columns before the format": (
        "xl/worksheets/sheet18.xml",
        rb"(<sheetFormatPr[^>]*/>)(<cols>.*?</cols>)",
        rb"\2\1",
    ),
    "a cell of no known type": ("xl/worksheets/sheet18.xml", b't="inlineStr"', b't="inline"'),
    "a relationship that is not there": (
        "xl/worksheets/sheet18.xml",
        rb'tablePart r:id="[^"]*"',
        b'tablePart r:id="rId99"',
    ),
    "a word of no list": ("xl/styles.xml", rb'horizontal="\w+"', b'horizontal="centre"'),
    "children of a font turned round": (
        "xl/styles.xml",
        rb"(<sz [^>]*/>)(<color [^>]*/>)",
        rb"\2\1",
    ),
    "children of a series turned round": (
        "xl/charts/chart1.xml",
        rb"(<c:idx [^>]*/>)(<c:order [^>]*/>)",
        rb"\2\1",
    ),
    "an anchor without a corner": ("xl/drawings/drawing1.xml", rb"<xdr:from>.*?</xdr:from>", b""),
    "names behind the calculation": (
        "xl/workbook.xml",
        rb"(<definedNames>.*</definedNames>)(<calcPr[^>]*/>)",
        rb"\2\1",
    ),
    "a type of another attribute": ("[Content_Types].xml", b"PartName=", b"Partname="),
    "a relationship without a type": ("xl/_rels/workbook.xml.rels", rb' Type="[^"]*"', b""),
    "a relationship named by a number": ("xl/_rels/workbook.xml.rels", b'"rId1"', b'"1"'),
}


@pytest.mark.parametrize("fault", sorted(FAULTS))
def test_schema_faults__finds(fault: str) -> None:
    """What is judged can fail: one change to a workbook without fault."""
    parts = parts_of(with_formulas("demo")[0])
    name, old, new = FAULTS[fault]
    changed, count = re.subn(old, new, parts[name], count=1)
    assert count == 1
    assert schema_faults(zipped(parts)) == Counter()
    assert schema_faults(zipped(parts | {name: changed})) != Counter()
