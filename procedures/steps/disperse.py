"""Disperse: a gum or powder sprinkled into a phase to take up water."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar, Literal

from pydantic import Field

from benchapp.foundation.language import tr, tr_noop

from .. import fields as f
from ..bench import BenchState
from ..names import Names
from ..phrases import duration, stirred
from .base import Declaration, Guidance, Moves, Step, StepKind, StepLimits
from .table import Common, StepTable


@dataclass(frozen=True, slots=True, kw_only=True)
class Disperse(Step):
    """Sprinkle a gum or powder into a phase and let it take up water."""

    of_kind: ClassVar[StepKind] = StepKind(
        name="disperse", grave=False, witnessed=False, by_temperature=False,
        words=Guidance(
            tr_noop("Every grain has to find liquid of its own before its neighbours swell."),
            tr_noop("Even and slightly hazy, without lumps."),
            tr_noop("Tipped in at one spot it clumps, and a lump with a dry heart never dissolves."),
        ),
    )  # fmt: skip

    vessel: str
    lines: tuple[str, ...]  # already weighed lines that go in now (may be empty)
    stir_s: float = 0.0
    rest_s: float = 0.0

    def declare(self, bench: BenchState) -> Declaration:
        return Declaration(
            touches=tuple(dict.fromkeys(v for v in (self.vessel, *map(bench.holding, self.lines)) if v)),
            needs=(("vessel", self.vessel),),
            handles=self.lines,
            picks_up=False,
            weighs=(),
            moves=Moves(self.vessel, self.lines),
            leaves_c=None,
            hazards=(),
            pours=True,
            limits=StepLimits(),
        )

    def sentence(self, bench: BenchState) -> str:
        what = tr("work on {the}", the=bench.the(self.vessel))
        if self.lines:
            what = tr("put {names} into {the}", names=bench.names(self.lines), the=bench.the(self.vessel))
        rest = tr(" and let it stand for {duration}", duration=duration(self.rest_s)) if self.rest_s else ""
        return f"{what}{stirred(self.stir_s)}{rest}."


class DisperseTable(StepTable):
    """kind = "disperse"."""

    kind: Literal["disperse"]
    vessel: f.Name
    ingredients: list[f.Text] = Field(default=[], max_length=20)
    stir: f.Time = 0.0
    rest: f.Time = 0.0

    def build(self, names: Names, common: Common) -> Step:
        lines = tuple(line.key for line in names.ingredients(self.ingredients))
        vessel = names.vessel(self.vessel, "vessel")
        return Disperse(**common, vessel=vessel, lines=lines, stir_s=self.stir, rest_s=self.rest)
