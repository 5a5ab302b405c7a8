"""The result sheets of the library in a workbook of its user.

A result sheet is known by a hidden name (:mod:`~costing.workbook.owned.marks`). What a run writes
is a :class:`~costing.workbook.owned.resultsheets.ResultSheet`;
:func:`~costing.workbook.owned.splice.splice` adds new ones and rewrites those that are there
(:mod:`~costing.workbook.owned.rerun`), with what the user wrote beside and below them kept
(:mod:`~costing.workbook.owned.placing`). Stored values of formulas elsewhere that need a result
which changed are taken out (:mod:`~costing.workbook.owned.stale`).
"""
