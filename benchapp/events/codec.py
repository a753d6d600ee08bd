"""Events to plain JSON-able fields and back, exactly."""

from __future__ import annotations

import dataclasses
import functools
import types
import typing
from collections.abc import Callable
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


def to_fields(event: Event) -> tuple[str, dict[str, Any]]:
    """The event's kind and its fields as plain JSON-able values."""
    return type(event).__name__, dataclasses.asdict(event)


def from_fields(kind: str, fields: dict[str, Any]) -> Event:
    """The event again, exactly as it was. Raises ValueError for a kind or field this version doesn't know."""
    cls = KINDS.get(kind)
    if cls is None:
        raise ValueError(f"unknown event kind {kind!r}; a newer version of the program wrote it")
    known = _restorers(cls)
    unknown = fields.keys() - known.keys()
    if unknown:
        raise ValueError(
            f"{kind} has unknown fields {sorted(unknown)}; a newer version of the program wrote it"
        )
    restored = dict(fields)
    for name, restore in known.items():
        if restore is not None and name in restored:
            restored[name] = restore(restored[name])
    return cls(**restored)


Restore = Callable[[Any], Any]


_KNOWN_RESTORERS: dict[type, dict[str, Restore | None]] = {}


def _restorers(kind: type) -> dict[str, Restore | None]:
    """What makes each field of a kind again out of its JSON value, looked up once: a long make is read in a blink.
    None where the value is what it was."""
    if kind not in _KNOWN_RESTORERS:
        hints = typing.get_type_hints(kind)
        _KNOWN_RESTORERS[kind] = {name: _restorer(hint) for name, hint in hints.items()}
    return _KNOWN_RESTORERS[kind]


def _restorer(hint: Any) -> Restore | None:
    origin, args = typing.get_origin(hint), typing.get_args(hint)
    if origin in (typing.Union, types.UnionType):
        inner = _restorer(next(a for a in args if a is not type(None)))
        return None if inner is None else lambda value: None if value is None else inner(value)
    if origin is tuple:
        return _tuple_restorer(args)
    if isinstance(hint, type) and issubclass(hint, StrEnum):
        return hint
    if isinstance(hint, type) and dataclasses.is_dataclass(hint):
        return functools.partial(_dataclass_again, hint)
    return None


def _tuple_restorer(args: tuple[Any, ...]) -> Restore:
    if len(args) == 2 and args[1] is ...:
        each = _restorer(args[0])
        return tuple if each is None else lambda value: tuple(map(each, value))
    inner = [_restorer(a) for a in args]
    if not any(inner):
        return functools.partial(_tuple_of, len(args))
    return lambda value: tuple(
        v if restore is None else restore(v) for restore, v in zip(inner, value, strict=True)
    )


def _tuple_of(count: int, values: list[Any]) -> tuple[Any, ...]:
    if len(values) != count:
        raise ValueError(f"{count} values expected, found {len(values)}")
    return tuple(values)


def _dataclass_again(kind: type, value: dict[str, Any]) -> Any:
    known = _restorers(kind)
    return kind(**{k: v if (restore := known[k]) is None else restore(v) for k, v in value.items()})
