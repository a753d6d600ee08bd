"""The sections of the printed record, each a heading and what stands under it; an empty one is left out."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from reportlab.lib.styles import ParagraphStyle
from reportlab.platypus import Flowable, Preformatted

from benchapp.foundation.language import tr, tr_noop
from benchapp.record.batch_record import Record
from benchapp.record.deviations import blocks, how_it_stands
from benchapp.record.documents.afterwards_sections import amended, complaints, release, sent, signatures
from benchapp.record.documents.cells import amendments, band, by_step, rows_of_lines, value, when, where_from
from benchapp.record.documents.fonts import MONO, shown
from benchapp.record.documents.page import BODY, SMALL, cell, facts, gap, para, table
from benchapp.record.documents.plain_text import clock, date_time, elapsed, ended, number, span
from benchapp.record.documents.weighing_sections import lots, weighings

Section = Callable[[Record, float], list[Flowable]]
CODE = ParagraphStyle("code", fontName=MONO, fontSize=6, leading=7.6)


# --- the sections, in order ----------------------------------------------------------------------------


def devices(r: Record, wide: float) -> list[Flowable]:
    """Each device with its last check (ISO 22716 clause 5; 21 CFR 11.10(h))."""
    rows = [
        [d["name"], d["kind"], ", ".join(d["channels"]),
         tr("{number} g of {number_2} g", number=number(d['readability_g']), number_2=number(d['capacity_g'])) if d["readability_g"] else "",
         cell(date_time(d["checked"]) if d["checked"] else tr("not checked before this make"), alarm=not d["checked"])]
        for d in r.devices
    ]  # fmt: skip
    return table(("device", "kind", "channels", tr("division and capacity"), tr("last check passed")), rows, (5, 4, 5, 6, 7), wide)  # fmt: skip


def cleaning(r: Record, wide: float) -> list[Flowable]:
    """What was confirmed about rooms, tools and hands, before and after."""
    rows = [
        [when(x.wall, x.at_s), by_step(r, x), cell(x.what, small=amendments(x.corrections), said=True)]
        for x in r.confirmations
        if x.key in ("prepare", "clean up")
    ]
    return table(("time", "step", tr("confirmed by the maker")), rows, (3, 7, 22), wide)


def cautions(r: Record, wide: float) -> list[Flowable]:
    """Safety notices and when they were acknowledged."""
    rows = [
        [c["step_title"], c["text"], clock(c["shown"]), clock(c["acknowledged"]) if c["acknowledged"] else tr("shown only")]
        for c in r.cautions
    ]  # fmt: skip
    return table(("step", "caution", "shown", tr("acknowledged")), rows, (7, 18, 3, 4), wide)


def moves(r: Record, wide: float) -> list[Flowable]:
    """Transfers, water lost, samples and waste."""
    rows = rows_of_lines(
        r.moves, lambda x: (when(x.wall, x.at_s), by_step(r, x), x.what, value(x), where_from(x))
    )
    return table(("time", "step", "what", "mass", tr("where from")), rows, (3, 8, 12, 5, 5), wide, (3,))  # fmt: skip


def steps(r: Record, wide: float) -> list[Flowable]:
    """When each step began and ended; the numbers stand in the curve."""
    rows = [
        [str(n), cell(t.title, small=tr("left out: {skipped}", skipped=t.skipped) if t.skipped else ""), date_time(t.begun)[:19], ended(t.ended, t.begun),
         elapsed(t.from_s), span(t.to_s - t.from_s)]
        for n, t in enumerate(r.steps, 1)
    ]  # fmt: skip
    return table((tr("No."), "step", "begun", "ended", tr("at"), "took"), rows, (1.5, 14, 7, 4, 3.5, 4), wide, (4, 5))  # fmt: skip


def kettles(r: Record, wide: float) -> list[Flowable]:
    """What each kettle of a batch that was split held, and what deviated in it."""
    rows = [
        [tr("kettle {kettle}", kettle=k.kettle), ", ".join(k.vessels), f"{number(k.went_in_g, 2)} g", f"{number(k.percent, 2)} %",
         f"{number(k.brought_g, 2)} g", f"{number(k.stayed_g, 2)} g", "" if k.warmest_c is None else f"{number(k.warmest_c, 1)} °C",
         ", ".join(map(str, k.deviations)) or "none"]
        for k in r.kettles
    ]  # fmt: skip
    heads = (
        "",
        "vessels",
        tr("went in"),
        tr("of all"),
        tr("brought over"),
        tr("stayed"),
        tr("warmest"),
        "deviations",
    )
    return table(heads, rows, (4, 9, 4, 3, 4, 3, 3.5, 4), wide, (2, 3, 4, 5, 6))


def waits(r: Record, wide: float) -> list[Flowable]:
    """Bands reached, bursts, holds and interruptions."""
    rows = rows_of_lines(
        r.waits,
        lambda x: (
            when(x.wall, x.at_s), by_step(r, x), cell(x.what, said=x.source == "stated"), value(x), x.source
        ),
    )  # fmt: skip
    return table(("time", "step", "what", "value", tr("where from")), rows, (3, 8, 12, 4, 4), wide, (3,))  # fmt: skip


def acidity(r: Record, wide: float) -> list[Flowable]:
    """pH readings and what was added between them, in order."""
    kinds = {t.key for t in r.steps if t.kind == "measure ph"}
    trial = (x for x in r.readings if x.key == "trial")
    found = sorted([*r.ph, *trial, *(w for w in r.weighings if w.step in kinds)], key=lambda x: x.n)
    rows = rows_of_lines(
        found if r.ph else (),
        lambda x: (
            when(x.wall, x.at_s),
            cell(tr("added: {what}", what=x.what) if x.line else x.what, small=x.note or (tr("lot {lot_now}", lot_now=x.lot_now) if x.lot_now else "")),
            band(x), value(x), where_from(x),
        ),
    )  # fmt: skip
    return table(("time", "what", "limits", "value", tr("where from")), rows, (3, 12, 6, 6, 6), wide, (2, 3))


def judged(r: Record, wide: float) -> list[Flowable]:
    """Appearance, smell, thickness; density and other numbers."""
    looks = [
        [when(x.wall, x.at_s), cell(x.what, said=True, small=amendments(x.corrections)), x.note]
        for x in r.looks
    ]
    others = [x for x in r.readings if x.unit != "pH" and x.key != "trial"]
    numbers = rows_of_lines(
        others, lambda x: (when(x.wall, x.at_s), x.what, band(x), value(x), where_from(x))
    )
    made = table(("time", "found", "expected"), looks, (3, 13, 17), wide)
    if numbers:
        made += [gap(8), *table(("time", "what", "limits", "value", tr("where from")), numbers, (3, 12, 6, 6, 6), wide, (2, 3))]  # fmt: skip
    return made


def containers(r: Record, wide: float) -> list[Flowable]:
    """Each container's net mass against both limits."""
    rows = rows_of_lines(
        r.containers,
        lambda x: (
            when(x.wall, x.at_s), x.what, number(x.low), number(x.target), number(x.high), value(x), x.source
        ),
    )  # fmt: skip
    heads = (
        "time",
        "container",
        tr("at least g"),
        tr("aimed at g"),
        tr("at most g"),
        tr("net"),
        tr("where from"),
    )
    return table(heads, rows, (3, 6, 4, 4, 4, 5, 5), wide, (2, 3, 4, 5))


def deviations(r: Record, wide: float) -> list[Flowable]:
    """Every deviation with its grade, and who accepted it; what was chosen where too much was poured."""
    rows = []
    for d in r.deviations:
        by = d["closed_by"] and f"{d['closed_by']}, {date_time(d['closed'])}"
        state = cell(how_it_stands(d["grade"], by, d["closed_why"]), alarm=blocks(d["grade"], d["closed"]))
        rows.append([str(d["number"]), cell(d["grade"], alarm=d["grade"] == "major"), when(d["wall"], d["at_s"]),
                     cell(d["text"], small=tr("{kind}; {step_title} {amendments}", kind=d['kind'], step_title=d['step_title'], amendments=amendments(d['corrections'])).strip()), state])  # fmt: skip
    heads = (tr("No."), "grade", "time", "what", "accepted")
    made = table(heads, rows, (1.3, 2.7, 3, 15, 9), wide) or [para("None.", BODY)]
    made.append(gap(2))
    for m in r.remedies:
        why = tr(": {reason}", reason=m["reason"]) if m["reason"] else ""
        made.append(
            para(
                tr(
                    "Remedy for {name}, {clock}: {remedy}{why}.",
                    name=m["name"],
                    clock=clock(m["wall"]),
                    remedy=m["remedy"],
                    why=why,
                ),
                SMALL,
            )
        )
    return made


def reconciliation(r: Record, wide: float) -> list[Flowable]:
    """What went in against what came out, all of it computed."""
    made: list[Flowable] = []
    if r.mass is not None:
        m = r.mass
        rows = [
            (tr("weighed in, late drops included"), m.went_in_g), ("product", m.product_g), ("samples", m.samples_g),
            (tr("water lost and found by weighing"), m.water_lost_g), (tr("spilled"), m.spilled_g),
            (tr("left in vessels poured out"), m.left_in_vessels_g),
        ]  # fmt: skip
        if r.came_to_its_end:
            rows.append((tr("not found again: last pot, tools, error"), m.unaccounted_g))
        body = [[name, f"{number(g, 2)} g", f"{number(100 * g / m.went_in_g, 2)} %" if m.went_in_g else ""] for name, g in rows]  # fmt: skip
        made += [
            *table((tr("mass (computed)"), "g", tr("of what went in")), body, (16, 6, 6), wide, (1, 2)),
            gap(3),
        ]
        waste = (
            tr("Waste taken out again while weighing: {number} g. ", number=number(m.waste_g))
            if m.waste_g
            else ""
        )
        made.append(para(tr("{waste}Theoretical {number} g; product is {number_2} % of it.", waste=waste, number=number(m.theoretical_g), number_2=number(m.percent_of_theoretical, 2)), SMALL))  # fmt: skip
    b = r.balance
    if b is not None and (b.filled or b.labels_printed):
        pairs = [
            (tr("Containers filled"), str(b.filled)), (tr("kept back"), str(b.retained)), (tr("sent out"), str(b.dispatched)),
            (tr("should be on the shelf"), str(b.left)), (tr("Labels printed"), str(b.labels_printed)),
            (tr("beyond the containers filled"), str(b.labels_over)),
        ]  # fmt: skip
        made += [gap(4), facts(pairs, wide)]
    for p in r.pieces:
        made.append(para(tr("Drawn from lot {lot} ({material}): {pieces} pieces, {spoiled} spoiled. {amendments}", lot=p['lot'], material=p['material'], pieces=p['pieces'], spoiled=p['spoiled'], amendments=amendments(p['corrections'])), SMALL))  # fmt: skip
    return made


def verbatim(lines: Sequence[str]) -> list[Flowable]:
    """Text exactly as it stands, line by line, with its line numbers; long lines go on beneath."""
    width, kept = 122, []
    for n, line in enumerate(lines, 1):
        text = shown(line.expandtabs(4))
        parts = [text[i : i + width] for i in range(0, len(text), width)] or [""]
        kept += [f"{n:4d}  {parts[0]}", *(f"      {p}" for p in parts[1:])]
    return [Preformatted("\n".join(kept[i : i + 60]), CODE) for i in range(0, len(kept), 60)]


BEFORE_CURVES = tr_noop("Vessels, transfers, losses, samples and waste")
IN_ORDER: tuple[tuple[str, Section], ...] = (
    (tr_noop("Devices and their checks"), devices), (tr_noop("Cleaning and sanitising"), cleaning),
    ("Weighings", weighings), ("Kettles", kettles), ("Lots", lots), (BEFORE_CURVES, moves), ("Steps", steps),
    (tr_noop("Holds, waits and interruptions"), waits), (tr_noop("pH and additions"), acidity), (tr_noop("Judged and measured"), judged),
    (tr_noop("Fill weights"), containers), ("Deviations", deviations), (tr_noop("Yield and reconciliation"), reconciliation),
    ("Cautions", cautions), ("Corrections", amended), ("Release", release), (tr_noop("Labels and dispatch"), sent), ("Complaints", complaints), ("Signatures", signatures),
)  # fmt: skip
