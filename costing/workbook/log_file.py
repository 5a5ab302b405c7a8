"""The file of the day log: found beside the workbook, taken apart line by line, added to.

Nothing is known here of what a line means. A line is added under a lock and in one write, so that
two programs that add at once lose nothing; a line that is there is never changed.
"""

from __future__ import annotations

import codecs
import csv
import io
import os
import re
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from itertools import zip_longest
from pathlib import Path

from costing.workbook.package.locking import locked

ENDING = " day log.csv"
SEEN_BYTES = 1_000
"""From so many the encoding is told. [byte]"""

LOG_BYTES = 5_000_000
"""A larger file is no log of a day. [bytes]"""

SEPARATORS = (",", ";", "\t", "|")
LINES_OF_A_CELL = 10
"""A quoted cell may run over so many lines; a quote that stays open longer is a slip."""

SECONDS_OF_WAITING = 15.0
"""How long another program may hold the file. [s]"""

_STARTS_A_FORMULA = re.compile(r"[=@]|[+\-](?! ?[0-9])")
"""What a spreadsheet program would run; -18 C is none."""

_BEHIND_AN_APOSTROPHE = re.compile(r"'(?=[=+\-@])")

_LINE_END = re.compile(r"\r\n|\n|\r")
_SEPARATOR_LINE = re.compile(r"sep=(.)\s*", re.IGNORECASE)


class LogFault(Exception):
    """The log cannot be read or added to; its words are for the user."""


@dataclass(frozen=True, slots=True)
class Record:
    """One line of the file.

    Parameters
    ----------
    number : int
        Of the line, from 1.
    cells : tuple of str
        What is between the separators, without outer blanks.
    torn : bool
        Whether a quote in it is not closed, so that the cells are uncertain.
    """

    number: int
    cells: tuple[str, ...]
    torn: bool = False


@dataclass(frozen=True, slots=True)
class LogText:
    """What the file holds, and in which form.

    Parameters
    ----------
    separator : str
        Between the cells of its first line.
    line_end : str
        After its first line.
    ended : bool
        Whether its last line has such an end.
    """

    records: tuple[Record, ...] = ()
    encoding: str = "utf-8"
    separator: str = ","
    line_end: str = "\n"
    ended: bool = True


def day_log_beside(workbook: Path) -> Path:
    """The day log of a workbook.

    Examples
    --------
    >>> day_log_beside(Path("tart.xlsx")).name
    'tart day log.csv'
    """
    return workbook.with_name(f"{workbook.stem}{ENDING}")


def read_log(path: Path) -> LogText | None:
    """What a log holds; ``None`` when there is none.

    Raises
    ------
    LogFault
        If it cannot be read.
    """
    try:
        if not path.exists():
            return None
        if path.stat().st_size > LOG_BYTES:
            raise LogFault(f"a file of more than {LOG_BYTES} bytes")
        return taken_apart(path.read_bytes())
    except OSError as fault:
        raise LogFault(f"a file that cannot be read ({fault.strerror})") from None


def taken_apart(data: bytes) -> LogText:
    r"""The lines of a log, whatever its separators, line ends and letters.

    Examples
    --------
    >>> taken_apart(b"When;What\r\n10:05;\"bowl; blue\"\r\n").records[1].cells
    ('10:05', 'bowl; blue')
    """
    encoding = encoding_of(data)
    text = data.decode(encoding, "replace").removeprefix("\ufeff").replace("\0", "\ufffd")
    lines = _LINE_END.split(text)
    ended = not lines[-1]
    found = _LINE_END.search(text)
    first = next((line for line in lines if line.strip()), "")
    told = _SEPARATOR_LINE.fullmatch(first)
    separator = told[1] if told else _separator(first)
    records = tuple(_records(lines, separator))
    return LogText(records, encoding, separator, found[0] if found else "\n", ended)


def encoding_of(data: bytes) -> str:
    """UTF-8, UTF-16 by its mark or its noughts, or what older programs write.

    Examples
    --------
    >>> encoding_of("crème".encode()), encoding_of("crème".encode("cp1252"))
    ('utf-8', 'cp1252')
    """
    # nearly all letters of a log are below 256, so that every other byte is a nought
    low, high = data[:SEEN_BYTES:2].count(0), data[1:SEEN_BYTES:2].count(0)
    most = min(len(data), SEEN_BYTES) // 4
    if data.startswith(codecs.BOM_UTF16_LE) or high > most:
        return "utf-16-le"
    if data.startswith(codecs.BOM_UTF16_BE) or low > most:
        return "utf-16-be"
    try:
        data.decode("utf-8")
    except UnicodeDecodeError:
        return "cp1252"
    return "utf-8"


def _separator(line: str) -> str:
    """The sign that is most often outside quotes, a comma where none does."""
    plain = re.sub(r'"[^"]*"', "", line)
    return max(SEPARATORS, key=lambda sign: (plain.count(sign), sign == ","))


def _records(lines: Sequence[str], usual: str) -> Iterator[Record]:
    """The lines of the log that say something, each by the separator that it is written with."""
    at = 0
    while at < len(lines):
        number, line = at + 1, lines[at]
        at += 1
        if not line.strip() or _SEPARATOR_LINE.fullmatch(line):
            continue
        plain = re.sub(r'"[^"]*"', "", line)
        separator = usual if usual in plain else _separator(line)
        cells, more = _cells(lines, number - 1, separator)
        at += more
        torn = cells is None
        cells = line.split(separator) if cells is None else cells
        whole = tuple(_plain(cell) for cell in cells)
        if any(whole):
            yield Record(number, whole, torn)


def _plain(cell: str) -> str:
    return _BEHIND_AN_APOSTROPHE.sub("", cell.strip(), count=1)


def _cells(lines: Sequence[str], at: int, separator: str) -> tuple[list[str] | None, int]:
    """The cells of the line at a place, and how many more lines they run over.

    ``None`` when its quotes are not closed.
    """
    for more in range(min(LINES_OF_A_CELL, len(lines) - at)):
        text = "\n".join(lines[at : at + more + 1])
        try:
            file = io.StringIO(text, newline="\n")
            told = csv.reader(file, delimiter=separator, skipinitialspace=True, strict=True)
            rows = list(told)
        except csv.Error:
            continue
        if len(rows) == 1:
            return rows[0], more
    return None, 0


def append_line(
    path: Path,
    headings: Sequence[str],
    cells: Mapping[str, str],
    *,
    columns: Callable[[LogText], Sequence[str]],
    once: bool,
) -> bool:
    """Add a line at the end of a log, which is begun with its headings where there is none.

    Gives whether it was added.

    Parameters
    ----------
    headings : sequence of str
        Of a new log.
    columns : callable
        The headings of the columns of what is there, ``""`` for a column of somebody's own.
    once : bool
        Whether a line that is there in just the same words is not added again.

    Raises
    ------
    LogFault
        If it cannot be added; then the log is as it was.
    """
    with _held(path) as file:
        size = os.fstat(file).st_size
        if size > LOG_BYTES:
            raise LogFault(f"a file of more than {LOG_BYTES} bytes")
        log = taken_apart(_whole(file, size))
        order = list(columns(log)) if log.records else []
        lines: list[Sequence[str]] = []
        if any(text and heading not in order for heading, text in cells.items()):
            # the log lacks a heading: a new row of headings goes before the line, and the lines
            # above keep theirs
            order = list(headings)
            lines.append(order)
        line = tuple(_safe(cells.get(heading, "")) if heading else "" for heading in order)
        if once and any(_same(record.cells, line) for record in log.records):
            return False
        lines.append(line)
        text = "".join(_written(one, log) for one in lines)
        start = log.line_end if log.records and not log.ended else ""
        try:
            data = (start + text).encode(log.encoding)
        except UnicodeEncodeError:
            raise LogFault("letters that the log, saved in an older form, cannot hold") from None
        _write(file, data)
    return True


def _same(cells: Sequence[str], line: Sequence[str]) -> bool:
    """Whether a line that is there says the same."""
    pairs = zip_longest(cells, map(_plain, line), fillvalue="")
    return all(one == other for one, other in pairs)


def _safe(text: str) -> str:
    """A text on one line that no spreadsheet program runs."""
    plain = " ".join(text.split())
    return f"'{plain}" if _STARTS_A_FORMULA.match(plain) else plain


def _written(cells: Sequence[str], log: LogText) -> str:
    quoted = [
        '"' + cell.replace('"', '""') + '"' if any(s in cell for s in (*SEPARATORS, '"')) else cell
        for cell in cells
    ]
    return log.separator.join(quoted) + log.line_end


def _whole(file: int, size: int) -> bytes:
    os.lseek(file, 0, os.SEEK_SET)
    data = b""
    while len(data) < size and (part := os.read(file, size - len(data))):
        data += part
    return data


def _write(file: int, data: bytes) -> None:
    """Write at the end, all of it or nothing."""
    before = os.fstat(file).st_size
    try:
        written = os.write(file, data)
        while written < len(data):  # a disk that fills up writes a part first
            written += os.write(file, data[written:])
        os.fsync(file)
    except OSError as fault:
        # half a line would be read as a line
        os.ftruncate(file, before)
        raise LogFault(f"a file that cannot be written ({fault.strerror})") from None


@contextmanager
def _held(path: Path) -> Iterator[int]:
    """The log opened for adding and locked, so that one program at a time adds to it."""
    # binary: Windows would turn line ends and count other bytes than there are; to be added to, so
    # that a program without our lock writes behind what is there
    flags = os.O_RDWR | os.O_APPEND | os.O_CREAT | getattr(os, "O_BINARY", 0)
    while True:
        try:
            file = os.open(path, flags, 0o666)
        except OSError as fault:
            raise LogFault(f"a file that cannot be written ({fault.strerror})") from None
        try:
            if not locked(file, SECONDS_OF_WAITING):
                raise LogFault("a file that another program holds")
            # while this one waited, another program may have put a new file in its place
            if _still_there(file, path):
                yield file
                return
        finally:
            os.close(file)


def _still_there(file: int, path: Path) -> bool:
    """Whether the locked file is the one at the path: another program may have replaced it."""
    try:
        return os.path.samestat(os.fstat(file), path.stat())
    except FileNotFoundError:
        return False
