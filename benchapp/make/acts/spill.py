"""Something was spilled: of what, and how the formula is kept; asked inside the act that found it."""

from __future__ import annotations

from benchapp import events as ev
from benchapp.foundation.language import tr, tr_noop
from benchapp.make.acts.base import Act, Context, pressed
from benchapp.make.acts.difference import Difference
from benchapp.make.inputs import Input, Press
from benchapp.make.law_now import in_the_end, passed_now
from benchapp.make.remedies import MadeGood, keep_formula, made_good, offer_to_keep
from benchapp.make.view_model import ActView, Choice, LiveValue, Want
from benchapp.make.vocabulary import ChoiceKey, Stage, Verb

#: So many lines can be named alone; who spilled of another one says so by "I don't know".
NAMED = 2


def answered(found: Difference, given: Input) -> list[ev.Event]:
    """What an answer to a difference, or to the question of what was spilled, brings about."""
    out = _answered(found, given)
    lost = next((e for e in out if isinstance(e, ev.MassLost)), None)
    if lost is None:
        return out
    weighed = dict(found.context.state.weighed_g)
    for line, grams in lost.lines:
        if line in weighed:
            weighed[line] -= grams
    stage = Stage.FIRST if made_good(found.context, weighed, lost) is None else Stage.MAKE_GOOD
    return [*out, found.act.stage(found.context, stage)]


def _answered(found: Difference, given: Input) -> list[ev.Event]:
    if found.context.progress.stage != Stage.SPILL:
        return found.answered(given)
    if not isinstance(given, Press):
        return []
    if given.key == ChoiceKey.ONLY and found.contents_g.get(given.of, 0.0) >= found.lost_g:
        return found.lost("only", given.of)
    how = {ChoiceKey.MIXED: "mixed", ChoiceKey.UNKNOWN: "unknown"}.get(given.key) if given.key else None
    return found.lost(how) if how else []


def asked(found: Difference, live: tuple[LiveValue, ...]) -> ActView:
    """The difference as it is asked about, or of what it was spilled."""
    context, name = found.context, found.context.vessel_name(found.vessel)
    back = Want(Verb.PUT_ON, vessel=found.vessel, device=found.device)
    if context.progress.stage != Stage.SPILL:
        return ActView(found.question, live=live, not_yet=(found.why,), choices=found.choices, want=back)
    named = [k for k, g in found.contents_g.items() if g >= found.lost_g][-NAMED:]
    choices = (
        Choice(ChoiceKey.MIXED, tr("Everything, mixed"), serious=True),
        *(
            Choice(
                ChoiceKey.ONLY,
                tr("Only {line_name}", line_name=context.plan.line_name(k)),
                serious=True,
                of=k,
            )
            for k in reversed(named)
        ),
        Choice(ChoiceKey.UNKNOWN, tr("I don't know"), serious=True),
    )
    text = tr("What was spilled from the {name}?", name=name)
    why = tr("What lay in layers was not lost evenly.")
    return ActView(text, Stage.SPILL, live, not_yet=(why,), choices=choices, want=back)


def remedy_view(context: Context) -> ActView:
    """How the formula can be kept after a spill."""
    keep = _keep(context)
    less = Choice(ChoiceKey.WITH_LESS, tr("Go on with less"), serious=True, reason=True)
    kept = (
        ()
        if keep is None or keep.why_not
        else (Choice(ChoiceKey.KEEP, tr("Keep the formula"), serious=True),)
    )
    said = (*(() if keep is None else offer_to_keep(keep)), *passed_now(context, in_the_end(context)))
    return ActView(tr("Some of the batch is lost."), Stage.MAKE_GOOD, not_yet=said, choices=(*kept, less), want=Want(Verb.REMEDY))  # fmt: skip


def decided(act: Act, context: Context, given: Input) -> list[ev.Event]:
    """What was chosen to be done about a spill."""
    keep, done = _keep(context), act.stage(context, Stage.FIRST)
    if keep is not None and not keep.why_not and pressed(given, ChoiceKey.KEEP):
        return [*keep_formula(context, keep, context.state.batch_g or context.plan.batch_g), done]
    if isinstance(given, Press) and given.key == ChoiceKey.WITH_LESS and given.reason:
        short = ", ".join(context.plan.line_name(line) for line, _ in _lost(context).lines)
        text = tr("{short}: less than the formula after a spill. {reason}", short=short, reason=given.reason)
        return [act.deviation(context, ev.Grade.MAJOR, tr_noop("formula not kept"), text), done]
    return []


def _lost(context: Context) -> ev.MassLost:
    return next(e for e in reversed(context.state.log) if isinstance(e, ev.MassLost))


def _keep(context: Context) -> MadeGood | None:
    return made_good(context, context.state.weighed_g, _lost(context))
