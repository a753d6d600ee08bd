"""How what is added goes in: all at once, slowly over a time, or in portions with a rest between."""

from __future__ import annotations

from abc import ABC
from dataclasses import dataclass

from pydantic import Field, model_validator

from benchapp.foundation.language import tr

from .. import fields as f
from ..phrases import duration
from .table import StepTable


@dataclass(frozen=True, slots=True)
class Pace:
    """Over ``during_s`` seconds (0: as fast as it pours), or in ``portions`` with ``between_s`` seconds between them."""

    during_s: float = 0.0
    portions: int = 1
    between_s: float = 0.0

    @property
    def words(self) -> str:
        """As it is said behind what is poured; "" where it is poured at once."""
        if self.during_s:
            return tr(", slowly, over {duration}", duration=duration(self.during_s))
        rest = tr(" with {duration} between", duration=duration(self.between_s)) if self.between_s else ""
        return (
            tr(", in {portions} portions{rest}", portions=self.portions, rest=rest)
            if self.portions > 1
            else ""
        )


class PacedTable(StepTable, ABC):
    """What every step may say in which something is added."""

    during: f.SomeTime | None = None
    portions: int | None = Field(default=None, ge=2, le=12)
    between: f.Time = 0.0

    @model_validator(mode="after")
    def _goes_in_one_way(self) -> PacedTable:
        if self.during is not None and self.portions is not None:
            raise f.refuse(
                tr("It goes in slowly or in portions, not both"),
                tr("Leave during out, or portions and between"),
            )
        if self.between and self.portions is None:
            raise f.refuse(
                tr("between is the rest between portions, and there are none"),
                tr("Write portions = 3, or leave it out"),
            )
        return self

    @property
    def pace(self) -> Pace:
        """How it goes in."""
        return Pace(self.during or 0.0, self.portions or 1, self.between)
