"""Every shipped row is recomputed from the extract it names, without the script that made it."""

from __future__ import annotations

import re
from decimal import Decimal
from fractions import Fraction
from pathlib import Path

import pytest
from published_tables import MADE, REFERENCE, Row, maker, products, rows

FOODS = {row["NDB_No"]: row for row in rows("raw/sr28_food_des")}
WEIGHTS = {(row["NDB_No"], row["Seq"]): row for row in rows("raw/sr28_weight")}


def weight(locator: str) -> Row:
    found = re.match(r"WEIGHT NDB (\d{5}) Seq (\d+): ", locator)
    assert found is not None
    return WEIGHTS[found[1], found[2]]


@pytest.mark.parametrize("table", MADE)
def test_make_tables__gives_what_is_shipped(table: str, tmp_path: Path) -> None:
    maker().write_tables(tmp_path)
    shipped = (REFERENCE / f"{table}.csv").read_bytes()
    assert (tmp_path / f"{table}.csv").read_bytes() == shipped


@pytest.mark.source("usda-sr28", "documentation: yield = 100 - refuse")
def test_trim_yields__are_100_less_the_refuse_of_the_food_named() -> None:
    checked = 0
    for row in rows("trim_yields"):
        if row["basis"] not in ("refuse field", "refuse 0"):
            continue
        found = re.match(r"FOOD_DES NDB (\d{5}): (.+)", row["locator"])
        assert found is not None, row["id"]
        food = FOODS[found[1]]
        assert found[2] == food["Long_Desc"]
        assert int(row["value"]) == 100 - int(food["Refuse"]), row["id"]
        assert row["removed"] == " ".join(food["Ref_desc"].split()), row["id"]
        assert (row["basis"] == "refuse 0") == (food["Refuse"] == "0"), row["id"]
        checked += 1
    assert checked > 300


@pytest.mark.source("usda-sr28", "FOOD_DES NDB 11167: 35% husk, silk, trimmings; 29% cob")
def test_trim_yields__husked_corn_loses_the_husk_alone() -> None:
    """100 - 35 = 65 on the cob; 100 - (35 + 29) = 36 off it."""
    given = {
        r["after"]: r["value"] for r in rows("trim_yields") if r["food_id"] == "corn-on-the-cob"
    }
    assert given == {"husked, kernels on the cob": "65", "kernels cut off the cob": "36"}


def test_trim_yields__other_bases_come_from_their_extracts() -> None:
    guide = {row["as_printed"]: row for row in rows("raw/food_buying_guide")}
    forms = {row["as_printed"]: row for row in rows("raw/fish_market_forms")}
    chart = rows("raw/classroom_chart")
    charts = {f"{row['locator']}: {row['food']}": row for row in chart}
    bases = set()
    for row in rows("trim_yields"):
        bases.add(row["basis"])
        if row["basis"] == "common practice":
            assert (row["value"], row["verified"]) == ("100", "memory"), row["id"]
            assert row["source_id"] == "kitchen-practice"
        elif row["basis"] == "market form":
            assert row["value"] == forms[row["as_printed"]]["percent_edible"]
        elif row["basis"] == "Food Buying Guide":
            printed = Fraction(guide[row["as_printed"]]["fraction_left"])
            assert Fraction(row["value"]) == 100 * printed
            assert row["use"] == "show"
        elif row["basis"] == "classroom chart":
            assert row["value"] == charts[row["locator"]]["percent_usable"]
            assert row["use"] == "show"
        elif row["basis"] == "printed yield":
            printed = Fraction(weight(row["locator"])["Gm_Wgt"]) / Fraction("453.6")
            assert abs(Fraction(row["value"]) - 100 * printed) <= Fraction(1, 20)
    assert bases == {
        "Food Buying Guide",
        "classroom chart",
        "common practice",
        "market form",
        "printed yield",
        "refuse 0",
        "refuse field",
        "refuse part: husk, silk, trimmings",
    }


@pytest.mark.source("usda-sr28", "WEIGHT.txt: Amount, Msre_Desc, Gm_Wgt")
@pytest.mark.parametrize("table", ["cooked_measures", "household_measures", "piece_weights"])
def test_measures_and_pieces__are_the_printed_grams_over_the_printed_amount(table: str) -> None:
    for row in rows(table):
        printed = weight(row["locator"])
        words = " ".join(printed["Msre_Desc"].split())
        assert row["as_printed"] == f"{printed['Amount']} {words} = {printed['Gm_Wgt']} g"
        assert Fraction(row["value"]) * Fraction(printed["Amount"]) == Fraction(printed["Gm_Wgt"])


@pytest.mark.parametrize("table", ["cooked_measures", "household_measures"])
def test_measures__unit_and_cut_words_stand_in_print(table: str) -> None:
    stems = {"cubed": "cube", "sliced": "slice", "unpacked": "packed", "pitted": "without pits"}
    units = {"g/US cup": "cup", "g/US tbsp": "t", "g/US tsp": "tsp", "g/US fl oz": "fl oz"}
    for row in rows(table):
        text = row["as_printed"].lower().split(" = ")[0].split(" ", 1)[1]
        assert text.startswith(units.get(row["unit"], "quart")), row["id"]
        for cut in row["cut"].split("; "):
            word = stems.get(cut, cut).removesuffix("s").removesuffix("ed").removesuffix("e")
            assert word in text + row["locator"].lower(), (row["id"], cut)


def test_cooked_measures__are_printed_of_the_cooked_food() -> None:
    cooked = re.compile("cooked|boiled|roasted|stewed", re.IGNORECASE)
    for row in rows("cooked_measures"):
        assert cooked.search(row["locator"]), row["id"]
        assert "uncooked" not in row["locator"], row["id"]


def test_piece_weights__size_stands_in_the_printed_text() -> None:
    for row in rows("piece_weights"):
        assert row["size"] in row["as_printed"].lower(), row["id"]


@pytest.mark.source("usda-sr28", "WEIGHT.txt, printed yields; 1 lb = 453.6 g, 1 oz = 28.35 g")
def test_cooked_weights__printed_yields_divide_cooked_by_raw() -> None:
    grams = {"1 lb": "453.6", "1/2 lb": "226.8", "1/4 lb": "113.4", "10 oz": "283.5"}
    checked = 0
    for row in rows("cooked_weights"):
        if not row["locator"].startswith("WEIGHT"):
            continue
        printed = weight(row["locator"])
        text = printed["Msre_Desc"]
        of_record = re.fullmatch(r"raw \d+ g \(NDB (\d{5}) Seq (\d+)\), both .+", row["note"])
        by_weight = re.search(r"weighing (\d+) ?g|from (\d+) ?g", text)
        if of_record is not None:
            other = WEIGHTS[of_record[1], of_record[2]]
            assert other["Msre_Desc"] == text, row["id"]
            raw = Fraction(other["Gm_Wgt"])
            assert f"raw {raw} g" in row["note"]
        elif by_weight is not None:
            raw = Fraction(by_weight[1] or by_weight[2])
        elif text.startswith("cup, dry"):
            raw = Fraction(WEIGHTS["20028", "1"]["Gm_Wgt"])
        elif text.startswith("oz dry"):
            raw = Fraction("28.35")
        else:
            raw = next(Fraction(g) for words, g in grams.items() if words in text)
        refuse_of = re.search(r"less the refuse of the raw \(NDB (\d{5})\)", row["note"])
        if refuse_of is not None:  # weighed raw with what is cut away, and cooked without
            raw *= (100 - Fraction(FOODS[refuse_of[1]]["Refuse"])) / 100
        ratio = 100 * Fraction(printed["Gm_Wgt"]) / raw
        assert abs(Fraction(row["value"]) - ratio) <= Fraction(1, 20), row["id"]
        checked += 1
    assert checked > 30


@pytest.mark.source("usda-sr28", "NUT_DATA 255: water in 100 g, raw and cooked")
def test_cooked_weights__absorption_keeps_the_dry_matter() -> None:
    """100 g raw hold 100 - w_raw of dry matter; cooked, that is 100 - w_cooked of 100 g."""
    checked = 0
    for row in rows("cooked_weights"):
        found = re.match(r"NUT_DATA 255, NDB (\d{5}) and (\d{5}): ", row["locator"])
        if found is None:
            continue
        raw, cooked = (100 - Fraction(FOODS[n]["water_g_per_100g"]) for n in found.groups())
        value = Fraction(row["value"])
        assert abs(value - 100 * raw / cooked) <= Fraction(1, 20), row["id"]
        assert row["kind"] == "absorption"
        checked += 1
    assert checked > 30


def test_cooked_weights__absorption_is_given_as_plus_or_minus_20_percent() -> None:
    for row in rows("cooked_weights"):
        assert row["kind"] in ("absorption", "cooked / raw")
        assert bool(row["low"]) == (row["kind"] == "absorption")
        if row["low"]:
            value, low, high = (Fraction(row[c]) for c in ("value", "low", "high"))
            assert abs(low - value * 8 / 10) < Fraction(1, 5)
            assert abs(high - value * 12 / 10) < Fraction(1, 5)


@pytest.mark.source("usda-foodkeeper", "display texts; week 7, month 30, year 365 days")
def test_storage_days__are_the_printed_period_in_days() -> None:
    known = products()
    days = {"day": 1, "week": 7, "month": 30, "year": 365}
    fields = {"pantry": "pantry", "refrigerated": "refrigerate", "frozen": "freeze"}
    for row in rows("storage_days"):
        found = re.match(r"product (\d+), ([a-z ]+): ", row["locator"])
        assert found is not None
        field = found[2].replace(" ", "_") + "_output_display_only"
        assert known[found[1]][field] == row["as_printed"]
        assert fields[row["place"]] in found[2].split()
        start = {"purchase": "purchase", "opening": "opening"}.get(row["counted_from"])
        assert start is None or start in found[2].split()
        numbers = [int(n) for n in re.findall(r"\d+", row["as_printed"])]
        unit = row["as_printed"].split()[-1].lower().removesuffix("s")
        if numbers and unit in days:
            assert int(row["low"]) == numbers[0] * days[unit]
            assert int(row["high"]) == numbers[-1] * days[unit]
            assert row["value"] == row["low"]
        else:
            assert (row["value"], row["low"], row["high"]) == ("", "", ""), row["as_printed"]


def test_storage_days__a_printing_slip_and_a_word_give_no_number() -> None:
    """The extract prints "1 Yea" once for flour, and words such as "When Ripe"."""
    given = {r["as_printed"]: r["value"] for r in rows("storage_days")}
    assert {given[p] for p in ("1 Yea", "When Ripe", "Not Recommended", "Indefinitely")} == {""}


def test_extracts__decimals_read_back_exactly() -> None:
    for row in WEIGHTS.values():
        assert Fraction(Decimal(row["Gm_Wgt"])) == Fraction(row["Gm_Wgt"]) > 0
