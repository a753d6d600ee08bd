"""Rules about the order of steps: a clean bench first, the pH last before filling, the yield at the end."""

from __future__ import annotations

from collections.abc import Iterator

from benchapp.foundation.language import tr

from ..bench import BenchState
from ..building import ProcedureDraft
from ..model import Procedure
from ..steps import Add, CleanUp, Density, Fill, Finish, MeasurePh, Prepare, Step, Weigh
from ..steps.base import Hazard
from ..walk import walk
from .rule import METHOD, Finding, Rule


def prepare_first(sheet: ProcedureDraft) -> Iterator[Finding]:
    """The method begins with preparing the bench."""
    first = sheet.procedure.steps[0]
    if not isinstance(first, Prepare):
        yield Finding(
            sheet.path("step", first.key),
            tr("The method does not begin with a clean bench"),
            tr('Put a step with kind = "prepare" first'),
        )


def finish_last(sheet: ProcedureDraft) -> Iterator[Finding]:
    """The method ends with one finish step."""
    steps = sheet.procedure.steps
    for step in steps[:-1]:
        if isinstance(step, Finish):
            yield Finding(
                sheet.path("step", step.key), tr("Steps follow after the finish"), tr("Put this step last")
            )
    if not any(isinstance(step, Finish) for step in steps):
        yield Finding(
            sheet.path("step", steps[-1].key),
            tr("The method has no finish step, so the batch is never closed"),
            tr('Put a step with kind = "finish" last'),
        )


def fill_missing(sheet: ProcedureDraft) -> Iterator[Finding]:
    """The batch is filled."""
    steps = sheet.procedure.steps
    if not any(isinstance(step, Fill) for step in steps):
        yield Finding(
            sheet.path("step", steps[-1].key),
            tr("No step fills the batch into anything"),
            tr('Add a step with kind = "fill", or write the reason under [accept]'),
        )


def _of_each_kettle(procedure: Procedure) -> Iterator[list[tuple[Step, BenchState]]]:
    """The steps that what is in one kettle goes through, for each of them; all steps where the batch is made in one."""
    places = list(walk(procedure))
    for kettle in range(1, procedure.kettles + 1):
        yield [(step, bench) for step, bench in places if step.kettle in (0, kettle)]


def after_fill(sheet: ProcedureDraft) -> Iterator[Finding]:
    """Nothing changes the batch, or what one kettle of it held, once it is in its bottles."""
    for places in _of_each_kettle(sheet.procedure):
        filled = False
        for step, bench in places:
            if filled and not isinstance(step, Fill) and step.declare(bench).touches:
                yield Finding(
                    sheet.path("step", step.key),
                    tr("This step changes the batch after it was filled"),
                    tr("Put it before the fill step"),
                )
            filled = filled or isinstance(step, Fill)


def ph_last(sheet: ProcedureDraft) -> Iterator[Finding]:
    """Nothing goes into the batch between the last pH measurement and filling: it could move the pH."""
    for places in _of_each_kettle(sheet.procedure):
        measured, late = "", None
        for step, bench in places:
            if isinstance(step, Fill):
                break
            moves = step.declare(bench).moves
            if isinstance(step, MeasurePh):
                measured, late = step.vessel, None
            elif measured and late is None and moves and measured in (moves.into, moves.source):
                late = step
        if late is not None:
            yield Finding(
                sheet.path("step", late.key),
                tr("Something goes into the batch after its pH was measured"),
                tr("Put the pH step behind it, or write the reason under [accept]"),
            )


def fill_density(sheet: ProcedureDraft) -> Iterator[Finding]:
    """What is declared in ml has its density found first, because it is filled by weight."""
    found = False
    for step in sheet.procedure.steps:
        found = found or isinstance(step, Density)
        if isinstance(step, Fill) and step.nominal_ml is not None and not found:
            yield Finding(
                sheet.path("step", step.key, "content"),
                tr("The content is declared in ml, but no step before finds the density"),
                tr('Add a step with kind = "density", or declare the content in g'),
            )


def clean_up(sheet: ProcedureDraft) -> Iterator[Finding]:
    """Where something is hot or turns, a clean-up step says when it is unplugged and cold."""
    used = [
        step
        for step, bench in walk(sheet.procedure)
        if set(step.declare(bench).hazards) & {Hazard.HEAT_SOURCE, Hazard.BLADES, Hazard.MELTING}
    ]
    if used and not any(isinstance(step, CleanUp) for step in sheet.procedure.steps):
        yield Finding(
            sheet.path("step", used[-1].key),
            tr("Something hot or live is used, and no step says that it is unplugged, cold and clean again"),
            tr('Put a step with kind = "clean up" before the finish, or write the reason under [accept]'),
        )


def any_order(sheet: ProcedureDraft) -> Iterator[Finding]:
    """Steps in any order stand together, are several, and none needs what another of them does."""
    places = list(walk(sheet.procedure))
    names = dict.fromkeys(step.any_order for step, _ in places if step.any_order)
    for name in names:
        held = [n for n, (step, _) in enumerate(places) if step.any_order == name]
        first, bench = places[held[0]]
        together = [places[n] for n in held]
        if len(held) == 1 or held != list(range(held[0], held[0] + len(held))):
            what = tr("stands alone") if len(held) == 1 else tr("is interrupted by other steps")
            yield Finding(
                sheet.path("step", first.key, "any_order"),
                tr('"{name}" {what}, so there is no order to choose', name=name, what=what),
                tr("Put its steps one after the other, at least two of them"),
            )
            continue
        for step, in_turn in together[1:]:
            why = _needs_another(step, in_turn, bench, [s for s, _ in together if s != step])
            if why:
                yield Finding(
                    sheet.path("step", step.key, "any_order"),
                    tr('This step cannot come before the others of "{name}": {why}', name=name, why=why),
                    tr("Take it out of them, or put it behind them"),
                )


def _needs_another(step: Step, in_turn: BenchState, first: BenchState, others: list[Step]) -> str:
    """Why a step depends on what others of its group do; "" where it does not."""
    alone, after = step.declare(first), step.declare(in_turn)
    empty = next((v for _, v in alone.needs if not first.held(v)), None)
    if empty is not None:
        return tr("the {name} is filled by them", name=first.vessels[empty].name)
    if (alone.touches, alone.handles, alone.weighs) != (after.touches, after.handles, after.weighs):
        return tr("what it works on is there only after them")
    for other in others:
        shared = set(alone.touches) & set(other.declare(first).touches)
        adds = isinstance(step, Weigh | Add) and isinstance(other, Weigh | Add)
        if shared and not adds:
            return tr("both work on the {name}", name=first.vessels[sorted(shared)[0]].name)
    return ""


RULES = (
    Rule("any-order", any_order, METHOD),
    Rule("prepare-first", prepare_first, METHOD),
    Rule("finish-last", finish_last, METHOD),
    Rule("fill-missing", fill_missing, METHOD, by_choice=True),
    Rule("clean-up", clean_up, METHOD, by_choice=True, named=True),
    Rule("after-fill", after_fill, METHOD),
    Rule("ph-last", ph_last, METHOD, by_choice=True),
    Rule("fill-density", fill_density, METHOD),
)
