"""The printed page: paper, type, tables whose heads repeat, and a canvas that knows how many pages there are."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from reportlab.lib.colors import HexColor
from reportlab.lib.pagesizes import A4, LETTER
from reportlab.lib.styles import ParagraphStyle
from reportlab.lib.units import mm
from reportlab.pdfgen.canvas import Canvas
from reportlab.platypus import CondPageBreak, Flowable, Paragraph, Spacer, Table, TableStyle

from benchapp.foundation.language import tr, translated
from benchapp.record.documents.fonts import BOLD, MONO, SLANTED, TEXT, markup, shown

PAPERS = {"a4": A4, "letter": LETTER}
MARGIN = 18 * mm
TOP, BOTTOM = 25 * mm, 20 * mm

INK, SLATE, TIDE = HexColor("#13242B"), HexColor("#55646A"), HexColor("#0A5364")
RULE, CORAL = HexColor("#C9C2B2"), HexColor("#8A1F14")

BODY = ParagraphStyle("body", fontName=TEXT, fontSize=8.4, leading=11, textColor=INK)
SMALL = ParagraphStyle("small", parent=BODY, fontSize=7.2, leading=9.4, textColor=SLATE)
CELL = ParagraphStyle("cell", parent=BODY, fontSize=7.6, leading=9.6)
RIGHT = ParagraphStyle("right", parent=CELL, alignment=2)
HEAD = ParagraphStyle("head", parent=CELL, fontName=TEXT, fontSize=6.8, leading=8.6, textColor=SLATE)
HEAD_RIGHT = ParagraphStyle("headright", parent=HEAD, alignment=2)
TITLE = ParagraphStyle("title", parent=BODY, fontSize=21, leading=25, textColor=INK)
SECTION = ParagraphStyle(
    "section", parent=BODY, fontName=BOLD, fontSize=10.5, leading=13, textColor=TIDE, spaceBefore=13, spaceAfter=4,
)  # fmt: skip
HASH = ParagraphStyle("hash", parent=BODY, fontName=MONO, fontSize=7, leading=9.4, wordWrap="CJK")


def para(text: str, style: ParagraphStyle = BODY) -> Paragraph:
    """Any text as a paragraph; nothing in it is taken for markup."""
    return Paragraph(markup(translated(text)), style)


def cell(
    text: str, right: bool = False, small: str = "", alarm: bool = False, said: bool = False
) -> Paragraph:
    """A table cell: text, with a smaller line beneath it; ``alarm`` in bold red-brown, ``said`` slanted."""
    body = markup(translated(text))
    if said:
        body = f'<font name="{SLANTED}">{body}</font>'
    if alarm:
        body = f'<font name="{BOLD}" color="{CORAL.hexval().replace("0x", "#")}">{body}</font>'
    if small:
        body += f'<br/><font size="6.6" color="{SLATE.hexval().replace("0x", "#")}">{markup(translated(small))}</font>'
    return Paragraph(body, RIGHT if right else CELL)


Cell = str | Paragraph


@dataclass(frozen=True, slots=True)
class Note:
    """A row of a table that is one sentence across all of it, beneath the row it is about."""

    text: str


def table(
    heads: Sequence[str], rows: Sequence[Sequence[Any] | Note], widths: Sequence[float], wide: float, right: Sequence[int] = (),
    tall: float | None = None,
) -> list[Flowable]:  # fmt: skip
    """A table over ``wide`` points: thin rules, heads that repeat on each page; none where there are no rows. ``right`` are
    columns of numbers, ``tall`` the height of a row in points, where it has to leave room for a hand."""
    if not rows:
        return []
    scale = wide / sum(widths)
    top = [para(h, HEAD_RIGHT if i in right else HEAD) for i, h in enumerate(heads)]
    body = [_row(r, right, len(heads)) for r in rows]
    across = [n for n, r in enumerate(rows, 1) if isinstance(r, Note)]
    heights = None if tall is None else [None, *(tall for _ in body)]
    made = Table([top, *body], [w * scale for w in widths], heights, repeatRows=1, splitInRow=1)
    made.setStyle(
        TableStyle([
            ("FONTNAME", (0, 0), (-1, -1), TEXT), ("VALIGN", (0, 0), (-1, -1), "TOP"),
            ("LEFTPADDING", (0, 0), (-1, -1), 0), ("RIGHTPADDING", (0, 0), (-1, -1), 7),
            ("TOPPADDING", (0, 0), (-1, -1), 2.1), ("BOTTOMPADDING", (0, 0), (-1, -1), 2.6),
            ("LINEBELOW", (0, 0), (-1, 0), 0.7, INK), ("LINEBELOW", (0, 1), (-1, -1), 0.25, RULE),
            *(("SPAN", (0, n), (-1, n)) for n in across),
        ])
    )  # fmt: skip
    return [made]


def _row(row: Sequence[Any] | Note, right: Sequence[int], columns: int) -> list[Any]:
    if isinstance(row, Note):
        text = f'<font color="{CORAL.hexval().replace("0x", "#")}">{markup(row.text)}</font>'
        return [Paragraph(text, CELL), *[""] * (columns - 1)]
    return [c if isinstance(c, Paragraph) else cell(str(c), i in right) for i, c in enumerate(row)]


def facts(pairs: Sequence[tuple[str, str]], wide: float) -> Table:
    """Names and what they are, beside each other; no more of them than stand in a row."""
    cells = [
        Paragraph(
            f'<font size="6.8" color="#55646A">{markup(translated(k))}</font><br/>{markup(translated(v))}',
            BODY,
        )
        for k, v in pairs
    ]
    made = Table([cells], [wide / len(cells)] * len(cells))
    made.setStyle(
        TableStyle([
            ("FONTNAME", (0, 0), (-1, -1), TEXT), ("VALIGN", (0, 0), (-1, -1), "TOP"), ("LEFTPADDING", (0, 0), (-1, -1), 0),
            ("TOPPADDING", (0, 0), (-1, -1), 2.5), ("BOTTOMPADDING", (0, 0), (-1, -1), 2.5),
            ("LINEBELOW", (0, 0), (-1, -1), 0.25, RULE),
        ])
    )  # fmt: skip
    return made


def heading(text: str) -> list[Flowable]:
    """A section's heading, never alone at the foot of a page."""
    return [CondPageBreak(70), para(text, SECTION)]


def gap(points: float) -> Spacer:
    """Room between two things."""
    return Spacer(1, points)


class Running:
    """What stands at the head and foot of each page."""

    def __init__(self, left: str, right: str, foot: str, banner: str = "") -> None:
        self.left, self.right, self.foot, self.banner = shown(left), shown(right), shown(foot), banner

    def canvas(self, *args: Any, **kwargs: Any) -> Canvas:
        """A canvas that draws this on each page, "page x of y" included."""
        return _Numbered(self, *args, **kwargs)

    def draw(self, c: Canvas, page: int, pages: int) -> None:
        """Head and foot of one page."""
        width, height = c._pagesize
        c.setFont(TEXT, 7.2)
        c.setFillColor(SLATE)
        c.drawString(MARGIN, height - 14 * mm, _cut(self.left, 62))
        c.drawRightString(width - MARGIN, height - 14 * mm, _cut(self.right, 62))
        c.setStrokeColor(RULE)
        c.setLineWidth(0.5)
        c.line(MARGIN, height - 16 * mm, width - MARGIN, height - 16 * mm)
        if self.banner:
            c.setFont(BOLD, 9)
            c.setFillColor(CORAL)
            c.drawCentredString(width / 2, height - 21 * mm, self.banner)
        c.setFont(TEXT, 7.2)
        c.setFillColor(SLATE)
        c.drawString(MARGIN, 12 * mm, _cut(self.foot, 90))
        c.drawRightString(width - MARGIN, 12 * mm, tr("page {page} of {pages}", page=page, pages=pages))


def _cut(text: str, most: int) -> str:
    return text if len(text) <= most else text[: most - 1] + "…"


class _Numbered(Canvas):  # type: ignore[misc]
    """Keeps each page until the last one is known."""

    def __init__(self, running: Running, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **{**kwargs, "initialFontName": TEXT})
        self._running = running
        self._kept: list[dict[str, Any]] = []

    def showPage(self) -> None:
        """Keep the page; it is written when all are there."""
        self._kept.append(dict(self.__dict__))
        self._startPage()

    def save(self) -> None:
        """Write every page with its number."""
        for page, kept in enumerate(self._kept, 1):
            self.__dict__.update(kept)
            self._running.draw(self, page, len(self._kept))
            super().showPage()
        super().save()
