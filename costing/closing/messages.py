"""What is said of receipts, counts and takes when a shoot is closed."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from costing.buying.messages import published_instead
from costing.findings import Grade, Words, choice_words, how_many, lack, message, near_words
from costing.quantities import decimal_or_fraction, magnitude_text


@message("receipt total differs", Grade.WARNING)
def receipt_total_differs(
    printed: str, lines: str, difference: str, *, above: bool, added: bool
) -> Words:
    tax = " with the tax added" if added else ""
    return Words(
        f"a total of {printed}, while the lines of the receipt give {lines}{tax}, "
        f"{difference} {'less' if above else 'more'}",
        "lines that give the total",
        "Compare the lines with the receipt: one may be missing, typed twice or mistyped, or a "
        "discount or deposit has no line of its own. The lines count, the total does not.",
    )


@message("receipt without a rate", Grade.ERROR)
def receipt_without_a_rate(name: str, sign: str, code: str, own: str) -> Words:
    return Words(
        f'receipt "{name}" in {sign}, without a rate',
        f"what that is worth in {own}, in the column Note of one of its rows",
        f"Write the rate you paid at with the code of the currency, such as 1 {code} = 0.92 {own}. "
        "Until then the receipt counts nowhere, and nothing of it is charged.",
    )


@lack("receipt ingredient unknown", Grade.WARNING)
def receipt_ingredient_unknown(name: str, near: Sequence[str]) -> Words:
    return Words(
        f"{name} on a receipt, of which the shots take nothing",
        near_words(near, "an ingredient the shots take"),
        (f'Write "{near[0]}" if that is meant. ' if near else "")
        + "It is paid for all the same: on Differences it is under Not logged. If it was not "
        "bought for the shots, write household, test, crew or not food into Tag.",
    )


@lack("receipt amount missing", Grade.WARNING)
def receipt_amount_missing(name: str) -> Words:
    return Words(
        f"{name} on a receipt, without packs or an amount",
        "packs, or an amount with its unit",
        "Fill Packs, or Amount and Unit. Until then what was bought of it is not known, and the "
        "packs of the list stand in for it on Differences.",
    )


@message("receipt return without amount", Grade.WARNING)
def receipt_return_without_amount(name: str) -> Words:
    """Goods taken back by the Note of a line that does not say how many."""
    return Words(
        f"{name} taken back, by its Note, without packs or an amount",
        "packs, or an amount with its unit",
        f"Fill Packs, or Amount and Unit, with what went back. Until then the sum is a discount on "
        f"the other lines of {name}.",
    )


@message("discount on nothing paid", Grade.WARNING)
def discount_on_nothing(name: str, money: str) -> Words:
    """A discount on an ingredient whose other lines add up to 0."""
    return Words(
        f"{money} off {name}, whose other lines add up to 0",
        "lines of it that were paid for",
        "Compare the lines with the receipts. Until then it is charged as it is printed, and "
        f"lowers nothing of {name} on Differences.",
    )


@message("receipt returns exceed", Grade.WARNING)
def receipt_returns_exceed(name: str) -> Words:
    return Words(
        f"more {name} taken back than its lines say was bought",
        "at most what was bought",
        "Compare the lines with the receipts: one may be missing, or its packs mistyped. Until "
        f"then none of {name} counts as bought on Differences.",
    )


@message("receipt pack unclear", Grade.WARNING)
def receipt_pack_unclear(name: str, packs: Fraction, sizes: Sequence[str]) -> Words:
    many = "1 pack" if packs == 1 else f"{decimal_or_fraction(packs)} packs"
    known = f"of {choice_words(sizes)}" if sizes else "while Packs has none of it"
    return Words(
        f"{many} of {name}, {known}",
        "how much that was together",
        "Fill Amount and Unit with what all of them hold. Until then what was bought of it is not "
        "known, and the packs of the list stand in for it on Differences.",
    )


@message("receipt packs and amount", Grade.WARNING)
def receipt_packs_and_amount(name: str, packs: Fraction, amount: str) -> Words:
    return Words(
        f"{decimal_or_fraction(packs)} packs and {amount} of {name}, which is no pack of it in "
        "Packs",
        "the amount of all packs together",
        f"{amount} counts for all of them together. If each holds that much, write what they hold "
        "together.",
    )


@message("closing unit unclear", Grade.WARNING)
def closing_unit_unclear(
    name: str, amount: str, unit: str, heading: str, others: Sequence[str] = ()
) -> Words:
    return Words(
        f"{amount} of {name}, which is counted in {unit}",
        f"the same kind of unit, or {heading.lower()} on the sheet Ingredients",
        f"Fill {heading} for {name}, or write this row in a unit of the same kind as {unit}; until "
        "then the row counts as if it did not say how much." + published_instead(others),
    )


@message("no receipts", Grade.WARNING)
def no_receipts(listed: str) -> Words:
    """A shoot that is closed without a receipt."""
    return Words(
        "no receipt",
        "a row for each line of the receipts",
        "Fill the sheet Receipts (costing new FILE --with Receipts adds it). Until then nothing is "
        f"charged, and the list as planned, {listed}, stands in for what was paid.",
    )


@message("receipt missing", Grade.WARNING)
def receipt_missing(names: str) -> Words:
    return Words(
        f"no line of a receipt for {names}",
        "a line for everything that was bought",
        "Add the lines; where nothing was bought, write 0 into Packs and Paid. Until then the "
        "packs and prices of the list stand in for them on Differences, and no pack of them is "
        "charged.",
    )


@message("not counted at the end", Grade.NOTE)
def not_counted(names: str) -> Words:
    return Words(
        f"no count of {names} at the end",
        "what was there at the end, on the sheet Counted or as a line of the day log",
        "Until then they are taken as used by the takes that were logged, and their Use is 0.",
    )


@message("counted more than there was", Grade.WARNING)
def counted_more(name: str, there: str, brought: str) -> Words:
    return Words(
        f"{there} of {name} at the end by its count, while {brought} was bought and on hand",
        "a count of at most what there was",
        "Look for a receipt or a row of On hand that is missing, or mend the count, in the day log "
        "its time too. Until then nothing counts as used of it: Use takes off all that its takes "
        "need.",
    )


@message("counts apart", Grade.WARNING)
def counts_apart(name: str, sheet: str, log: str) -> Words:
    return Words(
        f"{sheet} of {name} at the end on this sheet, while the last count of the day log has "
        f"{log} and no take came after it",
        "one amount for what was there",
        f"Mend the one that is wrong; until then {sheet} counts, as the sheet is later.",
    )


@lack("count of nothing planned", Grade.NOTE)
def count_of_nothing(name: str, near: Sequence[str]) -> Words:
    return Words(
        f"{name} counted at the end, of which the shots take nothing",
        near_words(near, "an ingredient the shots take"),
        (f'Write "{near[0]}" if that is meant. ' if near else "")
        + "It changes nothing on Differences; it is there for the next shoot.",
    )


@lack("taken not given", Grade.WARNING)
def taken_not_given(shots: str) -> Words:
    """Shots of which nothing says how often they were taken, while others say it."""
    return Words(
        f"{shots} with Taken blank, while other shots of the episode say how often they were taken",
        "how often it was taken, or 0",
        "They count as not taken, and their food as not needed; Takes left has them as planned. "
        "Fill Taken, or log the takes.",
    )


@message("no takes given", Grade.WARNING)
def no_takes_given(episodes: str) -> Words:
    return Words(
        f"no take logged of {episodes}, and Taken blank",
        "how often each shot was taken",
        "Its shots count as taken as planned, so that Takes is 0. Fill Taken on the Shoot plan, or "
        "log the takes.",
    )


@message("supplied paid for", Grade.WARNING)
def supplied_paid_for(name: str, money: str) -> Words:
    return Words(
        f"{money} paid for {name}, which Packs has as supplied",
        "no payment for what is supplied",
        "It is not charged. If it was bought after all, give it a row in Packs that is not "
        "supplied.",
    )


@message("not charged", Grade.NOTE)
def not_charged(sums: str) -> Words:
    return Words(
        f"{sums} paid and not charged",
        "the tag camera for what the client pays",
        "They stay costs of the job. Write camera into Tag of a line that is to be charged.",
    )


@lack("receipt tax unknown", Grade.WARNING)
def receipt_tax_unknown(name: str) -> Words:
    return Words(
        f"no tax rate of {name}, while the mark-up is on what was paid before tax",
        "the rate printed on the receipt",
        "Fill Tax rate %, 0 where there is none. Until then the mark-up is on all that was paid.",
    )


@lack("cost taxed as food", Grade.WARNING)
def cost_taxed_as_food(name: str) -> Words:
    """A cost that is no ingredient, to which nothing but the setting adds a tax."""
    return Words(
        f"no tax rate of {name}, on a receipt of which nothing tells whether tax was added",
        "the rate printed on the receipt, 0 where nothing was added",
        "Fill Tax rate %, or add a row with the Note total. Until then the Food tax rate % of the "
        "Settings is added to it, in what is paid and charged.",
    )


@message("cash differs", Grade.WARNING)
def cash_differs(counted: str, due: str, difference: str, *, less: bool, unknown: str) -> Words:
    lines = (
        f" Lines with a blank Paid from, {unknown} together, may be among them." if unknown else ""
    )
    return Words(
        f"{counted} counted, {difference} {'less' if less else 'more'} than the {due} that the "
        "float less what was paid from it leaves",
        f"{due} of cash",
        (
            "Look for a receipt that was paid from the float and is not typed or not marked float."
            if less
            else "Look for a line marked float that was paid otherwise, or for change left behind."
        )
        + lines,
    )


@message("cash half given", Grade.NOTE)
def cash_half_given(given: str, lacking: str) -> Words:
    return Words(
        f"{given} filled in, and {lacking} blank",
        "both, or neither",
        f"Fill {lacking}; until then cash is not reconciled.",
    )


@message("weighed otherwise", Grade.NOTE)
def weighed_otherwise(
    heading: str, weighed: Fraction, used: Fraction | None, weighings: int
) -> Words:
    times = how_many(weighings, "weighing")
    shown = decimal_or_fraction(weighed)
    reckoned = "nothing" if used is None else magnitude_text(used)
    return Words(
        f"{heading.lower().removesuffix(' %')} {shown} by {times}, while {reckoned} was reckoned "
        "with",
        "what holds for what you buy",
        f"Write {shown} into {heading} for the next shoot if it is usual; one day's goods may not "
        "be.",
    )


@lack("count of a dish", Grade.NOTE)
def count_of_a_dish(name: str, *, made: bool, acts: bool) -> Words:
    """A count of a dish, which may have been made, or was on hand or bought ready.

    What was made afresh for each shot that shows it says nothing of the takes that are left.
    """
    left = "The takes that are left go by it" if acts else "In the takes that are left"
    nothing = "; on" if acts else " and on"
    return Words(
        f"{name} counted at the end, a dish of Recipes",
        "counts of what was bought",
        f"{left}{nothing} Differences it changes nothing: its worth is in what it was made of. "
        "costing close --next takes it on."
        if made
        else "The takes that are left, Differences and costing close --next go by it.",
    )


@lack("count of a part", Grade.NOTE)
def count_of_a_part(name: str) -> Words:
    return Words(
        f"{name} counted at the end, which is cut from what was bought",
        "counts of what was bought",
        "The takes that are left go by it; on Differences it changes nothing: its worth is in what "
        "it was cut from. costing close --next takes it on.",
    )
