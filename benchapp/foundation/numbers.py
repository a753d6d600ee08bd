"""Numbers on one grid. A quantity is rounded where it is made, so that no comparison needs a tolerance of its own.

Binary floats can't hold 0.8 - 0.1 = 0.7; the sum is 0.7000000000000001, and a scale that shows 0.7 would lie below it.
"""

from __future__ import annotations

import math

#: Decimals of the grid: a microgram, a microkelvin, a millionth of a percent; finer than any device on a bench shows.
DECIMALS = 6


def decimal(text: str) -> str:
    """A number as it is typed in any language, with a point; a comma that groups digits is left for what reads it to refuse."""
    return text.replace(",", ".") if text.count(",") == 1 and "." not in text else text


def exact(value: float) -> float:
    """The value on the grid: what decimal arithmetic would have given."""
    return round(value, DECIMALS)


def decimals_of(value: float) -> int:
    """Digits behind the point that a value has, at most DECIMALS."""
    return len(f"{value:.{DECIMALS}f}".rstrip("0").partition(".")[2])


def decimals_of_step(step: float) -> int:
    """Digits behind the point that show every multiple of a step; of one that is no round number, as that of a scale in
    ounces, those that tell each multiple from the next by its tenth."""
    is_round = float(f"{step:.2e}") == exact(step)
    return decimals_of(step) if is_round or step <= 0 else max(math.ceil(-math.log10(step)), 0) + 1


def to_division(value: float, division: float) -> float:
    """The nearest whole number of a device's divisions, in the unit of both, as its display would show it.

    Halves go to the even neighbour, as Python rounds. Raises ZeroDivisionError for a division of 0.
    """
    return exact(round(value / division) * division)
