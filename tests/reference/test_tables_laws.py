"""What must hold of every shipped row: sources, ids, ranges, and what must not be there."""

from __future__ import annotations

import re
from fractions import Fraction

import pytest
from published_tables import MADE, REFERENCE, WRITTEN, Row, products, rows

from costing.reference import published_parts

SOURCES = {row["source_id"]: row for row in rows("sources")}
CITED = tuple(table for table in (*MADE, *WRITTEN) if table not in ("foods", "synonyms"))

BAD_RECORDS = {
    "05066": "drumstick: bone is entered twice",
    "05183": "turkey: the parts named do not add up to the refuse",
    "05185": "turkey: the parts named do not add up to the refuse",
    "10210": "pork sirloin: the parts named do not add up to the refuse",
    "13391": "rib steak: cooked 233 g from raw 233 g",
}
"""Records of the nutrient database that are known to be wrong."""


@pytest.mark.parametrize("table", [*MADE, *WRITTEN])
def test_table__ids_are_unique_and_sorted(table: str) -> None:
    ids = [row["id"] for row in rows(table)]
    assert ids == sorted(set(ids))


@pytest.mark.parametrize("table", [*MADE, *WRITTEN])
def test_table__is_plain_utf8_with_lf_and_one_header(table: str) -> None:
    text = (REFERENCE / f"{table}.csv").read_bytes()
    assert text.decode("utf-8").endswith("\n")
    assert b"\r" not in text
    assert all(None not in row and None not in row.values() for row in rows(table))


@pytest.mark.parametrize("table", CITED)
def test_table__every_row_names_a_known_source_and_how_far_it_is_verified(table: str) -> None:
    for row in rows(table):
        assert row["source_id"] in SOURCES, row["id"]
        assert row["locator"], row["id"]
        assert row["verified"] in ("source-text", "secondary", "memory"), row["id"]


@pytest.mark.parametrize("table", CITED)
def test_table__every_source_names_its_licence(table: str) -> None:
    assert all(SOURCES[row["source_id"]]["licence"] for row in rows(table))


@pytest.mark.parametrize("table", MADE)
def test_table__figures_that_fill_are_of_public_domain_or_common_practice(table: str) -> None:
    """Factors of the FAO only check values; a chart under CC BY 4.0 is only shown."""
    given = [row for row in rows(table) if row["source_id"] != "kitchen-practice"]
    fill = {SOURCES[r["source_id"]]["licence"] for r in given if r["use"] != "show"}
    show = {SOURCES[r["source_id"]]["licence"] for r in given if r["use"] == "show"}
    assert fill == {"US government work"}
    assert show <= {"US government work", "CC BY 4.0"}


@pytest.mark.parametrize("table", [*MADE, "allergens", "holding_classes", "synonyms"])
def test_table__is_about_known_foods(table: str) -> None:
    known = {row["id"] for row in rows("foods")}
    assert {row["food_id"] for row in rows(table)} <= known


def test_foods__every_food_has_a_holding_class_and_something_else() -> None:
    foods = {row["id"] for row in rows("foods")}
    assert {row["food_id"] for row in rows("holding_classes")} == foods
    told = {row["food_id"] for table in (*MADE, "allergens") for row in rows(table)}
    assert told == foods


@pytest.mark.parametrize("table", MADE)
def test_table__values_lie_within_their_range(table: str) -> None:
    for row in rows(table):
        if row["value"]:
            assert Fraction(row["value"]) > 0, row["id"]
            if row.get("low"):
                assert Fraction(row["low"]) <= Fraction(row["value"]) <= Fraction(row["high"])


def test_trim_yields__lie_above_0_and_at_most_at_100() -> None:
    assert all(0 < Fraction(row["value"]) <= 100 for row in rows("trim_yields"))


def test_trim_yields__common_practice_fills_and_is_never_shown_as_if_it_were_printed() -> None:
    used = {row["use"] for row in rows("trim_yields") if row["basis"] == "common practice"}
    assert used == {"fill"}


def test_trim_yields__say_the_state_before_and_after() -> None:
    for row in rows("trim_yields"):
        assert row["before"], row["id"]
        assert row["after"], row["id"]
        if row["basis"] == "refuse field":
            assert row["removed"], row["id"]


def test_trim_yields__a_raw_refuse_of_0_is_only_taken_of_food_sold_ready_to_use() -> None:
    """Blank is not given and 0 is nothing removed: neither may be read as 100 unseen."""
    looked_at = [row for row in rows("trim_yields") if row["basis"] == "refuse 0"]
    assert {row["after"] for row in looked_at} == {"ready to use"}
    whole = re.compile(r"whole bird|bone-in|in shell|in pod|peel\b", re.IGNORECASE)
    assert not [row["id"] for row in looked_at if whole.search(row["locator"] + row["before"])]


@pytest.mark.source("usda-sr28", "FOOD_DES and WEIGHT, contradictions in single records")
@pytest.mark.parametrize("record", BAD_RECORDS, ids=lambda record: str(record))
def test_table__a_known_bad_record_is_not_shipped(record: str) -> None:
    locators = [row["locator"] for table in MADE for row in rows(table)]
    assert not [locator for locator in locators if f"NDB {record}" in locator]


def of(table: str, food_id: str) -> list[Row]:
    return [row for row in rows(table) if row["food_id"] == food_id]


@pytest.mark.parametrize("food_id", ["lemon", "lime"])
def test_trim_yields__citrus_flesh_is_shown_and_never_fills(food_id: str) -> None:
    """The refuse of lemon (47) and lime (16) is for the flesh, not for the juice."""
    given = of("trim_yields", food_id)
    assert [row["use"] for row in given] == ["show"]
    assert "not for juice" in given[0]["note"]


@pytest.mark.parametrize("food_id", ["peach", "nectarine"])
def test_trim_yields__stone_fruit_is_flagged_as_the_stone_alone(food_id: str) -> None:
    given = of("trim_yields", food_id)
    assert [row["after"] for row in given] == ["stoned, unpeeled"]
    assert "stone alone" in given[0]["note"]


def test_parts__only_weights_and_volumes_are_ever_recalled() -> None:
    """A printed weight is no memory, and neither is that there is one yolk in an egg."""
    of_yolk = published_parts()["egg yolk"]
    assert {part.unit: part.from_memory for part in of_yolk} == {"each": False, "g": False}
    assert [part.source.endswith(" (memory)") for part in of_yolk] == [True, False]
    of_zest = published_parts()["lemon zest"]
    assert {part.unit: part.from_memory for part in of_zest} == {"g": True, "ml": True}


@pytest.mark.parametrize("food_id", ["potato", "russet-potato", "red-potato"])
def test_piece_weights__a_whole_potato_is_flagged_as_weighed_as_bought(food_id: str) -> None:
    """213 g is the skin-on tuber, the refuse of 25 is paring."""
    given = of("piece_weights", food_id)
    assert {row["weighed"] for row in given} == {"as bought"}
    assert all("before paring" in row["note"] for row in given)


@pytest.mark.parametrize("piece", ["leaf", "wedge", "slice", "sprig", "clove", "ring", "strip"])
def test_piece_weights__a_part_of_a_food_never_fills_what_a_shop_counts(piece: str) -> None:
    rows_of_it = [row for row in rows("piece_weights") if piece in row["piece"].split()]
    assert rows_of_it
    assert all(row["use"] != "fill" for row in rows_of_it)


def test_piece_weights__an_unpeeled_cucumber_is_flagged_and_never_fills() -> None:
    given = {row["value"]: row for row in of("piece_weights", "cucumber")}
    assert (given["301"]["use"], given["301"]["note"]) == ("show", "unpeeled")
    trimmed = of("trim_yields", "cucumber")
    assert any("301 g unpeeled and 280 g peeled" in row["note"] for row in trimmed)


@pytest.mark.source("usda-sr28", "WEIGHT NDB 16424, 11935, 01056: spoon against cup")
@pytest.mark.parametrize(
    ("food_id", "note"),
    [
        ("reduced-salt-soy-sauce", "11% below the cup figure"),
        ("ketchup", "13% above the cup figure"),
        ("sour-cream", "17% below the cup figure"),
    ],
)
def test_household_measures__a_spoon_that_disagrees_with_the_cup_is_flagged(
    food_id: str, note: str
) -> None:
    """14.2 x 16 / 255 = 0.891; 17 x 16 / 240 = 1.133; 12 x 16 / 230 = 0.835."""
    spoons = [row for row in of("household_measures", food_id) if row["unit"] == "g/US tbsp"]
    assert [row["note"] for row in spoons] == [note]


def test_tables__have_no_brand_names() -> None:
    """Brands stand in capitals, or begin large inside a description of small words."""
    allowed = {"NDB", "NUT", "DATA", "FOOD", "DES", "WEIGHT", "AP", "AU", "NZ", "US", "EU", "CA"}
    allowed |= {"NS", "NLEA", "USDA", "DNA", "FASTER"}
    brands = re.compile(r"®|™|\b(?:brand|trademark)\b", re.IGNORECASE)
    for table in (*MADE, *WRITTEN, "raw/sr28_food_des", "raw/sr28_weight"):
        for row in rows(table):
            text = " ".join(row.values())
            assert not brands.search(text), row
            capitals = set(re.findall(r"\b[A-Z]{4,}\b", text)) - allowed
            assert not capitals, (table, row["id"] if "id" in row else row["NDB_No"], capitals)
    for product in products().values():
        assert not brands.search(" ".join(product.values()))


def test_tables__never_promise_safety() -> None:
    for table in (*MADE, *WRITTEN):
        text = (REFERENCE / f"{table}.csv").read_text(encoding="utf-8").casefold()
        assert not re.search(r"\bsafe\b", text), table


def test_tables__hold_no_prices() -> None:
    for table in (*MADE, *WRITTEN):
        assert not {"price", "cost"} & set(rows(table)[0]), table
