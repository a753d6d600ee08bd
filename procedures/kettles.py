"""A batch split over several kettles: which lines and steps there are once for each of them, and in which order.

A file says it of its vessels alone (``kettles = 2``: there are two of it alike). Everything else follows from where things
go: what is weighed into such a vessel is weighed into each, its equal part of it; a step that works on one is done for each
kettle, all such steps in a row for the first before the second is begun; a step that works on such a vessel and a whole one
without pouring, as when everything is heated together, is done once with all of them.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import groupby
from typing import TypeVar

from benchapp.foundation.numbers import exact

from .bench import BenchState
from .formula import FormulaLine, Vessel, of_kettle
from .steps import Step
from .steps.base import Declaration

Table = TypeVar("Table")


@dataclass(frozen=True, slots=True)
class Split:
    """What of a procedure is split: keys of lines as they are before, and keys of steps."""

    kettles: int
    lines: frozenset[str]
    steps: frozenset[str]


def split_of(steps: Iterable[Step], bench: BenchState) -> Split:
    """What the steps, each built for the first kettle, leave to be split. ``bench`` is empty yet."""
    lines: set[str] = set()
    split: set[str] = set()
    for step in steps:
        said = step.declare(bench)
        apart = [v for v in said.touches if bench.vessels[v].kettle]
        together = said.moves is None and any(bench.held(v) for v in said.touches if v not in apart)
        if apart and not together and not _shares_out(said, bench):
            split.add(step.key)
            needed = {x.key for x in bench.formula.lines if x.cap_percent is not None}
            lines |= needed & set(said.handles)
        if said.moves is not None and said.moves.into in apart:
            lines |= set(said.weighs)
        bench = step.after(bench)
    count = max((v.kettle for v in bench.vessels.values()), default=1)
    return Split(count, frozenset(lines), frozenset(split))


def _shares_out(said: Declaration, bench: BenchState) -> bool:
    """Whether it pours what there is once into one of several: a rule refuses that."""
    if said.moves is None or not bench.vessels[said.moves.into].kettle:
        return False
    return any(not bench.vessels[v].kettle for v in said.moves.origins(bench))


def split_lines(lines: Iterable[FormulaLine], split: Split) -> Iterator[tuple[FormulaLine, str]]:
    """Every line, or each kettle's equal part of it, with the key of the whole."""
    for line in lines:
        if line.key not in split.lines:
            yield line, line.key
            continue
        shares = _equal(line.percent, split.kettles)
        caps = [None] * split.kettles if line.cap_percent is None else _equal(line.cap_percent, split.kettles)
        for kettle, (percent, cap) in enumerate(zip(shares, caps, strict=True), 1):
            own = replace(
                line, phase=of_kettle(line.phase, kettle), percent=percent, cap_percent=cap, kettle=kettle,
                kettles=split.kettles,
            )  # fmt: skip
            yield replace(own, key=f"{line.key}-kettle-{kettle}"), line.key


def _equal(whole: float, count: int) -> list[float]:
    """Equal parts on the grid, together the whole."""
    part = exact(whole / count)
    return [*[part] * (count - 1), exact(whole - part * (count - 1))]


def split_vessels(vessels: Mapping[str, Vessel], lines: Iterable[FormulaLine]) -> dict[str, Vessel]:
    """The vessels, each kettle's meant for its own phase where that is split."""
    phases = {x.phase for x in lines}

    def phase(vessel: Vessel) -> str:
        own = of_kettle(vessel.phase, vessel.kettle)
        return own if own in phases else vessel.phase

    return {key: replace(v, phase=phase(v)) for key, v in vessels.items()}


def in_order(tables: Sequence[Table], split: Sequence[bool], kettles: int) -> Iterator[tuple[Table, int]]:
    """The tables of a method in the order in which they are done, each with its kettle; 0: for the whole batch."""
    marked = zip(tables, split, strict=True)
    for is_split, together in groupby(marked, key=lambda pair: pair[1]):
        run = [table for table, _ in together]
        for kettle in range(1, kettles + 1) if is_split else (0,):
            yield from ((table, kettle) for table in run)
