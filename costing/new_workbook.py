"""Workbooks for a new shoot: from recipe files, and from what is left of a shoot that is closed.

Dishes of recipe files may also be put into a workbook that is there.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path
from typing import Any

from costing.asked import Stop, ends_in, now_there, recipe_named, typed, word_asked
from costing.closing.next_shoot import NextStock, lot_words, next_stock, packs_as_paid
from costing.estimating import verdicts_by
from costing.findings import Finding, choice_words, how_many
from costing.listing import row_words
from costing.names import key
from costing.past import TakesLearned, planned_rows, takes_learned, with_yields
from costing.quantities import Measures, UnitNeedsSystem, UnknownUnit, find_unit
from costing.recipe_text import RecipeText, RecipeUnreadable, read_recipe
from costing.report.closing_rows import made_ahead_words
from costing.report.estimates import Estimate
from costing.shoot import Shoot
from costing.workbook.layout import INPUT_SHEETS, SETTINGS_SHEET
from costing.workbook.log_file import encoding_of
from costing.workbook.package.commit import new_file, read_file
from costing.workbook.reading import read_workbook
from costing.workbook.results.write import new_workbook_bytes
from costing.workbook.template.adding import ColumnsMissing, add_to_workbook
from costing.workbook.template.filling import TakenOver, filled_in, price_day, rows_of, taken_over

_NO_TEXT = re.compile(r"[\0-\x08\x0e-\x1f\ufffd]")
"""Signs of a file that is no text: control signs, and what no encoding reads."""

NAMED = 5
"""So many names stand in a line at most."""


@dataclass(frozen=True)
class RecipesAsked:
    """The recipes of a command line as rows.

    Parameters
    ----------
    measures : Measures
        Whose spoons and cups the bare words of the rows are.
    notes : tuple of str
        Lines about recipes in other measures, whose units now name their place.
    """

    rows: dict[str, list[dict[str, Any]]]
    findings: list[Finding]
    measures: Measures
    notes: tuple[str, ...] = ()

    @property
    def dishes(self) -> list[str]:
        """Names of the dishes, each once."""
        return list(dict.fromkeys(str(row["Dish"]) for row in self.rows.get("Recipes", ())))


def recipes_asked(recipes: Sequence[Path], words: str, setting: Measures | None) -> RecipesAsked:
    """Read recipe files; a dish of one may be an ingredient of another.

    Parameters
    ----------
    recipes : sequence of Path
        Plain text, or schema.org Recipe as .json.
    words : str
        Whose cups and spoons those of the recipes are; blank: as each says or shows, else the
        setting.
    setting : Measures, optional
        Of the workbook they go into; by default those of the first recipe.
    """
    given = word_asked("--measures", words, Measures) if words else None
    rows: dict[str, list[dict[str, Any]]] = {}
    findings: list[Finding] = []
    notes: list[str] = []
    dishes: dict[str, str] = {}
    for path in recipes:
        read = _recipe(path, given, setting)
        setting = setting or read.measures
        said = read.findings
        if read.measures is not setting and _named_units(read.rows, read.measures):
            said = [one for one in said if one.code != "recipe measures taken"]
            notes.append(
                f"{path.name}: its cups and spoons are {read.measures}, and its units say so; "
                f"Settings says {setting}."
            )
        findings += said
        for title, found in read.rows.items():
            rows.setdefault(title, []).extend(found)
        new = {key(str(row["Dish"])): str(row["Dish"]) for row in read.rows["Recipes"]}
        for twice in dishes.keys() & new.keys():
            raise Stop(
                f'--recipe: found two recipes called "{new[twice]}", expected a name for each '
                "dish. Change the title in one of the files."
            )
        dishes |= new
    asked = RecipesAsked(rows, findings, setting or Measures.METRIC, tuple(notes))
    made = {key(dish) for dish in asked.dishes}
    for title in ("Packs", "Ingredients"):
        once = {key(str(row["Ingredient"])): row for row in reversed(rows.get(title, []))}
        rows[title] = [row for name, row in reversed(once.items()) if name not in made]
    return asked


def _recipe(recipe: Path, measures: Measures | None, setting: Measures | None) -> RecipeText:
    """Read one recipe file."""
    data, _ = read_file(recipe_named(recipe))
    text = data.decode(encoding_of(data), "replace").removeprefix("\ufeff")
    if _NO_TEXT.search(text):
        raise Stop(
            f"{recipe}: found a file that is no plain text, expected a recipe as plain text or "
            ".json. Save it as plain text and name that file."
        )
    kind: Any = "json" if recipe.suffix.casefold() in (".json", ".jsonld") else "text"
    try:
        return read_recipe(
            text, kind=kind, measures=measures, setting=setting, file_name=recipe.name
        )
    except RecipeUnreadable as fault:
        raise Stop(f"{fault.finding.grade}: {fault.finding}") from None


def _named_units(rows: dict[str, list[dict[str, Any]]], measures: Measures) -> bool:
    """Let units that differ by place name theirs; gives whether there are any."""
    any_named = False
    for title in ("Recipes", "Dishes"):
        for row in rows.get(title, ()):
            try:
                unit = find_unit(str(row.get("Unit") or ""), measures)
            except (UnknownUnit, UnitNeedsSystem):
                continue
            if unit.bare:
                row["Unit"], any_named = unit.name, True
    return any_named


def learned_in(folder: Path, *, few: bool) -> TakesLearned:
    """What the past workbooks of a folder teach, as far as it is used."""
    taught = takes_learned(folder)
    if not taught.lessons and not taught.yields:
        raise Stop(
            f"--takes: found nothing to learn from in {folder}, expected workbooks that say Taken. "
            f"What is there: costing takes {typed(folder)}"
        )
    return taught.used(few=few)


def with_prices(
    recipes: Sequence[Path],
    like: Path | None,
    words: str,
    there: Shoot | None = None,
    taught: TakesLearned | None = None,
) -> RecipesAsked:
    """The rows of recipes, with what an older workbook knows of their ingredients.

    Parameters
    ----------
    like : Path, optional
        The older workbook: any with a sheet Packs.
    words : str
        Whose cups and spoons those of the recipes are; blank: by their own words.
    there : Shoot, optional
        Of the workbook they are added to; what it has already is left out.
    taught : TakesLearned, optional
        What past shoots teach about numbers of times and trim yields; then a plan is made with it.
    """
    older = (like, read_workbook(like)[0]) if like else None
    known = there or (older[1] if older else None)
    setting = known.settings.measures if known else None
    asked = recipes_asked(recipes, words, setting)
    rows = asked.rows if there is None else _not_there(asked, there)
    notes = list(asked.notes)
    if older is not None:
        like, before = older
        names = [str(row["Ingredient"]) for row in rows["Packs"]]
        day = price_day(before, date.fromtimestamp(like.stat().st_mtime))
        taken = taken_over(before, names, day=day)
        if there is not None:
            taken = replace(taken, rows=_of_goods(taken, there))
        rows = filled_in(rows, taken)
        notes += _notes_of(like, names, taken, day)
    if taught is not None:
        rows["Shoot plan"] = planned_rows(rows.get("Recipes", ()), taught.lessons)
        rows["Ingredients"] = with_yields(rows.get("Ingredients", ()), taught.yields)
        notes.append(_notes_of_takes(rows["Shoot plan"]))
    if there is None:
        settings = [row for row in rows.get("Settings", []) if row["Setting"] != "Measures"]
        measures = {"Setting": "Measures", "Value": asked.measures.value}
        rows["Settings"] = [*settings, measures]
    return replace(asked, rows=rows, notes=tuple(notes))


def _notes_of_takes(plan: Sequence[dict[str, Any]]) -> str:
    """Which shots of a plan have numbers of times that were learned, in a line."""
    named = [f"{row['Purpose']} of {row['Dish']}" for row in plan if row.get("Note")]
    if not named:
        return (
            "No step of the recipe is of a kind that past shoots teach; costing takes lists them."
        )
    return f"Numbers of times learned: {choice_words(named, most=NAMED, last='and')}."


def _not_there(asked: RecipesAsked, there: Shoot) -> dict[str, list[dict[str, Any]]]:
    """Rows for what a workbook has not: its dishes, packs and ingredients stay as they are."""
    for dish in asked.dishes:
        if there.is_dish(dish):
            raise Stop(
                f'--recipe: found "{dish}", which the workbook has already, expected a dish that '
                "is new. Change the title in the recipe, or that dish in the workbook."
            )
    packs = {key(pack.ingredient) for pack in there.packs}
    packs |= {key(row.name) for row in there.waiting_packs}
    packs |= {key(left.name) for left in there.left_out if left.sheet == "Packs"}
    packs |= {key(dish) for dish in there.recipes}
    known = {key(one.name) for one in there.ingredients} | {key(dish) for dish in there.recipes}
    rows = dict(asked.rows)
    rows["Packs"] = [row for row in rows["Packs"] if key(row["Ingredient"]) not in packs]
    listed = any(sheet.kind == "Ingredients" for sheet in there.read_from)
    rows["Ingredients"] = [
        row for row in rows["Ingredients"] if listed and key(row["Ingredient"]) not in known
    ]
    return rows


def _of_goods(taken: TakenOver, there: Shoot) -> dict[str, list[dict[str, Any]]]:
    """Of what was taken over, what belongs into a workbook that is there."""
    shops = {key(shop.name) for shop in there.shops}
    rows = {title: taken.rows.get(title, []) for title in ("Packs", "Ingredients")}
    rows["Shops"] = [row for row in taken.rows.get("Shops", []) if key(row["Shop"]) not in shops]
    return rows


def _notes_of(like: Path, names: Sequence[str], taken: TakenOver, day: date) -> list[str]:
    """What was taken from the older workbook and what still lacks a pack, in lines."""
    priced = {key(name) for name in taken.priced}
    without = [name for name in names if key(name) not in priced]
    lines = [
        f"{len(names) - len(without)} of {len(names)} ingredients have a price of {like.name}."
    ]
    if without:
        listed = choice_words(without, most=NAMED, last="and")
        lines.append(f"Still to fill in on the sheet Packs: {listed}.")
    if taken.dated:
        lines.append(f"Prices that had no Price date there ({taken.dated}) are dated {day}.")
    if taken.supplied:
        lines.append(
            f"Not taken, as they were supplied for that shoot: {taken.supplied} of its packs."
        )
    if taken.unread:
        listed = choice_words(taken.unread, most=NAMED, last="and")
        lines.append(f"Not taken, as they cannot be read: {listed}; costing check {typed(like)}.")
    return lines


def add_to(
    file: Path,
    recipes: Sequence[Path],
    sheets: Sequence[str],
    like: Path | None,
    words: str,
    taught: TakesLearned | None,
) -> RecipesAsked:
    """Add dishes and sheets to a workbook that is there; what was done is in ``notes``."""
    there, _ = read_workbook(file)
    titles = {key(sheet.kind): sheet.title for sheet in there.read_from}
    for sheet in sheets:
        if key(sheet) in titles:
            raise Stop(
                f"--with: found {sheet}, which {file.name} has already, expected a sheet that it "
                "has not. Leave it out."
            )
    asked = RecipesAsked({}, [], there.settings.measures)
    if recipes:
        asked = with_prices(recipes, like, words, there, taught)
        asked.rows.pop(SETTINGS_SHEET.title, None)
    try:
        added = add_to_workbook(file, asked.rows, sheets)
    except ColumnsMissing as lacking:
        headings = choice_words(lacking.headings, last="and")
        raise Stop(
            f"{lacking.title}: found no column {headings}, expected one for what is to be "
            f"added. Write {headings} beside the last heading of {lacking.title} and run again; "
            "nothing was changed."
        ) from None
    done = [
        f"{title} {row_words(range(ends[0], ends[1] + 1))}" for title, ends in added.rows.items()
    ]
    notes = [f"Added: {choice_words([*done, *added.sheets], most=len(INPUT_SHEETS), last='and')}."]
    if added.left_out:
        columns = choice_words(added.left_out, last="and")
        notes.append(f"Left out, as {file.name} has no such column: {columns}.")
    return replace(asked, notes=(*notes, *asked.notes))


def write_next(path: Path, old: Path, estimate: Estimate) -> list[str]:
    """Write the workbook; what was taken into it and what was not, in lines."""
    ends_in(path, ".xlsx")
    closed = estimate.closed
    if closed is None:
        raise ValueError("only what is left of a shoot that is closed can be taken on")
    before, _ = read_workbook(old)
    verdicts = estimate.verdicts
    if verdicts:  # what was not put back has stood out since
        asked = max(now_there(estimate.shoot), verdicts[0].asked_at)
        verdicts = tuple(verdicts_by(estimate.shoot, asked))
    stock = next_stock(closed, verdicts)
    paid = packs_as_paid(closed, before.packs)
    day = price_day(before, date.fromtimestamp(old.stat().st_mtime))
    known = before.changed(packs=paid)
    names = {pack.ingredient: None for pack in paid} | {lot.ingredient: None for lot in before.lots}
    names |= {one.name: None for one in before.ingredients}
    taken = taken_over(known, list(names), day=day)
    rows: dict[str, Any] = dict(taken.rows)
    rows["On hand"] = rows_of(Shoot(lots=stock.lots)).get("On hand", [])
    left_off = [f"Left off: {one}." for one in stock.left_off]
    said = [*left_off, *made_ahead_words(closed)]
    remarks = {"On hand": "\n".join(said)} if said else {}
    more = ("On hand", "Episodes") if before.episodes else ("On hand",)
    data = new_workbook_bytes(rows=rows, more=more, remarks=remarks)
    new_file(path, data)
    told = [_on_hand_words(stock), *_undated(stock, estimate.shoot), *said]
    reduced = any(row.discount for one in closed.ingredients for row in one.fetched)
    new = len(paid) - len(before.packs)
    repriced = sum(one is not two for one, two in zip(paid, before.packs, strict=False))
    rows_paid = f"{how_many(repriced, 'row')} of Packs as paid" if repriced else ""
    rows_new = f"{new} for what was on no row" if new else ""
    paid_words = " and ".join(filter(None, (rows_paid, rows_new))) or "as on Packs"
    dated = f"; those without a day are dated {day}" if taken.dated else ""
    discounts = ", without the discounts" if reduced else ""
    told.append(f"Prices: {paid_words}{discounts}{dated}.")
    if taken.supplied:
        packs = how_many(taken.supplied, "pack")
        told.append(f"Not taken, as supplied for this shoot: {packs}.")
    return [*told, f"Written: {path}. Fill it in, then run: costing estimate {typed(path)}"]


def _undated(stock: NextStock, shoot: Shoot) -> Iterator[str]:
    """Dishes made in the house that are carried, of which nothing says how long they keep."""
    made = [one.ingredient for one in stock.lots if shoot.is_dish(one.ingredient)]
    dated = {key(one.ingredient) for one in stock.lots if one.use_by}
    if unknown := [name for name in dict.fromkeys(made) if key(name) not in dated]:
        names = choice_words(unknown, most=NAMED, last="and")
        yield f"Nothing says how long it keeps: {names}. Write Use by, or delete its row."


def _on_hand_words(stock: NextStock) -> str:
    """What is carried, in a line."""
    if not stock.lots:
        return "On hand: nothing is left that is carried."
    rounded = ", rounded down to what can be weighed" if stock.rounded else ""
    return f"On hand: {choice_words(map(lot_words, stock.lots), most=NAMED, last='and')}{rounded}."
