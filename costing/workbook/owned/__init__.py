"""The result sheets that belong to the library, in a workbook of somebody else.

A sheet is ours by a hidden name (:mod:`~costing.workbook.owned.marks`). What a later run writes is
a :class:`~costing.workbook.owned.resultsheets.ResultSheet`;
:func:`~costing.workbook.owned.splice.splice` adds new ones and writes those that are there anew
(:mod:`~costing.workbook.owned.rerun`), with what somebody wrote beside and below them kept
(:mod:`~costing.workbook.owned.placing`). Stored values of formulas elsewhere that need a result
which changed are taken out (:mod:`~costing.workbook.owned.stale`).
"""
