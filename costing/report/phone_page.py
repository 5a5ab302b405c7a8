"""What to buy as one page for a phone, which works from a file and asks nothing of any network.

The page is built as a tree of elements by the standard library, which escapes every text by itself
and closes what it opens: no place is left where that could be forgotten, as in a template. A policy
in the page lets nothing run or load but its own style and script, by their hashes.
"""

from __future__ import annotations

import hashlib
import unicodedata
from base64 import b64encode
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from itertools import groupby
from xml.etree.ElementTree import Element, SubElement, tostring

from costing.buying.values import Totals
from costing.findings import how_many
from costing.names import key
from costing.quantities import money_text
from costing.report.errands import Errand, errand_words
from costing.report.make_rows import MAKE_AHEAD
from costing.report.phone_look import beside, style
from costing.report.shop_words import NO_SHOP, READ_IT, at_least, day_words
from costing.report.shopping_list import ListDay, ListLine, with_visits
from costing.shoot import Settings

STYLE, SCRIPT = style("phone.css"), beside("phone.js")

NO_SECTION = "Other"
NOT_BOUGHT = "Needed, and in no shop yet"


@dataclass(frozen=True, slots=True)
class ListHead:
    """What is above a list.

    Parameters
    ----------
    total : Decimal
        What the tills take. [money]
    errors : int
        How many errors were found; what hangs on them is not on the list.
    with_visits : str
        What is paid with visits and deliveries, in words; blank where they cost nothing.
    warnings : sequence of str
        Who avoids what is in their shots.
    """

    title: str
    currency: str | None
    total: Decimal
    missing: Sequence[str]
    allergen_list: str
    errors: int = 0
    with_visits: str = ""
    warnings: Sequence[str] = ()


def head_of(
    settings: Settings, totals: Totals, *, errors: int, warnings: Sequence[str] = ()
) -> ListHead:
    """What is above the list of a shoot."""
    return ListHead(
        settings.title,
        settings.currency,
        totals.bought,
        totals.bought_missing,
        str(settings.allergen_list),
        errors,
        with_visits(totals, settings.currency),
        warnings,
    )


def phone_page(days: Sequence[ListDay], head: ListHead, made: Sequence[str] = ()) -> str:
    """The page as HTML.

    Parameters
    ----------
    days : sequence of ListDay
        What to buy and to do, whose order is kept: by day, by shop, then by section.
    made : sequence of str
        What is to be made ahead, which is below where all is for one day.

    Examples
    --------
    >>> head = ListHead("Tart <1>", "EUR", Decimal(0), (), "EU")
    >>> page = phone_page([], head)
    >>> page[:15], "Tart &lt;1&gt;" in page, "Nothing to buy." in page
    ('<!DOCTYPE html>', True, True)
    """
    title = f"To buy: {head.title}" if head.title else "To buy"
    html = new_page(title, STYLE, script=SCRIPT)
    lines = [line for one in days for line in one.lines]
    body = SubElement(html, "body", {"data-list": _mark(head, lines)})
    shared = _shared_date(lines)
    _top(body, title, head, lines, days[0].day if len(days) == 1 else None)
    main = SubElement(body, "main")
    if not lines:
        element(main, "p", "Nothing to buy.")
    ticks = enumerate(_ticks(days), start=1)
    for one in days:
        if len(days) > 1 and one.day is not None:
            element(main, "h2", day_words(one.day), **{"class": "day"})
        _to_do(main, one.ordered, ticks)
        for _, shop in groupby(one.lines, lambda line: (bool(line.lacking), key(line.shop))):
            there = list(shop)
            section, level = SubElement(main, "section"), 2 if len(days) == 1 else 3
            _shop(section, there, head.currency, level)
            named = any(line.section for line in there)
            for _, same in groupby(there, lambda line: key(line.section)):
                together = list(same)
                if named:
                    words = together[0].section or NO_SECTION
                    element(section, f"h{level + 1}", words, **{"class": "part"})
                items = SubElement(section, "ul")
                for line in together:
                    _item(items, line, *next(ticks), head.currency, shared)
        _to_do(main, one.afterwards, ticks)
    if made and len(days) == 1:
        section = SubElement(main, "section")
        element(section, "h2", MAKE_AHEAD, **{"class": "shop"})
        for words in made:
            element(section, "p", words, dir="auto")
    footer = SubElement(body, "footer")
    element(footer, "button", "Take all ticks away", type="button", id="clear", hidden="hidden")
    SubElement(body, "script").text = SCRIPT
    return page_text(html)


def new_page(title: str, style: str, *, script: str = "", connect: str = "") -> Element:
    """A page with its head, and a policy in it that lets nothing run or load but what is its own.

    Parameters
    ----------
    style, script : str
        Its own; a script is put in where the page ends.
    connect : str
        What the script may send to, as the policy names it.
    """
    html = Element("html", lang="en")
    head = SubElement(html, "head")
    SubElement(head, "meta", charset="utf-8")
    # by their hashes: what a cell of the workbook says can run nothing, whatever it says
    policy = f"default-src 'none'; style-src {_policy_hash(style)}; "
    policy += f"script-src {_policy_hash(script)}; " if script else ""
    policy += f"connect-src {connect}; " if connect else ""
    policy += "base-uri 'none'; form-action 'none'"
    SubElement(head, "meta", {"http-equiv": "Content-Security-Policy", "content": policy})
    SubElement(head, "meta", name="viewport", content="width=device-width, initial-scale=1")
    element(head, "title", title)
    SubElement(head, "style").text = style
    return html


def page_text(html: Element) -> str:
    """A page as the text of a file."""
    return "<!DOCTYPE html>\n" + tostring(html, encoding="unicode", method="html") + "\n"


def _policy_hash(text: str) -> str:
    """A text as a content security policy names it."""
    return f"'sha256-{b64encode(hashlib.sha256(text.encode()).digest()).decode()}'"


def _mark(head: ListHead, lines: Sequence[ListLine]) -> str:
    """Name under which the ticks are kept: the same for the next list of the same shopping."""
    # by the trips, not by the file: a copy of the list has the ticks, the next shopping has none
    said = [head.title, *sorted({str(line.trip) for line in lines})]
    return hashlib.sha256("\n".join(said).encode()).hexdigest()[:16]


def _shared_date(lines: Sequence[ListLine]) -> date | None:
    """The day by which all must be bought, when it is one."""
    days = {line.buy_by for line in lines}
    day = days.pop() if len(days) == 1 else None
    return day if isinstance(day, date) else None


def _top(
    body: Element, title: str, head: ListHead, lines: Sequence[ListLine], day: date | None
) -> None:
    """The head of the page: title, total, what the total leaves out, when and by when to buy."""
    shared = _shared_date(lines)
    header = SubElement(body, "header")
    element(header, "h1", title, dir="auto")
    for words in head.warnings:
        element(header, "p", words, dir="auto", **{"class": "total"})
    total = at_least(head.total, head.missing, head.currency)
    element(header, "p", f"Total at the tills: {total}", **{"class": "total"})
    if head.with_visits:
        element(header, "p", head.with_visits)
    if head.missing:
        element(header, "p", f"Without {'; '.join(head.missing)}.")
    if head.errors:
        errors = how_many(head.errors, "error was", "errors were")
        element(
            header,
            "p",
            f"The list is not whole: {errors} found in the workbook, and what hangs "
            "on that is left out.",
        )
    if day is not None and day != shared:
        element(header, "p", f"To be fetched on {day_words(day)}.")
    if shared is not None:
        element(header, "p", f"Buy by {day_words(shared)}.")
    if any(not line.lacking for line in lines):
        element(
            header,
            "p",
            f"Allergens by the {head.allergen_list} list. Read the pack of what you buy, and of "
            "every substitute.",
        )
    element(header, "p", "", role="status", id="told", hidden="hidden")


def _shop(section: Element, lines: Sequence[ListLine], currency: str | None, level: int) -> None:
    """Name and total of a shop with the tax in it, and what the total leaves out."""
    heading = SubElement(section, f"h{level}", {"class": "shop"})
    if lines[0].lacking:
        element(heading, "span", NOT_BOUGHT)
        return
    element(heading, "span", lines[0].shop or NO_SHOP, dir="auto")
    total = sum((line.cost for line in lines if line.cost is not None), Decimal(0))
    tax = sum((line.tax for line in lines), Decimal(0))
    unknown = [line.name for line in lines if line.cost is None]
    element(heading, "span", at_least(total, unknown, currency))
    if tax:
        element(section, "p", f"{money_text(tax, currency)} of it tax", **{"class": "left-out"})
    if unknown:
        names = ", ".join(dict.fromkeys(unknown))
        element(section, "p", f"Cost not known: {names}.", **{"class": "left-out"})


def _ticks(days: Sequence[ListDay]) -> list[str]:
    """What each tick is kept under: so many packs, so that it is gone when others are to be bought.

    Lines alike in all they say are counted: they are two packs at two prices.
    """
    ticks: list[str] = []
    seen: Counter[str] = Counter()
    for one in days:
        day = [one.day.isoformat()] if len(days) > 1 and one.day is not None else []
        said: list[tuple[str, ...]] = [(errand_words(errand),) for errand in one.ordered]
        said += [(line.shop, line.name, line.buy or line.needed) for line in one.lines]
        said += [(errand_words(errand),) for errand in one.afterwards]
        for words in said:
            name = " / ".join((*day, *words))
            seen[name] += 1
            ticks.append(name if seen[name] == 1 else f"{name} / {seen[name]}")
    return ticks


def _to_do(main: Element, errands: Sequence[Errand], ticks: Iterator[tuple[int, str]]) -> None:
    """Errands to tick, what else to know below each."""
    if not errands:
        return
    items = SubElement(SubElement(main, "section"), "ul")
    for errand in errands:
        label = _ticked(SubElement(items, "li"), *next(ticks))
        what = SubElement(label, "span", {"class": "what"})
        element(what, "span", errand_words(errand), dir="auto", **{"class": "name"})
        if errand.note:
            element(what, "span", errand.note)


def _ticked(item: Element, number: int, tick: str) -> Element:
    """A label with its box."""
    label = SubElement(item, "label", {"for": f"b{number}"})
    SubElement(label, "input", type="checkbox", id=f"b{number}", value=plain(tick))
    return label


def _item(
    items: Element,
    line: ListLine,
    number: int,
    tick: str,
    currency: str | None,
    shared: date | None,
) -> None:
    """One line to tick: what to buy, its cost, and the rest below it."""
    item = SubElement(items, "li")
    label = _ticked(item, number, tick)
    what = SubElement(label, "span", {"class": "what"})
    element(what, "span", line.name, dir="auto", **{"class": "name"})
    element(what, "span", line.buy or line.lacking, **{"class": "packs"})
    shown = money_text(line.cost, currency) if line.cost is not None else "cost not known"
    element(label, "span", shown, **{"class": "cost"})
    more = SubElement(item, "dl")
    for term, said in _more(line, shared, shown):
        pair = SubElement(more, "div")
        element(pair, "dt", term)
        element(pair, "dd", said, dir="auto")


def _more(line: ListLine, shared: date | None, cost: str) -> Iterator[tuple[str, str]]:
    """What else to know of a line, as little as will do: it is read in a shop."""
    if line.each and line.each != cost:
        yield "On the shelf", line.each
    on_hand = f", {line.on_hand} of it on hand" if line.on_hand else ""
    more = f", {line.more} for more takes" if line.more else ""
    yield "Needed", (line.needed or "not known") + on_hand + more
    # to read the pack is said above, of all
    yield "Allergens", line.allergens.removesuffix(f": {READ_IT}")
    if line.substitute:
        yield "Substitute", line.substitute
    if shared is None and line.buy_by not in (None, line.trip):
        yield "Buy by", day_words(line.buy_by)
    if line.notes:
        yield "Note", "; ".join(line.notes)


def element(parent: Element, tag: str, text: str, **attributes: str) -> None:
    """An element with a text, which is escaped when the tree is written."""
    SubElement(parent, tag, attributes).text = plain(text)


def plain(text: str) -> str:
    """A text without the control characters that HTML does not allow."""
    return "".join(c for c in text if c == "\n" or unicodedata.category(c) not in ("Cc", "Cs"))
