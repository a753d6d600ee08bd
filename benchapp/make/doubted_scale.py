"""A scale that may stand on a wrong zero: how it is noticed, and how it is known again."""

from __future__ import annotations

import dataclasses

from benchapp import events as ev
from benchapp.foundation.language import tr, tr_noop
from benchapp.make.acts.base import Act, Context, pressed
from benchapp.make.acts.pan import TARE_IS_ON, ZERO_DIVISIONS, agreement_g, pan_is_empty
from benchapp.make.inputs import Grams, Input
from benchapp.make.view_model import ActView, Choice, LiveValue, Want
from benchapp.make.vocabulary import ChoiceKey, Stage, Verb

#: Said while its display stands far from nothing.
SET_ZERO = tr_noop("Once the pan is empty, press the scale's zero or tare key.")


def wrong_zero(context: Context, given: Grams) -> list[ev.Event]:
    """A scale at rest well below zero was zeroed with something on it."""
    if given.device in context.state.doubted:
        return []
    still = context.still_g(given.device, 0.5)
    if still is None or still > -ZERO_DIVISIONS * context.division_g(given.device):
        return []
    why = tr("it shows {still:.1f} g with the pan empty, so it was zeroed with something on it", still=still)
    return [ev.ScaleDoubted(at_s=given.at_s, device=given.device, why=why)]


def reconcile(context: Context, device: str, given: Input, act: Act) -> list[ev.Event]:
    """Empty pan, then the vessel: go on only when the gross agrees with the ledger (or the maker says so)."""
    still = context.still_g(device, 1.0)
    if context.state.doubted[device] == "empty pan":
        return _empty_pan(context, device, given, still)
    vessel = vessel_in_doubt(context, device, act)
    if vessel == "":
        return [_reconciled(context, device, "", 0.0, 0.0)]
    expected = context.state.ledger.of(vessel).gross_g
    if pressed(given, ChoiceKey.LOOK_AGAIN):
        return [
            ev.ScaleDoubted(
                at_s=context.now_s, device=device, why=tr("its empty pan has to be seen once more")
            )
        ]
    if still is not None and still < -ZERO_DIVISIONS * context.division_g(device):
        why = tr("it shows {still:.1f} g, so the pan was not empty when its zero was seen", still=still)
        return [ev.ScaleDoubted(at_s=context.now_s, device=device, why=why)]
    if still is None or pan_is_empty(context, device, still):
        return []
    if expected is None:
        return [_reconciled(context, device, vessel, still, still)]
    if agrees(context, device, vessel, still):
        return [_reconciled(context, device, vessel, expected, still)]
    # The scale is known again, the vessel is not: the act asks what became of it.
    if context.progress.baseline_g is None:
        return [_reconciled(context, device, vessel, expected, still)]
    least, most = context.state.stood_g.get(device, (expected, expected))
    away = ev.VesselLifted(
        at_s=context.now_s, vessel=vessel, device=device, gross_g=round(still, 3), least_g=least, most_g=most
    )
    return [_reconciled(context, device, vessel, expected, still), away]


def _off_zero(context: Context, device: str, still: float) -> bool:
    """Whether the display shows so much or so little that its zero has to be set first. Were it left so, the same display
    would stand for the vessel now and, once somebody presses the key, for the empty pan."""
    return abs(still + context.zero_g(device)) >= ZERO_DIVISIONS * context.division_g(device)


def _empty_pan(context: Context, device: str, given: Input, still: float | None) -> list[ev.Event]:
    # Without knowing the zero, only a person can say that the pan is empty; a reading at zero could be a
    # scale that was zeroed on a full vessel.
    if still is None or not pressed(given, ChoiceKey.PAN_IS_EMPTY) or _off_zero(context, device, still):
        return []
    return [
        ev.PanSeenEmpty(at_s=context.now_s, device=device, zero_g=round(still + context.zero_g(device), 4))
    ]


def vessel_in_doubt(context: Context, device: str, act: Act) -> str:
    """The vessel the current act weighs on that scale, or "" where none is known yet."""
    vessel = getattr(act, "vessel", "")
    if context.state.ledger.of(vessel).empty_g is None if vessel else True:
        return ""
    return vessel if device in act.devices and act.key.startswith(("pour", "replace", "vessel")) else ""


def agrees(context: Context, device: str, vessel: str, gross: float) -> bool:
    """Whether the scale shows what the ledger has, with whatever of the current pour is already in."""
    account = context.state.ledger.of(vessel)
    expected = account.gross_g
    if expected is None:
        return True
    tolerance = agreement_g(context.division_g(device), gross)
    steam = 0.15 * account.content_g if account.heated else 0.0
    least, most = expected, expected
    if context.progress.baseline_g is not None and device in context.state.stood_g:
        least, most = context.state.stood_g[device]
    return min(least, expected) - steam - tolerance <= gross <= max(most, expected) + tolerance


def _reconciled(context: Context, device: str, vessel: str, expected: float, found: float) -> ev.Event:
    return ev.ScaleReconciled(
        at_s=context.now_s,
        device=device,
        vessel=vessel,
        expected_g=round(expected, 3),
        found_g=round(found, 3),
    )


def doubt_view(context: Context, device: str, act: Act) -> ActView:
    """Which of the two things is wanted, and the live gross."""
    gross = context.gross_g(device)
    decimals = context.plan.decimals[device]
    live = (LiveValue(device, gross, "g", decimals, ev.Source.MEASURED, device),)
    still = context.still_g(device, 1.0)
    if context.state.doubted[device] == "empty pan":
        text = tr("Take everything off the {device}, so that its zero can be seen.", device=device)
        view = ActView(text, Stage.DOUBT, live, want=Want(Verb.EMPTY_PAN, device=device))
        if still is None:
            moves = tr(TARE_IS_ON) if context.watch.tared(device) else context.unrest(device)
            return dataclasses.replace(view, not_yet=(moves,))
        if _off_zero(context, device, still):
            want = view.want if still > 0.0 else Want(Verb.CLEAR_TARE, device=device)
            return dataclasses.replace(view, not_yet=(tr(SET_ZERO),), want=want)
        return dataclasses.replace(view, choices=(Choice(ChoiceKey.PAN_IS_EMPTY, tr("The pan is empty")),))
    vessel = vessel_in_doubt(context, device, act)
    name = context.vessel_name(vessel)
    choices = (Choice(ChoiceKey.LOOK_AGAIN, tr("See the empty pan again")),)
    return ActView(tr("Put the {name} back on the {device}.", name=name, device=device), Stage.DOUBT, live, choices=choices,
                want=Want(Verb.PUT_ON, vessel=vessel, device=device))  # fmt: skip
