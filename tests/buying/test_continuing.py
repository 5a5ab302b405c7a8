"""Copies that could go on from shot to shot: how many fewer are begun, and what that saves."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator
from datetime import time
from decimal import Decimal
from itertools import product
from pathlib import Path
from random import Random
from typing import Any

import pytest
from budgets import spread
from click.testing import CliRunner
from live_workbooks import workbook_of
from small import all_findings, books_of_shoot, line, pack, row, shoot_of, sound

from costing.buying.continuing import could_continue, findings_of
from costing.buying.takeovers import Continuation
from costing.cli import main
from costing.kitchen import Line, Shop
from costing.report.why_words import saved_by_copies
from costing.shoot import Purpose, Shoot, Shot
from costing.shoot.copies import Forest
from costing.shoot.defaults import completed

BIRD: tuple[Any, ...] = (
    line("roast", "bird", "1 each", step=1, step_name="truss"),
    line("roast", "rub", "10 g", step=2, step_name="rub"),
    Line(dish="roast", step=3, step_name="roast"),
    line("roast", "cress", "20 g", step=4, step_name="dress"),
    Line(dish="roast", step=5, step_name="carve at the table"),
    pack("bird", "1 each", "80"),
    pack("rub", "100 g", "3"),
    pack("cress", "50 g", "1.50"),
    sound("rub"),
    sound("cress"),
)


def shot(name: str, purpose: str, steps: str | None, start: int | None, **more: Any) -> Shot:
    """A shot of the roast that starts on the hour."""
    at = None if start is None else time(start, 30 if start == 12 else 0)
    return Shot(dish="roast", name=name, purpose=Purpose(purpose), steps=steps, starts=at, **more)


STAGES = (
    shot("R1", "cook-through", "1", 9, row=row("Shoot plan", 2, "R1", From="F")),
    shot("R2", "swap", "1-2", 10, row=row("Shoot plan", 3, "R2", From="F")),
    shot("R3", "swap", "1-3", 12, row=row("Shoot plan", 4, "R3", From="F")),
    shot("H", "hero", "1-4", 14, row=row("Shoot plan", 5, "H", From="F")),
    shot("C", "cook-through", None, 15, fewest=1, most=2, row=row("Shoot plan", 6, "C", From="F")),
)


def found_in(shoot: Shoot) -> list[Continuation]:
    """The copies that could continue."""
    return could_continue(books_of_shoot(shoot))


def test_bird__six_become_three_when_copies_go_on() -> None:
    """Worked by hand, carving provided for twice (once has 93 % of 1 to 2 takes, 95 % is asked).

    Alone: R1, R2, R3 and H one bird each, C two: 6 x 80.00; rub 5 x 10 g one pack of 3.00, cress
    3 x 20 g two packs of 1.50: 486.00. From R1 to R2 to R3, and from R3 to H and to C: R3 is
    provided for 1 + 2 = 3 times, so are R2 and R1: 3 x 80.00, the rest as before: 246.00.
    """
    alone = shoot_of(*BIRD, *STAGES, currency="EUR")
    sources = {"R2": ("R1", "2"), "R3": ("R2", "3"), "H": ("R3", "4"), "C": ("R3", None)}
    continuing = shoot_of(
        *BIRD,
        *(
            Shot(**{**one.model_dump(), "from_shot": source, "steps": steps})
            for one in STAGES
            for source, steps in [sources.get(one.name, ("", one.steps))]
        ),
        currency="EUR",
    )
    before, after = books_of_shoot(alone), books_of_shoot(continuing)
    assert (before.totals.bought, after.totals.bought) == (Decimal("486.00"), Decimal("246.00"))
    forest = Forest(after.shoot.shots)
    assert [forest.times(n, after.caps) for n in range(5)] == [3, 3, 3, 1, 2]
    for one in (before, after):
        totals = one.totals
        assert totals.bought == totals.used + totals.left


def test_bird__what_could_continue_is_suggested_with_its_saving() -> None:
    """Worked by hand: R1 to R2 to R3 to H to C, twice to the end: each a bird of 80.00 less.

    With the last the hero's cress serves the carvings: 2 x 20 g for 60 g, one pack of 1.50 less.
    In no other order are fewer than 2 begun.
    """
    shoot = shoot_of(*BIRD, *STAGES, currency="EUR")
    found = found_in(shoot)
    assert [(one.source, one.shot, one.fewer, one.saving) for one in found] == [
        (0, 1, 1, Decimal(80)),
        (1, 2, 1, Decimal(80)),
        (2, 3, 1, Decimal(80)),
        (3, 4, 1, Decimal("81.50")),
    ]
    assert {one.least for one in found} == {(6, 2, 2)}


def test_bird__savings_of_a_large_plan_are_those_of_its_caps(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """As above, with caps that stay; nothing is known where a price is, or a visit couples all."""
    monkeypatch.setattr("costing.buying.market.SHOTS_TIMES_INGREDIENTS", 0)

    def savings(*rows: Any) -> list[Decimal | None]:
        return [one.saving for one in found_in(shoot_of(*rows, *STAGES, currency="EUR"))]

    known = [Decimal(80), Decimal(80), Decimal(80), Decimal("81.50")]
    assert savings(*BIRD) == known
    assert savings(*BIRD, pack("rub", "50 g", None)) == [None] * 4
    assert savings(*(one for one in BIRD if one is not BIRD[6])) == [None] * 4
    assert savings(*BIRD, Shop(name="", visit_cost=Decimal(1))) == known
    with_shop = [one.model_copy(update={"shop": "a"}) for one in BIRD[5:8]]
    visit = Shop(name="a", visit_cost=Decimal(1))
    assert savings(*BIRD[:5], *with_shop, *BIRD[8:], visit) == [None] * 4


def test_copy_could_continue__whole_text() -> None:
    shoot = shoot_of(*BIRD, *STAGES, currency="EUR")
    texts = [str(one) for one in findings_of(books_of_shoot(shoot), found_in(shoot), shoot.shots)]
    assert texts[1] == (
        '\'Shoot plan\'!F4 (row "R3", column "From"): found a new copy for "R3", while "R2" leaves '
        'one, expected "R2" to continue as "R3" from 12:30: one copy fewer, 80.00 EUR less '
        "[copy could continue]\n"
        '  Write "R2" in From and "3" in Steps if the same one can be shown. 6 are begun now, 2 '
        "with all that could continue."
    )
    assert texts[3].endswith(
        '  Write "H" in From if the same one can be shown. 6 are begun now, 2 with all that could '
        "continue."
    )


def test_copy_could_continue__to_be_eaten_names_its_limits() -> None:
    """A copy that stood through other shots is eaten only within its limits."""
    taste = shot("B", "bite", None, 17, row=row("Shoot plan", 3, "B", From="F"))
    shoot = shoot_of(*BIRD, shot("H", "hero", "1-4", 14), taste, currency="EUR")
    (text,) = map(str, findings_of(books_of_shoot(shoot), found_in(shoot), shoot.shots))
    assert text.endswith(
        '  Write "H" in From if the same one can be shown and is within its limits when it is '
        "eaten. 2 are begun now, 1 with all that could continue."
    )


def test_copy_could_continue__clears_steps_and_names_another_order() -> None:
    """The finished hero starts before the swap: 2 of 2 begun, 1 if the swap came first."""
    early = shot("H", "hero", "1-5", 9, row=row("Shoot plan", 2, "H", From="F"))
    swaps = [
        shot(f"S{n}", "swap", "1-3", 10 + n, row=row("Shoot plan", n, f"S{n}", From="F"))
        for n in (1, 2)
    ]
    last = shot("D", "hero", "1-5", 16, row=row("Shoot plan", 6, "D", From="F"))
    shoot = shoot_of(*BIRD, early, *swaps, last, currency="EUR")
    (text,) = map(str, findings_of(books_of_shoot(shoot), found_in(shoot), shoot.shots))
    assert text.endswith(
        '  Write "S1" in From and clear its Steps if the same one can be shown. 4 are begun now, 3 '
        "with all that could continue, 2 at the least in another order."
    )


def test_more_could_continue__where_a_price_is_missing_whole_text() -> None:
    parts = [part for part in BIRD if getattr(part, "price", None) != 80]
    shoot = shoot_of(*parts, pack("bird", "1 each", None), *STAGES[:3], currency="EUR")
    assert [
        str(one) for one in findings_of(books_of_shoot(shoot), found_in(shoot), shoot.shots)
    ] == [
        '\'Shoot plan\'!F3 (row "R2", column "From"): found new copies where others could '
        'continue: "R1" as "R2" with "2" in Steps and "R2" as "R3" with "3" in Steps, expected as '
        "few copies as the shots allow [more copies could continue]\n"
        "  Name the earlier shot in From, and mend Steps as said, where the same one can be shown. "
        "What that saves is not worked out: the totals leave something out."
    ]


def test_more_could_continue__where_they_are_many_says_so() -> None:
    """Eight suggestions are priced, each by a plan of its own; of the ninth no price is missing."""
    bird = (line("roast", "bird", "1 each"), pack("bird", "1 each", "80"))
    heroes = (Shot(name=f"H{number}", dish="roast", purpose="hero") for number in range(10))
    shoot = shoot_of(*bird, *heroes, currency="EUR")
    said = findings_of(books_of_shoot(shoot), found_in(shoot), shoot.shots)
    assert len(said) == 9
    assert said[-1].remedy.endswith("is not worked out: those are too many plans to try.")


def test_copy_could_continue__a_saving_that_hangs_on_another_names_it() -> None:
    """Worked by hand: two cakes of 140 g, two buns of 50 g, flour in bags of 100 g for 1.00.

    380 g are 4 bags. A cake less: 240 g, 3 bags. A bun less besides: 190 g, 2 bags; a bun less
    alone: 330 g, 4 bags as before.
    """
    flour = (pack("flour", "100 g", "1"), sound("flour"))
    lines = (line("cake", "flour", "140 g"), line("bun", "flour", "50 g"))
    shots = [
        Shot(dish=dish, name=name, purpose=Purpose.HERO, row=row("Shoot plan", at, name, From="F"))
        for at, (name, dish) in enumerate(zip("ABCD", ("cake", "cake", "bun", "bun"), strict=True))
    ]
    shoot = shoot_of(*flour, *lines, *shots, currency="EUR")
    found = found_in(shoot)
    assert [(one.shot, one.alone) for one in found] == [(1, True), (3, False)]
    told = [one.expected for one in findings_of(books_of_shoot(shoot), found, shoot.shots)]
    assert told == [
        '"A" to continue as "B": one copy fewer, 1.00 EUR less',
        '"C" to continue as "D": one copy fewer, 1.00 EUR less once "A" as "B" is done',
    ]


@pytest.mark.parametrize(
    ("first", "then"),
    [
        pytest.param({"eaten": True}, {}, id="eaten"),
        pytest.param({"purpose": "bite"}, {}, id="bite"),
        pytest.param({"purpose": "test"}, {}, id="test"),
        pytest.param({"purpose": "stand-in"}, {}, id="stand-in"),
        pytest.param({"purpose": "retake"}, {}, id="only what its steps add"),
        pytest.param({"batch": "1/2"}, {}, id="batch"),
        pytest.param({"steps": "1-5"}, {}, id="carved"),
        pytest.param({"steps": "1-4"}, {"steps": "1-3"}, id="past the later one"),
        pytest.param({"steps": "1-3"}, {"steps": "1-3"}, id="as far, and not finished"),
        pytest.param({}, {"from_shot": "nothing"}, id="said to stand for itself"),
        pytest.param({}, {"starts": time(8)}, id="starts earlier"),
        pytest.param({"purpose": "hero"}, {"purpose": "hero spare"}, id="spare beside its hero"),
        pytest.param({}, {"dish": "stew"}, id="another dish"),
        pytest.param({}, {"optional_lines": True}, id="other lines"),
        pytest.param({"times": 0}, {}, id="never taken"),
    ],
)
def test_not_suggested(first: dict[str, Any], then: dict[str, Any]) -> None:
    """One change each to a swap of steps 1 to 2 at 9:00 and a hero of all at 14:00."""
    one: dict[str, Any] = {"name": "A", "purpose": "swap", "steps": "1-2", "starts": time(9)}
    other: dict[str, Any] = {"name": "B", "purpose": "hero", "steps": "1-5", "starts": time(14)}
    one["dish"] = other["dish"] = "roast"
    stew = line("stew", "rub", "5 g")
    plain = shoot_of(*BIRD, stew, Shot(**one), Shot(**other))
    assert len(found_in(plain)) == 1
    assert found_in(shoot_of(*BIRD, stew, Shot(**one | first), Shot(**other | then))) == []


def test_rows__stand_for_the_order_where_a_start_is_missing() -> None:
    """The hero stands before the swap: nothing; behind it, it takes the swap's copy."""
    swap, hero = shot("A", "swap", "1-2", None), shot("B", "hero", None, 14)
    assert found_in(shoot_of(*BIRD, hero, swap)) == []
    assert [(o.source, o.shot) for o in found_in(shoot_of(*BIRD, swap, hero))] == [(0, 1)]


def test_saving_of_nothing__is_not_told() -> None:
    """One bird less, but the two are sold together."""
    parts = [part for part in BIRD if getattr(part, "price", None) != 80]
    shoot = shoot_of(*parts, pack("bird", "2 each", "150"), *STAGES[:2], currency="EUR")
    assert [one.saving for one in found_in(shoot)] == [0]
    assert findings_of(books_of_shoot(shoot), found_in(shoot), shoot.shots) == []


def random_plan(seed: int, *, times: bool) -> Shoot:
    """A dish of four steps and up to five shots of it, each at an hour of its own."""
    random = Random(seed)  # noqa: S311 - nothing secret depends on it
    parts: list[Any] = []
    for step, name in enumerate(("almond", "beet", "chard", "dill"), start=1):
        parts += [
            line("roast", name, f"{random.choice([40, 90])} g", step=step),
            sound(name),
            pack(name, "100 g", str(random.randint(100, 900) / 100)),
        ]
    purposes = ["cook-through", "swap", "hero", "bite", "test", "retake"]
    hours = random.sample(range(8, 20), 5)
    for number in range(random.randint(2, 5)):
        purpose = random.choice(purposes)
        last = random.randint(1, 4)
        steps = str(last) if purpose == "retake" else f"1-{last}" if last > 1 else "1"
        many = random.randint(1, 2) if times else 1
        parts.append(shot(f"P{number}", purpose, steps, hours[number], times=many))
    return shoot_of(*parts, currency="EUR")


def every_takeover(shoot: Shoot) -> Iterator[Shoot]:
    """The plan with every choice of From that nothing is said against."""
    last = [max(one.steps or ()) for one in shoot.shots]
    choices: list[list[int | None]] = [
        [None, *(n for n in range(len(shoot.shots)) if n != at)]
        if one.purpose is not Purpose.RETAKE
        else [None]
        for at, one in enumerate(shoot.shots)
    ]
    for sources in product(*choices):
        shots = list(shoot.shots)
        for at, source in enumerate(sources):
            if source is None:
                continue
            rest = tuple(range(last[source] + 1, last[at] + 1))
            if (not rest and last[at] < 4) or shots[source].purpose is Purpose.RETAKE:
                break
            blank = None if last[at] == 4 else rest
            shots[at] = shots[at].model_copy(
                update={"from_shot": shoot.shots[source].name, "steps": blank}
            )
        else:
            changed = shoot.changed(shots=tuple(shots))
            if all(one.code != "copy cannot continue" for one in all_findings(changed)):
                yield changed


def begun(shoot: Shoot) -> int:
    """How many copies are begun, and not only a step taken."""
    shots = completed(shoot)[0].shots
    forest = Forest(shots)
    return sum(
        forest.times(n, {})
        for n, one in enumerate(shots)
        if one.source is None and one.purpose is not Purpose.RETAKE
    )


@pytest.mark.parametrize("seed", spread(range(25)))
def test_every_chain__none_begins_fewer_in_the_order_of_starts(seed: int) -> None:
    """Against every choice of From, each shot taken once; and without Starts for any order."""
    shoot = random_plan(seed, times=False)
    found = found_in(shoot)
    fewest = min(map(begun, every_takeover(shoot)))
    timeless = shoot.changed(
        shots=tuple(one.model_copy(update={"starts": None}) for one in shoot.shots)
    )
    anyhow = min(map(begun, every_takeover(timeless)))
    if not found:
        assert fewest == begun(shoot)
    for one in found:
        assert one.least == (begun(shoot), fewest, anyhow)


@pytest.mark.parametrize("seed", spread(range(25)))
def test_law__a_named_from_never_costs_more_and_savings_add_up(seed: int) -> None:
    """Law: with all suggestions written into the plan their savings come off what is bought.

    So does one alone, where it is not said that it hangs on others.
    """
    shoot = random_plan(seed, times=True)
    found = found_in(shoot)
    shots = list(shoot.shots)
    for one in found:
        assert one.saving is not None
        assert one.saving >= 0
        steps = None if one.blank else one.rest
        update = {"from_shot": shots[one.source].name, "steps": steps}
        shots[one.shot] = shots[one.shot].model_copy(update=update)
        if one.saving and one.alone:
            only = (*shoot.shots[: one.shot], shots[one.shot], *shoot.shots[one.shot + 1 :])
            paid = books_of_shoot(shoot.changed(shots=only)).totals.bought
            assert books_of_shoot(shoot).totals.bought - paid == one.saving
    changed = shoot.changed(shots=tuple(shots))
    before, after = books_of_shoot(shoot), books_of_shoot(changed)
    saved = sum((one.saving or Decimal(0) for one in found), Decimal(0))
    assert before.totals.bought - after.totals.bought == saved
    assert begun(shoot) - begun(changed) == sum(one.fewer for one in found)
    for chosen in list(every_takeover(shoot))[:30]:
        assert books_of_shoot(chosen).totals.bought <= before.totals.bought


def test_saved_by_copies__one_line_with_the_sum() -> None:
    """Worked by hand above: 80.00 three times and 81.50 for "C", a bird fewer each time."""
    shoot = shoot_of(*BIRD, *STAGES, currency="EUR")
    assert saved_by_copies(found_in(shoot), shoot) == (
        "321.50 EUR less is paid if C takes over the copy of H, R2 that of R1, R3 that of R2 and "
        "1 more: costing check says where."
    )
    assert saved_by_copies([], shoot) == ""


@pytest.mark.parametrize("command", ["estimate", "why"])
def test_commands__say_what_copies_that_go_on_save(command: str, tmp_path: Path) -> None:
    """Two birds of 80.00 for two stages of one: a hero could go on with the bird trussed before."""
    sheets: dict[str, list[tuple[Any, ...]]] = {
        "Recipes": [
            ("Dish", "Step", "Ingredient", "Amount", "Unit"),
            ("roast", 1, "bird", 1, "each"),
        ],
        "Packs": [("Ingredient", "Amount", "Unit", "Price"), ("bird", 1, "each", 80)],
        "Shoot plan": [
            ("Shot", "Dish", "Purpose", "Starts"),
            ("S", "roast", "swap", "9:00"),
            ("H", "roast", "hero", "14:00"),
        ],
    }
    (tmp_path / "roast.xlsx").write_bytes(workbook_of(sheets))
    said = CliRunner().invoke(main, [command, str(tmp_path / "roast.xlsx")]).output
    line = "80.00 less is paid if H takes over the copy of S: costing check says where."
    assert line in said.splitlines()


def followed(shoot: Shoot, source: str, shot: str, steps: str | None) -> Shoot:
    """The plan with a suggestion written into it, the shot's Steps left alone where it says so."""
    (at,) = [n for n, one in enumerate(shoot.shots) if one.name == shot]
    typed = shoot.shots[at].model_dump() | {"from_shot": source}
    if steps is not None:
        typed["steps"] = steps or None
    shots = (*shoot.shots[:at], Shot(**typed), *shoot.shots[at + 1 :])
    return shoot.changed(shots=shots)


def advised(shoot: Shoot) -> list[tuple[str, str, str | None]]:
    """What is advised in words: the earlier shot, the later, and its Steps."""
    found = []
    for one in findings_of(books_of_shoot(shoot), found_in(shoot), shoot.shots):
        if one.code == "copy could continue":
            pattern = r'"(P\d)" to continue as "(P\d)".*?Write "P\d" in From'
            pattern += r'(?: and (clear its Steps|"([-\d, ]+)" in Steps))?'
        else:
            pattern = r'"(P\d)" as "(P\d)"(?: with (its Steps cleared|"([-\d, ]+)" in Steps))?'
        pairs = re.findall(pattern, str(one), re.DOTALL)
        assert pairs
        found += [(p, c, (steps or "") if said_so else None) for p, c, said_so, steps in pairs]
    return found


@pytest.mark.parametrize("seed", spread(range(40)))
def test_law__advice_that_is_followed_brings_no_finding_and_is_not_given_again(seed: int) -> None:
    """Law: each suggestion by itself, as its words say, with prices and with one missing."""
    shoot = random_plan(seed, times=True)
    if seed % 2:
        unpriced = shoot.packs[0].model_copy(update={"price": None})
        shoot = shoot.changed(packs=(unpriced, *shoot.packs[1:]))
    before = Counter(one.code for one in all_findings(shoot))
    for source, name, steps in advised(shoot):
        changed = followed(shoot, source, name, steps)
        assert all(name != again for _, again, _ in advised(changed))
        assert Counter(one.code for one in all_findings(changed)) <= before


@pytest.mark.parametrize("sources", [("b", ""), ("d", "c", "", "")], ids=["one", "two"])
def test_rows_above_their_source__never_continue_in_it(sources: tuple[str, ...]) -> None:
    """The copies of the rows above are those of the rows below: they cannot begin there again.

    Of one, a would take over from b and b from a; of two, a goes on with the copy of d and b with
    that of c, and c would take over from a and d from b, each row before the other, in a circle.
    """
    lines = (line("cake", "flour", "100 g"), pack("flour", "100 g", "1"), sound("flour"))
    shots = [
        Shot(dish="cake", name=name, from_shot=source, purpose=Purpose.HERO)
        for name, source in zip("abcd", sources, strict=False)
    ]
    shoot = shoot_of(*lines, *shots)
    found = found_in(shoot)
    assert len(found) == len(sources) // 2 - 1
    whole = completed(shoot)[0]
    changed = list(whole.shots)
    for one in found:
        changed[one.shot] = changed[one.shot].model_copy(
            update={"from_shot": whole.shots[one.source].name}
        )
    again, _ = completed(whole.changed(shots=tuple(changed)))
    assert [again.shots[one.shot].source for one in found] == [one.source for one in found]


def test_thousand_shots__one_copy_could_go_through_all() -> None:
    """Each of 1,000 shots a minute apart shows the dish whole: the first copy does for all."""
    lines = (line("cake", "flour", "100 g"), pack("flour", "100 g", "1"), sound("flour"))
    shots = [
        Shot(dish="cake", name=f"S{n}", purpose=Purpose.HERO, starts=time(n // 60, n % 60))
        for n in range(1_000)
    ]
    found = found_in(shoot_of(*lines, *shots))
    assert [(one.source, one.shot, one.fewer) for one in found] == [
        (n, n + 1, 1) for n in range(999)
    ]
