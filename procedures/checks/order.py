"""Rules about the order of steps: a clean bench first, the pH last before filling, the yield at the end."""

from __future__ import annotations

from collections.abc import Iterator

from ..building import ProcedureDraft
from ..steps import CleanUp, Density, Fill, Finish, MeasurePh, Prepare
from ..steps.base import Hazard
from ..walk import walk
from .rule import METHOD, Finding, Rule


def prepare_first(sheet: ProcedureDraft) -> Iterator[Finding]:
    """The method begins with preparing the bench."""
    first = sheet.procedure.steps[0]
    if not isinstance(first, Prepare):
        yield Finding(
            sheet.path("step", first.key),
            "The method does not begin with a clean bench",
            'Put a step with kind = "prepare" first',
        )


def finish_last(sheet: ProcedureDraft) -> Iterator[Finding]:
    """The method ends with one finish step."""
    steps = sheet.procedure.steps
    for step in steps[:-1]:
        if isinstance(step, Finish):
            yield Finding(sheet.path("step", step.key), "Steps follow after the finish", "Put this step last")
    if not any(isinstance(step, Finish) for step in steps):
        yield Finding(
            sheet.path("step", steps[-1].key),
            "The method has no finish step, so the batch is never closed",
            'Put a step with kind = "finish" last',
        )


def fill_missing(sheet: ProcedureDraft) -> Iterator[Finding]:
    """The batch is filled."""
    steps = sheet.procedure.steps
    if not any(isinstance(step, Fill) for step in steps):
        yield Finding(
            sheet.path("step", steps[-1].key),
            "No step fills the batch into anything",
            'Add a step with kind = "fill", or write the reason under [accept]',
        )


def after_fill(sheet: ProcedureDraft) -> Iterator[Finding]:
    """Nothing changes the batch once it is in its bottles."""
    filled = False
    for step, bench in walk(sheet.procedure):
        if filled and not isinstance(step, Fill) and step.declare(bench).touches:
            yield Finding(
                sheet.path("step", step.key),
                "This step changes the batch after it was filled",
                "Put it before the fill step",
            )
        filled = filled or isinstance(step, Fill)


def ph_last(sheet: ProcedureDraft) -> Iterator[Finding]:
    """Nothing goes into the batch between the last pH measurement and filling: it could move the pH."""
    measured, late = "", None
    for step, bench in walk(sheet.procedure):
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
            "Something goes into the batch after its pH was measured",
            "Put the pH step behind it, or write the reason under [accept]",
        )


def fill_density(sheet: ProcedureDraft) -> Iterator[Finding]:
    """What is declared in ml has its density found first, because it is filled by weight."""
    found = False
    for step in sheet.procedure.steps:
        found = found or isinstance(step, Density)
        if isinstance(step, Fill) and step.nominal_ml is not None and not found:
            yield Finding(
                sheet.path("step", step.key, "content"),
                "The content is declared in ml, but no step before finds the density",
                'Add a step with kind = "density", or declare the content in g',
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
            "Something hot or live is used, and no step says that it is unplugged, cold and clean again",
            'Put a step with kind = "clean up" before the finish, or write the reason under [accept]',
        )


RULES = (
    Rule("prepare-first", prepare_first, METHOD),
    Rule("finish-last", finish_last, METHOD),
    Rule("fill-missing", fill_missing, METHOD, by_choice=True),
    Rule("clean-up", clean_up, METHOD, by_choice=True, named=True),
    Rule("after-fill", after_fill, METHOD),
    Rule("ph-last", ph_last, METHOD, by_choice=True),
    Rule("fill-density", fill_density, METHOD),
)
