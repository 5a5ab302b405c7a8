"""A season: what the episodes of a folder of workbooks cost, one after the other."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from fractions import Fraction
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING

from costing.buying.books import Books
from costing.buying.sharing import EpisodeCost, by_episode
from costing.buying.till import money_digits
from costing.closing.charge import not_counted, rows_not_read
from costing.closing.closed import closed
from costing.closing.differences import shown_differences
from costing.estimating import books_alone
from costing.past import NotRead, told_of_each
from costing.quantities import ONE, ZERO, exact_money, share_out
from costing.report.tables import Layout, ResultColumn, Row, Table, ValueKind, snake_case
from costing.shoot import Purpose, Shoot
from costing.shoot.taken import is_closed

if TYPE_CHECKING:
    import pandas as pd

TEXT, LONG_TEXT, DATE, COUNT = ValueKind.TEXT, ValueKind.LONG_TEXT, ValueKind.DATE, ValueKind.COUNT
MONEY, PRICE, QUANTITY = ValueKind.MONEY, ValueKind.PRICE, ValueKind.QUANTITY

_WHOSE = (
    ResultColumn("Shoot date", "Of the episode; blank where it says none.", DATE, 12),
    ResultColumn("Episode", "Its name.", TEXT, 24),
    ResultColumn("Workbook", "Where it stands, from the folder.", TEXT, 30),
    ResultColumn("Currency", "Of its money; blank where it says none.", TEXT, 10),
)
SEASON = Layout(
    "Season",
    "One row for each episode, by currency and date.",
    (
        *_WHOSE,
        ResultColumn("Used value", "What its food is worth by the plan.", MONEY, 12),
        ResultColumn("Actual", "The same by receipts and what was counted.", MONEY, 12),
        ResultColumn("Paid", "By the plan: its share of packs, visits and deliveries.", MONEY, 12),
        ResultColumn("Portions", "As its workbook says.", QUANTITY, 10),
        ResultColumn("Minutes", "As its workbook says.", QUANTITY, 10),
        ResultColumn("Used per portion", "Used value by portions.", PRICE, 12),
        ResultColumn("Used per minute", "Used value by minutes.", PRICE, 12),
        ResultColumn("Actual per portion", "Actual by portions.", PRICE, 12),
        ResultColumn("Actual per minute", "Actual by minutes.", PRICE, 12),
        ResultColumn("Paid per portion", "Paid by portions.", PRICE, 12),
        ResultColumn("Paid per minute", "Paid by minutes.", PRICE, 12),
        ResultColumn("Leaves out", "What the values do not take in.", LONG_TEXT, 40),
        ResultColumn(
            "Not in Actual",
            "What the receipts do not say.",
            LONG_TEXT,
            40,
        ),
    ),
)
FIGURES = Layout(
    "Figures",
    "One row for each figure of the season, over the episodes whose values leave nothing out.",
    (
        ResultColumn("Figure", "Of an episode.", TEXT, 26),
        ResultColumn("Currency", "Of the money.", TEXT, 10),
        ResultColumn("Episodes", "How many have it.", COUNT, 10),
        ResultColumn("Median", "As many cost less as cost more.", PRICE, 12),
        ResultColumn("Least", "Of one episode.", PRICE, 12),
        ResultColumn("Most", "Of one episode.", PRICE, 12),
        ResultColumn("Median in", "The episode, or the two in the middle.", LONG_TEXT, 40),
        ResultColumn("Least in", "Which episode of which workbook.", LONG_TEXT, 40),
        ResultColumn("Most in", "Which episode of which workbook.", LONG_TEXT, 40),
    ),
)


FIGURE_NAMES = (
    *("Used value", "Actual", "Paid"),
    *(f"{name} per {by}" for by in ("portion", "minute") for name in ("Used", "Actual", "Paid")),
)
"""Figures of an episode, in their order; those by purpose come behind."""


@dataclass(frozen=True, slots=True)
class PastEpisode:
    """What one episode cost.

    Parameters
    ----------
    used, paid : Decimal, optional
        Both by the plan: used value, and its share of packs, visits and deliveries; ``None``:
        nothing of it is known. [money]
    actual : Decimal, optional
        Used value by receipts and what was counted; ``None``: not closed, or not known. [money]
    by_purpose : dict of str to Decimal
        Used value by what its shots are for. [money]
    left_out : tuple of str
        What the values do not take in.
    not_in_actual : tuple of str
        What of the receipts is in no actual value, as it cannot be read or does not stand there.
    """

    workbook: str
    name: str
    day: date | None
    currency: str | None
    used: Decimal | None
    actual: Decimal | None
    paid: Decimal | None
    by_purpose: dict[str, Decimal]
    portions: Fraction | None
    minutes: Fraction | None
    left_out: tuple[str, ...] = ()
    not_in_actual: tuple[str, ...] = ()

    def __str__(self) -> str:
        return f"{self.name} ({self.workbook})"


def figures_of(one: PastEpisode) -> dict[str, Fraction]:
    """What is told of an episode, exact, by its name; without what its workbook does not say."""
    values = {"Used value": one.used, "Actual": one.actual, "Paid": one.paid}
    found = {name: exact_money(value) for name, value in values.items() if value is not None}
    for by, number in (("portion", one.portions), ("minute", one.minutes)):
        if number:
            found |= {
                f"{name.removesuffix(' value')} per {by}": found[name] / number
                for name in values
                if name in found
            }
    return found


Known = tuple[Fraction, PastEpisode]
"""A figure with the episode it is of."""


@dataclass(frozen=True)
class Season:
    """What the episodes of a folder of workbooks cost.

    ``episodes``: by currency and date; those without a date last.
    """

    episodes: tuple[PastEpisode, ...]
    workbooks: int
    not_read: tuple[NotRead, ...] = ()

    @cached_property
    def tables(self) -> dict[str, Table]:
        """Its tables by key: the episodes, the same by purpose, and the figures over them."""
        made = (
            Table.grouped(SEASON, ([_row(one) for one in several] for several in self.by_currency)),
            self._by_purpose,
            Table.grouped(FIGURES, (list(_figures(several)) for several in self.by_currency)),
        )
        return {table.layout.key: table for table in made}

    @property
    def by_currency(self) -> list[tuple[PastEpisode, ...]]:
        """The episodes of each currency: money of two is never added up nor compared."""
        currencies = dict.fromkeys(one.currency for one in self.episodes)
        return [
            tuple(one for one in self.episodes if one.currency == currency)
            for currency in currencies
        ]

    @property
    def _by_purpose(self) -> Table:
        """Used value of each episode with a column for each purpose of any."""
        used = [
            str(purpose)
            for purpose in Purpose
            if any(str(purpose) in one.by_purpose for one in self.episodes)
        ]
        columns = tuple(
            ResultColumn(name.capitalize(), "Used value by the plan.", MONEY, 12) for name in used
        )
        layout = Layout("By purpose", "Used value of each episode by purpose.", (*_WHOSE, *columns))
        keys = [column.key for column in columns]
        return layout.table(
            layout.row(
                **_whose(one),
                **dict(zip(keys, (one.by_purpose.get(name) for name in used), strict=True)),
            )
            for one in self.episodes
        )

    def frame(self, name: str = "season") -> pd.DataFrame:
        """A table for plots and statistics.

        ``name``: ``"season"``, ``"by_purpose"`` or ``"figures"``.

        Returns
        -------
        pandas.DataFrame
            Numbers as floats, dates as datetimes, what is unknown as NaN or NaT.
        """
        from costing.report.exchange import plotting_frame

        if name not in self.tables:
            raise KeyError(f"there is no table {name!r}; there are {', '.join(self.tables)}")
        return plotting_frame(self.tables[name], currency=None)


def season(folder: str | Path) -> Season:
    """What the episodes of the workbooks of a folder cost, each worked out by its own plan.

    ``folder``: with workbooks; those in folders in it count too. What cannot be read is named.

    Returns
    -------
    Season
        Its tables, and frames of them.

    Examples
    --------
    >>> import tempfile
    >>> import costing
    >>> toast = costing.Shoot(
    ...     lines=[costing.Line(dish="toast", ingredient="bread", amount="2 each")],
    ...     packs=[costing.Pack(ingredient="bread", amount="12 each", price="1.80")],
    ...     shots=[costing.Shot(dish="toast", times=3)],
    ... )
    >>> with tempfile.TemporaryDirectory() as folder:
    ...     costing.write_workbook(Path(folder, "toast.xlsx"), toast)
    ...     found = season(folder)
    >>> [float(used) for used in found.frame()["used_value"]]
    [0.9]
    """
    found, not_read = told_of_each(
        Path(folder), lambda one: list(episodes_of(one.shoot, one.workbook))
    )
    episodes = [episode for one in found for episode in one]
    episodes.sort(key=lambda one: (one.currency or "", one.day or date.max, one.workbook))
    return Season(tuple(episodes), len(found), not_read)


def episodes_of(shoot: Shoot, workbook: str = "") -> Iterator[PastEpisode]:
    """What each episode of a shoot costs that takes food."""
    books = books_alone(shoot)
    costs = by_episode(books.shares, books.totals)
    actual, not_in_actual = _actual(books, costs)
    for episode in books.shoot.episodes:
        cost = costs.get(episode.name)
        if cost is None:
            continue
        purposes: dict[str, Decimal] = {}
        for share in cost.shares:
            purposes[share.purpose] = purposes.get(share.purpose, Decimal(0)) + share.used
        left_out = books.left_out_of(episode.name)
        # where something is left out a sum of nothing is no cost of nothing: it is not known
        used, paid = (None if left_out and not sum_ else sum_ for sum_ in (cost.used, cost.paid))
        yield PastEpisode(
            workbook,
            episode.title or episode.name,
            episode.shoot_date,
            books.shoot.settings.currency,
            used,
            actual.get(episode.name),
            paid,
            {purpose: value for purpose, value in purposes.items() if value or not left_out},
            episode.portions,
            episode.minutes,
            left_out,
            not_in_actual,
        )


def _actual(
    books: Books, costs: Mapping[str, EpisodeCost]
) -> tuple[dict[str, Decimal | None], tuple[str, ...]]:
    """Used value of each episode by receipts and counts, as Differences shows it.

    With it what the receipts do not say. Nothing of a shoot that is not closed. What was
    bought that no episode of several planned is shared by their used values by the plan, so that
    the episodes add up to what the shoot used.
    """
    if not is_closed(books.shoot):
        return {}, tuple(rows_not_read(books.shoot))
    done = closed(books)
    rows = shown_differences(done)
    by_plan = [exact_money(cost.used) for cost in costs.values()]
    weights = by_plan if any(by_plan) else [ONE] * len(costs)
    unplanned = (row.actual for row in rows if row.actual is not None and not row.episode)
    nobodys = sum(unplanned, Decimal(0))
    shares = share_out(nobodys, weights, money_digits(books.shoot.settings)) if costs else ()
    actual = {
        name: None if None in values else sum(filter(None, values), share)
        for name, share in zip(costs, shares, strict=True)
        if (values := [row.actual for row in rows if row.episode == name])
    }
    return actual, (*not_counted(done), *(f"how much {name} was bought" for name in done.unclear))


def _whose(one: PastEpisode) -> Row:
    return {
        "shoot_date": one.day,
        "episode": one.name,
        "workbook": one.workbook,
        "currency": one.currency,
    }


def _row(one: PastEpisode) -> Row:
    shown = {snake_case(name): value for name, value in figures_of(one).items() if " per " in name}
    return SEASON.row(
        **_whose(one),
        used_value=one.used,
        actual=one.actual,
        paid=one.paid,
        portions=one.portions,
        minutes=one.minutes,
        **shown,
        leaves_out="; ".join(one.left_out),
        not_in_actual="; ".join(one.not_in_actual),
    )


def _figures(episodes: Sequence[PastEpisode]) -> Iterator[Row]:
    """Median and range of each figure, with the episodes behind them."""
    told: dict[str, list[Known]] = {}
    for one in episodes:
        if one.left_out:
            continue
        by_purpose = {f"Used value, {name}": exact_money(v) for name, v in one.by_purpose.items()}
        for name, value in (figures_of(one) | by_purpose).items():
            if not (one.not_in_actual and name.startswith("Actual")):
                told.setdefault(name, []).append((value, one))
    names = [*FIGURE_NAMES, *(f"Used value, {purpose}" for purpose in Purpose)]
    for name in names:
        known = sorted(told.get(name, ()), key=lambda pair: pair[0])
        if known:
            (least, cheapest), (most, dearest) = known[0], known[-1]
            yield FIGURES.row(
                figure=name,
                currency=cheapest.currency,
                episodes=len(known),
                median=sum((value for value, _ in _middle(known)), ZERO) / 2,
                least=least,
                most=most,
                median_in="; ".join(dict.fromkeys(str(one) for _, one in _middle(known))),
                least_in=str(cheapest),
                most_in=str(dearest),
            )


def _middle(known: Sequence[Known]) -> tuple[Known, Known]:
    """The two of a rising sequence between which as many lie below as above, or twice the one."""
    return known[(len(known) - 1) // 2], known[len(known) // 2]
