"""Parts that the tables know of fill what the workbook leaves blank."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import pytest
from small import line as line_of
from small import lot, pack, part, shoot_of, sound

import costing
from costing.buying.published_rows import with_parts
from costing.findings import Place
from costing.shoot import Episode, LeftOut, Shot

CURD = Shot(dish="curd")
LEMON = pack("lemon", "1 each", "0.50")


def line(name: str, text: str) -> Any:
    """A line of the curd."""
    return line_of("curd", name, text)


def bought(*parts: Any) -> dict[str, int]:
    """Packs by ingredient."""
    rows = costing.estimate(shoot_of(*parts, CURD, currency="EUR")).tables()["to_buy"].rows
    return {str(row["ingredient"]): int(str(row["packs"] or 0)) for row in rows}


@pytest.mark.source("usda-sr28", "WEIGHT NDB 01125 Seq 1: 1 large yolk = 17 g; 01124: white = 33 g")
def test_egg__yolk_and_white_by_count_and_by_weight() -> None:
    """6 yolks are 6 eggs; 120 g of yolk are 120/17 = 7.06, 8 eggs; 120 g of white 3.6, 4 eggs."""
    eggs = pack("eggs", "1 each", "0.40")
    assert bought(line("egg yolks", "6 each"), eggs) == {"eggs": 6}
    assert bought(line("egg yolk", "120 g"), eggs) == {"eggs": 8}
    assert bought(line("egg white", "120 g"), eggs) == {"eggs": 4}
    assert bought(line("egg yolk", "120 g"), line("egg white", "120 g"), eggs) == {"eggs": 8}


@pytest.mark.source("usda-sr28", "WEIGHT NDB 09152 Seq 3: 1 lemon yields = 48 g; 1 cup = 244 g")
def test_lemon__juice_by_weight_and_volume() -> None:
    """100 g are 100/48 = 2.08, 3 lemons; 46 ml less than the 46.5 of one; 47 ml more."""
    assert bought(line("lemon juice", "100 g"), LEMON) == {"lemon": 3}
    assert bought(line("lemon juice", "46 ml"), LEMON) == {"lemon": 1}
    assert bought(line("lemon juice", "47 ml"), LEMON) == {"lemon": 2}


@pytest.mark.source("us-fish-market-forms", 'paragraphs "Market forms of fish": whole 45')
def test_fish__fillet_of_a_whole_one() -> None:
    """450 g of fillet are 1 kg whole."""
    whole = pack("whole salmon", "1 kg", "9")
    assert bought(line("salmon fillet", "450 g"), whole) == {"whole salmon": 1}
    assert bought(line("salmon fillet", "451 g"), whole) == {"whole salmon": 2}


@pytest.mark.source("us-fish-market-forms", 'paragraphs "Market forms of fish": whole 45')
def test_fish__fillets_by_the_piece_where_only_their_weight_is_published() -> None:
    """Two of 225 g are 450 g, one of 1 kg whole; three are 675 g, of 1.5 kg."""
    rows = (pack("whole salmon", "1 kg", "9"), sound("salmon fillet", piece_weight=225))
    assert bought(line("salmon fillet", "2 each"), *rows) == {"whole salmon": 1}
    assert bought(line("salmon fillet", "3 each"), *rows) == {"whole salmon": 2}


@pytest.mark.trade
def test_chicken__two_thighs_on_each() -> None:
    """Three thighs and two wings are two birds."""
    bird = pack("whole chicken", "1 each", "8")
    lines = (line("chicken thighs", "3 each"), line("chicken wing", "2 each"))
    assert bought(*lines, bird) == {"whole chicken": 2}


def test_part__with_a_pack_of_its_own_is_bought_unless_the_article_is_there_too() -> None:
    """Juice in a bottle is bought; beside lemons the cheaper is."""
    bottle = pack("lemon juice", "100 ml", "0.80")
    assert bought(line("lemon juice", "90 ml"), bottle) == {"lemon juice": 1}
    assert bought(line("lemon juice", "90 ml"), bottle, LEMON) == {"lemon juice": 1}
    assert bought(line("lemon juice", "40 ml"), bottle, LEMON) == {"lemon": 1}
    on_hand = lot("lemon juice", "100 ml", use_by="2031-12-31")
    day = Episode(name="A", shoot_date="2031-05-10")
    assert bought(line("lemon juice", "110 ml"), on_hand, day) == {"lemon juice": 0}


def test_part__a_row_of_ones_own_counts_instead() -> None:
    """30 ml of each lemon: 90 ml are 3."""
    own = part("lemon", "lemon juice", "30 ml")
    assert bought(line("lemon juice", "90 ml"), LEMON, own) == {"lemon": 3}
    assert with_parts(shoot_of(line("lemon juice", "90 ml"), LEMON, own))[0].parts == (own,)


def test_part__a_dish_of_that_name_is_made() -> None:
    made = (line("lemon juice", "90 ml"), line_of("lemon juice", "lemon", "4 each"), LEMON)
    assert with_parts(shoot_of(*made))[0].parts == ()


def test_part__of_two_spellings_is_one() -> None:
    """By the rule: capitals are the same name."""
    rows = (line("lemon juice", "40 ml"), line("Lemon Juice", "40 ml"), LEMON)
    assert [one.name for one in with_parts(shoot_of(*rows))[0].parts] == ["lemon juice"]


def test_part__whose_own_row_cannot_be_read_is_not_filled_in_and_others_are() -> None:
    """Errors stop what depends on the row, and not the rest."""
    shoot = shoot_of(line("lemon juice", "40 ml"), line("lime juice", "40 ml"), LEMON)
    unread = LeftOut(
        what='part "lime juice"', place=Place("Parts", 2), sheet="Parts", name="lime juice"
    )
    filled, _ = with_parts(shoot.changed(left_out=[unread]))
    assert [one.name for one in filled.parts] == ["lemon juice"]


def test_assumptions__name_the_source() -> None:
    """The row that is used, and where to write another."""
    estimate = costing.estimate(shoot_of(line("egg yolk", "3 each"), CURD))
    (row,) = (row for row in estimate.tables()["assumptions"].rows if row["where"] == "Parts")
    assert row["about"] == "egg yolk from 1 each of egg"
    assert row["value_used"] == "1 each"
    assert row["how_to_override"] == "Write what yours gives into a row of Parts."


def test_part_from_memory__whole_text() -> None:
    """Zest is printed in no table that is at hand."""
    estimate = costing.estimate(shoot_of(line("lemon zest", "6 g"), CURD))
    said = [str(finding) for finding in estimate.findings if finding.code == "part from memory"]
    assert said == [
        'Parts (row "lemon zest", column "Part amount"): found a blank, and 6 g of lemon zest from '
        "1 each of lemon taken as kitchens reckon it, from no table, expected what one of yours "
        "gives [part from memory]\n"
        "  It is used; weigh what one of yours gives and write the row into Parts."
    ]


def test_article__that_no_line_takes_has_its_allergens_and_lives() -> None:
    """Only yolks are in the recipe: the eggs on the list bring eggs."""
    estimate = costing.estimate(
        shoot_of(line("egg yolk", "3 each"), pack("egg", "6 each", "2"), CURD, currency="EUR")
    )
    (row,) = estimate.tables()["to_buy"].rows
    assert str(row["allergens"]).startswith("eggs")


@pytest.mark.source("usda-sr28", "WEIGHT NDB 09150 Seq 2: 1 fruit = 58 g, without peel; Refuse 47")
def test_article__sold_by_weight_takes_the_published_weight_of_a_piece() -> None:
    """3 lemons, of 58 g each without 47 % peel and seeds: 3 x 58 / 0.53 = 328.3 g, 33 x 10 g.

    No cell is asked for.
    """
    estimate = costing.estimate(
        shoot_of(
            line("lemon juice", "100 g"),
            pack("lemon", "1 kg", "3", loose="10 g"),
            CURD,
            currency="EUR",
        )
    )
    (row,) = estimate.tables()["to_buy"].rows
    assert row["bought"] == 330
    assert "conversion missing" not in {finding.code for finding in estimate.findings}


def test_parts__are_ready_as_they_are_cut() -> None:
    """Worked by hand: 30 g of mint give 20 g of leaf, so 10 g of leaf are 15 g of mint.

    No published trim yield is filled in for either, and none is missed. One that is typed acts:
    half of the leaf is trimmed away, 20 g of leaf and 30 g of mint.
    """
    rows = (
        line("mint leaf", "10 g"),
        part("mint", "mint leaf", "20 g", of="30 g"),
        pack("mint", "100 g", "2.00"),
        CURD,
    )
    for typed, needed in (((), 15), ((sound("mint leaf", trim_yield=Fraction(1, 2)),), 30)):
        estimate = costing.estimate(shoot_of(*rows, *typed, currency="EUR"))
        needs = estimate.tables()["needs"].rows
        assert [r["as_bought_need"] for r in needs if r["ingredient"] == "mint"] == [needed]
        said = [one.code for one in estimate.findings]
        assert "trim yield not given" not in said
        assumed = {r["about"]: r["source"] for r in estimate.tables()["assumptions"].rows}
        ready = "ready as Parts says it is cut: nothing more is trimmed away"
        assert assumed["Trim yield of mint"] == ready
        assert assumed.get("Trim yield of mint leaf", ready) == ready
