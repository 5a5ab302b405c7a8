"""Laws of whole workbooks: the same shoot told in another way gives the same list and figures.

Each law takes any workbook, tells it in another way that means the same, and compares what is
bought, needed, used and left.
"""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction
from random import Random

from any_shoot import EVERY_KIND, any_shoot
from budgets import examples
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from kitchens import any_kitchen
from plans import Kinds, any_plan
from told_otherwise import (
    LAYOUTS,
    Rows,
    differing,
    everything,
    figures,
    in_coins,
    over_days,
    plain_workbook,
    renamed,
    rows_told,
    with_names,
    worked_out,
)

from costing.quantities import currency_digits
from costing.shoot import Shoot

FEW = settings(max_examples=examples(6))
"""A workbook is read and worked out twice in each example."""

SEEDS = st.integers(0, 10_000)
CHOICES = st.randoms(use_true_random=False)
OF_EVERY_KIND = Kinds(shops=True, counted=True, limits=True, stock=True, spoils=True, taxed=True)

any_workbook: st.SearchStrategy[Shoot] = st.one_of(
    any_shoot(**EVERY_KIND),
    st.builds(lambda seed: any_kitchen(seed).shoot(), SEEDS),
    st.builds(lambda seed: any_kitchen(seed, uncertain=True).shoot(), SEEDS),
    st.builds(lambda seed: any_plan(seed, OF_EVERY_KIND), SEEDS),
    st.builds(lambda seed: any_plan(seed, Kinds()), SEEDS),
)

any_rows: st.SearchStrategy[Rows] = st.builds(over_days, any_workbook.map(rows_told), CHOICES)

FREE_ORDER = ("Packs", "Ingredients", "On hand", "Dishes", "Shops", "Episodes", "Settings", "Parts")


@FEW
@given(any_rows, CHOICES)
def test_order__of_sheets_and_columns_changes_nothing(rows: Rows, random: Random) -> None:
    """Law: headings are matched whatever their order, case and blanks; other columns are kept."""
    headings = {}
    for title in rows:
        columns = [*LAYOUTS[title].headings, "My remark"]
        random.shuffle(columns)
        headings[title] = [random.choice([f" {c} ", c]) for c in columns]
    order = list(rows)
    random.shuffle(order)
    before = everything(worked_out(plain_workbook(rows)))
    other = plain_workbook({title: rows[title] for title in order}, headings=headings)
    assert differing(before, everything(worked_out(other))) == []


TIES = {"to buy": None}
"""Of baskets that are equally good the one that stands first in the sheet is taken."""


@FEW
@given(any_workbook, CHOICES)
def test_order__of_rows_changes_nothing(shoot: Shoot, random: Random) -> None:
    """Law: rows of packs, stock, ingredients and shops may stand in any order."""
    rows = rows_told(shoot)
    other = {title: list(given) for title, given in rows.items()}
    for title in FREE_ORDER:
        random.shuffle(other.get(title, []))
    both = (figures(worked_out(plain_workbook(one)), amounts=()) for one in (rows, other))
    before, after = (found | TIES for found in both)
    assert differing(before, after) == []


@FEW
@given(any_workbook, CHOICES)
def test_order__of_recipe_lines_and_shots_changes_nothing(shoot: Shoot, random: Random) -> None:
    rows = rows_told(shoot)
    other = {title: list(given) for title, given in rows.items()}
    for title in ("Recipes", "Shoot plan"):
        random.shuffle(other.get(title, []))
    both = (figures(worked_out(plain_workbook(one)), amounts=()) for one in (rows, other))
    before, after = both
    assert differing(before, after) == []


SAME_SIZE: dict[str, tuple[tuple[str, Fraction], ...]] = {
    "g": (("kg", Fraction(1, 1000)), ("mg", Fraction(1000)), ("dag", Fraction(1, 10))),
    "ml": (
        ("l", Fraction(1, 1000)),
        ("cl", Fraction(1, 10)),
        ("tsp", Fraction(1, 5)),
        ("tbsp", Fraction(1, 15)),
        ("cup", Fraction(1, 250)),
    ),
    "each": (("dozen", Fraction(1, 12)), ("pc", Fraction(1))),
}
UNKNOWN = (("", Fraction(1)),)
NUMBERS = {
    "Packs": ("Amount", "Loose step"),
    "Recipes": ("Amount",),
    "On hand": ("Amount",),
    "Dishes": ("Makes",),
}


@FEW
@given(any_rows, CHOICES)
def test_units__of_another_name_and_the_same_size_change_nothing(
    rows: Rows, random: Random
) -> None:
    """Law: 250 g is 0.25 kg, 15 ml a metric tablespoon and three teaspoons, 12 a dozen."""
    other = {title: [dict(row) for row in given] for title, given in rows.items()}
    for title, headings in NUMBERS.items():
        for row in other.get(title, ()):
            name, factor = random.choice(SAME_SIZE.get(row.get("Unit") or "each", UNKNOWN))
            if (
                name
                and random.random() < 0.6
                and any(isinstance(row.get(h), Fraction) for h in headings)
            ):
                row["Unit"] = name
                for heading in headings:
                    if row.get(heading) is not None:
                        row[heading] = Fraction(row[heading]) * factor
    before, after = (figures(worked_out(plain_workbook(one))) for one in (rows, other))
    assert differing(before, after) == []


MONEY = {
    "Packs": ("Price",),
    "On hand": ("Value",),
    "Shops": ("Visit cost", "Minimum spend"),
    "Episodes": ("Budget",),
}


@FEW
@given(any_workbook, st.permutations(["JPY", "USD", "BHD"]))
def test_currency__of_other_digits_moves_the_point_alone(shoot: Shoot, codes: list[str]) -> None:
    """Law: what costs so many coins of one currency costs so many of another.

    ISO 4217: the yen has no digits after the point, the US dollar two, the Bahraini dinar three.
    """
    given_digits = (
        2 if shoot.settings.currency is None else currency_digits(shoot.settings.currency)
    )
    both = []
    for code in codes[:2]:
        digits = currency_digits(code)
        rows = rows_told(shoot)
        rows["Settings"] = [r for r in rows["Settings"] if r["Setting"] != "Currency"]
        rows["Settings"].append({"Setting": "Currency", "Value": code})
        for title, headings in MONEY.items():
            for row in rows.get(title, ()):
                for heading in headings:
                    if row.get(heading) is not None:
                        row[heading] = Decimal(row[heading]).scaleb(given_digits - digits)
        both.append(in_coins(worked_out(plain_workbook(rows)), digits))
    before, after = both
    assert differing(before, after) == []


@FEW
@given(any_rows)
def test_names__that_no_table_knows_may_be_any(rows: Rows) -> None:
    """Law: ingredients, dishes, shots, episodes and shops by other names give the same."""
    names = {
        row[heading]
        for title, headings in NAMED.items()
        for row in rows.get(title, ())
        for heading in headings
        if row.get(heading)
    }
    some, others = ({n: f"{word}{at}" for at, n in enumerate(names)} for word in ("zq", "wu"))
    order = sorted(names)
    others = {name: others[other] for name, other in zip(order, reversed(order), strict=True)}
    before, after = (
        figures(worked_out(plain_workbook(renamed(rows, NAMED, by)))) for by in (some, others)
    )
    back = {some[name]: others[name] for name in names}
    assert differing(with_names(before, back), after) == []


NAMED = {
    "Recipes": ("Dish", "Ingredient"),
    "Shoot plan": ("Shot", "Episode", "Dish"),
    "Packs": ("Ingredient", "Shop"),
    "Ingredients": ("Ingredient",),
    "On hand": ("Ingredient",),
    "Dishes": ("Dish",),
    "Shops": ("Shop",),
    "Episodes": ("Episode",),
    "Parts": ("Ingredient", "Part"),
    "Trips": ("Shop",),
}


@FEW
@given(any_workbook, CHOICES)
def test_lines__in_two_halves_are_the_line(shoot: Shoot, random: Random) -> None:
    """Law: 125 g in a step is 50 g and 75 g in the same step."""
    rows = rows_told(shoot)
    other: Rows = {title: list(given) for title, given in rows.items()}
    other["Recipes"] = []
    for row in rows["Recipes"]:
        amount = row.get("Amount")
        if isinstance(amount, Fraction) and random.random() < 0.5:
            part = random.choice([Fraction(1, 2), Fraction(2, 5)])
            other["Recipes"] += [
                {**row, "Amount": amount * part},
                {**row, "Amount": amount * (1 - part)},
            ]
        else:
            other["Recipes"].append(row)
    before, after = (figures(worked_out(plain_workbook(one))) for one in (rows, other))
    assert differing(before, after) == []


@FEW
@given(any_workbook)
def test_shots__of_several_times_are_as_many_rows(shoot: Shoot) -> None:
    """Law: a shot that is certain to be taken three times is three shots."""
    rows = rows_told(shoot)
    other: Rows = {title: list(given) for title, given in rows.items()}
    other["Shoot plan"] = []
    for row in rows["Shoot plan"]:
        certain = row.get("Fewest") is None and row.get("Most") is None
        times = int(row.get("Times", 1)) if certain else 1
        if times > 1:
            other["Shoot plan"] += [
                {**row, "Shot": f"{row.get('Shot') or row['Dish']} take {n}", "Times": 1}
                for n in range(times)
            ]
        else:
            other["Shoot plan"].append(row)
    before, after = (figures(worked_out(plain_workbook(one))) for one in (rows, other))
    assert differing(before, after) == []


@FEW
@given(any_workbook)
def test_dishes__under_two_names_are_one_dish(shoot: Shoot) -> None:
    """Law: a recipe written twice, every second shot taking the copy, needs the same."""
    rows = rows_told(shoot)
    other: Rows = {title: [dict(row) for row in given] for title, given in rows.items()}
    inside = {row.get("Ingredient") for row in rows["Recipes"]}
    names = {row["Dish"] for row in rows["Recipes"]} - inside
    other["Recipes"] += [
        {**row, "Dish": row["Dish"] + " again"} for row in rows["Recipes"] if row["Dish"] in names
    ]
    for title in ("Dishes", "On hand", "Packs"):
        assume(
            not any(row.get("Dish", row.get("Ingredient")) in names for row in rows.get(title, ()))
        )
    for row in other["Shoot plan"][1::2]:
        if row["Dish"] in names:
            row["Dish"] += " again"
    before, after = (figures(worked_out(plain_workbook(one))) for one in (rows, other))
    assert differing(before, after) == []
