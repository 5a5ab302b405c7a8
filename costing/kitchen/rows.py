"""What every model of the kitchen and the shoot shares."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any, ClassVar

from pydantic import BaseModel, ConfigDict

from costing.findings import NO_ROW, Place, Row
from costing.quantities.fields import told_fields

NOT_SHOWN = frozenset({"row", "places"})
"""Fields that say where a model is."""


class FromRow(BaseModel):
    """A frozen model that remembers the row it was read from.

    Parameters
    ----------
    row : Row
        Where it is in a workbook; nowhere for what was built in code.
    """

    model_config = ConfigDict(frozen=True, extra="forbid", arbitrary_types_allowed=True)

    sheet: ClassVar[str] = ""
    named_by: ClassVar[str] = "name"
    row: Row = NO_ROW

    def __repr_args__(self) -> Iterator[tuple[str, Any]]:
        """What was given, without its place."""
        return told_fields(self, but=NOT_SHOWN)

    def at(self, heading: str = "") -> Place:
        """Place of the cell below ``heading``; for what was built in code, where it would be."""
        if self.row.sheet:
            return self.row.at(heading)
        return Place(self.sheet, heading=heading, name=getattr(self, self.named_by, ""))

    def where(self, heading: str = "") -> str:
        """The same in short: the cell, or else sheet and heading."""
        place = self.at(heading)
        return place.cell_reference or str(place)
