"""One batch as a row of the list of batches."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from sqlalchemy import Row


@dataclass(frozen=True, slots=True)
class BatchLine:
    """One batch in a list."""

    batch: str
    procedure: str
    maker: str
    batch_g: float
    wall: str
    rehearsal: bool
    end: str  # "finished", "abandoned" or "" while it is unfinished
    product_g: float | None
    ended: str = ""  # wall time of the end
    decision: str = ""  # "released", "rework", "rejected" or "" while nobody has decided
    containers: int = 0
    grown_g: float | None = None  # what it became, where its formula was kept after too much of something

    @property
    def made(self) -> bool:
        """Whether it was made to its end, and not only practised."""
        return self.end == "finished" and not self.rehearsal

    @property
    def whole_g(self) -> float:
        """What a yield is a share of, in grams: as planned, or as large as the batch became."""
        return self.grown_g or self.batch_g

    @property
    def yield_percent(self) -> float | None:
        """What came out of that; None where nothing did, or nobody knows of what."""
        return 100 * self.product_g / self.whole_g if self.product_g and self.whole_g else None


def batch_line(row: Row[Any]) -> BatchLine:
    """A row of BATCH as a line of the list."""
    return BatchLine(
        row.batch, row.procedure, row.maker, row.batch_g, row.wall, row.rehearsal, row.end, row.product_g,
        row.ended, row.decision, row.containers, row.grown_g,
    )  # fmt: skip
