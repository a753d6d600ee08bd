"""Rules about size: headroom in a vessel, depth for the blender, weights a scale can show."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator

from benchapp.calculations.minimum_weight import least_weight_g
from benchapp.foundation.language import tr, tr_noop
from benchapp.foundation.numbers import exact

from ..bench import BenchState
from ..building import ProcedureDraft
from ..formula import FormulaLine
from ..model import Procedure
from ..steps import Blend, Density, Fill, MeasurePh, Step, Weigh
from ..walk import walk
from .rule import EVERYTHING, Finding, Rule

#: How full a vessel may be, brim-full being 1, so that it can be stirred. Common practice, no source.
FULL = 0.8
#: The readability of an ordinary kitchen-bench scale, for a file that knows nothing of the bench.
ORDINARY_READABILITY_G = 0.1


def volume_ml(keys: Iterable[str], procedure: Procedure, batch_g: float) -> float:
    """The volume of some lines at a batch size; a material without a density counts as 1 g/ml."""
    lines = procedure.formula.by_key
    found = [lines[key] for key in keys]
    return sum(x.percent / 100.0 * batch_g / (x.material.density_g_ml or 1.0) for x in found)


def batch_size(sheet: ProcedureDraft) -> Iterator[Finding]:
    """The usual batch lies between the smallest and the largest."""
    procedure = sheet.procedure
    low, usual, high = procedure.batch_g.low, procedure.default_batch_g, procedure.batch_g.high
    if not 0 < low <= usual <= high:
        yield Finding(
            ("batch", "usual"),
            tr(
                "The usual batch, {usual:g} g, does not lie between {low:g} g and {high:g} g",
                usual=usual,
                low=low,
                high=high,
            ),
            tr("Put the three in order"),
        )


def headroom(sheet: ProcedureDraft) -> Iterator[Finding]:
    """No vessel is more than four fifths full at the largest batch."""
    largest = sheet.procedure.batch_g.high
    for vessel, used, step in _fullest(sheet.procedure, largest):
        capacity = sheet.procedure.vessels[vessel].capacity_ml
        if exact(used) > exact(capacity * FULL):
            yield Finding(
                sheet.path("vessel", vessel, "capacity"),
                tr(
                    '{used:.0f} ml in the step "{title}" at the largest batch is more than four fifths '
                    "of {capacity:g} ml",
                    used=used,
                    title=step.title,
                    capacity=capacity,
                ),
                tr(
                    "Take a vessel of {ceil} ml, make the largest batch smaller, or split it over "
                    "several kettles",
                    ceil=math.ceil(used / FULL / 50) * 50,
                ),
            )


def _fullest(procedure: Procedure, batch_g: float) -> list[tuple[str, float, Step]]:
    """For each vessel: the most it ever holds, ml, and the step that brings it there."""
    most: dict[str, tuple[float, Step]] = {}
    before: Step | None = None
    for step, bench in walk(procedure):
        for vessel, held in bench.contents.items():
            used = volume_ml(held, procedure, batch_g)
            if before is not None and exact(used) > exact(most.get(vessel, (0.0, before))[0]):
                most[vessel] = (used, before)
        before = step
    return [(vessel, used, step) for vessel, (used, step) in most.items()]


def blender_depth(sheet: ProcedureDraft) -> Iterator[Finding]:
    """At the smallest batch the blender's head is still covered."""
    smallest = sheet.procedure.batch_g.low
    for step, bench in walk(sheet.procedure):
        if not isinstance(step, Blend) or step.head_depth_mm is None:
            continue
        vessel = sheet.procedure.vessels[step.vessel]
        depth = depth_mm(step, bench, sheet.procedure, smallest)
        if depth is None:
            yield Finding(
                sheet.path("vessel", step.vessel),
                tr(
                    "The blender needs {head_depth_mm:g} mm, but the {name} has no diameter",
                    head_depth_mm=step.head_depth_mm,
                    name=vessel.name,
                ),
                tr('Measure it inside and add diameter = "110 mm"'),
            )
        elif depth < step.head_depth_mm and bench.contents.get(step.vessel):
            yield Finding(
                sheet.path("step", step.key, "head"),
                tr(
                    "At the smallest batch the {name} is {depth:.0f} mm deep, and the blender needs "
                    "{head_depth_mm:g} mm",
                    name=vessel.name,
                    depth=depth,
                    head_depth_mm=step.head_depth_mm,
                ),
                tr("Make the smallest batch larger, or take a narrower vessel"),
            )


def depth_mm(step: Blend, bench: BenchState, procedure: Procedure, batch_g: float) -> float | None:
    """How deep the liquid stands in the blended vessel, taken as a cylinder; None without its diameter."""
    diameter = procedure.vessels[step.vessel].diameter_mm
    if not diameter:
        return None
    volume = volume_ml(bench.contents.get(step.vessel, ()), procedure, batch_g)
    return volume * 1000.0 / (math.pi / 4.0 * diameter**2)


def fine_scale(sheet: ProcedureDraft) -> Iterator[Finding]:
    """A weight too small for an ordinary 0.1 g scale at the usual batch goes on the finer one."""
    procedure = sheet.procedure
    for step, line in weighings(procedure):
        target = line.percent / 100.0 * procedure.default_batch_g
        is_fine = isinstance(step, Weigh) and step.scale == "fine"
        if not is_fine and exact(target) < exact(least_weight_g(ORDINARY_READABILITY_G, line.within_percent)):
            yield Finding(
                sheet.path("step", step.key),
                tr(
                    "{target:.3g} g of {name} is too little to weigh within {within_percent:g} % on a "
                    "{ordinary_readability_g:g} g scale",
                    target=target,
                    name=line.name,
                    within_percent=line.within_percent,
                    ordinary_readability_g=ORDINARY_READABILITY_G,
                ),
                tr('Weigh it into a boat with scale = "fine", or give it a wider tolerance'),
            )


def weighings(procedure: Procedure) -> Iterator[tuple[Step, FormulaLine]]:
    """Each line with the step it is weighed in."""
    for step, bench in walk(procedure):
        for line in bench.lines(step.declare(bench).weighs):
            yield step, line


def fill_count(sheet: ProcedureDraft) -> Iterator[Finding]:
    """The stated numbers of containers together do not hold more than the usual batch gives, and what is filled as often as
    it gives fills one at least and leaves nothing for another fill."""
    procedure = sheet.procedure
    left: dict[str, float] = {}  # of what is in a vessel, the part that earlier fills leave
    for step, bench in walk(procedure):
        if not isinstance(step, Fill) or not bench.contents.get(step.vessel):
            continue
        there, part = _usual_content(step, bench, procedure), left.get(step.vessel, 1.0)
        each, unit = (step.nominal_g, "g") if step.nominal_g else (step.nominal_ml or 0.0, "ml")
        wanted = (step.count or 1) * each
        left[step.vessel] = 0.0 if step.count is None else max(part - wanted / there, 0.0)
        if exact(wanted) > exact(there * part):
            field = "content" if step.count is None and part == 1.0 else "count"
            yield Finding(
                sheet.path("step", step.key, field), *_too_many(step, each, unit, there * part, part < 1.0)
            )


def _too_many(step: Fill, each: float, unit: str, there: float, shared: bool) -> tuple[str, str]:
    """What is said of more containers than there is to fill them with, and what mends it."""
    fewer = int(there // each)
    what = (
        tr_noop("{count} × {each:g} {unit} is more than the {there:.0f} {unit} that an earlier fill leaves")
        if shared
        else tr_noop("{count} × {each:g} {unit} is more than the {there:.0f} {unit} of a usual batch")
    )
    instead = (
        tr("Write {there} or fewer, or leave count out", there=fewer)
        if fewer
        else tr("Let an earlier fill have a smaller count, or leave this step out")
        if shared
        else tr('Write the declared content, like "100 ml" or "100 g"')
    )
    return tr(what, count=step.count or 1, each=each, unit=unit, there=there), instead


def _usual_content(step: Fill, bench: BenchState, procedure: Procedure) -> float:
    """What a usual batch, less its loss, has in the vessel that is filled, in the unit of the step's content."""
    batch = procedure.default_batch_g * (1.0 - procedure.loss_percent / 100.0)
    held = bench.held(step.vessel)
    if step.nominal_g is None:
        return volume_ml(held, procedure, batch)
    return sum(line.percent for line in bench.lines(held)) / 100.0 * batch


def taken_out(sheet: ProcedureDraft) -> Iterator[Finding]:
    """What is taken out to be measured leaves something of the smallest batch; 1 ml counts as 1 g."""
    smallest, taken_g = sheet.procedure.batch_g.low, 0.0
    for step in sheet.procedure.steps:
        if isinstance(step, MeasurePh):
            taken_g, field = taken_g + step.sample_g, "sample"
        elif isinstance(step, Density):
            taken_g, field = taken_g + step.volume_ml, "volume"
        else:
            continue
        if exact(taken_g) >= exact(smallest):
            yield Finding(
                sheet.path("step", step.key, field),
                tr(
                    "{taken:g} g taken out to be measured leave nothing of the smallest batch, {smallest:g} g",
                    taken=taken_g,
                    smallest=smallest,
                ),
                tr("Make the smallest batch larger, or take less out"),
            )
            return


RULES = (
    Rule("batch-size", batch_size, frozenset({"formula"})),
    Rule("headroom", headroom, EVERYTHING),
    Rule("blender-depth", blender_depth, EVERYTHING),
    Rule("fine-scale", fine_scale, EVERYTHING, grade="warning"),
    Rule("fill-count", fill_count, EVERYTHING),
    Rule("taken-out", taken_out, EVERYTHING),
)
