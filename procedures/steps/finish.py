"""Finish: the yield, and the maker's signature."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar, Literal

from pydantic import Field

from benchapp.foundation.band import Band
from benchapp.foundation.language import tr, tr_noop

from .. import fields as f
from ..bench import BenchState
from ..names import Names
from ..phrases import amount_range
from .base import Declaration, Guidance, Step, StepKind, StepLimits
from .table import Common, StepTable


@dataclass(frozen=True, slots=True, kw_only=True)
class Finish(Step):
    """Yield and sign-off."""

    of_kind: ClassVar[StepKind] = StepKind(
        name="finish", grave=False, witnessed=False, by_temperature=False,
        words=Guidance(
            tr_noop("What came out against what went in shows what was lost or weighed twice."),
            tr_noop("A yield like that of the batches before."),
            tr_noop("A signature under something nobody looked at."),
        ),
    )  # fmt: skip

    yield_percent: Band | None = None

    def declare(self, bench: BenchState) -> Declaration:
        return Declaration.apart(hazards=(), limits=StepLimits.of(self.yield_percent, "%"))

    def sentence(self, bench: BenchState) -> str:
        usual = (
            tr(" Usual is {amount_range}.", amount_range=amount_range(self.yield_percent, "%"))
            if self.yield_percent
            else ""
        )
        return tr("work out the yield and sign.{usual}", usual=usual)


class FinishTable(StepTable):
    """kind = "finish"."""

    kind: Literal["finish"]
    yields: f.YieldBand | None = Field(default=None, alias="yield")

    def build(self, names: Names, common: Common) -> Step:
        return Finish(**common, yield_percent=self.yields)
