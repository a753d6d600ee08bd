"""The typefaces on paper, embedded in every file: the ones of the touchscreen, which have Greek, Cyrillic, ° × −.

They lie in the data folder of the screen library, which is always installed; that library itself is never imported.
"""

from __future__ import annotations

import importlib.util
from functools import lru_cache
from pathlib import Path
from xml.sax.saxutils import escape

from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont

from benchapp.foundation.language import tr
from benchapp.record.documents.plain_text import visible
from benchapp.record.errors import DocumentRefused

TEXT, BOLD, SLANTED, MONO = "Text", "Text-Bold", "Text-Slanted", "Mono"
_FILES = {
    TEXT: "Roboto-Regular.ttf", BOLD: "Roboto-Bold.ttf", SLANTED: "Roboto-Italic.ttf", MONO: "RobotoMono-Regular.ttf",
}  # fmt: skip
#: Height of a small x as a share of the type size, of this typeface (its OS/2 table: 1082 of 2048 units).
X_HEIGHT = 0.528


@lru_cache(maxsize=1)
def register() -> frozenset[int]:
    """Make the typefaces known, once; gives the characters that all of them can draw.

    Raises DocumentRefused where they are not installed.
    """
    found = importlib.util.find_spec("kivy")
    places = list(found.submodule_search_locations or ()) if found else []
    folder = Path(places[0]) / "data" / "fonts" if places else Path()
    known: list[frozenset[int]] = []
    for name, file in _FILES.items():
        if not (folder / file).is_file():
            raise DocumentRefused(
                tr("The typeface {file} is missing. Install the program again, with all it needs.", file=file)
            )
        font = TTFont(name, str(folder / file))
        pdfmetrics.registerFont(font)
        known.append(frozenset(font.face.charToGlyph))
    pdfmetrics.registerFontFamily(TEXT, normal=TEXT, bold=BOLD, italic=SLANTED, boldItalic=BOLD)
    return frozenset.intersection(*known)


def shown(text: str) -> str:
    """The text with every character that cannot be seen, or that the typefaces lack, written as ‹U+XXXX›."""
    drawn = register()
    return "".join(c if ord(c) in drawn or c.isspace() else f"‹U+{ord(c):04X}›" for c in visible(text))


def markup(text: str) -> str:
    """Any text made safe to stand in a paragraph, whose own tags would otherwise be obeyed."""
    return str(escape(shown(text)))


def width_pt(text: str, size_pt: float, font: str = TEXT) -> float:
    """How wide a text is, in points."""
    return float(pdfmetrics.stringWidth(text, font, size_pt))
