"""Rest: a vessel covered and left alone, for minutes or overnight."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar, Literal

from benchapp.foundation.language import tr, tr_noop

from .. import fields as f
from ..bench import BenchState
from ..names import Names
from ..phrases import duration
from .base import Declaration, Guidance, Step, StepKind, StepLimits
from .table import Common, StepTable


@dataclass(frozen=True, slots=True, kw_only=True)
class Rest(Step):
    """Cover a vessel and leave it; the program may be closed meanwhile."""

    of_kind: ClassVar[StepKind] = StepKind(
        name="rest", grave=False, witnessed=False, by_temperature=False,
        words=Guidance(
            tr_noop("Air rises, crystals and gums come to rest; pH and thickness are what they stay."),
            tr_noop("No bubbles under the surface, nothing parted."),
            tr_noop("Uncovered, it dries to a skin and gathers what is in the air."),
        ),
    )  # fmt: skip

    vessel: str
    rest_s: float

    def declare(self, bench: BenchState) -> Declaration:
        return Declaration.at(self.vessel, pours=False, hazards=(), limits=StepLimits())

    def sentence(self, bench: BenchState) -> str:
        return tr(
            "cover {the} and let it rest for {duration}.",
            the=bench.the(self.vessel),
            duration=duration(self.rest_s),
        )


class RestTable(StepTable):
    """kind = "rest"."""

    kind: Literal["rest"]
    vessel: f.Name
    rest: f.SomeTime

    def build(self, names: Names, common: Common) -> Step:
        return Rest(**common, vessel=names.vessel(self.vessel, "vessel"), rest_s=self.rest)
