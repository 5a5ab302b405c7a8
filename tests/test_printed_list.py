"""The list on the screen: what stands there, and that nothing of it is cut at any width."""

from __future__ import annotations

import json
from collections import Counter
from datetime import date
from decimal import Decimal
from pathlib import Path

import pytest
from any_shoot import any_shoot
from budgets import examples
from click.testing import CliRunner
from good_workbook import good_workbook
from hypothesis import given, settings
from hypothesis import strategies as st
from small import line, pack, shoot_of, sound
from tart import tart_shoot

from costing.cli import main
from costing.cli.printed_list import print_list, printed_list
from costing.cli.screen import wide
from costing.estimating import estimate
from costing.kitchen import Shop
from costing.report.errands import Errand, ErrandKind
from costing.report.shopping_list import ListDay, ListLine, with_only_day
from costing.shoot import Episode, Shoot, Shot


def listed(lines: list[ListLine] | tuple[ListLine, ...], width: int, **more: bool) -> list[str]:
    return list(printed_list([ListDay(None, list(lines))], "EUR", width, **more))


@pytest.mark.parametrize(
    ("shot_on", "heading"), [((15,), []), ((15, 16), ["Wed 14 May 2031"])], ids=str
)
def test_list__one_trip_has_its_day_unless_it_is_the_eve(
    shot_on: tuple[int, ...], heading: list[str]
) -> None:
    """14 May 2031 is a Wednesday; that a list is for the day before the only shoot is plain."""
    episodes = [Episode(name=f"E{day}", shoot_date=date(2031, 5, day)) for day in shot_on]
    shoot = shoot_of(
        line("soup", "rice", "1 kg"),
        sound("rice", keeps_days=90),
        pack("rice", "5 kg", "4"),
        *episodes,
        *(Shot(dish="soup", episode=one.name) for one in episodes),
        shopping_date=date(2031, 5, 14),
    )
    (only,) = with_only_day([ListDay(None, list(estimate(shoot).list_lines))], shoot)
    printed = list(printed_list([only], "EUR", 80))
    assert [words for words in printed if "May" in words] == heading
    assert sum("[ ] rice" in words for words in printed) == 1


def test_list__what_is_for_more_takes_is_said_once() -> None:
    """Twice, perhaps four times: 95 % are three. On the phone it stands beside what is needed."""
    found = estimate(
        shoot_of(
            *(line("soup", name, "100 g") for name in ("leek", "rice")),
            *map(sound, ("leek", "rice")),
            *(pack(name, "100 g", "1") for name in ("leek", "rice")),
            Shot(dish="soup", fewest=1, times=2, most=4),
        )
    )
    printed = listed(found.list_lines, 80)
    assert [words for words in printed if "takes" in words or "times" in words] == [
        "Needed is for the likely times; what is left over is for more takes, too."
    ]
    assert '<dd dir="auto">200 g, 100 g for more takes</dd>' in found.phone_page()


@pytest.mark.parametrize("width", [60, 80, 100])
def test_list__tart_fits_with_its_boxes_money_notes_and_totals(width: int) -> None:
    """30.27 and 8.37 are the 38.64 of the hand-worked shoot; 45 steps of 50 g are 2.25 kg."""
    said = listed(estimate(tart_shoot()).list_lines, width)
    assert max(map(wide, said)) <= width
    whole = "\n".join(said)
    assert [row for row in said if row.startswith("Total")] == [
        "Total: 30.27 EUR",
        "Total: 8.37 EUR",
    ]
    assert said[-1] == "All shops: 38.64 EUR"
    assert sum(row.startswith("[ ] ") for row in said) == 11
    (leek,) = [row.split() for row in said if row.startswith("[ ] leek ")]
    assert leek[2:9] == ["leek", "2.25", "kg", "1.89", "EUR", "/", "kg"]
    assert "4.25 EUR" in " ".join(leek)
    assert said[said.index("Total: 8.37 EUR") - 1].startswith("[ ] parsley leaf ")
    assert ("Left over" in whole) == (width >= 80)


def test_list__price_on_the_shelf_and_the_tax_once_per_shop() -> None:
    """Two packs at 2.00 without tax: the till takes 4.00 and 25 % on it, 5.00, 1.00 of it tax."""
    found = estimate(
        shoot_of(
            line("soup", "leek", "2 kg"),
            sound("leek"),
            pack("leek", "1 kg", "2", shop="stall"),
            Shot(dish="soup"),
            currency="EUR",
            prices_include_tax=False,
            tax_rate="25 %",
        )
    )
    assert listed(found.list_lines, 59) == [
        "stall          Buy  Price each      Cost  Needed  Left over",
        "[ ] leek  2 x 1 kg    2.00 EUR  5.00 EUR    2 kg       0 kg",
        "Total: 5.00 EUR, 1.00 EUR of it tax",
    ]
    assert listed(found.list_lines, 58)[1] == "[ ] leek  2 x 1 kg    2.00 EUR  5.00 EUR    2 kg"


def test_list__notes_stand_on_lines_of_their_own() -> None:
    found = estimate(
        shoot_of(
            line("soup", "leek", "600 g"),
            sound("leek"),
            pack("leek", "1 kg", None, note="the thick ones from the far end of the stall"),
            Shot(dish="soup"),
        )
    )
    assert listed(found.list_lines, 34) == [
        "No shop given   Buy     Cost",
        "[ ] leek       1 kg  unknown",
        "      the thick ones from the far",
        "      end of the stall",
        "Total: not known yet",
    ]


def test_list__a_shop_of_which_a_price_is_missing_comes_to_at_least_the_others() -> None:
    """1.00 for the leek; what the flour costs nobody knows."""
    rows = (line("soup", "leek", "1 kg"), sound("leek"), pack("leek", "1 kg", "1.00"))
    more = (line("soup", "flour", "1 kg"), sound("flour"), pack("flour", "1 kg", None))
    said = listed(estimate(shoot_of(*rows, *more, Shot(dish="soup"))).list_lines, 60)
    assert said[-1] == "Total: at least 1.00 EUR"


def test_list__of_a_plan_of_which_a_shot_is_left_out_all_shops_come_to_at_least_that() -> None:
    """1.00 and 2.00; what the dish without a recipe takes is on no list."""
    rows: list[object] = [Shot(dish="soup"), Shot(dish="stew")]
    for name, price in (("leek", "1.00"), ("flour", "2.00")):
        rows += [line("soup", name, "1 kg"), sound(name), pack(name, "1 kg", price, shop=name)]
    found = estimate(shoot_of(*rows))
    said = listed(found.list_lines, 60, missing=bool(found.totals.bought_missing))
    assert said[-1] == "All shops: at least 3.00 EUR"


def test_list__what_is_not_bought_stands_below_with_its_reason() -> None:
    found = estimate(
        shoot_of(
            line("soup", "leek", "600 g"),
            sound("leek"),
            line("soup", "salt", None),
            Shot(dish="soup"),
        )
    )
    assert listed(found.list_lines, 60) == [
        "No pack yet:",
        "[ ] leek  600 g",
        "Not worked out: salt",
    ]
    assert listed(found.list_lines, 60, brief=True)[0] == "No pack yet: leek 600 g"


POTATOES = "the small waxy potatoes of the early harvest"


def test_list__a_long_name_goes_on_below_itself_beside_its_figures() -> None:
    """22 columns are taken by Buy and Cost, 4 by the box: 20 of 46 are left for a name."""
    bought = ListLine("", POTATOES, "Corner", buy="12 x 250 g", cost=Decimal("2.00"))
    assert listed([bought], 46) == [
        "Corner                           Buy      Cost",
        "[ ] the small waxy        12 x 250 g  2.00 EUR",
        "    potatoes of the",
        "    early harvest",
        "Total: 2.00 EUR",
    ]
    assert listed([bought], 40)[1:5] == [
        "[ ] the small waxy  12 x 250 g  2.00 EUR",
        "    potatoes of",
        "    the early",
        "    harvest",
    ]
    assert listed([bought], 39)[:4] == [  # 13 are too few for a name beside its figures
        "Corner",
        "[ ] the small waxy potatoes of the",
        "    early harvest",
        "      12 x 250 g  2.00 EUR",
    ]
    lacking = ListLine("", POTATOES, needed="600 g", lacking="no pack yet")
    assert listed([lacking], 40) == [
        "No pack yet:",
        "[ ] the small waxy potatoes of     600 g",
        "    the early harvest",
    ]


def test_list__what_to_do_goes_on_behind_its_box() -> None:
    """4 columns are taken by the box: of 30, 26 are left for the words."""
    ordered = Errand(None, ErrandKind.ORDER, ("cod bones 300 g", "plaice 2 kg"), (), "Fish van")
    assert list(printed_list([ListDay(None, [], [ordered])], "EUR", 30)) == [
        "[ ] Order from Fish van: cod",
        "    bones 300 g and plaice 2",
        "    kg",
    ]


WORDS = st.text(alphabet="abcdefgh 漢字", min_size=1, max_size=40).filter(str.strip)
LINES = st.lists(
    st.builds(
        ListLine,
        section=st.just(""),
        name=WORDS.map(lambda text: " ".join(text.split())),
        shop=st.sampled_from(["", "market", "the very long name of a shop behind the bridge"]),
        buy=st.sampled_from(["2.25 kg", "12 x 16.9 fl oz", "3"]),
        each=st.sampled_from(["", "1.89 EUR / kg", "12345.67 EUR"]),
        cost=st.sampled_from([None, Decimal("4.25"), Decimal("123456.78")]),
        needed=st.sampled_from(["", "833 g"]),
        left_over=st.sampled_from(["", "27.8 g"]),
    ),
    min_size=1,
    max_size=6,
)


@given(lines=LINES, width=st.integers(min_value=40, max_value=120))
def test_list__nothing_is_cut_at_any_width(lines: list[ListLine], width: int) -> None:
    """Law: every name, pack and sum stands there whole, and no line is wider than the screen."""
    said = listed(lines, width)
    assert max(map(wide, said)) <= width
    assert sum(row.startswith("[ ] ") for row in said) == len(lines)
    plain = "".join("".join(said).split())
    for one in lines:
        assert one.buy.replace(" ", "") in plain
        if one.cost is not None:
            assert f"{one.cost}EUR" in plain
        assert set(one.name) <= set("\n".join(said))


def test_screen__a_pack_that_cannot_be_read_is_told_once(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The error says it with its cell; figures and list only say what they are without."""
    monkeypatch.chdir(tmp_path)
    book = good_workbook()
    book["Packs"]["D3"] = "blobs"
    book.save("plan.xlsx")
    said = CliRunner().invoke(main, ["estimate", "plan.xlsx"]).output
    assert said.count('"blobs"') == 1
    assert said.count("\nerror: ") == 1
    head, *about = [one for one in said.splitlines() if "butter" in one]
    assert head.endswith("without butter")
    assert [one.partition(":")[0] for one in about] == ["Its pack cannot be read", "error"]
    told = json.loads(CliRunner().invoke(main, ["estimate", "plan.xlsx", "--json"]).output)
    assert [one for one in told["totals"]["missing"] if "butter" in one] == [
        "35 g of butter that no pack covers"
    ]


@given(shoot=any_shoot())
@settings(max_examples=examples(25))
def test_list__says_what_to_buy_says(shoot: Shoot) -> None:
    """Law: the lines are the rows of To buy, with the same cost, whatever the shoot."""
    found = estimate(shoot)
    rows = found.tables()["to_buy"].rows
    lines = found.list_lines
    assert Counter(str(row["ingredient"]) for row in rows) == Counter(one.name for one in lines)
    assert Counter(row["cost"] for row in rows) == Counter(one.cost for one in lines)
    assert {str(row["ingredient"]) for row in rows if row["packs"] is None} == {
        one.name for one in lines if one.lacking
    }


def test_list__what_is_paid_with_visits_stands_below_the_total(
    capsys: pytest.CaptureFixture[str],
) -> None:
    """4.00 and 1.50 for the visit; beside the figures of an estimate it is not said again."""
    rows = (line("soup", "rice", "1 kg"), sound("rice"), pack("rice", "5 kg", "4", shop="Corner"))
    visited = (*rows, Shop(name="Corner", visit_cost="1.50"))
    print_list(estimate(shoot_of(*visited, currency="EUR")))
    assert capsys.readouterr().out.endswith(
        "Total: 4.00 EUR\nWith visits and deliveries: 5.50 EUR\n"
    )
    print_list(estimate(shoot_of(*visited)), brief=True)
    print_list(estimate(shoot_of(*rows)))
    assert "visits" not in capsys.readouterr().out
