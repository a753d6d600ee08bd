"""Whether what stands on the scale is the one: asked where a weight alone does not tell."""

from __future__ import annotations

import dataclasses

from benchapp.foundation.language import tr, tr_noop
from benchapp.make.acts.base import Context, pressed
from benchapp.make.inputs import Input
from benchapp.make.pictures import BandPicture
from benchapp.make.view_model import ActView, Choice, Want
from benchapp.make.vocabulary import ChoiceKey, Verb

#: Within this share of what a procedure says it weighs, a vessel is said to fit (ours).
NEAR_SHARE = 0.1
#: What stands under the band that a vessel's weight may lie in.
FITS = tr_noop("fits: {low}–{high}")


def is_it(name: str, serious: bool = False) -> tuple[Choice, Choice]:
    """The two answers to it."""
    return Choice(ChoiceKey.IT_IS, tr("It is the {name}", name=name), serious=serious), another()


def another() -> Choice:
    """The answer that it is not."""
    return Choice(ChoiceKey.ANOTHER, tr("No"))


def is_another(context: Context, device: str, given: Input) -> bool:
    """Whether somebody says, or has said, that it is another one. Nothing is recorded: it counts until that one moves."""
    if pressed(given, ChoiceKey.ANOTHER) and context.still_g(device) is not None:
        context.watch.scales[device].objected = True
    return stands_another(context, device)


def stands_another(context: Context, device: str) -> bool:
    """Whether somebody has said so, and nothing has moved since."""
    scale = context.watch.scales.get(device)
    return scale is not None and scale.objected


def take_it_off(view: ActView, name: str, vessel: str, device: str) -> ActView:
    """What is to be done then."""
    text = tr("Take it off, and put the {name} on the {device}.", name=name, device=device)
    want = Want(Verb.LIFT, vessel=vessel, device=device)
    return dataclasses.replace(view, instruction=text, picture=None, not_yet=(), choices=(), want=want)


def fits(what: str, value_g: float, low_g: float, high_g: float) -> BandPicture:
    """What the scale shows along what such a vessel may weigh, in grams."""
    return BandPicture(what, value_g, low_g, high_g, "g", FITS)
