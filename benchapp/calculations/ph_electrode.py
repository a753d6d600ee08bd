"""A pH electrode's slope and offset, whether it may be used, and what a sample's state says of its reading."""

from __future__ import annotations

import math
from dataclasses import dataclass

from benchapp.foundation.language import tr

#: 2019 SI, exact: J/(mol K) and C/mol (CODATA 2018 and 2022).
GAS_CONSTANT = 8.314462618
FARADAY = 96485.33212
#: Usual acceptance of an electrode (secondary source): slope in percent of theory, offset in mV.
SLOPE_PERCENT = (90.0, 105.0)
OFFSET_MV = 30.0


def nernst_slope_mv(temp_c: float) -> float:
    """Theoretical slope in mV per pH: R·T·ln 10 / F, with the SI's exact constants (CODATA)."""
    return 1000.0 * GAS_CONSTANT * (temp_c + 273.15) * math.log(10.0) / FARADAY


@dataclass(frozen=True)
class ElectrodeCheck:
    """The outcome of a two-point check. ``complaint`` is "" when it passed."""

    slope_percent: float
    offset_mv: float
    complaint: str = ""


def check_electrode(first: tuple[float, float], second: tuple[float, float], temp_c: float) -> ElectrodeCheck:
    """Slope and offset from two (buffer pH, mV) points at one temperature.

    E = offset - slope·(pH - 7): the usual form of the Nernst equation for a glass electrode with its zero at
    pH 7. Raises ValueError when the buffers lie less than 1 pH apart.
    """
    (ph_1, mv_1), (ph_2, mv_2) = first, second
    if abs(ph_1 - ph_2) < 1.0:
        raise ValueError(
            tr(
                "buffers {ph_1:g} and {ph_2:g} are too close for a slope; take two that are 2 or more apart",
                ph_1=ph_1,
                ph_2=ph_2,
            )
        )
    slope = (mv_1 - mv_2) / (ph_2 - ph_1)
    offset = mv_1 + slope * (ph_1 - 7.0)
    percent = 100.0 * slope / nernst_slope_mv(temp_c)
    return ElectrodeCheck(percent, offset, _complaint(percent, offset))


def check_readings(first: tuple[float, float], second: tuple[float, float], temp_c: float) -> ElectrodeCheck:
    """The same for a meter that shows pH only: (buffer pH, pH shown), taken as if set to the theoretical slope."""
    mv = nernst_slope_mv(temp_c)
    return check_electrode((first[0], (7.0 - first[1]) * mv), (second[0], (7.0 - second[1]) * mv), temp_c)


def _complaint(percent: float, offset: float) -> str:
    low, high = SLOPE_PERCENT
    if not low <= percent <= high:
        return tr(
            "slope {percent:.0f} %, usual is {low:.0f} to {high:.0f} %: clean the electrode, "
            "take fresh buffer, check again",
            percent=percent,
            low=low,
            high=high,
        )
    if abs(offset) > OFFSET_MV:
        return tr(
            "offset {offset:.0f} mV, usual is within {offset_mv:.0f} mV: refresh the electrolyte "
            "or the electrode",
            offset=offset,
            offset_mv=OFFSET_MV,
        )
    return ""
