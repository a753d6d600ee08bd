"""The batch record, drawn up from events alone: what was planned, what happened, what deviated, who answers for it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass, field, replace
from typing import Any

from benchapp import events as ev
from benchapp.foundation.language import tr, tr_n
from benchapp.record import line_tables as write
from benchapp.record.batch_code import batch_code
from benchapp.record.batch_events import BatchEvents, batch_events
from benchapp.record.curves import BandSpan, Curve, StepTime, band_spans, curves, step_times
from benchapp.record.facts import ProcedureFacts, ReleaseFacts
from benchapp.record.kettles import KettleRow, kettle_rows
from benchapp.record.line_writing import LinesOnDemand, Writer
from benchapp.record.lines import RecordLine
from benchapp.record.lots import Lot
from benchapp.record.reconciliation import (
    SPILLED,
    MassBalance,
    PieceBalance,
    in_product,
    left_in_vessels_g,
    mass_balance,
    piece_balance,
    product_of,
)
from benchapp.record.release import is_timely
from benchapp.record.rows import Rows, cautions_of, deviations_of, holds_of, lots_of, remedies_of, rows_of
from benchapp.record.stored_event import StoredEvent
from benchapp.record.wait_lines import WAIT


@dataclass(frozen=True, slots=True)
class Record:
    """One batch. Times are ISO 8601 with zone; masses in grams, temperatures in °C, durations in seconds."""

    batch: str
    procedure: str
    procedure_sha256: str
    maker: str
    batch_g: float
    rehearsal: bool
    begun: str
    ended: str
    outcome: str  # "finished", "abandoned" or "unfinished"
    product_g: float | None
    yield_percent: float | None
    devices: Rows
    head: str  # the hash of the batch's last event
    weighings: tuple[RecordLine, ...] = ()
    readings: tuple[RecordLine, ...] = ()  # pH, density, trials
    temperatures: Sequence[RecordLine] = ()  # each that was logged
    looks: tuple[RecordLine, ...] = ()
    containers: tuple[RecordLine, ...] = ()
    moves: tuple[RecordLine, ...] = ()  # transfers, water lost, samples, waste
    deviations: Rows = ()
    timeline: tuple[tuple[str, str], ...] = ()
    signatures: Rows = ()
    code: str = ""  # the short code printed on its containers
    events: int = 0
    product: str = ""  # the formula's name
    description: str = ""
    procedure_text: str = ""
    version: int | None = None  # of the approved master; 0: a trial; None: nobody kept versions then
    role: str = ""
    scenario: str = ""
    again: str = ""
    program: str = ""  # the version that began it
    ended_why: str = ""  # the reason an abandoned make was given up
    step_titles: dict[str, str] = field(default_factory=dict)
    confirmations: tuple[RecordLine, ...] = ()
    cautions: Rows = ()
    waits: tuple[RecordLine, ...] = ()
    holds: Rows = ()  # time in band of each step that asks for one
    steps: tuple[StepTime, ...] = ()
    curves: tuple[Curve, ...] = ()
    bands: tuple[BandSpan, ...] = ()
    revisions: Rows = ()  # a batch that became larger
    remedies: Rows = ()
    lots: Rows = ()
    lots_refused: Rows = ()
    taken_back: tuple[RecordLine, ...] = ()  # said and taken back by the maker: does not count
    corrections: Rows = ()
    keeps: str = ""  # what its approved label says about durability
    to_retain: int = 0  # containers that the procedure asks to keep back
    storage: str = ""  # how the procedure says that the containers are stored
    planned_percent: Mapping[str, float] = field(default_factory=dict)  # of each line of the formula
    active_percent: Mapping[str, float] = field(default_factory=dict)  # what of such a line is active
    yield_limits: tuple[float | None, float | None] = (None, None)  # percent
    release_plan: tuple[ReleaseFacts, ...] = ()
    checks: Rows = ()
    decisions: Rows = ()
    retained: Rows = ()
    labels: Rows = ()
    pieces: Rows = ()
    dispatches: Rows = ()
    complaints: Rows = ()
    complaint_answers: Rows = ()
    mass: MassBalance | None = None
    balance: PieceBalance | None = None
    kettles: tuple[KettleRow, ...] = ()  # of a batch that was split over several

    @property
    def ph(self) -> tuple[RecordLine, ...]:
        """The pH readings."""
        return tuple(r for r in self.readings if r.unit == "pH")

    @property
    def batch_ph(self) -> tuple[RecordLine, ...]:
        """Those of the batch itself, not of a trial sample."""
        return tuple(r for r in self.ph if r.what == "pH")

    @property
    def grams(self) -> dict[str, float]:
        """Grams of each formula line that went in, late drops included, as they stand after corrections."""
        found: dict[str, float] = {}
        for x in (*self.weighings, *self.moves):
            if x.line:
                found[x.line] = found.get(x.line, 0.0) + (x.now or 0.0)
        return found

    @property
    def added(self) -> dict[str, float]:
        """The same without what was spilled: what a label lists and a ceiling is held against. Water that steamed off is in
        it, as a label counts what was added (Regulation (EC) No 1223/2009, Article 19(1)(g))."""
        return in_product(self.grams, [x for x in self.moves if x.key == SPILLED])

    @property
    def reached_percent(self) -> dict[str, float]:
        """What each formula line came to in percent of the product, after corrections: water that steamed off and was
        replaced is in it once, and what was spilled is not in it."""
        grams = in_product(self.grams, self.moves)
        whole = sum(grams.values())
        return {key: 100 * g / whole for key, g in grams.items()} if whole > 0 else {}

    @property
    def portion_sums(self) -> tuple[str, ...]:
        """A sentence for each line that was weighed in portions: how many, and what they come to."""
        found: dict[tuple[str, str], list[RecordLine]] = {}
        for x in self.weighings:
            if x.portions > 1:
                found.setdefault((x.step, x.line), []).append(x)
        return tuple(
            tr_n(
                "{what}: {n} portion, {sum:.10g} g.",
                "{what}: {n} portions, {sum:.10g} g together.",
                n=len({x.portion for x in rows}),
                what=rows[0].what,
                sum=sum(x.now or 0.0 for x in rows),
            )
            for rows in found.values()
        )

    @property
    def lost_percent(self) -> float:
        """Water lost, in percent of everything that went in, as far as it was found by weighing."""
        mass = self.mass
        return 100 * mass.water_lost_g / mass.went_in_g if mass and mass.went_in_g > 0 else 0.0

    @property
    def came_to_its_end(self) -> bool:
        """Whether the make is finished: what was found nowhere says something only then."""
        return self.outcome == "finished"

    @property
    def results(self) -> dict[str, dict[str, Any]]:
        """By the check's name the result that counts, of each check that has one."""
        planned = {p.name: p for p in self.release_plan}
        reworked = [d["wall"] for d in self.decisions if d["decision"] == "rework"]
        since = reworked[-1] if reworked else self.ended
        found: dict[str, dict[str, Any]] = {}
        for c in self.checks:
            check = planned.get(c["check"], ReleaseFacts(c["check"], "", 0.0))
            if is_timely(check, since, c["wall"]):
                found[check.name] = c
        return found

    @property
    def decision(self) -> str:
        """The last decision, or "not decided"."""
        return str(self.decisions[-1]["decision"]) if self.decisions else tr("not decided")


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
        scenario=first.scenario,
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
        timeline=tuple((s.wall, e.step) for s, e in counted.each(ev.StepBegan)),
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
