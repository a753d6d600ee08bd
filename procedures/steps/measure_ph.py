"""Measure pH: a sample near room temperature, a reading, and additions until it is in its band."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import ClassVar, Literal

from pydantic import Field

from benchapp.foundation.band import Band
from benchapp.foundation.language import tr, tr_noop

from .. import fields as f
from ..bench import BenchState
from ..names import MissingName, Names
from ..phrases import amount_range
from .base import Declaration, Guidance, Step, StepKind, StepLimits
from .table import Common, StepTable


@dataclass(frozen=True, slots=True, kw_only=True)
class MeasurePh(Step):
    """Take a sample, measure it near room temperature, adjust if needed."""

    of_kind: ClassVar[StepKind] = StepKind(
        name="measure ph", grave=True, witnessed=True, by_temperature=False,
        words=Guidance(
            tr_noop("Skin, preservative and thickener all depend on it."),
            tr_noop("The reading rests for a minute."),
            tr_noop("A warm or thick sample reads false. Two doses at once cannot be taken apart again."),
        ),
    )  # fmt: skip

    vessel: str
    band: Band
    sample_g: float = 10.0
    sample_temp_c: Band = field(default_factory=lambda: Band(18.0, 28.0))
    water_parts: float = 0.0  # parts of water to one part of product; 0: undiluted
    raise_with: tuple[str, ...] = ()  # "as needed" lines; several strengths of one solution may stand here
    lower_with: tuple[str, ...] = ()
    settle_s: float = 60.0

    def declare(self, bench: BenchState) -> Declaration:
        return Declaration(
            touches=(self.vessel,),
            needs=(("vessel", self.vessel),),
            handles=(*self.raise_with, *self.lower_with),
            picks_up=True,
            weighs=(),
            moves=None,
            leaves_c=None,
            hazards=(),
            pours=False,
            limits=StepLimits.of(self.band, "pH"),
        )

    def sentence(self, bench: BenchState) -> str:
        water = (
            tr(" in {water_parts:g} parts of water", water_parts=self.water_parts) if self.water_parts else ""
        )
        change = [tr("raise it with {names}", names=bench.names(self.raise_with))] if self.raise_with else []
        change += [tr("lower it with {names}", names=bench.names(self.lower_with))] if self.lower_with else []
        adjust = f"; {tr(' or ').join(change)}" if change else ""
        at = amount_range(self.sample_temp_c, "°C")
        return tr(
            "measure {sample_g:g} g{water} at {at}; pH {low:g} to {high:g}{adjust}.",
            sample_g=self.sample_g,
            water=water,
            at=at,
            low=self.band.low,
            high=self.band.high,
            adjust=adjust,
        )


class MeasurePhTable(StepTable):
    """kind = "measure ph"."""

    kind: Literal["measure ph"]
    vessel: f.Name
    band: f.PhBand | None = None
    sample: f.Mass = 10.0
    sample_temperature: f.TemperatureBand | None = None
    water_parts: f.Parts = 0.0
    raise_with: f.Names = Field(default=[], max_length=5)
    lower_with: f.Names = Field(default=[], max_length=5)
    settle: f.Time = 60.0

    def build(self, names: Names, common: Common) -> Step:
        vessel = names.vessel(self.vessel, "vessel")
        band = self.band or names.formula.ph
        if band is None and not names.formula_read:
            raise MissingName
        if band is None:
            raise names.refuse(
                "", tr("There is no pH to aim for"), tr("Write ph = [5.0, 5.8] under [formula]"), "ph-band"
            )
        return MeasurePh(
            **common,
            vessel=vessel,
            band=band,
            sample_g=self.sample,
            sample_temp_c=self.sample_temperature or Band(18.0, 28.0),
            water_parts=self.water_parts,
            raise_with=names.as_needed(self.raise_with, "raise_with"),
            lower_with=names.as_needed(self.lower_with, "lower_with"),
            settle_s=self.settle,
        )
