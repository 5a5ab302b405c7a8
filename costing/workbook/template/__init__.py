"""New workbooks, to be filled in."""

from costing.workbook.template.writing import template_bytes

__all__ = ["template_bytes"]
