"""How values of each kind are shown, and what stands out.

Number formats are written by the rules of ISO/IEC 29500-1, 18.8.30 and 18.8.31.
"""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from decimal import Decimal
from fractions import Fraction

import pytest

from costing.report.tables import ResultColumn, Value, ValueKind
from costing.workbook.results import look
from costing.workbook.results.look import Look

DAY = date(2031, 5, 10)
INSTANT = datetime(2031, 5, 10, 14, 30, tzinfo=UTC)
MIXED = ValueKind.MIXED


@pytest.mark.watched("which of the formats a kind is shown in is a choice of ours")
@pytest.mark.parametrize(
    ("kind", "value", "currency", "shown"),
    [
        (ValueKind.MONEY, Decimal("2.50"), "EUR", '#,##0.00\\ "EUR"'),
        (ValueKind.MONEY, Decimal(250), "JPY", '#,##0\\ "JPY"'),
        (ValueKind.MONEY, Decimal("2.50"), None, "#,##0.00"),
        (ValueKind.PRICE, Fraction(1, 3), "EUR", '#,##0.00##\\ "EUR"'),
        (ValueKind.PRICE, Decimal("0.33"), "EUR", '#,##0.00\\ "EUR"'),
        (MIXED, Decimal("0.33"), "EUR", '#,##0.00\\ "EUR"'),
        (ValueKind.DATE, DAY, "EUR", "ddd\\ d\\ mmm\\ yyyy"),
        (ValueKind.INSTANT, INSTANT, "EUR", "yyyy\\-mm\\-dd hh:mm"),
        (ValueKind.DURATION, timedelta(hours=30), "EUR", "[h]:mm"),
        (MIXED, 1500, "EUR", "#,##0"),
        (MIXED, Fraction(3, 2), "EUR", "#,##0.0##"),
        (MIXED, Fraction(2), "EUR", "#,##0"),
        (MIXED, "leek", "EUR", None),
    ],
    ids=lambda one: one.value if isinstance(one, ValueKind) else None,
)
def test_cell__is_shown_as_its_kind_is(
    kind: ValueKind, value: Value, currency: str | None, shown: str | None
) -> None:
    """Smallest coins are of the currency by ISO 4217: a hundredth of a euro, a whole yen."""
    cell = Look(currency).cell(ResultColumn("Of", "What it is.", kind, 10), value)
    assert cell.style.number_format == shown


def test_cell__of_an_instant_holds_whole_seconds() -> None:
    """What another program keeps of a second is its own matter."""
    at = INSTANT.replace(second=7, microsecond=987_654)
    cell = Look(None).cell(ResultColumn("At", "When.", ValueKind.INSTANT, 10), at)
    assert cell.value == datetime(2031, 5, 10, 14, 30, 7)


@pytest.mark.parametrize(
    ("number", "shown"), [(99, None), (-99, None), (100, "#,##0"), (-100, "#,##0")]
)
def test_cell__of_two_digits_that_follows_edits_shows_the_parts_they_bring(
    number: int, shown: str | None
) -> None:
    column = ResultColumn("Of", "What it is.", MIXED, 10)
    cell = Look("EUR").cell(column, Fraction(number), formula="A1")
    assert cell.style.number_format == shown


def test_styles__what_leads_stands_out() -> None:
    """Titles, figures and headings are bold, what is said beside them is not."""
    leads = [look.TITLE, look.SENTENCE, look.LARGE_FIGURE, look.FIGURE, look.CHECK, look.HEADING]
    assert all(one.bold for one in [*leads, look.TITLE_OF_CHART, look.NUMBER_HEADING])
    assert not any(one.bold for one in (look.ABOUT, look.CAUTION, look.CHART_DATA))
    assert look.ABOUT.italic
    assert (look.WORST.bold, look.BAD.bold, look.PAST.bold) == (True, True, False)
    sizes = [one.font_size or 11 for one in (look.TITLE, look.SENTENCE, look.FIGURE)]
    assert sizes == sorted(sizes, reverse=True)
    assert len(set(sizes)) == 3
