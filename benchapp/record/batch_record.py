"""The batch record: what was planned, what happened, what deviated, who answers for it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Any

from benchapp import events as ev
from benchapp.foundation.language import tr, tr_n
from benchapp.record.curves import BandSpan, Curve, StepTime
from benchapp.record.facts import ReleaseFacts
from benchapp.record.kettles import KettleRow
from benchapp.record.lines import RecordLine
from benchapp.record.reconciliation import SPILLED, MassBalance, PieceBalance, in_product
from benchapp.record.release import is_timely
from benchapp.record.rows import Rows


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
    signatures: Rows = ()
    code: str = ""  # the short code printed on its containers
    events: int = 0
    product: str = ""  # the formula's name
    description: str = ""
    procedure_text: str = ""
    version: int | None = None  # of the approved master; 0: a trial; None: nobody kept versions then
    role: str = ""
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
    decisions: Rows = ()  # that which holds last
    undecided: bool = False  # none of them holds: who released was retired on another bench
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

    def decided(self, decisions: Sequence[tuple[str, ev.BatchDecided]]) -> Record:
        """The same with the decisions that count by all benches, each with its wall time, behind those that do not."""
        place = {(wall, e.decision, e.by, e.reason): n for n, (wall, e) in enumerate(decisions)}
        rows = sorted(
            self.decisions, key=lambda d: place.get((d["wall"], d["decision"], d["by"], d["reason"]), -1)
        )
        return replace(self, decisions=tuple(rows), undecided=not decisions)

    @property
    def holding(self) -> dict[str, Any] | None:
        """The decision that holds, None where none does."""
        return self.decisions[-1] if self.decisions and not self.undecided else None

    @property
    def decision(self) -> str:
        """The same in a word, or "not decided"."""
        return str(self.holding["decision"]) if self.holding else tr("not decided")
