"""The sections of the printed record, each a heading and what stands under it; an empty one is left out."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import Any

from reportlab.lib.styles import ParagraphStyle
from reportlab.platypus import Flowable, KeepTogether, Paragraph, Preformatted

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
         f"{number(d['readability_g'])} g of {number(d['capacity_g'])} g" if d["readability_g"] else "",
         cell(date_time(d["checked"]) if d["checked"] else "not checked before this make", alarm=not d["checked"])]
        for d in r.devices
    ]  # fmt: skip
    return [table(("device", "kind", "channels", "division and capacity", "last check passed"), rows, (5, 4, 5, 6, 7), wide)] if rows else []  # fmt: skip


def cleaning(r: Record, wide: float) -> list[Flowable]:
    """What was confirmed about rooms, tools and hands, before and after."""
    rows = [
        [when(x.wall, x.at_s), by_step(r, x), cell(x.what, small=corrected(x), said=True)]
        for x in r.confirmations
        if x.key in ("prepare", "clean up")
    ]
    return [table(("time", "step", "confirmed by the maker"), rows, (3, 7, 22), wide)] if rows else []


def cautions(r: Record, wide: float) -> list[Flowable]:
    """Safety notices and when they were acknowledged."""
    rows = [
        [c["step_title"], c["text"], clock(c["shown"]), clock(c["acknowledged"]) if c["acknowledged"] else "shown only"]
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
        "ingredient and lot",
        "into",
        "planned g",
        "allowed g",
        "weighed",
        "where from",
        "reached",
        "by",
    )
    notes = [
        para("Reached: the whole line in percent of everything that went in, replaced water included.", SMALL)
    ]
    notes += [para(words, SMALL) for words in r.portion_sums]
    notes += [para(f"The batch became larger: {v['why']}.", SMALL) for v in r.revisions]
    widths = (3.1, 6.1, 4.3, 3, 4.7, 3.5, 5.2, 2.9, 3)
    return [table(heads, rows, widths, wide, (3, 4, 5, 7)), *notes] if rows else []


def _share(r: Record, reached: Mapping[str, float], x: RecordLine) -> Paragraph:
    """What the line came to, and what the formula asks for."""
    planned = r.planned_percent.get(x.line)
    now, strength = reached.get(x.line, 0.0), r.active_percent.get(x.line)
    asked = "" if planned is None else f"of {number(planned)} %"
    active = "" if strength is None else f"{now * strength / 100:.2f} % active"
    return cell(f"{now:.2f} %", True, ", ".join(x for x in (asked, active) if x))


def _lot(x: RecordLine) -> str:
    """The lot, and how it was read back."""
    how = f", {x.how}" if x.how and x.how != "none" else ""
    note = f"; {x.note}" if x.note else ""
    return f"lot {x.lot_now}{how}{note}" if x.lot_now else f"lot unknown{note}"


def _by(r: Record, x: RecordLine) -> Paragraph:
    """Who weighed, and who else signed for the step where the procedure asked for it."""
    others = dict.fromkeys(s["who"] for s in r.signatures if s["step"] == x.step and s["who"] != r.maker)
    return cell(r.maker, small=f"seen by {', '.join(others)}" if others else "")


def lots(r: Record, wide: float) -> list[Flowable]:
    """Every lot drawn from, and lots that were refused."""
    rows = [
        [x["lot"] or "unknown", x["what"], cell(x["supplier"], small=x["supplier_lot"]), x["expires"],
         f"{number(x['drawn_g'])} g", x["how"]]
        for x in r.lots
    ]  # fmt: skip
    heads = ("lot", "ingredient", "supplier and their lot", "use before", "drawn", "how read")
    made: list[Flowable] = [table(heads, rows, (5, 9, 8, 4, 4, 3), wide, (4,))] if rows else []
    return [*made, *(para(f"Refused: lot {x['lot']}, {x['why']} ({date_time(x['wall'])})", SMALL) for x in r.lots_refused)]  # fmt: skip


def moves(r: Record, wide: float) -> list[Flowable]:
    """Transfers, water lost, samples and waste."""
    rows = [
        row
        for x in r.moves
        for row in with_corrections(x, [when(x.wall, x.at_s), by_step(r, x), x.what, value(x), where_from(x)])
    ]
    return [table(("time", "step", "what", "mass", "where from"), rows, (3, 8, 12, 5, 5), wide, (3,))] if rows else []  # fmt: skip


def steps(r: Record, wide: float) -> list[Flowable]:
    """When each step began and ended; the numbers stand in the curve."""
    rows = [
        [str(n), cell(t.title, small=f"left out: {t.skipped}" if t.skipped else ""), date_time(t.begun)[:19], clock(t.ended),
         elapsed(t.from_s), span(t.to_s - t.from_s)]
        for n, t in enumerate(r.steps, 1)
    ]  # fmt: skip
    return [table(("no", "step", "begun", "ended", "at", "took"), rows, (1.5, 14, 7, 4, 3.5, 4), wide, (4, 5))] if rows else []  # fmt: skip


def kettles(r: Record, wide: float) -> list[Flowable]:
    """What each kettle of a batch that was split held, and what deviated in it."""
    rows = [
        [f"kettle {k.kettle}", ", ".join(k.vessels), f"{number(k.went_in_g, 2)} g", f"{number(k.percent, 2)} %",
         f"{number(k.brought_g, 2)} g", f"{number(k.stayed_g, 2)} g", "" if k.warmest_c is None else f"{number(k.warmest_c, 1)} °C",
         ", ".join(map(str, k.deviations)) or "none"]
        for k in r.kettles
    ]  # fmt: skip
    heads = ("", "vessels", "went in", "of all", "brought over", "stayed", "warmest", "deviations")
    return [table(heads, rows, (4, 9, 4, 3, 4, 3, 3.5, 4), wide, (2, 3, 4, 5, 6))] if rows else []


def waits(r: Record, wide: float) -> list[Flowable]:
    """Bands reached, bursts, holds and interruptions."""
    rows = [
        [when(x.wall, x.at_s), by_step(r, x), cell(x.what, said=x.source == "stated"),
         f"{number(x.value)} {x.unit}".strip(), x.source]
        for x in r.waits
    ]  # fmt: skip
    return [table(("time", "step", "what", "value", "where from"), rows, (3, 8, 12, 4, 4), wide, (3,))] if rows else []  # fmt: skip


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
            [when(x.wall, x.at_s), cell(f"added: {x.what}" if x.line else x.what, small=x.note or (f"lot {x.lot_now}" if x.lot_now else "")),
             band(x), value(x), where_from(x)],
        )
    ]  # fmt: skip
    return [table(("time", "what", "limits", "value", "where from"), rows, (3, 12, 6, 6, 6), wide, (2, 3))] if r.ph else []  # fmt: skip


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
        made += [gap(8), table(("time", "what", "limits", "value", "where from"), numbers, (3, 12, 6, 6, 6), wide, (2, 3))]  # fmt: skip
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
    heads = ("time", "container", "at least g", "aimed at g", "at most g", "net", "where from")
    return [table(heads, rows, (3, 6, 4, 4, 4, 5, 5), wide, (2, 3, 4, 5))] if rows else []


def deviations(r: Record, wide: float) -> list[Flowable]:
    """Every deviation with its grade, and who accepted it; what was chosen where too much was poured."""
    rows = []
    for d in r.deviations:
        over = (
            f"accepted by {d['closed_by']}, {date_time(d['closed'])}: {d['closed_why']}"
            if d["closed"]
            else "open"
        )
        grave = d["grade"] != "note"
        state = cell(over if d["closed"] or grave else "noted", alarm=grave and not d["closed"])
        rows.append([str(d["number"]), cell(d["grade"], alarm=d["grade"] == "major"), when(d["wall"], d["at_s"]),
                     cell(d["text"], small=f"{d['kind']}; {d['step_title']} {amendments(d['corrections'])}".strip()), state])  # fmt: skip
    heads = ("no", "grade", "time", "what", "accepted")
    made: list[Flowable] = [table(heads, rows, (1.3, 2.7, 3, 15, 9), wide)] if rows else [para("None.", BODY)]
    made.append(gap(2))
    for m in r.remedies:
        why = f": {m['reason']}" if m["reason"] else ""
        made.append(para(f"Remedy for {m['name']}, {clock(m['wall'])}: {m['remedy']}{why}.", SMALL))
    return made


def reconciliation(r: Record, wide: float) -> list[Flowable]:
    """What went in against what came out, all of it computed."""
    made: list[Flowable] = []
    if r.mass is not None:
        m = r.mass
        rows = [
            ("weighed in, late drops included", m.went_in_g), ("product", m.product_g), ("samples", m.samples_g),
            ("water lost and found by weighing", m.water_lost_g), ("left in vessels poured out", m.left_in_vessels_g),
            ("not found again: last pot, tools, error", m.unaccounted_g),
        ]  # fmt: skip
        body = [[name, f"{number(g, 2)} g", f"{number(100 * g / m.went_in_g, 2)} %" if m.went_in_g else ""] for name, g in rows]  # fmt: skip
        made += [table(("mass (computed)", "g", "of what went in"), body, (16, 6, 6), wide, (1, 2)), gap(3)]
        waste = f"Waste taken out again while weighing: {number(m.waste_g)} g. " if m.waste_g else ""
        made.append(para(f"{waste}Theoretical {number(m.theoretical_g)} g; product is {number(m.percent_of_theoretical, 2)} % of it.", SMALL))  # fmt: skip
    b = r.balance
    if b is not None and (b.filled or b.labels_printed):
        pairs = [
            ("Containers filled", str(b.filled)), ("kept back", str(b.retained)), ("sent out", str(b.dispatched)),
            ("should be on the shelf", str(b.left)), ("Labels printed", str(b.labels_printed)),
            ("beyond the containers filled", str(b.labels_over)),
        ]  # fmt: skip
        made += [gap(4), facts(pairs, wide, 6)]
    for p in r.pieces:
        made.append(para(f"Drawn from lot {p['lot']} ({p['material']}): {p['pieces']} pieces, {p['spoiled']} spoiled. {amendments(p['corrections'])}", SMALL))  # fmt: skip
    return made


def amended(r: Record, wide: float) -> list[Flowable]:
    """Corrections, and what the maker said and took back."""
    rows: list[list[Any]] = [
        [date_time(c["wall"])[:19], f"event {c['of_n']}, {c['field']}", c["old"], c["new"], cell(c["reason"], small=c["by"])]
        for c in r.corrections
    ]  # fmt: skip
    rows += [
        [date_time(x.wall)[:19], cell(x.what, small="taken back by the maker"), f"{number(x.value)} {x.unit}".strip(), "does not count", ""]
        for x in r.taken_back
    ]  # fmt: skip
    return [table(("time", "what", "was", "is", "why and who"), rows, (6, 9, 5, 5, 8), wide)] if rows else []


def release(r: Record, wide: float) -> list[Flowable]:
    """The specification, what was found, and the decision."""
    done = {c["check"] for c in r.checks}
    rows = [
        [c["check"], c["expect"], cell(f"{number(c['value'])} {c['words']}".strip() or "as expected", said=True),
         cell("passed" if c["passed"] else "failed", alarm=not c["passed"], small=f"{c['by']}, {date_time(c['wall'])}")]
        for c in r.checks
    ]  # fmt: skip
    rows += [[p.name, p.expect, "", f"due {span(p.due_s)} after the make"] for p in r.release_plan if p.name not in done]  # fmt: skip
    made: list[Flowable] = [table(("check", "expected", "found", "result"), rows, (7, 11, 6, 8), wide)] if rows else []  # fmt: skip
    made.append(gap(3))
    for d in r.decisions:
        made.append(para(f"{d['decision'].capitalize()} by {d['by']} ({d['role']}), {date_time(d['wall'])}: {d['reason']}"))  # fmt: skip
    if not r.decisions:
        made.append(para("Not decided: this batch is finished at most, not released.", SMALL))
    made += [para(f"Kept back: {k['pieces']}, {k['where']}, until {k['until']} ({k['by']}). {amendments(k['corrections'])}", SMALL) for k in r.retained]  # fmt: skip
    return made


def sent(r: Record, wide: float) -> list[Flowable]:
    """Labels printed, and where containers went."""
    rows = [[date_time(x["wall"])[:19], f"{x['pieces']} labels printed", f"approved text {x['approved'][:16]}…", x["by"]] for x in r.labels]  # fmt: skip
    rows += [
        [
            x["on"],
            cell(f"containers {x['first']} to {x['last']} to {x['to']}", small=amendments(x["corrections"])),
            x["note"],
            x["by"],
        ]
        for x in r.dispatches
    ]
    return [table(("when", "what", "note", "by"), rows, (7, 14, 8, 5), wide)] if rows else []


def complaints(r: Record, wide: float) -> list[Flowable]:
    """What customers said, undesirable effects among it, and what was found and done."""
    rows: list[list[Any]] = [
        [x["on"], cell(f"{x['number']}, {complaint_weight(x)}", small=f"container {x['container']}" if x["container"] else "", alarm=x["effect"]),
         cell(x["words"], said=True, small=amendments(x["corrections"])), cell(x["sender"], small=x["by"])]
        for x in r.complaints
    ]  # fmt: skip
    rows += [
        [date_time(x["wall"])[:10], f"answer to {x['number']}", cell(f"{x['found']} {x['done']}", said=True, small=amendments(x["corrections"])), x["by"]]
        for x in r.complaint_answers
    ]  # fmt: skip
    return [table(("when", "what", "words", "from, by"), rows, (5, 8, 15, 6), wide)] if rows else []


def signatures(r: Record, wide: float) -> list[Flowable]:
    """Printed name, date and time, meaning (21 CFR 11.50(a)), and room to sign the paper."""
    rows = [
        [cell(s["who"], small=s["role"]), cell(s["meaning"], small=s["step_title"]), date_time(s["wall"]),
         "own PIN" if s["proof"] == "pin" else "name only, not proven"]
        for s in r.signatures
    ]  # fmt: skip
    made: list[Flowable] = [table(("name", "meaning", "date and time", "proof"), rows, (8, 9, 9, 6), wide)] if rows else [para("Nobody has signed.")]  # fmt: skip
    line = [["checked by, on paper", "", ""], ["released by, on paper", "", ""]]
    return [
        KeepTogether(
            [*made, gap(8), table(("", "name and signature", "date"), line, (6, 18, 8), wide, tall=30)]
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


BEFORE_CURVES = "Vessels, transfers, losses, samples and waste"
IN_ORDER: tuple[tuple[str, Section], ...] = (
    ("Devices and their checks", devices), ("Cleaning and sanitising", cleaning),
    ("Weighings", weighings), ("Kettles", kettles), ("Lots", lots), (BEFORE_CURVES, moves), ("Steps", steps),
    ("Holds, waits and interruptions", waits), ("pH and additions", acidity), ("Judged and measured", judged),
    ("Fill weights", containers), ("Deviations", deviations), ("Yield and reconciliation", reconciliation),
    ("Cautions", cautions), ("Corrections", amended), ("Release", release), ("Labels and dispatch", sent), ("Complaints", complaints), ("Signatures", signatures),
)  # fmt: skip
