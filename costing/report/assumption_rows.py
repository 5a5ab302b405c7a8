"""Rows of Assumptions, every value that nobody typed, and of Findings, every problem."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from decimal import Decimal
from fractions import Fraction
from types import MappingProxyType

from costing.buying.alternatives import Effect
from costing.buying.blanks import ready_as_cut
from costing.buying.books import Books
from costing.buying.published import LIVES, Fill
from costing.buying.published_rows import PackFill
from costing.findings import Finding, choice_words, how_many
from costing.names import key
from costing.prep.bowls import Bowls
from costing.quantities import (
    Amount,
    Dimension,
    decimal_or_fraction,
    magnitude_text,
    money_text,
)
from costing.reference import COOKED_DENSITY, Filled
from costing.report.layouts import ASSUMPTIONS, FINDINGS
from costing.report.tables import Row, Table
from costing.shoot import Settings, Shoot
from costing.shoot.defaults import days_since
from costing.shoot.jurisdictions import jurisdiction
from costing.shoot.learned import learned_from
from costing.shoot.purposes import EATEN
from costing.shoot.weighings import weighings_behind

HOUSE_RULE = "rule of this library"


def assumptions(
    books: Books,
    fills: Sequence[Fill] = (),
    effects: Mapping[Fill, Effect] = MappingProxyType({}),
    *,
    bowls: Sequence[Bowls] = (),
    thawing: Sequence[PackFill] = (),
    words: Sequence[str],
    zone: str,
    zone_given: bool,
) -> Table:
    """One row for each value that was not given, by what it could change of what is paid.

    Those that change nothing of it are folded.

    Parameters
    ----------
    fills : sequence of Fill
        Blanks filled from published tables; those that could change the money most come first.
    effects : mapping of Fill to Effect
        What their ranges could change in the bought value.
    bowls : sequence of Bowls
        What is prepared: their sizes, and the densities that are needed for nothing else.
    words : sequence of str
        Kitchen measures in use whose country nobody chose, such as cup.
    """
    moving = [fill for fill in fills if fill in effects and effects[fill].width]
    trivial = [fill for fill in fills if _is_trivial(fill, effects)]
    rest = [fill for fill in fills if fill not in moving and fill not in trivial]
    asked = [
        *_settings(books.shoot, words, zone=zone, zone_given=zone_given),
        *_plan(books.shoot),
        *_weighed(books.shoot),
        *_ranges(books.shoot),
        *_yields(books),
        *_parts(books.shoot),
        *_stock(books),
        *_spoilage(books),
        *_thawing(thawing),
        *_filled(books, rest, effects),
    ]
    folded = [
        *_filled(books, trivial, effects),
        *_bowl_sizes(books.shoot.settings, bowls),
        *_filled(books, _densities(bowls, books.shoot), {}, why=" for the size of its bowl"),
    ]
    return Table.grouped(ASSUMPTIONS, [_filled(books, moving, effects), asked], folded=folded)


def _is_trivial(fill: Fill, effects: Mapping[Fill, Effect]) -> bool:
    """Whether what is paid is the same for all that is published of a value."""
    effect = effects.get(fill)
    # an allergen is told on top, that none is listed of a food is not
    told = fill.value.column not in LIVES and fill.value.value != ()
    return not told or (effect is not None and not effect.width)


def _tells_times(shoot: Shoot) -> bool:
    """Whether times are shown or logged, which the time zone is of."""
    dated = any(episode.shoot_date for episode in shoot.episodes)
    called = any(shot.starts for shot in shoot.shots) or any(
        episode.call_time for episode in shoot.episodes
    )
    return bool(shoot.containers or shoot.day_log) or (dated and called)


def _setting(about: str, value: str, source: str, override: str) -> Row:
    """A setting that was left blank, the cells of its row in their order."""
    return ASSUMPTIONS.row(
        where="Settings",
        about=about,
        value_used=value,
        source=source,
        how_to_override=override,
    )


def _settings(shoot: Shoot, words: Sequence[str], *, zone: str, zone_given: bool) -> Iterator[Row]:
    """Settings left blank that a result depends on, with what was taken instead."""
    settings = shoot.settings
    if not zone_given and _tells_times(shoot):
        yield _setting("Time zone", zone, "the computer's", "Fill Time zone, an IANA name.")
    of_place = ""
    if settings.place is not None:
        place = jurisdiction(settings.place)
        of_place = place.name if place.has_rules else f"none is known here for {place.name}"
    if settings.holding_rules is None and shoot.containers:
        yield _setting(
            "Holding rules",
            ", ".join(settings.rules),
            "the general rule for homes" if settings.place is None else of_place,
            "Fill Place, or Holding rules with the ids of the rules of the place.",
        )
    if settings.place is not None and "Allergen list" not in settings.places:
        listed = str(settings.allergen_list)
        yield _setting("Allergen list", listed, of_place, "Fill Allergen list.")
    if settings.room_temperature is None and shoot.containers:
        yield _setting(
            "Room temperature",
            "unknown; the hot-room limit where a rule has one",
            HOUSE_RULE,
            "Fill Room temperature with its unit, such as 24 C.",
        )
    if words:
        mean = "mean" if len(words) > 1 else "means"
        yield _setting(
            f"What {choice_words(words, last='and')} {mean}",
            str(settings.measures),
            HOUSE_RULE,
            "Fill Measures.",
        )
    if shoot.shopping_dates and shoot.shopping_dates != settings.shopping_dates:
        one = len(shoot.shopping_dates) == 1 or bool(settings.shopping_dates)
        yield _setting(
            "Shopping date",
            "; ".join(map(str, shoot.shopping_dates)),
            f"the day before {'the first' if one else 'each'} shoot date",
            "Fill Shopping date.",
        )
    if settings.currency is None and any(pack.price is not None for pack in shoot.packs):
        yield _setting(
            "Currency",
            "none: two digits and no sign",
            HOUSE_RULE,
            "Fill Currency, a code of three letters.",
        )


def _bowl_sizes(settings: Settings, bowls: Sequence[Bowls]) -> Iterator[Row]:
    """The sizes that are taken to be at hand, where a bowl has been chosen among them."""
    given = "Bowl sizes" in settings.places or settings.bowl_sizes != Settings().bowl_sizes
    if not given and any(one.size is not None for one in bowls):
        yield _setting(
            "Sizes of the bowls at hand",
            ", ".join(map(magnitude_text, settings.bowl_sizes)) + " ml",
            HOUSE_RULE,
            "Fill Bowl sizes, in ml with commas between them.",
        )


def _densities(bowls: Sequence[Bowls], shoot: Shoot) -> list[Fill]:
    """Published densities that are taken for bowls alone, each once."""
    fills: dict[tuple[str, str, str], Fill] = {}
    for one in bowls:
        if one.volume.density is not None:
            ingredient = shoot.ingredient(one.line.ingredient)
            fill = Fill(ingredient, one.volume.density, one.line.cut)
            fills.setdefault(fill.place, fill)
    return list(fills.values())


def _plan(shoot: Shoot) -> Iterator[Row]:
    """What a purpose or past shoots decided of the plan, and not the user."""
    for shot in shoot.shots:
        if shot.eaten is None and shot.purpose in EATEN:
            yield ASSUMPTIONS.row(
                where=shot.where("Eaten"),
                about=f'Whether the food of "{shot.label}" is eaten',
                value_used="yes",
                source=f"the purpose {shot.purpose}",
                how_to_override="Fill Eaten.",
            )
        if (shoots := learned_from(shot)) is not None:
            yield ASSUMPTIONS.row(
                where=shot.where("Times"),
                about=f'How often "{shot.label}" is taken',
                value_used=", ".join(map(str, (shot.least_times, shot.times, shot.most_times))),
                source=f"learned from {how_many(shoots, 'past shoot')}",
                how_to_override="Write your own Fewest, Times and Most.",
            )


def _weighed(shoot: Shoot) -> Iterator[Row]:
    """Trim yields that were taken over from weighings of past shoots."""
    for one in shoot.ingredients:
        if (weighings := weighings_behind(one)) is not None and one.trim_yield is not None:
            yield ASSUMPTIONS.row(
                where=one.where("Trim yield %"),
                about=f"Trim yield of {one.name}",
                value_used=f"{decimal_or_fraction(100 * one.trim_yield)} %",
                source=f"learned from {how_many(weighings, 'weighing')}",
                how_to_override=f"Fill Trim yield % for {one.name}.",
            )


def _ranges(shoot: Shoot) -> Iterator[Row]:
    for line in shoot.lines:
        if line.amount is not None and line.amount_low is not None:
            yield ASSUMPTIONS.row(
                where=line.where("Amount"),
                about=f'{line.ingredient} in "{line.dish}", a range from {line.amount_low}',
                value_used=str(line.amount),
                source="the upper end is bought",
                how_to_override="Write one number into Amount.",
            )


def _yields(books: Books) -> Iterator[Row]:
    """What is bought untrimmed because no trim yield is known."""
    ready = ready_as_cut(books.shoot)
    for purchase in books.purchases:
        need = purchase.need
        if books.shoot.is_dish(need.ingredient.name):
            continue
        if need.unit.dimension is Dimension.COUNT or need.ingredient.trim_yield is not None:
            continue
        yield ASSUMPTIONS.row(
            where=need.ingredient.where("Trim yield %"),
            about=f"Trim yield of {need.ingredient.name}",
            value_used="100 %",
            source="ready as Parts says it is cut: nothing more is trimmed away"
            if key(need.ingredient.name) in ready
            else "none given: nothing is taken to be lost in trimming",
            how_to_override=f"Fill Trim yield % for {need.ingredient.name}.",
        )


def _parts(shoot: Shoot) -> Iterator[Row]:
    """Parts that were filled from tables."""
    for part in shoot.parts:
        if part.source:
            yield ASSUMPTIONS.row(
                where="Parts",
                about=f"{part.name} from {part.amount} of {part.ingredient}",
                value_used=str(part.part_amount),
                source=part.source,
                how_to_override="Write what yours gives into a row of Parts.",
            )


def _stock(books: Books) -> Iterator[Row]:
    currency = books.shoot.settings.currency or "money"
    for purchase, values in zip(books.purchases, books.values, strict=True):
        for lot, price in values.assumed:
            one = Amount(Fraction(1), purchase.need.unit)
            yield ASSUMPTIONS.row(
                where=lot.where("Value"),
                about=f"Value of {purchase.need.ingredient.name} on hand",
                value_used=f"{magnitude_text(price * one.base)} {currency} for {one}",
                source="the cheapest pack price per unit",
                how_to_override="Fill Value with money for the whole lot.",
            )


def _spoilage(books: Books) -> Iterator[Row]:
    if not any(purchase.allowance for purchase in books.purchases):
        return
    for episode in books.shoot.episodes:
        if episode.shoot_date is None:
            days = days_since(books.shoot.shopping_date, episode)
            yield ASSUMPTIONS.row(
                where=episode.where("Shoot date"),
                about=f'Days from shopping to the shoot of "{episode.name}"',
                value_used=str(days),
                source="no date: the shoot is taken to be the day after shopping",
                how_to_override="Fill Shoot date.",
            )


def _thawing(found: Sequence[PackFill]) -> Iterator[Row]:
    """Days to thaw of frozen packs, by a published time."""
    for one in found:
        value = one.value
        about = f"{value.column} of {one.pack.ingredient}: {value.state}"
        about += _range(value)
        yield ASSUMPTIONS.row(
            where=one.pack.where(value.column),
            about=about,
            value_used=f"{value.text} {value.unit}",
            source=f"{value.source}: {value.as_printed}. {value.note}",
            how_to_override=f"Fill {value.column} for {one.pack.ingredient} on the sheet Packs.",
        )


def _range(value: Filled) -> str:
    """The ends of what is published, where they differ."""
    if value.low is None or value.high is None or value.low == value.high:
        return ""
    return f"; from {magnitude_text(value.low)} to {magnitude_text(value.high)}"


def _filled(
    books: Books, fills: Sequence[Fill], effects: Mapping[Fill, Effect], why: str = ""
) -> Iterator[Row]:
    """Published values, those that could change the money most first."""
    currency = books.shoot.settings.currency
    nothing = Effect(Decimal(0), Decimal(0))
    shown = [fill for fill in fills if _matters(fill, books.shoot)]
    for fill in sorted(shown, key=lambda fill: -effects.get(fill, nothing).width):
        value = fill.value
        about = f"{value.column} of {fill.ingredient.name}"
        about += (f", {fill.cut}" if fill.cut else "") + why
        about += f": {value.state}" if value.state else ""
        about += _range(value)
        if (effect := effects.get(fill)) is not None:
            low, high = sorted((effect.low, effect.high))
            about += (
                f", which would make the bought value {money_text(low, currency)} to "
                f"{money_text(high, currency)}"
            )
        column = "Keeps days" if value.column in LIVES else value.column
        cooked = value.column == COOKED_DENSITY
        yield ASSUMPTIONS.row(
            where=fill.ingredient.where("" if cooked else column),
            about=about,
            value_used=f"{value.text} {value.unit}".strip(),
            source=value.source + (f". {value.note}" if value.note else ""),
            how_to_override=f"Write the cooked {fill.ingredient.name} by weight into the recipe."
            if cooked
            else f"Fill {column} for {fill.ingredient.name} on the sheet Ingredients.",
        )


def _matters(fill: Fill, shoot: Shoot) -> bool:
    """Whether a filled value decides anything in this shoot."""
    name = key(fill.ingredient.name)
    in_stock = any(key(lot.ingredient) == name for lot in shoot.lots)
    if fill.value.column == "Holding class":
        return bool(shoot.containers) or in_stock
    if fill.value.column == "Keeps days":
        return shoot.shopping_date is not None
    if fill.value.column == "Keeps days after opening":
        return in_stock or shoot.shopping_date is not None
    return True


def findings_table(findings: Sequence[Finding]) -> Table:
    """One row for each finding, in the order given."""
    return FINDINGS.table(map(_finding, findings))


def _finding(finding: Finding) -> Row:
    place = finding.place
    return FINDINGS.row(
        grade=str(finding.grade),
        code=finding.code,
        sheet=place.sheet,
        cell=place.cell,
        row=place.name or (str(place.row) if place.row else ""),
        column=place.heading,
        found=finding.found,
        expected=finding.expected,
        what_to_do=finding.remedy,
    )
