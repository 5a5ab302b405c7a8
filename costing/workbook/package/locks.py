"""Whether another program has the file open, by the lock files that such programs leave."""

from __future__ import annotations

import time
from pathlib import Path

STALE_AFTER = 24 * 60 * 60
"""A lock file older than this was left behind by a crash. [seconds]"""
LONGEST_LOCK = 4096
"""Lock files are short; no more of one is read. [bytes]"""
SOMEBODY = "by whom is not said"


def open_elsewhere(path: Path, *, now: float | None = None) -> str | None:
    """Who has the file open in another program, None when nobody has as far as is known.

    Two kinds of lock file are known: ``~$NAME``, whose first byte is the length of the user's
    name after it, and ``.~lock.NAME#``, a line of words with the name first. A program on
    another computer may leave none.

    Parameters
    ----------
    path : Path
        The workbook.
    now : float, optional
        The time to compare with, seconds since 1970; the clock's when left out. [s]
    """
    at = time.time() if now is None else now
    for lock, owner in (
        (path.with_name(f"~${path.name}"), _counted_owner),
        (path.with_name(f".~lock.{path.name}#"), _listed_owner),
    ):
        try:
            age = at - lock.stat().st_mtime
            if age <= STALE_AFTER:
                return owner(_start_of(lock)) or SOMEBODY
        except FileNotFoundError:
            continue
        except OSError:
            return SOMEBODY
    return None


def _start_of(lock: Path) -> bytes:
    with lock.open("rb") as file:
        return file.read(LONGEST_LOCK)


def _counted_owner(data: bytes) -> str:
    r"""The user's name after a byte that says how long it is.

    Examples
    --------
    >>> _counted_owner(b"\x04Cook" + b" " * 50)
    'Cook'
    """
    if not data or not 0 < data[0] < len(data):
        return ""
    return _printable(data[1 : 1 + data[0]].decode("utf-8", "replace"))


def _listed_owner(data: bytes) -> str:
    """The first word of the line that says something, of its first three: name, login, computer.

    Examples
    --------
    >>> _listed_owner(b",cook,kitchen,25.11.2026 09:00,file:///home;")
    'cook'
    """
    words = data.decode("utf-8", "replace").split(";")[0].split(",")[:3]
    return next((word for word in map(_printable, words) if word), "")


def _printable(text: str) -> str:
    return "".join(sign for sign in text if sign.isprintable()).strip()
