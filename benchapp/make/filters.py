"""What stands beside the fold: filters over raw readings. Never stored; rebuilt from live readings after a restart."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from benchapp import events as ev
from benchapp.calculations.creep import Creep
from benchapp.calculations.curves import Past
from benchapp.calculations.first_drop import FirstDrop
from benchapp.calculations.forecast import Forecaster
from benchapp.calculations.hold import HoldClock
from benchapp.calculations.landing import Lateness
from benchapp.calculations.pan_press import PanPress
from benchapp.calculations.probe_curve import ProbeCurve
from benchapp.calculations.settling import Stillness
from benchapp.calculations.standing import Standing
from benchapp.calculations.sudden import Sudden
from benchapp.make.inputs import Degrees, Grams, LotOnHand, NoNumber, PhRead
from benchapp.make.state import Progress

#: A reading older than this says nothing about now.
FRESH_S = 5.0
#: How long the temperature curve that is drawn reaches back.
CURVE_S = 5400.0


@dataclass
class ProbeFilter:
    """One probe: the latest reading, a thinned curve, and whether it follows its vessel."""

    temp_c: float
    at_s: float
    curve: list[tuple[float, float]] = field(default_factory=list)
    follows: ProbeCurve = field(default_factory=ProbeCurve)
    digits: Standing = field(default_factory=Standing)
    put_in_s: float | None = None  # when its vessel was first heard of; None: not yet

    @property
    def counts(self) -> bool:
        """Whether what it shows may be its vessel's temperature: at rest, and on the vessel's curve."""
        return self.follows.settled and self.follows.jump is None


@dataclass(frozen=True, slots=True)
class LastForecast:
    """A forecast as it was last worked out: (middle, early, late) seconds from ``at_s``, what was noticed, the fan."""

    at_s: float
    forecast: tuple[float, float, float] | None
    note: str
    fan_at_s: float
    fan: tuple[tuple[float, float, float], ...]


@dataclass
class ActCounters:
    """What one act counts between two events; begun anew with each act."""

    scratch: dict[str, float] = field(default_factory=dict)  # begun anew with each stage, too
    lasting: dict[str, float] = field(default_factory=dict)
    forecasters: dict[str, Forecaster] = field(default_factory=dict)  # by vessel
    hold: HoldClock | None = None
    told: dict[str, LastForecast] = field(default_factory=dict)


@dataclass
class SensorFilters:
    """All live channels of one make."""

    scales: dict[str, Stillness] = field(default_factory=dict)
    nets: dict[str, bool | None] = field(default_factory=dict)
    probes: dict[str, ProbeFilter] = field(default_factory=dict)
    ph: dict[str, list[tuple[float, float]]] = field(default_factory=dict)
    counts: ActCounters = field(default_factory=ActCounters)  # of the act the maker is at
    waiting: ActCounters = field(default_factory=ActCounters)  # of the wait the maker has stepped aside from
    rests: dict[str, float] = field(default_factory=dict)  # where each scale was last at rest
    heard_at_s: dict[str, float] = field(default_factory=dict)
    complaints: dict[str, tuple[float, str]] = field(default_factory=dict)
    says_gross: set[str] = field(default_factory=set)
    late: dict[str, Lateness] = field(default_factory=dict)
    pans: dict[str, PanPress] = field(default_factory=dict)  # of the large scales
    objected: set[str] = field(default_factory=set)  # scales at rest whose weighing is not to be taken
    sudden: dict[str, Sudden] = field(default_factory=dict)  # what came onto each scale all at once
    creep: dict[str, Creep] = field(default_factory=dict)  # how far each scale wandered at rest
    drops: dict[str, FirstDrop] = field(
        default_factory=dict
    )  # how far each scale crept before the first drop
    foot_objected: bool = False  # the foot that is down has objected already
    lots: tuple[LotOnHand, ...] = ()  # what the workshop has on hand
    draws: bool = False  # whether a face draws curves: what only a drawing shows is worked out only then
    past: Mapping[tuple[str, str], Sequence[Past]] = field(
        default_factory=dict
    )  # how the same wait of a step and vessel went in earlier makes

    def turn(self, event: ev.Event, waiting: Progress | None) -> None:
        """Let an event that is written down begin the counting anew, put it aside or take it up again.

        ``waiting`` is the progress of the wait the maker has stepped aside from, after the event.
        """
        if isinstance(event, ev.BaselineCrept):
            self.drops[event.device].booked()
            return
        if isinstance(event, ev.PourBegan | ev.VesselReturned | ev.MassLost | ev.TareChanged):
            self._calm()  # what stood there before belongs there
            return
        if isinstance(event, ev.ProbeMoved | ev.ProbeTrusted) and event.probe in self.probes:
            probe = self.probes[event.probe]
            if isinstance(event, ev.ProbeMoved):
                probe.put_in_s = None
                probe.digits.begin()
            else:
                if probe.follows.jump is not None:
                    probe.follows.accept()
                probe.digits.excuse()
            return
        if isinstance(event, ev.StageReached):
            beside = waiting is not None and waiting.step == event.step
            (self.waiting if beside else self.counts).scratch.clear()
            return
        if isinstance(event, ev.ActBegan | ev.ActTakenBack):
            self.counts = ActCounters()
        elif isinstance(event, ev.MakeResumed):
            self.counts, self.waiting = ActCounters(), ActCounters()
        elif isinstance(event, ev.SteppedAside):
            self.counts, self.waiting = ActCounters(), self.counts
        elif isinstance(event, ev.SteppedBack):
            self.counts, self.waiting = self.waiting, ActCounters()
        else:
            return
        self.objected.clear()
        self._calm()

    def _calm(self) -> None:
        for sudden in self.sudden.values():
            sudden.calm()
        for creep in self.creep.values():
            creep.calm()
        for drop in self.drops.values():
            drop.calm()

    def came_at_once_g(self, device: str) -> float:
        """What came onto that scale all at once and lies there still, in grams; less than 0 where it went so."""
        heard = self.sudden.get(device)
        return heard.by_g if heard is not None else 0.0

    def gone_again_g(self, device: str) -> float:
        """What had come onto that scale all at once, or went from it so, and is off it now; 0 where nothing is."""
        heard = self.sudden.get(device)
        return max(heard.gone_g, -heard.by_g, 0.0) if heard is not None else 0.0

    def _forget(self, device: str) -> None:
        self.scales[device].forget()
        self.sudden[device].forget()
        self.creep[device].forget()
        self.drops[device].calm()

    def speaks(self, device: str, now_s: float) -> bool:
        """Whether that device said a number a moment ago."""
        return now_s - self.heard_at_s.get(device, -math.inf) <= FRESH_S

    def complain(self, given: NoNumber) -> None:
        """A device gave no number: what it said before no longer stands for now."""
        self.complaints[given.device] = (given.at_s, given.text)
        if given.device in self.scales and not given.lost:
            self._forget(given.device)

    def complaint(self, device: str, now_s: float) -> str:
        """The sentence of a device that gives no number just now, "" where it does."""
        at_s, text = self.complaints.get(device, (-math.inf, ""))
        return text if now_s - at_s <= FRESH_S and self.heard_at_s.get(device, -math.inf) < at_s else ""

    def tared(self, device: str) -> bool:
        """Whether the scale itself says that a tare is on. One that never says "gross" means nothing by "net"."""
        return bool(self.nets.get(device)) and device in self.says_gross

    def lateness(self, device: str, division_g: float) -> Lateness:
        """How late that scale and the hand at it are together, learned from pour to pour."""
        if device not in self.late:
            self.late[device] = Lateness(division_g)
        return self.late[device]

    def pan(self, device: str, division_g: float) -> PanPress:
        """Who listens for pushes on that scale's empty pan."""
        if device not in self.pans:
            self.pans[device] = PanPress(division_g)
        return self.pans[device]

    def grams(self, given: Grams, division_g: float) -> None:
        """Take a scale's reading."""
        still = self.scales.get(given.device)
        if still is None:
            still = self.scales[given.device] = Stillness(division_g)
            self.sudden[given.device] = Sudden(division_g)
            self.creep[given.device] = Creep(division_g)
            self.drops[given.device] = FirstDrop(division_g)
        still.push(given.at_s, given.value_g, given.stable)
        rest_g = still.rest_g if still.still else None
        self.sudden[given.device].hear(given.at_s, given.value_g, rest_g)
        self.creep[given.device].hear(given.at_s, rest_g)
        self.drops[given.device].hear(given.at_s, given.value_g, rest_g)
        if still.still:
            self.rests[given.device] = still.rest_g
        else:
            self.objected.discard(given.device)
        self.nets[given.device] = given.net
        if given.net is False:
            self.says_gross.add(given.device)
        self.heard_at_s[given.device] = given.at_s

    def degrees(self, given: Degrees) -> ProbeFilter:
        """Take a probe's reading."""
        self.heard_at_s[given.device] = given.at_s
        seen = self.probes.get(given.probe)
        if seen is None:
            seen = ProbeFilter(given.temp_c, given.at_s, [(given.at_s, given.temp_c)])
            self.probes[given.probe] = seen
            return seen
        seen.temp_c, seen.at_s = given.temp_c, given.at_s
        if given.at_s - seen.curve[-1][0] >= 10.0:
            seen.curve.append((given.at_s, given.temp_c))
            if seen.curve[0][0] < given.at_s - CURVE_S:
                del seen.curve[0]
        return seen

    def ph_read(self, given: PhRead) -> None:
        """Take a pH meter's reading."""
        self.heard_at_s[given.device] = given.at_s
        recent = self.ph.setdefault(given.device, [])
        recent.append((given.at_s, given.ph))
        del recent[:-30]

    def forget_device(self, device: str, channels: tuple[str, ...]) -> None:
        """Nothing this device said before counts any more."""
        if device in self.scales:
            self._forget(device)
        self.ph.pop(device, None)
        for channel in channels:
            self.probes.pop(channel, None)

    def temp_c(self, probe: str, now_s: float, period_s: float = 1.0) -> float | None:
        """The probe's latest reading if it is fresh for a device that speaks every ``period_s`` seconds."""
        seen = self.probes.get(probe)
        return seen.temp_c if seen and now_s - seen.at_s <= max(FRESH_S, 3 * period_s) else None

    def scale_g(self, device: str, now_s: float) -> float | None:
        """The scale's latest reading if it is fresh."""
        seen = self.scales.get(device)
        if seen is None or seen.latest_g is None or now_s - seen.latest_at_s > FRESH_S:
            return None
        return seen.latest_g
