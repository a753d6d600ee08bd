"""Fill: containers of a declared content, each one weighed."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar, Literal

from pydantic import Field

from benchapp.foundation.language import number, tr, tr_noop

from .. import fields as f
from ..bench import BenchState
from ..names import Names
from ..said import Sentence
from .base import Declaration, Guidance, Step, StepKind, StepLimits
from .table import Common, StepTable


@dataclass(frozen=True, slots=True, kw_only=True)
class Fill(Step):
    """Bottles of a declared content, each one weighed. Exactly one nominal is given."""

    of_kind: ClassVar[StepKind] = StepKind(
        name="fill", grave=True, witnessed=True, by_temperature=False,
        words=Guidance(
            tr_noop("No container may be far below what it declares, and on average none below."),
            tr_noop("Level, necks clean, caps tight."),
            tr_noop("What runs down the outside is weighed but not sold."),
        ),
    )  # fmt: skip

    vessel: str
    nominal_ml: float | None = None
    nominal_g: float | None = None
    container: str = "bottle"
    count: int | None = None  # None: as many as the batch gives
    packaging: str = (
        ""  # the material of the container as the store has it; "": nothing is asked about its lot
    )
    retain: int = 0  # so many are kept back as samples
    retain_where: Sentence = ""
    storage: Sentence = ""  # how the containers are stored
    above_c: float | None = None  # filled while it is warm, since it thickens
    below_c: float | None = None
    unmould: Sentence = (
        ""  # when what was poured into moulds is taken out of them; "": it stays in its container
    )

    def declare(self, bench: BenchState) -> Declaration:
        nominal, unit = (self.nominal_ml, "ml") if self.nominal_ml is not None else (self.nominal_g, "g")
        return Declaration.at(
            self.vessel,
            pours=True,
            hazards=(),
            limits=StepLimits(
                self.above_c,
                self.below_c,
                "°C",
                container=self.container,
                nominal=nominal,
                nominal_unit=unit,
                retain=self.retain,
                storage="; ".join(
                    filter(
                        None,
                        (
                            self.storage,
                            tr("unmould: {unmould}", unmould=self.unmould) if self.unmould else "",
                        ),
                    )
                ),
            ),
        )

    def sentence(self, bench: BenchState) -> str:
        content = (
            tr("{nominal_ml:g} ml", nominal_ml=self.nominal_ml)
            if self.nominal_ml is not None
            else f"{number(self.nominal_g or 0.0)} g"
        )
        count = (
            tr("{count} times", count=self.count)
            if self.count is not None
            else tr("as often as the batch gives")
        )
        kept = (
            tr(" Keep {retain} back: {retain_where}.", retain=self.retain, retain_where=self.retain_where)
            if self.retain
            else ""
        )
        moulds = tr(" Unmould: {unmould}.", unmould=self.unmould) if self.unmould else ""
        stored = tr(" Store: {storage}.", storage=self.storage) if self.storage else ""
        above = (
            tr(" while it is above {above_c:g} °C", above_c=self.above_c) if self.above_c is not None else ""
        )
        below = (
            ""
            if self.below_c is None
            else tr(" and below {below_c:g} °C", below_c=self.below_c)
            if above
            else tr(" while it is below {below_c:g} °C", below_c=self.below_c)
        )
        return tr(
            "fill {content} from {the} into a {container}, {count}, each one "
            "weighed{above}{below}.{kept}{moulds}{stored}",
            content=content,
            the=bench.the(self.vessel),
            container=self.container,
            count=count,
            above=above,
            below=below,
            kept=kept,
            moulds=moulds,
            stored=stored,
        )


class FillTable(StepTable):
    """kind = "fill"."""

    kind: Literal["fill"]
    vessel: f.Name
    content: f.Content
    container: f.Name = "bottle"
    count: int | None = Field(default=None, ge=1, le=10000)
    packaging: f.Name = ""
    retain: int = Field(default=0, ge=0, le=100)
    retain_where: f.Text = tr_noop("on the shelf of retained samples")
    storage: f.Text = ""
    above: f.Temperature | None = None
    below: f.Temperature | None = None
    unmould: f.Text = ""

    def build(self, names: Names, common: Common) -> Step:
        unit, amount = self.content
        return Fill(
            **common,
            vessel=names.vessel(self.vessel, "vessel"),
            nominal_ml=amount if unit == "ml" else None,
            nominal_g=amount if unit == "g" else None,
            container=self.container,
            count=self.count,
            packaging=self.packaging,
            retain=self.retain,
            retain_where=self.retain_where,
            storage=self.storage,
            above_c=self.above,
            below_c=self.below,
            unmould=self.unmould,
        )
