"""What a pour shows where no scale is connected: the grams, and that they are typed."""

from __future__ import annotations

from benchapp.foundation.language import tr, tr_noop
from benchapp.foundation.numbers import exact
from benchapp.make.acts.base import Context
from benchapp.make.acts.pour_line import PourLine
from benchapp.make.acts.pour_lots import another_offered, so_far_g
from benchapp.make.view_model import ActView, NumberRequest, Want
from benchapp.make.vocabulary import Verb


def by_hand(pour: PourLine, context: Context, name: str, ask: NumberRequest) -> ActView:
    """What is weighed on a scale that is not connected; where a lot ran out, how much more."""
    grams, in_g = pour.target(context).grams, so_far_g(context)
    weigh = (
        tr_noop("Weigh {grams:.{decimals}f} g of {name} in all and type what all of it weighs.")
        if in_g
        else tr_noop("Weigh {grams:.{decimals}f} g of {name} and type what the scale shows.")
    )
    text = tr(weigh, grams=grams, decimals=ask.decimals, name=name)
    want = Want(Verb.TYPE, pour.thing(context), pour.vessel, amount=grams)
    note = (
        tr(
            "{grams:g} g are in; weigh {more:.{decimals}f} g more.",
            grams=in_g,
            more=exact(grams - in_g),
            decimals=ask.decimals,
        )
        if in_g
        else ""
    )
    return ActView(text, ask=ask, choices=another_offered(pour, context), want=want, note=note)
