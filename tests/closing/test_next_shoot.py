"""What the next shoot begins with: lots and prices by hand, and the workbook that is made."""

from __future__ import annotations

from datetime import date, datetime, time
from decimal import Decimal
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

import openpyxl
import pytest
from click.testing import CliRunner
from hypothesis import given
from hypothesis import strategies as st
from small import books_of_shoot, line, lot, pack, paid, shoot_of, sound

import costing
from costing.cli import main
from costing.closing.closed import Closed, closed
from costing.closing.next_shoot import NextStock, lot_words, next_stock
from costing.kitchen import CountedLot, Shop
from costing.quantities import amount
from costing.shoot import Episode, Shot

DAY = Episode(name="E", shoot_date="2031-05-10")
TART = line("tart", "leek", "200 g")
LEEK = sound("leek", keeps_days=7)
BAGS = pack("leek", "500 g", "2.00", shop="Market")


def of(*parts: object, **settings: Any) -> Closed:
    """A shoot of these rows on 10 May, bought the day before, closed."""
    return closed(books_of_shoot(shoot_of(DAY, *parts, **settings)))


def rows(stock: NextStock) -> list[tuple[str, str, str, str, str]]:
    """Ingredient, amount, last day, opened and value of each lot, as texts."""
    return [
        (one.ingredient, str(one.amount), str(one.use_by), str(one.opened), str(one.value))
        for one in stock.lots
    ]


def stood_out(*parts: object, holds: str = "leek") -> NextStock:
    """What is carried when a bowl was out from 10:00 to 13:00, past the two hours of US-HOME-2H."""
    out = costing.Event(kind="out", at="2031-05-10 10:00", temperature="4 C")
    asked = costing.Event(kind="reading", at="2031-05-10 13:00", temperature="20 C")
    bowl = costing.Container(name="bowl", holds=[holds], events=[out, asked])
    shoot = shoot_of(*(DAY, bowl, *parts), time_zone="Europe/Lisbon", holding_rules=("US-HOME-2H",))
    return next_stock(closed(books_of_shoot(shoot)), costing.estimate(shoot).verdicts)


def test_next_stock__sealed_packs_and_the_opened_one() -> None:
    """Three bags of 500 g bought on the 9th for 6.30; three takes of 200 g use 600 g.

    Two bags are opened on the 10th: 400 g are open, 500 g sealed, both at 6.30 / 1500 g, which is
    1.68 and 2.10. They keep 7 days from the 9th.
    """
    receipt = paid("leek", "6.30", packs=3, shop="Market", day="2031-05-09")
    found = next_stock(of(LEEK, TART, BAGS, Shot(dish="tart", times=3, taken=3), receipt))
    assert rows(found) == [
        ("leek", "500 g", "2031-05-16", "None", "2.10"),
        ("leek", "400 g", "2031-05-16", "2031-05-10", "1.68"),
    ]
    assert found.left_off == ()


def test_next_stock__packs_without_a_price_and_receipt_go_on_at_no_value() -> None:
    """A bag of 500 g on the list has no price; after two takes of 200 g 100 g of it are left.

    What they are worth a receipt of 2.00 says: a fifth of it.
    """
    parts = (LEEK, TART, pack("leek", "500 g", None), Shot(dish="tart", times=2, taken=2))
    for receipts, value in (((), "None"), ((paid("leek", "2.00", packs=1),), "0.40")):
        found = next_stock(of(*parts, *receipts))
        assert [(row[0], row[1], row[-1]) for row in rows(found)] == [("leek", "100 g", value)]
        assert found.left_off == ()


def test_next_stock__a_line_of_no_packs_opens_none() -> None:
    """Three bags, and a line on which 0 packs were typed: still one sealed, and 400 g open."""
    receipts = [
        paid("leek", money, packs=packs, shop="Market", day="2031-05-09")
        for money, packs in (("6.30", 3), ("0.00", 0))
    ]
    found = next_stock(of(LEEK, TART, BAGS, Shot(dish="tart", times=3, taken=3), *receipts))
    assert [row[1] for row in rows(found)] == ["500 g", "400 g"]


def test_next_stock__a_pack_is_open_from_the_first_day_that_takes_of_it() -> None:
    """A frozen bag thawed for the 10th serves the 10th and the 12th: by the 12th."""
    bag = pack("leek", "1 kg", "2.00", shop="Market", state="frozen")
    found = next_stock(
        of(
            *(Episode(name="F", shoot_date="2031-05-12"), sound("leek", keeps_days=2), TART, bag),
            *(Shot(dish="tart", episode=name, taken=1) for name in ("E", "F")),
            paid("leek", "2.00", packs=1, shop="Market", day="2031-05-08"),
        )
    )
    assert rows(found) == [("leek", "0.6 kg", "2031-05-12", "2031-05-10", "1.20")]


def test_next_stock__a_day_that_takes_none_of_it_opens_nothing() -> None:
    """Of the two days only the 12th takes leek."""
    shots = (Shot(dish="tart", episode="F", taken=1), Shot(dish="tea", episode="E", taken=1))
    found = next_stock(
        of(
            *(
                Episode(name="F", shoot_date="2031-05-12"),
                LEEK,
                TART,
                BAGS,
                line("tea", "mint", "1 g"),
            ),
            *(*shots, paid("leek", "2.00", packs=1, shop="Market", day="2031-05-09")),
        )
    )
    assert [row[3] for row in rows(found) if row[0] == "leek"] == ["2031-05-12"]


def test_next_stock__of_packs_taken_back_none_is_taken_to_be_sealed() -> None:
    """Three bags less one are 1000 g, of which 200 g were used; which bag went back nobody says."""
    receipts = [
        paid("leek", money, packs=packs, shop="Market", day="2031-05-09")
        for money, packs in (("6.00", 3), ("-2.00", 1))
    ]
    found = next_stock(of(LEEK, TART, BAGS, Shot(dish="tart", taken=1), *receipts))
    assert [(row[1], row[3], row[4]) for row in rows(found)] == [("800 g", "2031-05-10", "3.20")]


@pytest.mark.parametrize(
    ("loose", "opened"), [("50 g", "None"), (None, "2031-05-10")], ids=["loose", "bag"]
)
def test_next_stock__goods_of_no_known_life_are_open_where_a_pack_was(
    loose: str | None, opened: str
) -> None:
    """Nothing was opened of loose goods; of a bag 300 g are open since the day that took 200 g."""
    goods = pack("leek", "500 g", "2.00", loose=loose, shop="Market")
    receipt = paid("leek", "2.00", amount="500 g", shop="Market", day="2031-05-09")
    found = next_stock(of(sound("leek"), TART, goods, Shot(dish="tart", taken=1), receipt))
    assert [(row[1], row[3]) for row in rows(found)] == [("300 g", opened)]


def test_next_stock__loose_goods_are_left_to_the_gram_whatever_their_step() -> None:
    """520 g weighed at the stall, in steps of 50 g on Packs; 200 g of them were used: 320 g."""
    goods = pack("leek", "500 g", "2.00", loose="50 g", shop="Market")
    receipt = paid("leek", "2.08", amount="520 g", shop="Market", day="2031-05-09")
    found = next_stock(of(LEEK, TART, goods, Shot(dish="tart", taken=1), receipt))
    assert [(row[1], row[4]) for row in rows(found)] == [("320 g", "1.28")], "4.00 a kilogram"


def test_next_stock__a_frozen_bag_of_a_shoot_without_a_day_counts_from_the_shop() -> None:
    """Two days from the 8th, when it was fetched, as nobody says when it was thawed."""
    bag = pack("leek", "500 g", "2.00", shop="Market", state="frozen")
    receipt = paid("leek", "2.00", packs=1, shop="Market", day="2031-05-08")
    shoot = shoot_of(sound("leek", keeps_days=2), TART, bag, Shot(dish="tart", taken=1), receipt)
    found = next_stock(closed(books_of_shoot(shoot)))
    assert [row[1:4] for row in rows(found)] == [("300 g", "2031-05-10", "None")]


def test_next_stock__what_is_on_no_row_of_packs_keeps_from_its_receipt() -> None:
    """Seven days from the 9th; nothing says in which packs it was, so the rest is open."""
    receipt = paid("leek", "2.00", amount="500 g", shop="Market", day="2031-05-09")
    found = next_stock(of(LEEK, TART, Shot(dish="tart", taken=1), receipt))
    assert rows(found) == [("leek", "300 g", "2031-05-16", "2031-05-10", "1.20")]


def test_next_stock__what_was_counted_decides() -> None:
    """700 g counted of the same 1500 g: 800 g used open two bags, 500 g stay sealed, 200 g open."""
    receipt = paid("leek", "6.30", packs=3, shop="Market", day="2031-05-09")
    count = CountedLot(ingredient="leek", amount="700 g")
    found = next_stock(of(LEEK, TART, BAGS, Shot(dish="tart", times=3, taken=3), receipt, count))
    assert [row[1] for row in rows(found)] == ["500 g", "200 g"]


@pytest.mark.parametrize(
    ("state", "sealed", "begun"),
    [
        (None, "2031-05-10", "2031-05-10"),  # two days from the 8th
        ("frozen", "None", "2031-05-12"),  # nobody says how long frozen; two days from the 10th
        ("shelf", "None", "2031-05-12"),  # the same from its opening
    ],
)
def test_next_stock__the_life_of_packs_is_that_of_their_state(
    state: str | None, sealed: str, begun: str
) -> None:
    """Three packs of 250 g of the 8th for 9.00, Keeps days 2; two takes of 200 g on the 10th.

    Of two opened packs 100 g are left (9.00 x 100 / 750 = 1.20), and one of 250 g is sealed (3.00).
    Keeps days count from the trip, of frozen and shelf goods from the thawing or opening alone.
    """
    packs = pack("leek", "250 g", "3.00", shop="Market", **({"state": state} if state else {}))
    receipt = paid("leek", "9.00", packs=3, shop="Market", day="2031-05-08")
    shot = Shot(dish="tart", times=2, taken=2)
    found = next_stock(of(sound("leek", keeps_days=2), TART, packs, shot, receipt))
    assert rows(found) == [
        ("leek", "250 g", sealed, "None", "3.00"),
        ("leek", "100 g", begun, "2031-05-10", "1.20"),
    ]


def test_next_stock__lots_are_used_first_and_keep_their_dates() -> None:
    """A lot of 300 g to the 12th and one of 400 g to the 20th; two takes use 400 g.

    The first is gone, 300 g of the second are left, begun on the 10th, at 3/4 of its 4.00.
    """
    found = next_stock(
        of(
            *(LEEK, TART, BAGS, Shot(dish="tart", times=2, taken=2)),
            lot("leek", "400 g", use_by="2031-05-20", value="4.00"),
            lot("leek", "300 g", use_by="2031-05-12"),
        )
    )
    assert rows(found) == [("leek", "300 g", "2031-05-20", "2031-05-10", "3.00")]


def test_next_stock__a_lot_nobody_touched_is_as_it_was() -> None:
    """Lots of what the plan does not take, plenty, and unknown amounts go on as typed."""
    found = next_stock(
        of(
            *(LEEK, TART, BAGS, Shot(dish="tart", taken=1)),
            lot("oil", "200 ml", opened="2031-05-01", use_by="2031-09-01"),
            lot("salt", None, plenty=True),
        )
    )
    assert [row[:4] for row in rows(found)][:2] == [
        ("oil", "200 ml", "2031-09-01", "2031-05-01"),
        ("salt", "None", "None", "None"),
    ]
    assert found.lots[1].plenty


def test_next_stock__what_the_shots_take_nothing_of_is_there_as_counted() -> None:
    """Of two lots of oil 150 ml are left, of an opened one perhaps; caviar was on no row; salt is
    weighed for its yield, which is no count of it.
    """
    found = next_stock(
        of(
            *(LEEK, TART, BAGS, Shot(dish="tart", taken=1)),
            lot("oil", "200 ml", use_by="2031-09-01", value="4"),
            lot("Oil", "100 ml", opened="2031-05-01", use_by="2031-08-01"),
            lot("salt", "2 kg"),
            CountedLot(ingredient="oil", amount="150 ml"),
            CountedLot(ingredient="caviar", amount="2 each"),
            CountedLot(ingredient="salt", amount="1 kg", note="trimmed from 2 kg"),
        )
    )
    assert rows(found)[:3] == [
        ("salt", "2 kg", "None", "None", "None"),
        ("Oil", "150 ml", "2031-08-01", "2031-05-01", "None"),
        ("caviar", "2 each", "None", "None", "None"),
    ]


@pytest.mark.parametrize(
    ("counted", "value"), [("150 ml", "3.00"), ("300 ml", "6.00"), ("0.45 l", "9.00")]
)
def test_next_stock__what_was_counted_of_no_need_keeps_its_worth(counted: str, value: str) -> None:
    """Two lots of 300 ml for 6.00 in all: 0.02 a millilitre, of what is left as of more."""
    found = next_stock(
        of(
            *(LEEK, TART, BAGS, Shot(dish="tart", taken=1)),
            lot("oil", "200 ml", use_by="2031-09-01", value="4"),
            lot("oil", "0.1 l", use_by="2031-08-01", value="2"),
            CountedLot(ingredient="oil", amount=counted),
        )
    )
    assert rows(found)[0][:3] == ("oil", str(amount(counted)), "2031-08-01")
    assert str(found.lots[0].value) == value


def test_next_stock__what_is_past_its_life_is_left_off() -> None:
    """To the 9th, and opened on the 1st with 7 days after opening: past on the 10th, both."""
    found = next_stock(
        of(
            *(LEEK, TART, BAGS, Shot(dish="tart", taken=1)),
            lot("leek", "150 g", use_by="2031-05-09"),
            lot("leek", "100 g", use_by="2031-05-30", opened="2031-05-01"),
        )
    )
    assert [str(one) for one in found.left_off] == [
        "150 g of leek: its last day was 2031-05-09",
        "100 g of leek: its last day was 2031-05-08",
    ]
    assert [row[1] for row in rows(found)] == ["300 g"], "of a bag, one take of 200 g"


def test_next_stock__what_was_counted_beyond_all_is_in_the_unit_it_is_bought_in() -> None:
    """One bag of 1 kg and 1.2 kg counted: 200 g from nowhere are 0.2 kg."""
    bag = pack("leek", "1 kg", "4.00", shop="Market")
    receipt = paid("leek", "4.00", packs=1, shop="Market", day="2031-05-09")
    count = CountedLot(ingredient="leek", amount="1.2 kg")
    parts = (sound("leek"), TART, bag, Shot(dish="tart", taken=0), receipt, count)
    assert [str(one.amount) for one in next_stock(of(*parts)).lots] == ["0.2 kg", "1 kg"]


def test_next_stock__what_was_counted_beyond_all_is_a_lot_of_its_own() -> None:
    """One bag of 500 g bought and 600 g counted: 500 g of the bag, and 100 g from nowhere.

    Nobody can say that these 100 g are sealed, so they are left off with a bowl that stood out.
    """
    receipt = paid("leek", "2.00", packs=1, shop="Market", day="2031-05-09")
    leek = sound("leek", keeps_days=7, holding_class="always")
    parts = (leek, TART, BAGS, Shot(dish="tart", taken=0), receipt)
    count = CountedLot(ingredient="leek", amount="600 g")
    lots = next_stock(of(*parts, count)).lots
    assert [(str(one.amount), one.note) for one in lots] == [
        ("100 g", "Counted beyond all that was there."),
        ("500 g", ""),
    ]
    found = stood_out(*parts, count)
    assert [row[1] for row in rows(found)] == ["500 g"]
    assert found.left_off[0].startswith("100 g of leek: open, and of what stood in")


def test_next_stock__what_stood_out_is_left_off_and_sealed_packs_are_not() -> None:
    """Three takes of 200 g open two of three bags of 500 g: the open 400 g are left off."""
    receipt = paid("leek", "6.30", packs=3, shop="Market", day="2031-05-09")
    leek = sound("leek", keeps_days=7, holding_class="always")
    found = stood_out(leek, TART, BAGS, Shot(dish="tart", times=3, taken=3), receipt)
    assert [row[:2] for row in rows(found)] == [("leek", "500 g")]
    assert [str(one) for one in found.left_off] == [
        '400 g of leek: open, and of what stood in "bowl" (discard)',
        'what is in "bowl": discard by US-HOME-2H',
    ]


def test_next_stock__of_boxes_in_each_other_all_that_is_open_is_left_off() -> None:
    """The bowl holds the box and the box the bowl and leek: the open leek stood out with them."""
    found = stood_out(
        *(sound("leek", keeps_days=30, holding_class="always"), TART),
        lot("leek", "400 g", use_by="2031-05-20", opened="2031-05-09"),
        Shot(dish="tart", taken=1),
        costing.Container(name="box", holds=["bowl", "leek"]),
        holds="box",
    )
    assert rows(found) == []
    assert '200 g of leek: open, and of what stood in "bowl" (discard)' in found.left_off


def test_next_stock__of_lots_that_nobody_touched_the_opened_one_is_left_off_too() -> None:
    """The 600 g of the first lot are the three takes'; of what stood out only sealed goods stay."""
    found = stood_out(
        *(sound("leek", keeps_days=30, holding_class="always"), TART),
        lot("leek", "600 g", use_by="2031-05-12"),
        lot("leek", "400 g", use_by="2031-05-20", opened="2031-05-09"),
        lot("leek", "300 g", use_by="2031-05-22"),
        Shot(dish="tart", times=3, taken=3),
    )
    assert [row[:2] for row in rows(found)] == [("leek", "300 g")]
    assert '400 g of leek: open, and of what stood in "bowl" (discard)' in found.left_off


def test_next_stock__of_what_was_bought_and_taken_back_nothing_is_left() -> None:
    receipts = [
        paid("leek", money, packs=1, shop="Market", day="2031-05-09") for money in ("2.00", "-2.00")
    ]
    found = next_stock(of(LEEK, TART, BAGS, Shot(dish="tart", taken=0), *receipts))
    assert found == NextStock((), ())


@pytest.mark.parametrize(("taken", "opened"), [(1, "2031-05-10"), (2, "None")])
def test_next_stock__of_pieces_a_part_of_one_is_open(taken: int, opened: str) -> None:
    """Four lemons, half a one for each take: of three and a half one is cut, three are whole."""
    lemon = (sound("lemon", keeps_days=7), line("tart", "lemon", "1/2 each"))
    shop = pack("lemon", "1 each", "0.50", loose="1 each", shop="Market")
    receipt = paid("lemon", "2.00", amount="4 each", shop="Market", day="2031-05-09")
    found = next_stock(of(*lemon, shop, Shot(dish="tart", times=taken, taken=taken), receipt))
    assert {row[3] for row in rows(found)} == {opened}


def test_next_stock__goods_given_free_are_used_first_and_stay_free() -> None:
    """One bag supplied and two bought, 600 g used: the free one is gone, 900 g are left."""
    free = pack("leek", "500 g", None, shop="Market", supplied=True, at_most=1)
    receipt = paid("leek", "4.00", packs=2, shop="Market", day="2031-05-09")
    found = next_stock(of(LEEK, TART, BAGS, free, Shot(dish="tart", times=3, taken=3), receipt))
    assert all(not one.supplied for one in found.lots)
    assert sum(one.amount.magnitude for one in found.lots if one.amount) == 900


@given(
    st.integers(0, 6),
    st.integers(0, 5),
    st.integers(0, 1500),
    st.sampled_from([None, 0, 130, 500, 640, 2000]),
)
def test_next_stock__all_that_is_left_is_carried_or_named(
    taken: int, bags: int, on_hand: int, counted: int | None
) -> None:
    """Law: what is carried is what is left, neither more nor less."""
    parts: list[object] = [LEEK, TART, BAGS, Shot(dish="tart", times=2, taken=taken)]
    if bags:
        parts.append(paid("leek", "9.00", packs=bags, shop="Market", day="2031-05-09"))
    if on_hand:
        parts.append(lot("leek", f"{on_hand} g", use_by="2031-05-30"))
    if counted is not None:
        parts.append(CountedLot(ingredient="leek", amount=f"{counted} g"))
    whole = of(*parts)
    found = next_stock(whole)
    assert found.left_off == ()
    carried = sum(one.amount.base for one in found.lots if one.amount is not None)
    assert carried == whole.by_name["leek"].left


def test_next_stock__a_gram_that_nobody_took_is_carried() -> None:
    """A tin of 1 g of saffron for 9.00, and no take of what it is for: all of it is left."""
    saffron = (sound("saffron"), line("rice", "saffron", "1 g"), pack("saffron", "1 g", "9.00"))
    shot = Shot(dish="rice", times=1, taken=0)
    found = next_stock(of(*saffron, shot, paid("saffron", "9.00", packs=1)))
    assert [(row[0], row[1], row[4]) for row in rows(found)] == [("saffron", "1 g", "9.00")]


@pytest.mark.parametrize(
    "parts",
    [
        (BAGS, line("tart", "leek", "499.6 g"), paid("leek", "2.00", packs=1, shop="Market")),
        (lot("leek", "500 g"), line("tart", "leek", "499.6 g")),
        (TART, CountedLot(ingredient="tart", amount="0 g"), lot("leek", "200 g")),
    ],
    ids=["bought", "lot", "counted"],
)
def test_next_stock__less_than_can_be_weighed_is_nothing(parts: tuple[object, ...]) -> None:
    """500 g less 499.6 g leave 0.4 g, on no kitchen scale more than 0 g; 0 g counted are none."""
    assert next_stock(of(LEEK, *parts, Shot(dish="tart", taken=1))) == NextStock((), ())


@pytest.mark.parametrize(("used", "words"), [("99.7 g", True), ("100 g", False)])
def test_close__next_says_that_it_rounds_down(
    used: str, words: bool, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Of 500 g on hand 400.3 g are left, 400 g are carried; of whole grams nothing is rounded."""
    monkeypatch.chdir(tmp_path)
    shot = Shot(dish="tart", taken=1)
    costing.write_workbook(
        "tart.xlsx", shoot_of(sound("salt"), lot("salt", "500 g"), line("tart", "salt", used), shot)
    )
    done = CliRunner().invoke(main, ["close", "tart.xlsx", "--next", "buns.xlsx"])
    rounded = ", rounded down to what can be weighed" if words else ""
    assert f"On hand: 400 g of salt{rounded}.\n" in done.output


@pytest.mark.parametrize(
    ("now", "carried"),
    [(time(10, 30), "500 g of leek and 300 g of leek"), (time(11, 30), "500 g of leek")],
)
def test_close__next_judges_what_never_went_back_by_now(
    now: time, carried: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Out at 10:00, the last line there is, for 1 h at most in a room that may be hot.

    Of two bags of 500 g one take has 200 g; what is open may have been in the bowl.
    """
    monkeypatch.chdir(tmp_path)
    leek = sound("leek", keeps_days=7, holding_class="always")
    out = costing.Event(kind="out", at="2031-05-10 10:00", temperature="4 C")
    receipt = paid("leek", "4.00", packs=2, shop="Market", day="2031-05-09")
    shoot = shoot_of(
        *(DAY, leek, TART, BAGS, Shot(dish="tart", taken=1), receipt),
        costing.Container(name="bowl", holds=["leek"], events=[out]),
        time_zone="Europe/Lisbon",
        holding_rules=("US-HOME-2H",),
    )
    costing.write_workbook("tart.xlsx", shoot)
    at = datetime.combine(date(2031, 5, 10), now, ZoneInfo("Europe/Lisbon"))
    monkeypatch.setattr("costing.new_workbook.now_there", lambda _: at)
    said = CliRunner().invoke(main, ["close", "tart.xlsx", "--next", "buns.xlsx"]).output
    assert f"On hand: {carried}.\n" in said
    assert ("Left off: what is in" in said) is (now == time(11, 30))


def test_lot_words__an_amount_that_nobody_knows() -> None:
    lots = (lot("leek", None), lot("oil", "200 ml"), lot("salt", None, plenty=True))
    assert [*map(lot_words, lots)] == [
        "an unknown amount of leek",
        "200 ml of oil",
        "plenty of salt",
    ]


@pytest.fixture
def tart(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A workbook of a tart that was shot, with a receipt and a lot past its day."""
    monkeypatch.chdir(tmp_path)
    receipt = paid("leek", "6.30", packs=3, shop="Market", day="2031-05-09", receipt="R1")
    leek = sound("leek", keeps_days=7, holding_class="always")
    shoot = shoot_of(
        *(DAY, leek, TART, BAGS, Shop(name="Market", visit_cost="1.50")),
        *(Shot(dish="tart", times=3, taken=3), receipt),
        *(lot("leek", "150 g", use_by="2031-05-09"), lot("oil", "200 ml")),
        title="Tart",
        currency="EUR",
    )
    shoot = shoot.changed(people=[costing.Person(name="camera", avoids=["leek"])])
    costing.write_workbook(tmp_path / "tart.xlsx", shoot)
    return tmp_path


def test_close__next_does_not_print_the_closing_once_more(tart: Path) -> None:
    """It was read before; one sentence says what it came to, and where the rest is."""
    whole = CliRunner().invoke(main, ["close", "tart.xlsx"]).output.splitlines()
    said = CliRunner().invoke(main, ["close", "tart.xlsx", "--next", "buns.xlsx"]).output
    assert said.startswith(f"{whole[0]} All of it: costing close tart.xlsx\n")
    assert len(whole) > 3
    assert not [line for line in whole[1:-2] if line and line in said]
    assert " bearing on the closing; all findings: on the sheet Findings\n" in said


@pytest.mark.parametrize("typed_before", [True, False])
def test_close__next_has_a_sheet_for_episodes_where_the_old_workbook_had_one(
    typed_before: bool, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """It is blank: the next shoot has a day of its own."""
    monkeypatch.chdir(tmp_path)
    rows = (sound("salt"), lot("salt", "500 g"), line("tart", "salt", "99 g"))
    day = (DAY,) if typed_before else ()
    costing.write_workbook("tart.xlsx", shoot_of(*rows, *day, Shot(dish="tart", taken=1)))
    CliRunner().invoke(main, ["close", "tart.xlsx", "--next", "buns.xlsx"])
    assert ("Episodes" in openpyxl.load_workbook("buns.xlsx").sheetnames) is typed_before
    assert not costing.read_workbook("buns.xlsx")[0].episodes


def test_close__next_writes_a_workbook_to_begin_with(tart: Path) -> None:
    """What is said, what is carried, and the note on the sheet On hand; never over a file."""
    done = CliRunner().invoke(main, ["close", "tart.xlsx", "--next", "buns.xlsx"])
    assert done.exit_code == 0, done.output
    for said in (
        "On hand: 200 ml of oil, 500 g of leek and 400 g of leek.",
        "Left off: 150 g of leek: its last day was 2031-05-09.",
        "Prices: 1 row of Packs as paid.",
        "Written: buns.xlsx. Fill it in, then run: costing estimate buns.xlsx",
    ):
        assert f"{said}\n" in done.output
    begun, findings = costing.read_workbook("buns.xlsx")
    assert [(one.ingredient, str(one.amount), one.use_by, one.opened) for one in begun.lots] == [
        ("oil", "200 ml", None, None),
        ("leek", "500 g", date(2031, 5, 16), None),
        ("leek", "400 g", date(2031, 5, 16), date(2031, 5, 10)),
    ]
    assert [(one.price, one.price_date) for one in begun.packs] == [
        (Decimal("2.1"), date(2031, 5, 9))
    ]
    assert [one.name for one in begun.people] == ["camera"]
    assert [(one.name, one.visit_cost) for one in begun.shops] == [("Market", Decimal("1.5"))]
    assert (begun.settings.currency, begun.lines, begun.shots) == ("EUR", (), ())
    assert [finding.code for finding in findings] == ["nothing to cook"]
    note = openpyxl.load_workbook("buns.xlsx")["On hand"]["A1"].comment
    assert note is not None
    assert note.text == "Left off: 150 g of leek: its last day was 2031-05-09."
    again = CliRunner().invoke(main, ["close", "tart.xlsx", "--next", "buns.xlsx"])
    assert again.exit_code == 2


def test_close__next_is_the_same_when_closed_twice(tart: Path) -> None:
    """Law: closing writes results only, so that what is left is the same the second time."""
    for name in ("one.xlsx", "two.xlsx"):
        assert CliRunner().invoke(main, ["close", "tart.xlsx", "--next", name]).exit_code == 0
    one, two = (costing.read_workbook(name)[0] for name in ("one.xlsx", "two.xlsx"))
    assert one.changed(settings=two.settings) == two


def test_next_stock__rows_that_differ_in_their_amount_alone_are_kept_apart() -> None:
    """250 g are used of 100 g and 400 g: all of the first row, and 250 g of the second are left."""
    leek = (line("soup", "leek", "250 g"), sound("leek"), Shot(dish="soup", taken=1))
    lots = [lot("leek", amount, use_by="2031-05-30") for amount in ("100 g", "400 g")]
    assert [row[:2] for row in rows(next_stock(of(*leek, *lots)))] == [("leek", "250 g")]
