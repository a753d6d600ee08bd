"""A procedure's facts for the record, read from the text that the journal kept."""

from __future__ import annotations

from functools import lru_cache

from benchapp.make.cautions import shown_for
from benchapp.record.batch_lots import lots_of
from benchapp.record.batch_record import Record, record_of
from benchapp.record.facts import LineFacts, ProcedureFacts, ReleaseFacts, StepFacts
from benchapp.record.journal import Journal
from benchapp.record.stored_event import StoredEvent
from procedures.errors import ProcedureError
from procedures.model import (
    Add,
    Band,
    Combine,
    Cool,
    Density,
    Fill,
    Finish,
    Heat,
    MeasurePh,
    Procedure,
    Step,
)
from procedures.reading import read_text


def record_in(journal: Journal, batch: str) -> Record:
    """One batch's record with every name and lot filled in. Raises RecordError."""
    stored = journal.stored(batch)
    return record_of(stored, facts_in(stored), lots_of(journal, stored))


def facts_in(stored: list[StoredEvent]) -> ProcedureFacts:
    """The facts of the procedure a batch was made by. Plain keys where this version can no longer read its text."""
    first = stored[0].event
    return _facts(getattr(first, "procedure", ""), getattr(first, "procedure_text", ""))


@lru_cache(maxsize=64)
def _facts(key: str, text: str) -> ProcedureFacts:
    try:
        return procedure_facts(read_text(text, f"{key}.toml").procedure)
    except ProcedureError:
        return ProcedureFacts(key=key)


def procedure_facts(procedure: Procedure) -> ProcedureFacts:
    """Plain data from a procedure."""
    formula = procedure.formula
    return ProcedureFacts(
        key=procedure.key,
        product=procedure.name,
        use=formula.use,
        description=formula.description,
        ph_low=formula.ph.low if formula.ph else None,
        ph_high=formula.ph.high if formula.ph else None,
        lines={
            x.key: LineFacts(
                x.key, x.name, x.material.key, x.phase, x.percent if x.cap_percent is None else None,
                tuple((s.inci, s.low_percent, s.high_percent) for s in x.material.composition),
                x.material.use_limit_percent,
            )
            for x in formula.lines
        },
        steps={s.key: _step(s, procedure) for s in procedure.steps},
        vessels={v.key: v.name for v in procedure.vessels.values()},
        cautions={c.key: c.text for s in procedure.steps for c in shown_for(s, procedure)},
        release=tuple(
            ReleaseFacts(r.name, r.expect, r.due_s, *((r.band.low, r.band.high) if r.band else ()))
            for r in procedure.release
        ),
    )  # fmt: skip


def _step(step: Step, procedure: Procedure) -> StepFacts:
    plain = StepFacts(step.key, step.kind, step.title)
    match step:
        case Heat():
            vessels = tuple(v.key for v in procedure.vessels.values() if v.phase in step.phases)
            return _banded(plain, vessels, step.band_c, "°C", step.hold_s)
        case Combine():
            return _banded(plain, (step.source, step.into), step.band_c, "°C")
        case Cool():
            return StepFacts(
                step.key, step.kind, step.title, (step.vessel,), step.not_below_c, step.below_c, "°C"
            )
        case Add():
            return StepFacts(
                step.key, step.kind, step.title, (step.vessel,), step.above_c, step.below_c, "°C"
            )
        case MeasurePh():
            return _banded(plain, (step.vessel,), step.band, "pH")
        case Density():
            return _banded(plain, (), step.expect_g_ml, "g/ml")
        case Finish():
            return _banded(plain, (), step.yield_percent, "%")
        case Fill():
            nominal, unit = (step.nominal_ml, "ml") if step.nominal_ml is not None else (step.nominal_g, "g")
            return StepFacts(step.key, step.kind, step.title, (step.vessel,), container=step.container,
                             nominal=nominal, nominal_unit=unit)  # fmt: skip
        case _:
            return plain


def _banded(
    plain: StepFacts, vessels: tuple[str, ...], band: Band | None, unit: str, hold_s: float = 0.0
) -> StepFacts:
    low, high = (band.low, band.high) if band else (None, None)
    return StepFacts(plain.key, plain.kind, plain.title, vessels, low, high, unit, hold_s)
