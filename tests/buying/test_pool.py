"""Stock that is good for everybody is one pool: the same as serving episode by episode."""

from __future__ import annotations

from datetime import date, timedelta
from fractions import Fraction

from hypothesis import given
from hypothesis import strategies as st

from costing.buying.on_hand import Stock, Usable
from costing.kitchen import Lot
from costing.quantities import follows, traced
from costing.shoot import Episode

DAY = date(2031, 5, 10)
amounts = st.integers(0, 60).map(Fraction)


@given(
    st.lists(amounts, min_size=1, max_size=4),
    st.lists(st.tuples(amounts, st.booleans()), min_size=1, max_size=4),
)
def test_pool__gives_what_serving_by_dates_gives(
    wanted: list[Fraction], lots: list[tuple[Fraction, bool]]
) -> None:
    """A lot that no date holds back, some of them plenty, in any order."""
    users = tuple(
        Episode(name=f"E{number}", shoot_date=DAY + timedelta(days=number))
        for number in range(len(wanted))
    )
    usable = tuple(
        Usable(Lot(ingredient="rice", plenty=plenty), None, Fraction(0) if plenty else amount)
        for amount, plenty in lots
    )
    stock = Stock(users, usable)
    as_bought = {user.name: amount for user, amount in zip(users, wanted, strict=True)}
    pool, dated = stock.serve(as_bought), stock._serve_by_dates(as_bought)
    for user in users:
        assert pool.by_episode[user.name] == dated.by_episode.get(user.name, 0)
    assert [used for _, _, used in pool.from_lots] == [used for _, _, used in dated.from_lots]
    assert (pool.left, pool.plenty) == (dated.left, dated.plenty)


def test_pool__can_be_followed_and_days_cannot() -> None:
    """Of 50 g for both days 30 g and 20 g are taken; a lot for the first day only is chosen."""
    users = (Episode(name="One", shoot_date=DAY), Episode(name="Two", shoot_date=DAY))
    as_bought = {"One": traced(Fraction(30), "A"), "Two": traced(Fraction(40), "B")}
    lot, pool = Lot(ingredient="rice"), traced(Fraction(50), "C")
    taken = Stock(users, (Usable(lot, DAY, pool),)).serve(as_bought)
    assert taken.by_episode == {"One": 30, "Two": 20}
    assert follows(taken.total)
    later = (users[0], Episode(name="Two", shoot_date=DAY + timedelta(days=1)))
    taken = Stock(later, (Usable(lot, DAY, pool),)).serve(as_bought)
    assert taken.total == 30
    assert not follows(taken.total)
