"""Heat: phases brought into a band together and kept there."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar, Literal

from pydantic import Field

from benchapp.foundation.band import Band
from benchapp.foundation.language import tr, tr_noop

from .. import fields as f
from ..bench import BenchState
from ..names import Names
from ..phrases import amount_range, duration
from .base import Declaration, Guidance, Hazard, Step, StepKind, StepLimits
from .table import Common, StepTable


@dataclass(frozen=True, slots=True, kw_only=True)
class Heat(Step):
    """Bring phases into a band together and keep them there."""

    of_kind: ClassVar[StepKind] = StepKind(
        name="heat", grave=True, witnessed=False, by_temperature=True,
        words=Guidance(
            tr_noop("Everything has to be melted, and all phases equally hot, before they meet."),
            tr_noop("Clear, with no flake left, and every probe deep in its liquid."),
            tr_noop("A bath that boils dry, a probe that touches the wall, water that leaves as steam."),
        ),
    )  # fmt: skip

    phases: tuple[str, ...]
    band_c: Band
    hold_s: float = 0.0
    over_c: float = 85.0  # above this anything else is interrupted
    bath: bool = True

    def declare(self, bench: BenchState) -> Declaration:
        return Declaration(
            touches=bench.vessels_of(self.phases),
            needs=(),
            handles=(),
            picks_up=False,
            weighs=(),
            moves=None,
            leaves_c=self.band_c,
            hazards=(Hazard.HEAT_SOURCE,),
            pours=False,
            limits=StepLimits.of(self.band_c, "°C", self.hold_s),
        )

    def sentence(self, bench: BenchState) -> str:
        bath = tr(" in a water bath") if self.bath else ""
        hold = tr(" and keep it there for {duration}", duration=duration(self.hold_s)) if self.hold_s else ""
        band = amount_range(self.band_c, "°C")
        return tr(
            "bring {names} to {band}{bath}{hold}; alarm at {over_c:g} °C.",
            names=tr(" and ").join(self.phases),
            band=band,
            bath=bath,
            hold=hold,
            over_c=self.over_c,
        )


class HeatTable(StepTable):
    """kind = "heat"."""

    kind: Literal["heat"]
    phases: list[f.Name] = Field(min_length=1, max_length=8)
    band: f.TemperatureBand
    hold: f.Time = 0.0
    over: f.Temperature = 85.0
    bath: bool = True

    def build(self, names: Names, common: Common) -> Step:
        phases = names.phases(self.phases, "phases")
        return Heat(
            **common, phases=phases, band_c=self.band, hold_s=self.hold, over_c=self.over, bath=self.bath
        )
