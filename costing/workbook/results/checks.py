"""The two checks on result sheets: inputs changed since the run, and need above what is bought.

Whether inputs changed is seen from sums and counts of their columns, compared with the run's.
Only functions that every engine computes alike are used: engines lift comparisons and products
over a range, but neither ``LEN`` nor ``ROW`` nor ``COUNTIF`` with several criteria.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from math import fsum

from costing.findings import choice_words
from costing.listing import runs
from costing.names import key
from costing.shoot import InputSheet
from costing.workbook.layout.columns import NOTE
from costing.workbook.package.addresses import address, column_letters, column_number, quoted
from costing.workbook.package.cellxml import CellStyle, ConditionalFormat
from costing.workbook.results.live.cells import LONGEST_FORMULA, Inputs, Spot
from costing.workbook.results.live.writer import PRODUCT, number_text
from costing.workbook.results.look import BAD, INK

ALL = "summary"
"""The sheet whose check tells of every input; the others show it."""

APART = (
    ("Recipes", "Ingredients", "Dishes"),
    ("Shoot plan", "Episodes", "Settings"),
    ("Holding",),
)
"""Input sheets that are watched in a cell of their own, so that each formula stays short."""

AGAIN = "Run costing estimate again."
CHANGED = f"Out of date: an input has changed since this run. {AGAIN}"
UNCHANGED = "No input has changed since this run."
ASIDE = "headings, notes, number formats, entries that change places"
"""What no check watches."""
NAMED_AT_MOST = 2

ROOM = 200
"""Blank rows below the last one in which rows to come are noticed. [rows]"""
LONGEST_TEXT = 250
"""A longer text cannot stand in a formula. [characters]"""
LONGEST_LIST = 400
"""The texts of a column are compared while they take no more of a formula. [characters]"""
ROOM_FOR_WORDS = 900
"""Of a check's formula, for what it says. [characters]"""
NEGLIGIBLE_AMOUNT = "0.000001"
"""An amount below this is none. [shown unit]"""
SHADED_ROWS = 2_000
"""So many rows are shaded, and looked through, however long the lists grow."""
ABSOLUTE_TOLERANCE, RELATIVE_TOLERANCE = 1e-9, 1e-12
"""How far sums may differ, since programs add up in another order and keep 15 digits."""

Held = float | str | None
"""What a cell holds: a number, a text, or what no formula can tell (an error, a truth value)."""
Cells = Mapping[tuple[int, int], Held]
"""The filled cells of a sheet by row and column."""


@dataclass(frozen=True, slots=True)
class Check:
    """A cell that says whether results are out of date."""

    formula: str
    shown: str


@dataclass(slots=True)
class Watch:
    """What is watched of some input sheets.

    Parameters
    ----------
    terms : list of str
        Parts of a formula, each above 0 when something changed.
    lists : list of (str, str)
        The same for texts, each with the words for its column.
    unwatched : list of str
        Columns of which an edit may go unnoticed.
    """

    terms: list[str] = field(default_factory=list)
    lists: list[tuple[str, str]] = field(default_factory=list)
    unwatched: list[str] = field(default_factory=list)

    def fitted(self, room: int) -> list[str]:
        """All terms that fit into a formula: of the lists of texts the longest are left out."""
        # short lists first: most columns are then watched before the formula is full
        fitting = sorted(self.lists, key=lambda one: len(one[0]))
        while fitting and sum(len(term) + 1 for term in (*self.terms, *dict(fitting))) > room:
            self.unwatched.append(fitting.pop()[1])
        return [*self.terms, *dict(fitting)]


def checks(
    sheets: Sequence[InputSheet],
    spots: Mapping[str, Spot],
    inputs: Inputs,
    *,
    held: Callable[[str], Cells],
    check_row: int,
    apart_from: int,
) -> tuple[dict[str, Check], list[Check]]:
    """The checks by key of the result sheet, and what that of Summary asks of its own cells.

    Parameters
    ----------
    held : callable
        Gives the filled cells of an input sheet, by its name in the workbook.
    check_row : int
        In which they stand, in column A. From 1.
    apart_from : int
        Row of Summary from which the cells of its own stand below each other in column A.
    """
    left = [one for one in sheets if one.title in inputs.sheets]
    apart: list[Check] = []
    unwatched: list[str] = []
    conditions: list[str] = []
    for kinds in APART:
        own = [one for one in left if one.kind in kinds]
        if not own:
            continue
        left = [one for one in left if one not in own]
        watch = _watch(own, inputs, held)
        names = choice_words(one.title for one in own)
        changed, unchanged = f"{names}: changed", f"{names}: as they were"
        terms = watch.fitted(LONGEST_FORMULA - ROOM_FOR_WORDS)
        conditions.append(f"({spots[ALL].corner(apart_from + len(apart))}<>{literal(unchanged)})")
        apart.append(Check(_formula(terms, changed, unchanged), unchanged))
        unwatched += watch.unwatched
    watch = _watch(left, inputs, held)
    taken = sum(len(one) + 1 for one in conditions)
    terms = watch.fitted(LONGEST_FORMULA - ROOM_FOR_WORDS - taken) + conditions
    if not terms:
        return {}, []
    shown = f"{UNCHANGED} {unwatched_words(watch.unwatched + unwatched)}"
    whole = spots[ALL].corner(check_row)
    found = dict.fromkeys(spots, Check(whole, shown))
    found[ALL] = Check(_formula(terms, CHANGED, shown), shown)
    found["to_buy"] = Check(need_check(spots["needs"], otherwise=whole), shown)
    return found, apart


def unwatched_words(unwatched: Sequence[str]) -> str:
    """What is not watched, as a sentence."""
    columns = list(dict.fromkeys(unwatched))
    more = len(columns) - NAMED_AT_MOST
    named = [*columns[:NAMED_AT_MOST], *([f"{more} more"] if more > 0 else [])]
    return f"Not watched: {', '.join([ASIDE, *named])}."


def _formula(terms: Sequence[str], changed: str, unchanged: str) -> str:
    """The formula; an error in a watched cell is a change too.

    The leading 0 makes a number of a single truth value, which would be more than any number.
    """
    found = f"0+{'+'.join(terms)}>0"
    return f"IFERROR(IF({found},{_said(changed)},{_said(unchanged)}),{_said(changed)})"


def _said(words: str) -> str:
    """A text of any length: a single literal may have 255 characters."""
    pieces = [words[at : at + LONGEST_TEXT] for at in range(0, len(words), LONGEST_TEXT)]
    return "&".join(map(literal, pieces))


def need_check(needs: Spot, *, otherwise: str) -> str:
    """The check that the packs chosen still cover the need, as a formula.

    Parameters
    ----------
    needs : Spot
        The table that is looked through. What was short when it was written does not count.
    otherwise : str
        The cell that says whether the inputs are as they were.
    """
    wanted = f"{needs.column('net_need')}+{needs.column('spoilage_allowance')}"
    short = f"SUMPRODUCT(({wanted}-{needs.column('bought')}>{NEGLIGIBLE_AMOUNT})*1)"
    known = sum(
        sum(needs.value(row, key) or 0 for key in ("net_need", "spoilage_allowance"))
        - (needs.value(row, "bought") or 0)
        > Fraction(NEGLIGIBLE_AMOUNT)
        for row in range(len(needs.table.rows))
    )
    # what was short already when the sheet was written is said elsewhere and is no change
    if known:
        short = f"({short}-{known})"
    return f'IF({short}>0,"More needed than is bought: "&{short}&". {AGAIN}",{otherwise})'


def row_shades(to_buy: Spot, needs: Spot) -> list[ConditionalFormat]:
    """The shade of rows of which more is needed than is bought; it looks them up by name."""
    first, last = to_buy.first, to_buy.first + SHADED_ROWS
    name = f"${column_letters(to_buy.places['ingredient'])}{first}"

    def looked_up(key: str) -> str:
        names, values = (
            f"{quoted(needs.title)}!${letters}$1:${letters}${SHADED_ROWS}"
            for letters in (
                column_letters(needs.places["ingredient"]),
                column_letters(needs.places[key]),
            )
        )
        return f"INDEX({values},MATCH({name},{names},0))"

    wanted = f"{looked_up('net_need')}+{looked_up('spoilage_allowance')}"
    short = f"{wanted}-{looked_up('bought')}>{NEGLIGIBLE_AMOUNT}"
    return [
        ConditionalFormat(
            f"{address(first, 1)}:{address(last, len(to_buy.places))}",
            f'IF({name}="",FALSE,IFERROR({short},FALSE))',
            CellStyle(bold=True, font_colour=INK, fill_colour=BAD.fill),
        )
    ]


def _watch(sheets: Iterable[InputSheet], inputs: Inputs, held: Callable[[str], Cells]) -> Watch:
    """What is watched of some sheets."""
    watch = Watch()
    for sheet in sheets:
        _watch_sheet(watch, sheet, held(sheet.title), inputs.depending_columns(sheet.title))
    return watch


def _watch_sheet(watch: Watch, sheet: InputSheet, cells: Cells, depending: frozenset[str]) -> None:
    """Watch the columns of a sheet from its headings on.

    ``depending``: letters of columns in which a cell needs a result: a check over one would go in a
    circle.
    """
    read = {
        column_number(letter): heading
        for heading, letter in sheet.columns.items()
        if heading != NOTE.heading
    }
    header = _header_row(read, cells)
    columns: dict[int, dict[int, Held]] = {number: {} for number in sorted(read)}
    for (row, number), value in cells.items():
        if number in columns and row >= header:
            columns[number][row] = value
    unclear = {
        number
        for number, filled in columns.items()
        if None in filled.values() or column_letters(number) in depending
    }
    watch.unwatched += [f"{sheet.title} {read[number]}" for number in sorted(unclear)]
    clear = {number: filled for number, filled in columns.items() if number not in unclear}
    last = ROOM + max((row for filled in clear.values() for row in filled), default=header)

    def where(first: int, final: int, top: int = header) -> str:
        letters = column_letters(first), column_letters(final)
        return f"{quoted(sheet.title)}!{letters[0]}{top}:{letters[1]}{last}"

    for run in runs(clear):
        # a weight for each column: a cell moved into the next column is noticed, though as many are
        # filled
        count = sum(at * len(clear[number]) for at, number in enumerate(run, 1))
        weights = ",".join(map(str, range(1, len(run) + 1)))
        watch.terms.append(f'(SUMPRODUCT(({where(run[0], run[-1])}<>"")*{{{weights}}})<>{count})')
    watch.terms += _sums(clear, where)
    for number, filled in clear.items():
        texts = [v for row, v in filled.items() if row > header and isinstance(v, str)]
        # an entry that reads like its heading is counted among entries alone
        heading = str(filled.get(header)).casefold()
        top = header + (heading in {text.casefold() for text in texts})
        term = _texts(where(number, number, top), texts)
        words = f"{sheet.title} {read[number]}"
        if term is not None:
            watch.lists.append((term, words))
        elif texts:
            watch.unwatched.append(words)


def _header_row(read: Mapping[int, str], cells: Cells) -> int:
    """The row of the headings; 1 when none is spelled as the layout spells it."""
    rows = (
        row
        for (row, number), value in cells.items()
        if isinstance(value, str) and number in read and key(value) == key(read[number])
    )
    return min(rows, default=1)


def _sums(columns: Mapping[int, Mapping[int, Held]], where: Callable[[int, int], str]) -> list[str]:
    """Another sum of the numbers, or of their squares: two edits may leave the sum as it was.

    Every column has a weight of its own. Columns of texts alone count with the sum 0, so that a
    number typed over a text is noticed.
    """
    numbers = {
        number: [value for value in filled.values() if isinstance(value, float)]
        for number, filled in columns.items()
    }
    sums = [(where(run[0], run[-1]), [0.0]) for run in runs(n for n in numbers if not numbers[n])]
    sums += [(where(n, n), found) for n, found in numbers.items() if found]
    squares = [
        (f"{where(n, n)},{where(n, n)}", [number * number for number in found])
        for n, found in numbers.items()
        if len(found) > 1
    ]
    return [_differs("SUM", sums), *([_differs("SUMPRODUCT", squares)] if squares else [])]


def _differs(function: str, ranges: Sequence[tuple[str, Sequence[float]]]) -> str:
    """Another weighted sum of what a function gives for some ranges."""
    weighted = [
        weight * number for weight, (_, numbers) in enumerate(ranges, 1) for number in numbers
    ]
    formula = "+".join(
        f"{function}({where})" if weight == 1 else f"{weight}*{function}({where})"
        for weight, (where, _) in enumerate(ranges, 1)
    )
    # relative to all that is added: where large numbers cancel, their last digits remain
    tolerance = ABSOLUTE_TOLERANCE + RELATIVE_TOLERANCE * fsum(map(abs, weighted))
    known = number_text(Fraction(fsum(weighted))).within(PRODUCT)
    return f"(ABS({formula}-{known})>{tolerance:.1E})"


def _texts(where: str, texts: Sequence[str]) -> str | None:
    """Other texts than there were; ``None`` when there are none, or too many for a formula.

    Every text has a weight of its own. Programs compare without regard to capitals, but not all
    of them those of every alphabet.
    """
    spelled: dict[str, str] = {}
    for text in texts:
        first = spelled.setdefault(text.casefold(), text)
        if first != text and not (first + text).isascii():
            return None
    listed = ",".join(map(literal, spelled.values()))
    plain = all(text.replace("\xa0", " ").isprintable() and '"' not in text for text in texts)
    if not texts or not plain or len(listed) > LONGEST_LIST or max(map(len, texts)) > LONGEST_TEXT:
        return None
    weights = {text: weight for weight, text in enumerate(spelled, 1)}
    total = sum(weights[text.casefold()] for text in texts)
    numbers = ",".join(map(str, weights.values()))
    return f"(SUMPRODUCT(({where}={{{listed}}})*{{{numbers}}})<>{total})"


def literal(text: str) -> str:
    """A text as a formula spells it.

    Examples
    --------
    >>> literal('6" tin')
    '"6"" tin"'
    """
    return '"' + text.replace('"', '""') + '"'
