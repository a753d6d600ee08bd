"""A weighing that its scale cannot do well enough, and the ways out, in sentences for the plan."""

from __future__ import annotations

from collections.abc import Sequence

from benchapp.calculations.minimum_weight import (
    BiggerBatch,
    FinerScale,
    PremixWay,
    ScaleFacts,
    choose_scale,
    least_on_g,
    ways_out,
)  # fmt: skip
from benchapp.events import DeviceFacts
from procedures.formula import FormulaLine

#: What mixes with water, and what with an oil, by role (common practice, no source). Of anything else, and of gums that
#: would set, nobody but the supplier knows what it can be thinned in.
WATERY: frozenset[str] = frozenset({"humectant", "chelator", "acid", "base"})
OILY: frozenset[str] = frozenset({"oil", "butter", "antioxidant", "fragrance"})


def carrier_for(line: FormulaLine, lines: Sequence[FormulaLine]) -> FormulaLine | None:
    """The line of the formula in which this one could be thinned: the rest of water, or the largest oil."""
    if line.material.role in WATERY:
        return next((x for x in lines if x.is_rest and x.material.role == "water"), None)
    oils = [x for x in lines if x.material.role == "oil" and x.key != line.key]
    return max(oils, key=lambda x: x.percent, default=None) if line.material.role in OILY else None


def warning(
    line: FormulaLine,
    target_g: float,
    batch_g: float,
    largest_g: float,
    device: DeviceFacts,
    scales: Sequence[DeviceFacts],
    carrier: FormulaLine | None,
    carrier_g: float,
) -> str:
    """One sentence with the nearest way out, "" where the scale will do.

    The smallest mass a scale weighs well enough follows USP <41>'s repeatability rule, with this line's own
    tolerance in place of 0.10 %. ``carrier`` is what it could be thinned in, ``carrier_g`` as much as the formula has.
    """
    tolerance = line.within_percent
    facts = _facts(device)
    least = least_on_g(facts, tolerance)
    if target_g >= least:
        return ""
    text = f"{line.name}: {target_g:g} g on a {device.readability_g:g} g scale, which weighs {least:.3g} g well enough"
    better, in_boat = choose_scale(target_g, tolerance, 0.0, [_facts(d) for d in scales])
    if better is not None and better.name != device.name:
        return f"{text}. Weigh it{' in a boat' if in_boat else ''} on the {better.name}."
    out = ways_out(target_g, tolerance, batch_g, largest_g, facts, carrier_g if carrier else 0.0)
    name = carrier.name if carrier else ""
    return f"{text}. {' or '.join(_way(w, batch_g, name) for w in out)}."


def _facts(device: DeviceFacts) -> ScaleFacts:
    return ScaleFacts(device.name, device.readability_g or 0.01, device.capacity_g)


def _way(way: FinerScale | BiggerBatch | PremixWay, batch_g: float, carrier: str) -> str:
    if isinstance(way, FinerScale):
        return f"Use a scale that shows {way.readability_g:g} g"
    if isinstance(way, BiggerBatch):
        return f"make {way.batch_g:g} g instead of {batch_g:g} g"
    return (
        f"mix {way.material_g:g} g with {way.carrier_g:g} g of {carrier} first ({way.strength_percent:.3g} %) and weigh "
        f"{way.dose_g:g} g of that, and so much less {carrier}"
    )
