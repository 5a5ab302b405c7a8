"""An open file kept from other runs of ours; any end of the process lets it go."""

from __future__ import annotations

import os
import time

try:
    import fcntl
except ImportError:
    fcntl = None  # type: ignore[assignment]

PAUSE = 0.01
"""How often a file that is held is looked at again. [seconds]"""

BEHIND_THE_END = 1 << 30
"""Where in a file its lock is on Windows, which locks ranges of bytes. [byte]"""


def locked(file: int, seconds: float) -> bool:
    """Whether an open file is ours alone now, or another still holds it after so long.

    Where its folder has no locks nobody can hold it.

    Parameters
    ----------
    file : int
        By the number the system gave it; closing it gives it free.
    seconds : float
        How long is waited for another. [s]
    """
    until = time.monotonic() + seconds
    while True:
        try:
            _lock(file)
        except BlockingIOError:
            if time.monotonic() > until:
                return False
            time.sleep(PAUSE)
            continue
        except OSError:
            pass
        return True


def _lock(file: int) -> None:
    """Lock it at once.

    Raises
    ------
    BlockingIOError
        If another holds it.
    """
    if fcntl is not None:
        fcntl.flock(file, fcntl.LOCK_EX | fcntl.LOCK_NB)
        return
    import msvcrt

    # far behind what is in it, a lock keeps nobody from reading
    os.lseek(file, BEHIND_THE_END, os.SEEK_SET)
    try:
        msvcrt.locking(file, msvcrt.LK_NBLCK, 1)  # type: ignore[attr-defined, unused-ignore]
    except PermissionError as fault:
        raise BlockingIOError(*fault.args) from None
