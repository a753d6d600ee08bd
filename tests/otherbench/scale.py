"""A scale of another make: its own physics, its own lines. What truly lies on it is kept in the vessels, never read back.

Imports nothing of the product. A load cell is a first-order lag with white noise, a zero that drifts, steps that the display
rounds to, and a unit key (common practice, no source; figures invented for the tests).
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from random import Random

#: Grams in an avoirdupois ounce (international yard and pound agreement of 1959: 1 lb = 0.45359237 kg).
OUNCE_G = 453.59237 / 16


@dataclass
class Vessel:
    """What truly stands in it: grams by line."""

    key: str
    empty_g: float
    contents_g: dict[str, float] = field(default_factory=dict)

    @property
    def net_g(self) -> float:
        return sum(self.contents_g.values())

    @property
    def gross_g(self) -> float:
        return self.empty_g + self.net_g

    def take_out(self, grams: float) -> dict[str, float]:
        """So many grams, evenly mixed, leave it."""
        share = min(grams / self.net_g, 1.0) if self.net_g else 0.0
        out = {line: held * share for line, held in self.contents_g.items()}
        self.contents_g = {line: held - out[line] for line, held in self.contents_g.items()}
        return out


@dataclass
class Pouring:
    """A stream into a vessel: so many grams a second until so many are in."""

    line: str
    vessel: Vessel
    left_g: float
    g_per_s: float
    origin: Vessel | None = None


@dataclass
class Scale:
    """One scale. ``due`` gives the bytes it sends at a moment; ``on`` is what stands on it, ``extra_g`` what else does."""

    name: str
    division_g: float
    seed: int = 1
    noise_divisions: float = 0.15
    lag_s: float = 0.25
    period_s: float = 0.2
    on: Vessel | None = None
    extra_g: float = 0.0
    drift_g_s: float = 0.0
    unit: str = "g"
    _zero_g: float = 0.0
    _shown_g: float = 0.0
    _next_s: float = 0.0
    _then_s: float = 0.0

    def __post_init__(self) -> None:
        self._random = Random(f"{self.seed}/{self.name}")

    def due(self, now_s: float) -> bytes:
        """The line it sends now, or nothing."""
        gone_s, self._then_s = now_s - self._then_s, now_s
        self._zero_g += self.drift_g_s * gone_s
        true_g = self.extra_g + (self.on.gross_g if self.on else 0.0) + self._zero_g
        self._shown_g += (true_g - self._shown_g) * (1 - math.exp(-gone_s / self.lag_s))
        if now_s + 1e-9 < self._next_s:
            return b""
        self._next_s = now_s + self.period_s
        felt_g = self._shown_g + self._random.gauss(0.0, self.noise_divisions * self.division_g)
        return self._line(felt_g)

    def press_zero(self) -> None:
        """Whatever it shows is nothing from now on."""
        self._zero_g -= self._shown_g
        self._shown_g = 0.0

    def _line(self, felt_g: float) -> bytes:
        if self.unit == "oz":
            return f"G {round(felt_g / OUNCE_G, 2):.2f} oz\r\n".encode()
        places = max(0, -math.floor(math.log10(self.division_g)))
        return f"G {round(felt_g / self.division_g) * self.division_g:.{places}f} {self.unit}\r\n".encode()
