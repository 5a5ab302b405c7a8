"""Packs and loose goods."""

from __future__ import annotations

from collections.abc import Callable
from decimal import Decimal
from fractions import Fraction

import pytest
from pydantic import ValidationError
from small import lot, pack

from costing.findings import Place
from costing.kitchen import (
    CountedLot,
    Dish,
    Ingredient,
    Line,
    Lot,
    Pack,
    ReceiptLine,
    ReceiptTag,
    Shop,
)
from costing.quantities import amount
from costing.quantities.fields import FromRow


def test_pack__a_sealed_pack_is_its_own_unit() -> None:
    flour = pack("flour", "1 kg", "0.89")
    assert flour.unit_amount == amount("1 kg")
    assert flour.unit_price == Fraction("0.89")


def test_pack__loose_goods_are_priced_by_their_step() -> None:
    """1.89 for 1 kg in steps of 50 g: 1.89 / 20 = 0.0945 a step."""
    leek = pack("leek", "1 kg", "1.89", loose="50 g")
    assert leek.unit_amount == amount("50 g")
    assert leek.unit_price == Fraction("0.0945")


def test_pack__step_in_ounces_of_a_price_by_the_pound() -> None:
    """3.20 a pound in steps of 4 oz, of which a pound has 4: 0.80 a step."""
    assert pack("cheese", "1 lb", "3.20", loose="4 oz").unit_price == Fraction("0.80")


def test_pack__supplied_costs_nothing_even_with_a_price() -> None:
    assert pack("flour", "1 kg", "0.89", supplied=True).unit_price == 0
    assert pack("flour", "1 kg", None, supplied=True).unit_price == 0


def test_pack__no_price_is_unknown_and_not_zero() -> None:
    assert pack("flour", "1 kg", None).unit_price is None
    assert pack("flour", "1 kg", "0").unit_price == 0


@pytest.mark.parametrize(
    ("text", "loose", "words"),
    [
        ("0 g", None, r"amount\n.*greater than 0"),
        ("1 kg", "50 ml", "the loose step must be in the unit of the amount"),
        ("1 kg", "0 g", r"loose_step\n.*greater than 0"),
    ],
    ids=["empty pack", "step of another kind", "empty step"],
)
def test_pack__refuses_what_cannot_be_sold(text: str, loose: str | None, words: str) -> None:
    with pytest.raises(ValidationError, match=words):
        pack("flour", text, "1", loose=loose)


@pytest.mark.parametrize(
    "field",
    [{"price": Decimal("-0.01")}, {"at_most": -1}, {"tax_rate": Fraction(-1, 100)}],
    ids=["price below 0", "fewer than none", "tax below 0"],
)
def test_pack__refuses_numbers_out_of_range(field: dict[str, object]) -> None:
    with pytest.raises(ValidationError, match="greater than or equal to 0"):
        Pack.model_validate({"ingredient": "flour", "amount": amount("1 kg"), **field})


@pytest.mark.parametrize(
    ("row", "least"),
    [
        (lambda: Line(dish="soup", ingredient="leek", amount="-400 g"), "or equal to 0"),
        (lambda: Line(dish="soup", ingredient="leek", amount_low="-1 g"), "or equal to 0"),
        (lambda: Lot(ingredient="leek", amount="-400 g"), "or equal to 0"),
        (lambda: CountedLot(ingredient="leek", amount="-400 g"), "or equal to 0"),
        (lambda: ReceiptLine(paid="-1", ingredient="leek", amount="-400 g"), "or equal to 0"),
        (lambda: Dish(name="soup", makes="0 g"), "0"),
    ],
    ids=["line", "range", "on hand", "counted", "given back", "makes nothing"],
)
def test_amount__below_what_it_can_be_is_refused(row: Callable[[], FromRow], least: str) -> None:
    """A line of -400 g bought nothing, and no word was said of it."""
    with pytest.raises(ValidationError, match=f"Input should be greater than {least}"):
        row()


@pytest.mark.parametrize(
    "field",
    [
        {"trim_yield": Fraction(0)},
        {"trim_yield": Fraction(2)},
        {"spoilage": Fraction(1)},
        {"density": Fraction(0)},
        {"piece_weight": Fraction(-1)},
        {"cooked_weight": Fraction(0)},
    ],
    ids=lambda field: next(iter(field)),
)
def test_ingredient__refuses_numbers_out_of_range(field: dict[str, object]) -> None:
    with pytest.raises(ValidationError, match="1 validation error"):
        Ingredient.model_validate({"name": "leek", **field})


def test_row__built_in_code_says_where_it_would_stand() -> None:
    """No workbook, so the place names sheet, row and column by their words."""
    assert lot("egg", "2 each").at("Use by") == Place("On hand", heading="Use by", name="egg")
    assert lot("egg", "2 each").where("Use by") == '\'On hand\' (row "egg", column "Use by")'


def test_rows__of_which_nothing_else_is_said() -> None:
    """What blank cells mean: not supplied, a visit for nothing, no least spend, for the camera."""
    assert (pack("flour", "1 kg", None).supplied, Lot(ingredient="egg").supplied) == (False, False)
    assert Lot(ingredient="egg").plenty is False
    assert Shop(name="Mill").visit_cost == Shop(name="Mill").minimum_spend == 0
    assert ReceiptLine(paid="1.00").tag is ReceiptTag.CAMERA
    assert Dish(name="stock").whole_batches is False


def test_row__cannot_be_changed() -> None:
    with pytest.raises(ValidationError, match="frozen"):
        Lot(ingredient="egg").ingredient = "milk"
