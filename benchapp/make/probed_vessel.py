"""What the vessel of a probe can do by itself: how fast it warms and cools, what a pour does to it, and when nothing in it
has a temperature any more."""

from __future__ import annotations

from benchapp import events as ev
from benchapp.calculations.heat_loss import dry_loss_w, drying_loss_w, warming_k_s
from benchapp.calculations.probe_curve import HeatBalance
from benchapp.make.acts.base import Act, Context
from benchapp.make.acts.emptied import Emptied
from benchapp.make.acts.gate import POUR_S, Gate
from benchapp.make.acts.pour_line import PourLine
from benchapp.make.acts.waiting import prior_of
from procedures.steps import Heat

#: The room and the hottest bath, for how fast a vessel can cool and warm (common practice, no source).
ROOM_C, BATH_C = 21.0, 95.0
#: What is known of a vessel's temperature says something of now for so long, in seconds.
KNOWN_S = 900.0
#: A pour may cool or warm by so many kelvin more than mixing with ice or boiling water would.
MIX_K = 3.0
#: Less than this is left in a vessel that was poured out, in grams.
EMPTY_G = 5.0


def last_known(context: Context, vessel: str) -> tuple[float, float] | None:
    """(°C, when) of a vessel into which nothing was poured since; None where it is too long ago."""
    known = context.state.temps_c.get(vessel)
    if known is None or context.now_s - known[1] > KNOWN_S:
        return None
    for event in reversed(context.state.log):
        if event.at_s < known[1]:
            return known
        poured = isinstance(event, ev.WeightTaken) and event.vessel == vessel
        if poured or (isinstance(event, ev.MassMoved) and vessel in (event.into, event.origin)):
            return None
    return known


def balance_of(context: Context, act: Act | None, vessel: str, temp_c: float) -> HeatBalance:
    """How fast that vessel can change, by its heat balance."""
    step = act.step if act is not None else None
    prior = prior_of(context, vessel, not isinstance(step, Heat) or step.bath)
    warms = warming_k_s(prior, temp_c, BATH_C)
    loss_w = (
        dry_loss_w(prior, temp_c, ROOM_C) + drying_loss_w(prior, temp_c, ROOM_C) if temp_c > ROOM_C else 0.0
    )
    heated = isinstance(step, Heat) and act is not None and vessel in act.temperatures
    return HeatBalance(warms, max(loss_w, 0.0) / prior.heat_j_k, heated)


def poured_out(context: Context, act: Act | None, vessel: str) -> bool:
    """Whether that vessel is empty or being emptied: what its probe shows then is nobody's temperature."""
    account = context.state.ledger.of(vessel)
    if isinstance(act, Emptied) and act.vessel == vessel:
        return True
    if isinstance(act, Gate) and vessel in (act.poured, act.emptied) and act.open_within(context, POUR_S):
        return True
    return bool(account.contents_g) and account.content_g < EMPTY_G


def mixed(context: Context, act: Act | None, vessel: str) -> tuple[float, float] | None:
    """Between which temperatures a vessel may step because of what is being poured into it; None where nothing is."""
    last = context.state.temps_c.get(vessel)
    content_g = context.state.ledger.of(vessel).content_g
    if isinstance(act, Gate) and act.poured and act.vessels[0] == vessel and act.open_within(context, POUR_S):
        poured_g = context.state.ledger.of(act.poured).content_g
        right = context.counts.scratch.get(f"right {vessel}")
        at_c = right if right is not None else (last[0] if last else None)
    elif isinstance(act, Emptied) and act.into == vessel:
        return -1e9, 1e9
    elif isinstance(act, PourLine) and act.vessel == vessel:
        poured_g, at_c = act.target(context).grams, last[0] if last else None
    else:
        return None
    if at_c is None or content_g + poured_g <= 0.0:
        return -1e9, 1e9
    share = poured_g / (content_g + poured_g)
    return at_c * (1 - share) - MIX_K, at_c * (1 - share) + 100.0 * share + MIX_K
