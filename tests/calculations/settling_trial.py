"""How soon and how truly a filter finds a simulated pour at rest. Used by the test and by the benchmark."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from math import erfc, sqrt
from typing import Protocol

import numpy as np
from draughty_pours import DraughtyPour
from draughty_pours import pour as draughty_pour
from simulated_pours import Pours, pours

#: Seconds of rest a make wants before it takes a weight.
DWELL_S = 2.0
#: On the draughty bench a weight taken further off than this, in divisions, is counted.
FAR_DIVISIONS = 1.51


class Filter(Protocol):
    """What a filter has to offer to be tried."""

    still: bool

    @property
    def rest_g(self) -> float: ...
    def push(self, at_s: float, value_g: float, stable: bool | None) -> None: ...


@dataclass
class Trial:
    """Seconds found late (one per pour found), and pours by what went wrong."""

    late_s: list[float] = field(default_factory=list)
    never: int = 0
    off: int = 0  # called still while more than a division off, at any reading after the hand let go
    stands_off: int = 0  # ... in the verdict that stood when the scale was truly still, or came next
    shown_off: int = (
        0  # ... counted in numbers on the display: that verdict rounded, against the rest rounded
    )
    taken_off: int = 0  # ... after two seconds of dwell, when a make takes the weight
    kinds: dict[str, int] = field(default_factory=dict)

    def row(self, name: str) -> str:
        """One line of the table."""
        median, far = np.percentile(self.late_s, [50, 99])
        return (
            f"{name:34s} {len(self.late_s) + self.never:6d} {median:7.2f} {far:7.2f} {self.never:6d} "
            f"{self.stands_off:7d} {self.shown_off:7d} {self.off:7d} {self.taken_off:7d}"
        )


HEAD = f"{'':34s} {'pours':>6s} {'median':>7s} {'99 %':>7s} {'never':>6s} {'> 1 d':>7s} {'shown':>7s} {'early':>7s} {'taken':>7s}"


def own_flag(times: np.ndarray, values: np.ndarray, division: float) -> list[bool]:
    """The word "stable" as a scale gives it: the display within one division for a full second."""
    out: list[bool] = []
    for k in range(len(times)):
        j = k
        low = high = values[k]
        while j > 0 and times[k] - times[j] < 0.95 and high - low <= 1.01 * division:
            j -= 1
            low, high = min(low, values[j]), max(high, values[j])
        out.append(bool(high - low <= 1.01 * division and times[k] - times[j] >= 0.95))
    return out


def one(trial: Trial, found: Filter, pour: Pours, i: int, still_s: float, times, values, flags) -> None:
    """Run one pour through a fresh filter and book what it said."""
    closed, division = float(pour.closed_s[i]), float(pour.division_g[i])
    rest, drift = float(pour.rest_g[i]), float(pour.drift_g_s[i])
    late: float | None = None
    off = stands = shown = taken = False
    since: float | None = None
    for at, value, flag in zip(times, values, flags, strict=True):
        found.push(at, value, flag)
        since = (at if since is None else since) if found.still else None
        if at < closed or since is None:
            continue
        wrong = abs(found.rest_g - rest - drift * at) > 1.01 * division
        off = off or wrong
        taken = taken or (wrong and at - since >= DWELL_S - 1e-9)
        if late is None and at >= still_s:
            late, stands = at - still_s, wrong
            shown = abs(round(found.rest_g / division) - round((rest + drift * at) / division)) > 1
    trial.off += off
    trial.stands_off += stands
    trial.shown_off += shown
    trial.taken_off += taken
    if late is None:
        trial.never += 1
    else:
        trial.late_s.append(late)
    if off:
        for what, had in pour.had.items():
            trial.kinds[what] = trial.kinds.get(what, 0) + bool(had[i])


def run(
    filters: dict[str, tuple[Callable[[float], Filter], bool]],
    count: int,
    seed: int,
    rate_hz: float = 10.0,
    drip_until_s: float = 1.2,
) -> dict[str, Trial]:
    """Every filter over the same ``count`` pours. ``filters``: name → (maker by division, gets the flag)."""
    rng = np.random.default_rng(seed)
    trials = {name: Trial() for name in filters}
    for begin in range(0, count, 1000):
        batch = pours(min(1000, count - begin), rng, drip_until_s)
        times, values = batch.readings(rate_hz, rng)
        still = batch.still_s()
        for i in range(len(still)):
            at, shown = times[i].tolist(), values[i].tolist()
            flags = own_flag(at, shown, float(batch.division_g[i]))
            for name, (make, flagged) in filters.items():
                words = flags if flagged else [None] * len(at)
                one(
                    trials[name],
                    make(float(batch.division_g[i])),
                    batch,
                    i,
                    float(still[i]),
                    at,
                    shown,
                    words,
                )
    return trials


@dataclass
class DraughtyTrial:
    """Seconds found late, pours never found (of those that came to rest), taken far off; those never taken at all
    within the time, and for how many of these a filter said that it sways (where it can say so)."""

    late_s: list[float] = field(default_factory=list)
    never: int = 0
    taken_far: int = 0
    untaken: int = 0
    explained: int = 0
    pours: int = 0

    def row(self, name: str) -> str:
        """One line of the table."""
        median, far = np.percentile(self.late_s, [50, 99])
        return (
            f"{name:34s} {self.pours:6d} {median:7.2f} {far:7.2f} {self.never:6d} {self.taken_far:7d} "
            f"{self.untaken:9d} {self.explained:10d}"
        )


DRAUGHTY_HEAD = f"{'':34s} {'pours':>6s} {'median':>7s} {'99 %':>7s} {'never':>6s} {'taken':>7s} {'untaken':>9s} {'explained':>10s}"


def run_draughty(
    filters: dict[str, Callable[[float], Filter]], count: int, first: int, draught: bool
) -> dict[str, DraughtyTrial]:
    """Every filter over the same pours on the other bench, in a draught or without."""
    trials = {name: DraughtyTrial() for name in filters}
    for seed in range(first, first + count):
        poured = draughty_pour(seed, draught=draught)
        for name, make in filters.items():
            _one_draughty(trials[name], make(poured.division_g), poured)
    return trials


def _one_draughty(trial: DraughtyTrial, found: Filter, poured: DraughtyPour) -> None:
    since: float | None = None
    late: float | None = None
    far = said = taken = False
    for at, value in poured.readings:
        found.push(at, value, None)
        since = (at if since is None else since) if found.still else None
        said = said or (at > poured.closed_s and getattr(found, "sways", False))
        if at < poured.closed_s or since is None:
            continue
        off = abs(found.rest_g - poured.rest_g) > FAR_DIVISIONS * poured.division_g
        dwelt = at - since >= DWELL_S - 1e-9
        taken, far = taken or dwelt, far or (off and dwelt)
        if late is None and poured.still_s is not None and at >= poured.still_s:
            late = at - poured.still_s
    trial.pours += 1
    trial.taken_far += far
    trial.untaken += not taken
    trial.explained += said and not taken
    if late is not None:
        trial.late_s.append(late)
    else:
        trial.never += poured.still_s is not None


def least_taken_far(poured: Sequence[DraughtyPour], watched_s: float, refused: float = 0.0) -> float:
    """How many of these pours in a draught nobody could help taking further off than ``FAR_DIVISIONS``.

    The expected number for whoever knows of every pour when gusts blow, how far and how fast they move the display, the
    scale's noise, and that nothing more falls; whose display rounds nothing and lags nowhere; who takes the best
    estimate of the rest (generalised least squares over all readings since the hand let go) after ``watched_s``, and
    refuses the share ``refused`` that is worst.
    """
    chances = sorted(_far_all_the_same(p, watched_s) for p in poured)
    return sum(chances[: len(chances) - round(refused * len(chances))])


def _far_all_the_same(poured: DraughtyPour, watched_s: float) -> float:
    air = poured.air
    assert air is not None
    times = np.array([at for at, _ in poured.readings if 0.0 <= at - poured.closed_s <= watched_s])
    blows = np.array([air.blows(at) for at in times], dtype=float)
    alike = np.exp(-np.abs(times[:, None] - times[None, :]) / air.time_s)
    spread = air.far_divisions**2 * alike * np.outer(blows, blows) + air.noise_divisions**2 * np.eye(
        len(times)
    )
    sd = float(np.linalg.solve(spread, np.ones(len(times))).sum()) ** -0.5
    return erfc(FAR_DIVISIONS / sd / sqrt(2.0))
