"""A procedure in plain sentences, for reading it through before making it."""

from __future__ import annotations

from collections.abc import Iterator

from benchapp.foundation.language import number, tr

from .cautions import cautions_for
from .formula import FormulaLine
from .model import Procedure
from .phrases import amount_range, duration
from .steps import Step
from .walk import bench_at


def describe(procedure: Procedure, batch_g: float | None = None) -> list[str]:
    """The whole procedure as lines of text: formula, method with its cautions, and release.

    Weights are for ``batch_g`` grams, the usual batch if it is not given.
    """
    batch = procedure.default_batch_g if batch_g is None else batch_g
    lines = [*_head(procedure, batch), "", "Formula"]
    for phase in procedure.formula.phases:
        lines.append(f"  {phase}")
        lines += [f"    {_share(x, batch)}" for x in procedure.formula.lines if x.phase == phase]
    lines += ["", "Method"]
    for place, step in enumerate(procedure.steps, 1):
        lines.append(f"  {place}. {step.title}: {sentence(step, procedure)}")
        lines += [f"     {_caution_word(c.word)}{c.text}" for c in cautions_for(step, procedure)]
    if procedure.release:
        lines += ["", tr("Before release")]
        lines += [
            tr(
                "  after {duration}: {name}: {expect}",
                duration=duration(x.due_s),
                name=x.name,
                expect=x.expect,
            )
            for x in procedure.release
        ]
    if procedure.cautions_ok:
        lines += ["", tr("Rules overruled")]
        by = {rule: f" ({who})" for rule, who in procedure.accepted_by.items()}
        lines += [f"  {rule}: {reason}{by.get(rule, '')}" for rule, reason in procedure.cautions_ok.items()]
    return lines


def sentence(step: Step, procedure: Procedure) -> str:
    """What one step does, in one sentence."""
    return step.sentence(bench_at(step, procedure))


def _head(procedure: Procedure, batch_g: float) -> Iterator[str]:
    formula = procedure.formula
    yield formula.name
    if formula.description:
        yield formula.description
    ph = tr(", pH {low:g} to {high:g}", low=formula.ph.low, high=formula.ph.high) if formula.ph else ""
    bounds = amount_range(procedure.batch_g, "g")
    yield tr(
        "{capitalize}{ph}. Batch of {batch_g:g} g; possible are {bounds}.",
        capitalize=formula.use.capitalize(),
        ph=ph,
        batch_g=batch_g,
        bounds=bounds,
    )


def _share(line: FormulaLine, batch_g: float) -> str:
    if line.cap_percent is not None:
        most_g = line.cap_percent / 100 * batch_g
        return tr(
            "{name}: as needed, at most {cap_percent:g} % ({most_g:.4g} g)",
            name=line.name,
            cap_percent=line.cap_percent,
            most_g=most_g,
        )
    active = (
        ""
        if line.active_percent is None
        else tr("{active_percent:g} % active, ", active_percent=line.active_percent)
    )
    return f"{line.name}: {number(line.percent)} % ({active}{number(line.percent / 100 * batch_g, '.5g')} g)"


def _caution_word(word: str) -> str:
    return f"{word}: " if word else ""
