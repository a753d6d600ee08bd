"""The frozen form of a procedure once it is read and checked."""

from __future__ import annotations

from dataclasses import dataclass, field

from benchapp.foundation.band import Band

from .formula import Formula, Material, Vessel
from .said import Called, Sentence
from .steps import Fill, Step


@dataclass(frozen=True, slots=True)
class ReleaseCheck:
    """One line of the release specification: what is looked at, when it is due, what it has to be."""

    name: Called
    expect: Sentence
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
    accepted_by: dict[str, str] = field(default_factory=dict)  # rule → who says so, where the file names them

    @property
    def name(self) -> str:
        """The formula's name, as the maker knows it."""
        return self.formula.name

    @property
    def kettles(self) -> int:
        """Over how many kettles the batch is split; 1: it is made in one."""
        return max((v.kettle for v in self.vessels.values()), default=0) or 1

    @property
    def container(self) -> str:
        """What it is filled into, as the first fill step calls it."""
        return next((s.container for s in self.steps if isinstance(s, Fill)), "container")
