"""What is worth telling about a workbook that is let in."""

from __future__ import annotations

from costing.findings import Finding, Grade, Words, message
from costing.workbook.package.parts import Package
from costing.workbook.package.refusals import file_place


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


def notes_on(package: Package) -> list[Finding]:
    """Notes on a workbook as a package."""
    links = [r for r in package.relations(package.workbook) if r.kind == "externalLink"]
    if not links:
        return []
    return [links_to_other_files(file_place(package.name), len(links))]
