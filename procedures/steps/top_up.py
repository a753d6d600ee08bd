"""Top up: a heated vessel weighed again, and the water it lost replaced."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import ClassVar, Literal

from benchapp.foundation.language import tr, tr_noop

from .. import fields as f
from ..bench import BenchState
from ..names import Names
from .base import Declaration, Guidance, Step, StepKind, StepLimits
from .table import Common, StepTable


@dataclass(frozen=True, slots=True, kw_only=True)
class TopUp(Step):
    """Weigh a heated vessel again and replace the water it lost."""

    of_kind: ClassVar[StepKind] = StepKind(
        name="top up", grave=False, witnessed=False, by_temperature=False,
        words=Guidance(
            tr_noop("Water lost as steam makes every other share larger than the formula says."),
            tr_noop("The vessel weighs again what it did before."),
            tr_noop("Cold water cools the phase. Take hot water, and let it come back to its temperature."),
        ),
    )  # fmt: skip

    phase: str
    vessel: str
    material: str  # key of the water
    jug: str = ""  # vessel in which the water is weighed where the scale cannot carry its own

    def declare(self, bench: BenchState) -> Declaration:
        said = Declaration.at(self.vessel, pours=True, hazards=(), limits=StepLimits())
        return replace(said, touches=(self.vessel, self.jug)) if self.jug else said

    def sentence(self, bench: BenchState) -> str:
        water = bench.materials[self.material].name
        if self.jug:
            jug = bench.the(self.jug)
            return tr(
                "weigh {the} again, or say what it lost, and replace it with {water} by {jug} where "
                "the scale cannot carry it.",
                the=bench.the(self.vessel),
                water=water,
                jug=jug,
            )
        return tr(
            "weigh {the} again and replace what it lost with {water}.",
            the=bench.the(self.vessel),
            water=water,
        )


class TopUpTable(StepTable):
    """kind = "top up"."""

    kind: Literal["top up"]
    phase: f.Name
    vessel: f.Name | None = None
    water: f.Name
    jug: f.Name | None = None

    def build(self, names: Names, common: Common) -> Step:
        phase = names.phase(self.phase, "phase")
        water = names.material(self.water, "water")
        return TopUp(
            **common, phase=phase, vessel=names.vessel_for(phase, self.vessel), material=water,
            jug="" if self.jug is None else names.vessel(self.jug, "jug"),
        )  # fmt: skip
