"""The commands; what they do is imported only when they run, so that ``--help`` is quick."""

from __future__ import annotations

import os
import sys
from functools import wraps
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from costing.asked import (
    WORKBOOKS,
    Stop,
    ends_in,
    instant_asked,
    nearest_words,
    now_there,
    recipe_rows,
    typed,
    workbook_named,
)

if TYPE_CHECKING:
    from collections.abc import Callable
    from datetime import datetime

    from costing.findings import Finding
    from costing.report.estimates import Estimate

    Command = Callable[..., int]

DONE, HAS_ERRORS, UNREADABLE, PAST_A_LIMIT = 0, 1, 2, 3
NOTHING_FOUND = 1
TRACEBACK = "COSTING_TRACEBACK"


def answering(command: Command) -> Callable[..., None]:
    """Turn what a command gives into its exit code, and what stops it into a plain message."""

    @wraps(command)
    def run(*args: Any, **kwargs: Any) -> None:
        from costing.workbook.package.refusals import Refused

        try:
            code = command(*args, **kwargs)
        except Refused as refused:
            click.echo(f"{refused.finding.grade}: {refused.finding}", err=True)
            code = UNREADABLE
        except Stop as stop:
            click.echo(str(stop), err=True)
            code = UNREADABLE
        except BrokenPipeError:  # who reads has gone, as head does: the rest is for nobody
            os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
            code = HAS_ERRORS
        except Exception as fault:
            if os.environ.get(TRACEBACK):
                raise
            click.echo(_own_fault(fault), err=True)
            code = UNREADABLE
        sys.exit(code)

    return run


def _own_fault(fault: Exception) -> str:
    """What is said when the fault is the library's and not the user's."""
    return (
        f"costing met a fault of its own ({type(fault).__name__}: {fault}). Your own cells are as "
        f"they were. Please report this line; with {TRACEBACK}=1 set the whole story is printed."
    )


FILE = click.argument("file", required=False, type=click.Path(path_type=Path, readable=False))
JSON = click.option("--json", "as_json", is_flag=True, help="Print the result as JSON.")


@click.group(context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(package_name="costing")
def main() -> None:
    """Cost and plan the food of a shoot: one workbook in, its answers back into it.

    FILE may be left out when the folder holds one workbook only.
    """


@main.command()
@click.argument("file", type=click.Path(path_type=Path, readable=False))
@click.option("--all", "all_sheets", is_flag=True, help="With every input sheet.")
@click.option("--demo", is_flag=True, help="Filled in with an invented shoot.")
@click.option(
    "--recipe",
    "recipes",
    multiple=True,
    type=click.Path(path_type=Path, readable=False),
    help="Filled in from a recipe: plain text, or schema.org Recipe as .json.",
)
@click.option(
    "--measures",
    default="",
    help="What cup and spoon mean in the recipe: metric, US customary, Australian ... "
    "Left out: US customary if its words say so, else metric.",
)
@answering
def new(
    file: Path, *, all_sheets: bool, demo: bool, recipes: tuple[Path, ...], measures: str
) -> int:
    """Write a workbook to fill in; an existing file is never overwritten."""
    from costing import screen
    from costing.workbook.demo import DEMO_ROWS
    from costing.workbook.package.commit import new_file
    from costing.workbook.results.new import new_workbook_bytes

    ends_in(file, ".xlsx")
    if demo and recipes:
        raise Stop("--demo and --recipe: found both, expected one of them. Leave one out.")
    rows: Any = DEMO_ROWS if demo else None
    findings: list[Finding] = []
    if recipes:
        rows, findings = recipe_rows(recipes, measures)
    new_file(file, new_workbook_bytes(all_sheets=all_sheets or demo, rows=rows))
    if recipes:
        screen.tell(findings)
    click.echo(f"Written: {file}. Fill it in, then run: costing estimate {typed(file)}")
    return DONE


@main.command()
@FILE
@answering
def check(file: Path | None) -> int:
    """Print every finding of a workbook."""
    from costing import screen

    estimate, _ = _estimated(workbook_named(file))
    screen.tell(estimate.findings)
    return _code(estimate)


@main.command("estimate")
@FILE
@click.option(
    "--output", type=click.Path(path_type=Path, readable=False), help="Write into a copy instead."
)
@click.option(
    "--every-take", is_flag=True, help="Price one more of every shot, however long it takes."
)
@JSON
@answering
def estimate_command(
    file: Path | None, *, output: Path | None, every_take: bool, as_json: bool
) -> int:
    """Work out a workbook and write the answers into it."""
    from costing.workbook.results.write import write_results

    path = workbook_named(file)
    if output is not None:
        ends_in(output, *WORKBOOKS)
    estimate, _ = _estimated(path, every_take=every_take)
    written = None
    if output is not None or not as_json:
        written = write_results(path, estimate, output=output)
    if as_json:
        _print_json(estimate.as_json())
    else:
        _show(estimate, path.name)
    if written is not None:
        for line in written.told:
            click.echo(line, err=as_json)
    return _code(estimate)


@main.command("list")
@FILE
@click.option(
    "--html",
    "html_file",
    type=click.Path(path_type=Path, readable=False),
    help="Write it as a page for a phone, with boxes to tick.",
)
@click.option(
    "--csv", "csv_file", type=click.Path(path_type=Path, readable=False), help="Write it as CSV."
)
@answering
def list_command(file: Path | None, *, html_file: Path | None, csv_file: Path | None) -> int:
    """Print what to buy, shop by shop."""
    from costing import screen
    from costing.report.exchange import csv_text

    if html_file is not None and csv_file is not None:
        raise Stop("--html and --csv: found both, expected one of them. Leave one out.")
    if html_file is not None:
        ends_in(html_file, ".html", ".htm")
    if csv_file is not None:
        ends_in(csv_file, ".csv")
    estimate, _ = _estimated(workbook_named(file))
    table = estimate.tables()["to_buy"]
    if html_file is not None:
        _write(html_file, estimate.phone_page().encode())
        click.echo(f"Written: {html_file}")
    elif csv_file is not None:
        _write(csv_file, csv_text(table).encode("utf-8-sig"))
        click.echo(f"Written: {csv_file}")
    else:
        screen.shopping_list(table, estimate.shoot.settings.currency)
    screen.tell(estimate.findings, notes=False)
    return _code(estimate)


@main.command("holding")
@FILE
@click.option("--at", "when", help="Such as 13:50 on the shoot date, or 2031-05-10 13:50.")
@click.option(
    "--calendar",
    type=click.Path(path_type=Path, readable=False),
    help="Write the limits with alarms as an .ics file.",
)
@click.option("--cautions", is_flag=True, help="Print all cautions.")
@JSON
@answering
def holding_command(
    file: Path | None, *, when: str | None, calendar: Path | None, cautions: bool, as_json: bool
) -> int:
    """Print the status of every container, by default now."""
    from costing import screen
    from costing.shoot.planning import still_to_come

    if calendar is not None:
        ends_in(calendar, ".ics")
    path = workbook_named(file)
    estimate, at = _estimated(path, when=when, now=True)
    tables = estimate.tables()
    written = _calendar(estimate, calendar) if calendar is not None else ""
    if as_json:
        whole = estimate.as_json()
        kept = {name: whole[name] for name in ("holding_times", "findings", "cautions")}
        _print_json(kept)
    else:
        asked = f"at {at:%Y-%m-%d %H:%M} ({estimate.zone})" if at else ""
        whole_words = estimate.cautions if cautions else ()
        day = estimate.verdicts[0].asked_at.date() if estimate.verdicts else None
        screen.holding(tables["holding_times"], whole_words, asked=asked, day=day)
        screen.planned(still_to_come(estimate.planned, estimate.verdicts), day)
        screen.tell(estimate.findings, notes=False)
    if written:
        click.echo(written, err=as_json)
    past = any(verdict.alarm for verdict in estimate.verdicts)
    return PAST_A_LIMIT if past else _code(estimate)


def _calendar(estimate: Estimate, path: Path) -> str:
    """Write the limits, cancelling what of the last file no longer holds; what was done."""
    from costing.report.calendar import NoCalendarOfOurs

    try:
        made = estimate.calendar_file(path.read_bytes() if path.is_file() else None)
    except NoCalendarOfOurs:
        raise Stop(
            f"{path}: found a file that costing has not written, expected a free name or the "
            "calendar of the last run. Name another file."
        ) from None
    if not made.events and not made.cancelled:
        return "No limit is running or planned: no calendar is written."
    _write(path, made.data)
    events = "1 event" if made.events == 1 else f"{made.events} events"
    cancelled = f", {made.cancelled} cancelled" if made.cancelled else ""
    return f"Written: {path}, {events}{cancelled}."


@main.command("rules")
@click.argument("rule_id", required=False)
@answering
def rules_command(rule_id: str | None) -> int:
    """List the holding rules, or explain one."""
    from costing.holding.explaining import explain
    from costing.holding.rules import load_rules
    from costing.names import nearest

    rules = load_rules()
    if rule_id is None:
        for rule in rules.values():
            where = f"{rule.jurisdiction}: {rule.instrument}, {rule.clause}"
            click.echo(f"{rule.id:12} {where} ({rule.verified.words})")
        click.echo("costing rules ID explains one, with its source and how far it is verified.")
        return DONE
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
    lists = {one.casefold(): one for one in ALLERGEN_LISTS}
    if allergen_list.casefold() not in lists:
        raise Stop(
            f'--allergens: found "{allergen_list}", expected one of {", ".join(ALLERGEN_LISTS)}.'
        )
    text = published_text(name, allergen_list=lists[allergen_list.casefold()])
    if text:
        click.echo(text)
        return DONE
    near = [one.food.name for one in find_food(name).suggestions]
    click.echo(f'Nothing is published here under "{name}".' + nearest_words(near))
    return NOTHING_FOUND


@main.command()
@click.argument(
    "folder", required=False, default=".", type=click.Path(path_type=Path, readable=False)
)
@click.option("--uncertain", is_flag=True, help="With one shot taken two times, perhaps four.")
@answering
def demo(folder: Path, *, uncertain: bool) -> int:
    """Write the demo workbook with its results and print the main figures."""
    from costing.workbook.demo import DEMO_NAME, UNCERTAIN_NAME
    from costing.workbook.package.commit import new_file
    from costing.workbook.results.new import demo_with_results

    data, estimate = demo_with_results(uncertain=uncertain)
    path = folder / (UNCERTAIN_NAME if uncertain else DEMO_NAME)
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as fault:
        raise Stop(
            f"{folder}: found no folder to write into ({fault.strerror}), expected a folder or a "
            "free name for one. Name another folder."
        ) from None
    if not path.exists() or path.read_bytes() != data:
        new_file(path, data)
    _show(estimate, path.name)
    click.echo(f"Written: {path}. Change something in it, then run: costing estimate {typed(path)}")
    return _code(estimate)


def _estimated(
    path: Path, *, when: str | None = None, now: bool = False, every_take: bool = False
) -> tuple[Estimate, datetime | None]:
    """Read a workbook and work it out, at the instant asked about."""
    from costing.estimating import estimate
    from costing.workbook.reading import read_workbook

    shoot, _ = read_workbook(path)
    at = None
    if when is not None:
        at = instant_asked(when, shoot)
    elif now:
        at = now_there(shoot)
    return estimate(shoot, at, every_take=every_take), at


def _show(estimate: Estimate, name: str) -> None:
    from costing import screen

    tables = estimate.tables()
    title = estimate.shoot.settings.title
    screen.figures(estimate, name if title in ("", name) else f"{title} ({name})")
    screen.shopping_list(tables["to_buy"], estimate.shoot.settings.currency)
    if estimate.verdicts:
        day = estimate.verdicts[0].asked_at.date()
        screen.holding(tables["holding_times"], asked="as last logged", day=day)
    click.echo()
    screen.tell(estimate.findings)


def _print_json(result: dict[str, Any]) -> None:
    import json

    click.echo(json.dumps(result, indent=2, ensure_ascii=False))


def _code(estimate: Estimate) -> int:
    from costing.findings import Grade

    errors = any(finding.grade is Grade.ERROR for finding in estimate.findings)
    return HAS_ERRORS if errors else DONE


def _write(path: Path, data: bytes) -> None:
    try:
        path.write_bytes(data)
    except OSError as fault:
        raise Stop(
            f"{path}: cannot be written ({fault.strerror}). Close it where it is open, or name "
            "another file."
        ) from None
