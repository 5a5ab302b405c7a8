"""The command that closes a shoot."""

from __future__ import annotations

from pathlib import Path

import click

from costing.asked import WORKBOOKS, ends_in, workbook_named
from costing.cli.frame import (
    FILE,
    JSON,
    answering,
    busy,
    estimated,
    exit_code,
    main,
    print_json,
    read_more,
)


@main.command("close")
@FILE
@click.option(
    "--output", type=click.Path(path_type=Path, readable=False), help="Write into a copy instead."
)
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
    from costing import screen
    from costing.next_workbook import write_next
    from costing.report.closing_rows import closing_words
    from costing.workbook.results.write import write_results

    path = workbook_named(file)
    if output is not None:
        ends_in(output, *WORKBOOKS)
    estimate, _ = estimated(path, closing=True)
    about_next = [] if next_file is None else write_next(next_file, path, estimate)
    written = None
    if output is not None or not as_json:
        with busy(f"Writing the results into {(output or path).name}"):
            written = write_results(path, estimate, output=output)
    if as_json:
        print_json(estimate.as_json())
    else:
        for line in closing_words(estimate.closed) if estimate.closed else ():
            screen.paragraph(line)
        click.echo()
        screen.tell(estimate.about_closing, rest=read_more(path))
    for line in about_next:
        click.echo(line, err=as_json)
    if written is not None:
        for line in written.notes:
            click.echo(line, err=as_json)
    return exit_code(estimate)
