"""An episode shot from a workbook; a batch day has several."""

from __future__ import annotations

from datetime import date, time
from decimal import Decimal
from typing import Annotated, ClassVar

from pydantic import Field

from costing.kitchen.ingredients import Positive
from costing.kitchen.rows import FromRow


class Episode(FromRow):
    """One episode.

    Parameters
    ----------
    name : str
        As in the shoot plan.
    title : str
        What viewers read.
    shoot_date : date, optional
        The day it is shot.
    call_time : time, optional
        When the shoot begins.
    portions, minutes : Fraction, optional
        Only divide the cost. [portion], [minute]
    budget : Decimal, optional
        For its share of what is bought. [money]
    """

    sheet: ClassVar[str] = "Episodes"
    name: str
    title: str = ""
    shoot_date: date | None = None
    call_time: time | None = None
    portions: Positive | None = None
    minutes: Positive | None = None
    budget: Annotated[Decimal, Field(ge=0)] | None = None
    note: str = ""
