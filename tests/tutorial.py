"""The pictures of the README, made by the commands and workbooks it speaks of.

Run ``python -m tests.tutorial`` from the top of the tree: the demo is written and worked out, its
list is written as a page, Chromium draws the page as a phone shows it, LibreOffice prints the
workbook, and the pictures go into ``workbooks/pictures``. Chromium (or ``CHROMIUM``), LibreOffice
and poppler (``pdftoppm``, ``pdftotext``) have to be on the machine; Pillow comes with
matplotlib. The same machine gives the same pictures; another one may have other letters.
"""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Sequence
from pathlib import Path

from PIL import Image, ImageChops

TREE = Path(__file__).resolve().parents[1]
PICTURES = TREE / "workbooks" / "pictures"
LIST, SHEETS = "list.png", {"Summary": "summary.png", "To buy": "to-buy.png"}
"""The page on a phone, and the sheets by their titles, with the names of their pictures."""

NAMES = (LIST, *SHEETS.values())
PHONE = (500, 1000)
"""Width and height of the window; a headless one is not narrower. [pixels]"""

DOTS = 100
"""Dots of an inch of paper. [1/inch]"""

MARGIN, COLOURS = 14, 64
"""White left around a picture [pixels], and colours it is kept in."""

FOOTER = 80
"""Height of the foot of a page, which is left out. [pixels]"""

LONGEST = 180
"""Seconds that a program is waited for."""


def programs() -> dict[str, str]:
    """The programs of this machine that are used, ``""`` for one that is not there."""
    found = {name: shutil.which(name) or "" for name in ("soffice", "pdftoppm", "pdftotext")}
    return {**found, "chromium": os.environ.get("CHROMIUM") or shutil.which("chromium") or ""}


def run(arguments: Sequence[str | Path], folder: Path, *, codes: Sequence[int] = (0,)) -> str:
    """What a program prints that is run in a folder and ends with one of these codes."""
    done = subprocess.run(  # noqa: S603 programs of this machine
        [str(one) for one in arguments],
        cwd=folder,
        env={**os.environ, "PYTHONPATH": str(TREE)},
        capture_output=True,
        text=True,
        encoding="utf-8",
        timeout=LONGEST,
        check=False,
    )
    if done.returncode not in codes:
        raise RuntimeError(f"{arguments[0]} ended with {done.returncode}: {done.stderr[-400:]}")
    return done.stdout


def costing(folder: Path, *words: str) -> None:
    """Run a command as the README prints it; findings of its shoot are no fault of it."""
    run([sys.executable, "-m", "costing", *words], folder, codes=(0, 1))


def phone(page: Path, chromium: str) -> Path:
    """A page as a phone shows the top of it."""
    drawn = page.with_suffix(".png")
    flags = ("--headless", "--no-sandbox", "--disable-gpu", "--hide-scrollbars", "--no-first-run")
    size = ",".join(map(str, PHONE))
    profile = f"--user-data-dir={page.parent / 'browser'}"
    shot = (f"--window-size={size}", f"--screenshot={drawn}", page.as_uri())
    run([chromium, *flags, profile, *shot], page.parent)
    return drawn


def printed(workbook: Path, soffice: str) -> Path:
    """A workbook as LibreOffice prints it."""
    profile = f"-env:UserInstallation={(workbook.parent / 'office').as_uri()}"
    run([soffice, profile, "--headless", "--convert-to", "pdf", workbook.name], workbook.parent)
    return workbook.with_suffix(".pdf")


def first_pages(paper: Path, pdftotext: str) -> dict[str, int]:
    """The page on which each sheet of the pictures begins: its first line is the title."""
    pages = run([pdftotext, "-layout", paper, "-"], paper.parent).split("\f")
    tops = [page.strip().partition("\n")[0].strip() for page in pages]
    return {title: tops.index(title) + 1 for title in SHEETS}


def sheet(paper: Path, page: int, pdftoppm: str) -> Path:
    """A page of paper as a picture."""
    name = paper.parent / f"page-{page}"
    number = str(page)
    run([pdftoppm, "-r", str(DOTS), "-png", "-singlefile", "-f", number, paper, name], paper.parent)
    return name.with_suffix(".png")


def keep(drawn: Path, target: Path, *, foot: int = 0) -> None:
    """Put a picture into the tree, without its foot and the white around it, in few colours."""
    with Image.open(drawn) as opened:
        picture = opened.convert("RGB").crop((0, 0, opened.width, opened.height - foot))
    ground = picture.crop((0, 0, 1, 1)).resize(picture.size)
    found = ImageChops.difference(picture, ground).getbbox()
    left, top, right, bottom = found or (0, 0, *picture.size)
    box = (
        max(0, left - MARGIN),
        max(0, top - MARGIN),
        min(picture.width, right + MARGIN),
        min(picture.height, bottom + MARGIN),
    )
    picture.crop(box).quantize(COLOURS).save(target, optimize=True)


def main() -> None:
    """Make every picture, or say which program is missing."""
    found = programs()
    missing = [name for name, path in found.items() if not path]
    if missing:
        sys.exit(f"Not on this machine: {', '.join(missing)}. No picture was made.")
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        costing(folder, "demo", ".")
        costing(folder, "list", "leek-tart.xlsx", "--html")
        keep(phone(folder / "leek-tart list.html", found["chromium"]), PICTURES / LIST)
        paper = printed(folder / "leek-tart.xlsx", found["soffice"])
        for title, page in first_pages(paper, found["pdftotext"]).items():
            drawn = sheet(paper, page, found["pdftoppm"])
            keep(drawn, PICTURES / SHEETS[title], foot=FOOTER)
    print(f"Written into {PICTURES}: {', '.join(NAMES)}")  # noqa: T201 the script says what it did


if __name__ == "__main__":
    main()
