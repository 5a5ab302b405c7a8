"""The .xlsx file as a package of bytes: let in at the gate, spliced, and put safely on disk.

Nothing here knows recipes. :mod:`~costing.workbook.package.gate` decides whether a file may be
opened at all, :mod:`~costing.workbook.package.splice` puts result sheets into it and leaves every
other byte of it alone, :mod:`~costing.workbook.package.commit` writes it so that a crash at any
moment leaves either the old file or the new one whole.
"""
