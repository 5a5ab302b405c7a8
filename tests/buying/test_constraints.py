"""What each constraint of a plan costs, found by running the plan without it."""

from __future__ import annotations

import math
from datetime import date
from decimal import Decimal
from fractions import Fraction
from typing import Any

from small import books, line, pack, shoot_of, sound

from costing.buying.books import books_of
from costing.buying.constraints import ConstraintKind, Cost, Why, why
from costing.buying.solver import Deadline
from costing.findings import NOWHERE
from costing.kitchen import Shop
from costing.report.why_words import why_lines
from costing.shoot import Episode, Shot, Trip
from costing.shoot.defaults import completed


def found(*parts: Any, **settings: Any) -> tuple[Why, list[str]]:
    """What is found of a small shoot, and its sentences."""
    worked_out = books(*parts, currency="EUR", **settings)
    of_it = why(worked_out)
    return of_it, list(why_lines(of_it, worked_out))


SOUP = (line("soup", "leek", "1 kg"), sound("leek"), Shot(dish="soup"))


def test_why__minimum_spend_and_visit() -> None:
    """2.00 at the market, whose minimum is 5.00: three bags are bought, 6.00, and 1.50 to go there.

    Without the minimum one bag is bought: 2.00 + 1.50 = 3.50, 4.00 less. Without the visit 6.00.
    """
    of_it, said = found(
        *SOUP,
        pack("leek", "1 kg", "2", shop="market"),
        Shop(name="market", visit_cost=Decimal("1.5"), minimum_spend=Decimal(5)),
    )
    assert of_it.costs == (
        Cost(ConstraintKind.MINIMUM, "market", of_it.costs[0].place, Decimal("4.00")),
        Cost(ConstraintKind.VISIT, "market", of_it.costs[1].place, Decimal("1.50")),
    )
    assert said[:4] == [
        "The list costs 7.50 EUR.",
        "What makes it dearer, and how much less would be paid without it:",
        '  the minimum spend of "market" costs 4.00 EUR',
        '  going to "market" costs 1.50 EUR, its visit cost and what it changes',
    ]


def test_why__without_any_price_what_it_costs_is_not_called_nothing() -> None:
    _, said = found(*SOUP)
    assert said[0] == "What the list costs is not known yet."


def test_why__a_limit_that_sends_to_a_dearer_pack() -> None:
    """Two kilos: one at 1.00, all there is, and one at 3.00; without the limit 2.00."""
    of_it, said = found(
        line("soup", "leek", "2 kg"),
        sound("leek"),
        Shot(dish="soup"),
        pack("leek", "1 kg", "1", at_most=1),
        pack("leek", "1 kg", "3"),
    )
    assert [(one.kind, one.cost) for one in of_it.costs] == [
        (ConstraintKind.LIMIT, Decimal("2.00"))
    ]
    assert "  that the shop has no more leek costs 2.00 EUR" in said
    assert "Nothing to spare of leek." in said


def test_why__a_limit_for_which_none_of_a_pack_is_bought() -> None:
    """Two kilos in one pack at 2.50, beside the only kilo at 1.00; two of those would be 2.00."""
    of_it, said = found(
        line("soup", "leek", "2 kg"),
        sound("leek"),
        Shot(dish="soup"),
        pack("leek", "1 kg", "1", at_most=1),
        pack("leek", "2 kg", "2.50"),
    )
    assert [(one.kind, one.cost) for one in of_it.costs] == [
        (ConstraintKind.LIMIT, Decimal("0.50"))
    ]
    assert "  that the shop has no more leek costs 0.50 EUR" in said


def test_why__going_to_one_shop_only() -> None:
    """Leek 1 at the market or 4 at the corner, salt 1 at the corner alone."""
    of_it, said = found(
        *SOUP,
        line("soup", "salt", "1 kg"),
        sound("salt"),
        pack("leek", "1 kg", "1", shop="market"),
        pack("leek", "1 kg", "4", shop="corner"),
        pack("salt", "1 kg", "1", shop="corner"),
    )
    assert of_it.costs == (
        Cost(ConstraintKind.ONE_SHOP, "corner", NOWHERE, Decimal("3.00")),
        Cost(ConstraintKind.ONE_SHOP, "market", NOWHERE, None, ("salt",)),
    )
    assert '  "corner" would cost 3.00 EUR more' in said
    assert '  "market" does not have salt' in said


def test_why__a_shop_that_is_not_open_in_time_is_no_cheaper_one() -> None:
    """The quay opens on the 12th: too late for the 9th, however cheap. The market sells leek at 1,
    from the 8th on, and salt at 2 where the quay has it at 1: with the market alone 1.00 more.
    """
    shops = {"market": 8, "quay": 12}
    of_it, said = found(
        line("soup", "leek", "1 kg"),
        line("stew", "salt", "1 kg"),
        sound("leek", keeps_days=30),
        sound("salt", keeps_days=30),
        pack("leek", "1 kg", "1", shop="market"),
        pack("leek", "1 kg", "0.50", shop="quay"),
        pack("salt", "1 kg", "2", shop="market"),
        pack("salt", "1 kg", "1", shop="quay"),
        *(Trip(shop=name, day=date(2031, 5, day)) for name, day in shops.items()),
        Episode(name="One", shoot_date=date(2031, 5, 9)),
        Episode(name="Two", shoot_date=date(2031, 5, 13)),
        Shot(dish="soup", episode="One"),
        Shot(dish="stew", episode="Two"),
    )
    assert of_it.costs == (
        Cost(ConstraintKind.ONE_SHOP, "market", NOWHERE, Decimal("1.00")),
        Cost(ConstraintKind.ONE_SHOP, "quay", NOWHERE, None, late=("leek",)),
    )
    assert '  "quay" is not open in time for leek' in said


def test_why__an_uncertain_take_and_candidates() -> None:
    """Taken once to three times at all of its own Most: three bags at 2, certain it would be one.

    Of the buns the hero shows two and looks at three each: six at 1, without picking two.
    """
    of_it, said = found(
        line("soup", "leek", "1 kg"),
        sound("leek"),
        line("plate", "bun", "2 each", candidates=3),
        Shot(dish="soup", name="P1", times=1, most=3),
        Shot(dish="plate", purpose="hero"),
        pack("leek", "1 kg", "2"),
        pack("bun", "1 each", "1"),
        chance_of_running_out="0 %",
    )
    assert [(one.kind, one.name, one.cost) for one in of_it.costs] == [
        (ConstraintKind.UNCERTAIN, "P1", Decimal("4.00")),
        (ConstraintKind.CANDIDATES, "bun", Decimal("4.00")),
    ]
    assert '  that nobody knows how often "P1" is taken costs 4.00 EUR' in said
    assert "  picking the best bun costs 4.00 EUR" in said


def test_why__a_pack_opened_for_seventeen_grams() -> None:
    """2017 g: the third kilo is opened for 17 g, and without them two kilos at 2 would do."""
    of_it, said = found(
        line("soup", "flour", "2017 g"),
        sound("flour"),
        Shot(dish="soup"),
        pack("flour", "1 kg", "2"),
    )
    (miss,) = of_it.near
    assert (str(miss.short), miss.saves) == ("0.017 kg", Decimal("2.00"))
    assert "  17 g less flour would do without one pack of 1 kg: 2.00 EUR saved" in said


def test_why__one_small_pack_beside_another_is_opened_for_little() -> None:
    """1017 g are a kilo at 2, all there is, and 250 g at 1 for the 17 g: without them 1.00 less."""
    of_it, _ = found(
        line("soup", "flour", "1017 g"),
        sound("flour"),
        Shot(dish="soup"),
        pack("flour", "1 kg", "2", at_most=1),
        pack("flour", "250 g", "1"),
    )
    assert [(str(one.pack.amount), str(one.short), one.saves) for one in of_it.near] == [
        ("250 g", "0.017 kg", Decimal("1.00"))
    ]


def test_why__the_only_pack_is_no_near_miss() -> None:
    of_it, _ = found(
        line("soup", "salt", "5 g"), sound("salt"), Shot(dish="soup"), pack("salt", "1 kg", "2")
    )
    assert of_it.near == ()
    assert of_it.nothing_spare == ()


def test_why__cheapest_cuts_when_over_budget() -> None:
    """11 bags at 2 are 22, 3 over 19: one retake fewer saves 4 and is enough, the hero saves 6.

    The cook-through and the hero take 3 kg each, the retakes 2 kg each, the reset 1 kg.
    """
    of_it, said = found(
        line("soup", "leek", "1 kg"),
        sound("leek"),
        pack("leek", "1 kg", "2"),
        Shot(dish="soup", name="C", batch=3),
        Shot(dish="soup", name="H", purpose="hero", batch=3),
        Shot(dish="soup", name="R", purpose="retake", batch=2, times=2),
        Shot(dish="soup", name="X", purpose="reset", batch=1),
        budget=Decimal(19),
    )
    assert of_it.over == Decimal("3.00")
    assert [(cut.shot.label, cut.saves, cut.enough) for cut in of_it.cuts] == [
        ("R", Decimal("4.00"), True),
        ("C", Decimal("6.00"), True),
        ("H", Decimal("6.00"), True),
    ]
    assert '  "R" 1 times instead of 2: 4.00 EUR saved, which keeps the budget' in said


def test_why__a_cut_takes_fewest_and_most_down_with_times() -> None:
    """Twice or three times is two bags at 20 %: by the three points 3 / 16 for the third take.

    Once or twice is one bag with the same chance, 2.00 less. The tea's only pack stays whatever is
    spared of it, and what is not taken cannot be taken less.
    """
    of_it, said = found(
        line("soup", "leek", "1 kg"),
        sound("leek"),
        pack("leek", "1 kg", "2"),
        line("tea", "mint", "10 g"),
        sound("mint"),
        pack("mint", "1 kg", "1"),
        Shot(dish="soup", name="P1", fewest=2, times=2, most=3),
        Shot(dish="tea", name="P2", times=2),
        Shot(dish="tea", name="P3", times=0),
        budget=Decimal(3),
        chance_of_running_out=Fraction(1, 5),
    )
    assert of_it.over == Decimal("2.00")
    assert [(cut.shot.label, cut.saves, cut.enough) for cut in of_it.cuts] == [
        ("P1", Decimal("2.00"), True)
    ]
    assert said[-1] == (
        '  "P1" 1 times instead of 2, Fewest and Most one less too: 2.00 EUR saved, '
        "which keeps the budget"
    )


def test_why__of_cuts_that_are_not_enough_the_largest_comes_first() -> None:
    """6 bags at 2 are 12, 9 over 3: the cook-through saves 6, the swap 4 and the retake 2."""
    of_it, _ = found(
        line("soup", "leek", "1 kg"),
        sound("leek"),
        pack("leek", "1 kg", "2"),
        Shot(dish="soup", name="R", purpose="retake"),
        Shot(dish="soup", name="C", batch=3),
        Shot(dish="soup", name="S", purpose="swap", batch=2),
        budget=Decimal(3),
    )
    assert [(cut.shot.label, cut.saves, cut.enough) for cut in of_it.cuts] == [
        ("C", Decimal("6.00"), False),
        ("S", Decimal("4.00"), False),
        ("R", Decimal("2.00"), False),
    ]


def test_why__a_take_that_may_come_once_at_most_is_spared_whole() -> None:
    """2 bags at 1.00; without the one take of the soup, of which there may be none, it is one."""
    of_it, _ = found(
        *(line("soup", "leek", "100 g"), line("pie", "leek", "100 g"), sound("leek")),
        *(pack("leek", "100 g", "1"), Shot(dish="pie", name="P")),
        Shot(dish="soup", name="S", fewest=0, times=1, most=1),
        budget=Decimal(1),
    )
    assert [(cut.shot.label, cut.saves, cut.enough) for cut in of_it.cuts] == [
        ("P", Decimal("1.00"), True),
        ("S", Decimal("1.00"), True),
    ]


def test_why__what_a_shop_lacks_more_of_than_the_list_is_said_of_it() -> None:
    """Of two kilos of salt the corner has one, and the market none: there two are lacking.

    At the corner alone as much is lacking as on the list, and the leek costs 3.00 more. That the
    corner has no more is no cost: without the limit a second kilo is bought.
    """
    of_it, _ = found(
        *SOUP,
        line("soup", "salt", "2 kg"),
        sound("salt"),
        pack("leek", "1 kg", "1", shop="market"),
        pack("leek", "1 kg", "4", shop="corner"),
        pack("salt", "1 kg", "1", shop="corner", at_most=1),
    )
    assert of_it.costs == (
        Cost(ConstraintKind.ONE_SHOP, "corner", NOWHERE, Decimal("3.00")),
        Cost(ConstraintKind.ONE_SHOP, "market", NOWHERE, None, ("salt",)),
    )


def test_why__packs_opened_for_little_the_dearest_first() -> None:
    """An eighth of a pack is little, a gram more is not; each saves its pack, and what is loose
    has no pack. The first bag of 1 kg is for the need itself.
    """
    goods = {"flour": "1125 g", "rice": "1126 g", "oats": "1017 g", "peas": "1017 g"}
    prices = {"flour": "2", "rice": "9", "oats": "3", "peas": "5"}
    of_it, _ = found(
        *(line("soup", name, amount) for name, amount in goods.items()),
        *(sound(name) for name in goods),
        *(
            pack(name, "1 kg", price, loose="500 g" if name == "peas" else None)
            for name, price in prices.items()
        ),
        Shot(dish="soup"),
    )
    assert [(miss.purchase.name, str(miss.short), miss.saves) for miss in of_it.near] == [
        ("oats", "0.017 kg", Decimal("3.00")),
        ("flour", "0.125 kg", Decimal("2.00")),
    ]


def test_why__less_than_a_hundredth_over_is_nothing_to_spare() -> None:
    """Of 1,000 g 10 g more are a hundredth of them, and something; 9 g of 991 g are nothing."""
    goods = {"leek": "990 g", "beet": "1 kg", "chard": "991 g"}
    of_it, _ = found(
        *(line("soup", name, amount) for name, amount in goods.items()),
        *(sound(name) for name in goods),
        pack("leek", "1 kg", "1"),
        pack("beet", "1010 g", "1"),
        pack("chard", "1 kg", "1"),
        Shot(dish="soup"),
    )
    assert [purchase.name for purchase in of_it.nothing_spare] == ["chard"]


def test_why__without_time_it_says_so() -> None:
    worked_out = books(*SOUP, pack("leek", "1 kg", "1", at_most=1), currency="EUR")
    of_it = why(worked_out, work=0)
    assert not of_it.complete
    assert list(why_lines(of_it, worked_out))[-1] == (
        "To try all of it takes too long; what is not named here may not have been looked at."
    )


def test_why__one_run_takes_at_most_half_of_the_work() -> None:
    """What it costs that there is no second cheap bag: left out with less than twice its work."""
    rows = (*SOUP[:2], Shot(dish="soup", fewest=1, times=2, most=3))
    cheap, dear = pack("leek", "1 kg", "1", at_most=1), pack("leek", "1 kg", "3")
    worked_out = books(*rows, cheap, dear)
    alone = Deadline(work=math.inf)
    without = completed(shoot_of(*rows, cheap.model_copy(update={"at_most": None}), dear))[0]
    books_of(without, within=alone)
    assert alone.spent > 0
    for part, complete in ((1.5, False), (2.5, True)):
        of_it = why(worked_out, work=alone.spent * part)
        assert of_it.complete is complete
        assert (ConstraintKind.LIMIT in [one.kind for one in of_it.costs]) is complete
