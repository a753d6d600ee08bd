"""A weighing that its scale cannot do well enough, and the ways out, in sentences for the plan."""

from __future__ import annotations

from collections.abc import Sequence

from benchapp.calculations.minimum_weight import (
    BiggerBatch,
    FinerScale,
    Premix,
    ScaleFacts,
    choose_scale,
    least_on_g,
    ways_out,
)  # fmt: skip
from benchapp.calculations.tolerance import tolerance_percent_of
from benchapp.events import DeviceFacts
from procedures.model import FormulaLine


def warning(
    line: FormulaLine,
    target_g: float,
    batch_g: float,
    largest_g: float,
    device: DeviceFacts,
    scales: Sequence[DeviceFacts],
    carrier_g: float,
) -> str:
    """One sentence with the nearest way out, "" where the scale will do.

    The smallest mass a scale weighs well enough follows USP <41>'s repeatability rule, with this line's own
    tolerance in place of 0.10 %. ``carrier_g`` is what a premix could be carried in (the water of the formula).
    """
    tolerance = tolerance_percent_of(line.material.role, line.tolerance_percent)
    facts = _facts(device)
    least = least_on_g(facts, tolerance)
    if target_g >= least:
        return ""
    text = f"{line.name}: {target_g:g} g on a {device.readability_g:g} g scale, which weighs {least:.3g} g well enough"
    better, in_boat = choose_scale(target_g, tolerance, 0.0, [_facts(d) for d in scales])
    if better is not None and better.name != device.name:
        return f"{text}. Weigh it{' in a boat' if in_boat else ''} on the {better.name}."
    out = ways_out(target_g, tolerance, batch_g, largest_g, facts, carrier_g)
    return f"{text}. {' or '.join(_way(w, batch_g) for w in out)}."


def _facts(device: DeviceFacts) -> ScaleFacts:
    return ScaleFacts(device.name, device.readability_g or 0.01, device.capacity_g)


def _way(way: FinerScale | BiggerBatch | Premix, batch_g: float) -> str:
    if isinstance(way, FinerScale):
        return f"Use a scale that shows {way.readability_g:g} g"
    if isinstance(way, BiggerBatch):
        return f"make {way.batch_g:g} g instead of {batch_g:g} g"
    return (
        f"dissolve {way.material_g:g} g in {way.carrier_g:g} g of water first ({way.strength_percent:.3g} %) "
        f"and weigh {way.dose_g:g} g of that"
    )
