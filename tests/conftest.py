"""What every test shares: hypothesis profiles, LibreOffice, a browser, known sources."""

from __future__ import annotations

import csv
import gc
import os
from collections.abc import Iterator
from pathlib import Path

import pytest
from browser import Driven
from budgets import EXAMPLES
from hypothesis import HealthCheck, settings
from office import PROGRAM, Office

# What other packages bring, openpyxl would take instead of what it reads with where people have
# nothing else: the standard library. With defusedxml it takes longer.
os.environ["OPENPYXL_LXML"] = os.environ["OPENPYXL_DEFUSEDXML"] = "False"

TREE = Path(__file__).resolve().parent.parent

settings.register_profile(
    "ci",
    max_examples=EXAMPLES["ci"],
    derandomize=True,
    deadline=None,
    print_blob=True,
    suppress_health_check=[HealthCheck.too_slow],
)
CI = settings.get_profile("ci")
settings.register_profile("quick", parent=CI, max_examples=EXAMPLES["quick"])
settings.register_profile("wide", parent=CI, max_examples=EXAMPLES["wide"], derandomize=False)
settings.load_profile(os.environ.get("HYPOTHESIS_PROFILE", "quick"))


@pytest.fixture(scope="session")
def office(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Office]:
    """LibreOffice, one for each process of tests; tests that ask for it are skipped without it."""
    if PROGRAM is None:
        pytest.skip("LibreOffice is not installed")
    base = tmp_path_factory.getbasetemp()
    run = base.parent if "PYTEST_XDIST_WORKER" in os.environ else base
    shared = run / "office"
    shared.mkdir(exist_ok=True)
    one = Office(tmp_path_factory.mktemp("office"), shared)
    yield one
    one.close()


@pytest.fixture(scope="session")
def window(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Driven]:
    """A window of a browser, one for each process of tests, for pages that keep nothing."""
    with Driven(tmp_path_factory.mktemp("window")) as driven:
        yield driven


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """An empty folder to work in."""
    monkeypatch.chdir(tmp_path)
    return tmp_path


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Refuse a test whose stated source is not in ``reference/sources.csv``."""
    with (TREE / "reference" / "sources.csv").open(encoding="utf-8", newline="") as file:
        known = {row["source_id"] for row in csv.DictReader(file)}
    for item in items:
        for mark in item.iter_markers("source"):
            if len(mark.args) != 2 or mark.args[0] not in known:
                raise pytest.UsageError(
                    f"{item.nodeid}: source {mark.args!r} is not (source_id, locator) with a "
                    "source_id from reference/sources.csv"
                )


def pytest_collection_finish() -> None:
    """Leave ten thousand tests out of each search for garbage, and search less often.

    Workbooks are full of circles, so that a search follows every few of them; it would go through
    all tests that wait each time.
    """
    gc.freeze()
    gc.set_threshold(20_000, 20, 20)
