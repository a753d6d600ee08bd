"""What the record needs to know of a procedure, as plain data: names, planned bands, release specification.

The record reads no procedure files. Whoever may read them (the commands) hands these facts in; without them the
record calls everything by its key.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from benchapp.foundation.language import number, tr


@dataclass(frozen=True, slots=True)
class LineFacts:
    """One line of the formula. ``percent`` None: as needed. ``composition``: INCI name, lowest, highest percent."""

    name: str
    percent: float | None
    composition: tuple[tuple[str, float, float], ...] = ()
    limit_percent: float | None = None  # the supplier's or the law's ceiling for the material itself
    active_percent: float | None = None  # what of it is active, in percent of the material
    kettle: int = 0  # which kettle of a batch that is split it goes into; 0: into the whole batch
    whole_name: str = ""  # what it is called whichever kettle it goes into; "": as it is


@dataclass(frozen=True, slots=True)
class StepFacts:
    """One step. ``low`` and ``high`` are the limits of what it watches, in ``unit``."""

    kind: str
    title: str
    low: float | None = None
    high: float | None = None
    unit: str = ""
    hold_s: float = 0.0
    container: str = ""
    retain: int = 0  # containers that are to be kept back as samples
    storage: str = ""  # how the containers are stored
    nominal: float | None = None  # declared content of one container, in nominal_unit
    nominal_unit: str = ""
    kettle: int = 0  # for which kettle of a batch that is split it is done; 0: for the whole batch


@dataclass(frozen=True, slots=True)
class ReleaseFacts:
    """One line of the release specification. ``due_s``: seconds after the make."""

    name: str
    expect: str
    due_s: float
    low: float | None = None
    high: float | None = None

    @property
    def limits(self) -> str:
        """What it has to be, in words."""
        if self.low is None and self.high is None:
            return self.expect
        low, high = ("" if v is None else number(v) for v in (self.low, self.high))
        return tr("{low} to {high}; {expect}", low=low, high=high, expect=self.expect)


@dataclass(frozen=True, slots=True)
class CheckResult:
    """The result of a release check: its number, what was seen, and whether it is as it has to be (None: not said)."""

    value: float | None = None
    words: str = ""
    fine: bool | None = None


@dataclass(frozen=True, slots=True)
class ProcedureFacts:
    """A procedure as far as its record shows it. Every mapping goes from the procedure's own key."""

    key: str = ""
    product: str = ""
    use: str = ""
    area: str = ""  # hair, face or body; "" where the procedure does not say
    description: str = ""
    lines: Mapping[str, LineFacts] = field(default_factory=dict)
    steps: Mapping[str, StepFacts] = field(default_factory=dict)
    vessels: Mapping[str, str] = field(default_factory=dict)
    kettles: Mapping[str, int] = field(default_factory=dict)  # of the vessels of a batch that is split
    cautions: Mapping[str, str] = field(default_factory=dict)
    release: tuple[ReleaseFacts, ...] = ()

    def line(self, key: str) -> str:
        """What a line of the formula is called."""
        return self.lines[key].name if key in self.lines else key

    def vessel(self, key: str) -> str:
        """What a vessel is called."""
        return self.vessels.get(key, key)

    def step(self, key: str) -> str:
        """A step's title."""
        return self.steps[key].title if key in self.steps else key

    def kind(self, key: str) -> str:
        """A step's kind: its own, or what its key says behind the number."""
        return self.steps[key].kind if key in self.steps else key.partition("-")[2].replace("-", " ")
