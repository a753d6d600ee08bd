"""Events of weighing, and of everything that moves mass in the ledger."""

from __future__ import annotations

from dataclasses import dataclass

from benchapp.events.base import Event, Remedy
from benchapp.foundation.language import tr_noop
from benchapp.foundation.source import Source

#: What is taken out of a vessel as a last container that did not get full (see SampleTaken): a rest, counted as product.
SHORT = tr_noop("short last container")


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
class BaselineCrept(Event):
    """Before the first drop fell, the scale had crept by ``by_g``: that much above the baseline is no ingredient. Less
    than 0 where the maker says that some of it was."""

    step: str
    act: str
    device: str
    by_g: float


@dataclass(frozen=True, slots=True, kw_only=True)
class WeightTaken(Event):
    """A weighing. Masses in grams; the band is what was allowed at that moment. ``crept_g`` is what the scale had crept
    before the first drop: in the worst case so much more of the line is in. ``dilution`` names what was really on the
    scale, ``diluted_g`` grams of it: ``net_g`` is what of that is this line; its water is a weighing of its own, with no
    ``diluted_g``. ``portion`` of ``portions`` where the line is weighed in several, or out of several lots."""

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
    crept_g: float = 0.0
    dilution: str = ""
    diluted_g: float = 0.0
    portion: int = 0
    portions: int = 0


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
    """Found by weighing a vessel again, or stated. ``lines`` are the water lines it came from, as far as known."""

    step: str
    vessel: str
    lost_g: float
    lines: tuple[str, ...]
    source: Source


@dataclass(frozen=True, slots=True, kw_only=True)
class MassLost(Event):
    """A vessel came back ``lost_g`` lighter, because something was spilled. ``how`` says of what: "mixed" of everything,
    "only" of one line, "unknown" where nobody knows; ``lines`` are the grams of each line that are gone, none where
    that is unknown. ``pouring`` is the line whose pour it interrupted; ``gross_g`` is what the scale shows now."""

    step: str
    vessel: str
    device: str
    lost_g: float
    lines: tuple[tuple[str, float], ...]
    pouring: str
    how: str
    gross_g: float


@dataclass(frozen=True, slots=True, kw_only=True)
class TareChanged(Event):
    """A vessel weighs ``by_g`` more (or less) than before by something that is no part of the batch: a tool, a lid."""

    step: str
    vessel: str
    device: str
    by_g: float
    gross_g: float


@dataclass(frozen=True, slots=True, kw_only=True)
class SampleTaken(Event):
    """Taken out for a test and destroyed."""

    step: str
    vessel: str
    mass_g: float
    what: str
    source: Source
