"""Results for other programs: JSON with exact numbers as strings, CSV that runs nothing, frames.

The only door of pandas, which is imported when the first frame is asked for.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Sequence
from datetime import date, datetime, timedelta
from decimal import Decimal
from fractions import Fraction
from html import escape
from typing import TYPE_CHECKING, Any

from costing.buying.books import Books
from costing.buying.sharing import NO_COST, EpisodeCost, by_episode
from costing.quantities import decimal_or_fraction, terminating
from costing.report.shop_words import quantity
from costing.report.shopping_list import ListLine
from costing.report.tables import Table, Value, ValueKind
from costing.shoot import Episode
from costing.shoot.times import OWN_MOST, percent

if TYPE_CHECKING:
    import pandas as pd

JSON_DIGITS = 4
"""Digits after the point of a percentage for other programs."""

Plain = str | int | bool | None


def plain(value: Value) -> Plain:
    """One value in the form JSON carries it.

    Examples
    --------
    >>> plain(Fraction(20, 3)), plain(Decimal("38.60")), plain(timedelta(hours=2, minutes=15))
    ('20/3', '38.60', 'PT2H15M')
    """
    if isinstance(value, Decimal):
        return format(value, "f")
    if isinstance(value, Fraction):
        return decimal_or_fraction(value)
    if isinstance(value, timedelta):
        return duration(value)
    if isinstance(value, datetime):
        return value.isoformat(timespec="seconds")
    if isinstance(value, date):
        return value.isoformat()
    return value


def duration(value: timedelta) -> str:
    """A span of time by ISO 8601, in hours, minutes and seconds.

    Examples
    --------
    >>> duration(timedelta(days=1, hours=1)), duration(timedelta(0))
    ('PT25H', 'PT0M')
    """
    minutes, seconds = divmod(int(value.total_seconds()), 60)
    hours, minutes = divmod(minutes, 60)
    parts = [f"{n}{sign}" for n, sign in ((hours, "H"), (minutes, "M"), (seconds, "S")) if n]
    return "PT" + ("".join(parts) or "0M")


def rows(table: Table) -> list[dict[str, Plain]]:
    """A table's rows with the headings in snake_case as keys."""
    return [{key: plain(value) for key, value in row.items()} for row in table.rows]


def totals(books: Books) -> dict[str, Any]:
    """The figures of the whole shoot and of each episode."""
    settings, sums = books.shoot.settings, books.totals
    names = ("bought", "used", "left", "tax", "on_hand_used", "visits", "paid")
    of_episode = by_episode(books.shares, sums)
    episodes = {
        episode.name: _episode(episode, of_episode.get(episode.name, NO_COST), books)
        for episode in books.shoot.episodes
    }
    return {name: plain(getattr(sums, name)) for name in names} | {
        "budget": plain(settings.budget),
        "bought_complete": not sums.bought_missing,
        "used_complete": not sums.used_missing,
        "left_complete": not sums.left_missing,
        "missing": list(sums.missing),
        "chance_of_running_out": _chance(books),
        "chance_is": OWN_MOST,
        "episodes": episodes,
    }


def _episode(episode: Episode, cost: EpisodeCost, books: Books) -> dict[str, Any]:
    """The figures of an episode, with what they leave out."""
    figures: dict[str, Any] = {
        "title": episode.title,
        "used": plain(cost.used),
        "share_of_bought": plain(cost.bought),
        "share_of_visits": plain(cost.visits),
    }
    if missing := books.left_out_of(episode.name):
        figures |= {"complete": False, "missing": list(missing)}
    return figures


def _chance(books: Books) -> Plain:
    """The chance of running out in percent; ``None`` when it is not known."""
    chance = books.caution.chance_of_running_out if books.caution else None
    return None if chance is None else plain(percent(chance, up=True, digits=JSON_DIGITS))


def times(books: Books) -> list[dict[str, Plain]]:
    """One object for each uncertain shot."""
    return [
        {
            "shot": take.shot.label,
            "times": take.shot.times,
            "covered": take.covered,
            "chance_enough": plain(percent(take.chance_enough, digits=JSON_DIGITS)),
            "one_more_costs": plain(take.one_more),
        }
        for take in (books.caution.takes if books.caution else ())
        if take.chance_enough is not None
    ]


def points(books: Books) -> list[dict[str, Plain]]:
    """One object for each efficient point of cost against chance of running out."""
    efficient = books.caution.points[0] if books.caution else []
    return [
        {
            "chance_of_running_out": plain(
                percent(point.chance_of_running_out, up=True, digits=JSON_DIGITS)
            ),
            "bought": plain(point.bought),
        }
        for point in efficient
    ]


DIGITS = 6
"""Behind the point of a fraction without an end, for programs that know decimals alone."""
STARTS_A_FORMULA = ("=", "+", "-", "@", "\t", "\r")


def csv_text(table: Table) -> str:
    """The table with its headings, by RFC 4180.

    Numbers have at most six digits after the point; text that begins like a formula is set behind
    an apostrophe.

    Examples
    --------
    >>> from costing.report.tables import Layout, ResultColumn
    >>> layout = Layout("Trial", "", (ResultColumn("Name"), ResultColumn("Amount")))
    >>> csv_text(layout.table([layout.row(name="=leek", amount=Fraction(20, 3))])).splitlines()
    ['Name,Amount', "'=leek,6.666667"]
    """
    out = io.StringIO()
    writer = csv.writer(out)
    writer.writerow([column.heading for column in table.layout.columns])
    for row in table.rows:
        writer.writerow([_field(plain(value), value) for value in row.values()])
    return out.getvalue()


def _field(text: object, value: object) -> str:
    if isinstance(value, Fraction) and terminating(value) is None:
        return format(round(Decimal(value.numerator) / value.denominator, DIGITS), "f")
    if isinstance(value, str) and value.startswith(STARTS_A_FORMULA):
        return "'" + value
    return "" if text is None else str(text)


IN_MONEY = frozenset({ValueKind.MONEY, ValueKind.PRICE})
NUMBERS = IN_MONEY | {ValueKind.COUNT, ValueKind.QUANTITY, ValueKind.PERCENT}
DATES = frozenset({ValueKind.DATE, ValueKind.INSTANT})


def frame(table: Table) -> pd.DataFrame:
    """A result table as a frame.

    One column for each heading in snake_case; exact numbers stay ``Fraction``, ``Decimal`` and
    ``int`` objects, what is blank is ``None``.
    """
    import pandas as pd  # here only: no command needs it, and it takes longer than most of them

    keys = [column.key for column in table.layout.columns]
    return pd.DataFrame([dict(row) for row in table.rows], columns=keys, dtype=object)


def plotting_frame(table: Table, *, currency: str | None) -> pd.DataFrame:
    """A result table as a frame of the types that plots and statistics take.

    It has the columns of :func:`frame`: numbers as floats, dates and instants as datetimes, times
    as timedeltas, what is unknown as NaN or NaT. Where there is money or a mixed value, a column
    ``unit`` or ``currency`` behind says what it counts in.
    """
    import pandas as pd  # as above

    exact = frame(table)
    typed = exact.copy()
    for column in table.layout.columns:
        values = exact[column.key]
        if column.kind in NUMBERS:
            typed[column.key] = pd.to_numeric(values.map(_number), errors="coerce").astype(float)
        elif column.kind in DATES:
            typed[column.key] = pd.to_datetime(values)
        elif column.kind is ValueKind.DURATION:
            typed[column.key] = pd.to_timedelta(values)
        elif column.kind is ValueKind.MIXED:
            typed[column.key] = values.map(_number)
            labels = exact[table.layout.columns[0].key]
            typed["unit"] = [
                _unit(str(label), value, currency)
                for label, value in zip(labels, values, strict=True)
            ]
    if "currency" not in typed and any(one.kind in IN_MONEY for one in table.layout.columns):
        typed["currency"] = currency
    return typed


def _number(value: Value) -> object:
    """A float where there is a number; a text stays one."""
    return value if value is None or isinstance(value, str) else float(value)  # type: ignore[arg-type]


def _unit(label: str, value: Value, currency: str | None) -> str | None:
    """What a figure of mixed kinds counts in."""
    if isinstance(value, Decimal):
        return currency
    return "%" if "%" in label and not isinstance(value, str) else None


def notebook_html(
    headline: str, summary: Table, lines: Sequence[ListLine], *, currency: str | None
) -> str:
    """The headline, the main figures and the shopping list as HTML without style or script.

    ``lines``: what to buy, as somebody in a shop reads it.
    """
    money = f" {currency}" if currency else ""
    figures = [
        (row["figure"], row["value"], row["note"]) for row in summary.rows if row["value"] != ""
    ]
    bought = [
        (line.shop, line.name, line.buy or line.lacking, _money(line.cost, money), line.needed)
        for line in lines
    ]
    return (
        f"<p>{escape(headline)}</p>"
        + _table(("Figure", "Value", "Note"), figures)
        + _table(("Shop", "Ingredient", "Buy", "Cost", "Needed"), bought)
    )


def _money(value: Value, behind: str) -> str:
    return "not known" if value is None else f"{value}{behind}"


def _table(headings: Sequence[str], rows: Sequence[Sequence[Value]]) -> str:
    """A table; nothing where there is no row."""
    if not rows:
        return ""
    head = "".join(f"<th>{escape(heading)}</th>" for heading in headings)
    body = "".join(
        "<tr>" + "".join(f"<td>{escape(_text(value))}</td>" for value in row) + "</tr>"
        for row in rows
    )
    return f"<table><thead><tr>{head}</tr></thead><tbody>{body}</tbody></table>"


def _text(value: Value) -> str:
    if isinstance(value, Fraction):
        return quantity(value, "").strip()
    return "" if value is None else str(value)
