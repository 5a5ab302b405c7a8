"""What the fields of the models take: text and exact numbers; a float is refused with a word."""

from __future__ import annotations

from datetime import date, datetime, time
from decimal import Decimal
from fractions import Fraction
from types import UnionType
from typing import Any, Union, get_args, get_origin

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pydantic import BaseModel, ValidationError

from costing.holding.models import Container, Event, HoldingSettings, Temperature
from costing.kitchen import Dish, Ingredient, Line, Lot, Pack, Shop
from costing.quantities import Amount, Measures, amount, find_unit
from costing.shoot import Episode, Settings, Shoot, Shot

MODELS: dict[type[BaseModel], dict[str, Any]] = {
    Line: {"dish": "soup", "ingredient": "leek"},
    Dish: {"name": "soup"},
    Ingredient: {"name": "leek"},
    Pack: {"ingredient": "leek", "amount": "1 kg"},
    Shop: {"name": "stall"},
    Lot: {"ingredient": "leek"},
    Episode: {"name": "one"},
    Shot: {"dish": "soup"},
    Settings: {},
    Event: {"kind": "out", "at": "2031-05-10 10:05"},
    Container: {"name": "bowl"},
    HoldingSettings: {"zone": "Europe/Lisbon"},
    Temperature: {"value": 4, "unit": "C"},
}
"""Every model of the input with what it needs."""

EXACT = (Fraction, Decimal, int, Amount, Temperature, date, time, datetime)


def kinds(annotation: Any) -> list[Any]:
    """The types that an annotation names, those inside tuples too."""
    if get_origin(annotation) in (Union, UnionType, tuple):
        return [kind for part in get_args(annotation) for kind in kinds(part)]
    inner = get_args(annotation)
    return kinds(inner[0]) if inner else [annotation]


FIELDS = [
    (model, name)
    for model in MODELS
    for name, field in model.model_fields.items()
    if set(kinds(field.annotation)) & set(EXACT) and bool not in kinds(field.annotation)
]


@pytest.mark.parametrize(
    ("model", "name"), FIELDS, ids=[f"{model.__name__}.{name}" for model, name in FIELDS]
)
@pytest.mark.parametrize("value", [0.7, 2.0, True, [0.5]], ids=str)
def test_exact_field__refuses_floats_and_truth_values(
    model: type[BaseModel], name: str, value: object
) -> None:
    """A float is not what was typed, and a number is no date."""
    with pytest.raises(ValidationError, match=r"found |valid|exact"):
        model(**MODELS[model] | {name: value})


def test_exact_field__there_are_many_of_them() -> None:
    """The test above looks into every model; a new exact field is in it by itself."""
    assert len(FIELDS) >= 35
    assert {model for model, _ in FIELDS} == set(MODELS)


def test_exact_field__says_what_to_write() -> None:
    """0.7 as a float is a little less than seven tenths and would buy a pack too many."""
    with pytest.raises(ValidationError) as caught:
        Ingredient(name="leek", trim_yield=0.7)  # type: ignore[arg-type]
    (error,) = caught.value.errors()
    assert error["msg"] == (
        "Value error, found the float 0.7, expected an exact number: write '0.7', Decimal('0.7') "
        "or Fraction(7, 10)"
    )


@pytest.mark.parametrize(
    ("given_", "kept"),
    [
        ("80 %", Fraction(4, 5)),
        ("80%", Fraction(4, 5)),
        ("0.8", Fraction(4, 5)),
        ("4/5", Fraction(4, 5)),
        (Decimal("0.8"), Fraction(4, 5)),
        (1, Fraction(1)),
    ],
)
def test_part__percent_sign_or_part_of_one(given_: Any, kept: Fraction) -> None:
    """In code a number without a percent sign is a part of one, in every such field alike."""
    assert Ingredient(name="leek", trim_yield=given_).trim_yield == kept
    assert Ingredient(name="leek", cooked_weight=given_).cooked_weight == kept
    assert Pack(ingredient="leek", amount="1 kg", tax_rate=given_).tax_rate == kept
    assert Settings(leftovers_counted=given_).leftovers_counted == kept


@pytest.mark.parametrize("value", ["80", 80, "180 %", "0", "-5 %"])
def test_part__beyond_the_whole_is_refused(value: Any) -> None:
    with pytest.raises(ValidationError, match=r"less than or equal to 1|greater than 0"):
        Ingredient(name="leek", trim_yield=value)


def test_text__is_taken_wherever_the_type_allows() -> None:
    line = Line(dish="soup", step="2", ingredient="leek", amount="1 1/2 cup", candidates="1,5")
    assert (line.step, line.candidates) == (2, Fraction(3, 2))
    assert line.amount == amount("1 1/2 metric cup")
    pack = Pack(
        ingredient="leek",
        amount="1 kg",
        price="1.80",
        loose_step="50 g",
        at_most="3",
        price_date="2031-05-02",
    )
    assert (pack.price, pack.at_most) == (Decimal("1.80"), 3)
    assert (pack.loose_step, pack.price_date) == (amount("50 g"), date(2031, 5, 2))
    shot = Shot(dish="soup", purpose="retake", steps="1-3, 5", batch="1/2", starts="9:30")
    assert (shot.steps, shot.batch, shot.starts) == ((1, 2, 3, 5), Fraction(1, 2), time(9, 30))
    event = Event(kind="out", at="2031-05-10 10:05", temperature="4 C")
    assert event.temperature == Temperature(value=4, unit="C")
    assert event.at == datetime(2031, 5, 10, 10, 5)
    settings = Settings(room_temperature="78F", currency="eur", chance_of_running_out="2.5 %")
    assert str(settings.room_temperature) == "78 °F"
    assert (settings.currency, settings.chance_of_running_out) == ("EUR", Fraction(1, 40))
    assert Dish(name="soup", makes="6 portions").makes == amount("6 portions")


@pytest.mark.parametrize(
    ("model", "given_", "reason"),
    [
        (Line, {"amount": "3"}, "no unit behind the number"),
        (Line, {"amount": 3}, "found 3, expected an amount with its unit, such as '250 g'"),
        (Line, {"amount": "2-3 g"}, "a range where one amount is expected"),
        (Line, {"amount": "1 blob"}, "no unit is called 'blob'"),
        (Line, {"candidates": "2-3"}, "a range where one number is expected"),
        (Line, {"step": "1.5"}, "found '1.5', expected a whole number"),
        (Pack, {"price": "1,234"}, "'1,234' may be 1234 or 1.234"),
        (Pack, {"price": Fraction(1, 3)}, "expected money with an end, such as '1.80'"),
        (Pack, {"price_date": 20310502}, "found 20310502, expected a date such as '2031-05-10'"),
        (Pack, {"price_date": "2/5/2031"}, "expected a date such as '2031-05-10'"),
        (Shot, {"steps": "3-1"}, "the steps '3-1' go down; write 1-3"),
        (Shot, {"steps": "all"}, "expected steps such as '2', '1-3' or '1-3, 5'"),
        (Shot, {"starts": "930"}, "found '930', expected a time such as '09:30'"),
        (Event, {"temperature": 4}, "found 4, expected a temperature with its unit"),
        (Event, {"temperature": "4"}, "found '4', expected a temperature with its unit"),
        (Settings, {"currency": "EURO"}, "'EURO' is not a currency code of ISO 4217; nearest: EUR"),
        (Settings, {"time_zone": "Europe/Lisbn"}, "IANA time zone; nearest: Europe/Lisbon"),
        (Settings, {"bowl_sizes": [60, 0.5]}, "found the float 0.5"),
    ],
    ids=str,
)
def test_field__says_what_is_wrong(
    model: type[BaseModel], given_: dict[str, Any], reason: str
) -> None:
    with pytest.raises(ValidationError) as caught:
        model(**MODELS[model] | given_)
    assert reason in str(caught.value)


@given(
    st.fractions(min_value=Fraction(1, 90), max_value=90, max_denominator=90),
    st.sampled_from(["g", "US cup", "each", "metric tbsp"]),
)
def test_amount_given_as_text__is_the_amount_that_is_shown(number: Fraction, unit: str) -> None:
    """Law: what is written for a person is read again; unshown digits come after ≈."""
    made = Amount(number, find_unit(unit, Measures.METRIC))
    if "≈" not in str(made):
        assert Line(dish="soup", ingredient="leek", amount=str(made)).amount == made


@pytest.mark.parametrize("measures", list(Measures))
def test_cups_given_as_text__are_those_of_the_shoot(measures: Measures) -> None:
    """The same cup as in a workbook with that setting; an amount that was made is as it is."""
    shoot = Shoot(
        settings=Settings(measures=measures),
        lines=[
            Line(dish="soup", ingredient="milk", amount="1 cup"),
            Line(dish="soup", ingredient="cream", amount=amount("1 cup", Measures.METRIC)),
        ],
        packs=[Pack(ingredient="milk", amount="2 cups", loose_step="1 cup")],
    )
    assert shoot.lines[0].amount == amount("1 cup", measures)
    assert shoot.lines[1].amount == amount("1 metric cup")
    assert shoot.packs[0].loose_step == amount("1 cup", measures)
    other = shoot.changed(settings=Settings(measures=Measures.JAPANESE))
    assert other.lines[0].amount == amount("1 Japanese cup")


def test_changed__refuses_what_a_new_shoot_would_refuse() -> None:
    shoot = Shoot(lines=[Line(dish="soup", ingredient="leek", amount="1 kg")])
    assert shoot.changed(shots=[Shot(dish="soup")]).shots == (Shot(dish="soup"),)
    with pytest.raises(ValidationError, match=r"shotz\s+Extra inputs are not permitted"):
        shoot.changed(shotz=[])
    with pytest.raises(ValidationError, match=r"lines\.0"):
        shoot.changed(lines=["leek"])
