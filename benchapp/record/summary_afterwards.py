"""How a batch stands, on the first page of its record: the verdict, what was kept and checked, deviations, signatures."""

from __future__ import annotations

from collections.abc import Iterable

from benchapp.events import TRIAL
from benchapp.events.grades import grades_in_words
from benchapp.foundation.language import tr, tr_n, tr_noop
from benchapp.record.batch_record import Record
from benchapp.record.deviations import blocks, how_it_stands, is_grave
from benchapp.record.documents.plain_text import date_time, minute
from benchapp.record.lines import SummaryLine

#: What stands on a rehearsal's papers.
REHEARSAL = tr_noop("REHEARSAL — not a batch record")
#: So many deviations stand on the first page, the open and grave ones first, and so many signs of each.
MOST_DEVIATIONS, LONGEST = 8, 200


def verdict(r: Record) -> SummaryLine:
    """How the batch stands in one sentence."""
    open_ones = [d for d in r.deviations if blocks(d["grade"], d["closed"])]
    still = (
        tr_n("; {n} deviation still open", "; {n} deviations still open", n=len(open_ones))
        if open_ones
        else ""
    )
    if r.rehearsal:
        return SummaryLine("Verdict", tr(REHEARSAL), True)
    still += tr("; a trial, it does not leave") if r.version == TRIAL else ""
    if r.outcome != "finished":
        return SummaryLine("Verdict", f"{r.outcome}{f': {r.ended_why}' if r.ended_why else ''}{still}", True)
    d = r.holding
    if d is None:
        return SummaryLine("Verdict", tr("finished, not decided{still}", still=still), bool(open_ones))
    text = tr(
        "{decision} by {by}, {date_time}{still}",
        decision=d["decision"],
        by=d["by"],
        date_time=date_time(d["wall"]),
        still=still,
    )
    return SummaryLine("Verdict", text, bool(open_ones) or d["decision"] != "released")


def afterwards(r: Record) -> Iterable[SummaryLine]:
    """What came after the make."""
    yield _retained(r)
    yield _checked(r)
    yield from _deviations(r)
    signed = "; ".join(
        tr(
            "{who}, {meaning}, {date_time}",
            who=s["who"],
            meaning=s["meaning"],
            date_time=minute(s["wall"]),
        )
        for s in r.signatures
    )
    yield SummaryLine("Signed", signed or tr("by nobody"), not r.signatures)


def _retained(r: Record) -> SummaryLine:
    kept = "; ".join(
        tr("{pieces} in {where} until {until}", pieces=k["pieces"], where=k["where"], until=k["until"])
        for k in (x["stands"] for x in r.retained)
    )
    return SummaryLine(
        tr("Retained samples"),
        kept
        or (
            tr("none of {to_retain} asked for", to_retain=r.to_retain)
            if r.to_retain
            else tr("no retained sample asked for by the procedure")
        ),
        len(r.retained) == 0 and bool(r.to_retain) and r.outcome == "finished",
    )


def _checked(r: Record) -> SummaryLine:
    results = r.results
    said = [
        tr("{name} {how}", name=name, how=tr("passed") if c["passed"] else tr("FAILED"))
        for name, c in results.items()
    ]
    said += [tr("{name} not done", name=p.name) for p in r.release_plan if p.name not in results]
    bad = any(not c["passed"] for c in results.values()) or len(results) < len(r.release_plan)
    return SummaryLine(
        tr("Release checks"), "; ".join(said) or tr("none asked for"), bad and r.decision == "released"
    )


def _deviations(r: Record) -> Iterable[SummaryLine]:
    """How many of each grade, then the open and grave ones."""
    yield SummaryLine("Deviations", grades_in_words(d["grade"] for d in r.deviations))
    grave = sorted(
        (d for d in r.deviations if is_grave(d["grade"])),
        key=lambda d: (bool(d["closed"]), d["grade"] != "major"),
    )
    for d in grave[:MOST_DEVIATIONS]:
        state = how_it_stands(d["grade"], d["closed_by"], d["closed_why"]) if d["closed"] else "OPEN"
        yield SummaryLine(
            tr("No. {number}, {grade}", number=d["number"], grade=d["grade"]),
            tr("{short} — {short_2}", short=_short(d["text"]), short_2=_short(state)),
            not d["closed"],
        )
    if len(grave) > MOST_DEVIATIONS:
        yield SummaryLine(
            "",
            tr("and {count} more under Deviations", count=len(grave) - MOST_DEVIATIONS),
            not grave[MOST_DEVIATIONS]["closed"],
        )


def _short(text: str) -> str:
    return text if len(text) <= LONGEST else f"{text[: LONGEST - 1]}…"
