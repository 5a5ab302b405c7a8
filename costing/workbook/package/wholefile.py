"""A file written whole beside its place, forced to disk and read back; and the versions before.

What is written here is not at its place yet: one step of the file system puts it there.
"""

from __future__ import annotations

import contextlib
import errno
import io
import os
import re
import shutil
import tempfile
import time
import zipfile
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, datetime
from pathlib import Path

from costing.findings import Place
from costing.workbook.package.refusals import (
    Refused,
    disk_full,
    file_place,
    no_permission,
    size_words,
    write_failed,
)

BACKUPS = ".costing-backups"
"""Hidden folder beside the workbook with its older versions."""
BACKUPS_KEPT = 10
"""Older versions that are kept of each workbook."""
STRAY_PREFIX, STRAY_SUFFIX = ".costing-tmp-", ".part"
STRAY_AFTER = 60 * 60
"""A temporary file left by a crash is deleted when it is older. [seconds]"""
STAMP = "%Y%m%dT%H%M%S%fZ"
NO_ROOM_ERRORS = frozenset({errno.ENOSPC, errno.EDQUOT, errno.EFBIG})
NOT_ALLOWED_ERRORS = frozenset({errno.EACCES, errno.EPERM, errno.EROFS})
NO_FORCING_ERRORS = frozenset({errno.EINVAL, errno.ENOTSUP, errno.EOPNOTSUPP, errno.ENOSYS})
"""What a folder gives whose files cannot be forced to disk, as some in a network."""


@contextmanager
def written_beside(path: Path, data: bytes) -> Iterator[Path]:
    """A file in the same folder with the content; what is left of it in the end is taken away.

    Raises
    ------
    Refused
        If it does not read back as it was written.
    """
    handle, name = tempfile.mkstemp(STRAY_SUFFIX, STRAY_PREFIX, path.parent)
    temporary = Path(name)
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(data)
            file.flush()
            _force(file.fileno())
        check_written(temporary, data, file_place(path.name))
        yield temporary
    finally:
        with contextlib.suppress(OSError):
            temporary.unlink(missing_ok=True)


def _force(handle: int) -> None:
    try:
        os.fsync(handle)
    except OSError as fault:
        if fault.errno not in NO_FORCING_ERRORS:
            raise


def check_written(temporary: Path, data: bytes, place: Place) -> None:
    """Read a file back: the same bytes, and of a workbook every part unpacks."""
    found = temporary.read_bytes()
    if found != data:
        raise Refused(write_failed(place, "it reads back differently"))
    if not data.startswith(b"PK"):
        return
    try:
        with zipfile.ZipFile(io.BytesIO(found)) as archive:
            broken = archive.testzip()
    except zipfile.BadZipFile as fault:
        raise Refused(write_failed(place, str(fault))) from None
    if broken is not None:
        raise Refused(write_failed(place, f"the part {broken!r} does not unpack"))


def copy_mode(path: Path, new: Path) -> None:
    """Give a file the permissions of another where the folder knows permissions."""
    with contextlib.suppress(OSError):
        shutil.copymode(path, new)


def sync_folder(folder: Path) -> None:
    """Force the folder's list of names to disk where the system has that."""
    with contextlib.suppress(OSError, AttributeError):
        handle = os.open(folder, os.O_RDONLY | os.O_DIRECTORY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)


def back_up(path: Path, content: bytes) -> None:
    """Put a file's content into the hidden folder beside it, and forget the oldest versions."""
    folder = path.parent / BACKUPS
    folder.mkdir(exist_ok=True)
    older = backups_of(path)
    # else a run that failed after its copy would fill the folder with equal ones
    if not older or older[-1].read_bytes() != content:
        copy = folder / f"{path.stem}.{datetime.now(UTC).strftime(STAMP)}{path.suffix}"
        with written_beside(copy, content) as temporary:
            with contextlib.suppress(OSError):
                shutil.copystat(path, temporary)
            temporary.replace(copy)
        sync_folder(folder)
        older.append(copy)
    for copy in older[:-BACKUPS_KEPT]:
        with contextlib.suppress(OSError):
            copy.unlink(missing_ok=True)


def backups_of(path: Path) -> list[Path]:
    """The older versions that are kept of a workbook, the oldest first."""
    name = re.compile(re.escape(path.stem) + r"\.\d{8}T\d{12}Z" + re.escape(path.suffix))
    folder = path.parent / BACKUPS
    if not folder.is_dir():
        return []
    return sorted(one for one in folder.iterdir() if name.fullmatch(one.name))


def sweep(folder: Path) -> None:
    """Take away temporary files that a crash left behind more than an hour ago."""
    for place in (folder, folder / BACKUPS):
        with contextlib.suppress(OSError):
            for stray in place.glob(f"{STRAY_PREFIX}*{STRAY_SUFFIX}"):
                if time.time() - stray.stat().st_mtime > STRAY_AFTER:
                    stray.unlink()


@contextmanager
def system_faults(path: Path, size: int) -> Iterator[None]:
    """Turn faults of the file system into findings."""
    place = file_place(path.name)
    try:
        yield
    except OSError as fault:
        if fault.errno in NO_ROOM_ERRORS:
            # twice: the new file and the copy of the old one are there together
            raise Refused(disk_full(place, size_words(2 * size))) from None
        if fault.errno in NOT_ALLOWED_ERRORS:
            raise Refused(no_permission(place, str(path.parent))) from None
        raise Refused(write_failed(place, fault.strerror or type(fault).__name__)) from None
