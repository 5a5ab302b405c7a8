"""What past shoots teach: worked by hand, against scipy's estimates, and in simulated seasons."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from costing.kitchen import Line
from costing.shoot import Episode, Settings, Shoot, Shot
from costing.shoot.defaults import completed
from costing.shoot.endings import ShotEnding, StepKind, endings_of, kind_of
from costing.shoot.episodes import Logged
from costing.shoot.learned import learned, lessons, suggested, with_tail
from costing.shoot.shots import EndedBy
from costing.shoot.times import certain, three_point

POURS = (2, 3, 2, 5, 1, 2, 4, 3, 2, 3)
FIVE_PERCENT = Fraction(1, 20)
OWN = with_tail(three_point(1, 2, 4))

three_points = st.tuples(st.integers(0, 8), st.integers(0, 8), st.integers(0, 8)).map(sorted)
ended = st.lists(st.tuples(st.integers(0, 10), st.booleans()), max_size=12)


def enough(*times: int) -> list[tuple[int, bool]]:
    return [(k, False) for k in times]


@pytest.mark.source("ferguson-1973", "mean of a Dirichlet distribution after counts")
def test_learned__ten_pours_by_hand() -> None:
    """Worked: the person's 1, 2, 4 has 5 % beyond 4; one of ten pours took more than 4.

    (4 x 0.05 + 1) / (4 + 10) = 1.2/14. Just 5: 0.025 of the estimate and the one pour,
    (4 x 0.025 + 1) / 14 = 1.1/14. Just 2: four pours, (4 x 0.95 p(2) + 4) / 14.
    """
    found = learned(OWN, enough(*POURS))
    assert found.more_than(4) == Fraction("1.2") / 14
    assert found.of(5) == Fraction("1.1") / 14
    own_2 = dict(three_point(1, 2, 4).chances)[2]
    assert found.of(2) == (4 * Fraction("0.95") * own_2 + 4) / 14


@given(three_points)
def test_learned__no_history_is_the_own_estimate_with_its_tail(points: list[int]) -> None:
    """Law: without a shoot each chance is 95 % of today's, and 5 % lie beyond Most, halving."""
    today = three_point(*points)
    found = learned(with_tail(today), [])
    for times, chance in today.chances:
        assert found.of(times) == Fraction(19, 20) * chance
    assert found.more_than(points[2]) == FIVE_PERCENT
    assert found.of(points[2] + 1) == FIVE_PERCENT / 2
    assert found.of(points[2] + 3) == FIVE_PERCENT / 8


@given(three_points, ended)
def test_learned__chances_add_up_to_one_exactly(
    points: list[int], told: list[tuple[int, bool]]
) -> None:
    """Law: whatever ended how, the chances are a distribution."""
    found = learned(with_tail(three_point(*points)), told)
    assert sum(chance for _, chance in found.within) + found.beyond == 1
    assert all(chance >= 0 for _, chance in found.within)
    assert sum(found.of(k) for k in range(40)) + found.more_than(39) == 1


@given(three_points, st.lists(st.integers(0, 10), max_size=12))
def test_learned__is_the_mean_of_a_dirichlet_distribution(
    points: list[int], times: list[int]
) -> None:
    """Outside: the mean of scipy.stats.dirichlet with the estimate times 4 and the counts.

    scipy wants every weight above 0, so numbers that neither names are left out, and all beyond
    the last is one category.
    """
    own = with_tail(three_point(*points))
    last = max([own.last, *times])
    weights = [4 * own.of(k) + times.count(k) for k in range(last + 1)]
    weights.append(4 * own.more_than(last))
    named = [k for k, weight in enumerate(weights) if weight > Fraction(1, 10**9)]
    expected = stats.dirichlet([float(weights[k]) for k in named]).mean()
    found = learned(own, enough(*times))
    values = [float(found.of(k)) for k in range(last + 1)] + [float(found.beyond)]
    assert [values[k] for k in named] == pytest.approx(list(expected), abs=1e-8)


def product_limit(told: list[tuple[int, bool]], times: int) -> float:
    """The chance of more by the product limit alone: an estimate that weighs nothing."""
    chance = 1.0
    for k in range(times + 1):
        at_risk = sum(t > k or (t == k and not more) for t, more in told)
        here = sum(t == k and not more for t, more in told)
        chance *= 1 - here / at_risk if at_risk else 1.0
    return chance


@given(st.lists(st.tuples(st.integers(1, 8), st.booleans()), min_size=400, max_size=400))
def test_learned__many_shoots_outweigh_the_estimate(told: list[tuple[int, bool]]) -> None:
    """Outside: with 400 shoots it is near scipy's product limit (scipy.stats.ecdf, censored).

    There a time that is cut off at t counts as more than t, so *at least k* goes in as k - 1. Four
    shoots of estimate move a hazard by at most 4/(4 + at risk), and all up to a number by their
    sum.
    """
    uncensored = [k for k, more in told if not more]
    cut_off = [k - 1 for k, more in told if more]
    if not uncensored:
        return
    data: Any = stats.CensoredData(uncensored=uncensored, right=cut_off)
    curve = stats.ecdf(data).sf
    found = learned(OWN, told)
    bound = 0.0
    for times in range(1, 9):
        at_risk = sum(k > times or (k == times and not more) for k, more in told)
        bound += 4 / (4 + at_risk)
        if times <= max(uncensored):
            outside = float(curve.evaluate(np.array([times]))[0])
            assert product_limit(told, times) == pytest.approx(outside, abs=1e-9)
            assert abs(float(found.more_than(times)) - outside) <= bound + 1e-9


@pytest.mark.source("susarla-van-ryzin-1976", "estimate from observations that are cut off")
def test_learned__at_least_by_hand() -> None:
    """Worked with the estimate certain of 2 (95 % at 2, 5 % beyond, halving from 3 on).

    Ended at 2, 2 and 3; food ran out once at 3, so it is at least 3. At 2 all four are at risk, as
    one that is at least 3 came past 2: h(2) = (4 x 0.95 + 2) / (4 + 4) = 5.8/8. At 3 only the one
    that ended there is: h(3) = (4 x 0.025 + 1) / (4 x 0.05 + 1) = 1.1/1.2.
    P(2) = 0.725, P(3) = 0.275 x 1.1/1.2, more than 3 = 0.275 x 0.1/1.2.
    """
    found = learned(with_tail(certain(2)), [*enough(2, 2, 3), (3, True)])
    assert found.of(2) == Fraction("5.8") / 8
    assert found.of(3) == Fraction("0.275") * Fraction("1.1") / Fraction("1.2")
    assert found.more_than(3) == Fraction("0.275") * Fraction("0.1") / Fraction("1.2")


REMISSIONS = (
    *((6, 3, False), (6, 1, True), (7, 1, False), (9, 1, True), (10, 1, False), (10, 1, True)),
    *((11, 1, True), (13, 1, False), (16, 1, False), (17, 1, True), (19, 1, True), (20, 1, True)),
    *((22, 1, False), (23, 1, False), (25, 1, True), (32, 2, True), (34, 1, True), (35, 1, True)),
)
"""Weeks, how many patients, and whether they were still in remission when last seen."""


@pytest.mark.source("freireich-1963", "weeks of remission of the 21 treated patients")
def test_learned__a_published_product_limit() -> None:
    """Published: of the treated 85.7, 80.7, 75.3, 69.0, 62.7, 53.8 and 44.8 % stay longer.

    The product-limit estimate that textbooks print for these data. Still in remission after 6 weeks
    is longer than 6, so at least 7 here. Each patient stands 500 times, so that the person's own
    estimate weighs nothing.
    """
    told = [
        (weeks + still, still)
        for weeks, patients, still in REMISSIONS
        for _ in range(500 * patients)
    ]
    found = learned(OWN, told)
    for weeks, printed in (
        *((6, 0.857), (7, 0.807), (10, 0.753), (13, 0.690), (16, 0.627), (22, 0.538), (23, 0.448)),
    ):
        assert float(found.more_than(weeks)) == pytest.approx(printed, abs=0.0015)


@given(three_points, ended, st.integers(0, 10))
def test_learned__at_least_never_makes_more_less_likely_than_just_so_many(
    points: list[int], told: list[tuple[int, bool]], times: int
) -> None:
    """Law: that it would have gone on never lowers the chance of more than any number."""
    own = with_tail(three_point(*points))
    just, gone_on = (learned(own, [*told, (times, more)]) for more in (False, True))
    assert all(gone_on.more_than(k) >= just.more_than(k) for k in range(15))


@given(three_points, ended)
def test_learned__mean_and_spread_are_those_of_the_chances(
    points: list[int], told: list[tuple[int, bool]]
) -> None:
    """Law: the tail's share by its series is that of adding up 80 terms."""
    found = learned(with_tail(three_point(*points)), told)
    mean = sum(k * float(found.of(k)) for k in range(80))
    square = sum(k * k * float(found.of(k)) for k in range(80))
    assert float(found.mean) == pytest.approx(mean)
    assert found.spread**2 == pytest.approx(square - mean**2, abs=1e-9)


@given(three_points, ended)
def test_suggested__provides_for_what_the_chances_ask(
    points: list[int], told: list[tuple[int, bool]]
) -> None:
    """Law: a plan of the suggested points is exceeded with no more than the accepted chance."""
    found = learned(with_tail(three_point(*points)), told)
    fewest, times, most = suggested(found, FIVE_PERCENT)
    assert times == found.likeliest
    assert not fewest or 1 - found.more_than(fewest - 1) <= FIVE_PERCENT
    plan = three_point(fewest, times, most)
    cap = next(k for k in plan.numbers if plan.chance_within(k) >= 1 - FIVE_PERCENT)
    assert found.more_than(cap) <= FIVE_PERCENT


def test_suggested__nobody_is_promised_certainty() -> None:
    """Where no chance of running out is accepted, one in a thousand is taken: the tail has no end.

    (4 x 0.05) / 4 halves from 0.05 beyond 1: 0.00078 after six more, so seven are provided for.
    """
    chances = with_tail(certain(1))
    _, _, most = suggested(chances, Fraction(0))
    assert chances.least_within(Fraction(999, 1000)) == 7
    assert most >= 7


def test_suggested__covers_at_the_stated_chance_in_simulated_seasons() -> None:
    """Simulated from known rates: seven takes of ten are good, two good ones are wanted.

    There is food for six takes; after 30 shoots, those cut off there as at least so many, the next
    is covered with the stated 95 %, within three standard errors of 1,000 seasons (2.1 %). By the
    estimate 1, 2, 4 alone, which provides for 3, P(2 good in 3) = 0.7^3 + 3 x 0.7^2 x 0.3 = 78.4 %.
    """
    chance = np.random.default_rng(18)
    seasons, covered, by_estimate = 1_000, 0, 0

    def wanted() -> int:
        takes, good = 0, 0
        while good < 2:
            takes += 1
            good += bool(chance.random() < 0.7)
        return takes

    for _ in range(seasons):
        takes = [wanted() for _ in range(30)]
        found = learned(OWN, [(min(k, 6), k > 6) for k in takes])
        cap = found.least_within(1 - FIVE_PERCENT)
        following = wanted()
        covered += following <= cap
        by_estimate += following <= 3  # what 1, 2, 4 alone provides for at 5 %
    assert covered / seasons >= 0.95 - 3 * (0.05 * 0.95 / seasons) ** 0.5
    assert by_estimate / seasons == pytest.approx(0.784, abs=0.04)


CREPE = (
    Line(dish="crepe", step=1, step_name="mix", ingredient="flour", amount="200 g"),
    Line(dish="crepe", step=2, step_name="pour", ingredient="butter", amount="10 g"),
    Line(dish="crepe", step=3, ingredient="sugar", amount="5 g"),
)


@pytest.mark.parametrize(
    ("purpose", "steps", "expected"),
    [
        ("retake", "2", ("pour",)),
        ("retake", "1-2", ("mix", "pour")),
        ("retake", "3", ("crepe: step 3",)),
        ("hero", None, ()),
        ("retake", None, ("mix", "pour", "crepe: step 3")),
    ],
)
def test_kind_of__purpose_and_names_of_the_steps(
    purpose: str, steps: str | None, expected: tuple[str, ...]
) -> None:
    """Trade: pours of two dishes are compared, the third step of two dishes is not."""
    shot = Shot(dish="crepe", purpose=purpose, steps=steps)
    assert kind_of(shot, Shoot(lines=CREPE)) == StepKind(purpose, expected)


def test_kind_of__a_dish_of_one_step_is_known_by_its_name() -> None:
    """With one step there is no other part of the dish to be told apart from."""
    shoot = Shoot(lines=CREPE[1:2])
    assert kind_of(Shot(dish="Crepe"), shoot) == StepKind("cook-through", ("pour",))


def closed(*shots: Shot, log: tuple[Logged, ...] = (), title: str = "crepes") -> list[ShotEnding]:
    """The endings of a shoot of crepes on one day."""
    shoot = Shoot(
        settings=Settings(title=title),
        lines=CREPE,
        shots=shots,
        episodes=[Episode(name="E1", shoot_date="2031-05-10")],
        day_log=log,
    )
    return endings_of(completed(shoot)[0], f"{title}.xlsx")


def pour(name: str = "P", **more: Any) -> Shot:
    return Shot(dish="crepe", name=name, purpose="retake", steps="2", **more)


def test_endings_of__typed_and_logged() -> None:
    """Typed 3 and ended by food; logged two takes and one spoiled: three times food, then enough.

    What was never taken teaches nothing; what was taken and says no more counts as enough.
    """
    log = [
        Logged(what="B", event=event)
        for event in ("taken", "spoiled", "taken", "enough")  # any order, no time
    ]
    found = closed(
        pour("A", taken=3, ended_by="food"),
        pour("B"),
        pour("C"),
        pour("D", taken=1),
        log=tuple(log),
    )
    assert [(one.shot.name, one.times, one.why, one.at_least) for one in found] == [
        ("A", 3, EndedBy.FOOD, True),
        ("B", 3, EndedBy.ENOUGH, False),
        ("D", 1, None, False),
    ]
    assert {one.workbook for one in found} == {"crepes.xlsx"}


@pytest.mark.parametrize(
    ("taken", "why", "kept"),
    [
        (3, "enough", True),
        (4, "enough", False),
        (2, "food", False),
        (2, "time", None),
        (4, "time", False),
    ],
)
def test_ending__whether_the_promise_was_kept(taken: int, why: str, kept: bool | None) -> None:
    """1, 2, 4 at 5 % provides for 3: P(1..3) = 95.6 %, P(1, 2) = 66.9 % (scipy.stats.beta).

    Food that ran out breaks the promise whatever it was; time that ran out before tells nothing.
    """
    (one,) = closed(pour(times=2, fewest=1, most=4, taken=taken, ended_by=why))
    cap, promised = one.promised
    low, high = stats.beta(1 + 4 * 1.5 / 4, 1 + 4 * 2.5 / 4, 0.5, 4).cdf([2.5, 3.5])
    assert cap == 3
    assert float(promised) == pytest.approx(high)
    assert low < 0.95 <= high
    assert one.kept is kept


def test_lessons__the_newest_estimate_and_the_promise() -> None:
    """Ten pours of ten shoots, the last of which was planned as 1, 2, 4: 1.2/14 beyond 4.

    Each was planned so: 3 are provided for, and 3 was enough in eight of ten. More than 5 is
    0.1/14, more than 4 above 5 %, so five are to be provided for: 1, 2, 6 has 95.5 % within 4 and
    stops there, 1, 2, 7 has 91.2 % within 4 and 98.1 % within 5.
    """
    endings = [
        one
        for number, taken in enumerate(POURS)
        for one in closed(
            pour(times=2, fewest=1, most=4, taken=taken, ended_by="enough"), title=f"shoot {number}"
        )
    ]
    (lesson,) = lessons(endings)
    assert (lesson.kind, lesson.shoots, lesson.rests_on_enough) == (
        StepKind("retake", ("pour",)),
        10,
        True,
    )
    assert lesson.chances.more_than(4) == Fraction("1.2") / 14
    assert lesson.suggested == (1, 2, 7)
    assert lesson.kept == (8, 10)
    assert lesson.promised == three_point(1, 2, 4).chance_within(3)
    assert not lessons(endings[:4])[0].rests_on_enough
