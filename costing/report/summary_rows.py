"""Rows of Summary: the figures a person looks for first."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from decimal import Decimal
from fractions import Fraction
from itertools import islice

from costing.buying.books import Books
from costing.buying.caution import Spare, Take
from costing.buying.constraints import nothing_spare, opened_for_little
from costing.buying.expected import Expected
from costing.buying.purchases import Purchase
from costing.buying.sharing import NO_COST, EpisodeCost, by_episode
from costing.buying.till import money_digits
from costing.buying.values import shots_left_out
from costing.closing.made import made_of
from costing.findings import Finding, choice_words, how_many
from costing.holding.statuses import Verdict
from costing.listing import counted
from costing.names import key
from costing.quantities import ZERO, exact_money, excess, money_text, round_money
from costing.report.layouts import SUMMARY
from costing.report.shop_words import amount_words, at_least, till_words
from costing.report.tables import Row, Table, Value
from costing.report.why_words import of_nothing_spare
from costing.shoot import Episode, Shoot
from costing.shoot.times import OWN_MOST, percent, percent_text

DEAREST_NAMED = 3
"""So many ingredients are named as the dearest."""

NAMED_AT_MOST = 3
"""So many shots or ingredients are named in the first sentence."""

OPENED = 2
"""So many packs that are opened for little are named."""


def summary(
    books: Books,
    verdicts: Sequence[Verdict],
    findings: Sequence[Finding],
    closing: Sequence[Row] = (),
) -> Table:
    """The main figures in groups; what one of the charts shows too is folded."""
    found = _figure(
        "Findings", counted(findings), "Listed on the sheet Findings." if findings else ""
    )
    groups = (
        _money(books),
        uncertainty(books),
        _episodes(books),
        one_more(books),
        dearest(books),
        tight(books),
        closing,
        [*_holding(verdicts), found],
    )
    return Table.grouped(SUMMARY, groups, folded=points(books))


def sentence(books: Books) -> str:
    """What to buy for how much, which takes that covers, and how sure it is, in one sentence."""
    return f"{_bought(books)}; {_covers(books)}."


def _bought(books: Books) -> str:
    lines = [line for purchase in books.purchases for line in purchase.lines]
    if not lines:
        gaps = any(one.short or one.need.unknown for one in books.purchases)
        return "No list yet" if gaps else "Nothing to buy"
    totals = books.totals
    money = at_least(totals.bought, totals.bought_missing, books.shoot.settings.currency)
    # who supplies a thing sells nothing
    bought = (line.pack for line in lines if not line.pack.supplied)
    shops = {key(pack.shop) for pack in bought if pack.shop}
    where = f" in {how_many(len(shops), 'shop')}" if shops else ""
    return f"Buy for {money}{where}"


def _covers(books: Books) -> str:
    """Which takes are covered, and how sure that is; first of all what is not covered."""
    short = [one.what for one in shots_left_out(books.shoot)]
    short += [one.need.ingredient.name for one in books.purchases if one.short]
    if short:
        return f"not covered: {choice_words(short, most=NAMED_AT_MOST, last='and')}"
    if any(one.need.unknown for one in books.purchases):
        return "how much is needed is not known of every ingredient"
    caution = books.caution
    takes = [take for take in caution.takes if take.shot.uncertain] if caution else []
    if caution is None or not takes:
        return "every shot is covered as planned"
    names = [f"{take.covered} of {books.shoot.shot_name(take.shot)}" for take in takes]
    named = choice_words(names, most=NAMED_AT_MOST, last="and")
    return f"covers {named}, all else as planned; {_how_often(caution.chance_of_running_out)}"


def _how_often(chance: Fraction | None) -> str:
    """A chance of running out as a number of shoots out of a hundred."""
    if chance is None:
        return "the chance that it runs out is not known"
    if chance == 0:
        return f"it does not run out {OWN_MOST}"
    of_hundred = round(100 * chance)  # one that rounds to 0 is no promise: "less than 1"
    words = f"about {of_hundred}" if of_hundred else "less than 1"
    return f"{words} in 100 that it runs out"


def _figure(figure: str, value: Value, note: str) -> Row:
    return SUMMARY.row(figure=figure, value=value, note=note)


def sums(books: Books) -> Table:
    """The figures of Summary that are added up from others: money, and each episode's part."""
    return SUMMARY.table([*_money(books), *_episodes(books)])


def _episodes(books: Books) -> Iterator[Row]:
    costs = by_episode(books.shares, books.totals)
    for episode in books.shoot.episodes:
        yield from _episode(books, episode, costs.get(episode.name, NO_COST))


def _money(books: Books) -> Iterator[Row]:
    """What is bought, used and left, and what the tax and the stock are of it."""
    totals = books.totals
    above = totals.bought_missing
    yield _figure(
        "Bought value", totals.bought, _what("what the tills take", totals.bought_missing)
    )
    if totals.tax:
        yield _figure("of which tax", totals.tax, "")
    yield from _beside(books)
    about = "what the shots take, trim and spoilage included" + _with_rests(books)
    yield _figure("Used value", totals.used, _what(about, totals.used_missing, above))
    yield _figure("of which from on hand", totals.on_hand_used, "stock that is not bought again")
    about = "bought + from on hand - used" + till_words(totals.left)
    yield _figure("Left value", totals.left, _what(about, totals.left_missing, above))


def _with_rests(books: Books) -> str:
    """What is left of dishes in whole batches, which the shots pay for, as a clause; or blank."""
    making = books.shopping.making if books.shopping else None
    whole = [dish.name for dish in books.shoot.dishes if dish.whole_batches]
    rests = [name for name in whole if (made := made_of(making, key(name))) and made.left > 0]
    return f", and what is left of {choice_words(rests, last='and')}" if rests else ""


def _beside(books: Books) -> Iterator[Row]:
    """Visits and deliveries, the two together, and the budget for all of it."""
    totals, budget = books.totals, books.shoot.settings.budget
    if totals.visits:
        yield _figure("Visits and deliveries", totals.visits, "not in the bought value")
        about = "bought value, visits and deliveries"
        yield _figure("Paid in all", totals.paid, _what(about, totals.bought_missing))
    if budget is not None:
        digits = money_digits(books.shoot.settings)
        sums = (totals.bought, budget, digits)
        yield _over("Over budget", sums, "bought value", totals.bought_missing)


def _over(name: str, sums: tuple[Decimal, Decimal, int], what: str, missing: Sequence[str]) -> Row:
    """How much is bought beyond a budget; blank when nothing is.

    The sums are what is bought, the budget, and the digits of money.
    """
    bought, budget, digits = sums
    if bought > budget:
        note = _what(f"{what} less budget", missing)
    elif missing:
        note = f"within it as far as is known, without {'; '.join(missing)}"
    else:
        note = f"the {what} is within it"
    return _figure(name, excess(bought, budget, digits), note)


def _what(about: str, missing: Sequence[str], above: Sequence[str] = ()) -> str:
    """What a total is, and what it leaves out: the true value is above the figure.

    A long list that the figure ``above`` has too is not said again.
    """
    left_out = f"unknown above this, without {'; '.join(missing)}" if missing else ""
    if len(missing) > NAMED_AT_MOST and set(missing) == set(above):
        left_out = "unknown above this, without what the bought value leaves out too"
    return "; ".join(part for part in (about, left_out) if part)


def _episode(books: Books, episode: Episode, cost: EpisodeCost) -> Iterator[Row]:
    """What an episode uses and pays, for a portion and a minute of it, and over its budget."""
    used, bought, visits = cost.used, cost.bought, cost.visits
    digits = money_digits(books.shoot.settings)
    missing = books.left_out_of(episode.name)
    of_bought = books.left_out_of(episode.name, bought_only=True)
    if len(books.shoot.episodes) > 1:
        yield _figure(f"Used by {episode.name}", used, _what(episode.title, missing))
        yield _figure(f"Share of bought, {episode.name}", bought, _what("", of_bought))
        if books.totals.visits:
            yield _figure(
                f"Share of visits, {episode.name}", visits, "by what is bought at each shop"
            )
    more = "; unknown above this" if missing else ""  # what it is without is said above
    for count, word in ((episode.portions, "portion"), (episode.minutes, "minute")):
        if count is not None:
            each = round_money(exact_money(used) / count, digits)
            yield _figure(f"Used for a {word} of {episode.name}", each, f"{count} {word}s{more}")
    if episode.budget is not None:
        name = f"Over budget, {episode.name}"
        yield _over(name, (cost.bought, episode.budget, digits), "share of bought", of_bought)


def _holding(verdicts: Sequence[Verdict]) -> Iterator[Row]:
    strictest = [verdict for verdict in verdicts if verdict.strictest]
    if not strictest:
        return
    past = [verdict.container for verdict in strictest if verdict.alarm]
    yield _figure(
        "Containers past a limit",
        len(past),
        ("; ".join(past) + ". " if past else "")
        + "Reminders based on published rules, see Holding times.",
    )


def uncertainty(books: Books) -> Iterator[Row]:
    """How sure the basket is, what is used and left on average, and what caution costs."""
    caution = books.caution
    if caution is None or not caution.uncertain:
        return
    yield from how_sure(books)
    if caution.expected is not None:
        yield from _expected(caution.expected, money_digits(books.shoot.settings))
    for spare in caution.spares:
        yield _spare(spare, books.shoot.settings.currency)
    left_out = caution.points[1]
    if left_out:
        levels = ", ".join(percent_text(level) for level in sorted(left_out))
        yield _figure("Bought at other chances", None, f"not proven within the limit: {levels}")


def points(books: Books) -> Iterator[Row]:
    """What more or less caution would cost."""
    for point in books.caution.points[0] if books.caution else ():
        yield _figure(
            f"Bought at a chance of running out of {_text(point.chance_of_running_out)}",
            point.bought,
            "the least for this chance",
        )


def how_sure(books: Books) -> Iterator[Row]:
    """The chance of running out, and how often each uncertain shot is covered."""
    caution = books.caution
    if caution is None or not caution.uncertain:
        return
    accepted = percent_text(books.shoot.settings.chance_of_running_out)
    chance = caution.chance_of_running_out
    yield _figure(
        "Chance of running out %",
        None if chance is None else percent(chance, up=True),
        f"{accepted} is accepted; the chance that a shot is taken more often than it is covered"
        + (f"; 0 is {OWN_MOST}, beyond it nothing is promised" if chance == 0 else "")
        if chance is not None
        else f"not known: {choice_words(_unknown(books), most=2, last='and')}",
    )
    for take in caution.takes:
        if take.chance_enough is not None:
            yield _covered(take, take.chance_enough, books.shoot)


def _unknown(books: Books) -> list[str]:
    """Why a need is not known, in words."""
    return list(dict.fromkeys(why for one in books.purchases for why in one.need.unknown))


def _spare(spare: Spare, currency: str | None) -> Row:
    name = spare.purchase.need.ingredient.name
    loose = not any(offer.sealed for offer in spare.purchase.offers)
    return _figure(
        f"Of the {name} bought, for takes that may come %",
        percent(spare.part),
        f"{spare.packs} {'loose steps' if loose else 'packs'} where Times alone would take "
        f"{spare.planned_packs}; it adds {money_text(spare.cost, currency)}",
    )


def _text(chance: Fraction) -> str:
    return percent_text(chance, up=True)


def _covered(take: Take, chance: Fraction, shoot: Shoot) -> Row:
    shot = take.shot
    return _figure(
        f"Times covered, {shoot.shot_name(shot)}",
        take.covered,
        f"planned {shot.times}, from {shot.least_times} to {shot.most_times}; enough with a chance "
        f"of {percent_text(chance)}",
    )


def _expected(expected: Expected, digits: int) -> Iterator[Row]:
    """What is used and left on average, with the error of what was drawn at random."""
    error = round_money(expected.left_error, digits)
    yield _figure(
        "Expected used value", round_money(expected.used, digits), "on average over all takes"
    )
    yield _figure(
        "Expected left value",
        round_money(expected.left, digits),
        f"on average; drawn at random, standard error {error}"
        if expected.left_error
        else "on average",
    )
    yield _figure(
        "of which keeps",
        round_money(expected.keeps, digits),
        "what is within its life on the next shoot day",
    )


def one_more(books: Books) -> Iterator[Row]:
    """What one more of each shot would add to the cheapest basket."""
    caution = books.caution
    if caution is None:
        return
    visits = caution.visits_counted
    digits = money_digits(books.shoot.settings)
    offers = [offer for purchase in books.purchases for offer in purchase.offers]
    # of loose goods, or with tax added, a line may end in a part of a coin
    in_coins = all((Fraction(o.price or 0) * 10**digits).denominator == 1 for o in offers)
    for take in caution.takes:
        if not take.priced:
            continue
        if take.one_more is None:
            note = (
                "not known: an amount or a price is missing, the shops have too little, or the "
                "least was not proven"
            )
        elif take.one_more == 0:
            note = "fits in what is bought and on hand"
        else:
            note = "more to be paid, before shopping"
            note += "" if in_coins else ", unrounded"
            note += ", visits to shops counted" if visits else ""
        yield _figure(f"One more of {books.shoot.shot_name(take.shot)}", take.one_more, note)
    rest = sum(not take.priced for take in caution.takes)
    if rest:
        yield _figure(
            f"One more of {how_many(rest, 'other shot')}",
            None,
            "not worked out, as it takes long; ask for it with: costing estimate --every-take",
        )


def dearest(books: Books) -> Iterator[Row]:
    """The ingredients that most is paid for, and whose need that is."""
    pairs = list(zip(books.purchases, books.values, strict=True))
    pairs.sort(key=lambda pair: -pair[1].bought)
    for purchase, values in pairs[:DEAREST_NAMED]:
        if values.bought:
            name = purchase.need.ingredient.name
            yield _figure(f"Among what costs most: {name}", values.bought, _purposes(purchase))


def tight(books: Books) -> Iterator[Row]:
    """Packs that are opened for little, and what has nothing to spare, without a further run."""
    measures = books.shoot.settings.measures
    for purchase, pack, less in islice(opened_for_little(books), OPENED):
        name = purchase.need.ingredient.name
        words, one = amount_words(less, measures), amount_words(pack.amount, measures)
        note = f"{words} less would do without one pack of {one}; see costing why"
        yield _figure(f"Opened for little: {name}", None, note)
    if spare := list(nothing_spare(books)):
        note = f"{of_nothing_spare(spare, NAMED_AT_MOST)}: less than a hundredth is over"
        yield _figure("Nothing to spare", None, note)


def _purposes(purchase: Purchase) -> str:
    """Purposes that need it, the largest part first."""
    need = purchase.need
    parts: dict[str, Fraction] = {}
    shares = need.shares.items() if need.total else need.per_time.values()
    for (_, _, purpose), amount in shares:
        parts[purpose] = parts.get(purpose, ZERO) + amount
    total = sum(parts.values(), ZERO)
    largest = sorted(parts.items(), key=lambda pair: -pair[1])
    return ", ".join(
        f"{purpose} {round(100 * part / total)} %" for purpose, part in largest if part
    )
