"""Commands that answer from a workbook, or from the published rules and values."""

from __future__ import annotations

from datetime import UTC, datetime
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

import click

from costing.asked import (
    WORKBOOKS,
    Stop,
    beside,
    ends_in,
    instant_asked,
    is_workbook,
    nearest_words,
    word_asked,
    workbook_named,
)
from costing.cli.frame import (
    DONE,
    FILE,
    JSON,
    NOTHING_FOUND,
    OUTPUT,
    PAST_A_LIMIT,
    PATH,
    answered,
    answering,
    busy,
    estimated,
    exit_code,
    main,
    print_json,
    read,
    read_more,
    show,
    write_file,
)

if TYPE_CHECKING:
    from collections.abc import Callable

    from costing.report.calendar import CalendarFile
    from costing.report.estimates import Estimate

    Run = Callable[..., None]

TO_THE_PHONE = (
    "Send it to the phone as a file (mail, chat, shared folder, cable) and open it in the "
    "browser there; it needs no network, and the ticks stay on that phone."
)


@main.command()
@FILE
@answering
def check(file: Path | None) -> int:
    """Print every finding of a workbook."""
    from costing.cli import screen

    estimate = estimated(workbook_named(file))
    screen.tell(estimate.findings)
    return exit_code(estimate)


@main.command("estimate")
@FILE
@OUTPUT
@click.option(
    "--every-take", is_flag=True, help="Price one more of every shot, however long it takes."
)
@click.option(
    "--seconds",
    type=click.FloatRange(min=0),
    help="End each search for the cheapest basket after so long; 30 unless given.",
)
@JSON
@answering
def estimate_command(
    file: Path | None,
    *,
    output: Path | None,
    every_take: bool,
    seconds: float | None,
    as_json: bool,
) -> int:
    """Work out a workbook and write the answers into it."""
    path = workbook_named(file)
    ends_in(output, *WORKBOOKS)
    estimate = estimated(path, every_take=every_take, seconds=seconds)
    return answered(estimate, path, output, as_json=as_json, shown=show)


def _written(ending: str, words: str) -> Callable[[Run], Run]:
    """An option to write the list as a file, whose name may be left out."""
    names = f"--{ending}", f"{ending}_file"
    return click.option(*names, is_flag=False, flag_value=Path(), type=PATH, help=words)


@main.command("list")
@FILE
@_written(
    "html", "Write it as a page for a phone, with boxes to tick; without a name NAME list.html."
)
@_written("csv", "Write it as CSV; without a name NAME list.csv.")
@click.option(
    "--calendar",
    type=PATH,
    help="Write the errands as an .ics file: what to order, fetch, thaw and make, by day.",
)
@answering
def list_command(
    file: Path | None, *, html_file: Path | None, csv_file: Path | None, calendar: Path | None
) -> int:
    """Print what to buy, shop by shop."""
    from costing.cli import screen
    from costing.cli.printed_list import print_list, print_made
    from costing.report.exchange import csv_text
    from costing.report.finding_topics import ABOVE_THE_LIST, OF_THIS_LIST, beside_an_answer

    if html_file is not None and csv_file is not None:
        raise Stop("--html and --csv: found both, expected one of them. Leave one out.")
    if file is None:  # "--html plan.xlsx" names the workbook, and no page
        file, html_file, csv_file = _workbook_behind(html_file, csv_file)
    path = workbook_named(file)
    if html_file is not None:
        html_file = beside(path, html_file, "list", ".html")
        ends_in(html_file, ".html", ".htm")
    if csv_file is not None:
        csv_file = beside(path, csv_file, "list", ".csv")
        ends_in(csv_file, ".csv")
    ends_in(calendar, ".ics")
    estimate = estimated(path)
    said = ""
    if html_file is not None:
        write_file(html_file, estimate.phone_page().encode())
        click.echo(f"Written: {html_file}. {TO_THE_PHONE}")
    elif csv_file is not None:
        data = csv_text(estimate.tables()["to_buy"]).encode("utf-8-sig")
        click.echo(f"Written: {csv_file}{write_file(csv_file, data, keep=True)}")
        print_made(estimate)
    elif calendar is None:
        print_list(estimate)
        said = ABOVE_THE_LIST
    if calendar is not None:
        click.echo(_errand_calendar(estimate, calendar))
    click.echo()
    about = estimate.about_buying
    shown = beside_an_answer(about, own=lambda one: one.code in OF_THIS_LIST)
    screen.tell(about, rest=read_more(path), shown=shown, bearing_on="what is bought", said=said)
    return exit_code(estimate)


def _workbook_behind(
    html_file: Path | None, csv_file: Path | None
) -> tuple[Path | None, Path | None, Path | None]:
    """The workbook, the page and the CSV, where one of these has the name of a workbook."""
    named = html_file or csv_file
    if named is None or not is_workbook(named):
        return None, html_file, csv_file
    return named, html_file and Path(), csv_file and Path()


@main.command("holding")
@FILE
@click.option("--at", "when", help="Such as 13:50 on the shoot date, or 2031-05-10 13:50.")
@click.option("--calendar", type=PATH, help="Write the limits with alarms as an .ics file.")
@click.option("--cautions", is_flag=True, help="Print all cautions.")
@JSON
@answering
def holding_command(
    file: Path | None, *, when: str | None, calendar: Path | None, cautions: bool, as_json: bool
) -> int:
    """Print the status of every container, by default now."""
    from costing.cli import screen
    from costing.report.finding_topics import beside_an_answer, of_holding
    from costing.shoot.planning import still_to_come

    ends_in(calendar, ".ics")
    path = workbook_named(file)
    shoot = read(path)
    at = instant_asked(when, shoot)
    estimate = estimated(path, shoot, at)
    tables = estimate.tables()
    written = _calendar(estimate, calendar) if calendar is not None else ""
    if as_json:
        whole = estimate.as_json()
        kept = {name: whole[name] for name in ("holding_times", "findings", "cautions")}
        print_json(kept)
    else:
        asked = f"at {at:%Y-%m-%d %H:%M} ({estimate.zone})"
        whole_words = estimate.cautions if cautions else ()
        day = estimate.verdicts[0].asked_at.date() if estimate.verdicts else None
        screen.holding(tables["holding_times"], whole_words, asked=asked, day=day)
        screen.planned(still_to_come(estimate.planned, estimate.verdicts), day)
        about = estimate.about_holding
        # with a holding class of none no rule is asked: what is said of that stays beside it
        shown = beside_an_answer(
            about,
            own=lambda one: of_holding(one, shoot) or one.place.heading == "Holding class",
        )
        screen.tell(about, rest=read_more(path), shown=shown, bearing_on="the containers")
    if written:
        click.echo(written, err=as_json)
    past = any(verdict.alarm for verdict in estimate.verdicts)
    return PAST_A_LIMIT if past else exit_code(estimate)


def _calendar(estimate: Estimate, path: Path) -> str:
    """Write the limits of containers as a calendar; what was done."""
    none = "No limit is running or planned: no calendar is written."
    return _write_calendar(path, estimate.calendar_file, none)


def _errand_calendar(estimate: Estimate, path: Path) -> str:
    """Write the errands as a calendar; what was done."""
    made = partial(estimate.errand_calendar, datetime.now(UTC))
    none = (
        "No errand has a day: no calendar is written. Fill Shoot date on the sheet Episodes, or "
        "Shopping date."
    )
    return _write_calendar(path, made, none)


def _write_calendar(path: Path, file: Callable[[bytes | None], CalendarFile], none: str) -> str:
    """Write a calendar, cancelling what of the last file no longer holds; what was done."""
    from costing.findings import how_many
    from costing.report.calendar import NoCalendarOfOurs

    try:
        made = file(path.read_bytes() if path.is_file() else None)
    except NoCalendarOfOurs:
        raise Stop(
            f"{path}: found a file that this command has not written, expected a free name or its "
            "calendar of the last run. Name another file."
        ) from None
    if not made.events and not made.cancelled:
        return none
    write_file(path, made.data)
    cancelled = f", {made.cancelled} cancelled" if made.cancelled else ""
    return f"Written: {path}, {how_many(made.events, 'event')}{cancelled}."


@main.command("rules")
@click.argument("rule_id", required=False)
@answering
def rules_command(rule_id: str | None) -> int:
    """List the holding rules, or explain one."""
    if rule_id is None:
        from costing.holding.verified import rules_listed

        for line in rules_listed():
            click.echo(line)
        click.echo("costing rules ID explains one, with its source and how far it is verified.")
        return DONE
    from costing.holding.explaining import explain
    from costing.holding.rules import load_rules
    from costing.names import nearest

    rules = load_rules()
    by_key = {name.casefold(): rule for name, rule in rules.items()}
    found = by_key.get(rule_id.casefold())
    if found is None:
        near = nearest(rule_id, rules)
        raise Stop(
            f'There is no rule "{rule_id}"; known are {", ".join(rules)}.' + nearest_words(near[:1])
        )
    click.echo(explain(found))
    return DONE


@main.command()
@click.argument("words", nargs=-1, required=True)
@click.option("--allergens", "allergen_list", default="EU", help="List: EU, US, AU-NZ or CA.")
@answering
def published(words: tuple[str, ...], *, allergen_list: str) -> int:
    """Show what is published of a food: yields, weights, storage, with their sources."""
    from costing.reference import ALLERGEN_LISTS, find_food, published_text

    name = " ".join(words)
    text = published_text(
        name, allergen_list=word_asked("--allergens", allergen_list, ALLERGEN_LISTS)
    )
    if text:
        click.echo(text)
        return DONE
    near = [one.food.name for one in find_food(name).suggestions]
    click.echo(f'Nothing is published here under "{name}".' + nearest_words(near))
    return NOTHING_FOUND


@main.command("why")
@FILE
@answering
def why_command(file: Path | None) -> int:
    """Print why the list is as it is: what each constraint and each uncertain take costs."""
    from costing.buying.constraints import why
    from costing.cli import screen
    from costing.findings import Grade
    from costing.report.why_words import saved_by_copies, why_lines

    path = workbook_named(file)
    estimate = estimated(path)
    with busy("Running the plan without each of its constraints"):
        found = why(estimate.books)
    for line in why_lines(found, estimate.books):
        screen.paragraph(line)
    if copies := saved_by_copies(estimate.continuing, estimate.shoot):
        screen.paragraph(copies)
    click.echo()
    about = estimate.about_buying
    shown = [one for one in about if one.grade is Grade.ERROR]
    screen.tell(about, rest=read_more(path), shown=shown, bearing_on="what is bought")
    return exit_code(estimate)
