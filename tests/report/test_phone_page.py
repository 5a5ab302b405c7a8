"""The page for a phone: whole, closed, escaped, in the order of the list, readable by all."""

from __future__ import annotations

import hashlib
import re
from base64 import b64encode
from dataclasses import dataclass, field, replace
from datetime import date
from decimal import Decimal
from html.parser import HTMLParser
from itertools import product
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from small import line, pack, shoot_of, sound
from tart import DRY, FRESH, tart_shoot

from costing.estimating import estimate
from costing.findings import Finding, Grade, Place
from costing.kitchen import Shop
from costing.report.errands import Errand, ErrandKind
from costing.report.phone_look import DARK, LIGHT, PAPER
from costing.report.phone_page import STYLE, ListHead, head_of, phone_page
from costing.report.shopping_list import ListDay, ListLine
from costing.shoot import Episode, Shoot, Shot
from costing.shoot.episodes import Trip

VOID = frozenset({"meta", "input"})
"""Elements the page uses that have no end."""


@dataclass
class Piece:
    """An element with the text in it."""

    tag: str
    attributes: dict[str, str]
    text: str = ""
    inside: list[Piece] = field(default_factory=list)

    def all(self, tag: str, **attributes: str) -> list[Piece]:
        """Elements of a tag, at any depth, in the order of the page; ``class_`` is the class."""
        wanted = {name.rstrip("_"): value for name, value in attributes.items()}
        found = []
        for piece in self.inside:
            if piece.tag == tag and wanted.items() <= piece.attributes.items():
                found.append(piece)
            found += piece.all(tag, **attributes)
        return found

    @property
    def whole(self) -> str:
        """All text in it."""
        return " ".join(" ".join([self.text, *(piece.whole for piece in self.inside)]).split())


class Strict(HTMLParser):
    """Reads a page and refuses what is not closed in order, given twice or not declared."""

    def __init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self.root = Piece("", {})
        self.open = [self.root]
        self.doctypes: list[str] = []

    def handle_decl(self, decl: str) -> None:
        """Note a declaration."""
        self.doctypes.append(decl)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Open an element; no attribute may stand there twice."""
        names = [name for name, _ in attrs]
        assert len(names) == len(set(names)), f"{tag} has an attribute twice"
        piece = Piece(tag, {name: value or "" for name, value in attrs})
        self.open[-1].inside.append(piece)
        if tag not in VOID:
            self.open.append(piece)

    def handle_endtag(self, tag: str) -> None:
        """Close the element that is open, and no other."""
        assert self.open[-1].tag == tag, f"{tag} closes {self.open[-1].tag}"
        self.open.pop()

    def handle_data(self, data: str) -> None:
        """Take up text."""
        self.open[-1].text += data

    def handle_comment(self, data: str) -> None:
        """Refuse a comment: the page has none."""
        raise AssertionError(f"a comment: {data}")


def read(page: str) -> Piece:
    """The page as a tree, checked on the way."""
    reader = Strict()
    reader.feed(page)
    reader.close()
    assert reader.open == [reader.root], "something is not closed"
    assert reader.doctypes == ["DOCTYPE html"]
    (html,) = reader.root.inside
    assert [piece.tag for piece in html.inside] == ["head", "body"]
    return html


def page_of(*parts: Any, **settings: Any) -> Piece:
    """The page of a small shoot."""
    return read(estimate(shoot_of(*parts, **settings)).phone_page())


def words(page: Piece, tag: str, **attributes: str) -> list[str]:
    """The texts of elements."""
    return [piece.whole for piece in page.all(tag, **attributes)]


def told(item: Piece) -> dict[str, str]:
    """What stands below an item."""
    return dict(zip(words(item, "dt"), words(item, "dd"), strict=True))


SOUP = (line("soup", "leek", "600 g"), sound("leek"), Shot(dish="soup"))


def test_page__leek_tart_by_shop_with_totals() -> None:
    """30.27 and 8.37 are the 38.64 of the hand-worked shoot; each shop in the order of Packs."""
    result = estimate(tart_shoot())
    page = read(result.phone_page())
    assert page.attributes == {"lang": "en"}
    assert words(page, "h2") == [f"{DRY} 30.27 EUR", f"{FRESH} 8.37 EUR"]
    assert words(page, "p", class_="total") == ["Total at the tills: 38.64 EUR"]
    assert "Buy by Fri 9 May 2031." in words(page, "p")
    listed = words(page, "span", class_="name")
    assert listed == [row["ingredient"] for row in result.tables()["to_buy"].rows]
    costs = [Decimal(cost.removesuffix(" EUR")) for cost in words(page, "span", class_="cost")]
    assert sum(costs) == Decimal("38.64")


def test_page__an_item_says_packs_amount_need_allergens_substitute_and_note() -> None:
    """1.4 kg of which 400 g are there: two packs of 500 g are 1000 g."""
    page = page_of(
        line("soup", "butter", "1 kg"),
        sound("butter", section="dairy", allergens=("milk",), substitute="margarine"),
        pack("butter", "500 g", "2.50", shop="stall", note="unsalted"),
        Shot(dish="soup"),
        currency="EUR",
    )
    (item,) = page.all("li")
    assert words(item, "span", class_="packs") == ["2 x 500 g"]
    assert words(item, "span", class_="cost") == ["5.00 EUR"]
    below = told(item)
    assert below.pop("Substitute").startswith("margarine")
    assert below == {
        "On the shelf": "2.50 EUR",
        "Needed": "1 kg",
        "Allergens": "milk",
        "Note": "unsalted",
    }
    assert words(page, "h3") == ["dairy"]


def test_page__need_says_what_is_on_hand() -> None:
    """Flour of the tart: 1250 g, 620 g of them on hand."""
    items = read(estimate(tart_shoot()).phone_page()).all("li")
    (flour,) = [item for item in items if words(item, "span", class_="name") == ["flour"]]
    assert told(flour)["Needed"] == "1.25 kg, 620 g of it on hand"


def test_page__what_is_alike_on_many_lines_is_said_once() -> None:
    """A price that is the cost, and to read the packs, which stands above the list."""
    page = page_of(
        *(line("soup", name, "500 g") for name in ("leek", "paste")),
        *map(sound, ("leek", "paste")),
        *(pack(name, "500 g", "2.50", shop="stall") for name in ("leek", "paste")),
        Shot(dish="soup"),
        currency="EUR",
    )
    leek, paste = map(told, page.all("li"))
    assert leek == {"Needed": "500 g", "Allergens": "nothing listed"}
    assert paste == {"Needed": "500 g", "Allergens": "unknown"}
    (header,) = page.all("header")
    caution = "Allergens by the EU list. Read the pack of what you buy, and of every substitute."
    assert [one for one in words(header, "p") if "pack" in one] == [caution]


def test_page__boxes_can_be_tapped_by_their_whole_row() -> None:
    """Each box has one label, which holds it and the names; a tick is kept by what is bought."""
    page = read(estimate(tart_shoot()).phone_page())
    labels = page.all("label")
    boxes = [box for label in labels for box in label.all("input")]
    assert [label.attributes["for"] for label in labels] == [b.attributes["id"] for b in boxes]
    assert len({box.attributes["id"] for box in boxes}) == len(page.all("li")) == 11
    assert {box.attributes["type"] for box in boxes} == {"checkbox"}
    assert boxes[0].attributes["value"] == f"{DRY} / flour / 1 kg"


def test_page__a_tick_is_for_so_many_packs() -> None:
    """When more is to be bought than was ticked, the box is another one."""
    values = []
    for times in (1, 2):
        page = page_of(
            line("soup", "leek", "500 g"),
            sound("leek"),
            pack("leek", "500 g", "1", shop="stall"),
            Shot(dish="soup", times=times),
        )
        values.append(page.all("input")[0].attributes["value"])
    assert values == ["stall / leek / 500 g", "stall / leek / 2 x 500 g"]


def test_page__alike_packs_at_two_prices_have_a_tick_each() -> None:
    """24 eggs: two boxes of 6 at 1.00 are all there are, two more cost 1.50."""
    page = page_of(
        line("cake", "egg", "24 each"),
        pack("egg", "6 each", "1", shop="stall", at_most=2),
        pack("egg", "6 each", "1.50", shop="stall"),
        Shot(dish="cake"),
    )
    values = [box.attributes["value"] for box in page.all("input")]
    assert values == ["stall / egg / 2 x 6", "stall / egg / 2 x 6 / 2"]


def test_page__unknown_price_makes_the_totals_at_least() -> None:
    page = page_of(
        *SOUP,
        line("soup", "salt", "5 g"),
        pack("leek", "1 kg", "2", shop="stall"),
        pack("salt", "1 kg", None, shop="stall"),
        currency="EUR",
    )
    assert words(page, "p", class_="total") == ["Total at the tills: at least 2.00 EUR"]
    assert "Without the price of 1 x 1 kg of salt." in words(page, "p")
    assert words(page, "h2") == ["stall at least 2.00 EUR"]
    assert words(page, "p", class_="left-out") == ["Cost not known: salt."]
    assert words(page, "span", class_="cost") == ["2.00 EUR", "cost not known"]


def test_page__what_has_no_pack_or_no_amount_still_stands_there() -> None:
    page = page_of(*SOUP, line("soup", "salt", None))
    assert words(page, "h2") == ["Needed, and in no shop yet"]
    assert words(page, "span", class_="packs") == [
        "no pack yet",
        "not worked out",
    ]
    assert [told(item)["Needed"] for item in page.all("li")] == ["600 g", "not known"]


def test_page__errors_are_told_because_the_list_may_lack_something() -> None:
    fault = Finding(Grade.ERROR, "trial fault", Place("Recipes"), "one", "another", "Mend it.")
    other = Finding(Grade.ERROR, "trial fault", Place("Packs"), "one", "another", "Mend it.")
    note = Finding(Grade.NOTE, "trial note", Place("Recipes"), "one", "another", "Mend it.")
    shoot = tart_shoot()

    def said_of(*found: Finding) -> list[str]:
        page = read(estimate(shoot.changed(findings=found)).phone_page())
        return [text for text in words(page, "p") if "not whole" in text]

    for found, start in (([fault], "1 error was"), ([fault, note, other], "2 errors were")):
        (said,) = said_of(*found)
        assert said == (
            f"The list is not whole: {start} found in the workbook, and what hangs on that is left "
            "out."
        )
    assert not said_of(note)


def test_page__nothing_to_buy() -> None:
    page = read(estimate(Shoot()).phone_page())
    assert words(page, "main") == ["Nothing to buy."]
    assert words(page, "h1") == ["To buy"]


def test_page__sections_only_where_some_are_given() -> None:
    page = page_of(
        line("soup", "leek", "600 g"),
        line("soup", "salt", "5 g"),
        Shot(dish="soup"),
        sound("leek", section="vegetables"),
        pack("leek", "1 kg", "2", shop="stall"),
        pack("salt", "1 kg", "1", shop="stall"),
    )
    assert words(page, "h3") == ["Other", "vegetables"]
    plain = page_of(*SOUP, pack("leek", "1 kg", "2"))
    assert words(plain, "h3") == []


MARKUP = "<b>\"leek\" & 'co'</b></label><script>alert(1)</script><!-- x"
"""A name that would do harm where it is not escaped."""


def test_page__texts_of_the_person_are_shown_as_they_are() -> None:
    """In every place that a person's text comes to: none makes an element or an attribute."""
    page = page_of(
        line("soup", MARKUP, "600 g"),
        sound(MARKUP, section=MARKUP, allergens=(MARKUP,), substitute=MARKUP),
        pack(MARKUP, "1 kg", "2", shop=MARKUP, note=MARKUP),
        Shot(dish="soup"),
        title=MARKUP,
    )
    plain = page_of(*SOUP, pack("leek", "1 kg", "2"))
    assert words(page, "span", class_="name") == [MARKUP]
    assert words(page, "h1") == [f"To buy: {MARKUP}"]
    assert words(page, "h3") == [MARKUP]
    below = told(page.all("li")[0])
    assert (below["Allergens"], below["Note"]) == (MARKUP, MARKUP)
    assert MARKUP in below["Substitute"]
    assert not page.all("b")
    assert [len(page.all(tag)) for tag in ("script", "style", "label")] == [1, 1, 1]
    assert [len(plain.all(tag)) for tag in ("script", "style", "label")] == [1, 1, 1]


@given(name=st.text(min_size=1, max_size=12))
def test_page__any_name_comes_back_as_it_was(name: str) -> None:
    """Law: but for control characters, which HTML has not, and runs of blanks."""
    page = page_of(line("soup", name, "600 g"), pack(name, "1 kg", "2"), Shot(dish="soup"))
    expected = " ".join(re.sub(r"[\x00-\x09\x0b-\x1f\x7f-\x9f]", "", name).split())
    if name.strip():
        assert words(page, "span", class_="name") == [expected]


def test_page__what_can_wait_longer_than_its_trip_says_until_when() -> None:
    """Two days' life, shot on the 10th and on the 24th, a Saturday, when it would still do."""
    page = page_of(
        *(line("soup", "leek", "300 g"), sound("leek", keeps_days=2), pack("leek", "1 kg", "2")),
        *(Episode(name=f"E{day}", shoot_date=date(2031, 5, day)) for day in (10, 24)),
        *(Shot(dish="soup", episode=f"E{day}") for day in (10, 24)),
        shopping_date=date(2031, 5, 9),
    )
    assert [told(item).get("Buy by") for item in page.all("li")] == [None, "Sat 24 May 2031"]


def test_page__reaches_out_to_nothing() -> None:
    """Nothing is loaded, sent or linked, and a policy in the page says so to the browser."""
    text = estimate(tart_shoot()).phone_page()
    page = read(text)
    everything = [page, *(piece for tag in tags(page) for piece in page.all(tag))]
    assert not [
        (piece.tag, name)
        for piece in everything
        for name in piece.attributes
        if name in ("src", "href", "action", "srcset", "style") or name.startswith("on")
    ]
    assert not re.search(r"https?:|//\w|url\(|@import|fetch\(|XMLHttp|import\(", text)
    (policy,) = [piece for piece in page.all("meta") if "http-equiv" in piece.attributes]
    assert policy.attributes["http-equiv"] == "Content-Security-Policy"
    rules = dict(rule.strip().split(" ", 1) for rule in policy.attributes["content"].split(";"))
    assert rules["default-src"] == "'none'"
    for name, tag in (("style-src", "style"), ("script-src", "script")):
        (own,) = page.all(tag)
        digest = b64encode(hashlib.sha256(own.text.encode()).digest()).decode()
        assert rules[name] == f"'sha256-{digest}'"


def tags(page: Piece) -> set[str]:
    """Every tag of a page."""
    return {piece.tag for piece in page.inside} | {t for piece in page.inside for t in tags(piece)}


def test_page__without_script_nothing_is_missing() -> None:
    """What only the script can fill or answer is hidden until it runs."""
    page = read(estimate(tart_shoot()).phone_page())
    only_by_script = [*page.all("button"), *page.all("p", role="status")]
    assert [piece.attributes["hidden"] for piece in only_by_script] == ["hidden", "hidden"]
    assert "[hidden]" not in STYLE


def luminance(shade: str) -> float:
    """Relative luminance by the guidelines."""
    parts = [int(shade[at : at + 2], 16) / 255 for at in (1, 3, 5)]
    linear = [p / 12.92 if p <= 0.04045 else ((p + 0.055) / 1.055) ** 2.4 for p in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(one: str, other: str) -> float:
    """Contrast ratio by the guidelines, from 1 to 21."""
    dark, light = sorted((luminance(one), luminance(other)))
    return (light + 0.05) / (dark + 0.05)


@pytest.mark.source("w3c-wcag-22", "1.4.3 Contrast (Minimum); definition of contrast ratio")
def test_contrast__black_on_white_is_21() -> None:
    """The largest there is; the formula is the one the guidelines define."""
    assert contrast("#000000", "#FFFFFF") == pytest.approx(21)
    assert contrast("#777777", "#FFFFFF") == pytest.approx(4.48, abs=0.005)


PAIRS = [
    *(("letters", fore, back) for fore, back in product(("ink", "quiet"), ("page",))),
    ("letters", "ink", "band"),
    ("edges", "edge", "page"),
    ("edges", "ink", "page"),
]
"""What stands on what: letters, and the edges, ticks and outlines of boxes."""


@pytest.mark.source("w3c-wcag-22", "1.4.3 Contrast (Minimum), 1.4.11 Non-text Contrast, level AA")
@pytest.mark.parametrize(("what", "fore", "back"), PAIRS, ids=lambda value: str(value))
@pytest.mark.parametrize("shades", [LIGHT, DARK, PAPER], ids=["by day", "by night", "on paper"])
def test_shades__can_be_told_apart(shades: dict[str, str], what: str, fore: str, back: str) -> None:
    """4.5:1 for letters, 3:1 for what is no letter."""
    least = {"letters": 4.5, "edges": 3.0}[what]
    assert contrast(shades[fore], shades[back]) >= least


def test_shades__are_those_of_the_page() -> None:
    """Every colour of the style is one of the shades, so that the check above sees them all."""
    in_style = set(re.findall(r"#[0-9A-Fa-f]{3,8}\b", STYLE))
    assert in_style == set(LIGHT.values()) | set(DARK.values()) | set(PAPER.values())
    assert not re.search(r"\b(?:rgb|hsl|color-mix|opacity)\b", STYLE)
    used = set(re.findall(r"var\(--(\w+)\)", STYLE))
    assert used == set(LIGHT) == set(DARK) == set(PAPER)


@pytest.mark.source("w3c-wcag-22", "2.5.8 Target Size (Minimum), level AA: 24 by 24 CSS pixels")
def test_targets__are_large_enough() -> None:
    """1 rem is 16 pixels where nobody has changed it: rows and button 48, the box itself 28."""
    for what in ("label", "button"):
        (rule,) = re.findall(rf"^{what} \{{(.*?)\}}", STYLE, re.M | re.S)
        assert float(re.findall(r"min-height: ([\d.]+)rem", rule)[0]) * 16 >= 24
    (box,) = re.findall(r"^input \{(.*?)\}", STYLE, re.M | re.S)
    sizes = [float(size) * 16 for size in re.findall(r"(?:width|height): ([\d.]+)rem", box)]
    assert sizes == [28, 28]


def test_page__by_day_where_there_are_several() -> None:
    """Fish for each of two days a fortnight apart, the second ordered two days before.

    Each day has its heading, its shops below, and its own boxes; headings go down step by step.
    """
    leek = ListLine("greens", "leek", shop="Market", buy="1 kg", cost=Decimal(2))
    days = [
        ListDay(date(2031, 5, 9), [replace(leek, trip=date(2031, 5, 9))]),
        ListDay(
            date(2031, 5, 21),
            [],
            [Errand(date(2031, 5, 21), ErrandKind.ORDER, ("cod 300 g",), (), "Van", "by noon")],
        ),
        ListDay(
            date(2031, 5, 23),
            [replace(leek, trip=date(2031, 5, 23))],
            [Errand(date(2031, 5, 23), ErrandKind.THAW, ("cod 300 g",), ())],
        ),
    ]
    page = read(phone_page(days, ListHead("", "EUR", Decimal(4), (), "EU"), ["never shown"]))
    assert words(page, "h2") == ["Fri 9 May 2031", "Wed 21 May 2031", "Fri 23 May 2031"]
    assert words(page, "h3") == ["Market 2.00 EUR"] * 2
    assert words(page, "h4") == ["greens"] * 2
    assert words(page, "span", class_="name") == [
        "leek",
        "Order from Van: cod 300 g",
        "leek",
        "Thaw: cod 300 g",
    ]
    assert [box.attributes["value"] for box in page.all("input")] == [
        "2031-05-09 / Market / leek / 1 kg",
        "2031-05-21 / Order from Van: cod 300 g",
        "2031-05-23 / Market / leek / 1 kg",
        "2031-05-23 / Thaw: cod 300 g",
    ]
    assert "by noon" in page.all("li")[1].whole
    assert "never shown" not in page.whole


@pytest.mark.parametrize("late", [False, True], ids=["must be by then", "may wait"])
def test_top__the_day_of_the_trip_and_what_is_paid_with_the_visit(*, late: bool) -> None:
    """Shot on the 15th; bought on the 12th, or as late as the 14th: 4.00 and 1.50 for the visit."""
    shoot = shoot_of(
        line("soup", "rice", "1 kg"),
        sound("rice", keeps_days=90),
        pack("rice", "5 kg", "4", shop="Corner"),
        Shop(name="Corner", visit_cost="1.50"),
        Trip(shop="Corner", day=date(2031, 5, 12)),
        Episode(name="E", shoot_date=date(2031, 5, 15)),
        Shot(dish="soup", episode="E"),
        currency="EUR",
    )
    found = estimate(shoot)
    if late:
        lines = [replace(one, buy_by=date(2031, 5, 14)) for one in found.list_lines]
        head = head_of(shoot.settings, found.totals, errors=0)
        page = read(phone_page([ListDay(date(2031, 5, 12), lines)], head))
    else:
        page = read(found.phone_page())
    said = words(page, "p")
    assert said[:2] == ["Total at the tills: 4.00 EUR", "With visits and deliveries: 5.50 EUR"]
    fetched = ["To be fetched on Mon 12 May 2031."] if late else []
    assert said[2:-2] == [*fetched, f"Buy by {'Wed 14' if late else 'Mon 12'} May 2031."]
