"""After the shoot: what was taken, paid, used and left, against what was planned.

``closing.closed.closed(books)`` gives a ``Closed``: how often each shot was taken, receipts in the
shoot's currency (``receipts``), what each line brought and of which pack (``fetched``), and of each
ingredient what was used and left. ``differences`` splits actual less planned, ``weighed`` has what
weighings suggest, ``charge`` what is charged and the cash, ``next_shoot`` with ``made`` what the
next shoot begins with; ``report/closing_rows.py`` makes rows and words. The need at the takes there
were is the need of the same shoot with those numbers as Times and the same packs. What stands in
for what nobody told is said at the top of ``closed``, ``counts``, ``fetched``, ``receipts`` and
``charge``. Decided besides:

- Planned and actual are used value. As shown the rows of planned add up to that of the estimate,
  which is rounded once; actual is rounded row by row, on the side of planned where that is as near.
  Shares of episodes follow their need, planned by Times, actual by the takes.
- A typed Taken has no time: the day of its episode, and what is logged later, say what is after a
  count.
- A discount without an amount is shared over the other lines of its ingredient; one on a whole
  receipt, a row without an ingredient below 0, is a cost of its own and in no ingredient's value.
- A receipt's total, its tax and its rate of exchange have no columns: they stand in Note.
- The mark-up is rounded for each line, so that the rows add up.
- ``costing estimate`` writes Differences and Charge too where the workbook has receipts or counts,
  so that it does not take away what ``costing close`` wrote.
- What the next shoot begins with: goods given free are used before those paid. What is in life on
  the last day of the shoot is carried with its dates, and judged again by the next shoot date. Left
  keeps of Needs is another question, asked before that date is known: there what is open keeps by a
  known life alone, until the next day of this plan or for seven days. Of an ingredient in a bowl
  that is to be discarded, or must not go back, all that is open is left off, as nobody knows which
  part of it was in the bowl; parts of a dish in such a bowl are used food, and say nothing of what
  is left of their ingredients. Worked-out amounts are rounded down to what can be weighed. What is
  left of a dish made in the house, each making of its own day, is carried at no value, since the
  used value of the shoot has all that went into it; a count of it changes Differences only where
  none of it was made.
"""
