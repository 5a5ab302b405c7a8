"""What one bought thing gives at once: a yolk and a white, juice and zest."""

from __future__ import annotations

from typing import ClassVar

from pydantic import model_validator

from costing.kitchen.rows import FromRow
from costing.quantities.fields import AmountGiven


class Part(FromRow):
    """One part of an article, cut one way.

    Rows with the same article and way belong together: one cutting gives all of their parts.

    Parameters
    ----------
    ingredient : str
        The article that is bought.
    amount : Amount
        How much of it is cut. [mass, volume or count]
    name : str
        The part; an ingredient of recipes like any other.
    part_amount : Amount
        What the amount gives of it. [mass, volume or count]
    way : str
        What this way of cutting is called; may be blank.
    source : str
        Where it is published, when it was filled from a table.

    Examples
    --------
    >>> part = Part(ingredient="lemon", amount="1 each", name="lemon juice", part_amount="40 ml")
    >>> print(part.part_amount)
    40 ml
    """

    sheet: ClassVar[str] = "Parts"
    ingredient: str
    amount: AmountGiven
    name: str
    part_amount: AmountGiven
    way: str = ""
    note: str = ""
    source: str = ""

    @model_validator(mode="after")
    def _gives_something(self) -> Part:
        if self.amount.base <= 0 or self.part_amount.base <= 0:
            raise ValueError("an amount in Parts must be above 0")
        return self
