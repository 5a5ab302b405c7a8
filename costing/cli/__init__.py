"""The commands; what they do is imported only when they run, so that ``--help`` is quick."""

from costing.cli import answers, closing, day, making, past, publishing
from costing.cli.frame import main

__all__ = ["answers", "closing", "day", "main", "making", "past", "publishing"]
