"""A weighing that its scale cannot do well enough, and the ways out: in sentences for the plan, and as a mixture to be made."""

from __future__ import annotations

from benchapp.calculations.minimum_weight import (
    BiggerBatch,
    FinerScale,
    PremixWay,
    ScaleFacts,
    choose_scale,
    least_weight_g,
    make_premix,
    ways_out,
)  # fmt: skip
from benchapp.events import DeviceFacts
from benchapp.foundation.language import tr
from benchapp.make.plan import PlannedBatch, ThinnedLine, division_of
from procedures.formula import FormulaLine, carrier_for


def warning(planned: PlannedBatch, line: FormulaLine, device: DeviceFacts) -> str:
    """One sentence with the nearest way out, "" where the scale will do.

    The smallest mass a scale weighs well enough follows USP <41>'s repeatability rule, with this line's own
    tolerance in place of 0.10 %.
    """
    tolerance, target_g, facts = line.within_percent, planned.targets[line.key], _facts(device)
    least = least_weight_g(facts.readability_g, tolerance)
    if target_g >= least:
        return ""
    text = tr(
        "{name}: {target_g:g} g on a {readability_g:g} g scale, which weighs {least:.3g} g well enough",
        name=line.name,
        target_g=target_g,
        readability_g=device.readability_g,
        least=least,
    )
    better, in_boat = choose_scale(target_g, tolerance, 0.0, [_facts(d) for d in planned.scales])
    if better is not None and better.name != device.name:
        return tr(
            "{text}. Weigh it{how} on the {name}.",
            text=text,
            how=tr(" in a boat") if in_boat else "",
            name=better.name,
        )
    carrier = carrier_for(line, [x for x in planned.procedure.formula.lines if x.kettle == line.kettle])
    carrier_g = planned.targets.get(carrier.key, 0.0) if carrier else 0.0
    largest_g, name = planned.procedure.batch_g.high, carrier.name if carrier else ""
    out = ways_out(target_g, tolerance, planned.batch_g, largest_g, facts, carrier_g)
    return f"{text}. {' or '.join(_way(w, planned.batch_g, name) for w in out)}."


def mixture_for(
    line: FormulaLine, target_g: float, device: DeviceFacts, carrier_g: float
) -> PremixWay | None:
    """How ``line`` is thinned in ``carrier_g`` grams of its carrier on a scale that is too coarse for it; None where the
    scale will do, or no mixture would."""
    least = least_weight_g(division_of(device), line.within_percent)
    if target_g >= least:
        return None
    return make_premix(target_g, least, division_of(device), carrier_g)


def mixture_words(line: FormulaLine, target_g: float, mixture: ThinnedLine) -> str:
    """What the make will walk through, for the plan."""
    way = mixture.way
    return tr(
        "{name}: {target_g:g} g in a mixture of {material_g:g} g with {carrier_g:g} g of "
        "{carrier} ({strength_percent:.3g} %), of which {dose_g:g} g are weighed",
        name=line.name,
        target_g=target_g,
        material_g=way.material_g,
        carrier_g=way.carrier_g,
        carrier=mixture.carrier.name,
        strength_percent=way.strength_percent,
        dose_g=way.dose_g,
    )


def _facts(device: DeviceFacts) -> ScaleFacts:
    return ScaleFacts(device.name, division_of(device), device.capacity_g)


def _way(way: FinerScale | BiggerBatch | PremixWay, batch_g: float, carrier: str) -> str:
    if isinstance(way, FinerScale):
        return tr("Use a scale that shows {readability_g:g} g", readability_g=way.readability_g)
    if isinstance(way, BiggerBatch):
        return tr("make {batch_g:g} g instead of {batch_g_2:g} g", batch_g=way.batch_g, batch_g_2=batch_g)
    return tr(
        "mix {material_g:g} g with {carrier_g:g} g of {carrier} first "
        "({strength_percent:.3g} %) and weigh {dose_g:g} g of that, and so much less "
        "{carrier}",
        material_g=way.material_g,
        carrier_g=way.carrier_g,
        carrier=carrier,
        strength_percent=way.strength_percent,
        dose_g=way.dose_g,
    )
