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
from benchapp.calculations.hot_bath import HotBath
from benchapp.calculations.landing import Lateness
from benchapp.calculations.pan_press import COARSE_G, PanPress
from benchapp.calculations.probe_curve import ProbeCurve
from benchapp.calculations.settling import Stillness
from benchapp.calculations.standing import Standing
from benchapp.calculations.sudden import Sudden
from benchapp.calculations.until_done import PastMake
from benchapp.make.inputs import Degrees, Grams, LotOnHand, NoNumber, PhRead
from benchapp.make.state import Progress

#: A reading older than this says nothing about now.
FRESH_S = 5.0
#: How long the temperature curve that is drawn reaches back.
CURVE_S = 5400.0
#: Under which an act counts that a pan was seen empty meanwhile.
SEEN_EMPTY = "seen empty"


def known_for_s(period_s: float) -> float:
    """For how long a reading counts of a device that speaks every ``period_s`` seconds."""
    return max(FRESH_S, 3 * period_s)


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


class ScaleFilter:
    """One scale of a division of ``division_g`` grams: whether it rests and where, what came onto it all at once, how far
    it crept, and how late it and the hand at it are."""

    def __init__(self, division_g: float) -> None:
        self.motion = Stillness(division_g)
        self.sudden = Sudden(division_g)
        self.creep = Creep(division_g)
        self.drop = FirstDrop(division_g)
        self.late = Lateness(division_g)
        self.pan = PanPress(division_g) if division_g >= COARSE_G else None  # a finer pan is never pushed
        self.objected = False  # a weighing that rests there is not to be taken
        self._rest_g: float | None = None  # where it was last at rest
        self._net: bool | None = None
        self._says_gross = False

    @property
    def tared(self) -> bool:
        """Whether the scale itself says that a tare is on. One that never says "gross" means nothing by "net"."""
        return bool(self._net) and self._says_gross

    @property
    def last_g(self) -> tuple[float, float]:
        """Between which two masses it stood last, in grams: at rest or what a flow had surely brought since, and at the most
        within the last seconds."""
        risen, most = self.motion.highest_g()
        return (most if self._rest_g is None else max(min(self._rest_g, most), risen)), most

    @property
    def flow_g_s(self) -> float:
        """Grams a second just now; 0 at rest."""
        return 0.0 if self.motion.still else self.motion.flow_g_s

    @property
    def gone_again_g(self) -> float:
        """What had come all at once, or went so, and is off it now; 0 where nothing is."""
        return max(self.sudden.gone_g, -self.sudden.by_g, 0.0)

    def hear(self, given: Grams) -> None:
        """Take a reading."""
        self.motion.push(given.at_s, given.value_g, given.stable)
        rest_g = self.motion.rest_g if self.motion.still else None
        self.sudden.hear(given.at_s, given.value_g, rest_g)
        self.creep.hear(given.at_s, rest_g)
        self.drop.hear(given.at_s, given.value_g, rest_g)
        if rest_g is not None:
            self._rest_g = rest_g
        elif self.motion.swing is None:  # an objection to a mean stands while it sways
            self.objected = False
        self._net = given.net
        self._says_gross = self._says_gross or given.net is False

    def calm(self) -> None:
        """What stood there before belongs there."""
        self.sudden.calm()
        self.creep.calm()
        self.drop.calm()

    def forget(self) -> None:
        """Nothing it said before stands for now."""
        self.motion.forget()
        self.sudden.forget()
        self.creep.forget()
        self.drop.calm()


@dataclass(frozen=True, slots=True)
class LastForecast:
    """A forecast as it was last worked out: (middle, early, late) seconds from ``at_s``, what was noticed, the fan."""

    at_s: float
    forecast: tuple[float, float, float] | None
    note: str
    fan_at_s: float
    fan: tuple[tuple[float, float, float], ...]
    why_silent: str = ""


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

    scales: dict[str, ScaleFilter] = field(default_factory=dict)
    probes: dict[str, ProbeFilter] = field(default_factory=dict)
    ph: dict[str, list[tuple[float, float]]] = field(default_factory=dict)
    counts: ActCounters = field(default_factory=ActCounters)  # of the act the maker is at
    waiting: ActCounters = field(default_factory=ActCounters)  # of the wait the maker has stepped aside from
    heard_at_s: dict[str, float] = field(default_factory=dict)
    complaints: dict[str, tuple[float, str]] = field(default_factory=dict)
    foot_objected: bool = False  # the foot that is down has objected already
    lots: tuple[LotOnHand, ...] = ()  # what the workshop has on hand, ...
    lots_after: int = 0  # ... as it was after so many events of this make
    draws: bool = False  # whether a face draws curves: what only a drawing shows is worked out only then
    past: Mapping[tuple[str, str], Sequence[Past]] = field(
        default_factory=dict
    )  # how the same wait of a step and vessel went in earlier makes
    past_makes: Sequence[PastMake] = ()  # finished makes like this one
    bath: HotBath | None = None  # what is told of the bench's bath

    def turn(self, event: ev.Event, waiting: Progress | None) -> None:
        """Let an event that is written down begin the counting anew, put it aside or take it up again.

        ``waiting`` is the progress of the wait the maker has stepped aside from, after the event.
        """
        if self._weighed(event):
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
        for scale in self.scales.values():
            scale.objected = False
        self._calm()

    def _weighed(self, event: ev.Event) -> bool:
        """Whether that event is about what a scale showed, and nothing else begins anew with it."""
        if isinstance(event, ev.BaselineCrept):
            if event.device in self.scales:  # not where a make is taken up again: nothing was heard yet
                self.scales[event.device].drop.booked()
        elif isinstance(event, ev.OverpourFound):
            for scale in self.scales.values():
                scale.sudden.answered()
        elif isinstance(event, ev.PanSeenEmpty):
            self.counts.lasting[f"{SEEN_EMPTY} {event.device}"] = event.at_s
        elif isinstance(event, ev.HoldEnded | ev.AlarmCleared):
            for scale in self.scales.values():
                scale.motion.forget()  # what came to rest meanwhile rests anew: there is time to object
        elif isinstance(event, ev.PourBegan | ev.VesselReturned | ev.MassLost | ev.TareChanged):
            self._calm()
        else:
            return False
        return True

    def _calm(self) -> None:
        for scale in self.scales.values():
            scale.calm()

    def speaks(self, device: str, now_s: float, period_s: float = 1.0) -> bool:
        """Whether that device, which speaks every ``period_s`` seconds, said a number a moment ago."""
        return now_s - self.heard_at_s.get(device, -math.inf) <= known_for_s(period_s)

    def complain(self, given: NoNumber) -> None:
        """A device gave no number: what it said before no longer stands for now."""
        self.complaints[given.device] = (given.at_s, given.text)
        if given.device in self.scales and not given.lost:
            self.scales[given.device].forget()

    def complaint(self, device: str, now_s: float) -> str:
        """The sentence of a device that gives no number just now, "" where it does."""
        at_s, text = self.complaints.get(device, (-math.inf, ""))
        return text if now_s - at_s <= FRESH_S and self.heard_at_s.get(device, -math.inf) < at_s else ""

    def tared(self, device: str) -> bool:
        """Whether that scale says that a tare is on."""
        return device in self.scales and self.scales[device].tared

    def grams(self, given: Grams, division_g: float) -> None:
        """Take the reading of a scale of that division."""
        scale = self.scales.get(given.device)
        if scale is None:
            scale = self.scales[given.device] = ScaleFilter(division_g)
        scale.hear(given)
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
            self.scales[device].forget()
        self.ph.pop(device, None)
        for channel in channels:
            self.probes.pop(channel, None)

    def temp_c(self, probe: str, now_s: float, period_s: float = 1.0) -> float | None:
        """The probe's latest reading if it is fresh for a device that speaks every ``period_s`` seconds."""
        seen = self.probes.get(probe)
        return seen.temp_c if seen and now_s - seen.at_s <= known_for_s(period_s) else None

    def scale_g(self, device: str, now_s: float) -> float | None:
        """The scale's latest reading if it is fresh."""
        scale = self.scales.get(device)
        if scale is None or now_s - scale.motion.latest_at_s > FRESH_S:
            return None
        return scale.motion.latest_g
