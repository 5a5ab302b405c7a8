"""Rows and words of a shoot that is closed: differences, what is charged, and cash."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal
from fractions import Fraction
from typing import Any
from zoneinfo import ZoneInfo

from costing.buying.books import Books
from costing.buying.values import shots_left_out
from costing.closing.charge import (
    Cash,
    Charge,
    Charged,
    cash_of,
    costs_by_tag,
    not_counted,
)
from costing.closing.closed import Closed, total_of
from costing.closing.counts import dishes_logged
from costing.closing.differences import PARTS, largest, shown_differences, sum_of_known
from costing.findings import choice_words
from costing.kitchen import ReceiptTag
from costing.names import key
from costing.quantities import ZERO, decimal_or_fraction, money_text
from costing.report.exchange import plain
from costing.report.layouts import CHARGE, DIFFERENCES, SUMMARY
from costing.report.make_rows import cooked
from costing.report.shop_words import base_words, quantity
from costing.report.tables import Row, Table
from costing.shoot.settings import MarkUpOn

BECAUSE = {
    "takes": ("more takes than planned", "fewer takes than planned"),
    "use": ("more used than the takes need", "less used than the takes need"),
    "price": ("the packs listed cost more", "the packs listed cost less"),
    "packs": ("other packs than listed, dearer", "other packs than listed, cheaper"),
    "not_logged": ("paid, and in no plan", "used, and on no receipt"),
}
"""Why something cost more, or less, by the part of the difference."""

PARTS_NAMED = 5
"""So many parts of the difference, the largest, have a line of their own. [part]"""


def differences(closed: Closed) -> Table:
    """One row for each episode and ingredient, in whole coins."""
    rows = shown_differences(closed)
    return DIFFERENCES.table(
        DIFFERENCES.row(
            episode=row.episode,
            ingredient=row.ingredient,
            planned=row.planned,
            actual=row.actual,
            **dict(zip(PARTS, row.parts or (None,) * len(PARTS), strict=True)),
        )
        for row in rows
    )


def made_ahead_words(closed: Closed) -> Iterator[str]:
    """Dishes of which Make has more than the takes used, a sentence each; not those counted.

    Whether all of it was made nobody says, so that neither it nor what went into it is known.
    """
    used = _made(closed.used_books)
    logged = dishes_logged(closed.books, closed.untold)
    counted = {*logged, *(key(row.ingredient) for row in closed.shoot.counted)}
    for (dish, unit), amount in _made(closed.books).items():
        more = amount - used.get((dish, unit), ZERO)
        if more > 0 and key(dish) not in counted:
            measures = closed.shoot.settings.measures
            whole, rest = (quantity(one, unit, measures) for one in (amount, more))
            yield (
                f"{dish}: Make has {whole}, {rest} more than the takes need. Where that was made, "
                "it is on hand and what went into it is not: correct On hand."
            )


def _made(books: Books) -> dict[tuple[str, str], Fraction]:
    """How much Make has of each dish, by its name and unit."""
    found: dict[tuple[str, str], Fraction] = {}
    for one in cooked(books, zone=ZoneInfo("UTC")):
        amount, at = one.row["amount"], (str(one.row["dish"]), str(one.row["unit"]))
        if one.steps is None and isinstance(amount, Fraction | int):
            found[at] = found.get(at, ZERO) + amount
    return found


def charge_table(charge: Charge) -> Table:
    """One row for each line of a receipt that is charged."""
    return CHARGE.table(
        CHARGE.row(
            one.line.line,
            what=_what(one),
            paid=one.line.paid,
            tax=one.line.tax,
            charged=one.charged,
            note=_note(one, charge.closed),
        )
        for one in charge.lines
    )


def _what(one: Charged) -> str:
    """The goods of a line with how much it was, or what a cost of its own is."""
    row = one.line.line
    if not row.ingredient:
        return row.note or "a cost of its own"
    if row.amount is not None:
        return f"{row.ingredient}, {row.amount}"
    if row.packs is not None:
        return f"{row.ingredient}, {decimal_or_fraction(row.packs)} x"
    return row.ingredient


def _note(one: Charged, closed: Closed) -> str:
    row = one.line.line
    parts = [] if row.day is None else [row.day.isoformat()]
    parts += [row.note] if row.ingredient and row.note else []
    if one.line.currency:
        parts.append(f"{money_text(row.paid, one.line.currency)} paid")
    if one.line.tax is None:
        parts.append("tax not known")
    if one.mark_up:
        parts.append(f"mark-up {money_text(one.mark_up, closed.shoot.settings.currency)}")
    return "; ".join(parts)


def charge_words(charge: Charge) -> str:
    """What is charged in all, the mark-up by itself, in a sentence; blank without a line."""
    if not charge.lines:
        return ""
    settings = charge.closed.shoot.settings
    paid, mark_up, charged = (
        money_text(value, settings.currency)
        for value in (charge.paid, charge.mark_up, charge.charged)
    )
    tax = f", {money_text(charge.tax, settings.currency)} of it tax" if charge.tax else ""
    if not settings.charge_mark_up:
        return f"Charged: {charged}, as paid{tax}."
    rate = decimal_or_fraction(100 * Fraction(settings.charge_mark_up))
    before = settings.mark_up_on is MarkUpOn.BEFORE_TAX
    on = "what was paid before tax" if before else "what was paid"
    return (
        f"Charged: {charged}, which is {paid} paid{tax}, and a mark-up of {rate} % on {on}, "
        f"{mark_up}."
    )


def supplied_words(charge: Charge) -> Iterator[str]:
    """What the client brought, what of it was used and is left, a sentence each."""
    measures = charge.closed.shoot.settings.measures
    for one in charge.supplied:
        supplied, used, left = (
            base_words(base, one.ingredient.unit, measures)
            for base in (one.supplied, one.used, one.left)
        )
        how = "as counted" if one.ingredient.counted else "by the takes"
        yield (
            f"Supplied and not charged: {one.ingredient.name} {supplied}, {used} used and {left} "
            f"left {how}."
        )


def cash_words(cash: Cash, currency: str | None) -> str:
    """The float, what was paid from it, and what was counted, in a sentence."""
    first, paid, due = (money_text(v, currency) for v in (cash.at_first, cash.paid, cash.due))
    words = f"Cash: float {first} less {paid} paid from it leaves {due}; "
    if cash.counted is None or cash.difference is None:
        return words + "not counted."
    words += f"counted {money_text(cash.counted, currency)}, "
    if not cash.difference:
        return words + "which agrees."
    side = "more than that" if cash.difference > 0 else "less than that"
    return words + f"{money_text(abs(cash.difference), currency)} {side}."


def cost_words(closed: Closed) -> str:
    """What was paid, by what it was bought for, in a sentence; blank without a receipt."""
    currency = closed.shoot.settings.currency
    sums = costs_by_tag(closed)
    if not sums:
        return ""
    parts = []
    for tag, value in sums.items():
        own = sum(
            (one.paid for one in closed.lines if one.line.tag is tag and not one.line.ingredient),
            Decimal(0),
        )
        besides = f" ({money_text(own, currency)} of it without an ingredient)" if own else ""
        parts.append(f"{tag} {money_text(value, currency)}{besides}")
    whole = money_text(sum(sums.values(), Decimal(0)), currency)
    return f"Paid on receipts: {whole}; {choice_words(parts, last='and')}."


def left_out_words(closed: Closed) -> str:
    """What of the receipts is in no sum, in a sentence; blank where all is."""
    left = not_counted(closed)
    return (
        f"Left out of what is paid and charged: {choice_words(left, last='and')}." if left else ""
    )


def difference_words(closed: Closed) -> Iterator[str]:
    """Planned and actual in all, then the largest parts of the difference, a line each."""
    currency = closed.shoot.settings.currency
    rows = shown_differences(closed)
    planned, actual, without = sum_of_known(rows)
    lacks = [one.what for one in shots_left_out(closed.shoot)]
    lacks += [f"{without} of {len(rows)} rows that are not known"] if without else []
    left_out = f", without {choice_words(lacks, last='and')}" if lacks else ""
    yield (
        f"Used value: {money_text(planned, currency)} planned, {money_text(actual, currency)} "
        f"actual, {_signed(actual - planned, currency)}{left_out}."
    )
    several = len({row.episode for row in rows}) > 1
    parts = largest(rows)
    for row, part, value in parts[:PARTS_NAMED]:
        whose = f" of {row.episode}" if several and row.episode else ""
        because = BECAUSE[part][value < 0]
        if part == "use" and value > 0 and _spoiled(closed, row.ingredient):
            because += ", spoiled takes included"
        yield f"  {_signed(value, currency)}  {row.ingredient}{whose}: {because}"
    if others := [value for _, _, value in parts[PARTS_NAMED:]]:
        count = f"{len(others)} other{'s' if len(others) > 1 else ''}"
        yield f"  {_signed(sum(others, Decimal(0)), currency)}  {count}, on Differences"


def _spoiled(closed: Closed, name: str) -> bool:
    """Whether food of an ingredient was spoiled without a take."""
    one = closed.by_name.get(name)
    spoiled = any(shot.spoiled for shot in closed.taken.values())
    return spoiled and one is not None and total_of(one.used_up) > total_of(one.taken)


def _signed(value: Decimal, currency: str | None) -> str:
    return f"{'+' if value > 0 else ''}{money_text(value, currency)}"


def closing_words(closed: Closed) -> Iterator[str]:
    """All that closing says, line by line."""
    yield from difference_words(closed)
    charge = Charge(closed)
    yield from filter(None, (charge_words(charge), *supplied_words(charge)))
    yield from _paid_words(closed)


def words_after(closed: Closed | None) -> str:
    """What a shoot came to, in place of what to buy; blank until it is known what was taken."""
    if closed is None or (closed.untold and not closed.shoot.counted):
        return ""
    return next(difference_words(closed))


def _paid_words(closed: Closed) -> list[str]:
    """What was paid, by its tags, and the cash."""
    cash = cash_of(closed)
    words = [cost_words(closed), left_out_words(closed)]
    if cash is not None:
        words.append(cash_words(cash, closed.shoot.settings.currency))
    return [one for one in words if one]


def closing_figures(closed: Closed | None) -> list[Row]:
    """Rows of Summary for a shoot that is closed: actual use, what was paid, charged, and cash."""
    if closed is None:
        return []
    charge, cash, paid = Charge(closed), cash_of(closed), costs_by_tag(closed)
    used = sum_of_known(shown_differences(closed))
    left = not_counted(closed)
    without = f"; without {choice_words(left, last='and')}" if left else ""
    figures: list[tuple[str, Decimal | None, str]] = [
        ("Actual used value", used[1], "planned beside it on Differences")
    ]
    if paid:
        tags = ", ".join(str(tag) for tag in paid)
        figures.append(("Paid on receipts", sum(paid.values(), Decimal(0)), f"for {tags}{without}"))
    if charge.lines:
        note = f"the mark-up included; lines on Charge{without}"
        figures.append(("Charged", charge.charged, note))
    if cash is not None and cash.difference is not None:
        due = money_text(cash.due, closed.shoot.settings.currency)
        figures.append(("Cash difference", cash.difference, f"counted less {due} that is due"))
    return [SUMMARY.row(figure=name, value=value, note=note) for name, value, note in figures]


def words_above(table: Table, closed: Closed) -> list[str]:
    """What is above the rows of a table that closing made."""
    if table.layout is DIFFERENCES:
        return [next(difference_words(closed)), *_paid_words(closed)]
    if table.layout is CHARGE:
        charge = Charge(closed)
        words = (charge_words(charge), left_out_words(closed), *supplied_words(charge))
        return [one for one in words if one]
    return []


def closed_json(closed: Closed) -> dict[str, Any]:
    """What the tables do not hold: costs by tag, the charge in all, supplied goods and cash."""
    charge, cash = Charge(closed), cash_of(closed)
    return {
        "paid": {str(tag): plain(costs_by_tag(closed).get(tag)) for tag in ReceiptTag},
        "paid_complete": not not_counted(closed),
        "missing": not_counted(closed),
        "charged": {
            "paid": plain(charge.paid),
            "tax": plain(charge.tax),
            "mark_up": plain(charge.mark_up),
            "charged": plain(charge.charged),
        }
        if charge.lines
        else None,
        "supplied": [
            {
                "ingredient": one.ingredient.name,
                "unit": one.ingredient.unit.name,
                **{
                    name: plain(getattr(one, name) / one.ingredient.unit.size)
                    for name in ("supplied", "used", "left")
                },
                "counted": one.ingredient.counted,
            }
            for one in charge.supplied
        ],
        "cash": None
        if cash is None
        else {
            "float": plain(cash.at_first),
            "paid_from_float": plain(cash.paid),
            "counted": plain(cash.counted),
            "difference": plain(cash.difference),
        },
    }
