"""What can have happened in a make: frozen facts in the past tense. Stdlib only; beneath make and record.

``at_s`` is the make's own time in seconds since it was started; it never runs backwards and survives a restart.
``source`` says where a value comes from: measured (by a device), stated (by a person) or computed.
The journal stores exactly these fields, and the wall clock beside them, so renaming one is a change of the record's schema.
"""

from __future__ import annotations

import dataclasses
import types
import typing
from dataclasses import dataclass
from enum import StrEnum
from typing import Any


class Source(StrEnum):
    """Where a value comes from."""

    MEASURED = "measured"
    STATED = "stated"
    COMPUTED = "computed"


class Grade(StrEnum):
    """How much a deviation matters. Open minor and major ones keep a batch from being released."""

    NOTE = "note"
    MINOR = "minor"
    MAJOR = "major"


class Remedy(StrEnum):
    """What the maker does about too much in the vessel."""

    ACCEPT = "accept"
    REMOVE = "remove"
    KEEP_FORMULA = "keep formula"


@dataclass(frozen=True, slots=True)
class DeviceFacts:
    """A device as it stood when the make was started. ``checked`` is the ISO time of its last passed check."""

    name: str
    kind: str
    channels: tuple[str, ...]
    readability_g: float | None = None
    capacity_g: float | None = None
    checked: str = ""
    period_s: float = 1.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Event:
    """The root of all events."""

    at_s: float


# --- the make as a whole -------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True, kw_only=True)
class MakeStarted(Event):
    """Everything a replay needs: the procedure's text as it stood, the size, the bench."""

    batch: str
    maker: str
    procedure: str
    procedure_sha256: str
    procedure_text: str
    batch_g: float
    devices: tuple[DeviceFacts, ...]
    rehearsal: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class MakeResumed(Event):
    """The program was started again. ``gap_s`` is the wall time nobody watched, 0 where the wall clock lied."""

    gap_s: float


@dataclass(frozen=True, slots=True, kw_only=True)
class MakeHeld(Event):
    """The maker went away; nothing goes on."""

    reason: str


@dataclass(frozen=True, slots=True, kw_only=True)
class HoldEnded(Event):
    """The maker is back, after ``held_s`` seconds."""

    held_s: float


@dataclass(frozen=True, slots=True, kw_only=True)
class MakeAbandoned(Event):
    """The batch was given up, for a written reason."""

    reason: str


@dataclass(frozen=True, slots=True, kw_only=True)
class MakeFinished(Event):
    """The walk is at its end; finished is not released."""

    product_g: float
    yield_percent: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Signed(Event):
    """A named person's signature with its meaning; the journal adds date and time (21 CFR 11.50(a))."""

    step: str
    who: str
    meaning: str


# --- the walk ------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True, kw_only=True)
class StepBegan(Event):
    """A step of the method began."""

    step: str


@dataclass(frozen=True, slots=True, kw_only=True)
class StepFinished(Event):
    """All acts of a step are done."""

    step: str


@dataclass(frozen=True, slots=True, kw_only=True)
class StepSkipped(Event):
    """A step was left out, for a written reason."""

    step: str
    reason: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ActBegan(Event):
    """The maker is asked for the next thing."""

    step: str
    act: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ActFinished(Event):
    """It is done."""

    step: str
    act: str


@dataclass(frozen=True, slots=True, kw_only=True)
class StageReached(Event):
    """An act moved on inside itself (reading back → pouring → deciding a remedy)."""

    step: str
    act: str
    stage: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Watched(Event):
    """A minute in which nothing happened, and the program was there to see it: waits survive a power cut."""

    step: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Confirmed(Event):
    """The maker said yes to ``text``."""

    step: str
    act: str
    text: str


@dataclass(frozen=True, slots=True, kw_only=True)
class CautionShown(Event):
    """A caution came on the screen."""

    step: str
    caution: str


@dataclass(frozen=True, slots=True, kw_only=True)
class CautionAcknowledged(Event):
    """A serious caution was acknowledged by a distinct act."""

    step: str
    caution: str


# --- weighing and the ledger ---------------------------------------------------------------------------


@dataclass(frozen=True, slots=True, kw_only=True)
class VesselPlaced(Event):
    """A vessel came to rest on a scale. ``empty`` says that it was empty, so ``gross_g`` is its own mass."""

    step: str
    vessel: str
    device: str
    gross_g: float
    empty: bool
    source: Source


@dataclass(frozen=True, slots=True, kw_only=True)
class VesselLifted(Event):
    """A vessel left its scale, where it weighed between ``least_g`` (last at rest) and ``most_g``."""

    vessel: str
    device: str
    gross_g: float
    least_g: float | None = None
    most_g: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class VesselReturned(Event):
    """It came back, and the pour goes on."""

    vessel: str
    device: str
    gross_g: float


@dataclass(frozen=True, slots=True, kw_only=True)
class PourBegan(Event):
    """The scale stood still under the vessel; from here everything above ``baseline_g`` is this line."""

    step: str
    act: str
    line: str
    device: str
    baseline_g: float


@dataclass(frozen=True, slots=True, kw_only=True)
class WeightTaken(Event):
    """A weighing. Masses in grams; the band is what was allowed at that moment."""

    step: str
    act: str
    line: str
    vessel: str
    target_g: float
    low_g: float
    high_g: float
    net_g: float
    gross_g: float | None
    source: Source
    device: str
    checked: bool
    lot: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class LateDropFound(Event):
    """After a weighing was taken, the vessel rested a little heavier: a drop of the same line fell late."""

    step: str
    line: str
    vessel: str
    device: str
    drop_g: float


@dataclass(frozen=True, slots=True, kw_only=True)
class OverpourFound(Event):
    """More than the band allows came to rest."""

    step: str
    act: str
    line: str
    net_g: float
    high_g: float


@dataclass(frozen=True, slots=True, kw_only=True)
class RemedyChosen(Event):
    """What the maker did about it, and why."""

    step: str
    act: str
    line: str
    remedy: Remedy
    reason: str


@dataclass(frozen=True, slots=True, kw_only=True)
class MaterialRemoved(Event):
    """Taken out of the vessel again; waste, never back to its lot."""

    step: str
    line: str
    vessel: str
    removed_g: float


@dataclass(frozen=True, slots=True, kw_only=True)
class TargetsRevised(Event):
    """A batch that became larger: new targets for lines still to come (line, target_g, low_g, high_g), and what
    has to go on top of lines already weighed (line, grams), before the step is done."""

    step: str
    why: str
    batch_g: float
    additions: tuple[tuple[str, float], ...]
    targets: tuple[tuple[str, float, float, float], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class MassMoved(Event):
    """From vessel to vessel, measured by the emptied vessel where ``source`` says so."""

    step: str
    origin: str
    into: str
    mass_g: float
    left_g: float
    source: Source


@dataclass(frozen=True, slots=True, kw_only=True)
class WaterLost(Event):
    """Found by weighing a vessel again. ``lines`` are the water lines it came from, as far as known."""

    step: str
    vessel: str
    lost_g: float
    lines: tuple[str, ...]
    source: Source


@dataclass(frozen=True, slots=True, kw_only=True)
class SampleTaken(Event):
    """Taken out for a test and destroyed."""

    step: str
    vessel: str
    mass_g: float
    what: str
    source: Source


# --- heat ----------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True, kw_only=True)
class ProbeMoved(Event):
    """A probe stands in another vessel now."""

    probe: str
    vessel: str


@dataclass(frozen=True, slots=True, kw_only=True)
class TemperaturesLogged(Event):
    """(vessel, °C) pairs, at intervals and at gates."""

    step: str
    temps_c: tuple[tuple[str, float], ...]
    source: Source


@dataclass(frozen=True, slots=True, kw_only=True)
class BandEntered(Event):
    """A vessel came above the band's lower limit."""

    step: str
    vessel: str
    temp_c: float


@dataclass(frozen=True, slots=True, kw_only=True)
class BandLeft(Event):
    """A vessel fell out of the band again."""

    step: str
    vessel: str
    temp_c: float


@dataclass(frozen=True, slots=True, kw_only=True)
class HoldProgressed(Event):
    """Time in band so far; the coldest phase decides."""

    step: str
    held_s: float
    coldest_c: float


@dataclass(frozen=True, slots=True, kw_only=True)
class BurstDone(Event):
    """One burst of the blender, in seconds."""

    step: str
    number: int
    seconds: float


# --- tests and filling ---------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True, kw_only=True)
class PhTaken(Event):
    """A pH reading; ``temp_c`` is the sample's temperature where known."""

    step: str
    ph: float
    temp_c: float | None
    diluted: bool
    source: Source
    device: str
    in_band: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class LookJudged(Event):
    """Something judged by eye, nose or hand against its description."""

    step: str
    name: str
    expect: str
    as_expected: bool
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class NumberTaken(Event):
    """Any other value asked for: what, value, unit."""

    step: str
    act: str
    what: str
    value: float
    unit: str
    source: Source


@dataclass(frozen=True, slots=True, kw_only=True)
class BottleFilled(Event):
    """One container, net grams, and the limits it was held against."""

    step: str
    vessel: str
    number: int
    net_g: float
    low_g: float
    target_g: float
    source: Source


# --- trouble -------------------------------------------------------------------------------------------


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
    """Something that stands above any step."""

    kind: str
    text: str
    vessel: str


@dataclass(frozen=True, slots=True, kw_only=True)
class AlarmCleared(Event):
    """A person said that it is seen to."""

    kind: str
    how: str


# --- to and from plain records ------------------------------------------------------------------------


KINDS: dict[str, type[Event]] = {
    name: kind
    for name, kind in list(globals().items())
    if isinstance(kind, type) and issubclass(kind, Event) and kind is not Event
}


def to_fields(event: Event) -> tuple[str, dict[str, Any]]:
    """The event's kind and its fields as plain JSON-able values."""
    return type(event).__name__, dataclasses.asdict(event)


def from_fields(kind: str, fields: dict[str, Any]) -> Event:
    """The event again, exactly as it was. Raises ValueError for a kind or field this version doesn't know."""
    cls = KINDS.get(kind)
    if cls is None:
        raise ValueError(f"unknown event kind {kind!r}; a newer version of the program wrote it")
    known = typing.get_type_hints(cls)
    unknown = fields.keys() - known.keys()
    if unknown:
        raise ValueError(
            f"{kind} has unknown fields {sorted(unknown)}; a newer version of the program wrote it"
        )
    return cls(**{name: _restore(known[name], value) for name, value in fields.items()})


def _restore(hint: Any, value: Any) -> Any:
    origin = typing.get_origin(hint)
    if origin in (typing.Union, types.UnionType):
        if value is None:
            return None
        return _restore(next(a for a in typing.get_args(hint) if a is not type(None)), value)
    if origin is tuple:
        args = typing.get_args(hint)
        if len(args) == 2 and args[1] is ...:
            return tuple(_restore(args[0], v) for v in value)
        return tuple(_restore(a, v) for a, v in zip(args, value, strict=True))
    if isinstance(hint, type) and issubclass(hint, StrEnum):
        return hint(value)
    if dataclasses.is_dataclass(hint):
        hints = typing.get_type_hints(hint)
        return hint(**{k: _restore(hints[k], v) for k, v in value.items()})  # type: ignore[operator]
    return value
