"""What a cook can weigh: grams per ml, grams per piece and units of an ingredient's own."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest
from good_workbook import findings, good_workbook, read
from openpyxl import Workbook
from small import books_of_shoot, purchase

from costing.estimating import estimate
from costing.quantities import Measures
from costing.workbook.reading.weighs import Unweighed, weighed


@pytest.mark.parametrize(
    ("text", "density", "piece", "units"),
    [
        ("1 cup = 125 g", Fraction(1, 2), None, {}),
        ("125 g = 1 cup", Fraction(1, 2), None, {}),
        ("1/2 cup = 60 g", Fraction(60, 125), None, {}),
        ("1 each = 110 g", None, 110, {}),
        ("1 piece=110g", None, 110, {}),
        ("a", None, None, None),
        ("0 cups = 125 g", None, None, None),
        ("1 bunch = 50-60 g", None, None, None),
        ("Bunch = 60 g", None, 60, {"bunch": 1}),
        ("1 head = 10 cloves", None, None, {"head": 1, "clove": Fraction(1, 10)}),
        ("1 head = 10 cloves; 1 clove = 5 g", None, 50, {"head": 1, "clove": Fraction(1, 10)}),
        ("2 each = 1 head; 1 head = 50 g", None, 25, {"head": 2}),
        ("1 bunch = 60 g\n1 sprig = 2 g", None, 60, {"bunch": 1, "sprig": Fraction(1, 30)}),
        ("1 cup = 125 g; 1 bunch = 60 g; 1 head = 10 cloves", Fraction(1, 2), 60, {"bunch": 1}),
        ("1 cup = 10 each; 1 each = 20 g", Fraction(4, 5), 20, {}),
    ],
)
def test_weighed__says_what_follows(
    text: str, density: Fraction | None, piece: int | None, units: dict[str, Any] | None
) -> None:
    """Worked by hand with a metric cup of 250 ml."""
    if units is None:
        with pytest.raises(Unweighed):
            weighed(text, Measures.METRIC)
        return
    found = weighed(text, Measures.METRIC)
    assert (found.density, found.piece_weight) == (density, piece)
    assert {word: unit.size for word, unit in found.units.items()} == units


def with_garlic(
    weighs: Any, *, pack: tuple[Any, ...], line: tuple[Any, ...], **more: Any
) -> Workbook:
    """The good workbook with garlic in it."""
    book = good_workbook()
    sheet = book["Ingredients"]
    at = sheet.max_column + 1
    sheet.cell(1, at).value = "Weighs"
    sheet.append(["garlic"])
    sheet.cell(sheet.max_row, at).value = weighs
    sheet.cell(sheet.max_row, 3).value = 100
    for heading, value in more.items():
        column = [cell.value for cell in sheet[1]].index(heading.replace("_", " ")) + 1
        sheet.cell(sheet.max_row, column).value = value
    book["Recipes"].append(["leek soup", 2, None, "garlic", *line])
    book["Packs"].append(["garlic", None, *pack])
    return book


@pytest.mark.parametrize(
    ("pack", "line", "need"),
    [
        ((1, "head", 0.5), (12, "cloves"), Fraction(12, 5)),
        ((1, None, 0.5), (12, "clove"), Fraction(12, 5)),
        ((30, "g", 0.5), (12, "Clove"), 120),
        ((1, "head", 0.5), (60, "g"), Fraction(12, 5)),
    ],
    ids=["heads for cloves", "pieces for cloves", "grams for cloves", "heads for grams"],
)
def test_units__of_an_ingredients_own_stand_in_unit(
    pack: tuple[Any, ...], line: tuple[Any, ...], need: Fraction, tmp_path: Path
) -> None:
    """A head of 10 cloves of 5 g; a whole batch and two halves: 24 cloves, 2.4 heads or 120 g."""
    book = with_garlic("1 head = 10 cloves; 1 clove = 5 g", pack=pack, line=line)
    shoot, said = read(book, tmp_path)
    assert said == []
    assert purchase(books_of_shoot(shoot), "garlic").need.total == need


CASES = [
    pytest.param(
        with_garlic("1 clove", pack=(1, None, 1), line=(5, "g")),
        [
            'Ingredients!G4 (row "garlic", column "Weighs"): found "1 clove", expected two amounts '
            "with = between, such as 1 cup = 125 g; 1 head = 10 cloves [weighs unreadable]\n"
            "  Mend it; until then the need for the ingredient is unknown and left out."
        ],
        id="weighs unreadable",
    ),
    pytest.param(
        with_garlic("1 each = 5 g; 1 each = 6 g", pack=(1, None, 1), line=(5, "g")),
        [
            'Ingredients!G4 (row "garlic", column "Weighs"): found "1 each = 6 g", which does not '
            'go with "1 each = 5 g", expected two amounts with = between, such as 1 cup = 125 g; '
            "1 head = 10 cloves [weighs unreadable]\n"
            "  Mend it; until then the need for the ingredient is unknown and left out."
        ],
        id="weighs unreadable: two things",
    ),
    pytest.param(
        with_garlic("1 clove = 5", pack=(1, "each", 0.5), line=(12, "cloves")),
        [
            'Ingredients!G4 (row "garlic", column "Weighs"): found "1 clove = 5", expected two '
            "amounts with = between, such as 1 cup = 125 g; 1 head = 10 cloves [weighs "
            "unreadable]\n"
            "  Mend it; until then the need for the ingredient is unknown and left out."
        ],
        id="weighs unreadable: and a unit it may give",
    ),
    pytest.param(
        with_garlic("1 cup = 125 g", pack=(1, "l", 1), line=(5, "g"), Grams_per_ml=0.6),
        [
            'Ingredients!E4 (row "garlic", column "Grams per ml"): found another value than the '
            "0.5 that Weighs gives, expected one of the two, Grams per ml or Weighs [weighs "
            "otherwise]\n"
            "  Clear the one that is wrong; until then Grams per ml counts."
        ],
        id="weighs otherwise",
    ),
    pytest.param(
        with_garlic("1 clove = 5 g", pack=(1, None, 0.5), line=(12, "cloves")),
        [
            'Packs!D6 (row "garlic", column "Unit"): found pieces of garlic, where Weighs says '
            "what a clove is and not what a piece is, expected into Weighs how many make one, such "
            "as 1 each = 10 clove [each of what]\n"
            "  A piece is taken for a clove; if it is more, write that."
        ],
        id="each of what",
    ),
    pytest.param(
        with_garlic(None, pack=(1, "each", 0.5), line=(12, "cloves")),
        [
            'Recipes!F6 (row "garlic", column "Unit"): found "cloves" as the unit of garlic, '
            "expected a weight, a volume or each; or what 1 clove is, in Weighs [unit of pieces]\n"
            "  Write what 1 clove is into Weighs for garlic (published: 1 clove = 3.0 g), or "
            "garlic clove into Ingredient and each here; until then its need is unknown."
        ],
        id="unit of pieces: with the published weight",
    ),
]


@pytest.mark.parametrize(
    "weighs",
    ["1 bulb = 50 g", "1 clove = 5 g; 1 each = 10 cloves", "1 head = 10 cloves; 1 clove = 5 g"],
)
def test_each__is_plain_where_weighs_says_what_is_sold(weighs: str, tmp_path: Path) -> None:
    book = with_garlic(weighs, pack=(1, "each", 0.5), line=(60, "g"))
    assert read(book, tmp_path)[1] == []


def test_each__of_an_amount_that_lacks_is_not_asked_about(tmp_path: Path) -> None:
    """What a piece of garlic is matters once somebody says how many."""
    book = with_garlic("1 clove = 5 g", pack=(100, "g", 1), line=(None, "each"))
    assert [one.code for one in read(book, tmp_path)[1]] == ["amount missing"]


@pytest.mark.parametrize("weighs", ["1 cup = 125 g", "1 fl oz = 30 g"])
def test_weighs__says_nothing_of_measures_that_could_not_be_read(
    weighs: str, tmp_path: Path
) -> None:
    """What a cup is nobody knows while Measures is to be mended: one cause, one message."""
    book = with_garlic(weighs, pack=(1, "l", 1), line=(5, "g"))
    book["Settings"]["B4"] = "US"
    assert [one.code for one in read(book, tmp_path)[1]] == ["choice unknown"]


@pytest.mark.parametrize("unit", ["cup", "fl oz"])
def test_unit__of_measures_that_could_not_be_read_leaves_its_row_out(
    unit: str, tmp_path: Path
) -> None:
    """A cup is not the same by all of them, and metric has no fl oz: nobody knows what is there."""
    book = good_workbook()
    book["Settings"]["B4"] = "US"
    book["On hand"].append(["milk", 1, unit])
    shoot, said = read(book, tmp_path)
    assert [one.code for one in said] == ["choice unknown"]
    assert [one.what for one in shoot.left_out] == ['on hand "milk"']


def test_unit__that_no_measures_know_is_told_whatever_they_are(tmp_path: Path) -> None:
    """A clove is one under none of them."""
    book = with_garlic(None, pack=(1, "each", 0.5), line=(12, "cloves"))
    book["Settings"]["B4"] = "US"
    assert [one.code for one in read(book, tmp_path)[1]] == ["choice unknown", "unit of pieces"]


@pytest.mark.parametrize(("book", "said"), CASES)
def test_said(book: Workbook, said: list[str], tmp_path: Path) -> None:
    assert findings(book, tmp_path) == said


@pytest.mark.parametrize(
    ("typed", "density", "codes"),
    [
        (0.4, Fraction(2, 5), []),
        (None, None, []),
        ("a bit", None, ["text not a number"]),
    ],
)
def test_weighs__leaves_alone_what_it_says_nothing_of(
    typed: Any, density: Fraction | None, codes: list[str], tmp_path: Path
) -> None:
    """A clove of 5 g says how much a piece weighs, and nothing of a cup of them."""
    weighs = "1 each = 5 g"
    book = with_garlic(weighs, pack=(100, "g", 1), line=(2, None), Grams_per_ml=typed)
    shoot, said = read(book, tmp_path)
    garlic = shoot.ingredient("garlic")
    assert (garlic.density, garlic.piece_weight) == (density, Fraction(5))
    assert [one.code for one in said if one.place.name == "garlic"] == codes


def test_weighs__does_not_stand_for_a_cell_that_could_not_be_read(tmp_path: Path) -> None:
    """What was typed there may be meant: it is told, and nothing else is taken in its place."""
    cup = "1 cup = 125 g"
    book = with_garlic(cup, pack=(100, "g", 1), line=(2, "cups"), Grams_per_ml="a bit")
    shoot, said = read(book, tmp_path)
    assert shoot.ingredient("garlic").density is None
    assert [one.code for one in said if one.place.name == "garlic"] == ["text not a number"]


def test_unit__one_word_throughout_needs_no_weight(tmp_path: Path) -> None:
    """Twelve cloves for each of two shots, sold ten at a time: three packs, and six left.

    So long as recipe, packs and stock measure in that word alone, nothing has to be weighed.
    """
    book = with_garlic(None, pack=(10, "clove", 0.5), line=(12, "cloves"))
    shoot, said = read(book, tmp_path)
    assert said == []
    assert purchase(books_of_shoot(shoot), "garlic").need.total == 24
    row = estimate(shoot).to_buy.set_index("ingredient").loc["garlic"]
    assert (row["packs"], row["unit"], row["left_over"]) == (3, "clove", 6)


def test_unit__one_word_throughout_is_what_weighs_says_of_it(tmp_path: Path) -> None:
    """Twelve cloves for each of two shots are 2.4 heads: three packs of one, and 0.6 left."""
    book = with_garlic("1 head = 10 cloves", pack=(10, "clove", 0.5), line=(12, "cloves"))
    shoot, said = read(book, tmp_path)
    assert said == []
    assert purchase(books_of_shoot(shoot), "garlic").need.total == Fraction(12, 5)


def test_unit__one_word_throughout_that_stands_for_one_of_the_list_is_still_told(
    tmp_path: Path,
) -> None:
    book = with_garlic(None, pack=(1, "ltr", 0.5), line=(2, "ltr"))
    said = [(one.code, one.remedy) for one in read(book, tmp_path)[1]]
    assert said == [("unknown unit", "Write l if that is meant; blank means each.")] * 2


def test_unit__a_word_the_person_describes_by_weight_is_not_taken_for_a_piece(
    tmp_path: Path,
) -> None:
    book = with_garlic(None, pack=(10, "clove", 0.5), line=(12, "cloves"))
    book["Ingredients"]["Z1"], book["Ingredients"]["Z4"] = "Grams per piece", 45
    codes = [finding.code for finding in read(book, tmp_path)[1]]
    assert codes == ["unit of pieces", "unit of pieces"]
