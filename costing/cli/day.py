"""Commands of the day itself: what happened, and what follows from it."""

from __future__ import annotations

from pathlib import Path

import click

from costing.asked import ends_in, instant_asked, now_there, workbook_and_words, workbook_named
from costing.cli.frame import (
    DONE,
    FILE,
    NOTHING_FOUND,
    answering,
    estimated,
    exit_code,
    main,
    read_more,
    write_file,
)


@main.command("log", context_settings={"ignore_unknown_options": True})
@click.argument("words", nargs=-1, metavar="[FILE] WHAT EVENT [TEMPERATURE or AMOUNT]")
@click.option("--at", "when", help="When; by default now. As 10:42, or 2031-05-10 10:42.")
@click.option("--undo", "undoing", is_flag=True, help="Take back the last line, or that of WHAT.")
@answering
def log_command(words: tuple[str, ...], *, when: str | None, undoing: bool) -> int:
    """Add a line to the day log: "bean bowl" out 4C, P5 taken, halloumi counted 1675 g."""
    from costing.day import UnknownName, log, undo

    path, said = workbook_and_words(words)
    try:
        lines = undo(path, said) if undoing else log(path, said, when=when)
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
    from costing import screen
    from costing.day import about_takes, left

    path = workbook_named(file)
    estimate, _ = estimated(path)
    for line, note in left(estimate):
        screen.paragraph(line)
        if note:
            screen.paragraph(f"  {note}")
    screen.tell(about_takes(estimate, path), rest=read_more(path))
    return exit_code(estimate)


@main.command("day")
@FILE
@click.option(
    "--html",
    "html_file",
    type=click.Path(path_type=Path, readable=False),
    help="Write it as one file that keeps its own log; without it the page is served.",
)
@click.option(
    "--paper",
    type=click.Path(path_type=Path, readable=False),
    help="Write one page to print and fill in by hand, as .html.",
)
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
    from costing.day import page_of
    from costing.report.day_page import day_page
    from costing.workbook.reading import read_workbook

    path = workbook_named(file)
    shoot, _ = read_workbook(path)
    if paper is not None:
        from costing.report.day_page import paper_log
        from costing.workbook.layout.records import DAY_LOG

        ends_in(paper, ".html", ".htm")
        write_file(paper, paper_log(estimated(path)[0], DAY_LOG.headings).encode())
        click.echo(f"Written: {paper}. Print it; what is written there can be typed into the log.")
    if html_file is None and paper is not None:
        return DONE
    if html_file is None:
        from costing.day_server import serve

        serve(path, host=host, port=port, say=click.echo)
        return DONE
    ends_in(html_file, ".html", ".htm")
    at = now_there(shoot) if when is None else instant_asked(when, shoot)
    write_file(html_file, day_page(*page_of(path, at)).encode())
    click.echo(f"Written: {html_file}. Open it on a phone; it needs no network.")
    return DONE
