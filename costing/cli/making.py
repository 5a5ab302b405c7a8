"""Commands that make a workbook, or of one a recipe to publish."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import click

from costing.asked import (
    WORKBOOKS,
    Stop,
    ends_in,
    input_sheets,
    nearest_words,
    typed,
    word_asked,
    workbook_and_words,
    workbook_named,
)
from costing.cli.frame import (
    DONE,
    NOTHING_FOUND,
    PATH,
    answering,
    exit_code,
    main,
    read_more,
    show,
    write_file,
)


@main.command()
@click.argument("file", type=PATH)
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
    type=PATH,
    help="Filled in from a recipe: plain text, or schema.org Recipe as .json; also added to a "
    "workbook that is there. May be given several times.",
)
@click.option(
    "--like",
    type=PATH,
    help="Takes packs, prices with their date, shops, ingredients, people and settings for the "
    "same ingredients from an older workbook.",
)
@click.option(
    "--takes",
    "past",
    type=PATH,
    help="Plans the recipe with the numbers of times that the past workbooks of a folder teach.",
)
@click.option(
    "--few", is_flag=True, help="With --takes: also what rests on fewer than 5 shoots or weighings."
)  # the number is that of ENOUGH_SHOOTS, whose module would make every --help wait
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
    from costing.cli import screen
    from costing.new_workbook import add_to, learned_in, with_prices
    from costing.workbook.demo import DEMO_ROWS
    from costing.workbook.package.commit import new_file
    from costing.workbook.results.write import new_workbook_bytes

    file = workbook_named(file, may_be_new=True)
    if not file.suffix and file.name.strip("."):  # neither this folder nor that above it
        file = file.with_name(file.name + WORKBOOKS[0])
    like = like and workbook_named(like)
    ends_in(file, *(WORKBOOKS if file.is_file() else (".xlsx",)))
    _check_together(recipes, demo=demo, like=like, past=past, few=few, measures=measures)
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
    next_step = "Change something in it" if demo else "Fill it in"
    click.echo(f"{done} {file}. {next_step}, then run: costing estimate {typed(file)}")
    return DONE


def _check_together(
    recipes: tuple[Path, ...],
    *,
    demo: bool,
    like: Path | None,
    past: Path | None,
    few: bool,
    measures: str,
) -> None:
    """Stop where one option asks for another, or stands in the way of it."""
    if demo and (recipes or like):
        other = "--recipe" if recipes else "--like"
        raise Stop(f"--demo and {other}: found both, expected one of them. Leave one out.")
    for option, given, why in (
        ("--like", like, "whose ingredients are looked for"),
        ("--takes", past, "whose steps are looked for"),
        ("--measures", measures, "whose cups and spoons they are"),
    ):
        if given and not recipes:
            raise Stop(
                f"{option}: found no --recipe, expected one {why}. Add --recipe and the file of "
                "the recipe."
            )
    if few and past is None:
        raise Stop(
            "--few: found no --takes, expected one that says where past shoots are. Add --takes "
            "and the folder of their workbooks."
        )


@main.command()
@click.argument("folder", required=False, default=".", type=PATH)
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


@main.command("recipe")
@click.argument("words", nargs=-1, metavar="[FILE] [DISH]")
@click.option("--form", default="text", help="text, markdown or json (schema.org, JSON-LD).")
@click.option("--measures", default="both", help="metric, US, or both: US in brackets.")
@click.option("--output", type=PATH, help="Write it into this file.")
@answering
def recipe_command(words: tuple[str, ...], *, form: str, measures: str, output: Path | None) -> int:
    """Give the recipe of a dish to publish: once, whatever the shoot takes of it."""
    from costing.names import nearest
    from costing.report.base_recipe import RecipeForm, given_recipe, read_otherwise, written
    from costing.report.metric_and_us import System
    from costing.workbook.reading import read_workbook

    path, said = workbook_and_words(words)
    shoot, _ = read_workbook(path)
    only = shoot.whole_dishes[0] if len(shoot.whole_dishes) == 1 else ""
    dish = " ".join(said) or only
    if not shoot.is_dish(dish):
        known = list(shoot.recipes)
        found = f'There is no dish "{dish}"' if dish else "No dish is named"
        click.echo(
            f"{found}; known are {', '.join(known) or 'none'}."
            + nearest_words(nearest(dish, known))
        )
        return NOTHING_FOUND
    chosen = word_asked("--form", form, RecipeForm)
    if output is not None:
        ends_in(output, *((".json", ".jsonld") if chosen is RecipeForm.JSON else (".txt", ".md")))
    recipe = given_recipe(shoot, dish, word_asked("--measures", measures, System))
    text = written(recipe, chosen)
    if output is None:
        click.echo(text, nl=False)
    else:
        write_file(output, text.encode())
        click.echo(f"Written: {output}")
    for said in read_otherwise(recipe, chosen):
        click.echo(f'"{said}" would not be read again as it is in the workbook.', err=True)
    return DONE
