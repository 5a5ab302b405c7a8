"""How the pages look, the list for a phone and the day, and the scripts that keep their ticks.

They are style sheets and scripts of their own beside this module; a style begins with our shades.

Contrast and sizes follow the Web Content Accessibility Guidelines 2.2, level AA: letters 4.5:1
(1.4.3), edges of boxes 3:1 (1.4.11), targets of 24 by 24 pixels and more (2.5.8), no scrolling to
the side at 320 pixels (1.4.10), and nothing that covers what has the focus (2.4.11). A tick shows
in the box and in the line through the name, and what is past its limit is striped and says so in
words: nothing is told by colour alone. The day page is for an arm's length and a wet thumb: buttons
of 56 pixels and more, figures of 40.
"""

from pathlib import Path

LIGHT = {
    "page": "#FBFBF7",
    "band": "#DDE5E1",
    "ink": "#22303A",
    "quiet": "#4E5D65",
    "edge": "#5B6F68",
    "rule": "#B9C5C0",
}
"""Our shades by day; ``rule`` only parts lines and carries no meaning."""

DARK = {
    "page": "#151C20",
    "band": "#2A3835",
    "ink": "#EAEFED",
    "quiet": "#AEBBB6",
    "edge": "#94A8A0",
    "rule": "#3C4A47",
}
"""The same by night."""

PAPER = dict.fromkeys(("page", "band"), "#FFFFFF") | dict.fromkeys(
    ("ink", "quiet", "edge", "rule"), "#000000"
)
"""The same in print."""


def style(name: str) -> str:
    """The style sheet of a page, its shades by day, by night and in print in front."""
    light, dark, paper = (
        ":root { " + first + "".join(f"--{one}: {shade}; " for one, shade in of.items()) + "}"
        for first, of in (("color-scheme: light dark; ", LIGHT), ("", DARK), ("", PAPER))
    )
    screens = f"@media (prefers-color-scheme: dark) {{ {dark} }}\n@media print {{ {paper} }}"
    return f"\n{light}\n{screens}{beside(name)}"


def beside(name: str) -> str:
    """A style sheet or a script of this room, below the line of its element."""
    return "\n" + Path(__file__).with_name(name).read_text(encoding="utf-8")
