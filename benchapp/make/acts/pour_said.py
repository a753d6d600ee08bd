"""What a person brings about in a pour: a typed weight, a remedy, an answer about the vessel."""

from __future__ import annotations

from benchapp import events as ev
from benchapp.foundation.language import tr, tr_noop
from benchapp.make.acts import spill
from benchapp.make.acts.base import Context
from benchapp.make.acts.pour_line import OVER, PourLine
from benchapp.make.acts.pour_scale import at_rest, taken_out
from benchapp.make.acts.typed_twice import TYPED, insisted
from benchapp.make.inputs import Press
from benchapp.make.remedies import keep_formula
from benchapp.make.vocabulary import ChoiceKey, Stage


def typed(pour: PourLine, context: Context, value: float) -> list[ev.Event]:
    """A typed weight: taken in its band, asked for once more outside."""
    if pour.target(context).band.holds(value):
        return [*pour.taken(context, value, None, ev.Source.STATED), pour.finish(context)]
    # A slip of the finger must not become a weight: far from the target it is asked for once more.
    asked = pour.number_taken(context, TYPED, value, "g")
    return [asked, pour.stage(context, Stage.TYPED)]


def typed_decision(pour: PourLine, context: Context, given: Press) -> list[ev.Event]:
    """Whether a weight typed outside the band is so."""
    value = context.progress.value
    if context.progress.stage != Stage.TYPED or value is None:
        return []
    if given.key == ChoiceKey.TYPE_AGAIN:
        return [pour.stage(context, Stage.FIRST)]
    if not (reason := insisted(given)):
        return []
    return [
        pour.out_of_band(context, value, tr("Typed. {reason}", reason=reason)),
        *pour.taken(context, value, None, ev.Source.STATED),
        pour.finish(context),
    ]


def chosen(pour: PourLine, context: Context, given: Press) -> list[ev.Event]:
    """A choice pressed during the pour: remedies, and answers about what stands on the scale."""
    still = context.still_g(pour.device, 0.5)
    if context.progress.stage == Stage.MAKE_GOOD:
        return spill.decided(pour, context, given)
    begun, taking = context.progress.baseline_g is not None, pour.taking(context)
    if begun and taking.objecting(given):
        return []
    if begun and taking.insisted(given) and still is not None:
        return at_rest(pour, context, context.net_g(pour.device, still), still)
    about = [] if still is None else _about_the_vessel(pour, context, given, still)
    if about:
        return about
    if given.key == ChoiceKey.REMOVE and context.progress.stage == Stage.REMEDY:
        ways = pour.remedies(context)
        return [pour.stage(context, Stage.REMOVE)] if ways is None or not ways.remove.why_not else []
    if given.key == ChoiceKey.KEEP and context.progress.stage == Stage.REMEDY and still is not None:
        return _keep(pour, context, still)
    if given.key in (ChoiceKey.ACCEPT, ChoiceKey.ACCEPT_LESS) and still is not None:
        return _accept(pour, context, given, still)
    return []


def _about_the_vessel(pour: PourLine, context: Context, given: Press, still: float) -> list[ev.Event]:
    """What became of a vessel that weighs otherwise, or what moved the scale before the first drop."""
    found = pour.difference(context)
    if found is not None and found.pouring and given.key == ChoiceKey.POURED_ON and found.gained_g:
        text = tr(
            "{gained_g:.2f} g more are in the {vessel_name}; the maker says it was poured on.",
            gained_g=found.gained_g,
            vessel_name=context.vessel_name(pour.vessel),
        )
        said = pour.deviation(context, ev.Grade.MINOR, tr_noop("poured unseen"), text)
        over = context.progress.stage in OVER  # there is more of it than was found
        return [
            said,
            pour.back(context, found.found_g),
            *((pour.stage(context, Stage.FIRST),) if over else ()),
        ]
    if found is not None and given.key == ChoiceKey.IT_IS and any(c.key == given.key for c in found.choices):
        said = found.noted(ev.Grade.NOTE, tr("The maker says that nothing is gone: a hand lay on it."))
        return [said, pour.back(context, found.found_g)]
    if found is not None and (out := spill.answered(found, given)):
        return out
    if context.progress.baseline_g is not None:
        net = context.net_g(pour.device, still)
        return _crept(pour, context, given, net, still) if pour.in_doubt(context, net) else []
    if given.key == ChoiceKey.HAD_BEGUN:
        return _had_begun(pour, context, still)
    return _from_here(pour, context, still) if given.key == ChoiceKey.FROM_HERE else []


def _keep(pour: PourLine, context: Context, still: float) -> list[ev.Event]:
    found = pour.remedies(context)
    if found is None or found.keep.why_not:
        return []
    net = context.net_g(pour.device, still)
    name, batch = pour.name(context), context.state.batch_g or context.plan.batch_g
    chosen = ev.RemedyChosen(
        at_s=context.now_s, step=pour.step.key, act=pour.key, line=pour.line,
        remedy=ev.Remedy.KEEP_FORMULA, reason="",
    )  # fmt: skip
    text = tr(
        "{name}: {net:g} g; the formula is kept, the batch becomes {batch_g:g} g.",
        name=name,
        net=net,
        batch_g=found.keep.batch_g,
    )
    return [
        chosen,
        pour.deviation(context, ev.Grade.NOTE, tr_noop("over-pour, formula kept"), text),
        *pour.taken(context, net, still, ev.Source.MEASURED),
        *keep_formula(context, found.keep, batch),
        pour.finish(context),
    ]


def _crept(pour: PourLine, context: Context, given: Press, net: float, still: float) -> list[ev.Event]:
    """What the scale showed before the first drop: its own, some of the line, or nobody knows."""
    crept, name = context.progress.crept_g, pour.name(context)
    if given.key == ChoiceKey.HAD_BEGUN:
        return [
            ev.BaselineCrept(
                at_s=context.now_s, step=pour.step.key, act=pour.key, device=pour.device, by_g=-crept
            )
        ]
    taken = [*pour.taken(context, net, still, ev.Source.MEASURED), pour.finish(context)]
    rose = tr(
        "The {device} had moved by {crept:+.2f} g before the first drop of {name} fell.",
        device=pour.device,
        crept=crept,
        name=name,
    )
    if given.key == ChoiceKey.FROM_HERE:
        text = tr("{rose} The maker says it was the scale.", rose=rose)
        return [pour.deviation(context, ev.Grade.NOTE, tr_noop("scale drift"), text), *taken]
    if given.key == ChoiceKey.UNKNOWN:
        text = tr(
            "{rose} Nobody knows why: {net:g} to {net_2:g} g may be in.",
            rose=rose,
            net=net,
            net_2=net + crept,
        )
        return [pour.out_of_band(context, net + crept, text), *taken]
    return []


def _had_begun(pour: PourLine, context: Context, still: float) -> list[ev.Event]:
    """What is in already counts: the pour began at what the ledger has."""
    expected = context.state.ledger.of(pour.vessel).gross_g
    if expected is None or still <= expected:
        return []
    return [pour.pour_began(context, pour.line, pour.device, expected)]


def _from_here(pour: PourLine, context: Context, still: float) -> list[ev.Event]:
    expected = context.state.ledger.of(pour.vessel).gross_g or still
    vessel = context.vessel_name(pour.vessel)
    text = tr(
        "The {vessel} should have weighed {expected:.2f} g, the {device} showed {still:.2f} g.",
        vessel=vessel,
        expected=expected,
        device=pour.device,
        still=still,
    )
    return [
        pour.deviation(
            context, ev.Grade.MINOR, tr_noop("scale drift"), text + tr(" The maker went on from there.")
        ),
        ev.ZeroShifted(at_s=context.now_s, device=pour.device, by_g=round(still - expected, 4)),
    ]


def _accept(pour: PourLine, context: Context, given: Press, still: float) -> list[ev.Event]:
    net = context.net_g(pour.device, still)
    band = pour.target(context).band
    outside = band.below(net) if given.key == ChoiceKey.ACCEPT_LESS else band.above(net)
    if not given.reason or not outside:
        return []
    chosen = ev.RemedyChosen(
        at_s=context.now_s, step=pour.step.key, act=pour.key, line=pour.line,
        remedy=ev.Remedy.ACCEPT, reason=given.reason,
    )  # fmt: skip
    return [
        *taken_out(pour, context, net),
        chosen,
        pour.out_of_band(context, net, tr("Kept by the maker: {reason}", reason=given.reason)),
        *pour.taken(context, net, still, ev.Source.MEASURED),
        pour.finish(context),
    ]
