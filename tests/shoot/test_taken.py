"""What a day log says of takes and counts."""

from __future__ import annotations

from datetime import datetime

import pytest
from small import line, lot, pack, row, shoot_of

from costing.kitchen import Dish
from costing.shoot import Episode, Shoot, Shot
from costing.shoot.checks import check_log_days
from costing.shoot.defaults import completed
from costing.shoot.episodes import Logged
from costing.shoot.taken import so_far


def kitchen(*rows: Logged | Episode | Shot) -> Shoot:
    """A pie of pastry and leek, and toast that is sold ready; both are shown."""
    return shoot_of(
        line("pie", "pastry", "300 g"),
        line("pie", "leek", "1 kg"),
        line("pastry", "flour", "200 g"),
        line("toast", "bread", "1 each"),
        line("cake", "butter", "100 g"),
        Dish(name="pastry", makes="300 g"),
        pack("toast", "1 batch", "2"),
        lot("cream", "1 l"),
        Shot(dish="pie", name="P"),
        Shot(dish="toast", name="T"),
        *rows,
    )


@pytest.mark.parametrize(
    ("what", "said"),
    [
        ("LEEK ", []),
        ("cream", []),
        ("pastry", []),
        ("toast", []),
        ("cake", ["log counts a dish"]),
        ("leak", ["log ingredient unknown"]),
    ],
)
def test_so_far__counts_are_of_what_is_there_to_be_counted(what: str, said: list[str]) -> None:
    """What is bought, on hand, sold ready or made for other dishes; no cake made for its shot."""
    found = so_far(kitchen(Logged(what=what, event="counted", amount="1 kg")))
    assert [finding.code for finding in found.findings] == said
    assert [one.what for one in found.counts] == ([] if said else [what])


def test_so_far__takes_go_to_the_shot_that_is_named() -> None:
    log = [Logged(what=what, event="taken") for what in ("t", "T", "P", "Q")]
    found = so_far(kitchen(*log))
    assert [found.of(number).times for number in range(2)] == [1, 2]
    assert [finding.code for finding in found.findings] == ["log shot unknown"]


@pytest.mark.parametrize(("hour", "times"), [(0, 0), (9, 1)])
def test_so_far__what_was_typed_of_the_next_day_was_not_taken_in_the_night_before(
    hour: int, times: int
) -> None:
    """A shoot of the 10th is counted at half past midnight; the 11th begins at six."""
    episodes = (Episode(name=f"E{day}", shoot_date=f"2031-05-{day}") for day in (10, 11))
    shoot = kitchen(*episodes, Shot(dish="pie", name="L", episode="E11", taken=1))
    found = so_far(shoot, until=datetime(2031, 5, 11, hour, 30))
    assert found.of(2).times == times


@pytest.mark.parametrize(
    ("hours", "right"),
    [
        pytest.param(("2031-05-10 11:00",), False, id="another year"),
        pytest.param(("2030-05-10 11:00",), True, id="on the day"),
        pytest.param(("2030-05-10 11:00", "2030-05-11 11:00"), True, id="and the day after"),
        pytest.param(("2030-05-11 02:00",), True, id="in the night after it"),
    ],
)
def test_log_days__takes_that_are_all_on_other_days_than_the_shoot(
    hours: tuple[str, ...], *, right: bool
) -> None:
    """A count is no take: what is in the cupboard may be counted days before."""
    day = Episode(
        name="pies", shoot_date="2030-05-10", row=row("Episodes", 2, "pies", Shoot_date="C")
    )
    rows = [Logged(what="P", event="taken", when=at) for at in hours]
    count = Logged(what="leek", event="counted", amount="1 kg", when="2030-05-02 11:00")
    whole, _ = completed(kitchen(day, count, *rows))
    assert [str(one) for one in check_log_days(whole)] == [
        'Episodes!C2 (row "pies", column "Shoot date"): found 2030-05-10, while its takes are '
        "logged on 2031-05-10, expected the day on which it is shot [taken on another day]\n"
        "  Mend the one that is wrong: the date decides what is on hand, fetched and counted by "
        "then, and when its takes left are over."
    ] * (not right)
