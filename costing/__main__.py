"""The program as it is started: what is printed is what the commands say, and nothing else.

A solver may print to the standard output of the process behind Python's back; a table for a person
or JSON for a program must not get such a line into it.
"""

from __future__ import annotations

import os
import sys

OUTPUT = 1
"""Number by which code outside Python knows the standard output."""

HELP_WIDTH = 80
"""Columns of a terminal from which on the help has the same lines. [column]"""


def run() -> None:
    """Run the command that was typed."""
    if sys.argv[1:] in (["--help"], ["-h"]) and columns() >= HELP_WIDTH:
        sys.stdout.write(help_page())
        return
    from costing.cli import main  # here only: to import click takes three times as long as the rest

    keep_output()
    main(prog_name="costing")


def help_page() -> str:
    """What click would say to ``--help``, kept so that it need not be imported for it."""
    beside = os.path.dirname(__file__)  # noqa: PTH120 - pathlib takes as long as all else here
    with open(f"{beside}/help.txt", encoding="utf-8") as file:  # noqa: PTH123
        return file.read()


def columns() -> int:
    """How wide the terminal is; what is no terminal is wide enough. [column]"""
    if (told := os.environ.get("COLUMNS", "")).isdigit():
        return int(told)
    try:
        return os.get_terminal_size(sys.stdout.fileno()).columns
    except (AttributeError, OSError, ValueError):
        return HELP_WIDTH


def keep_output() -> None:
    """Give ``sys.stdout`` the standard output for itself; what others write to it is dropped."""
    try:
        if sys.stdout.fileno() != OUTPUT:
            return
        sys.stdout.flush()
        own = os.dup(OUTPUT)
        nowhere = os.open(os.devnull, os.O_WRONLY)
        os.dup2(nowhere, OUTPUT)
        os.close(nowhere)
    except (AttributeError, OSError):  # no standard output, or none that is a file
        return
    # of a terminal a text file is written line by line by itself
    sys.stdout = os.fdopen(own, "w", encoding=sys.stdout.encoding, errors=sys.stdout.errors)


if __name__ == "__main__":
    run()
