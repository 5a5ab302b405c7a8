"""Zip entries taken and written as they are."""

from __future__ import annotations

import io
import struct
import zipfile

import pytest
from hypothesis import given
from hypothesis import strategies as st
from packages import plain, zipped
from zoo import ZOO

from costing.workbook.package.members import (
    Member,
    ZipFault,
    packed_member,
    read_directory,
    read_members,
    write_members,
)

NAMES = st.text(
    st.characters(codec="utf-8", exclude_characters="\\\x00", exclude_categories=["Cs", "Cc"]),
    min_size=1,
    max_size=12,
).filter(lambda name: not name.endswith("/"))


def members_of(data: bytes) -> list[Member]:
    return read_members(data, read_directory(data)[0])


@pytest.mark.parametrize("name", sorted(ZOO))
def test_members__written_once_more_are_the_same_bytes(name: str) -> None:
    once = write_members(members_of(ZOO[name]()))
    assert write_members(members_of(once)) == once


@given(st.dictionaries(NAMES, st.binary(max_size=200), max_size=6), st.booleans())
def test_members__what_zipfile_wrote_zipfile_reads_again(
    parts: dict[str, bytes], stored: bool
) -> None:
    data = write_members(members_of(zipped(parts, stored=stored)))
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        assert archive.testzip() is None
        assert {info.filename: archive.read(info) for info in archive.infolist()} == parts


@given(NAMES, st.binary(max_size=3000))
def test_packed_member__unpacks_to_its_content_and_is_always_the_same(
    name: str, content: bytes
) -> None:
    member = packed_member(name, content)
    assert b"".join(member.unpacked()) == content
    assert write_members([member]) == write_members([packed_member(name, content)])


def test_members__sizes_of_64_bits_are_read() -> None:
    file = io.BytesIO()
    with (
        zipfile.ZipFile(file, "w") as archive,
        archive.open("a.bin", "w", force_zip64=True) as entry,
    ):
        entry.write(b"leek" * 100)
    data = write_members(members_of(file.getvalue()))
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        assert archive.read("a.bin") == b"leek" * 100


def test_members__bytes_before_the_first_entry_are_no_part() -> None:
    data = write_members(members_of(b"#!self-unpacking" + zipped(plain())))
    assert data == write_members(members_of(zipped(plain())))


@pytest.mark.parametrize("wrong", [b"", b"a", b"leek" * 2, b"leeK"])
def test_member__content_that_is_not_what_the_directory_says(wrong: bytes) -> None:
    good = packed_member("a", b"leek")
    bad = packed_member("a", wrong)
    member = Member("a", bad.packed, good.size, good.crc, good.method, 0, 0, 0)
    with pytest.raises(ZipFault):
        b"".join(member.unpacked())


def test_member__bytes_after_the_packed_ones() -> None:
    good = packed_member("a", b"leek")
    member = Member("a", good.packed + b"x", good.size, good.crc, good.method, 0, 0, 0)
    with pytest.raises(ZipFault, match="cut short or changed"):
        b"".join(member.unpacked())


def test_member__a_bomb_is_unpacked_no_further_than_it_says() -> None:
    """10 MB of zeros that call themselves 1000 bytes: one piece is unpacked at most."""
    bomb = packed_member("a", bytes(10_000_000))
    member = Member("a", bomb.packed, 1000, bomb.crc, bomb.method, 0, 0, 0)
    pieces = member.unpacked()
    with pytest.raises(ZipFault, match="more bytes than it says"):
        next(pieces)


@pytest.mark.parametrize("shift", [-30, 1, 10**6])
def test_read_members__an_entry_that_is_not_where_the_directory_says(shift: int) -> None:
    data = bytearray(zipped(plain()))
    at = data.index(b"PK\x01\x02", data.index(b"PK\x01\x02") + 4)
    (old,) = struct.unpack_from("<L", data, at + 42)
    struct.pack_into("<L", data, at + 42, old + shift)
    with pytest.raises(ZipFault):
        members_of(bytes(data))


def test_read_members__a_name_that_differs_from_the_directorys() -> None:
    data = bytearray(zipped(plain()))
    at = data.index(b"xl/styles.xml")
    data[at] = ord("X")
    with pytest.raises(ZipFault, match="not where the directory says"):
        members_of(bytes(data))


def test_packed_member__has_no_clock_time() -> None:
    """So that the same workbook is the same file: the first day that a zip file can say."""
    data = write_members([packed_member("xl/new.xml", b"<new/>")])
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        (info,) = archive.infolist()
    assert info.date_time == (1980, 1, 1, 0, 0, 0)


def test_packed_member__is_a_plain_file_that_any_program_unpacks() -> None:
    """Version 2.0 made it and unpacks it; no system's rights, and nothing of its content told."""
    data = write_members([packed_member("xl/new.xml", b"<new/>")])
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        (info,) = archive.infolist()
    assert (info.create_system, info.create_version, info.extract_version) == (0, 20, 20)
    assert (info.external_attr, info.internal_attr, info.flag_bits) == (0, 0, 0)
