"""The state of a make: nothing but the fold of its events, which folding.py makes."""

from __future__ import annotations

from dataclasses import dataclass, field

from benchapp import events as ev
from benchapp.events.step_times import StepTimes
from benchapp.foundation.band import Target
from benchapp.foundation.language import tr_noop
from benchapp.make.ledger import Ledger
from benchapp.make.vocabulary import Stage

#: What a doubt is called where a probe seems to speak another unit.
UNIT = "unit"
#: The vessel a dilution stands in; it is no vessel of the method.
DILUTION_VESSEL = tr_noop("dilution boat")


@dataclass(frozen=True, slots=True)
class LotBefore:
    """What of a line being poured came out of a lot that ran out, in grams; ``stated`` where a person said so."""

    lot: str
    grams: float
    stated: bool = False


@dataclass
class Progress:
    """How far the current act has come. Begun anew with each act."""

    step: str = ""
    act: str = ""
    began_s: float = 0.0
    stage: Stage = Stage.FIRST
    stage_lot: str = ""  # the lot the stage is about, where it was refused
    stage_at_s: float = 0.0
    attended_s: float = 0.0  # the clock of those who are there, when the stage began
    baseline_g: float | None = None
    crept_g: float = 0.0  # how far the scale had crept before the first drop
    lifted: bool = False
    taken_g: float | None = None  # what an over-poured weighing came to rest at
    held_s: float = 0.0
    in_band: set[str] = field(default_factory=set)
    count: int = 0
    value: float | None = None
    asked_at_g: float | None = None  # what was in when it was asked which lot the pour goes on from
    refused: str = ""  # why the last lot that was in hand may not be used
    lots_before: tuple[LotBefore, ...] = ()  # of what is being poured: the lots that ran out


@dataclass
class State:
    """Where the make stands. Only ``apply`` changes it."""

    started: ev.MakeStarted | None = None
    now_s: float = 0.0
    count: int = 0  # events applied
    log: list[ev.Event] = field(default_factory=list)  # the events that count: none that was taken back
    turn: int = 0  # grows whenever what is asked of the maker changes
    times: StepTimes = field(default_factory=StepTimes)
    steps_done: list[str] = field(default_factory=list)
    step: str = ""
    acts_done: set[tuple[str, str]] = field(default_factory=set)
    progress: Progress = field(default_factory=Progress)
    waiting: Progress | None = None  # of the wait the maker has stepped aside from, to weigh ahead
    tied: tuple[str, ...] = ()  # the vessels of that wait
    ledger: Ledger = field(default_factory=Ledger)
    weights: dict[str, list[ev.WeightTaken]] = field(default_factory=dict)
    lots: dict[str, ev.LotTaken] = field(default_factory=dict)  # line → the lot in hand
    batch_g: float | None = None  # the batch's mass, where a remedy made it larger than planned
    additions: dict[str, list[tuple[tuple[str, float], ...]]] = field(default_factory=dict)  # step → on top
    late_g: dict[str, float] = field(default_factory=dict)  # drops that fell after a weighing was taken
    revised: dict[str, Target] = field(default_factory=dict)
    probes: dict[str, str] = field(default_factory=dict)  # probe → vessel
    temps_c: dict[str, tuple[float, float]] = field(default_factory=dict)  # vessel → (°C, when logged)
    stated_c: dict[str, tuple[float, float]] = field(default_factory=dict)  # of these, what a person stated
    probe_doubts: dict[str, ev.ProbeDoubted] = field(default_factory=dict)  # probe → why it does not count
    probe_answers: dict[str, str] = field(default_factory=dict)  # doubted probe → what the maker said of it
    probes_asked: set[str] = field(default_factory=set)  # doubted probes that were asked about
    uncredited: set[str] = field(default_factory=set)  # probes whose time under doubt does not count as held
    excursions: dict[tuple[str, str], ev.ExcursionBegan] = field(
        default_factory=dict
    )  # (vessel, side) → since when
    peaks_c: dict[tuple[str, str], float] = field(default_factory=dict)  # how far each went, as logged
    resumed_at_s: float | None = None  # when the program was last started again
    numbers: dict[str, float] = field(default_factory=dict)
    bottles: dict[str, list[ev.BottleFilled]] = field(default_factory=dict)
    phs: list[ev.PhTaken] = field(default_factory=list)
    ph_step: float | None = None  # of the strip the pH is read from, 0: a meter; None: nobody has said yet
    dilutions: dict[str, ev.DilutionMade] = field(default_factory=dict)  # line → the one that stands there
    diluted_left_g: dict[str, float] = field(default_factory=dict)  # line → what is left of it
    trial: list[ev.PhTaken | ev.TrialDosed] = field(default_factory=list)  # of the trial sample, in order
    samples_g: float = 0.0
    short_g: float = 0.0  # what filled a last container only in part
    signed: list[ev.Signed] = field(default_factory=list)
    cautioned: set[tuple[str, str]] = field(default_factory=set)
    deviations: list[ev.DeviationNoted] = field(default_factory=list)
    noted_unchecked: set[str] = field(default_factory=set)
    held_since_s: float | None = None
    hold_reason: str = ""
    lost: dict[str, str] = field(default_factory=dict)  # device → the sentence
    doubted: dict[str, str] = field(default_factory=dict)  # scale → stage: "empty pan" or "vessel"
    doubt_why: dict[str, str] = field(default_factory=dict)
    zero_g: dict[str, float] = field(default_factory=dict)  # scale → what it shows with an empty pan
    stood_g: dict[str, tuple[float, float]] = field(default_factory=dict)  # scale → gross before it was left
    on_scale: dict[str, str] = field(default_factory=dict)  # scale → vessel standing on it
    alarm: ev.AlarmRaised | None = None
    finished: ev.MakeFinished | None = None
    abandoned: ev.MakeAbandoned | None = None

    def doubted_with(self, probe: str) -> tuple[ev.ProbeDoubted, ...]:
        """That probe's doubt and those that one question asks about with it: a unit is a device's, not a probe's."""
        doubt = self.probe_doubts.get(probe)
        if doubt is None or self.started is None or doubt.kind != UNIT:
            return (doubt,) if doubt is not None else ()
        device = next((d for d in self.started.devices if probe in d.channels), None)
        channels = device.channels if device is not None else (probe,)
        return tuple(d for p, d in self.probe_doubts.items() if p in channels and d.kind == UNIT)

    @property
    def prompt(self) -> str:
        """The name of what is being asked now; a press has to carry it."""
        return f"{self.progress.step}/{self.progress.act}#{self.turn}"

    @property
    def over(self) -> str:
        """ "finished", "abandoned" or ""."""
        return "finished" if self.finished else "abandoned" if self.abandoned else ""

    @property
    def weighed_g(self) -> dict[str, float]:
        """Grams of each line that went in so far."""
        return {
            line: sum(w.net_g for w in taken) + self.late_g.get(line, 0.0)
            for line, taken in self.weights.items()
        }

    def progress_of(self, step: str) -> Progress:
        """The progress an event of that step belongs to: the wait's, while the maker does something else."""
        return self.waiting if self.waiting is not None and self.waiting.step == step else self.progress
