"""Food out of temperature control: rules as data, their clocks, and what each says of a container.

Nothing here shows that food may be eaten; a status says how a log compares with a published rule.

A wrong verdict can hurt somebody, and the rules are full of cases. So ``tests/minutes.py`` is a
second clock, written from the rules alone, that counts minute by minute where ``costing/holding``
walks event by event; the two agree on random logs. Each of these was decided once and holds in
both:

- Between two readings in control on the same side, hot or cold, food was not out, whatever was done
  to it, if the second is a plain ``reading``. A ``back`` after a removal says that it was put back
  only then, so the time before it counts.
- A return after the return limit (AU-2H4H, two hours) ends nothing, nor does cooling after it: the
  time runs on until it is discarded. Only what lies between two cold readings after such a return
  is in control, by the line above, though the guide has no return.
- An event that takes food out, or heats it, explains what is measured after it: time is counted
  from there, and not from the reading before it.
- A running clock (time as a control) counts from the removal for filming or serving of food that
  was prepared, cooked, and kept hot or cooled as its companion rule asks. Food that was past the
  limit before it began to cool stays so.
- Cooling whose stage was missed is over. A later hot reading begins it again only if the food was
  neither measured cooler nor heated in between. Food that is warmer again, or heated again, while
  it cools has lost the stage it had come to; the time counts from where cooling began.
- Food cooled as its companion rule asks, where the rule itself asks for colder, is out until a
  reading shows it colder.
- A rule about hot food (UK-HOT2) is not about food that was cold when first measured, or cut,
  opened or thawed, unless a row heats it or it is measured hot. One about cold dishes (FR-COLD2) is
  not about food that is hot before its time is over.
- A reading of the room holds until the next one, and the setting until the first. One that was hot
  while the food was out halves the whole time; one that ended before it came out does not.
- A rule of one period (UK-CHILL4) takes a second ``out`` for a second period unless readings show
  that the food never left control in the first.
"""
