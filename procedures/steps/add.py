"""Add: what heat would spoil, put into the batch while it is below its limit."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import ClassVar, Literal

from pydantic import Field, model_validator

from benchapp.foundation.language import tr, tr_noop

from .. import fields as f
from ..bench import BenchState
from ..names import Names
from ..phrases import stirred
from .base import Declaration, Guidance, Moves, Step, StepKind, StepLimits
from .pace import Pace, PacedTable
from .table import Common


@dataclass(frozen=True, slots=True, kw_only=True)
class Add(Step):
    """Put cool-down ingredients into the batch while it is below their limit."""

    of_kind: ClassVar[StepKind] = StepKind(
        name="add", grave=True, witnessed=True, by_temperature=True,
        words=Guidance(
            tr_noop("These are small shares that heat destroys or that have to be everywhere."),
            tr_noop("An even colour without streaks."),
            tr_noop("Added too hot they are lost; stirred too little, they sit in one place."),
        ),
    )  # fmt: skip

    vessel: str
    lines: tuple[str, ...] = ()  # weighed one by one straight in, or transferred when weighed before
    source: str = ""  # a premixed vessel that is poured in whole
    below_c: float | None = None
    above_c: float | None = None
    stir_s: float = 30.0
    pace: Pace = field(default=Pace())
    jug: str = ""  # vessel in which it is weighed in portions where the scale cannot carry the batch

    def declare(self, bench: BenchState) -> Declaration:
        moves = Moves(self.vessel, self.lines, self.source)
        return Declaration(
            touches=tuple(
                dict.fromkeys(
                    v for v in (self.vessel, self.source, self.jug, *map(bench.holding, self.lines)) if v
                )
            ),
            needs=(("vessel", self.vessel), *((("pour", self.source),) if self.source else ())),
            handles=moves.coming(bench),
            picks_up=False,
            weighs=tuple(key for key in self.lines if not bench.holding(key)),
            moves=moves,
            leaves_c=None,
            hazards=(),
            pours=True,
            limits=StepLimits(self.above_c, self.below_c, "°C"),
        )

    def sentence(self, bench: BenchState) -> str:
        if self.source:
            what = tr("pour {the} into {the_2}", the=bench.the(self.source), the_2=bench.the(self.vessel))
        else:
            names, the = bench.names(self.lines), bench.the(self.vessel)
            held = all(bench.holding(key) for key in self.lines)
            what = (
                tr("transfer {names} into {the}", names=names, the=the)
                if held
                else tr("weigh {names} into {the}", names=names, the=the)
            )
        below = (
            tr(" while it is below {below_c:g} °C", below_c=self.below_c) if self.below_c is not None else ""
        )
        above = tr(" and above {above_c:g} °C", above_c=self.above_c) if self.above_c is not None else ""
        return f"{what}{below}{above}{self.pace.words}{stirred(self.stir_s)}."


class AddTable(PacedTable):
    """kind = "add"."""

    kind: Literal["add"]
    vessel: f.Name
    ingredients: list[f.Text] = Field(default=[], max_length=40)
    pour: f.Name | None = None
    below: f.Temperature | None = None
    above: f.Temperature | None = None
    stir: f.Time = 30.0
    jug: f.Name | None = None

    @model_validator(mode="after")
    def _adds_one_way(self) -> AddTable:
        if (self.pour is None) == (not self.ingredients):
            raise f.refuse(
                tr("An add step names either ingredients or a vessel to pour"),
                tr('Write ingredients = ["…"] or pour = "…", one of them'),
            )
        if self.jug is not None and (self.during is not None or self.portions is not None):
            raise f.refuse(
                tr(
                    "What goes in by a jug goes in as the jug is poured, neither slowly nor in portions "
                    "of its own"
                ),
                tr("Leave jug out, or during, portions and between"),
            )
        return self

    def build(self, names: Names, common: Common) -> Step:
        vessel = names.vessel(self.vessel, "vessel")
        source = "" if self.pour is None else names.vessel(self.pour, "pour")
        lines = names.ingredients(self.ingredients)
        limits = [x.material.below_c for x in (*lines, *names.weighed.get(source, ()))]
        below = (
            self.below if self.below is not None else min((b for b in limits if b is not None), default=None)
        )
        return Add(
            **common,
            vessel=vessel,
            lines=tuple(line.key for line in lines),
            source=source,
            below_c=below,
            above_c=self.above,
            stir_s=self.stir,
            pace=self.pace,
            jug="" if self.jug is None else names.vessel(self.jug, "jug"),
        )
