"""Which lot is in hand: offered, scanned or picked, refused with a way out, and noted where there is none."""

from __future__ import annotations

import dataclasses

from benchapp import events as ev
from benchapp.foundation.language import tr, tr_noop
from benchapp.foundation.numbers import exact
from benchapp.make.acts.base import Act, Context
from benchapp.make.inputs import Input, LotOnHand, Press, Scanned
from benchapp.make.state import LotBefore
from benchapp.make.view_model import ActView, Choice, Want
from benchapp.make.vocabulary import ChoiceKey, Stage, Verb
from procedures.formula import FormulaLine

#: So many lots are offered at once; the others come by their code or behind "another", where so many are.
OFFERED = 2
MOST_OFFERED = 5


def line_of(context: Context, line: str) -> FormulaLine:
    """The formula's line with that key."""
    return next(x for x in context.plan.procedure.formula.lines if x.key == line)


def lots_for(context: Context, line: str) -> tuple[LotOnHand, ...]:
    """The lots of that line's material: what may be used first, in the order the workshop gave."""
    material = line_of(context, line).material.key
    found = [x for x in context.watch.lots if x.material == material]
    taken = context.state.lots.get(line)
    return tuple(sorted(found, key=lambda x: (bool(x.why_not), taken is None or taken.lot != x.lot)))


def lot_in_hand(context: Context, line: str) -> ev.LotTaken | None:
    """The lot that is drawn from without asking again; None before one was taken, and where it may not be used any more
    (recalled, past its date, empty by the book) and nobody has insisted on it so."""
    taken = context.state.lots.get(line)
    lot = next((x for x in context.watch.lots if taken is not None and x.lot == taken.lot), None)
    if lot is None or not lot.why_not:
        return taken
    insisted = any(d.kind == "lot not usable" and lot.why_not in d.text for d in context.state.deviations)
    return taken if insisted else None


def barred_in_hand(context: Context, line: str) -> LotOnHand | None:
    """The lot that is being drawn from, once the workshop says that it may not be (recalled, in quarantine, past its date);
    that the book has it empty says nothing of what is in the bag."""
    taken = context.state.lots.get(line)
    if taken is None or lot_in_hand(context, line) is not None:
        return None
    return next((x for x in context.watch.lots if x.lot == taken.lot and x.left_g > 0), None)


def take_lot(act: Act, context: Context, line: str, given: Input) -> list[ev.Event] | None:
    """Events of a lot scanned, picked, confirmed or insisted on; None where the input says nothing of a lot.
    An answer that settles it holds one LotTaken."""
    if isinstance(given, Scanned):
        return _scanned(act, context, line, given.code)
    if not isinstance(given, Press):
        return None
    if given.key == ChoiceKey.OTHERS:
        return [act.stage(context, Stage.OTHER_LOTS.akin(context.progress.stage))]
    if given.key == ChoiceKey.LOT:
        lot = next((x for x in lots_for(context, line) if x.lot == given.of), None)
        return None if lot is None else _considered(act, context, line, lot, "picked")
    if given.key == ChoiceKey.YES:
        return _remembered(act, context, line, given.of)
    if given.key == ChoiceKey.UNKNOWN and context.progress.stage.asks_lot:
        return _on_no_book(act, context, line)
    if given.key == ChoiceKey.USE_ANYWAY:
        return _insisted(act, context, line, given.reason)
    return None


def _scanned(act: Act, context: Context, line: str, code: str) -> list[ev.Event]:
    wanted = code.strip().casefold()
    found = [x for x in context.watch.lots if wanted in (x.lot.casefold(), x.code.casefold())]
    right = [x for x in found if x.material == line_of(context, line).material.key]
    if right:
        return _considered(act, context, line, right[0], "scanned")
    name = line_of(context, line).name
    if found:
        return [
            _refused(
                act,
                context,
                line,
                found[0].lot,
                tr("This is {name}, not {name_2}. Put it back.", name=found[0].name, name_2=name),
            )
        ]
    number = code.strip()
    why = tr(
        "No lot here has the code {number}: pick one, or say that it is not on the books.", number=number
    )
    stage = Stage.OTHER_LOTS.akin(context.progress.stage)
    return [_refused(act, context, line, number, why), act.stage(context, stage, number)]


def _remembered(act: Act, context: Context, line: str, lot: str) -> list[ev.Event]:
    """A yes to ``lot``, which may not stand first any more; "" where it names none."""
    lots = tuple(x for x in lots_for(context, line) if x.lot == lot or not lot)
    if lots and not lots[0].why_not:
        return _considered(act, context, line, lots[0], "remembered")
    if lots:
        return turned_down(act, context, line, lots[0])
    return _on_no_book(act, context, line)


def _on_no_book(act: Act, context: Context, line: str) -> list[ev.Event]:
    """What is in hand is no lot of the books. Where they hold none of it, that is said once of the whole batch."""
    noted = not lots_for(context, line) and any(d.kind == "lot unknown" for d in context.state.deviations)
    started = context.state.started
    hand = _taken(act, context, line, "", "none", "")
    if noted or started is None or started.rehearsal:
        return [hand]
    text = _untraced(context, line)
    return [act.deviation(context, ev.Grade.MINOR, tr_noop("lot unknown"), text), hand]


def _untraced(context: Context, line: str) -> str:
    name, code = line_of(context, line).name, context.progress.stage_lot
    if not lots_for(context, line):
        return tr("{name}: no lot of it is on the books; the batch cannot be traced to it.", name=name)
    if code:
        return tr("{name}: {code} is on no book; the batch cannot be traced to it.", name=name, code=code)
    return tr("{name}: what was used is on no book; the batch cannot be traced to it.", name=name)


def _considered(act: Act, context: Context, line: str, lot: LotOnHand, how: str) -> list[ev.Event]:
    if lot.why_not:
        return turned_down(act, context, line, lot)
    return [_taken(act, context, line, lot.lot, how, lot.expires)]


def turned_down(act: Act, context: Context, line: str, lot: LotOnHand) -> list[ev.Event]:
    """A lot that may not be used is in hand: it is said why, and asked what now."""
    stage = Stage.REFUSED.akin(context.progress.stage)
    return [_refused(act, context, line, lot.lot, lot.why_not), act.stage(context, stage, lot.lot)]


def _insisted(act: Act, context: Context, line: str, reason: str) -> list[ev.Event]:
    if context.progress.stage.plain != Stage.REFUSED or not reason:
        return []
    named = context.progress.stage_lot
    lot = next((x for x in context.watch.lots if x.lot == named), None)
    why = lot.why_not if lot else tr("It is no longer on the books.")
    text = tr(
        "{name}: {why} Used all the same: {reason}", name=line_of(context, line).name, why=why, reason=reason
    )
    return [
        act.deviation(context, ev.Grade.MAJOR, tr_noop("lot not usable"), text),
        _taken(act, context, line, named, "picked", lot.expires if lot else ""),
    ]


def _taken(act: Act, context: Context, line: str, lot: str, how: str, expires: str) -> ev.Event:
    material = line_of(context, line).material.key
    return ev.LotTaken(
        at_s=context.now_s, step=act.step.key, act=act.key, line=line, material=material, lot=lot, how=how,
        expires=expires,
    )  # fmt: skip


def _refused(act: Act, context: Context, line: str, lot: str, why: str) -> ev.Event:
    return ev.LotRefused(at_s=context.now_s, step=act.step.key, act=act.key, line=line, lot=lot, why=why)


def lot_choices(context: Context, line: str) -> tuple[Choice, ...]:
    """What may be pressed: the remembered lot first, others after it, and the way out of a refusal."""
    lots = lots_for(context, line)
    stage = context.progress.stage.plain
    if stage == Stage.REFUSED:
        rest = tuple(_lot_choice(x) for x in lots if not x.why_not)[:OFFERED]
        anyway = Choice(ChoiceKey.USE_ANYWAY, tr("Use it all the same"), serious=True, reason=True)
        return (*rest, other_lot(), anyway)
    if stage == Stage.OTHER_LOTS:
        none = Choice(ChoiceKey.UNKNOWN, tr("It is not on the books"), serious=True)
        return (*(_lot_choice(x) for x in lots[:MOST_OFFERED]), none)
    if not lots:
        return (Choice(ChoiceKey.YES, tr("It is")),)
    first = Choice(ChoiceKey.YES, tr("It is lot {lot}", lot=lots[0].lot), of=lots[0].lot)
    return (first, *(_lot_choice(x) for x in lots[1:OFFERED]), other_lot())


def other_lot() -> Choice:
    """What is pressed when none of the lots that stand there is in hand, or a bag is empty and another is opened."""
    return Choice(ChoiceKey.OTHERS, tr("Another lot"))


def _lot_choice(lot: LotOnHand) -> Choice:
    return Choice(ChoiceKey.LOT, tr("Lot {lot}", lot=lot.lot), serious=True, of=lot.lot)


def lot_words(context: Context, line: str, grams: float) -> tuple[str, ...]:
    """What speaks against the lot that would be taken: refused a moment ago, or too little of it left."""
    lots = lots_for(context, line)
    refused = context.progress.refused
    out = [refused] if refused else []
    if lots and not lots[0].why_not and lots[0].left_g < grams:
        out.append(
            tr("By the book only {left_g:g} g of lot {lot} are left.", left_g=lots[0].left_g, lot=lots[0].lot)
        )
    return tuple(out)


def lot_question(context: Context, line: FormulaLine, grams: float) -> ActView:
    """Which lot of a line is in hand, before so many grams of it are weighed."""
    note = tr("You will weigh {grams:.2f} g. Read the label: is it this one?", grams=grams)
    return ActView(tr("Take {name}.", name=line.name), context.progress.stage, not_yet=lot_words(context, line.key, grams),
                choices=lot_choices(context, line.key), want=Want(Verb.FETCH, line.key), note=note)  # fmt: skip


def parted(weighing: ev.WeightTaken, before: tuple[LotBefore, ...]) -> list[ev.Event]:
    """A weighing as one for each lot it came from: ``before`` holds what came of each lot but the last. Their targets come
    to the weighing's, and each has its tolerances: the last is in its band where the whole is. A part is measured where no
    person stated what was in when it began or ended."""
    below, above = weighing.target_g - weighing.low_g, weighing.high_g - weighing.target_g
    parts: list[tuple[str, float, float, bool]] = []
    left_g, target_g, stated = weighing.net_g, weighing.target_g, False
    for part in before:
        grams = exact(min(part.grams, left_g))
        if grams > 0:
            parts.append((part.lot, grams, grams, stated or part.stated))
            left_g, target_g = exact(left_g - grams), exact(target_g - grams)
        stated = part.stated
    if left_g > 0 or not parts:
        parts.append((weighing.lot, left_g, target_g, stated))
    if len(parts) == 1:
        return [dataclasses.replace(weighing, lot=parts[0][0])]
    return [
        _as_stated(
            dataclasses.replace(
                weighing, lot=lot, net_g=net, target_g=target, low_g=exact(max(target - below, 0.0)),
                high_g=exact(target + above), gross_g=weighing.gross_g if n == len(parts) else None,
                portion=n, portions=len(parts),
            ),
            by_person,
        )
        for n, (lot, net, target, by_person) in enumerate(parts, 1)
    ]  # fmt: skip


def _as_stated(part: ev.WeightTaken, by_person: bool) -> ev.WeightTaken:
    if not by_person:
        return part
    return dataclasses.replace(part, source=ev.Source.STATED, device="", checked=False, crept_g=0.0)
