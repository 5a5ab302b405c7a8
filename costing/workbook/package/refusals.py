"""Why a file is not let in, changed or written, in words for the user who can mend it."""

from __future__ import annotations

from costing.findings import NOWHERE, Finding, Grade, Place, Words, message

SAVE_AS_XLSX = "Open it in a spreadsheet program and save it as an ordinary .xlsx workbook."
SAVE_AGAIN = "Open it in a spreadsheet program, look it over and save it under a new name as .xlsx."
RESULTS_ELSEWHERE = "The results can be written into another file beside it."


class Refused(Exception):
    """A file is not opened, not changed or not written; ``finding`` says why and what to do.

    Examples
    --------
    >>> import costing
    >>> try:
    ...     costing.read_workbook("not there.xlsx")
    ... except Refused as refused:
    ...     refused.finding.code
    'file not found'
    """

    def __init__(self, finding: Finding) -> None:
        super().__init__(str(finding))
        self.finding = finding


def file_place(name: str) -> Place:
    """The place of a finding about a whole file, nowhere when its name is not known."""
    return Place(sheet=name) if name else NOWHERE


def size_words(size: int) -> str:
    """A number of bytes as people say it.

    Examples
    --------
    >>> size_words(12), size_words(70 * 1024 * 1024)
    ('12 bytes', '70 MB')
    """
    for unit, name in ((1024**3, "GB"), (1024**2, "MB"), (1024, "kB")):
        if size >= unit:
            return f"{size / unit:.3g} {name}"
    return f"{size} bytes"


@message("file empty", Grade.ERROR)
def file_empty() -> Words:
    return Words(
        "a file without any content",
        "an .xlsx workbook",
        "If it comes from an online drive, let it download first; else take the last good copy.",
    )


@message("file too large", Grade.ERROR)
def file_too_large(size: int, limit: int) -> Words:
    return Words(
        f"a file of {size_words(size)}",
        f"at most {size_words(limit)}",
        "Take pictures and sheets that are not needed out of the workbook.",
    )


@message("not a workbook", Grade.ERROR)
def not_a_workbook(kind: str) -> Words:
    """A file of another kind; ``kind`` says which in words."""
    return Words(kind, "an .xlsx workbook", SAVE_AS_XLSX)


@message("old workbook format", Grade.ERROR)
def old_format() -> Words:
    return Words("a workbook in the old .xls format", "an .xlsx workbook", SAVE_AS_XLSX)


@message("password protected", Grade.ERROR)
def password_protected() -> Words:
    return Words(
        "a workbook protected by a password for opening",
        "a workbook that opens without a password",
        "Open it in a spreadsheet program, take the password off and save it.",
    )


@message("binary workbook", Grade.ERROR)
def binary_workbook() -> Words:
    return Words("a binary workbook (.xlsb)", "an .xlsx workbook", SAVE_AS_XLSX)


@message("workbook damaged", Grade.ERROR)
def damaged(what: str) -> Words:
    """Something is wrong with the file; ``what`` says it in words."""
    return Words(what, "a whole workbook", SAVE_AGAIN)


@message("unsafe part name", Grade.ERROR)
def unsafe_part_name(name: str) -> Words:
    return Words(
        f"a part named {name!r} inside the file",
        "part names that stay inside the workbook",
        SAVE_AGAIN,
    )


@message("encrypted part", Grade.ERROR)
def encrypted_part(name: str) -> Words:
    return Words(
        f"the part {name!r} encrypted inside the file",
        "a workbook without encryption",
        SAVE_AGAIN,
    )


@message("too many parts", Grade.ERROR)
def too_many_parts(count: int, limit: int) -> Words:
    return Words(
        f"{count} parts inside the file",
        f"at most {limit}",
        "Take pictures and sheets that are not needed out of the workbook.",
    )


@message("unpacks too large", Grade.ERROR)
def unpacks_too_large(size: int, limit: int) -> Words:
    return Words(
        f"a file that unpacks to at least {size_words(size)}",
        f"at most {size_words(limit)}",
        "Delete rows and sheets that are not needed and save the workbook again.",
    )


@message("packed too tightly", Grade.ERROR)
def packed_too_tightly(name: str, ratio: int, limit: int) -> Words:
    return Words(
        f"the part {name!r} packed to one part in {ratio}",
        f"at most one part in {limit}",
        "A file like this can be made to harm; use it only if you know where it comes from, "
        "after saving it again in a spreadsheet program.",
    )


@message("entity declaration", Grade.ERROR)
def entity_declaration(name: str) -> Words:
    """A document type, which can make text grow without end or read other files."""
    return Words(
        f"a document type declaration in the part {name!r}",
        "none, as spreadsheet programs write none",
        "A file like this can be made to harm; use it only if you know where it comes from, "
        "after saving it again in a spreadsheet program.",
    )


@message("nested too deeply", Grade.ERROR)
def nested_too_deeply(name: str, limit: int) -> Words:
    return Words(
        f"more than {limit} elements inside each other in the part {name!r}",
        f"at most {limit}",
        SAVE_AGAIN,
    )


@message("too many cells", Grade.ERROR)
def too_many_cells(limit: int) -> Words:
    return Words(
        f"more than {limit} cells, blank ones with a format counted",
        f"at most {limit}",
        "Delete (not only clear) the rows and columns that hold nothing but a format, and save.",
    )


@message("too many merges", Grade.ERROR)
def too_many_merges(limit: int) -> Words:
    return Words(
        f"more than {limit} merged ranges in one sheet",
        f"at most {limit}",
        "Unmerge the cells of that sheet and save.",
    )


@message("merged area too large", Grade.ERROR)
def covered_too_large(limit: int) -> Words:
    return Words(
        f"merged cells that cover more than {limit} cells of one sheet",
        f"at most {limit}",
        "Unmerge the cells of that sheet and save.",
    )


@message("signed workbook", Grade.ERROR)
def signed() -> Words:
    return Words(
        "a digital signature, which any change would break",
        "a workbook without a signature",
        "Take the signature off, or leave it there. " + RESULTS_ELSEWHERE,
    )


@message("structure protected", Grade.ERROR)
def structure_protected() -> Words:
    return Words(
        "a workbook whose structure is protected",
        "a workbook to which sheets can be added",
        "Take the protection of the workbook off (Review, Protect Workbook). " + RESULTS_ELSEWHERE,
    )


@message("shared workbook", Grade.ERROR)
def shared_workbook() -> Words:
    """The old way of working together, with its list of revisions."""
    return Words(
        "a shared workbook that keeps a history of changes",
        "a workbook that is not shared in the old way",
        "Stop sharing it (Review, Unshare Workbook). " + RESULTS_ELSEWHERE,
    )


@message("file not found", Grade.ERROR)
def file_not_found(folder: str) -> Words:
    return Words(
        f"no file of this name in the folder {folder!r}",
        "the name of a file that is there",
        "Check the spelling and the folder.",
    )


@message("not a file", Grade.ERROR)
def not_a_file() -> Words:
    return Words("a folder", "the name of a workbook", "Add the name of the workbook to it.")


@message("file cannot be read", Grade.ERROR)
def cannot_be_read(reason: str) -> Words:
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
    return Words(
        "the file changed since it was read",
        "the same file",
        "Nothing was written. Run again; the changes are then counted.",
    )


@message("no write permission", Grade.ERROR)
def no_permission(folder: str) -> Words:
    return Words(
        f"no permission to write in the folder {folder!r}",
        "a folder that you may write in",
        "Close the file in other programs, or have the results written into another folder.",
    )


@message("disk full", Grade.ERROR)
def disk_full(needed: str) -> Words:
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


@message("cannot be replaced", Grade.ERROR)
def cannot_be_replaced(reason: str) -> Words:
    """The system holds the old file, or its folder lets no file take another's place."""
    return Words(
        f"a file that the system does not let be replaced ({reason})",
        "a file that is closed, in a folder of this computer",
        "Close it in other programs. " + RESULTS_ELSEWHERE,
    )


@message("file exists", Grade.ERROR)
def file_exists() -> Words:
    return Words(
        "a file of this name already there",
        "a name that is free",
        "Choose another name, or move the old file away.",
    )


@message("write protected", Grade.ERROR)
def write_protected() -> Words:
    return Words(
        "a write-protected file",
        "a file that may be changed",
        "Take the write protection off. " + RESULTS_ELSEWHERE,
    )


@message("folder not found", Grade.ERROR)
def folder_not_found(folder: str) -> Words:
    return Words(
        f"no folder {folder!r} to write it into",
        "a folder that is there",
        "Make the folder first, or name another one.",
    )


@message("links to other files", Grade.NOTE)
def links_to_other_files(count: int) -> Words:
    """Formulas that take values from elsewhere; nothing outside the workbook is ever read."""
    files = "another file" if count == 1 else f"{count} other files"
    return Words(
        f"formulas that take values from {files}",
        "numbers that stand in this workbook",
        "The values stored at the last saving are used and the links are left as they are. Open "
        "the workbook in a spreadsheet program and update the links where they may have changed.",
    )


@message("part twice", Grade.WARNING)
def part_twice(name: str) -> Words:
    """Two parts of one name; which of them a program shows is not laid down."""
    return Words(
        f"two different parts named {name!r} inside the file",
        "each part once",
        "The later one was read, as spreadsheet programs do, and only that one is written. Open "
        "the workbook in yours, look it over and save it under a new name as .xlsx.",
    )
