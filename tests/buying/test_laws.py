"""Laws of the books: what must hold for every shoot, whatever its numbers."""

from __future__ import annotations

from collections import defaultdict
from decimal import Decimal
from fractions import Fraction
from typing import Any

from any_shoot import EVERY_KIND, INGREDIENTS, any_shoot, fractions
from hypothesis import given
from hypothesis import strategies as st
from small import books_of_shoot

from costing.buying.books import Books
from costing.kitchen import Dish, Ingredient, Line, Lot, Pack
from costing.quantities import BATCH, GRAM, PORTION, Amount
from costing.shoot import Purpose, Shoot, Shot

ZERO = Fraction(0)


def same_again(shoot: Shoot, **parts: Any) -> Shoot:
    """The shoot with some of its parts replaced, and nothing remembered of the old one."""
    given = {name: getattr(shoot, name) for name in Shoot.model_fields}
    return Shoot(**(given | parts))


def needed(books: Books) -> dict[str, tuple[Fraction, Fraction]]:
    """Trimmed and as-bought need by ingredient, in grams, whatever unit it is counted in."""
    result = {}
    for purchase in books.purchases:
        need = purchase.need
        grams = {"mass": Fraction(1), "volume": need.ingredient.density}
        grams |= {"count": need.ingredient.piece_weight}
        loss = 1 if need.unit.dimension == "count" else need.ingredient.trim_yield or 1
        clean = grams[need.trimmed_unit.dimension]
        bought = grams[need.unit.dimension]
        assert clean is not None
        assert bought is not None
        if need.total or need.trimmed:
            result[need.ingredient.name] = (need.trimmed * clean, need.total * bought * loss)
    return result


def money(books: Books) -> dict[str, tuple[Decimal, Fraction]]:
    """Bought and used value by ingredient."""
    pairs = zip(books.purchases, books.values, strict=True)
    return {p.need.ingredient.name: (v.bought, v.used) for p, v in pairs if v.bought or v.used}


def sums(books: Books) -> tuple[Decimal, ...]:
    """The totals alone."""
    t = books.totals
    return t.bought, t.tax, t.used, t.on_hand_used, t.left


def amounts(books: Books) -> dict[str, tuple[Fraction, int]]:
    """What all packs of an ingredient bring, and how many they are."""
    return {
        p.need.ingredient.name: (p.bought, sum(b.count for b in p.lines))
        for p in books.purchases
        if p.lines
    }


@given(any_shoot(**EVERY_KIND))
def test_law__books_balance_to_the_smallest_coin(shoot: Shoot) -> None:
    """Law: bought + used from on hand = used + left, with tax, spoilage, gifts and no prices."""
    totals = books_of_shoot(shoot).totals
    assert totals.bought + totals.on_hand_used == totals.used + totals.left
    digits = {-int(sum_.as_tuple().exponent) for sum_ in (totals.bought, totals.used, totals.left)}
    assert digits == {{"JPY": 0, "KWD": 3}.get(shoot.settings.currency or "", 2)}
    assert totals.bought >= 0
    assert totals.used >= totals.on_hand_used >= 0
    assert 0 <= totals.tax <= totals.bought


@given(any_shoot(**EVERY_KIND))
def test_law__quantities_balance(shoot: Shoot) -> None:
    """Law: stock and packs cover the need and its allowance, or the shortage says how much not."""
    for purchase in books_of_shoot(shoot).purchases:
        need = purchase.need
        assert purchase.taken.total + purchase.net == need.total
        assert purchase.bought + purchase.short >= purchase.wanted
        assert purchase.short == 0 or purchase.bought + purchase.short == purchase.wanted
        assert purchase.allowance >= 0
        assert sum(need.as_bought.values(), ZERO) == sum(need.shares.values(), ZERO)
        for episode, taken in purchase.taken.by_episode.items():
            assert 0 <= taken <= need.as_bought[episode]
        for _, whole, used in purchase.taken.from_lots:
            assert 0 <= used <= whole
        for bought in purchase.lines:
            limit = bought.pack.at_most
            assert bought.count > 0
            assert limit is None or bought.count <= limit


@given(any_shoot(**EVERY_KIND))
def test_law__shares_add_up_at_each_level(shoot: Shoot) -> None:
    """Law: total to episodes, episode to dishes, dish to purposes, to the smallest coin.

    Each share is also within a coin for each level of the exact one; of what is bought where no
    ingredient is fetched on several days, for each trip is paid by those whom its packs serve.
    """
    books = books_of_shoot(shoot)
    at_once = all(len({line.trip for line in one.lines}) < 2 for one in books.purchases)
    for column in ("used", "bought"):
        exact: dict[tuple[str, ...], Fraction] = defaultdict(Fraction)
        for purchase, value in zip(books.purchases, books.values, strict=True):
            worth = Fraction(getattr(value, column))
            for share, part in purchase.need.shares.items():
                for depth in range(4):
                    if purchase.need.total:
                        exact[share[:depth]] += worth * part / purchase.need.total
        shown: dict[tuple[str, ...], Decimal] = defaultdict(Decimal)
        for row in books.shares:
            for depth in range(4):
                shown[(row.episode, row.dish, row.purpose)[:depth]] += getattr(row, column)
        total = getattr(books.totals, column)
        coin = Fraction(1, 10 ** -int(total.as_tuple().exponent))
        assert shown[()] == total
        for group, amount in shown.items():
            assert amount >= 0
            near = abs(Fraction(amount) - exact[group]) < coin * (len(group) + 1)
            assert near or (column == "bought" and not at_once)


@given(any_shoot(**EVERY_KIND))
def test_law__same_shoot_same_books(shoot: Shoot) -> None:
    """Law: nothing depends on the order of a set, on the clock or on an earlier run."""
    assert books_of_shoot(shoot) == books_of_shoot(same_again(shoot))


@given(any_shoot(loose=True, limited=True, supplied=True, unpriced=True), st.randoms())
def test_law__row_order_does_not_matter(shoot: Shoot, random: Any) -> None:
    """Law: lines, packs, lots, ingredients and shots in any order need, buy and cost the same.

    Which of equally good packs is taken is the one thing the order decides.
    """
    shuffled = {
        name: tuple(random.sample(getattr(shoot, name), len(getattr(shoot, name))))
        for name in ("lines", "packs", "lots", "ingredients", "shots")
    }
    before, after = books_of_shoot(shoot), books_of_shoot(same_again(shoot, **shuffled))
    assert needed(after) == needed(before)
    if not any(pack.loose_step for pack in shoot.packs):
        assert after.totals.bought == before.totals.bought
    assert bool(after.totals.missing) == bool(before.totals.missing)


@given(any_shoot(limited=True, supplied=True), st.randoms())
def test_law__row_order_does_not_change_the_money(shoot: Shoot, random: Any) -> None:
    """Law: of sealed packs with a price the same money and the same number of packs."""
    shuffled = {
        name: tuple(random.sample(getattr(shoot, name), len(getattr(shoot, name))))
        for name in ("lines", "packs", "lots", "ingredients", "shots")
    }
    before, after = books_of_shoot(shoot), books_of_shoot(same_again(shoot, **shuffled))
    assert money(after) == money(before)
    assert {name: n for name, (_, n) in amounts(after).items()} == {
        name: n for name, (_, n) in amounts(before).items()
    }


@given(any_shoot(always=True, lossless=True, limited=True))
def test_law__nothing_lost_is_as_if_nothing_were_said(shoot: Shoot) -> None:
    """Law: yield 1 and no spoilage give what blank cells give."""
    blank = tuple(
        row.model_copy(update={"trim_yield": None, "spoilage": ZERO}) for row in shoot.ingredients
    )
    said, unsaid = books_of_shoot(shoot), books_of_shoot(same_again(shoot, ingredients=blank))
    assert said.totals == unsaid.totals
    assert needed(said) == needed(unsaid)
    for purchase in said.purchases:
        assert purchase.allowance == 0
        assert purchase.wanted == purchase.net


@given(any_shoot(**EVERY_KIND), st.integers(2, 5))
def test_law__need_grows_with_the_batch(shoot: Shoot, factor: int) -> None:
    """Law: twice the batch is twice the need, and so is twice the number of times."""
    before = needed(books_of_shoot(shoot))
    larger = tuple(s.model_copy(update={"batch": s.batch * factor}) for s in shoot.shots)
    oftener = tuple(s.model_copy(update={"times": s.times * factor}) for s in shoot.shots)
    for shots in (larger, oftener):
        after = needed(books_of_shoot(same_again(shoot, shots=shots)))
        assert after == {name: (t * factor, b * factor) for name, (t, b) in before.items()}


@given(any_shoot(**EVERY_KIND))
def test_law__more_candidates_never_need_less(shoot: Shoot) -> None:
    """Law: three times the candidates need no less and at most three times as much.

    What is used, trimmed, stays as it is.
    """
    more = tuple(
        row.model_copy(update={"candidates": row.candidates * 3})
        if row.ingredient in INGREDIENTS
        else row
        for row in shoot.lines
    )
    before = needed(books_of_shoot(shoot))
    after = needed(books_of_shoot(same_again(shoot, lines=more)))
    for name, (trimmed, bought) in before.items():
        assert after[name][0] == trimmed
        assert bought <= after[name][1] <= 3 * bought


@given(any_shoot(**EVERY_KIND), st.data())
def test_law__one_shot_split_in_two_changes_nothing(shoot: Shoot, data: st.DataObject) -> None:
    """Law: n times is k times and n - k times; steps 1 to 3 are step 1 and steps 2 to 3.

    Of steps that stand for themselves: a whole dish shown twice is made twice.
    """
    which = data.draw(st.integers(0, len(shoot.shots) - 1))
    shot = shoot.shots[which].model_copy(update={"from_shot": "nothing"})
    alone = (*shoot.shots[:which], shot, *shoot.shots[which + 1 :])
    shoot = same_again(shoot, shots=alone)
    first = data.draw(st.integers(0, shot.times))
    by_times = [{"times": first}, {"times": shot.times - first}]
    known = sorted({line.step for line in shoot.recipes[shot.dish]})
    steps = known if shot.steps is None else list(shot.steps)
    cut = data.draw(st.integers(0, len(steps)))
    by_steps = [{"steps": tuple(steps[:cut])}, {"steps": tuple(steps[cut:])}]
    before = books_of_shoot(shoot)
    for parts in (by_times, by_steps):
        split = [shot.model_copy(update=part) for part in parts]
        shots = (*shoot.shots[:which], *split, *shoot.shots[which + 1 :])
        after = books_of_shoot(same_again(shoot, shots=shots))
        assert needed(after) == needed(before)
        assert after.shares == before.shares
        assert sums(after) == sums(before)
        assert set(after.totals.missing) == set(before.totals.missing)


@given(
    depth=st.integers(1, 6),
    parts=st.lists(st.tuples(st.sampled_from(INGREDIENTS), fractions), min_size=1, max_size=4),
    batches=st.lists(fractions, min_size=6, max_size=6),
    by_portions=st.booleans(),
)
def test_law__dish_inside_a_dish_needs_the_same_as_written_out(
    depth: int,
    parts: list[tuple[str, Fraction]],
    batches: list[Fraction],
    by_portions: bool,
) -> None:
    """Law: through any number of dishes, by batch or by portion."""
    makes = Fraction(5)
    unit = PORTION if by_portions else BATCH
    rows = [Line(dish="d0", ingredient=name, amount=Amount(n, GRAM)) for name, n in parts]
    factor = Fraction(1)
    for level in range(depth):
        amount = batches[level] * (makes if by_portions else 1)
        rows.append(Line(dish=f"d{level + 1}", ingredient=f"d{level}", amount=Amount(amount, unit)))
        rows += [
            Line(dish=f"d{level + 1}", ingredient=name, amount=Amount(n, GRAM)) for name, n in parts
        ]
        factor = factor * batches[level] + 1
    dishes = tuple(Dish(name=f"d{n}", makes=Amount(makes, PORTION)) for n in range(depth))
    inside = Shoot(lines=tuple(rows), dishes=dishes, shots=(Shot(dish=f"d{depth}"),))
    flat = Shoot(
        lines=tuple(
            Line(dish="d", ingredient=name, amount=Amount(n * factor, GRAM)) for name, n in parts
        ),
        shots=(Shot(dish="d"),),
    )
    assert needed(books_of_shoot(inside)) == needed(books_of_shoot(flat))


@given(any_shoot(always=True, limited=True, supplied=True), st.data())
def test_law__dearer_pack_never_lowers_the_till(shoot: Shoot, data: st.DataObject) -> None:
    """Law, for sealed packs in whole coins, where the till rounds nothing."""
    which = data.draw(st.integers(0, len(shoot.packs) - 1))
    rise = data.draw(st.integers(1, 500))
    pack = shoot.packs[which]
    assert pack.price is not None
    coin = Decimal(1).scaleb(int(pack.price.as_tuple().exponent))
    dearer = pack.model_copy(update={"price": pack.price + rise * coin})
    packs = (*shoot.packs[:which], dearer, *shoot.packs[which + 1 :])
    before, after = books_of_shoot(shoot), books_of_shoot(same_again(shoot, packs=packs))
    assert after.totals.bought >= before.totals.bought


@given(any_shoot(**(EVERY_KIND | {"unpriced": False, "taxed": False})), st.data())
def test_law__price_taken_away_never_lowers_a_total_silently(
    shoot: Shoot, data: st.DataObject
) -> None:
    """Law: without one of its prices a shoot costs as much, or says that something is missing."""
    if not shoot.packs:
        return
    which = data.draw(st.integers(0, len(shoot.packs) - 1))
    blank = shoot.packs[which].model_copy(update={"price": None})
    packs = (*shoot.packs[:which], blank, *shoot.packs[which + 1 :])
    before, after = books_of_shoot(shoot), books_of_shoot(same_again(shoot, packs=packs))
    coins = len([row for p in before.purchases for row in p.lines])
    slack = coins * Decimal(1).scaleb(int(before.totals.bought.as_tuple().exponent))
    if any(pack.loose_step for pack in shoot.packs):
        assert after.totals.bought_missing or after.totals.bought >= before.totals.bought - slack
    else:
        assert after.totals.bought_missing or after.totals.bought >= before.totals.bought


@given(any_shoot(always=True, limited=True, supplied=True), st.data())
def test_law__more_on_hand_never_buys_more(shoot: Shoot, data: st.DataObject) -> None:
    """Law: one lot more lowers what is bought of its ingredient, or leaves it, and all else too."""
    name = data.draw(st.sampled_from(INGREDIENTS))
    lot = Lot(ingredient=name, amount=Amount(data.draw(fractions), GRAM))
    before = books_of_shoot(shoot)
    after = books_of_shoot(same_again(shoot, lots=(*shoot.lots, lot)))
    assert after.totals.bought <= before.totals.bought
    for one, other in zip(before.purchases, after.purchases, strict=True):
        assert other.net <= one.net
        assert other.wanted <= one.wanted
        assert other.bought <= one.bought
        assert other.short <= one.short


@given(any_shoot(**EVERY_KIND), st.sampled_from(INGREDIENTS))
def test_law__plenty_on_hand_is_never_bought(shoot: Shoot, name: str) -> None:
    """Law: and its used value is named as unknown wherever it is used."""
    rows = tuple(
        row.model_copy(update={"holding_class": None, "keeps_days": None})
        for row in shoot.ingredients
    )
    lots = (Lot(ingredient=name, plenty=True),)
    books = books_of_shoot(same_again(shoot, ingredients=rows, lots=lots))
    for purchase, value in zip(books.purchases, books.values, strict=True):
        if purchase.need.ingredient.name == name:
            assert purchase.lines == ()
            assert bool(value.used_missing) == bool(purchase.need.total)


@given(any_shoot(limited=True, loose=True), st.data())
def test_law__pack_more_to_choose_from_never_costs_more(shoot: Shoot, data: st.DataObject) -> None:
    """Law: another row of Packs lowers the exact cost or leaves it, where all was covered."""
    name = data.draw(st.sampled_from(INGREDIENTS))
    price = Decimal(data.draw(st.integers(0, 999)))
    offer = Pack(ingredient=name, amount=Amount(data.draw(fractions), GRAM), price=price)
    before = books_of_shoot(shoot)
    after = books_of_shoot(same_again(shoot, packs=(*shoot.packs, offer)))

    def exact(books: Books) -> dict[str, Fraction]:
        return {
            p.need.ingredient.name: sum((b.shelf_price or ZERO for b in p.lines), ZERO)
            for p in books.purchases
            if not p.short
        }

    was, became = exact(before), exact(after)
    assert all(became[ingredient] <= cost for ingredient, cost in was.items())


@given(any_shoot(**EVERY_KIND))
def test_law__shot_more_never_needs_less(shoot: Shoot) -> None:
    """Law: a further hero adds to every need or leaves it, and a shortage never shrinks."""
    more = Shot(dish="tart", episode=shoot.episodes[0].name, purpose=Purpose.HERO)
    before = books_of_shoot(shoot)
    after = books_of_shoot(same_again(shoot, shots=(*shoot.shots, more)))
    wanted = {p.need.ingredient.name: p for p in after.purchases}
    for purchase in before.purchases:
        later = wanted[purchase.need.ingredient.name]
        assert later.need.total >= purchase.need.total
        assert later.net >= purchase.net
        assert later.short >= purchase.short


def test_law__losses_multiply() -> None:
    """A fifth spoils and a quarter is trimmed: 60 / (0.8 x 0.75) = 100, and not 60 / 0.55."""
    shoot = Shoot(
        ingredients=(Ingredient(name="leek", trim_yield=Fraction(3, 4), spoilage=Fraction(1, 5)),),
        lines=(Line(dish="soup", ingredient="leek", amount=Amount(Fraction(60), GRAM)),),
        shots=(Shot(dish="soup"),),
    )
    (purchase,) = books_of_shoot(shoot).purchases
    assert purchase.wanted == 100
