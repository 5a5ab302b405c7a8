"""JSON-LD in one spelling: what the format and the programs that write pages leave open.

Names with a prefix or in full (``schema:name``, ``http://schema.org/name``), lists in ``@list``,
things in a ``ListItem``, steps that stand elsewhere in the file and are pointed to by their id;
line ends inside a text, and commas and semicolons that JSON does not have.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from typing import Any

DEEPEST = 200
"""Things inside one another; what is deeper stays as it is, and nothing reads it."""

LONGEST_AGAIN = 2_000
"""A step that is longer is told once, however often it is pointed to. [characters]"""

_STRING_OR_COMMA = re.compile(r'("[^"\\]*(?:\\[\s\S][^"\\]*)*")|,(?=\s*[\]}])')
_ALIASES = {"type": "@type", "id": "@id"}
"""Words for these two that the context of schema.org allows."""


def json_read(text: str) -> Any:
    r"""What JSON says, also with line ends in a text, or a comma or semicolon behind the last.

    Raises
    ------
    json.JSONDecodeError
        If it is none; it is a ValueError.

    Examples
    --------
    >>> json_read('{"name": "Leek\tpie",};')
    {'name': 'Leek\tpie'}
    """
    text = text.lstrip("\ufeff").rstrip().removesuffix(";")
    try:
        return json.loads(text, strict=False)
    except json.JSONDecodeError as fault:
        try:
            return json.loads(_STRING_OR_COMMA.sub(lambda at: at[1] or "", text), strict=False)
        except json.JSONDecodeError:
            raise fault from None


def in_one_spelling(data: Any, depth: int = 0) -> Any:
    """The same with short names, plain lists, and list items that are what they hold.

    Examples
    --------
    >>> in_one_spelling({"@type": "schema:Recipe", "schema:recipeIngredient": {"@list": ["1 egg"]}})
    {'@type': 'schema:Recipe', 'recipeIngredient': ['1 egg']}
    """
    if depth > DEEPEST:
        return data
    if isinstance(data, list):
        return [in_one_spelling(entry, depth + 1) for entry in data]
    if not isinstance(data, dict):
        return data
    for wrapped in ("@list", "@set", "@value"):
        if wrapped in data:
            return in_one_spelling(data[wrapped], depth + 1)
    said: dict[str, Any] = {}
    # a name that is short as it stands comes first: it is the one that is meant
    for name in sorted(data, key=lambda name: _short(name) != name):
        said.setdefault(_short(name), in_one_spelling(data[name], depth + 1))
    item = said.get("item")
    if _short(str(said.get("@type"))) == "ListItem" and isinstance(item, dict):
        place = {"position": said["position"]} if "position" in said else {}
        return {name: said[name] for name in said if name != "item"} | item | place
    return said


def _short(name: str) -> str:
    if name.startswith("@"):
        return name
    return _ALIASES.get(name) or re.split("[/:#]", name)[-1]


def nodes_of(data: Any, depth: int = 0) -> Iterator[tuple[str, dict[str, Any]]]:
    """Everything that has an id, and says more than that."""
    if depth > DEEPEST:
        return
    if isinstance(data, list):
        for entry in data:
            yield from nodes_of(entry, depth + 1)
    elif isinstance(data, dict):
        if isinstance(data.get("@id"), str) and not _only_points(data):
            yield data["@id"], data
        for value in data.values():
            yield from nodes_of(value, depth + 1)


def pointed_to(value: Any, nodes: dict[str, dict[str, Any]], depth: int = 0) -> Any:
    """The same with what it points to by an id in its place, a short text as often as that is.

    ``nodes``: what is there by id; what holds others is taken out once it was put in its place, so
    that things that point to one another end.
    """
    if depth > DEEPEST:
        return value
    if isinstance(value, list):
        return [pointed_to(entry, nodes, depth + 1) for entry in value]
    if not isinstance(value, dict):
        return value
    if _only_points(value) and (node := nodes.get(value["@id"])) is not None:
        if not _short_text(node):
            del nodes[value["@id"]]
        value = node | {name: said for name, said in value.items() if name == "position"}
    return {name: pointed_to(said, nodes, depth + 1) for name, said in value.items()}


def _short_text(node: dict[str, Any]) -> bool:
    """Whether it holds no other things, and little enough to stand in many places."""
    said = node.values()
    texts = all(isinstance(one, str | int | float) for one in said)
    return texts and sum(len(str(one)) for one in said) <= LONGEST_AGAIN


def _only_points(node: dict[str, Any]) -> bool:
    """Whether nothing is said of it but where it stands."""
    return isinstance(node.get("@id"), str) and not {*node} - {"@id", "@type", "position"}
