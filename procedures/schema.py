"""The form of a procedure file: which tables and fields there are, and what each may hold."""

from __future__ import annotations

import datetime
from typing import Literal

from pydantic import BaseModel, ConfigDict, Field, model_validator

from . import fields as f
from .model import Role, Use


class Table(BaseModel):
    """Any table of the file: nothing but the fields named here, and nothing converted silently."""

    model_config = ConfigDict(strict=True, extra="forbid", frozen=True)


class FormulaTable(Table):
    """[formula]: what the product is."""

    name: f.Name
    use: Use
    description: f.Text = ""
    ph: f.PhBand | None = None


class BatchTable(Table):
    """[batch]: how much is made at a time."""

    usual: f.Mass
    smallest: f.Mass
    largest: f.Mass
    loss: f.Part = 0.0


class SubstanceTable(Table):
    """One line of a composition."""

    inci: f.Name
    percent: f.PercentBand


class MaterialTable(Table):
    """[[material]]: what is bought, as its supplier and its safety data sheet describe it."""

    name: f.Name
    role: Role
    inci: f.Name | None = None
    composition: list[SubstanceTable] = Field(default=[], max_length=40)
    statements: list[f.Name] = Field(default=[], max_length=40)
    signal_word: Literal["", "Warning", "Danger"] = ""
    sheet_revised: datetime.date | None = None
    powder: bool = False
    flammable: bool = False
    ph_window: f.PhBand | None = None
    below: f.Temperature | None = None
    melts: f.Temperature | None = None
    density: f.SpecificMass | None = None
    use_limit: f.SomePart | None = None

    @model_validator(mode="after")
    def _has_one_composition(self) -> MaterialTable:
        if (self.inci is None) == (not self.composition):
            raise f.refuse(
                f'"{self.name}" needs either inci or composition',
                'Write inci = "…" for one substance, or composition = [{ inci = "…", percent = [10, 20] }]',
            )
        return self


class PartTable(Table):
    """One part of an ingredient that goes in at more than one place."""

    label: f.Name
    phase: f.Name
    percent: f.Percent


class PlacedTable(Table):
    """[[formula.ingredient]]: a material's share, and the phase it belongs to."""

    material: f.Name
    label: f.Name | None = None
    phase: f.Name | None = None
    percent: f.Percent
    cap: f.SomePart | None = None
    tolerance: f.SomePart | None = None
    parts: list[PartTable] = Field(default=[], max_length=10)

    @model_validator(mode="after")
    def _hangs_together(self) -> PlacedTable:
        if (self.percent == "as needed") != (self.cap is not None):
            raise f.refuse(
                'percent = "as needed" and cap belong together', 'Write both, like cap = "0.5 %", or neither'
            )
        if (self.phase is None) == (not self.parts):
            raise f.refuse(
                "An ingredient stands either in one phase or in parts", "Write phase or parts, one of them"
            )
        if self.parts and self.percent == "as needed":
            raise f.refuse('An "as needed" ingredient has no parts', "Leave parts out")
        return self


#: Fields of [[formula.ingredient]] that say where it goes; all others describe the material itself.
PLACING = ("label", "phase", "percent", "cap", "tolerance", "parts")


class VesselTable(Table):
    """[[vessel]]: a pot, beaker or boat."""

    name: f.Name
    phase: f.Name = ""
    capacity: f.Volume
    diameter: f.Length | None = None
    empty: f.Mass | None = None
    glass: bool = False


class ReleaseTable(Table):
    """[[release]]: one check before the batch may leave."""

    name: f.Name
    expect: f.Text
    due: f.Time
    band: f.AnyBand | None = None


class StepTable(Table):
    """What every [[step]] may have."""

    title: f.Name
    note: f.Text = ""
    why: f.Text = ""
    look: f.Text = ""
    wrong: f.Text = ""


class PrepareTable(StepTable):
    """kind = "prepare"."""

    kind: Literal["prepare"]
    tasks: list[f.Text] = Field(min_length=1, max_length=30)
    sanitiser: f.Text = ""
    contact: f.Time = 0.0
    flammable_sanitiser: bool = False
    wear: list[f.Name] = Field(default=[], max_length=12)


class WeighTable(StepTable):
    """kind = "weigh"."""

    kind: Literal["weigh"]
    phase: f.Name
    vessel: f.Name | None = None
    ingredients: list[f.Text] = Field(default=[], max_length=60)
    scale: Literal["any", "fine"] = "any"


class DisperseTable(StepTable):
    """kind = "disperse"."""

    kind: Literal["disperse"]
    vessel: f.Name
    ingredients: list[f.Text] = Field(default=[], max_length=20)
    stir: f.Time = 0.0
    rest: f.Time = 0.0


class PremixTable(StepTable):
    """kind = "premix"."""

    kind: Literal["premix"]
    phase: f.Name
    vessel: f.Name | None = None
    stir: f.Time = 30.0


class HeatTable(StepTable):
    """kind = "heat"."""

    kind: Literal["heat"]
    phases: list[f.Name] = Field(min_length=1, max_length=8)
    band: f.TemperatureBand
    hold: f.Time = 0.0
    over: f.Temperature = 85.0
    bath: bool = True


class TopUpTable(StepTable):
    """kind = "top up"."""

    kind: Literal["top up"]
    phase: f.Name
    vessel: f.Name | None = None
    water: f.Name


class CombineTable(StepTable):
    """kind = "combine"."""

    kind: Literal["combine"]
    pour: f.Name
    into: f.Name
    band: f.TemperatureBand | None = None
    within: f.Difference | None = None


class BlendTable(StepTable):
    """kind = "blend"."""

    kind: Literal["blend"]
    vessel: f.Name
    bursts: int = Field(ge=1, le=50)
    burst: f.SomeTime
    rest: f.Time = 0.0
    head: f.Length | None = None


class CoolTable(StepTable):
    """kind = "cool"."""

    kind: Literal["cool"]
    vessel: f.Name
    below: f.Temperature
    not_below: f.Temperature | None = None
    stirring: f.Text = "Stir gently"


class AddTable(StepTable):
    """kind = "add"."""

    kind: Literal["add"]
    vessel: f.Name
    ingredients: list[f.Text] = Field(default=[], max_length=40)
    pour: f.Name | None = None
    below: f.Temperature | None = None
    above: f.Temperature | None = None
    stir: f.Time = 30.0

    @model_validator(mode="after")
    def _adds_one_way(self) -> AddTable:
        if (self.pour is None) == (not self.ingredients):
            raise f.refuse(
                "An add step names either ingredients or a vessel to pour",
                'Write ingredients = ["…"] or pour = "…", one of them',
            )
        return self


class MeasurePhTable(StepTable):
    """kind = "measure ph"."""

    kind: Literal["measure ph"]
    vessel: f.Name
    band: f.PhBand | None = None
    sample: f.Mass = 10.0
    sample_temperature: f.TemperatureBand | None = None
    water_parts: f.Parts = 0.0
    raise_with: f.Names = Field(default=[], max_length=5)
    lower_with: f.Names = Field(default=[], max_length=5)
    settle: f.Time = 60.0


class LookTable(Table):
    """One thing a look step judges."""

    name: f.Name
    expect: f.Text


class LookOverTable(StepTable):
    """kind = "look"."""

    kind: Literal["look"]
    looks: list[LookTable] = Field(min_length=1, max_length=12)


class DensityTable(StepTable):
    """kind = "density"."""

    kind: Literal["density"]
    volume: f.Volume
    expect: f.DensityBand | None = None


class FillTable(StepTable):
    """kind = "fill"."""

    kind: Literal["fill"]
    vessel: f.Name
    content: f.Content
    container: f.Name = "bottle"
    count: int | None = Field(default=None, ge=1, le=10000)


class CleanUpTable(StepTable):
    """kind = "clean up"."""

    kind: Literal["clean up"]
    tasks: list[f.Text] = Field(min_length=1, max_length=30)


class FinishTable(StepTable):
    """kind = "finish"."""

    kind: Literal["finish"]
    yields: f.PartBand | None = Field(default=None, alias="yield")


AnyStepTable = (
    PrepareTable | WeighTable | DisperseTable | PremixTable | HeatTable | TopUpTable | CombineTable
    | BlendTable | CoolTable | AddTable | MeasurePhTable | LookOverTable | DensityTable | FillTable
    | CleanUpTable | FinishTable
)  # fmt: skip

#: The kinds of step, as written in a file, each with the table it takes.
STEP_TABLES: dict[str, type[AnyStepTable]] = {
    "prepare": PrepareTable,
    "weigh": WeighTable,
    "disperse": DisperseTable,
    "premix": PremixTable,
    "heat": HeatTable,
    "top up": TopUpTable,
    "combine": CombineTable,
    "blend": BlendTable,
    "cool": CoolTable,
    "add": AddTable,
    "measure ph": MeasurePhTable,
    "look": LookOverTable,
    "density": DensityTable,
    "fill": FillTable,
    "clean up": CleanUpTable,
    "finish": FinishTable,
}
