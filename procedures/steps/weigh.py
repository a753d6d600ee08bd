"""Weigh: the lines of one phase into its vessel."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar, Literal

from pydantic import Field

from .. import fields as f
from ..bench import BenchState
from ..formula import carrier_for
from ..names import Names
from .base import Declaration, Guidance, Moves, Step, StepKind, StepLimits
from .table import Common, StepTable


@dataclass(frozen=True, slots=True, kw_only=True)
class Weigh(Step):
    """Weigh the lines of one phase into its vessel, one after the other."""

    of_kind: ClassVar[StepKind] = StepKind(
        name="weigh", grave=True, witnessed=True, by_temperature=False,
        words=Guidance(
            "The formula is its weights. What goes in wrong here cannot be found by looking.",
            "The number rests inside its band, with nothing touching the pan or the vessel.",
            "A hand on the bench, a draught, a drop on the lip that falls late.",
        ),
    )  # fmt: skip

    phase: str
    vessel: str
    lines: tuple[str, ...]  # keys of formula lines, in the order they are weighed
    scale: Literal["any", "fine"] = "any"  # "fine": in a boat on the finer scale, then transferred
    thin: tuple[
        str, ...
    ] = ()  # keys of lines that are mixed with their carrier first where the scale is too coarse

    def declare(self, bench: BenchState) -> Declaration:
        """See Declaration."""
        return Declaration(
            touches=(self.vessel,),
            needs=(),
            handles=self.lines,
            picks_up=True,
            weighs=self.lines,
            moves=Moves(self.vessel, self.lines),
            leaves_c=None,
            hazards=(),
            pours=False,
            limits=StepLimits(),
        )

    def sentence(self, bench: BenchState) -> str:
        """See Step."""
        where = " on the finer scale" if self.scale == "fine" else ""
        thin = f", {bench.names(self.thin)} in a mixture where the scale is too coarse" if self.thin else ""
        return f"weigh {bench.names(self.lines)} into {bench.the(self.vessel)}{where}{thin}."


class WeighTable(StepTable):
    """kind = "weigh"."""

    kind: Literal["weigh"]
    phase: f.Name
    vessel: f.Name | None = None
    ingredients: list[f.Text] = Field(default=[], max_length=60)
    scale: Literal["any", "fine"] = "any"
    thin: list[f.Text] = Field(default=[], max_length=20)

    def build(self, names: Names, common: Common) -> Step:
        """See StepTable."""
        phase = names.phase(self.phase, "phase")
        vessel = names.vessel_for(phase, self.vessel)
        lines = names.ingredients(self.ingredients) or names.formula.in_phase(phase)
        if not lines:
            what = f'Nothing in the phase "{phase}" has a share, so there is nothing to weigh'
            raise names.refuse("phase", what, "Leave the step out: a pH step adds it", "weigh-phase")
        thin = names.ingredients(self.thin, "thin")
        for n, line in enumerate(thin):
            carrier = carrier_for(line, lines[: lines.index(line)] if line in lines else ())
            if carrier is None:
                what = f"{line.name} cannot be thinned in anything that this step weighs before it"
                instead = (
                    "Weigh water before what mixes with water, the largest oil before what mixes with oils"
                )
                raise names.refuse("thin", what, instead, "thin", n)
        names.weighed.setdefault(vessel, []).extend(lines)
        return Weigh(
            **common, phase=phase, vessel=vessel, lines=tuple(x.key for x in lines), scale=self.scale,
            thin=tuple(x.key for x in thin),
        )  # fmt: skip
