"""The batch record, drawn up from events alone: what was planned, what happened, what deviated, who answers for it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass, field, replace
from typing import Any

from benchapp import events as ev
from benchapp.record import lines as write
from benchapp.record.batch_code import batch_code
from benchapp.record.corrections import as_it_stands
from benchapp.record.curves import BandSpan, Curve, StepTime, band_spans, curves, step_times
from benchapp.record.facts import ProcedureFacts, ReleaseFacts
from benchapp.record.journal import Stored
from benchapp.record.lines import Correction, Line, Writer
from benchapp.record.lots import Lot
from benchapp.record.reconciliation import (
    MassBalance,
    PieceBalance,
    left_in_vessels_g,
    mass_balance,
    piece_balance,
)

__all__ = ["Correction", "Line", "Record", "record_of"]

Rows = tuple[dict[str, Any], ...]


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
    weighings: tuple[Line, ...]
    readings: tuple[Line, ...]  # pH, temperatures at gates, density
    looks: tuple[Line, ...]
    containers: tuple[Line, ...]
    moves: tuple[Line, ...]  # transfers, water lost, samples, waste
    deviations: Rows
    timeline: tuple[tuple[str, str], ...]
    signatures: Rows
    head: str  # the hash of the batch's last event
    code: str = ""  # the short code printed on its containers
    events: int = 0
    product: str = ""  # the formula's name
    description: str = ""
    procedure_text: str = ""
    role: str = ""
    scenario: str = ""
    again: str = ""
    ended_why: str = ""  # the reason an abandoned make was given up
    step_titles: dict[str, str] = field(default_factory=dict)
    confirmations: tuple[Line, ...] = ()
    cautions: Rows = ()
    waits: tuple[Line, ...] = ()
    holds: Rows = ()  # time in band of each step that asks for one
    steps: tuple[StepTime, ...] = ()
    curves: tuple[Curve, ...] = ()
    bands: tuple[BandSpan, ...] = ()
    revisions: Rows = ()  # a batch that became larger
    remedies: Rows = ()
    lots: Rows = ()
    lots_refused: Rows = ()
    taken_back: tuple[Line, ...] = ()  # said and taken back by the maker: does not count
    corrections: Rows = ()
    release_plan: tuple[ReleaseFacts, ...] = ()
    checks: Rows = ()
    decisions: Rows = ()
    retained: Rows = ()
    labels: Rows = ()
    pieces: Rows = ()
    dispatches: Rows = ()
    mass: MassBalance | None = None
    balance: PieceBalance | None = None

    def as_dict(self) -> dict[str, Any]:
        """Plain values for JSON."""
        return asdict(self)

    @property
    def ph(self) -> tuple[Line, ...]:
        """The pH readings."""
        return tuple(r for r in self.readings if r.unit == "pH")

    @property
    def grams(self) -> dict[str, float]:
        """Grams of each formula line that went in, late drops included, as they stand after corrections."""
        found: dict[str, float] = {}
        for x in (*self.weighings, *self.moves):
            if x.line:
                found[x.line] = found.get(x.line, 0.0) + (x.now or 0.0)
        return found

    @property
    def lost_percent(self) -> float:
        """Water lost, in percent of everything that went in, as far as it was found by weighing."""
        mass = self.mass
        return 100 * mass.water_lost_g / mass.went_in_g if mass and mass.went_in_g > 0 else 0.0

    @property
    def decision(self) -> str:
        """The last decision, or "not decided"."""
        return str(self.decisions[-1]["decision"]) if self.decisions else "not decided"


def record_of(
    stored: Sequence[Stored],
    facts: ProcedureFacts | None = None,
    lots: Mapping[str, Lot] | None = None,
) -> Record:
    """The record of one batch from its stored events, the first of which is MakeStarted.

    ``facts`` give names and planned limits of the procedure as it stood (without them keys stand for names);
    ``lots`` give supplier and expiry of every lot the batch drew from.
    """
    first = stored[0].event
    assert isinstance(first, ev.MakeStarted)
    facts = facts or ProcedureFacts(key=first.procedure)
    counted, withdrawn = _parted(stored)
    w = Writer(stored, facts)
    end = next((s for s in stored if isinstance(s.event, ev.MakeFinished | ev.MakeAbandoned)), None)
    finished = end.event if end and isinstance(end.event, ev.MakeFinished) else None
    abandoned = end.event if end and isinstance(end.event, ev.MakeAbandoned) else None
    last_of_make = end or stored[-1]
    weighings, moves = w.lines(counted, write.weighing), w.lines(counted, write.move)
    containers, readings = w.lines(counted, write.container), w.lines(counted, write.reading)
    steps, standing = step_times(counted, facts), _as_it_stands(counted)
    revised = [e for s in counted if isinstance(e := s.event, ev.TargetsRevised)]
    theoretical_g = revised[-1].batch_g if revised else first.batch_g
    return Record(
        batch=first.batch,
        procedure=first.procedure,
        procedure_sha256=first.procedure_sha256,
        maker=first.maker,
        batch_g=first.batch_g,
        rehearsal=first.rehearsal,
        begun=stored[0].wall,
        ended=last_of_make.wall,
        outcome="finished" if finished else "abandoned" if abandoned else "unfinished",
        product_g=finished.product_g if finished else None,
        yield_percent=finished.yield_percent if finished else None,
        devices=tuple(asdict(d) for d in first.devices),
        weighings=weighings,
        readings=readings,
        looks=w.lines(counted, write.look),
        containers=containers,
        moves=moves,
        deviations=_deviations(stored, w),
        timeline=tuple((s.wall, e.step) for s in counted if isinstance(e := s.event, ev.StepBegan)),
        signatures=tuple({**x, "step_title": facts.step(x["step"])} for x in _rows(stored, w, ev.Signed)),
        head=stored[-1].hash,
        code=batch_code(first.batch),
        events=stored[-1].n,
        product=facts.product or first.procedure,
        description=facts.description,
        procedure_text=first.procedure_text,
        role=first.role,
        scenario=first.scenario,
        again=first.again,
        ended_why=abandoned.reason if abandoned else "",
        step_titles={t.key: t.title for t in steps},
        confirmations=w.lines(counted, write.confirmation),
        cautions=_cautions(stored, facts),
        waits=w.lines(counted, write.wait),
        holds=_holds(counted, facts),
        steps=steps,
        curves=curves(counted, facts),
        bands=band_spans(steps, facts),
        revisions=tuple({"why": e.why, "batch_g": e.batch_g, "step": e.step} for e in revised),
        remedies=_remedies(counted, w),
        lots=_lots([*weighings, *(x for x in readings if x.key == "trial")], counted, lots or {}),
        lots_refused=_rows(stored, w, ev.LotRefused),
        taken_back=tuple(x for make in _SAID for x in w.lines(withdrawn, make)),
        corrections=_rows(stored, w, ev.Corrected),
        release_plan=facts.release,
        checks=_rows(stored, w, ev.CheckRecorded),
        decisions=_rows(stored, w, ev.BatchDecided),
        retained=_rows(stored, w, ev.SampleRetained),
        labels=_rows(stored, w, ev.LabelsPrinted),
        pieces=_rows(stored, w, ev.PiecesUsed),
        dispatches=_rows(stored, w, ev.Dispatched),
        mass=mass_balance(
            weighings, moves, containers, theoretical_g, left_in_vessels_g(standing),
            finished.product_g if finished else None,
        ),
        balance=piece_balance(standing),
    )  # fmt: skip


_SAID = (write.in_hand, write.weighing, write.reading, write.look, write.confirmation)


def _parted(stored: Sequence[Stored]) -> tuple[list[Stored], list[Stored]]:
    """What counts, and what the maker said and took back: everything said since that act last began."""
    gone: set[int] = set()
    began: dict[tuple[str, str], int] = {}
    for place, s in enumerate(stored):
        e = s.event
        if isinstance(e, ev.ActBegan):
            began[e.step, e.act] = place
        elif isinstance(e, ev.ActTakenBack):
            since = began.get((e.step, e.act), place)
            gone |= {i for i in range(since, place) if isinstance(stored[i].event, _TAKEN_BACK)}
    kept = [s for i, s in enumerate(stored) if i not in gone]
    return kept, [s for i, s in enumerate(stored) if i in gone]


def _as_it_stands(stored: Sequence[Stored]) -> list[Stored]:
    """The events after every correction of them."""
    fixes: dict[int, list[ev.Corrected]] = {}
    for s in stored:
        if isinstance(e := s.event, ev.Corrected):
            fixes.setdefault(e.n, []).append(e)
    return [replace(s, event=as_it_stands(s.event, fixes[s.n])) if s.n in fixes else s for s in stored]


#: What a person said or did not do after all. Deviations and temperatures happened beside it, and stay.
_TAKEN_BACK = (
    ev.Confirmed, ev.NumberTaken, ev.LookJudged, ev.LotTaken, ev.WeightTaken, ev.PhTaken, ev.StepFinished,
)  # fmt: skip


def _rows(stored: Sequence[Stored], w: Writer, *kinds: type[ev.Event]) -> Rows:
    """Events of a kind as plain rows, with their time, number and corrections."""
    found = []
    for s in stored:
        if isinstance(s.event, kinds):
            _, fields = ev.to_fields(s.event)
            # An event's own "n" (a correction names another event by it) must not be hidden by our number.
            own = {("of_n" if k == "n" else k): v for k, v in fields.items()}
            more = {"wall": s.wall, "n": s.n, "corrections": w.corrections.get(s.n, ())}
            found.append({**own, **more})
    return tuple(found)


def _deviations(stored: Sequence[Stored], w: Writer) -> Rows:
    closed = {e.number: (e, s.wall) for s in stored if isinstance(e := s.event, ev.DeviationClosed)}
    found = []
    for row in _rows(stored, w, ev.DeviationNoted):
        end = closed.get(row["number"])
        over = {"closed": end[1], "closed_by": end[0].by, "closed_why": end[0].reason} if end else {}
        usual = {"closed": "", "closed_by": "", "closed_why": ""}
        found.append(
            {**row, "grade": str(row["grade"]), "step_title": w.facts.step(row["step"]), **usual, **over}
        )
    return tuple(found)  # fmt: skip


def _remedies(stored: Sequence[Stored], w: Writer) -> Rows:
    return tuple(
        {**row, "remedy": str(row["remedy"]), "name": w.facts.line(row["line"])}
        for row in _rows(stored, w, ev.RemedyChosen)
    )


def _holds(stored: Sequence[Stored], facts: ProcedureFacts) -> Rows:
    """How long each step was held in its band, against what was planned; the last word on each step counts."""
    found: dict[str, dict[str, Any]] = {}
    for s in stored:
        if isinstance(e := s.event, ev.HoldProgressed):
            plan = facts.steps.get(e.step)
            found[e.step] = {
                "step": e.step, "step_title": facts.step(e.step), "planned_s": plan.hold_s if plan else None,
                "held_s": e.held_s, "coldest_c": e.coldest_c, "source": str(ev.Source.MEASURED),
            }  # fmt: skip
    return tuple(found.values())


def _cautions(stored: Sequence[Stored], facts: ProcedureFacts) -> Rows:
    """Each caution of each step once: when it was first shown, and when it was acknowledged."""
    found: dict[tuple[str, str], dict[str, Any]] = {}
    for s in stored:
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


def _lots(weighings: Sequence[Line], stored: Sequence[Stored], known: Mapping[str, Lot]) -> Rows:
    """Every lot the batch drew from, with what was drawn."""
    drawn: dict[str, list[Line]] = {}
    for line in weighings:
        drawn.setdefault(line.lot_now, []).append(line)
    taken = {e.lot: e for s in stored if isinstance(e := s.event, ev.LotTaken)}
    drawn |= {lot: [] for lot in taken if lot not in drawn}  # in hand, and nothing weighed from it after all
    rows = []
    for lot, used in drawn.items():
        got, hand = known.get(lot), taken.get(lot)
        rows.append(
            {
                "lot": lot, "what": ", ".join(dict.fromkeys(x.what for x in used)),
                "drawn_g": round(sum(x.now or 0.0 for x in used), 4), "how": hand.how if hand else "",
                "supplier": got.supplier if got else "", "supplier_lot": got.supplier_lot if got else "",
                "expires": got.expires if got else hand.expires if hand else "",
                "documents": list(got.documents) if got else [],
            }
        )  # fmt: skip
    return tuple(row for row in rows if row["lot"]) + tuple(row for row in rows if not row["lot"])
