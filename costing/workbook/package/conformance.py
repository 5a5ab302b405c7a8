"""The two conformance classes of the format: the same elements in other namespaces.

Nearly all programs write Transitional; a few people save as Strict. A workbook is read and written
in its own class.

Notes
-----
ISO/IEC 29500-1 (Strict) and 29500-4 (Transitional), annexes A: the namespaces of the schemas.
"""

from __future__ import annotations

import re
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Conformance:
    """A conformance class by its namespaces.

    Parameters
    ----------
    main : str
        Of the elements of workbooks and sheets.
    relations : str
        Of attributes that name a relationship, and the beginning of the relationships' types.
    """

    main: str
    relations: str


TRANSITIONAL = Conformance(
    "http://schemas.openxmlformats.org/spreadsheetml/2006/main",
    "http://schemas.openxmlformats.org/officeDocument/2006/relationships",
)
STRICT = Conformance(
    "http://purl.oclc.org/ooxml/spreadsheetml/main",
    "http://purl.oclc.org/ooxml/officeDocument/relationships",
)
MAIN = TRANSITIONAL.main
MAIN_SPACES = (f"{TRANSITIONAL.main} ", f"{STRICT.main} ")
"""What a parser puts before the names of elements that are rows and cells."""

TO_STRICT = re.compile(
    rb"http://schemas\.openxmlformats\.org/(spreadsheetml|drawingml|officeDocument)/2006/(?=\w)"
)
PERCENT = re.compile(rb"(<\w+:(?:gapWidth|overlap) val=\"-?\d+)(?=\")")
"""Parts of a hundred in a chart, which Strict writes with their sign."""


def local_name(name: str) -> str:
    """The name of an element of workbooks and sheets as a parser gives it, without its namespace.

    Examples
    --------
    >>> local_name(f"{STRICT.main} row"), local_name("urn:example row")
    ('row', 'urn:example row')
    """
    for space in MAIN_SPACES:
        if name.startswith(space):
            return name[len(space) :]
    return name


def as_strict(part: bytes) -> bytes:
    """A part that was made in Transitional, in Strict: ours has nothing that Strict lacks."""
    return PERCENT.sub(rb"\1%", TO_STRICT.sub(rb"http://purl.oclc.org/ooxml/\1/", part))
