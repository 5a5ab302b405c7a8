"""The entries of a zip file, copied from file to file without being unpacked.

The directory is read by :mod:`zipfile`; the packed bytes are taken as they are. What is written
depends on the entries alone, so that the same workbook always gives the same bytes.
"""

from __future__ import annotations

import io
import struct
import zipfile
import zlib
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from itertools import pairwise

STORED, DEFLATED = zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED
LOCAL = struct.Struct("<4sHHHHHLLLHH")
CENTRAL = struct.Struct("<4sHHHHHHLLLHHHHHLL")
END = struct.Struct("<4sHHHHLLH")
DESCRIPTOR, UTF8_NAME = 0x8, 0x800
"""Bits of an entry's flags: its sizes are behind it; its name is in UTF-8, and else in cp437."""
ZIP64_FIELD = 0x0001
VERSION = 20
"""2.0 of the format, the first that unpacks what is deflated: no program needs a newer one."""
NO_DATE, NO_TIME = 0x0021, 0
"""1 January 1980, the first day a zip file knows; parts of our own carry it."""
CHUNK = 256 * 1024
"""So much is unpacked before it is looked at whether it is too much. [bytes]"""
LEVEL = 6
"""As other programs pack: higher ones take much longer for a few bytes in a hundred."""


class ZipFault(Exception):
    """The zip file is broken; the text says how."""


@dataclass(frozen=True, slots=True)
class Member:
    """One entry as it is in the zip file.

    Parameters
    ----------
    packed : bytes
        The bytes as they are in the file, packed by ``method``.
    size : int
        Size once unpacked, as the directory says. [bytes]
    crc : int
        CRC-32 of the unpacked bytes, as the directory says.
    """

    name: str
    packed: bytes
    size: int
    crc: int
    method: int
    flags: int
    date: int
    time: int
    made_by: int = VERSION
    internal: int = 0
    external: int = 0
    extra: bytes = b""
    comment: bytes = b""

    @property
    def folder(self) -> bool:
        """Whether it is only a folder."""
        return self.name.endswith("/")

    def unpacked(self) -> Iterator[bytes]:
        """The unpacked bytes in pieces; never more than the directory promised.

        Raises
        ------
        ZipFault
            If the bytes are not what the directory says.
        """
        size, crc = 0, 0
        for piece in self._pieces():
            size += len(piece)
            if size > self.size:
                raise ZipFault(f"more bytes than it says in the part {self.name!r}")
            crc = zlib.crc32(piece, crc)
            yield piece
        if size != self.size or crc != self.crc:
            raise ZipFault(f"the part {self.name!r} cut short or changed by a fault")

    def _pieces(self) -> Iterator[bytes]:
        """Unpack piece by piece, so that a packed bomb is noticed before it fills the memory."""
        if self.method == STORED:
            for start in range(0, len(self.packed), CHUNK):
                yield self.packed[start : start + CHUNK]
            return
        # below 0: a stream without the header of zlib, as zip files hold it
        unpacker = zlib.decompressobj(-15)
        left = self.packed
        try:
            while True:
                piece = unpacker.decompress(left, CHUNK)
                left = unpacker.unconsumed_tail
                if piece:
                    yield piece
                elif not left:
                    break
        except zlib.error:
            raise ZipFault(f"the part {self.name!r} cut short or changed by a fault") from None
        if not unpacker.eof or unpacker.unused_data:
            raise ZipFault(f"the part {self.name!r} cut short or changed by a fault")


def packed_member(name: str, content: bytes) -> Member:
    """An entry of our own: packed, and dated 1980 so that it is the same on every run."""
    packer = zlib.compressobj(LEVEL, zlib.DEFLATED, -15)
    packed = packer.compress(content) + packer.flush()
    flags = 0 if name.isascii() else UTF8_NAME
    return Member(
        name, packed, len(content), zlib.crc32(content), DEFLATED, flags, NO_DATE, NO_TIME
    )


def read_directory(data: bytes) -> tuple[list[zipfile.ZipInfo], bytes]:
    """The directory of a zip file, in its order, and the remark on the whole file."""
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as archive:
            return archive.infolist(), archive.comment
    # ValueError: a name that is not in the UTF-8 it is said to be in, or a directory before the
    # file; NotImplementedError: a zip version newer than zipfile knows.
    except (zipfile.BadZipFile, ValueError, NotImplementedError) as fault:
        raise ZipFault(f"a zip file without a readable directory ({fault})") from None


def read_members(data: bytes, directory: Iterable[zipfile.ZipInfo]) -> list[Member]:
    """The entries with their packed bytes.

    Raises
    ------
    ZipFault
        If an entry does not stand where the directory says, or two overlap.
    """
    members = []
    taken: list[tuple[int, int, str]] = []
    for info in directory:
        name = info.orig_filename
        start, end = _span(data, info, name)
        taken.append((info.header_offset, end, name))
        members.append(
            Member(
                name=name,
                packed=data[start:end],
                size=info.file_size,
                crc=info.CRC,
                method=info.compress_type,
                flags=info.flag_bits,
                date=_date(info),
                time=_time(info),
                made_by=info.create_system << 8 | info.create_version,
                internal=info.internal_attr,
                external=info.external_attr,
                extra=_without_zip64(info.extra),
                comment=info.comment,
            )
        )
    # entries across one another are how a small file unpacks into a huge one without a high ratio
    taken.sort()
    for (_, end, _), (start, _, name) in pairwise(taken):
        if start < end:
            raise ZipFault(f"the part {name!r} lying across another one")
    return members


def _span(data: bytes, info: zipfile.ZipInfo, name: str) -> tuple[int, int]:
    """Where the packed bytes of an entry start and end."""
    at = info.header_offset
    header = data[at : at + LOCAL.size]
    if len(header) < LOCAL.size:
        raise ZipFault(f"the part {name!r} missing")
    magic, *_, name_length, extra_length = LOCAL.unpack(header)
    start = at + LOCAL.size + name_length + extra_length
    local_name = data[at + LOCAL.size : at + LOCAL.size + name_length]
    end = start + info.compress_size
    if magic != b"PK\x03\x04" or local_name != name_bytes(name, info.flag_bits) or end > len(data):
        raise ZipFault(f"the part {name!r} not where the directory says")
    return start, end


def name_bytes(name: str, flags: int) -> bytes:
    """A name as the zip file spells it."""
    return name.encode("utf-8" if flags & UTF8_NAME else "cp437")


def _date(info: zipfile.ZipInfo) -> int:
    year, month, day = info.date_time[:3]
    return (year - 1980) << 9 | month << 5 | day


def _time(info: zipfile.ZipInfo) -> int:
    hour, minute, second = info.date_time[3:]
    return hour << 11 | minute << 5 | second // 2


def _without_zip64(extra: bytes) -> bytes:
    """The extra fields, without the one for sizes that this writer never needs."""
    kept = b""
    while len(extra) >= 4:
        kind, length = struct.unpack_from("<HH", extra)
        field, extra = extra[: 4 + length], extra[4 + length :]
        if kind != ZIP64_FIELD:
            kept += field
    return kept


def write_members(members: Iterable[Member], *, comment: bytes = b"") -> bytes:
    """A zip file of these entries, in this order, their packed bytes as they are.

    Examples
    --------
    >>> once = write_members([packed_member("a.txt", b"salt")])
    >>> again = write_members(read_members(once, read_directory(once)[0]))
    >>> once == again
    True
    """
    body, directory, count = bytearray(), bytearray(), 0
    for member in members:
        name = name_bytes(member.name, member.flags)
        # Sizes stand in front here, so no descriptor follows the content as in streamed files.
        flags = member.flags & ~DESCRIPTOR
        sizes = (member.crc, len(member.packed), member.size)
        start = len(body)
        common = (VERSION, flags, member.method, member.time, member.date, *sizes, len(name))
        body += LOCAL.pack(b"PK\x03\x04", *common, 0) + name + member.packed
        directory += CENTRAL.pack(
            b"PK\x01\x02",
            member.made_by,
            *common,
            len(member.extra),
            len(member.comment),
            0,
            member.internal,
            member.external,
            start,
        )
        directory += name + member.extra + member.comment
        count += 1
    end = END.pack(b"PK\x05\x06", 0, 0, count, count, len(directory), len(body), len(comment))
    return bytes(body + directory + end + comment)
