"""The settings of a shoot, with what holds when one is blank."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from enum import StrEnum
from fractions import Fraction
from typing import Any, ClassVar
from zoneinfo import ZoneInfo

from pydantic import field_validator, model_validator

from costing.findings import Place
from costing.holding.instants import known_zone
from costing.holding.models import HoldingSettings, TemperatureOrNone
from costing.quantities import Measures, Rounding, currency_digits
from costing.quantities.fields import (
    AtLeast0OrNone,
    DayOrNone,
    Days,
    FromRow,
    ManyOrNone,
    MoneyOrNone,
    Positives,
    Share,
    ShareBelow1,
    Word,
    default,
)
from costing.reference import AllergenList
from costing.shoot.jurisdictions import general_rule, jurisdiction


class MarkUpOn(StrEnum):
    """What a mark-up on charged receipts is a part of.

    Examples
    --------
    >>> MarkUpOn("before tax")
    <MarkUpOn.BEFORE_TAX: 'before tax'>
    """

    PAID = "paid"
    BEFORE_TAX = "before tax"


class Settings(FromRow):
    """The settings of a shoot; ``None`` means blank.

    Parameters
    ----------
    currency : str, optional
        ISO 4217 code; without one money has two digits and no sign.
    tax_rate : Fraction
        Used when prices exclude tax. [fraction]
    tax_rounding : Rounding
        How tax is rounded, once per shop and rate.
    measures : Measures
        What tsp, tbsp, cup, fl oz and pint mean.
    time_zone : str, optional
        IANA name; ``None`` is the computer's.
    place : str, optional
        Country, and state where it matters: chooses the holding rules and the list of allergens.
    holding_rules : tuple of str, optional
        Rule ids; ``None``: those of the place, or else the general rule for homes.
    room_temperature : Temperature, optional
        Of the set.
    shopping_date : date, optional
        The first day of shopping; ``None``: the day before the first shoot date.
    more_shopping_dates : tuple of date
        Further days on which shops without a row on Trips are open.
    chance_of_running_out : Fraction
        Accepted for the whole shoot. [fraction]
    leftovers_counted : Fraction
        Part of the value of leftovers that keep which is taken off when baskets are compared.
        [fraction]
    allergen_list : AllergenList
        Whose list of allergens is used; not given: that of the place, or else of the EU.
    budget : Decimal, optional
        For the whole job, beside those of the episodes. [money]
    bowl_sizes : tuple of Fraction
        Of the bowls at hand. [ml]
    charge_mark_up : Fraction, optional
        Put on what is charged of the receipts. [fraction]
    mark_up_on : MarkUpOn
        What the mark-up is a part of.
    cash_float, cash_counted : Decimal, optional
        Cash that was there before, and that was counted at the end. [money]
    places : mapping of str to Place
        Where the values stand of the settings that the user has filled in, by their headings.

    Examples
    --------
    >>> Settings(currency="EUR", time_zone="Europe/Lisbon", room_temperature="24 C")
    Settings(currency='EUR', time_zone='Europe/Lisbon', room_temperature=Temperature(24 °C))
    """

    sheet: ClassVar[str] = "Settings"
    title: str = ""
    currency: str | None = None
    prices_include_tax: bool = True
    tax_rate: Share = default(Fraction(0))
    tax_rounding: Word[Rounding] = default(Rounding.HALF_UP)
    measures: Word[Measures] = default(Measures.METRIC)
    time_zone: str | None = None
    procedures: bool = False
    place: str | None = None
    holding_rules: ManyOrNone[str] = default(None)
    room_temperature: TemperatureOrNone = default(None)
    shopping_date: DayOrNone = default(None)
    more_shopping_dates: Days = default(())
    chance_of_running_out: ShareBelow1 = default(Fraction(1, 20))
    leftovers_counted: Share = default(Fraction(0))
    allergen_list: Word[AllergenList] = default(AllergenList.EU)
    budget: MoneyOrNone = default(None)
    bowl_sizes: Positives = default(tuple(map(Fraction, (30, 60, 120, 250, 500, 1000))))
    charge_mark_up: AtLeast0OrNone = default(None)
    mark_up_on: Word[MarkUpOn] = default(MarkUpOn.PAID)
    cash_float: MoneyOrNone = default(None)
    cash_counted: MoneyOrNone = default(None)
    places: Mapping[str, Place] = {}

    @model_validator(mode="before")
    @classmethod
    def _list_of_the_place(cls, given: Any) -> Any:
        """The place is known, and chooses the list of allergens where none is named."""
        if not isinstance(given, dict) or given.get("place") is None:
            return given
        found = jurisdiction(str(given["place"]))
        return {"allergen_list": AllergenList(found.allergens), **given}

    @property
    def shopping_dates(self) -> tuple[date, ...]:
        """All days of shopping, the first first."""
        if self.shopping_date is None:
            return self.more_shopping_dates
        return tuple(sorted({self.shopping_date, *self.more_shopping_dates}))

    @property
    def rules(self) -> tuple[str, ...]:
        """Ids of the holding rules to judge by: as named, of the place, or the general one."""
        if self.holding_rules is not None:
            return self.holding_rules
        return (self.general_rule,) if self.place is None else jurisdiction(self.place).rules

    @property
    def general_rule(self) -> str:
        """Id of the rule for homes that stands in where no chosen rule judges."""
        return general_rule(self.place, self.measures, self.currency, self.time_zone)

    @field_validator("currency")
    @classmethod
    def _known_currency(cls, code: str | None) -> str | None:
        if code is not None:
            code = code.strip().upper()
            currency_digits(code)
        return code

    @field_validator("bowl_sizes")
    @classmethod
    def _smallest_first(cls, sizes: tuple[Fraction, ...]) -> tuple[Fraction, ...]:
        return tuple(sorted(set(sizes)))

    @field_validator("time_zone")
    @classmethod
    def _known_zone(cls, name: str | None) -> str | None:
        return None if name is None else known_zone(name)

    @property
    def zone(self) -> ZoneInfo:
        """The time zone, the computer's own where none is given."""
        return ZoneInfo(self.time_zone or computers_zone())

    def at(self, heading: str = "") -> Place:
        """Place of the value of a setting; for what was built in code, where it would be."""
        return self.places.get(heading, Place(self.sheet, name=heading))


def holding_settings(settings: Settings) -> HoldingSettings:
    """What holds for all containers."""
    return HoldingSettings(
        zone=settings.zone.key,
        rules=settings.rules,
        general=settings.general_rule,
        procedures=settings.procedures,
        room=settings.room_temperature,
    )


def computers_zone() -> str:
    """IANA name of the computer's own time zone."""
    from tzlocal import get_localzone_name

    return get_localzone_name()
