"""What a food brings, in the words of the allergen list of a place."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, fields
from enum import StrEnum
from functools import cache
from types import MappingProxyType

from costing.reference.files import table_rows
from costing.reference.filled import Filled
from costing.reference.tables import Published


class AllergenList(StrEnum):
    """Whose list of allergens is used.

    Examples
    --------
    >>> AllergenList("AU-NZ")
    <AllergenList.AU_NZ: 'AU-NZ'>
    """

    US = "US"
    EU = "EU"
    AU_NZ = "AU-NZ"
    CA = "CA"


ALLERGEN_LISTS = tuple(AllergenList)

VERIFICATIONS = ("memory", "secondary", "source-text")
"""How far rows are verified, the least first."""


@dataclass(frozen=True, slots=True)
class ListedWord:
    """The word of a list for a substance.

    Parameters
    ----------
    word : str
        As it is shown, with the kind where the list groups several.
    as_printed, source_id, locator, verified, note : str
        Where the list is printed and how it was seen.
    """

    word: str
    as_printed: str
    source_id: str
    locator: str
    verified: str
    note: str


@cache
def allergen_words(allergen_list: str) -> Mapping[str, ListedWord]:
    """The words of a list, by substance.

    Raises
    ------
    ValueError
        If there is no such list.

    Examples
    --------
    >>> allergen_words("EU")["wheat"].word
    'cereals containing gluten (wheat)'
    >>> "mollusc" in allergen_words("US")
    False
    """
    if allergen_list not in ALLERGEN_LISTS:
        raise ValueError(f"no allergen list {allergen_list!r}; known: {', '.join(ALLERGEN_LISTS)}")
    return MappingProxyType(
        {
            row["substance"]: ListedWord(**{one.name: row[one.name] for one in fields(ListedWord)})
            for row in table_rows("allergen_lists")
            if row["list"] == allergen_list
        }
    )


@cache
def known_allergen_words() -> frozenset[str]:
    """Every word of every list, whole and without its brackets, and the substances themselves.

    Examples
    --------
    >>> {"milk", "wheat", "cereals containing gluten"} <= known_allergen_words()
    True
    """
    words = {
        part.strip(" ()")
        for row in table_rows("allergen_lists")
        for written in (row["word"], row["substance"])
        for part in (written, *written.partition("(")[::2])
    }
    return frozenset(word.casefold() for word in words if word)


def listed_allergens(about: Published, allergen_list: str) -> Filled | None:
    """What a food brings by one list; what it often brings is named too, out of caution.

    Without words: none of that list's; ``None`` when nothing is known of the food.

    Raises
    ------
    ValueError
        If there is no such list.
    """
    brings = about.allergens
    words = allergen_words(allergen_list)
    if not brings:
        return None
    named = [(row, words[row.substance]) for row in brings if row.substance in words]
    notes = [f"{word.word}: {row.why}" for row, word in named if row.why] + [
        word.note for _, word in named if word.note
    ]
    # no surer than the least sure row it rests on
    seen = [row.verified for row in brings] + [word.verified for _, word in named]
    lists = [word for _, word in named]
    return Filled(
        column="Allergens",
        food_id=about.food.food_id,
        value=tuple(dict.fromkeys(word.word for word in lists)),
        state=allergen_list,
        source_id=lists[0].source_id if lists else brings[0].source_id,
        locator=lists[0].locator if lists else brings[0].locator,
        verified=min(seen, key=VERIFICATIONS.index),
        as_printed=", ".join(dict.fromkeys(word.as_printed for word in lists)),
        note="; ".join(dict.fromkeys([*notes, "traces and the maker's label are not known"])),
    )
