"""The holding log as it is read: nothing that cannot be read makes a container look better."""

from __future__ import annotations

from datetime import UTC, date, datetime, time
from pathlib import Path

import pytest
from good_workbook import add, good_workbook, put, read

from costing.estimating import estimate
from costing.findings import Grade
from costing.holding.models import Eaten, EventKind
from costing.holding.statuses import Status


def test_containers__may_take_turns_in_the_log(tmp_path: Path) -> None:
    book = good_workbook()
    add("Holding", "cream", "milk; butter", "out", time(11), None, None)(book)
    add("Holding", "MILK  jug", None, "out", time(13), "9 C", None)(book)
    shoot, said = read(book, tmp_path)
    assert said == []
    jug, cream = shoot.containers
    assert (jug.name, [event.at.hour for event in jug.events]) == ("milk jug", [10, 12, 13])
    assert cream.holds == ("milk", "butter")


def test_when__a_bare_time_is_on_the_shoot_date_of_its_episode(tmp_path: Path) -> None:
    book = good_workbook()
    add("Episodes", "Cake", date(2031, 5, 11))(book)
    book["Holding"]["G1"], book["Holding"]["G3"] = "Episode", "cake"
    shoot, said = read(book, tmp_path)
    assert said == []
    assert [event.at.day for event in shoot.containers[0].events] == [11, 11]
    assert shoot.containers[0].episode == "cake"


def test_when__an_unknown_episode_has_no_date(tmp_path: Path) -> None:
    book = good_workbook()
    book["Holding"]["G1"], book["Holding"]["G2"] = "Episode", "Bread"
    _, said = read(book, tmp_path)
    assert [str(finding) for finding in said] == [
        'Holding!D2 (column "When"): found 10:05 (D2) and 12:20 (D3), and no shoot date that such '
        'a time is on, as the episode "Bread" has no row on the sheet Episodes, expected date and '
        "time, such as 2031-05-10 10:05, or a time on a known shoot date [date missing]\n"
        '  Write the date before the time, or mend "Bread" in Episode; until then such a time '
        "counts as unreadable."
    ]


def test_when__a_mark_without_a_day_is_told_where_the_event_has_one(tmp_path: Path) -> None:
    """Ten rows of one lack are one finding; the mark of an event with a date is told by itself."""
    book = good_workbook()
    put("Episodes!B2", None)(book)
    book["Holding"]["D2"], book["Holding"]["D3"] = "2031-05-10 10:05", None
    for number in range(4, 14):
        book["Holding"][f"C{number}"] = "reading"
        book["Holding"][f"D{number}"] = f"12:{number:02}"
        book["Holding"][f"E{number}"] = "4 C"
    _, said = read(book, tmp_path)
    told = [finding.found for finding in said if finding.code == "date missing"]
    assert [words.partition(", and no")[0] for words in told] == [
        "14:05",
        "12:04, 12:05, 12:06 and 7 more (rows 4 to 13)",
    ]


def test_when__an_instant_keeps_its_offset(tmp_path: Path) -> None:
    book = good_workbook()
    put("Holding!D3", "2031-05-10T11:20+00:00")(book)
    shoot, said = read(book, tmp_path)
    assert said == []
    assert shoot.containers[0].events[1].at == datetime(2031, 5, 10, 11, 20, tzinfo=UTC)


def test_event__one_that_cannot_be_read_counts_as_out_since_the_one_before(tmp_path: Path) -> None:
    """The bowl may not have gone back: it must not look as if it were in the refrigerator."""
    for address, value in (("Holding!D3", "noonish"), ("Holding!C3", "bakc")):
        book = good_workbook()
        put(address, value)(book)
        shoot, said = read(book, tmp_path)
        assert len(said) == 1
        assert [(event.kind, event.at.hour) for event in shoot.containers[0].events] == [
            (EventKind.OUT, 10),
            (EventKind.OUT, 10),
        ]


def test_event__when_no_day_is_known_no_rule_lets_the_container_pass(tmp_path: Path) -> None:
    """It has no events then, and stays in the table, as past its limit; its cells say why."""
    book = good_workbook()
    book["Holding"]["G1"], book["Holding"]["G2"] = "Episode", "Bread"
    shoot, _ = read(book, tmp_path)
    assert [(one.name, one.events) for one in shoot.containers] == [("milk jug", ())]
    assert [left.what for left in shoot.left_out] == ['events of container "milk jug"']
    told = estimate(shoot, at=datetime(2031, 5, 10, 12, tzinfo=UTC))
    assert {verdict.status for verdict in told.verdicts if verdict.strictest} == {
        Status.CANNOT_BE_USED
    }
    assert "container without times" not in {finding.code for finding in told.findings}


def test_temperature__without_its_unit_is_no_reading(tmp_path: Path) -> None:
    book = good_workbook()
    put("Holding!E3", 5)(book)
    shoot, said = read(book, tmp_path)
    assert [finding.code for finding in said] == ["temperature without unit"]
    assert shoot.containers[0].events[1].temperature is None


def test_said_once__the_earliest_mark_and_the_strictest_word_hold(tmp_path: Path) -> None:
    book = good_workbook()
    sheet = book["Holding"]
    sheet["F3"] = time(13, 30)
    sheet["G1"], sheet["G2"], sheet["G3"] = "Eaten", "never", "no"
    shoot, said = read(book, tmp_path)
    assert [finding.code for finding in said] == ["container marked twice"]
    assert shoot.containers[0].marked_until == datetime(2031, 5, 10, 13, 30)
    assert shoot.containers[0].eaten is Eaten.NO


def test_marked_twice__is_said_of_the_row_that_says_something_else(tmp_path: Path) -> None:
    """Row 3 says 14:05 as row 2 does, row 4 says 13:30."""
    book = good_workbook()
    put("Holding!F3", time(14, 5))(book)
    add("Holding", None, None, "out", time(13), "5 C", time(13, 30))(book)
    _, said = read(book, tmp_path)
    assert [(one.code, one.place.row) for one in said] == [("container marked twice", 4)]


def test_eaten__unreadable_counts_as_eaten(tmp_path: Path) -> None:
    book = good_workbook()
    book["Holding"]["G1"], book["Holding"]["G2"] = "Eaten", "nope"
    shoot, _ = read(book, tmp_path)
    assert shoot.containers[0].eaten is Eaten.YES


def test_holds__a_row_that_only_says_what_is_held_is_no_event(tmp_path: Path) -> None:
    book = good_workbook()
    add("Holding", None, "leek soup: step 2")(book)
    shoot, said = read(book, tmp_path)
    assert said == []
    assert shoot.containers[0].holds == ("milk", "leek soup: step 2")
    assert len(shoot.containers[0].events) == 2


@pytest.mark.parametrize(
    ("typed", "at"),
    [
        ("10.05", time(10, 5)),
        ("10h05", time(10, 5)),
        ("1005", time(10, 5)),
        ("905", time(9, 5)),
        ("11am", time(11)),
        ("11 p.m.", time(23)),
        ("11:30 am", time(11, 30)),
        ("11.30pm", time(23, 30)),
        ("11h", time(11)),
        (1005, time(10, 5)),
        (10.05, time(10, 5)),
        (22.45, time(22, 45)),
    ],
)
def test_when__is_read_as_people_type_it(tmp_path: Path, typed: object, at: time) -> None:
    book = good_workbook()
    put("Holding!D2", typed)(book)
    shoot, said = read(book, tmp_path)
    assert shoot.containers[0].events[0].at == datetime.combine(date(2031, 5, 10), at)
    assert said == []


@pytest.mark.parametrize("typed", ["10.5", "1075", "2505", "11", "13pm", 10.5, 11, 10.75, 2460])
def test_when__that_may_mean_several_things_is_none(tmp_path: Path, typed: object) -> None:
    """10.5 is what is left of 10.50, and half past ten to others."""
    book = good_workbook()
    put("Holding!D2", typed)(book)
    _, said = read(book, tmp_path)
    assert [f.place.cell for f in said if f.grade is Grade.ERROR] == ["D2"]


@pytest.mark.parametrize("iso_8601", [False, True])
@pytest.mark.parametrize("typed", [date(2031, 5, 13), "2031-05-13", "13 May 2031", "13.05.2031"])
def test_marked_until__a_date_is_the_end_of_that_day(
    tmp_path: Path, typed: date | str, iso_8601: bool
) -> None:
    """As food is date marked: the last day is a whole one, also where the file spells it out."""
    book = good_workbook()
    book.iso_dates = iso_8601
    put("Holding!F2", typed, "yyyy-mm-dd")(book)
    shoot, said = read(book, tmp_path)
    assert said == []
    assert shoot.containers[0].marked_until == datetime(2031, 5, 13, 23, 59)
