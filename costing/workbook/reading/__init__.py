"""A workbook as it is read: every value with its place, every fault as a finding."""

from costing.workbook.reading.workbook import read_workbook

__all__ = ["read_workbook"]
