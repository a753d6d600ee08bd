"""What a person brings about in a pour: a typed weight, a remedy, an answer about the vessel."""

from __future__ import annotations

from benchapp import events as ev
from benchapp.make.acts.base import Sight
from benchapp.make.acts.pour_line import PourLine
from benchapp.make.acts.pour_scale import at_rest
from benchapp.make.inputs import Press
from benchapp.make.remedies import keep_formula

#: The name under which a weight typed far from its target waits to be confirmed.
TYPED = "typed weight"


def typed(pour: PourLine, sight: Sight, value: float) -> list[ev.Event]:
    """A typed weight: taken in its band, asked for once more outside."""
    if pour.target(sight).band.holds(value):
        return [pour.taken(sight, value, None, ev.Source.STATED), pour.finish(sight)]
    # A slip of the finger must not become a weight: far from the target it is asked for once more.
    asked = ev.NumberTaken(
        at_s=sight.now_s, step=pour.step.key, act=pour.key, what=TYPED, value=value, unit="g",
        source=ev.Source.STATED,
    )  # fmt: skip
    return [asked, pour.stage(sight, "typed")]


def typed_decision(pour: PourLine, sight: Sight, given: Press) -> list[ev.Event]:
    """Whether a weight typed outside the band is so."""
    value = sight.progress.value
    if sight.progress.stage != "typed" or value is None:
        return []
    if given.choice == "type again":
        return [pour.stage(sight, "")]
    if not given.reason:
        return []
    return [
        pour.out_of_band(sight, value, f"Typed. {given.reason}"),
        pour.taken(sight, value, None, ev.Source.STATED),
        pour.finish(sight),
    ]


def chosen(pour: PourLine, sight: Sight, given: Press) -> list[ev.Event]:
    """A choice pressed during the pour: remedies, and answers about what stands on the scale."""
    still = sight.still_g(pour.device, 0.5)
    base = sight.base_g(pour.device)
    begun, taking = sight.progress.baseline_g is not None, pour.taking(sight)
    if begun and taking.objecting(given):
        return []
    if begun and taking.insisted(given) and still is not None:
        return at_rest(pour, sight, pour.net_g(sight, still), still)
    if given.choice == "it is" and sight.progress.lifted and still is not None:
        why = pour.changed(sight, base, still)
        text = f"The {sight.vessel_name(pour.vessel)}: {why} The maker says it is the one."
        return [pour.deviation(sight, ev.Grade.MINOR, "vessel mass", text), pour.back(sight, still)]
    if given.choice == "had begun" and sight.progress.baseline_g is None and still is not None:
        return _had_begun(pour, sight, still)
    if given.choice in ("typed anyway", "type again"):
        return typed_decision(pour, sight, given)
    if given.choice == "from here" and sight.progress.baseline_g is None and still is not None:
        return _from_here(pour, sight, still)
    if given.choice == "remove" and sight.progress.stage == "remedy":
        found = pour.remedies(sight)
        return [pour.stage(sight, "remove")] if found is None or not found.remove.why_not else []
    if given.choice == "keep" and sight.progress.stage == "remedy" and still is not None:
        return _keep(pour, sight, still)
    if given.choice in ("accept", "accept less") and still is not None:
        return _accept(pour, sight, given, still)
    return []


def _keep(pour: PourLine, sight: Sight, still: float) -> list[ev.Event]:
    found = pour.remedies(sight)
    if found is None or found.keep.why_not:
        return []
    net = pour.net_g(sight, still)
    name, batch = pour.name(sight), sight.state.batch_g or sight.plan.batch_g
    chosen = ev.RemedyChosen(
        at_s=sight.now_s, step=pour.step.key, act=pour.key, line=pour.line,
        remedy=ev.Remedy.KEEP_FORMULA, reason="",
    )  # fmt: skip
    text = f"{name}: {net:g} g; the formula is kept, the batch becomes {found.keep.batch_g:g} g."
    return [
        chosen,
        pour.deviation(sight, ev.Grade.NOTE, "over-pour, formula kept", text),
        pour.taken(sight, net, still, ev.Source.MEASURED),
        *keep_formula(sight, found.keep, batch),
        pour.finish(sight),
    ]


def _had_begun(pour: PourLine, sight: Sight, still: float) -> list[ev.Event]:
    """What is in already counts: the pour began at what the ledger has."""
    expected = sight.state.ledger.of(pour.vessel).gross_g
    if expected is None or still <= expected:
        return []
    return [
        ev.PourBegan(
            at_s=sight.now_s, step=pour.step.key, act=pour.key, line=pour.line, device=pour.device,
            baseline_g=round(expected + sight.zero_g(pour.device), 4),
        )
    ]  # fmt: skip


def _from_here(pour: PourLine, sight: Sight, still: float) -> list[ev.Event]:
    expected = sight.state.ledger.of(pour.vessel).gross_g or still
    vessel = sight.vessel_name(pour.vessel)
    text = f"The {vessel} should have weighed {expected:.2f} g, the {pour.device} showed {still:.2f} g."
    return [
        pour.deviation(sight, ev.Grade.MINOR, "scale drift", text + " The maker went on from there."),
        ev.ZeroShifted(at_s=sight.now_s, device=pour.device, by_g=round(still - expected, 4)),
    ]


def _accept(pour: PourLine, sight: Sight, given: Press, still: float) -> list[ev.Event]:
    net = pour.net_g(sight, still)
    band = pour.target(sight).band
    outside = band.below(net) if given.choice == "accept less" else band.above(net)
    if not given.reason or not outside:
        return []
    chosen = ev.RemedyChosen(
        at_s=sight.now_s, step=pour.step.key, act=pour.key, line=pour.line,
        remedy=ev.Remedy.ACCEPT, reason=given.reason,
    )  # fmt: skip
    return [
        chosen,
        pour.out_of_band(sight, net, f"Accepted: {given.reason}"),
        pour.taken(sight, net, still, ev.Source.MEASURED),
        pour.finish(sight),
    ]
