"""A save with a fault, or an end of the process, at each of its system calls: old or new, whole.

Every call into the operating system passes a profile function, which counts them, and at a chosen
one raises an error in the call's place or ends the process.
"""

from __future__ import annotations

import errno
import fcntl
import gc
import os
import subprocess
import sys
import warnings
import zipfile
from collections import Counter
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from types import FrameType
from typing import Any

import pytest
from packages import plain, zipped

import costing
from costing.workbook.package import wholefile
from costing.workbook.package.commit import fingerprint, new_file, replace_file
from costing.workbook.package.refusals import Refused
from costing.workbook.package.wholefile import BACKUPS, STRAY_PREFIX, backups_of

OLDER = zipped(plain())
OLD = zipped(plain() | {"xl/extra.bin": b"old"})
NEW = zipped(plain() | {"xl/extra.bin": b"new"})
ERRORS = (errno.ENOSPC, errno.EACCES, errno.EIO, errno.EPERM, errno.EROFS, errno.EDQUOT)
pytestmark = [
    # A file whose closing fails is closed by nobody.
    pytest.mark.filterwarnings("ignore::pytest.PytestUnraisableExceptionWarning"),
    pytest.mark.filterwarnings("ignore::ResourceWarning"),
]
ENDED = 77
"""Exit code of a process that was ended at a call."""
IN_MEMORY = ("BytesIO", "StringIO")


@pytest.fixture(autouse=True)
def _one_version_is_kept(monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    """So that every save also forgets the oldest version; what nobody closed is told of here."""
    monkeypatch.setattr(wholefile, "BACKUPS_KEPT", 1)
    yield
    gc.collect()  # else in whichever test comes later, where such a warning is an error


def is_system_call(function: Any) -> bool:
    """Whether a built-in function goes to the operating system."""
    name, module = function.__name__, getattr(function, "__module__", None)
    if module in ("posix", "fcntl"):
        return not name.startswith("_") and name not in ("fspath", "strerror", "umask")
    owner = type(getattr(function, "__self__", None))
    return (module == "_io" and name == "open") or (
        owner.__module__ == "_io" and owner.__name__ not in IN_MEMORY
    )


@contextmanager
def watched(at_call: Callable[[int, str], None]) -> Iterator[None]:
    """Let a function be told the number and the name of each system call before it is made."""
    count = 0

    def profile(_frame: FrameType, event: str, function: Any) -> None:
        nonlocal count
        if event == "c_call" and is_system_call(function):
            count += 1
            at_call(count, function.__name__)

    sys.setprofile(profile)
    try:
        yield
    finally:
        sys.setprofile(None)


def calls_of(act: Callable[[], object]) -> list[str]:
    """Names of the system calls that something makes."""
    names: list[str] = []
    with watched(lambda _, name: names.append(name)):
        act()
    return names


def failing_at(number: int, error: int) -> Callable[[int, str], None]:
    def fail(count: int, name: str) -> None:
        if count == number:
            raise OSError(error, os.strerror(error))

    return fail


def ending_at(number: int) -> Callable[[int, str], None]:
    def end(count: int, name: str) -> None:
        if count == number:
            os._exit(ENDED)

    return end


def is_refused(act: Callable[[], object], at_call: Callable[[int, str], None]) -> bool:
    """Whether a save ends with a finding; any other error is none of those that may come."""
    try:
        with watched(at_call):
            act()
    except Refused:
        return True
    return False


def folder_at(parent: Path) -> Path:
    """A folder with a workbook and one version before; gives the workbook."""
    parent.mkdir()
    path = parent / "plan.xlsx"
    path.write_bytes(OLDER)
    replace_file(path, OLD, fingerprint(path))
    return path


def replaced(path: Path) -> Callable[[], object]:
    seen = fingerprint(path)
    return lambda: replace_file(path, NEW, seen)


def check_folder(path: Path, *, strays: bool) -> None:
    """Nothing but the workbook and its versions, each whole."""
    names = {one.name for one in path.parent.iterdir()}
    if not strays:
        assert {n for n in names if n.startswith(STRAY_PREFIX)} == set()
        assert not list((path.parent / BACKUPS).glob(f"{STRAY_PREFIX}*"))
    assert {n for n in names if not n.startswith(STRAY_PREFIX)} <= {"plan.xlsx", BACKUPS}
    assert {copy.read_bytes() for copy in backups_of(path)} <= {OLDER, OLD}
    assert backups_of(path)


@pytest.mark.parametrize("error", ERRORS, ids=lambda error: errno.errorcode[error])
def test_replace_file__a_fault_at_any_call_leaves_the_old_or_the_new_file(
    error: int, tmp_path: Path
) -> None:
    """What is said is true: a refusal leaves the old file, and written means the new one."""
    total = len(calls_of(replaced(folder_at(tmp_path / "whole"))))
    assert total > 60
    outcomes: Counter[str] = Counter()
    for number in range(1, total + 1):
        path = folder_at(tmp_path / str(number))
        act = replaced(path)
        refused = is_refused(act, failing_at(number, error))
        assert path.read_bytes() == (OLD if refused else NEW), number
        outcomes["refused" if refused else "written"] += 1
        # Where taking the temporary file away is what fails it stays, and is swept later.
        check_folder(path, strays=True)
    assert outcomes["refused"] > 30
    assert outcomes["written"] > 5


def test_replace_file__an_end_before_any_call_leaves_the_old_or_the_new_file(
    tmp_path: Path,
) -> None:
    total = len(calls_of(replaced(folder_at(tmp_path / "whole"))))
    outcomes: Counter[bytes] = Counter()
    for number in range(1, total + 2):
        path = folder_at(tmp_path / str(number))
        act = replaced(path)
        assert ended(act, number) == (ENDED if number <= total else 0)
        assert path.read_bytes() in (OLD, NEW)
        outcomes[path.read_bytes()] += 1
        check_folder(path, strays=True)
        if path.read_bytes() == NEW:
            assert OLD in [copy.read_bytes() for copy in backups_of(path)]
        replace_file(path, OLDER, fingerprint(path))  # a run afterwards goes through
    assert outcomes[OLD] > 40
    assert outcomes[NEW] > 3


def ended(act: Callable[[], object], number: int) -> int:
    """Exit code of a process of its own that is ended before one of its system calls."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore", DeprecationWarning)  # of threads that fork leaves behind
        child = os.fork()
    if child == 0:
        with watched(ending_at(number)):
            act()
        os._exit(0)
    return os.waitstatus_to_exitcode(os.waitpid(child, 0)[1])


@pytest.mark.parametrize("error", ERRORS, ids=lambda error: errno.errorcode[error])
def test_new_file__a_fault_at_any_call_leaves_none_or_the_new_file(
    error: int, tmp_path: Path
) -> None:
    def act(name: str) -> tuple[Path, Callable[[], object]]:
        path = tmp_path / name / "new.xlsx"
        path.parent.mkdir()
        return path, lambda: new_file(path, NEW)

    total = len(calls_of(act("whole")[1]))
    assert total > 15
    for number in range(1, total + 1):
        path, write = act(str(number))
        refused = is_refused(write, failing_at(number, error))
        assert refused is not path.exists(), number
        assert refused or path.read_bytes() == NEW


def test_new_file__an_end_before_any_call_leaves_none_or_the_new_file(tmp_path: Path) -> None:
    total = len(calls_of(lambda: new_file(tmp_path / "first.xlsx", NEW)))
    found: Counter[bool] = Counter()
    for number in range(1, total + 1):
        path = tmp_path / f"{number}.xlsx"
        assert ended(lambda path=path: new_file(path, NEW), number) == ENDED  # type: ignore[misc]
        found[path.exists()] += 1
        assert not path.exists() or path.read_bytes() == NEW
    assert found[True] > 2
    assert found[False] > 10


def test_replace_file__is_forced_to_disk_before_it_takes_a_place(tmp_path: Path) -> None:
    """After each write comes a forcing before the next change of a name, and the folder's after."""
    calls = calls_of(replaced(folder_at(tmp_path / "one")))
    wanted = ("write", "fsync", "replace", "rename")
    order = [name for name in calls if name in wanted]
    assert order == ["write", "fsync", "write", "fsync", "replace", "fsync", "replace", "fsync"]


class Folder:
    """A folder in a network that lacks what folders of this computer have."""

    def __init__(self, patch: pytest.MonkeyPatch) -> None:
        self.patch = patch

    def lacks(self, name: str, error: int, *, over_only: bool = False) -> None:
        """Let a call give an error; ``over_only``: only where there is a file of the new name."""
        call = getattr(os, name)

        def lacking(*words: Any, **more: Any) -> Any:
            if not over_only or Path(words[1]).exists():
                raise OSError(error, os.strerror(error))
            return call(*words, **more)

        self.patch.setattr(os, name, lacking)


@pytest.fixture
def network(monkeypatch: pytest.MonkeyPatch) -> Folder:
    return Folder(monkeypatch)


@pytest.mark.parametrize("error", [errno.EINVAL, errno.ENOTSUP, errno.ENOSYS])
def test_network__files_that_cannot_be_forced_to_disk(
    network: Folder, error: int, tmp_path: Path
) -> None:
    path = folder_at(tmp_path / "one")
    network.lacks("fsync", error)
    assert replace_file(path, NEW, fingerprint(path))
    new_file(path.with_name("new.xlsx"), NEW)
    assert path.read_bytes() == path.with_name("new.xlsx").read_bytes() == NEW


def test_network__permissions_times_and_locks_that_it_does_not_know(
    network: Folder, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def no_locks(*_: object) -> None:
        raise OSError(errno.ENOLCK, "No locks available")

    path = folder_at(tmp_path / "one")
    for name in ("chmod", "utime", "link"):
        network.lacks(name, errno.EPERM)
    monkeypatch.setattr(fcntl, "flock", no_locks)
    assert replace_file(path, NEW, fingerprint(path))
    new_file(path.with_name("new.xlsx"), NEW)
    assert path.read_bytes() == path.with_name("new.xlsx").read_bytes() == NEW


@pytest.mark.parametrize("error", [errno.EEXIST, errno.EACCES, errno.EBUSY])
def test_network__a_file_that_cannot_take_the_place_of_another(
    network: Folder, error: int, tmp_path: Path
) -> None:
    """The workbook stays, and the results go beside it, also a second time."""
    path = tmp_path / "plan.xlsx"
    costing.write_template(path)
    before = path.read_bytes()
    shoot, findings = costing.read_workbook(path)
    network.lacks("replace", error, over_only=True)
    written = costing.write_results(path, costing.estimate(shoot), findings)
    assert path.read_bytes() == before
    assert written.path == path.with_name("plan results.xlsx")
    assert b"To buy" in zipped_text(written.path)


def zipped_text(path: Path) -> bytes:
    with zipfile.ZipFile(path) as archive:
        return archive.read("xl/workbook.xml")


RUN = """
import sys
from pathlib import Path
from costing.workbook.package.commit import read_file, replace_file
from costing.workbook.package.refusals import Refused

path, mine = Path(sys.argv[1]), Path(sys.argv[2]).read_bytes()
for line in sys.stdin:
    old, seen = read_file(path)
    print("read", flush=True)
    sys.stdin.readline()
    try:
        replace_file(path, old + mine, seen)
    except Refused as refused:
        print(refused.finding.code, flush=True)
    else:
        print("written", flush=True)
"""
ROUNDS = 25


def test_two_runs_at_once__one_writes_and_the_other_is_told(tmp_path: Path) -> None:
    """Both read the same file, then both save: never does one write over what the other wrote."""
    path = tmp_path / "log.bin"
    path.write_bytes(b"")
    runs = []
    for name in (b"a", b"b"):
        (tmp_path / name.decode()).write_bytes(name)
        runs.append(
            subprocess.Popen(  # noqa: S603 - our own interpreter and words
                [sys.executable, "-c", RUN, str(path), str(tmp_path / name.decode())],
                stdin=subprocess.PIPE,
                stdout=subprocess.PIPE,
                text=True,
            )
        )

    def both(words: str) -> list[str]:
        for one in runs:
            assert one.stdin is not None
            one.stdin.write(words)
            one.stdin.flush()
        return [one.stdout.readline().strip() for one in runs if one.stdout is not None]

    outcomes: Counter[str] = Counter()
    for _ in range(ROUNDS):
        assert both("read\n") == ["read", "read"]
        outcomes.update(both("save\n"))
    for one in runs:
        one.communicate(timeout=30)
    assert outcomes == {"written": ROUNDS, "changed meanwhile": ROUNDS}
    assert len(path.read_bytes()) == ROUNDS
