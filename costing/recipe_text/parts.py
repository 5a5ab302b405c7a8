"""The parts of a line put together: the amount taken, the food's name, what stays open."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, replace
from fractions import Fraction

from costing.names import is_water, key, singular, singular_name
from costing.quantities import BATCH, PORTION
from costing.recipe_text import messages
from costing.recipe_text.around import Behind, goes_with, is_cut, kind_of
from costing.recipe_text.counts import ONE, Count, count_at
from costing.recipe_text.front import WORDS, NameFront, front_taken_off, strange_word
from costing.recipe_text.leading import AmountKind, Leading
from costing.recipe_text.measured import WrittenAmount
from costing.recipe_text.messages import Doubt, doubt
from costing.recipe_text.unit_words import is_measure_word
from costing.recipe_text.words import COOKED, KEPT_CONTAINERS, LIQUIDS, ONE_NAME, SALT, SIZES
from costing.reference import find_food, published

TO_TASTE = "to taste"

MOST_PIECES = 3
"""More published weights are not shown beside a piece."""

EXPLAIN_BLANK = (
    messages.number_unreadable,
    messages.number_unclear,
    messages.number_vague,
    messages.measure_vague,
    messages.length_given,
    messages.amount_each,
)
"""After one of these it goes without saying that the amount is missing."""

_AND = re.compile(r"\s(?:and|&|\+)\s", re.IGNORECASE)
_OR = re.compile(r"\sor\s|(?<=[^\W\d_]{2}) ?/ ?(?=[^\W\d_]{2})", re.IGNORECASE)
_NUMBER_LEFT = re.compile(
    r"(?:and|or|x|×|plus|to|&|\+|/)(?:\s|(?=[0-9]))|[1-9½¼¾⅓⅔][0-9./]*(?![0-9./]*[%-])"
    r"|.*\s(?:and|or|x|×|plus)\s+(?:an?\s+)?(?:half\b|[1-9½¼¾⅓⅔])",
    re.IGNORECASE,
)
"""At the start of a name: part of an amount that nobody took."""

_NEXT_PART = re.compile(r",?\s+(?:and|&)\s+(?=[0-9])", re.IGNORECASE)
_WITH = re.compile(r" (?:with|without) ", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class LineParts:
    """An ingredient line taken apart.

    Parameters
    ----------
    amount : str
        For the Amount cell: a number, a range, ``to taste`` or blank.
    low, high : Fraction, optional
        The ends of the amount; ``None`` when it is blank or to taste. [unit]
    measured : str
        For the Measured cell: ``as bought`` for what a named pack holds, ``cooked`` where the
        line says so.
    doubts : tuple of Doubt
        What is uncertain; each becomes a finding at its place.
    """

    name: str
    amount: str = ""
    low: Fraction | None = None
    high: Fraction | None = None
    unit: str = ""
    cut: str = ""
    measured: str = ""
    optional: bool = False
    doubts: tuple[Doubt, ...] = ()


@dataclass(frozen=True, slots=True)
class Pieces:
    """A line in pieces.

    Parameters
    ----------
    line, text : str
        As written, and tidied.
    raw : str
        The name as written.
    """

    line: str
    text: str
    leading: Leading
    behind: Behind
    raw: str

    def put_together(self, *, to_taste: bool) -> LineParts:
        """Give the parts of the line."""
        leading, behind = self.leading, self.behind
        self._size_from_behind()
        self._parts_of_the_count()
        # "1 tin chopped tomatoes" is bought chopped: the word is part of the name
        cuts = leading.kind is not AmountKind.CONTAINER
        raw = kind_of(self.raw, behind.rest) if leading.count else _without_extra(self.raw)
        name = front_taken_off(raw, counted=leading.counted, cuts=cuts)
        if not any(c.isalpha() for c in name.text):
            said = doubt(messages.nameless, self.text)
            return LineParts(self.text or self.line.strip(), doubts=(said,))
        amount, doubts = self._amount()
        shown = named(name.text, leading)
        taste = to_taste and leading.count is None
        doubts = [*leading.doubts, *doubts, *self._doubts(name, shown, amount)]
        explained = any(said.message in EXPLAIN_BLANK for said in doubts)
        if not (taste or amount.amount or explained or is_water(shown)):
            doubts.append(doubt(messages.amount_missing, shown))
        measured = bool(amount.amount)
        unit = amount.unit_shown if measured or amount.unit is not None else ""
        return LineParts(
            shown,
            amount=TO_TASTE if taste else amount.amount,
            low=amount.count.low if measured else None,
            high=amount.count.high if measured else None,
            unit="" if taste else unit,
            cut=", ".join(dict.fromkeys([*leading.cuts, *name.cuts, *behind.cuts])),
            measured=self._measured(amount) if measured else "",
            doubts=tuple(dict.fromkeys(doubts)),
        )

    def _measured(self, amount: WrittenAmount) -> str:
        """The Measured cell: what a pack holds is bought as it is."""
        state = amount.state or self.leading.state or self.behind.state
        pack = self.leading.kind is AmountKind.CONTAINER and self.leading.size is not None
        return state or ("as bought" if pack else "")

    def _size_from_behind(self) -> None:
        """Take a weight behind the name of a container or piece as its size."""
        leading, others = self.leading, self.behind.others
        if leading.kind not in (AmountKind.CONTAINER, AmountKind.PIECE) or leading.size is not None:
            return
        size = next((other for other in others if other.unit is not None), None)
        if size is None:
            return
        others.remove(size)
        leading.size = size
        # behind pieces a weight is that of all, behind packs that of each, unless the line says
        # which
        one = leading.count is None or leading.count.high == 1
        part = not size.each and leading.count is not None and (leading.count.high or 1) < 1
        # half a tin (200 ml) is 200 ml of one: of two readings the one that buys more
        if size.total or part or (leading.kind is AmountKind.PIECE and not size.each):
            if leading.count and not (one or size.total):
                leading.doubts.append(self._all_or_each(size))
            leading.count = ONE
        elif not (size.each or one) and leading.count:
            said = doubt(messages.size_of_each, str(size), leading.count.written, leading.word)
            leading.doubts.append(said)

    def _parts_of_the_count(self) -> None:
        """2 lemons, 1 zested, 1 halved: what is done to some of the pieces counted."""
        count, behind = self.leading.count, self.behind
        parts = [part for text in behind.second for part in _NEXT_PART.split(text)]
        counted = [count_at(part) for part in parts]
        if not counted or count is None or count.low is None or not self.leading.counted:
            return
        numbers = [one[0].high for one in counted if one and _done_to_some(one[1].strip())]
        if len(numbers) == len(counted) and sum(n or count.low + 1 for n in numbers) <= count.low:
            behind.cuts += behind.second
            behind.second = []

    def _others_named(self) -> list[str]:
        """Other foods behind a comma: salt, pepper and nutmeg."""
        if not self.leading.each and self.leading.count is not None:
            # lettuce, iceberg: behind an amount it is a kind of the same, but not flour, salt
            rest = self.behind.rest
            return rest if any(key(t) in SALT or goes_with(t, self.raw) for t in rest) else []
        # salt, pepper in a language the tables do not know, or salt and what goes with it in any
        salt = key(self.raw) in SALT
        unknown = salt or (find_food(self.raw).how == "none" and " " not in self.raw)
        others = [text for text in self.behind.rest if unknown and (salt or text.isalpha())]
        return others or [t for t in (*self.behind.rest, *self.behind.cuts) if _names_a_food(t)]

    def _all_or_each(self, size: WrittenAmount) -> Doubt:
        """A weight behind several pieces, taken for all of them."""
        count = self.leading.count or ONE
        return doubt(messages.all_or_each, str(size), count.written, str(size.times(count)))

    def _amount(self) -> tuple[WrittenAmount, list[Doubt]]:
        """The amount with what is added behind it, and the doubts that come of both."""
        taken, doubts = self._chosen()
        for text, more in self.behind.added:
            total = taken.plus(more)
            if total is None:
                counted = str(taken) if taken.amount else ""
                doubts.append(doubt(messages.amount_second, text, counted))
            else:
                doubts.append(doubt(messages.amounts_added, f"{taken}, {text}", str(total)))
                taken = total
        return taken, doubts

    def _chosen(self) -> tuple[WrittenAmount, list[Doubt]]:
        """The one amount of all that are said, and the doubts that come of the choice."""
        leading = self.leading
        if leading.count is None or leading.kind in (AmountKind.VAGUE, AmountKind.LENGTH):
            return self._weighed()
        first = WrittenAmount(leading.count, leading.unit)
        doubts: list[Doubt] = []
        if leading.size:
            first = leading.size.times(leading.count)
            doubts += leading.size.doubts
        if leading.each and (_AND.search(f" {self.raw} ") or "," in self.raw):
            said = doubt(messages.amount_each, str(first), self.raw)
            return replace(first, count=Count(None, None)), [*doubts, said]
        others = (*leading.others, *self.behind.others)
        # of 4 x 125 g (4 1/2 oz) both are of each
        each = [o.each or bool(leading.size and leading.size.agrees_with(o)) for o in others]
        of_all = (o.times(leading.count) if e else o for o, e in zip(others, each, strict=True))
        choices = [first, *of_all]
        # min keeps the first of equals, so that of two volumes the one said first is taken
        taken = min(choices, key=self._rank)
        left = [str(c) for c in choices if c is not taken and not taken.agrees_with(c)]
        several = first.unit is None and leading.count.high is not None and leading.count.high > 1
        bare = taken is not first and taken.unit is not None and not (taken.each or taken.total)
        if several and bare and taken in self.behind.others:
            doubts += [*taken.doubts, self._all_or_each(taken)]
        elif left:
            doubts += [*taken.doubts, doubt(messages.amounts_two, str(taken), left)]
        return taken, doubts

    def _weighed(self) -> tuple[WrittenAmount, list[Doubt]]:
        """What is said beside a measure by eye or a length: a handful of spinach (60 g)."""
        leading, count = self.leading, self.leading.count
        for size in (leading.size, *leading.others, *self.behind.others) if count else ():
            if size is None or count is None or size.unit is None or size.unit.counts:
                continue
            if size.each or size is leading.size:
                return size.times(count), [*size.doubts]
            # the number of a length tells no pieces: 5 cm of ginger
            one = leading.kind is AmountKind.LENGTH or count.high in (None, 1) or size.total
            return size, [*size.doubts, *([] if one else [self._all_or_each(size)])]
        return WrittenAmount(Count(None, None)), []

    def _rank(self, choice: WrittenAmount) -> int:
        """How little an amount is preferred; ounces of a liquid may be fluid ounces."""
        return 2 if choice.unit_shown == "oz" and _is_liquid(self.raw) else choice.rank

    def _doubts(self, name: NameFront, shown: str, amount: WrittenAmount) -> Iterator[Doubt]:
        """What is open about name and amount."""
        yield from self._doubts_of_words(shown, amount)
        behind = self.behind
        taken = str(amount) if amount.amount else ""
        for text in behind.second:
            yield doubt(messages.amount_second, text, taken)
        if amount.amount and not behind.second and _NUMBER_LEFT.match(shown):
            yield doubt(messages.amount_second, shown, taken)
        for text in behind.extras:
            yield doubt(messages.extra_unmeasured, text)
        for text in behind.choices:
            yield doubt(messages.ingredients_or, text, shown)
        if _OR.search(shown):
            yield doubt(messages.ingredients_or, shown, shown)
        each = self.leading.each and self.leading.kind is not AmountKind.VAGUE
        if others := self._others_named():
            yield doubt(messages.ingredients_and, ", ".join([shown, *others]))
        elif _AND.search(shown) and not each and key(shown) not in ONE_NAME:
            yield doubt(messages.ingredients_and, shown)
        if amount.unit is None or amount.unit.counts:
            for size in (*self.leading.modifiers, *name.sizes):
                if size.casefold().rstrip(".") in SIZES or size[0].isdecimal() or " " in size:
                    yield doubt(messages.size_not_weighed, size, shown)
            return
        front = shown.split()[0].casefold()
        for word in dict.fromkeys([*behind.cooked, *([front] if front in COOKED else [])]):
            yield doubt(messages.cooked_or_raw, word, shown)
        if amount.unit_shown == "oz" and _is_liquid(shown):
            yield doubt(messages.ounces_of_liquid, shown)
        if amount.unit.unit in (PORTION, BATCH):
            yield doubt(messages.dish_inside, amount.unit_shown, shown)

    def _strange_word(self) -> str:
        leading = self.leading
        bare = leading.counted and leading.unit is None and leading.size is None
        return strange_word(self.raw) if bare and leading.kind is AmountKind.NONE else ""

    def _doubts_of_words(self, shown: str, amount: WrittenAmount) -> Iterator[Doubt]:
        """Doubts about the words of the amount: vague, a piece, a pack without a size."""
        leading = self.leading
        by_eye = leading.kind in (AmountKind.VAGUE, AmountKind.LENGTH)
        if by_eye and amount.amount:
            pass  # what it weighs is said beside it
        elif leading.count is not None and leading.count.word:
            yield doubt(messages.number_vague, leading.count.word, shown)
        elif leading.kind is AmountKind.VAGUE and not is_water(shown):
            yield doubt(messages.measure_vague, leading.word, shown)
        elif leading.kind is AmountKind.LENGTH:
            yield doubt(messages.length_given, leading.word, shown)
        elif leading.size is None and leading.kind is AmountKind.PIECE:
            known = published_pieces(self.raw, singular(leading.word.casefold()))
            yield doubt(messages.pieces_named, leading.written, shown, known)
        elif leading.size is None and leading.kind is AmountKind.CONTAINER:
            yield doubt(messages.pack_size_missing, leading.written, shown)
        elif word := self._strange_word():
            yield doubt(messages.word_strange, word, shown)
        elif leading.unit and leading.unit.counts and "piece" in leading.written.casefold():
            yield doubt(messages.pieces_named, leading.written, shown, "")
        drained = any("drain" in cut.casefold() for cut in self.behind.cuts)
        if drained and leading.size and leading.count and leading.kind is AmountKind.CONTAINER:
            yield doubt(messages.drained_or_not, str(leading.size.times(leading.count)), shown)
        elif drained and "soaked" not in self.text.casefold() and (canned := _canned(shown)):
            yield doubt(messages.drained_pulse, shown, canned)


def _done_to_some(text: str) -> bool:
    """Whether words behind a number are a cut, and no measure of something ground: 1 tbsp flax."""
    return is_cut(text) and not is_measure_word(text.partition(" ")[0])


def named(name: str, leading: Leading) -> str:
    """Give the name as the Ingredient cell has it.

    A counted food is named in the singular, with its piece or container; a tin or can whose
    size is known is recognised by "tinned" or "canned" in front.
    """
    one = singular(leading.word.casefold())
    if leading.size is not None:
        kept = KEPT_CONTAINERS.get(one, "")
        return f"{kept} {name}" if kept and not _says(name, kept, one) else name
    if not leading.counted or leading.kind in (AmountKind.VAGUE, AmountKind.LENGTH):
        return name
    if leading.called:
        of_it = leading.called.endswith("'") or " " in leading.called
        joined = "" if leading.called.endswith(("'", "’")) else " "
        return f"{leading.called}{joined}{name}" if of_it else f"{name} {leading.called}"
    if leading.kind in (AmountKind.PIECE, AmountKind.CONTAINER):
        food, blank, rest = _split_with(name)
        return f"{singular_name(food)} {one}{blank}{rest}"
    return singular_name(name)


def _without_extra(name: str) -> str:
    """The name behind "extra", where that is no food of its own: extra caster sugar."""
    more, _, food = name.partition(" ")
    if more.casefold() != "extra" or find_food(name).food is not None:
        return name
    return food if find_food(food).food is not None else name


def _split_with(name: str) -> tuple[str, str, str]:
    """Give a name and what it comes with: celery, with leaves."""
    found = _WITH.search(name)
    return (name[: found.start()], found[0], name[found.end() :]) if found else (name, "", "")


def _says(name: str, *words: str) -> bool:
    return any(word.casefold() in words for word in WORDS.findall(name))


def _names_a_food(text: str) -> bool:
    """Whether all words behind a comma are names of published foods."""
    names = [one for one in re.split(r"\s+(?:and|&)\s+|^(?:and|&)\s+", text) if one]
    return all(find_food(name).how != "none" for name in names)


def _canned(name: str) -> str:
    """What a dry pulse is called from a can; ``""`` for what is no dry pulse."""
    food = find_food(name).food
    if food is None or food.group != "pulse":
        return ""
    canned = f"canned {name}"
    return canned if find_food(canned).food else ""


def published_pieces(name: str, piece: str) -> str:
    """What the tables print of a piece of a food, or of its other pieces when not of that one.

    Examples
    --------
    >>> published_pieces("garlic", "clove"), published_pieces("unobtainium", "clove")
    ('1 clove = 3.0 g', '')
    """
    known = find_food(name).food
    rows = published(known.food_id).piece_weights if known else ()
    mine = [row for row in rows if piece in row.kinds] or list(rows)
    return "; ".join(row.as_printed for row in mine[:MOST_PIECES])


def _is_liquid(name: str) -> bool:
    return any(word.casefold() in LIQUIDS for word in WORDS.findall(name)[-1:])
