"""Events to plain JSON-able fields and back, exactly."""

from __future__ import annotations

import dataclasses
from collections.abc import Callable
from types import GenericAlias, ModuleType
from typing import Any

from pydantic_core import ValidationError

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
    """The event again, exactly as it was. Raises ValueError for a kind, a field or a word this version doesn't know, and
    TypeError for anything else that does not fit the kind's form."""
    cls = KINDS.get(kind)
    if cls is None:
        raise ValueError(
            tr("unknown event kind {kind!r}; a newer version of the program wrote it", kind=kind)
        )
    try:
        return _reader(cls)((fields,))[0]
    except ValidationError as error:
        raise _why(kind, error) from error


_READERS: dict[type[Event], Callable[[tuple[object]], tuple[Event]]] = {}


def _reader(kind: type[Event]) -> Callable[[tuple[object]], tuple[Event]]:
    """What makes events of a kind, and what is in them, of their JSON values; made once: a long make is read in a blink.

    In a tuple, as the rule that nothing unknown may be in it cannot be given with the class of the standard library."""
    if kind not in _READERS:
        from pydantic import ConfigDict, TypeAdapter  # what reads no event need not wait for it

        form: Any = GenericAlias(tuple, (kind,))
        _READERS[kind] = TypeAdapter(
            form, config=ConfigDict(extra="forbid", allow_inf_nan=False)
        ).validator.validate_python
    return _READERS[kind]


def _why(kind: str, error: ValidationError) -> ValueError | TypeError:
    """What is wrong, of several things the first that a newer version explains."""
    found = error.errors(include_url=False, include_context=False)
    where = [".".join(map(str, x["loc"][1:])) for x in found]
    for name, x in zip(where, found, strict=True):
        if x["type"] == "unexpected_keyword_argument":
            return ValueError(
                tr(
                    "{kind} has the unknown field {name}; a newer version of the program wrote it",
                    kind=kind,
                    name=name,
                )
            )
        if x["type"] == "enum":
            return ValueError(
                tr(
                    "{kind} has an unknown word in {name}; a newer version of the program wrote it",
                    kind=kind,
                    name=name,
                )
            )
    return TypeError(f"{where[0]}: {found[0]['msg']}" if where[0] else found[0]["msg"])
