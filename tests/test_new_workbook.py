"""A recipe into a new workbook like an older one, or into one that is there."""

from __future__ import annotations

import shutil
from datetime import date
from decimal import Decimal
from pathlib import Path
from typing import Any

import first_hour
import openpyxl
import pytest
from commands import typed
from good_workbook import good_workbook
from packages import foreign_parts_changed
from small import line, pack, paid, shoot_of, sound

import costing

SOUP = """\
Potato soup

Serves 2

1 leek, sliced
300 g potatoes
2 cups milk
1 tsp salt

1. Soften the leek.
2. Add the potatoes, milk and salt and simmer.
"""


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder with the recipe, and the good workbook as ``last.xlsx``."""
    monkeypatch.chdir(tmp_path)
    (tmp_path / "soup.txt").write_text(SOUP, encoding="utf-8")
    good_workbook().save(tmp_path / "last.xlsx")
    return tmp_path


def test_like__packs_prices_with_their_day_shops_and_what_is_known_of_them(folder: Path) -> None:
    """Leek and milk of last.xlsx fit by name, potato in the plural; its shopping was on 9 May."""
    done = typed("new", "next.xlsx", "--recipe", "soup.txt", "--like", "last.xlsx")
    assert done.exit_code == 0, done.output
    assert "3 of 4 ingredients have a price of last.xlsx.\n" in done.output
    assert "Still to fill in on the sheet Packs: salt.\n" in done.output
    shoot, _ = costing.read_workbook("next.xlsx")
    last, _ = costing.read_workbook("last.xlsx")
    assert {(p.ingredient, p.shop, str(p.amount), p.price) for p in shoot.packs} == {
        ("leek", "Corner", "1 kg", last.packs[0].price),
        ("potatoes", "Corner", str(last.packs[2].amount), last.packs[2].price),
        ("milk", "", "1 l", last.packs[3].price),
    }
    assert shoot.packs[0].loose_step == last.packs[0].loose_step
    today = date.today()
    assert {p.price_date for p in shoot.packs} == {min(date(2031, 5, 9), today)}
    assert [row.name for row in shoot.waiting_packs] == ["salt"]
    assert shoot.ingredient("leek").trim_yield == last.ingredient("leek").trim_yield
    assert shoot.ingredient("milk").density == last.ingredient("milk").density
    assert [(s.name, s.visit_cost) for s in shoot.shops] == [("Corner", last.shops[0].visit_cost)]
    assert shoot.settings.currency == last.settings.currency
    assert shoot.settings.title == "next"


def test_like__what_was_supplied_is_not_taken_as_free(folder: Path) -> None:
    book = good_workbook()
    book["Packs"]["I1"], book["Packs"]["I2"] = "Supplied", "yes"
    book.save("last.xlsx")
    done = typed("new", "next.xlsx", "--recipe", "soup.txt", "--like", "last.xlsx")
    assert "Not taken, as they were supplied for that shoot: 1 of its packs.\n" in done.output
    assert "leek" not in {p.ingredient for p in costing.read_workbook("next.xlsx")[0].packs}


def test_like__the_place_is_carried_as_it_stands(folder: Path) -> None:
    """Ohio has no rules here; that of the cell is still what the next shoot is told."""
    book = good_workbook()
    book["Settings"].append(["Place", "US, Ohio"])
    book.save("last.xlsx")
    assert typed("new", "next.xlsx", "--recipe", "soup.txt", "--like", "last.xlsx").exit_code == 0
    rows = openpyxl.load_workbook("next.xlsx")["Settings"].iter_rows(values_only=True)
    assert ("Place", "US, Ohio") in [row[:2] for row in rows]
    shoot, _ = costing.read_workbook("next.xlsx")
    assert shoot.settings.rules == ("US-HOME-2H",)


SOUP_DAY: tuple[Any, ...] = (
    costing.Episode(name="E", shoot_date="2021-05-10"),
    *(sound(name, keeps_days=30) for name in ("leek", "milk", "rice")),
    line("soup", "leek", "200 g"),
    line("soup", "milk", "1 l"),
    line("soup", "rice", "100 g"),
    costing.Shot(dish="soup", taken=1),
)
DATED = pack("milk", "1 l", "1.20", shop="Market", price_date=date(2021, 4, 1))


@pytest.mark.parametrize(
    ("parts", "said"),
    [
        (
            (pack("leek", "500 g", "2.00"), DATED),
            "as on Packs; those without a day are dated 2021-05-09",
        ),
        (
            (
                pack("leek", "500 g", "2.00", shop="Market"),
                DATED,
                paid("leek", "2.20", packs=1, shop="Market", day="2021-05-09"),
                paid("milk", "1.10", packs=1, shop="Market", day="2021-05-09"),
            ),
            "2 rows of Packs as paid",
        ),
        (
            (DATED, paid("leek", "2.20", packs=1, amount="500 g", shop="Stall", day="2021-05-09")),
            "1 for what was on no row",
        ),
        (
            (
                *(pack("leek", "500 g", "2.00", shop="Market", price_date=date(2021, 4, 1)), DATED),
                paid("leek", "2.20", packs=1, shop="Market", day="2021-05-09"),
                paid("rice", "3.00", packs=1, amount="1 kg", shop="Stall", day="2021-05-09"),
            ),
            "1 row of Packs as paid and 1 for what was on no row",
        ),
    ],
    ids=["as listed", "two as paid", "one new", "one of each"],
)
def test_next__says_which_prices_it_begins_with(
    folder: Path, parts: tuple[Any, ...], said: str
) -> None:
    """Receipts are of the day before the shoot, as is a price that was typed without a day."""
    costing.write_workbook("soup.xlsx", shoot_of(*SOUP_DAY, *parts))
    done = typed("close", "soup.xlsx", "--next", "next.xlsx")
    assert done.exit_code == 0, done.output
    assert f"Prices: {said}.\n" in done.output


@pytest.mark.parametrize(("count", "said"), [(1, "1 pack"), (2, "2 packs")])
def test_next__what_was_supplied_is_no_price_and_of_nothing_left_nothing_is_carried(
    folder: Path, count: int, said: str
) -> None:
    """Leek and milk are used up; the rice of a sponsor was free for this shoot only."""
    packs = (
        *(pack("leek", "200 g", "2.00", price_date=date(2021, 4, 1)), DATED),
        *(pack("rice", f"{100 * n} g", None, supplied=True) for n in range(1, count + 1)),
    )
    costing.write_workbook("soup.xlsx", shoot_of(*SOUP_DAY, *packs))
    done = typed("close", "soup.xlsx", "--next", "next.xlsx")
    assert f"Not taken, as supplied for this shoot: {said}.\n" in done.output
    assert "On hand: nothing is left that is carried.\n" in done.output
    assert "rice" not in {one.ingredient for one in costing.read_workbook("next.xlsx")[0].packs}


def test_like__what_cannot_be_read_there_is_named(folder: Path) -> None:
    book = good_workbook()
    book["Packs"]["D5"] = "blobs"
    book.save("last.xlsx")
    done = typed("new", "next.xlsx", "--recipe", "soup.txt", "--like", "last.xlsx")
    assert done.exit_code == 0, done.output
    assert (
        'Not taken, as they cannot be read: pack of "milk"; costing check last.xlsx.\n'
    ) in done.output
    assert "Still to fill in on the sheet Packs: milk and salt.\n" in done.output


def test_like__five_that_have_no_price_are_named(folder: Path) -> None:
    names = ("rice", "beans", "oats", "dates", "figs", "plums")
    listed = "\n".join(f"100 g {name}" for name in names)
    (folder / "soup.txt").write_text(f"Bowl\n\n{listed}\n", encoding="utf-8")
    done = typed("new", "next.xlsx", "--recipe", "soup.txt", "--like", "last.xlsx")
    assert "0 of 6 ingredients have a price of last.xlsx.\n" in done.output
    assert (
        "Still to fill in on the sheet Packs: rice, beans, oats, dates, figs and 1 more.\n"
    ) in done.output


def test_like__into_a_workbook_that_is_there_brings_what_it_has_not(folder: Path) -> None:
    """The stall is new there, the Corner keeps its visit; milk and leek keep their packs."""
    plain = SOUP.replace("1 leek, sliced", "1 leek")
    (folder / "soup.txt").write_text(plain, encoding="utf-8")
    older = good_workbook()
    book = good_workbook()
    book["Packs"]["I1"] = "Price date"
    book.save("last.xlsx")
    older["Packs"].append(["salt", "Stall", 500, "g", 0.8])
    older["Packs"].append(["potatoes", "Corner", 2, "kg", 3.1])
    older["Shops"]["B2"] = 9
    older["Shops"].append(["Stall", 0.5])
    older.save("older.xlsx")
    done = typed("new", "last.xlsx", "--recipe", "soup.txt", "--like", "older.xlsx")
    assert done.exit_code == 0, done.output
    assert "2 of 2 ingredients have a price of older.xlsx.\n" in done.output
    shoot, _ = costing.read_workbook("last.xlsx")
    assert {one.name: one.visit_cost for one in shoot.shops} == {
        "Corner": Decimal("1.5"),
        "Stall": Decimal("0.5"),
    }
    new = [(p.ingredient, p.shop, str(p.amount), p.price) for p in shoot.packs[4:]]
    assert ("salt", "Stall", "500 g", Decimal("0.8")) in new
    assert {name for name, *_ in new} == {"salt", "potatoes"}


def test_recipe__a_new_workbook_says_whose_cups_it_has(folder: Path) -> None:
    """All-purpose flour and a stick of butter are of the US."""
    text = SOUP.replace("2 cups milk", "2 cups all-purpose flour").replace(
        "1 tsp salt", "1 stick butter"
    )
    (folder / "soup.txt").write_text(text, encoding="utf-8")
    assert typed("new", "next.xlsx", "--recipe", "soup.txt").exit_code == 0
    settings = costing.read_workbook("next.xlsx")[0].settings
    assert (settings.measures, "Measures" in settings.places) == ("US customary", True)


@pytest.mark.parametrize("milk", ["2 1/4 cups milk", "2 1/4 cups (540 ml) milk"])
def test_like__cups_are_those_of_the_older_workbook(folder: Path, milk: str) -> None:
    """Grams beside cups say nothing of whose cups they are, and 540/2.25 = 240 ml is of the US."""
    book = good_workbook()
    rows = {row[0].value: row[1] for row in book["Settings"].iter_rows()}
    if "Measures" in rows:
        rows["Measures"].value = "US customary"
    else:
        book["Settings"].append(["Measures", "US customary"])
    book.save("last.xlsx")
    text = SOUP.replace("2 cups milk", milk).replace("1 tsp salt", "500 g plums\n6 Tbs flour")
    (folder / "soup.txt").write_text(text, encoding="utf-8")
    done = typed("new", "next.xlsx", "--recipe", "soup.txt", "--like", "last.xlsx")
    assert done.exit_code == 0, done.output
    assert "its cups and spoons are" not in done.output
    shoot, _ = costing.read_workbook("next.xlsx")
    amounts = {line.ingredient: str(line.amount) for line in shoot.lines}
    assert amounts["milk"] == ("540 ml" if "ml" in milk else "2.25 US cup")
    assert amounts["flour"] == "6 US tablespoon"
    assert "(2 1/4 cups) milk" in typed("recipe", "next.xlsx").output
    (folder / "soup.txt").write_text(text.replace(milk, "1 cup (250 ml) milk"), encoding="utf-8")
    other = typed("new", "other.xlsx", "--recipe", "soup.txt", "--like", "last.xlsx")
    assert (
        "soup.txt: its cups and spoons are metric, and its units say so; Settings says US "
        "customary.\n"
    ) in other.output


@pytest.mark.parametrize(
    ("options", "said"),
    [
        (
            ("--like", "last.xlsx"),
            "--like: found no --recipe, expected one whose ingredients are looked for. Add "
            "--recipe and the file of the recipe.\n",
        ),
        (
            ("--measures", "metric"),
            "--measures: found no --recipe, expected one whose cups and spoons they are. Add "
            "--recipe and the file of the recipe.\n",
        ),
        (
            ("--recipe", "soup.txt", "--few"),
            "--few: found no --takes, expected one that says where past shoots are. Add --takes "
            "and the folder of their workbooks.\n",
        ),
    ],
    ids=["like", "measures", "few"],
)
def test_new__an_option_that_would_change_nothing_is_refused(
    folder: Path, options: tuple[str, ...], said: str
) -> None:
    done = typed("new", "next.xlsx", *options)
    assert (done.exit_code, done.output) == (2, said)
    assert not (folder / "next.xlsx").exists()


@pytest.mark.parametrize(("option", "file"), [("--recipe", "soup.txt"), ("--like", "last.xlsx")])
def test_demo__is_filled_in_from_nothing_else(folder: Path, option: str, file: str) -> None:
    done = typed("new", "next.xlsx", "--demo", option, file)
    assert (done.exit_code, done.output) == (
        2,
        f"--demo and {option}: found both, expected one of them. Leave one out.\n",
    )
    assert not (folder / "next.xlsx").exists()


def test_recipe__into_a_workbook_that_is_there_adds_and_changes_nothing(folder: Path) -> None:
    """Milk has its pack there, and so it keeps it; potato is spelled otherwise, and is added."""
    plain = SOUP.replace("1 leek, sliced", "1 leek")  # the good workbook has no column Cut
    (folder / "soup.txt").write_text(plain, encoding="utf-8")
    before = (folder / "last.xlsx").read_bytes()
    old, _ = costing.read_workbook("last.xlsx")
    done = typed("new", "last.xlsx", "--recipe", "soup.txt", "--with", "Shops")
    assert (done.exit_code, done.output) == (
        2,
        "--with: found Shops, which last.xlsx has already, expected a sheet that it has not. "
        "Leave it out.\n",
    )
    assert (folder / "last.xlsx").read_bytes() == before
    done = typed("new", "last.xlsx", "--recipe", "soup.txt")
    assert done.exit_code == 0, done.output
    told = done.output.splitlines()
    assert told[-3:-1] == [
        "Added: Recipes rows 6 to 11, Packs rows 6 and 7, Ingredients rows 4 and 5 and Dishes "
        "row 3.",
        "Left out, as last.xlsx has no such column: Recipes: Note and Dishes: Note.",
    ]
    new, _ = costing.read_workbook("last.xlsx")
    assert new.lines[: len(old.lines)] == old.lines
    assert set(new.recipes) == {"leek soup", "Potato soup"}
    assert (new.packs, new.shots, new.containers) == (old.packs, old.shots, old.containers)
    assert [row.name for row in new.waiting_packs] == ["potatoes", "salt"]
    sheets = [f"xl/worksheets/sheet{n}.xml" for n in range(1, 12)]
    changed = foreign_parts_changed(before, (folder / "last.xlsx").read_bytes())
    assert set(changed) <= set(sheets)
    assert len(changed) == 4


def test_recipe__a_workbook_without_a_sheet_for_ingredients_gets_none(folder: Path) -> None:
    """Nothing is known yet of the foods of a recipe that would have to stand there."""
    book = good_workbook()
    del book["Ingredients"]
    book.save("last.xlsx")
    (folder / "soup.txt").write_text(SOUP.replace("leek, sliced", "leek"), encoding="utf-8")
    done = typed("new", "last.xlsx", "--recipe", "soup.txt")
    assert done.exit_code == 0, done.output
    assert done.output.splitlines()[-3] == (
        "Added: Recipes rows 6 to 11, Packs rows 6 and 7 and Dishes row 3."
    )


def test_recipe__what_has_its_row_there_gets_no_other(folder: Path) -> None:
    """Salt waits for its pack, milk has one that cannot be read, oil its row of Ingredients.

    The soup that is there is an ingredient now, and flour alone is new.
    """
    book = good_workbook()
    book["Packs"]["D5"] = "blobs"
    book["Packs"].append(["salt"])
    book["Ingredients"].append(["oil"])
    book.save("last.xlsx")
    text = "Pie\n\n1 portion leek soup\n5 g salt\n100 g milk\n100 g flour\n100 g oil\n"
    (folder / "pie.txt").write_text(text, encoding="utf-8")
    old, _ = costing.read_workbook("last.xlsx")
    assert (old.waiting_packs[0].name, old.left_out_on("Packs", name="milk")) == ("salt", True)
    done = typed("new", "last.xlsx", "--recipe", "pie.txt")
    assert done.exit_code == 0, done.output
    new, _ = costing.read_workbook("last.xlsx")
    waiting = [row.name for row in new.waiting_packs]
    assert waiting == ["salt", "flour", "oil"]
    named = [one.name for one in new.ingredients]
    assert [one.name for one in old.ingredients] == named[: len(old.ingredients)]
    assert named[len(old.ingredients) :] == ["salt", "flour"]


def test_recipe__a_dish_that_is_there_is_refused(folder: Path) -> None:
    (folder / "soup.txt").write_text(SOUP.replace("Potato soup", "Leek soup"), encoding="utf-8")
    before = (folder / "last.xlsx").read_bytes()
    done = typed("new", "last.xlsx", "--recipe", "soup.txt")
    assert (done.exit_code, done.output) == (
        2,
        '--recipe: found "Leek soup", which the workbook has already, expected a dish that is '
        "new. Change the title in the recipe, or that dish in the workbook.\n",
    )
    assert (folder / "last.xlsx").read_bytes() == before


def test_recipe__a_column_that_changes_figures_is_asked_for(folder: Path) -> None:
    """The good workbook's Recipes have no column Cut; nothing typed is dropped in silence."""
    done = typed("new", "last.xlsx", "--recipe", "soup.txt")
    assert (done.exit_code, done.output) == (
        2,
        "Recipes: found no column Cut, expected one for what is to be added. Write Cut beside the "
        "last heading of Recipes and run again; nothing was changed.\n",
    )


def test_recipes__several_in_other_measures_name_theirs(folder: Path) -> None:
    """The buns measure in US cups; the first recipe's measures are those of the workbook."""
    (folder / "buns.txt").write_text(first_hour.BUNS, encoding="utf-8")
    done = typed("new", "two.xlsx", "--recipe", "soup.txt", "--recipe", "buns.txt")
    assert done.exit_code == 0, done.output
    assert (
        "buns.txt: its cups and spoons are US customary, and its units say so; Settings says "
        "metric.\n"
    ) in done.output
    shoot, _ = costing.read_workbook("two.xlsx")
    units = {(line.dish, line.ingredient): str(line.amount) for line in shoot.lines if line.amount}
    assert units["Potato soup", "milk"] == "2 metric cup"
    assert units["Cheddar herb buns", "all-purpose flour"] == "4 US cup"
    names = [row.name for row in shoot.waiting_packs]
    assert len(names) == len(set(names)) == 18


def test_recipes__two_of_one_name_are_told(folder: Path) -> None:
    shutil.copy("soup.txt", "again.txt")
    done = typed("new", "two.xlsx", "--recipe", "soup.txt", "--recipe", "again.txt")
    assert (done.exit_code, done.output) == (
        2,
        '--recipe: found two recipes called "Potato soup", expected a name for each dish. Change '
        "the title in one of the files.\n",
    )


def test_with__a_sheet_for_a_new_workbook_and_for_one_that_is_there(folder: Path) -> None:
    assert typed("new", "plan.xlsx", "--with", "on hand").exit_code == 0
    assert "On hand" in openpyxl.load_workbook("plan.xlsx").sheetnames
    done = typed("new", "plan.xlsx", "--with", "Holding", "--with", "Shops")
    assert done.exit_code == 0, done.output
    assert done.output.startswith("Added: Shops and Holding.\nAdded to plan.xlsx.")
    book = openpyxl.load_workbook("plan.xlsx")
    assert book.sheetnames[-2:] == ["Shops", "Holding"]
    assert book["Holding"]["C3"].comment is not None
    assert not [f for f in costing.read_workbook("plan.xlsx")[1] if f.place.sheet == "Holding"]


def test_with__an_unknown_sheet_is_told_with_the_nearest(folder: Path) -> None:
    done = typed("new", "plan.xlsx", "--with", "Holdings")
    assert done.exit_code == 2
    assert done.output.startswith('--with: found "Holdings", expected one of Settings, Recipes, ')
    assert done.output.endswith(" Nearest: Holding.\n")
    several = typed("new", "plan.xlsx", "--with", "Dishops").output
    assert several.endswith(" Nearest: Shops.\n"), "Dishes is near as well"


def test_first_hour__the_second_recipe_takes_at_most_twenty_cells(folder: Path) -> None:
    """Five of its fifteen ingredients are new: an amount, a unit and a price each, and the plan.

    The first estimate of a recipe without prices says what to do in at most 25 lines.
    """
    counts = first_hour.play(folder, typed_in=lambda _, words: typed(*words).output)
    assert counts["second"].cells <= 20
    command, lines, *_ = counts["first"].commands[1]
    assert command == "costing estimate tart.xlsx"
    assert lines <= 25


@pytest.mark.parametrize("encoding", ["cp1252", "utf-8-sig", "utf-16", "utf-16-le"])
def test_recipe__in_the_letters_of_other_programs(folder: Path, encoding: str) -> None:
    """½ and é are one byte in what older programs save."""
    text = "Soupe\n\nServes 2\n\n1½ kg potatoes\n2 tbsp crème fraîche\n"
    (folder / "soup.txt").write_text(text, encoding=encoding)
    done = typed("new", "next.xlsx", "--recipe", "soup.txt")
    assert done.exit_code == 0, done.output
    shoot, _ = costing.read_workbook("next.xlsx")
    assert [str(line.amount) for line in shoot.lines] == ["1.5 kg", "2 metric tablespoon"]
    assert shoot.lines[1].ingredient == "crème fraîche"


def test_recipe__a_file_of_another_kind_is_refused(folder: Path) -> None:
    done = typed("new", "next.xlsx", "--recipe", "last.xlsx")
    assert (done.exit_code, done.output) == (
        2,
        "last.xlsx: found a file that is no plain text, expected a recipe as plain text or .json. "
        "Save it as plain text and name that file.\n",
    )
    assert not (folder / "next.xlsx").exists()
