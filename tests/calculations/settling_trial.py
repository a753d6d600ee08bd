"""How soon and how truly a filter finds a simulated pour at rest. Used by the test and by the benchmark."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field
from math import erfc, sqrt
from random import Random
from typing import Protocol

import numpy as np
from draughty_pours import EMPTY_G, DraughtyPour
from simulated_pours import Pours, pours

from benchapp.calculations.settling import Swing
from benchapp.foundation.band import Band

#: Seconds of rest a make wants before it takes a weight.
DWELL_S = 2.0
#: On the draughty bench a weight taken further off than this, in divisions, is counted.
FAR_DIVISIONS = 1.51
#: A line may be off by this share there, as most roles may.
TOLERANCE = 0.02


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
class _Taken:
    """A weight taken so many seconds after the hand let go, off by so much; as a mean, that was said to be off by less than
    ``said_g``. Grams."""

    after_s: float
    off_g: float
    said_g: float | None = None


@dataclass
class DraughtyTrial:
    """Seconds found late, pours never found (of those that came to rest), and weights by what became of them: at any
    moment far off with the dwell over, taken far off (the first such moment), never taken within the time, and for how
    many of these a filter said that it sways; taken as a mean (where a filter has one), of these far off, and off by more
    than was said."""

    late_s: list[float] = field(default_factory=list)
    taken_s: list[float] = field(default_factory=list)
    pours: int = 0
    never: int = 0
    ever_far: int = 0
    taken_far: int = 0
    untaken: int = 0
    explained: int = 0
    means: int = 0
    means_far: int = 0
    means_beyond: int = 0

    def book(self, taken: _Taken | None, said: bool, far_g: float) -> None:
        """Count what became of one weight; ``far_g`` is far off, in grams."""
        if taken is None:
            self.untaken += 1
            self.explained += said
            return
        self.taken_s.append(taken.after_s)
        far = taken.off_g > far_g
        if taken.said_g is None:
            self.taken_far += far
            return
        self.means += 1
        self.means_far += far
        self.means_beyond += taken.off_g > taken.said_g

    def row(self, name: str) -> str:
        """One line of the table."""
        late_s, taken_s = np.percentile(self.late_s, 99), np.percentile(self.taken_s, [50, 95])
        counts = (
            self.pours, self.never, self.ever_far, self.taken_far, self.untaken, self.explained, self.means,
            self.means_far, self.means_beyond,
        )  # fmt: skip
        return f"{name:28s} {late_s:6.2f} {taken_s[0]:6.1f} {taken_s[1]:6.1f} " + " ".join(
            f"{n:9d}" for n in counts
        )


DRAUGHTY_HEAD = f"{'':28s} {'99 %':>6s} {'taken':>6s} {'95 %':>6s} " + " ".join(
    f"{word:>9s}"
    for word in (
        "pours",
        "never",
        "ever far",
        "taken far",
        "untaken",
        "explained",
        "as means",
        "far",
        "> said",
    )
)


def run_draughty(
    filters: dict[str, Callable[[float], Filter]], poured: Iterable[DraughtyPour]
) -> dict[str, DraughtyTrial]:
    """Every filter over the same pours on the other bench."""
    trials = {name: DraughtyTrial() for name in filters}
    for number, one_pour in enumerate(poured):
        # The hand lands anywhere in the inner half of its band.
        target_g = (one_pour.rest_g - EMPTY_G) / (1.0 + TOLERANCE * Random(number).uniform(-0.5, 0.5))
        band = Band.of(EMPTY_G + target_g * (1.0 - TOLERANCE), EMPTY_G + target_g * (1.0 + TOLERANCE))
        for name, make in filters.items():
            _one_draughty(trials[name], make(one_pour.division_g), one_pour, band)
    return trials


def _one_draughty(trial: DraughtyTrial, found: Filter, poured: DraughtyPour, band: Band) -> None:
    since: float | None = None
    late: float | None = None
    far = said = False
    taken: _Taken | None = None
    for at, value in poured.readings:
        found.push(at, value, None)
        since = (at if since is None else since) if found.still else None
        said = said or (at > poured.closed_s and getattr(found, "sways", False))
        if at < poured.closed_s:
            continue
        off_g = abs(found.rest_g - poured.rest_g)
        dwelt = since is not None and getattr(found, "rested_s", at - since) >= DWELL_S - 1e-9
        far = far or (dwelt and off_g > FAR_DIVISIONS * poured.division_g)
        if taken is None and dwelt:
            taken = _Taken(at - poured.closed_s, off_g)
        elif taken is None and since is None:
            taken = _mean_taken(getattr(found, "swing", None), band, at, poured)
        if late is None and since is not None and poured.still_s is not None and at >= poured.still_s:
            late = at - poured.still_s
    trial.pours += 1
    trial.ever_far += far
    trial.book(taken, said, FAR_DIVISIONS * poured.division_g)
    if late is not None:
        trial.late_s.append(late)
    else:
        trial.never += poured.still_s is not None


def _mean_taken(swing: Swing | None, band: Band, at_s: float, poured: DraughtyPour) -> _Taken | None:
    """As a make takes it."""
    if swing is None or swing.told_s < DWELL_S:
        return None
    if not (band.holds(swing.mean_g - swing.way_g) and band.holds(swing.mean_g + swing.way_g)):
        return None
    return _Taken(at_s - poured.closed_s, abs(swing.mean_g - poured.rest_g), swing.way_g)


def least_taken_far(poured: Sequence[DraughtyPour], watched_s: float, refused: float = 0.0) -> float:
    """How many of these pours in a draught nobody could help taking further off than ``FAR_DIVISIONS``.

    The expected number for whoever knows of every pour when gusts blow, how far and how fast they move the display, the
    scale's noise, and that nothing more falls; whose display rounds nothing and lags nowhere; who takes the best
    estimate of the rest (generalised least squares over all readings since the hand let go) after ``watched_s``, and
    refuses the share ``refused`` that is worst.
    """
    chances = sorted(float(_far_by_then(p, watched_s)[1][-1]) for p in poured)
    return sum(chances[: len(chances) - round(refused * len(chances))])


def least_untaken(poured: Sequence[DraughtyPour], chance: float) -> tuple[float, int]:
    """How many the same one takes too far off, and how many never, who takes each as soon as it is so by at most ``chance``."""
    far, untaken = 0.0, 0
    for one_pour in poured:
        after_s, chances = _far_by_then(one_pour, np.inf)
        sure = chances[(after_s >= DWELL_S) & (chances <= chance)]
        far += float(sure[0]) if len(sure) else 0.0
        untaken += not len(sure)
    return far, untaken


def _far_by_then(poured: DraughtyPour, watched_s: float) -> tuple[np.ndarray, np.ndarray]:
    """At each reading since the hand let go: seconds since then, and the chance that the best estimate is far off."""
    air = poured.air
    assert air is not None
    times = np.array([at for at, _ in poured.readings if 0.0 <= at - poured.closed_s <= watched_s])
    blows = np.array([air.blows(at) for at in times], dtype=float)
    alike = np.exp(-np.abs(times[:, None] - times[None, :]) / air.time_s)
    spread = air.far_divisions**2 * alike * np.outer(blows, blows) + air.noise_divisions**2 * np.eye(
        len(times)
    )
    # What each reading adds to what is known of the level stands in the root of their covariance.
    told = np.linalg.solve(np.linalg.cholesky(spread), np.ones(len(times)))
    sd = np.cumsum(told**2) ** -0.5
    return times - poured.closed_s, np.array([erfc(FAR_DIVISIONS / s / sqrt(2.0)) for s in sd])
