"""What every kind of step has to say of itself, so that no other room has to know the kinds.

A kind is one file in this folder: the step, the table a maker writes it as, and its declaration. Cautions, checks, the
record, competence and the make ask the declaration; a kind without one is not accepted by the type checker.
"""

from __future__ import annotations

from abc import ABC, abstractmethod
from dataclasses import dataclass
from enum import Enum
from typing import ClassVar

from benchapp.foundation.band import Band
from benchapp.foundation.language import tr

from ..bench import BenchState
from ..said import Sentence


class Hazard(Enum):
    """What can hurt in a step whatever is in its vessels; the notices stand in cautions.py."""

    HEAT_SOURCE = "a bath or a hot plate"
    BLADES = "the blender"
    FLAMMABLE_VAPOUR = "a flammable sanitiser"
    MELTING = "something melted beside the scale"
    WASHING_UP = "mains devices and left-overs when cleaning up"


@dataclass(frozen=True, slots=True)
class Guidance:
    """Why it matters, what it looks like when it is right, what goes wrong (common practice, no source)."""

    why: str = ""
    look: str = ""
    wrong: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class StepKind:
    """What holds for every step of a kind. ``name`` is how it is written in a file; ``grave``: leaving it out is major,
    since the product may not be safe or not be what its label says; ``witnessed``: a helper needs a second person in
    it until independent (critical weighings, and what decides a batch); ``by_temperature``: it goes by what a probe
    reads, so that a probe without a number is an alarm; ``words`` stand in where the file says nothing.
    """

    name: str
    grave: bool
    witnessed: bool
    by_temperature: bool
    words: Guidance


@dataclass(frozen=True, slots=True)
class Moves:
    """What comes into a vessel: ``lines`` from their containers or boats, and all of the vessel ``source``."""

    into: str
    lines: tuple[str, ...] = ()
    source: str = ""

    def coming(self, bench: BenchState) -> tuple[str, ...]:
        """Every line that comes in."""
        return (*self.lines, *(bench.held(self.source) if self.source else ()))

    def origins(self, bench: BenchState) -> tuple[str, ...]:
        """The vessels out of which it comes."""
        found = (self.source, *map(bench.holding, self.lines))
        return tuple(dict.fromkeys(v for v in found if v and v != self.into))


@dataclass(frozen=True, slots=True)
class StepLimits:
    """What the record holds against a step's readings. ``unit`` names what of; None where a side is open."""

    low: float | None = None
    high: float | None = None
    unit: str = ""
    hold_s: float = 0.0
    container: str = ""
    nominal: float | None = None
    nominal_unit: str = ""
    retain: int = 0
    storage: str = ""

    @classmethod
    def of(cls, band: Band | None, unit: str, hold_s: float = 0.0) -> StepLimits:
        """The limits of a band, or none."""
        return cls(band.low, band.high, unit, hold_s) if band else cls(unit=unit, hold_s=hold_s)


@dataclass(frozen=True, slots=True, kw_only=True)
class Declaration:
    """What the other rooms need to know of one step. Nothing here has a default: a kind says all of it, or
    that it stands apart, or what it does at one vessel.

    ``touches``: vessels it has to do with (hot ones are announced, the record names them, nothing else is done
    with them meanwhile); ``needs``: (field of the file, vessel) of those that must hold something when it begins;
    ``handles``: lines taken up undiluted; ``picks_up``: whether from their own containers, so that every hazard
    of theirs is announced; ``weighs``: lines that are weighed; ``moves``: what comes into a vessel; ``leaves_c``: the
    temperatures at which it leaves the touched vessels; ``pours``: whether hot contents are poured, so that a
    scald is acknowledged.
    """

    touches: tuple[str, ...]
    needs: tuple[tuple[str, str], ...]
    handles: tuple[str, ...]
    picks_up: bool
    weighs: tuple[str, ...]
    moves: Moves | None
    leaves_c: Band | None
    hazards: tuple[Hazard, ...]
    pours: bool
    limits: StepLimits

    @classmethod
    def apart(cls, *, hazards: tuple[Hazard, ...], limits: StepLimits) -> Declaration:
        """Of a step that has to do with no vessel and no ingredient."""
        return cls(
            touches=(), needs=(), handles=(), picks_up=False, weighs=(), moves=None, leaves_c=None,
            hazards=hazards, pours=False, limits=limits,
        )  # fmt: skip

    @classmethod
    def at(
        cls,
        vessel: str,
        *,
        pours: bool,
        hazards: tuple[Hazard, ...],
        limits: StepLimits,
        leaves_c: Band | None = None,
    ) -> Declaration:
        """Of a step that works on what stands in one vessel, and weighs, moves and takes up nothing."""
        return cls(
            touches=(vessel,), needs=(("vessel", vessel),), handles=(), picks_up=False, weighs=(), moves=None,
            leaves_c=leaves_c, hazards=hazards, pours=pours, limits=limits,
        )  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class Step(ABC):
    """What every step has. ``line`` is where it stands in the file; ``why``, ``look`` and ``wrong`` are the
    full guidance of the file's own: where they are empty the kind's words stand in."""

    of_kind: ClassVar[StepKind]

    key: str
    plain_title: Sentence  # as the file has it, for whichever kettle
    line: int = 0
    note: Sentence = ""
    why: Sentence = ""
    look: Sentence = ""
    wrong: Sentence = ""
    any_order: str = ""  # the name of the steps around it that may be done in any order
    kettle: int = 0  # for which kettle of a batch that is split over several; 0: for the whole batch

    @abstractmethod
    def declare(self, bench: BenchState) -> Declaration:
        """What the other rooms need to know of it, at the bench as it is when the step begins."""

    @abstractmethod
    def sentence(self, bench: BenchState) -> str:
        """What it does, in one sentence, for the plan and the record."""

    def after(self, bench: BenchState) -> BenchState:
        """The bench when the step is done."""
        said = self.declare(bench)
        if said.moves is not None:
            bench = bench.with_lines(said.moves.lines, said.moves.into)
            if said.moves.source:
                bench = bench.poured(said.moves.source, said.moves.into)
        if said.leaves_c is not None:
            bench = bench.at_temperature(said.touches, said.leaves_c)
        return bench

    @property
    def title(self) -> str:
        """What it is called, and for which kettle."""
        if not self.kettle:
            return self.plain_title
        return tr("{title}, kettle {kettle}", title=self.plain_title, kettle=self.kettle)

    @property
    def kind(self) -> str:
        """Its kind, as it is written in a file."""
        return self.of_kind.name

    @property
    def guidance(self) -> Guidance:
        """The file's own words, as far as they go, else the kind's."""
        kind = self.of_kind.words
        return Guidance(self.why or kind.why, self.look or kind.look, self.wrong or kind.wrong)
