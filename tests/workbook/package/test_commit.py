"""A workbook put on disk: whole before, whole after, whatever happens in between."""

from __future__ import annotations

import errno
import os
import random
import signal
import stat
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest
from packages import parts_of, plain, zipped

from costing.workbook.package import commit, wholefile
from costing.workbook.package.commit import (
    fingerprint,
    new_file,
    open_elsewhere,
    read_file,
    replace_file,
)
from costing.workbook.package.extents import LIMITS
from costing.workbook.package.refusals import Refused, size_words
from costing.workbook.package.wholefile import STRAY_PREFIX, STRAY_SUFFIX, backups_of, sweep

OLD = zipped(plain())
NEW = zipped(plain() | {"xl/extra.bin": b"new"})
KILLS = 20


@pytest.fixture
def workbook(tmp_path: Path) -> Path:
    path = tmp_path / "plan.xlsx"
    path.write_bytes(OLD)
    return path


def version(number: int) -> bytes:
    return zipped(plain() | {"xl/extra.bin": b"%d" % number})


def refusal(act: Callable[[], object]) -> str:
    with pytest.raises(Refused) as caught:
        act()
    return str(caught.value.finding)


def visible(folder: Path) -> list[str]:
    return sorted(one.name for one in folder.iterdir())


def test_replace_file__puts_the_new_content_and_keeps_the_old(workbook: Path) -> None:
    assert replace_file(workbook, NEW, fingerprint(workbook)) is True
    assert workbook.read_bytes() == NEW
    (copy,) = backups_of(workbook)
    assert copy.read_bytes() == OLD
    assert copy.parent.name == ".costing-backups"
    assert copy.name.startswith("plan.20")
    assert copy.suffix == ".xlsx"
    assert visible(workbook.parent) == [".costing-backups", "plan.xlsx"]


def test_replace_file__same_content_writes_nothing(workbook: Path) -> None:
    before = workbook.stat()
    assert replace_file(workbook, OLD, fingerprint(workbook)) is False
    after = workbook.stat()
    assert (before.st_mtime_ns, before.st_ino) == (after.st_mtime_ns, after.st_ino)
    assert visible(workbook.parent) == ["plan.xlsx"]


def test_replace_file__keeps_the_mode(workbook: Path) -> None:
    workbook.chmod(0o640)
    replace_file(workbook, NEW, fingerprint(workbook))
    assert stat.S_IMODE(workbook.stat().st_mode) == 0o640


def test_replace_file__of_a_link_the_file_it_leads_to_is_replaced(workbook: Path) -> None:
    link = workbook.parent / "elsewhere" / "link.xlsx"
    link.parent.mkdir()
    link.symlink_to(workbook)
    replace_file(link, NEW, fingerprint(link))
    assert link.is_symlink()
    assert workbook.read_bytes() == NEW


def test_replace_file__the_ten_newest_versions_are_kept_of_each_workbook(workbook: Path) -> None:
    other = workbook.with_name("plan.2.xlsx")
    other.write_bytes(OLD)
    replace_file(other, NEW, fingerprint(other))
    for number in range(13):
        replace_file(workbook, version(number), fingerprint(workbook))
    kept = [copy.read_bytes() for copy in backups_of(workbook)]
    assert kept == [version(number) for number in range(2, 12)]
    assert len(backups_of(other)) == 1


def test_replace_file__a_version_that_is_kept_is_not_kept_twice(workbook: Path) -> None:
    replace_file(workbook, NEW, fingerprint(workbook))
    workbook.write_bytes(OLD)
    replace_file(workbook, NEW, fingerprint(workbook))
    assert len(backups_of(workbook)) == 1


def test_changed_meanwhile(workbook: Path) -> None:
    seen = fingerprint(workbook)
    workbook.write_bytes(version(1))
    assert refusal(lambda: replace_file(workbook, NEW, seen)) == (
        "'plan.xlsx': found the file changed since it was read, expected the same file "
        "[changed meanwhile]\n"
        "  Nothing was written. Run again; the changes are then counted."
    )
    assert workbook.read_bytes() == version(1)
    assert visible(workbook.parent) == ["plan.xlsx"]


def test_changed_meanwhile__while_the_new_file_is_being_written(
    workbook: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    seen = fingerprint(workbook)

    def write_over(*_: object) -> None:
        workbook.write_bytes(version(1))

    monkeypatch.setattr(wholefile, "check_written", write_over)
    assert "[changed meanwhile]" in refusal(lambda: replace_file(workbook, NEW, seen))
    assert workbook.read_bytes() == version(1)
    assert visible(workbook.parent) == ["plan.xlsx"]


def test_open_elsewhere(workbook: Path) -> None:
    lock = workbook.with_name(".~lock.plan.xlsx#")
    lock.write_text("Cook,cook,kitchen,25.11.2025 09:00,file:///home;")
    assert refusal(lambda: replace_file(workbook, NEW, fingerprint(workbook))) == (
        "'plan.xlsx': found the file open in another program (Cook), expected a file that is "
        "closed [open elsewhere]\n"
        "  Save and close it there, then run again; or have the results written into another file."
    )
    assert workbook.read_bytes() == OLD


@pytest.mark.parametrize(
    ("name", "content", "who"),
    [
        ("~$plan.xlsx", b"\x04Cook" + b" " * 50 + b"\x04\x00C\x00", "Cook"),
        ("~$plan.xlsx", b"", "by whom is not said"),
        ("~$plan.xlsx", b"\xffCook", "by whom is not said"),
        (".~lock.plan.xlsx#", b"Cook,login,kitchen,now,file;", "Cook"),
        (".~lock.plan.xlsx#", b",login,kitchen,now,file;", "login"),
        (".~lock.plan.xlsx#", b",,,,;", "by whom is not said"),
        ("~$other.xlsx", b"\x04Cook", None),
    ],
)
def test_open_elsewhere__who(workbook: Path, name: str, content: bytes, who: str | None) -> None:
    workbook.with_name(name).write_bytes(content)
    assert open_elsewhere(workbook) == who


def test_open_elsewhere__a_lock_of_more_than_a_day_was_left_by_a_crash(workbook: Path) -> None:
    lock = workbook.with_name("~$plan.xlsx")
    lock.write_bytes(b"\x04Cook")
    day_ago = time.time() - 86_400
    os.utime(lock, (day_ago + 60, day_ago + 60))
    assert open_elsewhere(workbook) == "Cook"
    os.utime(lock, (day_ago - 60, day_ago - 60))
    assert open_elsewhere(workbook) is None


def test_file_not_found(tmp_path: Path) -> None:
    assert refusal(lambda: read_file(tmp_path / "plan.xlsx")) == (
        f"'plan.xlsx': found no file of this name in the folder {str(tmp_path)!r}, expected the "
        "name of a file that is there [file not found]\n  Check the spelling and the folder."
    )


def test_not_a_file(tmp_path: Path) -> None:
    assert refusal(lambda: read_file(tmp_path)).endswith(
        ": found a folder, expected the name of a workbook [not a file]\n"
        "  Add the name of the workbook to it."
    )


def test_not_a_file__the_folder_one_is_in() -> None:
    assert refusal(lambda: read_file(Path())).startswith("'.': found a folder, ")


def test_file_cannot_be_read(workbook: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def denied(*_: object, **__: object) -> None:
        raise PermissionError(errno.EACCES, "Permission denied")

    monkeypatch.setattr(Path, "open", denied)
    assert refusal(lambda: read_file(workbook)) == (
        "'plan.xlsx': found a file that cannot be read (Permission denied), expected a workbook "
        "that you may read [file cannot be read]\n"
        "  Close it in other programs, and look whether you may open it yourself."
    )


def test_read_file__size_is_judged_before_reading(workbook: Path) -> None:
    limits = replace(LIMITS, file_bytes=len(OLD))
    assert read_file(workbook, limits=limits)[0] == OLD
    limits = replace(LIMITS, file_bytes=len(OLD) - 1)
    assert refusal(lambda: read_file(workbook, limits=limits)).startswith(
        f"'plan.xlsx': found a file of {size_words(len(OLD))}"
    )


def failing(number: int) -> Callable[..., None]:
    def fail(*_: object) -> None:
        raise OSError(number, os.strerror(number))

    return fail


@pytest.mark.parametrize("number", [errno.ENOSPC, errno.EDQUOT])
def test_disk_full(workbook: Path, monkeypatch: pytest.MonkeyPatch, number: int) -> None:
    monkeypatch.setattr(os, "fsync", failing(number))
    assert refusal(lambda: replace_file(workbook, NEW, fingerprint(workbook))) == (
        f"'plan.xlsx': found no room on the disk, expected about {size_words(2 * len(NEW))} free "
        "beside the workbook [disk full]\n  Nothing was changed. Make room and run again."
    )
    assert workbook.read_bytes() == OLD
    assert visible(workbook.parent) == ["plan.xlsx"]


@pytest.mark.parametrize("number", [errno.EACCES, errno.EPERM, errno.EROFS])
def test_no_write_permission(workbook: Path, monkeypatch: pytest.MonkeyPatch, number: int) -> None:
    monkeypatch.setattr(tempfile, "mkstemp", failing(number))
    assert refusal(lambda: replace_file(workbook, NEW, fingerprint(workbook))) == (
        f"'plan.xlsx': found no permission to write in the folder {str(workbook.parent)!r}, "
        "expected a folder that you may write in [no write permission]\n"
        "  Close the file in other programs, or have the results written into another folder."
    )


def test_cannot_be_replaced__the_last_step_is_denied_by_an_open_program(
    workbook: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    seen = fingerprint(workbook)
    replace_of_path = Path.replace

    def denied(self: Path, target: Path) -> Path:
        if target == workbook:
            raise PermissionError(errno.EACCES, "in use")
        return replace_of_path(self, target)

    monkeypatch.setattr(Path, "replace", denied)
    assert refusal(lambda: replace_file(workbook, NEW, seen)) == (
        "'plan.xlsx': found a file that the system does not let be replaced (in use), expected a "
        "file that is closed, in a folder of this computer [cannot be replaced]\n"
        "  Close it in other programs. The results can be written into another file beside it."
    )
    assert workbook.read_bytes() == OLD
    assert visible(workbook.parent) == [".costing-backups", "plan.xlsx"]


def test_replace_file__where_an_open_file_stays_we_do_not_have_it_open_either(
    workbook: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Windows replaces no file that is open as Python opens it, without the share to delete."""
    replace_of_path = Path.replace

    def denied_when_open(self: Path, target: Path) -> Path:
        held = [os.path.realpath(one) for one in Path("/proc/self/fd").iterdir()]
        if str(target) in held:
            raise PermissionError(errno.EACCES, "in use")
        return replace_of_path(self, target)

    monkeypatch.setattr(Path, "replace", denied_when_open)
    assert "[cannot be replaced]" in refusal(
        lambda: replace_file(workbook, NEW, fingerprint(workbook))
    )
    monkeypatch.setattr(commit, "OPEN_STAYS", True)
    assert replace_file(workbook, NEW, fingerprint(workbook))
    assert workbook.read_bytes() == NEW


def test_write_failed(workbook: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(os, "fsync", failing(errno.EIO))
    assert refusal(lambda: replace_file(workbook, NEW, fingerprint(workbook))) == (
        "'plan.xlsx': found a fault of the disk while writing (Input/output error), expected a "
        "file that can be written and read back [write failed]\n"
        "  The old file is whole. Try another folder, on a disk of this computer if this is none."
    )
    assert workbook.read_bytes() == OLD


def test_write_failed__what_reads_back_is_not_what_was_written(
    workbook: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    read = Path.read_bytes

    def damaged(self: Path) -> bytes:
        data = read(self)
        return data[:-1] if self.name.startswith(STRAY_PREFIX) else data

    monkeypatch.setattr(Path, "read_bytes", damaged)
    told = refusal(lambda: replace_file(workbook, NEW, fingerprint(workbook)))
    assert "(it reads back differently)" in told
    assert visible(workbook.parent) == ["plan.xlsx"]


def test_write_failed__a_workbook_that_does_not_unpack_is_not_put_in_place(workbook: Path) -> None:
    broken = bytearray(zipped(plain(), stored=True))
    broken[broken.index(b"leek tart")] ^= 1
    told = refusal(lambda: replace_file(workbook, bytes(broken), fingerprint(workbook)))
    assert "(the part 'xl/worksheets/sheet1.xml' does not unpack)" in told
    assert workbook.read_bytes() == OLD


def test_new_file__writes_what_is_not_there(tmp_path: Path) -> None:
    path = tmp_path / "new.xlsx"
    mask = os.umask(0o022)
    try:
        new_file(path, NEW)
    finally:
        os.umask(mask)
    assert path.read_bytes() == NEW
    assert stat.S_IMODE(path.stat().st_mode) == 0o644
    assert visible(tmp_path) == ["new.xlsx"]


def test_new_file__other_kinds_of_file_too(tmp_path: Path) -> None:
    new_file(tmp_path / "alarms.ics", b"BEGIN:VCALENDAR\r\n")
    assert (tmp_path / "alarms.ics").read_bytes() == b"BEGIN:VCALENDAR\r\n"


def test_file_exists(workbook: Path) -> None:
    assert refusal(lambda: new_file(workbook, NEW)) == (
        "'plan.xlsx': found a file of this name already there, expected a name that is free "
        "[file exists]\n  Choose another name, or move the old file away."
    )
    assert workbook.read_bytes() == OLD


def test_file_exists__one_that_appears_while_writing_is_not_written_over(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "new.xlsx"
    monkeypatch.setattr(wholefile, "check_written", lambda *_: path.write_bytes(OLD))
    assert "[file exists]" in refusal(lambda: new_file(path, NEW))
    assert path.read_bytes() == OLD
    assert visible(tmp_path) == ["new.xlsx"]


def test_new_file__without_hard_links(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(Path, "hardlink_to", failing(errno.EPERM))
    new_file(tmp_path / "new.xlsx", NEW)
    assert (tmp_path / "new.xlsx").read_bytes() == NEW


def test_sweep__takes_away_old_files_of_ours_only(workbook: Path) -> None:
    old = workbook.with_name(f"{STRAY_PREFIX}a{STRAY_SUFFIX}")
    young = workbook.with_name(f"{STRAY_PREFIX}b{STRAY_SUFFIX}")
    foreign = workbook.with_name("a.part")
    for file in (old, young, foreign):
        file.write_bytes(b"")
    two_hours_ago = time.time() - 2 * 60 * 60
    os.utime(old, (two_hours_ago, two_hours_ago))
    os.utime(foreign, (two_hours_ago, two_hours_ago))
    sweep(workbook.parent)
    assert visible(workbook.parent) == sorted([young.name, foreign.name, "plan.xlsx"])


WRITER = """
import sys
from pathlib import Path
from costing.workbook.package.commit import fingerprint, replace_file

path = Path(sys.argv[1])
versions = [Path(name).read_bytes() for name in sys.argv[2:]]
print("ready", flush=True)
while True:
    for data in versions:
        replace_file(path, data, fingerprint(path))
"""


def test_killed_at_any_moment__the_file_is_the_old_one_or_the_new_one(tmp_path: Path) -> None:
    """A writer that goes to and fro between two versions is killed 20 times at random moments."""
    folder = tmp_path / "shoot"
    folder.mkdir()
    path = folder / "plan.xlsx"
    filler = random.Random(7).randbytes(400_000)  # noqa: S311 - any bytes that do not pack
    versions = [zipped(plain() | {"xl/media/image1.png": filler + bytes([n])}) for n in (1, 2)]
    names = []
    for number, data in enumerate(versions):
        (tmp_path / f"{number}").write_bytes(data)
        names.append(str(tmp_path / f"{number}"))
    path.write_bytes(versions[0])
    pause = random.Random(11)  # noqa: S311 - no secret
    for _ in range(KILLS):
        writer = subprocess.Popen(  # noqa: S603 - our own interpreter and words
            [sys.executable, "-c", WRITER, str(path), *names], stdout=subprocess.PIPE
        )
        assert writer.stdout is not None
        assert writer.stdout.readline() == b"ready\n"
        time.sleep(pause.uniform(0, 0.06))
        writer.send_signal(signal.SIGKILL)
        writer.wait()
        writer.stdout.close()
        data = path.read_bytes()
        assert data in versions
        assert "xl/workbook.xml" in parts_of(data)
        for copy in backups_of(path):
            assert copy.read_bytes() in versions


def test_write_protected__a_file_that_is_not_to_be_changed(workbook: Path) -> None:
    old, seen = read_file(workbook)
    workbook.chmod(0o444)
    with pytest.raises(Refused) as refused:
        replace_file(workbook, old + b"\0", seen)
    assert str(refused.value.finding) == (
        f"'{workbook.name}': found a write-protected file, expected a file that may be changed "
        "[write protected]\n"
        "  Take the write protection off. The results can be written into another file beside it."
    )
    assert workbook.read_bytes() == old


def test_folder_not_found__a_new_file_needs_its_folder(tmp_path: Path) -> None:
    with pytest.raises(Refused) as refused:
        new_file(tmp_path / "none" / "plan.xlsx", b"PK")
    assert str(refused.value.finding) == (
        f"'plan.xlsx': found no folder '{tmp_path / 'none'}' to write it into, expected a folder "
        "that is there [folder not found]\n"
        "  Make the folder first, or name another one."
    )
