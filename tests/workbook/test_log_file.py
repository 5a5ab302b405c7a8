"""The file of the day log: taken apart whatever wrote it, added to without a loss."""

from __future__ import annotations

import codecs
import errno
import fcntl
import subprocess
import sys
from collections import Counter
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from costing.workbook import log_file
from costing.workbook.log_file import (
    LOG_BYTES,
    LogFault,
    append_line,
    day_log_beside,
    read_log,
    taken_apart,
)

HEADINGS = ("When", "What", "Event")


def cells(data: bytes) -> list[tuple[str, ...]]:
    """The cells of every line."""
    return [record.cells for record in taken_apart(data).records]


def add(path: Path, what: str, *, once: bool = False, headings: tuple[str, ...] = HEADINGS) -> bool:
    """Add a line by the headings of the first."""
    line = {"When": "10:05", "What": what, "Event": "out"}
    return append_line(path, headings, line, columns=lambda log: log.records[0].cells, once=once)


@pytest.mark.parametrize(
    "data",
    [
        b"When,What\n10:05,bowl\n",
        b"When,What\r\n10:05,bowl\r\n",
        b"When,What\r10:05,bowl",
        b"\xef\xbb\xbfWhen,What\n\n10:05,bowl\n\n",
        b"When;What\r\n10:05;bowl\r\n;\r\n",
        b"sep=;\r\nWhen;What\r\n10:05;bowl\r\n",
        b"When\tWhat\n10:05\tbowl\n",
        b"When, What\n 10:05 , bowl \n",
        b'"When","What"\n"10:05","bowl"\n',
        "When,What\n10:05,bowl\n".encode("utf-16"),
        "When,What\n10:05,bowl\n".encode("utf-16-le"),
        codecs.BOM_UTF16_BE + "When,What\n10:05,bowl\n".encode("utf-16-be"),
        "When,What\n10:05,bowl\n".encode("utf-16-be"),
        b"When;What\n10:05,bowl\n",
    ],
    ids=[
        "plain",
        "CR LF",
        "CR alone and no last line end",
        "byte order mark and blank lines",
        "semicolons and a line of them",
        "a line that names the separator",
        "tabs",
        "blanks",
        "quotes",
        "UTF-16",
        "UTF-16 without its mark",
        "UTF-16, the high byte first",
        "UTF-16 without its mark, the high byte first",
        "a comma below semicolons",
    ],
)
def test_taken_apart__whatever_wrote_it(data: bytes) -> None:
    """Each is the same two lines of two cells, written another way (RFC 4180 and its kin)."""
    assert cells(data) == [("When", "What"), ("10:05", "bowl")]


@pytest.mark.source("rfc-4180", "section 2, items 5 to 7")
def test_taken_apart__quoted_cells_hold_separators_line_ends_and_quotes() -> None:
    """Item 6: a line end and a comma inside quotes; item 7: a quote written as two."""
    data = b'"aaa","b\r\nbb","ccc"\r\nzzz,"y,y",xxx\r\n"aaa","b""bb","ccc"\r\n'
    assert cells(data) == [("aaa", "b\nbb", "ccc"), ("zzz", "y,y", "xxx"), ("aaa", 'b"bb', "ccc")]


def test_taken_apart__an_open_quote_tears_its_own_line_alone() -> None:
    records = taken_apart(b'a,"b\n' + b"c,d\n" * 20).records
    assert records[0].torn
    assert [record.number for record in records] == list(range(1, 22))
    assert not any(record.torn for record in records[1:])


def test_taken_apart__letters_of_an_older_form() -> None:
    """0xFC is u with two dots in Windows-1252, and no letter in UTF-8."""
    assert cells(b"When,What\n10:05,m\xfcsli\n")[1] == ("10:05", "m\u00fcsli")


@given(st.binary(max_size=300))
def test_taken_apart__takes_any_bytes(data: bytes) -> None:
    """Law: any bytes are lines with rising numbers, none of which is blank."""
    numbers = [record.number for record in taken_apart(data).records]
    assert numbers == sorted(set(numbers))
    assert all(any(record.cells) for record in taken_apart(data).records)


@given(st.lists(st.text(st.characters(codec="utf-8", min_codepoint=32), max_size=20), max_size=8))
def test_append_line__what_is_written_is_read(names: list[str]) -> None:
    """Law: runs of blanks apart, every name comes back from the file as it was given."""
    import tempfile

    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder, "a day log.csv")
        for name in names:
            add(path, name)
        log = read_log(path)
        found = [record.cells[1] for record in log.records[1:]] if log else []
    assert found == [without_our_apostrophe(" ".join(name.split())) for name in names]


def without_our_apostrophe(name: str) -> str:
    """A name that itself begins like one that was set behind an apostrophe loses it."""
    return name[1:] if len(name) > 1 and name[0] == "'" and name[1] in "=+-@" else name


def test_append_line__a_new_log_has_headings(tmp_path: Path) -> None:
    path = day_log_beside(tmp_path / "tart.xlsx")
    assert add(path, "bowl, blue")
    assert path.name == "tart day log.csv"
    assert path.read_text() == 'When,What,Event\n10:05,"bowl, blue",out\n'


@pytest.mark.parametrize(
    ("before", "after"),
    [
        ("When,What,Event\nx,y,z", "When,What,Event\nx,y,z\n10:05,bowl,out\n"),
        ("Event;When;What\r\n", "Event;When;What\r\nout;10:05;bowl\r\n"),
        ("When,What,Event,Mine\n", "When,What,Event,Mine\n10:05,bowl,out,\n"),
        ("When,What\n", "When,What\nWhen,What,Event\n10:05,bowl,out\n"),
    ],
    ids=["last line without end", "other order, separator, end", "own column", "column missing"],
)
def test_append_line__in_the_form_of_what_stands_there(
    tmp_path: Path, before: str, after: str
) -> None:
    path = tmp_path / "log.csv"
    path.write_bytes(before.encode())
    assert add(path, "bowl")
    assert path.read_bytes().decode() == after


def test_append_line__keeps_the_letters_of_the_file(tmp_path: Path) -> None:
    """UTF-16 stays UTF-16; Windows-1252 stays so, and refuses what it cannot hold."""
    wide, narrow = tmp_path / "wide.csv", tmp_path / "narrow.csv"
    wide.write_bytes("When,What,Event\n".encode("utf-16"))
    narrow.write_bytes("When,What,Event\nx,m\u00fcsli,z\n".encode("cp1252"))
    assert add(wide, "br\u00fbl\u00e9e")
    assert wide.read_bytes().decode("utf-16").endswith("10:05,br\u00fbl\u00e9e,out\n")
    turned = tmp_path / "turned day log.csv"
    turned.write_bytes(codecs.BOM_UTF16_BE + "When,What,Event\n".encode("utf-16-be"))
    assert add(turned, "br\u00fbl\u00e9e")
    assert turned.read_bytes().decode("utf-16").endswith("10:05,br\u00fbl\u00e9e,out\n")
    before = narrow.read_bytes()
    with pytest.raises(LogFault, match="cannot hold"):
        add(narrow, "\u98ef")
    assert narrow.read_bytes() == before


def test_append_line__a_line_that_stands_there_is_not_added_again(tmp_path: Path) -> None:
    path = tmp_path / "log.csv"
    assert add(path, "bowl", once=True)
    assert not add(path, "bowl", once=True)
    assert add(path, "bowl")
    log = read_log(path)
    assert log is not None
    assert len(log.records) == 3


@pytest.mark.parametrize("name", ["=1+1", "@x", "+a", "-a"])
def test_append_line__nothing_a_spreadsheet_program_runs(tmp_path: Path, name: str) -> None:
    path = tmp_path / "log.csv"
    add(path, name)
    assert f",'{name}," in path.read_text()
    log = read_log(path)
    assert log is not None
    assert log.records[1].cells[1] == name


def test_append_line__refused_where_the_file_cannot_be_written(tmp_path: Path) -> None:
    with pytest.raises(LogFault, match="cannot be written"):
        add(tmp_path / "no folder" / "log.csv", "bowl")
    huge = tmp_path / "log.csv"
    huge.write_bytes(b"x" * (LOG_BYTES + 1))
    with pytest.raises(LogFault, match="more than"):
        add(huge, "bowl")


def test_append_line__a_new_log_may_be_used_as_any_file_of_its_folder(tmp_path: Path) -> None:
    path, other = tmp_path / "log.csv", tmp_path / "other.csv"
    add(path, "bowl")
    other.touch()
    assert path.stat().st_mode == other.stat().st_mode


def test_append_line__waits_for_the_program_that_holds_the_log(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "log.csv"
    path.write_text("When,What,Event\n")
    monkeypatch.setattr(log_file, "SECONDS_OF_WAITING", 0.02)
    with path.open("rb") as held:
        fcntl.flock(held, fcntl.LOCK_EX)
        with pytest.raises(LogFault, match="that another program holds"):
            add(path, "bowl")
    assert add(path, "bowl")
    assert path.read_text() == "When,What,Event\n10:05,bowl,out\n"


def test_append_line__in_a_folder_without_locks(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """As some in a network: nobody can hold the log there, and nobody is waited for."""

    def no_locks(*_: object) -> None:
        raise OSError(errno.ENOLCK, "No locks available")

    monkeypatch.setattr(fcntl, "flock", no_locks)
    assert add(tmp_path / "log.csv", "bowl")


WRITER = """
import sys
from pathlib import Path
from costing.workbook.log_file import append_line
for line in range(4):
    append_line(
        Path(sys.argv[1]),
        ("When", "What", "Event"),
        {"When": "10:05", "What": f"bowl {sys.argv[2]}.{line}", "Event": "out"},
        columns=lambda log: log.records[0].cells,
        once=False,
    )
"""


def test_append_line__fifty_writers_at_once_lose_nothing(tmp_path: Path) -> None:
    """50 programs with 4 lines each: 200 lines, each once and whole, and one line of headings."""
    path = tmp_path / "log.csv"
    writers = [
        subprocess.Popen([sys.executable, "-c", WRITER, str(path), str(number)])  # noqa: S603
        for number in range(50)
    ]
    assert [writer.wait() for writer in writers] == [0] * 50
    lines = Counter(path.read_text().splitlines())
    wanted = [f"10:05,bowl {one}.{line},out" for one in range(50) for line in range(4)]
    assert lines == Counter(["When,What,Event", *wanted])
