"""The language a person reads. Every sentence stands in the code in English, by which it is looked up in a catalogue.

A sentence is looked up where it is made, in the language that is spoken there: that of the faces, or, inside ``speaking``,
that of the record. What is compared, stored as a key or sent to a device is never looked up.
"""

from __future__ import annotations

import string
import unicodedata
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import dataclass, field
from decimal import Decimal
from gettext import NullTranslations
from pathlib import PurePath
from typing import Any

#: The language the code is written in.
SOURCE = "en"
#: What stands in the places of a sentence: words, numbers, a path, an error; what has no words of its own would show its fields.
Sayable = str | int | float | PurePath | Exception | None


@dataclass(frozen=True, slots=True)
class Language:
    """A language: its catalogue, and the mark in its decimal numbers. The source has an empty catalogue."""

    code: str = SOURCE
    catalogue: NullTranslations = field(default_factory=NullTranslations)
    decimal: str = "."

    def sentence(self, english: str) -> str:
        """The sentence in this language, the English one where the catalogue has none."""
        return self.catalogue.gettext(english) if english else ""

    def form(self, one: str, many: str, n: int) -> str:
        """The form of a sentence for this number of things."""
        return self.catalogue.ngettext(one, many, n)


ENGLISH = Language()


class Name(str):
    """What somebody called something: never looked up, whatever the catalogue has under the same word."""

    __slots__ = ()


class _Chosen:
    """What the program speaks from its start on: to people, and in what is written down."""

    faces = ENGLISH
    record = ENGLISH


_here: ContextVar[Language | None] = ContextVar("language", default=None)


def spoken() -> Language:
    """The language that is spoken here and now."""
    return _here.get() or _Chosen.faces


def faced() -> Language:
    """The language of the faces, also where what is written down is made."""
    return _Chosen.faces


def written() -> Language:
    """The language of what is written down: events, the record, labels."""
    return _Chosen.record


def speak(faces: Language, record: Language | None = None) -> None:
    """From now on every face speaks this language, and what is written down is in the other one; the same if left out."""
    _Chosen.faces, _Chosen.record = faces, record or faces


@contextmanager
def speaking(language: Language) -> Iterator[None]:
    """Inside, this language is spoken, whatever the faces speak."""
    before = _here.set(language)
    try:
        yield
    finally:
        _here.reset(before)


@contextmanager
def writing() -> Iterator[None]:
    """Inside, the language of the record is spoken."""
    with speaking(_Chosen.record):
        yield


def tr(sentence: str, /, **given: Sayable) -> str:
    """The sentence in the language spoken here, with what is given in its places: words that have a sentence of their own
    in that language too, unless they are a ``Name``; numbers with its decimal mark."""
    language = spoken()
    if language is ENGLISH:
        said = sentence.format(**given) if given else sentence
        if "e+" not in said and "e-" not in said:  # as in a power of ten
            return said
    sentence = language.sentence(sentence)
    return _Places(language).vformat(sentence, (), given) if given else sentence


def tr_n(one: str, many: str, /, n: int, **given: Sayable) -> str:
    """The form of the sentence for ``n`` things, which it may name as {n}."""
    language = spoken()
    return _Places(language).vformat(language.form(one, many, n), (), {"n": n, **given})


def tr_noop(sentence: str) -> str:
    """The sentence as it stands, known to the catalogue; it is looked up where it is shown."""
    return sentence


def translated(words: str) -> str:
    """Words that are shown by themselves: their sentence in the language spoken here where the catalogue has one of exactly
    these words, else as they are."""
    language = spoken()
    return words if language is ENGLISH or isinstance(words, Name) else language.sentence(words)


def capitalised(words: str) -> str:
    """Words with their first letter large, as a sentence begins; the others as they are."""
    return words[:1].upper() + words[1:]


def alphabetical(words: str) -> str:
    """What names are sorted by: capitals apart, and letters as they are without their marks (DIN 5007-1), so that Öl stands
    before Panthenol."""
    plain = unicodedata.normalize("NFKD", words.casefold())
    return "".join(c for c in plain if not unicodedata.combining(c))


def number(value: float, spec: str = "g") -> str:
    """A number by a format specification, with the decimal mark of the language and never as a power of ten."""
    return _marked(_written(value, spec), spoken())


def _written(value: float, spec: str) -> str:
    out = format(value, spec)
    if "e" not in out or isinstance(value, bool):
        return out
    return f"{value:.0f}" if abs(value) >= 1.0 else f"{Decimal(out):f}"


def _marked(written: str, language: Language) -> str:
    """What Python wrote of a number, with the decimal mark of the language."""
    return written if language.decimal == "." else written.replace(".", language.decimal)


class _Places(string.Formatter):
    """What is given to a sentence, written as its language writes it."""

    def __init__(self, language: Language) -> None:
        self._language = language

    def get_value(self, key: int | str, args: Sequence[Any], kwargs: Mapping[str, Any]) -> Any:
        value = kwargs[str(key)]
        looked_up = isinstance(value, str) and not isinstance(value, Name)
        return self._language.sentence(value) if looked_up else value

    def format_field(self, value: Any, format_spec: str) -> str:
        if isinstance(value, int | float):
            return _marked(_written(value, format_spec), self._language)
        return str(format(value, format_spec))
