"""Weighing ahead: what can be weighed while a step only waits, and when the wait wants its maker back."""

from __future__ import annotations

import dataclasses
from collections.abc import Sequence

from benchapp import events as ev
from benchapp.make.acts.base import Act, Sight
from benchapp.make.acts.confirm import Cautions
from benchapp.make.acts.pour_line import PourLine
from benchapp.make.acts.vessel import VesselOn, pan_is_empty
from benchapp.make.moment import Choice, Face, Forecast
from procedures.steps import Weigh
from procedures.steps.base import Hazard

#: The choice that steps aside, with the key of the weighing behind it; and the one that goes back.
AHEAD, BACK = "ahead:", "back"
#: How long fetching a vessel takes, and one line with its reading back, in seconds (common practice, no source).
VESSEL_S, LINE_S = 60.0, 60.0
#: So long before its end the wait wants its maker back, in seconds.
RETURN_S = 60.0
#: An empty-handed maker at a resting scale is fetched after so long; in the middle of a pour nobody is.
IDLE_S = 5.0
#: No more than so many weighings are offered at once: the wait itself stays what is read first.
MOST_OFFERED = 2


def doable(
    sight: Sight,
    act: Act,
    forecast: Forecast | None,
    acts: dict[str, tuple[Act, ...]],
) -> tuple[Weigh, ...]:
    """The weighings after this step that can be done while it waits: their vessel is touched by nothing before
    them, it is not hot, their scale is free and speaks, and there is time enough. Nothing flammable while heat is on."""
    if not act.waits or calls(sight, act, forecast):
        return ()
    steps = sight.plan.procedure.steps
    flammable = {x.key for x in sight.plan.procedure.formula.lines if x.material.flammable}
    here = next(n for n, s in enumerate(steps) if s.key == act.step.key)
    declared = sight.plan.declared
    before = set(declared[act.step.key].touches)
    left_s = _earliest_s(forecast)
    out: list[Weigh] = []
    for step in steps[here + 1 :]:
        if step.key in sight.state.steps_done:
            continue
        near_heat = Hazard.HEAT_SOURCE in declared[act.step.key].hazards and not flammable.isdisjoint(
            getattr(step, "lines", ())
        )
        if (
            isinstance(step, Weigh)
            and step.vessel not in before
            and not near_heat
            and _free(sight, act, step)
        ):
            lines = sum(isinstance(a, PourLine) for a in _left(sight, acts[step.key]))
            if lines and (left_s is None or left_s >= RETURN_S + VESSEL_S + LINE_S * lines):
                out.append(step)
        before |= set(declared[step.key].touches)
    return tuple(out[:MOST_OFFERED])


def _left(sight: Sight, acts: Sequence[Act]) -> list[Act]:
    return [a for a in acts if (a.step.key, a.key) not in sight.state.acts_done]


def _free(sight: Sight, act: Act, step: Weigh) -> bool:
    scale = sight.plan.scale_for(step.vessel)
    if scale is None or scale.name in act.uses or sight.state.ledger.of(step.vessel).heated:
        return False
    # One that is doubted, as after a restart, is asked about first, like everywhere.
    if scale.name in sight.state.lost or not sight.watch.speaks(scale.name, sight.now_s):
        return False
    gross = sight.gross_g(scale.name)
    standing = sight.state.on_scale.get(scale.name)
    clear = gross is not None and pan_is_empty(sight, scale.name, gross)
    return clear or standing is None or standing not in act.ties


def _earliest_s(forecast: Forecast | None) -> float | None:
    return None if forecast is None else forecast.early_s


def calls(sight: Sight, act: Act, forecast: Forecast | None) -> str:
    """Why a wait wants its maker, in one sentence; "" while it does not. ``sight`` is the wait's own."""
    if (act.step.key, act.key) in sight.state.acts_done:
        return f"{act.brief}: done."
    lost = next((d for d in act.devices if d in sight.state.lost), None)
    if lost is not None:
        return f"The {lost} is lost: nothing watches the {act.step.title.lower()}."
    said = act.calls(sight)
    left_s = _earliest_s(forecast)
    if said or left_s is None or left_s > RETURN_S:
        return said
    return f"{act.brief}: any moment now."


def offered(face: Face, steps: Sequence[Weigh], ready: Sequence[str] = ()) -> Face:
    """The face of a wait with what may be weighed meanwhile, and the vessels that stand ready."""
    more = tuple(Choice(f"ahead:{s.key}", f"Meanwhile: {s.title}") for s in steps)
    stands = f"Weighed and ready: {', '.join(ready)}. Keep it covered." if ready else ""
    if not more and not stands:
        return face
    note = f"{face.note} {stands}".strip()
    return dataclasses.replace(face, choices=(*face.choices, *more), note=note)


def ready(sight: Sight, act: Act) -> tuple[str, ...]:
    """The names of the vessels in which something was weighed ahead of this wait's step."""
    if not act.waits:
        return ()
    steps = sight.plan.procedure.steps
    here = next(n for n, s in enumerate(steps) if s.key == act.step.key)
    done = [s for s in steps[here + 1 :] if isinstance(s, Weigh) and s.key in sight.state.steps_done]
    vessels = dict.fromkeys(s.vessel for s in done if sight.state.ledger.of(s.vessel).content_g > 0.0)
    return tuple(sight.vessel_name(v) for v in vessels)


def with_way_back(face: Face, sight: Sight, act: Act) -> Face:
    """The face of a weighing done ahead, with the way back to the wait where nothing is half done."""
    if not empty_handed(sight, act):
        return face
    return dataclasses.replace(face, choices=(*face.choices, Choice(BACK, "Back to the wait")))


def empty_handed(sight: Sight, act: Act) -> bool:
    """Whether this act can be left just so: nothing was poured that is not booked."""
    if not isinstance(act, PourLine):
        return True
    progress = sight.progress
    if progress.stage or progress.lifted:
        return False
    if progress.baseline_g is None:
        return True
    gross = sight.still_g(act.device, IDLE_S) if act.device else None
    return gross is not None and abs(act.net_g(sight, gross)) <= 3 * sight.division_g(act.device)


def begun(sight: Sight, act: Act, into: Weigh) -> ev.Event:
    """Stepping aside from a wait into a weighing."""
    return ev.SteppedAside(
        at_s=sight.now_s, step=act.step.key, act=act.key, into=into.key, vessels=tuple(sorted(act.ties))
    )


def ended(sight: Sight, acts: Sequence[Act], why: str) -> ev.Event:
    """Back at the wait. A vessel that was on the scale has to be put there again before more goes in, and what can
    hurt is said again."""
    waiting = sight.state.waiting
    assert waiting is not None
    left = _left(sight, acts)
    vessels = {a.vessel for a in left if isinstance(a, PourLine)}
    again = tuple(
        a.key
        for a in acts
        if a not in left
        and ((isinstance(a, VesselOn) and a.vessel in vessels) or (left and isinstance(a, Cautions)))
    )
    return ev.SteppedBack(at_s=sight.now_s, step=waiting.step, left=sight.progress.step, why=why, again=again)
