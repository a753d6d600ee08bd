"""What the desk's pages show, as plain data: batches, results of checks, trends."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from benchapp.record.deviations import blocking

if TYPE_CHECKING:
    from benchapp.calculations.control_chart import ControlChart
    from benchapp.record.batch_line import BatchLine
    from benchapp.record.comparison import Pair
    from benchapp.record.deviations import Deviation
    from benchapp.record.release import DueCheck
    from procedures.model import Procedure


@dataclass(frozen=True, slots=True)
class ShelfCard:
    """What helps to choose a procedure: when it was ``last`` made (ISO, "" never), how long it ``takes_s`` (None: not
    known), and what there is too little of for its usual size."""

    recipe: Procedure
    last: str = ""
    takes_s: float | None = None
    short: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class StoredLot:
    """A lot in the store: what is left of it in ``unit``, its date and supplier ("" unknown), whether its date is near, and
    the sentence why it may not be used ("" where it may), ``barred`` in a word. ``share`` is how much of what came in is
    left, 0 to 1 (None: on tap), ``days`` how many days its date is away, less than 0 where it is past (None: not known); ``came_in`` is
    how much came in."""

    lot: str
    name: str
    left: float
    unit: str
    expires: str
    supplier: str
    soon: bool
    against: str
    barred: str = ""
    share: float | None = None
    days: int | None = None
    came_in: float = 0.0


@dataclass(frozen=True, slots=True)
class Undecided:
    """A finished batch nobody has decided about, what it was made by, its open checks, and when it was begun (ISO)."""

    batch: str
    procedure: str
    checks: tuple[DueCheck, ...]
    wall: str = ""


@dataclass(frozen=True, slots=True)
class BatchFacts:
    """How one batch stands. ``against`` are the reasons that speak against its release now; ``practised`` says what
    scenario was rehearsed and how it ended, "" where there was none; ``unknown``: what no ceiling is known for,
    by name; ``unknown_in_short``: the same for a page with little room; ``gone``: the numbers of the containers that went
    somewhere; ``decided``: the last decision, who made it, when (ISO) and why, all "" while there is none;
    ``against_otherwise``: those of ``against`` that are about no check and no deviation."""

    line: BatchLine
    checks: tuple[DueCheck, ...]
    deviations: tuple[Deviation, ...]
    against: tuple[str, ...]
    releasers: tuple[str, ...]
    practised: str = ""
    retained: tuple[str, ...] = ()
    unknown: str = ""
    unknown_in_short: str = ""
    gone: frozenset[int] = frozenset()
    decided: tuple[str, str, str, str] = ("", "", "", "")
    against_otherwise: tuple[str, ...] = ()

    @property
    def blocking(self) -> tuple[Deviation, ...]:
        """The deviations that keep it here until they are judged."""
        return blocking(self.deviations)


@dataclass(frozen=True, slots=True)
class Trend:
    """The yields of batches in percent, oldest first, with their individuals chart and what the rules flag: a
    sentence each."""

    values: tuple[float, ...]
    chart: ControlChart
    said: tuple[str, ...]
    batches: tuple[str, ...] = ()
    flags: tuple[str, ...] = ()  # for each value what the rules say of it, "" where nothing


@dataclass(frozen=True, slots=True)
class Beside:
    """Two batches beside each other: every value that both could have; ``same_procedure``: both were made by the same
    version of the same."""

    first: BatchLine
    second: BatchLine
    same_procedure: bool
    pairs: tuple[Pair, ...]
