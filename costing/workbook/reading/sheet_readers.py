"""Readers of the sheets that have a rule which no column can declare.

The other sheets are read by :class:`SheetReader` as it is.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from costing.findings import Grade, Place, Row, Words, lack, message
from costing.listing import row_words
from costing.names import is_water, key
from costing.quantities import BATCH, decimal_or_fraction
from costing.quantities.fields import FromRow
from costing.shoot import LeftOut
from costing.shoot.unused import rows_change_nothing
from costing.workbook.layout import Without
from costing.workbook.package.worksheets import FilledCell
from costing.workbook.reading.areas import Area
from costing.workbook.reading.cells import RowCells, is_number, shortened
from costing.workbook.reading.holding import HoldingReader
from costing.workbook.reading.kinds import read_cell
from costing.workbook.reading.numbers import number_out_of_range, whole
from costing.workbook.reading.rows import Read, SheetReader
from costing.workbook.reading.weighs import (
    Unmeasured,
    Unweighed,
    weighed,
    weighs_otherwise,
    weighs_unreadable,
)

OF_AN_INGREDIENT = frozenset(("Unit", "Cut", "Measured", "Candidates", "Shown", "Optional"))
"""What Recipes says of the ingredient of a row; a step without one has none of it."""


class RecipeReader(SheetReader):
    """Recipes: a blank Step is that of the dish's line above, and a step may take nothing."""

    def __init__(self, area: Area) -> None:
        super().__init__(area)
        self._last: dict[str, int] = {}
        self._names: dict[tuple[str, int], tuple[str, list[Place]]] = {}
        """Name of a step, and the cells that call it so."""
        self._typed: dict[str, tuple[Place, list[int]]] = {}
        """By dish its last number of a step, and the rows below that take it over."""
        self._told: set[str] = set()
        """Dishes of which it is told that a number goes back."""
        self._idle: list[Row] = []
        """Rows without ingredient that say something of one."""

    def fields(self, cells: RowCells) -> dict[str, Any] | None:
        """A line with its step; ``None`` for a row without ingredient that names no step."""
        given = whole(cells, "Step")
        if given is not None and given < 1:
            cells.fail("Step", number_out_of_range, str(given), "a step of 1 or more")
        fields = super().fields(cells) or {}
        if "dish" not in fields or not cells.failed.isdisjoint(("Step", "Ingredient")):
            return fields
        dish = key(fields["dish"])
        step = self._last.get(dish, 1) if given is None else given
        self._tell_of_order(cells, dish, given)
        self._last[dish] = step
        fields |= {"step": step, "step_name": self._step_name(cells, dish, step)}
        if "ingredient" in fields:
            self._tell_of_no_amount(cells, fields)
            return fields
        if "Amount" in cells.cells:
            cells.required("Ingredient")
            return fields
        if not cells.cells.keys().isdisjoint(OF_AN_INGREDIENT):
            self._idle.append(cells.row)
        return None if given is None and not fields["step_name"] else fields

    def _tell_of_order(self, cells: RowCells, dish: str, given: int | None) -> None:
        """Say once of a dish that a number of a step stands before a lower one.

        Lines may stand so, and a slip looks the same: it takes the lines below it with it.
        """
        if given is None:
            if dish in self._typed:
                self._typed[dish][1].append(cells.number)
            return
        if given < self._last.get(dish, 1) and dish not in self._told:
            place, below = self._typed[dish]
            here, rows = cells.at("Step").cell, row_words(below)
            cells.findings.append(step_goes_back(place, self._last[dish], given, here, rows))
            self._told.add(dish)
        self._typed[dish] = cells.at("Step"), []

    def _step_name(self, cells: RowCells, dish: str, step: int) -> str:
        """The name of a step, where its line gives it one.

        Of two names the one that is another step's already was left behind when its row moved.
        """
        name = cells.name("Step name")
        if not name:
            return name
        first, called = self._names.setdefault((dish, step), (name, []))
        here = cells.at("Step name")
        if key(first) == key(name):
            called.append(here)
            return name
        steps = {
            key(known): at
            for (of, at), (known, _) in self._names.items()
            if of == dish and at != step
        }
        about = step, shortened(first), shortened(name)
        if key(first) in steps and key(name) not in steps:
            other = steps[key(first)]
            cells.findings += [step_name_left(place, *about, other) for place in called]
            self._names[dish, step] = name, [here]
        elif dish not in self._told:  # a number that goes back may have taken the row with it
            cells.findings.append(step_named_twice(here, *about))
        return name

    def _tell_of_no_amount(self, cells: RowCells, fields: dict[str, Any]) -> None:
        place, ingredient = cells.at("Amount"), fields["ingredient"]
        if "to_taste" in fields:
            cells.findings.append(amount_to_taste(place, ingredient))
            return
        # water comes from the tap and is not bought
        is_blank = cells.value("Amount") is None and "Amount" not in cells.failed
        if is_blank and not is_water(ingredient):
            cells.findings.append(amount_missing(place, ingredient))

    def row(self, cells: RowCells, fields: dict[str, Any]) -> FromRow | None:
        """A line, its amount unknown where a cell could not be read that says how much."""
        line = super().row(cells, fields)
        if line is None or cells.failed.isdisjoint(self.lost[Without.RESULTS]):
            return line
        return line.model_copy(update={"amount": None, "amount_low": None, "to_taste": False})

    def read(self) -> Read:
        """The lines; what dishes there are decides which units may stand on other sheets."""
        found = super().read()
        if self._idle:
            rows = row_words(row.number for row in self._idle if row.number)
            place = self._idle[0].at("Ingredient")
            why = "with a blank Ingredient"
            self.area.findings.append(rows_change_nothing(place, rows, why))
        known = self.area.known
        known.dishes = {key(line.dish) for line in found.rows}
        known.measured = {
            key(one.ingredient) for one in found.rows if one.amount and one.amount.unit != BATCH
        }
        return found

    def leave_out(self, cells: RowCells, *, usable: bool) -> None:
        """A line of unknown amount stays; its need is unknown, which its finding says."""
        if not usable:
            super().leave_out(cells, usable=usable)


class IngredientReader(SheetReader):
    """Ingredients: Weighs stands for the columns of grams, and brings units of its own."""

    def fields(self, cells: RowCells) -> dict[str, Any] | None:
        """What is given, and what Weighs gives where the columns of grams are blank."""
        fields = super().fields(cells) or {}
        if "name" not in fields or "weighs" not in fields:
            return fields
        known = self.area.known
        try:
            found = weighed(fields["weighs"], known.measures)
        except Unweighed as fault:
            if isinstance(fault, Unmeasured):  # the setting Measures has its own message
                cells.failed.add("Weighs")
            else:
                cells.fail("Weighs", weighs_unreadable, fault.part, fault.against)
            known.pieces[key(fields["name"])] = None
            del fields["weighs"]
            return fields
        known.pieces[key(fields["name"])] = found
        for field, heading, value in (
            ("density", "Grams per ml", found.density),
            ("piece_weight", "Grams per piece", found.piece_weight),
        ):
            if value is None or heading in cells.failed:
                continue
            if fields.setdefault(field, value) != value:
                shown = decimal_or_fraction(value)
                cells.tell(heading, weighs_otherwise, heading, shown)
        return fields


class ShotReader(SheetReader):
    """Shoot plan: the three numbers of times must rise, and a name alone is told what it takes."""

    def row(self, cells: RowCells, fields: dict[str, Any]) -> FromRow | None:
        """A shot, unless its numbers of times are out of order."""
        counts = [fields.get(name) for name in ("fewest", "times", "most")]
        if cells.failed.isdisjoint(("Times", "Fewest", "Most")) and not _rising(*counts):
            shown = ("blank" if count is None else str(count) for count in counts)
            cells.fail("Times", times_out_of_order, *shown)
            return None
        typed = {at for at, one in cells.cells.items() if one is None or one.row == cells.number}
        purpose_left_blank = "Purpose" in self.area.columns.values()
        if typed == {"Shot"} and fields.get("dish") and purpose_left_blank:
            cells.findings.append(shot_only_named(cells.at("Shot"), cells.row.name, fields["dish"]))
        return super().row(cells, fields)


def _rising(fewest: int | None, times: int | None, most: int | None) -> bool:
    """Whether a three-point estimate rises; a blank Times counts as 1, the others as Times."""
    likely = 1 if times is None else times
    return (fewest is None or fewest <= likely) and (most is None or likely <= most)


class PackReader(SheetReader):
    """Packs: without its tax nobody knows what a pack costs."""

    def read(self) -> Read:
        """The packs; a whole column that is in doubt is left out once."""
        for heading in sorted(self.area.doubtful & {"Price", "Tax rate %"}):
            place = self.area.place(self.area.header, heading)
            self.found.left_out.append(LeftOut(what=f'column "{heading}"', place=place))
        return super().read()

    def fields(self, cells: RowCells) -> dict[str, Any] | None:
        """A pack, its price unknown where its tax cannot be read."""
        fields = super().fields(cells) or {}
        if "Tax rate %" in cells.failed:
            fields.pop("price", None)
        return fields


class ReceiptReader(SheetReader):
    """Receipts: what was given back may be below 0 in Packs and Amount too, as Paid is."""

    def fields(self, cells: RowCells) -> dict[str, Any] | None:
        """What is given; how much was given back is above 0, and Paid below."""
        paid = read_cell(cells, "Paid").get("paid") if "Paid" in cells.cells else None
        for heading in ("Packs", "Amount") if paid is not None and paid < 0 else ():
            value = cells.value(heading)
            if is_number(value) and value < 0:
                # of no row: a number that was turned round is not what stands in the cell
                cells.carry(heading, FilledCell(0, 0, -value, cells.number_format(heading)))
        return super().fields(cells)


class EpisodeReader(SheetReader):
    """Episodes: one whose date cannot be read stays, and what depends on the date is left out."""

    def row(self, cells: RowCells, fields: dict[str, Any]) -> FromRow | None:
        """An episode."""
        if "Shoot date" in cells.failed:
            name, place = fields.get("name", ""), cells.at("Shoot date")
            what = f'the date of episode "{name}"'
            self.found.left_out.append(LeftOut(what=what, place=place, name=name, in_totals=False))
            more = " Until then what is on hand with a last day does not count."
            cells.findings[:] = [
                replace(one, remedy=one.remedy + more) if one.place == place else one
                for one in cells.findings
            ]
        return super().row(cells, fields)

    def read(self) -> Read:
        """The episodes, which the times of other sheets are on."""
        found = super().read()
        self.area.known.episodes.extend(found.rows)
        return found


SHEET_READERS: dict[str, type[SheetReader]] = {
    "Recipes": RecipeReader,
    "Ingredients": IngredientReader,
    "Shoot plan": ShotReader,
    "Packs": PackReader,
    "Receipts": ReceiptReader,
    "Episodes": EpisodeReader,
    "Holding": HoldingReader,
}
"""By the title of the sheet; all others are read by ``SheetReader`` itself."""


@lack("amount missing", Grade.WARNING)
def amount_missing(ingredient: str) -> Words:
    return Words(
        "a blank cell",
        "a number, a fraction such as 1 1/2, a range such as 2-3, or to taste",
        f"Fill the cell; until then the need for {ingredient} is unknown and left out.",
    )


@lack("amount to taste", Grade.NOTE)
def amount_to_taste(ingredient: str) -> Words:
    return Words(
        '"to taste"',
        "an amount, if it is to be bought",
        f"Nothing is computed for {ingredient} here; see that there is some.",
    )


@message("step named twice", Grade.WARNING)
def step_named_twice(step: int, name: str, other: str) -> Words:
    return Words(
        f'"{other}" as the name of step {step}, which was called "{name}" above',
        "one name for each step, and a number for each new step",
        "If a new step begins here, write its number into Step; a blank Step means the step of "
        "the row above.",
    )


@message("step goes back", Grade.NOTE)
def step_goes_back(step: int, lower: int, cell: str, below: str) -> Words:
    go = "go" if below.startswith("rows") else "goes"
    taken = f"; {below} without a number {go} into step {step}"
    return Words(
        f"step {step} above step {lower} in {cell}{taken if below else ''}",
        "steps in cooking order",
        "Mend the number that is wrong; leave both if the lines are meant so. A blank Step means "
        "the step of the row above.",
    )


@message("step name left behind", Grade.WARNING)
def step_name_left(step: int, name: str, own: str, other: int) -> Words:
    """A row that was moved to another step and kept the name of its old one."""
    return Words(
        f'"{name}" as the name of step {step}, which is called "{own}" below',
        "one name for each step",
        f'Write {own} here, or leave it blank; "{name}" is the name of step {other}. If the row '
        f"belongs there, write {other} into Step.",
    )


@message("shot only named", Grade.NOTE)
def shot_only_named(name: str, dish: str) -> Words:
    """A shot of which all but the name is a default."""
    return Words(
        f'"{name}" with nothing beside it',
        "the purpose of the shot, and what else it takes",
        f'It counts as one cook-through: a whole "{dish}" is bought for it. Write its Purpose, '
        "cook-through if it is meant so, or clear the row.",
    )


@message("times out of order", Grade.ERROR)
def times_out_of_order(fewest: str, times: str, most: str) -> Words:
    return Words(
        f"Fewest {fewest}, Times {times} and Most {most}",
        "numbers that rise from Fewest over Times to Most",
        "Mend one of them; a blank Times counts as 1, a blank Fewest or Most as Times. Until then "
        "the shot is left out.",
    )
