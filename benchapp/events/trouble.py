"""Events of trouble: deviations, lost devices, doubted scales, alarms."""

from __future__ import annotations

from dataclasses import dataclass

from benchapp.events.base import Event, Grade


@dataclass(frozen=True, slots=True, kw_only=True)
class DeviationNoted(Event):
    """Anything outside its band, late, skipped, or measured by an unchecked device."""

    number: int
    grade: Grade
    kind: str
    step: str
    text: str


@dataclass(frozen=True, slots=True, kw_only=True)
class DeviceLost(Event):
    """A device is out of reach, and the sentence that was shown."""

    device: str
    fault: str
    text: str
    least_g: float | None = None  # a scale: between which two gross masses it stood when it was last heard
    most_g: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class DeviceReturned(Event):
    """It speaks again."""

    device: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ScaleDoubted(Event):
    """The scale may stand on a wrong zero; nothing it says counts until it is reconciled."""

    device: str
    why: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PanSeenEmpty(Event):
    """What the scale shows with nothing on it."""

    device: str
    zero_g: float


@dataclass(frozen=True, slots=True, kw_only=True)
class ZeroShifted(Event):
    """The scale shows the same vessel otherwise than before, and the maker says to go on from there."""

    device: str
    by_g: float


@dataclass(frozen=True, slots=True, kw_only=True)
class ScaleReconciled(Event):
    """The scale agrees with the ledger again (or the maker went on all the same)."""

    device: str
    vessel: str
    expected_g: float
    found_g: float


@dataclass(frozen=True, slots=True, kw_only=True)
class AlarmRaised(Event):
    """Something that stands above any step; ``probe`` is the one that is asked about, where one is."""

    kind: str
    text: str
    vessel: str
    probe: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class AlarmCleared(Event):
    """A person said that it is seen to."""

    kind: str
    how: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ScenarioStruck(Event):
    """In a rehearsal, the things its scenario has in store happened; ``says`` is what the maker was told of it."""

    step: str
    what: tuple[str, ...]
    says: str
