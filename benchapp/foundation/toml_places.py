"""Where each key and value of a TOML text stands, by the syntax tree of tree-sitter-toml."""

from __future__ import annotations

import functools
import tomllib
from dataclasses import dataclass

import tree_sitter_toml
from tree_sitter import Language, Node, Parser

Path = tuple[str | int, ...]
_KEYS = ("bare_key", "quoted_key", "dotted_key")


@dataclass(frozen=True, slots=True, order=True)
class Place:
    """A line and a column, both counted from 1, columns in characters."""

    line: int
    column: int


@functools.cache
def _parser() -> Parser:
    return Parser(Language(tree_sitter_toml.language()))


class Places:
    """The places of one text. A path is the keys and list positions that lead to a value."""

    def __init__(self, text: str) -> None:
        self._lines = text.encode().split(b"\n")
        self._keys: dict[Path, Place] = {}
        self._values: dict[Path, Place] = {}
        self._counts: dict[Path, int] = {}
        #: Every heading in the order of the text: the table it begins, and its line.
        self.headings: list[tuple[Path, int]] = []
        for node in _parser().parse(text.encode()).root_node.children:
            if node.type == "pair":
                self._pair(node, ())
            elif node.type in ("table", "table_array_element"):
                self._table(node)

    def key(self, path: Path) -> Place:
        """Where the key of ``path`` is written; for a list item, or where there is no key, its value."""
        return self._keys.get(path) or self.value(path)

    def value(self, path: Path) -> Place:
        """Where the value of ``path`` begins; where it is missing, the table it ought to be in."""
        while path:
            if path in self._values:
                return self._values[path]
            path = path[:-1]
        return Place(1, 1)

    def _table(self, node: Node) -> None:
        key = next((c for c in node.children if c.type in _KEYS), None)
        if key is None:
            return
        path = self._resolve(_names(key))
        if node.type == "table_array_element":
            nth = self._counts.get(path, 0)
            self._counts[path] = nth + 1
            self._values.setdefault(path, self._place(node))
            path = (*path, nth)
        self._keys[path] = self._values[path] = self._place(node)
        self.headings.append((path, self._place(node).line))
        for child in node.children:
            if child.type == "pair":
                self._pair(child, path)

    def _resolve(self, names: tuple[str, ...]) -> Path:
        """A table name as a path: what is below a list of tables belongs to the last of them so far."""
        path: Path = ()
        for i, name in enumerate(names):
            path = (*path, name)
            if path in self._counts and i < len(names) - 1:
                path = (*path, self._counts[path] - 1)
        return path

    def _pair(self, node: Node, above: Path) -> None:
        parts = [c for c in node.children if c.is_named and c.type != "comment"]
        if len(parts) != 2 or parts[0].type not in _KEYS:
            return
        names = _names(parts[0])
        for part in range(1, len(names)):
            self._values.setdefault((*above, *names[:part]), self._place(parts[0]))
        path = (*above, *names)
        self._keys[path] = self._place(parts[0])
        self._value(parts[1], path)

    def _value(self, node: Node, path: Path) -> None:
        self._values[path] = self._place(node)
        if node.type == "array":
            items = [c for c in node.children if c.is_named and c.type != "comment"]
            for nth, item in enumerate(items):
                self._value(item, (*path, nth))
        elif node.type == "inline_table":
            for child in node.children:
                if child.type == "pair":
                    self._pair(child, path)

    def _place(self, node: Node) -> Place:
        row, column = node.start_point
        return Place(row + 1, len(self._lines[row][:column].decode(errors="replace")) + 1)


def _names(key: Node) -> tuple[str, ...]:
    text = (key.text or b"").decode(errors="replace")
    if key.type == "bare_key":
        return (text,)
    if key.type == "quoted_key":
        return (str(tomllib.loads(f"key = {text}")["key"]),)
    return tuple(name for child in key.children if child.type in _KEYS for name in _names(child))
