"""The command that closes a shoot."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from costing.asked import WORKBOOKS, ends_in, workbook_named
from costing.cli.frame import (
    FILE,
    JSON,
    OUTPUT,
    answered,
    answering,
    estimated,
    main,
    read_more,
)

if TYPE_CHECKING:
    from costing.report.estimates import Estimate


@main.command("close")
@FILE
@OUTPUT
@click.option(
    "--next",
    "next_file",
    type=click.Path(path_type=Path, readable=False),
    help="Write a workbook for the next shoot with what is left on hand and prices as paid.",
)
@JSON
@answering
def close_command(
    file: Path | None, *, output: Path | None, next_file: Path | None, as_json: bool
) -> int:
    """Close a shoot: planned against actual, what is charged, and cash.

    With --json it prints the result as JSON and writes nothing unless --output is given.
    """
    from costing.next_workbook import write_next

    path = workbook_named(file)
    if output is not None:
        ends_in(output, *WORKBOOKS)
    estimate, _ = estimated(path, closing=True)
    about_next = [] if next_file is None else write_next(next_file, path, estimate)
    return answered(estimate, path, output, as_json=as_json, shown=_show, before=about_next)


def _show(estimate: Estimate, path: Path) -> None:
    """Print what happened against the plan, and what was found about it."""
    from costing import screen
    from costing.report.closing_rows import closing_words

    for line in closing_words(estimate.closed) if estimate.closed else ():
        screen.paragraph(line)
    click.echo()
    screen.tell(estimate.about_closing, rest=read_more(path))
