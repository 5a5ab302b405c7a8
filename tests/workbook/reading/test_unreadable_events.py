"""A container stays in the list when its first event cannot be read, and the food pays for it."""

from __future__ import annotations

from datetime import date, datetime
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest
from by_hand import save_workbook_by_hand
from openpyxl import load_workbook

from costing.estimating import estimate
from costing.workbook.reading import read_workbook

HEADINGS = ["Container", "Holds", "Event", "When", "Temperature"]


def logged(folder: Path, *rows: list[object]) -> Path:
    """The pancake workbook with a holding log."""
    path = folder / "plan.xlsx"
    save_workbook_by_hand(path)
    book = load_workbook(path)
    days = book.create_sheet("Episodes")
    days.append(["Episode", "Shoot date"])
    days.append(["one", date(2031, 5, 10)])
    settings = book["Settings"]
    settings.append(["Time zone", "Europe/Lisbon"])
    settings.append(["Room temperature", "20 C"])
    log = book.create_sheet("Holding")
    for row in [HEADINGS, *rows]:
        log.append(row)
    book.save(path)
    return path


def test_holds__a_line_each_is_read_as_well(tmp_path: Path) -> None:
    """People press Alt and Enter in a cell where others write a semicolon."""
    path = logged(tmp_path, ["jug", "milk\negg; flour", "out", "08:00", "4 C"])
    shoot, _ = read_workbook(path)
    assert shoot.containers[0].holds == ("milk", "egg", "flour")


@pytest.mark.parametrize(
    ("first", "discard"),
    [
        (["jug", "milk", "out", "eightish", "4 C"], "02:00"),
        (["jug", "milk", "taken out", "08:00", "4 C"], "10:00"),
        (["jug", "milk", None, "08:00", "4 C"], "10:00"),
        (["jug", "milk", "out", None, "4 C"], "02:00"),
    ],
    ids=["time unreadable", "event unknown", "event blank", "time blank"],
)
def test_first_event_unreadable__counts_as_out_at_its_time_or_from_the_day_s_beginning(
    tmp_path: Path, first: list[object], discard: str
) -> None:
    """Two hours from 08:00 end at 10:00, from 00:00 at 02:00; a second bowl inside does not
    make it better.
    """
    path = logged(tmp_path, first, ["tray", "jug", "out", "11:30", "4 C"])
    shoot, findings = read_workbook(path)
    assert [finding.grade for finding in findings] == ["error"]
    result = estimate(shoot, datetime(2031, 5, 10, 11, 40))
    strictest = {v.container: v for v in result.verdicts if v.strictest}
    assert set(strictest) == {"jug", "tray"}
    for verdict in strictest.values():
        assert str(verdict.status) == "discard"
        assert verdict.discard_at is not None
        assert f"{verdict.discard_at:%H:%M}" == discard
    assert "contents unknown" not in {finding.code for finding in result.findings}


def test_event_of_a_shot__is_told_and_counts_as_out(tmp_path: Path) -> None:
    """Taken may be meant as taken out: two hours from 08:00 end at 10:00."""
    path = logged(tmp_path, ["jug", "milk", "taken", "08:00", "4 C"])
    shoot, findings = read_workbook(path)
    assert [finding.code for finding in findings] == ["event of a shot"]
    (verdict,) = [v for v in estimate(shoot, datetime(2031, 5, 10, 11)).verdicts if v.strictest]
    assert str(verdict.status) == "discard"
    assert verdict.discard_at == datetime(2031, 5, 10, 10, tzinfo=ZoneInfo("Europe/Lisbon"))


def test_no_time_is_readable__nothing_is_within_a_limit_at_a_made_up_instant(
    tmp_path: Path,
) -> None:
    """Last logged is nothing: the day's beginning, put in its place, is no instant to judge at."""
    path = logged(tmp_path, ["jug", "milk", "out", "eightish", "4 C"])
    shoot, _ = read_workbook(path)
    assert [left.what for left in shoot.left_out] == ['events of container "jug"']
    assert not estimate(shoot).verdicts
    # what another container tells of the time counts for this one: 15 hours since midnight
    path = logged(
        tmp_path,
        ["jug", "milk", "out", "eightish", "4 C"],
        ["tray", "milk", "out", "15:00", "4 C"],
    )
    verdicts = estimate(read_workbook(path)[0]).verdicts
    assert {v.container: str(v.status) for v in verdicts if v.strictest}["jug"] == "discard"
