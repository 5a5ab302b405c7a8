"""Every message has a test that compares its whole text."""

from __future__ import annotations

import ast
import re
from importlib import import_module

import pytest
from tree_files import modules, name, parsed

from costing.findings import REGISTRY, Grade, Words, message


def codes_by_module() -> dict[str, set[str]]:
    """The codes that each module with messages registers."""
    result = {}
    for path in modules("costing"):
        if "@message(" not in path.read_text(encoding="utf-8"):
            continue
        module = name(path).removesuffix(".py").removesuffix("/__init__").replace("/", ".")
        found = vars(import_module(module)).values()
        functions = [item for item in found if getattr(item, "__module__", "") == module]
        result[module] = {function.__name__ for function in functions if callable(function)}
    return result


def codes_in_tests() -> set[str]:
    """What stands in brackets in a text of the tests, of one written over several lines too."""
    return {
        code
        for path in modules("tests")
        for node in ast.walk(parsed(path))
        if isinstance(node, ast.Constant) and isinstance(node.value, str)
        for code in re.findall(r"\[([^\[\]]+)\]", node.value)
    }


def test_messages__every_code_stands_whole_in_a_test() -> None:
    """The text of a finding ends its first line with its code in brackets."""
    codes_by_module()
    untested = sorted(set(REGISTRY.grades) - codes_in_tests())
    assert not untested, "codes without a test:\n" + "\n".join(untested)


def test_messages__codes_are_a_few_plain_words() -> None:
    codes_by_module()
    odd = [
        code
        for code in REGISTRY.grades
        if not 2 <= len(code.split()) <= 5 or not code.replace(" ", "").isalpha()
    ]
    assert not odd, "\n".join(odd)


def test_messages__they_are_all_found() -> None:
    """The check above sees the messages of every floor."""
    found = codes_by_module()
    assert {"costing.buying.messages", "costing.shoot.messages", "costing.holding.messages"} <= set(
        found
    )
    assert "price_missing" in found["costing.buying.messages"]
    assert len(REGISTRY.grades) >= 50


def test_message__a_code_is_never_used_for_two_messages() -> None:
    codes_by_module()
    with pytest.raises(ValueError, match="two messages share the code 'price missing'"):

        @message("price missing", Grade.NOTE)
        def another() -> Words:
            return Words("this", "that", "Mend it.")
