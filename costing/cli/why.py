"""The command that says why a list is as it is."""

from __future__ import annotations

from pathlib import Path

import click

from costing.asked import workbook_named
from costing.cli.frame import FILE, answering, busy, estimated, exit_code, main, read_more


@main.command("why")
@FILE
@answering
def why_command(file: Path | None) -> int:
    """Print why the list is as it is: what each constraint and each uncertain take costs."""
    from costing import screen
    from costing.buying.constraints import why
    from costing.findings import Grade
    from costing.report.why_words import saved_going_on, why_lines

    path = workbook_named(file)
    estimate, _ = estimated(path)
    with busy("Running the plan without each of its constraints"):
        found = why(estimate.books)
    for line in why_lines(found, estimate.books):
        screen.paragraph(line)
    if copies := saved_going_on(estimate.going_on, estimate.shoot.settings.currency):
        screen.paragraph(copies)
    click.echo()
    about = estimate.about_buying
    errors = [one for one in about if one.grade is Grade.ERROR]
    screen.tell(about, rest=read_more(path), told=errors)
    return exit_code(estimate)
