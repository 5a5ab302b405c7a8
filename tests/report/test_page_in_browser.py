"""The page for a phone in a browser: nobody is shut out of it, at any size, by day, night or print.

The rules are those of axe-core, which checks the Web Content Accessibility Guidelines; Chromium
draws the page. Both are looked for on the machine (``CHROMIUM``, ``AXE``), and the tests are left
out where they are not. The page's own policy forbids any script but its own, so that a copy without
the policy is what axe looks at; the copies for night and print have those styles put on.
"""

from __future__ import annotations

import html
import json
import os
import re
import shutil
import subprocess
from pathlib import Path
from typing import Any

import pytest
from small import line, pack, shoot_of, sound
from tart import tart_shoot
from tree_files import TREE

from costing.estimating import estimate
from costing.shoot import Shot

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


def seen(page: str, folder: Path, *, size: tuple[int, int], styles: str = "light") -> Any:
    """What axe says of a page in a window of a size."""
    for old, new in STYLES[styles]:
        assert old in page
        page = page.replace(old, new)
    page = re.sub(r"<meta [^>]*Content-Security-Policy[^>]*>", "", page)
    script = f"<script>{AXE.read_text(encoding='utf-8')}</script><script>{LOOK}</script>"
    path = folder / "page.html"
    path.write_text(page.replace("</body>", f"{script}</body>"), encoding="utf-8")
    drawn = browsed(path, folder, "--dump-dom", f"--window-size={size[0]},{size[1]}")
    told = re.search(r'<pre id="axe">(.*?)</pre>', drawn, re.DOTALL)
    assert told is not None, drawn[-400:]
    return json.loads(html.unescape(told[1]))


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


def pages() -> dict[str, str]:
    """The tart, and a list with everything in it that a page may say."""
    full = shoot_of(
        line("soup", "leek", "600 g"),
        sound("leek", section="vegetables", allergens=("milk",), substitute="onion; celery"),
        pack("leek", "1 kg", "2", shop="stall", note="the thick ones"),
        line("soup", "salt", "5 g"),
        sound("salt", section="dry"),
        pack("salt", "1 kg", None, shop="stall"),
        line("soup", "saffron", "1 g"),
        Shot(dish="soup"),
        title="Soup & <more>",
        currency="EUR",
        prices_include_tax=False,
        tax_rate="10 %",
    )
    return {
        "tart": estimate(tart_shoot()).phone_page(),
        "everything": estimate(full).phone_page(),
    }


@in_browser
@with_axe
@pytest.mark.parametrize("styles", STYLES)
@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("name", ["tart", "everything"])
def test_page__shuts_nobody_out(name: str, size: str, styles: str, tmp_path: Path) -> None:
    """No violation of any rule that axe knows, and nothing wider than the window."""
    found = seen(pages()[name], tmp_path, size=SIZES[size], styles=styles)
    assert found["violations"] == []
    assert found["passes"] > 10
    assert found["wide"] <= found["window"]


@in_browser
@with_axe
def test_page__a_fault_would_be_seen(tmp_path: Path) -> None:
    """Letters in the colour of the paper, and a box without its label, are told."""
    page = pages()["tart"].replace("--quiet: #4E5D65", "--quiet: #F0F0F0").replace("<label ", "<b ")
    told = " ".join(seen(page, tmp_path, size=SIZES["phone"])["violations"])
    assert "color-contrast" in told
    assert "label" in told


@in_browser
def test_page__needs_no_scrolling_to_the_side_on_a_narrow_phone(tmp_path: Path) -> None:
    """In a frame of 320 pixels, as no headless window is so narrow."""
    page = re.sub(r"<meta [^>]*Content-Security-Policy[^>]*>", "", pages()["everything"])
    tell = "<script>parent.postMessage(document.documentElement.scrollWidth, '*')</script>"
    framed = html.escape(page.replace("</body>", f"{tell}</body>"), quote=True)
    path = tmp_path / "frame.html"
    path.write_text(
        "<!DOCTYPE html><script>addEventListener('message', function (told) {"
        "document.body.dataset.wide = told.data; });</script><body>"
        f'<iframe width="{NARROW}" height="600" style="border: 0" srcdoc="{framed}"></iframe>',
        encoding="utf-8",
    )
    told = re.search(r'data-wide="(\d+)"', browsed(path, tmp_path, "--dump-dom"))
    assert told is not None
    assert int(told[1]) <= NARROW
