"""Rows of Summary and Assumptions."""

from __future__ import annotations

from datetime import date, datetime, time
from decimal import Decimal
from fractions import Fraction
from typing import Any

import pytest
from small import books, line, lot, pack, row, shoot_of, sound
from tart import tart_shoot

from costing.buying.alternatives import unchosen_words
from costing.estimating import estimate
from costing.holding.models import Container, Event, EventKind
from costing.kitchen import Dish, HoldingClass
from costing.quantities import amount
from costing.report.assumption_rows import assumptions
from costing.report.summary_rows import summary
from costing.report.tables import Value
from costing.shoot import Episode, Purpose, Shot
from costing.shoot.episodes import Logged
from costing.shoot.settings import computers_zone

SHOT = Shot(dish="soup")
LEEK = line("soup", "leek", "100 g")


def figures(*parts: Any, **settings: Any) -> list[tuple[Value, ...]]:
    """Rows of Summary without containers and findings."""
    return [tuple(row.values()) for row in summary(books(*parts, **settings), (), ()).rows]


def assumed(*parts: Any, **settings: Any) -> list[tuple[Value, ...]]:
    """Rows of Assumptions."""
    found = books(*parts, **settings)
    words = unchosen_words(found.shoot)
    table = assumptions(found, words=words, zone="Europe/Lisbon", zone_given=False)
    return [tuple(row.values()) for row in table.rows]


def test_summary__main_figures_of_the_tart() -> None:
    told = [tuple(row) for row in estimate(tart_shoot()).summary.itertuples(index=False)]
    assert told[:4] == [
        ("Bought value", Decimal("38.64"), "what the tills take"),
        ("Used value", Decimal("31.34"), "what the shots take, trim and spoilage included"),
        ("of which from on hand", Decimal("3.35"), "stock that is not bought again"),
        ("Left value", Decimal("10.65"), "bought + from on hand - used"),
    ]
    assert told[-1] == ("Findings", "2 warnings, 1 note", "Listed on the sheet Findings.")


def test_summary__says_why_the_left_value_is_below_zero() -> None:
    """3 trips of 0.49 + 5 % are 3 x 0.51 = 1.53 at the till; 3 x 0.5145 = 1.5435 are used."""
    days = {"A": "2031-12-02", "B": "2031-12-05", "C": "2031-12-12"}
    told = figures(
        *(LEEK, sound("leek", keeps_days=1), pack("leek", "100 g", "0.49", shop="market")),
        *(Episode(name=name, shoot_date=day) for name, day in days.items()),
        *(Shot(dish="soup", episode=name) for name in days),
        prices_include_tax=False,
        tax_rate=Fraction(1, 20),
        currency="EUR",
    )
    assert (told[0][1], told[2][1]) == (Decimal("1.53"), Decimal("1.54"))
    assert told[4] == (
        *("Left value", Decimal("-0.01")),
        "bought + from on hand - used; below 0 where the tills rounded down",
    )


def test_summary__one_more_of_a_swap_is_free_and_of_a_reset_is_not() -> None:
    """A case more takes 250 g flour of 370 left, 125 g butter of 125, an egg of 5 and salt: free.
    A reset more takes 15 g hazelnut of 120 left, 11 1/9 g parsley of 46 2/3 and honey: free too;
    a hero more takes 125 g butter of 125, but 80 g cheese of 60 left: one pack more at 3.49, and
    555 5/9 g leek of 27 7/9 left: 11 steps of 50 g more, 1.04 at 1.89 a kilogram.
    """
    told = {row["figure"]: row["value"] for row in estimate(tart_shoot()).tables()["summary"].rows}
    assert told["One more of P2"] == Decimal("0.00")
    assert told["One more of P7"] == Decimal("0.00")
    assert told["One more of P3"] == Decimal("4.53")


def test_summary__one_more_names_the_episode_where_shots_are_called_alike() -> None:
    """Two episodes with a soup each, and one with a tart: 100 g of a pack of 1 kg each."""
    told = figures(
        *(line(dish, "leek", "100 g") for dish in ("soup", "tart")),
        pack("leek", "1 kg", "3"),
        *(Shot(dish="soup", episode=name) for name in ("One", "Two")),
        Shot(dish="tart", episode="Two"),
    )
    assert [name for name, *_ in told if str(name).startswith("One more of")] == [
        "One more of One: soup, cook-through",
        "One more of Two: soup, cook-through",
        "One more of tart, cook-through",
    ]


def test_summary__tax_is_shown_when_there_is_any() -> None:
    """One pack at 1.00 and a fifth of it on top."""
    told = figures(
        LEEK,
        pack("leek", "100 g", "1"),
        SHOT,
        prices_include_tax=False,
        tax_rate=Fraction(1, 5),
    )
    assert told[:2] == [
        ("Bought value", Decimal("1.20"), "what the tills take"),
        ("of which tax", Decimal("0.20"), ""),
    ]


def test_summary__total_says_what_it_leaves_out() -> None:
    told = figures(LEEK, pack("leek", "100 g", None), SHOT)
    missing = "; unknown above this, without the price of 1 x 100 g of leek"
    assert told[0] == ("Bought value", Decimal("0.00"), "what the tills take" + missing)
    assert str(told[1][2]).endswith(missing)
    assert str(told[3][2]).endswith(missing)


def goods(names: str, price: str | None) -> tuple[Any, ...]:
    """A soup of 1 kg of each, of which there are packs of 1 kg."""
    packs = [pack(name, "1 kg", price) for name in names]
    return (*(line("soup", name, "1 kg") for name in names), *map(sound, names), *packs, SHOT)


@pytest.mark.parametrize(
    ("names", "said"),
    [
        ("abc", "; ".join(f"the price of 1 x 1 kg of {name}" for name in "abc")),
        ("abcd", "what the bought value leaves out too"),
    ],
)
def test_summary__a_long_list_of_what_is_left_out_is_said_once(names: str, said: str) -> None:
    told = {row[0]: row[2] for row in figures(*goods(names, None))}
    assert str(told["Used value"]).endswith(f"unknown above this, without {said}")
    assert str(told["Bought value"]).endswith(f"of {names[-1]}")


def test_summary__names_three_of_many() -> None:
    """Of four goods nothing is left, each costs the 1.00 of its pack: the first three are named."""
    told = figures(*goods("abcd", "1.00"))
    dearest = [row[0] for row in told if str(row[0]).startswith("Among what costs most")]
    assert dearest == [f"Among what costs most: {name}" for name in "abc"]
    (spare,) = [row[2] for row in told if row[0] == "Nothing to spare"]
    assert spare == "of a, b, c and 1 more: less than a hundredth is over"


def test_summary__portions_minutes_and_budget_divide_and_compare() -> None:
    """300 g of 1 kg at 3.00: 0.90 used; 4 portions 0.225, half up 0.23; 6 minutes 0.15."""
    told = figures(
        line("soup", "leek", "300 g"),
        sound("leek"),
        pack("leek", "1 kg", "3"),
        Episode(name="One", portions=Fraction(4), minutes=Fraction(6), budget=Decimal("2.50")),
        SHOT,
        currency="EUR",
    )
    assert told[4:] == [
        ("Used for a portion of One", Decimal("0.23"), "4 portions"),
        ("Used for a minute of One", Decimal("0.15"), "6 minutes"),
        ("Over budget, One", Decimal("0.50"), "share of bought less budget"),
        ("One more of soup, cook-through", Decimal("0.00"), "fits in what is bought and on hand"),
        ("Among what costs most: leek", Decimal("3.00"), "cook-through 100 %"),
        ("Findings", "no findings", ""),
    ]


@pytest.mark.parametrize(
    ("budget", "over", "note"),
    [
        ("2.99", Decimal("0.01"), "bought value less budget"),
        ("3", None, "the bought value is within it"),
    ],
)
def test_summary__a_budget_that_is_just_spent_is_kept(
    budget: str, over: Decimal | None, note: str
) -> None:
    """A bag at 3.00."""
    bag = pack("leek", "1 kg", "3")
    told = figures(LEEK, sound("leek"), bag, SHOT, budget=Decimal(budget), currency="EUR")
    assert ("Over budget", over, note) in told


def test_summary__each_episode_of_several_has_its_part() -> None:
    told = figures(
        LEEK,
        sound("leek"),
        pack("leek", "1 kg", "3"),
        Episode(name="One", title="Leeks"),
        Episode(name="Two", budget=Decimal(5)),
        *(Shot(dish="soup", episode=name) for name in ("One", "Two")),
        currency="EUR",
    )
    assert told[4:9] == [
        ("Used by One", Decimal("0.30"), "Leeks"),
        ("Share of bought, One", Decimal("1.50"), ""),
        ("Used by Two", Decimal("0.30"), ""),
        ("Share of bought, Two", Decimal("1.50"), ""),
        ("Over budget, Two", None, "the share of bought is within it"),
    ]


def test_summary__an_episode_says_what_its_part_leaves_out() -> None:
    """Only the episode that takes mint does not know what it costs."""
    told = figures(
        LEEK,
        line("tea", "mint", "10 g"),
        *(sound("leek"), sound("mint"), pack("leek", "1 kg", "3"), pack("mint", "50 g", None)),
        Episode(name="One", portions=Fraction(2)),
        Episode(name="Two", title="Mint", budget=Decimal(5), portions=Fraction(3)),
        Shot(dish="soup", episode="One"),
        Shot(dish="tea", episode="Two"),
        currency="EUR",
    )
    notes = {str(figure): note for figure, _, note in told}
    assert [notes[name] for name in ("Used by One", "Used for a portion of One")] == [
        "",
        "2 portions",
    ]
    price = "the price of 1 x 50 g of mint"
    assert notes["Share of bought, Two"] == f"unknown above this, without {price}"
    assert notes["Used by Two"] == f"Mint; unknown above this, without {price}"
    assert notes["Used for a portion of Two"] == "3 portions; unknown above this"
    assert notes["Over budget, Two"] == f"within it as far as is known, without {price}"


def test_summary__what_is_bought_of_an_episode_is_whole_where_only_stock_has_no_value() -> None:
    """Salt, plenty of it on hand: nobody knows what is used of it, and nothing of it is bought."""
    told = figures(
        *(LEEK, line("soup", "salt", "5 g"), sound("leek"), sound("salt")),
        *(pack("leek", "500 g", "3"), lot("salt", None, plenty=True)),
        *(Episode(name="One", budget=Decimal(1)), Episode(name="Two")),
        *(Shot(dish="soup", episode=name) for name in ("One", "Two")),
        currency="EUR",
    )
    notes = {str(figure): note for figure, _, note in told}
    without = "unknown above this, without the value of salt, of which there is plenty"
    assert notes["Used by One"] == without
    assert str(notes["Used value"]).endswith(without)
    assert notes["Left value"] == "bought + from on hand - used", "it is used and on hand alike"
    assert notes["Share of bought, One"] == ""
    assert notes["Over budget, One"] == "share of bought less budget"


def test_summary__an_amount_nobody_knows_is_left_out_where_it_is_taken() -> None:
    """Saffron is in the paella alone; the soup of the other day is complete."""
    told = figures(
        LEEK,
        line("paella", "saffron", None),
        line("paella", "leek", "50 g"),
        *(sound("leek"), sound("saffron"), pack("leek", "1 kg", "3"), pack("saffron", "1 g", "4")),
        *(Episode(name=name) for name in ("One", "Two", "Three")),
        Shot(dish="soup", episode="One"),
        Shot(dish="paella", episode="Two"),
        Shot(dish="soup", episode="Three", times=0, most=2),
    )
    notes = {str(figure): note for figure, _, note in told}
    assert notes["Used by Two"] == (
        'unknown above this, without how much saffron goes into "paella"'
    )
    assert notes["Used by One"] == notes["Used by Three"] == ""


def test_summary__a_take_that_may_be_is_left_out_where_its_price_is_unknown() -> None:
    """Mint of a take that is likely not made has no price: the share of its day is not whole."""
    told = figures(
        LEEK,
        line("tea", "mint", "10 g"),
        *(sound("leek"), sound("mint"), pack("leek", "1 kg", "3"), pack("mint", "50 g", None)),
        *(Episode(name=name) for name in ("One", "Two")),
        Shot(dish="soup", episode="One"),
        Shot(dish="tea", episode="Two", times=0, most=3),
    )
    notes = {str(figure): note for figure, _, note in told}
    assert notes["Used by Two"] == "unknown above this, without the price of 1 x 50 g of mint"
    assert notes["Used by One"] == ""


def test_summary__containers_past_a_limit_are_counted_and_named() -> None:
    """Cooked at 10:00 and asked at 15:00: past two hours under the general rule."""
    bowl = Container(
        name="bowl",
        holds=("leek",),
        events=(Event(kind=EventKind.COOKED, at=datetime(2031, 5, 10, 10, 0)),),
    )
    shoot = shoot_of(LEEK, bowl, SHOT, time_zone="Europe/Lisbon")
    told = estimate(shoot, at=datetime(2031, 5, 10, 15, 0)).summary
    (past,) = [r for r in told.itertuples(index=False) if r.figure == "Containers past a limit"]
    assert past.value == 1
    assert past.note == "bowl. Reminders based on published rules, see Holding times."


def test_summary__containers_are_judged_at_the_last_event_of_the_log() -> None:
    """Nobody asked about a time: at 12:00, when the first has been out for two hours."""
    bowls = [
        Container(
            name=f"bowl {hour}",
            holds=("leek",),
            events=(Event(kind=EventKind.COOKED, at=datetime(2031, 5, 10, hour)),),
        )
        for hour in (10, 12)
    ]
    shoot = shoot_of(LEEK, *bowls, SHOT, time_zone="Europe/Lisbon")
    told = {row.figure: row for row in estimate(shoot).summary.itertuples(index=False)}
    assert told["Containers past a limit"].note == (
        "bowl 10. Reminders based on published rules, see Holding times."
    )


def test_assumptions__none_for_a_shoot_that_says_everything() -> None:
    assert (
        assumed(
            LEEK,
            sound("leek"),
            pack("leek", "1 kg", "3"),
            Episode(name="One", shoot_date=date(2031, 5, 10)),
            SHOT,
            currency="EUR",
            shopping_date=date(2031, 5, 9),
        )
        == []
    )


@pytest.mark.parametrize(
    ("parts", "settings", "expected"),
    [
        (
            [LEEK, sound("leek"), pack("leek", "1 kg", "3"), SHOT],
            {},
            (
                "Settings",
                "Currency",
                "none: two digits and no sign",
                "rule of this library",
                "Fill Currency, a code of three letters.",
            ),
        ),
        (
            [LEEK, sound("leek"), SHOT, Episode(name="One", shoot_date=date(2031, 5, 10))],
            {},
            (
                "Settings",
                "Shopping date",
                "2031-05-09",
                "the day before the first shoot date",
                "Fill Shopping date.",
            ),
        ),
        (
            [line("soup", "leek", "1 tbsp"), sound("leek"), SHOT],
            {},
            (
                "Settings",
                "What tbsp means",
                "metric",
                "rule of this library",
                "Fill Measures.",
            ),
        ),
        (
            [LEEK, sound("leek"), Shot(dish="soup", name="P1", purpose=Purpose.BITE)],
            {},
            (
                '\'Shoot plan\' (row "P1", column "Eaten")',
                'Whether the food of "P1" is eaten',
                "yes",
                "the purpose bite",
                "Fill Eaten.",
            ),
        ),
        (
            [
                line(
                    "soup",
                    "egg",
                    "3 each",
                    amount_low=amount("2 each"),
                    row=row("Recipes", 4, "egg", Amount="E"),
                ),
                SHOT,
            ],
            {},
            (
                "Recipes!E4",
                'egg in "soup", a range from 2 each',
                "3 each",
                "the upper end is bought",
                "Write one number into Amount.",
            ),
        ),
        (
            [LEEK, SHOT],
            {},
            (
                'Ingredients (row "leek", column "Trim yield %")',
                "Trim yield of leek",
                "100 %",
                "none given: nothing is taken to be lost in trimming",
                "Fill Trim yield % for leek.",
            ),
        ),
        (
            [
                LEEK,
                sound("leek", holding_class=HoldingClass.NONE),
                pack("leek", "1/2 kg", "3"),
                lot("leek", "60 g"),
                SHOT,
            ],
            {"currency": "EUR"},
            (
                '\'On hand\' (row "leek", column "Value")',
                "Value of leek on hand",
                "6 EUR for 1 kg",
                "the cheapest pack price per unit",
                "Fill Value with money for the whole lot.",
            ),
        ),
        (
            [LEEK, sound("leek", spoilage=Fraction(1, 5)), SHOT],
            {},
            (
                'Episodes (row "Episode 1", column "Shoot date")',
                'Days from shopping to the shoot of "Episode 1"',
                "1",
                "no date: the shoot is taken to be the day after shopping",
                "Fill Shoot date.",
            ),
        ),
    ],
    ids=[
        "currency",
        "shopping date",
        "measures",
        "eaten",
        "range",
        "trim yield",
        "value of stock",
        "days of spoilage",
    ],
)
def test_assumptions__each_value_nobody_typed(
    parts: list[Any], settings: dict[str, Any], expected: tuple[str, ...]
) -> None:
    assert assumed(*parts, **settings) == [expected]


def test_assumptions__what_holding_is_judged_by() -> None:
    told = assumed(LEEK, sound("leek"), Container(name="bowl"), SHOT)
    assert [(about, used) for _, about, used, _, _ in told] == [
        ("Time zone", "Europe/Lisbon"),
        ("Holding rules", "US-HOME-2H"),
        ("Room temperature", "unknown; the hot-room limit where a rule has one"),
    ]


@pytest.mark.parametrize(
    ("rows", "told"),
    [
        ([Episode(name="one", shoot_date=date(2031, 5, 10), call_time=time(8))], True),
        ([Episode(name="one", shoot_date=date(2031, 5, 10))], False),
        ([Episode(name="one", call_time=time(8))], False),
        ([Logged(what="leek", event="counted", amount="1 g", when="2031-05-10 09:00")], True),
    ],
    ids=["times on a date", "a date alone", "times without a date", "a log"],
)
def test_assumptions__the_computers_zone_where_times_are_told(rows: list[Any], told: bool) -> None:
    abouts = [about for _, about, *_ in assumed(LEEK, sound("leek"), SHOT, *rows)]
    assert ("Time zone" in abouts) is told


def test_assumptions__a_dish_in_a_loop_has_no_trim_yield() -> None:
    assert assumed(line("soup", "soup", "1 batch"), SHOT) == []


def test_estimate__takes_the_computers_zone_when_none_is_set() -> None:
    assert estimate(shoot_of(LEEK, SHOT)).zone == computers_zone()


def test_estimate__is_the_same_twice_and_findings_stand_in_order_once() -> None:
    one, other = estimate(tart_shoot()), estimate(tart_shoot())
    assert one.as_json() == other.as_json()
    assert len(set(one.findings)) == len(one.findings)


def test_estimate__nothing_at_all_is_an_answer_too() -> None:
    """No recipes: one finding, empty tables, totals of nothing."""
    empty = estimate(shoot_of())
    assert [finding.code for finding in empty.findings] == ["nothing to cook"]
    assert empty.totals.bought == 0
    assert len(empty.to_buy) == len(empty.needs) == len(empty.food_cost) == 0


@pytest.mark.parametrize(
    ("slices", "whole", "rest"),
    [("3 each", True, ", and what is left of cake"), ("8 each", True, ""), ("3 each", False, "")],
    ids=["three eighths", "all of it", "no whole batches"],
)
def test_summary__used_value_has_what_is_left_of_whole_batches(
    slices: str, whole: bool, rest: str
) -> None:
    """A cake of eight pieces takes a bag of 400 g; nobody bakes three eighths of it."""
    told = figures(
        *(line("cake", "flour", "400 g"), sound("flour"), pack("flour", "400 g", "1.00")),
        Dish(name="cake", makes="8 each", whole_batches=whole),
        *(line("plate", "cake", slices), Shot(dish="plate")),
    )
    (used,) = [row[1:] for row in told if row[0] == "Used value"]
    value = Decimal("1.00" if whole else "0.38")
    assert used == (value, f"what the shots take, trim and spoilage included{rest}")
