"""XML parts in the encodings that programs write, brought to UTF-8 and back."""

from __future__ import annotations

import re
from dataclasses import dataclass

DECLARED = re.compile(rb"^(<\?xml[^>]*?encoding\s*=\s*[\"'])([A-Za-z0-9._-]+)([\"'])")
ENCODINGS = {
    "utf-8": "utf-8",
    "utf8": "utf-8",
    "us-ascii": "ascii",
    "ascii": "ascii",
    "iso-8859-1": "latin-1",
    "windows-1252": "cp1252",
}
BOMS = (
    (b"\xef\xbb\xbf", "utf-8"),
    (b"\xff\xfe", "utf-16-le"),
    (b"\xfe\xff", "utf-16-be"),
)


class BadXml(Exception):
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
    BadXml
        If the encoding is unknown or the bytes are not in it.
    """
    mark, encoding = next((b for b in BOMS if data.startswith(b[0])), (b"", ""))
    if not mark and data.startswith((b"<\0", b"\0<")):
        encoding = "utf-16-le" if data.startswith(b"<\0") else "utf-16-be"
    if not encoding:
        declared = DECLARED.match(data)
        named = declared.group(2).decode("ascii").lower() if declared else "utf-8"
        encoding = ENCODINGS.get(named, "")
        if not encoding:
            raise BadXml(f"the encoding {named!r}")
    if encoding == "utf-8":
        return Encoded(data[len(mark) :], encoding, mark)
    try:
        return Encoded(data[len(mark) :].decode(encoding).encode("utf-8"), encoding, mark)
    except UnicodeError:
        raise BadXml(f"bytes that are not {encoding}") from None
