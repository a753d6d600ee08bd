"""Measure: a number of the batch that no device here reads, such as its viscosity, against its limits."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar, Literal

from benchapp.foundation.band import Band
from benchapp.foundation.language import tr, tr_noop

from .. import fields as f
from ..bench import BenchState
from ..names import Names
from ..said import Called, Sentence
from .base import Declaration, Guidance, Step, StepKind, StepLimits
from .table import Common, StepTable


@dataclass(frozen=True, slots=True, kw_only=True)
class Measure(Step):
    """Measure ``what`` of the batch as ``how`` says, and type it."""

    of_kind: ClassVar[StepKind] = StepKind(
        name="measure", grave=False, witnessed=False, by_temperature=False,
        words=Guidance(
            tr_noop("Two batches that feel alike can flow differently in the bottle: a number can be "
                    "compared."),
            tr_noop("The same way of measuring, at the same temperature, as the last time."),
            tr_noop("Warmer than last time, nearly everything is thinner."),
        ),
    )  # fmt: skip

    vessel: str
    what: Called
    unit: str
    how: Sentence
    expect: Band | None = None

    def declare(self, bench: BenchState) -> Declaration:
        return Declaration.at(
            self.vessel, pours=False, hazards=(), limits=StepLimits.of(self.expect, self.unit)
        )

    def sentence(self, bench: BenchState) -> str:
        limits = (
            tr(
                "; expect {low:g} to {high:g} {unit}",
                low=self.expect.low,
                high=self.expect.high,
                unit=self.unit,
            )
            if self.expect
            else ""
        )
        return tr(
            "measure the {what} of {the}{limits}.", what=self.what, the=bench.the(self.vessel), limits=limits
        )


class MeasureTable(StepTable):
    """kind = "measure"."""

    kind: Literal["measure"]
    vessel: f.Name
    what: f.Name
    unit: f.Name
    how: f.Text
    expect: f.AnyBand | None = None

    def build(self, names: Names, common: Common) -> Step:
        vessel = names.vessel(self.vessel, "vessel")
        return Measure(
            **common, vessel=vessel, what=self.what, unit=self.unit, how=self.how, expect=self.expect
        )
