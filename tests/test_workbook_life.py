"""A workbook over hundreds of steps: nobody's inputs change, and results follow them.

Every time a few steps; ``HYPOTHESIS_PROFILE=wide`` gives hundreds, every second of them edits
in LibreOffice: numbers, rows, sheets moved and renamed.
"""

from __future__ import annotations

import os
from pathlib import Path

import pytest
from live_workbooks import MAKERS
from office import Office
from workbook_life import Life

WIDE = os.environ.get("HYPOTHESIS_PROFILE") == "wide"


@pytest.mark.parametrize("name", MAKERS if WIDE else ["brunch", "two shops"])
def test_life__inputs_stay_and_results_follow(name: str, tmp_path: Path) -> None:
    """Law: after edits, other orders, other names, ticks and logs, a run gives a fresh estimate."""
    Life(tmp_path, seed=1, name=name).live(60 if WIDE else 3)


@pytest.mark.parametrize("name", MAKERS if WIDE else ["demo"])
def test_life__with_libreoffice_in_between(name: str, tmp_path: Path, office: Office) -> None:
    """Law: the same when somebody edits it in LibreOffice every second time."""
    Life(tmp_path, seed=2, name=name, office=office).live(40 if WIDE else 2)
