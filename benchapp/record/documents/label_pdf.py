"""Labels at label size: one page a container, text as large as fits, refused where it would be too small to read."""

from __future__ import annotations

import io
import re
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from reportlab.lib.styles import ParagraphStyle
from reportlab.lib.units import mm
from reportlab.pdfgen.canvas import Canvas
from reportlab.platypus import Paragraph

from benchapp.calculations.label import Durability
from benchapp.foundation.language import tr
from benchapp.foundation.numbers import decimal
from benchapp.record.documents.codes import QUIET, Cells, Code, gs1_matrix_cells, qr_cells
from benchapp.record.documents.fonts import BOLD, TEXT, X_HEIGHT, markup, register, shown, width_pt
from benchapp.record.errors import DocumentRefused
from benchapp.record.gs1 import element_string
from benchapp.record.label import Label

#: Smallest height of a small x. Borrowed from food labels (Regulation (EU) No 1169/2011 art. 13(2), from memory): for
#: cosmetics the law says "easily legible" without a figure (Regulation (EC) No 1223/2009 art. 19(1)).
SMALLEST_X_MM = 1.2
LARGEST_PT = 9.0
#: Height of the figures of the declared content: (content up to, mm). Directive 76/211/EEC Annex I 3.1, from memory.
FIGURES = ((50.0, 2.0), (200.0, 3.0), (1000.0, 4.0), (float("inf"), 6.0))
#: Height of a figure as a share of the type size, of this typeface (its capital height, 1456 of 2048 units).
FIGURE_HEIGHT = 0.711
#: One square of a code, in mm: twice what a good printer and a phone need (common practice, no source).
CELL_MM = 0.5
MARGIN = 3 * mm
#: Letters of one text of a label, four times a long caution (common practice, no source).
LONGEST_TEXT = 1000


@dataclass(frozen=True, slots=True)
class LabelledBatch:
    """What a label says of its batch."""

    code: str
    made: date


def code_text(label: Label, batch: LabelledBatch, number: int) -> str:
    """What the code on one container says: GS1 elements with a GTIN, else batch code, slash, container number."""
    if label.gtin:
        return element_string(label.gtin, batch.code, label.keeps(batch.made).until)
    return f"{batch.code}/{number}"


def labels_pdf(
    label: Label, batch: LabelledBatch, numbers: Iterable[int], size_mm: tuple[float, float]
) -> bytes:
    """One page for each container number. The same label, batch, numbers and size give the same bytes.

    Raises DocumentRefused where the text cannot stand in letters of at least 1.2 mm, where there is no number,
    or where the label's own fields contradict each other.
    """
    register()
    try:
        return _written(label, batch, list(numbers), (size_mm[0] * mm, size_mm[1] * mm))
    except ValueError as error:
        raise DocumentRefused(tr("The label cannot be printed: {error}.", error=error)) from error


def _written(label: Label, batch: LabelledBatch, numbers: list[int], size: tuple[float, float]) -> bytes:
    if not numbers:
        raise DocumentRefused(tr("No container, no label: say how many pieces."))
    all_drawn(label)
    longest = max(numbers)
    cells = _cells(label, batch, longest)
    fitted = _fitted(
        label,
        label.keeps(batch.made),
        size,
        _code_side(cells, label),
        tr("Batch {code}/{longest}", code=batch.code, longest=longest),
    )
    out = io.BytesIO()
    c = Canvas(out, pagesize=size, invariant=1, initialFontName=TEXT)
    c.setTitle(shown(tr("Labels {code}", code=batch.code)))
    for number in numbers:
        _draw(c, label, batch, number, fitted)
        c.showPage()
    c.save()
    return out.getvalue()


def all_drawn(label: Label) -> None:
    """Raises DocumentRefused for a character that cannot be printed, since a label with a stand-in on it misleads, and for
    a text that no label has room for."""
    register()
    for text in (
        label.product,
        label.function,
        label.contents,
        *label.ingredients,
        *label.cautions,
        *label.responsible,
    ):
        if len(text) > LONGEST_TEXT:
            raise DocumentRefused(
                tr(
                    "The label's text {start!r} … has {letters} letters; a label has room for {most}.",
                    start=shown(text[:20]),
                    letters=len(text),
                    most=LONGEST_TEXT,
                )
            )
        if shown(text) != text:
            raise DocumentRefused(
                tr(
                    "The label's text {shown!r} has a character that cannot be printed. Write it otherwise.",
                    shown=shown(text),
                )
            )


def _cells(label: Label, batch: LabelledBatch, number: int) -> Cells:
    text = code_text(label, batch, number)
    return gs1_matrix_cells(text) if label.gtin else qr_cells(text)


def _code_side(cells: Cells, label: Label) -> float:
    quiet = QUIET["matrix" if label.gtin else "qr"]
    return float((len(cells) + 2 * quiet) * CELL_MM * mm)


def _paragraphs(label: Label, size_pt: float) -> list[Paragraph]:
    """Everything but the foot, in reading order."""
    body = ParagraphStyle(
        "body", fontName=TEXT, fontSize=size_pt, leading=size_pt * 1.18, spaceAfter=size_pt * 0.45
    )
    name = ParagraphStyle("name", parent=body, fontName=BOLD, fontSize=size_pt * 1.45, leading=size_pt * 1.7)
    found = [Paragraph(markup(label.product), name)]
    if label.function:
        found.append(Paragraph(markup(label.function), body))
    found.append(Paragraph(markup("Ingredients: " + ", ".join(label.ingredients) + "."), body))
    found += [Paragraph(markup(x), body) for x in label.cautions]
    found.append(Paragraph("<br/>".join(markup(x) for x in label.responsible), body))
    return found


@dataclass(frozen=True, slots=True)
class _Fit:
    """The type size that fits, that of the declared content, the code's side and the label's size, all in points;
    and what is printed about durability."""

    size_pt: float
    content_pt: float
    code: float
    size: tuple[float, float]
    keeps: Durability


def _fitted(label: Label, keeps: Durability, size: tuple[float, float], code: float, batch_line: str) -> _Fit:
    """The largest type, in steps of 0.2 pt, in which all of it stands on the label."""
    smallest = SMALLEST_X_MM * mm / X_HEIGHT
    wide, high = size[0] - 2 * MARGIN, size[1] - 2 * MARGIN
    room = wide - code - 2 * mm
    content = _content_pt(label.contents)
    size_pt = LARGEST_PT
    while size_pt >= smallest:
        above = _paragraphs(label, size_pt)
        text = sum(p.wrap(wide, high)[1] + p.style.spaceAfter for p in above)
        foot = max(code, _foot_height(keeps, batch_line, size_pt, content, room))
        beside = max(
            width_pt(label.contents, content, BOLD),
            *(Paragraph(markup(x), _foot_style(size_pt)).minWidth() for x in _foot_words(keeps, batch_line)),
        )
        if text + foot <= high and beside <= room and max(p.minWidth() for p in above) <= wide:
            return _Fit(size_pt, content, code, size, keeps)
        size_pt -= 0.2
    width, height = size[0] / mm, size[1] / mm
    raise DocumentRefused(
        tr(
            "The text does not stand on {width:g} × {height:g} mm in letters of "
            "{smallest_x_mm:g} mm (height of an x). Take a larger label, or put part of it on a "
            "second one.",
            width=width,
            height=height,
            smallest_x_mm=SMALLEST_X_MM,
        )
    )


def _content_pt(contents: str) -> float:
    """The type size of the declared content, from the least height of its figures."""
    match = re.match(r"\s*(\d+(?:[.,]\d+)?)", contents)
    amount = float(decimal(match[1])) if match else 0.0
    height = next(h for upto, h in FIGURES if amount <= upto)
    return max(float(height * mm) / FIGURE_HEIGHT, LARGEST_PT)


def _foot_height(keeps: Durability, batch_line: str, size_pt: float, content_pt: float, room: float) -> float:
    """Batch line, durability, open jar and content, one above the other."""
    words = sum(
        Paragraph(markup(x), _foot_style(size_pt)).wrap(room, 1e4)[1] + 2
        for x in _foot_words(keeps, batch_line)
    )
    jar = size_pt * 1.9 if keeps.after_opening_months else 0.0
    return float(2 + words + jar + content_pt)


def _foot_words(keeps: Durability, batch_line: str) -> list[str]:
    """From the bottom upwards."""
    return [batch_line, keeps.text] if keeps.until is not None else [batch_line]


def _foot_style(size_pt: float) -> ParagraphStyle:
    return ParagraphStyle("foot", fontName=TEXT, fontSize=size_pt, leading=size_pt * 1.15)


def _draw(c: Canvas, label: Label, batch: LabelledBatch, number: int, fit: _Fit) -> None:
    size, keeps = fit.size, fit.keeps
    y, wide = size[1] - MARGIN, size[0] - 2 * MARGIN
    for p in _paragraphs(label, fit.size_pt):
        _, height = p.wrap(wide, size[1])
        p.drawOn(c, MARGIN, y - height)
        y -= height + p.style.spaceAfter
    cells = _cells(label, batch, number)
    Code(cells, fit.code, QUIET["matrix" if label.gtin else "qr"]).drawOn(
        c, size[0] - MARGIN - fit.code, MARGIN
    )
    c.setFillGray(0)
    batch_line, y = tr("Batch {code}/{number}", code=batch.code, number=number), MARGIN
    for words in _foot_words(keeps, batch_line):
        p = Paragraph(markup(words), _foot_style(fit.size_pt))
        _, height = p.wrap(wide - fit.code - 2 * mm, size[1])
        p.drawOn(c, MARGIN, y)
        y += height + 2
    if keeps.after_opening_months:
        _open_jar(c, MARGIN, y, fit.size_pt * 1.6, f"{keeps.after_opening_months}M")
        y += fit.size_pt * 1.9
    c.setFont(BOLD, fit.content_pt)
    c.drawString(MARGIN, y + 2, shown(label.contents))


def _open_jar(c: Canvas, x: float, y: float, side: float, months: str) -> None:
    """The open jar of Regulation (EC) No 1223/2009 Annex VII (drawn from memory), the months beside it."""
    c.setLineWidth(0.8)
    c.roundRect(x, y, side, side * 0.62, side * 0.1, stroke=1, fill=0)
    c.rect(x + side * 0.08, y + side * 0.62, side * 0.84, side * 0.1, stroke=1, fill=0)
    c.saveState()
    c.translate(x + side * 0.12, y + side * 0.82)
    c.rotate(14)
    c.rect(0, 0, side * 0.84, side * 0.14, stroke=1, fill=0)
    c.restoreState()
    c.setFont(BOLD, side * 0.62)
    c.drawString(x + side + 3, y + side * 0.1, months)
