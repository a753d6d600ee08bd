"""What the hands do next, in three words at most: from what the act wants of the bench."""

from __future__ import annotations

from dataclasses import replace

from benchapp.foundation.language import tr, tr_noop
from benchapp.make.view_model import STOP_POURING, ActView
from benchapp.make.vocabulary import ChoiceKey, Verb

#: The longest a move may be, in words.
MOST_WORDS = 3

#: What is asked for by a sentence of its own, or by a press, has no words here.
MOVES = {
    Verb.ADJUST_PH: "Choose",
    Verb.BLEND: tr_noop("Blend it"),
    Verb.BOTTLE_ON: tr_noop("Put it on"),
    Verb.CLEAR_TARE: tr_noop("Clear the tare"),
    Verb.COOL: tr_noop("Stir it"),
    Verb.EMPTY_PAN: tr_noop("Empty the pan"),
    Verb.FETCH: tr_noop("Read the label"),
    Verb.FILL: "Fill",
    Verb.FIND: tr_noop("Plug it in"),
    Verb.HEAT: "Wait",
    Verb.INTO_BATH: tr_noop("Into the bath"),
    Verb.JUDGE: "",
    Verb.LIFT: tr_noop("Take it off"),
    Verb.PH_PROBE_IN: tr_noop("Probe in, wait"),
    Verb.POUR: "Pour",
    Verb.PROBE_IN: tr_noop("Probe in"),
    Verb.PUT_BACK: tr_noop("Put it back"),
    Verb.PUT_ON: tr_noop("Put it on"),
    Verb.READ_PH: tr_noop("Read the pH"),
    Verb.REMEDY: "Choose",
    Verb.REMOVE: tr_noop("Take some out"),
    Verb.REST: tr_noop("Hands off"),
    Verb.SAMPLE: tr_noop("Take a sample"),
    Verb.SIGN: "",
    Verb.STIR: tr_noop("Stir it"),
    Verb.TRANSFER: tr_noop("Pour, then scrape"),
    Verb.TYPE: tr_noop("Type the value"),
    Verb.WAIT: "Wait",
    Verb.WAIT_GATE: "Wait",
}


def with_move(act_view: ActView) -> ActView:
    """The view with its next move: the act's own, else by what it wants; none under cautions."""
    if act_view.move or act_view.want is None or act_view.cautions:
        return act_view
    if any(choice.key == ChoiceKey.IT_IS for choice in act_view.choices):
        return act_view  # what stands there is asked about: there is nothing to do
    return replace(act_view, move=MOVES.get(act_view.want.verb, ""))


def with_news(act_view: ActView, says: str, stops: bool) -> ActView:
    """The view with what has just happened at the bench. Where it ``stops`` the hands while the act still wants pouring,
    nothing else is ordered, drawn or offered that invites on: two orders that contradict each other are none."""
    if says and stops and act_view.want is not None and act_view.want.verb == Verb.POUR:
        # Nothing is to go, and nothing is below anything, while it runs in by itself.
        live = tuple(replace(x, to_go=None, lacks="", word="") for x in act_view.live)
        return replace(
            act_view,
            news=says,
            instruction=STOP_POURING,
            move=STOP_POURING,
            live=live,
            picture=None,
            not_yet=(),
            choices=(),
            note=tr("Then you choose what to do about it."),
            then="",
        )
    return replace(act_view, news=says)
