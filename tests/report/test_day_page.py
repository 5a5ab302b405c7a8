"""The page of the day: what it holds, and what taps do to it in a browser."""

from __future__ import annotations

import hashlib
import json
import re
from base64 import b64encode
from dataclasses import replace
from datetime import datetime, timedelta
from html.parser import HTMLParser
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

import pytest
from browser import browsed, in_browser, with_scripts
from small import line, pack, shoot_of

from costing.estimating import estimate
from costing.holding.models import Container, Event
from costing.report.day_page import PAPER_ROWS, SCRIPT, STYLE, DayLog, day_page, paper_log
from costing.report.estimates import Estimate
from costing.shoot import Episode, Shot
from costing.shoot.episodes import Logged, Person
from costing.workbook.layout.records import DAY_LOG
from costing.workbook.log_file import taken_apart

UTC = ZoneInfo("UTC")
NOON = datetime(2031, 5, 10, 12, tzinfo=UTC)
LOG = DayLog("plan day log.csv", DAY_LOG.headings, (("11:00", "T1", "taken", "", "", ""),))


def since(now: datetime, hours: int) -> str:
    """So many hours before, as the log has it."""
    return f"{now - timedelta(hours=hours):%Y-%m-%d %H:%M}"


TOAST = (
    line("toast", "bread", "2 each"),
    Shot(dish="toast", name="T1", starts="11:00"),
)


def page(now: datetime = NOON, *rows: Any, title: str = "Toast </script> day") -> str:
    """The page of a toast with bread for six, one bowl out since an hour and one since two."""
    day = f"{now:%Y-%m-%d}"
    bowls = [
        Container(
            name=name,
            holds=["butter"],
            events=[
                Event(
                    kind="out",
                    at=since(now, hours),
                    temperature="4 C",
                )
            ],
        )
        for name, hours in (("new bowl", 1), ("old bowl", 2))
    ]
    shoot = shoot_of(
        line("toast", "bread", "2 each"),
        line("toast", "butter", "10 g"),
        pack("bread", "12 each", "1.80"),
        pack("butter", "250 g", "2.50"),
        Episode(name="Toast", shoot_date=day),
        Shot(dish="toast", name="T2", starts="11:30"),
        Shot(dish="toast", name="T1", times=2, starts="11:00"),
        *bowls,
        *rows,
        title=title,
        time_zone="UTC",
        holding_rules=["US-HOME-2H"],
        room_temperature="20 C",
    ).changed(people=[Person(name="camera", avoids=["milk"])])
    return day_page(estimate(shoot, now), LOG, now)


class Read(HTMLParser):
    """What a page holds: tags, ids, and what its elements link to."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.tags: list[str] = []
        self.given: list[dict[str, str | None]] = []
        self.feed(text)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Remember a tag with its attributes."""
        self.tags.append(tag)
        self.given.append(dict(attrs))


def state(text: str) -> dict[str, Any]:
    """What the script of a page works with."""
    found = re.search(r'<script type="application/json" id="day">(.*?)</script>', text, re.DOTALL)
    assert found is not None
    told: dict[str, Any] = json.loads(found[1])
    return told


def test_day_page__asks_nothing_of_any_network() -> None:
    """Nothing is linked but its own parts; the policy lets only its own script and style run."""
    read = Read(page())
    links = [v for given in read.given for k, v in given.items() if k in ("src", "href", "action")]
    assert links == ["#shots", "#bowls"]
    (policy,) = [g["content"] or "" for g in read.given if g.get("http-equiv")]
    for text in (SCRIPT, STYLE):
        digest = b64encode(hashlib.sha256(text.encode()).digest()).decode()
        assert f"'sha256-{digest}'" in policy
    assert policy.startswith("default-src 'none';")


def test_day_page__names_are_texts_and_nothing_else() -> None:
    text = page(title="<img src=x> </script><script>alert(1)</script>")
    assert "<img" not in text
    assert text.count("</script>") == 2
    assert Read(text).tags.count("script") == 2


@pytest.mark.parametrize(
    ("title", "shown"), [("Toast & jam", "The day: Toast &amp; jam"), ("", "The day")]
)
def test_day_page__begins_with_what_is_shot(title: str, shown: str) -> None:
    """Where a name goes from right to left so does its heading."""
    text = page(title=title)
    assert re.findall(r'<h1 dir="auto">([^<]+)</h1>', text) == [shown]
    assert f"<title>{shown}</title>" in text


def test_day_page__shots_in_running_order_with_what_is_left() -> None:
    """12 slices: T1 twice and T2 once are planned; 10 are for T1, 8 for T2 (see Takes left)."""
    shots = state(page())["shots"]
    assert [(one["starts"], one["name"], one["more"]) for one in shots] == [
        ("11:00", "T1", 5),
        ("11:30", "T2", 4),
    ]
    assert shots[0]["lacks"] == "bread 2"


def test_day_page__says_what_the_takes_left_leave_out() -> None:
    """Of spice in spoons and packs in grams it is not known how much a toast takes."""
    spice = line("toast", "zzspice", "2 tsp"), pack("zzspice", "20 g", "2.50")
    first = state(page(NOON, *spice))["shots"][0]
    said = "Leaves out zzspice: how much it takes is not known."
    assert (first["more"], first["leaves_out"]) == (5, [said])
    assert state(page())["shots"][0]["leaves_out"] == []


def test_day_page__food_that_stands_there_for_a_planned_take() -> None:
    """2 slices are there and three takes are planned: each has its food if no other is taken."""
    counted = Logged(what="bread", event="counted", when=NOON, amount="2 each")
    shots = state(page(NOON, counted))["shots"]
    assert [(one["name"], one["more"], one["stands"], one["others"]) for one in shots] == [
        ("T1", 0, 1, "no other is taken again"),
        ("T2", 0, 1, "no other is taken again"),
    ]


def test_day_page__bowls_with_their_strictest_rule() -> None:
    """Two hours by the general rule: the old bowl is past, the new one must be gone at 13:00."""
    new, old = state(page())["bowls"]
    assert (new["past"], new["rule"], new["by"]) == (
        False,
        "US-HOME-2H",
        int(datetime(2031, 5, 10, 13, tzinfo=UTC).timestamp() * 1000),
    )
    assert (old["past"], old["words"]) == (True, "discard, as logged")


def test_day_page__a_bowl_that_is_not_out_yet_says_so() -> None:
    out = Event(kind="out", at="2031-05-10 13:00", temperature="4 C")
    bowl = Container(name="bowl", holds=["butter"], events=[out])
    assert state(page(NOON, bowl))["bowls"][2]["words"] == (
        "not covered: Not out yet, as logged: its log continues at 2031-05-10 13:00 UTC, later "
        "than the instant asked about. If it is out already, treat it as past its limit and mend "
        "the time"
    )


@pytest.mark.parametrize(
    ("holds", "eaten", "words"),
    [
        (["butter"], "yes", "butter"),
        (["butter"], "no", "butter; not eaten"),
        (["butter", "bread"], "never", "butter; bread; not eaten"),
        ([], "yes", "what it holds is not said"),
    ],
)
def test_day_page__says_what_a_bowl_holds_and_that_it_is_not_eaten(
    holds: list[str], eaten: str, words: str
) -> None:
    bowl = Container(name="bowl", holds=holds, eaten=eaten)
    assert state(page(NOON, bowl))["bowls"][2]["holds"] == words


def test_day_page__a_bowl_in_control_has_the_time_of_its_limit_once_it_is_out() -> None:
    """Out for half an hour and back at 4 C: of the two hours an hour and a half is left."""
    events = [
        Event(kind=kind, at=f"2031-05-10 {at}", temperature="4 C")
        for kind, at in (("out", "10:00"), ("back", "10:30"))
    ]
    bowl = Container(name="kept bowl", holds=["butter"], events=events)
    kept = state(page(NOON, bowl))["bowls"][2]
    assert (kept["by"], kept["left"]) == (None, 90 * 60 * 1000)


def test_day_page__what_is_to_be_ready_next_is_said_once_and_not_when_it_is_past() -> None:
    """The first toast is taken at 11:00: at 10:30 what it takes is to come, at noon nothing is."""
    early, late = (page(NOON.replace(hour=h, minute=m)) for h, m in ((10, 30), (12, 0)))
    assert early.count("11:00 bread for toast") == 1
    assert "11:00 bread for toast" not in late
    assert "All that is timed was to be ready by 11:00." in late


def test_day_page__the_next_twelve_to_be_ready() -> None:
    names = [f"herb {number:02}" for number in range(1, 14)]
    shoot = shoot_of(
        *(line("toast", name, "1 g") for name in names),
        Episode(name="Toast", shoot_date="2031-05-10"),
        Shot(dish="toast", starts="13:00"),
        time_zone="UTC",
    )
    text = day_page(estimate(shoot, NOON), LOG, NOON)
    assert re.findall(r"13:00 (herb \d\d) for toast", text) == names[:12]


def test_day_page__what_is_to_be_ready_on_another_day_has_its_date() -> None:
    """The first toast is taken at 11:00 on 10 May: looked at on 9 May, and on 11 May."""
    toast = Episode(name="Toast", shoot_date="2031-05-10")
    before, after = (
        day_page(estimate(shoot_of(*TOAST, toast, time_zone="UTC"), now), LOG, now)
        for now in (NOON - timedelta(days=1), NOON + timedelta(days=1))
    )
    assert "2031-05-10 11:00 bread for toast" in before
    assert "All that is timed was to be ready by 2031-05-10 11:00." in after


@pytest.mark.parametrize("zone", ["Asia/Tokyo", "America/New_York"])
@pytest.mark.parametrize(("clock", "to_come"), [("10:30", True), ("11:00", True), ("11:30", False)])
def test_day_page__a_time_asked_about_is_that_of_the_shoot(
    zone: str, clock: str, *, to_come: bool
) -> None:
    """`--at 10:30` names no zone; the toast is taken at 11:00 of the place, wherever it is made."""
    now = datetime.fromisoformat(f"2031-05-10 {clock}")
    toast = shoot_of(*TOAST, Episode(name="Toast", shoot_date="2031-05-10"), time_zone=zone)
    assert ("11:00 bread for toast" in day_page(estimate(toast, now), LOG, now)) is to_come


def test_day_page__holds_cautions_who_eats_and_no_promise() -> None:
    text = page()
    assert "milk: butter" in text
    assert "when in doubt, throw it out" in text
    assert not re.search(r"\bis safe\b", text.replace("does not show that the food is safe", ""))


def test_day_state__another_log_or_plan_keeps_its_taps_apart() -> None:
    assert state(page())["mark"] == state(page(NOON + timedelta(minutes=5)))["mark"]
    more = page(NOON, Shot(dish="toast", name="T3"))
    assert state(page())["mark"] != state(more)["mark"]


DRIVER = """
(function () {
  function tap(about) {
    var found = Array.prototype.filter.call(document.querySelectorAll("button"), function (one) {
      return one.dataset.act === about;
    })[0];
    found.click();
  }
  function figure(name) {
    var item = Array.prototype.filter.call(document.querySelectorAll("li.card"), function (one) {
      var head = one.querySelector(".name");
      return head && head.textContent.replace(/^[0-9:]+ /, "") === name;
    })[0];
    return item.querySelector(".figure").textContent;
  }
  function bowls() {
    return Array.prototype.map.call(document.querySelectorAll("#bowls h3"), function (one) {
      return one.textContent;
    });
  }
  STEPS
  var result = document.createElement("pre");
  result.id = "result";
  result.textContent = JSON.stringify({
    t1: figure("T1"), t2: figure("T2"), bowls: bowls(),
    said: document.getElementById("said").textContent,
    heads: Array.prototype.map.call(document.querySelectorAll("#shots h3, #shots .eater"),
      function (one) { return one.textContent; }),
    lines: document.getElementById("lines").value, undo: document.getElementById("undo").disabled
  });
  document.body.appendChild(result);
})();
"""

TAPS = """
  tap("T1 / Taken");
  tap("T1 / Taken");
  tap("T2 / Spoiled");
  document.getElementById("undo").click();
  tap("new bowl / Back");
  document.getElementById("degrees").value = "-1,5";
  tap("new bowl / Cancel");
  tap("new bowl / Reading");
  document.getElementById("degrees").value = "7,5";
  document.querySelector("form").dispatchEvent(new Event("submit", { cancelable: true }));
  tap("old bowl / Gone");
"""


def driven(folder: Path, text: str, steps: str) -> dict[str, Any]:
    """What a page shows in a browser after some taps; the browser keeps what pages keep."""
    path = folder / "day.html"
    path.write_text(with_scripts(text, f"<script>{DRIVER.replace('STEPS', steps)}</script>"))
    shown = browsed(path, folder, "--dump-dom", "--window-size=390,844")
    found = re.search(r'<pre id="result">(.*?)</pre>', shown, re.DOTALL)
    assert found is not None, shown[-2000:]
    told: dict[str, Any] = json.loads(found[1].replace("&lt;", "<").replace("&amp;", "&"))
    return told


@in_browser
def test_day_page__taps_count_are_taken_back_and_stay(tmp_path: Path) -> None:
    """T1 twice, T2 spoiled and taken back, a reading, a bowl gone; then it is opened again."""
    now = datetime.now(UTC).replace(microsecond=0)
    text = page(now)
    first = driven(tmp_path, text, TAPS)
    assert first["t1"] == "3left"
    assert first["t2"] == "4left"
    assert first["bowls"] == ["new bowl", "old bowl"]  # what is gone stands last
    assert first["said"].startswith("old bowl: discarded at ")
    again = driven(tmp_path, text, "")
    assert {k: again[k] for k in ("t1", "t2", "bowls", "lines")} == {
        k: first[k] for k in ("t1", "t2", "bowls", "lines")
    }
    records = taken_apart(again["lines"].encode()).records
    assert records[0].cells == DAY_LOG.headings
    assert [record.cells[1:4] for record in records[1:]] == [
        ("T1", "taken", ""),
        ("T1", "taken", ""),
        ("T1", "taken", ""),
        ("T2", "spoiled", ""),
        ("T2", "undone", ""),
        ("new bowl", "reading", "7.5 C"),
        ("old bowl", "discarded", ""),
    ]
    whens = [record.cells[0] for record in records[2:]]
    assert whens == sorted(set(whens))  # no two taps have one time, so none counts twice


@in_browser
def test_day_page__an_episode_has_its_heading_once_and_an_eater_a_line(tmp_path: Path) -> None:
    day = f"{datetime.now(UTC):%Y-%m-%d}"
    bite = Shot(dish="toast", name="T3", purpose="bite", episode="Toast", eaters=["camera"])
    shown = driven(tmp_path, page(datetime.now(UTC).replace(microsecond=0), bite), "")
    assert shown["heads"] == [f"Toast, {day}", "camera avoids: milk: bread and butter."]


@in_browser
def test_day_page__more_than_planned_is_said_of_the_others(tmp_path: Path) -> None:
    """A third T1 goes beyond its plan: of T2 there are at most as many as were worked out."""
    now = datetime.now(UTC).replace(microsecond=0)
    found = driven(tmp_path, page(now), 'tap("T1 / Taken");' * 3)
    assert (found["t1"], found["t2"]) == ("2left", "4at most left")


USABLE = 297 - 2 * 12 - 2 * 4
"""Height of an A4 page inside its margins. [mm]"""


def done(shots: int = 2) -> Estimate:
    """A small shoot with a bowl and some shots."""
    rows = [Shot(dish="toast", name=f"T{number}") for number in range(shots)]
    bowl = Container(name="blue <bowl>", holds=["bread"])
    return estimate(shoot_of(line("toast", "bread", "2 each"), bowl, *rows, title="Toast"))


def test_paper_log__has_the_columns_of_the_log_and_the_names_of_the_day() -> None:
    page = paper_log(done(), DAY_LOG.headings)
    assert re.findall(r"<th [^>]*>([^<]+)</th>", page) == list(DAY_LOG.headings)
    assert "Bowls: blue &lt;bowl&gt;." in page
    assert "Shots: T0 (cook-through) and T1 (cook-through)." in page
    assert "when in doubt, throw it out" in page


def test_paper_log__says_what_a_shot_is_for_beside_a_name_that_does_not() -> None:
    shots = Shot(dish="a", name="S0", purpose="hero"), Shot(dish="b")
    rows = line("a", "bread", "1 each"), line("b", "bread", "1 each"), *shots
    page = paper_log(estimate(shoot_of(*rows)), DAY_LOG.headings)
    assert "Shots: S0 (hero) and b, cook-through." in page


def test_day_page__says_what_a_shot_is_of_beside_a_name_that_does_not() -> None:
    rows = (line("toast", "bread", "2 each"), Shot(dish="toast", name="T1", purpose="hero"))
    found = estimate(shoot_of(*rows, Shot(dish="toast", purpose="bite")))
    shots = state(day_page(found, LOG, NOON))["shots"]
    assert [(one["name"], one["of"]) for one in shots] == [
        ("T1", "hero, toast"),
        ("toast, bite", ""),
    ]


def test_paper_log__says_what_may_be_written() -> None:
    """The events of the contract, so that the log of a pencil can be typed in."""
    text = paper_log(done(), DAY_LOG.headings)
    words = "out, prep, back, cut, opened, cooked, reading, room, reheated, frozen, thawed, served"
    assert f"Events of a bowl: {words} or discarded; with the temperature of the food" in text
    assert "Of a shot: taken, spoiled, enough. Of an ingredient: counted" in text
    assert all(f"{word}: ____" in text for word in ("Date", "Kept by", "Sheet"))


@pytest.mark.parametrize("served", [True, False])
def test_day_page__says_where_taps_go(*, served: bool) -> None:
    """A page that is a file keeps them itself, and only then they are given out by hand."""
    found = done()
    text = day_page(found, replace(LOG, served=served), NOON)
    assert ("Taps go into plan day log.csv on the computer" in text) is served
    kept = "Taps are kept in this browser. Give them out as plan day log.csv"
    assert (kept in text) is not served
    assert ('id="give"' in text) is not served
    (lines,) = [given for given in Read(text).given if given.get("id") == "lines"]
    assert "readonly" in lines, "the lines of the log, to be copied"
    assert '<label for="lines">Its lines</label>' in text
    assert "only the workbook, with its readings, stops a clock" in text
    assert "costing holding --calendar limits.ics" in text


def test_paper_log__each_row_to_write_in_has_a_cell_for_each_column() -> None:
    table = paper_log(done(), DAY_LOG.headings).rpartition("<tbody>")[2]
    rows = table.split("</tr>")[:-1]
    assert [one.count("<td") for one in rows] == [len(DAY_LOG.headings)] * PAPER_ROWS


def test_paper_log__is_one_page() -> None:
    """22 lines of 7.6 mm and a head of 6 mm leave 91 mm of 265 for the words above and below."""
    page = paper_log(done(40), DAY_LOG.headings)
    assert page.count("<tr>") == PAPER_ROWS + 1
    assert "T13 (cook-through) and 26 more." in page
    (head,) = re.findall(r"\nth { height: ([\d.]+)mm", page)
    (row,) = re.findall(r"\ntd { height: ([\d.]+)mm", page)
    assert PAPER_ROWS * float(row) + float(head) < USABLE - 90


def test_paper_log__goes_with_the_log() -> None:
    with pytest.raises(ValueError, match="columns of the day log"):
        paper_log(done(), ("When", "What"))


def test_day_page__shots_of_a_day_come_before_those_of_none_and_early_before_late() -> None:
    """As planned: X of an episode without a date, then two days; of a day the first start first."""
    rows = (
        *(line("toast", "bread", "2 each"), pack("bread", "99 each", "1.80")),
        Episode(name="Some day"),
        Episode(name="Late", shoot_date="2031-05-12"),
        Episode(name="Soon", shoot_date="2031-05-10"),
        Shot(dish="toast", name="X", episode="Some day", starts="08:00"),
        Shot(dish="toast", name="L", episode="Late", starts="08:00"),
        Shot(dish="toast", name="S2", episode="Soon"),
        Shot(dish="toast", name="S1", episode="Soon", starts="11:00"),
    )
    found = estimate(shoot_of(*rows, time_zone="UTC"), NOON)
    told = state(day_page(found, LOG, NOON))
    assert [one["name"] for one in told["shots"]] == ["S1", "S2", "L", "X"]
    heads = [(one["episode"], one["name"]) for one in told["shots"]]
    assert heads == [
        ("Soon, 2031-05-10", "S1"),
        ("Soon, 2031-05-10", "S2"),
        ("Late, 2031-05-12", "L"),
        ("Some day", "X"),
    ]


def test_day_page__shots_of_an_episode_stand_together_under_its_name() -> None:
    """Two episodes of one day whose shots take turns: the one that begins first is first."""
    rows = (
        *(line("toast", "bread", "2 each"), pack("bread", "99 each", "1.80")),
        *(Episode(name=name, shoot_date="2031-05-10") for name in "AB"),
        Shot(dish="toast", name="A1", episode="A", starts="13:00"),
        Shot(dish="toast", name="B1", episode="B", starts="12:30"),
        Shot(dish="toast", name="B2", episode="B", starts="13:30"),
    )
    told = state(day_page(estimate(shoot_of(*rows, time_zone="UTC"), NOON), LOG, NOON))
    assert [(one["episode"], one["name"]) for one in told["shots"]] == [
        ("B, 2031-05-10", "B1"),
        ("B, 2031-05-10", "B2"),
        ("A, 2031-05-10", "A1"),
    ]


@pytest.mark.parametrize(
    ("eaters", "told"),
    [
        (["Ada"], ["Ada avoids: milk: butter."]),
        (["Bea"], []),
        (["Cy"], ["Cy unknown: What is avoided is not said."]),
        ([], ["Ada avoids: milk: butter.", "Cy unknown: What is avoided is not said."]),
    ],
)
def test_day_page__a_shot_says_who_of_its_eaters_avoids_what_is_in_it(
    eaters: list[str], told: list[str]
) -> None:
    """Where nobody is named anybody may eat of it; of a shot that nobody eats nothing is said."""
    people = [
        Person(name="Ada", avoids=["milk"]),
        Person(name="Bea", avoids=["fish"]),
        Person(name="Cy"),
    ]
    shoot = shoot_of(
        line("toast", "butter", "10 g"),
        Shot(dish="toast", name="T1", purpose="bite", eaten=True, eaters=eaters),
        Shot(dish="toast", name="T2"),
    ).changed(people=people)
    shots = state(day_page(estimate(shoot, NOON), LOG, NOON))["shots"]
    assert [one["eaters"] for one in shots] == [told, []]
