"""From a procedure, a batch size and a bench to the plan: grams, bands, a scale for every vessel, portions."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from benchapp.calculations.limits import DEFAULT_LAW, Law
from benchapp.calculations.portions import Load, jug_loads, reading_error_g
from benchapp.calculations.scaling import scale_formula
from benchapp.calculations.tolerance import weighing_band
from benchapp.events import DeviceFacts
from benchapp.foundation.band import Target
from benchapp.foundation.language import tr
from benchapp.foundation.numbers import exact
from benchapp.make import too_small
from benchapp.make.plan import Plan, PlannedBatch, ThinnedLine, Weighing, division_of, scales_of
from procedures.batch import portion_g, topped_by_jug
from procedures.formula import FormulaLine, carrier_for
from procedures.model import Procedure
from procedures.steps import TopUp, Weigh
from procedures.steps.base import Declaration
from procedures.walk import walk

#: A scale that speaks more seldom than this cannot be judged to be still, in seconds.
SLOWEST_SCALE_S = 1.0
#: A vessel whose empty mass nobody stated is taken for this much when a scale is chosen (invented, generous).
UNKNOWN_VESSEL_G = 400.0


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
    scales = scales_of(devices)
    declared = {step.key: step.declare(bench) for step, bench in walk(procedure)}
    into = _vessels_of_lines(declared.values())
    fine = {x for s in procedure.steps if isinstance(s, Weigh) and s.scale == "fine" for x in s.lines}
    vessel_scale = _choose_scales(procedure, batch_g, scales, into, fine)
    by_name = {d.name: d for d in devices}
    lines = [x for x in procedure.formula.lines if x.cap_percent is None]
    on = {x.key: by_name.get(vessel_scale.get(into.get(x.key, ""), "")) for x in lines}
    targets = _targets(procedure, lines, batch_g, on)
    planned = PlannedBatch(procedure, batch_g, scales, targets)
    made = [_weighing(planned, x, on[x.key], into.get(x.key, "")) for x in lines]
    weighings = {weighing.line.key: weighing for weighing, _ in made}
    loads = _loads(procedure, batch_g, scales, targets)
    warnings = [said for _, said in made if said]
    warnings += [*_slow_scales(scales), *_portion_words(weighings, loads)]
    return Plan(
        procedure, batch_g, tuple(devices), weighings, vessel_scale, tuple(warnings), declared, witness, law, loads,
        _topped_by_jug(procedure, batch_g, scales),
    )  # fmt: skip


def _weighing(
    planned: PlannedBatch, line: FormulaLine, device: DeviceFacts | None, vessel: str
) -> tuple[Weighing, str]:
    """One line's target, band and mixture, and what is said of it where its scale is too coarse; "" where it will do."""
    target, ceiling_g = planned.targets[line.key], _ceiling_g(line, planned.batch_g)
    found = weighing_band(target, line.material.role, division_of(device), line.tolerance_percent, ceiling_g)
    mixture = _mixture(planned, line, device)
    if mixture is not None:
        said = too_small.mixture_words(line, target, mixture)
    else:
        said = "" if device is None else too_small.warning(planned, line, device)
        said = said or (f"{line.name}: {found.refused}." if found.refused else "")
    return Weighing(line, Target(target, found.band), vessel, device, mixture), said


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


def _targets(
    procedure: Procedure, lines: Sequence[FormulaLine], batch_g: float, on: Mapping[str, DeviceFacts | None]
) -> dict[str, float]:
    """Grams of each line, as its scale can show them, together the batch. Less than a scale can show is little and not
    nothing: it is left as it is."""
    shares = {x.key: x.percent for x in lines}
    rest = next((x.key for x in procedure.formula.lines if x.is_rest), None)
    ceilings = frozenset(x.key for x in lines if x.limit_percent is not None)
    divisions_g = {key: division_of(on[key]) for key in shares}
    grams = scale_formula(shares, batch_g, divisions_g, rest, ceilings)
    return {key: grams[key] or exact(batch_g * share / 100.0) for key, share in shares.items()}


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
            out[step.key] = jug_loads([(x, targets[x]) for x in weighs], most_g, division_of(largest))
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


def _mixture(planned: PlannedBatch, line: FormulaLine, device: DeviceFacts | None) -> ThinnedLine | None:
    """How a line that its step may thin is thinned on that scale; None where it need not, or cannot, be."""
    step = next((s for s in planned.procedure.steps if isinstance(s, Weigh) and line.key in s.thin), None)
    if step is None or device is None:
        return None
    before = step.lines[: step.lines.index(line.key)]
    carrier = carrier_for(line, [x for x in planned.procedure.formula.lines if x.key in before])
    way = (
        None
        if carrier is None
        else too_small.mixture_for(line, planned.targets[line.key], device, planned.targets[carrier.key])
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
    load = _most_held_g(procedure, batch_g)
    small = {into[x] for x in fine if x in into}
    pots = {s.vessel for s in procedure.steps if isinstance(s, TopUp)}
    chosen: dict[str, str] = {}
    for key, vessel in procedure.vessels.items():
        empty = vessel.empty_g if vessel.empty_g is not None else UNKNOWN_VESSEL_G
        gross = empty + load.get(key, 0.0)
        fitting = [d for d in scales if d.capacity_g is None or gross <= 0.95 * d.capacity_g]
        if key in small and key not in pots:
            chosen[key] = (fitting or scales[-1:])[0].name
        else:
            chosen[key] = scales[-1].name
    return chosen


def _most_held_g(procedure: Procedure, batch_g: float) -> dict[str, float]:
    """The most each vessel holds when something is weighed into it, with what was poured into it before; grams."""
    most: dict[str, float] = {}
    for step, bench in walk(procedure):
        said = step.declare(bench)
        if said.weighs and said.moves is not None:
            into = said.moves.into
            held = sum(x.percent for x in bench.lines(step.after(bench).held(into))) * batch_g / 100
            most[into] = max(most.get(into, 0.0), held)
    return most
