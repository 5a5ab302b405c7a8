"""New workbooks, to be filled in."""

from costing.workbook.template.writing import template_bytes, write_template

__all__ = ["template_bytes", "write_template"]
