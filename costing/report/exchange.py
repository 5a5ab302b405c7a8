"""Results for other programs: JSON with exact numbers as strings, and CSV that runs nothing."""

from __future__ import annotations

import csv
import io
from datetime import date, datetime, timedelta
from decimal import Decimal
from fractions import Fraction
from typing import Any

from costing.buying.books import Books
from costing.buying.sharing import NO_COST, EpisodeCost, by_episode
from costing.quantities import decimal_or_fraction, terminating
from costing.report.tables import Table, Value
from costing.shoot import Episode
from costing.shoot.times import OWN_MOST, percent

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
        "left_complete": not sums.missing,
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
STARTS_A_FORMULA = ("=", "+", "-", "@", "\t", "\r")


def csv_text(table: Table) -> str:
    """The table with its headings, by RFC 4180.

    Numbers have at most six digits after the point; text that begins like a formula is set behind
    an apostrophe.

    Examples
    --------
    >>> from costing.report.tables import Layout, ResultColumn
    >>> layout = Layout("Trial", "", (ResultColumn("Name"), ResultColumn("Amount")))
    >>> csv_text(Table.of(layout, [layout.row(name="=leek", amount=Fraction(20, 3))])).splitlines()
    ['Name,Amount', "'=leek,6.666667"]
    """
    out = io.StringIO()
    writer = csv.writer(out)
    writer.writerow([column.heading for column in table.layout.columns])
    for row in table.rows:
        writer.writerow([_field(plain(value), value) for value in row.values()])
    return out.getvalue()


def _field(text: object, value: object) -> str:
    if text is None:
        return ""
    if isinstance(value, Fraction) and terminating(value) is None:
        return format(round(Decimal(value.numerator) / value.denominator, DIGITS), "f")
    if isinstance(value, str) and value.startswith(STARTS_A_FORMULA):
        return "'" + value
    return str(text)
