"""The procedure made concrete: grams, bands and the scale for every weighing of one batch on one bench."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field

from benchapp.calculations.limits import DEFAULT_LAW, Law
from benchapp.calculations.minimum_weight import PremixWay
from benchapp.calculations.portions import Load, Portion, jug_loads, reading_error_g
from benchapp.calculations.scaling import scale_formula
from benchapp.calculations.tolerance import weighing_band
from benchapp.events import DeviceFacts
from benchapp.foundation.band import Target
from benchapp.foundation.numbers import decimals_of_step
from benchapp.make import too_small
from procedures.batch import portion_g
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
    shares = {x.key: x.percent for x in procedure.formula.lines if x.cap_percent is None}
    rest = next((x.key for x in procedure.formula.lines if x.is_rest), None)
    by_name = {d.name: d for d in devices}
    steps = {
        key: by_name[vessel_scale[into[key]]].readability_g or BY_HAND_G
        if into.get(key) in vessel_scale
        else BY_HAND_G
        for key in shares
    }
    ceilings = frozenset(x.key for x in procedure.formula.lines if x.material.use_limit_percent is not None)
    targets = scale_formula(shares, batch_g, steps, rest, ceilings)
    weighings: dict[str, Weighing] = {}
    warnings: list[str] = []
    for line in procedure.formula.lines:
        if line.cap_percent is not None:
            continue
        device = by_name.get(vessel_scale.get(into.get(line.key, ""), ""))
        target = targets[line.key]
        found = weighing_band(
            target, line.material.role, steps[line.key], line.tolerance_percent, _ceiling_g(line, batch_g)
        )
        mixture, small = _mixture(procedure, line, targets, device), ""
        if device is not None and mixture is None:
            carrier = carrier_for(line, procedure.formula.lines)
            carrier_g = targets.get(carrier.key, 0.0) if carrier else 0.0
            largest_g = procedure.batch_g.high
            small = too_small.warning(line, target, batch_g, largest_g, device, scales, carrier, carrier_g)
        if mixture is not None:
            warnings.append(too_small.mixture_words(line, target, mixture.carrier.name, mixture.way))
        elif small or found.refused:
            warnings.append(small or f"{line.name}: {found.refused}.")
        band = Target(target, found.band)
        weighings[line.key] = Weighing(line, band, into.get(line.key, ""), device, mixture)
    warnings += [
        f"The {d.name} speaks only every {d.period_s:g} s: too seldom to weigh hands-free. Set it to send more often."
        for d in scales
        if d.period_s > SLOWEST_SCALE_S
    ]
    loads = _loads(procedure, batch_g, scales, targets)
    warnings += [
        words
        for key, of_step in loads.items()
        for load in of_step
        for portion in load
        if (words := _portion_words(weighings[portion.line], portion))
    ]
    return Plan(
        procedure,
        batch_g,
        tuple(devices),
        weighings,
        vessel_scale,
        tuple(warnings),
        declared,
        witness,
        law,
        loads,
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


def _portion_words(weighing: Weighing, portion: Portion) -> str:
    """How a line is split, said once; "" for what goes in whole and for later portions."""
    if portion.of == 1 or portion.number > 1:
        return ""
    off, read = weighing.target.margin_g, reading_error_g(weighing.division_g, portion.of)
    return (
        f"{weighing.line.name}: {weighing.target_g:g} g are weighed in {portion.of} portions of about {portion.grams:g} g, each "
        f"within {off / portion.of:.3g} g; together within {off:.3g} g, and {read:.2g} g of reading."
    )


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
    limit = line.material.use_limit_percent
    return None if limit is None else limit * batch_g / 100


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
