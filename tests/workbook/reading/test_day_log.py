"""The day log read with its workbook: events for containers, takes, counts, what is wrong."""

from __future__ import annotations

from datetime import datetime, time
from pathlib import Path

import pytest
from budgets import examples
from good_workbook import good_workbook, read
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from costing.estimating import estimate
from costing.shoot import Shoot
from costing.workbook.reading import read_workbook
from costing.workbook.reading.log_lines import standing_lines

HEAD = "When,What,Event,Temperature,Amount,Note\n"
NAME = "'plan day log.csv'"


def with_log(folder: Path, text: str | bytes) -> tuple[Shoot, list[str]]:
    """The good workbook with a log beside it, and what is said of both."""
    data = text.encode() if isinstance(text, str) else text
    (folder / "plan day log.csv").write_bytes(data)
    shoot, findings = read(good_workbook(), folder)
    return shoot, [str(finding) for finding in findings]


def events(shoot: Shoot) -> list[str]:
    """The events of the jug: kind, time and reading."""
    return [
        " ".join(filter(None, (e.kind, f"{e.at:%H:%M}", str(e.temperature or ""))))
        for e in shoot.containers[0].events
    ]


SHEET = ["out 10:05 4 °C", "back 12:20 5 °C"]
"""What the sheet Holding of the good workbook tells of the jug."""


def test_day_log__is_read_with_holding_and_shoot_plan(tmp_path: Path) -> None:
    """The sheet has out 10:05 and back 12:20; the log goes between and behind."""
    shoot, said = with_log(
        tmp_path,
        HEAD + "2031-05-10 12:30,Milk  jug,out,4C,,\n11:00,milk jug,reading,6 C,,\n"
        "10:40,S2,taken,,,again\n10:41,s2,spoiled,,,\n12:00,leek,counted,,900 g,\n",
    )
    assert said == []
    assert events(shoot) == [SHEET[0], "reading 11:00 6 °C", SHEET[1], "out 12:30 4 °C"]
    assert [(one.what, str(one.event), str(one.amount or "")) for one in shoot.day_log] == [
        ("S2", "taken", ""),
        ("s2", "spoiled", ""),
        ("leek", "counted", "900 g"),
    ]
    assert shoot.day_log[0].when == datetime(2031, 5, 10, 10, 40)


def test_day_log__lines_with_a_date_may_come_late(tmp_path: Path) -> None:
    """A phone that was out of reach sends later: by the clock it is no disorder."""
    day = "2031-05-10 "
    shoot, said = with_log(
        tmp_path, HEAD + f"{day}13:00,milk jug,back,4 C,,\n{day}12:30,milk jug,out,4 C,,\n"
    )
    assert said == []
    assert events(shoot) == [*SHEET, "out 12:30 4 °C", "back 13:00 4 °C"]


def test_day_log__times_alone_keep_their_order(tmp_path: Path) -> None:
    """23:50 and then 00:30 without a date may be a night shoot: told, and judged both ways."""
    shoot, _ = with_log(tmp_path, HEAD + "23:50,milk jug,out,4 C,,\n00:30,milk jug,back,4 C,,\n")
    assert events(shoot) == [*SHEET, "out 23:50 4 °C", "back 00:30 4 °C"]
    codes = [finding.code for finding in estimate(shoot).findings]
    assert "time before the last" in codes


@pytest.mark.parametrize(
    "text",
    [
        "What;Note;Event;When;Temperature\r\nmilk jug;;out;12:30;4,5 C\r\n",
        "\ufeffWhen\tWhat\tEvent\tTemperature\n10.05.2031 12:30\tmilk jug\tOUT\t4,5 C\n",
        '"When","What","Event","Temperature","Who"\n"12:30","milk jug","out","4.5 C",""\n',
        "When | What | Event | Temperature\n12:30 | milk jug | out | 4,5 C\n",
    ],
    ids=[
        "other order and semicolons",
        "tabs, a mark and a dotted date",
        "quotes and own column",
        "upright strokes",
    ],
)
def test_day_log__whatever_wrote_it(tmp_path: Path, text: str) -> None:
    shoot, said = with_log(tmp_path, text)
    assert events(shoot) == [*SHEET, "out 12:30 4.5 °C"]
    assert said == []


def test_day_log__a_date_of_two_readings_is_that_of_the_shoot(tmp_path: Path) -> None:
    """10 May is the shoot, 11 May the day after; 3 April and 4 March are neither."""
    days = ("5/10/2031 12:30", "11/5/2031 00:10", "3/4/2031 12:50")
    rows = "".join(f"{day},milk jug,reading,4 C,,\n" for day in days)
    shoot, said = with_log(tmp_path, HEAD + rows)
    found = [f"{e.at:%m-%d %H:%M} {e.kind}" for e in shoot.containers[0].events[len(SHEET) :]]
    assert found == ["05-10 12:30 reading", "05-11 00:10 out", "05-11 00:10 reading"]
    told = [one.partition("(row")[2].partition("[")[2].splitlines() for one in said]
    assert told == [
        [
            "date by shoot date]",
            "  Read as 2031-05-10, as only that is a shoot date or the day before or after one. "
            "Write 2031-10-05 if that is meant.",
        ],
        [
            "date by shoot date]",
            "  Read as 2031-05-11, as only that is a shoot date or the day before or after one. "
            "Write 2031-11-05 if that is meant.",
        ],
        ["date ambiguous]", "  Write 2031-03-04 or 2031-04-03."],
    ]


WITHOUT_UNIT = (
    f'{NAME} row 3 (row "leek", column "Amount"): found "7", expected an amount with its unit, '
    "such as 1675 g [counted amount unreadable]\n"
    "  Write it so; what is wrong with it: it has no unit. Until "
    "then the line does not count."
)


def test_day_log__a_number_alone_counts_pieces(tmp_path: Path) -> None:
    """Potatoes are used and sold in pieces, leeks by weight."""
    shoot, said = with_log(tmp_path, HEAD + "12:00,potato,counted,,7,\n12:00,leek,counted,,7,\n")
    assert [str(one.amount) for one in shoot.day_log] == ["7 each"]
    assert said == [WITHOUT_UNIT]


def test_standing_lines__each_is_told_in_short_without_its_note(tmp_path: Path) -> None:
    log = tmp_path / "soup day log.csv"
    log.write_text(HEAD + "12:00,potato,counted,,7,half of them\n,milk jug,reading,4 C,,\n")
    assert [line.words for line in standing_lines(log)[0]] == [
        *("potato counted 7, 12:00", "milk jug reading 4 C")
    ]


def test_day_log__undone_takes_back_one_line(tmp_path: Path) -> None:
    """Two takes, one taken back; then a line that cannot be read, taken back with its finding."""
    shoot, said = with_log(
        tmp_path,
        HEAD + "10:40,S2,taken,,,\n10:50,S2,taken,,,\n10:51,S2,undone,,,\n"
        "10:55,milk jug,otu,,,\n10:56,milk jug,undone,,,\n",
    )
    assert said == []
    assert [f"{one.when:%H:%M}" for one in shoot.day_log if one.when] == ["10:40"]
    assert events(shoot) == SHEET


def test_day_log__what_cannot_be_read_of_a_container_counts_against_the_food(
    tmp_path: Path,
) -> None:
    """An event that is none, and a back whose time is unreadable: out, since what is known last."""
    shoot, _ = with_log(tmp_path, HEAD + "12:40,milk jug,otu,,,\nnoonish,milk jug,back,4 C,,\n")
    assert events(shoot) == [*SHEET, "out 12:20", "out 12:20"]


def test_day_log__a_workbook_without_one_is_read_as_ever(tmp_path: Path) -> None:
    shoot, _ = read(good_workbook(), tmp_path)
    assert shoot.day_log == ()
    assert events(shoot) == SHEET


LINES = {
    HEAD + ",S2,taken,,,\n": (
        f'{NAME} row 2 (row "S2", column "When"): found a blank cell beside what was taken or '
        "spoiled, expected a date and time such as 2031-05-10 10:05 [log take without a time]\n"
        "  Write when it was. The line counts all the same: the food is used."
    ),
    HEAD + "12:30,milk jag,out,4 C,,\n": (
        f'{NAME} row 2 (row "milk jag", column "What"): found "out" of "milk jag", which is no '
        'container of the sheet Holding, expected "milk jug" [log container unknown]\n'
        '  Write "milk jug" if that is meant, or add a row with Container and Holds to the sheet '
        "Holding. Until then the line counts for no container: treat the food it is about as past "
        "its limit."
    ),
    "12:30,milk jug,out,4 C\n": (
        f"{NAME} row 1: found a first line without headings, expected the line "
        '"When,What,Event,Temperature,Amount,Note" [log without headings]\n'
        "  Write it as the first line. Until then the cells of each line are read in this order."
    ),
    "When,What\n12:30,milk jug\n": (
        f"{NAME} row 1: found a line of headings without Event, expected When, What and Event "
        "among them [log headings missing]\n"
        "  Write what is missing, spelled so; until then no line below it is read: treat what "
        "they may say of a container as past its limit."
    ),
    "When,What,Event,Temprature\n12:30,milk jug,out,4 C\n": (
        f'{NAME} row 1: found the heading "Temprature", expected "Temperature", or a heading that '
        "is not nearly the same [heading nearly known]\n"
        '  Write "Temperature" if that is meant; a column of your own needs a heading that differs '
        "more. Until then results that depend on the column are left out."
    ),
    "When,What,Event,Temp,Amount,Note\n12:30,milk jug,out,4 C,,\n": (
        f'{NAME} row 1: found the heading "Temp", expected "Temperature", or a heading that is '
        "not nearly the same [heading nearly known]\n"
        '  Write "Temperature" if that is meant; a column of your own needs a heading that differs '
        "more. Until then results that depend on the column are left out."
    ),
    "When,What,Event,Temperature,Who\n12:30,milk jug,out,4 C,me\n": (
        f'{NAME} row 1: found the heading "Who", expected Amount or Note, or a column of your own '
        "[column not read]\n"
        "  The column was not read. If it is meant to count, write it as Amount or Note; leave it "
        "if it is your own."
    ),
    HEAD + "12:30,egs,counted,,3,\n": (
        f'{NAME} row 2 (row "egs", column "What"): found "egs" counted, which is no ingredient of '
        "the workbook, expected the name of an ingredient [log ingredient unknown]\n"
        "  Write the name as Recipes has it. Until then the count does not count."
    ),
    HEAD + "12:30,leek soup,counted,,3,\n": (
        f'{NAME} row 2 (row "leek soup", column "What"): found "leek soup" counted, a dish that '
        "goes into no other, expected the name of an ingredient, or of a dish that others take of "
        "[log counts a dish]\n"
        "  The takes that are left go by what it is made of: count that. Write what is left of it "
        "at the end on the sheet Counted. Until then the count does not count."
    ),
    HEAD + "12:30,leek,counted,,plenty,\n": (
        f'{NAME} row 2 (row "leek", column "Amount"): found "plenty", expected an amount with its '
        "unit, such as 1675 g [counted amount unreadable]\n"
        "  Write it so; what is wrong with it: it has no number. Until then the line does not "
        "count."
    ),
    HEAD + '12:30,milk jug,out,"4 C,,\n': (
        f"{NAME} row 2: found a line with a quotation mark that has no second one, expected cells "
        "without quotation marks, or each between two [log line torn]\n"
        "  Take the mark out; until then the line is read as if the mark were a letter."
    ),
    HEAD + "12:30,milk jug,out,4 C,,,more\n": (
        f'{NAME} row 2: found "more" behind the last column, expected at most 6 cells [log line '
        "too long]\n"
        "  A comma inside a cell, as in 4,5 C, needs quotation marks around the cell, or write "
        "4.5 C; until then what is behind the last column is not read."
    ),
    HEAD + "12:30,S2,taken,4 C,,\n": (
        f'{NAME} row 2 (row "S2", column "Temperature"): found "4 C" beside "taken", expected a '
        "blank here: a shot has none [log cell not used]\n"
        "  Take it out, or put it into the right column; it is not read."
    ),
    HEAD + "12:30,S2,undone,,,\n": (
        f'{NAME} row 2 (row "S2", column "What"): found "undone" of "S2", and no line of it above '
        "that still counts, expected a line above it of the same What [nothing to undo]\n"
        "  Write the name as it is in the line that is to be taken back, or take this line "
        "out."
    ),
    HEAD + "12:30,leek,counted,,,\n": (
        f'{NAME} row 2 (row "leek", column "Amount"): found no amount of leek in a line that says '
        "it was counted, expected what was there, such as 1675 g [counted amount missing]\n"
        "  Write the amount with its unit into Amount; until then the line does not count."
    ),
}


@pytest.mark.parametrize("text", LINES, ids=[m.split("[")[1][:12] for m in LINES.values()])
def test_day_log__messages(tmp_path: Path, text: str) -> None:
    assert LINES[text] in with_log(tmp_path, text)[1]


def test_day_log__a_number_alone_of_an_unknown_name_has_one_cause(tmp_path: Path) -> None:
    """Whether 3 needs a unit depends on what it is of: the name alone is told, once."""
    shoot, said = with_log(tmp_path, HEAD + "12:30,egs,counted,,3,\n")
    assert ["egs" in one for one in said] == [True]
    about = [f for f in estimate(shoot).findings if f.place.sheet == "plan day log.csv"]
    assert [f.code for f in about] == ["log ingredient unknown"]


def test_day_log__a_heading_is_told_though_its_first_line_is_taken_back(tmp_path: Path) -> None:
    """It is wrong for all lines below it, and not for the one that is undone."""
    text = "When,What,Event,Temprature\n12:30,milk jug,out,4 C\n12:31,milk jug,undone\n"
    told = with_log(tmp_path, f"{text}12:40,milk jug,out,5 C\n")[1]
    assert [one.partition(",")[0] for one in told] == [
        f'{NAME} row 1: found the heading "Temprature"'
    ]


TOO_LARGE = (
    f"{NAME}: found a file of more than 5000000 bytes, expected the day log as a text file with "
    "cells between commas [day log unreadable]\n"
    "  Mend the file, or give it another name; until then nothing of it counts: treat what it may "
    "say of a container as past its limit."
)


def test_day_log__a_file_too_large_is_told(tmp_path: Path) -> None:
    assert with_log(tmp_path, b"x" * 5_000_001)[1] == [TOO_LARGE]


MESSAGES = [*LINES.values(), TOO_LARGE, WITHOUT_UNIT]


NAMES = {
    "12:30,S9,taken,,,": (
        f'{NAME} row 2 (row "S9", column "What"): found "taken" of "S9", which is no shot of the '
        "Shoot plan, expected the name of a shot [log shot unknown]\n"
        "  Write the name as the Shoot plan has it. Until then the line counts for no shot, and "
        "the takes that are left leave it out."
    ),
    "12:30,leak,counted,,5 g,": (
        f'{NAME} row 2 (row "leak", column "What"): found "leak" counted, which is no ingredient '
        'of the workbook, expected "leek" [log ingredient unknown]\n'
        '  Write "leek" if that is meant. Until then the count does not count.'
    ),
}


@pytest.mark.parametrize("line", NAMES, ids=["shot", "ingredient"])
def test_day_log__names_the_shoot_does_not_have(tmp_path: Path, line: str) -> None:
    shoot, _ = with_log(tmp_path, HEAD + line + "\n")
    assert NAMES[line] in [str(finding) for finding in estimate(shoot).findings]


def test_day_log__a_number_in_the_plan_and_another_in_the_log(tmp_path: Path) -> None:
    """Three by the plan, one by the log: three, so that no food is promised twice."""
    shoot, _ = with_log(tmp_path, HEAD + "12:30,S2,taken,,,\n")
    shots = [shoot.shots[0], shoot.shots[1].model_copy(update={"taken": 3})]
    done = estimate(shoot.changed(shots=shots))
    assert (
        '\'Shoot plan\' row 3 (row "S2", column "Taken"): found Taken 3 of "S2", and 1 in the day '
        "log, expected the same number in both, or a blank Taken [taken logged otherwise]\n"
        "  3 counts, the larger, so that no food is promised twice. Clear Taken if the log is kept."
    ) in [str(finding) for finding in done.findings]
    assert done.tables()["takes_left"].rows[1]["taken"] == 3


def test_day_log__a_name_of_two_shots(tmp_path: Path) -> None:
    """Both episodes have an S1; the day of the line decides, else the episode before the name."""
    book = good_workbook()
    book["Shoot plan"].append(["S1", "Stew", "leek soup", "hero", None, None, 1])
    text = HEAD + "12:30,S1,taken,,,\n12:30,Stew: S1,taken,,,\n"
    (tmp_path / "plan day log.csv").write_text(text)
    shoot, _ = read(book, tmp_path)
    # the first line is on the day of Soup; of Stew no day is known
    assert [f.code for f in estimate(shoot).findings if "log" in f.code] == []
    bare = shoot.changed(day_log=[one.model_copy(update={"when": None}) for one in shoot.day_log])
    assert (
        f'{NAME} row 2 (row "S1", column "What"): found "taken" of "S1", a name of 2 shots, '
        "expected Soup: S1 or Stew: S1 [log shot unclear]\n"
        "  Name the shots apart in the column Shot, or write the episode before the name, as in "
        '"Soup: S1". Until then the line counts for none of them.'
    ) in [str(finding) for finding in estimate(bare).findings]


@settings(max_examples=examples(25), suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    st.lists(
        st.lists(
            st.sampled_from(
                (
                    *("10:40", "noon", "S2", "milk jug", "out", "taken", "counted", "undone"),
                    *("4 C", "5 g", "", '"', "=1", "9" * 40, "\ufffd", "When", "What", "Event"),
                )
            ),
            max_size=8,
        ),
        max_size=6,
    )
)
def test_day_log__any_lines_are_findings_and_never_a_fault(
    tmp_path: Path, lines: list[list[str]]
) -> None:
    """Law: whatever stands there is read or told with its line, and the estimate is made."""
    text = "\n".join(",".join(line) for line in lines)
    shoot, said = with_log(tmp_path, text)
    done = estimate(shoot)
    about = [f for f in done.findings if f.place.sheet == "plan day log.csv"]
    assert all(f.place.row is not None for f in about)
    assert all("Traceback" not in one for one in said)


def test_day_log__an_hour_that_clocks_show_twice(tmp_path: Path) -> None:
    """02:30 with its offset is one instant: no note that the clock shows it twice."""
    book = good_workbook()
    book["Settings"]["B5"] = "Europe/Berlin"
    text = HEAD + "2031-10-26 02:30:00+01:00,milk jug,out,4 C,,\n2031-10-26 02:30,milk jug,out,,,\n"
    (tmp_path / "plan day log.csv").write_text(text)
    shoot, _ = read(book, tmp_path)
    twice = [f for f in estimate(shoot).findings if f.code == "time twice on the clock"]
    assert [f.place.row for f in twice] == [3]
    assert time(2, 30) in {event.at.time() for event in shoot.containers[0].events}
    assert read_workbook(tmp_path / "plan.xlsx")[0] == shoot


def test_log_take_without_a_time__counts_and_says_so(tmp_path: Path) -> None:
    """Food that was used is used, whenever that was."""
    shoot, said = with_log(tmp_path, HEAD + ",S2,taken,,,\n25:00,S2,spoiled,,,\n")
    assert [(one.what, str(one.event), one.when) for one in shoot.day_log] == [
        ("S2", "taken", None),
        ("S2", "spoiled", None),
    ]
    assert "[log take without a time]" in said[0]
    assert "found the time 25:00" in said[1]
    assert len(said) == 2


@pytest.mark.parametrize(
    ("what", "events"),
    [("milk", "counted or undone"), ("S1", "taken, spoiled, enough or undone")],
    ids=["an ingredient", "a shot"],
)
def test_day_log__an_event_that_is_none_names_those_that_fit(
    tmp_path: Path, what: str, events: str
) -> None:
    _, said = with_log(tmp_path, f"{HEAD}2031-05-10 10:00,{what},wieghed,,,\n")
    assert said == [
        f'{NAME} row 2 (row "{what}", column "Event"): found the text "wieghed", expected '
        f"{events} [choice unknown]\n"
        "  Write one of the words that are offered there."
    ]
