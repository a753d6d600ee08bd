"""What a procedure says, in the language spoken here: the sentences of its steps, never what things are called."""

from __future__ import annotations

import dataclasses
from collections.abc import Callable, Iterator
from functools import lru_cache
from typing import Annotated, Any, TypeVar, get_args, get_origin, get_type_hints

from benchapp.foundation.language import translated

#: What people read as it stands: looked up, word for word, in the language that is spoken.
Sentence = Annotated[str, "sentence"]
#: What something is found by in the record and in other batches: it stays as written, and is looked up where it is shown.
Called = Annotated[str, "called"]
Part = TypeVar("Part")


def said_here(part: Part) -> Part:
    """A procedure, or a part of one, with its sentences in the language spoken here; those that the language does not have stay
    as they are written. The very same object where nothing changes."""
    said: Part = _with_each(part, translated, frozenset({"sentence"}))
    return said


def looked_up_in(part: object) -> Iterator[str]:
    """Everything in a procedure, or in a part of one, that is looked up, as it is written."""
    found: list[str] = []

    def note(words: str) -> str:
        found.append(words)
        return words

    _with_each(part, note, frozenset({"sentence", "called"}))
    return filter(None, found)


def _with_each(part: Any, say: Callable[[str], str], marks: frozenset[str]) -> Any:
    changed = {}
    for name, mark in _fields(part.__class__):
        value = getattr(part, name)
        said = _said(value, say if mark in marks else None, lambda inner: _with_each(inner, say, marks))
        if said is not value:
            changed[name] = said
    return dataclasses.replace(part, **changed) if changed else part


def _said(value: Any, say: Callable[[str], str] | None, within: Callable[[Any], Any]) -> Any:
    if isinstance(value, str):
        said = say(value) if say else value
        return value if said == value else said
    if isinstance(value, tuple):
        parts = tuple(_said(x, say, within) for x in value)
        return value if all(a is b for a, b in zip(parts, value, strict=True)) else parts
    return within(value) if dataclasses.is_dataclass(value) else value


@lru_cache(maxsize=128)
def _fields(kind: type) -> tuple[tuple[str, str], ...]:
    """The fields of a dataclass, and how each, or what is listed in it, is marked; "" where it is not."""
    hints = get_type_hints(kind, include_extras=True)
    return tuple((f.name, _mark(hints[f.name])) for f in dataclasses.fields(kind) if f.init)


def _mark(hint: Any) -> str:
    if get_origin(hint) is Annotated:
        return str(hint.__metadata__[0])
    return next(filter(None, map(_mark, get_args(hint))), "")
