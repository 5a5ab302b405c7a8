"""Older versions of a workbook in a hidden folder beside it, and what a crash left behind."""

from __future__ import annotations

import contextlib
import re
import shutil
import time
from datetime import UTC, datetime
from pathlib import Path

BACKUPS = ".costing-backups"
"""Hidden folder beside the workbook with its older versions."""
STRAY_PREFIX, STRAY_SUFFIX = ".costing-tmp-", ".part"
STRAY_AFTER = 60 * 60
"""A file of ours left by a crash is swept when it is older. [seconds]"""
STAMP = "%Y%m%dT%H%M%S%fZ"


def back_up(path: Path, content: bytes, *, keep: int) -> None:
    """Put a copy of the file into the hidden folder beside it, and forget the oldest ones."""
    if keep <= 0:
        return
    folder = path.parent / BACKUPS
    folder.mkdir(exist_ok=True)
    older = backups_of(path)
    if not older or older[-1].read_bytes() != content:
        stamp = datetime.now(UTC).strftime(STAMP)
        temporary = folder / f"{STRAY_PREFIX}{stamp}{STRAY_SUFFIX}"
        shutil.copy2(path, temporary)
        copy = folder / f"{path.stem}.{stamp}{path.suffix}"
        temporary.replace(copy)
        older.append(copy)
    for copy in older[:-keep]:
        copy.unlink(missing_ok=True)


def backups_of(path: Path) -> list[Path]:
    """The older versions that are kept of a workbook, the oldest first."""
    name = re.compile(re.escape(path.stem) + r"\.\d{8}T\d{12}Z" + re.escape(path.suffix))
    folder = path.parent / BACKUPS
    if not folder.is_dir():
        return []
    return sorted(one for one in folder.iterdir() if name.fullmatch(one.name))


def sweep(folder: Path, *, now: float | None = None) -> None:
    """Take away files of ours that a crash left behind more than an hour ago."""
    at = time.time() if now is None else now
    for place in (folder, folder / BACKUPS):
        for stray in place.glob(f"{STRAY_PREFIX}*{STRAY_SUFFIX}"):
            with contextlib.suppress(OSError):
                if at - stray.stat().st_mtime > STRAY_AFTER:
                    stray.unlink()
