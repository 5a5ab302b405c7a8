"""Why a file is not read or not written, in words for the person who can mend it."""

from __future__ import annotations

from costing.findings import Grade, Words, message
from costing.workbook.package.refusals import RESULTS_ELSEWHERE


@message("file not found", Grade.ERROR)
def file_not_found(folder: str) -> Words:
    """Nothing of this name."""
    return Words(
        f"no file of this name in the folder {folder!r}",
        "the name of a file that is there",
        "Check the spelling and the folder.",
    )


@message("not a file", Grade.ERROR)
def not_a_file() -> Words:
    """A folder or a device."""
    return Words("a folder", "the name of a workbook", "Add the name of the workbook to it.")


@message("file cannot be read", Grade.ERROR)
def cannot_be_read(reason: str) -> Words:
    """The system does not give it."""
    return Words(
        f"a file that cannot be read ({reason})",
        "a workbook that you may read",
        "Close it in other programs, and look whether you may open it yourself.",
    )


@message("open elsewhere", Grade.ERROR)
def is_open_elsewhere(who: str) -> Words:
    """Another program would write over what is written now, or the other way round."""
    return Words(
        f"the file open in another program ({who})",
        "a file that is closed",
        "Save and close it there, then run again; or have the results written into another file.",
    )


@message("changed meanwhile", Grade.ERROR)
def changed_meanwhile() -> Words:
    """What was read is not what stands there now."""
    return Words(
        "the file changed since it was read",
        "the same file",
        "Nothing was written. Run again; the changes are then counted.",
    )


@message("no write permission", Grade.ERROR)
def no_permission(folder: str) -> Words:
    """The system does not let us write."""
    return Words(
        f"no permission to write in the folder {folder!r}",
        "a folder that you may write in",
        "Close the file in other programs, or have the results written into another folder.",
    )


@message("disk full", Grade.ERROR)
def disk_full(needed: str) -> Words:
    """No room for the new file beside the old one."""
    return Words(
        "no room on the disk",
        f"about {needed} free beside the workbook",
        "Nothing was changed. Make room and run again.",
    )


@message("write failed", Grade.ERROR)
def write_failed(reason: str) -> Words:
    """Any other fault of the system while writing."""
    return Words(
        f"a fault of the disk while writing ({reason})",
        "a file that can be written and read back",
        "The old file is whole. Try another folder, on a disk of this computer if this is none.",
    )


@message("file exists", Grade.ERROR)
def file_exists() -> Words:
    """A new file would take the place of another."""
    return Words(
        "a file of this name already there",
        "a name that is free",
        "Choose another name, or move the old file away.",
    )


@message("write protected", Grade.ERROR)
def write_protected() -> Words:
    """A file whose owner has said that it is not to be changed."""
    return Words(
        "a write-protected file",
        "a file that may be changed",
        "Take the write protection off. " + RESULTS_ELSEWHERE,
    )


@message("folder not found", Grade.ERROR)
def folder_not_found(folder: str) -> Words:
    """A new file for a folder that is not there."""
    return Words(
        f"no folder {folder!r} to write it into",
        "a folder that is there",
        "Make the folder first, or name another one.",
    )
