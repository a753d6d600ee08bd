"""A pour that goes on from another lot: the bag is empty, the next one is opened, and the record says what came from which."""

from __future__ import annotations

import dataclasses

from benchapp import events as ev
from benchapp.foundation.language import tr
from benchapp.make.acts.base import Context
from benchapp.make.acts.lot import barred_in_hand, lot_choices, lots_for, take_lot, turned_down
from benchapp.make.acts.pour_line import PourLine
from benchapp.make.acts.pour_scale import off_and_on
from benchapp.make.inputs import Grams, Input, Press, Scanned
from benchapp.make.view_model import ActView, Choice, Want
from benchapp.make.vocabulary import ChoiceKey, Stage, Verb

#: What was in the vessel at the first reading after the question came up, in grams, where none was heard when it did.
_IN_BEFORE = "in before another lot"


def may_go_on_from_another(pour: PourLine, context: Context) -> bool:
    """Whether there is a lot that could be opened next; a mixture has none of its own."""
    taken = context.state.lots.get(pour.line)
    lot = "" if taken is None else taken.lot
    return pour.thing(context) == pour.line and any(
        x.lot != lot and not x.why_not for x in lots_for(context, pour.line)
    )


def another_lot(pour: PourLine, context: Context, given: Input) -> list[ev.Event] | None:
    """Events of another lot asked for, scanned or picked once the pour has begun; None where the input says nothing of
    one. Until it is answered nothing is taken."""
    asking = context.progress.stage.asks_lot
    begun = context.progress.baseline_g is not None and context.progress.stage == Stage.FIRST
    asked = isinstance(given, Press) and given.key == ChoiceKey.OTHERS
    barred = barred_in_hand(context, pour.line) if begun and isinstance(given, Grams) else None
    if barred is not None and pour.thing(context) == pour.line:
        return _with_what_is_in(pour, context, turned_down(pour, context, pour.line, barred))
    if not (asking or (begun and (asked or isinstance(given, Scanned)))) or pour.thing(context) != pour.line:
        return None
    if isinstance(given, Grams):
        if (in_g := _in_now_g(pour, context)) is not None:
            context.counts.lasting.setdefault(_IN_BEFORE, in_g)
        return off_and_on(pour, context) or []
    if isinstance(given, Press) and given.key == ChoiceKey.UNKNOWN and not lots_for(context, pour.line):
        given = dataclasses.replace(given, choice=ChoiceKey.YES)
    out = take_lot(pour, context, pour.line, given)
    if out is None:
        return [] if asking else None
    hand = out[-1] if out else None
    if isinstance(hand, ev.LotTaken):
        return _in_hand(pour, context, out[:-1], hand)
    shown = asking or any(isinstance(e, ev.StageReached) for e in out)
    if not shown:
        out = [*out, pour.stage(context, Stage.OTHER_LOTS)]
    return out if asking else _with_what_is_in(pour, context, out)


def _with_what_is_in(pour: PourLine, context: Context, out: list[ev.Event]) -> list[ev.Event]:
    """What is poured from now on, and before the answer, is the new lot's: written down, since the power may fail."""
    in_g = _in_now_g(pour, context)
    return [dataclasses.replace(e, in_g=in_g) if isinstance(e, ev.StageReached) else e for e in out]


def _in_hand(pour: PourLine, context: Context, said: list[ev.Event], hand: ev.LotTaken) -> list[ev.Event]:
    in_g = _in_before_g(context)
    context.counts.lasting.pop(_IN_BEFORE, None)
    before, back = context.state.lots.get(pour.line), pour.stage(context, Stage.FIRST)
    if before is not None and before.lot == hand.lot:
        return [*said, back]  # it goes on from the same
    after_g = max((_in_now_g(pour, context) if in_g is None else in_g) or 0.0, 0.0)
    return [*said, dataclasses.replace(hand, after_g=after_g), back]


def _in_before_g(context: Context) -> float | None:
    asked_at_g = context.progress.asked_at_g
    return context.counts.lasting.get(_IN_BEFORE) if asked_at_g is None else asked_at_g


def _in_now_g(pour: PourLine, context: Context) -> float | None:
    """Grams of the line in the vessel; where it was lifted, what was in it then. None where nothing fresh is known."""
    gross = context.gross_g(pour.device)
    if context.progress.lifted:
        _, gross = context.state.stood_g.get(pour.device, (0.0, gross))
    return None if gross is None else context.net_g(pour.device, gross)


def other_lot() -> Choice:
    """What is pressed when a bag is empty and another is opened."""
    return Choice(ChoiceKey.OTHERS, tr("Another lot"))


def which_lot(pour: PourLine, context: Context) -> ActView:
    """The question from which lot the pour goes on, the one in hand among the answers."""
    taken, refused = context.state.lots.get(pour.line), context.progress.refused
    in_g = _in_before_g(context) or 0.0
    note = (
        tr("{grams:g} g of lot {lot} are in.", grams=in_g, lot=taken.lot)
        if taken is not None and taken.lot and in_g > 0
        else ""
    )
    return ActView(
        tr("{name}: which lot goes on?", name=pour.name(context)), context.progress.stage,
        not_yet=(refused,) if refused else (),
        choices=tuple(_going_on(x) if taken and x.of == taken.lot else x for x in lot_choices(context, pour.line))
        if lots_for(context, pour.line)
        else (Choice(ChoiceKey.UNKNOWN, tr("It is not on the books"), serious=True),),
        want=Want(Verb.FETCH, pour.line), note=note,
    )  # fmt: skip


def _going_on(choice: Choice) -> Choice:
    return dataclasses.replace(choice, label=tr("Go on with lot {lot}", lot=choice.of))
