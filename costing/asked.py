"""What a person asks for on the command line: which workbook, which sheet, which instant."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, TypeVar

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Sequence
    from datetime import date, datetime

    from costing.shoot import Shoot

W = TypeVar("W", bound=str)

WORKBOOKS = (".xlsx", ".xlsm")
RECIPES = (".txt", ".json", ".jsonld")

EVENING = 20
"""From then on a shoot that is logged may go on past midnight. [hour of the day]"""


class Stop(Exception):
    """A command cannot continue; its words are for the user."""


def workbooks_in(folder: Path, *, deep: bool = False) -> list[Path]:
    """The workbooks of a folder, without results that stand beside one and locks of programs.

    ``deep``: whether those of the folders in it count too; hidden ones, which hold backups, never
    do.
    """
    return sorted(
        path
        for path in (folder.rglob("*") if deep else folder.iterdir())
        if path.suffix.lower() in WORKBOOKS
        # "~$" begins the file that spreadsheet programs write beside one that is open
        and not any(part.startswith(("~$", ".")) for part in path.relative_to(folder).parts)
        and not path.stem.endswith(" results")
    )


def workbook_named(file: Path | None, *, may_be_new: bool = False) -> Path:
    """The file named, with or without its ending, or the only workbook of the folder.

    Raises
    ------
    Stop
        If none is named and there are none or several, or the one named is not there while another
        is that may be meant. With ``may_be_new`` it need not be there.
    """
    if file is not None:
        if file.suffix.casefold() in RECIPES and file.is_file():
            new = typed(file.with_suffix(WORKBOOKS[0]))
            raise Stop(
                f"{file}: found a text, expected a workbook. If it is a recipe, a workbook of it "
                f"is made by: costing new {new} --recipe {typed(file)}"
            )
        there = _that_is_there(file)
        if there is None and not may_be_new and (near := _may_be_meant(file, workbooks_in)):
            raise _not_there(file, near)
        return there or file
    here = workbooks_in(Path())
    if len(here) == 1:
        return here[0]
    if not here:
        raise Stop("This folder holds no workbook; name one: costing estimate plan.xlsx")
    names = ", ".join(path.name for path in here)
    raise Stop(f"This folder holds {len(here)} workbooks ({names}); name the one you mean.")


def workbook_and_words(words: Sequence[str]) -> tuple[Path, Sequence[str]]:
    """The workbook that one of the words names, or else the only one, and the words left.

    A name with its ending may stand anywhere. Without it that is the name of a dish or a bowl as
    well: the first word may be a workbook's, another only where the folder holds several.
    """
    named = [at for at, word in enumerate(words) if Path(word).suffix.casefold() in WORKBOOKS]
    if not named:
        named = [at for at, word in enumerate(words) if word and _that_is_there(Path(word))]
        if named[:1] != [0] and len(workbooks_in(Path())) == 1:
            named = []
    if len(named) == 1 or named[:1] == [0]:
        at = named[0]
        return workbook_named(Path(words[at])), (*words[:at], *words[at + 1 :])
    return workbook_named(None), words


def is_workbook(file: Path) -> bool:
    """Whether a workbook of that name is there, with or without its ending."""
    return _that_is_there(file) is not None


def _that_is_there(file: Path) -> Path | None:
    """The workbook of that name, with or without its ending; one with the ending goes first."""
    endings = ("",) if file.suffix.casefold() in WORKBOOKS else WORKBOOKS
    named = (file.with_name(file.name + ending) for ending in endings if file.name)
    try:
        return next((path for path in named if path.is_file()), None)
    except OSError:  # too long for the name of a file
        return None


def recipe_named(file: Path) -> Path:
    """The recipe file named.

    Raises
    ------
    Stop
        If it is not there while another is that may be meant.
    """
    if near := _may_be_meant(file, recipes_in):
        raise _not_there(file, near)
    return file


def recipes_in(folder: Path) -> list[Path]:
    """The recipe files of a folder."""
    return sorted(path for path in folder.iterdir() if path.suffix.casefold() in RECIPES)


def _not_there(file: Path, near: Sequence[Path]) -> Stop:
    from costing.findings import choice_words

    names = choice_words([typed(one) for one in near])
    return Stop(f"{file}: found no file of this name. Name the one that is there: {names}.")


def _may_be_meant(missing: Path, files_in: Callable[[Path], list[Path]]) -> list[Path]:
    """Files of the folder with nearly the name of one that is not there, or its only one.

    ``files_in``: those of a folder that could be meant.

    Names are compared without their endings, which all of them share.
    """
    from costing.names import nearest

    try:
        if missing.exists() or not missing.parent.is_dir():  # a folder is told as one
            return []
    except OSError:  # too long for the name of a file
        return []
    here = files_in(missing.parent)
    near = nearest(missing.stem, dict.fromkeys(path.stem for path in here))
    found = [path for stem in near for path in here if path.stem.casefold() == stem.casefold()]
    return found or (here if len(here) == 1 else [])


def beside(workbook: Path, asked: Path | None, what: str, ending: str) -> Path:
    """The file a person names to be written, or one named after the workbook.

    Examples
    --------
    >>> beside(Path("tart.xlsx"), Path(""), "list", ".html").name
    'tart list.html'
    """
    if asked is None or str(asked) in ("", "."):
        return Path(f"{workbook.stem} {what}{ending}")
    return asked


def ends_in(path: Path | None, *endings: str) -> None:
    """Refuse to write a file, where one is asked for, under a name of something else.

    Raises
    ------
    Stop
        If its ending is none of ``endings``.
    """
    if path is not None and path.suffix.casefold() not in endings:
        # "v1.2" is a name without an ending; and no file that is there is advised to be replaced
        free = path.suffix[1:2].isalpha() and not path.with_suffix(endings[0]).exists()
        name = path.stem if free else path.name
        raise Stop(
            f"{path}: found {path.suffix or 'no ending'}, expected a name that ends in "
            f"{' or '.join(endings)}. Write {name.strip('.') or 'plan'}{endings[0]}, for "
            "example."
        )


def word_asked(option: str, text: str, words: Iterable[W]) -> W:
    """The word of a closed list that an option names.

    Raises
    ------
    Stop
        If it names none.
    """
    known = {word.casefold(): word for word in words}
    if text.casefold() not in known:
        raise Stop(f'{option}: found "{text}", expected one of {", ".join(known.values())}.')
    return known[text.casefold()]


def input_sheets(names: Sequence[str]) -> list[str]:
    """The titles of the input sheets that are asked for, each once."""
    from costing.names import key, nearest
    from costing.workbook.layout import INPUT_SHEETS

    titles = {key(layout.title): layout.title for layout in INPUT_SHEETS}
    for name in names:
        if key(name) not in titles:
            known = ", ".join(titles.values())
            raise Stop(
                f'--with: found "{name}", expected one of {known}.'
                + nearest_words(nearest(name, list(titles.values()))[:1])
            )
    return list(dict.fromkeys(titles[key(name)] for name in names))


def typed(path: Path) -> str:
    """A path as it is typed on the command line."""
    return f'"{path}"' if " " in str(path) else str(path)


def nearest_words(names: Sequence[str]) -> str:
    """The nearest known names as a sentence, ``""`` when there are none."""
    return f" Nearest: {', '.join(names)}." if names else ""


def now_there(shoot: Shoot) -> datetime:
    """The present instant in the shoot's zone."""
    from datetime import datetime

    return datetime.now(shoot.settings.zone)


def instant_asked(text: str | None, shoot: Shoot, what: str = "") -> datetime:
    """The instant a person types: a clock time on the shoot date, or a date with a time; else now.

    Of several shoot dates it is that of the episode of ``what``, a shot or a container, or else
    the day that is being shot. The small hours are of the night that follows where the log of the
    day goes on into it.
    """
    from datetime import datetime, time, timedelta

    from costing.shoot.defaults import of_a_shoot
    from costing.workbook.reading.dates import FIRST_YEAR, LAST_YEAR, clock_text, instants_of

    if text is None:
        return now_there(shoot)
    after = clock_text(text.strip())
    if after is not None and after < timedelta(days=1):
        return _of_the_night(datetime.combine(_day(shoot, what), time()) + after, shoot)
    found = [at for at in instants_of(text.strip()) if FIRST_YEAR <= at.year <= LAST_YEAR]
    if len(found) > 1:  # 05/10/2031: as in the log, the reading that is a day of the shoot
        one = of_a_shoot([at.date() for at in found], shoot.shoot_dates.values())
        found = [at for at in found if at.date() == one] or found
    if len(found) == 1:
        return found[0].astimezone(shoot.settings.zone) if found[0].tzinfo else found[0]
    days = " or ".join(at.date().isoformat() for at in found)
    raise Stop(
        f'--at: found "{text}"{f", which may mean {days}" if days else ""}, expected a time such '
        "as 13:50 on the shoot date, or a date and a time such as 2031-05-10 13:50. Write it in "
        "one of these forms."
    )


def _of_the_night(at: datetime, shoot: Shoot) -> datetime:
    """The same time a day later where the shoot began after it and goes on past midnight."""
    from datetime import datetime, time, timedelta

    from costing.shoot.defaults import NIGHT_ENDS, day_begins, shoot_day

    day, later = at.date(), at + timedelta(days=1)
    evening = datetime.combine(day, time(EVENING))
    night = datetime.combine(later.date(), NIGHT_ENDS)
    logged = [event.at for container in shoot.containers for event in container.events]
    logged += [line.when for line in shoot.day_log if line.when]
    moments = [one.replace(tzinfo=None) for one in (*logged, now_there(shoot))]
    goes_on = any(evening <= one < night for one in moments)
    # its own small hours may be of the night before
    begun = (one.time() for one in moments if one.date() == day == shoot_day(one, shoot))
    first = min((day_begins(day, shoot), *begun))
    return later if goes_on and at.time() < first and later < night else at


def _day(shoot: Shoot, what: str) -> date:
    from costing.names import key

    dates = [episode.shoot_date for episode in shoot.episodes if episode.shoot_date]
    logged = [event.at.date() for container in shoot.containers for event in container.events]
    known = dates or logged
    if not known:
        raise Stop(
            "--at: a time alone needs the shoot date; fill Shoot date on the sheet Episodes, or "
            "write date and time, such as 2031-05-10 13:50."
        )
    named = [s.episode for s in shoot.shots if key(s.label) == key(what)]
    named += [one.episode for one in shoot.containers if key(one.name) == key(what)]
    own = {shoot.shoot_dates.get(episode) for episode in named if episode}
    if len(own) == 1 and (of_its_own := own.pop()):
        return of_its_own
    today = now_there(shoot).date()
    latest = max((day for day in known if day <= today), default=min(known))
    # until the last shoot date, and in the night after it, that day is meant; else the first
    return latest if latest != max(known) or (today - latest).days <= 1 else min(known)
