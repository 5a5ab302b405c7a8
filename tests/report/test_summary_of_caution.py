"""Rows of Summary about uncertain takes, and the same in JSON."""

from __future__ import annotations

from collections.abc import Iterable
from decimal import Decimal
from fractions import Fraction
from typing import Any

import pytest
from small import books, line, lot, pack, shoot_of, sound

from costing.buying.constraints import why
from costing.estimating import estimate
from costing.kitchen import Shop
from costing.report.summary_rows import (
    DEAREST_NAMED,
    dearest,
    one_more,
    points,
    sentence,
    summary,
    tight,
    uncertainty,
)
from costing.report.tables import Row
from costing.report.why_words import why_lines
from costing.shoot import Purpose, Shot

SOUP = line("soup", "leek", "100 g")
LEEK = sound("leek")
TAKES = Shot(dish="soup", name="P1", fewest=1, times=2, most=4)
SINGLE = pack("leek", "100 g", "1")


def told(*parts: Any, **settings: Any) -> dict[str, tuple[Any, str]]:
    """Value and note of each row of Summary by its figure."""
    found = books(*parts, **({"currency": "EUR"} | settings))
    return {
        str(row["figure"]): (row["value"], str(row["note"])) for row in summary(found, (), ()).rows
    }


AMOUNTS = {"flour": "2017 g", "leek": "3 kg", "mint": "100 g"}


def cells(rows: Iterable[Row]) -> list[list[object]]:
    """Figure, value and note of each row."""
    return [list(row.values()) for row in rows]


def test_uncertainty__rows_of_one_shot() -> None:
    """One to four takes, two likeliest: three are covered with 95.61 %, of packs at 1.00.

    Chances by scipy.stats.beta of shapes 2.5 and 3.5 on 0.5 to 4.5: above 3.5 0.043886, above 2.5
    0.330235.

    On average 2.1648 are taken; used is less by what would be taken beyond the three bought.
    """
    found = books(SOUP, LEEK, SINGLE, TAKES, currency="EUR")
    assert cells([*uncertainty(found), *points(found)]) == [
        [
            "Chance of running out %",
            Fraction("4.39"),
            "5 % is accepted; the chance that a shot is taken more often than it is covered",
        ],
        [
            "Times covered, P1",
            3,
            "planned 2, from 1 to 4; enough with a chance of 95.61 %",
        ],
        ["Expected used value", Decimal("2.12"), "on average over all takes"],
        ["Expected left value", Decimal("0.88"), "on average"],
        ["of which keeps", Decimal("0.88"), "what is within its life on the next shoot day"],
        [
            "Of the leek bought, for takes that may come %",
            Fraction("33.33"),
            "3 packs where Times alone would take 2; it adds 1.00 EUR",
        ],
        [
            "Bought at a chance of running out of 0 % of your own Most",
            Decimal("4.00"),
            "the least for this chance",
        ],
        [
            "Bought at a chance of running out of 4.39 %",
            Decimal("3.00"),
            "the least for this chance",
        ],
        [
            "Bought at a chance of running out of 33.03 %",
            Decimal("2.00"),
            "the least for this chance",
        ],
    ]


def test_uncertainty__loose_goods_are_counted_in_steps() -> None:
    """3 times 100 g are 6 steps of 50 g, 2 times 4: 2 of 6 for what may come, each 0.25."""
    rows = told(SOUP, LEEK, pack("leek", "1 kg", "5", loose="50 g"), TAKES)
    assert rows["Of the leek bought, for takes that may come %"] == (
        Fraction("33.33"),
        "6 loose steps where Times alone would take 4; it adds 0.50 EUR",
    )


def test_uncertainty__chance_is_not_known_without_an_amount() -> None:
    rows = told(SOUP, line("soup", "salt", None), SINGLE, TAKES)
    assert rows["Chance of running out %"] == (
        None,
        'not known: how much salt goes into "soup"',
    )


def test_uncertainty__drawn_at_random_says_its_error() -> None:
    found = books(SOUP, LEEK, SINGLE, TAKES, currency="EUR")
    assert found.caution is not None
    expected = found.caution.expected
    assert expected is not None
    drawn = type(expected)(expected.used, expected.left, expected.keeps, Fraction(3, 100))
    found.caution.__dict__["expected"] = drawn
    notes = {str(row["figure"]): row["note"] for row in uncertainty(found)}
    assert notes["Expected left value"] == ("on average; drawn at random, standard error 0.03")


def test_uncertainty__chances_not_proven_are_named() -> None:
    found = books(SOUP, LEEK, SINGLE, TAKES, currency="EUR")
    assert found.caution is not None
    found.caution.__dict__["points"] = ([], [Fraction(1, 2), Fraction(1, 5)])
    rows = {str(row["figure"]): (row["value"], row["note"]) for row in uncertainty(found)}
    assert rows["Bought at other chances"] == (None, "not proven within the limit: 20 %, 50 %")


def test_uncertainty__nothing_of_a_certain_shoot() -> None:
    assert list(uncertainty(books(SOUP, LEEK, SINGLE, Shot(dish="soup")))) == []


def test_one_more__notes_say_what_the_figure_means() -> None:
    packs = [pack("leek", "100 g", "1", at_most=2), pack("egg", "6 each", "2")]
    other = line("omelette", "egg", "2 each")
    found = books(
        *(SOUP, other, LEEK, *packs),
        Shot(dish="soup", name="P1", times=2),
        Shot(dish="omelette", name="P2"),
        Shot(dish="omelette", name="P3", batch=Fraction(4)),
        currency="EUR",
    )
    assert cells(one_more(found)) == [
        [
            "One more of P1",
            None,
            "not known: an amount or a price is missing, the shops have too little, or the least "
            "was not proven",
        ],
        ["One more of P2", Decimal("0.00"), "fits in what is bought and on hand"],
        ["One more of P3", Decimal("2.00"), "more to be paid, before shopping"],
    ]


def test_one_more__says_when_visits_are_in_it() -> None:
    """Two takes of 100 g need two packs of 150 g; the shop is visited anyway."""
    found = books(
        *(SOUP, LEEK, pack("leek", "150 g", "2", shop="stall")),
        Shop(name="stall", visit_cost=Decimal(3)),
        Shot(dish="soup", name="P1"),
        currency="EUR",
    )
    assert cells(one_more(found)) == [
        [
            "One more of P1",
            Decimal("2.00"),
            "more to be paid, before shopping, visits to shops counted",
        ]
    ]


def test_one_more__says_that_the_tills_round_where_a_line_may_end_in_a_part_of_a_coin() -> None:
    """100 g loose at 1.95 a kilogram are 0.195: two are 0.39, and a till takes 0.20 for one."""
    loose = pack("leek", "1 kg", "1.95", loose="100 g")
    found = books(SOUP, LEEK, loose, Shot(dish="soup", name="P1"), currency="EUR")
    more = books(SOUP, LEEK, loose, Shot(dish="soup", name="P1", times=2), currency="EUR")
    assert more.totals.bought - found.totals.bought == Decimal("0.19")
    note = "more to be paid, before shopping, unrounded"
    assert cells(one_more(found)) == [["One more of P1", Decimal("0.20"), note]]


def test_one_more__of_a_plan_of_many_shots() -> None:
    """201 shots: three are priced, and how to ask for the rest is said, the same at every run."""
    found = books(SOUP, LEEK, SINGLE, *(Shot(dish="soup", name=f"P{n}") for n in range(201)))
    *priced, rest = cells(one_more(found))
    assert [figure for figure, _, _ in priced] == [f"One more of P{n}" for n in range(3)]
    assert rest == [
        "One more of 198 other shots",
        None,
        "not worked out, as it takes long; ask for it with: costing estimate --every-take",
    ]


def test_certainty__is_always_of_your_own_most() -> None:
    """No chance of running out covers the Most of 4, and nothing beyond it."""
    found = books(SOUP, LEEK, SINGLE, TAKES, currency="EUR", chance_of_running_out=Fraction(0))
    told_of = cells([*uncertainty(found), *points(found)])
    rows = {str(figure): (value, str(note)) for figure, value, note in told_of}
    assert rows["Chance of running out %"] == (
        0,
        "0 % of your own Most is accepted; the chance that a shot is taken more often than it is "
        "covered; 0 is of your own Most, beyond it nothing is promised",
    )
    assert rows["Times covered, P1"][1].endswith("enough with a chance of 100 % of your own Most")
    assert "Bought at a chance of running out of 0 % of your own Most" in rows


@pytest.mark.parametrize(
    ("parts", "told"),
    [
        (
            (SOUP, LEEK, SINGLE, TAKES),
            "Buy for 3.00 EUR; covers 3 of P1, all else as planned; about 4 in 100 that it runs "
            "out.",
        ),
        (
            (SOUP, LEEK, pack("leek", "100 g", "1", shop="stall"), Shot(dish="soup")),
            "Buy for 1.00 EUR in 1 shop; every shot is covered as planned.",
        ),
        (
            (SOUP, LEEK, pack("leek", "100 g", None), Shot(dish="soup")),
            "Buy for at least 0.00 EUR; every shot is covered as planned.",
        ),
        (
            (SOUP, line("soup", "salt", None), LEEK, SINGLE, Shot(dish="soup")),
            "Buy for at least 1.00 EUR; how much is needed is not known of every ingredient.",
        ),
        (
            (SOUP, LEEK, pack("leek", "100 g", "1", at_most=1), Shot(dish="soup", times=2)),
            "Buy for at least 1.00 EUR; not covered: leek.",
        ),
        (
            (SOUP, LEEK, line("soup", "mint", "1 g"), Shot(dish="soup")),
            "No list yet; not covered: leek and mint.",
        ),
        (
            (SOUP, LEEK, SINGLE, Shot(dish="soup"), Shot(name="C1", dish="stew")),
            'Buy for at least 1.00 EUR; not covered: shot "C1".',
        ),
        (
            (SOUP, LEEK, lot("leek", "1 kg"), Shot(dish="soup")),
            "Nothing to buy; every shot is covered as planned.",
        ),
    ],
    ids=[
        "uncertain",
        "certain",
        "no price",
        "no amount",
        "too little",
        "no pack",
        "a shot left out",
        "on hand",
    ],
)
def test_sentence__says_what_to_buy_and_what_that_covers(parts: Any, told: str) -> None:
    """Leek at 1.00 for 100 g, which one soup takes; three takes are covered with 95.61 %."""
    assert sentence(books(*parts, currency="EUR")) == told


def test_sentence__of_no_chance_is_of_your_own_most() -> None:
    found = books(SOUP, LEEK, SINGLE, TAKES, currency="EUR", chance_of_running_out=Fraction(0))
    assert sentence(found) == (
        "Buy for 4.00 EUR; covers 4 of P1, all else as planned; it does not run out of your own "
        "Most."
    )


def test_sentence__who_supplies_is_no_shop() -> None:
    """Cider of the client for the soup, and leek for the cook-through and the hero."""
    cider = line("soup", "cider", "1 l")
    given = pack("cider", "1 l", None, supplied=True, shop="client")
    sold = pack("leek", "100 g", "1.00", shop="stall")
    assert sentence(books(SOUP, LEEK, cider, given, sold, currency="EUR")) == (
        "Buy for 2.00 EUR in 1 shop; every shot is covered as planned."
    )


def test_summary__groups_are_parted_and_what_a_chart_shows_is_folded() -> None:
    table = summary(books(SOUP, LEEK, SINGLE, TAKES, currency="EUR"), (), ())
    starts = [table.rows[row]["figure"] for row in sorted(table.starts)]
    assert starts == [
        *("Chance of running out %", "One more of P1", "Among what costs most: leek"),
        *("Nothing to spare", "Findings"),
        "Bought at a chance of running out of 0 % of your own Most",
    ]
    assert [table.rows[row]["value"] for row in sorted(table.folded)] == [4, 3, 2]


def test_tight__packs_opened_for_little_and_what_has_nothing_over() -> None:
    """2017 g of flour open a third kilo for 17 g; 3 kg of leek are three bags to the gram.

    Of mint 100 of 250 g are taken: it is the only pack, and enough is over.
    """
    found = books(
        *(line("soup", name, amount) for name, amount in AMOUNTS.items()),
        *(sound(name) for name in AMOUNTS),
        *(pack(name, "1 kg", "2") for name in ("flour", "leek")),
        pack("mint", "250 g", "1"),
        Shot(dish="soup"),
    )
    assert cells(tight(found)) == [
        [
            "Opened for little: flour",
            None,
            "17 g less would do without one pack of 1 kg; see costing why",
        ],
        ["Nothing to spare", None, "of leek: less than a hundredth is over"],
    ]


def test_dearest__three_with_the_purposes_that_need_them() -> None:
    """Leek 200 of 300 g for the hero: 67 %; what costs nothing is not among the dearest."""
    found = books(
        *(line("soup", name, "100 g") for name in ("leek", "mint", "salt")),
        *(pack(name, "100 g", price) for name, price in (("leek", "2"), ("mint", "0"))),
        pack("salt", "1 kg", "1"),
        Shot(dish="soup"),
        Shot(dish="soup", purpose=Purpose.HERO, times=2),
        currency="EUR",
    )
    assert cells(dearest(found)) == [
        ["Among what costs most: leek", Decimal("6.00"), "hero 67 %, cook-through 33 %"],
        ["Among what costs most: salt", Decimal("1.00"), "hero 67 %, cook-through 33 %"],
    ]
    assert DEAREST_NAMED == 3


def test_dearest__bought_for_certainty_alone() -> None:
    """The need is 0 at the likeliest number; the purpose is that of the uncertain shot."""
    shot = Shot(dish="soup", purpose=Purpose.RETAKE, steps=(1,), fewest=0, times=0, most=1)
    found = books(SOUP, SINGLE, shot, currency="EUR", chance_of_running_out=Fraction(0))
    assert cells(dearest(found)) == [
        ["Among what costs most: leek", Decimal("1.00"), "retake 100 %"]
    ]


def test_summary__visit_costs_stand_beside_the_money() -> None:
    parts = [SOUP, LEEK, pack("leek", "100 g", "1", shop="a"), Shot(dish="soup")]
    assert not {"Visits and deliveries", "Paid in all"} & told(*parts).keys()
    rows = told(*parts, Shop(name="a", visit_cost=Decimal("2.50")))
    assert rows["Bought value"][0] == 1
    assert rows["Visits and deliveries"] == (Decimal("2.50"), "not in the bought value")
    assert rows["Paid in all"] == (Decimal("3.50"), "bought value, visits and deliveries")


def test_summary__budget_of_the_whole_job() -> None:
    """1.00 bought is within 3.00 and 0.25 over 0.75; the 2.50 for the way are no food."""
    parts = [SOUP, LEEK, pack("leek", "100 g", "1", shop="a"), Shot(dish="soup")]
    shop = Shop(name="a", visit_cost=Decimal("2.50"))
    over = told(*parts, shop, budget=Decimal("0.75"))["Over budget"]
    assert over == (Decimal("0.25"), "bought value less budget")
    within = told(*parts, shop, budget=Decimal(3))["Over budget"]
    assert within == (None, "the bought value is within it")
    assert "Over budget" not in told(*parts, shop)


def test_json__visits_stand_beside_bought() -> None:
    """What bought means does not change; each episode has its share of both."""
    shop = Shop(name="a", visit_cost=Decimal("2.50"))
    parts = [SOUP, LEEK, pack("leek", "100 g", "1", shop="a"), Shot(dish="soup"), shop]
    totals = estimate(shoot_of(*parts, budget=Decimal(3))).as_json()["totals"]
    figures = {name: totals[name] for name in ("bought", "visits", "paid", "budget")}
    assert figures == {"bought": "1.00", "visits": "2.50", "paid": "3.50", "budget": "3"}
    (episode,) = totals["episodes"].values()
    assert (episode["share_of_bought"], episode["share_of_visits"]) == ("1.00", "2.50")


def test_json__times_and_cost_of_caution() -> None:
    """The same figures for other programs: percent to four digits, money as it is paid."""
    sure = Shot(dish="soup", name="P2")
    shoot = shoot_of(SOUP, LEEK, SINGLE, TAKES, sure, currency="EUR")
    found = estimate(shoot).as_json()
    assert found["totals"]["chance_of_running_out"] == "4.3886"
    assert found["times"] == [
        {
            "shot": "P1",
            "times": 2,
            "covered": 3,
            "chance_enough": "95.6114",
            "one_more_costs": "1.00",
        }
    ]
    assert found["cost_of_caution"] == [
        {"chance_of_running_out": "0", "bought": "5.00"},
        {"chance_of_running_out": "4.3886", "bought": "4.00"},
        {"chance_of_running_out": "33.0235", "bought": "3.00"},
    ]


def test_json__of_a_certain_shoot_has_no_rows() -> None:
    found = estimate(shoot_of(SOUP, LEEK, SINGLE, Shot(dish="soup"))).as_json()
    assert (found["times"], found["cost_of_caution"]) == ([], [])
    assert found["totals"]["chance_of_running_out"] == "0"


def test_tight__nothing_to_spare_is_of_the_takes_that_are_covered() -> None:
    """One bag a take: those for takes that may come are left over, and yet none can be spared."""
    found = books(SOUP, LEEK, SINGLE, TAKES, currency="EUR")
    (leek,) = found.purchases
    assert leek.bought == leek.covered > leek.wanted
    assert cells(tight(found)) == [
        [
            "Nothing to spare",
            None,
            "of leek once every covered take is taken: less than a hundredth is over",
        ]
    ]
    lines = list(why_lines(why(found), found))
    assert "Nothing to spare of leek once every covered take is taken." in lines
