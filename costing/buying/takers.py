"""Which shots take of a good, by whatever way: as it is, in a dish that is made, or as a part."""

from __future__ import annotations

from collections.abc import Mapping

from costing.buying.need import Needs


def shots_taking(needs: Needs, counts: Mapping[int, int]) -> dict[str, set[int]]:
    """By key of each good the shots that take of it, by their places in the plan.

    Parameters
    ----------
    needs : Needs
        Of the shoot.
    counts : mapping of int to int
        For how many times each uncertain shot is provided; one of no times takes nothing. [time]
    """
    takers: dict[str, set[int]] = {}
    for number, shot in enumerate(needs.shoot.shots):
        if not needs.shoot.is_dish(shot.dish) or not needs.forest.times(number, counts):
            continue
        drawn = needs.goods.drawn_by(shot)
        codes = drawn if drawn is not None else [code for _, code, _ in needs.counted_of(shot)]
        for code in codes:
            takers.setdefault(code, set()).add(number)
    found = -1
    while found != (found := sum(map(len, takers.values()))):
        for activity in needs.goods.activities:
            given = set().union(*(takers.get(code, ()) for code in activity.gives))
            for code in activity.takes if given else ():
                takers.setdefault(code, set()).update(given)
    return takers
