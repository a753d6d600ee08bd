"""Premix: one phase stirred in its own vessel before it meets the batch."""

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
class Premix(Step):
    """Stir the ingredients of one phase together in their own vessel before they meet the batch."""

    of_kind: ClassVar[StepKind] = StepKind(
        name="premix", grave=False, witnessed=False, by_temperature=False,
        words=Guidance(
            tr_noop("Stirred together first, small shares spread evenly later."),
            tr_noop("One even liquid, nothing at the wall or the floor of the vessel."),
            tr_noop("Left standing it separates again. Stir once more just before it is used."),
        ),
    )  # fmt: skip

    phase: str
    vessel: str
    stir_s: float = 30.0

    def declare(self, bench: BenchState) -> Declaration:
        return Declaration(
            touches=(self.vessel,),
            needs=(("vessel", self.vessel),),
            handles=bench.held(self.vessel),
            picks_up=False,
            weighs=(),
            moves=None,
            leaves_c=None,
            hazards=(),
            pours=False,
            limits=StepLimits(),
        )

    def sentence(self, bench: BenchState) -> str:
        return tr("stir {the} for {duration}.", the=bench.the(self.vessel), duration=duration(self.stir_s))


class PremixTable(StepTable):
    """kind = "premix"."""

    kind: Literal["premix"]
    phase: f.Name
    vessel: f.Name | None = None
    stir: f.Time = 30.0

    def build(self, names: Names, common: Common) -> Step:
        phase = names.phase(self.phase, "phase")
        return Premix(**common, phase=phase, vessel=names.vessel_for(phase, self.vessel), stir_s=self.stir)
