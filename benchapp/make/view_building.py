"""The view, drawn up from a make: its outline, the act's own face, and whatever stands above it."""

from __future__ import annotations

from dataclasses import replace

from benchapp.make import weighing_ahead
from benchapp.make.core import Make
from benchapp.make.next_move import with_move
from benchapp.make.phase_sheet import left_s
from benchapp.make.view_model import ActView, Meanwhile, ViewModel


def view_model_of(make: Make, now_s: float) -> ViewModel:
    """The instant as it stands."""
    context, act = make.context(now_s), make.act()
    act_view, above = make.act_view(context, act)
    if make.state.started is not None and make.state.started.rehearsal:
        act_view = _not_to_be_checked(act_view)
    outline = make.outline()
    return replace(
        outline,
        at_s=context.now_s,
        act_view=with_move(act_view),
        trouble=above,
        meanwhile=None if make.state.waiting is None else _meanwhile(make, context.now_s),
        left_s=0.0 if act is None or outline.over else outline.left_s + left_s(act, act_view.forecast),
    )


def _not_to_be_checked(act_view: ActView) -> ActView:
    """Nobody can put a known weight on a simulated scale: that it was not checked is neither noted (noting.py) nor said."""
    return replace(act_view, live=tuple(replace(live, checked=True) for live in act_view.live))


def _meanwhile(make: Make, now_s: float) -> Meanwhile | None:
    waits = make.waiting(now_s)
    if waits is None:
        return None
    act_view = waits[1].act_view(waits[0])
    return Meanwhile(
        waits[1].brief, act_view.live, act_view.forecast, weighing_ahead.calls(*waits, act_view.forecast)
    )
