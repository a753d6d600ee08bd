"""Two texts of one procedure side by side: what changed, in percent and in steps, whatever the fields are called."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from difflib import SequenceMatcher
from itertools import zip_longest
from typing import Any

from benchapp.foundation.language import number, tr, tr_noop

from .reading import parse_toml

#: The lists of tables whose entries have a name, and what an entry is called.
NAMED = {"vessel": "vessel", "release": tr_noop("release check"), "scenario": "scenario"}


@dataclass(frozen=True, slots=True)
class FieldChange:
    """One difference: where ("Glycerin", "step 4, Heat both phases"), which field, before and after ("" : not there)."""

    where: str
    field: str
    before: str
    after: str


def changes(before: str, after: str) -> tuple[FieldChange, ...]:
    """What differs between two procedures' texts, in the order of the file; notes and spaces do not count.

    Raises ProcedureInvalid for a text that is no TOML.
    """
    old, new = parse_toml(before, "before"), parse_toml(after, "after")
    return (
        *_fields("formula", _plain(old.get("formula", {})), _plain(new.get("formula", {}))),
        *_fields("batch", old.get("batch", {}), new.get("batch", {})),
        *_named(
            "", _entries(old.get("formula", {}), "ingredient"), _entries(new.get("formula", {}), "ingredient")
        ),
        *(c for key, word in NAMED.items() for c in _named(word, _entries(old, key), _entries(new, key))),
        *_steps(_entries(old, "step"), _entries(new, "step")),
        *_rest(old, new),
    )


def _plain(table: Mapping[str, Any]) -> dict[str, Any]:
    return {key: value for key, value in table.items() if key != "ingredient"}


def _entries(table: Mapping[str, Any], key: str) -> list[dict[str, Any]]:
    found = table.get(key, [])
    return [x for x in found if isinstance(x, dict)] if isinstance(found, list) else []


def _rest(old: Mapping[str, Any], new: Mapping[str, Any]) -> Iterator[FieldChange]:
    known = {"formula", "batch", "step", *NAMED}
    yield from _fields(
        "", {k: v for k, v in old.items() if k not in known}, {k: v for k, v in new.items() if k not in known}
    )


def _fields(where: str, old: Mapping[str, Any], new: Mapping[str, Any]) -> Iterator[FieldChange]:
    for field in dict.fromkeys((*old, *new)):
        if old.get(field) != new.get(field):
            yield FieldChange(where, field, _words(old.get(field)), _words(new.get(field)))


def _words(value: object) -> str:
    """A value as a person would read it; an entry of a list of tables by its own values."""
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, float):
        return number(value)
    if isinstance(value, dict):
        return ", ".join(f"{k} {_words(v)}" for k, v in value.items())
    if isinstance(value, list):
        return "; ".join(_words(x) for x in value)
    return str(value)


def _named(word: str, old: Sequence[dict[str, Any]], new: Sequence[dict[str, Any]]) -> Iterator[FieldChange]:
    """Entries with a name, each held against the one of that name: an ingredient may stand in a formula twice."""
    before, after = _by_name(old), _by_name(new)
    for name in dict.fromkeys((*before, *after)):
        where = f"{word} {name}".strip()
        for one, other in zip_longest(before.get(name, []), after.get(name, [])):
            if one is None or other is None:
                yield _whole(where, one, other)
            else:
                yield from _fields(where, one, other)


def _by_name(entries: Sequence[dict[str, Any]]) -> dict[str, list[dict[str, Any]]]:
    out: dict[str, list[dict[str, Any]]] = {}
    for entry in entries:
        out.setdefault(str(entry.get("name", "")), []).append(entry)
    return out


def _whole(where: str, one: dict[str, Any] | None, other: dict[str, Any] | None) -> FieldChange:
    """An entry that came or went, by what matters of it most."""

    def brief(entry: dict[str, Any] | None) -> str:
        if entry is None:
            return ""
        percent = entry.get("percent", entry.get("cap"))
        return "there" if percent is None else _percent(percent)

    return FieldChange(
        where, "percent" if "percent" in (one or other or {}) else "", brief(one), brief(other)
    )


def _percent(value: object) -> str:
    return f"{number(value)} %" if isinstance(value, int | float) else str(value)


def _steps(old: Sequence[dict[str, Any]], new: Sequence[dict[str, Any]]) -> Iterator[FieldChange]:
    """Steps in their order: the same kind and title is the same step."""

    def key(step: dict[str, Any]) -> tuple[str, str]:
        return str(step.get("kind", "")), str(step.get("title", ""))

    aligned = SequenceMatcher(None, [key(s) for s in old], [key(s) for s in new], autojunk=False)
    for what, i1, i2, j1, j2 in aligned.get_opcodes():
        if what == "equal":
            for one, other, number in zip(old[i1:i2], new[j1:j2], range(j1, j2), strict=True):
                yield from _fields(_step(other, number), one, other)
            continue
        left, right = list(old[i1:i2]), list(new[j1:j2])
        for n, other in enumerate(right):
            same = next((s for s in left if s.get("kind") == other.get("kind")), None)
            if same is None:
                yield FieldChange(_step(other, j1 + n), "", "", "there")
                continue
            left.remove(same)
            yield from _fields(_step(other, j1 + n), same, other)
        for gone in left:
            yield FieldChange(_step(gone, list(old).index(gone)), "", "there", "")


def _step(step: dict[str, Any], number: int) -> str:
    return tr("step {number}, {get}", number=number + 1, get=step.get("title", step.get("kind", "")))
