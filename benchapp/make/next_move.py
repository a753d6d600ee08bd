"""What the hands do next, in three words at most: from what the act wants of the bench."""

from __future__ import annotations

from dataclasses import replace

from benchapp.make.view_model import ActView
from benchapp.make.vocabulary import ChoiceKey, Verb

#: The longest a move may be, in words.
MOST_WORDS = 3

#: What is asked for by a sentence of its own, or by a press, has no words here.
MOVES = {
    Verb.ADJUST_PH: "Choose",
    Verb.BLEND: "Keep blending",
    Verb.BOTTLE_ON: "Put it on",
    Verb.CLEAR_TARE: "Clear the tare",
    Verb.COOL: "Stir on",
    Verb.EMPTY_PAN: "Empty the pan",
    Verb.FETCH: "Read the label",
    Verb.FILL: "Fill",
    Verb.FIND: "Plug it in",
    Verb.HEAT: "Wait",
    Verb.INTO_BATH: "Into the bath",
    Verb.JUDGE: "Look and judge",
    Verb.LIFT: "Take it off",
    Verb.PH_PROBE_IN: "Probe in, wait",
    Verb.POUR: "Pour",
    Verb.PROBE_IN: "Probe in",
    Verb.PUT_BACK: "Put it back",
    Verb.PUT_ON: "Put it on",
    Verb.READ_PH: "Read the pH",
    Verb.REMEDY: "Choose",
    Verb.REMOVE: "Take some out",
    Verb.REST: "Hands off",
    Verb.SAMPLE: "Take a sample",
    Verb.SIGN: "Sign it",
    Verb.STIR: "Keep stirring",
    Verb.TRANSFER: "Pour it over",
    Verb.TYPE: "Type the value",
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
