"""The catalogues: a language's sentences as a file in the form of GNU gettext, read with Babel."""

from __future__ import annotations

import io
import string
from collections.abc import Sequence
from functools import lru_cache
from gettext import GNUTranslations
from pathlib import Path

from benchapp.foundation.language import ENGLISH, SOURCE, Language, tr

#: The catalogues that come with the program.
SHIPPED = Path(__file__).parent / "languages"
#: The folder of a workshop's own, in its data folder: one of the same code is laid over the one that is shipped.
OWN = "languages"
#: How languages are called by those who speak them.
NAMES = {"en": "English", "de": "Deutsch", "fr": "Français"}
#: "Language" in each of them, for whoever cannot read the one that is spoken now.
IN_EACH = " · ".join(("Language", "Sprache", "Langue"))


class LanguageRefused(Exception):
    """A language that is not there, or whose file cannot be read."""


def codes(data: Path | None = None) -> tuple[str, ...]:
    """The languages there are, the source first."""
    places = [SHIPPED, *([data / OWN] if data else [])]
    found = {file.stem for place in places if place.is_dir() for file in place.glob("*.po")}
    return (SOURCE, *sorted(found - {SOURCE}))


def language_of(code: str, data: Path | None = None, comma: bool | None = None) -> Language:
    """The language of that code, from the shipped file with the workshop's own laid over it. ``comma``: the mark of its decimal
    numbers, where it is not the usual one of the language. Raises LanguageRefused with one sentence."""
    if code not in codes(data):
        raise LanguageRefused(
            tr("There is no language {code}. There are: {names}.", code=code, names=", ".join(codes(data)))
        )
    places = [data / OWN, SHIPPED] if data else [SHIPPED]
    files = [file for place in places if (file := place / f"{code}.po").is_file()]
    language = ENGLISH if code == SOURCE else _laid_over(*((file, file.stat().st_mtime_ns) for file in files))
    mark = language.decimal if comma is None else "," if comma else "."
    return language if mark == language.decimal else Language(language.code, language.catalogue, mark)


@lru_cache(maxsize=8)
def _laid_over(*files: tuple[Path, int]) -> Language:
    """The first of these, and what it lacks from the next. Each with when it was changed, in ns."""
    first, *others = (_read(file) for file, _ in files)
    for other in others:
        first.catalogue.add_fallback(other.catalogue)
    return first


def _read(file: Path) -> Language:
    """Only what is translated and not in doubt ("fuzzy")."""
    from babel.core import Locale, UnknownLocaleError
    from babel.messages.mofile import write_mo
    from babel.messages.pofile import PoFileError, read_po
    from babel.numbers import get_decimal_symbol

    compiled = io.BytesIO()
    try:
        locale = Locale.parse(file.stem)
        catalogue = read_po(io.BytesIO(file.read_bytes()), locale=locale, abort_invalid=True)
        for message in catalogue:
            if message.id and not same_places(message.id, message.string):
                message.flags.add("fuzzy")  # said in English rather than with a hole in it
        write_mo(compiled, catalogue)
    except (OSError, PoFileError, UnicodeError, ValueError, UnknownLocaleError) as error:
        raise LanguageRefused(
            tr("The language file {file} cannot be read: {why}.", file=file, why=str(error))
        ) from error
    compiled.seek(0)
    return Language(file.stem, GNUTranslations(compiled), get_decimal_symbol(locale))


def same_places(english: str | Sequence[str], translated: str | Sequence[str] | None) -> bool:
    """Whether a translation has the places its sentence has, none more and none less: only then can it be filled in. Of a
    sentence with several forms, whether each has no others than the form for many."""
    if isinstance(english, str):
        wanted = _places(english)  # None: it has braces that are no places, and is never filled in
        return isinstance(translated, str) and (wanted is None or wanted == _places(translated))
    forms = translated if isinstance(translated, (tuple, list)) else ()
    known = _places(english[-1])
    return bool(forms) and known is not None and all((_places(form) or set()) <= known for form in forms)


def _places(sentence: str) -> set[str] | None:
    try:
        names = {name for _, name, _, _ in string.Formatter().parse(sentence) if name is not None}
    except ValueError:
        return None
    return names if all(map(str.isidentifier, names)) else None
