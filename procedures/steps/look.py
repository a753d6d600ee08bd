"""Look: appearance, smell and thickness against descriptions."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar, Literal

from pydantic import Field

from benchapp.foundation.language import tr_noop

from .. import fields as f
from ..bench import BenchState
from ..names import Names
from ..said import Called, Sentence
from ..schema import Table
from .base import Declaration, Guidance, Step, StepKind, StepLimits
from .table import Common, StepTable


@dataclass(frozen=True, slots=True, kw_only=True)
class Look:
    """One thing to judge with the senses, against a description."""

    name: Called
    expect: Sentence


@dataclass(frozen=True, slots=True, kw_only=True)
class LookOver(Step):
    """Appearance, smell, thickness against descriptions."""

    of_kind: ClassVar[StepKind] = StepKind(
        name="look", grave=False, witnessed=False, by_temperature=False,
        words=Guidance(
            tr_noop("Eyes, nose and fingers find what no scale shows."),
            tr_noop("Like the kept sample of the last good batch."),
            tr_noop("A doubt that is not written down is forgotten by the next batch."),
        ),
    )  # fmt: skip

    looks: tuple[Look, ...]

    def declare(self, bench: BenchState) -> Declaration:
        return Declaration.apart(hazards=(), limits=StepLimits())

    def sentence(self, bench: BenchState) -> str:
        return " ".join(f"{x.name}: {x.expect}." for x in self.looks)


class LookTable(Table):
    """One thing a look step judges."""

    name: f.Name
    expect: f.Text


class LookOverTable(StepTable):
    """kind = "look"."""

    kind: Literal["look"]
    looks: list[LookTable] = Field(min_length=1, max_length=12)

    def build(self, names: Names, common: Common) -> Step:
        return LookOver(**common, looks=tuple(Look(name=one.name, expect=one.expect) for one in self.looks))
