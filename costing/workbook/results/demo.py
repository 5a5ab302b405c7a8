"""The demo workbook with its results, made by the library's own reader and writers."""

from __future__ import annotations

import tempfile
from pathlib import Path

from costing.estimating import Estimate, estimate
from costing.workbook.demo import DEMO_NAME, DEMO_ROWS, UNCERTAIN_NAME, uncertain_rows
from costing.workbook.reading import read_workbook
from costing.workbook.results.new import new_workbook_bytes
from costing.workbook.results.write import with_results


def demo_with_results(*, uncertain: bool = False) -> tuple[bytes, Estimate]:
    """The demo workbook and its estimate; the same bytes at every call.

    Parameters
    ----------
    uncertain : bool
        With one shot whose number of times is not certain.
    """
    name = UNCERTAIN_NAME if uncertain else DEMO_NAME
    data = new_workbook_bytes(all_sheets=True, rows=uncertain_rows() if uncertain else DEMO_ROWS)
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / name
        path.write_bytes(data)
        shoot, _ = read_workbook(path)
    result = estimate(shoot)
    spliced, _ = with_results(data, result, name)
    return spliced.data, result
