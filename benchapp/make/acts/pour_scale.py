"""What a scale brings about in a pour: baseline, lifting, coming back, coming to rest."""

from __future__ import annotations

from benchapp import events as ev
from benchapp.calculations.landing import stop_in_s
from benchapp.foundation.band import Band
from benchapp.make.acts.base import Sight
from benchapp.make.acts.pour_line import PourLine
from benchapp.make.acts.taking import DWELL_S
from benchapp.make.acts.vessel import pan_is_empty

#: So much more, a moment after a weighing was taken, is drops that hung on the lip (common practice, no source).
LATE_DROPS_G = 0.3
#: "Stop" is said one reading early, because the next one may be too late.
CUE_AHEAD_S = 0.1
#: Below this share of its last gross a vessel counts as lifted.
LIFTED_SHARE = 0.3


def weighed(pour: PourLine, sight: Sight) -> list[ev.Event]:
    """A reading: baseline first, then lifted or returned, then at rest in the band or above it."""
    progress = sight.progress
    gross = sight.gross_g(pour.device)
    if gross is None:
        return []
    if progress.baseline_g is None:
        return _begin_pour(pour, sight)
    base = sight.base_g(pour.device)
    if not progress.lifted and gross < LIFTED_SHARE * base:
        least, most = sight.last_gross_g(pour.device) or (base, base)
        least = max(least, base)
        return [
            ev.VesselLifted(
                at_s=sight.now_s,
                vessel=pour.vessel,
                device=pour.device,
                gross_g=round(gross, 3),
                least_g=round(least, 3),
                most_g=round(max(most, least), 3),
            )
        ]
    if progress.lifted:
        return _returned(pour, sight, base)
    still = sight.still_g(pour.device, DWELL_S)
    _learn(pour, sight, gross, still)
    if still is not None and progress.stage == "remedy" and sight.watch.gone_again_g(pour.device):
        return _lay_there(pour, sight)
    if still is None or pour.taking(sight).held_back:
        return []
    return at_rest(pour, sight, pour.net_g(sight, still), still)


def _begin_pour(pour: PourLine, sight: Sight) -> list[ev.Event]:
    still = sight.still_g(pour.device, 0.3)
    expected = sight.state.ledger.of(pour.vessel).gross_g
    if still is None or pan_is_empty(sight, pour.device, still):
        return []
    if expected is not None and not pour.fits(sight, still, expected):
        return _late_drop(pour, sight, still - expected)
    return [
        ev.PourBegan(
            at_s=sight.now_s, step=pour.step.key, act=pour.key, line=pour.line, device=pour.device,
            baseline_g=round(still + sight.zero_g(pour.device), 4),
        )
    ]  # fmt: skip


def _late_drop(pour: PourLine, sight: Sight, more_g: float) -> list[ev.Event]:
    """A little more than was booked, with nothing done since: it belongs to the line before."""
    before = [w for taken in sight.state.weights.values() for w in taken if w.vessel == pour.vessel]
    last = max(before, key=lambda w: w.at_s, default=None)
    most = max(LATE_DROPS_G, 10 * sight.division_g(pour.device))
    if last is None or last.step != pour.step.key or not 0 < more_g <= most:
        return []
    if sight.still_g(pour.device, DWELL_S) is None:
        return []
    found = ev.LateDropFound(
        at_s=sight.now_s, step=pour.step.key, line=last.line, vessel=pour.vessel, device=pour.device,
        drop_g=round(more_g, 4),
    )  # fmt: skip
    total = sight.state.weighed_g[last.line] + more_g
    if not Band(last.low_g, last.high_g).above(total):
        return [found]
    name = next(x.name for x in sight.plan.procedure.formula.lines if x.key == last.line)
    text = f"{name}: a late drop made it {total:g} g, band {last.low_g:g} to {last.high_g:g} g."
    return [found, pour.deviation(sight, ev.Grade.MINOR, "late drop", text)]


def _returned(pour: PourLine, sight: Sight, base: float) -> list[ev.Event]:
    still = sight.still_g(pour.device, 0.5)
    if (
        still is None
        or pan_is_empty(sight, pour.device, still, pour.vessel)
        or pour.changed(sight, base, still)
    ):
        return []
    return [pour.back(sight, still)]


def _lay_there(pour: PourLine, sight: Sight) -> list[ev.Event]:
    """Too much went all at once before anybody chose a remedy: it was no ingredient, and nothing was taken out."""
    gone_g = sight.watch.gone_again_g(pour.device)
    text = (
        f"{pour.name(sight)}: {gone_g:.1f} g went all at once, as if it had only lain on the {pour.device}."
    )
    return [
        pour.deviation(sight, ev.Grade.NOTE, "lay on the scale", text),
        pour.stage(sight, ""),
    ]


def at_rest(pour: PourLine, sight: Sight, net: float, gross: float) -> list[ev.Event]:
    """What the scale at rest brings about: taken in its band, a remedy above it, nothing below."""
    band = pour.target(sight).band
    stage = sight.progress.stage
    if band.holds(net):
        out: list[ev.Event] = []
        taken = sight.progress.taken_g
        if stage in ("remedy", "remove") and taken is not None:
            out = pour.removal(sight, taken - net)
        return [*out, pour.taken(sight, net, gross, ev.Source.MEASURED), pour.finish(sight)]
    if band.above(net) and stage == "":
        over = ev.OverpourFound(
            at_s=sight.now_s, step=pour.step.key, act=pour.key, line=pour.line, net_g=net, high_g=band.high
        )
        return [over, pour.stage(sight, "remedy")]
    if band.below(net) and stage in ("remedy", "remove"):
        # Too much was taken out again: book it, and pour on.
        taken = sight.progress.taken_g or net
        return [*pour.removal(sight, taken - net), pour.stage(sight, "")]
    return []


def stop_now(pour: PourLine, sight: Sight, net: float, target: float) -> bool:
    """Whether scale and hand together are so late that the pour has to end now."""
    seen = sight.watch.scales.get(pour.device)
    if seen is None or seen.still:
        return False
    left = stop_in_s(
        net,
        seen.flow_g_s,
        target,
        sight.watch.lateness(pour.device, sight.division_g(pour.device)).late_s,
    )
    return left is not None and left <= CUE_AHEAD_S


def _learn(pour: PourLine, sight: Sight, gross: float, still: float | None) -> None:
    """Note when "stop" was said and where it came to rest, so that the next cue is nearer."""
    late = sight.watch.lateness(pour.device, sight.division_g(pour.device))
    if still is not None:
        late.landed(pour.net_g(sight, still))
        sight.counts.scratch.pop("cued", None)
        return
    net = pour.net_g(sight, gross)
    seen = sight.watch.scales[pour.device]
    if "cued" not in sight.counts.scratch and stop_now(pour, sight, net, pour.target(sight).grams):
        sight.counts.scratch["cued"] = 1.0
        late.cue(net, seen.flow_g_s)
