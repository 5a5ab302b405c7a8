"""Faults that are said to change nothing stand where the list has them."""

from __future__ import annotations

import ast

import pytest
from mutation import EQUIVALENT, TREE, text_of


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
    kinds = (ast.expr, ast.stmt)
    assert before in [text_of(node) for node in ast.walk(places[0]) if isinstance(node, kinds)]
