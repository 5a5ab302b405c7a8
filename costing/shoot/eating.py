"""Who may eat what: each person and each shot or container, by what the lists say.

The answer is that nothing is listed, never that it is safe: read the pack.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import islice, product

from costing.findings import (
    Finding,
    Grade,
    Words,
    choice_words,
    how_many,
    if_meant,
    message,
    near_words,
)
from costing.holding.models import Container, Eaten
from costing.holding.statuses import NOT_TO_BE_EATEN, Verdict
from costing.names import is_water, key, nearest
from costing.shoot.avoiding import GRAVITY, Answer, Avoided, diets, known_of, read_avoided
from costing.shoot.containers import Contents, sold_ready
from costing.shoot.episodes import Person
from costing.shoot.leaves import Leaves
from costing.shoot.purposes import SHOWS_MAKING
from costing.shoot.shoot import Shoot
from costing.shoot.shots import Shot

NAMED_AT_MOST = 4
"""So many ingredients are named where several are the reason."""

MEANT = {
    "dairy": ("milk",),
    "shellfish": ("crustaceans; molluscs",),
    "seafood": ("fish; crustaceans; molluscs",),
}
"""Words that people write for what the lists name otherwise, and what to write."""

READ_ITS_PACK = "Read the pack."
READ_THE_PACKS = "Read the packs."
MOST_CHOICES = 64
"""Ways to feed all eaters of a shot that are compared."""

Cheapest = Callable[[Sequence[Mapping[str, str]]], tuple[int, str]]
"""Which of several choices of what is bought instead of what costs least, and what that is."""


@dataclass(frozen=True, slots=True)
class Eats:
    """What is known of one person, or of all eaters of a shot, and one thing to eat.

    ``person``: a name of People, or how many eaters.
    """

    person: str
    what: str
    answer: Answer
    because: str


class WhoEats:
    """Who may eat what of a shoot.

    Parameters
    ----------
    shoot : Shoot
        With its episodes and shots filled in, and what is published of its ingredients.
    cheapest : callable, optional
        Compares what may be bought instead; without it the first of the workbook is named.
    """

    def __init__(
        self, shoot: Shoot, verdicts: Sequence[Verdict], cheapest: Cheapest | None = None
    ) -> None:
        self.shoot = shoot
        self._cheapest = cheapest
        self.findings: list[Finding] = []
        self._avoiding: dict[str, dict[tuple[str, str], list[str]]] = {}
        self._answers: dict[tuple[str, str], Answer] = {}
        self._status = {key(v.container): v for v in verdicts if v.strictest}
        self._leaves = Leaves(shoot, to_taste=True)
        self._with_ready = Leaves(shoot, to_taste=True, apart=sold_ready(shoot))
        self._contents = Contents(shoot)
        self._avoided = self._read_people()
        self.rows = tuple(self._rows())

    @property
    def warnings(self) -> list[str]:
        """Eaters who avoid what is in their shots, and what feeds them all, where that is known."""
        return [
            " ".join(
                (*(_avoids_words(*who, shots) for who, shots in avoiding.items()), instead)
            ).rstrip()
            for instead, avoiding in self._avoiding.items()
        ]

    @cached_property
    def _ingredients(self) -> list[str]:
        """Every ingredient and dish that a line takes."""
        return sorted({line.ingredient for line in self.shoot.lines if line.ingredient})

    def _read_people(self) -> dict[str, tuple[Avoided, ...] | None]:
        """What everybody avoids: all that their rows say together, where there are several."""
        avoided: dict[str, tuple[Avoided, ...] | None] = {}
        for person in self.shoot.people:
            said, before = self._read(person), avoided.get(key(person.name))
            avoided[key(person.name)] = said if before is None else (*before, *(said or ()))
        return avoided

    def _read(self, person: Person) -> tuple[Avoided, ...] | None:
        """What somebody avoids; ``None`` when that is not said."""
        if person.avoids is None:
            return None
        found = [read_avoided(text, self.shoot, self._ingredients) for text in person.avoids]
        for one in found:
            if not one.known:
                known = (*diets(), *self._ingredients)
                near = MEANT.get(key(one.text)) or nearest(one.text, known)
                self.findings.append(avoids_unknown(person.at("Avoids"), one.text, near))
        return tuple(found)

    def _rows(self) -> Iterator[Eats]:
        """Container by container, then shot by shot; each person, then all eaters of the shot."""
        for container in self.shoot.containers:
            inside = self._contents.ingredients_in(container)
            for person in self.shoot.person_rows.values():
                yield self._eats(person, container.name, inside, self._barred(container))
        self.findings.extend(unknown_eaters(self.shoot, self.shoot.shots))
        for shot in self.shoot.shots:
            count = len(shot.eaters) or shot.eater_count
            if not self.shoot.is_dish(shot.dish) or not (shot.is_eaten or count):
                continue
            shown = self._in_shot(shot)
            # whom somebody names as eaters eat of it, unless Eaten itself says no
            barred = "the plan says that it is not eaten" if shot.eaten is False else ""
            what = self.shoot.shot_name(shot)
            rows = [self._eats(p, what, shown, barred) for p in self.shoot.person_rows.values()]
            yield from rows
            if count:
                yield self._servings(shot, what, rows, count)
                self._check_avoided(shot, shown, rows)

    def _barred(self, container: Container) -> str:
        """Why nobody is to eat of a container; blank when nothing says so."""
        if container.eaten is Eaten.NEVER:
            return "it is marked as no food"
        if container.eaten is Eaten.NO:
            return "it is marked as not eaten"
        verdict = self._status.get(key(container.name))
        if verdict is not None and verdict.status in NOT_TO_BE_EATEN:
            return f"{verdict.status} by {verdict.rule}, as logged"
        return ""

    def _in_shot(self, shot: Shot) -> list[str]:
        """Everything in the copy that a shot shows, with what is to taste, or was bought ready."""
        names = [leaf.line.ingredient for leaf in self._leaves.shown_in(shot)]
        names += self._ready_in(shot)
        return list(dict.fromkeys(name for name in names if not is_water(name)))

    def _ready_in(self, shot: Shot) -> list[str]:
        """Dishes in the copy that a shot shows which may have been bought ready."""
        sold, found = self._with_ready.apart, dict[str, None]()
        waiting = [leaf.line.ingredient for leaf in self._with_ready.shown_in(shot)]
        waiting += [shot.dish] if shot.purpose not in SHOWS_MAKING else []
        for name in waiting:  # which grows by what is in these
            if key(name) in sold and name not in found:
                found[name] = None
                waiting += [leaf.line.ingredient for leaf in self._with_ready.of(name)]
        return list(found)

    def _eats(self, person: Person, what: str, inside: Sequence[str | None], barred: str) -> Eats:
        """One answer, with the gravest reason."""
        if barred:
            return Eats(
                person.name, what, Answer.NOT_TO_BE_EATEN, f"{barred[0].upper()}{barred[1:]}."
            )
        avoided = self._avoided[key(person.name)]
        if avoided is None:
            return Eats(person.name, what, Answer.UNKNOWN, "What is avoided is not said.")
        listed: dict[str, list[str]] = {}
        unknown: dict[str, list[str]] = {}
        for name in inside:
            for one in avoided:
                self._note(one, name, listed, unknown)
        if listed:
            return Eats(person.name, what, Answer.AVOIDS, _reasons(listed))
        if not inside and avoided:
            return Eats(person.name, what, Answer.UNKNOWN, "What is in it is not said.")
        if unknown:
            because = f"{_reasons(unknown)} {READ_ITS_PACK}"
            return Eats(person.name, what, Answer.UNKNOWN, because)
        those = how_many(len(inside), "ingredient")
        listed_with_none = f"None of {those} is listed with it. {READ_ITS_PACK}"
        because = listed_with_none if avoided else "Nothing is avoided."
        return Eats(person.name, what, Answer.NOTHING_LISTED, because)

    def _note(
        self,
        avoided: Avoided,
        name: str | None,
        listed: dict[str, list[str]],
        unknown: dict[str, list[str]],
    ) -> None:
        """What an ingredient, or what may be bought instead of it, says of something avoided."""
        if name is None:
            unknown.setdefault(avoided.text, []).append("something no sheet knows")
            return
        answer = self._known(avoided, name)
        said = f"{name}, if it was bought ready" if self.shoot.is_dish(name) else name
        if answer is Answer.AVOIDS:
            listed.setdefault(avoided.text, []).append(said)
        elif answer is Answer.UNKNOWN:
            unknown.setdefault(avoided.text, []).append(said)
        else:
            for instead in self.shoot.ingredient(name).substitutes:
                if self._known(avoided, instead) is not Answer.NOTHING_LISTED:
                    text = f"{instead}, if it was bought instead of {name}"
                    unknown.setdefault(avoided.text, []).append(text)

    def _known(self, avoided: Avoided, name: str) -> Answer:
        at = avoided.text, key(name)
        if at not in self._answers:
            answer = known_of(avoided, name, self.shoot)
            untold = self.shoot.is_dish(name) and self.shoot.ingredient(name).allergens is None
            # what is mixed in a dish that is sold ready says its pack alone
            unknown = untold and answer is Answer.NOTHING_LISTED
            self._answers[at] = Answer.UNKNOWN if unknown else answer
        return self._answers[at]

    def _servings(self, shot: Shot, what: str, rows: Sequence[Eats], count: int) -> Eats:
        """All ``count`` eaters of a shot: how many servings of which kind, the gravest answer."""
        by_person = {key(row.person): row.answer for row in rows}
        named = [name for name in shot.eaters if name in self.shoot.person_rows]
        kinds: dict[str, int] = {}
        for name in named:
            avoided = self._avoided[key(name)]
            words = "not said" if avoided is None else " and ".join(a.text for a in avoided)
            kinds[words or "nothing avoided"] = kinds.get(words or "nothing avoided", 0) + 1
        if count > len(named):
            kinds["not said"] = kinds.get("not said", 0) + count - len(named)
        answers = [by_person[key(name)] for name in named]
        if count > len(named):
            answers.append(Answer.UNKNOWN)
        answer = max(answers, key=GRAVITY.index, default=Answer.UNKNOWN)
        listed = ", ".join(f"{many} x {words}" for words, many in kinds.items())
        only = shot.eaters[0] if shot.eaters else "not named"
        who = f"the only eater, {only}" if count == 1 else f"all {count} eaters"
        return Eats(who, what, answer, f"Servings: {listed}.")

    def _check_avoided(self, shot: Shot, inside: Sequence[str], rows: Sequence[Eats]) -> None:
        """Eaters who avoid something in the shot."""
        eating = {key(name) for name in shot.eaters}
        avoiding = [r for r in rows if r.answer is Answer.AVOIDS and key(r.person) in eating]
        instead = self._feeding_all(shot, inside) if avoiding else ""
        for row in avoiding:
            why = row.because.rstrip(".")
            self.findings.append(eater_avoids(shot.at("Eaters"), row.person, why, instead))
            told = self._avoiding.setdefault(f"{instead}. {READ_THE_PACKS}" if instead else "", {})
            told.setdefault((row.person, why), []).append(row.what)
        for row in rows:
            # what somebody avoids and is no known word is told on People
            avoided = self._avoided[key(row.person)] or ()
            known = avoided and all(one.known for one in avoided)
            if row.answer is Answer.UNKNOWN and key(row.person) in eating and known:
                why = row.because.removesuffix(READ_ITS_PACK).rstrip(". ")
                self.findings.append(eater_not_known(shot.at("Eaters"), row.person, why))

    def _feeding_all(self, shot: Shot, inside: Sequence[str]) -> str:
        """What to buy instead so that nothing any eater avoids is listed; blank when not known.

        Of several choices the one with which the changed plan costs least, and what it costs.
        """
        avoided = [one for name in shot.eaters for one in self._avoided.get(key(name)) or ()]
        fitting: dict[str, list[str]] = {}
        for name in inside:
            if all(self._known(a, name) is Answer.NOTHING_LISTED for a in avoided):
                continue
            fitting[name] = [
                instead
                for instead in self.shoot.ingredient(name).substitutes
                if all(self._known(a, instead) is Answer.NOTHING_LISTED for a in avoided)
            ]
        if not all(fitting.values()):
            return ""
        choices = list(islice(product(*fitting.values()), MOST_CHOICES))
        at, costs = 0, ""
        if self._cheapest is not None:
            codes = [key(name) for name in fitting]
            at, costs = self._cheapest([dict(zip(codes, c, strict=True)) for c in choices])
        swaps = [f"{new} instead of {old}" for old, new in zip(fitting, choices[at], strict=True)]
        text = f"With {choice_words(swaps, last='and')} nothing that its eaters avoid is listed"
        return f"{text}; {costs}" if costs else text


def _avoids_words(person: str, why: str, shots: Sequence[str]) -> str:
    """One who avoids what is in shots, in a sentence."""
    return (
        f"{person} avoids what is in {choice_words(shots, most=NAMED_AT_MOST, last='and')} ({why})."
    )


def _reasons(named: Mapping[str, Iterable[str]]) -> str:
    """What is avoided, each with the ingredients that are the reason."""
    parts = [
        f"{text}: {choice_words(dict.fromkeys(names), most=NAMED_AT_MOST, last='and')}"
        for text, names in named.items()
    ]
    return f"{'; '.join(parts)}."


def unknown_eaters(shoot: Shoot, shots: Iterable[Shot]) -> Iterator[Finding]:
    """Eaters of shots who are not on People, unless what stands there could not be read."""
    people = shoot.person_rows
    for shot in shots:
        for name in shot.eaters:
            if name not in people and not shoot.left_out_on("People", name=name):
                yield eater_unknown(shot.at("Eaters"), name, nearest(name, people))


@message("avoids unknown", Grade.ERROR)
def avoids_unknown(text: str, near: Sequence[str]) -> Words:
    return Words(
        f'"{text}", which is no allergen, ingredient or diet',
        near_words(
            near,
            "an allergen of a list, an ingredient of the workbook, or a diet: "
            + choice_words(dict.fromkeys(diet.name for diet in diets().values())),
        ),
        if_meant(near, "Write one of these")
        + "; until then nothing is known about it, and the answer is unknown.",
    )


@message("eater unknown", Grade.ERROR)
def eater_unknown(name: str, near: Sequence[str]) -> Words:
    return Words(
        f'the eater "{name}", who is not on the sheet People',
        near_words(near, "a name of People"),
        (f'Write "{near[0]}" if that is meant, or add a row' if near else "Add a row")
        + " to People; until then what that person avoids is unknown.",
    )


@message("eater not known", Grade.WARNING)
def eater_not_known(person: str, why: str) -> Words:
    """An eater of a shot of which nobody knows whether it has what they avoid."""
    return Words(
        f'"{person}" among those who eat of it, and nothing that says whether it has what they '
        f"avoid ({why})",
        "what each brings, in Allergens",
        "Read its pack and write it into Allergens, beside its name on the sheet Ingredients.",
    )


@message("eater avoids", Grade.WARNING)
def eater_avoids(person: str, why: str, instead: str) -> Words:
    return Words(
        f'"{person}" among those who eat of it, and what they avoid in it ({why})',
        "nobody who avoids what is in it",
        f"{instead}. {READ_THE_PACKS}"
        if instead
        else "Take the name out, or plan another dish for that person; the workbook names no "
        "substitute with which nothing that its eaters avoid is listed.",
    )
