"""Reading printed pages back with tools that did not write them: PDFium for text and picture, a code reader.

PDFium's own running text glues the words of narrow neighbouring cells; so lines are put together here from where each
character stands on the page.
"""

from __future__ import annotations

import ctypes
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import groupby, pairwise

import pypdfium2 as pdfium
import zxingcpp
from PIL import Image
from pypdfium2 import raw

#: Two characters are of one line when their baselines lie this near to each other, in points.
ONE_LINE_PT = 1.5
#: The width of a space, and the least gap that is one, in the size of the letters.
SPACE_EM, GAP_EM = 0.28, 0.14


@dataclass(frozen=True)
class Character:
    """One character and where it stands, in points from the lower left corner of the page."""

    sign: str
    left: float
    right: float
    baseline: float
    size: float


def text_of(pdf: bytes) -> list[str]:
    """The text of each page, laid out as on paper: every line from left to right, gaps as spaces."""
    with pdfium.PdfDocument(pdf) as document:
        return [laid_out(list(characters(page))) for page in document]


def characters(page: pdfium.PdfPage) -> Iterator[Character]:
    """Every character that was printed on the page; none that PDFium adds of its own accord."""
    text = page.get_textpage()
    for n in range(text.count_chars()):
        sign = "-" if raw.FPDFText_IsHyphen(text, n) == 1 else chr(raw.FPDFText_GetUnicode(text, n))
        if sign.isspace() or raw.FPDFText_IsGenerated(text, n):
            continue
        left, _, right, _ = text.get_charbox(n, loose=True)
        x, y = ctypes.c_double(), ctypes.c_double()
        raw.FPDFText_GetCharOrigin(text, n, x, y)
        yield Character(sign, left, right, y.value, raw.FPDFText_GetFontSize(text, n))


def laid_out(found: list[Character]) -> str:
    """The lines from top to bottom."""
    found.sort(key=lambda c: -c.baseline)
    number, numbers = 0, [0] * bool(found)
    for upper, lower in pairwise(found):
        number += upper.baseline - lower.baseline > ONE_LINE_PT
        numbers.append(number)
    lines = groupby(zip(numbers, found, strict=True), key=lambda pair: pair[0])
    return "\n".join(_line(sorted((c for _, c in line), key=lambda c: c.left)) for _, line in lines)


def _line(found: list[Character]) -> str:
    words = found[0].sign
    for before, after in pairwise(found):
        gap = (after.left - before.right) / max(before.size, after.size)
        words += " " * max(1, round(gap / SPACE_EM)) * (gap > GAP_EM) + after.sign
    return words


def picture_of(pdf: bytes, page: int, dots_per_inch: int = 120) -> Image.Image:
    """One page as a picture; pages count from 1."""
    with pdfium.PdfDocument(pdf) as document:
        return document[page - 1].render(scale=dots_per_inch / 72).to_pil().convert("RGB")


def codes_on(picture: Image.Image) -> list[zxingcpp.Barcode]:
    """Every code a reader finds."""
    return list(zxingcpp.read_barcodes(picture))


def sizes_of(pdf: bytes) -> tuple[float, float]:
    """Width and height of the first page in points, as PDFium reads them."""
    with pdfium.PdfDocument(pdf) as document:
        return document[0].get_size()


def fonts_of(pdf: bytes) -> dict[str, bool]:
    """Each typeface that something is set in, and whether it is embedded."""
    with pdfium.PdfDocument(pdf) as document:
        fonts = [
            thing.get_font()
            for page in document
            for thing in page.get_objects(filter=[raw.FPDF_PAGEOBJ_TEXT])
        ]
        return {font.get_base_name(): font.is_embedded for font in fonts}
