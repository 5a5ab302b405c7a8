"""The shopping list in lines of a given width: nothing of a name, a sum or a box is cut."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from decimal import Decimal

from costing.cli.screen import TEXT_COLUMNS, console, lines_of, paragraph, wide
from costing.quantities import money_text
from costing.report.errands import Errand, errand_words
from costing.report.estimates import Estimate
from costing.report.make_rows import MAKE_AHEAD
from costing.report.shop_words import NO_SHOP, NOT_KNOWN, at_least, day_words
from costing.report.shopping_list import ListDay, ListLine, by_shop, with_visits

BOX = "[ ] "
GAP = "  "
NAME_AT_LEAST = 14
"""Columns a name is given beside its figures; below that they stand on a line of their own."""

HEADINGS = ("Buy", "Price each", "Cost", "Needed", "Left over")
UNKNOWN = "unknown"
FOR_MORE_TAKES = "Needed is for the likely times; what is left over is for more takes, too."

Columns = list[tuple[str, list[str]]]
"""Headings with their cells, one for each line."""


def print_list(estimate: Estimate, *, brief: bool = False) -> None:
    """Print what to buy; ``brief``: what is not bought is reported in running text.

    Above it stands who avoids what is in their shots: it is bought for them.
    """
    out = console()
    currency, width = estimate.shoot.settings.currency, min(out.width, TEXT_COLUMNS)
    for words in estimate.eating.warnings:
        paragraph(words)
    out.print()
    days, missing = estimate.list_days, bool(estimate.totals.bought_missing)
    for line in printed_list(days, currency, width, brief=brief, missing=missing):
        out.print(line)
    if not brief and (words := with_visits(estimate.totals, currency)):
        out.print(words)
    if len(days) == 1:
        print_made(estimate, brief=brief)


def print_made(estimate: Estimate, *, brief: bool = False) -> None:
    """Print what is to be made ahead, if anything; ``brief``: in running text."""
    made = estimate.make_lines(brief=brief)
    if made and brief:
        console().print()
        paragraph(f"{MAKE_AHEAD}: {'; '.join(made)}.")
    elif made:
        console().print()
        for words in (f"{MAKE_AHEAD}:", *(f"  {one}" for one in made)):
            paragraph(words)


def printed_list(
    days: Sequence[ListDay],
    currency: str | None,
    width: int,
    *,
    brief: bool = False,
    missing: bool = False,
) -> Iterator[str]:
    """The list, day by day and shop by shop, each with its total and the tax in it.

    Parameters
    ----------
    width : int
        Columns of the screen.
    brief : bool
        What no pack is known of is reported in running text and not line by line.
    missing : bool
        Whether the list is not all there is to buy.
    """
    lines = [line for one in days for line in one.lines]
    shops = [shop for one in days for shop in by_shop(one.lines)]
    columns = _columns([line for _, same in shops for line in same], currency, width)
    names = [*(line.name for line in lines), *((shop or NO_SHOP)[len(BOX) :] for shop, _ in shops)]
    room = _name_width(names, columns, width)
    rows, above = iter(zip(*(cells for _, cells in columns), strict=True)), False
    for one in days:
        if one.day is not None:
            yield from ["", day_words(one.day)] if above else [day_words(one.day)]
            above = True
        yield from _to_do(one.ordered, width)
        for number, (shop, same) in enumerate(by_shop(one.lines)):
            if above and (number or one.day is None or one.ordered):
                yield ""
            above = True
            yield from _headed(shop or NO_SHOP, columns, room, width)
            for line in same:
                yield from _row(BOX, line.name, next(rows), columns, room, width)
                for note in line.notes:
                    yield from _indented(note, width)
            yield _total("Total", same, currency)
        if one.afterwards and (one.ordered or by_shop(one.lines)):
            yield ""
        yield from _to_do(one.afterwards, width)
    if len(shops) > 1:
        yield ""
        everything = [line for _, same in shops for line in same]
        word = "All shops" if len(days) == 1 else "In all"
        yield _total(word, everything, currency, missing=missing)
    if not brief and any(line.more for line in lines):
        yield from lines_of(FOR_MORE_TAKES, width)
    lacking = [line for line in lines if line.lacking]
    if shops and lacking:
        yield ""
    yield from _lacking(lacking, width, brief=brief)


def _to_do(errands: Sequence[Errand], width: int) -> Iterator[str]:
    """Errands to tick, with what else to know of them."""
    for errand in errands:
        words = filter(None, (errand_words(errand), errand.note))
        yield from _ticked(", ".join(words), width)


def _columns(lines: Sequence[ListLine], currency: str | None, width: int) -> Columns:
    """As many columns as fit beside the longest name; what can be spared goes from the right."""
    cells = [
        [line.buy for line in lines],
        [line.each for line in lines],
        [UNKNOWN if line.cost is None else money_text(line.cost, currency) for line in lines],
        [line.needed for line in lines],
        [line.left_over for line in lines],
    ]
    total = money_text(sum((line.cost or Decimal(0) for line in lines), Decimal(0)), currency)
    found = list(zip(HEADINGS, cells, strict=True))
    longest = max((wide(line.name) for line in lines), default=0)
    for spared in ("", "Left over", "Needed", "Price each"):
        found = [(heading, column) for heading, column in found if heading != spared]
        if len(BOX) + longest + _figures(found, total) <= width:
            break
    return found


def _wide(heading: str, cells: Sequence[str], total: str = "") -> int:
    return max(map(wide, (heading, *cells, total if heading == "Cost" else "")))


def _figures(columns: Columns, total: str = "") -> int:
    """Columns of the screen that the figures take."""
    return sum(len(GAP) + _wide(heading, cells, total) for heading, cells in columns)


def _name_width(names: Sequence[str], columns: Columns, width: int) -> int:
    """Columns for a name beside its figures, 0 where too few are left."""
    left = width - len(BOX) - _figures(columns)
    longest = max(map(wide, names), default=0)
    return min(longest, left) if left >= min(NAME_AT_LEAST, longest) else 0


def _headed(shop: str, columns: Columns, names: int, width: int) -> Iterator[str]:
    """The name of a shop, with the headings where they have their columns."""
    if not names:
        yield from lines_of(shop, width)
        return
    heads = "".join(GAP + heading.rjust(_wide(heading, cells)) for heading, cells in columns)
    room = len(BOX) + names
    *above, last = lines_of(shop, room)
    yield from above
    yield _padded(last, room) + heads


def _row(
    mark: str, name: str, cells: Sequence[str], columns: Columns, names: int, width: int
) -> Iterator[str]:
    """A name with its figures; a long one continues below, and where there is no room they do."""
    if not names:
        first, *more = lines_of(name, width - len(mark))
        yield mark + first
        yield from (" " * len(mark) + words for words in more)
        yield from _indented(GAP.join(filter(None, cells)), width)
        return
    figures = "".join(
        GAP + " " * (_wide(heading, column) - wide(cell)) + cell
        for cell, (heading, column) in zip(cells, columns, strict=True)
    )
    first, *more = lines_of(name, names)
    yield (mark + _padded(first, names) + figures).rstrip()
    for words in more:
        yield " " * len(BOX) + words


def _ticked(words: str, width: int) -> Iterator[str]:
    """Words behind a box, those that do not fit below it."""
    first, *more = lines_of(words, width - len(BOX))
    yield BOX + first
    yield from (" " * len(BOX) + line for line in more)


def _padded(text: str, width: int) -> str:
    return text + " " * max(0, width - wide(text))


def _indented(text: str, width: int) -> list[str]:
    indent = " " * (len(BOX) + len(GAP))
    return [indent + words for words in lines_of(text, width - len(indent))]


def _total(
    word: str, lines: Sequence[ListLine], currency: str | None, *, missing: bool = False
) -> str:
    """What lines come to, with the tax in it."""
    unknown = missing or any(line.cost is None for line in lines)
    total = sum((line.cost for line in lines if line.cost is not None), Decimal(0))
    tax = sum((line.tax for line in lines), Decimal(0))
    if unknown and not total:
        return f"{word}: {NOT_KNOWN}"
    said = f", {money_text(tax, currency)} of it tax" if tax else ""
    return f"{word}: {at_least(total, unknown, currency)}{said}"


def _lacking(lines: Sequence[ListLine], width: int, *, brief: bool) -> Iterator[str]:
    """What is not bought, by the reason, with how much is needed."""
    columns: Columns = [("", [line.needed for line in lines])]
    names = _name_width([line.name for line in lines], columns, width)
    for reason, same in _by_reason(lines):
        said = reason[0].upper() + reason[1:]
        if brief or not any(line.needed for line in same):
            words = ", ".join(" ".join(filter(None, (line.name, line.needed))) for line in same)
            first, *more = lines_of(f"{said}: {words}", width - len(BOX))
            yield from (first, *(" " * len(BOX) + line for line in more))
            continue
        yield f"{said}:"
        for line in same:
            yield from _row(BOX, line.name, [line.needed], columns, names, width)
            for note in line.notes:
                yield from _indented(note, width)


def _by_reason(lines: Sequence[ListLine]) -> Iterator[tuple[str, list[ListLine]]]:
    reasons: dict[str, list[ListLine]] = {}
    for line in lines:
        reasons.setdefault(line.lacking, []).append(line)
    yield from reasons.items()
