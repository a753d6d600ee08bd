"""What a scale's pan shows: nothing, something at rest, and how far two weighings of it may differ."""

from __future__ import annotations

from benchapp import events as ev
from benchapp.foundation.language import tr, tr_noop
from benchapp.make.acts.balance import balanced
from benchapp.make.acts.base import Act, Context
from benchapp.make.view_model import LiveValue, Want
from benchapp.make.vocabulary import Verb

#: Seconds a vessel has to stand still before it counts as placed.
STAND_S = 1.0
#: So many divisions about zero are an empty pan that has drifted; a vessel lighter than that needs less room.
EMPTY_DIVISIONS, LIGHT_SHARE = 10.0, 0.4
#: A zero that seems to have gone further than this did not drift: the key was pressed with something on the pan.
ZERO_DIVISIONS = 20.0
#: Below this share of its last gross a vessel counts as lifted.
LIFTED_SHARE = 0.3
#: By so many divisions two weighings of an untouched vessel may differ (common practice, no source).
REPEAT_DIVISIONS = 3

#: Said where a scale itself says so: its display is no gross mass.
TARE_IS_ON = tr_noop("The scale says that a tare is on. Empty the pan and press its zero or tare key.")


def agreement_g(division_g: float, gross_g: float) -> float:
    """How far two weighings of an untouched vessel may differ after a while, in grams: three divisions or 0.1 %."""
    return max(REPEAT_DIVISIONS * division_g, 0.001 * abs(gross_g))


def pan_is_empty(context: Context, device: str, gross_g: float, vessel: str = "") -> bool:
    """Whether that gross mass is nothing but the pan. A light vessel expected there lowers the limit. So it is where the display
    itself shows nothing and its zero was only taken for drifted; not where it may have been tared with what stands on it."""
    limit = EMPTY_DIVISIONS * context.division_g(device)
    if vessel:
        known = context.state.ledger.of(vessel).empty_g
        rough = (
            context.plan.procedure.vessels[vessel].empty_g
            if vessel in context.plan.procedure.vessels
            else None
        )
        mass = known if known is not None else rough
        if mass is not None:
            limit = min(limit, LIGHT_SHARE * mass)
    zero_g = context.zero_g(device)
    drifted = abs(zero_g) <= ZERO_DIVISIONS * context.division_g(device)
    return abs(gross_g) <= limit or (drifted and abs(gross_g + zero_g) <= limit)


def live_of(context: Context, device: str) -> LiveValue:
    """What that scale shows, as a value on the glass."""
    decimals = context.plan.decimals[device]
    return LiveValue(device, context.gross_g(device), "g", decimals, ev.Source.MEASURED, device)


def taking_off(context: Context, device: str, vessel: str) -> tuple[str, Want]:
    """What is asked, and wanted, where another vessel stands on that scale."""
    text = tr(
        "Take the {vessel_name} off the {device}.", vessel_name=context.vessel_name(vessel), device=device
    )
    return text, Want(Verb.LIFT, vessel=vessel, device=device)


def cleared(act: Act, context: Context, device: str, still_g: float) -> list[ev.Event] | None:
    """None while something stands on the pan; otherwise what has left it (nothing, where nothing was known), and what
    the empty pan shows."""
    if not pan_is_empty(context, device, still_g):
        return None
    standing = context.state.on_scale.get(device)
    if standing is None:
        return balanced(act, context, device, still_g)
    return [ev.VesselLifted(at_s=context.now_s, vessel=standing, device=device, gross_g=round(still_g, 3))]
