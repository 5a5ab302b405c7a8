"""What all commands share: how one is run, what it is given, and how it ends."""

from __future__ import annotations

import json
import os
import sys
from contextlib import contextmanager, nullcontext
from functools import wraps
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from costing.asked import Stop, now_there, recipes_in, typed, workbooks_in

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Iterator
    from datetime import datetime

    from costing.report.estimates import Estimate
    from costing.shoot import Shoot

    Command = Callable[..., int]

DONE, HAS_ERRORS, UNREADABLE, PAST_A_LIMIT = 0, 1, 2, 3
NOTHING_FOUND = 1
TRACEBACK = "COSTING_TRACEBACK"


def answering(command: Command) -> Callable[..., None]:
    """Turn what a command gives into its exit code, and what stops it into a plain message."""

    @wraps(command)
    def run(*args: Any, **kwargs: Any) -> None:
        """Run the command; end with its exit code, or with the plain message of what stopped it."""
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
            # Python writes out the rest at its end, which would fail again
            os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
            code = HAS_ERRORS
        except Exception as fault:
            if os.environ.get(TRACEBACK):
                raise
            click.echo(_own_fault(fault), err=True)
            code = UNREADABLE
        sys.exit(code)

    return QUIET(run)


def _be_quiet(context: click.Context, _: click.Parameter, value: bool) -> None:
    context.meta[QUIETLY] = value


QUIETLY = "costing.quietly"
QUIET = click.option(
    "--quiet",
    is_flag=True,
    expose_value=False,
    callback=_be_quiet,
    help="Do not say what takes its time.",
)


@contextmanager
def busy(what: str) -> Iterator[None]:
    """Say on a terminal what takes its time, unless --quiet is given."""
    from costing.cli import screen

    context = click.get_current_context(silent=True)
    quiet = context is not None and context.meta.get(QUIETLY)
    with nullcontext() if quiet else screen.busy(what):
        yield


def _own_fault(fault: Exception) -> str:
    """What is said when the fault is the library's and not the user's."""
    return (
        f"costing met a fault of its own ({type(fault).__name__}: {fault}). Your own cells are as "
        f"they were. Please report this line; with {TRACEBACK}=1 set the whole story is printed."
    )


PATH = click.Path(path_type=Path, readable=False)
FILE = click.argument("file", required=False, type=PATH)
OUTPUT = click.option("--output", type=PATH, help="Write into a copy instead.")
JSON = click.option("--json", "as_json", is_flag=True, help="Print the result as JSON.")


@click.group(context_settings={"help_option_names": ["-h", "--help"]}, invoke_without_command=True)
@click.version_option(package_name="costing")
@click.pass_context
def main(context: click.Context) -> None:
    """Cost and plan the food of a shoot: one workbook in, its answers back into it.

    FILE may be left out when the folder holds one workbook only, and its ending too. Without a
    command it says what to do next in the folder you are in.
    """
    if context.invoked_subcommand is None:
        for line in next_steps(Path()):
            click.echo(line)
        click.echo("All commands:                costing --help")


def read(path: Path) -> Shoot:
    """Read a workbook."""
    from costing.workbook.reading import read_workbook

    with busy(f"Reading {path.name}"):
        return read_workbook(path)[0]


def estimated(
    path: Path,
    shoot: Shoot | None = None,
    at: datetime | None = None,
    *,
    every_take: bool = False,
    closing: bool = False,
    seconds: float | None = None,
) -> Estimate:
    """Work out a workbook, which is read unless that was done; by default as last logged."""
    from costing.estimating import as_of, estimate

    shoot = read(path) if shoot is None else shoot
    with busy(f"Working out {path.name}"):
        limit = {} if seconds is None else {"seconds": seconds}
        found = estimate(shoot, at, every_take=every_take, closing=closing, **limit)
        return as_of(found, now_there(shoot).date())


def answered(
    estimate: Estimate,
    path: Path,
    output: Path | None,
    *,
    as_json: bool,
    shown: Callable[[Estimate, Path], None],
    before: Iterable[str] = (),
) -> int:
    """Write the results into the workbook or a copy, and print them; the exit code.

    As JSON nothing is written unless a copy is asked for, and what is said besides goes to the
    standard error.
    """
    from costing.workbook.results.write import write_results

    notes = list(before)
    if output is not None or not as_json:
        with busy(f"Writing the results into {(output or path).name}"):
            notes += write_results(path, estimate, output=output).notes
    if as_json:
        print_json(estimate.as_json())
    else:
        shown(estimate, path)
    for line in notes:
        click.echo(line, err=as_json)
    return exit_code(estimate)


def show(estimate: Estimate, path: Path) -> None:
    """Print the main figures, the list, the holding times and what was found."""
    from costing.cli import screen
    from costing.cli.printed_list import print_list
    from costing.report.finding_topics import ABOVE_THE_LIST
    from costing.report.why_words import saved_by_copies

    name, title = path.name, estimate.shoot.settings.title
    # a blank title is the name of the file
    screen.figures(estimate, name if title == path.stem else f"{title} ({name})")
    print_list(estimate, brief=True)
    if copies := saved_by_copies(estimate.continuing, estimate.shoot):
        click.echo()
        screen.paragraph(copies)
    if estimate.verdicts:
        day = estimate.verdicts[0].asked_at.date()
        table = estimate.tables()["holding_times"]
        screen.holding(table, asked="as last logged", day=day)
    click.echo()
    screen.tell(estimate.findings, rest=read_more(path), said=ABOVE_THE_LIST)


def read_more(path: Path) -> str:
    """Where the findings are read that a command does not print."""
    return f"costing check {typed(path)}"


def print_json(result: dict[str, Any]) -> None:
    """Print a result as JSON."""
    click.echo(json.dumps(result, indent=2, ensure_ascii=False))


def exit_code(estimate: Estimate) -> int:
    """Whether errors were found, as the exit code of a command."""
    from costing.findings import Grade

    errors = any(finding.grade is Grade.ERROR for finding in estimate.findings)
    return HAS_ERRORS if errors else DONE


def write_file(path: Path, data: bytes, *, keep: bool = False) -> str:
    """Write a file that is no workbook, or say why it cannot be.

    With ``keep`` what stood there, which may be somebody's own, is put aside; gives what is to be
    said of that.
    """
    said = ""
    try:
        if keep and path.is_file() and (before := path.read_bytes()) != data:
            from costing.workbook.package.wholefile import back_up
            from costing.workbook.results.write import KEPT

            back_up(path, before)
            said = KEPT
        path.write_bytes(data)
    except OSError as fault:
        raise Stop(
            f"{path}: cannot be written ({fault.strerror}). Close it where it is open, or name "
            "another file."
        ) from None
    return said


RESULT = "to_buy"
"""Mark of the result sheet that says that a workbook was worked out before."""


def next_steps(folder: Path) -> Iterator[str]:
    """Lines that say what is in a folder and which command comes next."""
    books = workbooks_in(folder)
    if not books:
        yield from _begin(folder)
    elif len(books) > 1:
        newest = max(books, key=lambda path: path.stat().st_mtime)
        yield f"This folder holds {len(books)} workbooks; the one saved last is {newest.name}."
        yield from _go_on(newest)
    else:
        yield f"This folder holds {books[0].name}."
        yield from _go_on(books[0])


def _begin(folder: Path) -> Iterator[str]:
    """Without a workbook: from a recipe that is there, or from the demo."""
    yield "There is no workbook in this folder yet."
    texts = recipes_in(folder)
    if texts:
        name, recipe = typed(Path(f"{texts[0].stem}.xlsx")), typed(Path(texts[0].name))
        yield f"From a recipe that is here: costing new {name} --recipe {recipe}"
    else:
        yield "From a recipe as plain text: costing new tart.xlsx --recipe tart.txt"
    yield "A workbook to fill in:       costing new plan.xlsx"
    yield "A whole shoot to look at:    costing demo demo"


def _go_on(path: Path) -> Iterator[str]:
    """With a workbook: what it lacks first, else the answers it can give."""
    from costing.findings import how_many
    from costing.workbook.package.refusals import Refused
    from costing.workbook.reading import read_workbook

    name = typed(Path(path.name))
    try:
        shoot, findings = read_workbook(path)
        worked_out = _worked_out(path)
    except Refused as refused:
        yield f"It cannot be read: {refused.finding}"
        return
    errors = sum(finding.grade == "error" and bool(finding.place.row) for finding in findings)
    if errors:
        yield f"{how_many(errors, 'error')} to mend:             costing check {name}"
    yield from _lacking(shoot)
    if not worked_out:
        yield f"Work it out:                 costing estimate {name}"
        return
    yield f"After a change:              costing estimate {name}"
    yield f"For the shop:                costing list {name} --html"
    yield f"Why the list is as it is:    costing why {name}"
    if shoot.containers:
        yield f"Bowls that are out:          costing holding {name}"


def _worked_out(path: Path) -> bool:
    """Whether results stand in it."""
    from costing.workbook.owned.splice import opened
    from costing.workbook.package.refusals import Refused

    try:
        with opened(path.read_bytes(), name=path.name) as tabs:
            return RESULT in tabs.own
    except Refused:  # it may be read and not written into: the results are then beside it
        return path.with_name(f"{path.stem} results.xlsx").exists()


def _lacking(shoot: Shoot) -> Iterator[str]:
    """What is still to be filled in, in the order of the work."""
    from costing.listing import row_words

    if not any(line.ingredient for line in shoot.lines):
        yield "Still to fill in: Recipes, a row for each ingredient of each step."
        return
    if not shoot.shots:
        yield "Still to fill in: Shoot plan, a row for each use of food."
    if shoot.waiting_packs:
        rows = row_words(filter(None, (row.number for row in shoot.waiting_packs)))
        yield f"Still to fill in: Packs, {rows}: Amount, Unit and Price."
