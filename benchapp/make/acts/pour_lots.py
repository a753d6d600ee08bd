"""A pour that goes on from another lot: the bag is empty, the next one is opened, and the record says what came from which."""

from __future__ import annotations

import dataclasses

from benchapp import events as ev
from benchapp.foundation.language import tr
from benchapp.foundation.numbers import exact
from benchapp.make.acts.base import Context, pressed
from benchapp.make.acts.lot import barred_in_hand, lot_choices, lots_for, other_lot, take_lot, turned_down
from benchapp.make.acts.pour_line import PourLine
from benchapp.make.acts.pour_scale import off_and_on
from benchapp.make.inputs import Grams, Input, Press, Scanned, Tick, TypeValue
from benchapp.make.view_model import ActView, Choice, NumberRequest, Want
from benchapp.make.vocabulary import ChoiceKey, Stage, Verb

#: What was in the vessel at the first reading after the question came up, in grams, where none was heard when it did.
_IN_BEFORE = "in before another lot"


def another_offered(pour: PourLine, context: Context) -> tuple[Choice, ...]:
    """Another lot could be opened next, be it one that is on no book; a mixture has none of its own."""
    return (other_lot(),) if pour.thing(context) == pour.line and lots_for(context, pour.line) else ()


def another_lot(pour: PourLine, context: Context, given: Input) -> list[ev.Event] | None:
    """Events of another lot asked for, scanned or picked once the pour has begun; None where the input says nothing of
    one. Until it is answered nothing is taken."""
    stage = context.progress.stage
    if pour.thing(context) != pour.line:
        return None
    if stage.asks_lot:
        return _answered(pour, context, given)
    if stage == Stage.TYPED and pressed(given, ChoiceKey.OTHERS):
        return _ran_out_at(pour, context)
    if stage != Stage.FIRST or (pour.device and context.progress.baseline_g is None):
        return None
    if isinstance(given, Grams | Tick):
        barred = barred_in_hand(context, pour.line)
        return (
            None if barred is None else _asked(pour, context, turned_down(pour, context, pour.line, barred))
        )
    if not (isinstance(given, Scanned) or pressed(given, ChoiceKey.OTHERS)):
        return None
    if _untold(pour, context):
        return [
            pour.stage(context, Stage.OTHER_LOTS, given.code.strip() if isinstance(given, Scanned) else "")
        ]
    return _considered(pour, context, given, None)


def _answered(pour: PourLine, context: Context, given: Input) -> list[ev.Event]:
    """What is said while it is asked which lot goes on, and how much is in where no scale tells."""
    if isinstance(given, Grams):
        if (in_g := _in_now_g(pour, context)) is not None:
            context.counts.lasting.setdefault(_IN_BEFORE, in_g)
        return off_and_on(pour, context) or []
    if isinstance(given, TypeValue):
        return _in_said(pour, context, given) if how_much_is_in(pour, context) else []
    if _the_same(pour, context, given):
        return [pour.stage(context, Stage.FIRST)]
    named = _named(pour, context, given)
    if named and _untold(pour, context):
        return [pour.stage(context, Stage.OTHER_LOTS, named)]
    in_g = _in_before_g(context)
    source = ev.Source.STATED if in_g is not None and in_g == context.progress.value else ev.Source.MEASURED
    return _considered(pour, context, given, in_g, source)


def _named(pour: PourLine, context: Context, given: Input) -> str:
    """The other lot, or the code, that is meant; "" where it is none."""
    if isinstance(given, Scanned):
        return given.code.strip()
    taken = context.state.lots.get(pour.line)
    of = given.of if isinstance(given, Press) and given.key == ChoiceKey.LOT else ""
    return "" if taken is not None and taken.lot == of else of


def _considered(
    pour: PourLine, context: Context, given: Input, in_g: float | None, source: ev.Source = ev.Source.MEASURED
) -> list[ev.Event]:
    """What follows from a lot that was named; ``in_g`` grams of the line were in before, None where that is only read now."""
    out = take_lot(pour, context, pour.line, given) or []
    if out and isinstance(hand := out[-1], ev.LotTaken):
        return _in_hand(pour, context, out[:-1], dataclasses.replace(hand, source=source), in_g)
    if out and not any(isinstance(e, ev.StageReached) for e in out):
        out = [*out, pour.stage(context, Stage.OTHER_LOTS)]
    return _asked(pour, context, out) if in_g is None else out


def _asked(pour: PourLine, context: Context, out: list[ev.Event]) -> list[ev.Event]:
    """What is poured from now on, and before the answer, is the new lot's: written down, since the power may fail."""
    return [_with_what_is_in(e, _in_now_g(pour, context)) for e in out]


def _with_what_is_in(event: ev.Event, in_g: float | None) -> ev.Event:
    return dataclasses.replace(event, in_g=in_g) if isinstance(event, ev.StageReached) else event


def _in_hand(
    pour: PourLine, context: Context, said: list[ev.Event], hand: ev.LotTaken, in_g: float | None
) -> list[ev.Event]:
    context.counts.lasting.pop(_IN_BEFORE, None)
    before, back = context.state.lots.get(pour.line), pour.stage(context, Stage.FIRST)
    if before is not None and before.lot == hand.lot:
        return [*said, back]  # it goes on from the same
    after_g = max((_in_now_g(pour, context) if in_g is None else in_g) or 0.0, 0.0)
    return [*said, dataclasses.replace(hand, after_g=after_g), back]


def _the_same(pour: PourLine, context: Context, given: Input) -> bool:
    """Whether it is said that what was poured goes on: what is on no book is told from nothing else that is on none."""
    taken = context.state.lots.get(pour.line)
    return pressed(given, ChoiceKey.UNKNOWN) and taken is not None and not taken.lot


# --- what is in ----------------------------------------------------------------------------------------


def _in_before_g(context: Context) -> float | None:
    asked_at_g = context.progress.asked_at_g
    return context.counts.lasting.get(_IN_BEFORE) if asked_at_g is None else asked_at_g


def _in_now_g(pour: PourLine, context: Context) -> float | None:
    """Grams of the line in the vessel; where it was lifted, what was in it then. None where nothing fresh is known."""
    if not pour.device:
        return None
    gross = context.gross_g(pour.device)
    if context.progress.lifted:
        _, gross = context.state.stood_g.get(pour.device, (0.0, gross))
    return None if gross is None else context.net_g(pour.device, gross)


def _untold(pour: PourLine, context: Context) -> bool:
    """Whether nothing says how much is in but a person: by hand, and where the scale is lost or silent."""
    return _in_before_g(context) is None and _in_now_g(pour, context) is None


def how_much_is_in(pour: PourLine, context: Context) -> bool:
    """Whether it is asked how much is in before it is asked which lot goes on."""
    return context.progress.stage == Stage.OTHER_LOTS and _untold(pour, context)


def _in_said(pour: PourLine, context: Context, given: TypeValue) -> list[ev.Event]:
    """How much was in: the lot that was named before is taken up, else it is asked for."""
    said = pour.number_taken(context, _what_is_in(pour, context), given.value, "g")
    named = context.progress.stage_lot
    if not named:
        return [said, _with_what_is_in(pour.stage(context, Stage.OTHER_LOTS), given.value)]
    is_lot = any(x.lot == named for x in lots_for(context, pour.line))
    meant = (
        Press(given.at_s, given.prompt, f"{ChoiceKey.LOT}:{named}")
        if is_lot
        else Scanned(given.at_s, given.prompt, named)
    )
    out = _considered(pour, context, meant, given.value, ev.Source.STATED)
    return [said, *(_with_what_is_in(e, given.value) for e in out)]


def _ran_out_at(pour: PourLine, context: Context) -> list[ev.Event]:
    """A weight typed below its band is what was in when the bag was empty."""
    value = context.progress.value
    if value is None or not pour.target(context).band.below(value):
        return []
    return [_with_what_is_in(pour.stage(context, Stage.OTHER_LOTS), value)]


def _what_is_in(pour: PourLine, context: Context) -> str:
    taken = context.state.lots.get(pour.line)
    if taken is None or not taken.lot:
        return tr("{name} so far", name=pour.name(context))
    return tr("{name} so far, with lot {lot}", name=pour.name(context), lot=taken.lot)


# --- what is shown -------------------------------------------------------------------------------------


def which_lot(pour: PourLine, context: Context) -> ActView:
    """The question from which lot the pour goes on, the one in hand among the answers."""
    if how_much_is_in(pour, context):
        return _how_much(pour, context)
    taken, refused = context.state.lots.get(pour.line), context.progress.refused
    in_g = _in_before_g(context) or 0.0
    note = (
        tr("{grams:g} g of lot {lot} are in.", grams=in_g, lot=taken.lot)
        if taken is not None and taken.lot and in_g > 0
        else ""
    )
    choices = lot_choices(context, pour.line)
    return ActView(
        tr("{name}: which lot goes on?", name=pour.name(context)), context.progress.stage,
        not_yet=(refused,) if refused else (),
        choices=tuple(_going_on(x) if taken and x.of == taken.lot != "" else x for x in choices),
        want=Want(Verb.FETCH, pour.line), note=note,
    )  # fmt: skip


def _how_much(pour: PourLine, context: Context) -> ActView:
    """What a person says where no scale tells; nothing of the next bag may be in yet."""
    taken = context.state.lots.get(pour.line)
    lot = "" if taken is None else taken.lot
    same = (
        Choice(ChoiceKey.LOT, tr("Go on with lot {lot}", lot=lot), serious=True, of=lot)
        if lot
        else Choice(ChoiceKey.UNKNOWN, tr("Go on from the same"), serious=True)
    )
    ask = NumberRequest(
        _what_is_in(pour, context), "g", so_far_g(context), pour.target(context).band.high,
        context.plan.decimals[pour.device], usual=True,
    )  # fmt: skip
    return ActView(
        tr("How much {name} is in?", name=pour.name(context)), context.progress.stage, ask=ask, choices=(same,),
        want=Want(Verb.TYPE, pour.line, pour.vessel, amount=so_far_g(context)),
        note=tr("Type what the scale shows before you pour from another lot."),
    )  # fmt: skip


def so_far_g(context: Context) -> float:
    """What is known to be in of the lots that ran out, in grams."""
    return exact(sum(x.grams for x in context.progress.lots_before))


def _going_on(choice: Choice) -> Choice:
    return dataclasses.replace(choice, label=tr("Go on with lot {lot}", lot=choice.of))
