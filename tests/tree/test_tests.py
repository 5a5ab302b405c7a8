"""Every test can fail."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from functools import cache

from tree_files import modules, name, parsed

Function = ast.FunctionDef | ast.AsyncFunctionDef


def functions() -> Iterator[tuple[str, Function]]:
    """Each function of the tests with the file it stands in."""
    for path in modules("tests"):
        for node in ast.walk(parsed(path)):
            if isinstance(node, Function):
                yield name(path), node


@cache
def called(node: ast.AST) -> set[str]:
    """Last words of the names of what is called."""
    names = set()
    for call in ast.walk(node):
        if isinstance(call, ast.Call):
            function = call.func
            if isinstance(function, ast.Attribute):
                names.add(function.attr)
            elif isinstance(function, ast.Name):
                names.add(function.id)
    return names


def asserts(node: ast.AST) -> bool:
    """Whether something is asserted that is not true or false by itself."""
    return any(
        isinstance(one, ast.Assert) and not isinstance(one.test, ast.Constant)
        for one in ast.walk(node)
    ) or bool(called(node) & {"raises", "warns", "fail"})


def checkers() -> set[str]:
    """Functions of the tests, other than tests, that assert, themselves or through another."""
    known = [(node.name, node) for _, node in functions() if not node.name.startswith("test_")]
    found = {called_name for called_name, node in known if asserts(node)}
    while more := {n for n, node in known if n not in found and called(node) & found}:
        found |= more
    return found


def test_tests__each_asserts_something() -> None:
    """An assert, an expected exception, or a call of a function of the tests that asserts."""
    checking = checkers()
    idle = [
        f"{where}:{node.lineno} {node.name}"
        for where, node in functions()
        if node.name.startswith("test_") and not asserts(node) and not called(node) & checking
    ]
    assert not idle, "\n".join(idle)


def test_tests__no_name_is_used_twice_in_a_file() -> None:
    """The second of two tests of one name would hide the first."""
    twice = []
    for path in modules("tests"):
        names = [node.name for node in parsed(path).body if isinstance(node, Function)]
        twice += [f"{name(path)} {n}" for n in sorted(set(names)) if names.count(n) > 1]
    assert not twice, "\n".join(twice)


def test_tests__an_idle_one_would_be_seen() -> None:
    """The check can fail."""
    (idle,) = ast.parse("def test_a():\n    print(1)\n    assert True\n").body
    (busy,) = ast.parse("def test_a():\n    with pytest.raises(ValueError):\n        f()\n").body
    assert not asserts(idle)
    assert asserts(busy)
