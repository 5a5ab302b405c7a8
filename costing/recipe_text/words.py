"""The closed lists of words a recipe line is read by; all English, in the singular.

A word that stands in none of these lists belongs to the name of the ingredient.
"""

from __future__ import annotations

NUMBER_WORDS = {
    word: number
    for number, word in enumerate(
        "one two three four five six seven eight nine ten eleven twelve".split(), start=1
    )
}

FRACTION_WORDS = {"half": 2, "third": 3, "quarter": 4}
"""Parts of one by their words."""

NO_NUMBER = frozenset(("few", "some", "several", "plenty of"))
"""Said in place of a number, and none."""

ABOUT = ("about", "approximately", "approx", "around", "roughly", "circa", "ca", "c", "weighing")
"""Words in front of an amount that do not change it."""

CONTAINERS = frozenset(
    "tin can jar bottle packet pack package pkg sachet envelope bag box carton pot tub tube punnet "
    "container pouch basket tray".split()
)
"""What food is sold in; how much it holds is not in the word."""

KEPT_CONTAINERS = {"tin": "tinned", "can": "canned"}
"""Containers that tell another food: a tinned tomato is not a fresh one."""

PIECES = frozenset(
    "clove bunch slice sprig stalk stick stem head bulb leaf ear rasher fillet ball block sheet "
    "cube wedge strip loaf log floret spear segment square bar frond link nest scoop".split()
)
"""Parts in which a food grows or is sold, each of which is counted as one."""

PIECES_OF_A_WEIGHT = frozenset("ball block bar loaf log bunch head bulb piece wedge".split())
"""Pieces that may follow a weight directly: 400 g block tofu."""

VAGUE = frozenset(
    "knob splash drizzle glug handful squeeze dollop lug slug drop sprinkle sprinkling grating "
    "grind twist touch hint smear thumb lump swirl scattering shake dusting pat".split()
)
"""Measures by eye: nobody can say how much one is."""

LENGTHS = frozenset("cm mm centimetre centimeter millimetre millimeter inch inche in".split())
"""Units of length, which tell no amount."""

LENGTH_PIECES = frozenset("piece knob chunk length strip stick slice".split())
"""What is measured by its length: a 5 cm piece of ginger."""

UNCLEAR_UNITS = frozenset("t c gr catty kati tael kan leung".split())
"""Written for two units, or for units that differ by place."""

SIZES = frozenset(
    "small medium large big extra-large jumbo medium-sized large-sized small-sized medium-size "
    "large-size small-size".split()
)
"""Sizes of a piece, which are not in its name."""

QUALITIES = frozenset("ripe overripe good-quality best-quality nice plump thick thin fat".split())
"""Said of a piece or a food without making it another one."""

HEAPS = frozenset("heaped heaping rounded generous good".split())
"""More than a level spoon, and nobody can say how much more."""

MODIFIERS = HEAPS | SIZES | frozenset("level scant full thick thin long short fat fresh".split())
"""May stand between a number and its unit."""

TEMPERATURES = frozenset("cold ice-cold chilled warm lukewarm tepid".split())
"""State in which a food is taken."""

HOT = frozenset("hot boiling cool just-boiled".split())
"""State in which a drink or a broth is taken; before other words they are part of the name."""

DRINKS = frozenset("water milk stock broth cream coffee tea".split())

LIQUIDS = DRINKS | frozenset(
    "juice wine oil vinegar sauce syrup buttermilk cider beer passata brandy sherry rum".split()
)
"""Sold by volume as well as by weight, so that an ounce may mean a fluid ounce."""

ADVERBS = frozenset(
    "finely coarsely roughly thinly thickly lightly firmly loosely tightly well freshly very "
    "gently evenly diagonally crosswise lengthwise lengthways halfway partly just quickly".split()
)
"""May stand in front of what is done to a food."""

FRONT_CUTS = frozenset(
    "chopped diced sliced minced grated shredded crushed cubed crumbled julienned mashed melted "
    "softened beaten whisked sifted toasted trimmed washed peeled pitted halved quartered torn "
    "packed drained rinsed zested shaved seeded deseeded soaked whipped hulled cored".split()
)
"""Done to a food, also when said before its name: chopped parsley."""

CUTS = FRONT_CUTS | frozenset(
    "cut split broken picked removed scraped separated juiced squeezed stoned scrubbed cooked "
    "boiled steamed roasted fried baked grilled poached blanched thawed defrosted deveined pressed "
    "bruised snipped scored butterflied boned skinned shelled podded topped tailed ground pounded "
    "bashed smashed blitzed pureed puréed strained sieved dried patted slivered cleaned warmed "
    "heated browned segmented wilted sifted spiralised stripped discarded skimmed "
    "dissolved mixed flaked crumbed cracked".split()
)
"""Done to a food, when said behind its name: 1 onion, chopped."""

FRESH_CUTS = frozenset(("ground", "squeezed", "cracked", "grated", "chopped"))
"""Done to a food when "freshly" stands in front; ground pepper alone is a name."""

BOUGHT_MINCED = frozenset("beef pork lamb meat turkey chicken veal".split())
"""Minced, they are bought so."""

COOKED = frozenset("cooked boiled steamed roasted fried baked grilled poached blanched".split())
"""Measured cooked, perhaps."""

FRUIT_PARTS = frozenset("juice zest rind peel yolk white".split())
"""Parts taken from a whole fruit or egg: the juice of 1 lemon."""

STRAIGHT_TO = frozenset(
    "serve garnish finish decorate dust fry cover coat grease sprinkle drizzle top bind glaze "
    "season".split()
)
"""Behind "to": what a food is for, not what it is called."""

ONE_NAME = frozenset(("half and half", "macaroni and cheese", "sweet and sour"))
"""Two words with "and" between them that are one food."""

UNCOUNTED = frozenset(
    "asparagus couscous hummus molasses citrus octopus haggis cos grits hundreds thousands swiss "
    "brussels greens gas bass".split()
)
"""End in s and are no plural."""

KEEP_E = frozenset("quiche brioche ceviche niche".split())
"""Plural in -ches, singular in -che."""

KEEP_IE = frozenset("cookie brownie pie smoothie veggie calorie prairie zombie".split())
KEEP_I = frozenset(("chilli", "chili"))

WATER = frozenset(("water", "ice water", "iced water", "tap water"))
"""From the tap: never bought."""
