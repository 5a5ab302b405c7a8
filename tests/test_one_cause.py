"""One cause, one message: what follows from an error is not told again."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from good_workbook import Change, add, good_workbook, put, read, renamed, without
from small import line, pack, shoot_of

from costing.estimating import estimate
from costing.findings import Grade
from costing.kitchen import Dish, Ingredient
from costing.report.estimates import Estimate
from costing.shoot import Shot


def estimated(change: Change, folder: Path) -> Estimate:
    """The estimate of the good workbook with one change."""
    book = good_workbook()
    change(book)
    return estimate(read(book, folder)[0])


def new_codes(change: Change, folder: Path) -> list[str]:
    """What the change adds to what is found, by code and sheet."""
    before = {str(f) for f in estimated(lambda _: None, folder).findings}
    after = estimated(change, folder).findings
    return [f"{f.code}: {f.place.sheet}" for f in after if str(f) not in before]


CASES: list[tuple[Change, list[str]]] = [
    (add("Settings", "Prices include tax", "No tax"), ["choice unknown: Settings"]),
    (add("Settings", "Food tax rate %", "six"), ["text not a number: Settings"]),
    (put("Settings!B4", "mine"), ["choice unknown: Settings"]),
    (put("Packs!C1", "Qty"), ["heading nearly known: Packs"]),
    (put("Packs!A1", "Ingredeint"), ["heading nearly known: Packs"]),
    (put("Packs!E1", "Prise"), ["heading nearly known: Packs"]),
    (put("Packs!C1", "Size"), ["required heading missing: Packs"]),
    (renamed("Packs", "Pakcs"), ["sheet nearly known: Pakcs"]),
    (renamed("Ingredients", "Ingredeints"), ["sheet nearly known: Ingredeints"]),
    (renamed("Shoot plan", "Shot plan"), ["sheet nearly known: Shot plan"]),
    (renamed("Settings", "Setings"), ["sheet nearly known: Setings"]),
    (renamed("Dishes", "Dishs"), ["sheet nearly known: Dishs"]),
    (renamed("On hand", "On hnd"), ["sheet nearly known: On hnd"]),
    (put("Recipes!E1", "Qty"), ["heading nearly known: Recipes"]),
    (put("Recipes!D1", "Ingredeint"), ["heading nearly known: Recipes"]),
    (put("Recipes!D1", "What"), ["required heading missing: Recipes"]),
    (put("Holding!C1", "Evnt"), ["heading nearly known: Holding"]),
    (put("Holding!D1", "Whem"), ["heading nearly known: Holding"]),
    (put("Holding!E1", "Temprature"), ["heading nearly known: Holding"]),
    (put("Holding!F1", "Temperature"), ["heading twice: Holding"]),
    (put("Packs!C2", "#N/A"), ["error cell: Packs"]),
    (put("Settings!A1", "Settting"), ["heading nearly known: Settings"]),
    (put("Recipes!B1", "Steep"), ["heading nearly known: Recipes"]),
    (put("Episodes!A1", "Episodde"), ["heading nearly known: Episodes"]),
    (put("Episodes!B2", "#N/A"), ["error cell: Episodes"]),
    (renamed("Episodes", "Episods"), ["sheet nearly known: Episods"]),
]


@pytest.mark.parametrize(("change", "codes"), CASES, ids=[codes[0] for _, codes in CASES])
def test_cause__is_told_alone(change: Change, codes: list[str], tmp_path: Path) -> None:
    assert new_codes(change, tmp_path) == codes


@pytest.mark.parametrize(
    ("cell", "value", "code"),
    [("Recipes!B2", "two", "text not a number"), ("Shoot plan!G2", "once", "text not a number")],
)
def test_what_could_not_be_read__may_take_what_was_paid_and_counted(
    cell: str, value: str, code: str, tmp_path: Path
) -> None:
    """A line of a receipt and a count are of leek, which only the row in error takes."""

    def bought(book: Any) -> None:
        book["Shoot plan"].delete_rows(3)
        for title, *rows in (
            ("Receipts", ["Receipt", "Ingredient", "Packs", "Paid"], ["R1", "leek", 1, 1.89]),
            ("Counted", ["Ingredient", "Amount", "Unit"], ["leek", 100, "g"]),
        ):
            sheet = book.create_sheet(title)
            for row in rows:
                sheet.append(row)
        put(cell, value)(book)

    found = [str(f.code) for f in estimated(bought, tmp_path).findings]
    assert found.count(code) == 1
    assert "receipt ingredient unknown" not in found
    assert "count of nothing planned" not in found


@pytest.mark.parametrize("cell", ["Recipes!A2", "Recipes!D1"], ids=["a dish", "a heading"])
def test_what_could_not_be_read__may_take_what_the_log_counts(cell: str, tmp_path: Path) -> None:
    """Leek and a leaf are counted: one is on other sheets too, the other on none that is read."""
    log = tmp_path / "plan day log.csv"
    log.write_text("When,What,Event,Amount\n12:00,leek,counted,90 g\n12:05,leaf,counted,9 g\n")
    told = {f.code for f in estimated(put(cell, "#N/A"), tmp_path).findings}
    assert "error cell" in told or "required heading missing" in told
    assert told.isdisjoint({"count changes nothing", "log ingredient unknown"})


def test_price_that_cannot_be_known__is_named_in_the_totals(tmp_path: Path) -> None:
    found = estimated(add("Settings", "Prices include tax", "No tax"), tmp_path)
    assert 'setting "Prices include tax" (Settings!B7' in "; ".join(found.totals.missing)


def test_slip__of_a_dish_in_a_recipe_is_told_alone() -> None:
    """Mended, nothing is said. As typed neither the dish counts as unused, nor its Makes as idle.

    Nor is a trim yield of the slip asked for, which has no row and is no food.
    """
    rows = (
        *(line("pastry", "egg", "2 each"), line("tart", "egg", "1 each")),
        *(Dish(name="pastry", makes="300 g"), Ingredient(name="egg", piece_weight="50")),
        *(pack("egg", "6 each", "2.10"), Shot(dish="tart", purpose="cook-through")),
    )
    for name, codes in (("pastry", []), ("pastri", ["ingredient unknown"])):
        shoot = shoot_of(*rows, line("tart", name, "300 g"), currency="EUR")
        assert [one.code for one in estimate(shoot).findings] == codes


@pytest.mark.parametrize(
    ("source", "codes"),
    [
        ("", ["copy could continue"]),
        ("A", []),
        ("AA", ["shot unknown"]),
        ("nothing", []),
    ],
)
def test_from__that_cannot_be_used_is_told_alone(source: str, codes: list[str]) -> None:
    """A new copy is begun, as the message says; that it need not be is no second one."""
    shoot = shoot_of(
        line("tart", "egg", "6 each"),
        pack("egg", "6 each", "2.10"),
        Shot(name="A", dish="tart", purpose="cook-through"),
        Shot(name="B", dish="tart", purpose="hero", from_shot=source),
        currency="EUR",
    )
    assert [one.code for one in estimate(shoot).findings] == codes


def test_missing_recipes__are_told_once(tmp_path: Path) -> None:
    found = estimated(without("Recipes"), tmp_path)
    errors = [f.code for f in found.findings if f.grade is Grade.ERROR]
    assert errors == ["required sheet missing"]
    assert found.totals.missing[0].startswith('sheet "Recipes"')


def test_same_lack_in_many_rows__is_one_message_with_the_rows_named(tmp_path: Path) -> None:
    """Four packs, all without a price; no sheet Packs: four ingredients without one."""

    def no_prices(book: Any) -> None:
        for row in (2, 3, 4, 5):
            book["Packs"][f"E{row}"] = None

    told = [str(f) for f in estimated(no_prices, tmp_path).findings if f.code == "price missing"]
    assert told == [
        'Packs!E2 (column "Price"): found no price for leek (E2), butter (E3), potato (E4) and '
        "milk (E5), expected the price of a pack, or 0 if it costs nothing [price missing]\n"
        "  Fill Price on the sheet Packs; until then others are bought, or the totals leave it out."
    ]
    told = [
        str(f).partition(", expected")[0]
        for f in estimated(without("Packs"), tmp_path).findings
        if f.code == "pack missing"
    ]
    assert told == ["Packs: found no pack yet of leek, butter, potato and milk"]


def test_same_words__of_many_rows_are_one_message(tmp_path: Path) -> None:
    """Formulas that nobody calculated, and two unknown foods that lack the same grams."""

    def formulas(book: Any) -> None:
        for row in (2, 3, 4):
            book["Packs"][f"E{row}"] = "=1+1"

    told = [f.found for f in estimated(formulas, tmp_path).findings if f.grade is Grade.ERROR]
    assert told == ["a formula that was never calculated: leek (E2), butter (E3) and potato (E4)"]

    def strange(book: Any) -> None:
        for name in ("glimmer", "quarrel"):
            add("Recipes", None, None, None, name, 30, "ml")(book)
            add("Packs", name, None, 100, "g", 3)(book)

    told = [f.found for f in estimated(strange, tmp_path).findings if f.grade is Grade.ERROR]
    assert told == [
        "a blank cell, while the recipes take 30 ml of glimmer (Recipes!E6) and 30 ml of quarrel "
        "(Recipes!E7) and it is bought in g"
    ]


@pytest.mark.parametrize(
    ("typed", "lacking"),
    [(20, 'no step 2 of "S2"'), (3, 'no step 2 of "S2" or steps 1-2 of "S4"')],
    ids=["one shot", "two shots"],
)
def test_step_goes_back__is_the_error_that_the_shots_of_its_dish_rest_on(
    typed: int, lacking: str, tmp_path: Path
) -> None:
    """Steps 1, 20, 4 for 1, 2, 3; and steps 3, 4, 3, where two shots lack some."""

    def slipped(book: Any) -> None:
        two = typed == 3  # then both of the two are 3 and 4, above a 3
        put("Recipes!B4", 4 if two else typed)(book)
        put("Recipes!B2", 3 if two else 1)(book)
        add("Recipes", "leek soup", 3 if two else 4, "serve", "salt", 1, "g")(book)
        put("Shoot plan!E3", "2")(book)
        if two:
            add("Shoot plan", "S4", "Soup", "leek soup", "retake", "1-2")(book)

    told = [one for one in estimated(slipped, tmp_path).findings if "step" in one.code]
    assert [(one.code, one.grade, one.place.cell) for one in told] == [
        ("step goes back", Grade.ERROR, "B4")
    ]
    assert told[0].found.endswith(f", and {lacking}")


@pytest.mark.parametrize("goes_back", [False, True])
def test_step_unknown__above_all_steps_stands_at_the_shot(goes_back: bool, tmp_path: Path) -> None:
    """The recipe has steps 1 and 2, in this order or with a 1 below them: none is a slip of 3-7."""

    def slipped(book: Any) -> None:
        put("Shoot plan!E3", "2-7")(book)
        if goes_back:
            add("Recipes", "leek soup", 1, None, "salt", 1, "g")(book)

    told = [one for one in estimated(slipped, tmp_path).findings if "step" in one.code]
    back = [("step goes back", Grade.NOTE, "B4")] if goes_back else []
    assert [(one.code, one.grade, one.place.cell) for one in told] == [
        *back,
        ("step unknown", Grade.ERROR, "E3"),
    ]
    assert told[-1].found == 'steps 3-7, which "leek soup" does not have'


@pytest.mark.parametrize(
    ("sheet", "row", "meant"),
    [
        ("On hand", ("mlik", "some", "l", None, None), "milk"),
        ("Trips", ("Cornre", "soon"), "Corner"),
        ("Counted", ("leeek", 1, "kgg"), "leek"),
        ("On hand", ("milk", "some", "l", None, None), None),
        ("Counted", ("gravel", 1, "kgg"), None),
    ],
    ids=["a lot", "a trip", "a count", "the name is right", "a name of its own"],
)
def test_name_nearly_another__is_told_before_the_row_is_mended(
    sheet: str, row: tuple[Any, ...], meant: str | None, tmp_path: Path
) -> None:
    headings = {"Trips": ("Shop", "Date"), "Counted": ("Ingredient", "Amount", "Unit")}

    def more(book: Any) -> None:
        if sheet not in book.sheetnames:
            book.create_sheet(sheet).append(headings[sheet])
        add(sheet, *row)(book)

    told = [f for f in estimated(more, tmp_path).findings if f.code == "name nearly another"]
    place = f"'{sheet}'" if " " in sheet else sheet
    assert [str(one) for one in told] == (
        [
            f'{place} row {told[0].place.row} (row "{row[0]}"): found "{row[0]}", which nothing '
            f'uses, expected "{meant}" [name nearly another]\n'
            f'  Write "{meant}" if that is meant, when the row is mended.'
        ]
        if meant
        else []
    )


def test_conversion_missing__is_what_the_totals_and_the_list_name(tmp_path: Path) -> None:
    """The recipe says how much; what is missing is the weight of a millilitre."""

    def strange(book: Any) -> None:
        add("Recipes", None, None, None, "glimmer", 30, "ml")(book)
        add("Packs", "glimmer", None, 100, "g", 3)(book)

    found = estimated(strange, tmp_path)
    assert found.totals.bought_missing == ("the grams per ml of glimmer",)
    (note,) = [row["note"] for row in found.as_json()["to_buy"] if row["ingredient"] == "glimmer"]
    assert "not known: the grams per ml of glimmer" in note


@pytest.mark.parametrize(
    ("change", "whole"),
    [
        (put("Holding!D2", "early"), True),
        (renamed("Holding", "Holdng"), True),
        (put("Settings!B5", "Moon"), True),
        (put("Packs!C3", "some"), False),
        (put("Recipes!E2", "some"), False),
    ],
    ids=["a time", "the log", "the zone", "a pack", "an amount"],
)
def test_phone_page__only_errors_that_touch_the_list_say_it_is_not_whole(
    change: Change, whole: bool, tmp_path: Path
) -> None:
    found = estimated(change, tmp_path)
    assert any(finding.grade is Grade.ERROR for finding in found.findings)
    assert ("The list is not whole" not in found.phone_page()) is whole
