"""Rows of Labels: what stands on a container, and on a dish that is made."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence

from costing.findings import choice_words
from costing.holding.models import Container, Eaten
from costing.holding.statuses import Verdict
from costing.names import key
from costing.report.layouts import LABELS
from costing.report.make_rows import Cooked
from costing.report.shop_words import NOTHING_LISTED, READ_THE_PACK, UNKNOWN
from costing.report.tables import Table
from costing.shoot import Shoot
from costing.shoot.containers import Contents

CAUTION = (
    "A reminder by published rules and by what was logged. It does not show that the food is safe. "
    "Follow the food code of the place; when in doubt, throw it out."
)
"""Printed on every label."""

NOT_LOGGED = (
    "This label follows no log: no rule judges the food here, and it shows no time. Write down "
    "when it was made, and when it left the heat or the cold. Follow the food code of the place; "
    "when in doubt, throw it out."
)
"""Printed on the label of a dish that is made."""

_EATEN = {
    Eaten.YES: "Eaten: yes, or not said.",
    Eaten.NO: "NOT EATEN: for the camera only.",
    Eaten.NEVER: "NEVER EAT: it is no food.",
}


def label_lines(
    container: Container,
    contents: Contents,
    shoot: Shoot,
    *,
    filled: Collection[str],
    made: str = "",
) -> list[str]:
    """The lines of a label, its times of discarding left out.

    Parameters
    ----------
    filled : collection of str
        Keys of ingredients whose allergens were taken from tables.
    made : str
        A dish in it that was made, and not bought ready.
    """
    lines = [container.name]
    if container.holds:
        lines.append(f"Holds: {'; '.join(container.holds)}")
    if container.events:
        first = container.events[0]
        lines.append(f"{first.kind.capitalize()}: {first.at:%Y-%m-%d %H:%M}")
    names = [name for name in contents.ingredients_in(container) if not made or name != made]
    list_in_use = shoot.settings.allergen_list
    lines.append(f"Allergens ({list_in_use} list): {_allergens(names, shoot, filled)}")
    lines.append(_EATEN[container.eaten])
    return lines


def made_lines(
    made: Sequence[Cooked], shoot: Shoot, filled: Collection[str]
) -> dict[str, list[str]]:
    """The lines of the label of each dish that is made, by the name on it."""
    labels: dict[str, list[str]] = {}
    contents = Contents(shoot)
    dishes = [key(str(one.row["dish"])) for one in made]
    for one in made:
        dish = str(one.row["dish"])
        several = dishes.count(key(dish)) > 1
        name = f"{dish}, made for {one.row['episode']}" if several else f"{dish}, made"
        parts = [dish] if one.steps is None else [f"{dish}: only step {n}" for n in one.steps]
        lines = label_lines(
            Container(name=name, holds=tuple(parts)), contents, shoot, filled=filled, made=dish
        )
        shots = choice_words([shot.label for shot in one.shots], last="and")
        on = f", {one.day:%Y-%m-%d}" if one.day else ""
        lines[2:2] = [f"For: {shots}{on}", "Made on:"]
        labels.setdefault(name, lines[:-1])
    return labels


def _allergens(names: Sequence[str | None], shoot: Shoot, filled: Collection[str]) -> str:
    words: dict[str, str] = {}
    unknown: list[str] = []
    for name in names:
        allergens = None if name is None else shoot.ingredient(name).allergens
        if allergens is None:
            unknown.append(name or "something no sheet knows")
        words.update({key(word): word for word in allergens or ()})
    said = [", ".join(words.values())] if words else []
    if unknown or not names:
        of = f" of {', '.join(unknown)}" if unknown else ""
        said.append(f"{UNKNOWN}{of}")
    if any(name is not None and key(name) in filled for name in names):
        said.append(READ_THE_PACK if said else NOTHING_LISTED)
    return "; ".join(said) or "none given"


def labels_table(
    verdicts: Sequence[Verdict],
    labels: Mapping[str, Sequence[str]],
    made: Mapping[str, Sequence[str]],
) -> Table:
    """One row for each container, with the times of its strictest rule, and each dish made.

    ``labels``, ``made``: lines of the label by container and by dish that is made, the name first.
    """
    logged = [
        LABELS.row(
            container=verdict.container,
            label="\n".join(labels.get(verdict.container, (verdict.container,))[1:]),
            return_before=verdict.return_before,
            discard_at=verdict.discard_at,
            rule=verdict.rule,
            caution=CAUTION,
        )
        for verdict in verdicts
        if verdict.strictest
    ]
    dishes = [
        LABELS.row(container=name, label="\n".join(lines[1:]), caution=NOT_LOGGED)
        for name, lines in made.items()
        if name not in labels
    ]
    return LABELS.table([*logged, *dishes])
