"""Days as people write them in a text: 10 May 2031, Sat 10.05.2031, 2031/5/10."""

from __future__ import annotations

import re
import unicodedata
from datetime import date

_YEAR_FIRST = re.compile(r"([0-9]{4})([-/.])([0-9]{1,2})\2([0-9]{1,2})")
_YEAR_LAST = re.compile(r"([0-9]{1,2})([-/.])([0-9]{1,2})\2([0-9]{4})")
_MONTH_NAMED = re.compile(
    r"(?:(?P<day>[0-9]{1,2})(?:st|nd|rd|th|\.)?[ -]?(?:of |de |di )?(?P<month>[^\W\d_]{3,})\.?,?"
    r"[ -]?(?:de )?"
    r"|(?P<first>[^\W\d_]{3,})\.? (?P<second>[0-9]{1,2})(?:st|nd|rd|th)?,? )(?P<year>[0-9]{4})",
    re.IGNORECASE,
)
_JAPANESE = re.compile(r"([0-9]{4})年([0-9]{1,2})月([0-9]{1,2})日")
_MONTHS = (
    ("january", "januar", "jänner", "janvier", "enero", "gennaio"),
    ("february", "februar", "février", "febrero", "febbraio"),
    ("march", "märz", "mars", "marzo"),
    ("april", "avril", "abril", "aprile"),
    ("may", "mai", "mayo", "maggio"),
    ("june", "juni", "juin", "junio", "giugno"),
    ("july", "juli", "juillet", "julio", "luglio"),
    ("august", "août", "agosto"),
    ("september", "septembre", "septiembre", "settembre", "sept"),
    ("october", "oktober", "octobre", "octubre", "ottobre"),
    ("november", "novembre", "noviembre"),
    ("december", "dezember", "décembre", "diciembre", "dicembre"),
)
"""Names of the months in English, German, French, Spanish and Italian, in their order."""

_WEEKDAY = re.compile(r"([^\W\d_]{2,})(?:\.,?|,)? +")
_WEEKDAYS = (
    ("monday", "montag", "lundi", "lunes", "lunedì", "mon", "mo"),
    ("tuesday", "dienstag", "mardi", "martes", "martedì", "tue", "tues", "di"),
    ("wednesday", "mittwoch", "mercredi", "miércoles", "mercoledì", "wed", "mi"),
    ("thursday", "donnerstag", "jeudi", "jueves", "giovedì", "thu", "thur", "thurs", "do"),
    ("friday", "freitag", "vendredi", "viernes", "venerdì", "fri", "fr"),
    ("saturday", "samstag", "sonnabend", "samedi", "sábado", "sabato", "sat", "sa"),
    ("sunday", "sonntag", "dimanche", "domingo", "domenica", "sun", "so"),
)
"""Names of the days of a week in the same languages, cut short in English and German."""


def days_written(text: str) -> list[date]:
    """The days a text may mean; dots are day first, as nobody writes them otherwise.

    Of a day of the week before it only days that are one.

    Examples
    --------
    >>> [str(days_written(text)[0]) for text in ("10.05.2031", "10 May 2031", "2031/5/10")]
    ['2031-05-10', '2031-05-10', '2031-05-10']
    >>> days_written("Saturday, 10 May 2031"), days_written("Sun 10 May 2031")
    ([datetime.date(2031, 5, 10)], [])
    """
    text = unicodedata.normalize("NFKC", text)
    if (found := _WEEKDAY.match(text)) and (weekday := _weekday(found[1])) is not None:
        return [one for one in _days_of(text[found.end() :]) if one.weekday() == weekday]
    return _days_of(text)


def _days_of(text: str) -> list[date]:
    """The days a text may mean that names no day of the week."""
    if named := _MONTH_NAMED.fullmatch(text):
        month = _month(named["month"] or named["first"])
        orders = [(int(named["year"]), month, int(named["day"] or named["second"]))]
    elif found := _JAPANESE.fullmatch(text):
        orders = [(int(found[1]), int(found[2]), int(found[3]))]
    elif found := _YEAR_FIRST.fullmatch(text):
        orders = [(int(found[1]), int(found[3]), int(found[4]))]
    elif found := _YEAR_LAST.fullmatch(text):
        one, other, year = int(found[1]), int(found[3]), int(found[4])
        orders = [(year, one, other), (year, other, one)]
        if found[2] == "." and other <= 12:
            orders = orders[1:]
    else:
        return []
    days: list[date] = []
    for order in orders:
        try:
            days.append(date(*order))
        except ValueError:
            continue
    return list(dict.fromkeys(days))


def _month(name: str) -> int:
    """The number of a month, 0 when it is none; English ones may be cut to three letters."""
    low = name.casefold()
    for number, names in enumerate(_MONTHS, start=1):
        if low in names or low == names[0][:3]:
            return number
    return 0


def _weekday(name: str) -> int | None:
    """The number of a day of the week from Monday, 0; ``None`` when it is none."""
    low = name.casefold()
    return next((at for at, names in enumerate(_WEEKDAYS) if low in names), None)
