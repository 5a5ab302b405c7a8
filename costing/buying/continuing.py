"""Copies of a dish that could continue in a later shot and don't: fewer are begun, less is bought.

A copy that a shot leaves whole may be shown in a later shot that needs it at least as far; which
of them begin the fewest copies, ``takeovers`` finds.

What is found is suggested and never assumed: whether the same one can be shown again, nobody but
the cook can say. What it saves is worked out by running the changed plan: beyond what those before
it save, and where it does not save that by itself, it says with which.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from decimal import Decimal

from costing.buying.alternatives import paid_for
from costing.buying.books import Books
from costing.buying.need import Needs
from costing.buying.planning import proven
from costing.buying.shopping import Shopping
from costing.buying.solver import Deadline
from costing.buying.takeovers import Continuation, Takeovers
from costing.findings import Finding, Grade, Words, choice_words, message
from costing.quantities import money_text
from costing.shoot import Shoot, Shot
from costing.shoot.defaults import completed
from costing.shoot.shots import steps_words


@message("copy could continue", Grade.NOTE)
def copy_could_continue(
    shot: str,
    source: str,
    start: str,
    fewer: int,
    saving: str,
    steps: str,
    least: tuple[int, int, int],
    others: Sequence[str],
    *,
    eaten: bool,
) -> Words:
    """A shot that begins a copy, while an earlier one leaves a copy that it could show."""
    done = f"{choice_words(others, last='and')} {'is' if len(others) == 1 else 'are'} done"
    once = f" once {done}" if others else ""
    now, after, anyhow = least
    number = "one copy" if fewer == 1 else f"{fewer} copies"
    limits = " and is within its limits when it is eaten" if eaten else ""
    order = f", {anyhow} at the least in another order" if anyhow < after else ""
    return Words(
        f'a new copy for "{shot}", while "{source}" leaves one',
        f'"{source}" to continue as "{shot}"{start}: {number} fewer, {saving} less{once}',
        f'Write "{source}" in From{steps} if the same one can be shown{limits}. {now} are begun '
        f"now, {after} with all that could continue{order}.",
    )


@message("more copies could continue", Grade.NOTE)
def more_could_continue(pairs: Sequence[str], *, unknown: bool) -> Words:
    """Copies that could continue, of which is not worked out what that saves."""
    why = "the totals leave something out" if unknown else "those are too many plans to try"
    return Words(
        f"new copies where others could continue: {choice_words(pairs, last='and')}",
        "as few copies as the shots allow",
        "Name the earlier shot in From, and mend Steps as said, where the same one can be shown. "
        f"What that saves is not worked out: {why}.",
    )


MOST_PRICED = 8
"""Suggestions whose saving is worked out; each runs the plan once more."""

MOST_SHOTS = 100
"""Shots up to which savings are worked out."""

WORK = 1_000_000
"""Of the searches of one run, about five seconds. [column times branch]"""


def could_continue(books: Books) -> list[Continuation]:
    """The copies of a shoot that could continue, in the order of the plan."""
    plans = Takeovers(books.shoot, books.caps)
    found = [one for shots in plans.dishes() for one in plans.suggested(shots)]
    found = _possible(books.shoot, found)
    return _priced(books, found) if found else []


def _possible(shoot: Shoot, found: Sequence[Continuation]) -> list[Continuation]:
    """Those that can be written into the plan together, and bring no finding there."""
    kept: Sequence[Continuation] = ()
    while len(kept) != len(found):  # one that is refused may have been the source of another
        kept, shots = found, list(shoot.shots)
        for one in kept:
            shots[one.shot] = _changed(shoot, one)
        changed, _ = completed(shoot.changed(shots=tuple(shots)))
        found = [one for one in kept if changed.shots[one.shot].source == one.source]
    return list(kept)


def _changed(shoot: Shoot, one: Continuation) -> Shot:
    """The shot that continues, as it is to be written."""
    update = {"from_shot": shoot.shots[one.source].label, "steps": None if one.blank else one.rest}
    return shoot.shots[one.shot].model_copy(update=update)


def findings_of(
    books: Books, found: Sequence[Continuation], typed: Sequence[Shot]
) -> list[Finding]:
    """What is said of copies that could continue: those that save something, and those not priced.

    ``typed``: the plan before its blanks were filled in.
    """
    findings, others = [], []
    shots, currency = books.shoot.shots, books.shoot.settings.currency
    for at, one in enumerate(found):
        if one.saving is None:
            others.append(one)
        elif one.saving > 0:
            shot, source = shots[one.shot], shots[one.source]
            findings.append(
                copy_could_continue(
                    shot.at("From"),
                    shot.label,
                    source.label,
                    f" from {shot.starts:%H:%M}" if shot.starts else "",
                    one.fewer,
                    money_text(one.saving, currency),
                    _written(one, typed[one.shot]),
                    one.least,
                    [_named(found[n], shots, typed) for n in range(at) if not one.alone],
                    eaten=shot.is_eaten,
                )
            )
    if others:
        place, unknown = shots[others[0].shot].at("From"), bool(books.totals.bought_missing)
        names = [_named(one, shots, typed) for one in others]
        findings.append(more_could_continue(place, names, unknown=unknown))
    return findings


def _named(one: Continuation, shots: Sequence[Shot], typed: Sequence[Shot]) -> str:
    """Which shot's copy is to be shown as which, with what to write in Steps."""
    steps = _written(one, typed[one.shot], " with ", " with its Steps cleared")
    return f'"{shots[one.source].label}" as "{shots[one.shot].label}"{steps}'


def _written(
    one: Continuation, typed: Shot, to_write: str = " and ", to_clear: str = " and clear its Steps"
) -> str:
    """What to write beside From, in words."""
    if typed.steps is None or typed.steps == one.rest:
        return ""
    return to_clear if one.blank else f'{to_write}"{steps_words(one.rest)}" in Steps'


def _priced(books: Books, found: Sequence[Continuation]) -> list[Continuation]:
    """The same with what each saves beyond those before it."""
    shopping, shoot = books.shopping, books.shoot
    if shopping is None or len(shoot.shots) > MOST_SHOTS:
        return list(found)
    large = shopping.market.is_large
    # each price would be a long search of its own, and eight of them are asked for
    if large and shopping.market.terms.coupled:
        return list(found)

    def paid(shots: Sequence[Shot]) -> Decimal | None:
        needs = Needs(completed(shoot.changed(shots=tuple(shots)))[0])
        if large:  # not searched again: caps stay, and packs are found for them alone
            same = Shopping(needs, chosen=shopping.purchases, made=shopping.choice)
            return _paid_for(same, books.caps)
        within = Deadline(work=WORK)
        least = _paid(Shopping(needs, within=within))
        return None if within.passed else least

    priced, shots = [], list(shoot.shots)
    now = before = _paid_for(shopping, books.caps) if large else _paid(shopping)
    for at, one in enumerate(found):
        if now is None or before is None or at >= MOST_PRICED:
            priced.append(one)
            continue
        shots[one.shot] = _changed(shoot, one)
        after = paid(shots)
        saving = None if after is None else before - after
        alone = one.alone
        if at and alone and saving:  # what it saves by itself, which may hang on those before it
            by_itself = paid(
                [*shoot.shots[: one.shot], shots[one.shot], *shoot.shots[one.shot + 1 :]]
            )
            alone = by_itself is not None and now - by_itself == saving
        priced.append(replace(one, saving=saving, alone=alone))
        before = after
    return priced


def _paid_for(shopping: Shopping, caps: Mapping[int, int]) -> Decimal | None:
    """What the tills take for the cheapest packs for caps; ``None`` where not known. [money]"""
    if any(one.need.unknown or not one.offers for one in shopping.purchases):
        return None
    market = shopping.market
    packs = proven(market.planner().cheapest(caps))
    priced = all(offer.price is not None for a in market.terms.articles for offer in a.offers)
    return market.till(packs) if packs is not None and priced else None


def _paid(shopping: Shopping) -> Decimal | None:
    """What the tills and visits take; ``None`` where something is unknown or not proven. [money]"""
    found = paid_for(shopping)
    return None if found is None or found[1] else found[0]
