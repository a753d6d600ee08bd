"""What is folded of vessels, pours, weights, and what moves between vessels."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from benchapp import events as ev
from benchapp.foundation.band import Band, Target
from benchapp.foundation.numbers import exact
from benchapp.make.state import DILUTION_VESSEL, LotBefore, State


def _vessel_placed(s: State, e: ev.VesselPlaced) -> None:
    account = s.ledger.account(e.vessel)
    if e.empty:
        account.empty_g = e.gross_g - s.zero_g.get(e.device, 0.0)
    if e.device:
        for device, vessel in list(s.on_scale.items()):
            if vessel == e.vessel:
                del s.on_scale[device]
        s.on_scale[e.device] = e.vessel
    s.progress.lifted = False


def _lifted(s: State, e: ev.VesselLifted) -> None:
    s.progress.lifted = True
    s.on_scale.pop(e.device, None)
    if e.most_g is not None:
        s.stood_g[e.device] = (e.least_g if e.least_g is not None else e.most_g, e.most_g)


def _returned(s: State, e: ev.VesselReturned) -> None:
    s.progress.lifted = False
    s.on_scale[e.device] = e.vessel


def _pour_began(s: State, e: ev.PourBegan) -> None:
    s.progress.baseline_g = e.baseline_g


def _crept(s: State, e: ev.BaselineCrept) -> None:
    if s.progress.baseline_g is not None:
        s.progress.baseline_g += e.by_g
    s.progress.crept_g += e.by_g


def _weight(s: State, e: ev.WeightTaken) -> None:
    s.weights.setdefault(e.line, []).append(e)
    s.ledger.put(e.vessel, e.line, e.net_g)
    if e.diluted_g:
        s.diluted_left_g[e.line] = s.diluted_left_g.get(e.line, 0.0) - e.diluted_g


def _overpour(s: State, e: ev.OverpourFound) -> None:
    s.progress.taken_g = e.net_g


def _late_drop(s: State, e: ev.LateDropFound) -> None:
    s.ledger.put(e.vessel, e.line, e.drop_g)
    s.late_g[e.line] = s.late_g.get(e.line, 0.0) + e.drop_g


def _removed(s: State, e: ev.MaterialRemoved) -> None:
    if e.vessel == DILUTION_VESSEL:
        s.diluted_left_g[e.line] = 0.0


def _lot(s: State, e: ev.LotTaken) -> None:
    progress, before = s.progress_of(e.step), s.lots.get(e.line)
    if e.after_g and before is not None:
        of_it_g = exact(e.after_g - sum(x.grams for x in progress.lots_before))
        part = LotBefore(before.lot, max(of_it_g, 0.0), e.source is ev.Source.STATED)
        progress.lots_before = (*progress.lots_before, part)
    s.lots[e.line] = e
    progress.refused = ""


def _lot_refused(s: State, e: ev.LotRefused) -> None:
    s.progress.refused = e.why


def _revised(s: State, e: ev.TargetsRevised) -> None:
    s.batch_g = e.batch_g
    for line, target, low, high in e.targets:
        s.revised[line] = Target(target, Band(low, high))
    if e.additions:
        s.additions.setdefault(e.step, []).append(e.additions)


def _moved(s: State, e: ev.MassMoved) -> None:
    s.ledger.move(e.origin, e.into, e.left_g)
    # Nobody said where the poured vessel's probe is now: whatever is measured next asks for one.
    s.probes = {p: v for p, v in s.probes.items() if v != e.origin}


def _water_lost(s: State, e: ev.WaterLost) -> None:
    s.ledger.lose_water(e.vessel, e.lost_g, frozenset(e.lines))


def _mass_lost(s: State, e: ev.MassLost) -> None:
    unknown_g = e.lost_g - sum(g for _, g in e.lines)
    s.ledger.lose(e.vessel, {k: g for k, g in e.lines if k != e.pouring}, unknown_g)
    for line, grams in e.lines:
        if line in s.weights and line != e.pouring:  # of what is being poured, the pour itself has less
            s.late_g[line] = s.late_g.get(line, 0.0) - grams
    of_the_pour = dict(e.lines).get(e.pouring, 0.0)
    _rebased(s, e.vessel, e.device, of_the_pour - e.lost_g, e.gross_g)


def _tare_changed(s: State, e: ev.TareChanged) -> None:
    account = s.ledger.account(e.vessel)
    if account.empty_g is not None:
        account.empty_g += e.by_g
    _rebased(s, e.vessel, e.device, e.by_g, e.gross_g)


def _rebased(s: State, vessel: str, device: str, by_g: float, gross_g: float) -> None:
    """The vessel stands there again, and a pour that was interrupted goes on above what is no part of it."""
    if s.progress.baseline_g is not None:
        s.progress.baseline_g += by_g
    s.progress.lifted = False
    s.stood_g[device] = (gross_g, gross_g)
    s.on_scale[device] = vessel


def _sample(s: State, e: ev.SampleTaken) -> None:
    if e.what == ev.SHORT:
        s.short_g += e.mass_g
    else:
        s.samples_g += e.mass_g
    s.ledger.lose_evenly(e.vessel, e.mass_g)


CHANGES: dict[type[ev.Event], Callable[[State, Any], None]] = {
    ev.VesselPlaced: _vessel_placed,
    ev.VesselLifted: _lifted,
    ev.VesselReturned: _returned,
    ev.PourBegan: _pour_began,
    ev.BaselineCrept: _crept,
    ev.WeightTaken: _weight,
    ev.OverpourFound: _overpour,
    ev.LateDropFound: _late_drop,
    ev.MaterialRemoved: _removed,
    ev.LotTaken: _lot,
    ev.LotRefused: _lot_refused,
    ev.TargetsRevised: _revised,
    ev.MassMoved: _moved,
    ev.WaterLost: _water_lost,
    ev.MassLost: _mass_lost,
    ev.TareChanged: _tare_changed,
    ev.SampleTaken: _sample,
}
