"""Changes in a TOML text that touch nothing else in it: a text as blocks of lines, each a table with its own comment.

A comment that stands right over a heading belongs to that table and moves with it; one with an empty line under it heads
a part of the file and stays. tomlkit changes values inside one block; it would carry a comment over a heading along
with the table before it. Whatever is written is read again and compared with what was meant.
"""

from __future__ import annotations

import copy
import re
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import tomlkit

from benchapp.foundation.language import tr
from benchapp.foundation.toml_places import Path, Places
from benchapp.recipes.errors import ChangeRefused
from benchapp.recipes.toml_values import toml_fields, toml_value

_LINE = re.compile(r"[^\n]*\n|[^\n]+")
#: In this order tables stand in a procedure that has none of a kind yet.
_ORDER = ("formula", "batch", "formula.ingredient", "material", "vessel", "step", "release", "accept")


@dataclass(slots=True)
class TextBlock:
    """One table: the comment right over it, its heading and fields, and what stands between it and the next."""

    path: Path
    above: str = ""
    body: str = ""
    below: str = ""

    @property
    def names(self) -> str:
        return ".".join(str(part) for part in self.path if isinstance(part, str))


def blocks_of(text: str) -> list[TextBlock]:
    """The text in blocks; the first has no table. Together they are the text, byte for byte."""
    lines = _LINE.findall(text)
    starts: list[tuple[Path, int]] = []
    for path, line in Places(text).headings:
        inside = starts and isinstance(starts[-1][0][-1], int) and path[: len(starts[-1][0])] == starts[-1][0]
        if not inside:
            starts.append((path, line - 1))
    found = [TextBlock(())]
    begin = 0
    for path, line in starts:
        top = line
        while top > begin and lines[top - 1].lstrip().startswith("#"):
            top -= 1
        _close(found[-1], lines[begin:top])
        found.append(TextBlock(path, above="".join(lines[top:line])))
        begin = line
    _close(found[-1], lines[begin:])
    return found


def _close(block: TextBlock, lines: list[str]) -> None:
    """Fields end with the last line that is neither empty nor a comment."""
    end = len(lines)
    while end and (not lines[end - 1].strip() or lines[end - 1].lstrip().startswith("#")):
        end -= 1
    block.body, block.below = "".join(lines[:end]), "".join(lines[end:])


def joined(blocks: list[TextBlock]) -> str:
    """The text of the blocks."""
    return "".join(block.above + block.body + block.below for block in blocks)


# --- the four changes ------------------------------------------------------------------------------------


def with_fields(text: str, path: Path, fields: Mapping[str, Any]) -> str:
    """Fields of one table set, those that are None taken out; the table is made where a plain one is missing."""
    meant = tomllib.loads(text)
    _put(meant, path, fields)
    blocks = blocks_of(text)
    block = next((b for b in blocks if b.path == path), None)
    if block is None:
        return _same(_inserted(text, path, {k: v for k, v in fields.items() if v is not None}), meant)
    block.body = _with_fields(block.body, path, fields)
    return _same(joined(blocks), meant)


def with_table(text: str, path: Path, fields: Mapping[str, Any]) -> str:
    """One more table in a list of tables: it gets the place of ``path``, and what stands there goes on by one."""
    meant = tomllib.loads(text)
    _list_at(meant, path).insert(_number(path), _plain(fields))
    return _same(_inserted(text, path, fields), meant)


def without_table(text: str, path: Path) -> str:
    """The text without one table and the comment right over it."""
    meant = tomllib.loads(text)
    rest = _list_at(meant, path)
    del rest[_number(path)]
    if not rest:
        del _made_at(meant, path[:-2])[path[-2]]
    blocks = blocks_of(text)
    at = _at(blocks, path)
    blocks[at].above = blocks[at].body = ""
    blocks[at].below = re.sub(r"\A(?:[ \t]*\r?\n)+", "", blocks[at].below)
    if (
        at == len(blocks) - 1 and not blocks[at].below and blocks[at - 1].body
    ):  # what kept it apart is left over
        blocks[at - 1].below = re.sub(r"(?:[ \t]*\r?\n)+\Z", "", blocks[at - 1].below)
    return _same(joined(blocks), meant)


def with_table_moved(text: str, path: Path, to: int) -> str:
    """One table of a list at another place of it, its comment with it."""
    meant = tomllib.loads(text)
    items = _list_at(meant, path)
    items.insert(to, items.pop(_number(path)))
    blocks = blocks_of(text)
    _at(blocks, path)
    mine = [
        i for i, b in enumerate(blocks) if b.path[:-1] == path[:-1] and b.path and isinstance(b.path[-1], int)
    ]
    contents = [(blocks[i].above, blocks[i].body) for i in mine]
    contents.insert(to, contents.pop(_number(path)))
    for i, (above, body) in zip(mine, contents, strict=True):
        blocks[i].above, blocks[i].body = above, _ended(body, text)
    return _same(joined(blocks), meant)


# --- how ------------------------------------------------------------------------------------------------


def _inserted(text: str, path: Path, fields: Mapping[str, Any]) -> str:
    blocks = blocks_of(text)
    names = ".".join(str(part) for part in path if isinstance(part, str))
    heading = f"[[{names}]]" if isinstance(path[-1], int) else f"[{names}]"
    body = f"{heading}\n{toml_fields(fields)}"
    newline = _newline(text)
    if newline != "\n":
        body = body.replace("\n", newline)
    after = _after(blocks, path, names)
    before = blocks[after]
    if before.body or before.above:
        before.body = _ended(before.body, text)
        room = newline
    else:  # only notes so far: the table comes behind them
        before.body, before.below = before.below, ""
        before.body = _ended(before.body, text)
        room = newline if before.body and not before.body.endswith(newline * 2) else ""
    follows = after + 1 < len(blocks) and not before.below.strip(" \t\r\n") and not before.below
    blocks.insert(
        after + 1, TextBlock(path, body=room + body, below=before.below or (newline if follows else ""))
    )
    before.below = ""
    return joined(blocks)


def _after(blocks: list[TextBlock], path: Path, names: str) -> int:
    """The block behind which a new table stands."""
    if isinstance(path[-1], int) and path[-1] > 0:
        return _at(blocks, (*path[:-1], path[-1] - 1))
    if isinstance(path[-1], int) and any(b.path == path for b in blocks):
        return _at(blocks, path) - 1
    rank = _ORDER.index(names) if names in _ORDER else len(_ORDER)
    ranks = [_ORDER.index(b.names) if b.names in _ORDER else -1 for b in blocks]
    return max(i for i, one in enumerate(ranks) if one <= rank)


def _at(blocks: list[TextBlock], path: Path) -> int:
    for i, block in enumerate(blocks):
        if block.path == path:
            return i
    name = ".".join(str(part + 1) if isinstance(part, int) else part for part in path)
    raise ChangeRefused(
        tr("There is no {name} of its own in the file. Change it in a text editor.", name=name)
    )


def _ended(body: str, text: str) -> str:
    return body if not body or body.endswith("\n") else body + _newline(text)


def _newline(text: str) -> str:
    return "\r\n" if "\r\n" in text else "\n"


def _with_fields(body: str, path: Path, fields: Mapping[str, Any]) -> str:
    document = tomlkit.parse(body)
    table: Any = document
    for part in path:
        table = table[0 if isinstance(part, int) else part]
    fresh: dict[str, Any] = {}
    for key, value in fields.items():
        if value is None:
            if key in table:
                table.remove(key)
        elif key not in table:
            fresh[key] = value
        elif _plain(table[key]) != _plain(value):
            _replace(table, key, value)
    text = tomlkit.dumps(document)
    return _with_lines(text, toml_fields(fresh))


def _with_lines(body: str, lines: str) -> str:
    """More fields, behind those of the table itself."""
    if not lines:
        return body
    if _newline(body) != "\n":
        lines = lines.replace("\n", "\r\n")
    headings = Places(body).headings
    if len(headings) > 1:  # tables of its own follow: right under the heading
        head, rest = body.split("\n", 1)
        return f"{head}\n{lines}{rest}"
    return _ended(body, body) + lines


def _replace(table: Any, key: str, value: Any) -> None:
    """One value for another. In a list the items that stay keep their lines and their comments."""
    old = table[key]
    if not isinstance(value, list | tuple) or not isinstance(old, tomlkit.items.Array):
        table[key] = tomlkit.item(value) if not isinstance(value, Mapping | list | tuple) else _parsed(value)
        return
    before, after = [_plain(one) for one in old], [_plain(one) for one in value]
    first = 0
    while first < min(len(before), len(after)) and before[first] == after[first]:
        first += 1
    last = 0
    while last < min(len(before), len(after)) - first and before[-1 - last] == after[-1 - last]:
        last += 1
    if len(before) == len(after):
        for n in range(first, len(after) - last):
            old[n] = _parsed(after[n])
    else:
        table[key] = _parsed(list(value))


def _parsed(value: Any) -> Any:
    return tomlkit.parse(f"value = {toml_value(value)}\n")["value"]


def _plain(value: Any) -> Any:
    return value.unwrap() if hasattr(value, "unwrap") else copy.deepcopy(value)


# --- what is meant ---------------------------------------------------------------------------------------


def _put(tables: dict[str, Any], path: Path, fields: Mapping[str, Any]) -> None:
    table = _made_at(tables, path)
    for key, value in fields.items():
        if value is None:
            table.pop(key, None)
        else:
            table[key] = _plain(value)


def _list_at(tables: dict[str, Any], path: Path) -> list[Any]:
    found: list[Any] = _made_at(tables, path[:-2]).setdefault(path[-2], [])
    return found


def _made_at(tables: dict[str, Any], path: Path) -> Any:
    """The table there; it and those on the way are made where they are missing."""
    table: Any = tables
    for part in path:
        table = table.setdefault(part, {}) if isinstance(part, str) else table[part]
    return table


def _number(path: Path) -> int:
    number = path[-1]
    assert isinstance(number, int)
    return number


def _same(text: str, meant: dict[str, Any]) -> str:
    """The text, where it means what was meant. Raises ChangeRefused else: nothing is written."""
    try:
        same = tomllib.loads(text) == meant
    except tomllib.TOMLDecodeError:
        same = False
    if not same:
        raise ChangeRefused(
            tr("This file is written in a way in which the change cannot be made. Make it in a text editor.")
        )
    return text
