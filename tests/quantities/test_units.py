"""The closed list of units against what is printed, and the words people write for them."""

from __future__ import annotations

import csv
import re
import subprocess
import sys
from decimal import Decimal
from fractions import Fraction
from pathlib import Path
from typing import Any

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from costing.quantities import (
    BATCH,
    EACH,
    GRAM,
    MILLILITRE,
    PORTION,
    Dimension,
    Measures,
    UnitNeedsSystem,
    UnknownUnit,
    all_units,
    amount,
    find_unit,
    known_unit_names,
)
from costing.quantities.units import UNIT_FILE

TREE = Path(__file__).resolve().parents[2]


def rows_of(name: str) -> list[dict[str, str]]:
    with (TREE / "reference" / name).open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


PRINTED = rows_of("units.csv")
SOURCES = {row["source_id"] for row in rows_of("sources.csv")}
BASES = {unit.name: unit for unit in (GRAM, MILLILITRE, EACH, PORTION, BATCH)}
METRIC = Measures.METRIC


@pytest.mark.parametrize("row", PRINTED, ids=[row["id"] for row in PRINTED])
def test_unit_size__is_the_published_one(row: dict[str, str]) -> None:
    """Rows of reference/units.csv name their source; a rounded value is met to the last digit."""
    unit = find_unit(row["unit"], METRIC)
    base = BASES[row["in_unit"]]
    assert unit.dimension is base.dimension
    value = Decimal(row["value"])
    if row["exact"] == "yes":
        assert unit.size == Fraction(value)
    else:
        assert row["exact"] == "no"
        last_digit = Fraction(10) ** int(value.as_tuple().exponent)
        assert abs(unit.size - Fraction(value)) <= last_digit / 2


def test_units__each_has_its_published_row_and_source() -> None:
    """The list and the table name the same units, and every row a source that is listed."""
    assert sorted(unit.name for unit in all_units()) == sorted(row["unit"] for row in PRINTED)
    for row in PRINTED:
        assert row["source_id"] in SOURCES, row
        assert row["verified"] in {"source-text", "secondary", "memory"}, row
        assert row["locator"], row


def test_units__table_is_sorted_and_its_ids_are_the_names() -> None:
    ids = [row["id"] for row in PRINTED]
    assert ids == sorted(set(ids))
    assert ids == [row["unit"].lower().replace(" ", "-") for row in PRINTED]


UNIT_LINES = [
    line
    for line in UNIT_FILE.read_text(encoding="utf-8").splitlines()
    if line.strip() and not line.startswith("#")
]


@pytest.mark.parametrize("line", UNIT_LINES, ids=[line.split(" ")[0] for line in UNIT_LINES])
def test_unit_file__every_line_has_a_source(line: str) -> None:
    """After the # stand source, locator and how far verified; the table says the same."""
    definition, _, comment = line.partition("#")
    source_id, locator, verified = (part.strip() for part in comment.split(" ; "))
    assert source_id in SOURCES
    assert locator
    name, _, *others = (part.strip() for part in definition.split("="))
    shown = others[0] if others and others[0] != "_" else name
    (row,) = (row for row in PRINTED if row["unit"] == shown.replace("_", " "))
    assert (row["source_id"], row["verified"]) == (source_id, verified)


def test_unit_file__has_no_prefixes() -> None:
    """A pinch must never be a pico-inch: pint is given no prefix to try."""
    assert not [line for line in UNIT_LINES if re.match(r"\S+-\s*=", line)]
    for word in ("millicup", "kiloounce", "pinch", "microgram", "kcup"):
        if word == "pinch":
            assert find_unit(word, METRIC).dimension is Dimension.VOLUME
        else:
            with pytest.raises(UnknownUnit):
                find_unit(word, METRIC)


def test_unit_constants__are_those_of_the_file() -> None:
    assert {unit.name: unit for unit in all_units() if unit.size == 1} == BASES


def test_units__are_read_as_pint_reads_the_file() -> None:
    """A second reader of the same syntax: sizes, dimensions, shown names and other names."""
    registry: Any = pint.UnitRegistry(str(UNIT_FILE), non_int_type=Fraction, cache_folder=None)
    called: dict[str, list[str]] = {}
    for word in registry:
        called.setdefault(registry.get_name(word), []).append(word)
    ours = {unit.name: unit for unit in all_units()}
    for name, words in called.items():
        unit = ours.pop(registry.get_symbol(name).replace("_", " "))
        (dimension,) = registry.get_dimensionality(name)
        assert unit.size == Fraction(registry.get_root_units(name)[0]), name
        assert unit.dimension == dimension.strip("[]")
        for word in words:
            assert find_unit(word, METRIC).size == unit.size
    assert not ours


@pytest.fixture(scope="module")
def default_registry() -> Any:
    return pint.UnitRegistry(non_int_type=Fraction, cache_folder=None)


@pytest.mark.source("pint-default-registry", "default_en.txt")
@pytest.mark.parametrize(
    ("ours", "theirs"),
    [
        ("lb", "pound"),
        ("oz", "ounce"),
        ("mg", "milligram"),
        ("kg", "kilogram"),
        ("cl", "centiliter"),
        ("dl", "deciliter"),
        ("l", "liter"),
        ("US gallon", "gallon"),
        ("US quart", "quart"),
        ("US pint", "pint"),
        ("US cup", "cup"),
        ("US gill", "gill"),
        ("US fl oz", "fluid_ounce"),
        ("US tablespoon", "tablespoon"),
        ("US teaspoon", "teaspoon"),
        ("US dry pint", "dry_pint"),
        ("imperial gallon", "imperial_gallon"),
        ("imperial quart", "imperial_quart"),
        ("imperial pint", "imperial_pint"),
        ("imperial cup", "imperial_cup"),
        ("imperial gill", "imperial_gill"),
        ("imperial fl oz", "imperial_fluid_ounce"),
    ],
)
def test_unit_size__agrees_with_an_independent_listing(
    default_registry: Any, ours: str, theirs: str
) -> None:
    unit = find_unit(ours, METRIC)
    base = "gram" if unit.dimension is Dimension.MASS else "milliliter"
    listed = default_registry.Quantity(Fraction(1), theirs).to(base).magnitude
    assert isinstance(listed, Fraction)
    assert unit.size == listed


@pytest.mark.source("hk-customs", "weights and measures table")
def test_chinese_units__cross_check_between_places() -> None:
    """The table prints 1 kg = 1.65 catties, 1 catty = 12.10 liang, 1 jin = 13.23 HK taels."""
    catty, tael, jin, liang = (
        find_unit(name, METRIC).size
        for name in ("HK catty", "HK tael", "mainland jin", "mainland liang")
    )
    assert round(1000 / catty, 2) == Fraction("1.65")
    assert round(catty / liang, 2) == Fraction("12.10")
    assert round(jin / tael, 2) == Fraction("13.23")
    assert round(catty / liang, 3) == Fraction("12.096")
    assert round(jin / tael, 3) == Fraction("13.228")


@pytest.mark.source("nist-sp-430", "household weights and measures")
def test_us_measures__relations_hold_exactly() -> None:
    """3 tsp = 1 tbsp, 16 tbsp = 1 cup, 2 cups = 1 pint, 2 pints = 1 quart, 4 quarts = 1 gallon."""
    tsp, tbsp, fl_oz, cup, pint_, quart, gallon = (
        find_unit(word, Measures.US_CUSTOMARY).size
        for word in ("tsp", "tbsp", "fl oz", "cup", "pint", "quart", "gallon")
    )
    assert (3 * tsp, 16 * tbsp, 8 * fl_oz) == (tbsp, cup, cup)
    assert (2 * cup, 2 * pint_, 4 * quart) == (pint_, quart, gallon)


SETTINGS = {
    # setting: tsp, tbsp, cup, fl oz, pint in ml; None where the setting has none
    "US customary": (
        "4.92892159375",
        "14.78676478125",
        "236.5882365",
        "29.5735295625",
        "473.176473",
    ),
    "US label": ("5", "15", "240", "30", "473.176473"),
    "metric": ("5", "15", "250", None, None),
    "Australian": ("5", "20", "250", "28.4130625", "568.26125"),
    "UK imperial": ("5", "15", "284.130625", "28.4130625", "568.26125"),
    "Japanese": ("5", "15", "200", None, None),
}


@pytest.mark.parametrize("setting", SETTINGS)
def test_measures__say_what_the_bare_words_mean(setting: str) -> None:
    """The sizes are those of the named units in reference/units.csv, written out by setting."""
    measures = Measures(setting)
    for word, ml in zip(("tsp", "tbsp", "cup", "fl oz", "pint"), SETTINGS[setting], strict=True):
        if ml is not None:
            unit = find_unit(word, measures)
            assert (unit.dimension, unit.size) == (Dimension.VOLUME, Fraction(ml)), word
        else:
            with pytest.raises(UnitNeedsSystem) as caught:
                find_unit(word, measures)
            assert caught.value.text == word
            assert caught.value.choices == (f"US {word}", f"imperial {word}")


def test_unit__remembers_the_word_that_the_measures_decide() -> None:
    """A cup means another under other measures, a US cup does not."""
    assert [find_unit(word, Measures.METRIC).bare for word in ("Cups", "tbsp.", "US cup", "g")] == [
        "cup",
        "tbsp",
        "",
        "",
    ]
    under = {str(m): amount("2 cup").under(m) for m in Measures}
    assert {m: a.base for m, a in under.items() if a} == {
        "US customary": 2 * Fraction("236.5882365"),
        "US label": 480,
        "metric": 500,
        "Australian": 500,
        "UK imperial": 2 * Fraction("284.130625"),
        "Japanese": 400,
    }
    assert amount("1 pint", Measures.UK_IMPERIAL).under(Measures.METRIC) is None
    assert amount("1 US pint").under(Measures.JAPANESE) == amount("1 US pint")


def test_measures__are_the_six_of_the_settings_sheet() -> None:
    assert [str(measures) for measures in Measures] == list(SETTINGS)


def test_ounce__is_avoirdupois_under_every_setting() -> None:
    for measures in Measures:
        assert find_unit("oz", measures).size == Fraction("28.349523125")


@given(st.sampled_from(all_units()), st.sampled_from(Measures), st.sampled_from(Measures))
def test_find_unit__finds_a_shown_name_under_every_setting(
    unit: Any, one: Measures, other: Measures
) -> None:
    """Law: what is shown can be typed again anywhere and means the same."""
    assert find_unit(unit.name, one) == find_unit(unit.name, other) == unit


@given(st.sampled_from(Measures), st.data())
def test_known_unit_names__are_all_found(measures: Measures, data: st.DataObject) -> None:
    """Law: every name offered is accepted, in any case and with blanks around."""
    name = data.draw(st.sampled_from(known_unit_names(measures)))
    unit = find_unit(name, measures)
    assert find_unit(f"  {name.upper()} ", measures) == unit
    assert find_unit(name.title() + ".", measures) == unit


def test_known_unit_names__are_told_once() -> None:
    for measures in Measures:
        names = known_unit_names(measures)
        assert len(names) == len(set(names))
        assert set(names) >= {unit.name for unit in all_units()}
        assert ("fl oz" in names) is (measures not in {Measures.METRIC, Measures.JAPANESE})


WORDS = {
    "g": ["gram", "grams", "Grammes", "gm", "G", "g."],
    "kg": ["KG", "kgs", "kilo", "kilos", "kilograms", "㎏"],
    "l": ["L", "litre", "Litres", "liter", "liters"],
    "ml": ["mL", "ML", "mls", "millilitres", "milliliter", "cc"],
    "dl": ["decilitre", "DL"],
    "metric teaspoon": ["tsp", "Tsp.", "tsps", "teaspoons", "metric tsp"],
    "metric tablespoon": ["tbsp", "Tbsps", "tbs", "tblsp", "Tablespoons"],
    "metric cup": ["cup", "CUPS"],
    "US fl oz": ["US fluid ounces", "U.S. fl. oz.", "us floz", "US fl.oz."],
    "US pint": ["us pt", "US liquid pint"],
    "imperial pint": ["imp. pt.", "UK pints", "British pint"],
    "oz": ["ounce", "Ounces", "ozs"],
    "lb": ["lbs", "lbs.", "pound", "pounds"],
    "stick of butter": ["sticks of butter", "Butter sticks"],
    "each": ["piece", "pieces", "pc", "pcs.", "ea", "whole"],
    "bakers dozen": ["baker's dozen", "baker’s dozens"],
    "HK catty": ["HK catties", "Hong Kong catty"],
    "mainland jin": ["jin", "Shijin"],
    "pinch": ["pinches"],
    "dash": ["dashes"],
    "gross": ["Gross"],
    "portion": ["portions", "serving", "Servings"],
    "batch": ["batches"],
}


@pytest.mark.parametrize("name", WORDS)
def test_find_unit__knows_the_words_people_write(name: str) -> None:
    for word in WORDS[name]:
        assert find_unit(word, METRIC).name == name, word


@pytest.mark.parametrize(
    ("text", "nearest"),
    [
        ("t", ["tsp", "tbsp"]),
        ("T", ["tsp", "tbsp"]),
        ("c", ["cup", "cl"]),
        ("gr", ["g"]),
        ("stick", ["stick of butter", "each"]),
        ("tael", ["HK tael", "Taiwan tael", "mainland liang"]),
        ("tesp", ["tsp", "tbsp"]),
        ("kilogramm", ["kg"]),
        ("galon", ["US gallon", "imperial gallon"]),
        ("cloves", ["each"]),
        ("", []),
        ("  ", []),
        ("xyzzy", []),
        ("3", []),
    ],
)
def test_find_unit__refuses_what_may_mean_two_things(text: str, nearest: list[str]) -> None:
    with pytest.raises(UnknownUnit) as caught:
        find_unit(text, METRIC)
    assert (caught.value.text, caught.value.nearest) == (text, nearest)


def test_find_unit__offers_only_names_it_accepts() -> None:
    """Law, over misspellings of every name: drop one letter, and follow what is offered."""
    for measures in Measures:
        for name in known_unit_names(measures):
            for cut in range(len(name)):
                try:
                    find_unit(name[:cut] + name[cut + 1 :], measures)
                except UnknownUnit as unknown:
                    offered = unknown.nearest
                except UnitNeedsSystem as needs:
                    offered = list(needs.choices)
                else:
                    continue
                for offer in offered:
                    assert find_unit(offer, measures).size > 0


def test_quantities__units_need_neither_pint_nor_babel() -> None:
    """Pint is for the tests, babel is loaded at first use: commands are to be quick."""
    ask = (
        "import sys; from costing.quantities import Measures, find_unit;"
        "find_unit('cup', Measures.METRIC);"
        "print(sorted({'pint', 'babel', 'numpy'} & {*sys.modules}))"
    )
    answer = subprocess.run(  # noqa: S603 - our own interpreter and text
        [sys.executable, "-c", ask], cwd=TREE, capture_output=True, text=True, check=True
    )
    assert answer.stdout.strip() == "[]"
