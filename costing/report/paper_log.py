"""One page to print and fill in by hand: the log of the day for those who want no screen."""

from __future__ import annotations

from collections.abc import Sequence
from xml.etree.ElementTree import Element, SubElement, tostring

from costing.findings import choice_words
from costing.holding.models import EventKind
from costing.names import key
from costing.report.container_rows import CAUTION
from costing.report.estimates import Estimate
from costing.report.phone_page import element, policy_hash

ROWS = 24
"""Blank lines on the page, so that it is one. [line]"""

NAMES = 14
"""So many containers and shots are named; more would not leave the page its lines."""

STYLE = """
@page { size: A4; margin: 12mm; }
* { box-sizing: border-box; }
body {
  margin: 0 auto; padding: 4mm; max-width: 190mm; background: #FFFFFF; color: #000000;
  font: 10pt/1.3 system-ui, sans-serif; overflow-wrap: anywhere;
}
h1 { margin: 0 0 1mm; font-size: 14pt; }
p { margin: 0 0 1.5mm; }
table { width: 100%; border-collapse: collapse; margin-top: 2mm; table-layout: fixed; }
th, td { border: .3mm solid #000000; padding: 0 1mm; text-align: left; }
th { height: 6mm; font-weight: 600; }
td { height: 7.6mm; }
.when { width: 16mm; } .what { width: 44mm; } .event { width: 27mm; } .small { width: 27mm; }
"""

COLUMNS = (
    ("When", "when"),
    ("What", "what"),
    ("Event", "event"),
    ("Temperature", "small"),
    ("Amount", "small"),
    ("Note", ""),
)
"""Headings of the day log, so that the lines can be typed into it, and how wide each is."""


def paper_log(estimate: Estimate, headings: Sequence[str]) -> str:
    """The page as HTML, to be printed.

    Parameters
    ----------
    estimate : Estimate
        Of whose containers and shots the names stand on the page.
    headings : sequence of str
        Of the day log.

    Raises
    ------
    ValueError
        If the page has other columns than the log.
    """
    if tuple(headings) != tuple(name for name, _ in COLUMNS):
        raise ValueError("the page has the columns of the day log")
    shoot = estimate.shoot
    title = shoot.settings.title
    html = Element("html", lang="en")
    own = SubElement(html, "head")
    SubElement(own, "meta", charset="utf-8")
    policy = f"default-src 'none'; style-src {policy_hash(STYLE)}; base-uri 'none'"
    SubElement(own, "meta", {"http-equiv": "Content-Security-Policy", "content": policy})
    SubElement(own, "meta", name="viewport", content="width=device-width, initial-scale=1")
    element(own, "title", f"Log: {title}" if title else "Log")
    SubElement(own, "style").text = STYLE
    body = SubElement(html, "body")
    element(body, "h1", f"Log of the day: {title}" if title else "Log of the day", dir="auto")
    element(body, "p", "Date: ____________    Kept by: ______________________    Sheet: ____")
    shots = [shot.label for shot in shoot.shots if shoot.is_dish(shot.dish)]
    for kind, names in (
        ("Bowls", [container.name for container in shoot.containers]),
        ("Shots", shots),
    ):
        if names:
            listed = choice_words(_each(names), most=NAMES, last="and")
            element(body, "p", f"{kind}: {listed}.", dir="auto")
    element(
        body,
        "p",
        f"Events of a bowl: {choice_words(EventKind, most=len(EventKind))}; with the temperature "
        "of the food and its unit. Of a shot: taken, spoiled, enough. Of an ingredient: counted, "
        "with its amount and unit.",
    )
    table = SubElement(body, "table")
    head = SubElement(SubElement(table, "thead"), "tr")
    for name, width in COLUMNS:
        element(head, "th", name, scope="col", **{"class": width})
    rows = SubElement(table, "tbody")
    for _ in range(ROWS):
        row = SubElement(rows, "tr")
        for _ in COLUMNS:
            SubElement(row, "td")
    element(body, "p", CAUTION)
    return "<!DOCTYPE html>\n" + tostring(html, encoding="unicode", method="html") + "\n"


def _each(names: Sequence[str]) -> list[str]:
    """Names, each once."""
    return list({key(name): name for name in reversed(names)}.values())[::-1]
