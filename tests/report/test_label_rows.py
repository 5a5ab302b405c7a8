"""Labels: what stands on them, one row for each container."""

from __future__ import annotations

from datetime import datetime, time
from fractions import Fraction

from small import line, pack, shoot_of
from tart import TART, tart_shoot

from costing.estimating import estimate
from costing.holding.models import Container, Eaten, Event, EventKind, Temperature
from costing.kitchen import Dish, Ingredient
from costing.shoot import Settings, Shot


def bowl(eaten: Eaten = Eaten.YES) -> Container:
    """The bean puree bowl, out at 10:05 at 4 °C."""
    return Container(
        name="bean puree bowl",
        holds=(f"{TART}: only step 3",),
        events=(
            Event(
                kind=EventKind.OUT,
                at=datetime(2031, 5, 10, 10, 5),
                temperature=Temperature(value=Fraction(4), unit="C"),
            ),
        ),
        eaten=eaten,
    )


def test_labels__name_food_times_allergens_and_who_eats() -> None:
    """Two hours from 10:05 end at 12:05; the room is 24 °C, so no shorter limit holds."""
    shoot = tart_shoot(
        containers=[bowl()],
        settings=Settings(
            currency="EUR",
            time_zone="Europe/Lisbon",
            room_temperature=Temperature(value=Fraction(24), unit="C"),
        ),
    )
    (row,) = estimate(shoot).tables()["labels"].rows
    assert row["container"] == "bean puree bowl"
    label = str(row["label"]).splitlines()
    assert label[0] == f"Holds: {TART}: only step 3"
    assert label[1] == "Out: 2031-05-10 10:05"
    assert label[2].startswith("Allergens (EU list): milk")
    assert label[3] == "Eaten: yes, or not said."
    discard = row["discard_at"]
    assert isinstance(discard, datetime)
    assert discard.time() == time(12, 5)
    assert "does not show that the food is safe" in str(row["caution"])


def test_labels__food_for_the_camera_only_says_so() -> None:
    (row,) = estimate(tart_shoot(containers=[bowl(Eaten.NO)])).tables()["labels"].rows
    assert "NOT EATEN: for the camera only." in str(row["label"])


def test_labels__of_a_dish_sold_ready_name_its_pack_unless_it_was_made() -> None:
    """A bowl of green sauce may be from the jar, of which nobody says what is in it."""
    rows = (
        line("noodles", "green sauce", "50 g"),
        line("green sauce", "basil", "50 g"),
        Dish(name="green sauce", makes="50 g"),
        Ingredient(name="basil", trim_yield="1", allergens=[]),
        pack("basil", "50 g", "1.00"),
        pack("green sauce", "50 g", "9.00"),
        Shot(dish="noodles"),
        Container(
            name="bowl", holds=["green sauce"], events=[Event(kind="out", at="2031-05-10 10:00")]
        ),
    )
    found = estimate(shoot_of(*rows, time_zone="UTC")).tables()["labels"].rows
    said = {str(row["container"]): str(row["label"]) for row in found}
    assert "Allergens (EU list): unknown: read the pack of green sauce" in said["bowl"]
    assert "Allergens (EU list): none given" in said["green sauce, made"]


def test_labels__no_log_no_label() -> None:
    assert estimate(tart_shoot()).tables()["labels"].rows == ()
