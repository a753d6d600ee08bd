"""Events to plain JSON-able fields and back, exactly."""

from __future__ import annotations

import dataclasses
import types
import typing
from enum import StrEnum
from types import ModuleType
from typing import Any

from benchapp.events import heat, judging, trouble, walk, weighing, workshop
from benchapp.events.base import Event


def _kinds(*rooms: ModuleType) -> dict[str, type[Event]]:
    found = (kind for room in rooms for kind in vars(room).values())
    return {
        kind.__name__: kind
        for kind in found
        if isinstance(kind, type) and issubclass(kind, Event) and kind is not Event
    }


#: Every kind of event by its name, which is what the journal stores.
KINDS = _kinds(walk, weighing, heat, judging, trouble, workshop)


_KNOWN_HINTS: dict[type, dict[str, Any]] = {}


def _hints(kind: type) -> dict[str, Any]:
    """The types of a kind's fields, looked up once: a long make is read in a blink."""
    if kind not in _KNOWN_HINTS:
        _KNOWN_HINTS[kind] = typing.get_type_hints(kind)
    return _KNOWN_HINTS[kind]


def to_fields(event: Event) -> tuple[str, dict[str, Any]]:
    """The event's kind and its fields as plain JSON-able values."""
    return type(event).__name__, dataclasses.asdict(event)


def from_fields(kind: str, fields: dict[str, Any]) -> Event:
    """The event again, exactly as it was. Raises ValueError for a kind or field this version doesn't know."""
    cls = KINDS.get(kind)
    if cls is None:
        raise ValueError(f"unknown event kind {kind!r}; a newer version of the program wrote it")
    known = _hints(cls)
    unknown = fields.keys() - known.keys()
    if unknown:
        raise ValueError(
            f"{kind} has unknown fields {sorted(unknown)}; a newer version of the program wrote it"
        )
    return cls(**{name: _restore(known[name], value) for name, value in fields.items()})


def _restore(hint: Any, value: Any) -> Any:
    origin = typing.get_origin(hint)
    if origin in (typing.Union, types.UnionType):
        if value is None:
            return None
        return _restore(next(a for a in typing.get_args(hint) if a is not type(None)), value)
    if origin is tuple:
        args = typing.get_args(hint)
        if len(args) == 2 and args[1] is ...:
            return tuple(_restore(args[0], v) for v in value)
        return tuple(_restore(a, v) for a, v in zip(args, value, strict=True))
    if isinstance(hint, type) and issubclass(hint, StrEnum):
        return hint(value)
    if isinstance(hint, type) and dataclasses.is_dataclass(hint):
        hints = _hints(hint)
        return hint(**{k: _restore(hints[k], v) for k, v in value.items()})
    return value
