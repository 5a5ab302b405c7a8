"""Commands of the day and after it: the log, takes left, the page of the day, closing."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from costing.asked import (
    WORKBOOKS,
    ends_in,
    instant_asked,
    typed,
    workbook_and_words,
    workbook_named,
)
from costing.cli.frame import (
    DONE,
    FILE,
    JSON,
    NOTHING_FOUND,
    OUTPUT,
    PATH,
    answered,
    answering,
    estimated,
    exit_code,
    main,
    read,
    read_more,
    write_file,
)

if TYPE_CHECKING:
    from costing.report.estimates import Estimate


@main.command("close")
@FILE
@OUTPUT
@click.option(
    "--next",
    "next_file",
    type=PATH,
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
    from costing.new_workbook import write_next

    path = workbook_named(file)
    ends_in(output, *WORKBOOKS)
    estimate = estimated(path, closing=True)
    about_next = [] if next_file is None else write_next(next_file, path, estimate)
    shown = _show if next_file is None else _show_in_short
    return answered(estimate, path, output, as_json=as_json, shown=shown, before=about_next)


WRITTEN = "on the sheet Findings"
"""Where what closing says is read, which costing check, that closes no shoot, does not say."""


def _show(estimate: Estimate, _path: Path) -> None:
    """Print what happened against the plan, and what was found about it."""
    from costing.cli import screen
    from costing.report.closing_rows import closing_words

    for line in closing_words(estimate.closed) if estimate.closed else ():
        screen.paragraph(line)
    click.echo()
    screen.tell(estimate.about_closing, rest=WRITTEN, bearing_on="the closing")


def _show_in_short(estimate: Estimate, path: Path) -> None:
    """Print the sum of the closing, which was read before the next workbook is asked for."""
    from costing.cli import screen
    from costing.findings import Grade
    from costing.report.closing_rows import closing_words

    for line in list(closing_words(estimate.closed))[:1] if estimate.closed else ():
        screen.paragraph(f"{line} All of it: costing close {typed(path)}")
    about = estimate.about_closing
    errors = [one for one in about if one.grade is Grade.ERROR]
    screen.tell(about, rest=WRITTEN, shown=errors, bearing_on="the closing")


@main.command("log", context_settings={"ignore_unknown_options": True})
@click.argument("words", nargs=-1, metavar="[FILE] WHAT EVENT [TEMPERATURE or AMOUNT]")
@click.option("--at", "when", help="When; by default now. As 10:42, or 2031-05-10 10:42.")
@click.option("--undo", "undoing", is_flag=True, help="Take back the last line, or that of WHAT.")
@answering
def log_command(words: tuple[str, ...], *, when: str | None, undoing: bool) -> int:
    """Add a line to the day log: "bean bowl" out 4C, P5 taken, halloumi counted 1675 g."""
    from costing.day.lines import UnknownName, log, undo

    path, said = workbook_and_words(words)
    try:
        lines = (undo if undoing else log)(path, said, when=when)
    except UnknownName as unknown:
        click.echo(str(unknown), err=True)
        return NOTHING_FOUND
    for line in lines:
        click.echo(line)
    return DONE


@main.command("left")
@FILE
@answering
def left_command(file: Path | None) -> int:
    """Say how often each shot can still be taken with what is there."""
    from costing.cli import screen
    from costing.day.follows import about_takes, is_of_the_day, left
    from costing.report.finding_topics import beside_an_answer

    path = workbook_named(file)
    estimate = estimated(path)
    for line, note in left(estimate):
        screen.paragraph(line)
        if note:
            screen.paragraph(f"  {note}")
    if any(lack.packs for shot in estimate.outlook.takes_left for lack in shot.lacks):
        screen.paragraph(
            "Prices are of what is fetched after shopping; Summary has what one more adds before."
        )
    about = about_takes(estimate, path)
    # of a blank amount no take is short: that is said nowhere else here
    shown = beside_an_answer(
        about, own=lambda one: is_of_the_day(one, path) or one.code == "amount missing"
    )
    screen.tell(about, rest=read_more(path), shown=shown, bearing_on="the takes left")
    return exit_code(estimate)


@main.command("day")
@FILE
@click.option(
    "--html",
    "html_file",
    type=PATH,
    help="Write it as one file that keeps its own log; without it the page is served.",
)
@click.option("--paper", type=PATH, help="Write one page to print and fill in by hand, as .html.")
@click.option("--at", "when", help="The time the file is worked out for; by default now.")
@click.option("--host", default="", help="Address to serve at; by default this computer's own.")
@click.option("--port", default=0, help="Port to serve at; by default any that is free.")
@answering
def day_command(
    file: Path | None,
    *,
    html_file: Path | None,
    paper: Path | None,
    when: str | None,
    host: str,
    port: int,
) -> int:
    """Make or serve the page of the day for a phone: takes left, bowls, log by a tap."""
    from costing.day.lines import page_of
    from costing.report.day_page import day_page

    path = workbook_named(file)
    shoot = read(path)
    if paper is not None:
        from costing.report.day_page import paper_log
        from costing.workbook.layout.records import DAY_LOG

        ends_in(paper, ".html", ".htm")
        write_file(paper, paper_log(estimated(path, shoot), DAY_LOG.headings).encode())
        click.echo(f"Written: {paper}. Print it; what is written there can be typed into the log.")
    if html_file is None and paper is not None:
        return DONE
    if html_file is None:
        from costing.day.server import serve

        serve(path, host=host, port=port, say=click.echo)
        return DONE
    ends_in(html_file, ".html", ".htm")
    at = instant_asked(when, shoot)
    write_file(html_file, day_page(*page_of(shoot, path, at), at).encode())
    click.echo(f"Written: {html_file}. Open it on a phone; it needs no network.")
    return DONE
