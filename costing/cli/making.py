"""Commands that make a workbook."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import click

from costing.asked import WORKBOOKS, Stop, ends_in, input_sheets, typed, workbook_named
from costing.cli.frame import DONE, answering, exit_code, main, read_more, show


@main.command()
@click.argument("file", type=click.Path(path_type=Path, readable=False))
@click.option("--all", "all_sheets", is_flag=True, help="With every input sheet.")
@click.option("--demo", is_flag=True, help="Filled in with an invented shoot.")
@click.option(
    "--with",
    "with_sheets",
    multiple=True,
    metavar="SHEET",
    help="With this input sheet too, such as Holding; also added to a workbook that is there.",
)
@click.option(
    "--recipe",
    "recipes",
    multiple=True,
    type=click.Path(path_type=Path, readable=False),
    help="Filled in from a recipe: plain text, or schema.org Recipe as .json; also added to a "
    "workbook that is there. May be given several times.",
)
@click.option(
    "--like",
    type=click.Path(path_type=Path, readable=False),
    help="Takes packs, prices with their date, shops, ingredients, people and settings for the "
    "same ingredients from an older workbook.",
)
@click.option(
    "--takes",
    "past",
    type=click.Path(path_type=Path, readable=False),
    help="Plans the recipe with the numbers of times that the past workbooks of a folder teach.",
)
@click.option("--few", is_flag=True, help="With --takes: also what rests on fewer than 5 shoots.")
@click.option(
    "--measures",
    default="",
    help="What cup and spoon mean in the recipe: metric, US customary, Australian ... "
    "Left out: US customary if its words say so, else metric.",
)
@answering
def new(
    file: Path,
    *,
    all_sheets: bool,
    demo: bool,
    with_sheets: tuple[str, ...],
    recipes: tuple[Path, ...],
    like: Path | None,
    past: Path | None,
    few: bool,
    measures: str,
) -> int:
    """Write a workbook to fill in, or add a recipe or a sheet to one that is there.

    What is in a file is never overwritten.
    """
    from costing import screen
    from costing.new_dishes import add_to, learned_in, with_prices
    from costing.workbook.demo import DEMO_ROWS
    from costing.workbook.package.commit import new_file
    from costing.workbook.results.write import new_workbook_bytes

    file = workbook_named(file)
    if not file.suffix and file.name:
        file = file.with_name(file.name + WORKBOOKS[0])
    like = like and workbook_named(like)
    ends_in(file, *(WORKBOOKS if file.exists() else (".xlsx",)))
    if demo and (recipes or like):
        other = "--recipe" if recipes else "--like"
        raise Stop(f"--demo and {other}: found both, expected one of them. Leave one out.")
    if like is not None and not recipes:
        raise Stop("--like: found no --recipe, expected one whose ingredients are looked for.")
    if past is not None and not recipes:
        raise Stop("--takes: found no --recipe, expected one whose steps are looked for.")
    sheets = input_sheets(with_sheets)
    taught = None if past is None else learned_in(past, few=few)
    there = file.exists() and bool(recipes or sheets)
    asked = None
    if there:
        asked = add_to(file, recipes, sheets, like, measures, taught)
    else:
        if recipes:
            asked = with_prices(recipes, like, measures, taught=taught)
        rows: Any = asked.rows if asked else DEMO_ROWS if demo else None
        new_file(file, new_workbook_bytes(all_sheets=all_sheets or demo, rows=rows, more=sheets))
    if asked is not None:
        if recipes:
            shown = [one for one in asked.findings if one.code != "recipe pieces named"]
            screen.tell(asked.findings, rest=read_more(file), shown=shown)
        for line in asked.notes:
            click.echo(line)
    done = "Added to" if there else "Written:"
    click.echo(f"{done} {file}. Fill it in, then run: costing estimate {typed(file)}")
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
    from costing.workbook.results.write import demo_with_results

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
