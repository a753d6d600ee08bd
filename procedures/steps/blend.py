"""Blend: bursts of the stick blender with rests between."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar, Literal

from pydantic import Field

from benchapp.foundation.language import tr, tr_noop

from .. import fields as f
from ..bench import BenchState
from ..names import Names
from ..phrases import duration
from .base import Declaration, Guidance, Hazard, Step, StepKind, StepLimits
from .table import Common, StepTable


@dataclass(frozen=True, slots=True, kw_only=True)
class Blend(Step):
    """Bursts of the stick blender with rests between."""

    of_kind: ClassVar[StepKind] = StepKind(
        name="blend", grave=True, witnessed=False, by_temperature=False,
        words=Guidance(
            tr_noop("Small droplets stay apart. Shear makes them small."),
            tr_noop("Glossy and even, a little thicker after each burst."),
            tr_noop("A head that breaks the surface beats in air."),
        ),
    )  # fmt: skip

    vessel: str
    bursts: int
    burst_s: float
    rest_s: float = 0.0
    head_depth_mm: float | None = None

    def declare(self, bench: BenchState) -> Declaration:
        return Declaration.at(self.vessel, pours=False, hazards=(Hazard.BLADES,), limits=StepLimits())

    def sentence(self, bench: BenchState) -> str:
        rest = tr(" with pauses of {duration}", duration=duration(self.rest_s)) if self.rest_s else ""
        head = (
            tr(", the head {head_depth_mm:g} mm deep", head_depth_mm=self.head_depth_mm)
            if self.head_depth_mm
            else ""
        )
        return tr(
            "blend {the} {bursts} times for {duration}{rest}{head}.",
            the=bench.the(self.vessel),
            bursts=self.bursts,
            duration=duration(self.burst_s),
            rest=rest,
            head=head,
        )


class BlendTable(StepTable):
    """kind = "blend"."""

    kind: Literal["blend"]
    vessel: f.Name
    bursts: int = Field(ge=1, le=50)
    burst: f.SomeTime
    rest: f.Time = 0.0
    head: f.Length | None = None

    def build(self, names: Names, common: Common) -> Step:
        return Blend(
            **common,
            vessel=names.vessel(self.vessel, "vessel"),
            bursts=self.bursts,
            burst_s=self.burst,
            rest_s=self.rest,
            head_depth_mm=self.head,
        )
