"""A folder of past workbooks: what it teaches, what is skipped, and a plan made with it."""

from __future__ import annotations

import shutil
from datetime import date, timedelta
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest
from commands import typed

import costing
from costing.past import TakesLearned, about_lessons, planned_rows, takes_learned, with_yields
from costing.shoot.endings import ShotEnding, StepKind
from costing.shoot.learned import ENOUGH_SHOOTS, Lesson
from costing.shoot.shots import EndedBy
from costing.shoot.weighings import ENOUGH_WEIGHINGS, Trimming, TrimYieldLearned

POURS = (2, 3, 2, 5, 1, 2, 4, 3, 2, 3)
LINES = (
    costing.Line(dish="crepe", step=1, step_name="Mix it", ingredient="flour", amount="200 g"),
    costing.Line(dish="crepe", step=2, step_name="pour it", ingredient="milk", amount="100 g"),
)
RECIPE = """\
Apple crepe

Serves 2

100 g flour
100 g milk

1. Mix it.
2. Pour it.
"""


def shoot(number: int, *shots: costing.Shot) -> costing.Shoot:
    """A shoot of crepes, a day later for each number."""
    day = date(2031, 1, 1) + timedelta(days=number)
    return costing.Shoot(
        lines=LINES, shots=shots, episodes=[costing.Episode(name="E", shoot_date=day)]
    )


def pour(taken: int) -> costing.Shot:
    return costing.Shot(
        dish="crepe",
        purpose="retake",
        steps="2",
        fewest=1,
        times=2,
        most=4,
        taken=taken,
        ended_by="enough",
    )


@pytest.fixture(scope="module")
def pours(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Ten workbooks of pours, some in a folder of their own."""
    past = tmp_path_factory.mktemp("past")
    (past / "spring").mkdir()
    for number, taken in enumerate(POURS):
        where = past / ("spring" if number < 4 else "") / f"crepes {number}.xlsx"
        costing.write_workbook(where, shoot(number, pour(taken)))
    return past


@pytest.fixture
def folder(pours: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """They as ``past``, and a recipe beside them."""
    monkeypatch.chdir(tmp_path)
    shutil.copytree(pours, tmp_path / "past")
    (tmp_path / "crepe.txt").write_text(RECIPE, encoding="utf-8")
    return tmp_path


def test_takes_learned__every_workbook_of_the_folder_and_those_in_it(folder: Path) -> None:
    """Ten pours by hand: (4 x 0.05 + 1) / 14 beyond 4, and 8 of 10 within the 3 provided for."""
    found = takes_learned(folder / "past")
    (lesson,) = found.lessons
    assert (found.workbooks, found.not_read, lesson.kind) == (
        10,
        (),
        StepKind("retake", ("pour it",)),
    )
    assert lesson.chances.more_than(4) == Fraction("1.2") / 14
    assert {one.workbook for one in lesson.endings} >= {"spring/crepes 0.xlsx", "crepes 9.xlsx"}


def test_takes__prints_points_spread_and_the_promise(folder: Path) -> None:
    """P(1..3) of 1, 2, 4 is 95.61 %; 1.2/14 = 8.571 %, rounded up as it is bad."""
    done = typed("takes", "past")
    assert done.exit_code == 0, done.output
    heading, _, row, more, below, *_ = done.output.splitlines()
    assert [heading, row, more, below] == [
        "Kind of step      Shoots   Fewest   Times   Most   Spread    Above    Enough   Ended at",
        "retake, pour it       10        1       2      7      1.1   8.58 %   8 of 10   1, 2 (4x), "
        "3 (3x), 4,",
        " " * 79 + "5",
        "",
    ]
    words = " ".join(done.output.split())
    assert (
        "Enough: in 8 of 10 shots (80 %) the number that the plan's own Fewest, Times and Most "
        "provide for was enough; promised was 95.61 % on average."
    ) in words
    assert "Not read" not in words


def test_takes__skips_what_cannot_be_read_and_names_it(folder: Path) -> None:
    """A text file, a workbook without recipes; results beside a workbook are not asked for."""
    past = folder / "past"
    (past / "notes.xlsx").write_text("no workbook", encoding="utf-8")
    costing.write_template(past / "blank.xlsx")
    (past / "crepes 9 results.xlsx").write_text("results", encoding="utf-8")
    (past / ".costing-backups").mkdir()
    (past / ".costing-backups" / "old.xlsx").write_text("a backup", encoding="utf-8")
    done = typed("takes", "past")
    assert done.exit_code == 0
    assert done.output.splitlines()[-2:] == [
        "Not read: blank.xlsx: no recipe lines",
        "Not read: notes.xlsx: a plain text file",
    ]


def test_takes__of_many_that_cannot_be_read_ten_are_named_with_the_reason(folder: Path) -> None:
    (folder / "notes").mkdir()
    for number in range(12):
        (folder / "notes" / f"{number:02}.xlsx").write_text("no workbook", encoding="utf-8")
    said = typed("takes", "notes").output.splitlines()
    assert said[-11:-1] == [
        f"Not read: {number:02}.xlsx: a plain text file" for number in range(10)
    ]
    assert said[-1] == "Not read for the like: 10.xlsx, 11.xlsx"


def test_takes__nothing_to_learn_from(folder: Path) -> None:
    """A plan that was never taken teaches nothing: 1, and what to do."""
    (folder / "new").mkdir()
    costing.write_workbook(folder / "new" / "plan.xlsx", shoot(0, costing.Shot(dish="crepe")))
    done = typed("takes", "new")
    assert done.exit_code == 1
    assert " ".join(done.output.split()) == (
        "Nothing to learn from: of 1 workbook read in new none says how often a shot was taken. "
        "Fill Taken and Ended by on the sheet Shoot plan, or log takes with costing log."
    )
    done = typed("takes", "nowhere")
    assert done.exit_code == 2
    assert done.output == (
        "nowhere: found no folder, expected one with workbooks of past shoots.\n"
    )


def test_takes__without_a_folder_those_of_this_one(
    folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert typed("takes", "past").exit_code == 0
    whole = typed("takes", "past").output
    monkeypatch.chdir(folder / "past")
    assert typed("takes").output == whole
    (folder / "none").mkdir()
    monkeypatch.chdir(folder / "none")
    assert typed("takes").output.startswith(
        "Nothing to learn from: of 0 workbooks read in this folder none says how often"
    )


def test_takes__few_shoots_stand_in_brackets(folder: Path) -> None:
    """Four pours are shown and not used; a whole dish says nothing of why it ended."""
    spare = folder / "spare"
    spare.mkdir()
    for number in range(6, 10):
        costing.write_workbook(spare / f"few{number}.xlsx", shoot(number, pour(2)))
    costing.write_workbook(spare / "x.xlsx", shoot(1, costing.Shot(dish="crepe", taken=1)))
    words = " ".join(typed("takes", "spare").output.split())
    assert "retake, pour it 4 (1) (2) (3)" in words
    assert (
        "In brackets: fewer than 5 shoots, so that a new plan does not take them unless --few is "
        "given: retake, pour it and cook-through, whole dish."
    ) in words
    assert "Nothing says why 1 shot ended; it counts as enough." in words
    done = typed("new", "plan.xlsx", "--recipe", "crepe.txt", "--takes", "spare")
    assert "No step of the recipe is of a kind that past shoots teach" in done.output
    done = typed("new", "asked.xlsx", "--recipe", "crepe.txt", "--takes", "spare", "--few")
    assert "Numbers of times learned: cook-through of Apple crepe and retake" in done.output


def test_new__help_says_how_few_are_too_few() -> None:
    """The number stands there in its own digits, as the modules that hold it are slow to import."""
    assert ENOUGH_SHOOTS == ENOUGH_WEIGHINGS
    words = " ".join(typed("new", "--help").output.split())
    assert f"fewer than {ENOUGH_SHOOTS} shoots or weighings" in words


def test_new__takes_what_past_shoots_teach_into_plan_and_assumptions(folder: Path) -> None:
    """The pour of the new dish is planned as 1, 2, 7, said in its Note and on Assumptions."""
    done = typed("new", "plan.xlsx", "--recipe", "crepe.txt", "--takes", "past")
    assert done.exit_code == 0, done.output
    assert "Numbers of times learned: retake of Apple crepe.\n" in done.output
    planned, _ = costing.read_workbook("plan.xlsx")
    assert [
        (str(shot.purpose), shot.steps, shot.fewest, shot.times, shot.most)
        for shot in planned.shots
    ] == [
        ("cook-through", None, None, 1, None),
        ("retake", (2,), 1, 2, 7),
        ("hero", None, None, 1, None),
    ]
    assert planned.shots[1].note == "Learned from 10 past shoots: 1, 2, 7."
    rows = costing.estimate(planned).assumptions
    (row,) = rows[rows["about"].str.startswith("How often")].to_dict("records")
    assert row == {
        "where": "'Shoot plan'!H5",
        "about": 'How often "Apple crepe, retake" is taken',
        "value_used": "1, 2, 7",
        "source": "learned from 10 past shoots",
        "how_to_override": "Write your own Fewest, Times and Most.",
    }


@pytest.mark.parametrize("last", [2, 8])
def test_planned_rows__all_steps_of_a_dish_are_no_shot_of_their_own(last: int) -> None:
    """By the rule: they are its cook-through, whatever numbers its steps have."""
    recipe = [
        {"Dish": "soup", "Step": step, "Step name": name, "Ingredient": food}
        for step, name, food in ((1, "cut", "leek"), (1, None, "salt"), (last, "boil", None))
    ]
    taught = []
    for steps in (("cut", "boil"), ("boil",)):
        kind = StepKind("retake", steps)
        taught.append(Lesson(kind, (ShotEnding(kind, 2, None, pour(2), Fraction(1, 20)),)))
    planned = [(row["Purpose"], row.get("Steps")) for row in planned_rows(recipe, taught)]
    assert planned == [("cook-through", None), ("retake", str(last)), ("hero", None)]


def test_new__numbers_that_were_edited_are_the_persons_own(folder: Path) -> None:
    """Law: a note whose numbers no longer stand in the row claims nothing."""
    typed("new", "plan.xlsx", "--recipe", "crepe.txt", "--takes", "past")
    planned, _ = costing.read_workbook("plan.xlsx")
    edited = planned.shots[1].model_copy(update={"most": 5})
    rows = costing.estimate(planned.changed(shots=(edited,))).assumptions
    assert not rows["about"].str.startswith("How often").any()


def test_new__takes_are_added_to_a_workbook_that_is_there(folder: Path) -> None:
    """Below the plan that stands there; without a recipe there is nothing to look for."""
    costing.write_workbook(folder / "there.xlsx", shoot(0, costing.Shot(dish="crepe")))
    done = typed("new", "there.xlsx", "--recipe", "crepe.txt", "--takes", "past")
    assert done.exit_code == 0, done.output
    there, _ = costing.read_workbook("there.xlsx")
    assert [(shot.dish, str(shot.purpose), shot.most) for shot in there.shots] == [
        ("crepe", "cook-through", None),
        ("Apple crepe", "cook-through", None),
        ("Apple crepe", "retake", 7),
        ("Apple crepe", "hero", None),
    ]
    done = typed("new", "other.xlsx", "--takes", "past")
    assert done.output == (
        "--takes: found no --recipe, expected one whose steps are looked for. Add --recipe and the "
        "file of the recipe.\n"
    )


def test_takes__trim_yields_that_were_weighed(folder: Path) -> None:
    """Five weighings of flour that left 4400 of 5000 g: 88 %, 81.8 to 95; they go into the new row.

    700 + 950 + 950 + 900 + 900 = 4400 g, of 800, 1000, 1000, 1100 and 1100 g: 5000 g.
    """
    told = ((700, 800), (950, 1000), (950, 1000), (900, 1100), (900, 1100))
    (folder / "weighed").mkdir()
    for number, (left, whole) in enumerate(told):
        count = costing.CountedLot(
            ingredient="flour", amount=f"{left} g", note=f"trimmed from {whole} g"
        )
        one = shoot(number, costing.Shot(dish="crepe")).changed(counted=(count,))
        costing.write_workbook(folder / "weighed" / f"w{number}.xlsx", one)
    done = typed("takes", "weighed")
    assert done.exit_code == 0, done.output
    assert done.output.splitlines() == [
        "Trim yield of   Weighings    %   Least   Most",
        "\u2500" * 45,
        "flour                   5   88    81.8     95",
        "By all that trimming left, in brackets with fewer than 5 weighings.",
    ]
    done = typed("new", "plan.xlsx", "--recipe", "crepe.txt", "--takes", "weighed")
    assert done.exit_code == 0, done.output
    planned, _ = costing.read_workbook("plan.xlsx")
    flour = planned.ingredient("flour")
    assert flour.trim_yield == Fraction("0.88")
    assert flour.note == "Learned from 5 weighings: 88 %."
    rows_of_it = costing.estimate(planned).assumptions
    (row,) = rows_of_it[rows_of_it["about"] == "Trim yield of flour"].to_dict("records")
    assert (row["value_used"], row["source"]) == ("88 %", "learned from 5 weighings")


def test_used__what_rests_on_few_only_where_it_is_asked_for() -> None:
    """One weighing, and one shoot: fewer than five."""
    kind = StepKind("retake", ("pour",))
    lesson = Lesson(kind, (ShotEnding(kind, 2, None, pour(2), Fraction(1, 20)),))
    weighed = TrimYieldLearned("leek", (Trimming("leek", Fraction(50), Fraction(100)),))
    taught = TakesLearned((lesson,), 1, (), (weighed,))
    assert taught.used(few=True) == taught
    assert taught.used(few=False) == TakesLearned((), 1)


def test_with_yields__where_none_is_typed() -> None:
    """One that is typed is the person's own; a name is the same in singular and plural."""
    weighed = TrimYieldLearned("leek", (Trimming("leek", Fraction(50), Fraction(100)),))
    rows: list[dict[str, Any]] = [
        {"Ingredient": "leeks"},
        {"Ingredient": "leek", "Trim yield %": 90},
        {"Ingredient": "x"},
    ]
    assert [row.get("Trim yield %") for row in with_yields(rows, [weighed])] == [50, 90, None]


@pytest.mark.parametrize(("shoots", "shots"), [(1, "1 of 1 shot (100 %)"), (2, "2 of 2 shots")])
def test_about_lessons__of_one_shot_and_of_two(shoots: int, shots: str) -> None:
    """Each was planned once and ended at once, enough."""
    shot, kind = costing.Shot(dish="crepe"), StepKind("retake", ("pour",))
    endings = [ShotEnding(kind, 1, EndedBy.ENOUGH, shot, Fraction(1, 20))] * shoots
    (first, *_) = about_lessons([Lesson(kind, tuple(endings))])
    assert first.startswith(f"Enough: in {shots}")
