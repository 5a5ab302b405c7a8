"""The served page of the day in a browser, with its own policy: out of reach, and sent later.

The server is stopped and started again on its port while a browser that is driven from outside has
the page open. Taps are those of the buttons; what is looked at is the day log beside the workbook.
"""

from __future__ import annotations

import json
import threading
import time
from collections.abc import Iterable, Iterator
from datetime import datetime
from pathlib import Path
from socketserver import ThreadingMixIn
from typing import Any
from wsgiref.simple_server import WSGIRequestHandler, WSGIServer, make_server
from zoneinfo import ZoneInfo

import pytest
from browser import LONGEST, Driven, in_browser
from good_workbook import good_workbook

from costing.day.server import DayServer

SECRET = "a-secret-of-the-test"
NOW = datetime(2031, 5, 10, 10, 45, tzinfo=ZoneInfo("Europe/Lisbon"))
SOONER = "const later = setInterval; setInterval = (act, wait) => later(act, wait / 50);"
"""What the page does every 15 seconds it does every 300 milliseconds."""


class _Threaded(ThreadingMixIn, WSGIServer):
    """A thread for each connection, as a browser keeps some open without asking anything."""

    daemon_threads = True


class _Quiet(WSGIRequestHandler):
    def log_message(self, *_: Any) -> None:
        """Say nothing."""


class Reach:
    """A server that can be put out of reach, and whose answers can be lost.

    Parameters
    ----------
    path : Path
        The workbook.
    """

    def __init__(self, path: Path) -> None:
        self.log = path.with_name(f"{path.stem} day log.csv")
        self.answers_lost, self.lost = False, 0
        self._serves = DayServer(path, SECRET, clock=lambda _: NOW)
        self._port = 0
        self.up()

    @property
    def address(self) -> str:
        """Of the page."""
        return f"http://127.0.0.1:{self._port}/{SECRET}/"

    def up(self) -> None:
        """In reach, on the port of before."""
        self._server = make_server("127.0.0.1", self._port, self._answer, _Threaded, _Quiet)
        self._port = self._server.server_port
        threading.Thread(target=self._server.serve_forever, args=(0.05,), daemon=True).start()

    def down(self) -> None:
        """Out of reach: nothing answers at the port."""
        self._server.shutdown()
        self._server.server_close()

    def _answer(self, environ: dict[str, Any], respond: Any) -> Iterable[bytes]:
        """The server's own answer; or, when it gets lost on the way, after all was written."""
        if not self.answers_lost or environ["REQUEST_METHOD"] != "POST":
            return self._serves(environ, respond)
        list(self._serves(environ, lambda *_: None))
        self.lost += 1
        respond("502 Bad Gateway", [])
        return []

    def wait_for_lost(self, answers: int) -> None:
        """Wait until so many answers were lost."""
        until = time.monotonic() + LONGEST
        while self.lost < answers:
            assert time.monotonic() < until
            time.sleep(0.05)

    def lines(self) -> list[list[str]]:
        """What and event of the lines of the log."""
        text = self.log.read_text() if self.log.exists() else ""
        return [line.split(",")[1:3] for line in text.splitlines()[1:]]

    def wait_for(self, lines: list[list[str]]) -> None:
        """Wait until these are the lines of the log."""
        until = time.monotonic() + LONGEST
        while self.lines() != lines and time.monotonic() < until:
            time.sleep(0.05)
        assert self.lines() == lines


@pytest.fixture
def reach(tmp_path: Path) -> Iterator[Reach]:
    """A server of the good workbook."""
    good_workbook().save(tmp_path / "plan.xlsx")
    server = Reach(tmp_path / "plan.xlsx")
    yield server
    server.down()


@pytest.fixture
def browser(tmp_path: Path) -> Iterator[Driven]:
    """A browser for which what is done later is done sooner."""
    with Driven(tmp_path) as driven:
        driven.before_every_page(SOONER)
        yield driven


def tap(browser: Driven, about: str) -> None:
    """Tap a button by what it does."""
    name = json.dumps(about)
    browser.run(
        f"[...document.querySelectorAll('button')].find(b => b.dataset.act === {name}).click()"
    )


def wait_until_said(browser: Driven, words: str) -> None:
    """Wait until the page says these words at its foot, and nothing else."""
    browser.wait_for(f"document.getElementById('said').textContent === {json.dumps(words)}")


def wait_for_left(browser: Driven, shot: str, takes: str) -> None:
    """Wait until the page says how many takes are left of a shot."""
    card = f"[...document.querySelectorAll('#shots li')].find(c => c.innerText.includes('{shot}'))"
    browser.wait_for(f"{card}.querySelector('.figure span').textContent === {json.dumps(takes)}")


AWAY = "document.getElementById('said').textContent.startsWith('Out of reach')"
KEPT = "Object.values(localStorage).flatMap(text => JSON.parse(text)).length"


@in_browser
def test_served_page__taps_out_of_reach_are_kept_and_sent_later(
    reach: Reach, browser: Driven
) -> None:
    """Three of S2 are provided for: one is taken in reach, one out of it, one is taken back."""
    browser.open(reach.address)
    wait_for_left(browser, "S2", "3")
    tap(browser, "S2 / Taken")
    reach.wait_for([["S2", "taken"]])
    browser.wait_for(f"{KEPT} === 0")
    wait_for_left(browser, "S2", "2")
    reach.down()
    tap(browser, "S2 / Taken")
    browser.wait_for(AWAY)
    wait_for_left(browser, "S2", "1")
    tap(browser, "milk jug / Gone")
    browser.wait_for(f"{KEPT} === 2")
    browser.run("document.getElementById('undo').click()")
    browser.wait_for(f"{KEPT} === 3")
    wait_until_said(browser, "Out of reach: 3 kept here, to be sent later.")
    assert reach.lines() == [["S2", "taken"]]
    reach.up()
    everything = [["S2", "taken"]] * 2 + [["milk jug", "discarded"], ["milk jug", "undone"]]
    reach.wait_for(everything)
    wait_until_said(browser, "Sent: 3 that were kept here.")
    browser.wait_for(f"{KEPT} === 0")
    wait_for_left(browser, "S2", "1")
    time.sleep(1)  # three more rounds of the page
    assert reach.lines() == everything


@in_browser
def test_served_page__taps_of_one_second_all_count(reach: Reach, browser: Driven) -> None:
    """No two have one time, though the first is sent before the next: each is a line."""
    browser.open(reach.address)
    for number in range(1, 4):
        tap(browser, "S2 / Taken")
        reach.wait_for([["S2", "taken"]] * number)
        browser.wait_for(f"{KEPT} === 0")


@in_browser
def test_served_page__kept_taps_outlast_a_page_that_is_loaded_again(
    reach: Reach, browser: Driven
) -> None:
    """The page is left while nothing answers; opened again, it sends what it kept."""
    browser.open(reach.address)
    reach.down()
    tap(browser, "S2 / Taken")
    tap(browser, "S2 / Spoiled")
    browser.wait_for(AWAY)
    reach.up()
    browser.open(reach.address)
    reach.wait_for([["S2", "taken"], ["S2", "spoiled"]])
    browser.wait_for(f"{KEPT} === 0")
    wait_for_left(browser, "S2", "1")
    browser.run("document.getElementById('undo').click()")  # the last of the log, not of this page
    reach.wait_for([["S2", "taken"], ["S2", "spoiled"], ["S2", "undone"]])
    browser.wait_for(f"{KEPT} === 0")
    wait_for_left(browser, "S2", "2")


@in_browser
def test_served_page__what_was_written_and_not_answered_counts_once(
    reach: Reach, browser: Driven
) -> None:
    """The answers get lost on their way: the page sends again and again, the log has one line."""
    reach.answers_lost = True
    browser.open(reach.address)
    tap(browser, "S2 / Taken")
    browser.wait_for(AWAY)
    reach.wait_for_lost(3)
    assert browser.run(KEPT) == 1
    assert reach.lines() == [["S2", "taken"]]
    reach.answers_lost = False
    browser.wait_for(f"{KEPT} === 0")
    assert reach.lines() == [["S2", "taken"]]
    wait_for_left(browser, "S2", "2")
