"""Commands as a person types them."""

from __future__ import annotations

import shutil
from pathlib import Path

from click.testing import CliRunner, Result

from costing.cli import main
from costing.workbook.demo import DEMO_NAME

WORKBOOKS = Path(__file__).resolve().parent.parent / "workbooks"


def typed(*words: str | Path) -> Result:
    """What a command prints and gives."""
    return CliRunner().invoke(main, list(map(str, words)))


def put_demo(folder: Path) -> Path:
    """The demo as it stands in the tree, which another test compares with what is made today."""
    return Path(shutil.copy(WORKBOOKS / DEMO_NAME, folder))
