"""How long all phases together have been warm enough."""

from __future__ import annotations

from collections.abc import Iterable

#: Longer than this between two readings, and the time between them does not count as held.
GAP_S = 5.0


class HoldClock:
    """Counts seconds while the coldest phase is at or above a lower limit in °C.

    The time between two looks counts when every phase was known and warm enough at both, and not more than
    ``gap_s`` lies between them. Falling below stops the clock; it does not set it back.
    ``held_s`` is what had been counted before (a restart). Under doubt nothing counts: what would have is
    ``pending_s``, counted or dropped once the doubt is settled.
    """

    def __init__(self, low_c: float, held_s: float = 0.0, gap_s: float = GAP_S) -> None:
        self.low_c, self.gap_s = low_c, gap_s
        self.held_s = held_s
        self.pending_s: float | None = None  # None: no doubt
        self.coldest_c: float | None = None
        self._warm_at_s: float | None = None  # the last look, when it found all warm

    @property
    def running(self) -> bool:
        """Whether the latest look found every phase warm enough."""
        return self._warm_at_s is not None

    def look(self, at_s: float, temps_c: Iterable[float | None]) -> float:
        """All phases as they are known at ``at_s`` (None: not known); returns the seconds held so far."""
        temps = list(temps_c)
        known = [t for t in temps if t is not None]
        self.coldest_c = min(known) if known and len(known) == len(temps) else None
        if self.coldest_c is None or not self.coldest_c >= self.low_c:
            self._warm_at_s = None
            return self.held_s
        if self._warm_at_s is not None and 0.0 < at_s - self._warm_at_s <= self.gap_s:
            if self.pending_s is None:
                self.held_s += at_s - self._warm_at_s
            else:
                self.pending_s += at_s - self._warm_at_s
        if self._warm_at_s is None or at_s > self._warm_at_s:
            self._warm_at_s = at_s
        return self.held_s

    def doubt(self, at_s: float, since_s: float) -> None:
        """From ``since_s`` on one of the temperatures is in doubt: what was held since is pending."""
        if self.pending_s is None:
            last_s = at_s if self._warm_at_s is None else self._warm_at_s
            self.pending_s = min(self.held_s, max(last_s - since_s, 0.0))
            self.held_s -= self.pending_s

    def settle(self, counts: bool) -> None:
        """The doubt is over, if there was one; ``counts``: the temperature had been right all the time."""
        if self.pending_s is not None and counts:
            self.held_s += self.pending_s
        self.pending_s = None
