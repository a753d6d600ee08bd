"""The frozen form of a procedure once it is read and checked. Stdlib only; every mass share in percent."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Literal

from benchapp.calculations.tolerance import tolerance_percent_of
from benchapp.foundation.band import Band

Use = Literal["leave-on", "rinse-off"]
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
    density_g_ml: float | None = None
    use_limit_percent: float | None = None  # the supplier's or the law's ceiling for the material itself


@dataclass(frozen=True, slots=True)
class FormulaLine:
    """One line of the formula: a material, in one phase, in one share.

    A material may stand in several lines ("held-back water", a second addition); ``label`` tells them apart.
    ``percent`` is filled in for the "rest" line too. ``cap_percent`` marks an "as needed" line (a pH
    solution): its planned share is zero and it may never go above the cap.
    """

    key: str
    material: Material
    phase: str
    percent: float
    label: str = ""
    is_rest: bool = False
    cap_percent: float | None = None
    tolerance_percent: float | None = None  # of its own target; None: from its role

    @property
    def name(self) -> str:
        """What the maker is told to pick up."""
        return f"{self.material.name} ({self.label})" if self.label else self.material.name

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


@dataclass(frozen=True, slots=True)
class Formula:
    """Percentages that add up to 100, and what the finished product has to be."""

    name: str
    use: Use
    lines: tuple[FormulaLine, ...]
    ph: Band | None
    phases: tuple[str, ...]  # in the order they are first named
    description: str = ""

    def in_phase(self, phase: str) -> tuple[FormulaLine, ...]:
        """The planned lines of one phase ("as needed" lines are not planned)."""
        return tuple(x for x in self.lines if x.phase == phase and x.cap_percent is None)


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """What every step has. ``line`` is where it stands in the file; ``why``, ``look`` and ``wrong`` are the
    full guidance: why it matters, what it should look like, what goes wrong."""

    key: str
    kind: str
    title: str
    line: int = 0
    note: str = ""
    why: str = ""
    look: str = ""
    wrong: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Prepare(Step):
    """Clean, sanitise, lay out, dress."""

    tasks: tuple[str, ...] = ()  # each one a sentence the maker confirms
    contact_s: float = 0.0  # how long the sanitiser has to stay wet
    sanitiser: str = ""
    flammable_sanitiser: bool = False
    wear: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Weigh(Step):
    """Weigh the lines of one phase into its vessel, one after the other."""

    phase: str
    vessel: str
    lines: tuple[str, ...]  # keys of formula lines, in the order they are weighed
    scale: Literal["any", "fine"] = "any"  # "fine": in a boat on the finer scale, then transferred


@dataclass(frozen=True, slots=True, kw_only=True)
class Disperse(Step):
    """Sprinkle a gum or powder into a phase and let it take up water."""

    vessel: str
    lines: tuple[str, ...]  # already weighed lines that go in now (may be empty)
    stir_s: float = 0.0
    rest_s: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Premix(Step):
    """Stir the ingredients of one phase together in their own vessel before they meet the batch."""

    phase: str
    vessel: str
    stir_s: float = 30.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Heat(Step):
    """Bring phases into a band together and keep them there."""

    phases: tuple[str, ...]
    band_c: Band
    hold_s: float = 0.0
    over_c: float = 85.0  # above this anything else is interrupted
    bath: bool = True


@dataclass(frozen=True, slots=True, kw_only=True)
class TopUp(Step):
    """Weigh a heated vessel again and replace the water it lost."""

    phase: str
    vessel: str
    material: str  # key of the water


@dataclass(frozen=True, slots=True, kw_only=True)
class Combine(Step):
    """Pour one phase into another, both in band and near each other."""

    source: str  # vessel poured from
    into: str  # vessel poured into
    band_c: Band | None = None
    within_k: float | None = None  # largest allowed difference between the two


@dataclass(frozen=True, slots=True, kw_only=True)
class Blend(Step):
    """Bursts of the stick blender with rests between."""

    vessel: str
    bursts: int
    burst_s: float
    rest_s: float = 0.0
    head_depth_mm: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Cool(Step):
    """Stir until the batch is below a threshold."""

    vessel: str
    below_c: float
    stir: str = "Stir gently"
    not_below_c: float | None = None  # cooled too far


@dataclass(frozen=True, slots=True, kw_only=True)
class Add(Step):
    """Put cool-down ingredients into the batch while it is below their limit."""

    vessel: str
    lines: tuple[str, ...] = ()  # weighed one by one straight in, or transferred when weighed before
    source: str = ""  # a premixed vessel that is poured in whole
    below_c: float | None = None
    above_c: float | None = None
    stir_s: float = 30.0


@dataclass(frozen=True, slots=True, kw_only=True)
class MeasurePh(Step):
    """Take a sample, measure it near room temperature, adjust if needed."""

    vessel: str
    band: Band
    sample_g: float = 10.0
    sample_temp_c: Band = field(default_factory=lambda: Band(18.0, 28.0))
    water_parts: float = 0.0  # parts of water to one part of product; 0: undiluted
    raise_with: tuple[
        str, ...
    ] = ()  # keys of "as needed" lines; several strengths of one solution may stand here
    lower_with: tuple[str, ...] = ()
    settle_s: float = 60.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Look:
    """One thing to judge with the senses, against a description."""

    name: str
    expect: str


@dataclass(frozen=True, slots=True, kw_only=True)
class LookOver(Step):
    """Appearance, smell, thickness against descriptions."""

    looks: tuple[Look, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Density(Step):
    """Weigh a known volume of the (de-aerated) product."""

    volume_ml: float
    expect_g_ml: Band | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Fill(Step):
    """Bottles of a declared content, each one weighed. Exactly one nominal is given."""

    vessel: str
    nominal_ml: float | None = None
    nominal_g: float | None = None
    container: str = "bottle"
    count: int | None = None  # None: as many as the batch gives


@dataclass(frozen=True, slots=True, kw_only=True)
class CleanUp(Step):
    """Leave the bench as it should be found."""

    tasks: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Finish(Step):
    """Yield and sign-off."""

    yield_percent: Band | None = None


@dataclass(frozen=True, slots=True)
class ReleaseCheck:
    """One line of the release specification: what is looked at, when it is due, what it has to be."""

    name: str
    expect: str
    due_s: float
    band: Band | None = None


@dataclass(frozen=True, slots=True)
class Procedure:
    """Formula and method as read from one file. ``text`` is that file, ``sha256`` its hash in hex."""

    key: str  # the file's stem
    formula: Formula
    materials: dict[str, Material]
    vessels: dict[str, Vessel]
    steps: tuple[Step, ...]
    default_batch_g: float
    batch_g: Band  # smallest and largest batch the vessels and the blender allow
    loss_percent: float  # what usually stays in pots and on the blender
    release: tuple[ReleaseCheck, ...] = ()
    text: str = ""
    sha256: str = ""
    file: str = ""
    cautions_ok: dict[str, str] = field(
        default_factory=dict
    )  # rule → the file's own written reason against it

    @property
    def name(self) -> str:
        """The formula's name, as the maker knows it."""
        return self.formula.name
