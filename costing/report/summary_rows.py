"""Rows of Summary: the figures a person looks for first."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from decimal import Decimal

from costing.buying.books import Books
from costing.buying.sharing import NO_COST, EpisodeCost, by_episode
from costing.buying.till import money_digits
from costing.findings import Finding
from costing.holding.statuses import Verdict
from costing.listing import counted
from costing.quantities import exact_money, excess, round_money
from costing.report.caution_rows import Row, dearest, one_more, uncertainty
from costing.report.tables import SUMMARY, Table, Value
from costing.shoot import Episode


def summary(books: Books, verdicts: Sequence[Verdict], findings: Sequence[Finding]) -> Table:
    """The main figures: money, each episode's part, containers past a limit, findings."""
    return Table.of(
        SUMMARY,
        [
            *_money(books),
            *uncertainty(books),
            *_episodes(books),
            *_holding(verdicts),
            *one_more(books),
            *dearest(books),
            ["Findings", counted(findings), "Listed on the sheet Findings." if findings else ""],
        ],
    )


def sums(books: Books) -> Table:
    """The figures of Summary that are added up from others: money, and each episode's part."""
    return Table.of(SUMMARY, [*_money(books), *_episodes(books)])


def _episodes(books: Books) -> Iterator[Row]:
    costs = by_episode(books.shares, books.totals)
    for episode in books.shoot.episodes:
        yield from _episode(books, episode, costs.get(episode.name, NO_COST))


def _money(books: Books) -> Iterator[list[Value]]:
    """What is bought, used and left, and what the tax and the stock are of it."""
    totals = books.totals
    yield ["Bought value", totals.bought, _what("what the tills take", totals.bought_missing)]
    if totals.tax:
        yield ["of which tax", totals.tax, ""]
    yield from _beside(books)
    yield [
        "Used value",
        totals.used,
        _what("what the shots take, trim and spoilage included", totals.used_missing),
    ]
    yield ["of which from on hand", totals.on_hand_used, "stock that is not bought again"]
    yield [
        "Left value",
        totals.left,
        _what("bought + from on hand - used", totals.missing),
    ]


def _beside(books: Books) -> Iterator[list[Value]]:
    """Visits and deliveries, the two together, and the budget for all of it."""
    totals, budget = books.totals, books.shoot.settings.budget
    if totals.visits:
        yield ["Visits and deliveries", totals.visits, "not in the bought value"]
        about = "bought value, visits and deliveries"
        yield ["Paid in all", totals.paid, _what(about, totals.bought_missing)]
    if budget is not None:
        what = "paid in all" if totals.visits else "bought value"
        digits = money_digits(books.shoot.settings)
        yield _over("Over budget", (totals.paid, budget, digits), what, totals.bought_missing)


def _over(
    figure: str, sums: tuple[Decimal, Decimal, int], what: str, missing: Sequence[str]
) -> Row:
    """How much is paid beyond a budget; blank when nothing is.

    The sums are what is paid, the budget, and the digits of money.
    """
    paid, budget, digits = sums
    if paid > budget:
        note = _what(f"{what} less budget", missing)
    elif missing:
        note = f"within it as far as is known, without {'; '.join(missing)}"
    else:
        note = f"the {what} is within it"
    return [figure, excess(paid, budget, digits), note]


def _what(about: str, missing: Sequence[str]) -> str:
    """What a total is, and what it leaves out: the true value is above the figure."""
    left_out = f"unknown above this, without {'; '.join(missing)}" if missing else ""
    return "; ".join(part for part in (about, left_out) if part)


def _episode(books: Books, episode: Episode, cost: EpisodeCost) -> Iterator[list[Value]]:
    """What an episode uses and pays, for a portion and a minute of it, and over its budget."""
    used, bought, visits = cost.used, cost.bought, cost.visits
    digits = money_digits(books.shoot.settings)
    missing = books.left_out_of(episode.name)
    if len(books.shoot.episodes) > 1:
        yield [f"Used by {episode.name}", used, _what(episode.title, missing)]
        yield [f"Share of bought, {episode.name}", bought, _what("", missing)]
        if books.totals.visits:
            yield [f"Share of visits, {episode.name}", visits, "by what is bought at each shop"]
    for count, word in ((episode.portions, "portion"), (episode.minutes, "minute")):
        if count is not None:
            each = round_money(exact_money(used) / count, digits)
            yield [f"Used for a {word} of {episode.name}", each, _what(f"{count} {word}s", missing)]
    if episode.budget is not None:
        what = "share of bought and visits" if books.totals.visits else "share of bought"
        figure = f"Over budget, {episode.name}"
        yield _over(figure, (cost.paid, episode.budget, digits), what, missing)


def _holding(verdicts: Sequence[Verdict]) -> Iterator[list[Value]]:
    strictest = [verdict for verdict in verdicts if verdict.strictest]
    if not strictest:
        return
    past = [verdict.container for verdict in strictest if verdict.alarm]
    yield [
        "Containers past a limit",
        len(past),
        ("; ".join(past) + ". " if past else "")
        + "Reminders based on published rules, see Holding times.",
    ]
