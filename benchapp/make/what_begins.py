"""What begins by itself once the last events are written down: the next act, the next step, the way back to a wait."""

from __future__ import annotations

from collections.abc import Callable

from benchapp import events as ev
from benchapp.foundation.language import tr
from benchapp.make import weighing_ahead
from benchapp.make.acts.base import Act, Context
from benchapp.make.agenda import Agenda
from benchapp.make.noting import noted
from benchapp.make.state import State
from benchapp.make.state_machine import StepMachine


def what_begins(
    context: Context, agenda: Agenda, steps: StepMachine, current: Act | None, calls: Callable[[float], str]
) -> list[ev.Event]:
    """The events that follow; none where the maker is in the middle of an act.

    ``current`` is the act the maker is at; ``calls`` says of a time why a wait they have stepped aside from calls them back
    then, "" where it doesn't.
    """
    state = context.state
    ahead = state.waiting is not None
    if not state.step:
        if ahead:
            return [weighing_ahead.ended(context, (), tr("left out"))]
        key = steps.next_step(state)
        return [] if key is None else step_begun(context, agenda, key)
    acts = agenda.acts_now(state.step, state)
    following = _following(acts, current, state)
    if following is None:
        done = ev.StepFinished(at_s=context.now_s, step=state.step)
        return [done, weighing_ahead.ended(context, acts, "done")] if ahead else [done]
    if current is not None and current.key == following.key:
        return []
    why = calls(context.now_s) if ahead and current is not None else ""
    if why:
        return [weighing_ahead.ended(context, acts, why)]
    # In one piece with what beginning brings, so that a power cut cannot fall between the two.
    began = ev.ActBegan(at_s=context.now_s, step=state.step, act=following.key)
    return noted(context, [began, *following.begin(context)])


def step_begun(context: Context, agenda: Agenda, key: str) -> list[ev.Event]:
    """A step begins. Its cautions come first, as always."""
    return [
        ev.StepBegan(at_s=context.now_s, step=key),
        *(ev.CautionShown(at_s=context.now_s, step=key, caution=c.key) for c in agenda.cautions[key]),
    ]


def _following(acts: tuple[Act, ...], current: Act | None, state: State) -> Act | None:
    """The first act from where the maker is that is not done. Never one before it: an act that the program which began this
    step did not ask for yet would break off the one that goes on, and a hold with it."""
    here = next((n for n, a in enumerate(acts) if current is not None and a.key == current.key), 0)
    return next((a for a in acts[here:] if (state.step, a.key) not in state.acts_done), None)
