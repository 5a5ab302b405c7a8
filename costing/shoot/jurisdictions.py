"""The place of a shoot: which holding rules and which list of allergens it chooses."""

from __future__ import annotations

import tomllib
from functools import cache

from pydantic import BaseModel, ConfigDict

from costing.names import UnknownWord, key, nearest
from costing.quantities import US_MEASURES, Measures, countries
from costing.reference import reference_file

FILE = "jurisdictions.toml"

US_HOME, HOME = "US-HOME-2H", "HOME-2H-5C"
"""The general rules, for homes in the United States and elsewhere."""

TERRITORIES_OF_US = ("AS", "GU", "MP", "PR", "UM", "VI")
"""They are written like a state, behind their country."""

# what a blank Measures means, and what nearly every country uses: it tells none
MEASURES_OF_NO_COUNTRY = (Measures.METRIC,)


class Jurisdiction(BaseModel):
    """A country, or a state of one, with what it chooses.

    Parameters
    ----------
    name : str
        ``country``, or ``country, state``.
    has_rules : bool
        Whether rules and a list of allergens of its own are known here.
    currency : str, optional
        By which it is known where no place is given.
    zones : tuple of str
        Time zones by which it is known where no place is given.
    """

    model_config = ConfigDict(frozen=True, extra="forbid")

    name: str
    also: tuple[str, ...] = ()
    rules: tuple[str, ...]
    allergens: str
    general: str = HOME
    has_rules: bool = True
    currency: str | None = None
    zones: tuple[str, ...] = ()


class UnknownPlace(UnknownWord):
    """No country or state of that name has rules here."""

    said = "{} is no place whose rules are known"


@cache
def jurisdictions() -> dict[str, Jurisdiction]:
    """All of them by name, in the order of the table."""
    tables = tomllib.loads(reference_file(FILE).read_text(encoding="utf-8"))
    return {name: Jurisdiction(name=name, **table) for name, table in tables.items()}


@cache
def _by_key() -> dict[str, Jurisdiction]:
    """By every way a place may be written: a state alone, or with any name of its country."""
    found: dict[str, Jurisdiction] = {}
    for one in jurisdictions().values():
        country, _, state = one.name.partition(", ")
        if not state:
            found |= {key(name): one for name in (one.name, *one.also)}
            continue
        names = (country, *jurisdictions()[country].also)
        found[key(state)] = one
        for name in names:
            found[key(f"{name}, {state}")] = found[key(f"{state}, {name}")] = one
    return found


@cache
def _other_countries() -> dict[str, str]:
    """Names of countries that have no rules here, by key; none that may be a state of the US."""
    names = {code: name for code, name in countries().items() if code not in TERRITORIES_OF_US}
    del names["GE"]  # Georgia
    written = {name: name for name in names.values()}
    written |= {"Turkey": names["TR"], "Macau": names["MO"], "Burma": names["MM"]}
    known = _by_key()
    return {key(form): name for form, name in written.items() if key(form) not in known}


def jurisdiction(text: str) -> Jurisdiction:
    """The country, and the state where it matters, that a text names.

    A state that has no rules of its own here has those of its country, and a country that has none
    the general rule for homes.

    Raises
    ------
    UnknownPlace
        If none is known of that name; it is a ValueError.

    Examples
    --------
    >>> jurisdiction("scotland").rules, jurisdiction("US, Texas").name
    (('SCO-HOLD',), 'United States')
    >>> jurisdiction("Mexico").rules
    ('HOME-2H-5C',)
    """
    typed = ", ".join(" ".join(part.split()) for part in text.split(","))
    known = _by_key()
    if key(typed) in known:
        return known[key(typed)]
    parts = [known[key(part)] for part in typed.split(", ") if key(part) in known]
    states = [one.name.partition(", ")[2] for one in jurisdictions().values() if "," in one.name]
    # a state without rules has those of its country, but not one that may be a slip of another
    slips = [part for part in typed.split(", ") if nearest(part, states)]
    if len(parts) == 1 and "," in typed and "," not in parts[0].name and not slips:
        return parts[0]
    others = _other_countries()
    named = [others[key(part)] for part in typed.split(", ") if key(part) in others]
    if len(named) == 1 and not parts:
        return Jurisdiction(name=named[0], rules=(HOME,), allergens="EU", has_rules=False)
    near = nearest(typed, [*jurisdictions(), *others.values()])
    raise UnknownPlace(text, near)


def without_rules(text: str) -> str:
    """What of a known place has no rules of its own here, a state or a country; blank: nothing.

    Examples
    --------
    >>> without_rules("US, Texas"), without_rules("US, California")
    ('Texas', '')
    """
    known = _by_key()
    jurisdiction(text)
    parts = [" ".join(part.split()) for part in text.split(",")]
    if key(", ".join(parts)) in known:
        return ""
    return ", ".join(part for part in parts if key(part) not in known)


def general_rule(
    place: str | None, measures: Measures, currency: str | None, time_zone: str | None
) -> str:
    """Id of the general rule for homes: by the place, or else by what else tells the country.

    It is that of the United States where Measures, currency or time zone say so or say nothing.

    Examples
    --------
    >>> general_rule(None, Measures.METRIC, None, None)
    'US-HOME-2H'
    >>> general_rule(None, Measures.METRIC, "EUR", "Europe/Lisbon")
    'HOME-2H-5C'
    """
    if place is not None:
        return jurisdiction(place).general
    states = jurisdictions()["United States"]
    of_us = measures in US_MEASURES or currency == states.currency or time_zone in states.zones
    nothing = measures in MEASURES_OF_NO_COUNTRY and currency is None and time_zone is None
    return US_HOME if of_us or nothing else HOME
