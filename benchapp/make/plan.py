"""The procedure made concrete: grams, bands and the scale for every weighing of one batch on one bench."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace

from benchapp.calculations.limits import DEFAULT_LAW, Law
from benchapp.calculations.minimum_weight import PremixWay
from benchapp.calculations.portions import Load
from benchapp.events import DeviceFacts
from benchapp.foundation.band import Target
from benchapp.foundation.numbers import decimals_of_step
from procedures.formula import FormulaLine, Vessel
from procedures.model import Procedure
from procedures.said import said_here
from procedures.steps.base import Declaration

#: The division a weight typed by hand is taken to have, in grams.
BY_HAND_G = 0.01


@dataclass(frozen=True, slots=True)
class ThinnedLine:
    """A line that is mixed with one that its step weighs before it, so that a share of that can be weighed."""

    carrier: FormulaLine
    way: PremixWay


@dataclass(frozen=True, slots=True)
class Weighing:
    """One line's target with its band, on which scale and into which vessel. ``device`` is None by hand."""

    line: FormulaLine
    target: Target
    vessel: str
    device: DeviceFacts | None
    mixture: ThinnedLine | None = None  # how it is thinned first where that scale is too coarse

    @property
    def target_g(self) -> float:
        """What is to be weighed, in grams."""
        return self.target.grams

    @property
    def division_g(self) -> float:
        """The division of the scale it is weighed on, in grams; 0.01 by hand."""
        return division_of(self.device)

    @property
    def decimals(self) -> int:
        """Digits behind the point worth showing."""
        return decimals_of(self.device)


@dataclass(frozen=True, slots=True)
class Plan:
    """Everything fixed before the first gram."""

    procedure: Procedure
    batch_g: float
    devices: tuple[DeviceFacts, ...]
    weighings: dict[str, Weighing]
    vessel_scale: dict[str, str]  # vessel → the scale it is weighed on
    warnings: tuple[str, ...]
    declared: dict[str, Declaration]  # by the step's key
    witness: tuple[str, ...] = ()  # kinds of step after which a second person signs
    law: Law = DEFAULT_LAW
    loads: Mapping[str, tuple[Load, ...]] = field(
        default_factory=dict
    )  # by step: what goes in by its jug, in portions

    topped_by_jug: frozenset[str] = frozenset()  # steps that top up what no scale carries
    divisions_g: Mapping[str, float] = field(init=False)  # by device; "": by hand
    decimals: Mapping[str, int] = field(init=False)  # behind the point of its display, likewise
    periods_s: Mapping[str, float] = field(init=False)  # how often each device speaks
    _devices: Mapping[str, DeviceFacts] = field(init=False)
    probes: tuple[tuple[str, str], ...] = field(
        init=False
    )  # (device, probe) of every thermometer channel, in bench order
    water_lines: frozenset[str] = field(init=False)  # keys of the lines that are water and may evaporate
    _lines: Mapping[str, FormulaLine] = field(init=False)
    _thermometers: Mapping[str, str] = field(init=False)  # by probe

    def __post_init__(self) -> None:
        devices = {d.name: d for d in self.devices}
        by_hand: dict[str, DeviceFacts | None] = {"": None, **devices}
        object.__setattr__(self, "divisions_g", {name: division_of(d) for name, d in by_hand.items()})
        object.__setattr__(self, "decimals", {name: decimals_of(d) for name, d in by_hand.items()})
        object.__setattr__(self, "_devices", devices)
        object.__setattr__(self, "periods_s", {d.name: d.period_s for d in self.devices})
        lines = self.procedure.formula.lines
        object.__setattr__(self, "_lines", {x.key: x for x in lines})
        object.__setattr__(self, "water_lines", frozenset(x.key for x in lines if x.material.role == "water"))
        probes = tuple((d.name, c) for d in self.devices if d.kind == "thermometer" for c in d.channels)
        object.__setattr__(self, "probes", probes)
        object.__setattr__(self, "_thermometers", {probe: device for device, probe in reversed(probes)})

    def said_here(self) -> Plan:
        """The same with the procedure's sentences in the language spoken here."""
        said = said_here(self.procedure)
        return self if said is self.procedure else replace(self, procedure=said)

    @property
    def by_jug(self) -> frozenset[str]:
        """The lines that go into their vessel by a jug, because no scale carries the vessel."""
        return frozenset(p.line for loads in self.loads.values() for load in loads for p in load)

    def vessel(self, key: str) -> Vessel:
        """The vessel of that key."""
        return self.procedure.vessels[key]

    def device(self, name: str) -> DeviceFacts:
        """The device of that name. Raises KeyError."""
        return self._devices[name]

    def line_name(self, key: str) -> str:
        """What the maker calls that line of the formula; its key where the formula has no such line."""
        return self._lines[key].name if key in self._lines else key

    def scale_for(self, vessel: str) -> DeviceFacts | None:
        """The scale a vessel is weighed on, None where there is no scale at all."""
        name = self.vessel_scale.get(vessel)
        return self.device(name) if name else None

    def thermometer_of(self, probe: str) -> str:
        """The device that reads a probe; "" where none does."""
        return self._thermometers.get(probe, "")

    @property
    def ph_meter(self) -> DeviceFacts | None:
        """The pH meter, if the bench has one."""
        return next((d for d in self.devices if d.kind == "ph meter"), None)


@dataclass(frozen=True, slots=True)
class PlannedBatch:
    """What is fixed of a batch before its lines are looked at one by one."""

    procedure: Procedure
    batch_g: float
    scales: Sequence[DeviceFacts]
    targets: Mapping[str, float]


def scales_of(devices: Iterable[DeviceFacts]) -> list[DeviceFacts]:
    """The scales among these whose division is known, the finest first."""
    return sorted((d for d in devices if d.kind == "scale" and d.readability_g), key=division_of)


def division_of(device: DeviceFacts | None) -> float:
    """The division of a scale's display in grams; 0.01 for a weight taken by hand."""
    return BY_HAND_G if device is None else device.readability_g or BY_HAND_G


def decimals_of(device: DeviceFacts | None) -> int:
    """Digits behind the point of a scale's display; 2 for a weight taken by hand."""
    if device is None or device.readability_g is None:
        return 2
    return decimals_of_step(device.readability_g)
