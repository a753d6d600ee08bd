"""The first page of a record: what a person needs to judge a batch, from its record alone."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from benchapp.events import TRIAL
from benchapp.record.batch_record import Record
from benchapp.record.documents.plain_text import clock, date_time, number, span
from benchapp.record.lines import RecordLine

#: So many deviations stand on the first page, the open and grave ones first, and so many signs of each.
MOST_DEVIATIONS, LONGEST = 8, 200


@dataclass(frozen=True, slots=True)
class SummaryLine:
    """One matter and how it stands; ``alarm`` where it speaks against the batch."""

    what: str
    text: str
    alarm: bool = False


def summary(r: Record) -> tuple[SummaryLine, ...]:
    """Everything on the first page, in the order a person asks for it."""
    return (*_batch(r), *_materials(r), *_course(r), *_product(r), *_after(r))


def verdict(r: Record) -> SummaryLine:
    """How the batch stands in one sentence."""
    open_ones = [d for d in r.deviations if d["grade"] != "note" and not d["closed"]]
    still = f"; {_count(len(open_ones), 'deviation')} still open" if open_ones else ""
    if r.rehearsal:
        return SummaryLine("Verdict", "REHEARSAL — not a batch record", True)
    still += "; a trial, it does not leave" if r.version == TRIAL else ""
    if r.outcome != "finished":
        return SummaryLine("Verdict", f"{r.outcome}{f': {r.ended_why}' if r.ended_why else ''}{still}", True)
    if not r.decisions:
        return SummaryLine("Verdict", f"finished, not decided{still}", bool(open_ones))
    d = r.decisions[-1]
    text = f"{d['decision']} by {d['by']}, {date_time(d['wall'])}{still}"
    return SummaryLine("Verdict", text, bool(open_ones) or d["decision"] != "released")


def version_words(r: Record) -> str:
    """Which approved version it was made by, behind the procedure's key; "" where nobody kept versions then."""
    return (
        ""
        if r.version is None
        else f", version {r.version}"
        if r.version
        else ", a version nobody had approved"
    )


def _batch(r: Record) -> Iterable[SummaryLine]:
    yield verdict(r)
    yield SummaryLine("Batch", f"{r.batch}, code {r.code}")
    yield SummaryLine("Procedure", f"{r.procedure}{version_words(r)}, SHA-256 {r.procedure_sha256[:16]}…" + (f"; repeats {r.again}" if r.again else ""))  # fmt: skip
    yield SummaryLine("Made by", f"{r.maker}{f' ({r.role})' if r.role else ''}, {date_time(r.begun)[:16]} to {clock(r.ended)[:5]}")  # fmt: skip
    unchecked = [d["name"] for d in r.devices if not d["checked"]]
    text = (
        f"not checked before this make: {', '.join(unchecked)}"
        if unchecked
        else "each checked before this make"
    )
    yield SummaryLine("Devices", text if r.devices else "none recorded", bool(unchecked))
    yield SummaryLine("Line clearance", *_cleared(r))


def _cleared(r: Record) -> tuple[str, bool]:
    """What was confirmed about rooms, vessels and tools before and after."""
    before, after = ([x for x in r.confirmations if x.key == kind] for kind in ("prepare", "clean up"))
    said = [
        f"{word} the make {_count(len(found), 'statement')} confirmed by {r.maker}, last at {clock(found[-1].wall)}"
        for word, found in (("before", before), ("after", after))
        if found
    ]
    return "; ".join(said) or "nothing confirmed", not before


def _materials(r: Record) -> Iterable[SummaryLine]:
    w = r.weighings
    outside, unknown = [x.what for x in w if x.outside], [x.what for x in w if not x.lot_now]
    stated = sum(x.source == "stated" for x in w)
    how = f", {stated} of them typed" if stated else ""
    text = f"{_count(len(w), 'weighing')}{how}, {_none(outside)} outside {'its' if len(outside) == 1 else 'their'} limits"
    yield SummaryLine("Weighings", text, bool(outside))
    text = f"{_count(sum(bool(x['lot']) for x in r.lots), 'lot')}; unknown: {', '.join(dict.fromkeys(unknown)) or 'none'}"
    yield SummaryLine("Lots", text, bool(unknown))
    packed = ", ".join(
        f"{p['material']}, lot {p['lot']}: {p['pieces']} ({p['spoiled']} spoiled)"
        for p in (x["stands"] for x in r.pieces)
    )
    yield SummaryLine("Packaging lots", packed or "none recorded")
    fixed = len(r.corrections)
    yield SummaryLine(
        "Corrections", f"{fixed}, each beside what it corrects" if fixed else "none", bool(fixed)
    )


def _course(r: Record) -> Iterable[SummaryLine]:
    for curve in r.curves:
        temps = [t for _, t in curve.points]
        yield SummaryLine(
            f"Temperature, {curve.vessel}", f"{number(min(temps), 1)} to {number(max(temps), 1)} °C"
        )
    for k in r.kettles:
        yield SummaryLine(f"Kettle {k.kettle}", k.words)
    for h in r.holds:
        planned = f" of {span(h['planned_s'])} asked for" if h["planned_s"] else ""
        short = bool(h["planned_s"]) and h["held_s"] < h["planned_s"]
        yield SummaryLine("Held in band", f"{span(h['held_s'])}{planned}: {h['step_title']}", short)
    batch = [x for x in r.ph if x.what == "pH"]
    if batch:
        last = batch[-1]
        yield SummaryLine(
            "pH", f"{number(last.now, 2)} at last ({_limits(last)}), {len(batch)} readings", last.outside
        )


def _product(r: Record) -> Iterable[SummaryLine]:
    if r.product_g is not None and r.yield_percent is not None:
        low, high = r.yield_limits
        inside = (low is None or r.yield_percent >= low) and (high is None or r.yield_percent <= high)
        limits = (
            f", {number(low)} to {number(high)} % expected" if low is not None and high is not None else ""
        )
        text = f"{number(r.product_g, 1)} g of {number(r.batch_g)} g planned, {number(r.yield_percent, 1)} %{limits}"
        yield SummaryLine("Yield", text, not inside)
    if r.mass is not None:
        share = 100 * r.mass.unaccounted_g / r.mass.went_in_g if r.mass.went_in_g else 0.0
        text = f"{number(r.mass.went_in_g, 1)} g went in, {number(r.mass.unaccounted_g, 1)} g not found again ({number(share, 1)} %)"
        yield SummaryLine("Mass balance", text, share < -1.0)
    if r.containers:
        yield SummaryLine("Containers", *_filled(r.containers))
    yield SummaryLine("Expiry", r.keeps or "not stated: no label is approved")
    yield SummaryLine("Storage", r.storage or "the procedure does not say")


def _filled(found: Sequence[RecordLine]) -> tuple[str, bool]:
    nets = [x.now or 0.0 for x in found]
    out = [x.what for x in found if x.outside]
    text = f"{len(found)}, {number(min(nets))} to {number(max(nets))} g ({_limits(found[0])}); outside: {', '.join(out) or 'none'}"
    return text, bool(out)


def _after(r: Record) -> Iterable[SummaryLine]:
    kept = "; ".join(
        f"{k['pieces']} in {k['where']} until {k['until']}" for k in (x["stands"] for x in r.retained)
    )
    yield SummaryLine(
        "Retained samples",
        kept
        or (
            f"none of {r.to_retain} asked for"
            if r.to_retain
            else "no retained sample asked for by the procedure"
        ),
        len(r.retained) == 0 and bool(r.to_retain) and r.outcome == "finished",
    )
    results = {c["check"]: c for c in r.checks}
    said = [f"{name} {'passed' if c['passed'] else 'FAILED'}" for name, c in results.items()]
    said += [f"{p.name} not done" for p in r.release_plan if p.name not in results]
    bad = any(not c["passed"] for c in results.values()) or len(results) < len(r.release_plan)
    yield SummaryLine("Release checks", "; ".join(said) or "none asked for", bad and r.decision == "released")
    grades = {g: sum(d["grade"] == g for d in r.deviations) for g in ("major", "minor", "note")}
    yield SummaryLine("Deviations", ", ".join(f"{n} {g}" for g, n in grades.items() if n) or "none")
    grave = sorted(
        (d for d in r.deviations if d["grade"] != "note"),
        key=lambda d: (bool(d["closed"]), d["grade"] != "major"),
    )
    for d in grave[:MOST_DEVIATIONS]:
        state = f"accepted by {d['closed_by']}: {d['closed_why']}" if d["closed"] else "OPEN"
        yield SummaryLine(
            f"No. {d['number']}, {d['grade']}", f"{_short(d['text'])} — {_short(state)}", not d["closed"]
        )
    if len(grave) > MOST_DEVIATIONS:
        yield SummaryLine(
            "",
            f"and {len(grave) - MOST_DEVIATIONS} more under Deviations",
            not grave[MOST_DEVIATIONS]["closed"],
        )
    signed = "; ".join(f"{s['who']}, {s['meaning']}, {date_time(s['wall'])[:16]}" for s in r.signatures)
    yield SummaryLine("Signed", signed or "by nobody", not r.signatures)


def _short(text: str) -> str:
    return text if len(text) <= LONGEST else f"{text[: LONGEST - 1]}…"


def _limits(x: RecordLine) -> str:
    low, high = number(x.low), number(x.high)
    return (
        f"{low} to {high} allowed"
        if low and high
        else f"at least {low}"
        if low
        else f"at most {high}"
        if high
        else "no limits"
    )


def _count(n: int, what: str) -> str:
    return f"{n} {what}" + ("" if n == 1 else "s")


def _none(found: Sequence[str]) -> str:
    return f"{len(found)} ({', '.join(found)})" if found else "none"
