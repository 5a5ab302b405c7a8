"""Commands that make a workbook."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from costing.asked import Stop, ends_in, recipe_rows, typed
from costing.cli.frame import DONE, answering, exit_code, main, read_more, show

if TYPE_CHECKING:
    from costing.findings import Finding


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
        screen.tell(findings, rest=read_more(file), notes=True)
    click.echo(f"Written: {file}. Fill it in, then run: costing estimate {typed(file)}")
    return DONE


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
    show(estimate, path)
    click.echo(f"Written: {path}. Change something in it, then run: costing estimate {typed(path)}")
    return exit_code(estimate)
