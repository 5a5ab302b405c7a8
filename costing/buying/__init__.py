"""From shots to the shopping list and to what the food is worth.

Made ahead and cut up. Rows are goods, columns are activities: making a batch of a dish takes its
lines and gives what it makes; cutting an article one way takes the article and gives its parts. A
dish is a good of its own when it is in whole batches, on hand or sold ready
(``shoot.leaves.made_apart``); all others stay written out. ``activities.Goods`` finds goods and
activities, ``making.Making`` works out exactly how often everything is run for any numbers of
times, and whose food it is (``serving``).

Where nothing is sold ready, there is one way of cutting and the day does not matter (what is kept
for later days takes nothing that is bought for its days or made in whole batches, and no lot serves
several days) there is nothing to choose: runs are ceilings. Else ``choosing.choice_of`` asks the
programme (``runs``) what to buy ready, which ways to cut, on which day, and what of a lot to save
for which day; of the runs ahead of what lacks and of what is saved that is held which the packs do
not suffice without; where only the day is to choose the search has a third of the time. One more
take of a shot is first priced with the choice as it is; where that costs no more than the bound of
the choice, nothing is searched.

Lots of what is bought go to the first day that can use them, but where another day spares packs
(``mixing.lots_saved``: packs for days, or what is bought for later days spoils). That is chosen
where each ingredient is separate; where times are uncertain or a visit, a minimum or leftovers
count, the first day has them, and "proven" is said of that rule.

Decided:

- Shots that show a dish being cooked (cook-through, retake, close-up, reset, vertical pass, test)
  cook it although it is on hand or sold ready.
- Shots that take some steps of a dish in whole batches are rounded up step by step.
- A dish is made and an article cut on the day it first lacks, sooner only where that takes fewer
  packs.
- What need not be in whole batches is shown as made at once for the days on which it keeps
  (``report/make_rows.py``) where its food is there by the first of them, and only then
  ``shop_notes`` takes that food for used with the first.
- What nobody sells is not made while the dish itself can be bought.
- An article counted in pieces is cut whole.
- A part that has a pack of its own takes its article only where that stands in the workbook too.

Shopping over days. ``storage.over_days`` repeats each row of Packs for each way to fetch and open
it (``lives.ways``). When every way serves everybody the article is as ever, one amount to be
covered by the exact search; else it is *dated*: whole numbers of packs by way and flows to the
episodes (``pack_columns``), alone in ``mixing.cheapest_over_days`` or with all others in
``programme``. The exact check serves day by day what ends first (``lives.allotted``); what it lacks
is cut off for all days that lack together (``lives.short_together``, the set of Hall's theorem).

Decided, besides what stands at the top of ``storage`` and ``lives``:

- A trip of a date that was typed may be on the day of the shoot, one of the default (no date at
  all) serves later days only.
- At most is one limit for all trips.
- The trip of a day that no open day serves is the day before it, or as late as the food keeps or as
  early as it must thaw.
- Buy by is the last open day that would still do, of such a trip the last day.
- Where leftovers count, those of dated articles do not.
"""
