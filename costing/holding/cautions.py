"""The cautions that go with every list of holding times, in our own words."""

from __future__ import annotations

from collections.abc import Iterable

from costing.holding.figures import Verified
from costing.holding.rules import Rule, Standing

ALWAYS = (
    "These are reminders of time and temperature worked out from published rules and from what "
    "was logged. They do not show that any food is safe, and they are no legal advice.",
    "The food code of the place and its competent authority come first. Ask them where the two "
    "differ.",
    "When in doubt, throw it out. Looks, smell and taste do not tell, and heating again does not "
    "take every toxin away.",
    "Young children, older people, pregnant people and people with weak immune systems need "
    "stricter care than these rules give.",
)


def cautions(used: Iterable[Rule]) -> list[str]:
    """Cautions to show wherever statuses or times are shown.

    Parameters
    ----------
    used : iterable of Rule
        The rules that gave the statuses; their order does not matter.

    Returns
    -------
    list of str
        Sentences.
    """
    rules = sorted({rule.id: rule for rule in used}.values(), key=lambda rule: rule.id)
    given = list(ALWAYS)
    procedures = [rule.id for rule in rules if rule.needs_procedures]
    if procedures:
        given.append(
            f"{_listed(procedures)}: time as a control asks for written procedures kept "
            "beforehand and for the discard time marked on the food. Some authorities want to be "
            "told first, or do not allow it."
        )
    advice = [rule.id for rule in rules if rule.standing is Standing.CONSUMER_ADVICE]
    if advice:
        given.append(
            f"{_listed(advice)}: advice for homes. A professional kitchen keeps to its own code, "
            "which can differ and can be stricter."
        )
    unread = [
        f"{rule.id} ({_unread(rule)})"
        for rule in rules
        if rule.verified is not Verified.SOURCE_TEXT
    ]
    if unread:
        given.append(
            "Figures not confirmed in the source text itself: "
            + "; ".join(unread)
            + ". Confirm them with the authority before relying on them."
        )
    return given


def _listed(ids: list[str]) -> str:
    return ", ".join(ids)


def _unread(rule: Rule) -> str:
    """The figures of a rule that were not seen in its source text."""
    return ", ".join(
        f"{name}: {figure.as_printed}"
        for name, figure in rule.figures
        if figure.verified is not Verified.SOURCE_TEXT
    )
