"""What stood out in a bowl is not carried to the next shoot, by hand."""

from __future__ import annotations

from closing.test_next_shoot import BAGS, DAY, TART, bowl, rows
from small import books_of_shoot, lot, paid, shoot_of, sound

import costing
from costing.closing.closed import closed
from costing.closing.next_shoot import next_stock
from costing.shoot import Shot


def test_next_stock__what_stood_out_is_left_off_and_sealed_packs_are_not() -> None:
    """US-HOME-2H: out from 10:00 to 13:00 is past two hours; the open 400 g are left off."""
    out = costing.Event(kind="out", at="2031-05-10 10:00", temperature="4 C")
    asked = costing.Event(kind="reading", at="2031-05-10 13:00", temperature="20 C")
    receipt = paid("leek", "6.30", packs=3, shop="Market", day="2031-05-09")
    leek = sound("leek", keeps_days=7, holding_class="always")
    shoot = shoot_of(
        *(DAY, leek, TART, BAGS, Shot(dish="tart", times=3, taken=3), receipt, bowl(out, asked)),
        time_zone="Europe/Lisbon",
        holding_rules=("US-HOME-2H",),
    )
    estimate = costing.estimate(shoot)
    assert estimate.closed is not None
    found = next_stock(estimate.closed, estimate.verdicts)
    assert [row[:2] for row in rows(found)] == [("leek", "500 g")]
    assert [str(one) for one in found.left_off] == [
        '400 g of leek: open, and of what stood in "bowl" (discard)',
        'what is in "bowl": discard by US-HOME-2H',
    ]


def test_next_stock__of_boxes_in_each_other_all_that_is_open_is_left_off() -> None:
    """The bowl holds the box and the box the bowl and leek: the open leek stood out with them."""
    out = costing.Event(kind="out", at="2031-05-10 10:00", temperature="4 C")
    asked = costing.Event(kind="reading", at="2031-05-10 13:00", temperature="20 C")
    shoot = shoot_of(
        *(DAY, sound("leek", keeps_days=30, holding_class="always"), TART),
        *(lot("leek", "400 g", use_by="2031-05-20", opened="2031-05-09"), Shot(dish="tart")),
        *(bowl(out, asked, holds="box"), costing.Container(name="box", holds=["bowl", "leek"])),
        time_zone="Europe/Lisbon",
        holding_rules=("US-HOME-2H",),
    )
    found = next_stock(closed(books_of_shoot(shoot)), costing.estimate(shoot).verdicts)
    assert rows(found) == []
    assert '200 g of leek: open, and of what stood in "bowl" (discard)' in found.left_off


def test_next_stock__of_lots_that_nobody_touched_the_opened_one_is_left_off_too() -> None:
    """The 600 g of the first lot are the three takes'; of what stood out only sealed goods stay."""
    out = costing.Event(kind="out", at="2031-05-10 10:00", temperature="4 C")
    asked = costing.Event(kind="reading", at="2031-05-10 13:00", temperature="20 C")
    shoot = shoot_of(
        *(DAY, sound("leek", keeps_days=30, holding_class="always"), TART),
        lot("leek", "600 g", use_by="2031-05-12"),
        lot("leek", "400 g", use_by="2031-05-20", opened="2031-05-09"),
        lot("leek", "300 g", use_by="2031-05-22"),
        *(Shot(dish="tart", times=3, taken=3), bowl(out, asked)),
        time_zone="Europe/Lisbon",
        holding_rules=("US-HOME-2H",),
    )
    found = next_stock(closed(books_of_shoot(shoot)), costing.estimate(shoot).verdicts)
    assert [row[:2] for row in rows(found)] == [("leek", "300 g")]
    assert '400 g of leek: open, and of what stood in "bowl" (discard)' in map(str, found.left_off)
