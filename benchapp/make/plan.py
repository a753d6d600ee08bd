"""The procedure made concrete: grams, bands and the scale for every weighing of one batch on one bench."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field

from benchapp.calculations.limits import DEFAULT_LAW, Law
from benchapp.calculations.minimum_weight import PremixWay
from benchapp.calculations.portions import Load, jug_loads, reading_error_g
from benchapp.calculations.scaling import scale_formula
from benchapp.calculations.tolerance import weighing_band
from benchapp.events import DeviceFacts
from benchapp.foundation.band import Target
from benchapp.foundation.language import tr
from benchapp.foundation.numbers import decimals_of_step
from benchapp.make import too_small
from procedures.batch import portion_g, topped_by_jug
from procedures.formula import FormulaLine, Vessel, carrier_for
from procedures.model import Procedure
from procedures.steps import TopUp, Weigh
from procedures.steps.base import Declaration
from procedures.walk import walk

#: A scale that speaks more seldom than this cannot be judged to be still, in seconds.
SLOWEST_SCALE_S = 1.0
#: The division a weight typed by hand is taken to have, in grams.
BY_HAND_G = 0.01
#: A vessel whose empty mass nobody stated is taken for this much when a scale is chosen (invented, generous).
UNKNOWN_VESSEL_G = 400.0


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
        return self.device.readability_g if self.device and self.device.readability_g else BY_HAND_G

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

    @property
    def by_jug(self) -> frozenset[str]:
        """The lines that go into their vessel by a jug, because no scale carries the vessel."""
        return frozenset(p.line for loads in self.loads.values() for load in loads for p in load)

    def vessel(self, key: str) -> Vessel:
        """The vessel of that key."""
        return self.procedure.vessels[key]

    def device(self, name: str) -> DeviceFacts:
        """The device of that name. Raises KeyError."""
        return next(d for d in self.devices if d.name == name)

    def scale_for(self, vessel: str) -> DeviceFacts | None:
        """The scale a vessel is weighed on, None where there is no scale at all."""
        name = self.vessel_scale.get(vessel)
        return self.device(name) if name else None

    @property
    def probes(self) -> tuple[tuple[str, str], ...]:
        """(device, probe) of every thermometer channel, in bench order."""
        return tuple((d.name, c) for d in self.devices if d.kind == "thermometer" for c in d.channels)

    @property
    def ph_meter(self) -> DeviceFacts | None:
        """The pH meter, if the bench has one."""
        return next((d for d in self.devices if d.kind == "ph meter"), None)

    @property
    def water_lines(self) -> frozenset[str]:
        """Keys of the lines that are water and may evaporate."""
        return frozenset(x.key for x in self.procedure.formula.lines if x.material.role == "water")


def decimals_of(device: DeviceFacts | None) -> int:
    """Digits behind the point of a scale's display; 2 for a weight taken by hand."""
    if device is None or device.readability_g is None:
        return 2
    return decimals_of_step(device.readability_g)


@dataclass(frozen=True, slots=True)
class _Planned:
    """What is fixed of a batch before its lines are looked at one by one."""

    procedure: Procedure
    batch_g: float
    scales: Sequence[DeviceFacts]
    targets: Mapping[str, float]


def make_plan(
    procedure: Procedure,
    batch_g: float,
    devices: Sequence[DeviceFacts],
    witness: tuple[str, ...] = (),
    law: Law = DEFAULT_LAW,
) -> Plan:
    """Fix grams, bands and scales for a batch of ``batch_g`` grams, the kinds of step that want a witness, and the law
    it is held against.

    Raises ValueError for an impossible size.
    """
    scales = sorted(
        (d for d in devices if d.kind == "scale" and d.readability_g), key=lambda d: d.readability_g or 0
    )
    declared = {step.key: step.declare(bench) for step, bench in walk(procedure)}
    into = _vessels_of_lines(declared.values())
    fine = {x for s in procedure.steps if isinstance(s, Weigh) and s.scale == "fine" for x in s.lines}
    vessel_scale = _choose_scales(procedure, batch_g, scales, into, fine)
    by_name = {d.name: d for d in devices}
    lines = [x for x in procedure.formula.lines if x.cap_percent is None]
    on = {x.key: by_name.get(vessel_scale.get(into.get(x.key, ""), "")) for x in lines}
    targets = _targets(procedure, lines, batch_g, on)
    planned = _Planned(procedure, batch_g, scales, targets)
    weighings: dict[str, Weighing] = {}
    warnings: list[str] = []
    for line in lines:
        device = on[line.key]
        found = weighing_band(
            targets[line.key], line.material.role, _division_g(device), line.tolerance_percent, _ceiling_g(line, batch_g)
        )  # fmt: skip
        mixture = _mixture(procedure, line, targets, device)
        said = _too_small(planned, line, device, mixture)
        warnings += (
            [said]
            if said
            else [f"{line.name}: {found.refused}."]
            if found.refused and mixture is None
            else []
        )
        band = Target(targets[line.key], found.band)
        weighings[line.key] = Weighing(line, band, into.get(line.key, ""), device, mixture)
    loads = _loads(procedure, batch_g, scales, targets)
    warnings += [*_slow_scales(scales), *_portion_words(weighings, loads)]
    return Plan(
        procedure, batch_g, tuple(devices), weighings, vessel_scale, tuple(warnings), declared, witness, law, loads,
        _topped_by_jug(procedure, batch_g, scales),
    )  # fmt: skip


def _slow_scales(scales: Sequence[DeviceFacts]) -> list[str]:
    """What is said of scales that cannot be judged to be still."""
    return [
        tr(
            "The {name} speaks only every {period_s:g} s: too seldom to weigh hands-free. Set it "
            "to send more often.",
            name=d.name,
            period_s=d.period_s,
        )
        for d in scales
        if d.period_s > SLOWEST_SCALE_S
    ]


def _division_g(device: DeviceFacts | None) -> float:
    """Of the scale a line is weighed on, in grams."""
    return BY_HAND_G if device is None else device.readability_g or BY_HAND_G


def _targets(
    procedure: Procedure, lines: Sequence[FormulaLine], batch_g: float, on: Mapping[str, DeviceFacts | None]
) -> dict[str, float]:
    """Grams of each line, as its scale can show them, together the batch."""
    shares = {x.key: x.percent for x in lines}
    rest = next((x.key for x in procedure.formula.lines if x.is_rest), None)
    ceilings = frozenset(x.key for x in lines if x.limit_percent is not None)
    return scale_formula(shares, batch_g, {key: _division_g(on[key]) for key in shares}, rest, ceilings)


def _too_small(
    planned: _Planned, line: FormulaLine, device: DeviceFacts | None, mixture: ThinnedLine | None
) -> str:
    """What is said of a line that its scale is too coarse for: how it is mixed, or what else may be done; "" where it will
    do."""
    target = planned.targets[line.key]
    if mixture is not None:
        return too_small.mixture_words(line, target, mixture.carrier.name, mixture.way)
    if device is None:
        return ""
    near = [x for x in planned.procedure.formula.lines if x.kettle == line.kettle]
    carrier = carrier_for(line, near)
    carrier_g = planned.targets.get(carrier.key, 0.0) if carrier else 0.0
    largest_g = planned.procedure.batch_g.high
    return too_small.warning(
        line, target, planned.batch_g, largest_g, device, planned.scales, carrier, carrier_g
    )


def _loads(
    procedure: Procedure, batch_g: float, scales: Sequence[DeviceFacts], targets: Mapping[str, float]
) -> dict[str, tuple[Load, ...]]:
    """What goes into its vessel by a jug, for each step whose vessel no scale carries."""
    largest = scales[-1] if scales else None
    if largest is None or largest.capacity_g is None:
        return {}
    out = {}
    for step, bench in walk(procedure):
        most_g = portion_g(step, bench, procedure, batch_g, largest.capacity_g)
        if most_g is not None and most_g > 0.0:
            weighs = step.declare(bench).weighs
            out[step.key] = jug_loads(
                [(x, targets[x]) for x in weighs], most_g, largest.readability_g or BY_HAND_G
            )
    return out


def _topped_by_jug(procedure: Procedure, batch_g: float, scales: Sequence[DeviceFacts]) -> frozenset[str]:
    """The steps that top up by their jug."""
    most_g = scales[-1].capacity_g if scales else None
    return frozenset(
        step.key
        for step, bench in walk(procedure)
        if most_g is not None and topped_by_jug(step, bench, procedure, batch_g, most_g)
    )


def _portion_words(weighings: Mapping[str, Weighing], loads: Mapping[str, tuple[Load, ...]]) -> list[str]:
    """How each line that is too much for a load is split, and how the errors add."""
    out = []
    for portion in (p for of_step in loads.values() for load in of_step for p in load):
        if portion.of == 1 or portion.number > 1:
            continue
        w = weighings[portion.line]
        if w.line.kettle > 1:
            continue  # as in the first kettle
        name = (
            tr("{whole_name}, in each kettle", whole_name=w.line.whole_name) if w.line.kettle else w.line.name
        )
        off, read = w.target.margin_g, reading_error_g(w.division_g, portion.of)
        out.append(
            tr(
                "{name}: {target_g:g} g are weighed in {of} portions of about {grams:g} g, each "
                "within {off:.3g} g; together within {off_2:.3g} g, and {read:.2g} g of reading.",
                name=name,
                target_g=w.target_g,
                of=portion.of,
                grams=portion.grams,
                off=off / portion.of,
                off_2=off,
                read=read,
            )
        )
    return out


def _mixture(
    procedure: Procedure, line: FormulaLine, targets: Mapping[str, float], device: DeviceFacts | None
) -> ThinnedLine | None:
    """How a line that its step may thin is thinned on that scale; None where it need not, or cannot, be."""
    step = next((s for s in procedure.steps if isinstance(s, Weigh) and line.key in s.thin), None)
    if step is None or device is None:
        return None
    before = step.lines[: step.lines.index(line.key)]
    carrier = carrier_for(line, [x for x in procedure.formula.lines if x.key in before])
    way = (
        None
        if carrier is None
        else too_small.mixture_for(line, targets[line.key], device, targets[carrier.key])
    )
    return None if carrier is None or way is None else ThinnedLine(carrier, way)


def _ceiling_g(line: FormulaLine, batch_g: float) -> float | None:
    return None if line.limit_percent is None else line.limit_percent * batch_g / 100


def _vessels_of_lines(declared: Iterable[Declaration]) -> dict[str, str]:
    into: dict[str, str] = {}
    for said in declared:
        if said.moves is not None:
            for line in said.weighs:
                into.setdefault(line, said.moves.into)
    return into


def _choose_scales(
    procedure: Procedure,
    batch_g: float,
    scales: Sequence[DeviceFacts],
    into: dict[str, str],
    fine: set[str],
) -> dict[str, str]:
    """The finest scale that carries vessel and load, for boats; the largest for the pots the batch stands in."""
    if not scales:
        return {}
    load: dict[str, float] = {}
    for line in procedure.formula.lines:
        if line.key in into and line.cap_percent is None:
            load[into[line.key]] = load.get(into[line.key], 0.0) + line.percent * batch_g / 100
    small = {into[x] for x in fine if x in into}
    pots = {s.vessel for s in procedure.steps if isinstance(s, TopUp)}
    chosen: dict[str, str] = {}
    for key, vessel in procedure.vessels.items():
        empty = vessel.empty_g if vessel.empty_g is not None else UNKNOWN_VESSEL_G
        gross = empty + load.get(key, 0.0)
        fitting = [d for d in scales if d.capacity_g is None or gross <= 0.95 * d.capacity_g]
        if key in small and key not in pots:
            chosen[key] = (fitting or scales)[0].name
        else:
            chosen[key] = scales[-1].name
    return chosen
