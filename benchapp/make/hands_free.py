"""What a foot or a push on an empty pan means at a moment: the plain way on, or the one distinct act."""

from __future__ import annotations

import dataclasses
from collections.abc import Sequence

from benchapp import events as ev
from benchapp.foundation.language import tr_noop
from benchapp.make.acts.base import Act, Context
from benchapp.make.inputs import Grams, Hold, Pedal, PedalDown, Press, Resume
from benchapp.make.view_model import ActView, Choice
from benchapp.make.vocabulary import ASIDE, ChoiceKey, Stage

#: Serious choices that leave something out, end something for good or state a fact: a touch only, since a foot held
#: down may as well mean "hold".
TOUCH_ONLY = frozenset({
    ChoiceKey.NOT_WEIGHED, ChoiceKey.LAST, ChoiceKey.IN_POT, ChoiceKey.STANDS, ChoiceKey.UNKNOWN, ChoiceKey.RAN,
    ChoiceKey.LOT,
})  # fmt: skip
#: How a press came that was not by hand.
PEDAL, PAN = "pedal", "pan"
#: How a hold by the pedal stands in the record.
HELD_BY_PEDAL = tr_noop("Held by the pedal.")


def plain_choice(act_view: ActView) -> Choice | None:
    """The first choice that is neither serious nor wants a reason or a signature: the way on, never the way back."""
    return next(
        (c for c in act_view.choices if not (c.serious or c.reason or c.sign) and c.key not in ASIDE),
        None,
    )


def distinct_choice(act_view: ActView) -> Choice | None:
    """The view's only serious choice, where it wants neither a reason nor a signature and nothing plain stands
    beside it: there a foot held down means "hold"."""
    serious = [c for c in act_view.choices if c.serious]
    if (
        plain_choice(act_view) is not None
        or len(serious) != 1
        or serious[0].reason
        or serious[0].sign
        or serious[0].key in TOUCH_ONLY | {ChoiceKey.SIGN}
    ):
        return None
    return serious[0]


def meant(context: Context, given: PedalDown | Pedal, act_view: ActView) -> Press | Hold | Resume | None:
    """A foot's word as what it stands for; None where it says nothing here.

    While a weighing is about to be taken, the foot objects as soon as it comes down, and its release says nothing.
    """
    prompt, watch = context.state.prompt, context.watch
    fits = given.prompt == prompt
    if isinstance(given, PedalDown):
        watch.foot_objected = fits and any(c.key == ChoiceKey.WAIT for c in act_view.choices)
        return Press(given.at_s, prompt, ChoiceKey.WAIT, by=PEDAL) if watch.foot_objected else None
    if not given.held and watch.foot_objected:
        return None
    if given.held and act_view.stage == Stage.HELD:
        return Resume(given.at_s) if fits else None
    choice = (distinct_choice if given.held else plain_choice)(act_view) if fits else None
    if choice is not None:
        return Press(given.at_s, prompt, choice.word, by=PEDAL)
    return Hold(given.at_s, HELD_BY_PEDAL) if given.held else None


def pushed_pan(context: Context, act: Act | None, given: Grams) -> bool:
    """Whether three deliberate pushes on the empty pan of a large scale have just ended, begun while this prompt
    stood there. Only where the act does not use that scale, and never on a fine one."""
    scale = context.watch.scales[given.device]
    if scale.pan is None:
        return False
    if act is None or given.device in act.uses or given.device in context.state.doubted or scale.tared:
        scale.pan.forget()
        return False
    prompt = context.state.prompt
    return scale.pan.push(given.at_s, given.value_g - context.zero_g(given.device), prompt) == prompt


def meant_by_pan(context: Context, given: Grams, act_view: ActView) -> Press | None:
    """The plain choice, by a push on the pan; nothing while nobody is there."""
    choice = None if act_view.stage == Stage.HELD else plain_choice(act_view)
    return None if choice is None else Press(given.at_s, context.state.prompt, choice.word, by=PAN)


def with_how(events: Sequence[ev.Event], given: Press) -> list[ev.Event]:
    """The events, saying how the maker said yes where it was not by hand."""
    if not given.by:
        return list(events)
    return [
        dataclasses.replace(e, how=given.by) if isinstance(e, ev.Confirmed | ev.CautionAcknowledged) else e
        for e in events
    ]
