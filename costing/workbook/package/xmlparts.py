"""An XML part with the byte offset of every element: changed in places, never rewritten.

A part is parsed, edits are noted as byte ranges, and :meth:`Document.result` gives the old bytes
with only those ranges replaced. Prefixes, blanks, comments and unknown elements stay as they were.
"""

from __future__ import annotations

import re
import xml.parsers.expat as expat
from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass, field
from xml.sax.saxutils import escape

DECLARED = re.compile(rb"^(<\?xml[^>]*?encoding\s*=\s*[\"'])([A-Za-z0-9._-]+)([\"'])")
ENCODINGS = {
    "utf-8": "utf-8",
    "utf8": "utf-8",
    "us-ascii": "ascii",
    "ascii": "ascii",
    "iso-8859-1": "latin-1",
    "windows-1252": "cp1252",
}
EIGHT_BITS = re.compile(r"iso-8859-\d{1,2}|windows-125\d|koi8-[ru]")
"""Other encodings of one byte a sign, which Python knows by the same names."""
BOMS = (
    (b"\xef\xbb\xbf", "utf-8"),
    (b"\xff\xfe", "utf-16-le"),
    (b"\xfe\xff", "utf-16-be"),
)


class XmlFault(Exception):
    """A part is not well-formed, or in an encoding that is not read."""


@dataclass(frozen=True, slots=True)
class Encoded:
    """A part in UTF-8, and how to get back to the encoding it came in."""

    text: bytes
    encoding: str
    mark: bytes

    def back(self, text: bytes) -> bytes:
        """Changed text in the encoding of the part."""
        if self.encoding != "utf-8":
            text = text.decode("utf-8").encode(self.encoding, "xmlcharrefreplace")
        return self.mark + text


def decoded(data: bytes) -> Encoded:
    """The part in UTF-8.

    Raises
    ------
    XmlFault
        If the encoding is unknown or the bytes are not in it.
    """
    mark, encoding = next((b for b in BOMS if data.startswith(b[0])), (b"", ""))
    # UTF-16 without a byte order mark: not lawful, and read all the same.
    if not mark and data.startswith((b"<\0", b"\0<")):
        encoding = "utf-16-le" if data.startswith(b"<\0") else "utf-16-be"
    if not encoding:
        declared = DECLARED.match(data)
        named = declared.group(2).decode("ascii").lower() if declared else "utf-8"
        encoding = ENCODINGS.get(named) or (named if EIGHT_BITS.fullmatch(named) else "")
        if not encoding:
            raise XmlFault(f"the encoding {named!r}")
    if encoding == "utf-8":
        return Encoded(data[len(mark) :], encoding, mark)
    try:
        return Encoded(data[len(mark) :].decode(encoding).encode("utf-8"), encoding, mark)
    except (UnicodeError, LookupError):
        raise XmlFault(f"bytes that are not {encoding}") from None


SEPARATOR = "\x1f"
"""Stands between namespace and name; no XML text can hold it."""
COMPATIBILITY = "http://schemas.openxmlformats.org/markup-compatibility/2006"
"""Namespace of what a program may pass over, and with what instead."""

TAG = re.compile(rb"<[^\s/>\"']+(?:\"[^\"]*\"|'[^']*'|[^>\"'])*>")
ATTRIBUTE = re.compile(rb"\s([^\s=/>\"']+)\s*=\s*(\"[^\"]*\"|'[^']*')")


@dataclass(slots=True)
class Element:
    """An element and where it is.

    Parameters
    ----------
    tag : str
        Name as written, prefix included.
    local, namespace : str
        Name without prefix, and the namespace it is in.
    attributes : dict of str to str
        Plain names, or ``{namespace}name``.
    start, inner, close, end : int
        Offsets of ``<``, of the content, of the end tag, and after it. Without content of any
        kind (``<a/>``) the last three are equal.
    """

    tag: str
    local: str
    namespace: str
    attributes: dict[str, str]
    start: int
    inner: int
    close: int = field(init=False)
    end: int = field(init=False)
    children: list[Element] = field(default_factory=list)
    text: str = ""

    @property
    def prefix(self) -> str:
        """The prefix with its colon, ``""`` without one."""
        return self.tag[: -len(self.local)]

    @property
    def empty(self) -> bool:
        """Whether it is written as one tag, ``<a/>``."""
        return self.inner == self.end

    @property
    def entries(self) -> Iterator[Element]:
        """The children as a program sees them that knows no extension.

        Of alternatives it takes the fallback (ISO/IEC 29500-3, 7.5); some office programs list
        fonts and cell formats so.
        """
        for child in self.children:
            if child.namespace == COMPATIBILITY and child.local == "AlternateContent":
                for other in child.all("Fallback"):
                    yield from other.entries
            else:
                yield child

    def child(self, local: str) -> Element | None:
        """The first child of this name in the same namespace."""
        return next(self.all(local), None)

    def all(self, local: str) -> Iterator[Element]:
        """The children of this name in the same namespace."""
        return (c for c in self.children if c.local == local and c.namespace == self.namespace)

    def flag(self, name: str, *, default: bool = False) -> bool:
        """A yes-or-no attribute."""
        value = self.attributes.get(name)
        return default if value is None else says_yes(value)


def says_yes(value: str) -> bool:
    """Whether an attribute of yes or no says yes."""
    return value.strip().lower() in ("1", "true", "on")


def attribute_text(value: str) -> str:
    """A text as it is between double quotes.

    Examples
    --------
    >>> attribute_text('salt & "pepper"')
    'salt &amp; &quot;pepper&quot;'
    """
    return escape(value, {'"': "&quot;", "\n": "&#10;", "\t": "&#9;", "\r": "&#13;"})


class Document:
    """One XML part, its elements, and the edits noted so far.

    ``skip``: local names of elements whose content is passed over (rows of a large sheet).

    Raises
    ------
    XmlFault
        If it is not well-formed or begins with a document type.
    """

    def __init__(self, data: bytes, *, skip: Collection[str] = ()) -> None:
        self.original = data
        self.encoded = decoded(data)
        self.bytes = self.encoded.text
        self._edits: list[tuple[int, int, bytes]] = []
        self._appended: dict[int, tuple[Element, list[str]]] = {}
        self.root = self._parsed(skip)

    def _parsed(self, skip: Collection[str]) -> Element:
        """The tree of elements with their byte offsets."""
        parser = expat.ParserCreate("utf-8", SEPARATOR)
        parser.namespace_prefixes = True
        open_elements: list[Element] = []
        roots: list[Element] = []
        passed_over = 0

        def start(name: str, attributes: dict[str, str]) -> None:
            nonlocal passed_over
            if passed_over or (open_elements and open_elements[-1].local in skip):
                passed_over += 1
                return
            local, namespace, tag = _names(name)
            at = parser.CurrentByteIndex
            plain = {_attribute_name(key): value for key, value in attributes.items()}
            found = TAG.match(self.bytes, at)
            if found is None:
                raise XmlFault(f"a tag that cannot be read at byte {at}")
            element = Element(tag, local, namespace, plain, at, found.end())
            (open_elements[-1].children if open_elements else roots).append(element)
            open_elements.append(element)

        def end(_: str) -> None:
            nonlocal passed_over
            if passed_over:
                passed_over -= 1
                return
            element = open_elements.pop()
            if self.bytes[element.inner - 2 : element.inner] == b"/>":
                element.close = element.end = element.inner
            else:
                element.close = parser.CurrentByteIndex
                element.end = self.bytes.index(b">", element.close) + 1

        def text(piece: str) -> None:
            if not passed_over:
                open_elements[-1].text += piece

        def doctype(*_: object) -> None:
            raise XmlFault("a document type declaration")

        parser.StartElementHandler = start
        parser.EndElementHandler = end
        parser.CharacterDataHandler = text
        parser.StartDoctypeDeclHandler = doctype
        try:
            parser.Parse(self.bytes, True)
        except expat.ExpatError as fault:
            raise XmlFault(f"broken XML ({fault})") from None
        return roots[0]

    def raw(self, element: Element) -> bytes:
        """The bytes of an element as they are."""
        return self.bytes[element.start : element.end]

    def replace(self, start: int, end: int, new: str | bytes) -> None:
        """Put ``new`` in the place of a byte range."""
        self._edits.append((start, end, new if isinstance(new, bytes) else new.encode()))

    def remove(self, element: Element) -> None:
        """Take an element out."""
        self.replace(element.start, element.end, b"")

    def remove_whole(self, element: Element) -> None:
        """Take an element out together with every edit noted inside it."""
        self._edits = [e for e in self._edits if not element.start <= e[0] < element.end]
        self._appended.pop(id(element), None)
        self.remove(element)

    def set_attribute(self, element: Element, name: str, value: str) -> None:
        """Give an attribute a value; nothing is noted when it has it already."""
        if element.attributes.get(name) == value:
            return
        written = f'"{attribute_text(value)}"'
        for found in ATTRIBUTE.finditer(self.bytes, element.start, element.inner):
            if found.group(1) == name.encode():
                self.replace(found.start(2), found.end(2), written)
                return
        at = element.start + 1 + len(element.tag.encode())
        self.replace(at, at, f" {name}={written}")

    def append(self, parent: Element, xml: str) -> None:
        """Put XML after the last child of ``parent``."""
        self._appended.setdefault(id(parent), (parent, []))[1].append(xml)

    def insert(self, parent: Element, xml: str, *, local: str, order: Sequence[str]) -> None:
        """Put a child named ``local`` where the schema's ``order`` of the children wants it."""
        later = order[order.index(local) + 1 :]
        for child in parent.children:
            if child.namespace == parent.namespace and child.local in later:
                self.replace(child.start, child.start, xml)
                return
        self.append(parent, xml)

    def result(self) -> bytes:
        """The part with its edits, in the encoding it came in; the very same bytes without any."""
        edits = list(self._edits)
        for parent, pieces in self._appended.values():
            xml = "".join(pieces)
            if parent.empty:
                at = self.bytes.rindex(b"/", parent.start, parent.inner)
                edits.append((at, parent.inner, f">{xml}</{parent.tag}>".encode()))
            else:
                edits.append((parent.close, parent.close, xml.encode()))
        if not edits:
            return self.original
        return self.encoded.back(spliced(self.bytes, edits))


def spliced(data: bytes, edits: list[tuple[int, int, bytes]]) -> bytes:
    """The bytes with ranges replaced; edits at one place stay in the order they were noted.

    Raises
    ------
    ValueError
        If two ranges overlap.

    Examples
    --------
    >>> spliced(b"salt, pepper", [(0, 4, b"sugar"), (12, 12, b", thyme")])
    b'sugar, pepper, thyme'
    """
    pieces, at = [], 0
    for start, end, new in sorted(edits, key=lambda edit: edit[:2]):
        if start < at:
            raise ValueError(f"two edits overlap at byte {start}")
        pieces += [data[at:start], new]
        at = end
    return b"".join([*pieces, data[at:]])


def _names(name: str) -> tuple[str, str, str]:
    """Local name, namespace and name as written, from expat's triplet."""
    parts = name.split(SEPARATOR)
    if len(parts) == 1:
        return name, "", name
    namespace, local = parts[0], parts[1]
    return local, namespace, f"{parts[2]}:{local}" if len(parts) > 2 else local


def _attribute_name(name: str) -> str:
    parts = name.split(SEPARATOR)
    return name if len(parts) == 1 else f"{{{parts[0]}}}{parts[1]}"
