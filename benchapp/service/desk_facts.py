"""What the desk's pages show, as plain data: batches, checks, trends."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class CheckFacts:
    """One release check. ``state``: "waiting", "due", "passed" or "failed"; ``low`` and ``high`` where it takes a number."""

    name: str
    expect: str
    low: float | None
    high: float | None
    state: str
    due: str


@dataclass(frozen=True, slots=True)
class Undecided:
    """A finished batch nobody has decided about, and its open checks."""

    batch: str
    checks: tuple[CheckFacts, ...]


@dataclass(frozen=True, slots=True)
class BatchFacts:
    """How one batch stands. ``against`` are the reasons that speak against its release now; ``practised`` says what
    scenario was rehearsed and how it ended, "" where there was none."""

    batch: str
    procedure: str
    batch_g: float
    end: str
    decision: str
    rehearsal: bool
    containers: int
    checks: tuple[CheckFacts, ...]
    deviations: tuple[str, ...]
    against: tuple[str, ...]
    releasers: tuple[str, ...]
    practised: str = ""


@dataclass(frozen=True, slots=True)
class Trend:
    """A value over batches, oldest first, with the limits of its individuals chart and what the rules flag."""

    what: str
    unit: str
    values: tuple[float, ...]
    centre: float
    lower: float
    upper: float
    provisional: bool
    said: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Delivery:
    """What came in: a material by its key and its name, our name for the lot, grams, the supplier and their lot,
    an ISO date or ""."""

    material: str
    name: str
    lot: str = ""
    mass_g: float = 0.0
    supplier: str = ""
    supplier_lot: str = ""
    expires: str = ""
