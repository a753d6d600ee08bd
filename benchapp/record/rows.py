"""Rows of the batch record that are no lines: deviations, remedies, holds, cautions, lots, and whole events."""

from __future__ import annotations

from collections.abc import Mapping
from itertools import chain
from typing import Any

from benchapp import events as ev
from benchapp.record.batch_events import BatchEvents
from benchapp.record.deviations import deviations_in
from benchapp.record.draws import Draw, drawn_by
from benchapp.record.facts import ProcedureFacts
from benchapp.record.line_writing import Writer
from benchapp.record.lots import Lot

Rows = tuple[dict[str, Any], ...]


def rows_of(stored: BatchEvents, w: Writer, *kinds: type[ev.Event]) -> Rows:
    """Events of a kind as plain rows, with their time, number and corrections; "stands" has the fields as they are now."""
    found = []
    for s in stored.of(*kinds):
        _, fields = ev.to_fields(s.event)
        # An event's own "n" (a correction names another event by it) must not be hidden by our number.
        own = {("of_n" if k == "n" else k): v for k, v in fields.items()}
        _, now = ev.to_fields(w.as_it_stands(s).event)
        more = {"wall": s.wall, "n": s.n, "corrections": w.corrections.get(s.n, ()), "stands": now}
        found.append({**own, **more})
    return tuple(found)


def deviations_of(counted: BatchEvents, w: Writer) -> Rows:
    """Every deviation, and by whom and why it was closed, "" while it is open."""
    return tuple(
        {
            "wall": d.wall, "n": d.n, "at_s": d.at_s, "corrections": w.corrections.get(d.n, ()), "number": d.number,
            "grade": str(d.grade), "kind": d.kind, "step": d.step, "step_title": w.facts.step(d.step), "text": d.text,
            "closed": d.closed_at, "closed_by": d.closed_by, "closed_why": d.closed,
        }
        for d in deviations_in(counted, w.facts)
    )  # fmt: skip


def remedies_of(stored: BatchEvents, w: Writer) -> Rows:
    """What was chosen where too much was poured."""
    return tuple(
        {**row, "remedy": str(row["remedy"]), "name": w.facts.line(row["line"])}
        for row in rows_of(stored, w, ev.RemedyChosen)
    )


def holds_of(stored: BatchEvents, facts: ProcedureFacts) -> Rows:
    """How long each step was held in its band, against what was planned, by the last count; and the coldest that was
    found at any."""
    found: dict[str, dict[str, Any]] = {}
    for e in stored.events(ev.HoldProgressed):
        plan = facts.steps.get(e.step)
        found[e.step] = {
            "step": e.step, "step_title": facts.step(e.step), "planned_s": plan.hold_s if plan else None,
            "held_s": e.held_s, "source": str(ev.Source.MEASURED),
            "coldest_c": min(e.coldest_c, found.get(e.step, {}).get("coldest_c", e.coldest_c)),
        }  # fmt: skip
    return tuple(found.values())


def cautions_of(stored: BatchEvents, facts: ProcedureFacts) -> Rows:
    """Each caution of each step once: when it was first shown, and when it was acknowledged."""
    found: dict[tuple[str, str], dict[str, Any]] = {}
    for s in stored.of(ev.CautionShown, ev.CautionAcknowledged):
        e = s.event
        if isinstance(e, ev.CautionShown | ev.CautionAcknowledged):
            row = found.setdefault(
                (e.step, e.caution),
                {"step": e.step, "step_title": facts.step(e.step), "key": e.caution,
                 "text": facts.cautions.get(e.caution, e.caution), "shown": s.wall, "acknowledged": ""},
            )  # fmt: skip
            if isinstance(e, ev.CautionAcknowledged):
                row["acknowledged"] = s.wall
    return tuple(found.values())


def lots_of(stored: BatchEvents, facts: ProcedureFacts, known: Mapping[str, Lot]) -> Rows:
    """Every lot the batch drew from, with all that left it: what was weighed, tried, thrown away or spilled."""
    drawn: dict[str, list[Draw]] = {}
    for draw in chain.from_iterable(drawn_by(stored).values()):
        if draw.unit == "g":
            drawn.setdefault(draw.lot, []).append(draw)
    taken = {e.lot: e for e in stored.counted.events(ev.LotTaken)}
    drawn |= {lot: [] for lot in taken if lot not in drawn}  # in hand, and nothing weighed from it after all
    rows = []
    for lot, used in drawn.items():
        got, hand = known.get(lot), taken.get(lot)
        rows.append(
            {
                "lot": lot, "what": ", ".join(dict.fromkeys(facts.line(x.line) for x in used)),
                "drawn_g": round(sum(x.used + x.spoiled for x in used), 4), "how": hand.how if hand else "",
                "supplier": got.supplier if got else "", "supplier_lot": got.supplier_lot if got else "",
                "expires": got.expires if got else hand.expires if hand else "",
                "documents": list(got.documents) if got else [],
            }
        )  # fmt: skip
    return tuple(row for row in rows if row["lot"]) + tuple(row for row in rows if not row["lot"])
