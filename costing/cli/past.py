"""Commands about past shoots: what their workbooks teach."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from costing.cli.frame import DONE, NOTHING_FOUND, answering, busy, main

if TYPE_CHECKING:
    from collections.abc import Sequence

    from costing.past import NotRead

FOLDER = click.argument(
    "folder", required=False, default=".", type=click.Path(path_type=Path, readable=False)
)
NAMED = 10
"""So many workbooks that cannot be read are named on the screen."""


@main.command("takes")
@FOLDER
@answering
def takes_command(folder: Path) -> int:
    """Print what past workbooks teach about numbers of times, by kind of step."""
    from costing import screen
    from costing.past import takes_learned
    from costing.report.learned_words import HEADINGS, about_lessons, row_of

    with busy(f"Reading the workbooks in {folder}"):
        found = takes_learned(folder)
    if found.lessons:
        screen.listed(HEADINGS, [row_of(lesson) for lesson in found.lessons])
        click.echo()
        for line in about_lessons(found.lessons):
            screen.paragraph(line)
    else:
        screen.paragraph(
            f"Nothing to learn from: of {found.workbooks} workbooks read in {folder} none says how "
            "often a shot was taken. Fill Taken and Ended by on the sheet Shoot plan, or log takes "
            "with costing log."
        )
    tell_not_read(found.not_read)
    return DONE if found.lessons else NOTHING_FOUND


def tell_not_read(not_read: Sequence[NotRead]) -> None:
    """Name the workbooks of a folder that cannot be used, and why."""
    from costing import screen

    for one in not_read[:NAMED]:
        screen.paragraph(f"Not read: {one}")
    if len(not_read) > NAMED:
        names = ", ".join(one.workbook for one in not_read[NAMED:])
        screen.paragraph(f"Not read for the like: {names}")
