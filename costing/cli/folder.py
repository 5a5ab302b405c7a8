"""Commands over a folder of past workbooks: what they teach about takes, and what they cost."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from costing.asked import ends_in
from costing.cli.frame import DONE, NOTHING_FOUND, PATH, answering, busy, main

if TYPE_CHECKING:
    from collections.abc import Sequence

    from costing.past import NotRead
    from costing.report.tables import Row
    from costing.seasons import PastEpisode, Season

FOLDER = click.argument("folder", required=False, default=".", type=PATH)
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
    _tell_not_read(found.not_read)
    return DONE if found.lessons or found.yields else NOTHING_FOUND


def _said(folder: Path) -> str:
    return "this folder" if folder == Path() else str(folder)


def _tell_not_read(not_read: Sequence[NotRead]) -> None:
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


def _tell_season(found: Season) -> None:
    """Print the episodes in their order and the figures over them, currency by currency."""
    from costing.cli import screen
    from costing.findings import choice_words, how_many

    figures = found.tables["figures"].rows
    for episodes in found.by_currency:
        screen.listed(EPISODES, map(_episode_cells, episodes))
        click.echo()
        currency = episodes[0].currency
        over_all = [_figure_cells(row) for row in figures if row["currency"] == currency]
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
        of_all = how_many(len(found.episodes), "episode")
        screen.paragraph(
            f"In no median and no range, as they leave something out: {incomplete} of {of_all}. "
            "What it is stands on the sheet Season of --output."
        )
    unread: dict[str, tuple[str, ...]] = {
        one.workbook: one.not_in_actual for one in found.episodes if one.not_in_actual
    }
    for workbook, what in unread.items():
        screen.paragraph(
            f"Not in Actual of {workbook}, which is in no median: {choice_words(what, last='and')}."
        )


def _episode_cells(one: PastEpisode) -> tuple[str, ...]:
    """What an episode cost, by its actual where that is known."""
    from costing.cli import screen
    from costing.seasons import figures_of

    figures, of = figures_of(one), "Used" if one.actual is None else "Actual"
    cells = []
    for name in ("Used value", "Actual", "Paid", f"{of} per portion", f"{of} per minute"):
        cell = screen.money(figures.get(name), one.currency)
        # by the plan it is so much without what is left out
        at_least = one.left_out and name in figures and name in BY_PLAN
        cells.append(f"at least {cell}" if at_least else cell)
    return one.day.isoformat() if one.day else "-", *cells, str(one)


def _figure_cells(row: Row) -> tuple[str, ...]:
    """The middle of a figure over the episodes, and its range where that has two ends."""
    from costing.cli import screen

    currency = str(row["currency"]) if row["currency"] else None
    ends = dict.fromkeys(screen.money(row[end], currency) for end in ("least", "most"))
    median = screen.money(row["median"], currency)
    return str(row["figure"]), str(row["episodes"]), median, " to ".join(ends)


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
        _tell_season(found)
    else:
        books = how_many(found.workbooks, "workbook was", "workbooks were")
        screen.paragraph(f"No episode to show: {books} read in {_said(folder)}.")
    _tell_not_read(found.not_read)
    if output is not None and found.episodes:
        new_file(output, season_bytes(found.tables))
        click.echo(f"Written: {output}")
    return DONE if found.episodes else NOTHING_FOUND
