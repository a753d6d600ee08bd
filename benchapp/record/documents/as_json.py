"""The batch record as JSON after the published schema ``batch-record.schema.json`` beside this file.

Times are ISO 8601 with zone; the unit stands in the field's name or beside the value; every value says whether it
was measured, stated or computed.
"""

from __future__ import annotations

import json
from collections.abc import Iterable
from dataclasses import asdict
from importlib import resources
from typing import Any

from benchapp.record.batch_record import Record
from benchapp.record.lines import RecordLine

#: The version of the form; a field that changes its meaning changes this number.
FORM = "batch-record/1"
COMPUTED, STATED = "computed", "stated"


def schema() -> dict[str, Any]:
    """The JSON Schema (draft 2020-12) every record follows."""
    text = (resources.files("benchapp.record.documents") / "batch-record.schema.json").read_text("utf-8")
    return dict(json.loads(text))


def as_json(record: Record, chain_head: str = "") -> str:
    """The whole record as JSON text, the same for the same events."""
    return json.dumps(document(record, chain_head), indent=2, ensure_ascii=False) + "\n"


def document(r: Record, chain_head: str = "") -> dict[str, Any]:
    """The record as plain values in the schema's form. ``chain_head``: the journal's last hash, "" not given."""
    return {**_plan(r), **_course(r), **_afterwards(r), "chain_head": chain_head}


def _plan(r: Record) -> dict[str, Any]:
    """What was made, by whom, when, on what, step by step."""
    return {
        "form": FORM,
        "batch": r.batch,
        "batch_code": r.code,
        "rehearsal": r.rehearsal,
        "product": r.product,
        "procedure": {"key": r.procedure, "sha256": r.procedure_sha256, "version": r.version, "text": r.procedure_text},
        "maker": r.maker,
        "role": r.role,
        "repeats": r.again,
        "program": r.program,
        "begun": r.begun,
        "ended": r.ended,
        "outcome": r.outcome,
        "given_up_because": r.ended_why,
        "planned_g": r.batch_g,
        "devices": [_device(d) for d in r.devices],
        "steps": [
            {"step": t.key, "kind": t.kind, "title": t.title, "begun": t.begun, "ended": t.ended,
             "from_s": t.from_s, "to_s": t.to_s, "skipped_because": t.skipped}
            for t in r.steps
        ],
    }  # fmt: skip


def _course(r: Record) -> dict[str, Any]:
    """What happened in the make."""
    return {
        "cautions": [dict(c) for c in r.cautions],
        "confirmations": [_said(x) for x in r.confirmations],
        "weighings": [_weighing(x, r.reached_percent.get(x.line)) for x in r.weighings],
        "lots": [dict(x) for x in r.lots],
        "lots_refused": _rows(r.lots_refused),
        "masses_moved": [{**_line(x), "kind": x.key, "what": x.what, "mass_g": x.value} for x in r.moves],
        "revisions": [dict(x) for x in r.revisions],
        "remedies": _rows(r.remedies),
        "temperatures": [
            {"vessel": c.vessel, "source": c.source, "points_s_c": [list(p) for p in c.points]} for c in r.curves
        ],
        "temperature_bands": [asdict(b) for b in r.bands],
        "holds": [dict(x) for x in r.holds],
        "kettles": [{**asdict(k), "source": COMPUTED} for k in r.kettles],
        "waits": [_said(x) for x in r.waits],
        "ph": [{**_line(x), "what": x.what, "ph": x.value, "low": x.low, "high": x.high, "note": x.note} for x in r.ph],
        "numbers": [_said(x) for x in r.readings if x.unit != "pH"],
        "judgements": [{**_said(x), "expected": x.note} for x in r.looks],
        "containers": [
            {**_line(x), "container": x.what, "net_g": x.value, "low_g": x.low, "target_g": x.target, "high_g": x.high}
            for x in r.containers
        ],
    }  # fmt: skip


def _afterwards(r: Record) -> dict[str, Any]:
    """What deviated, what became of it, and who answers for it."""
    return {
        "deviations": _rows(r.deviations),
        "product_g": r.product_g,
        "yield_percent": r.yield_percent,
        "keeps": r.keeps,
        "storage": r.storage,
        "to_retain": r.to_retain,
        "mass_balance": {**asdict(r.mass), "source": COMPUTED} if r.mass else None,
        "piece_balance": {**asdict(r.balance), "source": COMPUTED} if r.balance else None,
        "signatures": _rows(r.signatures),
        "taken_back": [_said(x) for x in r.taken_back],
        "corrections": _rows(r.corrections),
        "release": {
            "specification": [asdict(x) for x in r.release_plan],
            "checks": [{**x, "source": STATED} for x in _rows(r.checks)],
            "decisions": _rows(r.decisions),
            "retained": _rows(r.retained),
        },
        "labels_printed": _rows(r.labels),
        "pieces_used": _rows(r.pieces),
        "dispatches": _rows(r.dispatches),
        "complaints": _rows(r.complaints),
        "complaint_answers": _rows(r.complaint_answers),
        "events": r.events,
        "head": r.head,
    }  # fmt: skip


def _line(x: RecordLine) -> dict[str, Any]:
    """What every line has: when, in which step, where from, and what was corrected."""
    return {
        "event": x.n, "at": x.wall, "elapsed_s": x.at_s, "step": x.step, "source": x.source, "device": x.device,
        "device_checked": x.checked, "stands_at": x.now, "lot_stands_at": x.lot_now, "corrections": [asdict(c) for c in x.corrections],
    }  # fmt: skip


def _said(x: RecordLine) -> dict[str, Any]:
    return {**_line(x), "what": x.what, "value": x.value, "unit": x.unit}


def _weighing(x: RecordLine, reached_percent: float | None) -> dict[str, Any]:
    return {
        **_line(x), "line": x.key, "name": x.what, "vessel": x.vessel, "lot": x.lot, "planned_g": x.target,
        "low_g": x.low, "high_g": x.high, "actual_g": x.value, "lot_read": x.how, "note": x.note,
        "reached_percent": None if reached_percent is None else round(reached_percent, 4),
    }  # fmt: skip


def _device(d: dict[str, Any]) -> dict[str, Any]:
    return {**d, "channels": list(d["channels"])}


def _rows(rows: Iterable[dict[str, Any]]) -> list[dict[str, Any]]:
    """Rows of an event each, its place in the chain named as in every line."""
    found = []
    for row in rows:
        plain = {k: v for k, v in row.items() if k not in ("n", "wall", "corrections", "at_s", "stands")}
        fixes = [asdict(c) for c in row.get("corrections", ())]
        found.append(
            {"event": row["n"], "at": row["wall"], "elapsed_s": row["at_s"], **plain, "corrections": fixes}
        )
    return found  # fmt: skip
