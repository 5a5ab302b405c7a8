"""Texts and files gone wrong in every way: nothing ends in a traceback, nothing drops in silence.

``python -m tests.fuzz`` tries every reader for a minute; ``python -m tests.fuzz lines --seconds 600
--seed 7`` one of them for longer. Good texts are changed at random (cut, doubled, mixed, with signs
that mean something elsewhere) and given to the reader. A failure is made as small as it gets and
printed; it belongs into ``tests/test_fuzz.py``.
"""

from __future__ import annotations

import argparse
import sys
import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import cache, partial
from pathlib import Path
from random import Random
from typing import Any, TypeAlias

Text: TypeAlias = Any
"""A str, or the bytes of a file."""

SIGNS = (
    *("", " ", "\t", "\n", "\r\n", "\xa0", "\u200b", "\ufeff", "\u2028", "\x00", "\x1f", "\ud7ff"),
    *("½", "⅓", "1/", "/2", "1/0", "0", "-1", "−", "–", "1e9", "1,234", "1.234.5", "٣", "５", "²"),
    *("(", ")", "[", "{", "}", '"', "'", ";", ",", ":", "=", "#", "%", "&amp;", "<br>", "\\", "|"),
    *(" or ", " x ", " plus ", " to ", " of ", "about ", "to taste", "g", "kg", "cup", "tbsp."),
    *("é", "ß", "İ", "ǅ", "日本", "大さじ", "🍋", "👩‍🍳", "e\u0301", "a" * 300, "9" * 40),
)
"""What is put into texts: blanks of all kinds, numbers and signs that mean something, letters."""

BYTES = (
    b"\x00",
    b"\xff",
    b"\xfe\xff",
    b"\xff\xfe",
    b"PK\x03\x04",
    b"\xef\xbb\xbf",
    b"\x80",
    b"<",
    b"]]>",
)


@dataclass(frozen=True)
class Target:
    """A reader, what it is given, and what must hold.

    Parameters
    ----------
    good : callable
        Texts to begin with.
    fault : callable
        What is wrong with what the reader makes of a text, in words; blank when nothing is.
    """

    good: Callable[[], Sequence[Text]]
    fault: Callable[[Text], str]


def told(check: Callable[[Text], str], text: Text) -> str:
    """What is wrong, an exception among it."""
    try:
        return check(text)
    except Exception as fault:
        return f"{type(fault).__name__}: {str(fault)[:300]}"


def changed(random: Random, text: Text, others: Sequence[Text]) -> Text:
    """A text after one to four changes."""
    for _ in range(random.randint(1, 4)):
        start, end = sorted(random.choices(range(len(text) + 1), k=2))
        short = min(end, start + random.randint(0, 12))
        put = _put(random, text, others)
        text = random.choice(
            [
                text[:start] + text[short:],
                text[:short] + text[start:short] + text[short:],
                text[:start] + put + text[short:],
                text[:start] + put + text[start:],
                text[end:] + text[start:end] + text[:start],
            ]
        )
    return text


def _put(random: Random, text: Text, others: Sequence[Text]) -> Text:
    """Something to put into a text: a sign, or a piece of another."""
    other = random.choice(others)
    start = random.randint(0, len(other))
    piece = other[start : start + random.randint(0, 30)]
    if random.random() < 0.3:
        return piece
    return random.choice(SIGNS if isinstance(text, str) else BYTES)


def smallest(text: Text, still: Callable[[Text], bool]) -> Text:
    """The text with all taken out that can go while it still fails."""
    size = max(1, len(text) // 2)
    while True:
        at = 0
        while at < len(text):
            shorter = text[:at] + text[at + size :]
            if still(shorter):
                text = shorter
            else:
                at += size
        if size == 1:
            return text
        size = max(1, size // 2)


def _still(target: Target, kind: str, text: Text) -> bool:
    return told(target.fault, text).startswith(kind)


def search(
    target: Target, seed: int, *, tries: int | None = None, seconds: float | None = None
) -> dict[str, Text]:
    """Failures by what is wrong, each as small as it gets.

    Parameters
    ----------
    tries, seconds : number
        When to end: after so many texts, or after so long.
    """
    random = Random(seed)  # noqa: S311 - nothing secret depends on it
    found: dict[str, Text] = {}
    count = 0
    good, until = target.good(), None if seconds is None else time.monotonic() + seconds
    while (tries is None or count < tries) and (until is None or time.monotonic() < until):
        count += 1
        text = changed(random, random.choice(good), good)
        fault = told(target.fault, text)
        kind = fault.partition(":")[0]
        if fault and not any(one.startswith(kind) for one in found):
            small = smallest(text, partial(_still, target, kind))
            found[told(target.fault, small)] = small
    return found


@cache
def targets() -> dict[str, Target]:
    """Every reader by its name."""
    # pytest has the folder of tests on its path, a command of DEVELOPERS.md has not
    sys.path.append(str(Path(__file__).parent))
    from fuzz_targets import TARGETS

    return TARGETS


def main() -> None:
    """Search as the command line asks."""
    parser = argparse.ArgumentParser(prog="tests.fuzz")
    parser.add_argument("target", nargs="*", default=list(targets()))
    parser.add_argument("--seconds", type=float, default=60)
    parser.add_argument("--seed", type=int, default=1)
    asked = parser.parse_args()
    for name in asked.target:
        found = search(targets()[name], asked.seed, seconds=asked.seconds)
        print(f"{name}: {len(found)} kinds of failure")  # noqa: T201
        for fault, text in found.items():
            print(f"  {fault}\n    {text!r}")  # noqa: T201


if __name__ == "__main__":
    main()
