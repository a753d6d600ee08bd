"""The view, drawn up from a make: its outline, the act's own face, and whatever stands above it."""

from __future__ import annotations

from dataclasses import replace

from benchapp.make import weighing_ahead
from benchapp.make.acts.base import Act
from benchapp.make.core import Make
from benchapp.make.next_move import with_move
from benchapp.make.phase_sheet import left_s
from benchapp.make.still_to_take import still_to_take
from benchapp.make.view_model import ActView, Meanwhile, ViewModel


def view_model_of(make: Make, now_s: float) -> ViewModel:
    """The instant as it stands."""
    context, act = make.context(now_s), make.act()
    act_view, above = make.act_view(context, act)
    if make.state.started is not None and make.state.started.rehearsal:
        act_view = _not_to_be_checked(act_view)
    view = replace(
        make.outline(),
        at_s=context.now_s,
        act_view=with_move(act_view),
        trouble=above,
        meanwhile=None if make.state.waiting is None else _meanwhile(make, context.now_s),
    )
    if act is None or view.over:
        return view
    return _with_time_left(make, view, (act, act_view if above is None else act.act_view(context)))


def _with_time_left(make: Make, view: ViewModel, at: tuple[Act, ActView]) -> ViewModel:
    """How long it still takes at the least, and by makes like it; a wait that goes on beside is in it up to its own end. ``at``: the
    act and its own face, whatever trouble it stands under."""
    wait = (at[0], at[1].forecast)
    sure_s = view.left_s + left_s(*wait)
    waits = make.waiting(view.at_s)
    if waits is not None and view.meanwhile is not None:
        wait = (waits[1], view.meanwhile.forecast)
        sure_s += left_s(*wait) - waits[1].sure_s
    return replace(view, left_s=sure_s, until_done=still_to_take(make, view.at_s, sure_s, wait))


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
