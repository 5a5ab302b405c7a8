"""Commands as a person types them."""

from __future__ import annotations

from pathlib import Path

from click.testing import CliRunner, Result

from costing.cli import main


def typed(*words: str | Path) -> Result:
    """What a command prints and gives."""
    return CliRunner().invoke(main, list(map(str, words)))
