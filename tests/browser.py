"""Pages looked at, and driven, in a browser of this machine: Chromium, and the rules of axe-core.

Both are looked for (``CHROMIUM``, ``AXE``); tests are left out where they are not there. A page's
own policy forbids any script but its own: what axe looks at is a copy without it, and what a
browser is told to do from outside runs beside it.
"""

from __future__ import annotations

import html
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
"""Width and height of the window; a headless window is not narrower than 500. [pixels]"""

NARROW = 320
"""Width at which nothing may need scrolling to the side, guideline 1.4.10. [pixels]"""

STYLES = {
    "light": (),
    "dark": (("@media (prefers-color-scheme: dark)", "@media all"),),
    "print": (("@media print", "@media all"),),
}
LONGEST = 60
"""Seconds that a browser is waited for."""

in_browser = pytest.mark.skipif(not CHROMIUM, reason="no Chromium on this machine")
with_axe = pytest.mark.skipif(not AXE.is_file(), reason="no axe-core on this machine")

LOOK = """
axe.run(document, {resultTypes: ["violations", "passes"]}).then(function (found) {
  var told = document.createElement("pre");
  told.id = "axe";
  told.textContent = JSON.stringify({
    passes: found.passes.length,
    violations: found.violations.map(function (one) {
      return one.id + ": " + one.help + " (" + one.nodes.map(function (node) {
        return node.target.join(" ");
      }).join("; ") + ")";
    }),
    wide: document.documentElement.scrollWidth, window: innerWidth
  });
  document.body.appendChild(told);
});
"""


def seen(
    page: str, folder: Path, *, size: tuple[int, int], styles: str = "light", first: str = ""
) -> Any:
    """What axe says of a page in a window of a size, after a script of the test's own."""
    for old, new in STYLES[styles]:
        assert old in page
        page = page.replace(old, new)
    script = f"<script>{first}</script><script>{AXE.read_text(encoding='utf-8')}</script>"
    path = folder / "page.html"
    path.write_text(with_scripts(page, f"{script}<script>{LOOK}</script>"), encoding="utf-8")
    drawn = browsed(path, folder, "--dump-dom", f"--window-size={size[0]},{size[1]}")
    told = re.search(r'<pre id="axe">(.*?)</pre>', drawn, re.DOTALL)
    assert told is not None, drawn[-400:]
    return json.loads(html.unescape(told[1]))


def with_scripts(page: str, scripts: str) -> str:
    """A page without its policy, and with scripts at its end."""
    free = re.sub(r"<meta [^>]*Content-Security-Policy[^>]*>", "", page)
    return free.replace("</body>", f"{scripts}</body>")


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


def width_in_a_narrow_frame(page: str, folder: Path) -> int:
    """How wide a page is in a frame of 320 pixels, as no headless window is so narrow."""
    tell = "<script>parent.postMessage(document.documentElement.scrollWidth, '*')</script>"
    framed = html.escape(with_scripts(page, tell), quote=True)
    path = folder / "frame.html"
    path.write_text(
        "<!DOCTYPE html><script>addEventListener('message', function (told) {"
        "document.body.dataset.wide = told.data; });</script><body>"
        f'<iframe width="{NARROW}" height="600" style="border: 0" srcdoc="{framed}"></iframe>',
        encoding="utf-8",
    )
    told = re.search(r'data-wide="(\d+)"', browsed(path, folder, "--dump-dom"))
    assert told is not None
    return int(told[1])


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

    def open(self, address: str) -> None:
        """Open an address, or the one that is open once more, and wait for its page."""
        self._told("Page.navigate", url="about:blank")
        self._told("Page.navigate", url=address)
        self.wait_for(f"location.href === {json.dumps(address)} && !!document.querySelector('h3')")

    def run(self, script: str) -> Any:
        """What a script gives that is run in the page."""
        done = self._told("Runtime.evaluate", expression=script, returnByValue=True)
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
