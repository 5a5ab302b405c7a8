"""How large and how deep a workbook may be before any library opens it."""

from __future__ import annotations

from dataclasses import dataclass

MEGABYTE = 1024 * 1024


@dataclass(frozen=True, slots=True)
class Limits:
    """The most that is let in; the defaults are the limits of the project.

    Parameters
    ----------
    file_bytes : int
        Size of the file. [bytes]
    parts : int
        Number of entries in the package.
    unpacked_bytes : int
        Size of all parts together once unpacked. [bytes]
    ratio : int
        Unpacked size over packed size of a part larger than ``ratio_above``.
    ratio_above : int
        Parts up to this size may be packed as tightly as they like. [bytes]
    depth : int
        How many elements may stand inside each other in an XML part.
    rows, columns : int
        Number of the lowest row and of the rightmost column that hold something.
    cells : int
        Cells of all sheets together, blank ones with a format included.
    merges : int
        Merged ranges of one sheet.
    covered_cells : int
        Cells of one sheet that merged ranges and links cover together.
    """

    file_bytes: int = 50 * MEGABYTE
    parts: int = 20_000
    unpacked_bytes: int = 512 * MEGABYTE
    ratio: int = 250
    ratio_above: int = MEGABYTE
    depth: int = 256
    rows: int = 200_000
    columns: int = 500
    cells: int = 5_000_000
    merges: int = 50_000
    covered_cells: int = 2_000_000


LIMITS = Limits()
