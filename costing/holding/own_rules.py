"""Rules of a person's own place, beside the workbook, in the form of the published ones."""

from __future__ import annotations

import tomllib
from fractions import Fraction
from pathlib import Path
from typing import Any

from pydantic import ValidationError

from costing.findings import Finding, Place
from costing.holding.messages import own_rule_faulty, own_rule_taken, own_rules_unreadable
from costing.holding.rules import RULES_FILE, Rule, load_rules

LARGEST = 1_000_000
"""A larger file is no list of rules. [bytes]"""


def own_rules(folder: Path) -> tuple[dict[str, Rule], list[Finding]]:
    """The rules of ``holding_rules.toml`` in a folder, and what is wrong with the others.

    Parameters
    ----------
    folder : Path
        Where the workbook stands.

    Returns
    -------
    tuple of dict and list of Finding
        Rules by id; a faulty rule is a finding and is left out, the rest is used.
    """
    path = folder / RULES_FILE
    place = Place(RULES_FILE)
    try:
        if not path.is_file():
            return {}, []
        if path.stat().st_size > LARGEST:
            return {}, [own_rules_unreadable(place, f"a file of more than {LARGEST} bytes")]
        tables = tomllib.loads(path.read_text(encoding="utf-8-sig"), parse_float=Fraction)
    except (OSError, UnicodeDecodeError) as fault:
        return {}, [own_rules_unreadable(place, f"a file that cannot be read ({fault})")]
    except (tomllib.TOMLDecodeError, RecursionError) as fault:
        return {}, [own_rules_unreadable(place, f"text that is no TOML ({fault})")]
    rules: dict[str, Rule] = {}
    findings: list[Finding] = []
    published = {name.casefold() for name in load_rules()}
    for name, table in tables.items():
        where = Place(RULES_FILE, name=name)
        if name.casefold() in published:
            findings.append(own_rule_taken(where, name))
            continue
        try:
            rules[name] = _rule(name, table)
        except (ValidationError, ValueError, TypeError, ZeroDivisionError) as fault:
            findings.append(own_rule_faulty(where, *_first_fault(fault)))
    return rules, findings


def _rule(name: str, table: Any) -> Rule:
    if not isinstance(table, dict):
        raise ValueError("not a table of its own")
    return Rule(id=name, **table)


def _first_fault(fault: Exception) -> tuple[str, str]:
    """Where in the rule the fault is, and what it is, in words."""
    if isinstance(fault, ValidationError):
        first = fault.errors(include_url=False)[0]
        where = ".".join(str(part) for part in first["loc"]) or "the rule as a whole"
        return where, str(first["msg"]).removeprefix("Value error, ")
    return "the rule as a whole", str(fault)
