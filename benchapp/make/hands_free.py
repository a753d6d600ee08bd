"""What a foot or a push on an empty pan means at a moment: the plain way on, or the one distinct act."""

from __future__ import annotations

import dataclasses
from collections.abc import Sequence

from benchapp import events as ev
from benchapp.calculations.pan_press import COARSE_G
from benchapp.foundation.language import tr_noop
from benchapp.make.acts.base import Act, Context
from benchapp.make.filters import SensorFilters
from benchapp.make.inputs import Grams, Hold, Input, Pedal, PedalDown, Press, Resume
from benchapp.make.view_model import ActView, Choice
from benchapp.make.vocabulary import ChoiceKey, Stage

#: Serious choices that leave something out, end something for good or state a fact: a touch only, since a foot held
#: down may as well mean "hold".
TOUCH_ONLY = frozenset({
    ChoiceKey.NOT_WEIGHED, ChoiceKey.LAST, ChoiceKey.IN_POT, ChoiceKey.STANDS, ChoiceKey.UNKNOWN, ChoiceKey.RAN,
})  # fmt: skip
#: How a press came that was not by hand.
PEDAL, PAN = "pedal", "pan"
#: How a hold by the pedal stands in the record.
HELD_BY_PEDAL = tr_noop("Held by the pedal.")


def plain_choice(act_view: ActView) -> Choice | None:
    """The first choice that is neither serious nor wants a reason or a signature: the way on, never the way back."""
    return next(
        (
            c
            for c in act_view.choices
            if not (c.serious or c.reason or c.sign)
            and c.key not in (ChoiceKey.WAIT, ChoiceKey.BACK, ChoiceKey.INSTEAD)
        ),
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


def meant(
    given: PedalDown | Pedal, act_view: ActView, prompt: str, watch: SensorFilters
) -> Press | Hold | Resume | None:
    """A foot's word as what it stands for; None where it says nothing here.

    While a weighing is about to be taken, the foot objects as soon as it comes down, and its release says nothing.
    """
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


def pushed_pan(context: Context, act: Act | None, given: Grams, prompt: str) -> bool:
    """Whether three deliberate pushes on the empty pan of a large scale have just ended, begun while this prompt
    stood there. Only where the act does not use that scale, and never on a fine one."""
    facts = context.plan.device(given.device)
    if (facts.readability_g or 0.0) < COARSE_G:
        return False
    pan = context.watch.pan(given.device, context.division_g(given.device))
    doubted = given.device in context.state.doubted or context.watch.tared(given.device)
    if act is None or given.device in act.uses or doubted:
        pan.forget()
        return False
    return pan.push(given.at_s, given.value_g - context.zero_g(given.device), prompt) == prompt


def meant_by_pan(given: Grams, act_view: ActView, prompt: str) -> Press | None:
    """The plain choice, by a push on the pan; nothing while nobody is there."""
    choice = None if act_view.stage == Stage.HELD else plain_choice(act_view)
    return None if choice is None else Press(given.at_s, prompt, choice.word, by=PAN)


def with_how(events: Sequence[ev.Event], given: Input) -> list[ev.Event]:
    """The events, saying how the maker said yes where it was not by hand."""
    by = given.by if isinstance(given, Press) else ""
    if not by:
        return list(events)
    return [
        dataclasses.replace(e, how=by) if isinstance(e, ev.Confirmed | ev.CautionAcknowledged) else e
        for e in events
    ]
