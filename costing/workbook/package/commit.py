"""A workbook put on disk so that a crash at any moment leaves the old file or the new one whole.

The new bytes go into a file beside the old one, are forced to disk, read back and compared; the
old file is copied to ``.costing-backups``; then one step of the file system puts the new file in
its place. Nothing is written when nothing changes.
"""

from __future__ import annotations

import contextlib
import errno
import hashlib
import os
import stat
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from costing.workbook.package.extents import LIMITS, Limits
from costing.workbook.package.locking import locked
from costing.workbook.package.refusals import (
    Refused,
    cannot_be_read,
    cannot_be_replaced,
    changed_meanwhile,
    file_exists,
    file_not_found,
    file_place,
    file_too_large,
    folder_not_found,
    is_open_elsewhere,
    not_a_file,
    write_protected,
)
from costing.workbook.package.wholefile import (
    back_up,
    copy_mode,
    sweep,
    sync_folder,
    system_faults,
    written_beside,
)

STALE_AFTER = 24 * 60 * 60
"""A lock file older than this was left behind by a crash. [seconds]"""
SOMEBODY = "by whom is not said"


def open_elsewhere(path: Path) -> str | None:
    """Who has the file open in another program, None when nobody has as far as is known.

    Two kinds of lock file are known: ``~$NAME``, whose first byte is the length of the user's
    name after it, and ``.~lock.NAME#``, a line of words with the name first. A program on
    another computer may leave none.
    """
    for lock, owner in (
        (path.with_name(f"~${path.name}"), _counted_owner),
        (path.with_name(f".~lock.{path.name}#"), _listed_owner),
    ):
        try:
            if time.time() - lock.stat().st_mtime <= STALE_AFTER:
                return owner(lock.read_bytes()) or SOMEBODY
        except FileNotFoundError:
            continue
        except OSError:
            return SOMEBODY
    return None


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
    >>> _listed_owner(b",,,25.11.2026 09:00,file:///home;")
    ''
    """
    words = data.decode("utf-8", "replace").split(";")[0].split(",")[:3]
    return next((word for word in map(_printable, words) if word), "")


def _printable(text: str) -> str:
    return "".join(sign for sign in text if sign.isprintable()).strip()


WRITE_BITS = stat.S_IWUSR | stat.S_IWGRP | stat.S_IWOTH
IN_USE_ERRORS = frozenset(
    {errno.EACCES, errno.EPERM, errno.EBUSY, errno.EEXIST, errno.ETXTBSY, errno.ENOTSUP}
)
"""What the last step gives where the old file is held, or the folder lets none be replaced."""
WAIT = 5.0
"""How long another run may take to save. [seconds]"""

OPEN_STAYS = os.name == "nt"
"""Whether the system lets no file be replaced that is open, be it by the one who replaces it."""


@dataclass(frozen=True, slots=True)
class Fingerprint:
    """What tells a file from a changed one: size [bytes], time of change [ns] and content."""

    size: int
    changed_at: int
    sha256: str


def fingerprint(path: Path) -> Fingerprint:
    """The fingerprint of a file as it is now.

    Raises
    ------
    Refused
        If it cannot be read.
    """
    return read_file(path)[1]


def read_file(path: Path, *, limits: Limits = LIMITS) -> tuple[bytes, Fingerprint]:
    """The content of a file, and its fingerprint.

    Raises
    ------
    Refused
        If there is none, it cannot be read, or it is larger than is let in.
    """
    place = file_place(path.name or str(path))
    try:
        if path.is_dir():
            raise Refused(not_a_file(place))
        with path.open("rb") as file:
            size = os.fstat(file.fileno()).st_size
            if size > limits.file_bytes:
                raise Refused(file_too_large(place, size, limits.file_bytes))
            data = file.read(limits.file_bytes + 1)
            changed_at = os.fstat(file.fileno()).st_mtime_ns
            return data, Fingerprint(len(data), changed_at, hashlib.sha256(data).hexdigest())
    except FileNotFoundError:
        raise Refused(file_not_found(place, str(path.parent))) from None
    except OSError as fault:
        raise Refused(cannot_be_read(place, fault.strerror or type(fault).__name__)) from None


def replace_file(path: Path, data: bytes, expected: Fingerprint) -> bool:
    """Put new content in the place of a file.

    Gives whether anything was written: not when the content is the same.

    Parameters
    ----------
    path : Path
        The workbook; of a symbolic link the file it leads to is replaced.
    expected : Fingerprint
        Of the file as it was read.

    Raises
    ------
    Refused
        If the file is open elsewhere, changed since it was read, or cannot be written; it is
        then as it was.
    """
    place = file_place(path.name)
    with system_faults(path, len(data)):
        # a link keeps pointing: the file it leads to is replaced
        path = path.resolve()
        who = open_elsewhere(path)
        if who is not None:
            raise Refused(is_open_elsewhere(place, who))
        # The lock was looked at first: a program that has the file open would write over the
        # results. The fingerprint is compared here and once more right before the one call that
        # replaces, while no other run of ours can do the same.
        old, now = read_file(path)
        if not path.stat().st_mode & WRITE_BITS:
            raise Refused(write_protected(place))
        if now != expected:
            raise Refused(changed_meanwhile(place))
        if old == data:
            return False
        sweep(path.parent)
        with written_beside(path, data) as temporary, _held(path):
            copy_mode(path, temporary)
            if fingerprint(path) != expected:
                raise Refused(changed_meanwhile(place))
            # The copy first: after a crash between the two the old file is still there, twice.
            back_up(path, old)
            _replace(temporary, path)
    sync_folder(path.parent)
    return True


def _replace(temporary: Path, path: Path) -> None:
    try:
        temporary.replace(path)
    except OSError as fault:
        if fault.errno not in IN_USE_ERRORS:
            raise
        reason = fault.strerror or type(fault).__name__
        raise Refused(cannot_be_replaced(file_place(path.name), reason)) from None


@contextmanager
def _held(path: Path) -> Iterator[None]:
    """Keep other runs of ours from replacing the file; any end of the process lets it go.

    Where it cannot be held the fingerprint alone tells.
    """
    if OPEN_STAYS:
        yield
        return
    # the old file itself is locked, so that no lock file can be left behind
    handle = os.open(path, os.O_RDONLY)
    try:
        if not locked(handle, WAIT):
            raise Refused(is_open_elsewhere(file_place(path.name), SOMEBODY))
        yield
    finally:
        with contextlib.suppress(OSError):
            os.close(handle)


def new_file(path: Path, data: bytes) -> None:
    """Write a file that is not there yet.

    Raises
    ------
    Refused
        If there is one of this name, or it cannot be written.
    """
    place = file_place(path.name)
    with system_faults(path, len(data)):
        if path.exists() or path.is_symlink():
            raise Refused(file_exists(place))
        if not path.parent.is_dir():
            raise Refused(folder_not_found(place, str(path.parent)))
        with written_beside(path, data) as temporary:
            mask = os.umask(0)
            os.umask(mask)
            with contextlib.suppress(OSError):
                # a temporary file is for its owner alone; the new one is to be like any other of
                # the user's
                temporary.chmod(0o666 & ~mask)
            try:
                _put_if_free(temporary, path)
            except FileExistsError:
                raise Refused(file_exists(place)) from None
    sync_folder(path.parent)


def _put_if_free(temporary: Path, path: Path) -> None:
    """Give a file its name in one step, unless there is one of this name by now."""
    try:
        # a link fails where the name is taken, and a rename would put the file there out of the way
        path.hardlink_to(temporary)
    except FileExistsError:
        raise
    except OSError:
        # and where a folder knows no links, a rename has to do
        if path.exists():
            raise FileExistsError(path) from None
        temporary.replace(path)
