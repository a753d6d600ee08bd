"""A procedure's facts for the record, read from the text that the journal kept."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime
from functools import lru_cache

from benchapp import events as ev
from benchapp.foundation.collector import collector_paused
from benchapp.foundation.language import Language, spoken
from benchapp.make.cautions import shown_for
from benchapp.record.approved_label import approved_label
from benchapp.record.batch_lots import lots_of
from benchapp.record.batch_record import Record
from benchapp.record.drawing_up import record_of
from benchapp.record.facts import LineFacts, ProcedureFacts, ReleaseFacts, StepFacts
from benchapp.record.journal import Journal
from procedures.bench import BenchState
from procedures.errors import ProcedureError
from procedures.model import Procedure
from procedures.reading import read_text
from procedures.said import said_here
from procedures.steps import Step
from procedures.walk import walk


def record_in(journal: Journal, batch: str) -> Record:
    """One batch's record with every name and lot filled in. Raises RecordError."""
    with collector_paused():
        stored = journal.by_kind(batch)
        record = record_of(stored, facts_in(stored.first.event), lots_of(journal, stored))
    if (decided := journal.elsewhere.decided(batch)) is not None:
        record = record.decided(decided)
    label = approved_label(journal, record.procedure)
    if label is None or record.outcome != "finished":
        return record
    return replace(record, keeps=label[0].keeps(datetime.fromisoformat(record.ended).date()).text)


def facts_in(first: ev.Event) -> ProcedureFacts:
    """The facts of the procedure a batch was made by, from its first event. Plain keys where this version can no longer
    read its text."""
    key = getattr(first, "procedure", "")
    try:
        return facts_of_text(key, getattr(first, "procedure_text", ""))
    except ProcedureError:
        return ProcedureFacts(key=key)


def facts_of_text(key: str, text: str) -> ProcedureFacts:
    """The facts of a procedure as it is written, in the language spoken here. Raises ProcedureError."""
    return _facts_in_words(key, text, spoken())


@lru_cache(maxsize=64)
def _facts_in_words(key: str, text: str, _language: Language) -> ProcedureFacts:
    """Kept for each language apart: the glass and the record may speak different ones."""
    return procedure_facts(said_here(read_text(text, f"{key}.toml", as_made=True).procedure))


def procedure_facts(procedure: Procedure) -> ProcedureFacts:
    """Plain data from a procedure."""
    formula = procedure.formula
    return ProcedureFacts(
        key=procedure.key,
        product=procedure.name,
        use=formula.use,
        area=formula.area,
        description=formula.description,
        lines={
            x.key: LineFacts(
                x.name, x.percent if x.cap_percent is None else None,
                tuple((s.inci, s.low_percent, s.high_percent) for s in x.material.composition),
                x.material.use_limit_percent, x.material.active_percent, x.kettle, x.whole_name,
            )
            for x in formula.lines
        },
        steps={s.key: _step(s, bench) for s, bench in walk(procedure)},
        vessels={v.key: v.name for v in procedure.vessels.values()},
        kettles={v.key: v.kettle for v in procedure.vessels.values() if v.kettle},
        cautions={c.key: c.text for s in procedure.steps for c in shown_for(s, procedure)},
        release=tuple(
            ReleaseFacts(r.name, r.expect, r.due_s, *((r.band.low, r.band.high) if r.band else ()))
            for r in procedure.release
        ),
    )  # fmt: skip


def _step(step: Step, bench: BenchState) -> StepFacts:
    limits = step.declare(bench).limits
    return StepFacts(
        step.kind, step.title, limits.low, limits.high, limits.unit, limits.hold_s,
        limits.container, limits.retain, limits.storage, limits.nominal, limits.nominal_unit, step.kettle,
    )  # fmt: skip
