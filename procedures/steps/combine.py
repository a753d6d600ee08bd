"""Combine: one phase poured into another, both in band and near each other."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import ClassVar, Literal

from benchapp.foundation.band import Band
from benchapp.foundation.language import tr, tr_noop

from .. import fields as f
from ..bench import BenchState
from ..names import Names
from ..phrases import amount_range
from .base import Declaration, Guidance, Moves, Step, StepKind, StepLimits
from .pace import Pace, PacedTable
from .table import Common


@dataclass(frozen=True, slots=True, kw_only=True)
class Combine(Step):
    """Pour one phase into another, both in band and near each other."""

    of_kind: ClassVar[StepKind] = StepKind(
        name="combine", grave=True, witnessed=True, by_temperature=True,
        words=Guidance(
            tr_noop("Here it becomes an emulsion, or does not."),
            tr_noop("White at once, even, with nothing floating on top."),
            tr_noop("Too cold, too fast, or too little stirring: grains, or oil at the edge."),
        ),
    )  # fmt: skip

    source: str  # vessel poured from
    into: str  # vessel poured into
    band_c: Band | None = None
    within_k: float | None = None  # largest allowed difference between the two
    pace: Pace = field(default=Pace())

    def declare(self, bench: BenchState) -> Declaration:
        return Declaration(
            touches=(self.source, self.into),
            needs=(("pour", self.source), *(() if self._brings_together(bench) else (("into", self.into),))),
            handles=bench.held(self.source),
            picks_up=False,
            weighs=(),
            moves=Moves(self.into, source=self.source),
            leaves_c=None,
            hazards=(),
            pours=True,
            limits=StepLimits.of(self.band_c, "°C"),
        )

    def _brings_together(self, bench: BenchState) -> bool:
        """Whether it brings one kettle of several to the others: the first comes into an empty vessel."""
        return bool(bench.vessels[self.source].kettle) and not bench.vessels[self.into].kettle

    def sentence(self, bench: BenchState) -> str:
        band = (
            tr(", both at {amount_range}", amount_range=amount_range(self.band_c, "°C"))
            if self.band_c
            else ""
        )
        near = tr(" and no more than {within_k:g} K apart", within_k=self.within_k) if self.within_k else ""
        return tr(
            "pour {the} into {the_2}{band}{near}{words}.",
            the=bench.the(self.source),
            the_2=bench.the(self.into),
            band=band,
            near=near,
            words=self.pace.words,
        )


class CombineTable(PacedTable):
    """kind = "combine"."""

    kind: Literal["combine"]
    pour: f.Name
    into: f.Name
    band: f.TemperatureBand | None = None
    within: f.Difference | None = None

    def build(self, names: Names, common: Common) -> Step:
        source, into = names.vessel(self.pour, "pour"), names.vessel(self.into, "into")
        return Combine(
            **common, source=source, into=into, band_c=self.band, within_k=self.within, pace=self.pace
        )
