"""What a foot or a push on an empty pan means at a moment: the plain way on, or the one distinct act."""

from __future__ import annotations

import dataclasses
from collections.abc import Sequence

from benchapp import events as ev
from benchapp.calculations.pan_press import COARSE_G
from benchapp.make.acts.base import Act, Sight
from benchapp.make.acts.taking import WAIT
from benchapp.make.aside import BACK
from benchapp.make.inputs import Grams, Hold, Input, Pedal, PedalDown, Press, Resume
from benchapp.make.moment import Choice, Face
from benchapp.make.watch import Watch

#: Serious choices that leave something out or end something for good: a touch only, since a foot held down may as
#: well mean "hold".
TOUCH_ONLY = frozenset({"not weighed", "last"})
#: How a press came that was not by hand.
PEDAL, PAN = "pedal", "pan"
#: How a hold by the pedal stands in the record.
HELD_BY_PEDAL = "Held by the pedal."


def plain_choice(face: Face) -> Choice | None:
    """The first choice that is neither serious nor wants a reason or a signature: the way on, never the way back."""
    return next(
        (c for c in face.choices if not (c.serious or c.reason or c.sign) and c.key not in (WAIT, BACK)),
        None,
    )


def distinct_choice(face: Face) -> Choice | None:
    """The moment's only serious choice, where it wants neither a reason nor a signature and nothing plain stands
    beside it: there a foot held down means "hold"."""
    serious = [c for c in face.choices if c.serious]
    if (
        plain_choice(face) is not None
        or len(serious) != 1
        or serious[0].reason
        or serious[0].sign
        or serious[0].key in TOUCH_ONLY | {"sign"}
    ):
        return None
    return serious[0]


def meant(given: PedalDown | Pedal, face: Face, prompt: str, watch: Watch) -> Press | Hold | Resume | None:
    """A foot's word as what it stands for; None where it says nothing here.

    While a weighing is about to be taken, the foot objects as soon as it comes down, and its release says nothing.
    """
    fits = given.prompt == prompt
    if isinstance(given, PedalDown):
        watch.foot_objected = fits and any(c.key == WAIT for c in face.choices)
        return Press(given.at_s, prompt, WAIT, by=PEDAL) if watch.foot_objected else None
    if not given.held and watch.foot_objected:
        return None
    if given.held and face.stage == "held":
        return Resume(given.at_s) if fits else None
    choice = (distinct_choice if given.held else plain_choice)(face) if fits else None
    if choice is not None:
        return Press(given.at_s, prompt, choice.key, by=PEDAL)
    return Hold(given.at_s, HELD_BY_PEDAL) if given.held else None


def pushed_pan(sight: Sight, act: Act | None, given: Grams, prompt: str) -> bool:
    """Whether three deliberate pushes on the empty pan of a large scale have just ended, begun while this prompt
    stood there. Only where the act does not use that scale, and never on a fine one."""
    facts = sight.plan.device(given.device)
    if (facts.readability_g or 0.0) < COARSE_G:
        return False
    pan = sight.watch.pan(given.device, sight.division_g(given.device))
    doubted = given.device in sight.state.doubted or sight.watch.tared(given.device)
    if act is None or given.device in act.uses or doubted:
        pan.forget()
        return False
    return pan.push(given.at_s, given.value_g - sight.zero_g(given.device), prompt) == prompt


def meant_by_pan(given: Grams, face: Face, prompt: str) -> Press | None:
    """The plain choice, by a push on the pan; nothing while nobody is there."""
    choice = None if face.stage == "held" else plain_choice(face)
    return None if choice is None else Press(given.at_s, prompt, choice.key, by=PAN)


def with_how(events: Sequence[ev.Event], given: Input) -> list[ev.Event]:
    """The events, saying how the maker said yes where it was not by hand."""
    by = given.by if isinstance(given, Press) else ""
    if not by:
        return list(events)
    return [
        dataclasses.replace(e, how=by) if isinstance(e, ev.Confirmed | ev.CautionAcknowledged) else e
        for e in events
    ]
