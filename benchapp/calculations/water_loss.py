"""Water that leaves while heating, estimated beforehand; what really left is found by weighing again."""

from __future__ import annotations

from dataclasses import dataclass

from benchapp.calculations.evaporation import HUMIDITY, ashrae_still_air_g_min, shah_still_air_g_min
from benchapp.foundation.language import tr

#: Published correlations for still air miss measured rates by up to this share.
SPREAD = 0.26
#: The air of the room, in °C (common practice, no source).
AIR_C = 21.0
#: Films on walls and the water that clings to the jug while topping up, in grams (no source).
CLINGS_G = 2.0


def evaporation_g_min(diameter_mm: float, temp_c: float, air_c: float, humidity: float = HUMIDITY) -> float:
    """Water in g/min from an open vessel in still air: the mean of the ASHRAE and the Shah equation."""
    ashrae = ashrae_still_air_g_min(diameter_mm, temp_c, air_c, humidity)
    return 0.5 * (ashrae + shah_still_air_g_min(diameter_mm, temp_c, air_c, humidity))


@dataclass(frozen=True, slots=True)
class LossEstimate:
    """Grams of water likely to leave, and grams of hot water to keep ready so that it will do."""

    likely_g: float
    keep_ready_g: float


def loss_while_heating(
    diameter_mm: float, start_c: float, hold_c: float, heat_s: float, hold_s: float
) -> LossEstimate:
    """Water lost from an open vessel over a steady rise from ``start_c`` to ``hold_c`` and the hold, by Simpson's rule.

    To keep ready: as much as the worst of the published correlations would ask for, and what clings.
    """
    if heat_s < 0.0 or hold_s < 0.0:
        raise ValueError(
            tr(
                "Heating and holding take time: {heat_s:g} s and {hold_s:g} s cannot be.",
                heat_s=heat_s,
                hold_s=hold_s,
            )
        )
    steps = 20
    rates = [
        evaporation_g_min(diameter_mm, start_c + (hold_c - start_c) * i / steps, AIR_C)
        for i in range(steps + 1)
    ]
    mean = (rates[0] + rates[-1] + 4.0 * sum(rates[1:-1:2]) + 2.0 * sum(rates[2:-1:2])) / (3.0 * steps)
    likely = (mean * heat_s + rates[-1] * hold_s) / 60.0
    return LossEstimate(likely, likely * (1.0 + SPREAD) + CLINGS_G)
