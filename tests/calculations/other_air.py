"""A second kind of draught, drawn apart from ``draughty_pours``: air that never rests, a fan that comes and goes, a door.

Turbulence has a steady speed and a fluctuation whose spectrum is flat below the speed over the length of an eddy and falls
by the power of -5/3 above it (Kolmogorov 1941; the form is von Kármán's), of 40 % of the speed (EN ISO 7730 for mixed rooms,
from memory); it presses by the square of the speed. A fan turns its head and is switched by a thermostat. A door that is
opened once swings the pressure of the room, which dies away. Lengths and strengths are invented: divisions of the display,
as far as the first kind's. The vessel stands on the scale for a while before anything is poured, as in a make.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import lru_cache
from math import cos, exp, pi, sin, sqrt
from random import Random

from draughty_pours import GUST_DIVISIONS, DraughtyPour, Hand

KINDS = ("turbulence", "fan", "door")
STANDS_S = 20.0
INTENSITY, EDDY_S = 0.4, (0.3, 5.0)
#: Cosines between so many hertz.
WAVES, WAVES_HZ = 80, (0.01, 5.0)
FAN_ON_S, FAN_OFF_S, HEAD_S = (15.0, 40.0), (10.0, 30.0), (6.0, 12.0)
#: When the door opens, after the hand let go; how it swings; how many times as far as other air presses.
DOOR_S, SWINGS_S, DIES_S, DOOR_TIMES = (-3.0, 8.0), (1.0, 4.0), (1.0, 4.0), 3.0


def _turbulence(rng: Random) -> Callable[[float], float]:
    """What the square of the speed presses beyond its mean, with a standard deviation of about one."""
    corner_hz = 1.0 / (2 * pi * rng.uniform(*EDDY_S))
    low, high = WAVES_HZ
    step = (high / low) ** (1.0 / WAVES)
    waves = []
    for k in range(WAVES):
        hz = low * step ** (k + rng.random())
        waves.append(
            (sqrt(hz / (1.0 + (hz / corner_hz) ** 2) ** (5 / 6)), 2 * pi * hz, rng.uniform(0, 2 * pi))
        )
    scale = INTENSITY / sqrt(sum(a * a for a, _, _ in waves) / 2)

    def air(at_s: float) -> float:
        speed = 1.0 + scale * sum(a * cos(w * at_s + phase) for a, w, phase in waves)
        return (speed * abs(speed) - 1.0 - INTENSITY**2) / (2 * INTENSITY)

    return air


def _fan(rng: Random) -> Callable[[float], float]:
    on_s, off_s, head_s = rng.uniform(*FAN_ON_S), rng.uniform(*FAN_OFF_S), rng.uniform(*HEAD_S)
    begins_s, faces = rng.uniform(0.0, on_s + off_s), rng.uniform(0, 2 * pi)
    rough = _turbulence(rng)

    def air(at_s: float) -> float:
        gone_s = (at_s + begins_s) % (on_s + off_s)
        blows = 1.0 - exp(-gone_s) if gone_s < on_s else exp(-(gone_s - on_s))
        facing = (1.0 + sin(2 * pi * at_s / head_s + faces)) / 2
        return blows * facing * (1.0 + INTENSITY * rough(at_s))

    return air


def _door(rng: Random, closed_s: float) -> Callable[[float], float]:
    opens_s = closed_s + rng.uniform(*DOOR_S)
    swing_s, dies_s = rng.uniform(*SWINGS_S), rng.uniform(*DIES_S)

    def air(at_s: float) -> float:
        gone_s = at_s - opens_s
        return 0.0 if gone_s < 0 else DOOR_TIMES * exp(-gone_s / dies_s) * sin(2 * pi * gone_s / swing_s)

    return air


@lru_cache(maxsize=1000)
def pour(seed: int, kind: str) -> DraughtyPour:
    """One pour in that kind of air."""
    rng = Random(f"other air/{kind}/{seed}")
    hand = Hand(rng, seed)
    far = rng.uniform(*GUST_DIVISIONS)
    air = {
        "turbulence": lambda: _turbulence(rng),
        "fan": lambda: _fan(rng),
        "door": lambda: _door(rng, STANDS_S + hand.closed_s),
    }[kind]()
    return hand.watch(lambda at_s: far * air(at_s), None, STANDS_S)
