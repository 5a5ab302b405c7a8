"""Recipes as people write them: plain text, or a schema.org Recipe, into rows of a workbook.

English lines, with the spoons, pieces and packs of German, French, Spanish, Italian and Japanese
ones (``reference/near_units.csv``). Conventions, each with a finding wherever a reader could take
the line otherwise:

- *Names.* A counted food is named in the singular (``2 onions``: onion); a weighed one as written,
  unless another line has its singular. Size, ripeness and temperature words are left out of it.
- *Units.* Words of the unit list. ``cup``, ``tbsp``, ``pint`` stay bare, so that the setting
  Measures decides; a unit that is unclear (``2 c``) or lacking there is kept as written.
- *Pieces.* A word that is no unit names a piece: ``2 cloves garlic`` is 2 each of garlic clove,
  ``1 jar passata`` 1 each of passata jar. With a size it is the amount: ``1 x 400 g tin beans`` is
  400 g of tinned beans. Measures by eye (knob, handful) and lengths (5 cm of ginger) leave Amount
  blank, unless a weight or a volume is said beside them.
- *Strange words.* A word behind the number that is no unit, size, piece or word of a known food is
  reported, since it may be a measure.
- *Each or all.* A weight in brackets before the name of several (``4 (800 g) fillets``) is taken
  for each, the larger; one behind it (``4 fillets (800 g)``) for all; both are asked about.
- *Packs.* What a named pack holds is Measured as bought.
- *Two amounts.* A weight is preferred, then millilitres, then what comes first. ``1 lb 4 oz`` and
  ``1 cup plus 2 tbsp`` are added up, exactly.
- *Parts.* ``juice of 1 lemon`` buys 1 lemon; juice is its Cut.
- *Cut.* What is done to the food. The rest (cold, to serve) stays in the line, kept in Note.
- *Unreadable.* Amount blank; Ingredient is the text behind the amount, or the whole line.
- *Steps.* The steps are those of the method; an ingredient is put to the first that names it,
  and Note keeps by which words; what no step names is put to step 1. Ingredients listed below a
  step are that step's. Without a method each heading of ingredients is a step.
"""

from costing.recipe_text.guesses import Placed, placing_findings, without_guess
from costing.recipe_text.lines import cooks_unit, read_line
from costing.recipe_text.outline import RecipeUnreadable
from costing.recipe_text.parts import LineParts
from costing.recipe_text.recipe import RecipeText, read_recipe
