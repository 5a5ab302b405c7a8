"""What closing says: each message brought about by one change to a good shoot, compared whole."""

from __future__ import annotations

from typing import Any

import pytest
from small import line, lot, pack, paid, part, shoot_of

import costing
from costing.findings import Place, Row
from costing.kitchen import CountedLot, Dish
from costing.shoot import LeftOut, Shot
from costing.shoot.episodes import Logged

PLAN = (line("toast", "bread", "2 each"), Shot(dish="toast", episode="One", times=6, taken=6))
PACK = pack("bread", "12 each", "1.80", shop="Corner")
BOUGHT = paid("bread", "1.80", packs=1)
COUNTED = CountedLot(ingredient="bread", amount="0 each")
UNPAID = (*PLAN, PACK, COUNTED)
UNCOUNTED = (*PLAN, PACK, BOUGHT)
GOOD = (*UNPAID, BOUGHT)
"""Twelve slices from one pack, all bought, taken, counted as planned."""


def closing(*parts: Any, **settings: Any) -> list[costing.Finding]:
    """What is said when a shoot is closed."""
    shoot = shoot_of(*parts, **({"currency": "EUR"} | settings))
    return list(costing.estimate(shoot, closing=True).findings)


def test_closing__as_planned_says_nothing() -> None:
    assert closing(*GOOD) == []


UNPLANNED = (
    "It is paid for all the same: on Differences it is under Not logged. If it was not bought "
    "for the shots, write household, test, crew or not food into Tag."
)
LISTED = (
    "Until then what was bought of it is not known, and the packs of the list stand in for it on "
    "Differences."
)
LINES = (
    "Compare the lines with the receipt: one may be missing, typed twice or mistyped, or a "
    "discount or deposit has no line of its own. The lines count, the total does not."
)
RATE = (
    "Write the rate you paid at with the code of the currency, such as 1 {} = 0.92 EUR. Until then "
    "the receipt counts nowhere, and nothing of it is charged."
)
LOGGED: dict[str, Any] = {"what": "bread", "event": "counted", "amount": "14 each"}
DOLLARS = "1 USD = 0.92 EUR"
WEIGHED = (
    "800 g of bread, which is counted in each, expected the same kind of unit, or grams per piece "
    "on the sheet Ingredients"
)
WEIGH = (
    "Fill Grams per piece for bread, or write this row in a unit of the same kind as each; until "
    "then the row counts as if it did not say how much. Published is another kind of piece: a "
    "slice 29 g, a very thin slice 15 g, a large, slice 30 g, a slice 25 g or a thin slice 20 g."
)


def said_of(found: str, remedy: str, *parts: Any, **settings: Any) -> Any:
    """A case of the table below, named by its code: what is said of a shoot of these rows."""
    code = found.partition("[")[2].rstrip("]")
    return pytest.param(f"{found}\n  {remedy}", parts, settings, id=code)


CASES = [
    said_of(
        'Receipts (column "Paid"): found a total of 2.00 EUR, while the lines of the receipt '
        "give 1.80 EUR, 0.20 EUR less, expected lines that give the total [receipt total differs]",
        LINES,
        *GOOD,
        paid("", "2.00", note="Total"),
    ),
    said_of(
        'Receipts (column "Paid"): found a total of 1.70 EUR, while the lines of the receipt '
        "give 1.80 EUR, 0.10 EUR more, expected lines that give the total [receipt total differs]",
        LINES,
        *GOOD,
        paid("", "1.70", note="total"),
    ),
    said_of(
        'Receipts (row "bread", column "Paid"): found receipt "R1" in USD, without a rate, '
        "expected what that is worth in EUR, in the column Note of one of its rows [receipt "
        "without a rate]",
        RATE.format("USD"),
        *UNPAID,
        paid("bread", "2.10", packs=1, sign="USD"),
    ),
    said_of(
        'Receipts (row "bread", column "Paid"): found receipt "R1" in £, without a rate, '
        "expected what that is worth in EUR, in the column Note of one of its rows [receipt "
        "without a rate]",
        RATE.format("EGP"),
        *UNPAID,
        paid("bread", "2.10", packs=1, sign="£", note=DOLLARS),
    ),
    said_of(
        'Receipts (row "bread", column "Paid"): found receipt "R1" in USD, without a rate, '
        "expected what that is worth in EUR, in the column Note of one of its rows [receipt "
        "without a rate]",
        RATE.format("USD"),
        *UNPAID,
        paid("bread", "2.10", packs=1, sign="USD", note=DOLLARS),
        paid("", "1.00", sign="GBP", note="delivery"),
    ),
    said_of(
        'Receipts (row "braed", column "Ingredient"): found braed on a receipt, of which the '
        'shots take nothing, expected "bread" [receipt ingredient unknown]',
        f'Write "bread" if that is meant. {UNPLANNED}',
        *GOOD,
        paid("braed", "2"),
    ),
    said_of(
        'Receipts (row "caviar", column "Ingredient"): found caviar on a receipt, of which the '
        "shots take nothing, expected an ingredient the shots take [receipt ingredient unknown]",
        UNPLANNED,
        *GOOD,
        paid("caviar", "90"),
    ),
    said_of(
        'Receipts (row "bread", column "Packs"): found bread on a receipt, without packs or an '
        "amount, expected packs, or an amount with its unit [receipt amount missing]",
        f"Fill Packs, or Amount and Unit. {LISTED}",
        *UNPAID,
        paid("bread", "2.10"),
    ),
    said_of(
        'Receipts (row "bread", column "Packs"): found bread on a receipt, without packs or an '
        "amount, expected packs, or an amount with its unit [receipt amount missing]",
        f"Fill Packs, or Amount and Unit. {LISTED}",
        *UNPAID,
        paid("bread", "0.00"),
    ),
    said_of(
        'Receipts (row "bread", column "Packs"): found bread taken back, by its Note, without '
        "packs or an amount, expected packs, or an amount with its unit "
        "[receipt return without amount]",
        "Fill Packs, or Amount and Unit, with what went back. Until then the sum is a discount on "
        "the other lines of bread.",
        *UNPAID,
        paid("bread", "3.60", packs=2),
        paid("bread", "-1.80", note="one returned"),
    ),
    said_of(
        'Receipts (row "bread", column "Paid"): found 0.40 EUR off bread, whose other lines add up '
        "to 0, expected lines of it that were paid for [discount on nothing paid]",
        "Compare the lines with the receipts. Until then it is charged as it is printed, and "
        "lowers nothing of bread on Differences.",
        *UNPAID,
        paid("bread", "1.80", packs=1),
        paid("bread", "-1.80", packs=1),
        paid("bread", "-0.40", note="coupon"),
    ),
    said_of(
        'Receipts (row "bread", column "Packs"): found more bread taken back than its lines say '
        "was bought, expected at most what was bought [receipt returns exceed]",
        "Compare the lines with the receipts: one may be missing, or its packs mistyped. Until "
        "then none of bread counts as bought on Differences.",
        *UNPAID,
        BOUGHT,
        paid("bread", "-3.60", packs=2),
    ),
    said_of(
        'Receipts (row "bread", column "Packs"): found 1 pack of bread, of 20 each or 30 each, '
        "expected how much that was together [receipt pack unclear]",
        f"Fill Amount and Unit with what all of them hold. {LISTED}",
        *PLAN,
        PACK,
        pack("bread", "20 each", "2.50", shop="Market"),
        pack("bread", "30 each", "3.50", shop="Market"),
        paid("bread", "2.20", packs=1, shop="Market"),
        COUNTED,
    ),
    said_of(
        'Receipts (row "bread", column "Amount"): found 2 packs and 30 each of bread, which is '
        "no pack of it in Packs, expected the amount of all packs together [receipt packs and "
        "amount]",
        "30 each counts for all of them together. If each holds that much, write what they hold "
        "together.",
        *UNPAID,
        paid("bread", "4.10", packs=2, amount="30 each"),
    ),
    said_of(
        f'Receipts (row "bread", column "Amount"): found {WEIGHED} [closing unit unclear]',
        WEIGH,
        *UNPAID,
        paid("bread", "4.10", amount="800 g"),
    ),
    said_of(
        f'Counted (row "bread", column "Amount"): found {WEIGHED} [closing unit unclear]',
        WEIGH,
        *UNCOUNTED,
        CountedLot(ingredient="bread", amount="800 g"),
    ),
    said_of(
        "Receipts: found no receipt, expected a row for each line of the receipts [no receipts]",
        "Fill the sheet Receipts (costing new FILE --with Receipts adds it). Until then nothing "
        "is charged, and the list as planned, 1.80 EUR, stands in for what was paid.",
        *UNPAID,
    ),
    said_of(
        "Receipts: found no line of a receipt for bread, expected a line for everything that was "
        "bought [receipt missing]",
        "Add the lines; where nothing was bought, write 0 into Packs and Paid. Until then the "
        "packs and prices of the list stand in for them on Differences, and no pack of them is "
        "charged.",
        *UNPAID,
        paid("", "3", note="delivery"),
    ),
    said_of(
        "Receipts: found no line of a receipt for bread (tagged crew), expected a line for "
        "everything that was bought [receipt missing]",
        "Add the lines; where nothing was bought, write 0 into Packs and Paid. Until then the "
        "packs and prices of the list stand in for them on Differences, and no pack of them is "
        "charged.",
        *UNPAID,
        paid("bread", "1.80", packs=1, tag="crew"),
    ),
    said_of(
        "Counted: found no count of bread at the end, expected what was there at the end, on the "
        "sheet Counted or as a line of the day log [not counted at the end]",
        "Until then they are taken as used by the takes that were logged, and their Use is 0.",
        *UNCOUNTED,
    ),
    said_of(
        'Counted (row "bread", column "Amount"): found 14 each of bread at the end by its count, '
        "while 12 each was bought and on hand, expected a count of at most what there was "
        "[counted more than there was]",
        "Look for a receipt or a row of On hand that is missing, or mend the count, in the day log "
        "its time too. Until then nothing counts as used of it: Use takes off all that its takes "
        "need.",
        *UNCOUNTED,
        CountedLot(ingredient="bread", amount="14 each"),
    ),
    said_of(
        'Counted (row "bread", column "Amount"): found 19 each of bread at the end by its count, '
        "while 18 each was bought and on hand, expected a count of at most what there was "
        "[counted more than there was]",
        "Look for a receipt or a row of On hand that is missing, or mend the count, in the day log "
        "its time too. Until then nothing counts as used of it: Use takes off all that its takes "
        "need.",
        *UNCOUNTED,
        lot("bread", "6 each"),
        CountedLot(ingredient="bread", amount="19 each"),
    ),
    said_of(
        '\'Day log\' (row "bread", column "Amount"): found 14 each of bread at the end by its '
        "count, while 12 each was bought and on hand, expected a count of at most what there was "
        "[counted more than there was]",
        "Look for a receipt or a row of On hand that is missing, or mend the count, in the day log "
        "its time too. Until then nothing counts as used of it: Use takes off all that its takes "
        "need.",
        *UNCOUNTED,
        Logged(**LOGGED, when="2031-05-10 18:00"),
    ),
    said_of(
        'Counted (row "braed", column "Ingredient"): found braed counted at the end, of which '
        'the shots take nothing, expected "bread" [count of nothing planned]',
        'Write "bread" if that is meant. It changes nothing on Differences; it is there for the '
        "next shoot.",
        *GOOD,
        CountedLot(ingredient="braed", amount="14 each"),
    ),
    said_of(
        'Counted (row "caviar", column "Ingredient"): found caviar counted at the end, of which '
        "the shots take nothing, expected an ingredient the shots take [count of nothing planned]",
        "It changes nothing on Differences; it is there for the next shoot.",
        *GOOD,
        CountedLot(ingredient="caviar", amount="14 each"),
    ),
    said_of(
        '\'Shoot plan\' (row "P9", column "Taken"): found P9 with Taken blank, while other shots '
        "of the episode say how often they were taken, expected how often it was taken, or 0 "
        "[taken not given]",
        "They count as not taken, and their food as not needed; Takes left has them as planned. "
        "Fill Taken, or log the takes.",
        *GOOD,
        Shot(dish="toast", episode="One", name="P9", steps=(1,), purpose="swap"),
    ),
    said_of(
        '\'Shoot plan\' (row "toast, cook-through", column "Taken"): found no take logged of '
        '"One", and Taken blank, expected how often each shot was taken [no takes given]',
        "Its shots count as taken as planned, so that Takes is 0. Fill Taken on the Shoot plan, "
        "or log the takes.",
        PLAN[0],
        PACK,
        BOUGHT,
        COUNTED,
        Shot(dish="toast", episode="One", times=6),
    ),
    said_of(
        'Receipts (row "bread", column "Paid"): found 1.80 EUR paid for bread, which Packs has '
        "as supplied, expected no payment for what is supplied [supplied paid for]",
        "It is not charged. If it was bought after all, give it a row in Packs that is not "
        "supplied.",
        *PLAN,
        pack("bread", "12 each", None, shop="Corner", supplied=True),
        BOUGHT,
        COUNTED,
    ),
    said_of(
        'Receipts (column "Tag"): found crew 3.00 EUR and not food 4.00 EUR paid and not '
        "charged, expected the tag camera for what the client pays [not charged]",
        "They stay costs of the job. Write camera into Tag of a line that is to be charged.",
        *GOOD,
        paid("", "4", note="gloves", tag="not food"),
        paid("", "3", note="tea", tag="crew"),
    ),
    said_of(
        'Receipts (row "bread", column "Tax rate %"): found no tax rate of bread, while the '
        "mark-up is on what was paid before tax, expected the rate printed on the receipt "
        "[receipt tax unknown]",
        "Fill Tax rate %, 0 where there is none. Until then the mark-up is on all that was paid.",
        *GOOD,
        charge_mark_up="0.1",
        mark_up_on="before tax",
    ),
    # 10 % of 5.00; the bread is food, and the ice says that nothing was added
    said_of(
        'Receipts (column "Tax rate %"): found no tax rate of delivery (0.50 EUR '
        "of tax), on a receipt of which nothing tells whether tax was added, expected the rate "
        "printed on the receipt, 0 where nothing was added [cost taxed as food]",
        "Fill Tax rate %, or add a row with the Note total. Until then the Food tax rate % of the "
        "Settings is added to it, in what is paid and charged.",
        *UNPAID,
        paid("bread", "1.80", packs=1),
        paid("", "5", note="delivery"),
        paid("", "2", note="ice", tax_rate=0),
        prices_include_tax=False,
        tax_rate="0.1",
    ),
    said_of(
        'Settings (row "Cash counted"): found 17.70 EUR counted, 0.50 EUR less than the 18.20 '
        "EUR that the float less what was paid from it leaves, expected 18.20 EUR of cash [cash "
        "differs]",
        "Look for a receipt that was paid from the float and is not typed or not marked float. "
        "Lines with a blank Paid from, 2.00 EUR together, may be among them.",
        *UNPAID,
        paid("bread", "1.80", packs=1, paid_from="float"),
        paid("", "2", note="ice"),
        cash_float="20",
        cash_counted="17.70",
    ),
    said_of(
        'Settings (row "Cash counted"): found 17.70 EUR counted, 0.50 EUR less than the 18.20 '
        "EUR that the float less what was paid from it leaves, expected 18.20 EUR of cash [cash "
        "differs]",
        "Look for a receipt that was paid from the float and is not typed or not marked float.",
        *UNPAID,
        paid("bread", "1.80", packs=1, paid_from="float"),
        paid("", "0", note="bag"),
        cash_float="20",
        cash_counted="17.70",
    ),
    said_of(
        'Settings (row "Cash counted"): found 18.70 EUR counted, 0.50 EUR more than the 18.20 '
        "EUR that the float less what was paid from it leaves, expected 18.20 EUR of cash [cash "
        "differs]",
        "Look for a line marked float that was paid otherwise, or for change left behind.",
        *UNPAID,
        paid("bread", "1.80", packs=1, paid_from="float"),
        cash_float="20",
        cash_counted="18.70",
    ),
    said_of(
        'Settings (row "Cash float"): found Cash float filled in, and Cash counted blank, '
        "expected both, or neither [cash half given]",
        "Fill Cash counted; until then cash is not reconciled.",
        *GOOD,
        cash_float="20",
    ),
    said_of(
        'Settings (row "Cash counted"): found Cash counted filled in, and Cash float blank, '
        "expected both, or neither [cash half given]",
        "Fill Cash float; until then cash is not reconciled.",
        *GOOD,
        cash_counted="20",
    ),
]


@pytest.mark.parametrize(("said", "parts", "settings"), CASES)
def test_closing__message(said: str, parts: tuple[Any, ...], settings: dict[str, Any]) -> None:
    """A place, what was found and is expected, and what to do."""
    assert said in [str(one) for one in closing(*parts, **settings)]


@pytest.mark.parametrize(
    ("parts", "codes"),
    [
        ((*UNPAID, paid("bread", "2.10")), ["receipt amount missing"]),
        ((*UNPAID, paid("bread", "-0.40", note="coupon")), ["receipt missing"]),
        ((*GOOD, paid("bread", "1.80", packs=1), paid("bread", "-1.80", packs=1)), []),
        (
            (
                *(PLAN[0], Shot(dish="toast", episode="One", times=6, taken=0), PACK, BOUGHT),
                CountedLot(ingredient="bread", amount="12 each"),
            ),
            [],
        ),
        (
            (*UNPAID, paid("bread", "1.80", packs=1), paid("bread", "-1.80", packs=1)),
            [],
        ),
    ],
    ids=[
        "one cause",
        "a discount without its goods",
        "one too many goes back",
        "all of it is left",
        "all of it goes back",
    ],
)
def test_closing__says_no_more_than_it_must(parts: tuple[Any, ...], codes: list[str]) -> None:
    """What was bought and not taken, or taken back, is no fault; nothing is told twice."""
    found = [one.code for one in closing(*parts)]
    assert [one for one in found if one.startswith(("receipt", "counted"))] == codes


def test_closing__a_row_of_another_thing_that_cannot_be_read_is_a_receipt_all_the_same() -> None:
    """There is one, so that it is not said that there is none; of the bread there is no line."""
    row = LeftOut(what="a row", place=Place("Receipts", 9), sheet="Receipts", name="jam")
    shoot = shoot_of(*UNPAID, currency="EUR").changed(left_out=(row,))
    codes = {one.code for one in costing.estimate(shoot, closing=True).findings}
    assert codes & {"receipt missing", "no receipts"} == {"receipt missing"}


def test_receipt_returns_exceed__is_told_where_goods_went_back_and_not_at_a_discount() -> None:
    """Three packs back of one that was bought; the line below takes money off and no bread."""
    back = paid("bread", "-5.40", packs=3, row=Row("Receipts", 3))
    discount = paid("bread", "-0.20", row=Row("Receipts", 4))
    found = closing(*UNPAID, BOUGHT, back, discount)
    assert [one.place.row for one in found if one.code == "receipt returns exceed"] == [3]


def test_count_of_a_dish__is_told() -> None:
    """A dish that goes into others as it is made, and has no amount to be bought."""
    dish = CountedLot(ingredient="toast", amount="2 portions")
    assert [str(one) for one in closing(*GOOD, dish)] == [
        'Counted (row "toast", column "Ingredient"): found toast counted at the end, a dish of '
        "Recipes, expected counts of what was bought [count of a dish]\n"
        "  In the takes that are left and on Differences it changes nothing: its worth is in what "
        "it was made of. costing close --next takes it on."
    ]


@pytest.mark.parametrize(
    ("source", "acts"),
    [
        (
            pack("bones", "500 g", "3.00"),
            "The takes that are left go by it; on Differences it changes nothing: its worth is in "
            "what it was made of. costing close --next takes it on.",
        ),
        (
            lot("stock", "1 l", value="3.00"),
            "The takes that are left, Differences and costing close --next go by it.",
        ),
    ],
    ids=["made", "on hand"],
)
def test_count_of_a_dish__that_others_take_is_told(source: Any, acts: str) -> None:
    """Of a lot on hand nothing was made, so that its count says what was used of the lot."""
    rows = (
        *(line("soup", "stock", "600 ml"), line("stock", "bones", "500 g")),
        *(Dish(name="stock", makes="1 l"), source),
        *(Shot(dish="soup", taken=1), CountedLot(ingredient="stock", amount="300 ml")),
    )
    assert (
        'Counted (row "stock", column "Ingredient"): found stock counted at the end, a dish of '
        f"Recipes, expected counts of what was bought [count of a dish]\n  {acts}"
    ) in [str(one) for one in closing(*rows)]


def test_count_of_a_part__is_told() -> None:
    """Yolks are cut from eggs, which are what was paid for."""
    rows = (
        *(
            line("flan", "yolk", "2 each"),
            part("egg", "yolk", "1 each"),
            pack("egg", "6 each", "2"),
        ),
        Shot(dish="flan", taken=1),
        *(paid("egg", "2.00", packs=1), CountedLot(ingredient="egg", amount="4 each")),
        CountedLot(ingredient="yolk", amount="1 each"),
    )
    assert [str(one) for one in closing(*rows)] == [
        'Counted (row "yolk", column "Ingredient"): found yolk counted at the end, which is cut '
        "from what was bought, expected counts of what was bought [count of a part]\n"
        "  The takes that are left go by it; on Differences it changes nothing: its worth is in "
        "what it was cut from. costing close --next takes it on."
    ]


@pytest.mark.parametrize(
    ("sheet", "code", "rows"),
    [
        ("Receipts", "receipt missing", (COUNTED, paid("", "3", note="delivery"))),
        ("Counted", "not counted at the end", (BOUGHT,)),
    ],
)
def test_closing__what_an_unread_row_says_is_not_asked_for(
    sheet: str, code: str, rows: tuple[Any, ...]
) -> None:
    """One cause, one message: the row of bread that cannot be read has its own."""
    shoot = shoot_of(*PLAN, PACK, *rows, currency="EUR")
    row = LeftOut(what="a row", place=Place(sheet, 9), sheet=sheet, name="bread")
    other = row.model_copy(update={"name": "jam"})
    for left, said in ((), True), ((other,), True), ((row,), False):
        found = costing.estimate(shoot.changed(left_out=left), closing=True).findings
        assert (code in [one.code for one in found]) is said


def test_counts__what_no_take_used_needs_none() -> None:
    """All of the salt is left, as the only shot that takes it was not taken."""
    rows = (
        *(line("bread", "flour", "500 g"), line("pie", "salt", "10 g")),
        *(pack("flour", "1 kg", "1.20"), pack("salt", "500 g", "0.60")),
        *(Shot(dish="bread", taken=1), Shot(dish="pie", taken=0)),
        *(paid("flour", "1.20", packs=1), paid("salt", "0.60", packs=1)),
    )
    said = [str(one) for one in closing(*rows) if one.code == "not counted at the end"]
    assert ["flour" in one for one in said] == [True]
    assert not any("salt" in one for one in said)


def test_receipts__what_no_shot_takes_is_told_once_however_it_is_written() -> None:
    """Caviar with a small and a capital letter is one thing, beside truffle: two are told."""
    lines = [paid(name, "9") for name in ("caviar", "Caviar", "truffle")]
    (said,) = (one for one in closing(*GOOD, *lines) if one.code == "receipt ingredient unknown")
    assert str(said).startswith(
        'Receipts (column "Ingredient"): found caviar and truffle on a receipt, '
    )


def test_receipts__one_pack_may_hold_what_no_row_has() -> None:
    """A pack of 14 slices where Packs has 12: the amount is that of the pack, and of all of it."""
    one = paid("bread", "2.10", packs=1, amount="14 each")
    found = [finding.code for finding in closing(*UNPAID, one)]
    assert "receipt packs and amount" not in found


def test_receipts__what_is_given_free_needs_none() -> None:
    """Flour is on a receipt and salt is supplied: no line is missing; of paid salt one would be."""

    def codes(**salt: bool) -> list[str]:
        found = closing(
            *(line("bread", "flour", "500 g"), line("bread", "salt", "10 g")),
            *(pack("flour", "1 kg", "1.20"), pack("salt", "500 g", "0.60", **salt)),
            *(Shot(dish="bread", taken=1), paid("flour", "1.20", packs=1)),
            *(CountedLot(ingredient=name, amount="490 g") for name in ("flour", "salt")),
        )
        return [one.code for one in found]

    assert "receipt missing" not in codes(supplied=True)
    assert "receipt missing" in codes(supplied=False)


@pytest.mark.parametrize(
    ("printed", "told"),
    [
        ((), True),
        ((paid("", "7.48", note="total"),), False),
        ((paid("", "0.68", note="tax"),), False),
    ],
    ids=["neither", "total", "tax"],
)
def test_receipts__a_printed_total_or_tax_tells_what_was_added(
    printed: tuple[Any, ...], told: bool
) -> None:
    """Worked by hand: 1.80 + 5.00 are 6.80, and 0.68 at 10 % on all of it makes 7.48."""
    rows = (*UNPAID, paid("bread", "1.80", packs=1), paid("", "5", note="delivery"), *printed)
    found = closing(*rows, prices_include_tax=False, tax_rate="0.1")
    assert ("cost taxed as food" in {one.code for one in found}) is told
