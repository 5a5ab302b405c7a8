"""A workbook is read, worked out and written alike whatever lawful package it stands in."""

from __future__ import annotations

import tempfile
from functools import cache
from pathlib import Path
from typing import Any

from budgets import examples
from hypothesis import Phase, given, settings
from office import Office
from packages import parts_of
from packages_at_random import Made, changeable, in_transitional, packages, usual
from recalculation import values_of_cells
from soundness import faults

import costing
from costing.workbook.package.gate import open_gate
from costing.workbook.template.adding import add_to_workbook

Known = tuple[costing.Shoot, list[str], dict[str, Any]]


def read(data: bytes, folder: str) -> tuple[costing.Shoot, list[str], Path]:
    """The shoot in a file of these bytes, and what is said of it."""
    path = Path(folder, "plan.xlsx")
    path.write_bytes(data)
    shoot, findings = costing.read_workbook(path)
    return shoot, [str(finding) for finding in findings], path


@cache
def known() -> Known:
    """What the usual package gives: the shoot, the findings, and the result as JSON."""
    with tempfile.TemporaryDirectory() as folder:
        shoot, told, _ = read(usual(), folder)
        return shoot, told, costing.estimate(shoot).as_json()


@settings(max_examples=examples(40), phases=[Phase.reuse, Phase.generate])
@given(packages())
def test_package_of_any_kind__is_read_and_written_like_the_usual_one(
    made: Made,
) -> None:
    data = made.data
    before = parts_of(data)
    with tempfile.TemporaryDirectory() as folder:
        shoot, told, path = read(data, folder)
        assert (shoot, told) == known()[:2]
        estimate = costing.estimate(shoot)
        assert estimate.as_json() == known()[2]
        first = costing.write_results(path, estimate)
        assert first.path == path
        written = path.read_bytes()
        again, told_again, _ = read(written, folder)
        assert (again, told_again) == (shoot, told)
        assert costing.write_results(path, estimate).notes[-1].endswith("Nothing changed.")
        assert path.read_bytes() == written
    after = parts_of(written)
    own = changeable(before)
    assert {name: after.get(name) for name in before if name not in own} == {
        name: content for name, content in before.items() if name not in own
    }
    assert not any(name.startswith("/") for name in after)
    titles = {"To buy", "Summary", "Needs", "Findings"}
    assert faults(in_transitional(written), titles=titles, before=before) == []
    assert open_gate(written).conformance is open_gate(data).conformance


def test_libreoffice__opens_what_it_opened_before_with_the_same_results(
    tmp_path: Path, office: Office
) -> None:
    """Packages that it cannot read before either are left out."""
    made: list[bytes] = []

    @settings(max_examples=6, phases=[Phase.generate], database=None)
    @given(packages(everything=False))
    def collect(one: Made) -> None:
        made.append(one.data)

    collect()
    before = {"usual": usual()} | {f"made {number}": data for number, data in enumerate(made)}
    assert len(before) == 7
    after = {}
    for name, data in before.items():
        path = tmp_path / f"{name}.xlsx"
        path.write_bytes(data)
        shoot, findings = costing.read_workbook(path)
        costing.write_results(path, costing.estimate(shoot), findings)
        after[name] = path.read_bytes()
    old, new = _in_libreoffice(before, office), _in_libreoffice(after, office)
    assert len(old) > len(before) / 2
    assert new == {name: new["usual"] | old[name] for name in old}


Values = dict[str, dict[str, object]]


def _in_libreoffice(files: dict[str, bytes], office: Office) -> dict[str, Values]:
    saved = {name: office.files(data) for name, data in files.items()}
    return {name: _values(one["plan.xlsx"]) for name, one in saved.items() if one}


def _values(data: bytes) -> Values:
    """What is stored in the cells of each sheet that hold something."""
    values: Values = {}
    for (title, cell), value in values_of_cells(data).items():
        values.setdefault(title, {})[cell] = value
    return values


@settings(max_examples=examples(15), phases=[Phase.reuse, Phase.generate])
@given(packages())
def test_package_of_any_kind__takes_rows_and_sheets(made: Made) -> None:
    """A pack and two sheets more; all sheets but Packs stay as they are."""
    before = parts_of(made.data)
    with tempfile.TemporaryDirectory() as folder:
        shoot, _, path = read(made.data, folder)
        row = {"Ingredient": "leek", "Shop": "Corner", "Amount": 2, "Unit": "kg", "Price": 3}
        add_to_workbook(path, {"Packs": [row]}, ["Trips", "People"])
        more, told, _ = read(path.read_bytes(), folder)
        written = path.read_bytes()
    assert [pack.ingredient for pack in more.packs] == [
        *(pack.ingredient for pack in shoot.packs),
        "leek",
    ]
    assert [one for one in told if "not read" in one] == []
    after = parts_of(written)
    changed = {name for name in before if after.get(name) != before[name]} - changeable(before)
    assert len(changed) == 2  # the sheet and its table
    assert faults(in_transitional(written), titles={"Packs", "Trips"}, before=before) == []
