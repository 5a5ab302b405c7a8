"""Make the curated tables of ``reference/`` from the extracts in ``reference/raw/``.

Run ``python reference/make_tables.py`` after a change to a file in ``reference/picks/``. A pick
says which printed figure belongs to which food, in which state or cut, and whether it may fill a
blank (``fill``), fills one only where a recipe counts pieces (``recipe``: what a shop sells one of
is a bag, a bunch or a bottle), or is only shown beside others (``show``); the figure itself comes
from the extract. A test makes the tables again and compares them with what is shipped.
"""

from __future__ import annotations

import csv
import json
import re
from collections.abc import Callable, Iterable, Iterator
from decimal import ROUND_HALF_EVEN, Decimal
from fractions import Fraction
from pathlib import Path

HERE = Path(__file__).resolve().parent
RAW = HERE / "raw"
PICKS = HERE / "picks"

Row = dict[str, str]

ENDING = ("source_id", "locator", "verified", "note")
COLUMNS: dict[str, tuple[str, ...]] = {
    "trim_yields": ("food_id", "before", "after", "removed", "value", "unit", "basis"),
    "household_measures": ("food_id", "cut", "sort", "value", "unit"),
    "piece_weights": ("food_id", "piece", "size", "weighed", "value", "unit"),
    "cooked_measures": ("food_id", "cut", "sort", "value", "unit"),
    "cooked_weights": ("food_id", "method", "kind", "value", "unit", "low", "high"),
    "storage_days": ("food_id", "place", "counted_from", "value", "unit", "low", "high"),
    "parts": ("food_id", "article", "amount", "amount_unit", "part", "value", "unit"),
}

POUND = Fraction("453.6")
"""Grams in a pound as the nutrient database counts. [g]"""

OUNCE = Fraction("28.35")
US_CUP = Fraction("236.5882365")
"""[ml]"""

ABSORPTION_SPREAD = Fraction(20, 100)
"""How far absorption figures of one food lie apart in print, as a part of the figure."""

DISAGREES_ABOVE = Fraction(5, 100)
"""Measures of one food and cut further apart than this are flagged."""

MEASURES = {
    "cup": "US cup",
    "tbsp": "US tbsp",
    "tablespoon": "US tbsp",
    "tsp": "US tsp",
    "fl oz": "US fl oz",
    "quart": "US quart",
}
TABLESPOONS = {
    "US tsp": Fraction(1, 3),
    "US tbsp": Fraction(1),
    "US fl oz": Fraction(2),
    "US cup": Fraction(16),
    "US quart": Fraction(64),
}

DAYS = {"Day": 1, "Week": 7, "Month": 30, "Year": 365}
PERIOD = re.compile(r"(\d+)(?: - (\d+))? (Day|Week|Month|Year)s?")


def slug(*words: str) -> str:
    """An id from words: small letters, digits and hyphens."""
    return "-".join(re.sub(r"[^a-z0-9]+", "-", w.lower()).strip("-") for w in words if w)


def read(path: Path) -> list[Row]:
    """The rows of a table."""
    with path.open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def number(value: Fraction) -> str:
    """An exact number: a decimal when it ends, otherwise a fraction.

    Examples
    --------
    >>> number(Fraction(11, 2)), number(Fraction(20, 9))
    ('5.5', '20/9')
    """
    for places in range(7):
        scaled = value * 10**places
        if scaled.denominator == 1:
            return format(Decimal(int(scaled)).scaleb(-places), "f")
    return str(value)


def tenth(value: Fraction) -> str:
    """A number rounded to one decimal, half to even."""
    exact = Decimal(value.numerator) / Decimal(value.denominator)
    return number(Fraction(exact.quantize(Decimal("0.1"), ROUND_HALF_EVEN)))


class Extracts:
    """The public-domain extracts, by record."""

    def __init__(self) -> None:
        self.foods = {row["NDB_No"]: row for row in read(RAW / "sr28_food_des.csv")}
        self.weights = {(row["NDB_No"], row["Seq"]): row for row in read(RAW / "sr28_weight.csv")}
        self.buying_guide = {row["id"]: row for row in read(RAW / "food_buying_guide.csv")}
        self.classroom_chart = {row["id"]: row for row in read(RAW / "classroom_chart.csv")}
        self.market_forms = {row["id"]: row for row in read(RAW / "fish_market_forms.csv")}
        with (RAW / "foodkeeper.json").open(encoding="utf-8") as file:
            self.products: dict[str, Row] = {row["id"]: row for row in json.load(file)}

    def printed_weight(self, record: str, seq: str) -> tuple[Fraction, str, str]:
        """Grams of one of a household measure [g], the text as printed, the locator."""
        row = self.weights[record, seq]
        grams = Fraction(row["Gm_Wgt"]) / Fraction(row["Amount"])
        printed = f"{row['Amount']} {' '.join(row['Msre_Desc'].split())} = {row['Gm_Wgt']} g"
        return grams, printed, f"WEIGHT NDB {record} Seq {seq}: {self.description(record)}"

    def description(self, record: str) -> str:
        """The food as the nutrient database calls it."""
        return self.foods[record]["Long_Desc"]


def trim_yields(raw: Extracts) -> Iterator[Row]:
    """Yield = 100 - Refuse, with the state before and after and what is removed."""
    for pick in read(PICKS / "trim_yields.csv"):
        record, basis = pick["record"], pick["basis"]
        row = {
            **{c: pick[c] for c in ("food_id", "before", "after", "basis", "use", "note")},
            "id": slug(pick["food_id"], pick["before"], pick["after"]),
            "unit": "%",
        }
        kind, _, key = record.partition(":")
        if basis == "common practice":
            row |= _common_practice()
        elif basis == "market form":
            row |= _market_form(raw.market_forms[key])
        elif basis == "Food Buying Guide":
            row |= _buying_guide(raw.buying_guide[key])
            row["id"] += "-food-buying-guide"
        elif basis == "classroom chart":
            row |= _classroom_chart(raw.classroom_chart[key])
        elif basis == "printed yield":
            row |= _printed_yield(raw, kind)
        else:
            row |= _refuse(raw.foods[kind], basis)
        yield row


def _common_practice() -> Row:
    return {
        "value": "100",
        "removed": "",
        "as_printed": "",
        "source_id": "kitchen-practice",
        "locator": "used as it is bought",
        "verified": "memory",
    }


def _market_form(form: Row) -> Row:
    return {
        "value": form["percent_edible"],
        "removed": "head, bones, skin and fins as applicable",
        "as_printed": form["as_printed"],
        "source_id": "us-fish-market-forms",
        "locator": form["locator"],
        "verified": "source-text",
    }


def _buying_guide(guide: Row) -> Row:
    return {
        "value": number(100 * Fraction(guide["fraction_left"])),
        "removed": "",
        "as_printed": guide["as_printed"],
        "source_id": "usda-food-buying-guide",
        "locator": f"{guide['locator']}: {guide['description']}",
        "verified": "secondary",
    }


def _classroom_chart(chart: Row) -> Row:
    return {
        "value": chart["percent_usable"],
        "removed": "",
        "as_printed": chart["as_printed"],
        "source_id": "bakery-business-math",
        "locator": f"{chart['locator']}: {chart['food']}",
        "verified": "source-text",
    }


def _printed_yield(raw: Extracts, words: str) -> Row:
    """What is left of a pound, as a household measure prints it."""
    record, seq = words.split(" seq ")
    grams, printed, locator = raw.printed_weight(record, seq)
    if not printed.startswith("1 lb "):
        raise ValueError(f"{printed!r} does not start from a pound")
    return {
        "value": tenth(100 * grams / POUND),
        "removed": "",
        "as_printed": printed,
        "source_id": "usda-sr28",
        "locator": locator,
        "verified": "source-text",
    }


def _refuse(food: Row, basis: str) -> Row:
    refuse, removed = Fraction(food["Refuse"]), " ".join(food["Ref_desc"].split())
    printed = f"Refuse {food['Refuse']}" + (f", {removed}" if removed else "")
    if basis.startswith("refuse part: "):
        removed = basis.removeprefix("refuse part: ")
        part = re.search(rf"(\d+)% {re.escape(removed)}", food["Ref_desc"])
        if part is None:
            raise ValueError(f"NDB {food['NDB_No']} names no part {removed!r}")
        refuse = Fraction(part[1])
    return {
        "value": number(100 - refuse),
        "removed": removed,
        "as_printed": printed,
        "source_id": "usda-sr28",
        "locator": f"FOOD_DES NDB {food['NDB_No']}: {food['Long_Desc']}",
        "verified": "source-text",
    }


def household_measures(raw: Extracts) -> Iterator[Row]:
    """Grams of one US cup, tablespoon, teaspoon or fluid ounce, by food and cut."""
    return _measures(raw, "household_measures")


def cooked_measures(raw: Extracts) -> Iterator[Row]:
    """The same of the cooked food: what fills a cup after cooking, not before."""
    return _measures(raw, "cooked_measures")


def _measures(raw: Extracts, picks: str) -> Iterator[Row]:
    """Measures of the foods that a file picks; a small one that disagrees with the cup says so."""
    rows = []
    for pick in read(PICKS / f"{picks}.csv"):
        grams, printed, locator = raw.printed_weight(pick["record"], pick["seq"])
        words = raw.weights[pick["record"], pick["seq"]]["Msre_Desc"].lower()
        measure = next(shown for word, shown in MEASURES.items() if words.startswith(word))
        rows.append(
            {
                **{c: pick[c] for c in ("food_id", "cut", "sort", "use", "note")},
                "id": slug(pick["food_id"], pick["record"], pick["seq"]),
                "value": number(grams),
                "unit": f"g/{measure}",
                "as_printed": printed,
                "source_id": "usda-sr28",
                "locator": locator,
                "verified": "source-text",
            }
        )
    for row in rows:
        row["note"] = "; ".join(part for part in (row["note"], _disagreement(row, rows)) if part)
        yield row


def _per_tablespoon(row: Row) -> Fraction:
    return Fraction(row["value"]) / TABLESPOONS[row["unit"].removeprefix("g/")]


def _disagreement(row: Row, rows: list[Row]) -> str:
    """Say when a small measure and the cup of the same food and cut are too far apart."""
    if row["unit"] == "g/US cup":
        return ""
    for cup in rows:
        same = all(cup[column] == row[column] for column in ("food_id", "cut", "sort"))
        if same and cup["unit"] == "g/US cup":
            apart = _per_tablespoon(row) / _per_tablespoon(cup) - 1
            if abs(apart) > DISAGREES_ABOVE:
                side = "above" if apart > 0 else "below"
                return f"{abs(round(100 * apart))}% {side} the cup figure"
    return ""


def piece_weights(raw: Extracts) -> Iterator[Row]:
    """Grams of one piece as household measures print it, trimmed unless ``weighed`` says else."""
    for pick in read(PICKS / "piece_weights.csv"):
        grams, printed, locator = raw.printed_weight(pick["record"], pick["seq"])
        yield {
            **{c: pick[c] for c in ("food_id", "piece", "size", "weighed", "use", "note")},
            "id": slug(pick["food_id"], pick["record"], pick["seq"]),
            "value": number(grams),
            "unit": "g",
            "as_printed": printed,
            "source_id": "usda-sr28",
            "locator": locator,
            "verified": "source-text",
        }


def cooked_weights(raw: Extracts) -> Iterator[Row]:
    """Cooked weight as percent of raw weight, from printed yields or from water contents."""
    for pick in read(PICKS / "cooked_weights.csv"):
        record, seq = pick["record"], pick["seq"]
        if seq:
            cooked, printed, locator = raw.printed_weight(record, seq)
            ratio = 100 * cooked / _raw_grams(raw, pick["raw"], printed)
        else:
            dry, wet = (raw.foods[n]["water_g_per_100g"] for n in (pick["raw"], record))
            ratio = 100 * (100 - Fraction(dry)) / (100 - Fraction(wet))
            printed = f"water {dry} g raw, {wet} g cooked, in 100 g"
            locator = f"NUT_DATA 255, NDB {pick['raw']} and {record}: {raw.description(record)}"
        absorbs = pick["kind"] == "absorption"
        yield {
            **{c: pick[c] for c in ("food_id", "method", "kind", "use", "note")},
            "id": slug(pick["food_id"], record, seq or "water"),
            "value": tenth(ratio),
            "unit": "%",
            "low": tenth(ratio * (1 - ABSORPTION_SPREAD)) if absorbs else "",
            "high": tenth(ratio * (1 + ABSORPTION_SPREAD)) if absorbs else "",
            "as_printed": printed,
            "source_id": "usda-sr28",
            "locator": locator,
            "verified": "source-text",
        }


def _raw_grams(raw: Extracts, words: str, printed: str) -> Fraction:
    """Grams of raw food a printed yield starts from, such as ``1/2 lb`` or ``475 g``. [g]

    ``1 lb less 10080`` was weighed with its bone: the refuse of that raw record is taken off,
    because the cooked piece was weighed without.
    """
    other = re.fullmatch(r"(\d+) seq (\d+)", words)
    if other is not None:
        return raw.printed_weight(other[1], other[2])[0]
    words, _, record = words.partition(" less ")
    if record:
        left = 100 - Fraction(raw.foods[record]["Refuse"])
        return _raw_grams(raw, words, printed) * left / 100
    if words not in printed:
        raise ValueError(f"{printed!r} does not name {words!r}")
    amount, unit = words.split()
    return Fraction(amount) * {"lb": POUND, "oz": OUNCE, "g": Fraction(1)}[unit]


def storage_days(raw: Extracts) -> Iterator[Row]:
    """How long a food keeps at home, by place, from purchase and after opening."""
    for pick in read(PICKS / "storage_days.csv"):
        product = raw.products[pick["record"]]
        rows = list(_periods(pick["food_id"], product))
        opened = {row["place"] for row in rows if row["counted_from"] == "opening" and row["value"]}
        after = "refrigerated" if "refrigerated" in opened else "pantry"
        for row in rows:
            usual = after if row["counted_from"] == "opening" else pick["usual"]
            row["use"] = "fill" if row["place"] == usual else "show"
            yield row


def _periods(food_id: str, product: Row) -> Iterator[Row]:
    name = " ".join(product["name"].split())
    if "name_subtitle" in product:
        name += f" ({product['name_subtitle']})"
    for field, printed in product.items():
        if not field.endswith("_output_display_only"):
            continue
        words = field.removesuffix("_output_display_only").split("_")
        start = next((word for word in ("purchase", "opening") if word in words), "not stated")
        place = next(p for w, p in PLACES.items() if w in words)
        period = PERIOD.fullmatch(printed)
        low = high = ""
        if period is not None:
            days = DAYS[period[3]]
            low, high = str(int(period[1]) * days), str(int(period[2] or period[1]) * days)
        yield {
            "id": slug(food_id, place, {"not stated": ""}.get(start, start)),
            "food_id": food_id,
            "place": place,
            "counted_from": start,
            "value": low,
            "unit": "day",
            "low": low,
            "high": high,
            "as_printed": printed,
            "source_id": "usda-foodkeeper",
            "locator": f"product {product['id']}, {' '.join(words)}: {name}",
            "verified": "source-text",
            "note": "" if low else "no number of days is printed",
        }


def parts(raw: Extracts) -> Iterator[Row]:
    """What one article gives of a part, by pieces, weight and volume."""
    for pick in read(PICKS / "parts.csv"):
        kind, _, form = pick["record"].partition(":")
        times = Fraction(pick["times"])
        if form:
            found = raw.market_forms[form]
            source = {
                "as_printed": found["as_printed"],
                "source_id": "us-fish-market-forms",
                "locator": found["locator"],
                "verified": "source-text",
            }
            value = times * Fraction(found["percent_edible"]) / 100
        elif not pick["seq"]:
            practice = {"as_printed": "", "source_id": "kitchen-practice", "locator": kind}
            source, value = practice | {"verified": "memory"}, times
        else:
            grams, printed, locator = raw.printed_weight(kind, pick["seq"])
            source = {"as_printed": printed, "source_id": "usda-sr28", "locator": locator}
            source["verified"], value = "source-text", times * grams
            if pick["cup"]:
                of_cup, cup_printed, _ = raw.printed_weight(kind, pick["cup"])
                value = Fraction(tenth(value / of_cup * US_CUP))
                source["as_printed"] = f"{printed}; {cup_printed}"
        name = pick["part"].split(";")[0]
        yield {
            **{c: pick[c] for c in ("food_id", "article", "amount", "amount_unit", "part")},
            **{c: pick[c] for c in ("unit", "use", "note")},
            **source,
            "id": slug(pick["article"].split(";")[0], name, pick["unit"]),
            "value": number(value),
        }


PLACES = {"pantry": "pantry", "refrigerate": "refrigerated", "freeze": "frozen"}

TABLES: dict[str, Callable[[Extracts], Iterable[Row]]] = {
    "trim_yields": trim_yields,
    "household_measures": household_measures,
    "piece_weights": piece_weights,
    "cooked_measures": cooked_measures,
    "cooked_weights": cooked_weights,
    "storage_days": storage_days,
    "parts": parts,
}


def made(table: str, raw: Extracts) -> list[Row]:
    """The rows of a table, sorted by id."""
    return sorted(TABLES[table](raw), key=lambda row: row["id"])


def write_tables(folder: Path) -> None:
    """Write every table into ``folder``."""
    raw = Extracts()
    for table, about in COLUMNS.items():
        columns = ("id", *about, "use", "as_printed", *ENDING)
        with (folder / f"{table}.csv").open("w", encoding="utf-8", newline="") as file:
            writer = csv.DictWriter(file, columns, lineterminator="\n")
            writer.writeheader()
            writer.writerows(made(table, raw))


if __name__ == "__main__":
    write_tables(HERE)
