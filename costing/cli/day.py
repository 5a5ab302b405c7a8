"""Commands of the day and after it: the log, takes left, closing, what past shoots teach."""

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
    busy,
    estimated,
    exit_code,
    main,
    read,
    read_more,
    write_file,
)

if TYPE_CHECKING:
    from collections.abc import Sequence

    from costing.past import NotRead
    from costing.report.estimates import Estimate
    from costing.seasons import Season

FOLDER = click.argument("folder", required=False, default=".", type=PATH)
BY = ("portion", "minute")
BY_PLAN = ("Used value", "Paid")
NAMED = 10
"""So many workbooks that cannot be read are named on the screen."""


@main.command("takes")
@FOLDER
@answering
def takes_command(folder: Path) -> int:
    """Print what past workbooks teach about numbers of times, by kind of step."""
    from costing.cli import screen
    from costing.findings import how_many
    from costing.past import (
        HEADINGS,
        YIELD_HEADINGS,
        about_lessons,
        row_of,
        takes_learned,
        yield_cells,
    )
    from costing.shoot.weighings import ENOUGH_WEIGHINGS

    with busy(f"Reading the workbooks in {folder}"):
        found = takes_learned(folder)
    if found.lessons:
        screen.listed(HEADINGS, [row_of(lesson) for lesson in found.lessons])
        click.echo()
        for line in about_lessons(found.lessons):
            screen.paragraph(line)
    if found.yields:
        screen.listed(YIELD_HEADINGS, [yield_cells(one) for one in found.yields])
        screen.paragraph(
            f"By all that trimming left, in brackets with fewer than {ENOUGH_WEIGHINGS} weighings."
        )
    if not found.lessons and not found.yields:
        books = how_many(found.workbooks, "workbook")
        screen.paragraph(
            f"Nothing to learn from: of {books} read in {_said(folder)} none says how "
            "often a shot was taken. Fill Taken and Ended by on the sheet Shoot plan, or log takes "
            "with costing log."
        )
    tell_not_read(found.not_read)
    return DONE if found.lessons or found.yields else NOTHING_FOUND


def _said(folder: Path) -> str:
    return "this folder" if folder == Path() else str(folder)


def tell_not_read(not_read: Sequence[NotRead]) -> None:
    """Name the workbooks of a folder that cannot be used, and why."""
    from costing.cli import screen

    for one in not_read[:NAMED]:
        screen.paragraph(f"Not read: {one}")
    if len(not_read) > NAMED:
        names = ", ".join(one.workbook for one in not_read[NAMED:])
        screen.paragraph(f"Not read for the like: {names}")


EPISODES = (
    *(("Shot on", False), ("Used", True), ("Actual", True), ("Paid", True), ("Per portion", True)),
    *(("Per minute", True), ("Episode", False)),
)
FIGURES = (("Of an episode", False), ("Episodes", True), ("Median", True), ("Range", True))
"""Columns on the screen, each with whether its cells stand to the right."""


def tell_season(found: Season) -> None:
    """Print the episodes in their order and the figures over them, currency by currency."""
    from costing.cli import screen
    from costing.findings import choice_words, how_many
    from costing.seasons import figures_of

    for currency in dict.fromkeys(one.currency for one in found.episodes):
        rows = []
        for one in found.episodes:
            if one.currency != currency:
                continue
            figures = figures_of(one)
            of_it = ["Used value", "Actual", "Paid", *(f"Used per {by}" for by in BY)]
            if one.actual is not None:
                of_it[3:] = [f"Actual per {by}" for by in BY]
            cells = [screen.money(figures.get(name), currency) for name in of_it]
            if one.left_out:  # by the plan it is so much without what is left out
                for at, name in enumerate(of_it):
                    if name in figures and name in BY_PLAN:
                        cells[at] = f"at least {cells[at]}"
            day = one.day.isoformat() if one.day else "-"
            rows.append((day, *cells, str(one)))
        screen.listed(EPISODES, rows)
        click.echo()
        over_all = [
            (
                str(row["figure"]),
                str(row["episodes"]),
                screen.money(row["median"], currency),
                " to ".join(
                    dict.fromkeys(screen.money(row[end], currency) for end in ("least", "most"))
                ),
            )
            for row in found.tables["figures"].rows
            if row["currency"] == currency
        ]
        if over_all:
            screen.listed(FIGURES, over_all)
            click.echo()
    by = "Used and Paid are by the plan"
    if any(one.actual is not None for one in found.episodes):
        by += (
            ", Actual by receipts and counts. Per portion and per minute are of Actual where it "
            "is known, else of Used"
        )
    screen.paragraph(f"{by}.")
    incomplete = sum(bool(one.left_out) for one in found.episodes)
    if incomplete:
        episodes = how_many(len(found.episodes), "episode")
        screen.paragraph(
            f"In no median and no range, as they leave something out: {incomplete} of {episodes}. "
            "What it is stands on the sheet Season of --output."
        )
    unread: dict[str, tuple[str, ...]] = {
        one.workbook: one.not_in_actual for one in found.episodes if one.not_in_actual
    }
    for workbook, what in unread.items():
        screen.paragraph(
            f"Not in Actual of {workbook}, which is in no median: {choice_words(what, last='and')}."
        )


@main.command("season")
@FOLDER
@click.option("--output", type=PATH, help="Write a workbook with charts and all rows (.xlsx).")
@answering
def season_command(folder: Path, *, output: Path | None) -> int:
    """Print what the episodes of a folder of workbooks cost, over time and in the middle."""
    from costing.cli import screen
    from costing.findings import how_many
    from costing.seasons import season
    from costing.workbook.package.commit import new_file
    from costing.workbook.template.season_book import season_bytes

    ends_in(output, ".xlsx")
    with busy(f"Working out the workbooks in {folder}"):
        found = season(folder)
    if found.episodes:
        tell_season(found)
    else:
        books = how_many(found.workbooks, "workbook was", "workbooks were")
        screen.paragraph(f"No episode to show: {books} read in {_said(folder)}.")
    tell_not_read(found.not_read)
    if output is not None and found.episodes:
        new_file(output, season_bytes(found.tables))
        click.echo(f"Written: {output}")
    return DONE if found.episodes else NOTHING_FOUND


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
