"""What came after the make: corrections, release, dispatch, complaints, signatures; sections of the printed record."""

from __future__ import annotations

from typing import Any

from reportlab.platypus import Flowable, KeepTogether

from benchapp.foundation.language import capitalised, tr, translated
from benchapp.record.aftercare import complaint_name, complaint_weight
from benchapp.record.batch_record import Record
from benchapp.record.correction_words import word_of
from benchapp.record.documents.cells import amendments
from benchapp.record.documents.page import SMALL, cell, gap, para, table
from benchapp.record.documents.plain_text import date_time, number, span


def amended(r: Record, wide: float) -> list[Flowable]:
    """Corrections, and what the maker said and took back."""
    rows: list[list[Any]] = [
        [date_time(c["wall"])[:19], tr("event {of_n}, {field}", of_n=c['of_n'], field=word_of(c['field'])), c["old"], c["new"], cell(c["reason"], small=c["by"])]
        for c in r.corrections
    ]  # fmt: skip
    rows += [
        [date_time(x.wall)[:19], cell(x.what, small=tr("taken back by the maker")), f"{number(x.value)} {x.unit}".strip(), tr("does not count"), ""]
        for x in r.taken_back
    ]  # fmt: skip
    return table(("time", "what", "was", tr("is"), tr("why and who")), rows, (6, 9, 5, 5, 8), wide)


def release(r: Record, wide: float) -> list[Flowable]:
    """The specification, what was found, and the decision."""
    done = {c["check"] for c in r.checks}
    rows = [
        [c["check"], c["expect"], cell(tr("{number} {words}", number=number(c['value']), words=c['words']).strip() or tr("as expected"), said=True),
         cell("passed" if c["passed"] else "failed", alarm=not c["passed"], small=tr("{by}, {date_time}", by=c['by'], date_time=date_time(c['wall'])))]
        for c in r.checks
    ]  # fmt: skip
    rows += [[p.name, p.expect, "", tr("due {span} after the make", span=span(p.due_s))] for p in r.release_plan if p.name not in done]  # fmt: skip
    made = table(("check", "expected", "found", "result"), rows, (7, 11, 6, 8), wide)
    made.append(gap(3))
    for d in r.decisions:
        made.append(para(tr("{decision} by {by} ({role}), {date_time}: {reason}", decision=capitalised(translated(d["decision"])), by=d['by'], role=d['role'], date_time=date_time(d['wall']), reason=d['reason'])))  # fmt: skip
    if r.holding is None:
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
    return table(("when", "what", "note", "by"), rows, (7, 14, 8, 5), wide)


def complaints(r: Record, wide: float) -> list[Flowable]:
    """What customers said, undesirable effects among it, and what was found and done."""
    rows: list[list[Any]] = [
        [x["on"], cell(tr("{number}, {complaint_weight}", number=complaint_name(x), complaint_weight=complaint_weight(x)), small=tr("container {container}", container=x['container']) if x["container"] else "", alarm=x["effect"]),
         cell(x["words"], said=True, small=amendments(x["corrections"])), cell(x["sender"], small=x["by"])]
        for x in r.complaints
    ]  # fmt: skip
    rows += [
        [date_time(x["wall"])[:10], tr("answer to {number}", number=complaint_name(x)), cell(tr("{found} {done}", found=x['found'], done=x['done']), said=True, small=amendments(x["corrections"])), x["by"]]
        for x in r.complaint_answers
    ]  # fmt: skip
    return table(("when", "what", "words", tr("from, by")), rows, (5, 8, 15, 6), wide)


def signatures(r: Record, wide: float) -> list[Flowable]:
    """Printed name, date and time, meaning (21 CFR 11.50(a)), and room to sign the paper."""
    rows = [
        [cell(s["who"], small=s["role"]), cell(s["meaning"], small=s["step_title"]), date_time(s["wall"]),
         tr("own PIN") if s["proof"] == "pin" else tr("name only, not proven")]
        for s in r.signatures
    ]  # fmt: skip
    made = table(("name", tr("meaning"), tr("date and time"), "proof"), rows, (8, 9, 9, 6), wide) or [para(tr("Nobody has signed."))]  # fmt: skip
    line = [[tr("checked by, on paper"), "", ""], [tr("released by, on paper"), "", ""]]
    return [
        KeepTogether(
            [*made, gap(8), *table(("", tr("name and signature"), "date"), line, (6, 18, 8), wide, tall=30)]
        )
    ]
