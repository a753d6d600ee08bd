"""The form of a procedure file: which tables and fields there are, and what each may hold."""

from __future__ import annotations

import datetime
from typing import Literal

from pydantic import BaseModel, ConfigDict, Field, model_validator

from benchapp.foundation.language import tr

from . import fields as f
from .formula import Area, Role, Use


class Table(BaseModel):
    """Any table of the file: nothing but the fields named here, and nothing converted silently."""

    model_config = ConfigDict(strict=True, extra="forbid", frozen=True)


class FormulaTable(Table):
    """[formula]: what the product is."""

    name: f.Name
    use: Use
    area: Area = ""
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

    inci: f.Inci
    percent: f.PercentBand


class MaterialTable(Table):
    """[[material]]: what is bought, as its supplier and its safety data sheet describe it."""

    name: f.Name
    role: Role
    inci: f.Inci | None = None
    composition: list[SubstanceTable] = Field(default=[], max_length=40)
    statements: list[f.Name] = Field(default=[], max_length=40)
    signal_word: Literal["", "Warning", "Danger"] = ""
    sheet_revised: datetime.date | None = None
    powder: bool = False
    flammable: bool = False
    ph_window: f.PhBand | None = None
    below: f.Temperature | None = None
    melts: f.Temperature | None = None
    melting_heat: f.MeltingHeat | None = None
    density: f.SpecificMass | None = None
    active: f.SomePart | None = None
    use_least: f.SomePart | None = None
    use_limit: f.SomePart | None = None

    @model_validator(mode="after")
    def _has_one_composition(self) -> MaterialTable:
        if (self.inci is None) == (not self.composition):
            raise f.refuse(
                tr('"{name}" needs either inci or composition', name=self.name),
                tr(
                    'Write inci = "…" for one substance, or composition = [{ inci = "…", percent = [10, '
                    "20] }]"
                ),
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
                'percent = "as needed" and cap belong together',
                tr('Write both, like cap = "0.5 %", or neither'),
            )
        if (self.phase is None) == (not self.parts):
            raise f.refuse(
                tr("An ingredient stands either in one phase or in parts"),
                tr("Write phase or parts, one of them"),
            )
        if self.parts and self.percent == "as needed":
            raise f.refuse(tr('An "as needed" ingredient has no parts'), tr("Leave parts out"))
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
    kettles: int = Field(default=1, ge=1, le=6)


class ReleaseTable(Table):
    """[[release]]: one check before the batch may leave."""

    name: f.Name
    expect: f.Text
    due: f.Time
    band: f.AnyBand | None = None
