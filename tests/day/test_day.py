"""The commands of the day: a line for the log, and what follows from it."""

from __future__ import annotations

import sys
from datetime import date, datetime, time
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest
from commands import typed
from good_workbook import good_workbook

from costing.day.lines import moment_text
from costing.shoot import Settings, Shoot
from costing.workbook.reading import read_workbook

HEAD = "When,What,Event,Temperature,Amount,Note"
LOG = "plan day log.csv"


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder to work in, which holds the good workbook alone."""
    monkeypatch.chdir(tmp_path)
    good_workbook().save(tmp_path / "plan.xlsx")
    return tmp_path


def lines(folder: Path) -> list[str]:
    """The lines of the log; none where there is no log."""
    path = folder / LOG
    return path.read_text().splitlines() if path.exists() else []


def test_log__one_line_for_each_kind_and_what_follows(folder: Path) -> None:
    """Out at 10:05, 2 h by the home rule of the EU: at 10:30 with 6 C it has 1 h 35 min."""
    book = good_workbook()
    book["Holding"].delete_rows(3)
    book.save(folder / "plan.xlsx")
    jug = typed("log", "plan.xlsx", "milk jug", "reading", "6C", "--at", "10:30")
    assert jug.exit_code == 0, jug.output
    logged, left, why, *_ = jug.output.splitlines()
    assert logged == "Logged: milk jug, reading 6 C at 10:30."
    assert left == "milk jug: 1 h 35 min left, discard at 12:05."
    assert why.startswith("Within the 2 h limit of HOME-2H-5C, as logged: out for 25 min. ")
    assert "It may go back before 12:05 WEST, measured " in why, "the day is that of the line"
    shot = typed("log", "s2", "taken", "--at", "10:40")
    assert shot.exit_code == 0, shot.output
    assert shot.output.startswith("Logged: S2, taken at 10:40.\n")
    leek = typed("log", "Leek", "counted", "1,5", "kg", "--at", "2031-05-10 10:50:30")
    assert leek.exit_code == 0, leek.output
    assert leek.output.startswith("Logged: leek, counted 1,5 kg at 10:50.\n")
    assert lines(folder) == [
        HEAD,
        "2031-05-10 10:30,milk jug,reading,6 C,,",
        "2031-05-10 10:40,S2,taken,,,",
        '2031-05-10 10:50:30,leek,counted,,"1,5 kg",',
    ]
    shoot, findings = read_workbook(folder / "plan.xlsx")
    assert findings == []
    assert [str(one.event) for one in shoot.day_log] == ["taken", "counted"]


def test_log__judges_no_other_bowl_than_the_one_it_is_of(folder: Path) -> None:
    """That another stands out until 16:00 says nothing of this one: 10:05 and 2 h are 12:05."""
    book = good_workbook()
    book["Holding"].delete_rows(3)
    book["Holding"].append(("cream jug", "milk", "out", time(10, 0)))
    book["Holding"].append((None, None, "back", time(16, 0)))
    book.save(folder / "plan.xlsx")
    cream = typed("log", "cream jug", "back", "--at", "16:10").output
    told = typed("log", "plan.xlsx", "milk jug", "reading", "6C", "--at", "12:00").output
    assert '(row "cream jug"' in cream
    assert "milk jug: 5 min left, discard at 12:05." in told
    assert "cream jug" not in told


@pytest.mark.parametrize(
    ("now", "out", "left"),
    [
        (datetime(2031, 5, 10, 11, 30), "", "35 min left, discard at 12:05"),
        (datetime(2031, 5, 10, 12, 5), "", "as logged: out for 2 h. Discard"),
        (datetime(2031, 5, 10, 13, 0, 41, 656800), "", "out for 2 h 56 min, 56 min over"),
        (datetime(2031, 5, 10, 10, 40), "back", "1 h 25 min left, discard at 12:05"),
        (datetime(2031, 5, 10, 12, 20), "back", "out for 2 h 15 min, 15 min over"),
    ],
    ids=["in time now", "at the limit", "past it now", "planned for later", "past it then"],
)
def test_log__a_line_told_late_is_judged_now(
    folder: Path, monkeypatch: pytest.MonkeyPatch, now: datetime, out: str, left: str
) -> None:
    """Out at 10:05 for 2 h: a line of 10:30 gives no comfort at 13:00, nor after the sheet's 12:20;
    before that the sheet's 12:20 is a plan.

    13:00:41 less 10:05 is 2 h 55 min 41 s: a minute that is begun is used up.
    """
    book = good_workbook()
    if not out:
        book["Holding"].delete_rows(3)
    book.save(folder / "plan.xlsx")
    there = now.replace(tzinfo=ZoneInfo("Europe/Lisbon"))
    monkeypatch.setattr("costing.day.follows.now_there", lambda _: there)
    found = typed("log", "milk jug", "reading", "6C", "--at", "10:30")
    assert left in found.output
    past = "min left" not in left
    assert ("discard, as logged" in found.output) is past
    held = typed("holding", "--at", f"{now:%Y-%m-%d %H:%M:%S}")
    assert (held.exit_code == 3) is past


def test_log__a_line_long_before_the_shoot_says_so(
    folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """From 2030-05-10 to 2031-05-10 are 365 days; 14 days ahead something may be prepared."""
    note = (
        "The line is dated 2030-05-10, 365 days before the shoot on 2031-05-10. If it belongs to "
        "that day, take it back with --undo and log it with its time, such as --at 10:42."
    )
    zone = ZoneInfo("Europe/Lisbon")
    monkeypatch.setattr("costing.asked.now_there", lambda _: datetime(2030, 5, 10, 9, tzinfo=zone))
    assert typed("log", "milk jug", "out", "4C").output.splitlines()[1] == note
    for when, told in (
        *(("10:42", False), ("2031-04-26 10:42", False)),
        ("2031-04-25 10:42", True),
    ):
        said = typed("log", "S2", "taken", "--at", when).output
        assert (", 15 days before the shoot on 2031-05-10." in said) is told


def test_log__a_line_shortly_before_the_first_of_several_shoots_is_as_it_should_be(
    folder: Path,
) -> None:
    """9 days before one, 40 before another, and one that has no date; without any it is logged."""
    book = good_workbook()
    book["Episodes"].append(["Stew", date(2031, 6, 10)])
    book["Episodes"].append(["Pie"])
    book.save(folder / "plan.xlsx")
    said = typed("log", "S2", "taken", "--at", "2031-05-01 10:00")
    assert (said.exit_code, "before the shoot" in said.output) == (0, False)
    book = good_workbook()
    book["Episodes"]["B2"] = None
    book.save(folder / "plan.xlsx")
    assert typed("log", "S2", "taken", "--at", "2031-05-01 10:00").exit_code == 0


def test_log__an_amount_that_cannot_be_used_is_refused(folder: Path) -> None:
    """A thing sold in tens, of which no weight of a piece is known; by hand the line is told.

    S1 takes 2 and S2, half a batch, 1 each, at most 4 times: 6, one pack of 10.
    """
    book = good_workbook()
    book["Recipes"].append([None, None, None, "house wafer", 2, None, None, None])
    book["Packs"].append(["house wafer", "Corner", 10, None, 2.5, None, None, None])
    book.save(folder / "plan.xlsx")
    found = typed("log", "house wafer", "counted", "5", "kg", "--at", "10:40")
    assert found.exit_code == 2
    assert found.output == (
        '"5 kg": house wafer is counted in each, and nothing says how many that is. Expected a '
        "count in a unit of that kind; or fill Grams per piece for it on the sheet Ingredients, "
        "then log again.\n"
    )
    assert lines(folder) == []
    plenty = typed("log", "house wafer", "counted", "plenty")
    assert plenty.output == '"plenty": it has no number. Expected an amount such as 1675 g.\n'
    assert typed("log", "house wafer", "counted", "5", "--at", "10:40").exit_code == 0
    good = typed("left").output
    assert "house wafer: bought 10 = used 0 + there 5 + not logged 5." in good
    with (folder / LOG).open("a") as log:
        log.write("2031-05-10 10:50,house wafer,counted,,5 kg,\n")
    after = typed("left")
    *stands, _ = good.splitlines()  # but for the number of findings
    assert after.output.splitlines()[: len(stands)] == stands
    assert "found 5 kg of house wafer" in " ".join(after.output.split())


@pytest.mark.parametrize(
    ("line", "found"),
    [
        ("10:40,leek,counted,,5 zz,", 'found "5 zz"'),
        (",S2,taken,,,", "a blank"),
        ("10:40,S2,spoilt,,,", 'found the text "spoilt"'),
    ],
    ids=["count", "no time", "event"],
)
def test_left__tells_what_is_wrong_with_the_log(folder: Path, line: str, found: str) -> None:
    (folder / LOG).write_text(f"{HEAD}\n{line}\n")
    said = " ".join(typed("left").output.split())
    assert f"'{LOG}' row 2" in said
    assert found in said


def test_log__words_need_no_quotation_marks(folder: Path) -> None:
    assert typed("log", "milk", "jug", "back", "-1", "C", "--at", "10:30").exit_code == 0
    assert lines(folder)[1:] == ["2031-05-10 10:30,milk jug,back,-1 C,,"]


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("milk jog", "out"), 'there is no container "milk jog". Nearest: milk jug.'),
        (("S22", "taken"), 'there is no shot "S22". Nearest: S2.'),
        (("leak", "counted", "3 kg"), 'there is no ingredient "leak". Nearest: leek.'),
        (("milk", "out"), "Nearest: milk jug. It is the name of an ingredient."),
        (
            ("big pot", "out"),
            'there is no container "big pot". The workbook has milk jug. Write its first row, with '
            "what it holds, on the sheet Holding",
        ),
    ],
    ids=["container", "shot", "ingredient", "an ingredient for a container", "a new container"],
)
def test_log__a_name_that_is_none_is_never_guessed(
    folder: Path, words: tuple[str, ...], said: str
) -> None:
    found = typed("log", *words)
    assert found.exit_code == 1
    assert said in found.output
    assert lines(folder) == []


def test_log__of_a_name_that_is_none_three_near_ones_are_named_and_what_else_it_is(
    folder: Path,
) -> None:
    """A word of a name is near; what the sheet Holding lacks is said of a container alone."""
    nothing = "Nothing is logged: there is no "
    known = "The workbook has S1 and S2.\n"
    assert typed("log", "zest", "taken").output == f'{nothing}shot "zest". {known}'
    assert typed("log", "milk jug", "taken").output == (
        f'{nothing}shot "milk jug". It is the name of a container. {known}'
    )
    book = good_workbook()
    for size in ("big", "middling", "small", "tiny"):
        book["Holding"].append([f"{size} earthen pot", "milk", "out", time(10, 0), "4 C"])
    book.save(folder / "plan.xlsx")
    assert typed("log", "pot", "back").output == (
        f'{nothing}container "pot". Nearest: big earthen pot, middling earthen pot, small earthen '
        "pot.\n"
    )
    del book["Holding"]
    book.save(folder / "plan.xlsx")
    assert typed("log", "pot", "back").output == (
        f'{nothing}container "pot". Write its first row, with what it holds, on the sheet Holding; '
        "then it can be logged.\n"
    )
    assert typed("log", "milk jug", "takne", "conted").output == (
        '"takne conted": found no event, expected one of out, prep, back, cut, opened, cooked, '
        "reading, room, reheated, frozen, thawed, served, discarded, taken, spoiled, enough or "
        "counted. Nearest: taken.\n"
    )


@pytest.mark.parametrize(
    ("words", "said"),
    [
        ((), "Say what happened to what"),
        (("milk jug", "otu"), "found no event"),
        (("milk jug", "reading", "6"), "found a number without a unit"),
        (("leek", "counted"), "expected an amount behind it"),
        (("leek", "counted", "7"), "Expected an amount such as 1675 g"),
        (
            ("S2", "taken", "3"),
            "expected nothing there. A line is one take: leave it out, and log each by itself.",
        ),
        (("S2", "taken", "again"), "expected nothing there. Leave it out."),
        (("milk jug", "out", "--at", "noonish"), '--at: found "noonish"'),
    ],
    ids=["nothing", "event", "temperature", "no amount", "no unit", "number", "too much", "time"],
)
def test_log__what_cannot_be_read_is_not_written(
    folder: Path, words: tuple[str, ...], said: str
) -> None:
    found = typed("log", *words)
    assert found.exit_code == 2
    assert said in found.output
    assert lines(folder) == []


def test_log__undo_is_dated_as_any_other_line(folder: Path) -> None:
    """By --at where it is typed; it was passed over without a word."""
    typed("log", "S1", "taken", "--at", "10:40")
    typed("log", "--undo", "S1", "--at", "10:45")
    assert lines(folder)[-1] == "2031-05-10 10:45,S1,undone,,,"
    assert typed("log", "--undo", "--at", "noonish").exit_code == 1, "nothing is left to undo"
    typed("log", "S1", "taken", "--at", "10:50")
    assert '--at: found "noonish"' in typed("log", "--undo", "--at", "noonish").output


def test_log__undo_writes_a_line_below(folder: Path) -> None:
    """The last line, or the last of a name; each once; the lines stay as they are."""
    assert typed("log", "--undo").output == "No line in the day log still counts.\n"
    for what in ("S1", "S2", "S2"):
        typed("log", what, "taken", "--at", "10:40")
    assert "Taken back: S2 taken, 2031-05-10 10:40." in typed("log", "--undo").output
    assert typed("log", "--undo", "S23").output == (
        'No line of "S23" in the day log still counts. Nearest: S2.\n'
    )
    assert "Taken back: S1 taken" in typed("log", "--undo", "S1").output
    again = typed("log", "--undo", "S1")
    assert again.exit_code == 1
    assert again.output == 'No line of "S1" in the day log still counts.\n'
    takes = [f"2031-05-10 10:40,{name},taken,,," for name in ("S1", "S2", "S2")]
    assert lines(folder)[:4] == [HEAD, *takes]
    assert [line.split(",")[1:3] for line in lines(folder)[4:]] == [
        ["S2", "undone"],
        ["S1", "undone"],
    ]
    shoot, _ = read_workbook(folder / "plan.xlsx")
    assert [(one.what, str(one.event)) for one in shoot.day_log] == [("S2", "taken")]


def test_log__a_log_that_cannot_be_added_to_is_said(folder: Path) -> None:
    (folder / LOG).mkdir()
    found = typed("log", "S2", "taken")
    assert found.exit_code == 2
    assert "Nothing is logged" in found.output


def test_moment_text__an_hour_that_clocks_show_twice_has_its_offset() -> None:
    """In Berlin the clocks go back on 2031-10-26 from 3:00 to 2:00."""
    zone = ZoneInfo("Europe/Berlin")
    shoot = Shoot(settings=Settings(time_zone="Europe/Berlin"))
    twice = datetime(2031, 10, 26, 2, 30, tzinfo=zone, fold=1)
    once = datetime(2031, 10, 26, 4, 30, tzinfo=zone)
    assert moment_text(twice, shoot, to_the_second=True) == "2031-10-26 02:30:00+01:00"
    assert moment_text(once, shoot, to_the_second=False) == "2031-10-26 04:30"


def test_left__every_shot_with_what_is_behind_it(folder: Path) -> None:
    """Leeks 400 g a soup, trimmed at 72 %: S1 takes 555.6 g, S2 half of it, 1 to 4 times.

    S1 and three S2 need 1388.9 g, at 2 % a day 1417.2 g, in steps of 50 g 1450 g. One S2 used
    277.8 g, with its spoilage 283.4 g. Of 900 g an S1 leaves 344.4 g: one S2, where two of them
    must be sure (.669 for two in all, .956 for three): 555.6 + 555.6 - 900 = 211.1 g lack, in
    steps of 50 g 250 g, at 1.89 a kg 0.47.
    """
    there = "1 more if the others are taken as planned, else none"
    typed("log", "S2", "taken", "--at", "10:40")
    counted = typed("log", "leek", "counted", "900 g", "--at", "10:50").output.splitlines()
    assert counted[2:4] == [
        f"S1: {there}, 0 taken of 1; the next lacks leek 211 g.",
        "S2: 1 more, 1 taken of 2; the next lacks leek 211 g.",
    ]
    found = typed("left")
    assert found.exit_code == 0, found.output
    said = found.output.splitlines()
    assert said[0] == "Soup"
    assert said[1] == f"S1: {there}, 0 taken of 1."
    sure = "  To be as sure as is asked, one more lacks"
    assert said[2].startswith(f"{sure} leek 211 g (250 g loose at Corner, 0.47 EUR).")
    assert "S2: 1 more, 1 taken of 2." in said
    assert "leek: bought 1.45 kg = used 283 g + there 900 g + not logged 267 g." in said
    assert "Prices are of what is fetched after shopping; Summary has what one more adds " in (
        found.output
    )
    assert " bearing on the takes left" in said[-1]
    book = good_workbook()
    book["Packs"]["G2"] = 1
    book.save(folder / "plan.xlsx")
    sold_out = typed("left").output
    assert "one more lacks leek 211 g, and no shop has more." in " ".join(sold_out.split())
    assert "Prices are of" not in sold_out


def test_left__what_a_bowl_held_that_was_thrown_away_is_to_be_counted(folder: Path) -> None:
    """Nothing says how much was in it; a count from then on does, one of before does not."""
    book = good_workbook()
    book["Recipes"].append(["leek soup", 2, None, "milk", 100, "ml"])
    book["Packs"].append(["milk", "Corner", 1, "l", 1, None, 1, None])
    for row in (["leek bowl", "leek"], ["pot", "leek soup"]):
        book["Holding"].append([*row, "out", time(10, 0), "4 C"])
    book.save(folder / "plan.xlsx")
    gone = ": what was in it is gone, and nothing says how much that was: the takes left do not"
    assert gone not in typed("left").output
    typed("log", "leek", "counted", "2 kg", "--at", "11:00")
    bowl = typed("log", "leek bowl", "discarded", "--at", "12:30").output.splitlines()
    assert bowl[-1] == (
        f'leek bowl{gone} know of it. Count what is there now of "leek": costing log "leek" '
        "counted, with its amount."
    )
    pot = typed("log", "pot", "discarded", "--at", "12:40").output.splitlines()
    assert pot[-1] == (
        f"pot{gone} know of it. If it was for a take to come, log that shot as spoiled."
    )
    with (folder / LOG).open("a") as log:  # a weighing of a yield says nothing of what is there
        log.write("2031-05-10 12:45,leek,counted,,720 g,trimmed from 1 kg\n")
    said = " ".join(typed("left").output.split())
    assert said.count(gone) == 2
    typed("log", "leek", "counted", "1 kg", "--at", "12:50")
    typed("log", "S2", "spoiled", "--at", "12:50")
    assert gone not in " ".join(typed("left").output.split())
    (folder / LOG).write_text(f"{HEAD}\n2031-05-10 12:30,leek bowl,discarded,,,\n")
    assert gone in " ".join(typed("left").output.split())
    book.create_sheet("Counted").append(["Ingredient", "Amount", "Unit", "Note"])
    book["Counted"].append(["leek", 720, "g", "trimmed from 1 kg"])
    book.save(folder / "plan.xlsx")
    assert gone in " ".join(typed("left").output.split())
    book["Counted"].append(["leek", 1, "kg"])  # what is there at the end is later than any line
    book.save(folder / "plan.xlsx")
    assert gone not in " ".join(typed("left").output.split())


def test_left__does_not_tell_of_the_budget(folder: Path) -> None:
    """What is over it changes no number of takes, and would be read before each of them."""
    book = good_workbook()
    book["Settings"].append(["Budget", 1])
    book.save(folder / "plan.xlsx")
    assert "[over budget]" in typed("check").output
    assert "over budget" not in typed("left").output


def test_left__goes_by_the_count_of_a_dish(folder: Path) -> None:
    """A soup takes 100 ml of broth, S2 half a soup; 100 g of bones make 100 ml, in a bag of 200 g.

    S1 and two S2 are 200 ml by the plan, all of the bag. Of 120 ml counted the two S2 leave 20,
    no S1, which lacks 80; and S1 leaves 20, no S2, which lacks 30.
    """
    book = good_workbook()
    rows = {
        "Recipes": [
            ["leek soup", 2, None, "broth", 100, "ml"],
            ["broth", 1, "boil", "bones", 100, "g"],
        ],
        "Dishes": [["broth", 100, "ml"]],
        "Packs": [["bones", "Corner", 200, "g", 1, None, 1, None]],
        "Ingredients": [["bones", "meat", 100]],
    }
    for name, more in rows.items():
        for row in more:
            book[name].append(row)
    book["Shoot plan"]["H3"] = book["Shoot plan"]["I3"] = None
    book.save(folder / "plan.xlsx")
    assert "\nS1: 1 more, 0 taken of 1.\n  One beyond that lacks " in typed("left").output
    found = typed("log", "broth", "counted", "120 ml", "--at", "10:40")
    there = "1 more if no other is taken again, else none"
    assert found.output.splitlines()[1:] == [
        "broth: 120 ml counted, in place of what the plan has made of it. More than that is made "
        "of what is there.",
        f"S1: {there}, 0 taken of 1; the next lacks bones 80 g.",
        f"S2: {there.replace('1', '2')}, 0 taken of 2; the next lacks bones 30 g.",
    ]
    assert "\nbroth: 120 ml counted, in place of what the plan " in typed("left").output
    soup = typed("log", "leek soup", "counted", "1 portion", "--at", "10:50")
    assert soup.exit_code == 1
    assert len(lines(folder)) == 2


def test_log__shots_of_one_name_are_told_apart(folder: Path) -> None:
    """S2 of Soup and S2 of Stew: none is guessed, and each is said with its episode."""
    book = good_workbook()
    book["Shoot plan"].append(["S2", "Stew", "leek soup", "hero", None, None, 1])
    book.save(folder / "plan.xlsx")
    found = typed("log", "S2", "taken")
    assert (found.exit_code, lines(folder)) == (1, [])
    assert found.output == '"S2" is the name of several shots: "Soup: S2" or "Stew: S2".\n'
    again = typed("log", "Stew: S2", "taken", "--at", "10:40")
    assert "\nStew: S2: " in again.output
    assert lines(folder)[1:] == ["2031-05-10 10:40,Stew: S2,taken,,,"]


def test_log__a_take_says_what_is_left(folder: Path) -> None:
    """Three were provided for, by the numbers above: two more."""
    found = typed("log", "S2", "taken", "--at", "10:40")
    assert "\nS2: 2 more, 1 taken of 2. " in found.output
    assert " One beyond that lacks leek " in found.output


def test_day__a_page_with_the_log_as_it_stands(folder: Path) -> None:
    """One take is logged and one taken back: the page has the one that stands, and gives it out."""
    for words in (("S2", "taken"), ("S2", "taken")):
        typed("log", *words, "--at", "10:40")
    typed("log", "--undo")
    found = typed("day", "--html", "day.html", "--at", "10:50")
    assert found.exit_code == 0, found.output
    assert found.output == "Written: day.html. Open it on a phone; it needs no network.\n"
    text = (folder / "day.html").read_text()
    assert text.count('"S2", "taken"') == 1
    assert '"file": "plan day log.csv"' in text
    assert 'id="give"' in text


def test_day__a_page_to_fill_in_by_hand(folder: Path) -> None:
    found = typed("day", "--paper", "log.html")
    assert (found.exit_code, found.output) == (
        0,
        "Written: log.html. Print it; what is written there can be typed into the log.\n",
    )
    assert "Bowls: milk jug." in (folder / "log.html").read_text()
    both = typed("day", "--paper", "log.html", "--html", "day.html", "--at", "10:50").output
    assert [one.split(".")[0] for one in both.splitlines()] == ["Written: log", "Written: day"]
    assert typed("day", "--paper", "log.txt").exit_code == 2
    assert typed("day", "--html", "day.txt").exit_code == 2
    assert typed("day", "--html", "day.html", "--at", "noon").exit_code == 2
    assert lines(folder) == []


def test_day__is_served_where_the_parts_for_it_are(
    folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Without the server's package the command says what to install, and the other way."""
    monkeypatch.setitem(sys.modules, "waitress", None)
    found = typed("day")
    assert found.exit_code == 2
    assert 'pip install "costing[day]"' in found.output
    assert "costing day --html day.html" in found.output


@pytest.mark.parametrize("on_the_day", [False, True], ids=["sheet Counted", "day log"])
def test_left__says_of_which_shots_a_count_cannot_be_read(
    folder: Path, *, on_the_day: bool
) -> None:
    """A count in no unit leaves the takes as they were: each shot that takes of it says so."""
    untold = "The last count of leek cannot be read and does not count."
    cannot = typed("left").output
    assert untold not in cannot
    if on_the_day:
        line = "2031-05-10 10:50,leek,counted,,1 cupz,"
        (folder / LOG).write_text(f"{HEAD}\n{line}\n")
    else:
        book = good_workbook()
        book.create_sheet("Counted").append(["Ingredient", "Amount", "Unit"])
        book["Counted"].append(["leek", 1, "cupz"])
        book.save(folder / "plan.xlsx")
    found = typed("left").output
    assert " ".join(found.split()).count(untold) == 2
    assert "cupz" in found.split("Prices are of")[1]
    if on_the_day:  # a later one that can be read takes its place
        typed("log", "leek", "counted", "2 kg", "--at", "10:55")
        assert untold not in " ".join(typed("left").output.split())
