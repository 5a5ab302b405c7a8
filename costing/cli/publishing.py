"""The command that gives a recipe to publish."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from costing.asked import Stop, ends_in, nearest_words, workbook_and_words
from costing.cli.frame import DONE, NOTHING_FOUND, answering, main, write_file

if TYPE_CHECKING:
    from enum import StrEnum
    from typing import TypeVar

    W = TypeVar("W", bound=StrEnum)


@main.command("recipe")
@click.argument("words", nargs=-1, metavar="[FILE] [DISH]")
@click.option("--form", default="text", help="text, markdown or json (schema.org, JSON-LD).")
@click.option("--measures", default="both", help="metric, US, or both: US in brackets.")
@click.option(
    "--output", type=click.Path(path_type=Path, readable=False), help="Write it into this file."
)
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
    chosen = _word("--form", form, RecipeForm)
    if output is not None:
        ends_in(output, *((".json", ".jsonld") if chosen is RecipeForm.JSON else (".txt", ".md")))
    recipe = given_recipe(shoot, dish, _word("--measures", measures, System))
    text = written(recipe, chosen)
    if output is None:
        click.echo(text, nl=False)
    else:
        write_file(output, text.encode())
        click.echo(f"Written: {output}")
    for said in read_otherwise(recipe, chosen):
        click.echo(f'"{said}" would not be read again as it is in the workbook.', err=True)
    return DONE


def _word(option: str, typed_word: str, words: type[W]) -> W:
    """The word of a closed list that an option names."""
    for word in words:
        if word.casefold() == typed_word.casefold():
            return word
    raise Stop(f'{option}: found "{typed_word}", expected one of {", ".join(words)}.')
