"""The hash chain: each event's exact stored text, bound to the one before."""

from __future__ import annotations

import hashlib
import json
from typing import Any

from pydantic_core import from_json

from benchapp import events as ev
from benchapp.foundation.language import tr
from benchapp.record.errors import JournalDamaged, JournalTooNew

#: What stands before the first event.
GENESIS = "0" * 64
#: What every stored text holds.
_FIELDS = frozenset(("batch", "n", "wall", "kind", "fields"))


def text_of(batch: str, n: int, wall: str, event: ev.Event) -> str:
    """The one form in which an event is stored: sorted keys, no spaces, nothing escaped that need not be."""
    kind, fields = ev.to_fields(event)
    row = {"batch": batch, "n": n, "wall": wall, "kind": kind, "fields": fields}
    text = json.dumps(row, sort_keys=True, separators=(",", ":"), ensure_ascii=False, allow_nan=False)
    if text.isascii() or not any("\ud800" <= c <= "\udfff" for c in text):
        return text
    # Half a character (bytes that were no text, from outside) has no place in UTF-8: kept as its escape.
    return json.dumps(row, sort_keys=True, separators=(",", ":"), ensure_ascii=True, allow_nan=False)


def link(prev: str, text: str) -> str:
    """SHA-256 over the hash before and the stored text, in hex."""
    return hashlib.sha256(f"{prev}\n{text}".encode()).hexdigest()


def row_of(text: str) -> dict[str, Any]:
    """The stored text as a plain dict. Raises JournalDamaged for anything that is no such text."""
    try:
        row = _parsed(text)
    except ValueError as error:
        raise JournalDamaged(
            tr("An event in the journal cannot be read ({error}). Restore a backup.", error=error)
        ) from error
    if not isinstance(row, dict) or not row.keys() >= _FIELDS:
        raise JournalDamaged(tr("An event in the journal lacks a field. Restore a backup."))
    return row


def _parsed(text: str) -> Any:
    try:
        return from_json(text)
    except ValueError:  # half a character, which only the slower parser takes: see text_of
        return json.loads(text)


def read(text: str) -> tuple[str, ev.Event]:
    """The wall time and the event of a stored text. Raises JournalDamaged or JournalTooNew."""
    row = row_of(text)
    return str(row["wall"]), event_of(row)


def event_of(row: dict[str, Any]) -> ev.Event:
    """The event of a stored text. Raises JournalDamaged or JournalTooNew."""
    try:
        return ev.from_fields(row["kind"], row["fields"])
    except ValueError as error:
        raise JournalTooNew(
            tr("The journal holds something this version cannot read: {error}.", error=error)
        ) from error
    except TypeError as error:
        raise JournalDamaged(
            tr("A {kind} in the journal does not fit its form ({error}).", kind=row["kind"], error=error)
        ) from error
