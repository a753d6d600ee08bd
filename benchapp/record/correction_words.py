"""What a maker calls what can be corrected of an event; the field's own name is taken too."""

from __future__ import annotations

import typing

from benchapp import events as ev
from benchapp.foundation.language import tr, tr_noop, translated
from benchapp.record.documents.plain_text import date_time
from benchapp.record.lines import Correction

_WORDS = {
    "net_g": tr_noop("net weight"), "gross_g": tr_noop("gross weight"), "mass_g": tr_noop("mass"),
    "lost_g": tr_noop("lost"), "removed_g": tr_noop("taken out"), "left_g": tr_noop("left behind"),
    "drop_g": tr_noop("late drop"), "water_g": tr_noop("water"), "solution_g": tr_noop("solution"),
    "by_g": tr_noop("difference"), "lot": tr_noop("lot"), "water_lot": tr_noop("lot of the water"),
    "line": tr_noop("ingredient"), "vessel": tr_noop("vessel"), "device": tr_noop("device"),
    "reason": tr_noop("reason"), "ph": tr_noop("pH"), "value": tr_noop("value"), "unit": tr_noop("unit"),
    "what": tr_noop("what"), "words": tr_noop("words"), "name": tr_noop("name"), "pieces": tr_noop("pieces"),
    "spoiled": tr_noop("spoiled"), "container": tr_noop("container"), "sender": tr_noop("sender"),
    "supplier": tr_noop("supplier"), "supplier_lot": tr_noop("supplier's lot"),
    "received": tr_noop("day received"), "expires": tr_noop("keeps until"), "code": tr_noop("code"),
    "quantity": tr_noop("quantity"), "price": tr_noop("price"), "currency": tr_noop("currency"),
    "to": tr_noop("customer"), "first": tr_noop("first container"), "last": tr_noop("last container"),
    "on": tr_noop("day"), "where": tr_noop("where"), "until": tr_noop("until"), "temp_c": tr_noop("temperature"),
    "material": tr_noop("material"), "seconds": tr_noop("seconds"),
}  # fmt: skip


def word_of(field: str) -> str:
    """What that field is called, in the language spoken here; its own name where it has no other."""
    return translated(_WORDS[field]) if field in _WORDS else field


def in_words(c: Correction) -> str:
    """A correction as a sentence with a small letter in front."""
    return tr(
        "corrected, {field}: {old} to {new}. {reason} ({by}, {date_time})",
        field=word_of(c.field),
        old=c.old or tr("nothing"),
        new=c.new,
        reason=c.reason,
        by=c.by,
        date_time=date_time(c.wall),
    )


def field_meant(event: ev.Event, said: str) -> str:
    """The field of the event that is called so, or as it was said where none is."""
    hints, wanted = typing.get_type_hints(type(event)), said.strip().casefold()
    if said in hints:
        return said
    called = (
        (field, (word.casefold(), translated(word).casefold()))
        for field, word in _WORDS.items()
        if field in hints
    )
    return next((field for field, words in called if wanted in words), said)


def offered(fields: typing.Iterable[str]) -> list[str]:
    """What these fields are called, each with its own name behind it; those nobody has a word for are left out."""
    words = ((word_of(f), f) for f in fields if f in _WORDS)
    return [f if word == f else f"{word} ({f})" for word, f in words]
