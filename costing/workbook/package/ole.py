"""What kind of compound (OLE2) file this is: an encrypted package, or a workbook of the 1990s."""

from __future__ import annotations

MAGIC = bytes.fromhex("d0cf11e0a1b11ae1")
ENTRY = 128
"""Length of a directory entry; entries stand at multiples of it. [bytes]"""
NAME_FIELD = 64
"""Length of the name in a directory entry, its end mark included. [bytes]"""


def is_compound_file(data: bytes) -> bool:
    """Whether the file begins like a compound file."""
    return data.startswith(MAGIC)


def has_stream(data: bytes, name: str) -> bool:
    """Whether the directory of a compound file holds a stream of this name.

    A directory entry begins with the name in UTF-16, and tells at byte 64 how long it is.
    """
    wanted = (name + "\0").encode("utf-16-le")
    at = data.find(wanted)
    while at >= 0:
        length = int.from_bytes(data[at + NAME_FIELD : at + NAME_FIELD + 2], "little")
        if at % ENTRY == 0 and length == len(wanted):
            return True
        at = data.find(wanted, at + 1)
    return False


def is_encrypted_package(data: bytes) -> bool:
    """Whether a password is needed to open the package inside."""
    return has_stream(data, "EncryptedPackage")


def is_old_workbook(data: bytes) -> bool:
    """Whether it is a workbook of the format before .xlsx."""
    return has_stream(data, "Workbook") or has_stream(data, "Book")
