"""The state of a make: nothing but the fold of its events."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from typing import Any

from benchapp import events as ev
from benchapp.make.ledger import Ledger
from benchapp.make.taking_back import without

#: The name under which a last container that did not get full is taken out.
SHORT = "short last container"


@dataclass
class Progress:
    """How far the current act has come. Begun anew with each act."""

    step: str = ""
    act: str = ""
    began_s: float = 0.0
    stage: str = ""
    stage_at_s: float = 0.0
    baseline_g: float | None = None
    lifted: bool = False
    taken_g: float | None = None  # what an over-poured weighing came to rest at
    held_s: float = 0.0
    in_band: set[str] = field(default_factory=set)
    count: int = 0
    value: float | None = None
    refused: str = ""  # why the last lot that was in hand may not be used


@dataclass
class State:
    """Where the make stands. Only ``apply`` changes it."""

    started: ev.MakeStarted | None = None
    now_s: float = 0.0
    count: int = 0  # events applied
    log: list[ev.Event] = field(default_factory=list)  # the events that count: none that was taken back
    turn: int = 0  # grows whenever what is asked of the maker changes
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
    revised: dict[str, tuple[float, float, float]] = field(default_factory=dict)
    probes: dict[str, str] = field(default_factory=dict)  # probe → vessel
    temps_c: dict[str, tuple[float, float]] = field(default_factory=dict)  # vessel → (°C, when logged)
    numbers: dict[str, float] = field(default_factory=dict)
    bottles: dict[str, list[ev.BottleFilled]] = field(default_factory=dict)
    phs: list[ev.PhTaken] = field(default_factory=list)
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


def fold(events: Iterable[ev.Event]) -> State:
    """The state after these events."""
    state = State()
    for event in events:
        apply(state, event)
    return state


def apply(state: State, event: ev.Event) -> None:
    """Let one event change the state. Never refuses: what happened, happened."""
    if isinstance(event, ev.ActTakenBack):
        _taken_back(state, event)
        return
    state.log.append(event)
    state.count += 1
    state.now_s = max(state.now_s, event.at_s)
    if isinstance(event, _TURNS):
        state.turn += 1
    change = _CHANGES.get(type(event))
    if change is not None:
        change(state, event)


def _taken_back(s: State, e: ev.ActTakenBack) -> None:
    """The fold of what still counts; only the numbers that tell one prompt from another go on."""
    again = fold(without(s.log, e))
    again.now_s = max(s.now_s, e.at_s)
    again.turn, again.count = s.turn + 1, s.count + 1
    for name in vars(s):
        setattr(s, name, getattr(again, name))


_TURNS = (
    ev.ActBegan, ev.StageReached, ev.PourBegan, ev.BottleFilled, ev.AlarmRaised, ev.AlarmCleared, ev.MakeHeld,
    ev.HoldEnded, ev.DeviceLost, ev.DeviceReturned, ev.ScaleDoubted, ev.PanSeenEmpty, ev.ScaleReconciled,
    ev.VesselLifted, ev.VesselReturned, ev.MakeResumed, ev.LotRefused, ev.SteppedAside, ev.SteppedBack,
)  # fmt: skip


def _started(s: State, e: ev.MakeStarted) -> None:
    s.started = e


def _resumed(s: State, e: ev.MakeResumed) -> None:
    # After a restart nobody knows what happened to the scales; and a filter starts cold.
    assert s.started is not None
    for device in s.started.devices:
        if device.kind == "scale" and device.name in s.on_scale:
            s.doubted[device.name] = "empty pan"
            s.doubt_why[device.name] = (
                "nobody watched it for a while: the program was started again, or the computer slept"
            )
    s.progress.lifted = False
    s.stood_g.clear()  # nobody saw where the scales stood when the program ended


def _of(s: State, step: str) -> Progress:
    """The progress an event of that step belongs to: the wait's, while the maker does something else."""
    return s.waiting if s.waiting is not None and s.waiting.step == step else s.progress


def _aside(s: State, e: ev.SteppedAside) -> None:
    s.waiting, s.progress, s.tied = s.progress, Progress(), e.vessels


def _back(s: State, e: ev.SteppedBack) -> None:
    assert s.waiting is not None
    s.step, s.progress, s.waiting, s.tied = e.step, s.waiting, None, ()
    s.acts_done -= {(e.left, act) for act in e.again}


def _step_began(s: State, e: ev.StepBegan) -> None:
    s.step = e.step


def _step_finished(s: State, e: ev.StepFinished | ev.StepSkipped) -> None:
    s.steps_done.append(e.step)
    s.step = ""


def _act_began(s: State, e: ev.ActBegan) -> None:
    s.progress = Progress(step=e.step, act=e.act, began_s=e.at_s, stage_at_s=e.at_s)


def _act_finished(s: State, e: ev.ActFinished) -> None:
    s.acts_done.add((e.step, e.act))


def _stage(s: State, e: ev.StageReached) -> None:
    progress = _of(s, e.step)
    progress.stage, progress.stage_at_s = e.stage, e.at_s
    if e.stage in ("clear", "trial clear"):  # whatever is poured next stands on something else
        progress.baseline_g = None


def _vessel_placed(s: State, e: ev.VesselPlaced) -> None:
    account = s.ledger.account(e.vessel)
    if e.empty:
        account.empty_g = e.gross_g - s.zero_g.get(e.device, 0.0)
    account.seen_gross_g = e.gross_g
    if e.device:
        for device, vessel in list(s.on_scale.items()):
            if vessel == e.vessel:
                del s.on_scale[device]
        s.on_scale[e.device] = e.vessel
    s.progress.lifted = False


def _lifted(s: State, e: ev.VesselLifted) -> None:
    s.progress.lifted = True
    s.on_scale.pop(e.device, None)
    if e.most_g is not None:
        s.stood_g[e.device] = (e.least_g if e.least_g is not None else e.most_g, e.most_g)


def _returned(s: State, e: ev.VesselReturned) -> None:
    s.progress.lifted = False
    s.on_scale[e.device] = e.vessel


def _pour_began(s: State, e: ev.PourBegan) -> None:
    s.progress.baseline_g = e.baseline_g


def _weight(s: State, e: ev.WeightTaken) -> None:
    s.weights.setdefault(e.line, []).append(e)
    s.ledger.put(e.vessel, e.line, e.net_g)
    if e.gross_g is not None:
        s.ledger.account(e.vessel).seen_gross_g = e.gross_g


def _lot(s: State, e: ev.LotTaken) -> None:
    s.lots[e.line] = e
    s.progress.refused = ""


def _lot_refused(s: State, e: ev.LotRefused) -> None:
    s.progress.refused = e.why


def _late_drop(s: State, e: ev.LateDropFound) -> None:
    s.ledger.put(e.vessel, e.line, e.drop_g)
    s.late_g[e.line] = s.late_g.get(e.line, 0.0) + e.drop_g


def _overpour(s: State, e: ev.OverpourFound) -> None:
    s.progress.taken_g = e.net_g


def _revised(s: State, e: ev.TargetsRevised) -> None:
    s.batch_g = e.batch_g
    for line, target, low, high in e.targets:
        s.revised[line] = (target, low, high)
    if e.additions:
        s.additions.setdefault(e.step, []).append(e.additions)


def _moved(s: State, e: ev.MassMoved) -> None:
    s.ledger.move(e.origin, e.into, e.left_g)
    if e.origin in s.probes.values():
        s.probes = {p: (e.into if v == e.origin else v) for p, v in s.probes.items()}


def _water_lost(s: State, e: ev.WaterLost) -> None:
    s.ledger.lose_water(e.vessel, e.lost_g, frozenset(e.lines))


def _sample(s: State, e: ev.SampleTaken) -> None:
    if e.what == SHORT:
        s.short_g += e.mass_g
    else:
        s.samples_g += e.mass_g
    s.ledger.lose_evenly(e.vessel, e.mass_g)


def _probe(s: State, e: ev.ProbeMoved) -> None:
    s.probes[e.probe] = e.vessel


def _temps(s: State, e: ev.TemperaturesLogged) -> None:
    for vessel, temp in e.temps_c:
        s.temps_c[vessel] = (temp, e.at_s)
        if temp > 45.0:
            s.ledger.account(vessel).heated = True


def _band_entered(s: State, e: ev.BandEntered) -> None:
    _of(s, e.step).in_band.add(e.vessel)


def _band_left(s: State, e: ev.BandLeft) -> None:
    _of(s, e.step).in_band.discard(e.vessel)


def _hold_progress(s: State, e: ev.HoldProgressed) -> None:
    _of(s, e.step).held_s = e.held_s


def _burst(s: State, e: ev.BurstDone) -> None:
    s.progress.count = e.number


def _ph(s: State, e: ev.PhTaken) -> None:
    if e.of == "trial":
        s.trial.append(e)
        return
    s.phs.append(e)
    s.progress.value = e.ph


def _trial(s: State, e: ev.TrialDosed) -> None:
    s.trial.append(e)


def _number(s: State, e: ev.NumberTaken) -> None:
    s.numbers[e.what] = e.value
    s.progress.value = e.value


def _bottle(s: State, e: ev.BottleFilled) -> None:
    s.bottles.setdefault(e.step, []).append(e)
    s.ledger.lose_evenly(e.vessel, e.net_g)
    s.progress.baseline_g = None
    s.progress.count = e.number


def _signed(s: State, e: ev.Signed) -> None:
    s.signed.append(e)


def _cautioned(s: State, e: ev.CautionShown | ev.CautionAcknowledged) -> None:
    s.cautioned.add((e.step, e.caution))


def _deviation(s: State, e: ev.DeviationNoted) -> None:
    s.deviations.append(e)
    if e.kind.startswith("unchecked "):
        s.noted_unchecked.add(e.kind.removeprefix("unchecked "))


def _lost(s: State, e: ev.DeviceLost) -> None:
    s.lost[e.device] = e.text
    if e.most_g is not None:
        s.stood_g[e.device] = (e.least_g if e.least_g is not None else e.most_g, e.most_g)


def _device_back(s: State, e: ev.DeviceReturned) -> None:
    s.lost.pop(e.device, None)


def _doubted(s: State, e: ev.ScaleDoubted) -> None:
    s.doubted[e.device] = "empty pan"
    s.doubt_why[e.device] = e.why


def _pan_empty(s: State, e: ev.PanSeenEmpty) -> None:
    s.zero_g[e.device] = e.zero_g
    if e.device in s.doubted:
        s.doubted[e.device] = "vessel"


def _zero_shifted(s: State, e: ev.ZeroShifted) -> None:
    s.zero_g[e.device] = s.zero_g.get(e.device, 0.0) + e.by_g


def _reconciled(s: State, e: ev.ScaleReconciled) -> None:
    s.doubted.pop(e.device, None)
    s.doubt_why.pop(e.device, None)
    s.progress.lifted = False
    if s.progress.baseline_g is not None and e.vessel:
        # The display may stand on another zero now: what was poured before is kept by moving the baseline.
        account = s.ledger.of(e.vessel)
        if account.gross_g is not None:
            s.progress.baseline_g = account.gross_g + s.zero_g.get(e.device, 0.0)


def _alarm(s: State, e: ev.AlarmRaised) -> None:
    s.alarm = e


def _alarm_cleared(s: State, e: ev.AlarmCleared) -> None:
    s.alarm = None


def _held(s: State, e: ev.MakeHeld) -> None:
    s.held_since_s, s.hold_reason = e.at_s, e.reason


def _hold_ended(s: State, e: ev.HoldEnded) -> None:
    s.held_since_s, s.hold_reason = None, ""


def _finished(s: State, e: ev.MakeFinished) -> None:
    s.finished = e


def _abandoned(s: State, e: ev.MakeAbandoned) -> None:
    s.abandoned = e


_CHANGES: dict[type[ev.Event], Callable[[State, Any], None]] = {
    ev.MakeStarted: _started, ev.MakeResumed: _resumed, ev.StepBegan: _step_began,
    ev.StepFinished: _step_finished, ev.StepSkipped: _step_finished,
    ev.SteppedAside: _aside, ev.SteppedBack: _back, ev.ActBegan: _act_began,
    ev.ActFinished: _act_finished, ev.StageReached: _stage, ev.VesselPlaced: _vessel_placed,
    ev.VesselLifted: _lifted, ev.VesselReturned: _returned, ev.PourBegan: _pour_began,
    ev.WeightTaken: _weight, ev.OverpourFound: _overpour, ev.LateDropFound: _late_drop,
    ev.LotTaken: _lot, ev.LotRefused: _lot_refused,
    ev.TargetsRevised: _revised,
    ev.MassMoved: _moved, ev.WaterLost: _water_lost, ev.SampleTaken: _sample, ev.ProbeMoved: _probe,
    ev.TemperaturesLogged: _temps, ev.BandEntered: _band_entered, ev.BandLeft: _band_left,
    ev.HoldProgressed: _hold_progress, ev.BurstDone: _burst, ev.PhTaken: _ph, ev.TrialDosed: _trial, ev.NumberTaken: _number,
    ev.BottleFilled: _bottle, ev.Signed: _signed, ev.CautionShown: _cautioned,
    ev.CautionAcknowledged: _cautioned, ev.DeviationNoted: _deviation, ev.DeviceLost: _lost,
    ev.DeviceReturned: _device_back, ev.ScaleDoubted: _doubted, ev.PanSeenEmpty: _pan_empty,
    ev.ScaleReconciled: _reconciled, ev.ZeroShifted: _zero_shifted,
    ev.AlarmRaised: _alarm, ev.AlarmCleared: _alarm_cleared,
    ev.MakeHeld: _held, ev.HoldEnded: _hold_ended, ev.MakeFinished: _finished,
    ev.MakeAbandoned: _abandoned,
}  # fmt: skip
