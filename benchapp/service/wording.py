"""How amounts are written, and what several faces say in the same words."""

from __future__ import annotations

import shlex
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from benchapp.foundation.language import number, tr_n, tr_noop

if TYPE_CHECKING:
    from benchapp.record.batch_line import BatchLine

#: What is said where a rehearsal is asked what it drew or cost.
REHEARSAL_DRAWS = tr_noop(
    "A rehearsal draws from no lot of the store; its lots are made up, and nothing of it is sold."
)
#: What is said where nobody approved the text that would be made.
NOT_APPROVED = tr_noop("A trial, never for sale: nobody approved this version.")


def amount(value: float, unit: str) -> str:
    """12.5 g, 40 pieces."""
    if unit == "g":
        return f"{grams(value)} g"
    return tr_n("{n} piece", "{n} pieces", n=int(value)) if unit == "pieces" else f"{number(value)} {unit}"


def amount_in_short(value: float, unit: str) -> str:
    """The same, whole grams without a decimal."""
    return f"{figure_in_short(value, unit)} g" if unit == "g" else amount(value, unit)


def figure_in_short(value: float, unit: str) -> str:
    """The same without its unit."""
    return grams(value, 0 if round(value, 1).is_integer() else 1) if unit == "g" else number(value)


def grams(value: float, decimals: int = 1) -> str:
    """Grams in groups of three digits: 1 234.5."""
    return number(value, f"_.{decimals}f").replace("_", " ")


def state_of(b: BatchLine) -> str:
    """How a batch stands, in a word: what was decided about it, else how it ended."""
    return b.decision or b.end or "unfinished"


def closing_command(places: Sequence[Path]) -> str:
    """What is typed so that others on this machine get at none of these any more."""
    return shlex.join(
        ["chmod", "-R", "go=", *dict.fromkeys(str(p if p.is_dir() else p.parent) for p in places)]
    )
