"""Cool: stirred until the batch is below a threshold."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar, Literal

from benchapp.foundation.band import Band
from benchapp.foundation.language import tr, tr_noop

from .. import fields as f
from ..bench import BenchState
from ..names import Names
from ..said import Sentence
from .base import Declaration, Guidance, Step, StepKind, StepLimits
from .table import Common, StepTable

#: How it is stirred where the file does not say.
STIR = tr_noop("Stir gently")


@dataclass(frozen=True, slots=True, kw_only=True)
class Cool(Step):
    """Stir until the batch is below a threshold."""

    of_kind: ClassVar[StepKind] = StepKind(
        name="cool", grave=False, witnessed=False, by_temperature=True,
        words=Guidance(
            tr_noop("What comes next is spoiled by heat, and stirring keeps the wall from setting first."),
            tr_noop("It thickens evenly and falls in ribbons."),
            tr_noop("Cooled too fast it turns grainy; cooled too far it takes nothing up."),
        ),
    )  # fmt: skip

    vessel: str
    below_c: float
    stir: Sentence = STIR
    not_below_c: float | None = None  # cooled too far

    def declare(self, bench: BenchState) -> Declaration:
        return Declaration.at(
            self.vessel,
            pours=False,
            hazards=(),
            limits=StepLimits(self.not_below_c, self.below_c, "°C"),
            leaves_c=Band.of(None, self.below_c),
        )

    def sentence(self, bench: BenchState) -> str:
        least = (
            tr(", but not below {not_below_c:g} °C", not_below_c=self.not_below_c)
            if self.not_below_c is not None
            else ""
        )
        stir = f"{self.stir[0].lower()}{self.stir[1:]}"
        return tr(
            "{stir} until {the} is below {below_c:g} °C{least}.",
            stir=stir,
            the=bench.the(self.vessel),
            below_c=self.below_c,
            least=least,
        )


class CoolTable(StepTable):
    """kind = "cool"."""

    kind: Literal["cool"]
    vessel: f.Name
    below: f.Temperature
    not_below: f.Temperature | None = None
    stirring: f.Text = tr_noop("Stir gently")

    def build(self, names: Names, common: Common) -> Step:
        vessel = names.vessel(self.vessel, "vessel")
        return Cool(
            **common, vessel=vessel, below_c=self.below, stir=self.stirring, not_below_c=self.not_below
        )
