"""Small shoots in few words, for tests that change one thing at a time."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from decimal import Decimal
from fractions import Fraction
from typing import Any

from costing.buying.books import Books, books_of
from costing.buying.shopping import Purchase
from costing.buying.values import Values
from costing.findings import Finding, Row
from costing.holding.models import Container
from costing.kitchen import CountedLot, Dish, Ingredient, Line, Lot, Pack, Part, ReceiptLine, Shop
from costing.names import key
from costing.quantities import amount
from costing.shoot import Episode, Settings, Shoot, Shot
from costing.shoot.checks import check_shoot
from costing.shoot.defaults import completed
from costing.shoot.episodes import Logged, Trip

PARTS: dict[type[Any], str] = {
    Ingredient: "ingredients",
    Pack: "packs",
    Lot: "lots",
    Shop: "shops",
    Dish: "dishes",
    Line: "lines",
    Episode: "episodes",
    Shot: "shots",
    Container: "containers",
    Part: "parts",
    Trip: "trips",
    ReceiptLine: "receipts",
    CountedLot: "counted",
    Logged: "day_log",
}


def may(day: int) -> date:
    """A day of May 2031."""
    return date(2031, 5, day)


def line(dish: str, ingredient: str, text: str | None, **more: Any) -> Line:
    """A recipe line; ``None`` leaves the amount blank."""
    return Line(
        dish=dish, ingredient=ingredient, amount=None if text is None else amount(text), **more
    )


BREAD = (
    line("bread", "strong white flour", "500 g"),
    line("bread", "water", "300 ml"),
    line("bread", "seeds", "20 g", step=2),
    Shot(dish="bread"),
)


def pack(ingredient: str, text: str, price: str | None, **more: Any) -> Pack:
    """A row of Packs; ``loose`` is the loose step, ``None`` leaves the price blank."""
    loose = more.pop("loose", None)
    return Pack(
        ingredient=ingredient,
        amount=amount(text),
        price=None if price is None else Decimal(price),
        loose_step=None if loose is None else amount(loose),
        **more,
    )


def lot(ingredient: str, text: str | None, **more: Any) -> Lot:
    """A lot on hand; ``None`` leaves the amount blank."""
    return Lot(ingredient=ingredient, amount=None if text is None else amount(text), **more)


def part(article: str, name: str, text: str, *, of: str = "1 each", **more: Any) -> Part:
    """A row of Parts: what an article gives of one part."""
    return Part(ingredient=article, amount=amount(of), name=name, part_amount=amount(text), **more)


def paid(ingredient: str, money: str, **more: Any) -> ReceiptLine:
    """A line of a receipt; without an ingredient a cost of its own."""
    return ReceiptLine(
        **({"receipt": "R1", "shop": "Corner"} | more), ingredient=ingredient, paid=money
    )


def sound(name: str, **more: Any) -> Ingredient:
    """An ingredient of which nothing is trimmed away, unless said otherwise."""
    return Ingredient(name=name, **({"trim_yield": Fraction(1)} | more))


def shoot_of(*parts: Any, **settings: Any) -> Shoot:
    """A shoot of these rows, in this order."""
    grouped: dict[str, list[Any]] = {name: [] for name in PARTS.values()}
    for part in parts:
        grouped[PARTS[type(part)]].append(part)
    return Shoot(settings=Settings(**settings), **grouped)


def books(*parts: Any, **settings: Any) -> Books:
    """The books of a shoot of these rows."""
    return books_of(completed(shoot_of(*parts, **settings))[0])


def books_of_shoot(shoot: Shoot) -> Books:
    """The books of a shoot, its episodes and shots filled in first."""
    return books_of(completed(shoot)[0])


def purchase(of: Books, name: str) -> Purchase:
    """What is bought of one ingredient."""
    return next(p for p in of.purchases if key(p.need.ingredient.name) == key(name))


def value(of: Books, name: str) -> Values:
    """What one ingredient is worth."""
    names = [key(p.need.ingredient.name) for p in of.purchases]
    return of.values[names.index(key(name))]


def basket(of: Books, name: str) -> dict[str, int]:
    """How many packs, or loose steps, of which amount are bought."""
    return {str(b.pack.unit_amount): b.count for b in purchase(of, name).lines}


def all_findings(shoot: Shoot) -> list[Finding]:
    """What is said of a shoot that was built in code, containers left aside."""
    whole, filled_in = completed(shoot)
    return [*check_shoot(shoot), *filled_in, *books_of(whole).findings]


def said(shoot: Shoot, code: str) -> list[str]:
    """The whole text of each finding of one code, each once."""
    texts = [str(finding) for finding in all_findings(shoot) if finding.code == code]
    return list(dict.fromkeys(texts))


def codes(findings: Sequence[Finding]) -> list[str]:
    """The codes of findings, in their order."""
    return [finding.code for finding in findings]


def row(sheet: str, number: int, name: str, **columns: str) -> Row:
    """A row of a sheet; column letters by heading, low lines for the blanks of a heading."""
    return Row(
        sheet, number, name, {heading.replace("_", " "): c for heading, c in columns.items()}
    )
