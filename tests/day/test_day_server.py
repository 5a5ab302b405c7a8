"""The page of the day served: what it lets in, what it reveals, what it never loses."""

from __future__ import annotations

import errno
import io
import json
import re
import signal
import socket
import subprocess
import sys
import threading
from collections import Counter
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from datetime import datetime
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

import pytest
from good_workbook import good_workbook

from costing.day.lines import page_of
from costing.day.server import DayServer, _code, own_address
from costing.shoot import Shoot

SECRET = "a-secret-of-the-test"
LOG = "plan day log.csv"
NOW = datetime(2031, 5, 10, 10, 45, tzinfo=ZoneInfo("Europe/Lisbon"))


@pytest.fixture
def server(tmp_path: Path) -> DayServer:
    """A server of the good workbook, at a quarter to eleven."""
    good_workbook().save(tmp_path / "plan.xlsx")
    (tmp_path / "private.txt").write_text("nobody's business")
    return DayServer(tmp_path / "plan.xlsx", SECRET, clock=lambda _: NOW)


def asked(
    server: DayServer, path: str, body: bytes | None = None, **more: str
) -> tuple[str, dict[str, str], bytes]:
    """Status, headers and body of an answer."""
    told: list[Any] = []
    environ = {
        "REQUEST_METHOD": "GET" if body is None else "POST",
        "PATH_INFO": path,
        "CONTENT_LENGTH": str(len(body or b"")),
        "wsgi.input": io.BytesIO(body or b""),
        **more,
    }
    data = b"".join(server(environ, lambda status, headers: told.extend((status, dict(headers)))))
    return told[0], told[1], data


def tap(what: str, event: str, second: int = 0, temperature: str = "") -> dict[str, str]:
    """A tap of a page."""
    when = f"2031-05-10 10:{second // 60:02}:{second % 60:02}"
    return {"when": when, "what": what, "event": event, "temperature": temperature}


def sent(server: DayServer, *taps: dict[str, str]) -> dict[str, Any]:
    """What a page is told when it sends taps."""
    status, _, data = asked(server, f"/{SECRET}/taps", json.dumps(taps).encode())
    assert status == "200 OK"
    told: dict[str, Any] = json.loads(data)
    return told


def lines(server: DayServer) -> list[str]:
    """The lines of the log below its headings."""
    path = server.path.with_name(LOG)
    return path.read_text().splitlines()[1:] if path.exists() else []


def test_day_server__the_page_and_what_follows_from_a_tap(server: DayServer) -> None:
    """A take of S2: two more of the three that were provided for; the page is told."""
    status, headers, data = asked(server, f"/{SECRET}/")
    assert status == "200 OK"
    assert "connect-src 'self'" in data.decode()
    assert headers["Cache-Control"] == "no-store"
    assert headers["Referrer-Policy"] == "no-referrer"
    told = sent(server, tap("s2", "taken"))
    assert lines(server) == ["2031-05-10 10:00:00,S2,taken,,,"]
    assert {one["name"]: one["more"] for one in told["day"]["shots"]}["S2"] == 2
    assert told["day"]["last"] == {"what": "S2", "event": "taken"}
    assert sent(server, tap("S2", "undone", 5))["day"]["last"] is None


def test_day_server__a_tap_sent_twice_counts_once(server: DayServer) -> None:
    taps = [tap("S2", "taken"), tap("milk jug", "reading", 1, "6.5 C")]
    sent(server, *taps)
    sent(server, *taps, tap("S2", "taken", 2))
    assert lines(server) == [
        "2031-05-10 10:00:00,S2,taken,,,",
        "2031-05-10 10:00:01,milk jug,reading,6.5 C,,",
        "2031-05-10 10:00:02,S2,taken,,,",
    ]


def test_day_server__what_is_no_name_is_told_and_the_rest_is_logged(server: DayServer) -> None:
    name = "S" * 1_000
    told = sent(
        server,
        *(tap("S9", "taken"), tap("S2", "taken", 1), tap("S1", "undone", 2), tap(name, "taken", 3)),
    )
    assert [one["what"] for one in told["refused"]] == ["S9", "S1", name]
    assert "there is no shot" in told["refused"][0]["why"]
    assert told["refused"][1] | {"why": ""} == {
        "when": "2031-05-10 10:00:02",
        "what": "S1",
        "event": "undone",
        "why": "",
    }, "what was to be logged, so that it can be written down"
    assert len(lines(server)) == 1


def test_day_server__a_reading_that_is_not_logged_is_told_with_its_degrees(
    server: DayServer,
) -> None:
    (refused,) = sent(server, tap("cream pot", "back", temperature="4 C"))["refused"]
    assert (refused["what"], refused["event"]) == ("cream pot", "back 4 C")


def test_day_server__what_is_taken_back_needs_one_line_of_its_name(server: DayServer) -> None:
    """A line of another name is no hindrance."""
    sent(server, tap("S1", "taken"), tap("S2", "taken", 1))
    assert sent(server, tap("S1", "undone", 2))["refused"] == []
    assert [line.split(",")[1:3] for line in lines(server)][2:] == [["S1", "undone"]]


def test_day_server__as_many_taps_as_are_taken_at_once(server: DayServer) -> None:
    """200 of the same moment, as a page sends again what it was not answered: one line."""
    told = sent(server, *[tap("S2", "taken")] * 200)
    assert (told["refused"], len(lines(server))) == ([], 1)


@pytest.mark.parametrize(
    "path",
    [
        *(
            "/",
            "//",
            "/wrong/",
            f"/{SECRET}",
            f"/{SECRET}x/",
            f"/{SECRET[:-1]}/",
            "/state",
            "/taps",
        ),
        *(f"/{SECRET}/../private.txt", f"/{SECRET}/private.txt", f"/{SECRET}/plan.xlsx"),
        *(f"/{SECRET}/%2e%2e/private.txt", f"/{SECRET}//etc/passwd", f"/{SECRET}/{LOG}"),
        *("/\u00e9\u00e9/", "/" + "x" * 5000 + "/", f"/{SECRET}/state/", f"/{SECRET}/\x00"),
    ],
)
def test_day_server__nothing_else_is_there(server: DayServer, path: str) -> None:
    """Every other path has the same answer, whatever stands on the disk."""
    status, _, data = asked(server, path)
    assert (status, data) == ("404 Not Found", b"Nothing here.")
    status, _, data = asked(server, path, b"[]")
    assert (status, data) == ("404 Not Found", b"Nothing here.")
    assert lines(server) == []


@pytest.mark.parametrize(
    ("body", "status"),
    [
        (b"", "413"),
        (b"x" * 65_537, "413"),
        (b"x" * 65_536, "400"),
        (json.dumps([tap("S2", "taken", n) for n in range(201)]).encode(), "413"),
        (b"{", "400"),
        (b"[1]", "400"),
        (b'{"when": 1}', "400"),
        (b"[" * 20000, "400"),
        (json.dumps([tap("S2", "taken\n=1+1")]).encode(), "400"),
        (json.dumps([tap("S2", "taken") | {"when": "=1"}]).encode(), "400"),
        (json.dumps([tap("S2", "taken") | {"when": "2031-05-32 10:00:00"}]).encode(), "400"),
        (json.dumps([tap("S2", "taken") | {"when": "\u0662031-05-10 10:00:00"}]).encode(), "400"),
        (json.dumps([tap("milk jug", "reading", temperature="hot")]).encode(), "400"),
        (json.dumps([tap("", "taken")]).encode(), "400"),
        (json.dumps([tap("S" * 1_001, "taken")]).encode(), "400"),
        (b"\xff\xfe", "400"),
    ],
    ids=[
        *("nothing", "too long", "not too long", "too many", "torn", "no taps", "no list"),
        *("nested", "line end"),
        *("no time", "no day", "other digits", "no reading", "no name", "a long name", "no text"),
    ],
)
def test_day_server__bad_bodies_are_refused_and_write_nothing(
    server: DayServer, body: bytes, status: str
) -> None:
    before = {path.name: path.read_bytes() for path in server.path.parent.iterdir()}
    assert asked(server, f"/{SECRET}/taps", body)[0].startswith(status)
    assert {path.name: path.read_bytes() for path in server.path.parent.iterdir()} == before


def test_day_server__only_the_log_of_this_job_is_written(server: DayServer) -> None:
    folder = server.path.parent
    before = {path.name: path.read_bytes() for path in folder.iterdir()}
    sent(server, tap("S2", "taken"), tap("=cmd", "taken"), tap("../x", "taken"))
    after = {path.name: path.read_bytes() for path in folder.iterdir()}
    assert after.pop(LOG).count(b"\n") == 2
    assert after == before


def test_day_server__a_workbook_that_is_gone_is_a_plain_refusal(server: DayServer) -> None:
    server.path.unlink()
    status, _, data = asked(server, f"/{SECRET}/state")
    assert status.startswith("503")
    assert str(server.path.parent) not in data.decode()


def until_closed(served: Any) -> None:
    """Serve; a server that is closed while it waits says that its socket is gone."""
    with suppress(OSError):
        served.run()


@pytest.fixture
def running(server: DayServer) -> Iterator[tuple[DayServer, int]]:
    """The same on a free port of the loopback address."""
    import waitress

    served = waitress.create_server(server, host="127.0.0.1", port=0, threads=4, ident="")
    thread = threading.Thread(target=until_closed, args=(served,), daemon=True)
    thread.start()
    yield server, served.effective_port
    served.close()
    thread.join(timeout=5)


def posted(port: int, body: bytes) -> str:
    """Status line of an answer over a connection of its own."""
    head = (
        f"POST /{SECRET}/taps HTTP/1.1\r\nHost: x\r\nContent-Length: {len(body)}\r\n"
        "Connection: close\r\n\r\n"
    )
    with socket.create_connection(("127.0.0.1", port), timeout=60) as line:
        line.sendall(head.encode() + body)
        return line.recv(64).split(b"\r\n")[0].decode()


def test_day_server__phones_at_once_lose_nothing(running: tuple[DayServer, int]) -> None:
    """Ten phones with four taps each, every one sent twice: 40 lines, each once."""
    server, port = running
    said: list[str] = []

    def phone(number: int) -> None:
        taps = [tap("S2", "taken", 4 * number + at) for at in range(4)]
        said.extend(posted(port, json.dumps(taps).encode()) for _ in range(2))

    phones = [threading.Thread(target=phone, args=(number,)) for number in range(10)]
    for one in phones:
        one.start()
    for one in phones:
        one.join()
    assert Counter(said) == {"HTTP/1.1 200 OK": 20}
    wanted = [f"2031-05-10 10:{n // 60:02}:{n % 60:02},S2,taken,,," for n in range(40)]
    assert Counter(lines(server)) == Counter(wanted)


def test_day_server__the_plan_is_worked_out_once_a_minute_and_after_each_tap(
    server: DayServer, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A phone asks every few seconds: the same answer is not worked out for each of them."""
    worked: list[Path] = []

    def counted(shoot: Shoot, path: Path, now: datetime) -> Any:
        worked.append(path)
        return page_of(shoot, path, now)

    seconds = [0.0]
    monkeypatch.setattr("costing.day.server.page_of", counted)
    monkeypatch.setattr("costing.day.server.time.time", lambda: seconds[0])
    for second, times in ((600, 1), (601, 1), (659.9, 1), (660, 2)):
        seconds[0] = second
        asked(server, f"/{SECRET}/state")
        assert len(worked) == times
    sent(server, tap("S2", "taken"))
    asked(server, f"/{SECRET}/state")
    assert len(worked) == 3


@pytest.mark.parametrize("length", ["many", "", "-1"])
def test_day_server__a_length_that_is_none_is_refused(server: DayServer, length: str) -> None:
    body = json.dumps([tap("S2", "taken")]).encode()
    status, _, _ = asked(server, f"/{SECRET}/taps", body, CONTENT_LENGTH=length)
    assert status == "413 Content Too Large"
    assert lines(server) == []


def test_own_address__without_a_network_is_this_computer_alone(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    class Unreached(socket.socket):
        """A socket of a computer that is in no network."""

        def connect(self, address: Any) -> None:
            """Fail, as where there is no way to any address."""
            raise OSError(errno.ENETUNREACH, f"no way to {address}")

    monkeypatch.setattr(socket, "socket", Unreached)
    assert own_address() == "127.0.0.1"


def test_code__fits_a_terminal() -> None:
    """Of 80 columns and 24 lines, with the address below it."""
    (code,) = _code("http://192.168.100.100:65535/0123456789012345678901/")
    lines = code.splitlines()
    assert len(lines) < 24
    assert max(len(re.sub(r"\x1b\[[0-9;]*m", "", one)) for one in lines) <= 80


def test_own_address__is_one_of_this_computer() -> None:
    """Nothing is sent to find it; a socket can be bound to it."""
    with socket.socket() as probe:
        probe.bind((own_address(), 0))
        assert probe.getsockname()[1] > 0


@contextmanager
def started(command: list[str]) -> Iterator[subprocess.Popen[str]]:
    """A command that Ctrl+C can end, ended in any case.

    Where tests run in the background the signal is ignored, and so it is by what they start.
    """
    kept = signal.signal(signal.SIGINT, signal.default_int_handler)
    with subprocess.Popen(command, stdout=subprocess.PIPE, text=True) as running:  # noqa: S603
        signal.signal(signal.SIGINT, kept)
        try:
            yield running
        finally:
            running.kill()


def test_serve__the_address_is_open_until_the_command_is_ended(server: DayServer) -> None:
    """The address is printed, answers, and is closed by Ctrl+C, with the exit code 0."""
    command = [sys.executable, "-m", "costing", "day", str(server.path), "--host", "127.0.0.1"]
    with started(command) as running:
        assert running.stdout is not None
        address = next(line.strip() for line in running.stdout if line.startswith("http://"))
        _, _, host, secret, _ = address.split("/")
        name, port = host.split(":")
        assert name == "127.0.0.1"
        with socket.create_connection((name, int(port)), timeout=30) as line:
            line.sendall(f"GET /{secret}/state HTTP/1.0\r\n\r\n".encode())
            assert line.recv(64).startswith(b"HTTP/1.0 200 OK")
        running.send_signal(signal.SIGINT)
        assert running.wait(timeout=30) == 0
    assert len(secret) == 22, "128 bits, six a letter"
    with pytest.raises(OSError, match="refused"):
        socket.create_connection((name, int(port)), timeout=5)
