"""A shape of a curve of cooling or warming: how fast it goes at each temperature, up to one common factor."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

#: So many temperatures that were asked for are remembered: a target, a zone's edges, the points of a fan.
KEPT = 64


class Shape:
    """The integral of 1/f along temperature, tabled once: ``progress_s`` runs from the start of the table.

    Cubic between nodes with the known slope 1/f. Beyond the last node the temperature is never reached.
    """

    __slots__ = ("_known", "pace_sd", "prior", "slopes", "start_c", "step_c", "table")

    def __init__(
        self,
        start_c: float,
        step_c: float,
        rates: Sequence[tuple[float, float]],
        prior: float,
        pace_sd: float | None = None,
    ) -> None:
        """``rates`` are f > 0 in K/s at each node and halfway to the next; ``step_c`` is negative for cooling.

        ``pace_sd`` is the relative standard deviation of the common factor, where it is better known than usual.
        """
        self.start_c, self.step_c, self.prior, self.pace_sd = start_c, step_c, prior, pace_sd
        self._known: dict[float, tuple[float, float] | None] = {}
        self.slopes = [1.0 / at for at, _ in rates]
        self.table = [0.0]
        width = abs(step_c)
        for (at, middle), (after, _) in pairwise(rates):
            self.table.append(self.table[-1] + width / 6.0 * (1.0 / at + 4.0 / middle + 1.0 / after))

    def progress_to(self, temp_c: float) -> tuple[float, float] | None:
        """``progress_s`` of a temperature that is asked for again and again: a target, the edge of a zone."""
        if temp_c not in self._known:
            if len(self._known) >= KEPT:
                self._known.clear()
            self._known[temp_c] = self.progress_s(temp_c)
        return self._known[temp_c]

    def progress_s(self, temp_c: float) -> tuple[float, float] | None:
        """The integral at a temperature and 1/f there; None outside the table."""
        place = (temp_c - self.start_c) / self.step_c
        i = int(place)
        if place < 0.0 or i + 1 >= len(self.table):
            return None
        u = place - i
        low, high = self.table[i], self.table[i + 1]
        width = abs(self.step_c)
        into, out = self.slopes[i] * width, self.slopes[i + 1] * width
        u2, u3 = u * u, u * u * u
        value = (
            (2.0 * u3 - 3.0 * u2 + 1.0) * low
            + (u3 - 2.0 * u2 + u) * into
            + (3.0 * u2 - 2.0 * u3) * high
            + (u3 - u2) * out
        )
        return value, self.slopes[i] * (1.0 - u) + self.slopes[i + 1] * u
