"""Items of a saved web page that stand in its own tags: microdata, and RDFa in the same words.

They become what JSON-LD would have said (``itemprop="name"`` is ``"name"``), so that one reader
reads both.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from html.parser import HTMLParser
from typing import Any

_EMPTY = frozenset(
    (
        *("area", "base", "br", "col", "embed", "hr", "img", "input", "link", "meta", "param"),
        *("source", "track", "wbr"),
    )
)
"""Tags that nothing ever closes."""

_NEW_LINE = frozenset(("br", "p", "li", "div", "tr", "dt", "dd", *(f"h{at}" for at in range(1, 7))))
_CLOSED_BY_THEIR_LIKE = frozenset(["li", "p", "dt", "dd", "tr", "td", "th", "option"])
"""Tags that people leave open: the next one ends them."""

_BESIDE = frozenset(("td", "th", "span"))
"""Parts of a line, which a page sets apart without a blank: an amount and its name."""

_UNSEEN = frozenset(("script", "style"))
_MARKED = re.compile(r"\b(?:itemscope|typeof)\b", re.IGNORECASE)
_ELSEWHERE = re.compile(
    r"""\b(?:itemref|about)\s*=\s*(?:"([^"<>]*)"|'([^'<>]*)'|([^\s"'<>]+))""", re.IGNORECASE
)
"""Names of the places where a page says more of an item: microdata's and RDFa's way."""

_DECLARATION = re.compile(r"<[!?][^<>]{0,500}>")

DEEPEST = 500
"""No page opens so many tags inside one another; one that does is left alone. [tags]"""

MOST_VALUES = 200_000
"""No page says so much of its items, each place counted as often as an item is told there."""

MOST_UNENDED = 20
"""So many tags without an end a page may have. [tags]"""

_VALUE_OF = {
    "meta": "content",
    "data": "value",
    "meter": "value",
    "time": "datetime",
    **dict.fromkeys(("a", "area", "link"), "href"),
    **dict.fromkeys(("audio", "embed", "iframe", "img", "source", "track", "video"), "src"),
}
"""Where the value of a property is in the tag and not what stands between its ends."""


@dataclass(slots=True)
class _Open:
    """A tag that is not closed yet, with the item or property that it begins."""

    tag: str
    item: dict[str, Any] | None = None
    apart: dict[str, Any] | None = None  # what is said here of an item that stands elsewhere
    names: list[str] = field(default_factory=list)
    said: list[str] = field(default_factory=list)


def items_of_page(page: str) -> list[dict[str, Any]]:
    """The items of a page, each with its properties, as lists where there are several.

    Examples
    --------
    >>> items_of_page('<p itemscope itemtype="https://schema.org/Recipe"><b itemprop=name>Pie</b>')
    [{'@type': ['https://schema.org/Recipe'], 'name': 'Pie'}]
    """
    if _MARKED.search(page) is None:
        return []
    first, *behind = page.split("<!--")
    page = first + "".join(one.partition("-->")[2] for one in behind)
    page = _DECLARATION.sub("", page)
    # the parser looks for the end of each tag through all that follows: many without one take hours
    if page.count("<") > page.count(">") + MOST_UNENDED:
        return []
    named = (at for found in _ELSEWHERE.finditer(page) for at in "".join(found.groups("")).split())
    reader = _Reader({name: {} for name in named})
    try:
        reader.feed(page)
        reader.close()
    except (_TooDeep, AssertionError):  # the parser's own, at a declaration that it does not know
        return []
    items = reader.ended()
    return items if _has_an_end(items) else []


def _has_an_end(items: list[dict[str, Any]]) -> bool:
    """Whether items that say more of one another elsewhere are not without end, or nearly so."""
    waiting: list[tuple[Any, int]] = [(items, 0)]
    for _ in range(MOST_VALUES):
        if not waiting:
            return True
        said, depth = waiting.pop()
        inside = said.values() if isinstance(said, dict) else said if isinstance(said, list) else ()
        if depth > DEEPEST:
            return False
        waiting += ((one, depth + 1) for one in inside)
    return False


class _TooDeep(Exception):
    """A page that is no page."""


class _Reader(HTMLParser):
    """Goes over the tags of a page."""

    def __init__(self, elsewhere: dict[str, dict[str, Any]]) -> None:
        super().__init__(convert_charrefs=True)
        self.items: list[dict[str, Any]] = []
        self.opened: list[_Open] = []
        self.elsewhere = elsewhere
        self.pointing: list[tuple[dict[str, Any], list[str]]] = []

    def ended(self) -> list[dict[str, Any]]:
        """Give all items, those in tags that nobody closed included."""
        self._close_down_to(0)
        for item, places in self.pointing:
            for more in (self.elsewhere.get(place, {}) for place in places):
                for name, value in more.items():
                    for one in value if isinstance(value, list) else [value]:
                        _add(item, name, one)
        return self.items

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        if tag in _CLOSED_BY_THEIR_LIKE and self.opened and self.opened[-1].tag == tag:
            self._close_down_to(len(self.opened) - 1)
        self._say("\n" if tag in _NEW_LINE else " " if tag in _BESIDE else "")
        said = {name: value or "" for name, value in attrs}
        typed = "itemscope" in said or "typeof" in said
        apart = self.elsewhere.get(said.get("id") or ("" if typed else said.get("about", "")))
        names = (said.get("itemprop") or said.get("property") or "").split()
        begun = _Open(tag, item=apart, apart=apart, names=names)
        if typed:
            begun.item = {"@type": (said.get("itemtype") or said.get("typeof") or "").split()}
            places = [*said.get("itemref", "").split(), said.get("about"), said.get("resource")]
            self.pointing.append((begun.item, [one for one in places if one]))
            if not self._give(begun.names, begun.item, apart):
                self.items.append(begun.item)
            begun.names = []
        elif begun.names and ("content" in said or tag in _VALUE_OF):
            # schema.org pages write content= beside what a person sees, in any tag
            value = said.get("content") or said.get(_VALUE_OF.get(tag, ""), "")
            if value:
                self._give(begun.names, value, apart)
                begun.names = []
        if tag not in _EMPTY:
            self.opened.append(begun)
        if len(self.opened) > DEEPEST:
            raise _TooDeep

    def handle_endtag(self, tag: str) -> None:
        if tag in _NEW_LINE:
            self._say("\n")
        tags = [one.tag for one in self.opened]
        if tag in tags:
            self._close_down_to(len(tags) - 1 - tags[::-1].index(tag))

    def handle_data(self, data: str) -> None:
        if not (self.opened and self.opened[-1].tag in _UNSEEN):
            # a line of the page's source is no line of what it shows
            self._say(" ".join(f"x{data}x".split())[1:-1])

    def _say(self, text: str) -> None:
        for one in self.opened:
            if one.names:
                one.said.append(text)

    def _close_down_to(self, at: int) -> None:
        while len(self.opened) > at:
            closed = self.opened.pop()
            if closed.names:
                self._give(closed.names, "".join(closed.said).strip(), closed.apart)

    def _give(self, names: list[str], value: Any, apart: dict[str, Any] | None) -> bool:
        """Put a value to the item it is said of: the innermost open one, or one elsewhere."""
        open_ones = (one.item for one in reversed(self.opened) if one.item is not None)
        item = next(open_ones, None) if apart is None else apart
        if item is None or not names:
            return False
        for name in names:
            plain = name.rpartition(":")[2].rpartition("/")[2]
            # the older word, which pages mix with the newer
            _add(item, "recipeIngredient" if plain == "ingredients" else plain, value)
        return True


def _add(item: dict[str, Any], name: str, value: Any) -> None:
    """Say one thing more of an item, behind what is said by that name."""
    known = item.get(name)
    if isinstance(known, list):
        known.append(value)
    else:
        item[name] = value if known is None else [known, value]
