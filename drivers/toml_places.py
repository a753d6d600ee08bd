"""On which line of a TOML file a value stands, so that a problem can be said as ``file:line: what``."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Sequence

import tree_sitter_toml
from pydantic import ValidationError
from tree_sitter import Language, Node, Parser

_BARE = {"bare_key", "quoted_key", "dotted_key"}


class Places:
    """The lines of every key and table of a TOML source that ``tomllib`` accepts."""

    def __init__(self, source: str, name: str) -> None:
        self.name = name
        self._lines: dict[tuple[str | int, ...], int] = {(): 1}
        self._arrays: dict[tuple[str | int, ...], int] = {}
        tree = Parser(Language(tree_sitter_toml.language())).parse(source.encode())
        for node in tree.root_node.children:
            self._document_part(node)

    def line(self, *place: str | int) -> int:
        """The line of the value, or of the nearest thing around it that is written down."""
        while place not in self._lines:
            place = place[:-1]
        return self._lines[place]

    def sentence(self, what: str, *place: str | int) -> str:
        """One problem, in the form every file of ours reports them."""
        return f"{self.name}:{self.line(*place)}: {what}."

    def _document_part(self, node: Node) -> None:
        if node.type == "pair":
            self._pair(node, ())
        elif node.type in ("table", "table_array_element"):
            keys = [child for child in node.children if child.type in _BARE]
            where = self._resolved(_keys(keys[0]))
            if node.type == "table_array_element":
                index = self._arrays.get(where, -1) + 1
                self._arrays[where] = index
                self._lines.setdefault(where, _line(node))
                where = (*where, index)
            self._mark(where, node)
            for child in node.children:
                if child.type == "pair":
                    self._pair(child, where)

    def _resolved(self, keys: Sequence[str]) -> tuple[str | int, ...]:
        """``[[a]]`` then ``[a.b]`` speaks of the newest a."""
        where: tuple[str | int, ...] = ()
        for key in keys[:-1]:
            where = (*where, key)
            if where in self._arrays:
                where = (*where, self._arrays[where])
        return (*where, keys[-1])

    def _pair(self, node: Node, above: tuple[str | int, ...]) -> None:
        key, value = node.children[0], node.children[-1]
        where = (*above, *_keys(key))
        self._mark(where, node)
        self._value(value, where)

    def _value(self, node: Node, where: tuple[str | int, ...]) -> None:
        if node.type == "inline_table":
            for child in node.children:
                if child.type == "pair":
                    self._pair(child, where)
        elif node.type == "array":
            elements = [child for child in node.children if child.type not in ("[", "]", ",", "comment")]
            for index, child in enumerate(elements):
                self._mark((*where, index), child)
                self._value(child, (*where, index))

    def _mark(self, where: tuple[str | int, ...], node: Node) -> None:
        for length in range(1, len(where) + 1):
            self._lines.setdefault(where[:length], _line(node))
        self._lines[where] = _line(node)


def _line(node: Node) -> int:
    return int(node.start_point[0]) + 1


def _keys(node: Node) -> list[str]:
    if node.type == "dotted_key":
        return [key for child in node.children if child.type in _BARE for key in _keys(child)]
    text = (node.text or b"").decode()
    return [text[1:-1] if node.type == "quoted_key" else text]


def syntax_sentence(name: str, trouble: tomllib.TOMLDecodeError) -> str:
    """What tomllib says, as ``file:line: what; what to do``."""
    where = re.search(r" \(at (?:line ([0-9]+), column [0-9]+|end of document)\)", str(trouble))
    what = str(trouble)[: where.start()] if where else str(trouble)
    line = f":{where[1]}" if where and where[1] else ""
    return f"{name}{line}: {what[:1].lower()}{what[1:]}; correct the line, the file must be TOML."


def problems_of(trouble: ValidationError, places: Places) -> list[str]:
    """Every problem pydantic found, each as ``file:line: what; what to do``."""
    return [
        _problem(error["type"], tuple(error["loc"]), error["msg"], error.get("ctx", {}), places)
        for error in trouble.errors()
    ]


#: What a value of the wrong kind has to be, by pydantic's name of the mistake.
INSTEAD = {
    "int_type": "a whole number, without quotes",
    "int_from_float": "a whole number, without quotes",
    "int_parsing": "a whole number, without quotes",
    "float_type": "a number, without quotes",
    "float_parsing": "a number, without quotes",
    "bool_type": "true or false, without quotes",
    "string_type": 'a text in quotes, like "COM3"',
    "list_type": 'a list in brackets, like ["one", "two"]',
    "tuple_type": 'a list in brackets, like ["one", "two"]',
}


def _problem(
    kind: str, place: tuple[str | int, ...], message: str, context: dict[str, object], places: Places
) -> str:
    field = ".".join(str(part + 1) if isinstance(part, int) else part for part in place)
    if kind == "missing":
        return places.sentence(f"{place[-1]} is missing; add a line {place[-1]} = ...", *place)
    if kind == "extra_forbidden":
        return places.sentence(f"{field} is not known here; check its spelling or take it out", *place)
    if kind in ("literal_error", "enum"):
        return places.sentence(f"{field} must be {context['expected']}; change it to one of these", *place)
    if kind == "value_error":
        return places.sentence(str(context["error"]).rstrip("."), *place)
    if kind in INSTEAD:
        return places.sentence(f"{field} has to be {INSTEAD[kind]}", *place)
    return places.sentence(f"{field}: {message[0].lower()}{message[1:]}; correct it", *place)
