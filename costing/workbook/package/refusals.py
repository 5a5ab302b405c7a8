"""Why a file is not let in or not changed, in words for the person who can mend it."""

from __future__ import annotations

from costing.findings import NOWHERE, Finding, Grade, Place, Words, message

SAVE_AS_XLSX = "Open it in a spreadsheet program and save it as an ordinary .xlsx workbook."
SAVE_AGAIN = "Open it in a spreadsheet program, look it over and save it under a new name as .xlsx."
RESULTS_ELSEWHERE = "The results can be written into another file beside it."


class Refused(Exception):
    """A file is not opened, not changed or not written; ``finding`` says why and what to do."""

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
    """Nothing in the file."""
    return Words(
        "a file without any content",
        "an .xlsx workbook",
        "If it comes from an online drive, let it download first; else take the last good copy.",
    )


@message("file too large", Grade.ERROR)
def file_too_large(size: int, limit: int) -> Words:
    """More bytes than are let in."""
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
    """The format before .xlsx."""
    return Words("a workbook in the old .xls format", "an .xlsx workbook", SAVE_AS_XLSX)


@message("password protected", Grade.ERROR)
def password_protected() -> Words:
    """Encrypted as a whole."""
    return Words(
        "a workbook protected by a password for opening",
        "a workbook that opens without a password",
        "Open it in a spreadsheet program, take the password off and save it.",
    )


@message("binary workbook", Grade.ERROR)
def binary_workbook() -> Words:
    """The binary form of a workbook."""
    return Words("a binary workbook (.xlsb)", "an .xlsx workbook", SAVE_AS_XLSX)


@message("strict workbook", Grade.ERROR)
def strict_workbook() -> Words:
    """The form of the format that libraries read as empty."""
    return Words(
        "a workbook saved as Strict Open XML",
        "an ordinary .xlsx workbook",
        'Open it in a spreadsheet program and save it as the plain type "Excel Workbook (.xlsx)".',
    )


@message("workbook damaged", Grade.ERROR)
def damaged(what: str) -> Words:
    """Something is wrong with the file; ``what`` says it in words."""
    return Words(what, "a whole workbook", SAVE_AGAIN)


@message("unsafe part name", Grade.ERROR)
def unsafe_part_name(name: str) -> Words:
    """A part that would stand outside the package, or twice in it."""
    return Words(
        f"a part named {name!r} inside the file",
        "part names that stay inside the workbook and stand in it once",
        SAVE_AGAIN,
    )


@message("encrypted part", Grade.ERROR)
def encrypted_part(name: str) -> Words:
    """An entry of the zip file with a password."""
    return Words(
        f"the part {name!r} encrypted inside the file",
        "a workbook without encryption",
        SAVE_AGAIN,
    )


@message("too many parts", Grade.ERROR)
def too_many_parts(count: int, limit: int) -> Words:
    """More parts than are let in."""
    return Words(
        f"{count} parts inside the file",
        f"at most {limit}",
        "Take pictures and sheets that are not needed out of the workbook.",
    )


@message("unpacks too large", Grade.ERROR)
def unpacks_too_large(size: int, limit: int) -> Words:
    """More bytes unpacked than are let in."""
    return Words(
        f"a file that unpacks to at least {size_words(size)}",
        f"at most {size_words(limit)}",
        "Delete rows and sheets that are not needed and save the workbook again.",
    )


@message("packed too tightly", Grade.ERROR)
def packed_too_tightly(name: str, ratio: int, limit: int) -> Words:
    """A part that unpacks to far more than it takes."""
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
    """Elements inside each other without end."""
    return Words(
        f"more than {limit} elements inside each other in the part {name!r}",
        f"at most {limit}",
        SAVE_AGAIN,
    )


@message("too many rows", Grade.ERROR)
def too_many_rows(row: int, limit: int) -> Words:
    """Content further down than is let in."""
    return Words(
        f"something in row {row}",
        f"nothing below row {limit}",
        "Press Ctrl+End to go there; delete the rows that are not needed and save.",
    )


@message("too many columns", Grade.ERROR)
def too_many_columns(column: str, limit: str) -> Words:
    """Content further right than is let in."""
    return Words(
        f"something in column {column}",
        f"nothing to the right of column {limit}",
        "Press Ctrl+End to go there; delete the columns that are not needed and save.",
    )


@message("too many cells", Grade.ERROR)
def too_many_cells(limit: int) -> Words:
    """More cells than are let in."""
    return Words(
        f"more than {limit} cells, blank ones with a format counted",
        f"at most {limit}",
        "Delete (not only clear) the rows and columns that hold nothing but a format, and save.",
    )


@message("too many merges", Grade.ERROR)
def too_many_merges(limit: int) -> Words:
    """More merged ranges than are let in."""
    return Words(
        f"more than {limit} merged ranges in one sheet",
        f"at most {limit}",
        "Unmerge the cells of that sheet and save.",
    )


@message("merged area too large", Grade.ERROR)
def covered_too_large(limit: int) -> Words:
    """Ranges that a library would fill with cells."""
    return Words(
        f"merged cells or a link that cover more than {limit} cells of one sheet",
        f"at most {limit}",
        "Unmerge the cells of that sheet, or put the link on a single cell, and save.",
    )


@message("signed workbook", Grade.ERROR)
def signed() -> Words:
    """A signature over the file."""
    return Words(
        "a digital signature, which any change would break",
        "a workbook without a signature",
        "Take the signature off, or leave it there. " + RESULTS_ELSEWHERE,
    )


@message("structure protected", Grade.ERROR)
def structure_protected() -> Words:
    """Sheets cannot be added."""
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
