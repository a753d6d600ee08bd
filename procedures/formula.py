"""What a product is made of: substances, materials, lines of a formula, and the vessels they go into. Shares in percent."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from benchapp.calculations.tolerance import tolerance_percent_of
from benchapp.foundation.band import Band
from benchapp.foundation.language import tr

from . import ghs
from .said import Sentence

Use = Literal["leave-on", "rinse-off"]
Area = Literal["", "hair", "face", "body"]
Role = Literal[
    "water", "humectant", "oil", "butter", "wax", "emulsifier", "conditioner", "thickener", "gum",
    "preservative", "active", "antioxidant", "chelator", "fragrance", "acid", "base", "colour", "other",
]  # fmt: skip


@dataclass(frozen=True, slots=True)
class Substance:
    """One INCI name in a material, as the supplier's range in percent of the material."""

    inci: str
    low_percent: float
    high_percent: float


@dataclass(frozen=True, slots=True)
class Material:
    """What is bought. ``statements`` are GHS codes from the supplier's safety data sheet ("H318", "P280")."""

    key: str
    name: str
    composition: tuple[Substance, ...]
    role: Role
    statements: tuple[str, ...] = ()
    signal_word: Literal["", "Warning", "Danger"] = ""
    sheet_revised: str = ""  # ISO date of the safety data sheet
    powder: bool = False
    flammable: bool = False
    ph_window: Band | None = None  # where a preservative works
    below_c: float | None = None  # heat-sensitive: never in anything hotter
    melts_c: float | None = None
    melting_heat_j_g: float | None = None
    density_g_ml: float | None = None
    active_percent: float | None = None  # what of the material is active, as its supplier says
    use_least_percent: float | None = None  # the least its supplier says works, for a preservative
    use_limit_percent: float | None = None  # the supplier's or the law's ceiling for the material itself

    @property
    def burns(self) -> bool:
        """Whether its vapour catches fire at a hot plate: it is said to, or its data sheet does."""
        return self.flammable or bool(set(ghs.hazards(self.statements)) & ghs.FIRE)


def of_kettle(what: str, kettle: int) -> str:
    """A phase or an order as one kettle's own, by which it is found; as it is where it is the whole batch's."""
    return f"{what}, kettle {kettle}" if kettle else what


@dataclass(frozen=True, slots=True)
class FormulaLine:
    """One line of the formula: a material, in one phase, in one share.

    A material may stand in several lines ("held-back water", a second addition); ``label`` tells them apart.
    ``percent`` is filled in for the "rest" line too. ``cap_percent`` marks an "as needed" line (a pH
    solution): its planned share is zero and it may never go above the cap. ``kettle`` is which of a batch's
    ``kettles`` it goes into, 0 where it goes into the whole batch; its shares are then that kettle's part of them.
    """

    key: str
    material: Material
    phase: str
    percent: float
    label: str = ""
    is_rest: bool = False
    cap_percent: float | None = None
    tolerance_percent: float | None = None  # of its own target; None: from its role
    kettle: int = 0
    kettles: int = 1

    @property
    def name(self) -> str:
        """What the maker is told to pick up, and for which kettle."""
        if not self.kettle:
            return self.whole_name
        if self.label:
            return tr(
                "{name} ({label}, kettle {kettle})",
                name=self.material.name,
                label=self.label,
                kettle=self.kettle,
            )
        return tr("{name} (kettle {kettle})", name=self.material.name, kettle=self.kettle)

    @property
    def whole_name(self) -> str:
        """What the file calls it, whichever kettle it goes into."""
        return f"{self.material.name} ({self.label})" if self.label else self.material.name

    @property
    def whole_phase(self) -> str:
        """What the file calls its phase."""
        return self.phase.removesuffix(of_kettle("", self.kettle))

    @property
    def limit_percent(self) -> float | None:
        """The most there may be of it in the batch, in percent: its kettle's part of what its material is limited to."""
        limit = self.material.use_limit_percent
        return None if limit is None else limit / self.kettles

    @property
    def within_percent(self) -> float:
        """How far a weighing of it may be off either way, in percent of its target: its own, or its role's."""
        return tolerance_percent_of(self.material.role, self.tolerance_percent)


@dataclass(frozen=True, slots=True)
class Vessel:
    """A pot or boat the method names. ``phase`` is what is weighed into it ("" for a spare boat)."""

    key: str
    name: str
    capacity_ml: float
    phase: str = ""
    empty_g: float | None = None  # a rough figure for the plan; the true one is weighed
    glass: bool = False
    diameter_mm: float | None = None  # inside, for the depth the blender's head stands in
    kettle: int = 0  # which of several alike it is, over which the batch is split; 0: there is one

    @property
    def whole_name(self) -> str:
        """What the file calls it, whichever of several it is."""
        return self.name.removesuffix(f" {self.kettle}") if self.kettle else self.name


@dataclass(frozen=True, slots=True)
class Formula:
    """Percentages that add up to 100, and what the finished product has to be."""

    name: str
    use: Use
    lines: tuple[FormulaLine, ...]
    ph: Band | None
    phases: tuple[str, ...]  # in the order they are first named
    description: Sentence = ""
    area: Area = ""  # what it is for, where the law asks; "": the strictest ceiling decides

    @property
    def by_key(self) -> dict[str, FormulaLine]:
        """Its lines by their keys."""
        return {line.key: line for line in self.lines}

    def in_phase(self, phase: str) -> tuple[FormulaLine, ...]:
        """The planned lines of one phase ("as needed" lines are not planned)."""
        return tuple(x for x in self.lines if x.phase == phase and x.cap_percent is None)


#: What mixes with water, and what with an oil, by role (common practice, no source). Of anything else, and of gums that
#: would set, nobody but the supplier knows what it can be thinned in.
WATERY: frozenset[str] = frozenset({"humectant", "chelator", "acid", "base"})
OILY: frozenset[str] = frozenset({"oil", "butter", "antioxidant", "fragrance"})


def carrier_for(line: FormulaLine, lines: Sequence[FormulaLine]) -> FormulaLine | None:
    """The line of the formula in which this one could be thinned: the rest of water, or the largest oil."""
    if line.material.role in WATERY:
        return next((x for x in lines if x.is_rest and x.material.role == "water"), None)
    oils = [x for x in lines if x.material.role == "oil" and x.key != line.key]
    return max(oils, key=lambda x: x.percent, default=None) if line.material.role in OILY else None
