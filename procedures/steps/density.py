"""Density: a known volume weighed."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar, Literal

from benchapp.foundation.band import Band
from benchapp.foundation.language import tr, tr_noop

from .. import fields as f
from ..bench import BenchState
from ..names import Names
from ..phrases import amount_range
from .base import Declaration, Guidance, Step, StepKind, StepLimits
from .table import Common, StepTable


@dataclass(frozen=True, slots=True, kw_only=True)
class Density(Step):
    """Weigh a known volume of the (de-aerated) product."""

    of_kind: ClassVar[StepKind] = StepKind(
        name="density", grave=False, witnessed=False, by_temperature=False,
        words=Guidance(
            tr_noop("Volume is declared and mass is filled; the density connects the two."),
            tr_noop("The cup is level full, without bubbles."),
            tr_noop("Air in it makes it light, and every container overfull."),
        ),
    )  # fmt: skip

    volume_ml: float
    expect_g_ml: Band | None = None

    def declare(self, bench: BenchState) -> Declaration:
        return Declaration.apart(hazards=(), limits=StepLimits.of(self.expect_g_ml, "g/ml"))

    def sentence(self, bench: BenchState) -> str:
        expect = (
            tr("; expect {amount_range}", amount_range=amount_range(self.expect_g_ml, "g/ml"))
            if self.expect_g_ml
            else ""
        )
        return tr("weigh {volume_ml:g} ml{expect}.", volume_ml=self.volume_ml, expect=expect)


class DensityTable(StepTable):
    """kind = "density"."""

    kind: Literal["density"]
    volume: f.Volume
    expect: f.DensityBand | None = None

    def build(self, names: Names, common: Common) -> Step:
        return Density(**common, volume_ml=self.volume, expect_g_ml=self.expect)
