"""The program as it is started: what is printed is what the commands say, and nothing else.

A solver may print to the standard output of the process behind Python's back; a table for a person
or JSON for a program must not get such a line into it.
"""

from __future__ import annotations

import os
import sys

from costing.cli import main

OUTPUT = 1
"""Number by which code outside Python knows the standard output."""


def run() -> None:
    """Run the command that was typed."""
    keep_output()
    main(prog_name="costing")


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
    sys.stdout = os.fdopen(
        own,
        "w",
        buffering=1 if os.isatty(own) else -1,
        encoding=sys.stdout.encoding,
        errors=sys.stdout.errors,
    )


if __name__ == "__main__":
    run()
