"""Which tests go through a line: noted once for the whole suite, kept beside the tree.

Where the tests of a line are known, a fault in it takes seconds instead of the minutes its room
needs, and any test of the suite may notice it.
"""

from __future__ import annotations

import ast
import json
import os
import subprocess
import sys
from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass
from difflib import SequenceMatcher
from hashlib import sha256
from pathlib import Path

import pytest
from coverage import CoverageData

from mutation.faults import TREE, Fault
from mutation.trial import file_of

KEPT = TREE / ".mutation"
SECONDS_OF_TESTS = 100.0
"""So long the tests of one round may take together [s], by the times they took when noted."""


class _Times:
    """How long each test took [s]."""

    def __init__(self) -> None:
        self.took: Counter[str] = Counter()

    def pytest_runtest_logreport(self, report: pytest.TestReport) -> None:
        """Count what a test took, with what was prepared for it."""
        self.took[report.nodeid] += report.duration  # type: ignore[assignment]


def note() -> int:
    """Run the whole suite, keep which tests went through which line; how it ended."""
    KEPT.mkdir(exist_ok=True)
    os.environ["COVERAGE_FILE"] = str(KEPT / "coverage")
    times = _Times()
    wanted = ["--cov=costing", "--cov-context=test", "--cov-report="]
    ended = pytest.main(["-q", "-n", "auto", *wanted], plugins=[times])
    kept = {
        "modules": {path: (TREE / path).read_text(encoding="utf-8") for path in _below("costing")},
        "tests": {path: _digest(path) for path in _below("tests")},
        "took": times.took,
    }
    (KEPT / "tests.json").write_text(json.dumps(kept), encoding="utf-8")
    return int(ended)


def _below(folder: str) -> list[str]:
    return sorted(str(path.relative_to(TREE)) for path in (TREE / folder).glob("**/*.py"))


def _digest(path: str) -> str:
    return sha256((TREE / path).read_bytes()).hexdigest()


def _collected(files: list[str]) -> set[str]:
    """The tests of some files, as they are now."""
    asked = [sys.executable, "-m", "pytest", "--collect-only", "-q", "-n", "0", *files]
    if not files:
        return set()
    said = subprocess.run(asked, cwd=TREE, capture_output=True, text=True, check=True)  # noqa: S603
    return {line for line in said.stdout.splitlines() if "::" in line}


@dataclass(frozen=True)
class Noted:
    """What was noted of a run of the whole suite.

    Parameters
    ----------
    modules : dict of str to str
        The modules as they were then.
    took : dict of str to float
        How long each test took [s]; tests that are no longer there are left out.
    added : list of str
        Tests that have come since, of files that have changed.
    lines : CoverageData
        Which tests went through which line.
    """

    modules: dict[str, str]
    took: dict[str, float]
    added: list[str]
    lines: CoverageData

    @classmethod
    def read(cls) -> Noted | None:
        """What was kept; ``None`` when nothing was noted yet."""
        if not (KEPT / "tests.json").exists():
            return None
        kept = json.loads((KEPT / "tests.json").read_text(encoding="utf-8"))
        files = [p for p in _below("tests") if Path(p).name.startswith("test_")]
        changed = [path for path in files if kept["tests"].get(path) != _digest(path)]
        there = _collected(changed)
        gone = {*changed, *(p for p in kept["tests"] if not (TREE / p).exists())}
        took = {
            test: seconds
            for test, seconds in kept["took"].items()
            if test in there or file_of(test) not in gone
        }
        lines = CoverageData(str(KEPT / "coverage"))
        lines.read()
        return cls(kept["modules"], took, sorted(there - took.keys()), lines)

    def rounds(self, fault: Fault, source: str) -> list[list[str]]:
        """Tests through the statement of a fault: those of its room, others, then added ones.

        Of each the shortest come first. Empty when no test is known to go through it: a statement
        that is run when its module is imported is run in the first test alone.
        """
        tests = self._through(fault, source)
        if not tests:
            return []
        room = str(Path("tests") / fault.module.relative_to("costing").parent)
        near = {t for t in tests if t.startswith((f"{room}/", str(fault.module)))}
        rounds = [self._shortest(near), self._shortest(tests - near), self.added]
        return [tests for tests in rounds if tests]

    def _shortest(self, tests: Iterable[str]) -> list[str]:
        """Tests, the shortest first, as far as the time of a round allows."""
        found, total = [], 0.0
        for test in sorted(tests, key=lambda one: (self.took[one], one)):
            total += self.took[test]
            if total > SECONDS_OF_TESTS:
                break
            found.append(test)
        return found

    def _through(self, fault: Fault, source: str) -> set[str]:
        """Tests that went through a line of the statement that a fault is put into."""
        before = self.modules.get(str(fault.module), "")
        matcher = SequenceMatcher(None, before.splitlines(), source.splitlines(), autojunk=False)
        then = {
            block.b + at + 1: block.a + at + 1
            for block in matcher.get_matching_blocks()
            for at in range(block.size)
        }
        by_line = self.lines.contexts_by_lineno(_measured(self.lines, fault.module))
        contexts = {
            context.partition("|")[0]
            for line in lines_of_statement(source, fault.line)
            for context in by_line.get(then.get(line, 0), [])
        }
        return contexts & self.took.keys()


def _measured(lines: CoverageData, module: Path) -> str:
    """The name under which a module was measured: a whole path, on whichever machine."""
    ending = f"/{module.as_posix()}"
    return next((f for f in lines.measured_files() if f.endswith(ending)), "")


def lines_of_statement(source: str, line: int) -> range:
    """The lines of the innermost statement around one, of a compound one those of its head.

    What decorates a function acts when it is run: its lines are those of the whole function.
    """
    around = [
        (first, node)
        for node in ast.walk(ast.parse(source))
        if isinstance(node, ast.stmt)
        for first in [min([node.lineno, *(d.lineno for d in getattr(node, "decorator_list", ()))])]
        if first <= line <= (node.end_lineno or node.lineno)
    ]
    first, inner = max(around, key=lambda one: one[0])
    body = getattr(inner, "body", None)
    decorates = line < inner.lineno
    end = body[0].lineno if body and not decorates else (inner.end_lineno or inner.lineno) + 1
    return range(first, max(end, line + 1))
