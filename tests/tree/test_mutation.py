"""What tries the tests: faults said to change nothing stand where they are said to."""

from __future__ import annotations

import ast
from pathlib import Path

import pytest
from mutation.faults import EQUIVALENT, TREE, fault_at, places, text_of
from mutation.through import lines_of_statement
from mutation.trial import modules_of, rooms


@pytest.mark.parametrize(("module", "within", "words"), EQUIVALENT)
def test_equivalent__names_a_place_that_is_there(module: str, within: str, words: str) -> None:
    """What stood there before the fault is in that function, or what that constant is."""
    tree = ast.parse((TREE / "costing" / module).read_text(encoding="utf-8"))
    places = [
        node
        for node in ast.walk(tree)
        if (isinstance(node, ast.FunctionDef) and node.name == within)
        or (isinstance(node, ast.Assign) and ast.unparse(node.targets[0]) == within)
    ]
    assert len(places) == 1
    before, _ = words.split(" -> ")
    kinds = (ast.expr, ast.stmt, ast.comprehension)
    assert before in [text_of(node) for node in ast.walk(places[0]) if isinstance(node, kinds)]


def test_places__a_condition_of_a_comprehension_is_one() -> None:
    """What is drawn stands in the line of its name; without its condition all of it is drawn."""
    source = """def cold(bowls):
    return [
        one
        for one in bowls
        if one.out
    ]
"""
    faults = [fault_at(source, Path("costing/bowls.py"), place) for place in places(source)]
    assert [(one.line, one.within, one.words) for one in faults] == [
        (2, "cold", "return [one for one in bowls if one.out] -> return None"),
        (4, "cold", "for one in bowls if one.out -> for one in bowls"),
    ]


def test_rooms__each_module_is_in_one() -> None:
    """Every module of costing can be sampled, and none twice; doors only import."""
    found = [module for room in rooms() for module in modules_of(room, [])]
    there = (path.relative_to(TREE) for path in (TREE / "costing").glob("**/*.py"))
    assert sorted(found) == sorted(path for path in there if path.name != "__init__.py")


@pytest.mark.parametrize(
    ("line", "lines"),
    [
        pytest.param(1, [1, 2], id="the head of a function over two lines"),
        pytest.param(3, [3, 4], id="a condition over two lines"),
        pytest.param(4, [3, 4], id="its second line"),
        pytest.param(5, [5], id="what is done then"),
        pytest.param(7, [7, 8], id="an expression over two lines"),
        pytest.param(10, [9, 10, 11, 12], id="what decorates a function"),
    ],
)
def test_lines_of_statement__are_those_a_run_may_name(line: int, lines: list[int]) -> None:
    """Which line of a statement is noted as run is left to Python: any of them counts."""
    source = """def bowl(
    out):
    if (out or
            out is None):
        return 1
    else:
        return (2 +
                3)
@counted(
    True)
def plate():
    return 4
"""
    assert list(lines_of_statement(source, line)) == lines
