"""The languages that were chosen, spoken from now on."""

from __future__ import annotations

from pathlib import Path

from benchapp.foundation.catalogues import LanguageRefused, language_of
from benchapp.foundation.language import ENGLISH, Language, speak
from benchapp.runtime.settings import Preferences


def speak_as_chosen(chosen: Preferences, data: Path | None) -> str:
    """Let faces and record speak what was chosen. Where a language can no longer be read, English is spoken in its
    place, and the sentence why comes back; else ""."""
    faces, why = _readable(chosen.language, data, chosen.comma)
    record, other = _readable(chosen.record_language, data, None)
    speak(faces, record)
    return why or other


def _readable(code: str, data: Path | None, comma: bool | None) -> tuple[Language, str]:
    try:
        return language_of(code, data, comma), ""
    except LanguageRefused as error:
        return ENGLISH, str(error)
