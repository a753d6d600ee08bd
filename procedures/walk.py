"""What lies in which vessel, and how hot it may be, when each step of a method begins."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from .model import Add, Combine, Cool, Disperse, Heat, Procedure, Step, Weigh


@dataclass(frozen=True, slots=True)
class Bench:
    """The vessels at the moment a step begins.

    ``contents`` are keys of formula lines by vessel key. ``hottest_c`` is the most a vessel can have by plan;
    a vessel that was never heated is not in it. ``heated_from_c`` is the lower limit of the band of the last
    heating.
    """

    contents: Mapping[str, tuple[str, ...]]
    hottest_c: Mapping[str, float]
    heated_from_c: Mapping[str, float]

    def holding(self, line: str) -> str:
        """The vessel that holds a line; "" while none does."""
        return next((vessel for vessel, lines in self.contents.items() if line in lines), "")

    def is_hot(self, vessel: str, above_c: float = 45.0) -> bool:
        """Whether the vessel may be hotter than is safe to touch for long."""
        return self.hottest_c.get(vessel, 20.0) > above_c

    def vessels_of(self, phase: str, procedure: Procedure) -> tuple[str, ...]:
        """The vessels in which lines of a phase are now."""
        keys = {x.key for x in procedure.formula.lines if x.phase == phase}
        return tuple(vessel for vessel, lines in self.contents.items() if keys & set(lines))


class _Walk:
    def __init__(self, procedure: Procedure) -> None:
        self._procedure = procedure
        self._contents: dict[str, tuple[str, ...]] = {}
        self._hottest: dict[str, float] = {}
        self._from: dict[str, float] = {}

    def bench(self) -> Bench:
        return Bench(dict(self._contents), dict(self._hottest), dict(self._from))

    def take(self, step: Step) -> None:
        match step:
            case Weigh():
                self._put(step.vessel, step.lines)
            case Disperse():
                self._move_lines(step.lines, step.vessel)
            case Heat():
                for vessel in {v for p in step.phases for v in self.bench().vessels_of(p, self._procedure)}:
                    self._hottest[vessel] = step.band_c.high
                    self._from[vessel] = step.band_c.low
            case Combine():
                self._pour(step.source, step.into)
            case Cool():
                self._hottest[step.vessel] = step.below_c
            case Add():
                if step.source:
                    self._pour(step.source, step.vessel)
                self._move_lines(step.lines, step.vessel)

    def _put(self, vessel: str, lines: tuple[str, ...]) -> None:
        self._contents[vessel] = (*self._contents.get(vessel, ()), *lines)

    def _move_lines(self, lines: tuple[str, ...], into: str) -> None:
        """Put lines into a vessel; those that were weighed elsewhere leave that vessel."""
        for vessel, held in self._contents.items():
            self._contents[vessel] = tuple(x for x in held if x not in lines)
        self._put(into, lines)

    def _pour(self, source: str, into: str) -> None:
        if source == into:
            return
        self._put(into, self._contents.pop(source, ()))
        hottest = self._hottest.pop(source, None)
        if hottest is not None:
            self._hottest[into] = max(hottest, self._hottest.get(into, hottest))
        came_from = self._from.pop(source, None)
        if came_from is not None:
            self._from[into] = max(came_from, self._from.get(into, came_from))


def walk(procedure: Procedure) -> Iterator[tuple[Step, Bench]]:
    """Each step in order, with the bench as it is when the step begins."""
    state = _Walk(procedure)
    for step in procedure.steps:
        yield step, state.bench()
        state.take(step)


def bench_at(step: Step, procedure: Procedure) -> Bench:
    """The bench when one step of the procedure begins. Raises KeyError for a step of another procedure."""
    for each, bench in walk(procedure):
        if each == step:
            return bench
    raise KeyError(step.key)
