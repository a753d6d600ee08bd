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

from benchapp.events import aftercare, benches, heat, judging, trouble, walk, weighing, workshop
from benchapp.events.base import Event
from benchapp.foundation.language import tr


def _kinds(*rooms: ModuleType) -> dict[str, type[Event]]:
    found = (kind for room in rooms for kind in vars(room).values())
    return {
        kind.__name__: kind
        for kind in found
        if isinstance(kind, type) and issubclass(kind, Event) and kind is not Event
    }


#: Every kind of event by its name, which is what the journal stores.
KINDS = _kinds(walk, weighing, heat, judging, trouble, workshop, aftercare, benches)


def to_fields(event: Event) -> tuple[str, dict[str, Any]]:
    """The event's kind and its fields as plain JSON-able values."""
    return type(event).__name__, dataclasses.asdict(event)


def from_fields(kind: str, fields: dict[str, Any]) -> Event:
    """The event again, exactly as it was. Raises ValueError for a kind or field this version doesn't know."""
    cls = KINDS.get(kind)
    if cls is None:
        raise ValueError(
            tr("unknown event kind {kind!r}; a newer version of the program wrote it", kind=kind)
        )
    known, changed = _restorers(cls)
    if not fields.keys() <= known:
        unknown = sorted(fields.keys() - known)
        raise ValueError(
            tr(
                "{kind} has unknown fields {unknown}; a newer version of the program wrote it",
                kind=kind,
                unknown=unknown,
            )
        )
    return cls(**_restored(fields, changed))


def _restored(fields: dict[str, Any], changed: dict[str, Restore]) -> dict[str, Any]:
    restored = dict(fields)
    for name, restore in changed.items():
        if name in restored:
            restored[name] = restore(restored[name])
    return restored


Restore = Callable[[Any], Any]


_KNOWN: dict[type, tuple[frozenset[str], dict[str, Restore]]] = {}


def _restorers(kind: type) -> tuple[frozenset[str], dict[str, Restore]]:
    """The fields of a kind, and what makes those again out of their JSON value that are not what they were; looked up
    once: a long make is read in a blink."""
    if kind not in _KNOWN:
        hints = typing.get_type_hints(kind)
        found = {name: _restorer(hint) for name, hint in hints.items()}
        changed = {name: restore for name, restore in found.items() if restore is not None}
        _KNOWN[kind] = frozenset(hints), changed
    return _KNOWN[kind]


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
        raise ValueError(tr("{count} values expected, found {count_2}", count=count, count_2=len(values)))
    return tuple(values)


def _dataclass_again(kind: type, value: dict[str, Any]) -> Any:
    return kind(**_restored(value, _restorers(kind)[1]))
