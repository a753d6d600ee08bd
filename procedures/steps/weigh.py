"""Weigh: the lines of one phase into its vessel."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar, Literal

from pydantic import Field, model_validator

from benchapp.foundation.language import tr, tr_noop

from .. import fields as f
from ..bench import BenchState
from ..formula import carrier_for
from ..names import Names
from .base import Declaration, Guidance, Hazard, Moves, Step, StepKind, StepLimits
from .table import Common, StepTable


@dataclass(frozen=True, slots=True, kw_only=True)
class Weigh(Step):
    """Weigh the lines of one phase into its vessel, one after the other."""

    of_kind: ClassVar[StepKind] = StepKind(
        name="weigh", grave=True, witnessed=True, by_temperature=False,
        words=Guidance(
            tr_noop("The formula is its weights. What goes in wrong here cannot be found by looking."),
            tr_noop("The number rests between its two limits, with nothing touching the pan or the vessel."),
            tr_noop("A hand on the bench, a draught, a drop on the lip that falls late."),
        ),
    )  # fmt: skip

    phase: str
    vessel: str
    lines: tuple[str, ...]  # keys of formula lines, in the order they are weighed
    scale: Literal["any", "fine"] = "any"  # "fine": in a boat on the finer scale, then transferred
    thin: tuple[
        str, ...
    ] = ()  # keys of lines that are mixed with their carrier first where the scale is too coarse

    melt: tuple[str, ...] = ()  # keys of lines that are melted before they are weighed
    melt_at_most_c: float | None = None
    jug: str = ""  # vessel in which it is weighed in portions where the scale cannot carry its own

    def declare(self, bench: BenchState) -> Declaration:
        return Declaration(
            touches=(self.vessel, *((self.jug,) if self.jug else ())),
            needs=(),
            handles=self.lines,
            picks_up=True,
            weighs=self.lines,
            moves=Moves(self.vessel, self.lines),
            leaves_c=None,
            hazards=(Hazard.MELTING,) if self.melt else (),
            pours=False,
            limits=StepLimits(),
        )

    def sentence(self, bench: BenchState) -> str:
        where = tr(" on the finer scale") if self.scale == "fine" else ""
        thin = (
            tr(", {names} in a mixture where the scale is too coarse", names=bench.names(self.thin))
            if self.thin
            else ""
        )
        most = (
            tr(", at {melt_at_most_c:g} °C at most", melt_at_most_c=self.melt_at_most_c)
            if self.melt_at_most_c is not None
            else ""
        )
        jug = tr(", by {the} where the scale cannot carry it", the=bench.the(self.jug)) if self.jug else ""
        melt = tr("; melt {names} before{most}", names=bench.names(self.melt), most=most) if self.melt else ""
        return tr(
            "weigh {names} into {the}{where}{jug}{thin}{melt}.",
            names=bench.names(self.lines),
            the=bench.the(self.vessel),
            where=where,
            jug=jug,
            thin=thin,
            melt=melt,
        )


class WeighTable(StepTable):
    """kind = "weigh"."""

    kind: Literal["weigh"]
    phase: f.Name
    vessel: f.Name | None = None
    ingredients: list[f.Text] = Field(default=[], max_length=60)
    scale: Literal["any", "fine"] = "any"
    thin: list[f.Text] = Field(default=[], max_length=20)
    melt: list[f.Text] = Field(default=[], max_length=20)
    melt_at_most: f.Temperature | None = None
    jug: f.Name | None = None

    @model_validator(mode="after")
    def _melts_something(self) -> WeighTable:
        if self.melt_at_most is not None and not self.melt:
            raise f.refuse(
                tr("melt_at_most says how warm something is melted, and nothing is"), tr('Write melt = ["…"]')
            )
        if self.jug is not None and (self.thin or self.scale == "fine"):
            raise f.refuse(
                tr("A jug is for what is too heavy for the scale, thin and fine for what is too light"),
                tr("Leave one of them out"),
            )
        return self

    def build(self, names: Names, common: Common) -> Step:
        phase = names.phase(self.phase, "phase")
        vessel = names.vessel_for(phase, self.vessel)
        lines = names.ingredients(self.ingredients) or names.formula.in_phase(phase)
        if not lines:
            what = tr('Nothing in the phase "{phase}" has a share, so there is nothing to weigh', phase=phase)
            raise names.refuse("phase", what, tr("Leave the step out: a pH step adds it"), "weigh-phase")
        thin = names.ingredients(self.thin, "thin")
        for n, line in enumerate(thin):
            carrier = carrier_for(line, lines[: lines.index(line)] if line in lines else ())
            if carrier is None:
                what = tr(
                    "{name} cannot be thinned in anything that this step weighs before it", name=line.name
                )
                instead = tr(
                    "Weigh water before what mixes with water, the largest oil before what mixes with oils"
                )
                raise names.refuse("thin", what, instead, "thin", n)
        melt = names.ingredients(self.melt, "melt")
        for n, line in enumerate(melt):
            if line not in lines:
                what = tr("{name} is not weighed in this step, so it cannot be melted for it", name=line.name)
                raise names.refuse("melt", what, tr("Name it in the step that weighs it"), "melt-first", n)
        bears = min((x.material.below_c for x in melt if x.material.below_c is not None), default=None)
        names.weighed.setdefault(vessel, []).extend(lines)
        return Weigh(
            **common, phase=phase, vessel=vessel, lines=tuple(x.key for x in lines), scale=self.scale,
            thin=tuple(x.key for x in thin), melt=tuple(x.key for x in melt),
            melt_at_most_c=bears if self.melt_at_most is None else self.melt_at_most,
            jug="" if self.jug is None else names.vessel(self.jug, "jug"),
        )  # fmt: skip
