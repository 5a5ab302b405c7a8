"""What the published tables give for a blank cell of Ingredients: one value, or the choices.

A blank is filled only when the ingredient's name is a food's name or synonym and one published
value fits. Where values disagree, all are shown; which one is used is a stated rule:

* several states of a food (cored; cored and peeled) are a choice, unless the name or the cut says
  one (salmon fillet; cored);
* a piece is of the kind that is counted: the food whole, or what the name or the cut says (garlic
  clove); of several sizes it is the medium one; a leaf or a wedge is only shown beside a head or a
  lemon, and a berry beside what a shop sells one of;
* a figure of all varieties goes before one of a variety, and first-hand before second-hand: the
  other rows are marked *show* in the tables and stand in the note;
* of one cut the cup is used, else the largest measure printed (a spoon is rounded harder);
* a line with a cut means the measure printed for it, else one of a cut that fills a cup nearly
  alike (diced for chopped), else one printed without a cut word, and the note says so;
* a line without a cut means the measure printed without a cut word, but not a spoon beside cups of
  some cut; when there is none, all must lie within :data:`AGREEMENT` of each other, and the note
  says for which cut the one taken is printed;
* of a range of days the low end is used, in the place the food is usually kept.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import replace

from costing.reference.allergens import listed_allergens
from costing.reference.cuts import cut_word, form_words, same_family
from costing.reference.filled import (
    Choices,
    Filled,
    decided,
    from_row,
    from_rows,
    others_published,
    undecided,
    with_note,
)
from costing.reference.foods import NO_MATCH, Match, find_food
from costing.reference.pieces import AGREEMENT, GROWN_PIECES, piece_weight
from costing.reference.tables import HouseholdMeasure, Published, StorageDays, TrimYield, published

COOKED_DENSITY = "Grams per ml when cooked"
"""What a cup measured cooked weighs; it has no column of its own, a person writes grams."""

Filler = Callable[[Published, Match, str], Filled | Choices | None]

INTACT_FORMS = GROWN_PIECES - {"floweret", "leaf"} | {"whole"}
"""Forms in which a food keeps, and needs control of its temperature, as the uncut food does."""


PLACES = {"fresh": "refrigerated", "frozen": "frozen", "shelf": "pantry"}
"""Where a food is kept that is sold so."""


def fill(
    name: str,
    column: str,
    *,
    cut: str = "",
    sold_each: bool = False,
    allergen_list: str = "EU",
) -> Filled | Choices | None:
    """What the tables give for a blank cell.

    ``None`` when the name is no known food or nothing is published for it.

    Parameters
    ----------
    column : str
        One of :data:`FILLED_COLUMNS`.
    cut : str
        The cut of the recipe line, which chooses the household measure, the piece, or the state
        after trimming.
    sold_each : bool
        Whether a shop or the stock counts pieces of it, which chooses the weight of a piece.

    Raises
    ------
    ValueError
        If the tables fill no such column.

    Examples
    --------
    >>> fill("onions", "Trim yield %").text
    '90'
    >>> [c.text for c in fill("apple", "Trim yield %").candidates]
    ['90', '77']
    >>> fill("onion", "Grams per ml", cut="diced").text
    '0.6763'
    """
    if column not in FILLED_COLUMNS:
        raise ValueError(f"no table fills the column {column!r}")
    match = find_food(name)
    if match.food is None:
        of_words = match.how == "several" and column in ("Allergens", "Holding class")
        return _same_of_all(match, column, allergen_list) if of_words else None
    about = published(match.food.food_id)
    if column == "Allergens":
        return listed_allergens(about, allergen_list)
    if column == "Grams per piece":
        trim_yield = _trim_yield(about, NO_MATCH, "")
        return piece_weight(about, match, cut, sold_each=sold_each, trim_yield=trim_yield)
    return _FILLERS[column](about, match, cut)


def kept_as(name: str, state: str) -> Filled | None:
    """How long a food keeps from the day it is bought, as it is sold: the least published.

    Under the column State; ``None`` where nothing is published for it. [day]

    Examples
    --------
    >>> kept_as("cod", "frozen").text, kept_as("unheard-of", "frozen")
    ('180', None)
    """
    match = find_food(name)
    if match.food is None:
        return None
    rows = [
        row
        for row in published(match.food.food_id).storage_days
        if row.place == PLACES[state] and row.counted_from == "purchase"
    ]
    return min(from_rows("State", rows), key=lambda one: one.number, default=None)


def fill_of_several_foods(
    name: str, column: str, *, cut: str = "", sold_each: bool = False
) -> Choices | None:
    """The values of all foods that go by one plain name, such as rice; ``None`` for other names.

    The parameters are those of :func:`fill`.
    """
    match = find_food(name)
    if match.how != "several":
        return None
    names = [one.food.name for one in match.suggestions]
    values = [(food, fill(food, column, cut=cut, sold_each=sold_each)) for food in names]
    candidates = tuple(
        replace(value, state=", ".join(part for part in (food, value.state) if part))
        for food, value in values
        if isinstance(value, Filled)
    )
    why = "several foods go by this name"
    return (
        Choices(column=column, food_id="", candidates=candidates, why=why) if candidates else None
    )


def _same_of_all(match: Match, column: str, allergen_list: str) -> Filled | None:
    """Words that hold for all foods of one plain name, as milk for every cream."""
    names = [one.food.name for one in match.suggestions]
    values = [fill(name, column, allergen_list=allergen_list) for name in names]
    found = [value for value in values if isinstance(value, Filled)]
    if len(found) < len(names) or len({value.value for value in found}) > 1:
        return None
    return with_note(found[0], f"the same for all that go by this name: {', '.join(names)}")


def other_pieces(name: str) -> tuple[str, ...]:
    """What is published of other kinds of pieces of a food than the one a shop sells one of.

    Examples
    --------
    >>> other_pieces("parsley"), other_pieces("onion")
    (('a sprig 1 g',), ())
    """
    given = fill(name, "Grams per piece", sold_each=True)
    if not isinstance(given, Choices) or given.of_the_food:
        return ()
    return tuple(f"a {value.state} {value.text} g" for value in given.candidates)


def _trim_yield(about: Published, match: Match, cut: str) -> Filled | Choices | None:
    """The yield of the form that the name says and the state that the cut says.

    A cut that names a state wholly (cored) goes before one that names a part of it (cored and
    peeled).
    """
    column = "Trim yield %"
    rows = about.trim_yields
    fitting = _in_form([row for row in rows if row.fills], frozenset(match.forms))
    words = _state_words(cut.casefold())
    if words:
        after = {row.row_id: _state_words(row.after) for row in fitting}
        fitting = (
            [row for row in fitting if after[row.row_id] == words]
            or [row for row in fitting if words.issubset(after[row.row_id])]
            or fitting
        )
    shown = [row for row in rows if not row.fills]
    return decided(
        column,
        about,
        from_rows(column, fitting),
        from_rows(column, shown),
        why="it depends on the state in which it is bought and used",
    )


def _in_form(rows: list[TrimYield], forms: frozenset[str]) -> list[TrimYield]:
    """Those bought in the form that the name says (fillets, whole), else left in it, else all."""
    if not forms:
        return rows
    before = [row for row in rows if forms <= form_words(row.before)]
    return before or [row for row in rows if forms <= form_words(row.after)] or rows


def _state_words(text: str) -> frozenset[str]:
    return frozenset(text.replace(",", " ").replace(" and ", " ").split())


def _cooked_weight(about: Published, _: Match, cut: str) -> Filled | Choices | None:
    """The cooked weight by the way of cooking that the cut says, else by any."""
    column = "Cooked weight %"
    rows = about.cooked_weights
    fitting = [row for row in rows if row.fills]
    named = [row for row in fitting if cut and cut.casefold() in row.method]
    return decided(
        column,
        about,
        from_rows(column, named or fitting),
        from_rows(column, (row for row in rows if not row.fills)),
        within=AGREEMENT,
        why="it depends on how it is cooked",
    )


def _density(
    column: str, about: Published, rows: Iterable[HouseholdMeasure], cut: str
) -> Filled | Choices | None:
    """The density of a cut, from measures of the food as it is bought or when cooked."""
    measures = _one_of_each_cut(rows)
    values = [(row, _density_value(column, row)) for row in measures]
    given = [(row, value) for row, value in values if row.fills]
    word = cut_word(cut)
    if word:
        fitting = _for_cut(word, values)
        if not fitting:
            every = [value for _, value in given]
            return undecided(column, about, every, f"none is published for {word}")
        shown: list[Filled] = []
    else:
        cups = any(row.is_cup for row, _ in given)
        # a spoon is rounded harder than a cup, so that it counts only where no cup is printed
        as_it_comes = [value for row, value in given if not row.cuts and (row.is_cup or not cups)]
        fitting = as_it_comes or [
            _borrowed(value, f"printed for {value.state}", "used without a cut")
            for row, value in given
            if row.cuts
        ]
        taken = {value.locator for value in fitting}
        shown = [value for _, value in values if value.locator not in taken]
    why = "the weight of a cup depends on the cut"
    return decided(column, about, fitting, shown, within=AGREEMENT, why=why)


def _density_value(column: str, row: HouseholdMeasure) -> Filled:
    """The density of a measure; one printed for another state (boiled, for canned) says so."""
    value = from_row(column, row, row.density, "g/ml")
    return replace(value, borrowed=row.note) if row.note.startswith("printed for") else value


def _for_cut(word: str, values: Iterable[tuple[HouseholdMeasure, Filled]]) -> list[Filled]:
    """Measures printed for a cut, else for one like it, else without a cut word."""
    exact: list[Filled] = []
    alike: list[Filled] = []
    plain: list[Filled] = []
    for row, value in values:
        if word in row.cuts:
            exact.append(value)
        elif row.fills and any(same_family(word, known) for known in row.cuts):
            alike.append(_borrowed(value, f"printed for {value.state}", f"used for {word}"))
        elif row.fills and not row.cuts:
            plain.append(_borrowed(value, "printed without a cut", f"used for {word}"))
    return exact or alike or plain


def _borrowed(value: Filled, printed: str, used: str) -> Filled:
    """A measure printed for one cut and taken for another, which is said."""
    return replace(with_note(value, f"{printed}, {used}"), borrowed=value.borrowed or printed)


def _one_of_each_cut(rows: Iterable[HouseholdMeasure]) -> list[HouseholdMeasure]:
    """Of one cut and sort the cup, else the largest measure, in the order printed."""
    best: dict[tuple[str, str], HouseholdMeasure] = {}
    for row in rows:
        key = (row.cut, row.sort)
        if key not in best or (row.is_cup, row.size) > (best[key].is_cup, best[key].size):
            best[key] = row
    return list(best.values())


def _cut_up(match: Match) -> bool:
    """Whether a name says that the food was cut up."""
    return match.how == "form" and not INTACT_FORMS.issuperset(match.forms)


def _keeps(*, opened: bool, column: str) -> Filler:
    """A filler for the days from purchase, or from opening.

    What is printed as Indefinitely has no number: the days after opening are the least that is
    certain.
    """

    def filler(about: Published, match: Match, _: str) -> Filled | Choices | None:
        """The days in the usual place, with the others in the note; sealed at least as opened."""
        rows: list[StorageDays] = [
            row for row in about.storage_days if (row.counted_from == "opening") is opened
        ]
        if _cut_up(match):
            return None  # it keeps for less
        usual = from_rows(column, (row for row in rows if row.fills))
        if usual:
            other = from_rows(column, (row for row in rows if not row.fills))
            return with_note(usual[0], others_published(other))
        if not opened and "Indefinitely" in [row.as_printed for row in rows]:
            after = _keeps(opened=True, column=column)(about, match, "")
            if isinstance(after, Filled):
                return with_note(after, "sealed it is printed as Indefinitely: at least this long")
        return None

    return filler


def _holding_class(about: Published, match: Match, _: str) -> Filled | None:
    """From when on the food needs time or temperature control, with the legal word for it."""
    row = about.holding
    if row is None:
        return None
    if _cut_up(match) and row.holding_class == "when cut":
        return None  # the name says that it is cut: it counts as always until the user decides
    doubt = "doubtful" if row.doubtful else ""
    return Filled(
        column="Holding class",
        food_id=row.food_id,
        value=row.holding_class,
        state=row.legal_word,
        source_id=row.source_id,
        locator=row.locator,
        verified=row.verified,
        as_printed=row.legal_word,
        note="; ".join(part for part in (doubt, row.note) if part),
    )


_FILLERS: dict[str, Filler] = {
    "Trim yield %": _trim_yield,
    "Cooked weight %": _cooked_weight,
    "Grams per ml": lambda about, _, cut: _density(
        "Grams per ml", about, about.household_measures, cut
    ),
    COOKED_DENSITY: lambda about, _, cut: _density(
        COOKED_DENSITY, about, about.cooked_measures, cut
    ),
    "Keeps days": _keeps(opened=False, column="Keeps days"),
    "Keeps days after opening": _keeps(opened=True, column="Keeps days after opening"),
    "Holding class": _holding_class,
}

FILLED_COLUMNS = (*_FILLERS, "Grams per piece", "Allergens")
"""What may be filled; the cooked density and the days after opening have no column of their own."""
