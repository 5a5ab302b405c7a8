"""The commands; what they do is imported only when they run, so that ``--help`` is quick."""

from costing.cli import answers, day, folder, making
from costing.cli.frame import main

__all__ = ["answers", "day", "folder", "main", "making"]
