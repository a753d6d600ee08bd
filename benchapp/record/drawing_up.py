"""The batch record is drawn up from events: as planned, as made, as kept, and the sums over all of it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import asdict, replace

from benchapp import events as ev
from benchapp.record import line_tables as write
from benchapp.record.batch_code import batch_code
from benchapp.record.batch_events import BatchEvents, batch_events
from benchapp.record.batch_record import Record
from benchapp.record.curves import band_spans, curves, step_times
from benchapp.record.facts import ProcedureFacts
from benchapp.record.kettles import kettle_rows
from benchapp.record.line_writing import LinesOnDemand, Writer
from benchapp.record.lots import Lot
from benchapp.record.reconciliation import left_in_vessels_g, mass_balance, piece_balance, product_of
from benchapp.record.rows import cautions_of, deviations_of, holds_of, lots_of, remedies_of, rows_of
from benchapp.record.stored_event import StoredEvent
from benchapp.record.wait_lines import WAIT


def record_of(
    stored: BatchEvents | Sequence[StoredEvent],
    facts: ProcedureFacts | None = None,
    lots: Mapping[str, Lot] | None = None,
) -> Record:
    """The record of one batch from its stored events, the first of which is MakeStarted.

    ``facts`` give names and planned limits of the procedure as it stood (without them keys stand for names);
    ``lots`` give supplier and expiry of every lot the batch drew from.
    """
    events = batch_events(stored)
    first = events.first.event
    assert isinstance(first, ev.MakeStarted)
    facts = facts or ProcedureFacts(key=first.procedure)
    counted, standing = events.counted, events.counted.standing
    w = Writer(events, facts)
    began = _as_planned(events, first, facts)
    made = _as_made(began, counted, w, facts)
    kept = _with_product(_as_kept(made, events, w), events)
    return replace(
        kept,
        lots=lots_of(events, facts, lots or {}),
        taken_back=tuple(x for table in write.SAID for x in w.lines(events.withdrawn, table)),
        mass=mass_balance(
            kept.weighings,
            kept.moves,
            kept.containers,
            _theoretical_g(kept),
            left_in_vessels_g(standing),
            kept.product_g,
        ),
        balance=piece_balance(standing),
        kettles=kettle_rows(kept.grams, counted, facts, kept.deviations),
    )


def _as_planned(stored: BatchEvents, first: ev.MakeStarted, facts: ProcedureFacts) -> Record:
    """What was to be made, by whom, on what, and how it ended."""
    end = stored.end
    finished = end is not None and isinstance(end.event, ev.MakeFinished)
    abandoned = end.event if end and isinstance(end.event, ev.MakeAbandoned) else None
    return Record(
        batch=first.batch,
        code=batch_code(first.batch),
        procedure=first.procedure,
        procedure_sha256=first.procedure_sha256,
        procedure_text=first.procedure_text,
        version=first.version,
        product=facts.product or first.procedure,
        description=facts.description,
        maker=first.maker,
        role=first.role,
        again=first.again,
        program=first.program,
        batch_g=first.batch_g,
        rehearsal=first.rehearsal,
        begun=stored.first.wall,
        ended=(end or stored.last).wall,
        outcome="finished" if finished else "abandoned" if abandoned else "unfinished",
        ended_why=abandoned.reason if abandoned else "",
        product_g=None,
        yield_percent=None,
        devices=tuple(asdict(d) for d in first.devices),
        events=stored.last.n,
        head=stored.last.hash,
        planned_percent={key: x.percent for key, x in facts.lines.items() if x.percent is not None},
        active_percent={k: x.active_percent for k, x in facts.lines.items() if x.active_percent is not None},
        yield_limits=next(
            ((s.low, s.high) for s in facts.steps.values() if s.kind == "finish" and s.unit == "%"),
            (None, None),
        ),
        release_plan=facts.release,
        to_retain=sum(s.retain for s in facts.steps.values()),
        storage="; ".join(dict.fromkeys(s.storage for s in facts.steps.values() if s.storage)),
    )


def _as_made(record: Record, counted: BatchEvents, w: Writer, facts: ProcedureFacts) -> Record:
    """The same with what happened in the make and counts."""
    steps = step_times(counted, facts)
    revised = counted.standing.events(ev.TargetsRevised)
    return replace(
        record,
        weighings=w.lines(counted, write.WEIGHING),
        readings=w.lines(counted, write.READING),
        temperatures=LinesOnDemand(lambda: w.lines(counted, write.TEMPERATURE)),
        looks=w.lines(counted, write.LOOK),
        containers=w.lines(counted, write.CONTAINER),
        moves=w.lines(counted, write.MOVE),
        confirmations=w.lines(counted, write.CONFIRMATION),
        waits=w.lines(counted, WAIT),
        holds=holds_of(counted.standing, facts),
        steps=steps,
        step_titles={t.key: t.title for t in steps},
        curves=curves(counted, facts),
        bands=band_spans(steps, facts),
        revisions=tuple({"why": e.why, "batch_g": e.batch_g, "step": e.step} for e in revised),
        remedies=remedies_of(counted, w),
        deviations=deviations_of(counted, w),
    )


def _with_product(record: Record, stored: BatchEvents) -> Record:
    """The same with what came out, as it stands."""
    found = product_of(stored)
    if found is None:
        return record
    return replace(record, product_g=found.grams, yield_percent=found.percent)


def _as_kept(record: Record, stored: BatchEvents, w: Writer) -> Record:
    """The same with what was noted and signed beside the make and decided after it."""
    return replace(
        record,
        cautions=cautions_of(stored, w.facts),
        signatures=tuple({**x, "step_title": w.facts.step(x["step"])} for x in rows_of(stored, w, ev.Signed)),
        lots_refused=rows_of(stored, w, ev.LotRefused),
        corrections=rows_of(stored, w, ev.Corrected),
        checks=rows_of(stored, w, ev.CheckRecorded),
        decisions=rows_of(stored, w, ev.BatchDecided),
        retained=rows_of(stored, w, ev.SampleRetained),
        labels=rows_of(stored, w, ev.LabelsPrinted),
        pieces=rows_of(stored, w, ev.PiecesUsed),
        dispatches=rows_of(stored, w, ev.Dispatched),
        complaints=rows_of(stored, w, ev.ComplaintReceived),
        complaint_answers=rows_of(stored, w, ev.ComplaintAnswered),
    )


def _theoretical_g(record: Record) -> float:
    """What the batch was to weigh, as it was revised last."""
    return float(record.revisions[-1]["batch_g"]) if record.revisions else record.batch_g
