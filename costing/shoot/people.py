"""Who eats, and what they avoid."""

from __future__ import annotations

from typing import ClassVar

from costing.kitchen.rows import FromRow
from costing.quantities.fields import ManyOrNone, default


class Person(FromRow):
    """Somebody who may eat of a shot.

    Parameters
    ----------
    name : str
        As in Eaters of the shoot plan.
    avoids : tuple of str, optional
        Allergens, ingredients or diets, as written; ``()`` is nothing, ``None`` is unknown.

    Examples
    --------
    >>> Person(name="camera", avoids=["milk", "leek"]).avoids
    ('milk', 'leek')
    """

    sheet: ClassVar[str] = "People"
    name: str
    avoids: ManyOrNone[str] = default(None)
    note: str = ""
