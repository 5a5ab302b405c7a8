"""What a person asks for on the command line: which workbook, which instant, which recipe."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from collections.abc import Sequence
    from datetime import date, datetime
    from zoneinfo import ZoneInfo

    from costing.findings import Finding
    from costing.shoot import Shoot

WORKBOOKS = (".xlsx", ".xlsm")


class Stop(Exception):
    """A command cannot go on; its words are for the person."""


def workbook_named(file: Path | None) -> Path:
    """The file named, or the only workbook of the folder."""
    if file is not None:
        return file
    here = sorted(
        path
        for path in Path().iterdir()
        if path.suffix.lower() in WORKBOOKS
        and not path.name.startswith(("~$", "."))
        and not path.stem.endswith(" results")
    )
    if len(here) == 1:
        return here[0]
    if not here:
        raise Stop("This folder holds no workbook; name one: costing estimate plan.xlsx")
    names = ", ".join(path.name for path in here)
    raise Stop(f"This folder holds {len(here)} workbooks ({names}); name the one you mean.")


def ends_in(path: Path, *endings: str) -> None:
    """Refuse to write a file under a name that says it is something else.

    Raises
    ------
    Stop
        If its ending is none of ``endings``.
    """
    if path.suffix.casefold() not in endings:
        raise Stop(
            f"{path}: found {path.suffix or 'no ending'}, expected a name that ends in "
            f"{' or '.join(endings)}. Write {path.name}{endings[0]}, for example."
        )


def typed(path: Path) -> str:
    """A path as it is typed on the command line."""
    return f'"{path}"' if " " in str(path) else str(path)


def nearest_words(names: Sequence[str]) -> str:
    """The nearest known names as a sentence, ``""`` when there are none."""
    return f" Nearest: {', '.join(names)}." if names else ""


def now_there(shoot: Shoot) -> datetime:
    """The present instant in the shoot's zone."""
    from datetime import datetime

    return datetime.now(_zone(shoot))


def _zone(shoot: Shoot) -> ZoneInfo:
    from zoneinfo import ZoneInfo

    from costing.shoot.settings import computers_zone

    return ZoneInfo(shoot.settings.time_zone or computers_zone())


def instant_asked(text: str, shoot: Shoot) -> datetime:
    """The instant a person types: a clock time on the shoot date, or a date with a time."""
    from datetime import datetime, time, timedelta

    from costing.workbook.reading.dates import clock_text

    after = clock_text(text.strip())
    if after is not None and after < timedelta(days=1):
        return datetime.combine(_day(shoot), time()) + after
    try:
        if ":" not in text:
            raise ValueError
        asked = datetime.fromisoformat(text.strip())
        if asked.tzinfo is not None:
            asked = asked.astimezone(_zone(shoot))
        return asked
    except (ValueError, OverflowError):
        raise Stop(
            f'--at: found "{text}", expected a time such as 13:50 on the shoot date, or a date '
            "and a time such as 2031-05-10 13:50. Write it in one of these forms."
        ) from None


def _day(shoot: Shoot) -> date:
    dates = [episode.shoot_date for episode in shoot.episodes if episode.shoot_date]
    logged = [event.at.date() for container in shoot.containers for event in container.events]
    known = dates or logged
    if not known:
        raise Stop(
            "--at: a time alone needs the shoot date; fill Shoot date on the sheet Episodes, or "
            "write date and time, such as 2031-05-10 13:50."
        )
    return min(known)


def recipe_rows(recipes: Sequence[Path], words: str) -> tuple[dict[str, Any], list[Finding]]:
    """Rows of a new workbook from a recipe file, and what is uncertain in them."""
    from costing.quantities import Measures
    from costing.recipe_text import RecipeUnreadable, read_recipe
    from costing.workbook.package.commit import read_file

    if len(recipes) > 1:
        raise Stop(
            f"--recipe: found {len(recipes)}, expected one. Write a workbook for each, then copy "
            "the rows of one into the other."
        )
    (recipe,) = recipes
    by_key = {one.value.casefold(): one for one in Measures}
    measures = by_key.get(words.casefold())
    if measures is None and words:
        raise Stop(f'--measures: found "{words}", expected one of {", ".join(Measures)}.')
    data, _ = read_file(recipe)
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError:
        raise Stop(
            f"{recipe}: found a file that is no text in UTF-8, expected a recipe as plain text or "
            ".json. Save it as plain text (UTF-8) and name that file."
        ) from None
    kind: Any = "json" if recipe.suffix.casefold() in (".json", ".jsonld") else "text"
    try:
        read = read_recipe(text, kind=kind, measures=measures, file_name=recipe.name)
    except RecipeUnreadable as fault:
        raise Stop(f"{fault.finding.grade}: {fault.finding}") from None
    settings = [{"Setting": "Measures", "Value": read.measures.value}]
    return {"Settings": settings, **read.rows}, read.findings
