"""A shoot built in code becomes a workbook from which the same shoot is read."""

from __future__ import annotations

import tempfile
from datetime import datetime, time, timedelta, timezone
from decimal import Decimal
from fractions import Fraction
from pathlib import Path
from typing import Any, get_args

import openpyxl
import pytest
from any_shoot import DISHES, EVERY_KIND, FIRST_DAY, INGREDIENTS, any_shoot
from budgets import examples
from hypothesis import given, settings
from hypothesis import strategies as st
from tart import tart_shoot

import costing
from costing.findings import Place, Row
from costing.holding.models import Container, Eaten, Event, EventKind, Temperature
from costing.kitchen import Dish, Ingredient, Line, Lot, Pack, Shop
from costing.quantities import Measures
from costing.reference import AllergenList
from costing.shoot import LeftOut, Purpose, Settings, Shoot, Shot
from costing.workbook.layout import INPUT_SHEETS, SETTINGS, SETTINGS_SHEET
from costing.workbook.package.refusals import Refused
from costing.workbook.template.filling import rows_of, taken_over

words = st.text("abé ,%='1/2-", min_size=1, max_size=12).map(lambda t: " ".join(t.split()))
names = words.filter(lambda text: bool(text) and text[0].isalpha())
times = st.datetimes(datetime(2031, 5, 10), datetime(2031, 5, 12)).map(
    lambda at: at.replace(second=at.second, microsecond=0)
)
zones = st.sampled_from([None, None, timezone(timedelta(hours=1)), timezone(timedelta(hours=-9.5))])
degrees = st.builds(
    Temperature, value=st.decimals(-30, 99, places=1), unit=st.sampled_from(["C", "F"])
)


@st.composite
def events(draw: st.DrawFn) -> Event:
    zone = draw(zones)
    return Event(
        kind=draw(st.sampled_from(list(EventKind))),
        at=draw(times).replace(tzinfo=zone),
        temperature=draw(st.none() | degrees),
    )


@st.composite
def logs(draw: st.DrawFn) -> list[Container]:
    """Up to three containers of different names."""
    called = draw(st.lists(names, max_size=3, unique_by=lambda name: name.casefold()))
    return [
        Container(
            name=name,
            holds=draw(st.lists(st.sampled_from([*INGREDIENTS, *DISHES]), unique=True, max_size=2)),
            events=draw(st.lists(events(), max_size=3)),
            marked_until=draw(st.none() | times),
            eaten=draw(st.sampled_from(list(Eaten))),
            episode=draw(st.sampled_from(["", "One"])),
        )
        for name in called
    ]


@st.composite
def full_shoots(draw: st.DrawFn) -> Shoot:
    """Any shoot, with what the strategy of the others leaves blank."""
    shoot: Shoot = draw(any_shoot(**EVERY_KIND))
    given_: dict[str, Any] = {
        "title": draw(names),
        "time_zone": draw(st.sampled_from([None, "Europe/Lisbon"])),
        "holding_rules": draw(st.sampled_from([None, ("US-HOME-2H", "AU-2H4H")])),
        "room_temperature": draw(st.none() | degrees),
        "measures": draw(st.sampled_from(list(Measures))),
        "allergen_list": draw(st.sampled_from(list(AllergenList))),
        "chance_of_running_out": draw(st.sampled_from([Fraction(0), Fraction(1, 300)])),
        "leftovers_counted": draw(st.sampled_from([Fraction(0), Fraction(1, 3), Fraction(1)])),
        "bowl_sizes": draw(st.sampled_from([(30, 60), (Fraction(100, 3),)])),
        "budget": draw(st.sampled_from([None, Decimal("45.50")])),
        "procedures": draw(st.booleans()),
    }
    kept = {name: getattr(shoot.settings, name) for name in shoot.settings.model_fields_set}
    most = draw(st.sampled_from([None, 4]))
    return shoot.changed(
        settings=Settings(**kept | given_),
        shops=[
            Shop(name="stall", visit_cost=draw(st.sampled_from(["0", "2.5"])), minimum_spend=3),
            Shop(name="Market", note=draw(words)),
        ],
        lines=[
            *shoot.lines,
            Line(dish="tart", step=4, step_name=draw(names)),
            Line(
                dish="tart", step=4, ingredient="salt", to_taste=True, cut="fine", shown="on camera"
            ),
            Line(
                dish="tart", step=5, ingredient="dill", amount="3 US tbsp", amount_low="1 US tbsp"
            ),
            Line(dish="tart", step=5, ingredient="beet", note=draw(words)),
        ],
        ingredients=[
            *shoot.ingredients,
            Ingredient(name="salt", allergens=draw(st.sampled_from([None, (), ("milk", "nuts")]))),
            Ingredient(name=draw(names) + " x", section="dry", substitute=draw(words)),
        ],
        packs=[*shoot.packs, Pack(ingredient="salt", amount="1 kg", price_date=FIRST_DAY)],
        lots=[
            *shoot.lots,
            Lot(ingredient="salt", plenty=True, opened=FIRST_DAY),
            Lot(ingredient="x"),
        ],
        dishes=[
            *shoot.dishes,
            Dish(name="tart", cooked_weight="85 %", photo_life=draw(st.integers(0, 90))),
        ],
        episodes=[
            episode.model_copy(
                update={
                    "call_time": draw(st.sampled_from([None, time(9, 30)])),
                    "budget": Decimal(9),
                }
            )
            for episode in shoot.episodes
        ],
        shots=[
            *shoot.shots,
            Shot(
                name="last",
                dish="tart",
                episode=shoot.shots[-1].episode,
                purpose=draw(st.sampled_from(list(Purpose))),
                steps="1-3, 5",
                times=2,
                fewest=draw(st.sampled_from([None, 0])),
                most=most,
                eaten=draw(st.sampled_from([None, True, False])),
                starts=draw(st.none() | times.map(datetime.time)),
            ),
        ],
        containers=draw(logs()),
    )


def written_and_read(shoot: Shoot) -> Shoot:
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "plan.xlsx"
        costing.write_workbook(path, shoot)
        return costing.read_workbook(path)[0]


@settings(max_examples=examples(30))
@given(full_shoots())
def test_write_workbook__the_same_shoot_is_read(shoot: Shoot) -> None:
    """Law: reading what was written gives the same shoot, whatever it says."""
    read = written_and_read(shoot)
    assert shoot.difference(read) == ""
    assert read == shoot
    assert hash(read) == hash(shoot)


def test_write_workbook__the_tart_costs_what_it_costs(tmp_path: Path) -> None:
    """38.64 bought, by the hand-worked shoot, whether it comes from code or from a workbook."""
    shoot = tart_shoot()
    costing.write_workbook(tmp_path / "tart.xlsx", shoot)
    read, findings = costing.read_workbook(tmp_path / "tart.xlsx")
    assert not [finding for finding in findings if finding.grade is costing.Grade.ERROR]
    assert costing.estimate(read).totals == costing.estimate(shoot).totals
    assert costing.estimate(read).totals.bought == Decimal("38.64")
    costing.write_results(tmp_path / "tart.xlsx", costing.estimate(read))
    assert "To buy" in openpyxl.load_workbook(tmp_path / "tart.xlsx").sheetnames


@pytest.mark.parametrize(
    ("zone", "written"),
    [
        (None, datetime(2031, 5, 10, 9, 30)),
        (timezone(timedelta(hours=-9.5)), "2031-05-10 09:30:00-09:30"),
    ],
)
def test_write_workbook__an_instant_is_a_day_and_time_unless_it_has_its_own_zone(
    zone: timezone | None, written: object, tmp_path: Path
) -> None:
    """A cell of a day sorts and filters as one; no cell can hold a zone, so that text must."""
    out = Event(kind=EventKind.OUT, at=datetime(2031, 5, 10, 9, 30, tzinfo=zone))
    path = tmp_path / "plan.xlsx"
    costing.write_workbook(path, Shoot(containers=[Container(name="bowl", events=[out])]))
    page = openpyxl.load_workbook(path)["Holding"]
    cells = [[cell.value for cell in row] for row in page.iter_rows()]
    at = next(number for number, row in enumerate(cells) if "When" in row)
    assert cells[at + 1][cells[at].index("When")] == written


@pytest.mark.parametrize(
    ("chance", "written"),
    [
        (Fraction(0), 0),
        (Fraction(1, 200), "0.5 %"),
        (Fraction(1, 100), "1 %"),
        (Fraction(1, 50), 2),
    ],
)
def test_write_workbook__a_small_percent_has_its_sign(chance: Fraction, written: object) -> None:
    """1 and below may be meant as a part of one; nothing and more than 1 can not."""
    rows = rows_of(Shoot(settings=Settings(chance_of_running_out=chance)))
    assert {row["Setting"]: row["Value"] for row in rows["Settings"]} == {
        "Chance of running out accepted %": written
    }


def test_write_workbook__a_setting_given_as_it_is_by_default_is_written() -> None:
    """It says what was decided, and stays if the default is another one day."""
    rows = rows_of(Shoot(settings=Settings(prices_include_tax=True)))
    assert rows["Settings"] == [{"Setting": "Prices include tax", "Value": True}]


def test_write_workbook__overwrites_nothing(tmp_path: Path) -> None:
    path = tmp_path / "plan.xlsx"
    path.write_bytes(b"mine")
    with pytest.raises(Refused, match="file exists"):
        costing.write_workbook(path, Shoot())
    assert path.read_bytes() == b"mine"


@pytest.mark.parametrize(
    ("shoot", "reason"),
    [
        (Shoot(shots=[Shot(dish="soup", steps=())]), "a cell cannot say that a shot takes no step"),
        (
            Shoot(settings=Settings(room_temperature=Temperature(value=Fraction(61, 3), unit="C"))),
            "a cell cannot say 61/3 °C",
        ),
        (
            Shoot(shots=[Shot(dish="a", episode="One"), Shot(dish="a")]),
            r"shots\[1\]\.episode: '' and 'One'",
        ),
        (
            Shoot(shops=[Shop(name="two  blanks")]),
            r"shops\[0\]\.name: 'two  blanks' and 'two blanks'",
        ),
        (
            Shoot(lots=[Lot(ingredient="salt", plenty=True, amount="1 kg")]),
            r"lots\[0\]\.amount: .* and None",
        ),
    ],
    ids=["no step", "no end", "carried down", "blanks", "plenty of an amount"],
)
def test_write_workbook__what_no_workbook_can_say_is_refused(
    shoot: Shoot, reason: str, tmp_path: Path
) -> None:
    """Nothing is dropped in silence, and no half of it is left on the disk."""
    with pytest.raises(ValueError, match=reason):
        costing.write_workbook(tmp_path / "plan.xlsx", shoot)
    assert list(tmp_path.iterdir()) == []


def test_taken_over__tells_which_packs_of_the_older_shoot_could_not_be_read() -> None:
    """Of what was left out there only the rows of Packs are missing among what is taken over.

    Of three packs one is free for that shoot and stays there; of the two others one has no day.
    """
    left_out = [
        LeftOut(what=what, place=Place(sheet, 6), sheet=sheet)
        for what, sheet in (('shot "P3"', "Shoot plan"), ('pack "dill"', "Packs"))
    ]
    packs = [
        Pack(ingredient="leek", amount="1 kg", price="2"),
        Pack(ingredient="leek", amount="5 kg", price="8", price_date=FIRST_DAY),
        Pack(ingredient="leek", amount="1 kg", supplied=True),
    ]
    taken = taken_over(Shoot(packs=packs, left_out=left_out), ["leeks"], day=FIRST_DAY)
    assert taken.unread == ('pack "dill"',)
    assert (taken.dated, taken.supplied, taken.priced) == (1, 1, ("leeks",))


def test_shoot__is_the_same_wherever_it_stands() -> None:
    """Law: a shoot is what it says; the sheet, its rows and their cells are not part of that."""
    code = Shoot(shots=[Shot(dish="soup")])
    elsewhere = Shoot(shots=[Shot(dish="soup", row=Row("Shoot plan", 7, "soup"))])
    assert code == elsewhere
    assert code != Shoot(shots=[Shot(dish="soup", times=2)])
    assert code != "soup"


@pytest.mark.parametrize("sheet", INPUT_SHEETS, ids=lambda sheet: sheet.title)
def test_layout__each_column_is_kept_in_a_field(sheet: Any) -> None:
    """A column that no field keeps could be neither read nor written by the declaration."""
    annotation = Shoot.model_fields[sheet.kept_as].annotation
    model: Any = Settings if sheet is SETTINGS_SHEET else get_args(annotation)[0]
    fields = set(model.model_fields)
    if model is Container:
        fields |= set(Event.model_fields) | {"note"}
    columns = SETTINGS if sheet is SETTINGS_SHEET else sheet.columns
    assert [column.heading for column in columns if column.field not in fields] == []
