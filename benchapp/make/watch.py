"""What stands beside the fold: filters over raw readings. Never stored; rebuilt from live readings after a restart."""

from __future__ import annotations

from dataclasses import dataclass, field

from benchapp.calculations.forecast import Forecaster
from benchapp.calculations.hold import HoldClock
from benchapp.calculations.landing import Lateness
from benchapp.calculations.settling import Stillness
from benchapp.make.inputs import Degrees, Grams, PhRead

#: A reading older than this says nothing about now.
FRESH_S = 5.0
#: How long the temperature curve that is drawn reaches back.
CURVE_S = 5400.0


@dataclass
class ProbeWatch:
    """One probe: the latest reading and a thinned curve."""

    temp_c: float
    at_s: float
    curve: list[tuple[float, float]] = field(default_factory=list)
    jump_k: float = 0.0  # against the reading before


@dataclass(frozen=True, slots=True)
class Told:
    """A forecast as it was last worked out: (middle, early, late) seconds from ``at_s``, what was noticed, the fan."""

    at_s: float
    forecast: tuple[float, float, float] | None
    note: str
    fan_at_s: float
    fan: tuple[tuple[float, float, float], ...]


@dataclass
class Watch:
    """All live channels of one make."""

    scales: dict[str, Stillness] = field(default_factory=dict)
    nets: dict[str, bool | None] = field(default_factory=dict)
    probes: dict[str, ProbeWatch] = field(default_factory=dict)
    ph: dict[str, list[tuple[float, float]]] = field(default_factory=dict)
    forecasters: dict[str, Forecaster] = field(default_factory=dict)  # by vessel, for the current act
    hold: HoldClock | None = None  # of the current act
    told: dict[str, Told] = field(default_factory=dict)
    late: dict[str, Lateness] = field(default_factory=dict)
    scratch: dict[str, float] = field(default_factory=dict)  # what the current act counts between two events

    def new_act(self) -> None:
        """What the last act counted says nothing about the next."""
        self.scratch.clear()
        self.forecasters.clear()
        self.told.clear()
        self.hold = None

    def lateness(self, device: str, division_g: float) -> Lateness:
        """How late that scale and the hand at it are together, learned from pour to pour."""
        if device not in self.late:
            self.late[device] = Lateness(division_g)
        return self.late[device]

    def grams(self, given: Grams, division_g: float) -> None:
        """Take a scale's reading."""
        still = self.scales.get(given.device)
        if still is None:
            still = self.scales[given.device] = Stillness(division_g)
        still.push(given.at_s, given.value_g, given.stable)
        self.nets[given.device] = given.net

    def degrees(self, given: Degrees) -> None:
        """Take a probe's reading."""
        seen = self.probes.get(given.probe)
        if seen is None:
            self.probes[given.probe] = ProbeWatch(given.temp_c, given.at_s, [(given.at_s, given.temp_c)])
            return
        seen.jump_k = given.temp_c - seen.temp_c
        seen.temp_c, seen.at_s = given.temp_c, given.at_s
        if given.at_s - seen.curve[-1][0] >= 10.0:
            seen.curve.append((given.at_s, given.temp_c))
            if seen.curve[0][0] < given.at_s - CURVE_S:
                del seen.curve[0]

    def ph_read(self, given: PhRead) -> None:
        """Take a pH meter's reading."""
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

    def temp_c(self, probe: str, now_s: float) -> float | None:
        """The probe's latest reading if it is fresh."""
        seen = self.probes.get(probe)
        return seen.temp_c if seen and now_s - seen.at_s <= FRESH_S else None

    def scale_g(self, device: str, now_s: float) -> float | None:
        """The scale's latest reading if it is fresh."""
        seen = self.scales.get(device)
        if seen is None or seen.latest_g is None or now_s - seen.latest_at_s > FRESH_S:
            return None
        return seen.latest_g
