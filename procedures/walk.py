"""What lies in which vessel, and how hot it may be, when each step of a method begins."""

from __future__ import annotations

from collections.abc import Iterator

from .bench import BenchState
from .model import Procedure
from .steps import Step


def walk(procedure: Procedure) -> Iterator[tuple[Step, BenchState]]:
    """Each step in order, with the bench as it is when the step begins."""
    bench = BenchState(procedure.formula, procedure.materials, procedure.vessels)
    for step in procedure.steps:
        yield step, bench
        bench = step.after(bench)


def bench_at(step: Step, procedure: Procedure) -> BenchState:
    """The bench when one step of the procedure begins. Raises KeyError for a step of another procedure."""
    for each, bench in walk(procedure):
        if each == step:
            return bench
    raise KeyError(step.key)
