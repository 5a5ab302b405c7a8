"""From a shoot to its estimate: the whole path on one page."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import date, datetime

from costing.buying.alternatives import Instead, about_measures, effects_of
from costing.buying.books import Books, books_of
from costing.buying.continuing import could_continue, findings_of
from costing.buying.out_of_plan import check_dates
from costing.buying.planning import TIME_LIMIT
from costing.buying.published import FilledShoot, with_published
from costing.buying.published_rows import PackFill, with_days_of_state, with_parts
from costing.buying.takes_left import Outlook
from costing.closing.charge import Charge, about_cash
from costing.closing.closed import Closed, closed
from costing.closing.weighed import about_weighings
from costing.findings import Finding
from costing.holding.explaining import cautions
from costing.holding.statuses import Verdict
from costing.holding.verdicts import judge, judge_ahead
from costing.listing import merged
from costing.report.errands import orders_past
from costing.report.estimates import Estimate
from costing.shoot import Shoot
from costing.shoot.checks import as_meant, check_log_days, check_shoot, without_slips
from costing.shoot.containers import Contents
from costing.shoot.defaults import completed
from costing.shoot.eating import WhoEats
from costing.shoot.planning import plan_holding, without_followers
from costing.shoot.prices import check_price_dates
from costing.shoot.settings import holding_settings
from costing.shoot.standing import check_photo_life, check_standing
from costing.shoot.taken import is_closed, so_far
from costing.shoot.unused import check_unused
from costing.workbook.layout import INPUT_TITLES
from costing.workbook.package.opc import without_collection


@without_collection()
def estimate(
    shoot: Shoot,
    at: datetime | None = None,
    *,
    every_take: bool = False,
    closing: bool = False,
    seconds: float = TIME_LIMIT,
) -> Estimate:
    """Work out a shoot: no files, no network, and no clock but for the limits of searches.

    Parameters
    ----------
    shoot : Shoot
        Read from a workbook or built in code.
    at : datetime, optional
        The instant containers are judged at, a local time of the shoot's zone or one with its
        own offset; by default the last event of the whole log.
    every_take : bool
        Whether one more take of every shot is priced, however long it takes.
    closing : bool
        Whether what happened is set against the plan though nothing says that it is over.
    seconds : float
        Time limit of the search for the cheapest basket; a finding says when it is reached, and
        how far from the cheapest the list may be. [s]

    Returns
    -------
    Estimate
        With the findings of the shoot and its own in the order of the sheets.

    Raises
    ------
    ValueError
        If ``seconds`` is below 0.

    Examples
    --------
    >>> from costing.kitchen import Line, Pack
    >>> from costing.quantities import amount
    >>> from decimal import Decimal
    >>> from costing.shoot import Shot
    >>> shoot = Shoot(
    ...     lines=[Line(dish="toast", ingredient="bread", amount=amount("2 each"))],
    ...     packs=[Pack(ingredient="bread", amount=amount("12 each"), price=Decimal("1.80"))],
    ...     shots=[Shot(dish="toast", times=7)],
    ... )
    >>> estimate(shoot).totals.bought
    Decimal('3.60')
    """
    if seconds < 0:
        raise ValueError(f"found {seconds} seconds, expected 0 or more")
    whole, published, thawing, about_blanks = _filled(shoot)
    books = books_of(published.shoot, every_take=every_take, seconds=seconds)
    continuing = could_continue(books) if shoot.shots else []
    ended = closed(books) if closing or is_closed(books.shoot) else None
    rules = shoot.rules
    contents = Contents(books.shoot)
    containers, holding = contents.classed(), holding_settings(books.shoot.settings)
    verdicts, about_holding = judge(containers, rules, holding, at)
    eating = WhoEats(books.shoot, verdicts, Instead(whole, books).cheapest)
    planned, too_early = plan_holding(books.shoot, containers, rules, holding)
    findings = [
        *check_shoot(shoot),
        *check_photo_life(whole),
        *about_blanks,
        *without_slips(shoot, [*published.findings, *books.findings]),
        *about_measures(whole, books),
        *findings_of(books, continuing, shoot.shots),
        *so_far(books.shoot).findings,
        *check_log_days(books.shoot),
        *eating.findings,
        *(Outlook(books).supplies.findings if shoot.day_log or shoot.counted else ()),
        *check_dates(books.purchases, books.shoot),
        *contents.findings,
        *without_followers(shoot, [*about_holding, *too_early]),
        *check_standing(books.shoot, rules, holding),
        *(_about_closing(ended) if ended else ()),
    ]
    used = {verdict.rule for verdict in verdicts}
    return Estimate(
        books,
        eating,
        tuple(verdicts),
        tuple(merged(shoot.findings, findings, INPUT_TITLES)),
        tuple(cautions([rules[rule] for rule in used if rule in rules])),
        holding.zone,
        tuple(published.fills),
        effects_of(whole, published.fills, books),
        tuple(planned),
        tuple(judge_ahead(containers, rules, holding, at)),
        whole.lines,
        tuple(continuing),
        ended,
        thawing,
    )


def verdicts_by(shoot: Shoot, at: datetime) -> list[Verdict]:
    """The verdicts on the containers of a shoot that was worked out, at an instant."""
    containers, holding = Contents(shoot).classed(), holding_settings(shoot.settings)
    return judge(containers, shoot.rules, holding, at)[0]


def as_of(found: Estimate, today: date) -> Estimate:
    """The same with what the day of asking adds: orders and prices that are of an earlier day."""
    said = [*orders_past(found.errand_list, today), *check_price_dates(found.shoot, today)]
    findings = tuple(merged(found.findings, said, INPUT_TITLES))
    return replace(found, findings=findings) if said else found


def _about_closing(ended: Closed) -> Iterator[Finding]:
    """What is said of a shoot that is closed."""
    yield from ended.findings
    yield from Charge(ended).findings
    yield from about_cash(ended)
    yield from about_weighings(ended)


def books_alone(shoot: Shoot) -> Books:
    """The books of a shoot as :func:`estimate` has them, and nothing else of it."""
    _, published, _, _ = _filled(shoot)
    return books_of(published.shoot)


def _filled(shoot: Shoot) -> tuple[Shoot, FilledShoot, tuple[PackFill, ...], list[Finding]]:
    """The shoot with its blanks filled in, before and with published values; what is said of it.

    Parts come before the days to thaw and the published values, which are of what is bought.
    """
    whole, filled_in = completed(shoot)
    whole, about_parts = with_parts(whole)
    unused = check_unused(as_meant(whole))  # of what was typed: days are filled in below
    whole, thawing, about_thawing = with_days_of_state(whole)
    said = [*unused, *filled_in, *about_parts, *about_thawing]
    return whole, with_published(whole), thawing, said
