"""Pages looked at, and driven, in a browser of this machine: Chromium, and the rules of axe-core.

Both are looked for (``CHROMIUM``, ``AXE``); tests are left out where they are not there. A page's
own policy forbids any script but its own: what a browser is told to do from outside, and axe, run
beside it. One window (the fixture ``window``) is enough for all pages that are only looked at.
"""

from __future__ import annotations

import json
import os
import re
import select
import shutil
import subprocess
import time
from pathlib import Path
from typing import Any

import pytest
from tree_files import TREE

CHROMIUM = os.environ.get("CHROMIUM") or shutil.which("chromium") or ""
AXE = Path(os.environ.get("AXE") or TREE / "node_modules" / "axe-core" / "axe.min.js")
FLAGS = (
    *("--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run"),
    *("--disable-background-networking", "--disable-component-update", "--disable-sync"),
)
SIZES = {"phone": (500, 900), "desktop": (1280, 900)}
"""Width and height of the window. [pixels]"""

NARROW = 320
"""Width at which nothing may need scrolling to the side, guideline 1.4.10. [pixels]"""

STYLES = {"light": "", "dark": "@media (prefers-color-scheme: dark)", "print": "@media print"}
"""What of a page is for each."""
LONGEST = 60
"""Seconds that a browser is waited for."""

in_browser = pytest.mark.skipif(not CHROMIUM, reason="no Chromium on this machine")
with_axe = pytest.mark.skipif(not AXE.is_file(), reason="no axe-core on this machine")

LOOK = """
axe.run(document, {resultTypes: ["violations", "passes"]}).then(function (found) {
  return {
    passes: found.passes.length,
    violations: found.violations.map(function (one) {
      return one.id + ": " + one.help + " (" + one.nodes.map(function (node) {
        return node.target.join(" ");
      }).join("; ") + ")";
    }),
    wide: document.documentElement.scrollWidth, window: innerWidth
  };
});
"""


def seen(
    window: Driven,
    page: str,
    folder: Path,
    *,
    size: tuple[int, int],
    styles: str = "light",
    first: str = "",
) -> Any:
    """What axe says of a page in a window of a size, after a script of the test's own."""
    window.show(page, folder, size=size, styles=styles)
    window.run(f"{first};{AXE.read_text(encoding='utf-8')}")
    return window.run(LOOK)


def width_where_narrow(window: Driven, page: str, folder: Path) -> int:
    """How wide a page is in a window of 320 pixels."""
    window.show(page, folder, size=(NARROW, 600))
    assert window.run("innerWidth") == NARROW
    wide: int = window.run("document.documentElement.scrollWidth")
    return wide


def with_scripts(page: str, scripts: str) -> str:
    """A page without its policy, and with scripts at its end."""
    return without_policy(page).replace("</body>", f"{scripts}</body>")


def without_policy(page: str) -> str:
    """A page that may be changed: its policy names its styles and scripts by what is in them."""
    return re.sub(r"<meta [^>]*Content-Security-Policy[^>]*>", "", page)


def browsed(path: Path, folder: Path, *flags: str) -> str:
    """What a browser prints of a file, with a profile of its own."""
    done = subprocess.run(  # noqa: S603 the browser of this machine
        [
            CHROMIUM,
            *FLAGS,
            f"--user-data-dir={folder / 'profile'}",
            "--virtual-time-budget=10000",
            *flags,
            path.as_uri(),
        ],
        capture_output=True,
        text=True,
        encoding="utf-8",
        timeout=LONGEST,
        check=True,
    )
    return done.stdout


class NotReady(AssertionError):
    """The page goes to another address, so that for a moment there is nothing to ask."""


class Driven:
    """A browser that is told what to do through two pipes, as a person would do it.

    Parameters
    ----------
    folder : Path
        For its profile: what pages keep in it stays from one browser to the next.
    """

    def __init__(self, folder: Path) -> None:
        (to_read, self._write), (self._read, to_write) = os.pipe(), os.pipe()
        flags = [*FLAGS, "--remote-debugging-pipe", f"--user-data-dir={folder / 'profile'}"]
        self._process = subprocess.Popen(  # noqa: S603 the browser of this machine
            [  # it talks through its pipes 3 and 4
                *("/bin/bash", "-c", f'exec "$0" "$@" 3<&{to_read} 4>&{to_write}', CHROMIUM),
                *(*flags, "--window-size=500,900", "about:blank"),
            ],
            pass_fds=(to_read, to_write),
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
        )
        os.close(to_read)
        os.close(to_write)
        self._answers = os.fdopen(self._read, "rb")
        self._asked, self._rest, self._session = 0, b"", ""
        page = self._told("Target.createTarget", url="about:blank")["targetId"]
        attached = self._told("Target.attachToTarget", targetId=page, flatten=True)
        self._session = attached["sessionId"]
        self._told("Page.enable")

    def __enter__(self) -> Driven:
        return self

    def __exit__(self, *_: object) -> None:
        self._session = ""
        try:
            self._told("Browser.close")
            self._process.wait(LONGEST)
        finally:
            self._process.kill()
            self._answers.close()
            os.close(self._write)

    def _told(self, method: str, **given: Any) -> Any:
        """What the browser answers to one request."""
        self._asked += 1
        asked = {"id": self._asked, "method": method, "params": given}
        if self._session:
            asked["sessionId"] = self._session
        os.write(self._write, json.dumps(asked).encode() + b"\0")
        while True:
            while b"\0" not in self._rest:
                heard, _, _ = select.select([self._read], [], [], LONGEST)
                assert heard, f"no answer to {method} in {LONGEST} seconds"
                more = os.read(self._read, 65_536)
                assert more, "the browser has ended"
                self._rest += more
            text, self._rest = self._rest.split(b"\0", 1)
            answer = json.loads(text)
            if answer.get("id") == self._asked:
                if "context" in str(answer.get("error", "")):
                    raise NotReady(answer)
                assert "error" not in answer, answer
                return answer["result"]

    def before_every_page(self, script: str) -> None:
        """Run a script in every page before its own."""
        self._told("Page.addScriptToEvaluateOnNewDocument", source=script)

    def show(
        self, page: str, folder: Path, *, size: tuple[int, int], styles: str = "light"
    ) -> None:
        """Show a page in a window of a size, by day, by night or in print."""
        assert STYLES[styles] in page
        self._told(
            "Emulation.setDeviceMetricsOverride",
            width=size[0],
            height=size[1],
            deviceScaleFactor=1,
            mobile=False,
        )
        dark = {"name": "prefers-color-scheme", "value": "dark" if styles == "dark" else "light"}
        medium = "print" if styles == "print" else "screen"
        self._told("Emulation.setEmulatedMedia", media=medium, features=[dark])
        path = folder / "page.html"
        path.write_text(page, encoding="utf-8")
        self.open(path.as_uri(), until="document.readyState === 'complete'")

    def open(self, address: str, *, until: str = "!!document.querySelector('h3')") -> None:
        """Open an address, or the one that is open once more, and wait for its page."""
        self._told("Page.navigate", url="about:blank")
        self._told("Page.navigate", url=address)
        self.wait_for(f"location.href === {json.dumps(address)} && {until}")

    def run(self, script: str) -> Any:
        """What a script gives that is run in the page."""
        done = self._told(
            "Runtime.evaluate", expression=script, returnByValue=True, awaitPromise=True
        )
        assert "exceptionDetails" not in done, done
        return done["result"].get("value")

    def wait_for(self, condition: str) -> None:
        """Wait until something is so in the page."""
        until = time.monotonic() + LONGEST
        while not self._is(condition):
            assert time.monotonic() < until, (condition, self.run("document.body.innerText"))
            time.sleep(0.05)

    def _is(self, condition: str) -> bool:
        """Whether something is so in the page, if there is one."""
        try:
            return bool(self.run(condition))
        except NotReady:
            return False
