"""Every message about needs, packs and stock, as it arises from a small shoot, whole text."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from fractions import Fraction
from math import ceil
from typing import Any

import pytest
from small import all_findings, codes, line, lot, pack, row, said, shoot_of, sound

from costing.buying.basket import Offer, cheapest_mixtures
from costing.buying.published import with_published
from costing.estimating import estimate
from costing.findings import Place
from costing.kitchen import Dish, HoldingClass, Line, Measured, Pack, Shop
from costing.quantities import amount
from costing.shoot import Episode, LeftOut, Shot

SOUP = line("soup", "leek", "400 g")
SHOT = Shot(dish="soup", name="P1")
DAY = date(2031, 5, 10)


@pytest.mark.parametrize(
    ("text", "sold", "heading", "unit"),
    [
        ("30 ml", "1 kg", "Grams per ml", "kg"),
        ("30 g", "1 each", "Grams per piece", "each"),
        ("2 each", "500 ml", "Grams per piece", "ml"),
    ],
    ids=["ml bought by weight", "g bought by the piece", "pieces bought by volume"],
)
def test_message__conversion_missing(text: str, sold: str, heading: str, unit: str) -> None:
    example = {"Grams per ml": "0.92", "Grams per piece": "50"}[heading]
    shoot = shoot_of(
        line("soup", "leek", text, row=row("Recipes", 2, "leek", Amount="E")),
        pack("leek", sold, "1.89"),
        sound("leek", row=row("Ingredients", 3, "leek", Grams_per_ml="E", Grams_per_piece="F")),
        SHOT,
    )
    cell = {"Grams per ml": "E3", "Grams per piece": "F3"}[heading]
    weighed = {"Grams per ml": "1 cup = 125 g", "Grams per piece": "1 bunch = 60 g"}[heading]
    assert said(shoot, "conversion missing") == [
        f'Ingredients!{cell} (row "leek", column "{heading}"): found a blank cell, while the '
        f"recipes take {text} of leek (Recipes!E2) and it is bought in {unit}, expected "
        f"{heading.lower()}, such as {example} [conversion missing]\n"
        f"  Write into Weighs on the sheet Ingredients what a cook can weigh, such as {weighed}, "
        f"or fill {heading} there, or write the recipe in a unit of the same kind as {unit}."
    ]


@pytest.mark.parametrize(
    ("name", "cut", "printed"),
    [
        ("kale", "chopped", '"1 cup, chopped = 67 g", printed for scotch kale'),
        ("spinach", "packed", '"1 cup = 30 g", printed without a cut'),
        ("canned chickpeas", "drained", '"1 cup = 164 g", printed for boiled and drained'),
        ("burdock root", "", '"1 cup (1" pieces) = 118 g", printed for pieces'),
    ],
    ids=["another kale", "packed", "drained", "no cut in the line"],
)
def test_message__measure_of_another_cut(name: str, cut: str, printed: str) -> None:
    lines = [line("soup", name, "1 cup", cut=cut)] * 2
    found = with_published(shoot_of(*lines, pack(name, "1 kg", "2"), SHOT)).findings
    texts = [str(finding) for finding in found if finding.code == "measure of another cut"]
    assert texts == [
        f'Ingredients (row "{name}", column "Grams per ml"): found the published {printed}, for '
        f"{name} {cut or 'without a cut'}, expected a weight of the cut that the recipe measures "
        "[measure of another cut]\n"
        "  It is used; weigh a cup of yours and write it into Weighs, such as 1 cup = 125 g, if it "
        "differs. What is packed, drained or cut finer weighs differently."
    ]


def test_message__cooked_weight_missing() -> None:
    shoot = shoot_of(
        line("soup", "rice", "400 g", measured=Measured.COOKED), pack("rice", "1 kg", "2"), SHOT
    )
    assert said(shoot, "cooked weight missing") == [
        'Ingredients (row "rice", column "Cooked weight %"): found a blank cell, while Recipes '
        '(row "rice", column "Amount") measures rice cooked, expected cooked weight in percent '
        "of the trimmed raw weight, such as 250 for a grain [cooked weight missing]\n"
        "  Fill Cooked weight % for rice on the sheet Ingredients, or write the raw amount in "
        "the recipe."
    ]


@pytest.mark.parametrize(("text", "shown"), [("2 portions", "2 portion"), ("1 batch", "1 batch")])
def test_message__portion_of_an_ingredient(text: str, shown: str) -> None:
    shoot = shoot_of(line("soup", "leek", text), pack("leek", "1 kg", "1.89"), SHOT)
    assert said(shoot, "portion of an ingredient") == [
        f'Recipes (row "leek", column "Unit"): found {shown} of leek, which is not a dish, '
        "expected a weight, a volume or a number of pieces [portion of an ingredient]\n"
        "  Write the amount in such a unit, or give leek a recipe of its own."
    ]


def test_message__trim_yield_not_given() -> None:
    shoot = shoot_of(SOUP, pack("leek", "1 kg", "1.89"), SHOT)
    assert said(shoot, "trim yield not given") == [
        'Ingredients (row "leek", column "Trim yield %"): found a blank cell, expected the edible '
        "part in percent, above 0 and at most 100 [trim yield not given]\n"
        "  Counted as 100, nothing lost in trimming: leek. If something is cut away, write what is "
        "left in percent."
    ]


def test_message__trim_yield_is_not_asked_of_pieces() -> None:
    shoot = shoot_of(line("soup", "egg", "1 each"), pack("egg", "6 each", "1.99"), SHOT)
    assert said(shoot, "trim yield not given") == []


def test_message__nothing_is_asked_of_what_is_only_to_taste() -> None:
    """Nothing is computed of it: neither a yield nor its name in the tables matters."""
    taste = Line(dish="soup", ingredient="oregno", amount="To taste")
    assert (taste.to_taste, taste.amount) == (True, None)
    found = with_published(shoot_of(SOUP, taste, pack("oregno", "1 kg", "2"), SHOT)).findings
    assert [f.code for f in found if "oregno" in str(f)] == []


def test_message__price_missing_of_one_pack_where_another_has_its_price() -> None:
    """The pack with a price is bought, and no total leaves anything out."""
    shoot = shoot_of(
        SOUP, sound("leek"), pack("leek", "400 g", None), pack("leek", "400 g", "5"), SHOT
    )
    assert len(said(shoot, "price missing")) == 1
    totals = estimate(shoot).totals
    assert (totals.bought, totals.missing) == (Decimal("5.00"), ())


def test_message__lot_of_a_dish_in_another_unit_than_it_makes() -> None:
    shoot = shoot_of(
        line("soup", "leek", "100 g"),
        line("pie", "soup", "2 portions"),
        Dish(name="soup", makes=amount("4 portions")),
        lot("soup", "500 ml"),
        Shot(dish="pie"),
    )
    (text,) = said(shoot, "dish amount unclear")
    assert text.startswith(
        '\'On hand\' (row "soup", column "Unit"): found 500 ml of the dish "soup" and a dish that '
        "makes portions, expected"
    )
    assert said(shoot, "lot taken as good") == []


def test_message__cooked_volume_without_a_published_name_is_told_once() -> None:
    """No column holds the weight of a cooked cup, so that no blank cell of it is named."""
    cooked = line("soup", "beans", "150 ml", measured=Measured.COOKED)
    shoot = shoot_of(cooked, sound("beans", cooked_weight=Fraction(2)), SHOT)
    assert codes(all_findings(shoot)) == ["cooked measure missing"]


def test_amount_that_could_not_be_read__asks_for_no_trim_yield() -> None:
    """Whether it is counted in pieces, which need none, is not known either."""
    unread = Line(dish="soup", ingredient="bun", amount=None)
    assert said(shoot_of(unread, SHOT), "trim yield not given") == []


def test_message__price_missing() -> None:
    unpriced = Pack(
        ingredient="leek",
        amount=pack("leek", "1 kg", None).amount,
        row=row("Packs", 9, "leek", Price="E"),
    )
    shoot = shoot_of(SOUP, unpriced, SHOT)
    assert said(shoot, "price missing") == [
        'Packs!E9 (row "leek", column "Price"): found no price for leek, expected the price of a '
        "pack, or 0 if it costs nothing [price missing]\n"
        "  Fill Price on the sheet Packs; until then others are bought, or the totals leave it out."
    ]


def test_message__pack_missing() -> None:
    assert said(shoot_of(SOUP, SHOT), "pack missing") == [
        'Packs (row "leek"): found no pack yet of leek, expected Amount, Unit and Price '
        "[pack missing]\n"
        "  Fill them in on the sheet Packs; until then the list shows only how much is needed, "
        "and every total leaves it out."
    ]


def test_message__pack_and_yield_of_a_part_follow_from_its_unread_row() -> None:
    """One cause, one message: the row of Parts that cannot be read has its own."""
    row_of_parts = LeftOut(what='part "leek"', place=Place("Parts", 2), sheet="Parts", name="leek")
    other = row_of_parts.model_copy(update={"name": "lemon juice"})
    shoot = shoot_of(SOUP, SHOT)
    assert {"pack missing", "trim yield not given"} <= set(codes(all_findings(shoot)))
    assert codes(all_findings(shoot.changed(left_out=[other]))) == codes(all_findings(shoot))
    left = codes(all_findings(shoot.changed(left_out=[row_of_parts])))
    assert {"pack missing", "trim yield not given"}.isdisjoint(left)


@pytest.mark.parametrize(
    ("rows", "place", "text"),
    [
        (
            [pack("leek", "500 g", "1"), pack("leek", "1 l", "2")],
            'Packs (row "leek", column "Unit")',
            "1 l",
        ),
        (
            [pack("leek", "500 g", "1"), lot("leek", "1 l")],
            '\'On hand\' (row "leek", column "Unit")',
            "1 l",
        ),
    ],
    ids=["pack", "lot"],
)
def test_message__pack_unit_unclear(rows: list[Any], place: str, text: str) -> None:
    assert said(shoot_of(SOUP, *rows, SHOT), "pack unit unclear") == [
        f"{place}: found {text} of leek, which is counted in g, expected the same kind of unit, or "
        "grams per ml on the sheet Ingredients [pack unit unclear]\n"
        "  Fill Grams per ml for leek, or write this row in a unit of the same kind as g; until "
        "then the row is not used."
    ]


def test_message__shops_have_too_little() -> None:
    """100 g and 2 x 100 g are all there is of 400 g."""
    shoot = shoot_of(
        SOUP,
        pack("leek", "100 g", "1", at_most=1, row=row("Packs", 2, "leek", At_most="G")),
        pack("leek", "100 g", "2", at_most=2, row=row("Packs", 3, "leek", At_most="G")),
        SHOT,
    )
    assert said(shoot, "shops have too little") == [
        'Packs!G2 (row "leek", column "At most"): found all that the shops have of leek, and 100 g '
        "still missing, expected packs enough for every shot [shops have too little]\n"
        "  Raise At most at Packs!G2 and Packs!G3, add another pack, or take out a shot; the list "
        "buys all there is."
    ]


def test_message__basket_not_proven() -> None:
    """24 sizes, two of each, all but equal in price for their weight: too many ways to try."""
    sizes = [500 + 74 * n * n % 997 * 2 for n in range(24)]
    offers = [Offer(Fraction(size), Fraction(size + 20, 100), 2) for size in sizes]
    gap = cheapest_mixtures(Fraction(35807), offers).gap
    assert gap > 0
    shoot = shoot_of(
        line("soup", "leek", "35807 g"),
        *(
            pack(
                "leek",
                f"{size} g",
                str(Decimal(size + 20) / 100),
                at_most=2,
                row=row("Packs", number, "leek", Ingredient="A"),
            )
            for number, size in enumerate(sizes, 2)
        ),
        SHOT,
        currency="EUR",
    )
    assert said(shoot, "basket not proven") == [
        'Packs!A2 (row "leek", column "Ingredient"): found so many ways to buy leek that the '
        "search was ended, expected packs few enough to prove the cheapest mixture "
        "[basket not proven]\n"
        f"  What the list buys may be up to {ceil(100 * gap) / 100:.2f} EUR dearer than the "
        "cheapest; take rows out of Packs that nobody would buy."
    ]


def test_message__making_not_proven() -> None:
    """Worked by hand: a batch takes 400 g of cream, and a later day 200 g; 200 g are on hand.

    A pot of 400 g, 2.00, keeps for a day. On hand they go to the first day while times are
    uncertain, and each day takes a pot; kept for the later day they would save its pot.
    """
    shoot = shoot_of(
        line("lunch", "mousse", "4 portion"),
        line("supper", "cream", "200 g"),
        line("mousse", "cream", "400 g"),
        sound("cream", keeps_days=1),
        pack("cream", "400 g", "2.00"),
        pack("mousse", "1 portion", "3.00"),
        Dish(name="mousse", makes="4 portion", whole_batches=True, keeps_days=0),
        lot("cream", "200 g", use_by="2031-06-01"),
        line("tea", "mint", "1 g"),
        sound("mint"),
        pack("mint", "10 g", "1.00"),
        Episode(name="A", shoot_date="2031-05-10"),
        Episode(name="B", shoot_date="2031-05-14"),
        Shot(dish="lunch", episode="A"),
        Shot(dish="supper", episode="B"),
        Shot(dish="tea", episode="B", most=2),
    )
    assert said(shoot, "making not proven") == [
        'Packs (row "mousse", column "Ingredient"): found mousse made, cut or bought ready in a '
        "way that is not proven to be the cheapest, expected a way that no other can be cheaper "
        "than [making not proven]\n"
        "  What the list buys may be up to 2.00 dearer than the cheapest. While times are "
        "uncertain or a visit costs something, what is on hand of an ingredient goes to the first "
        "day that takes of it: leave its row out of On hand to compare. Else give the search "
        "longer (costing estimate --seconds)."
    ]


def test_message__making_not_proven_while_leftovers_are_counted() -> None:
    """At half, at the likeliest takes, while more are covered: no time limit has ended it."""
    shoot = shoot_of(
        line("lunch", "mousse", "4 portion"),
        line("mousse", "cream", "100 g"),
        sound("cream", keeps_days=30),
        pack("cream", "150 g", "2.00"),
        pack("mousse", "1 portion", "3.00"),
        Dish(name="mousse", makes="4 portion", whole_batches=True, keeps_days=0),
        Shot(dish="lunch", most=2),
        leftovers_counted=Fraction(1, 2),
    )
    assert said(shoot, "plan not proven") == []
    assert said(shoot, "making not proven") == [
        'Packs (row "mousse", column "Ingredient"): found mousse made, cut or bought ready in a '
        "way that is not proven to be the cheapest, expected a way that no other can be cheaper "
        "than [making not proven]\n"
        "  How much dearer than the cheapest the list is, is not known while leftovers that keep "
        "are counted: set Count leftovers that keep at % to 0 to compare."
    ]


@pytest.mark.parametrize(
    ("dates", "heading", "last"),
    [
        ({"use_by": date(2031, 5, 9)}, "Use by", "2031-05-09"),
        ({"opened": date(2031, 5, 1)}, "Opened", "2031-05-04"),
        ({"opened": date(2031, 5, 1), "use_by": date(2031, 6, 1)}, "Opened", "2031-05-04"),
        ({"opened": date(2031, 5, 9), "use_by": date(2031, 5, 9)}, "Use by", "2031-05-09"),
    ],
    ids=["use by", "opened", "opened before a later date", "opened, but the date is sooner"],
)
def test_message__lot_past_its_date(dates: dict[str, date], heading: str, last: str) -> None:
    """Three days after opening: 1 May + 3 = 4 May."""
    shoot = shoot_of(
        SOUP,
        lot("leek", "100 g", **dates),
        sound("leek", keeps_days=Fraction(3)),
        Episode(name="One", shoot_date=DAY),
        SHOT,
    )
    assert said(shoot, "lot past its date") == [
        f'\'On hand\' (row "leek", column "{heading}"): found 100 g of leek, whose last day is '
        f'{last}, before the shoot of "One", expected a last day on or after the day of use '
        "[lot past its date]\n"
        "  For that it does not count and is bought again; mend the date if it is wrong."
    ]


@pytest.mark.parametrize(("grams", "told"), [(500, 1), (400, 0), (100, 0)])
def test_message__lot_past_its_date_names_only_the_episodes_it_is_late_for(
    grams: int, told: int
) -> None:
    """A soup takes 400 g: what the first day uses up is past its date for nobody."""
    shoot = shoot_of(
        SOUP,
        lot("leek", f"{grams} g", use_by=DAY),
        *(Episode(name=name, shoot_date=DAY.replace(day=day)) for name, day in EPISODES.items()),
        *(Shot(dish="soup", episode=name) for name in EPISODES),
    )
    texts = said(shoot, "lot past its date")
    assert len(texts) == told
    words = 'whose last day is 2031-05-10, before the shoot of "Two" and "Do or die",'
    assert all(words in text for text in texts)


EPISODES = {"One": 10, "Two": 11, "Do or die": 12}


def test_message__lot_without_a_date() -> None:
    shoot = shoot_of(
        SOUP, lot("leek", "100 g"), sound("leek", holding_class=HoldingClass.WHEN_CUT), SHOT
    )
    assert said(shoot, "lot without a date") == [
        '\'On hand\' (row "leek", column "Use by"): found no date for 100 g of leek, which '
        "needs control of its temperature, expected the use-by date on the pack [lot without a "
        "date]\n"
        "  It does not count and is bought again; write the date if it is still good for the shoot."
    ]


@pytest.mark.parametrize(
    ("stock", "amount"),
    [(lot("leek", "100 g"), "100 g"), (lot("leek", None, plenty=True), "plenty")],
    ids=["amount", "plenty"],
)
def test_message__lot_taken_as_good(stock: Any, amount: str) -> None:
    assert said(shoot_of(SOUP, stock, SHOT), "lot taken as good") == [
        f'\'On hand\' (row "leek", column "Use by"): found no date for {amount} of leek, expected '
        "the use-by date on the pack [lot taken as good]\n"
        "  It counts; look at it before the shoot, or write its date."
    ]


def test_lot_taken_as_good__not_where_nothing_is_taken_of_it() -> None:
    """The only take is struck out: whether the leek is good is nobody's question."""
    none = Shot(dish="soup", times=0)
    assert said(shoot_of(SOUP, lot("leek", "100 g"), none), "lot taken as good") == []


def test_message__life_after_opening_unknown() -> None:
    """Salt was opened; with Keeps days the day counts."""
    opened = lot("salt", "100 g", opened=date(2031, 5, 1))
    parts = (line("soup", "salt", "5 g"), opened, SHOT)
    assert said(shoot_of(*parts), "life after opening unknown") == [
        '\'On hand\' (row "salt", column "Opened"): found a day of opening for salt, and no life '
        "after it, expected Keeps days on the sheet Ingredients [life after opening unknown]\n"
        "  The day changes nothing until Keeps days says how long it keeps."
    ]
    known = sound("salt", keeps_days=Fraction(9))
    assert said(shoot_of(*parts, known), "life after opening unknown") == []


def test_message__lot_amount_missing() -> None:
    assert said(shoot_of(SOUP, lot("leek", None), SHOT), "lot amount missing") == [
        '\'On hand\' (row "leek", column "Amount"): found no amount of leek, expected an amount '
        "with its unit, or plenty [lot amount missing]\n"
        "  It does not count until the amount is written."
    ]


def test_message__value_of_stock_unknown() -> None:
    assert said(shoot_of(SOUP, lot("leek", "1 kg"), SHOT), "value of stock unknown") == [
        '\'On hand\' (row "leek", column "Value"): found no value for leek on hand, and no pack '
        "to value it by, expected money for the whole lot [value of stock unknown]\n"
        "  Fill Value on the sheet On hand; until then the used value leaves it out and says so."
    ]


def test_message__over_budget() -> None:
    """3.00 bought is over the 2.50 of the job and the 1.50 of its episode; 2.00 for the way not."""
    shop = Shop(name="stall", visit_cost=Decimal(2))
    episode = Episode(name="One", budget=Decimal("1.50"), row=row("Episodes", 2, "One", Budget="G"))
    parts = [line("soup", "leek", "1 kg"), pack("leek", "1 kg", "3", shop="stall"), SHOT, episode]
    budget = Decimal("2.50")
    assert said(shoot_of(*parts, shop, currency="EUR", budget=budget), "over budget") == [
        'Settings (row "Budget"): found a budget of 2.50 EUR for the whole job, where what is '
        "bought comes to 3.00 EUR, expected at most 2.50 EUR [over budget]\n"
        "  It is 0.50 EUR over. Raise the budget, or spare takes of what costs most: Summary lists "
        "it.",
        'Episodes!G2 (row "One", column "Budget"): found a budget of 1.50 EUR for "One", where '
        "what is bought comes to 3.00 EUR, expected at most 1.50 EUR [over budget]\n"
        "  It is 1.50 EUR over. Raise the budget, or spare takes of what costs most: Summary lists "
        "it.",
    ]
    within = shoot_of(*parts[:3], shop, currency="EUR", budget=Decimal(3))
    assert said(within, "over budget") == []
