"""Clean up: the bench left as it should be found."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar, Literal

from pydantic import Field

from benchapp.foundation.language import tr_noop

from .. import fields as f
from ..bench import BenchState
from ..names import Names
from ..said import Sentence
from .base import Declaration, Guidance, Hazard, Step, StepKind, StepLimits
from .table import Common, StepTable


@dataclass(frozen=True, slots=True, kw_only=True)
class CleanUp(Step):
    """Leave the bench as it should be found."""

    of_kind: ClassVar[StepKind] = StepKind(
        name="clean up", grave=False, witnessed=False, by_temperature=False,
        words=Guidance(
            tr_noop("The next batch begins with what this one leaves behind."),
            tr_noop("Unplugged, empty, washed, dry, closed and labelled."),
            tr_noop("A blade that is still plugged in, a bath that is still hot."),
        ),
    )  # fmt: skip

    tasks: tuple[Sentence, ...]

    def declare(self, bench: BenchState) -> Declaration:
        return Declaration.apart(hazards=(Hazard.WASHING_UP,), limits=StepLimits())

    def sentence(self, bench: BenchState) -> str:
        return " ".join(self.tasks)


class CleanUpTable(StepTable):
    """kind = "clean up"."""

    kind: Literal["clean up"]
    tasks: list[f.Text] = Field(min_length=1, max_length=30)

    def build(self, names: Names, common: Common) -> Step:
        return CleanUp(**common, tasks=tuple(self.tasks))
