"""Published values: where the files of ``reference/`` stand."""

from __future__ import annotations

from pathlib import Path

_BESIDE = Path(__file__).resolve().parent
REFERENCE_FOLDERS = (_BESIDE / "data" / "reference", _BESIDE.parent / "reference")
"""Inside an installed package, and beside the package in its own tree."""


def reference_file(name: str) -> Path:
    """Path of a file of published values.

    Parameters
    ----------
    name : str
        Of the file, such as ``sources.csv``.

    Raises
    ------
    FileNotFoundError
        If there is no such file.

    Examples
    --------
    >>> reference_file("sources.csv").name
    'sources.csv'
    """
    for folder in REFERENCE_FOLDERS:
        if (folder / name).is_file():
            return folder / name
    raise FileNotFoundError(f"no file {name!r} among the published values")
