"""Prepare: clean, sanitise, lay out, dress."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar, Literal

from pydantic import Field

from benchapp.foundation.language import tr, tr_noop

from .. import fields as f
from ..bench import BenchState
from ..names import Names
from ..phrases import duration
from ..said import Sentence
from .base import Declaration, Guidance, Hazard, Step, StepKind, StepLimits
from .table import Common, StepTable


@dataclass(frozen=True, slots=True, kw_only=True)
class Prepare(Step):
    """Clean, sanitise, lay out, dress."""

    of_kind: ClassVar[StepKind] = StepKind(
        name="prepare", grave=True, witnessed=False, by_temperature=False,
        words=Guidance(
            tr_noop("What is on the tools ends up in the containers."),
            tr_noop("Clean, sanitised, dry in the air, and everything within reach."),
            tr_noop("Wiped off early, a sanitiser has not worked. A tool fetched later is a dirty tool."),
        ),
    )  # fmt: skip

    tasks: tuple[Sentence, ...] = ()  # each one a sentence the maker confirms
    contact_s: float = 0.0  # how long the sanitiser has to stay wet
    sanitiser: str = ""
    flammable_sanitiser: bool = False
    wear: tuple[Sentence, ...] = ()

    def declare(self, bench: BenchState) -> Declaration:
        return Declaration.apart(
            hazards=(Hazard.FLAMMABLE_VAPOUR,) if self.flammable_sanitiser else (), limits=StepLimits()
        )

    def sentence(self, bench: BenchState) -> str:
        wear = tr(" Wear: {names}.", names=", ".join(self.wear)) if self.wear else ""
        wet = (
            tr(
                " {sanitiser} has to stay wet for {duration}.",
                sanitiser=self.sanitiser,
                duration=duration(self.contact_s),
            )
            if self.sanitiser
            else ""
        )
        return f"{' '.join(self.tasks)}{wear}{wet}"


class PrepareTable(StepTable):
    """kind = "prepare"."""

    kind: Literal["prepare"]
    tasks: list[f.Text] = Field(min_length=1, max_length=30)
    sanitiser: f.Text = ""
    contact: f.Time = 0.0
    flammable_sanitiser: bool = False
    wear: list[f.Name] = Field(default=[], max_length=12)

    def build(self, names: Names, common: Common) -> Step:
        return Prepare(
            **common,
            tasks=tuple(self.tasks),
            contact_s=self.contact,
            sanitiser=self.sanitiser,
            flammable_sanitiser=self.flammable_sanitiser,
            wear=tuple(self.wear),
        )
