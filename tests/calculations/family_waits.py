"""The families of vessels walked to their target: what the probe showed, when it was there, and what a forecaster is told."""

from __future__ import annotations

from copy import deepcopy
from dataclasses import dataclass, replace
from math import exp
from random import Random

from setting_pots import Bath
from vessel_families import FAMILIES, Drawn

SHORTEST_S, LONGEST_S = 240.0, 4.0 * 3600.0
#: How far a dial is off at the most, in K, and a stated heat of melting by what factor, one standard deviation of its
#: natural logarithm: none of the draws.
OFF_DIAL_K, OFF_HEAT = 1.5, 0.15


@dataclass(frozen=True)
class Told:
    """What a forecaster is told beforehand, as far as a procedure and a ledger know it."""

    mass_g: float
    water: float
    diameter_mm: float | None
    in_bath: bool
    melts: tuple[tuple[float, float], ...]
    way: str = ""  # how its bath is kept, and at what by its dial: what a bench may tell besides
    dial_c: float = 0.0
    heat_j_g: float = 0.0  # of melting: what a supplier's sheet may tell besides, 0 where nothing melts


@dataclass(frozen=True)
class Truth:
    """What nobody is told where something changes: the probe's scatter, what it shows noise aside second by second, and that
    and the readings of the same vessel left alone."""

    scatter_k: float
    shown: list[float]
    alone: list[float]
    readings_alone: list[tuple[float, float]]


@dataclass(frozen=True)
class Wait:
    """What the probe showed, when it truly showed the target, and what happened on the way."""

    family: str
    kind: str
    target_c: float
    readings: list[tuple[float, float]]
    reached_s: float
    told: Told
    changed_s: float | None = None
    plain_s: float | None = None  # when the change is three times the probe's scatter
    truth: Truth | None = None

    @property
    def told_ambient_c(self) -> float | None:
        """Nobody measures the air."""
        return None

    @property
    def begun_s(self) -> float:
        """From when looks are counted."""
        return self.changed_s or 0.0


def _run(
    drawn: Drawn, seconds: float, change_c: float | None
) -> tuple[list[tuple[float, float]], list[float], float | None, float | None]:
    """Readings, what the probe shows noise aside, when it changed and when it was there (None: it was not)."""
    pot, probe, way = drawn.pot, drawn.probe, 1.0 if drawn.kind == "heat" else -1.0
    readings: list[tuple[float, float]] = []
    steady: list[float] = []
    changed: float | None = None
    while pot.at_s < seconds:
        at = pot.at_s
        pot.step()
        readings.append((at, probe.read(pot)))
        steady.append(probe.temp_c + probe.offset_k)
        if change_c is not None and changed is None and way * (steady[-1] - change_c) >= 0.0:
            changed = pot.at_s
            if drawn.change is not None:
                drawn.change(pot)
        if way * (steady[-1] - drawn.target_c) >= 0.0:
            return readings, steady, changed, at
    return readings, steady, changed, None


def followed(drawn: Drawn) -> tuple[list[tuple[float, float]], float | None]:
    """The readings of a pot that nothing happens to, and when it was there; None: not within ``LONGEST_S``."""
    readings, _, _, there = _run(drawn, LONGEST_S, None)
    return readings, there


def draw(family: str, seed: int) -> Wait | None:
    """One vessel of a family; None where it takes too long or too short a time."""
    rng = Random(f"{family}/{seed}")
    drawn = FAMILIES[family](rng)
    share = rng.uniform(0.25, 0.55)
    told = _told(family, seed, drawn, rng)
    if drawn.change is not None:
        return _changed(
            family, drawn, drawn.probe.temp_c + share * (drawn.target_c - drawn.probe.temp_c), told
        )
    readings, there = followed(drawn)
    if there is None or there < SHORTEST_S:
        return None
    return Wait(family, drawn.kind, drawn.target_c, readings, there, told)


def _told(family: str, seed: int, drawn: Drawn, rng: Random) -> Told:
    told = Told(
        drawn.pot.stuff.mass_g * rng.uniform(0.95, 1.05), drawn.water,
        1000.0 * drawn.pot.width_m if rng.random() < 0.5 else None, drawn.told_bath, drawn.melts,
    )  # fmt: skip
    if isinstance(drawn.pot.around, Bath):
        off_k = Random(f"dial/{family}/{seed}").uniform(-OFF_DIAL_K, OFF_DIAL_K)
        told = replace(told, way=drawn.pot.around.way, dial_c=drawn.pot.around.set_c + off_k)
    if drawn.melts:
        off = exp(Random(f"heat/{family}/{seed}").gauss(0.0, OFF_HEAT))
        told = replace(told, heat_j_g=drawn.pot.stuff.latent_j_g * off)
    return told


def _changed(family: str, drawn: Drawn, at_c: float, told: Told) -> Wait | None:
    """One to which something happens at ``at_c``, beside the same left alone."""
    unchanged = deepcopy(drawn)
    never = family == "out of the bath half-way"
    readings, steady, changed, there = _run(drawn, LONGEST_S, at_c)
    if changed is None or changed < SHORTEST_S / 2.0 or (there is None) is not never:
        return None
    if never:
        readings, steady = readings[: int(changed) + 600], steady[: int(changed) + 600]
        there = changed + 600.0
    if there is None or there - changed < SHORTEST_S / 2.0:
        return None
    readings_alone, as_it_was, _, _ = _run(replace(unchanged, change=None), there, None)
    far = 3.0 * drawn.probe.scatter_k
    apart = enumerate(zip(steady, as_it_was, strict=False))
    plain = next((float(n) for n, (a, b) in apart if n > changed and abs(a - b) > far), there)
    truth = Truth(drawn.probe.scatter_k, steady, as_it_was, readings_alone)
    return Wait(family, drawn.kind, drawn.target_c, readings, there, told, changed, plain, truth)


def waits(family: str, count: int, first: int) -> list[Wait]:
    """The first ``count`` waits of a family from a seed on."""
    found: list[Wait] = []
    seed = first
    while len(found) < count:
        wait = draw(family, seed)
        if wait is not None:
            found.append(wait)
        seed += 1
    return found
