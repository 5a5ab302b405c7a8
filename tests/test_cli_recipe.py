"""The command that gives a recipe to publish, and the one that takes it in again."""

from __future__ import annotations

import json
import shutil
from pathlib import Path

import openpyxl
from commands import put_demo, typed
from small import line, shoot_of

import costing
from costing.workbook.demo import DEMO_NAME


def test_recipe__is_printed_written_and_taken_into_a_new_workbook(folder: Path) -> None:
    """Out of the demo as text, into a file as printed; into a new workbook, out of that again: word
    for word the same.
    """
    put_demo(folder)
    printed = typed("recipe", DEMO_NAME)
    assert printed.exit_code == 0
    assert "- 250 g (2 cups) flour\n" in printed.output
    assert "here by at most 5.3 %." in printed.output
    assert typed("recipe", DEMO_NAME, "--output", "tart.txt").output == "Written: tart.txt\n"
    assert Path("tart.txt").read_text(encoding="utf-8") == printed.stdout
    assert typed("recipe", DEMO_NAME, "--form", "markdown", "--output", "tart.md").exit_code == 0
    assert typed("new", "tart.xlsx", "--recipe", "tart.md").exit_code == 0
    assert typed("recipe", "tart.xlsx").output == printed.output


def test_recipe__says_what_it_lacks(folder: Path) -> None:
    put_demo(folder)
    dish = "charred-leek and white-bean tart"
    unknown = typed("recipe", DEMO_NAME, "charred leek and white bean tart")
    assert unknown.exit_code == 1
    assert unknown.output == (
        f'There is no dish "charred leek and white bean tart"; known are {dish}. Nearest: {dish}.\n'
    )
    wrong = typed("recipe", DEMO_NAME, "--form", "pdf")
    assert wrong.exit_code == 2
    assert wrong.output == '--form: found "pdf", expected one of text, markdown, json.\n'
    assert typed("recipe", DEMO_NAME, "--output", DEMO_NAME).exit_code == 2


def test_recipe__of_several_dishes_or_of_none_one_is_to_be_named(folder: Path) -> None:
    dishes = (line("soup", "leek", "300 g"), line("tart", "leek", "200 g"))
    costing.write_workbook("soup.xlsx", shoot_of(*dishes))
    typed("new", "plan.xlsx")
    assert [
        (one.exit_code, one.output) for one in (typed("recipe", "soup"), typed("recipe", "plan"))
    ] == [
        (1, "No dish is named; known are soup, tart.\n"),
        (1, "No dish is named; known are none.\n"),
    ]


def test_recipe__says_what_would_come_in_as_another(folder: Path) -> None:
    """A comma in a name begins what is done to the food: said beside the recipe, not in it."""
    costing.write_workbook("soup.xlsx", shoot_of(line("soup", "leek, the white part", "300 g")))
    done = typed("recipe", "soup.xlsx")
    assert done.exit_code == 0
    assert done.stderr == (
        '"300 g (10 1/2 oz) leek, the white part" would not be read again as it is in the '
        "workbook.\n"
    )
    assert "- 300 g (10 1/2 oz) leek, the white part\n" in done.stdout


def test_file__its_ending_may_be_left_out_where_words_follow(folder: Path) -> None:
    """Two workbooks in the folder, so that only the word can say which; the demo has one dish."""
    (folder / "shoot").mkdir()
    put_demo(folder / "shoot")
    put_demo(folder).rename("buns.xlsx")
    shutil.copy("buns.xlsx", "stew.xlsm")
    dish = "charred-leek and white-bean tart"
    whole = typed("recipe", "buns.xlsx").output
    assert whole.startswith(dish)
    assert typed("recipe", "buns").output == typed("recipe", "buns", dish).output == whole
    assert typed("list", "--html", "buns").output.startswith("Written: buns list.html.")
    for book in ("stew", f"shoot/{Path(DEMO_NAME).stem}"):
        logged = typed("log", book, "bean puree bowl", "back", "4C", "--at", "15:00")
        assert (logged.exit_code, logged.output.split(" at ")[0]) == (
            0,
            "Logged: bean puree bowl, back 4 C",
        )
        undone = typed("log", "--undo", book)
        assert undone.output.startswith("Taken back: ")
    Path("pie.txt").write_text("Pie\n\n2 leeks\n", encoding="utf-8")
    made = typed("new", "pie", "--recipe", "pie.txt", "--like", "buns")
    assert made.exit_code == 0, made.output
    assert "1 of 1 ingredients have a price of buns.xlsx.\n" in made.output
    assert typed("new", "pie", "--with", "Holding").output.startswith("Added: ")
    unsaid = typed("recipe", "cake", dish)
    assert (unsaid.exit_code, unsaid.output) == (
        2,
        "This folder holds 3 workbooks (buns.xlsx, pie.xlsx, stew.xlsm); name the one you mean.\n",
    )


RECIPE = """Leek soup
Serves 4

2 leeks, sliced
1 tbsp olive oil
1 litre vegetable stock
salt, to taste
"""


def test_new__recipe_as_text_fills_the_sheets_and_keeps_each_line(folder: Path) -> None:
    """The lines of the recipe come back word for word in the column Note."""
    (folder / "soup.txt").write_text(RECIPE, encoding="utf-8")
    result = typed("new", "soup.xlsx", "--recipe", "soup.txt")
    assert result.exit_code == 0, result.output
    rows = list(openpyxl.load_workbook(folder / "soup.xlsx")["Recipes"].iter_rows(values_only=True))
    (heading,) = [number for number, row in enumerate(rows) if row[0] == "Dish"]
    notes = [row[-1] for row in rows[heading + 1 :] if row[-1]]
    assert notes == [line for line in RECIPE.splitlines()[3:] if line]
    checked = typed("check", "soup.xlsx")
    assert checked.exit_code == 0, checked.output
    assert "[pack missing]" in checked.output


def test_new__pieces_that_were_counted_are_no_more_than_counted_on_the_screen(
    folder: Path,
) -> None:
    """A clove of garlic is bought as one; costing check says so."""
    (folder / "bread.txt").write_text("Garlic bread\n\n2 cloves garlic\n", encoding="utf-8")
    said = typed("new", "bread.xlsx", "--recipe", "bread.txt").output
    assert said.splitlines()[0] == "1 note; all findings: costing check bread.xlsx"


def test_new__recipe_as_json_by_the_open_standard(folder: Path) -> None:
    """A schema.org Recipe in JSON-LD."""
    recipe = {
        "@context": "https://schema.org",
        "@type": "Recipe",
        "name": "Toast",
        "recipeYield": "2 servings",
        "recipeIngredient": ["2 slices bread", "20 g jalapeño"],
    }
    (folder / "toast.json").write_text(json.dumps(recipe), encoding="utf-8")
    result = typed("new", "toast.xlsx", "--recipe", "toast.json")
    assert result.exit_code == 0, result.output
    printed = typed("estimate", "toast.xlsx", "--json").output
    assert "jalapeño" in printed, "letters stand as they are, for people to read"
    assert {row["ingredient"] for row in json.loads(printed)["needs"]} == {
        "bread slice",
        "jalapeño",
    }


def test_new__demo_has_every_sheet_to_fill_in(folder: Path) -> None:
    """As --all has, whether the demo fills one in or not."""
    for option in ("--demo", "--all"):
        assert typed("new", f"{option[2:]}.xlsx", option).exit_code == 0
    demo, every = (openpyxl.load_workbook(f"{name}.xlsx").sheetnames for name in ("demo", "all"))
    assert demo == every


def test_new__recipe_that_cannot_be_read_is_told(folder: Path) -> None:
    (folder / "x.json").write_text("{", encoding="utf-8")
    result = typed("new", "x.xlsx", "--recipe", "x.json")
    assert result.exit_code == 2
    assert result.output.startswith("error: ")
    assert not (folder / "x.xlsx").exists()
    missing = typed("new", "x.xlsx", "--recipe", "none.txt")
    assert (missing.exit_code, missing.output) == (
        2,
        "none.txt: found no file of this name. Name the one that is there: x.json.\n",
    )
    elsewhere = typed("new", "x.xlsx", "--recipe", "elsewhere/none.txt")
    assert elsewhere.exit_code == 2
    assert "[file not found]" in elsewhere.output
    measures = typed("new", "x.xlsx", "--recipe", "x.json", "--measures", "Roman")
    assert measures.output == (
        '--measures: found "Roman", expected one of US customary, US label, metric, Australian, '
        "UK imperial, Japanese.\n"
    )
