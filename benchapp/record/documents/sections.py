"""The sections of the printed record, each a heading and what stands under it; an empty one is left out."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import Any

from reportlab.lib.styles import ParagraphStyle
from reportlab.platypus import Flowable, KeepTogether, Paragraph, Preformatted

from benchapp.foundation.language import capitalised, tr, tr_noop, translated
from benchapp.record.aftercare import complaint_weight
from benchapp.record.batch_record import Record
from benchapp.record.documents.cells import (
    amendments,
    band,
    by_step,
    corrected,
    digits_of,
    value,
    when,
    where_from,
    with_corrections,
)
from benchapp.record.documents.fonts import MONO, shown
from benchapp.record.documents.page import BODY, SMALL, cell, facts, gap, para, table
from benchapp.record.documents.plain_text import clock, date_time, elapsed, number, padded, span
from benchapp.record.lines import RecordLine

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
    return [table(("device", "kind", "channels", tr("division and capacity"), tr("last check passed")), rows, (5, 4, 5, 6, 7), wide)] if rows else []  # fmt: skip


def cleaning(r: Record, wide: float) -> list[Flowable]:
    """What was confirmed about rooms, tools and hands, before and after."""
    rows = [
        [when(x.wall, x.at_s), by_step(r, x), cell(x.what, small=corrected(x), said=True)]
        for x in r.confirmations
        if x.key in ("prepare", "clean up")
    ]
    return [table(("time", "step", tr("confirmed by the maker")), rows, (3, 7, 22), wide)] if rows else []


def cautions(r: Record, wide: float) -> list[Flowable]:
    """Safety notices and when they were acknowledged."""
    rows = [
        [c["step_title"], c["text"], clock(c["shown"]), clock(c["acknowledged"]) if c["acknowledged"] else tr("shown only")]
        for c in r.cautions
    ]  # fmt: skip
    return [table(("step", "caution", "shown", "acknowledged"), rows, (7, 18, 3, 4), wide)] if rows else []


def weighings(r: Record, wide: float) -> list[Flowable]:
    """Planned and actual of each weighing (21 CFR 211.188(b)(4))."""
    reached = r.reached_percent
    rows = [
        row
        for x in r.weighings
        for row in with_corrections(
            x,
            [when(x.wall, x.at_s), cell(x.what, small=_lot(x)), x.vessel,
             padded(x.target, digits_of(r, x)), band(x), value(x, digits_of(r, x)), where_from(x),
             _share(r, reached, x), _by(r, x)],
        )
    ]  # fmt: skip
    heads = (
        "time",
        tr("ingredient and lot"),
        "into",
        tr("planned g"),
        tr("allowed g"),
        "weighed",
        tr("where from"),
        "reached",
        "by",
    )
    notes = [
        para(
            tr("Reached: the whole line in percent of everything that went in, replaced water included."),
            SMALL,
        )
    ]
    notes += [para(words, SMALL) for words in r.portion_sums]
    notes += [para(tr("The batch became larger: {why}.", why=v["why"]), SMALL) for v in r.revisions]
    widths = (3.1, 6.1, 4.3, 3, 4.7, 3.5, 5.2, 2.9, 3)
    return [table(heads, rows, widths, wide, (3, 4, 5, 7)), *notes] if rows else []


def _share(r: Record, reached: Mapping[str, float], x: RecordLine) -> Paragraph:
    """What the line came to, and what the formula asks for."""
    planned = r.planned_percent.get(x.line)
    now, strength = reached.get(x.line, 0.0), r.active_percent.get(x.line)
    asked = "" if planned is None else tr("of {number} %", number=number(planned))
    active = "" if strength is None else tr("{now:.2f} % active", now=now * strength / 100)
    return cell(f"{now:.2f} %", True, ", ".join(x for x in (asked, active) if x))


def _lot(x: RecordLine) -> str:
    """The lot, and how it was read back."""
    how = f", {x.how}" if x.how and x.how != "none" else ""
    note = f"; {x.note}" if x.note else ""
    return (
        tr("lot {lot_now}{how}{note}", lot_now=x.lot_now, how=how, note=note)
        if x.lot_now
        else tr("lot unknown{note}", note=note)
    )


def _by(r: Record, x: RecordLine) -> Paragraph:
    """Who weighed, and who else signed for the step where the procedure asked for it."""
    others = dict.fromkeys(s["who"] for s in r.signatures if s["step"] == x.step and s["who"] != r.maker)
    return cell(r.maker, small=tr("seen by {names}", names=", ".join(others)) if others else "")


def lots(r: Record, wide: float) -> list[Flowable]:
    """Every lot drawn from, and lots that were refused."""
    rows = [
        [x["lot"] or "unknown", x["what"], cell(x["supplier"], small=x["supplier_lot"]), x["expires"],
         tr("{number} g", number=number(x['drawn_g'])), x["how"]]
        for x in r.lots
    ]  # fmt: skip
    heads = ("lot", "ingredient", tr("supplier and their lot"), tr("use before"), "drawn", tr("how read"))
    made: list[Flowable] = [table(heads, rows, (5, 9, 8, 4, 4, 3), wide, (4,))] if rows else []
    return [*made, *(para(tr("Refused: lot {lot}, {why} ({date_time})", lot=x['lot'], why=x['why'], date_time=date_time(x['wall'])), SMALL) for x in r.lots_refused)]  # fmt: skip


def moves(r: Record, wide: float) -> list[Flowable]:
    """Transfers, water lost, samples and waste."""
    rows = [
        row
        for x in r.moves
        for row in with_corrections(x, [when(x.wall, x.at_s), by_step(r, x), x.what, value(x), where_from(x)])
    ]
    return [table(("time", "step", "what", "mass", tr("where from")), rows, (3, 8, 12, 5, 5), wide, (3,))] if rows else []  # fmt: skip


def steps(r: Record, wide: float) -> list[Flowable]:
    """When each step began and ended; the numbers stand in the curve."""
    rows = [
        [str(n), cell(t.title, small=tr("left out: {skipped}", skipped=t.skipped) if t.skipped else ""), date_time(t.begun)[:19], clock(t.ended),
         elapsed(t.from_s), span(t.to_s - t.from_s)]
        for n, t in enumerate(r.steps, 1)
    ]  # fmt: skip
    return [table(("no", "step", "begun", "ended", "at", "took"), rows, (1.5, 14, 7, 4, 3.5, 4), wide, (4, 5))] if rows else []  # fmt: skip


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
        "stayed",
        "warmest",
        "deviations",
    )
    return [table(heads, rows, (4, 9, 4, 3, 4, 3, 3.5, 4), wide, (2, 3, 4, 5, 6))] if rows else []


def waits(r: Record, wide: float) -> list[Flowable]:
    """Bands reached, bursts, holds and interruptions."""
    rows = [
        [when(x.wall, x.at_s), by_step(r, x), cell(x.what, said=x.source == "stated"),
         f"{number(x.value)} {x.unit}".strip(), x.source]
        for x in r.waits
    ]  # fmt: skip
    return [table(("time", "step", "what", "value", tr("where from")), rows, (3, 8, 12, 4, 4), wide, (3,))] if rows else []  # fmt: skip


def acidity(r: Record, wide: float) -> list[Flowable]:
    """pH readings and what was added between them, in order."""
    kinds = {t.key for t in r.steps if t.kind == "measure ph"}
    trial = (x for x in r.readings if x.key == "trial")
    found = sorted([*r.ph, *trial, *(w for w in r.weighings if w.step in kinds)], key=lambda x: x.n)
    rows = [
        row
        for x in found
        for row in with_corrections(
            x,
            [when(x.wall, x.at_s), cell(tr("added: {what}", what=x.what) if x.line else x.what, small=x.note or (tr("lot {lot_now}", lot_now=x.lot_now) if x.lot_now else "")),
             band(x), value(x), where_from(x)],
        )
    ]  # fmt: skip
    return [table(("time", "what", "limits", "value", tr("where from")), rows, (3, 12, 6, 6, 6), wide, (2, 3))] if r.ph else []  # fmt: skip


def judged(r: Record, wide: float) -> list[Flowable]:
    """Appearance, smell, thickness; density and other numbers."""
    looks = [[when(x.wall, x.at_s), cell(x.what, said=True, small=corrected(x)), x.note] for x in r.looks]
    others = [x for x in r.readings if x.unit != "pH" and x.key != "trial"]
    numbers = [
        row
        for x in others
        for row in with_corrections(x, [when(x.wall, x.at_s), x.what, band(x), value(x), where_from(x)])
    ]
    made: list[Flowable] = []
    if looks:
        made.append(table(("time", "found", "expected"), looks, (3, 13, 17), wide))
    if numbers:
        made += [gap(8), table(("time", "what", "limits", "value", tr("where from")), numbers, (3, 12, 6, 6, 6), wide, (2, 3))]  # fmt: skip
    return made


def containers(r: Record, wide: float) -> list[Flowable]:
    """Each container's net mass against both limits."""
    rows = [
        row
        for x in r.containers
        for row in with_corrections(
            x,
            [
                when(x.wall, x.at_s),
                x.what,
                number(x.low),
                number(x.target),
                number(x.high),
                value(x),
                x.source,
            ],
        )
    ]
    heads = (
        "time",
        "container",
        tr("at least g"),
        tr("aimed at g"),
        tr("at most g"),
        "net",
        tr("where from"),
    )
    return [table(heads, rows, (3, 6, 4, 4, 4, 5, 5), wide, (2, 3, 4, 5))] if rows else []


def deviations(r: Record, wide: float) -> list[Flowable]:
    """Every deviation with its grade, and who accepted it; what was chosen where too much was poured."""
    rows = []
    for d in r.deviations:
        over = (
            tr(
                "accepted by {closed_by}, {date_time}: {closed_why}",
                closed_by=d["closed_by"],
                date_time=date_time(d["closed"]),
                closed_why=d["closed_why"],
            )
            if d["closed"]
            else "open"
        )
        grave = d["grade"] != "note"
        state = cell(over if d["closed"] or grave else "noted", alarm=grave and not d["closed"])
        rows.append([str(d["number"]), cell(d["grade"], alarm=d["grade"] == "major"), when(d["wall"], d["at_s"]),
                     cell(d["text"], small=tr("{kind}; {step_title} {amendments}", kind=d['kind'], step_title=d['step_title'], amendments=amendments(d['corrections'])).strip()), state])  # fmt: skip
    heads = ("no", "grade", "time", "what", "accepted")
    made: list[Flowable] = [table(heads, rows, (1.3, 2.7, 3, 15, 9), wide)] if rows else [para("None.", BODY)]
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
            (tr("water lost and found by weighing"), m.water_lost_g), (tr("left in vessels poured out"), m.left_in_vessels_g),
            (tr("not found again: last pot, tools, error"), m.unaccounted_g),
        ]  # fmt: skip
        body = [[name, f"{number(g, 2)} g", f"{number(100 * g / m.went_in_g, 2)} %" if m.went_in_g else ""] for name, g in rows]  # fmt: skip
        made += [
            table((tr("mass (computed)"), "g", tr("of what went in")), body, (16, 6, 6), wide, (1, 2)),
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
        made += [gap(4), facts(pairs, wide, 6)]
    for p in r.pieces:
        made.append(para(tr("Drawn from lot {lot} ({material}): {pieces} pieces, {spoiled} spoiled. {amendments}", lot=p['lot'], material=p['material'], pieces=p['pieces'], spoiled=p['spoiled'], amendments=amendments(p['corrections'])), SMALL))  # fmt: skip
    return made


def amended(r: Record, wide: float) -> list[Flowable]:
    """Corrections, and what the maker said and took back."""
    rows: list[list[Any]] = [
        [date_time(c["wall"])[:19], tr("event {of_n}, {field}", of_n=c['of_n'], field=c['field']), c["old"], c["new"], cell(c["reason"], small=c["by"])]
        for c in r.corrections
    ]  # fmt: skip
    rows += [
        [date_time(x.wall)[:19], cell(x.what, small=tr("taken back by the maker")), f"{number(x.value)} {x.unit}".strip(), tr("does not count"), ""]
        for x in r.taken_back
    ]  # fmt: skip
    return (
        [table(("time", "what", "was", "is", tr("why and who")), rows, (6, 9, 5, 5, 8), wide)] if rows else []
    )


def release(r: Record, wide: float) -> list[Flowable]:
    """The specification, what was found, and the decision."""
    done = {c["check"] for c in r.checks}
    rows = [
        [c["check"], c["expect"], cell(tr("{number} {words}", number=number(c['value']), words=c['words']).strip() or tr("as expected"), said=True),
         cell("passed" if c["passed"] else "failed", alarm=not c["passed"], small=tr("{by}, {date_time}", by=c['by'], date_time=date_time(c['wall'])))]
        for c in r.checks
    ]  # fmt: skip
    rows += [[p.name, p.expect, "", tr("due {span} after the make", span=span(p.due_s))] for p in r.release_plan if p.name not in done]  # fmt: skip
    made: list[Flowable] = [table(("check", "expected", "found", "result"), rows, (7, 11, 6, 8), wide)] if rows else []  # fmt: skip
    made.append(gap(3))
    for d in r.decisions:
        made.append(para(tr("{decision} by {by} ({role}), {date_time}: {reason}", decision=capitalised(translated(d["decision"])), by=d['by'], role=d['role'], date_time=date_time(d['wall']), reason=d['reason'])))  # fmt: skip
    if not r.decisions:
        made.append(para(tr("Not decided: this batch is finished at most, not released."), SMALL))
    made += [para(tr("Kept back: {pieces}, {where}, until {until} ({by}). {amendments}", pieces=k['pieces'], where=k['where'], until=k['until'], by=k['by'], amendments=amendments(k['corrections'])), SMALL) for k in r.retained]  # fmt: skip
    return made


def sent(r: Record, wide: float) -> list[Flowable]:
    """Labels printed, and where containers went."""
    rows = [[date_time(x["wall"])[:19], tr("{pieces} labels printed", pieces=x['pieces']), tr("approved text {approved}…", approved=x['approved'][:16]), x["by"]] for x in r.labels]  # fmt: skip
    rows += [
        [
            x["on"],
            cell(
                tr("containers {first} to {last} to {to}", first=x["first"], last=x["last"], to=x["to"]),
                small=amendments(x["corrections"]),
            ),
            x["note"],
            x["by"],
        ]
        for x in r.dispatches
    ]
    return [table(("when", "what", "note", "by"), rows, (7, 14, 8, 5), wide)] if rows else []


def complaints(r: Record, wide: float) -> list[Flowable]:
    """What customers said, undesirable effects among it, and what was found and done."""
    rows: list[list[Any]] = [
        [x["on"], cell(tr("{number}, {complaint_weight}", number=x['number'], complaint_weight=complaint_weight(x)), small=tr("container {container}", container=x['container']) if x["container"] else "", alarm=x["effect"]),
         cell(x["words"], said=True, small=amendments(x["corrections"])), cell(x["sender"], small=x["by"])]
        for x in r.complaints
    ]  # fmt: skip
    rows += [
        [date_time(x["wall"])[:10], tr("answer to {number}", number=x['number']), cell(tr("{found} {done}", found=x['found'], done=x['done']), said=True, small=amendments(x["corrections"])), x["by"]]
        for x in r.complaint_answers
    ]  # fmt: skip
    return [table(("when", "what", "words", tr("from, by")), rows, (5, 8, 15, 6), wide)] if rows else []


def signatures(r: Record, wide: float) -> list[Flowable]:
    """Printed name, date and time, meaning (21 CFR 11.50(a)), and room to sign the paper."""
    rows = [
        [cell(s["who"], small=s["role"]), cell(s["meaning"], small=s["step_title"]), date_time(s["wall"]),
         tr("own PIN") if s["proof"] == "pin" else tr("name only, not proven")]
        for s in r.signatures
    ]  # fmt: skip
    made: list[Flowable] = [table(("name", "meaning", tr("date and time"), "proof"), rows, (8, 9, 9, 6), wide)] if rows else [para(tr("Nobody has signed."))]  # fmt: skip
    line = [[tr("checked by, on paper"), "", ""], [tr("released by, on paper"), "", ""]]
    return [
        KeepTogether(
            [*made, gap(8), table(("", tr("name and signature"), "date"), line, (6, 18, 8), wide, tall=30)]
        )
    ]


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
