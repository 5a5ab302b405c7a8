"""Amounts, units and measures, number words, money."""

from costing.quantities.amounts import Amount, DimensionMismatch, amount, magnitude_text
from costing.quantities.money import (
    Rounding,
    UnknownCurrency,
    countries,
    currencies_of,
    currency_digits,
    is_currency,
    likely_currencies,
    money_text,
    round_money,
    share_out,
)
from costing.quantities.numbers import (
    ONE,
    ZERO,
    AmbiguousNumber,
    Number,
    UnreadableNumber,
    UpsideDownRange,
    decimal_or_fraction,
    decimal_or_mixed,
    exact,
    mixed,
    read_number,
    terminating,
)
from costing.quantities.traced import (
    follows,
    grouped_by,
    is_traced,
    least,
    most,
    total,
    traced,
    untraced_choice,
)
from costing.quantities.traced_money import exact_money, excess, traced_money
from costing.quantities.units import (
    BATCH,
    EACH,
    GRAM,
    MILLILITRE,
    PORTION,
    US_MEASURES,
    Dimension,
    Measures,
    Unit,
    UnitNeedsSystem,
    UnknownUnit,
    all_units,
    find_unit,
    known_unit_names,
)
