"""Which of the choices of a view goes on with the make, which is drawn in red, and which stands behind another."""

from __future__ import annotations

from benchapp.make.view_model import Choice, ViewModel
from benchapp.make.vocabulary import ASIDE, ChoiceKey, Verb

#: Serious choices that are the plain way on all the same.
PLAIN_WORDS = (ChoiceKey.UNDERSTOOD, ChoiceKey.SIGN, ChoiceKey.PAN_IS_EMPTY, ChoiceKey.SEEN_TO)
#: What is drawn in red: it goes against what is wanted, cuts short, or throws away.
RED = (ChoiceKey.ACCEPT, ChoiceKey.ANYWAY, ChoiceKey.START_OVER, ChoiceKey.USE_ANYWAY)
#: Waits in which the hands are free: what can be done meanwhile is the next thing.
HANDS_FREE = (Verb.HEAT, Verb.WAIT)


def another_lot(m: ViewModel) -> Choice | None:
    """Another lot, where it is asked for behind "It ran out": both are said of a bag that is empty."""
    offered = {c.key: c for c in m.act_view.choices}
    return offered.get(ChoiceKey.OTHERS) if ChoiceKey.ACCEPT_LESS in offered else None


def kind_of(m: ViewModel, choice: Choice) -> str:
    """How a choice is drawn: filled is only what goes on."""
    if choice is way_on(m):
        return "main"
    return "serious" if choice.serious and choice.key in RED else "plain"


def way_on(m: ViewModel) -> Choice | None:
    """The one choice that goes on with the make; None where going on is not chosen, or there are several ways. Back to a
    wait that calls is the way on, too, and what can be weighed while nothing else is to be done."""
    offered, want = m.act_view.choices, m.act_view.want
    if m.meanwhile is not None and m.meanwhile.calls:
        back = next((c for c in offered if c.key == ChoiceKey.BACK), None)
        if back is not None:
            return back
    ways = [
        c
        for c in offered
        if c.key not in (*ASIDE, ChoiceKey.AHEAD) and (not c.serious or c.key in PLAIN_WORDS)
    ]
    if not ways and want is not None and want.verb in HANDS_FREE:
        ways = [c for c in offered if c.key == ChoiceKey.AHEAD]
    several = any(c.effect or c.key == ChoiceKey.DIFFERENT for c in offered)
    return ways[0] if ways and not several else None
