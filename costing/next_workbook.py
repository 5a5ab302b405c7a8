"""A workbook for the next shoot, with what is left of the one that is closed."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from pathlib import Path
from typing import Any

from costing.asked import ends_in
from costing.asked import typed as as_typed
from costing.closing.next_shoot import next_stock
from costing.closing.prices_paid import packs_as_paid
from costing.findings import choice_words
from costing.kitchen import Lot
from costing.report.estimates import Estimate
from costing.shoot import Shoot
from costing.workbook.package.commit import new_file
from costing.workbook.reading import read_workbook
from costing.workbook.results.write import new_workbook_bytes
from costing.workbook.template.filling import rows_of
from costing.workbook.template.pricebook import price_day, taken_over

NAMED = 5
"""So many names stand in a line at most."""


def write_next(path: Path, old: Path, estimate: Estimate) -> list[str]:
    """Write the workbook; what was taken into it and what was not, in lines.

    Parameters
    ----------
    path : Path
        Of the new workbook, which is not there yet.
    old : Path
        The workbook that is closed.
    estimate : Estimate
        Of it, with what happened.
    """
    ends_in(path, ".xlsx")
    closed = estimate.closed
    if closed is None:
        raise ValueError("only what is left of a shoot that is closed can be taken on")
    typed, _ = read_workbook(old)
    stock = next_stock(closed, estimate.verdicts)
    paid = packs_as_paid(closed, typed.packs)
    day = price_day(typed, date.fromtimestamp(old.stat().st_mtime))
    known = typed.changed(packs=paid)
    names = {pack.ingredient: None for pack in paid} | {lot.ingredient: None for lot in typed.lots}
    names |= {one.name: None for one in typed.ingredients}
    taken = taken_over(known, list(names), day=day)
    rows: dict[str, Any] = dict(taken.rows)
    rows["On hand"] = rows_of(Shoot(lots=stock.lots)).get("On hand", [])
    left_off = [f"Left off: {one}." for one in stock.left_off]
    remarks = {"On hand": "\n".join(left_off)} if left_off else {}
    data = new_workbook_bytes(rows=rows, more=("On hand",), remarks=remarks)
    new_file(path, data)
    told = [_on_hand_words(stock.lots), *left_off]
    new = len(paid) - len(typed.packs)
    repriced = sum(one is not two for one, two in zip(paid, typed.packs, strict=False))
    rows_paid = f"{repriced} row{'s' if repriced > 1 else ''} of Packs as paid" if repriced else ""
    rows_new = f"{new} for what was on no row" if new else ""
    paid_words = " and ".join(filter(None, (rows_paid, rows_new))) or "as on Packs"
    dated = f"; those without a day are dated {day}" if taken.dated else ""
    told.append(f"Prices: {paid_words}{dated}.")
    if taken.supplied:
        packs = "1 pack" if taken.supplied == 1 else f"{taken.supplied} packs"
        told.append(f"Not taken, as supplied for this shoot: {packs}.")
    return [*told, f"Written: {path}. Fill it in, then run: costing estimate {as_typed(path)}"]


def _on_hand_words(lots: Sequence[Lot]) -> str:
    """What is carried, in a line."""
    if not lots:
        return "On hand: nothing is left that is carried."
    named = [f"{'plenty' if one.plenty else one.amount} of {one.ingredient}" for one in lots]
    return f"On hand: {choice_words(named, most=NAMED, last='and')}."
