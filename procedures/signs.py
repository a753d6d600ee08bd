"""Signs in the texts of a procedure file that show nothing, change how others are shown, or cannot be drawn."""

from __future__ import annotations

import unicodedata
from collections.abc import Iterator

from benchapp.foundation.drawn_signs import undrawn
from benchapp.foundation.language import tr
from benchapp.foundation.name_likeness import UNSEEN
from benchapp.foundation.toml_places import Path

from .wording import Report


def check_signs(tables: object, report: Report) -> None:
    """Note every text whose signs are not what glass and paper will show; of an INCI name its own rule says it."""
    for path, text in _texts(tables, ()):
        odd = [
            c for c in undrawn(text) if unicodedata.category(c) != "Cc"
        ]  # a control is no text at all: see fields
        hidden = [c for c in odd if unicodedata.category(c) in UNSEEN]
        if hidden and path[-1] != "inci":
            report.add(
                path,
                tr("A sign that cannot be seen stands in this text: {sign}", sign=_number(hidden[0])),
                tr("Type the text anew instead of pasting it"),
                "unseen-sign",
            )
        elif odd and not hidden:
            report.add(
                path,
                tr(
                    "The typeface has no {sign}: glass shows an empty box, paper its number",
                    sign=_number(odd[0]),
                ),
                tr("Write it in Latin, Greek or Cyrillic letters"),
                "undrawn-sign",
                "warning",
            )


def _texts(value: object, path: Path) -> Iterator[tuple[Path, str]]:
    if isinstance(value, str):
        yield path, value
    elif isinstance(value, dict | list):
        for key, inner in value.items() if isinstance(value, dict) else enumerate(value):
            yield from _texts(inner, (*path, key))


def _number(sign: str) -> str:
    return f"U+{ord(sign):04X}"
