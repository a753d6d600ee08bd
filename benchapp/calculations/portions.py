"""What is too much for a scale in one piece: into how many loads of a jug it goes, and how the errors of its portions add.

The bands add as they are, in the worst case: n portions, each within p percent of itself, are together within p percent
(own reckoning). Readings are independent and add in quadrature: each net mass is the difference of two readings of a display
of d, each uniform in one division, so the sum of n of them has a standard uncertainty of d·√(2n/12) (JCGM 100:2008,
4.3.7 and 5.1.2; from memory).
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence
from dataclasses import dataclass

from benchapp.foundation.language import tr
from benchapp.foundation.numbers import exact, to_division

#: A scale is loaded up to this share of its capacity: pouring overshoots (common practice, no source).
LOAD_SHARE = 0.95
#: Two standard uncertainties, for about 95 % (JCGM 100:2008, 6.3.3; from memory).
COVERAGE = 2.0


@dataclass(frozen=True, slots=True)
class Portion:
    """The ``number``-th of ``of`` portions of a line, of so many grams as planned."""

    line: str
    grams: float
    number: int = 1
    of: int = 1


Load = tuple[Portion, ...]


def jug_loads(targets_g: Sequence[tuple[str, float]], most_g: float, division_g: float) -> tuple[Load, ...]:
    """The lines, in their order, as loads of a jug that takes ``most_g`` grams.

    A line that fits into what is left of a load goes in with the ones before it; one that is more than a whole load is
    split into equal portions, the first in an empty jug. Raises ValueError where the jug takes nothing.
    """
    if most_g <= 0.0:
        raise ValueError(tr("a jug that takes {most_g:g} g holds no portion", most_g=most_g))
    loads: list[list[Portion]] = []
    for line, grams in targets_g:
        room = most_g - sum(p.grams for p in loads[-1]) if loads else 0.0
        if exact(grams) <= exact(room):
            loads[-1].append(Portion(line, grams))
            continue
        whole_g = math.floor(exact(most_g / division_g)) * division_g or most_g
        count = math.ceil(exact(grams / whole_g))
        # What rounding leaves over is spread over all of them, not put into the last.
        ends = [to_division(grams * n / count, division_g) for n in range(count)] + [grams]
        sizes = [exact(end - begin) for begin, end in itertools.pairwise(ends)]
        loads += [[Portion(line, size, n, count)] for n, size in enumerate(sizes, 1)]
    return tuple(map(tuple, loads))


def reading_error_g(division_g: float, portions: int) -> float:
    """How far the sum of so many portions may be off by the readings alone, in grams, for about 95 %."""
    return COVERAGE * division_g * math.sqrt(2 * portions / 12)
