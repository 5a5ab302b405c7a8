"""What the screen shows of holding: order and plans."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import date, datetime, timedelta
from itertools import chain
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

import pytest
from bowls import bowl, judged
from good_workbook import good_workbook, read
from small import line, lot, pack, shoot_of, sound

from costing.cli import screen
from costing.estimating import estimate
from costing.findings import Finding, Grade, Place
from costing.kitchen import Shop
from costing.report.day_rows import holding_times
from costing.shoot import Shot
from costing.shoot.planning import Planned, still_to_come

LISBON = ZoneInfo("Europe/Lisbon")


def test_holding__earliest_discard_time_first_and_those_without_one_last(
    capsys: pytest.CaptureFixture[str],
) -> None:
    """Clocks go back on 2031-10-26: 01:30 comes twice, and the later is an hour later."""
    logs = [
        bowl("reading 20:00 4 C", name="cold", day="2031-10-25"),
        bowl("out 2031-10-26 00:10 4 C", name="third", day="2031-10-25"),
        bowl("out 21:00 4 C", name="first", day="2031-10-25"),
        bowl("out 22:00 4 C", name="second", day="2031-10-25"),
    ]
    verdicts, _ = judged(logs, "AU-2H4H", "US-HOME-2H")
    screen.holding(holding_times(verdicts), (), asked="")
    rows = capsys.readouterr().out.splitlines()
    named = [row.split()[0] for row in rows if row.split()[1:2] in (["AU-2H4H"], ["US-HOME-2H"])]
    assert [name for name in named if name in ("first", "second", "third", "cold")] == [
        "first",
        "second",
        "third",
        "cold",
    ]


def test_holding__without_a_log_says_so_and_keeps_the_cautions(
    capsys: pytest.CaptureFixture[str],
) -> None:
    screen.holding(holding_times([]), ("When in doubt, throw it out.",), asked="")
    assert [line for line in capsys.readouterr().out.splitlines() if line] == [
        "Holding times",
        "- No container is logged: no row was read from a sheet Holding. Nothing is judged.",
        "- When in doubt, throw it out.",
    ]


def test_holding__a_container_stands_where_its_first_limit_does(
    capsys: pytest.CaptureFixture[str],
) -> None:
    """Out at 10:00 it is gone at 12:00 and 14:00 by the two rules, at 11:00 at 13:00 and 13:30.

    Its whole screen: a line above the title and one above the caution.
    """
    logs = [bowl("out 11:00 4 C", name="late"), bowl("out 10:00 4 C", name="early")]
    verdicts, _ = judged(logs, "AU-2H4H", "US-HOME-2H", at="11:00")
    sooner = verdicts[0].asked_at + timedelta(hours=2, minutes=30)
    verdicts = [
        one.model_copy(
            update={"reason": f"By {one.rule}."}
            | ({} if one.strictest or one.container == "early" else {"discard_at": sooner})
        )
        for one in verdicts
    ]
    day = verdicts[0].asked_at.date()
    screen.holding(holding_times(verdicts), asked="at 11:00", day=day)
    assert [one.strip("─") for one in capsys.readouterr().out.splitlines()] == [
        "",
        "Holding times at 11:00",
        "Container   Rule         Status             Out for   Discard at   Return before",
        "",
        "early       US-HOME-2H   within the limit    1 h 00   12:00        12:00",
        "            AU-2H4H      within the limit    1 h 00   14:00        12:00",
        "late        US-HOME-2H   within the limit    0 h 00   13:00        13:00",
        "            AU-2H4H      within the limit    0 h 00   13:30        13:00",
        "- early: By US-HOME-2H.",
        "- late: By US-HOME-2H.",
        "",
        "- Reminders of time and temperature. They do not show that any food is safe; when in "
        "doubt, throw it",
        "  out. All cautions: costing holding --cautions",
    ]


def printed(capsys: pytest.CaptureFixture[str]) -> str:
    return " ".join(capsys.readouterr().out.split())


def test_holding__what_cannot_be_judged_stands_on_top(capsys: pytest.CaptureFixture[str]) -> None:
    logs = [bowl("out 10:00 4 C", name="first"), bowl("out 11:00 20 C", name="unjudged")]
    verdicts, _ = judged(logs, "US-TPHC-4", room=None, at="10:30")
    screen.holding(holding_times(verdicts), asked="")
    shown = printed(capsys)
    late = bowl("out 10:00 4 C", marked="14:00", name="marked")
    verdicts, _ = judged([late, logs[1]], "US-TPHC-4", at="11:30")
    screen.holding(holding_times(verdicts), asked="")
    shown = printed(capsys)
    assert shown.index("unjudged US-TPHC-4") < shown.index("marked US-TPHC-4")


def test_holding__the_strictest_rule_alone_gives_its_reason(
    capsys: pytest.CaptureFixture[str],
) -> None:
    """Both rules have their row; out for three hours is past the two of US-HOME-2H."""
    verdicts, _ = judged([bowl("out 10:00 4 C", name="pot")], "AU-2H4H", "US-HOME-2H", at="13:00")
    table = holding_times(verdicts)
    screen.holding(table, asked="", day=verdicts[0].asked_at.date())
    shown = printed(capsys)
    reasons = {str(row["rule"]): str(row["reason"])[:30] for row in table.rows}
    assert f"pot: {reasons['US-HOME-2H']}" in shown
    assert f"pot: {reasons['AU-2H4H']}" not in shown


def test_holding__the_day_asked_about_is_not_repeated(capsys: pytest.CaptureFixture[str]) -> None:
    verdicts, _ = judged([bowl("out 23:00 4 C")], "AU-2H4H", at="23:30")
    screen.holding(
        holding_times(verdicts), asked="at 2026-10-05 23:30", day=verdicts[0].asked_at.date()
    )
    shown = printed(capsys)
    assert shown.count("2026-10-05") == 1
    assert "2026-10-06 03:00" in shown


def first_screen(capsys: pytest.CaptureFixture[str], *rows: Any, **settings: Any) -> list[str]:
    """The figures of a shoot, a line each, without bold, blanks between columns as one."""
    screen.figures(estimate(shoot_of(*rows, currency="EUR", **settings)), "Soup")
    shown = re.sub(r"\x1b\[[0-9;]*m", "", capsys.readouterr().out)
    return [" ".join(one.split()) for one in shown.splitlines()]


LEEKS: tuple[Any, ...] = (line("soup", "leek", "1 kg"), sound("leek"), Shot(dish="soup"))


@pytest.mark.parametrize("terminal", [True, False])
def test_figures__tax_stands_below_the_bought_value(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch, *, terminal: bool
) -> None:
    """2.00 without tax and 25 % on it; on a terminal the same words."""
    if terminal:
        monkeypatch.setenv("FORCE_COLOR", "1")
        monkeypatch.setenv("NO_COLOR", "1")
    rows = (*LEEKS, pack("leek", "1 kg", "2"))
    said = first_screen(capsys, *rows, prices_include_tax=False, tax_rate="25 %")
    assert said[1:4] == [
        "Bought value 2.50 EUR what the tills take",
        "of which tax 0.50 EUR",
        "Used value 2.50 EUR",
    ]


def test_figures__what_the_bought_value_leaves_out(capsys: pytest.CaptureFixture[str]) -> None:
    """One of two without a price; without a recipe there is nothing to count."""
    rows = (*LEEKS, line("soup", "salt", "5 g"), sound("salt"), pack("leek", "1 kg", "2"))
    assert first_screen(capsys, *rows)[1] == ("Bought value at least 2.00 EUR without salt")
    visited = (
        *rows[:-1],
        pack("leek", "1 kg", "2", shop="Mill"),
        Shop(name="Mill", visit_cost="1"),
    )
    assert first_screen(capsys, *visited)[1:4] == [
        "Bought value at least 2.00 EUR without salt",
        "Visits and deliveries 1.00 EUR not in the bought value",
        "Paid in all at least 3.00 EUR bought value, visits and deliveries",
    ]
    three = [(line("soup", name, "5 g"), sound(name)) for name in ("rice", "oil", "wine")]
    many = first_screen(capsys, *rows, *chain(*three))[1]
    assert many == "Bought value at least 2.00 EUR without 4 of 5 ingredients"
    few = first_screen(capsys, *rows, *chain(*three[:2]))[1]
    assert few == "Bought value at least 2.00 EUR without salt, rice and oil"
    assert first_screen(capsys)[1] == (
        "Bought value not known yet without every dish: there are no recipe lines"
    )


@pytest.mark.parametrize(
    ("budget", "more", "words"),
    [
        ("5.00", (), "3.00 EUR of it left, visits not counted"),
        ("2.00", (), "0.00 EUR of it left, visits not counted"),
        ("1.50", (), "0.50 EUR over, visits not counted"),
        ("5.00", (line("soup", "salt", "5 g"),), "at most 3.00 EUR of it left, visits not counted"),
        ("1.50", (line("soup", "salt", "5 g"),), "at least 0.50 EUR over, visits not counted"),
    ],
)
def test_figures__what_is_left_of_the_budget(
    capsys: pytest.CaptureFixture[str], budget: str, more: tuple[Any, ...], words: str
) -> None:
    """Leek for 2.00, and going there for 1.00; salt has no price."""
    mill = pack("leek", "1 kg", "2", shop="Mill"), Shop(name="Mill", visit_cost="1")
    said = first_screen(capsys, *LEEKS, *mill, *more, budget=budget)
    assert said[4] == f"Budget {budget} EUR {words}"
    alone = first_screen(capsys, *LEEKS, pack("leek", "1 kg", "2"), budget="5.00")
    assert alone[2] == "Budget 5.00 EUR 3.00 EUR of it left"
    assert "Budget" not in " ".join(first_screen(capsys, *LEEKS, budget="5.00"))


@pytest.mark.parametrize(
    ("cells", "rows"),
    [(("D2",), "1 row"), (("D2", "D3"), 'step 1 of shot "S2"; 2 other rows')],  # none is left of it
)
def test_figures__rows_that_cannot_be_read_are_counted(
    capsys: pytest.CaptureFixture[str], tmp_path: Path, cells: tuple[str, ...], rows: str
) -> None:
    """Rows of the recipe that name no food but have an amount."""
    book = good_workbook()
    for cell in cells:
        book["Recipes"][cell] = "#REF!"
    shoot, _ = read(book, tmp_path)
    screen.figures(estimate(shoot), "Soup")
    assert f"without {rows} that cannot be read" in " ".join(capsys.readouterr().out.split())


def test_figures__a_used_and_a_left_value_in_part_say_why_once(
    capsys: pytest.CaptureFixture[str],
) -> None:
    """Half the leek of 2.00 and all the salt of 0.30 are used; the plenty of oil has no price.

    Left: 2.00 + 0.30 from on hand - 1.30. Pepper without a pack is told of the bought value.
    """
    rows = (
        *(line("soup", "leek", "500 g"), sound("leek"), pack("leek", "1 kg", "2")),
        *(line("soup", "oil", "10 g"), sound("oil"), lot("oil", None, plenty=True)),
        *(line("soup", "salt", "100 g"), sound("salt"), lot("salt", "100 g", value="0.30")),
    )
    used = (
        "Used value at least 1.30 EUR 0.30 EUR of it from on hand; without the value of oil, of "
        "which there is plenty Left value {}1.00 EUR bought + from on hand - used"
    )
    whole = " ".join(first_screen(capsys, *rows, Shot(dish="soup")))
    assert f"Bought value 2.00 EUR what the tills take {used.format('')}" in whole
    more = (line("soup", "pepper", "5 g"), sound("pepper"), Shot(dish="soup"))
    lacking = " ".join(first_screen(capsys, *rows, *more))
    assert f"Bought value at least 2.00 EUR without pepper {used.format('in part ')}" in lacking
    names = ("ice", "sugar", "vinegar")
    plenty = [(line("soup", n, "1 g"), sound(n), lot(n, None, plenty=True)) for n in names]
    four = " ".join(first_screen(capsys, *rows, *chain(*plenty), Shot(dish="soup")))
    assert "the value of sugar, of which there is plenty; 1 more Left value" in four


def test_figures__shots_that_are_missing_are_named_before_other_rows(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    """A step that is not there, a dish that is not there, a purpose and a food that are no word.

    Of S1 (step 7) the 400 g of leek in step 1 still count.
    """
    book = good_workbook()
    book["Recipes"]["D3"] = "#REF!"
    plan = book["Shoot plan"]
    plan["E2"], plan["C3"] = "1, 7", "leak soop"
    plan.append(["S3", None, "leek soup", "heroo"])
    shoot, _ = read(book, tmp_path)
    screen.figures(estimate(shoot), "Soup")
    assert (
        'without step 7 of shot "S1", shot "S2" and shot "S3"; 1 other row that cannot be read'
    ) in " ".join(capsys.readouterr().out.split())


def test_figures__a_chance_is_of_a_hundred_where_it_is_known(
    capsys: pytest.CaptureFixture[str],
) -> None:
    """Two packs serve both takes that may come; a salt without an amount may be any."""
    takes = Shot(dish="soup", name="dip", most=2)
    rows = (*LEEKS[:2], takes, pack("leek", "1 kg", "2"))
    known, *_ = [one for one in first_screen(capsys, *rows) if one.startswith("Chance of")]
    assert known.startswith("Chance of running out 0 % ")
    salted = (*rows, line("soup", "salt", None))
    unknown, *_ = [one for one in first_screen(capsys, *salted) if one.startswith("Chance of")]
    assert unknown.startswith("Chance of running out - not known: how much salt")


@pytest.mark.parametrize("terminal", [True, False])
def test_busy__is_said_on_a_terminal_beside_the_answer(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch, *, terminal: bool
) -> None:
    """What is printed then can go to a file: nothing else goes there."""
    monkeypatch.delenv("FORCE_COLOR", raising=False)
    if terminal:
        monkeypatch.setenv("FORCE_COLOR", "1")  # the terminal that a test has not
    with screen.busy("Reading [/b] [draft].xlsx"):
        pass
    shown = capsys.readouterr()
    assert shown.out == ""
    assert ("Reading [/b] [draft].xlsx ..." in shown.err) is terminal


def use(shot: str, clock: str, hours: int = 2) -> Planned:
    eaten_at = datetime.fromisoformat(f"2031-05-10 {clock}").replace(tzinfo=LISBON)
    limit = timedelta(hours=hours)
    return Planned("prawns", shot, "US-HOME-2H", eaten_at, eaten_at - limit, limit)


def test_planned__a_line_for_each_container(capsys: pytest.CaptureFixture[str]) -> None:
    screen.planned([])
    assert capsys.readouterr().out == ""
    screen.planned([use("bite", "14:10")])
    said = capsys.readouterr().out
    assert said.startswith("\n- prawns: ")
    assert " ".join(said.split()) == (
        '- prawns: take it out after 2031-05-10 12:10, once, to be eaten in "bite" at '
        "2031-05-10 14:10 (2 h of US-HOME-2H)"
    )


def test_planned__of_a_limit_in_part_used_says_what_is_left(
    capsys: pytest.CaptureFixture[str],
) -> None:
    """2 h - 30 min."""
    screen.planned([replace(use("bite", "14:10"), used=timedelta(minutes=30))], date(2031, 5, 10))
    assert printed(capsys).endswith("(1 h 30 min left of the 2 h of US-HOME-2H)")


def test_planned__one_time_that_serves_every_use(capsys: pytest.CaptureFixture[str]) -> None:
    """After 15:00 - 2 h = 13:00 and out by 14:10."""
    screen.planned([use("bite", "14:10"), use("second bite", "15:00")], date(2031, 5, 10))
    assert printed(capsys) == (
        '- prawns: take it out after 13:00, once, to be eaten in "bite" at 14:10 and "second '
        'bite" at 15:00 (2 h of US-HOME-2H)'
    )


def test_planned__two_containers_where_no_time_serves_all(
    capsys: pytest.CaptureFixture[str],
) -> None:
    """16:10 - 2 h = 14:10, when the first is eaten; at the limit is past it."""
    screen.planned([use("supper", "16:10"), use("bite", "14:10")], date(2031, 5, 10))
    assert printed(capsys) == (
        "- prawns: no one time serves all its shots, have 2 of it, out after 12:10, once, to be "
        'eaten in "bite" at 14:10; after 14:10, once, to be eaten in "supper" at 16:10 (2 h of '
        "US-HOME-2H)"
    )


@pytest.mark.parametrize(
    ("asked", "left"), [("12:00", ["bite", "supper"]), ("13:00", ["supper"]), ("15:00", [])]
)
def test_planned__only_before_its_use_and_not_past_its_limit(asked: str, left: list[str]) -> None:
    """Out at 12:30: past its two hours at 14:30."""
    log = bowl("out 12:30 4 C", name="prawns", day="2031-05-10")
    verdicts, _ = judged([log], "US-HOME-2H", at=asked, day="2031-05-10")
    uses = [use("bite", "13:00"), use("supper", "16:10")]
    assert [one.shot for one in still_to_come(uses, verdicts)] == left


@pytest.mark.parametrize(("columns", "widest"), [(60, 59), (140, 99)])
def test_paragraph__keeps_to_a_narrow_terminal_and_to_100_columns_of_a_wide_one(
    columns: int, widest: int, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """Words of one letter, two columns each with a blank: 30 or 50 of them in a line."""
    monkeypatch.setenv("FORCE_COLOR", "1")
    monkeypatch.setenv("COLUMNS", str(columns))
    screen.paragraph(" ".join(["a"] * 130))
    said = capsys.readouterr().out.splitlines()
    assert max(map(len, said)) == widest


def test_paragraph__does_not_break_at_a_hyphen(capsys: pytest.CaptureFixture[str]) -> None:
    """91 columns and a blank leave 8: too few for white-bean, which begins the next line."""
    screen.paragraph(f"{'x' * 91} white-bean")
    assert capsys.readouterr().out == f"{'x' * 91}\n  white-bean\n"


@pytest.mark.parametrize(
    ("letters", "printed"),
    [
        (89, [f"Food{' ' * 92}Cost", "─" * 100, f"{'x' * 89}     123456", f"{' ' * 97}890"]),
        (90, [f"{'x' * 90}: cost", "    123456 890"]),
    ],
)
def test_listed__as_paragraphs_where_a_figure_would_be_cut(
    letters: int, printed: list[str], capsys: pytest.CaptureFixture[str]
) -> None:
    """89 columns, 3 between, and 8 of the last, which may wrap: 100."""
    screen.listed([("Food", False), ("Cost", True)], [("x" * letters, "123456 890")])
    assert capsys.readouterr().out.splitlines() == printed


def test_paragraph__names_and_figures_are_plain_text(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """A container may have any name, that of a style too; no figure has a colour."""
    monkeypatch.setenv("FORCE_COLOR", "1")
    text = "[bold]dough[/bold], [red] beans :egg: 12.30"
    screen.paragraph(text)
    assert capsys.readouterr().out == f"{text}\n"


def test_figures__brackets_in_a_name_are_text(capsys: pytest.CaptureFixture[str]) -> None:
    """What closes a style that nothing opened ended the command."""
    take = Shot(dish="soup", name="dip [/b] [red] :egg:", most=2)
    rows = (line("soup", "leek", "1 g"), sound("leek"), pack("leek", "9 g", "3"))
    title = "[red] day" + " [red] day" * 19
    screen.figures(estimate(shoot_of(*rows, take)), title)
    said = capsys.readouterr().out
    assert said.startswith(f"{title}\n")
    assert "Times covered, dip [/b] [red] :egg: " in said


def unpriced(number: int, grade: Grade = Grade.WARNING, code: str = "price missing") -> Finding:
    """A finding that has words of its own."""
    return Finding(grade, code, Place("Packs", number), f"price {number}", "a price", "Fill it in.")


@pytest.mark.parametrize(
    ("number", "rest", "told"),
    [
        (1, "costing check", (1, "1 warning")),
        (2, "costing check", (2, "2 warnings")),
        (3, "costing check", (1, "3 warnings; all findings: costing check")),
        (20, "", (20, "20 warnings")),
        (21, "", (1, "21 warnings")),
    ],
)
def test_tell__more_than_two_of_a_kind_are_one_and_where_all_are_asked_more_than_twenty(
    number: int, rest: str, told: tuple[int, str], capsys: pytest.CaptureFixture[str]
) -> None:
    screen.tell([unpriced(row) for row in range(1, number + 1)], rest=rest)
    *said, last = capsys.readouterr().out.splitlines()
    assert (sum(one.startswith("warning: ") for one in said), last) == told


def test_tell__of_notes_only_those_that_cost_money(capsys: pytest.CaptureFixture[str]) -> None:
    """The others are counted, beside an answer; where all are asked they are printed too."""
    notes = [unpriced(1, Grade.NOTE), unpriced(2, Grade.NOTE, "measures not chosen")]
    screen.tell(notes, rest="costing check", bearing_on="the list")
    assert capsys.readouterr().out.splitlines() == [
        "note: Packs row 2: found price 2, expected a price [measures not chosen]",
        "  Fill it in.",
        "2 notes bearing on the list; all findings: costing check",
    ]
    screen.tell(notes)
    assert capsys.readouterr().out.count("note: ") == 2
