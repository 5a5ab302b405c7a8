"""The settings of a shoot, with what holds when one is blank."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from decimal import Decimal
from enum import StrEnum
from fractions import Fraction
from typing import Annotated, ClassVar

from pydantic import Field

from costing.findings import Place
from costing.holding.models import Temperature
from costing.kitchen.rows import FromRow
from costing.quantities import Measures, Rounding


class AllergenList(StrEnum):
    """Whose list of allergens is used."""

    US = "US"
    EU = "EU"
    AU_NZ = "AU-NZ"
    CA = "CA"


class Settings(FromRow):
    """The settings of a shoot; ``None`` means blank.

    Parameters
    ----------
    title : str
        Of the shoot.
    currency : str, optional
        ISO 4217 code; without one money has two digits and no sign.
    prices_include_tax : bool
        Whether the prices in Packs include tax.
    tax_rate : Fraction
        Used when prices exclude tax. [fraction]
    tax_rounding : Rounding
        How tax is rounded, once per shop and rate.
    measures : Measures
        What tsp, tbsp, cup, fl oz and pint mean.
    time_zone : str, optional
        IANA name; ``None`` is the computer's.
    procedures : bool
        Whether written procedures for time as a control are kept.
    holding_rules : tuple of str, optional
        Rule ids; ``None`` is the strictest general rule.
    room_temperature : Temperature, optional
        Of the set.
    shopping_date : date, optional
        ``None``: the day before the first shoot date.
    chance_of_running_out : Fraction
        Accepted for the whole shoot. [fraction]
    leftovers_counted : Fraction
        Part of the value of leftovers that keep which is taken off when baskets are compared.
        [fraction]
    allergen_list : AllergenList
        Whose list of allergens is used.
    budget : Decimal, optional
        For the whole job, beside those of the episodes. [money]
    bowl_sizes : tuple of Fraction
        Of the bowls at hand. [ml]
    given : frozenset of str
        Headings of the settings the person has filled in.
    places : mapping of str to Place
        Where the value of each of them stands.
    """

    sheet: ClassVar[str] = "Settings"
    title: str = ""
    currency: str | None = None
    prices_include_tax: bool = True
    tax_rate: Annotated[Fraction, Field(ge=0)] = Fraction(0)
    tax_rounding: Rounding = Rounding.HALF_UP
    measures: Measures = Measures.METRIC
    time_zone: str | None = None
    procedures: bool = False
    holding_rules: tuple[str, ...] | None = None
    room_temperature: Temperature | None = None
    shopping_date: date | None = None
    chance_of_running_out: Annotated[Fraction, Field(ge=0, lt=1)] = Fraction(1, 20)
    leftovers_counted: Annotated[Fraction, Field(ge=0, le=1)] = Fraction(0)
    allergen_list: AllergenList = AllergenList.EU
    budget: Annotated[Decimal, Field(ge=0)] | None = None
    bowl_sizes: tuple[Annotated[Fraction, Field(gt=0)], ...] = tuple(
        map(Fraction, (30, 60, 120, 250, 500, 1000))
    )
    given: frozenset[str] = frozenset()
    places: Mapping[str, Place] = {}

    def at(self, heading: str = "") -> Place:
        """Place of the value of a setting; for what was built in code, where it would be."""
        return self.places.get(heading, Place(self.sheet, name=heading))
