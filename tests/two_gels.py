"""The shipped gel, a kilogram of it in two pots that are filled one after the other."""

from __future__ import annotations

from procedure_edits import edited

from procedures.model import Procedure
from procedures.reading import read_text

IN_TWO = (
    ('usual = "500 g"', 'usual = "1 kg"'), ('smallest = "350 g"', 'smallest = "900 g"'), ('largest = "800 g"', 'largest = "1400 g"'),
    lambda text: text.replace("\ncapacity = ", "\nkettles = 2\ncapacity = "),
)  # fmt: skip


def two_gels_text(*changes) -> str:
    """With these changes too."""
    return edited("tide-pool-gel", *IN_TWO, *changes)


def two_gels(*changes) -> Procedure:
    """Read, with these changes too."""
    return read_text(two_gels_text(*changes), "two-gels.toml").procedure
