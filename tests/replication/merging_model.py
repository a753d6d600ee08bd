"""What many chains come to, by plain sets: everything is gone through for each answer."""

from __future__ import annotations

import itertools
from collections.abc import Iterator

from merging_scripts import LOTS, Script, Written, w_place

from benchapp import events as ev


def at_once(one: Written, other: Written) -> bool:
    return one.place not in other.knew and other.place not in one.knew


def overlaps(script: Script) -> set[str]:
    """How each sentence about what was done at once begins."""
    return {*signed_and_retired(script), *made_while_it_changed(script), *approved_twice(script)}


def of(script: Script, *kinds: type[ev.Event]) -> list[Written]:
    return [w for w in script.written if isinstance(w.event, kinds)]


def settled(script: Script, batch: str, *both: Written, by: str = "") -> bool:
    return any(
        w.batch == batch and w.event.by != by and {b.place for b in both} <= w.knew
        for w in of(script, ev.BatchDecided)
    )


def signed_and_retired(script: Script) -> Iterator[str]:
    for signed, gone in itertools.product(of(script, ev.Signed), of(script, ev.PersonRetired)):
        who, where, there = signed.event.who, signed.place.bench, gone.place.bench
        crossed = who == gone.event.who and at_once(signed, gone)
        if crossed and not settled(script, signed.batch, signed, gone, by=who):
            yield f"{who} signed in {signed.batch} on {where} and was retired on {there}"


def made_while_it_changed(script: Script) -> Iterator[str]:
    changes = of(script, ev.MasterApproved, ev.MasterWithdrawn)
    made = [w for w in of(script, ev.MakeStarted) if w.event.version]
    for begun, change in itertools.product(made, changes):
        ends = [w for w in of(script, ev.MakeFinished) if w.batch == begun.batch]
        withdrawn = isinstance(change.event, ev.MasterWithdrawn)
        version, other = begun.event.version, change.event.version
        concerns = other == version if withdrawn else other > version
        during = change.place not in begun.knew and not any(end.place in change.knew for end in ends)
        if concerns and during and not settled(script, begun.batch, begun, change):
            how = "that was withdrawn" if withdrawn else f"version {other} was approved"
            yield (
                f"{begun.batch} was made on {begun.place.bench} by version {version} of oat-hand-lotion while {how} on "
                f"{change.place.bench}"
            )


def approved_twice(script: Script) -> Iterator[str]:
    approved = of(script, ev.MasterApproved)
    last = max((w.event.version for w in approved), default=0)
    newest = sorted((w for w in approved if w.event.version == last), key=lambda w: w.place)
    if len({w.event.sha256 for w in newest}) > 1:
        names = ", ".join(w.place.bench for w in newest)
        yield f"Version {last} of oat-hand-lotion was approved on {names} at once"


def model(script: Script) -> dict:
    """The answers, by going through everything for each."""
    answers = {}
    draws = []
    fixed = {}
    for w in script.written:
        if isinstance(w.event, ev.Corrected):
            fixed[w.place.bench, w.batch, w.event.n] = float(w.event.new)
    for w in script.written:
        if isinstance(w.event, ev.WeightTaken) and w.event.lot and w.batch.endswith("-1"):
            grams = fixed.get((w.place.bench, w.batch, w_place(script, w)), w.event.net_g)
            draws.append((w.place, w.event.lot, grams))
    for lot in LOTS:
        about = [w for w in script.written if getattr(w.event, "lot", "") == lot]
        counts = unknown(w for w in about if isinstance(w.event, ev.LotCounted))
        bases = [(w.event.quantity, w.knew) for w in counts] or [(1000.0, frozenset())]
        lefts = [q - sum(g for at, name, g in draws if name == lot and at not in knew) for q, knew in bases]
        judged = {w.event.state for w in unknown(w for w in about if isinstance(w.event, ev.LotJudged))}
        state = next((s for s in ("rejected", "quarantined") if s in judged), "usable")
        answers[lot] = (round(min(lefts), 3), state, len(judged) > 1, len(counts) > 1)
    gone = [w for w in script.written if isinstance(w.event, ev.PersonRetired)]
    last = unknown(w for w in script.written if isinstance(w.event, ev.BatchDecided) and w.batch == "east-1")
    decided = {
        w.event.decision
        for w in last
        if w.event.decision != "released"
        or not any(w.event.by == g.event.who and at_once(w, g) for g in gone)
    }
    answers["decision"] = next((d for d in ("rejected", "rework", "released") if d in decided), "")
    answers["overlaps"] = overlaps(script)
    return answers


def unknown(found) -> list[Written]:
    """Those that no other of them knew of."""
    found = list(found)
    return [w for w in found if not any(w.place in other.knew for other in found)]
