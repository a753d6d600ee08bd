"""A typed value that can hardly be meant is asked for once more: a slip of a finger must not become a value in the record."""

from __future__ import annotations

from benchapp.foundation.band import Band
from benchapp.foundation.language import tr, tr_noop
from benchapp.make.inputs import Input, Press
from benchapp.make.view_model import ActView, Choice, NumberRequest, Want
from benchapp.make.vocabulary import ChoiceKey, Stage


def doubted_choices(again: str) -> tuple[Choice, Choice]:
    """What may be said of a typed value that can hardly be meant: ``again``, or that it is so, with the reason."""
    return (
        Choice(ChoiceKey.TYPE_AGAIN, again),
        Choice(ChoiceKey.TYPED_ANYWAY, tr("It is so"), serious=True, reason=True),
    )


def insisted(given: Input) -> str:
    """The reason with which a doubted value is said to be so; "" where it is not."""
    return given.reason if isinstance(given, Press) and given.key == ChoiceKey.TYPED_ANYWAY else ""


#: The name under which a weight typed outside its band waits to be confirmed.
TYPED = tr_noop("typed weight")


def typed_weight(name: str, grams: float, band: Band, ask: NumberRequest, want: Want) -> ActView:
    """What is asked of a weight that was typed outside its band."""
    text, limits = (
        tr("{value:g} g of {name}?", value=grams, name=name),
        tr("It should be {low:g} to {high:g} g.", low=band.low, high=band.high),
    )
    choices = doubted_choices(tr("Type it again"))
    return ActView(text, Stage.TYPED, not_yet=(limits,), choices=choices, ask=ask, want=want)
