"""The batch record on paper: A4 or Letter, batch and page on each page, both phases as a curve, hashes as text and QR."""

from __future__ import annotations

import io
from typing import Any

from reportlab.platypus import BaseDocTemplate, Flowable, Frame, KeepTogether, PageBreak, PageTemplate, Table

from benchapp.events import TRIAL
from benchapp.foundation.language import spoken, tr, tr_noop
from benchapp.record.batch_record import Record
from benchapp.record.documents import sections
from benchapp.record.documents.codes import QUIET, Code, qr_cells
from benchapp.record.documents.curve_drawing import Temperatures
from benchapp.record.documents.fonts import TEXT, register
from benchapp.record.documents.page import (
    BODY,
    BOTTOM,
    HASH,
    MARGIN,
    PAPERS,
    SECTION,
    SMALL,
    TITLE,
    TOP,
    Running,
    cell,
    gap,
    heading,
    para,
    table,
)
from benchapp.record.documents.plain_text import elapsed, number, span, visible
from benchapp.record.summary import summary
from benchapp.record.summary_afterwards import REHEARSAL

#: What stands on each page of a batch made by a version that nobody had approved.
TRIAL_BATCH = tr_noop("TRIAL — not for sale")
#: The heading of the procedure's own text.
APPENDIX = tr_noop("Appendix: the procedure as it stood")


def as_pdf(record: Record, chain_head: str = "", paper: str = "a4") -> bytes:
    """The record as PDF bytes, the same for the same events, head and paper.

    ``chain_head`` is the journal's last hash when this is written, "" to leave it out. Raises KeyError for a
    paper that is none of "a4" and "letter", DocumentRefused where the typefaces are not installed.
    """
    register()
    size = PAPERS[paper]
    wide = size[0] - 2 * MARGIN
    out = io.BytesIO()
    banner = REHEARSAL if record.rehearsal else TRIAL_BATCH if record.version == TRIAL else ""
    foot = tr(
        "code {code}   last event {events}, hash {head}…",
        code=record.code,
        events=record.events,
        head=record.head[:24],
    )
    running = Running(tr("Batch record   {product}", product=record.product), record.batch, foot, banner)
    frame = Frame(MARGIN, BOTTOM, wide, size[1] - TOP - BOTTOM, 0, 0, 0, 0)
    doc = BaseDocTemplate(
        out, pagesize=size, invariant=1, pageTemplates=[PageTemplate(frames=[frame])], lang=spoken().code,
        title=tr("Batch record {visible}", visible=visible(record.batch)), subject=visible(record.product), author="benchapp",
    )  # fmt: skip
    doc.build(_story(record, chain_head, wide), canvasmaker=running.canvas)
    return out.getvalue()


def _story(r: Record, chain_head: str, wide: float) -> list[Flowable]:
    story: list[Flowable] = [*_opening(r, wide)]
    for title, build in sections.IN_ORDER:
        body = build(r, wide)
        if body:
            story += [*heading(title), *body]
        if title == sections.BEFORE_CURVES and r.curves:
            story += _curves(r, wide)
    story += _integrity(r, chain_head, wide)
    if r.procedure_text:
        story += _procedure(r)
    return story


def _opening(r: Record, wide: float) -> list[Flowable]:
    """One page a person can judge the batch from."""
    rows = [[cell(x.what), cell(x.text, alarm=x.alarm)] for x in summary(r)]
    return [
        para(r.product, TITLE),
        para(r.description, SMALL),
        gap(7),
        *table(("", tr("what the record says")), rows, (6, 26), wide),
        gap(4),
        para(
            tr(
                "In bold: what speaks against the batch or wants to be looked at. On the pages that "
                "follow every value says where it comes from: measured by the device named, stated "
                "by a person (slanted), or computed. The procedure as it stood is the appendix."
            ),
            SMALL,
        ),
        PageBreak(),
    ]


def _curves(r: Record, wide: float) -> list[Flowable]:
    said = [
        f"{b.step}: "
        + _limits(b.low_c, b.high_c)
        + tr(", {elapsed} to {elapsed_2}.", elapsed=elapsed(b.from_s), elapsed_2=elapsed(b.to_s))
        for b in r.bands
    ]
    held = [
        tr("{step_title}: held in band for {span}", step_title=h["step_title"], span=span(h["held_s"]))
        + (tr(" of {span} asked for", span=span(h["planned_s"])) if h["planned_s"] else "")
        + tr(", at each count {number} °C or warmer.", number=number(h["coldest_c"]))
        for h in r.holds
    ]
    drawn = KeepTogether(
        [para("Temperatures", SECTION), Temperatures(r.curves, r.bands, r.steps, wide), gap(3)]
    )
    return [drawn, *(para(x, SMALL) for x in (*said, *held))]


def _limits(low: float | None, high: float | None) -> str:
    if low is None:
        return tr("below {number} °C", number=number(high))
    return (
        tr("{number} to {number_2} °C", number=number(low), number_2=number(high))
        if high is not None
        else tr("above {number} °C", number=number(low))
    )


def _integrity(r: Record, chain_head: str, wide: float) -> list[Flowable]:
    pairs = [(tr("This batch's last event"), r.head)]
    if chain_head:
        pairs.append((tr("The whole journal's last event when this was printed"), chain_head))
    side = 92.0
    rows: list[list[Any]] = [
        [Code(qr_cells(digest), side, QUIET["qr"]), [para(name, BODY), para(digest, HASH)]]
        for name, digest in pairs
    ]
    made = Table(rows, [side + 12, wide - side - 12])
    made.setStyle(
        [
            ("FONTNAME", (0, 0), (-1, -1), TEXT),
            ("VALIGN", (0, 0), (-1, -1), "MIDDLE"),
            ("LEFTPADDING", (0, 0), (-1, -1), 0),
        ]
    )
    text = tr(
        "{events} events stand behind this record, each bound to the one before by SHA-256. "
        "Keep this page: benchapp verify --head with a hash below says whether the journal "
        "still holds what was printed here. Whoever owns the file could rewrite all of it; "
        "only a copy kept elsewhere, like this one, shows that.",
        events=r.events,
    )
    return [KeepTogether([para(tr("Against alteration"), SECTION), para(text), gap(4), made])]


def _procedure(r: Record) -> list[Flowable]:
    lines = r.procedure_text.splitlines()
    return [
        PageBreak(),
        *heading(APPENDIX),
        para(tr("SHA-256 {procedure_sha256}", procedure_sha256=r.procedure_sha256), SMALL),
        gap(4),
        *sections.verbatim(lines),
    ]
