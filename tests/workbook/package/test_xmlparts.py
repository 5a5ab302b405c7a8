"""XML changed by byte ranges: everything else stays as it is."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from costing.workbook.package.xmlparts import Document, XmlFault, decoded, spliced

SPACE = "urn:example:a"
XML = (
    f"<?xml version='1.0'?>\n<!-- <a> --><a xmlns='{SPACE}' xmlns:y='urn:example:b' k = '>'>"
    '<b y:k="1" k="2"/>text<![CDATA[<c>]]><y:c>inner <d></d></y:c ></a>\n<?pi?>'
)


def test_document__knows_where_elements_stand() -> None:
    document = Document(XML.encode())
    a = document.root
    b, c = a.children
    assert document.raw(b) == b'<b y:k="1" k="2"/>'
    assert document.raw(c) == b"<y:c>inner <d></d></y:c >"
    assert document.bytes[c.inner : c.close] == b"inner <d></d>"
    assert (b.empty, c.empty, c.children[0].empty) == (True, False, False)
    assert (c.prefix, c.local, c.namespace) == ("y:", "c", "urn:example:b")
    assert b.attributes == {"{urn:example:b}k": "1", "k": "2"}
    assert (a.text, c.text) == ("text<c>", "inner ")


def test_document__without_edits_gives_the_very_bytes() -> None:
    data = b"\xef\xbb\xbf" + XML.encode()
    assert Document(data).result() is data


def test_document__edits_touch_only_their_ranges() -> None:
    document = Document(XML.encode())
    a = document.root
    b, c = a.children
    document.append(b, "<e/>")
    document.append(a, "<f/>")
    document.append(a, "<g/>")
    document.set_attribute(b, "k", 'a"<')
    document.set_attribute(c, "new", "1")
    document.remove(c.children[0])
    expected = (
        XML.replace('k="2"/>', 'k="a&quot;&lt;"><e/></b>')
        .replace("<y:c>", '<y:c new="1">')
        .replace("<d></d>", "")
        .replace("</a>", "<f/><g/></a>")
    )
    assert document.result().decode() == expected


def test_document__attribute_that_is_right_is_left() -> None:
    data = b"<a k='1'/>"
    document = Document(data)
    document.set_attribute(document.root, "k", "1")
    assert document.result() is data


@pytest.mark.parametrize(
    ("children", "expected"),
    [
        ("<one/><three/>", "<one/><two/><three/>"),
        ("<one/>", "<one/><two/>"),
        ("<three/>", "<two/><three/>"),
        ("", "<two/>"),
        ("<other/><three/>", "<other/><two/><three/>"),
    ],
)
def test_document__insert_follows_the_order_of_the_schema(children: str, expected: str) -> None:
    document = Document(f"<a>{children}</a>".encode())
    document.insert(document.root, "<two/>", local="two", order=("one", "two", "three"))
    assert document.result().decode() == f"<a>{expected}</a>"


def test_document__remove_whole_forgets_the_edits_inside() -> None:
    document = Document(b"<a><b><c k='1'/></b><d/></a>")
    b = document.root.children[0]
    document.set_attribute(b.children[0], "k", "2")
    document.append(b, "<e/>")
    document.remove_whole(b)
    assert document.result() == b"<a><d/></a>"


def test_document__skip_leaves_the_content_of_an_element_unread() -> None:
    document = Document(b"<a><rows><r><c/></r></rows><d/></a>", skip={"rows"})
    rows, d = document.root.children
    assert (rows.children, d.local) == ([], "d")
    assert document.bytes[rows.inner : rows.close] == b"<r><c/></r>"


@pytest.mark.parametrize("encoding", ["utf-8", "utf-16", "utf-16-le", "utf-16-be"])
def test_document__encodings_come_back(encoding: str) -> None:
    name = encoding.upper().replace("-LE", "").replace("-BE", "")
    text = f'<?xml version="1.0" encoding="{name}"?><a>né</a>'
    document = Document(text.encode(encoding))
    document.append(document.root, "<b>œ</b>")
    assert document.result().decode(encoding) == text.replace("</a>", "<b>œ</b></a>")


def test_document__encoding_of_one_byte_a_sign() -> None:
    document = Document('<?xml version="1.0" encoding="windows-1250"?><a>č</a>'.encode("cp1250"))
    assert document.root.text == "č"
    document.append(document.root, "<b>ž</b>")
    assert "<a>č<b>ž</b></a>" in document.result().decode("cp1250")


def test_document__sign_that_the_encoding_lacks_is_written_as_a_number() -> None:
    text = '<?xml version="1.0" encoding="ISO-8859-1"?><a>n\u00e9</a>'
    document = Document(text.encode("latin-1"))
    document.append(document.root, "<b>œ</b>")
    assert document.result().decode("latin-1").endswith("<a>n\u00e9<b>&#339;</b></a>")


@pytest.mark.parametrize(
    ("data", "words"),
    [
        (b"<a>", "broken XML"),
        (b"<!DOCTYPE a><a/>", "a document type declaration"),
        (b'<?xml version="1.0" encoding="EBCDIC"?><a/>', "the encoding 'ebcdic'"),
        (b'<?xml version="1.0" encoding="UTF-16"?><a/>', "the encoding 'utf-16'"),
        (b'<?xml version="1.0" encoding="US-ASCII"?><a>\xe9</a>', "bytes that are not ascii"),
    ],
)
def test_document__what_is_no_xml(data: bytes, words: str) -> None:
    with pytest.raises(XmlFault, match=words):
        Document(data)


def test_decoded__bytes_without_a_mark_that_are_two_to_a_sign() -> None:
    assert decoded("<a/>".encode("utf-16-be")).text == b"<a/>"


def test_spliced__ranges_may_touch_and_not_overlap() -> None:
    assert spliced(b"abc", [(1, 2, b""), (1, 1, b"x"), (2, 2, b"y")]) == b"axyc"
    with pytest.raises(ValueError, match="two edits overlap at byte 1"):
        spliced(b"abc", [(0, 2, b""), (1, 3, b"")])


@given(st.binary(max_size=40), st.lists(st.tuples(st.integers(0, 40), st.binary(max_size=3))))
def test_spliced__insertions_keep_every_byte_of_the_old(
    data: bytes, inserted: list[tuple[int, bytes]]
) -> None:
    edits = [(min(at, len(data)), min(at, len(data)), new) for at, new in inserted]
    result = spliced(data, edits)
    assert len(result) == len(data) + sum(len(new) for _, _, new in edits)
    if not any(new for _, _, new in edits):
        assert result == data
