"""What the desk's pages show, as plain data: batches, checks, trends."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class CheckFacts:
    """One release check of a batch. ``state``: "waiting", "due", "passed" or "failed"; ``low`` and ``high`` where it
    takes a number; ``result`` is what was written down, in words."""

    name: str
    expect: str
    low: float | None
    high: float | None
    state: str
    due: str
    batch: str = ""
    result: str = ""

    @property
    def limits(self) -> str:
        """What it has to be, in words."""
        if self.low is None and self.high is None:
            return self.expect
        low, high = ("" if v is None else f"{v:g}" for v in (self.low, self.high))
        return f"{low} to {high}; {self.expect}"


@dataclass(frozen=True, slots=True)
class CheckResult:
    """The result of a release check: its number, what was seen, and whether it is as it has to be (None: not said)."""

    value: float | None = None
    words: str = ""
    fine: bool | None = None


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
    maker: str = ""
    retained: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Trend:
    """A value over batches, oldest first, with the limits of its individuals chart and what the rules flag: a
    sentence each."""

    what: str
    unit: str
    values: tuple[float, ...]
    centre: float
    lower: float
    upper: float
    provisional: bool
    said: tuple[str, ...]
    batches: tuple[str, ...] = ()
    flags: tuple[str, ...] = ()  # for each value what the rules say of it, "" where nothing


@dataclass(frozen=True, slots=True)
class Delivery:
    """What came in: a material by its key and its name, our name for the lot, how much of what unit ("g" or
    "pieces"), the supplier and their lot, ISO dates or "", and what else is known of it."""

    material: str
    name: str
    lot: str = ""
    quantity: float = 0.0
    supplier: str = ""
    supplier_lot: str = ""
    expires: str = ""
    unit: str = "g"
    received: str = ""
    code: str = ""
    documents: tuple[str, ...] = ()
    quarantine: bool = False
    made_in: str = ""  # the batch of one's own it came out of
