"""What is said where the published tables do not decide, and of what does not keep."""

from __future__ import annotations

from datetime import date
from fractions import Fraction
from typing import Any

import pytest
from small import books_of_shoot, line, lot, pack, purchase, row, shoot_of, sound

from costing.buying.out_of_plan import check_dates, out_of_plan
from costing.buying.published import with_published
from costing.estimating import estimate
from costing.kitchen import HoldingClass, Ingredient, Measured
from costing.quantities import amount
from costing.shoot import Episode, Shoot, Shot, Trip
from costing.shoot.defaults import completed

SHOT = Shot(dish="soup")


def told(code: str, *parts: Any) -> list[str]:
    """The whole text of each finding of one code."""
    findings = estimate(shoot_of(*parts, SHOT)).findings
    return [str(finding) for finding in findings if finding.code == code]


def test_published__unknown_foods_stay_unknown() -> None:
    shoot = shoot_of(line("soup", "moon dust", "10 g"), pack("moon dust", "1 kg", "1"), SHOT)
    published = with_published(shoot)
    assert published.fills == []
    assert published.shoot.ingredient("moon dust") == Ingredient(name="moon dust")


def test_published__row_of_the_sheet_keeps_its_place() -> None:
    """Filled ingredients stay in their order; those without a row come behind."""
    parts = [
        line("soup", "onion", "10 g"),
        line("soup", "leek", "10 g"),
        Ingredient(name="Leek", section="greens"),
    ]
    shoot = with_published(shoot_of(*parts, SHOT)).shoot
    assert [(i.name, i.section) for i in shoot.ingredients] == [("Leek", "greens"), ("onion", "")]


def test_message__several_published_values() -> None:
    """Of two yields the lesser is taken: 77 g are 100 g as bought, one pack with either."""
    parts = [line("soup", "apple", "77 g"), pack("apple", "1 kg", "2")]
    assert told("several published values", *parts) == [
        'Ingredients (row "apple", column "Trim yield %"): found a blank cell for apple, with '
        "several published values: it depends on the state in which it is bought and used, "
        "expected one of 90 (whole -> cored (less core and stem)) or 77 (whole -> cored and "
        "peeled (less 10% core and stem, 13% skin)) [several published values]\n"
        "  Write the one that is meant into the cell; until then the one that buys most is taken: "
        "77."
    ]
    found = estimate(shoot_of(*parts, SHOT))
    assert purchase(found.books, "apple").need.total == 100


@pytest.mark.source("us-fish-market-forms", "whole 45, fillets 100")
@pytest.mark.parametrize(("price", "told_with_prices"), [("5.00", False), ("5.01", True)])
def test_published__ends_more_than_a_quarter_apart_in_money_are_told(
    price: str, told_with_prices: bool
) -> None:
    """400 g of meat are 889 g of whole fish, a pack of 1 kg, and of fillet a pack for 4.00."""
    packs = pack("salmon", "1 kg", price), pack("salmon", "400 g", "4")
    (text,) = told("several published values", line("soup", "salmon", "400 g"), *packs)
    assert (f"With it salmon costs {price}, with another" in text) is told_with_prices


@pytest.mark.source(
    "us-fish-market-forms", "whole 45, drawn 48, dressed 67, steaks 84, fillets 100"
)
@pytest.mark.parametrize("fish", ["salmon", "cod"])
def test_published__a_fish_is_asked_with_prices_and_its_fillet_is_not(fish: str) -> None:
    """800 g of meat: 1778 g of whole fish are four packs of 4 each, of fillet 800 g two."""
    fillet = [line("soup", f"{fish} fillet", "800 g"), pack(f"{fish} fillet", "500 g", "4")]
    assert told("several published values", *fillet) == []
    found = estimate(shoot_of(*fillet, SHOT))
    assert purchase(found.books, f"{fish} fillet").need.total == 800
    plain = [line("soup", fish, "800 g"), pack(fish, "500 g", "4")]
    (text,) = told("several published values", *plain)
    assert text.endswith(
        "the one that buys most is taken: 45. With it "
        f"{fish} costs 16.00, with another as little as 8.00."
    )
    assert purchase(estimate(shoot_of(*plain, SHOT)).books, fish).need.total == Fraction(16000, 9)


def test_message__one_published_value_of_something_else() -> None:
    """The yield of lemon flesh is taken for want of another, and never silently."""
    assert told(
        "several published values", line("soup", "lemon", "53 g"), pack("lemon", "1 kg", "2")
    ) == [
        'Ingredients (row "lemon", column "Trim yield %"): found a blank cell for lemon, with one '
        "published value: what is published is not of the food as it is used: the flesh; not for "
        "juice or zest, expected 53 (whole -> flesh without peel and seeds (less 45% peel, 2% "
        "seeds)), or your own [several published values]\n"
        "  Write the one that is meant into the cell; until then it is 53."
    ]


def test_message__several_cooked_measures() -> None:
    """4 cups cooked: 496 g or 604 g, so 208 g or 254 g dry: 4 or 5 packs of 60 g."""
    cooked = line("soup", "spaghetti", "4 US cup", measured=Measured.COOKED)
    assert told("several cooked measures", cooked, pack("spaghetti", "60 g", "1")) == [
        'Recipes (row "spaghetti", column "Amount"): found 4 US cup of spaghetti measured cooked, '
        "and several published weights of it, expected one of 0.5241 g/ml (unpacked) for "
        "4.00 or 0.6382 g/ml (packed) for 5.00 [several cooked measures]\n"
        "  Write the cooked amount in g, or the cut that is meant; until then the one that buys "
        "most is taken: 0.6382."
    ]


def test_message__cooked_measure_missing() -> None:
    """Dry density and cooked weight are known; what a cup cooked weighs is not."""
    cooked = line("soup", "moon grain", "2 US cup", measured=Measured.COOKED)
    grain = sound("moon grain", cooked_weight=Fraction(2), density=Fraction(1, 2))
    assert told("cooked measure missing", cooked, grain, pack("moon grain", "1 kg", "2")) == [
        'Recipes (row "moon grain", column "Unit"): found 2 US cup of moon grain measured cooked, '
        "and no published weight of a cup of it cooked, expected the cooked moon grain by weight, "
        "or the raw by any measure [cooked measure missing]\n"
        "  Weigh it cooked and write the amount in g, or write what goes into the pan and trimmed "
        "into Measured."
    ]


def test_message__no_published_name() -> None:
    assert told(
        "no published name", line("soup", "brocoli", "400 g"), pack("brocoli", "1 kg", "2")
    ) == [
        'Ingredients (row "brocoli", column "Trim yield %"): found a blank cell, and no published '
        'values under the name "brocoli", expected a value, or a name of the tables; the nearest '
        "is broccoli [no published name]\n"
        '  Fill the cell; costing published "broccoli" shows what is known of that food.'
    ]


def test_message__class_against_the_tables() -> None:
    parts = [
        line("soup", "egg", "2 each"),
        Ingredient(
            name="egg",
            holding_class=HoldingClass.NONE,
            row=row("Ingredients", 2, "egg", Holding_class="I"),
        ),
    ]
    assert told("class against the tables", *parts) == [
        'Ingredients!I2 (row "egg", column "Holding class"): found the holding class none for egg, '
        'expected the published class "always" (Food Code 2022, section 1-201.10(B), definition of '
        "TCS food, US Food and Drug Administration; 1-201.10(B), TCS food; also Indiana Code "
        "16-18-2-351.7 (secondary)), or a reason to differ from it [class against the tables]\n"
        "  Write the published class unless an assessment of this very food says otherwise; as it "
        "is, no time is counted for it."
    ]


def test_message__allergens_against_the_tables() -> None:
    """None is typed for both; a leek brings none by the tables too."""
    names = ("butter", "leek")
    parts = [line("soup", name, "20 g") for name in names]
    typed = [
        Ingredient(name=name, allergens=(), row=row("Ingredients", at, name, Allergens="J"))
        for at, name in enumerate(names, 2)
    ]
    assert told("allergens against the tables", *parts, *typed) == [
        'Ingredients!J2 (row "butter", column "Allergens"): found none for butter, expected milk '
        "(Regulation (EU) No 1169/2011, Annex II, European Union; Annex II point 7 (memory)), or "
        "a pack that says otherwise [allergens against the tables]\n"
        "  Write what the pack says; as it is, nobody who avoids that is warned."
    ]


def bought_on(day: int, keeps: str, *needed: int, **more: Any) -> Shoot:
    """Leek bought on a day of May and needed on others, in a shoot filled in."""
    parts: list[Any] = [
        line("soup", "leek", "100 g"),
        sound("leek", keeps_days=Fraction(keeps)),
        pack("leek", "100 g", "1"),
        *more.get("lots", ()),
    ]
    for number in needed:
        name = f"on the {number}th"
        parts.append(Episode(name=name, shoot_date=date(2031, 5, number)))
        parts.append(Shot(dish="soup", episode=name))
    return completed(shoot_of(*parts, shopping_date=date(2031, 5, day)))[0]


@pytest.mark.parametrize(
    ("keeps", "not_before"),
    [("3", None), ("2.9", 8), ("2", 8), ("1", 9), ("0", 10)],
    ids=["three days", "nearly three", "two", "one", "none"],
)
def test_out_of_plan__bought_on_the_7th_and_needed_on_the_10th(
    keeps: str, not_before: int | None
) -> None:
    """Whole days count: what keeps two days and is needed on the 10th is bought on the 8th."""
    shoot = bought_on(7, keeps, 10)
    bought = purchase(books_of_shoot(shoot), "leek")
    soon = out_of_plan(bought, bought.lines[0], shoot)
    assert (None if soon is None or soon.first is None else soon.first.day) == not_before


def test_out_of_plan__counts_to_the_last_day_and_only_what_is_bought() -> None:
    """Stock serves the 8th, so what is bought waits for the 12th; stock for both buys nothing."""
    some = bought_on(7, "2", 8, 12, lots=[lot("leek", "150 g", use_by=date(2031, 5, 30))])
    bought = purchase(books_of_shoot(some), "leek")
    assert bought.taken.by_episode == {"on the 8th": 100, "on the 12th": 50}
    soon = out_of_plan(bought, bought.lines[0], some)
    assert soon is not None
    assert soon.first is not None
    assert (soon.needed.day, soon.first.day) == (12, 10)
    enough = bought_on(7, "2", 8, 12, lots=[lot("leek", "200 g", use_by=date(2031, 5, 30))])
    assert purchase(books_of_shoot(enough), "leek").lines == ()


def test_message__does_not_keep() -> None:
    shoot = bought_on(7, "1", 10)
    (finding,) = check_dates(books_of_shoot(shoot).purchases, shoot)
    assert str(finding) == (
        'Ingredients (row "leek", column "Keeps days"): found leek bought on 2031-05-07, which '
        "keeps 1 day, needed on 2031-05-10, expected a day of shopping within its storage life "
        "[does not keep]\n"
        "  Buy it on 2031-05-09 or later, by 2031-05-10, or fill Keeps days if yours keeps longer."
    )


@pytest.mark.parametrize(
    ("dates", "trips", "told_of"),
    [
        pytest.param((7, 10), (10,), [], id="between the shoots"),
        pytest.param((7, 12), (12,), [], id="on the day of the last"),
        pytest.param((7, 13), (), [13], id="a date after the last"),
        pytest.param((7,), (10, 14), [14], id="a trip after the last"),
    ],
)
def test_check_dates__only_what_is_after_the_last_shoot_buys_for_none(
    dates: tuple[int, ...], trips: tuple[int, ...], told_of: list[int]
) -> None:
    """Shoots are on the 8th and the 12th; a day between them still buys for the second."""
    shoot = bought_on(7, "30", 8, 12)
    settings = shoot.settings.model_copy(
        update={"more_shopping_dates": tuple(date(2031, 5, day) for day in dates[1:])}
    )
    shoot = shoot.changed(
        settings=settings, trips=tuple(Trip(shop="", day=date(2031, 5, day)) for day in trips)
    )
    found = check_dates(books_of_shoot(shoot).purchases, shoot)
    texts = [str(one) for one in found if one.code == "shopping after all shoots"]
    assert [f"found 2031-05-{day}" in text for day, text in zip(told_of, texts, strict=True)] == [
        True
    ] * len(told_of)
    assert all("2031-05-12" in text for text in texts)


def test_published__amounts_of_a_range_are_turned_at_both_ends() -> None:
    """Honey by the spoon, sold by weight: both ends in grams."""
    honey = line("soup", "honey", "2 tbsp", amount_low=amount("1 tbsp"))
    shoot = with_published(shoot_of(honey, pack("honey", "500 g", "4"), SHOT)).shoot
    low, high = shoot.lines[0].amount_low, shoot.lines[0].amount
    assert low is not None
    assert high is not None
    assert high == low * 2
    assert low.unit.name == "g"
