"""The rows of the input sheets for a shoot, each cell as the layout declares it.

Of a new workbook they may be taken over from an older one, for the same ingredients.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from fractions import Fraction
from typing import Any

from pydantic import BaseModel

from costing.holding.models import Container, Temperature
from costing.kitchen import Pack
from costing.names import key, singular
from costing.quantities import Amount, decimal_or_mixed, terminating
from costing.shoot import Settings, Shoot
from costing.shoot.shots import steps_words
from costing.workbook.layout import (
    AMOUNTS,
    INPUT_SHEETS,
    PERCENTS,
    SETTINGS,
    SETTINGS_SHEET,
    UNITS,
    CellKind,
    Column,
    Sheet,
)
from costing.workbook.template.cells import Row, Value

SEMICOLONS = frozenset({CellKind.NAMES, CellKind.EATERS})
"""Kinds of cells with semicolons between their parts; all others have commas."""


def rows_of(shoot: Shoot) -> dict[str, list[Row]]:
    """The rows of each input sheet that has something to say, by its title.

    Raises
    ------
    ValueError
        If a value is none that a cell can say, such as a third of a degree.
    """
    filled: dict[str, list[Row]] = {}
    for sheet in INPUT_SHEETS:
        if sheet is SETTINGS_SHEET:
            filled[sheet.title] = _settings(shoot.settings)
        elif rows := [_row(sheet, about) for about in _told(getattr(shoot, sheet.kept_as))]:
            filled[sheet.title] = rows
    return filled


def _told(models: Iterable[BaseModel]) -> Iterable[Sequence[BaseModel]]:
    """What each row tells of: one model, or an event of a container, the first with the container.

    The name of a container carries down, so that later rows hold their event alone.
    """
    for model in models:
        if isinstance(model, Container) and model.events:
            yield model, model.events[0]
            yield from ((event,) for event in model.events[1:])
        else:
            yield (model,)


def _row(sheet: Sheet, about: Sequence[BaseModel]) -> Row:
    """The cells of a row, those that may stay blank because they say what a blank says left out."""
    row: dict[str, Any] = {}
    for column in sheet.columns:
        model = next((one for one in about if column.field in type(one).model_fields), None)
        if model is None:
            continue
        value = getattr(model, column.field)
        is_default = all(
            getattr(model, field) == type(model).model_fields[field].default
            for field in filter(None, (column.field, column.other))
        )
        # a blank cell of a column that carries down says what is above it
        if column.kind in AMOUNTS or column.carries_down or not is_default:
            row[column.heading] = _cell(model, column, value)
    return row


def _settings(settings: Settings) -> list[Row]:
    """A row for each setting that was given, or is not as it is when nothing is given."""
    rows: list[Row] = []
    for setting in SETTINGS:
        value = getattr(settings, setting.field)
        given = setting.heading in settings.places or setting.field in settings.model_fields_set
        is_default = value == Settings.model_fields[setting.field].default
        if value is not None and (given or not is_default):
            rows.append({"Setting": setting.heading, "Value": _cell(settings, setting, value)})
    return rows


def _cell(model: BaseModel, column: Column, value: Any) -> Value:
    """A value as it is written into a cell of its kind."""
    if column.kind in AMOUNTS:
        return _amount(model, column, value)
    if column.other and (other := getattr(model, column.other)):
        if column.kind is CellKind.CANDIDATES:
            return f"{decimal_or_mixed(other * 100)} %"
        value = other if column.kind is CellKind.EATERS else (value, *other)
    if value is None or value == "":
        return None
    if column.kind in UNITS:
        return str(value.unit.name)
    if isinstance(value, Amount):  # a loose step counts in the unit of its amount
        return value.to(model.amount.unit).magnitude  # type: ignore[attr-defined]
    if column.kind in PERCENTS:
        return _percent(value)
    if column.kind is CellKind.STEPS:
        if not value:
            raise ValueError("a cell cannot say that a shot takes no step: a blank one takes all")
        return steps_words(value)
    if isinstance(value, tuple):
        between = "; " if column.kind in SEMICOLONS or column.field == "holds" else ", "
        return between.join(map(_part_text, value)) or "none"
    if isinstance(value, Temperature):
        return _degrees(value)
    if isinstance(value, datetime) and value.tzinfo is not None:
        return value.isoformat(" ")
    return value  # type: ignore[no-any-return]


def _amount(model: BaseModel, column: Column, value: Amount | None) -> Value:
    """A number, a range, a word that stands for one, or nothing."""
    if column.word and getattr(model, column.other):
        return column.word
    if value is None:
        return None
    low: Amount | None = getattr(model, column.lower_end) if column.lower_end else None
    if low is None or low == value:
        return value.magnitude
    ends = (low.to(value.unit).magnitude, value.magnitude)
    return "-".join(map(decimal_or_mixed, ends))


def _percent(value: Fraction) -> Value:
    """A percent; a small one has its sign, as 0.5 may be meant for a half."""
    percent = value * 100
    if 0 < percent <= 1:
        return f"{decimal_or_mixed(percent)} %"
    return percent


def _part_text(part: object) -> str:
    return decimal_or_mixed(part) if isinstance(part, Fraction) else str(part)


def _degrees(temperature: Temperature) -> str:
    if terminating(temperature.value) is None:
        raise ValueError(f"a cell cannot say {temperature}: a temperature has an end")
    return f"{decimal_or_mixed(temperature.value)} {temperature.unit}"


OF_ONE_SHOOT = frozenset(("Title", "Shopping date", "Budget", "Cash float", "Cash counted"))
"""Settings that another shoot has of its own."""

TAKEN_WHOLE = ("People",)
"""Sheets that are taken as they are."""

OF_INGREDIENTS = ("Packs", "Ingredients")
"""Sheets of which the rows of the same ingredients are taken."""


@dataclass(frozen=True, slots=True)
class TakenOver:
    """What was taken from an older workbook.

    Parameters
    ----------
    priced : tuple of str
        Ingredients that have a pack with a price in it.
    dated : int
        How many prices got the day of the older shoot, as none stood beside them.
    supplied : int
        Rows that were left there, as they were given free for that shoot.
    """

    rows: dict[str, list[dict[str, Any]]]
    priced: tuple[str, ...] = ()
    dated: int = 0
    supplied: int = 0
    unread: tuple[str, ...] = ()


def price_day(book: Shoot, saved: date) -> date:
    """The day from which prices without one of their own are: of shopping, else of saving.

    ``saved``: when its workbook was last written.
    """
    return min(book.shopping_date or saved, saved)


def taken_over(book: Shoot, names: Collection[str], *, day: date) -> TakenOver:
    """Rows for the ingredients of a new shoot from an older one.

    A name is the same in singular and plural; the rows get the spelling of the new shoot.

    ``day``: of prices that have none.
    """
    spelled = {_single(name): name for name in names}
    packs = [pack for pack in book.packs if _single(pack.ingredient) in spelled]
    dated = [pack for pack in packs if pack.price is not None and pack.price_date is None]
    kept = [_for(pack, spelled, day) for pack in packs if not pack.supplied]
    known = [
        one.model_copy(update={"name": spelled[_single(one.name)]})
        for one in book.ingredients
        if _single(one.name) in spelled
    ]
    sold_by = {key(pack.shop) for pack in kept}
    older = book.changed(
        packs=kept,
        ingredients=known,
        shops=[shop for shop in book.shops if key(shop.name) in sold_by],
    )
    rows = {title: [dict(row) for row in found] for title, found in rows_of(older).items()}
    wanted = ("Packs", "Ingredients", "Shops", *TAKEN_WHOLE)
    taken = {title: rows[title] for title in wanted if rows.get(title)}
    taken[SETTINGS_SHEET.title] = [
        row for row in rows[SETTINGS_SHEET.title] if row["Setting"] not in OF_ONE_SHOOT
    ]
    return TakenOver(
        taken,
        tuple(dict.fromkeys(pack.ingredient for pack in kept if pack.price is not None)),
        sum(not pack.supplied for pack in dated),
        len(packs) - len(kept),
        tuple(left.what for left in book.left_out if left.sheet == "Packs"),
    )


def _single(name: str) -> str:
    return key(singular(name))


def _for(pack: Pack, spelled: Mapping[str, str], day: date) -> Pack:
    """A pack under the new shoot's name, its price with a day."""
    seen = pack.price_date or (day if pack.price is not None else None)
    return pack.model_copy(
        update={"ingredient": spelled[_single(pack.ingredient)], "price_date": seen}
    )


def filled_in(
    rows: Mapping[str, Sequence[dict[str, Any]]], taken: TakenOver
) -> dict[str, list[dict[str, Any]]]:
    """The rows of a new workbook, with those taken over in the place of bare names."""
    filled = {title: list(found) for title, found in rows.items()}
    for title in OF_INGREDIENTS:
        by_name: dict[str, list[dict[str, Any]]] = {}
        for row in taken.rows.get(title, ()):
            by_name.setdefault(key(str(row["Ingredient"])), []).append(row)
        filled[title] = [
            one
            for bare in filled.get(title, ())
            for one in by_name.get(key(str(bare["Ingredient"])), [bare])
        ]
    for title, found in taken.rows.items():
        if title not in OF_INGREDIENTS:
            filled[title] = list(found)
    return filled
