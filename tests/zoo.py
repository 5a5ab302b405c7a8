"""Workbooks of many kinds, hand-made or made by other libraries: what people's files look like."""

from __future__ import annotations

import io
import zipfile
from collections.abc import Callable
from functools import cache

import openpyxl
import xlsxwriter
from packages import (
    DECLARATION,
    MACRO_TYPE,
    MAIN,
    OFFICE,
    OPEN,
    PLAIN_TYPES,
    SHEET_1,
    SHEETML,
    STYLES,
    Parts,
    bytes_of,
    parts_of,
    plain,
    relations,
    sheet,
    types,
    with_part,
    workbook_xml,
    zipped,
)

Animal = Callable[[], bytes]
ZOO: dict[str, Animal] = {}


def animal(make: Animal) -> Animal:
    """Put a workbook into the zoo under its function's name."""
    ZOO[make.__name__] = cache(make)
    return make


def prefixed(xml: str) -> str:
    """The same XML with the prefix ``x`` on every element of the main namespace."""
    import re

    body = re.sub(r"<(/?)(\w)", r"<\1x:\2", xml.replace(DECLARATION, ""))
    return DECLARATION + body.replace(f'xmlns="{MAIN}"', f'xmlns:x="{MAIN}"')


@animal
def plain_workbook() -> bytes:
    return zipped(plain())


@animal
def prefix_x() -> bytes:
    parts = plain()
    for name in ("xl/workbook.xml", "xl/styles.xml", "xl/worksheets/sheet1.xml"):
        parts[name] = prefixed(parts[name].decode()).encode()
    return zipped(parts)


@animal
def utf_16() -> bytes:
    parts = plain()
    for name in ("xl/workbook.xml", "xl/styles.xml", "xl/worksheets/sheet1.xml"):
        text = parts[name].decode().replace('encoding="UTF-8"', 'encoding="UTF-16"')
        parts[name] = text.encode("utf-16")
    return zipped(parts)


@animal
def byte_order_mark() -> bytes:
    return zipped({name: b"\xef\xbb\xbf" + content for name, content in plain().items()})


@animal
def latin_1() -> bytes:
    parts = plain()
    text = workbook_xml(("Crème brûlée", "rId1")).decode()
    parts["xl/workbook.xml"] = text.replace("UTF-8", "ISO-8859-1").encode("latin-1")
    return zipped(parts)


@animal
def no_styles() -> bytes:
    parts = plain()
    del parts["xl/styles.xml"]
    kinds = {"/xl/worksheets/sheet1.xml": PLAIN_TYPES["/xl/worksheets/sheet1.xml"]}
    parts["[Content_Types].xml"] = types(kinds)
    parts["xl/_rels/workbook.xml.rels"] = relations(("rId1", "worksheet", "worksheets/sheet1.xml"))
    return zipped(parts)


@animal
def bare_styles() -> bytes:
    parts = plain()
    parts["xl/styles.xml"] = f'<styleSheet xmlns="{MAIN}"><fonts/><cellXfs/></styleSheet>'.encode()
    return zipped(parts)


@animal
def single_quotes_and_comments() -> bytes:
    parts = plain()
    for name in ("xl/workbook.xml", "xl/styles.xml", "xl/_rels/workbook.xml.rels"):
        text = parts[name].decode().replace('"', "'")
        root = text.index("<", text.index("?>"))
        parts[name] = f'{text[:root]}<!-- <sheets> "> -->{text[root:]}'.encode()
    return zipped(parts)


@animal
def pivot_table() -> bytes:
    parts = with_part(
        plain(),
        "xl/pivotCache/pivotCacheDefinition1.xml",
        f'{DECLARATION}<pivotCacheDefinition xmlns="{MAIN}"><cacheSource type="worksheet">'
        '<worksheetSource ref="A1:B2" sheet="Recipes"/></cacheSource>'
        '<cacheFields count="0"/></pivotCacheDefinition>'.encode(),
        f"{SHEETML}.pivotCacheDefinition+xml",
        source="xl/workbook.xml",
        relation="pivotCacheDefinition",
    )
    parts["xl/workbook.xml"] = workbook_xml(
        ("Recipes", "rId1"),
        after='<pivotCaches><pivotCache cacheId="1" r:id="rId3"/></pivotCaches>',
    )
    return zipped(parts)


@animal
def threaded_comments() -> bytes:
    parts = with_part(
        plain(),
        "xl/threadedComments/threadedComment1.xml",
        b'<ThreadedComments xmlns="http://schemas.microsoft.com/office/spreadsheetml/2018/'
        b'threadedcomments"><threadedComment ref="A2" id="{1}"><text>more leek</text>'
        b"</threadedComment></ThreadedComments>",
        "application/vnd.ms-excel.threadedcomments+xml",
        source="xl/worksheets/sheet1.xml",
        relation="http://schemas.microsoft.com/office/2017/10/relationships/threadedComment",
    )
    return zipped(
        with_part(
            parts,
            "xl/persons/person.xml",
            b'<personList xmlns="http://schemas.microsoft.com/office/spreadsheetml/2018/'
            b'threadedcomments"><person displayName="Cook" id="{2}"/></personList>',
            "application/vnd.ms-excel.person+xml",
            source="xl/workbook.xml",
            relation="http://schemas.microsoft.com/office/2017/10/relationships/person",
        )
    )


EXTENSION = (
    '<extLst><ext uri="{%s}" '
    'xmlns:x14="http://schemas.microsoft.com/office/spreadsheetml/2009/9/main">%s</ext></extLst>'
)
FORMULA_SPACE = 'xmlns:xm="http://schemas.microsoft.com/office/excel/2006/main"'


@animal
def sparklines() -> bytes:
    parts = plain()
    inside = (
        f"<x14:sparklineGroups {FORMULA_SPACE}><x14:sparklineGroup><x14:sparklines>"
        "<x14:sparkline><xm:f>Recipes!B2:B9</xm:f><xm:sqref>C2</xm:sqref></x14:sparkline>"
        "</x14:sparklines></x14:sparklineGroup></x14:sparklineGroups>"
    )
    after = EXTENSION % ("05C60535-1F16-4fd2-B633-F4F36F0B64E0", inside)
    parts["xl/worksheets/sheet1.xml"] = sheet(
        '<row r="2"><c r="B2"><v>3</v></c></row>', after=after
    )
    return zipped(parts)


@animal
def validations_on_another_sheet() -> bytes:
    parts = plain()
    inside = (
        f'<x14:dataValidations {FORMULA_SPACE} count="1"><x14:dataValidation type="list">'
        "<x14:formula1><xm:f>Recipes!$A$1:$A$9</xm:f></x14:formula1><xm:sqref>C2:C9</xm:sqref>"
        "</x14:dataValidation></x14:dataValidations>"
    )
    after = EXTENSION % ("CCE6A557-97BC-4b89-ADB6-D9C93CAAB3DF", inside)
    parts["xl/worksheets/sheet1.xml"] = sheet("", after=after)
    return zipped(parts)


@animal
def macros() -> bytes:
    parts = plain()
    parts["[Content_Types].xml"] = types(PLAIN_TYPES, workbook=MACRO_TYPE)
    return zipped(
        with_part(
            parts,
            "xl/vbaProject.bin",
            bytes(range(256)) * 40,
            "application/vnd.ms-office.vbaProject",
            source="xl/workbook.xml",
            relation="http://schemas.microsoft.com/office/2006/relationships/vbaProject",
        )
    )


@animal
def days_from_1904() -> bytes:
    parts = plain()
    parts["xl/workbook.xml"] = workbook_xml(
        ("Recipes", "rId1"), before='<workbookPr date1904="1"/>'
    )
    return zipped(parts)


@animal
def custom_xml() -> bytes:
    return zipped(
        with_part(
            plain(),
            "customXml/item1.xml",
            b"<shoot xmlns='urn:example:shoot'><day>1</day></shoot>",
            "application/xml",
            source="xl/workbook.xml",
            relation="customXml",
        )
    )


@animal
def external_link() -> bytes:
    parts = with_part(
        plain(),
        "xl/externalLinks/externalLink1.xml",
        f'<externalLink xmlns="{MAIN}"><externalBook xmlns:r="{OFFICE}" r:id="rId1">'
        '<sheetNames><sheetName val="Prices"/></sheetNames></externalBook></externalLink>'.encode(),
        f"{SHEETML}.externalLink+xml",
        source="xl/workbook.xml",
        relation="externalLink",
    )
    parts["xl/externalLinks/_rels/externalLink1.xml.rels"] = relations(
        ("rId1", "externalLinkPath", "prices.xlsx"), external=["rId1"]
    )
    parts["xl/workbook.xml"] = workbook_xml(
        ("Recipes", "rId1"),
        after='<externalReferences><externalReference r:id="rId3"/></externalReferences>',
    )
    return zipped(parts)


@animal
def names_of_sheets() -> bytes:
    parts = with_part(
        plain(), "xl/worksheets/sheet2.xml", sheet(""), PLAIN_TYPES["/xl/worksheets/sheet1.xml"],
        source="xl/workbook.xml", relation="worksheet",
    )  # fmt: skip
    parts["xl/workbook.xml"] = workbook_xml(
        ("Recipes", "rId1"),
        ("Cook's list", "rId3"),
        before='<bookViews><workbookView activeTab="1"/></bookViews>',
        after='<definedNames><definedName name="_xlnm.Print_Area" localSheetId="1">'
        "'Cook''s list'!$A$1:$C$9</definedName><definedName name=\"Leek\">Recipes!$B$2"
        '</definedName></definedNames><calcPr calcId="191029" calcMode="manual"/>',
    )
    return zipped(parts)


@animal
def order_of_calculation() -> bytes:
    parts = with_part(
        plain(),
        "xl/calcChain.xml",
        f'<calcChain xmlns="{MAIN}"><c r="B2" i="1"/></calcChain>'.encode(),
        f"{SHEETML}.calcChain+xml",
        source="xl/workbook.xml",
        relation="calcChain",
    )
    parts["xl/worksheets/sheet1.xml"] = sheet('<row r="2"><c r="B2"><f>1+2</f><v>3</v></c></row>')
    return zipped(parts)


@animal
def alternate_content() -> bytes:
    parts = plain()
    choice = (
        '<mc:AlternateContent xmlns:mc="http://schemas.openxmlformats.org/markup-compatibility/2006">'
        '<mc:Choice Requires="x15"><x15ac:absPath url="C:\\shoot\\" xmlns:x15ac="http://schemas.'
        'microsoft.com/office/spreadsheetml/2010/11/ac"/></mc:Choice></mc:AlternateContent>'
    )
    spaces = ' xmlns:x15="http://schemas.microsoft.com/office/spreadsheetml/2010/11/main"'
    parts["xl/workbook.xml"] = workbook_xml(("Recipes", "rId1"), before=choice, attributes=spaces)
    return zipped(parts)


@animal
def chart_sheet() -> bytes:
    book, file = _book()
    page = book.add_worksheet("Prices")
    page.write_column("A1", [1, 2, 3])
    chart = book.add_chart({"type": "line"})
    chart.add_series({"values": "=Prices!$A$1:$A$3"})
    book.add_chartsheet("Picture").set_chart(chart)
    book.close()
    return file.getvalue()


@animal
def hidden_sheets() -> bytes:
    parts = with_part(
        plain(), "xl/worksheets/sheet2.xml", sheet(""), PLAIN_TYPES["/xl/worksheets/sheet1.xml"],
        source="xl/workbook.xml", relation="worksheet",
    )  # fmt: skip
    text = workbook_xml(("Secret", "rId1"), ("Recipes", "rId3")).decode()
    parts["xl/workbook.xml"] = text.replace(
        'name="Secret"', 'name="Secret" state="veryHidden"'
    ).encode()
    return zipped(parts)


@animal
def same_title_and_table_name() -> bytes:
    book, file = _book()
    page = book.add_worksheet("TO BUY")
    page.add_table("A1:B3", {"name": "tToBuy", "columns": [{"header": "a"}, {"header": "b"}]})
    book.define_name("Costs", "='TO BUY'!$A$1:$B$3")
    book.close()
    return file.getvalue()


@animal
def other_folders() -> bytes:
    return zipped(
        {
            "[Content_Types].xml": types(
                {"/Book/Pages/one.xml": PLAIN_TYPES["/xl/worksheets/sheet1.xml"],
                 "/Book/looks.xml": PLAIN_TYPES["/xl/styles.xml"]},
            ).replace(b"/xl/workbook.xml", b"/Book/Book.xml"),
            "_rels/.rels": relations(("R1", "officeDocument", "/book/book.xml")),
            "Book/Book.xml": workbook_xml(("Recipes", "R_9")),
            "Book/_rels/Book.xml.rels": relations(
                ("R_9", "worksheet", "/Book/pages/ONE.xml"), ("rId1", "styles", "/Book/looks.xml")
            ),
            "Book/Pages/one.xml": SHEET_1.encode(),
            "Book/looks.xml": STYLES.encode(),
        }
    )  # fmt: skip


@animal
def xml_declared_as_workbook() -> bytes:
    parts = plain()
    text = (
        types(PLAIN_TYPES)
        .decode()
        .replace(
            'Extension="xml" ContentType="application/xml"',
            f'Extension="xml" ContentType="{SHEETML}.sheet.main+xml"',
        )
    )
    parts["[Content_Types].xml"] = text.encode()
    return zipped(parts)


@animal
def relationships_typed_by_name() -> bytes:
    """No type for what ends in rels, as some programs list each part instead."""
    parts = plain()
    kind = "application/vnd.openxmlformats-package.relationships+xml"
    named = {f"/{name}": kind for name in parts if name.endswith(".rels")}
    default = f'<Default Extension="rels" ContentType="{kind}"/>'.encode()
    parts["[Content_Types].xml"] = types(PLAIN_TYPES | named).replace(default, b"")
    return zipped(parts)


@animal
def packed_as_it_streams() -> bytes:
    """Sizes after the content, extra fields, a folder, a comment, a part that is only stored."""

    class Stream(io.RawIOBase):
        def __init__(self) -> None:
            self.data = bytearray()

        def writable(self) -> bool:
            return True

        def write(self, piece: object) -> int:
            self.data += bytes(piece)  # type: ignore[call-overload]
            return len(bytes(piece))  # type: ignore[call-overload]

    stream = Stream()
    with zipfile.ZipFile(stream, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.comment = b"from a stream"
        archive.writestr(zipfile.ZipInfo("docs/", (2024, 1, 2, 3, 4, 6)), b"")
        for name, content in plain().items():
            info = zipfile.ZipInfo(name, (2024, 1, 2, 3, 4, 6))
            info.compress_type = zipfile.ZIP_DEFLATED
            info.extra = b"\xfe\xca\x00\x00"
            info.comment = b"part"
            info.external_attr = 0o600 << 16
            archive.writestr(info, content)
    return bytes(stream.data)


@animal
def stored_only() -> bytes:
    return zipped(plain(), stored=True)


@animal
def signed_macros_and_drawing() -> bytes:
    parts = with_part(
        parts_of(macros()),
        "xl/drawings/drawing1.xml",
        b'<xdr:wsDr xmlns:xdr="http://schemas.openxmlformats.org/drawingml/2006/'
        b'spreadsheetDrawing"><xdr:absoluteAnchor/></xdr:wsDr>',
        f"{OPEN}.drawing+xml",
        source="xl/worksheets/sheet1.xml",
        relation="drawing",
    )
    parts["xl/worksheets/sheet1.xml"] = sheet("", after='<drawing r:id="rId1"/>')
    parts = with_part(
        parts,
        "xl/vbaProjectSignature.bin",
        b"signature of macros only",
        "application/vnd.ms-office.vbaProjectSignature",
        source="xl/vbaProject.bin",
        relation="http://schemas.microsoft.com/office/2006/relationships/vbaProjectSignature",
    )
    return zipped(parts)


def _book() -> tuple[xlsxwriter.Workbook, io.BytesIO]:
    file = io.BytesIO()
    return xlsxwriter.Workbook(file, {"in_memory": True}), file


@animal
def charts_and_formats() -> bytes:
    book, file = _book()
    page = book.add_worksheet("Prices")
    bold = book.add_format({"bold": True, "bg_color": "#DDE6ED", "num_format": "0.00"})
    page.write_row("A1", ["leek", "cream"], bold)
    page.write_column("A2", [1.5, 2.5, 0.1 + 0.2])
    page.write_formula("B2", "=SUM(A2:A4)", None, 4.3)
    page.conditional_format("A2:A9", {"type": "data_bar"})
    page.data_validation("C2", {"validate": "list", "source": ["yes", "no"]})
    page.write_comment("A2", "from the market")
    chart = book.add_chart({"type": "column"})
    chart.add_series({"values": "=Prices!$A$2:$A$4"})
    page.insert_chart("E2", chart)
    page.insert_textbox("E20", "a note")
    book.close()
    return file.getvalue()


@animal
def written_by_openpyxl() -> bytes:
    book = openpyxl.Workbook()
    page = book.active
    assert page is not None
    page.title = "Recipes"
    page.append(["Dish", "Amount"])
    page.append(["leek tart", "=1/3"])
    page.merge_cells("A4:B4")
    book.create_sheet("Packs & prices")["A1"] = "a < b"
    return bytes_of(book)


def with_titles(*titles: str) -> Parts:
    """A workbook with blank sheets of these titles, to be filled part by part."""
    parts = plain()
    kinds = dict(PLAIN_TYPES)
    targets = [("rIdStyles", "styles", "styles.xml")]
    for number, _ in enumerate(titles, 1):
        name = f"xl/worksheets/sheet{number}.xml"
        kinds[f"/{name}"] = PLAIN_TYPES["/xl/worksheets/sheet1.xml"]
        targets.append((f"rId{number}", "worksheet", f"worksheets/sheet{number}.xml"))
        parts[name] = sheet("")
    parts["[Content_Types].xml"] = types(kinds)
    parts["xl/_rels/workbook.xml.rels"] = relations(*targets)
    parts["xl/workbook.xml"] = workbook_xml(*((t, f"rId{n}") for n, t in enumerate(titles, 1)))
    return parts
