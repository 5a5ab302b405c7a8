"""The page of the day served by this computer on its local network, until the command ends.

Whoever has the address, with its secret, sees the page and may add lines to the day log of this one
workbook. Nothing else is read or written: no path of a request names a file. A line that is in
the log in just the same words is not added again, so that taps which are sent twice count once.
"""

from __future__ import annotations

import hmac
import json
import re
import secrets
import socket
import time
from collections.abc import Callable, Iterable
from dataclasses import replace
from datetime import datetime
from pathlib import Path
from threading import Lock
from typing import Any

from costing.asked import Stop, now_there
from costing.day.lines import LogLine, UnknownName, line_of, page_of, write
from costing.names import key
from costing.report.day_page import day_page, day_state
from costing.shoot import Shoot
from costing.shoot.episodes import DayEvent
from costing.workbook.log_file import LogFault, day_log_beside
from costing.workbook.package.refusals import Refused
from costing.workbook.reading import read_workbook
from costing.workbook.reading.log_lines import LOG_EVENTS, standing_lines

LARGEST_BODY = 65_536
"""Of what a page sends at once. [bytes]"""

LONGEST_NAME = 1_000
"""What is longer is no name, and would be searched for among all that are known. [characters]"""

MOST_TAPS = 200
"""Taps taken in at once; a page that was out of reach for long sends the rest after them."""

_WHEN = "%Y-%m-%d %H:%M:%S"
_TEMPERATURE = re.compile(r"-?[0-9]{1,4}(\.[0-9]{1,3})? [CF]")

Respond = Callable[[str, list[tuple[str, str]]], Any]


class DayServer:
    """A WSGI application for one workbook.

    Parameters
    ----------
    secret : str
        First part of every address; any other finds nothing.
    clock : callable, optional
        Gives the present instant for a shoot; by default this computer's clock.
    """

    def __init__(
        self, path: Path, secret: str, *, clock: Callable[[Shoot], datetime] = now_there
    ) -> None:
        self.path = path
        self._secret = secret.encode()
        self._clock = clock
        self._lock = Lock()
        self._known: tuple[Any, tuple[Any, ...]] | None = None

    def __call__(self, environ: dict[str, Any], respond: Respond) -> Iterable[bytes]:
        """Answer one request; what is unknown, or goes wrong, is a plain refusal."""
        parts = str(environ.get("PATH_INFO", "")).split("/")
        # compared in the same time whatever fits, so that nobody can guess the secret letter by
        # letter
        known = len(parts) == 3 and hmac.compare_digest(
            parts[1].encode("utf-8", "replace"), self._secret
        )
        asked = environ.get("REQUEST_METHOD"), parts[2] if known else None
        try:
            if asked == ("GET", ""):
                page = day_page(*self._made())
                return _answer(respond, "200 OK", page, "text/html; charset=utf-8")
            if asked == ("GET", "state"):
                return _json(respond, {"day": self._state()})
            if asked == ("POST", "taps"):
                return self._taps(environ, respond)
        except (Stop, Refused, LogFault, OSError):
            return _answer(respond, "503 Service Unavailable", "The workbook cannot be read now.")
        return _answer(respond, "404 Not Found", "Nothing here.")

    def _made(self) -> tuple[Any, ...]:
        """The estimate, the log and the instant, worked out again for each new minute or file."""
        with self._lock:
            files = [_stamp(file) for file in (self.path, day_log_beside(self.path))]
            at = (files, int(time.time()) // 60)
            if self._known is None or self._known[0] != at:
                shoot, _ = read_workbook(self.path)
                now = self._clock(shoot)
                estimate, log = page_of(shoot, self.path, now)
                self._known = at, (estimate, replace(log, served=True), now)
            return self._known[1]

    def _state(self) -> dict[str, Any]:
        estimate, log, _ = self._made()
        return day_state(estimate, log)

    def _taps(self, environ: dict[str, Any], respond: Respond) -> Iterable[bytes]:
        """Take in the taps of a page; gives the log after that, and what was refused and why."""
        try:
            length = int(environ.get("CONTENT_LENGTH") or 0)
        except ValueError:
            length = -1
        if not 0 < length <= LARGEST_BODY:
            return _answer(respond, "413 Content Too Large", "Too much at once.")
        try:
            taps = json.loads(environ["wsgi.input"].read(length))
            lines = [_told(tap) for tap in taps]
        except (ValueError, TypeError, KeyError, RecursionError):
            return _answer(respond, "400 Bad Request", "No taps.")
        if len(lines) > MOST_TAPS:
            return _answer(respond, "413 Content Too Large", "Too much at once.")
        refused = []
        with self._lock:
            shoot, _ = read_workbook(self.path)
            for when, words in lines:
                try:
                    write(self.path, _line(words, shoot, self.path), when, once=True)
                except (UnknownName, Stop) as fault:
                    what, *told = words
                    said = {"when": when, "what": what, "event": " ".join(told)}
                    refused.append({**said, "why": str(fault)})
        return _json(respond, {"day": self._state(), "refused": refused})


def _told(tap: dict[str, Any]) -> tuple[str, list[str]]:
    """A tap as its time and its words."""
    when, what, event = (str(tap[name]) for name in ("when", "what", "event"))
    reading = str(tap.get("temperature") or "")
    if f"{datetime.fromisoformat(when):{_WHEN}}" != when:
        raise ValueError("no tap")
    if not what.strip() or len(what) > LONGEST_NAME:
        raise ValueError("no tap")
    if event not in list(LOG_EVENTS) or (reading and not _TEMPERATURE.fullmatch(reading)):
        raise ValueError("no tap")
    return when, [what, event, *([reading] if reading else [])]


def _stamp(file: Path) -> tuple[int, int] | None:
    """What changes with a file."""
    try:
        known = file.stat()
    except FileNotFoundError:
        return None
    return known.st_mtime_ns, known.st_size


def _line(words: list[str], shoot: Shoot, path: Path) -> LogLine:
    """The line of a tap, its name as the workbook spells it."""
    if words[1] != DayEvent.UNDONE:
        return line_of(words, shoot)
    standing, _ = standing_lines(day_log_beside(path))
    if not any(key(line.what) == key(words[0]) for line in standing):
        raise UnknownName(f'No line of "{words[0]}" in the day log still counts.')
    return LogLine(words[0], DayEvent.UNDONE)


def _json(respond: Respond, told: dict[str, Any]) -> Iterable[bytes]:
    text = json.dumps(told, ensure_ascii=False)
    return _answer(respond, "200 OK", text, "application/json; charset=utf-8")


def _answer(
    respond: Respond, status: str, text: str, kind: str = "text/plain; charset=utf-8"
) -> Iterable[bytes]:
    """An answer that no cache keeps and no other page embeds or learns the address from."""
    data = text.encode()
    headers = [
        ("Content-Type", kind),
        ("Content-Length", str(len(data))),
        ("Cache-Control", "no-store"),
        ("Referrer-Policy", "no-referrer"),
        ("X-Content-Type-Options", "nosniff"),
        ("X-Frame-Options", "DENY"),
    ]
    respond(status, headers)
    return [data]


def own_address() -> str:
    """Address of this computer on its local network; nothing is sent to find it."""
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
        try:
            probe.connect(("192.0.2.1", 9))  # an address of documentation, RFC 5737
            return str(probe.getsockname()[0])
        except OSError:
            return "127.0.0.1"


def serve(path: Path, *, host: str, port: int, say: Callable[[str], None]) -> None:
    """Serve the page until the command is ended.

    Parameters
    ----------
    host : str
        The address it is served at; blank: this computer's on its local network.
    port : int
        0: any that is free.
    say : callable
        Told the address, as text and as a code to scan.

    Raises
    ------
    Stop
        If the parts for serving are not installed, or the address cannot be used.
    """
    try:
        from waitress import create_server
    except ImportError:
        raise Stop(
            'Serving the page needs one more part: pip install "costing[day]". Or write it as one '
            "file: costing day --html day.html"
        ) from None
    secret = secrets.token_urlsafe(16)
    file = day_log_beside(path)
    try:
        server = create_server(
            DayServer(path, secret),
            host=host or own_address(),
            port=port,
            # a few phones at once: more would only wait for the lock
            threads=4,
            ident="",
            max_request_body_size=LARGEST_BODY,
            max_request_header_size=16_384,
            channel_timeout=30,
        )
    except OSError as fault:
        raise Stop(f"The page cannot be served at this address ({fault.strerror}).") from None
    address = f"http://{server.effective_host}:{server.effective_port}/{secret}/"
    for line in (*_code(address), address, f"Taps go into {file}. End with Ctrl+C."):
        say(line)
    try:
        server.run()
    finally:
        server.close()


def _code(address: str) -> Iterable[str]:
    """The address as a code to scan; nothing where the part for it is not installed."""
    try:
        import segno
    except ImportError:
        return []
    from io import StringIO

    out = StringIO()
    segno.make(address, micro=False).terminal(out=out, compact=True)
    return [out.getvalue()]
