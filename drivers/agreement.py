"""Whether what a device reads agrees with what the bench file says of it: the unit of its lines, and their steps.

A unit key that somebody pressed changes the numbers of a line, and often nothing else in it. Every function is pure
but for ``Agreement``, which remembers what the device read before.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Sequence
from itertools import pairwise
from math import gcd

from benchapp.foundation.language import tr
from drivers.readings import Quantity, Reading
from drivers.settings import DeviceSettings
from drivers.units import HOUSE_UNIT, UNITS, conversion, shown

_IMPERIAL = ("oz", "lb")
_MASSES = tuple(unit for unit, quantity in UNITS.items() if quantity is Quantity.MASS)
#: A display may show one digit more than its readability, and its last digit may move by 1, 2 or 5.
_ONE_DIGIT, _MOST_DIVISIONS = 10.0, 5.0
#: So many different values at rest that all lie on a coarser grid do not lie there by chance; a value is at rest when it
#: comes so often in a row. Values on the way to one say nothing: a pour may run in even grams.
_GRID_VALUES, _GRID_WINDOW, _REST_READINGS = 12, 40, 3
#: Floats of one grid differ less than this.
_SLACK = 1.001
#: Two readings of equally many decimals speak for another unit only where they show their ratio so finely.
_FINE = 0.002

#: No pot in a water bath gets hotter, in °C. Common practice, no source.
HOTTEST_POT_C = 105.0
#: A probe that rests changes less than this between two readings, in K; one that was moved changes more.
RESTING_K = 2.0
#: What common digital sensors say before their first measurement, in °C; and how near a true reading of it comes.
POWER_ON_C, NEAR_K = 85.0, 12.0


def disagreement(settings: DeviceSettings, history: Sequence[Reading], line_unit: str) -> str:
    """Why the newest of a scale's readings is not one of the scale in the bench file, in one sentence; "" if it is.

    ``history``: the last reading that agreed, then those since that did not (the first, the last), then the newest.
    ``line_unit``: what lines without a unit are taken to be in.
    """
    newest, before = history[-1], history[:-1]
    said = _against_bench_file(settings, newest) or (
        _other_family(settings, before[0], newest) if before else ""
    )
    if said or newest.unit or not before or settings.readability_g is None:
        return said
    refused = before[1:]
    if not refused:
        return _pressed(before[0], newest) if switched(before[0], newest, line_unit) else ""
    if newest.resolution != before[0].resolution:
        return _pressed(before[0], newest)
    other_step = any(one.resolution != newest.resolution for one in refused)
    back = switched(newest, refused[-1], line_unit)
    return "" if other_step or back else _pressed(before[0], newest)


def _family(unit: str) -> bool:
    return unit in _IMPERIAL


def _against_bench_file(settings: DeviceSettings, reading: Reading) -> str:
    stated_g, step_g = settings.readability_g, reading.resolution
    if stated_g is None or step_g is None:
        return ""
    wanted = settings.readability_unit
    if reading.unit and _family(reading.unit) is not _family(wanted):
        return tr(
            "it shows {unit} in steps of {step}; the bench file says {stated}. {remedy}",
            unit=reading.unit,
            step=_step(reading),
            stated=_stated(settings),
            remedy=_remedy(settings, reading),
        )
    if step_g > stated_g * _SLACK or step_g * _ONE_DIGIT * _SLACK < stated_g:
        return tr(
            "its last digit is worth {step}; the bench file says {stated}. {remedy}",
            step=_step(reading),
            stated=_stated(settings),
            remedy=_remedy(settings, reading),
        )
    return ""


def _other_family(settings: DeviceSettings, agreed: Reading, newest: Reading) -> str:
    """A unit that changed on a scale of which the bench file states no readability."""
    if settings.readability_g is not None or not agreed.unit or not newest.unit:
        return ""
    if _family(agreed.unit) is _family(newest.unit):
        return ""
    return tr(
        "its unit went from {unit} to {unit_2}. Set it back to {unit}.", unit=agreed.unit, unit_2=newest.unit
    )


def switched(before: Reading, now: Reading, line_unit: str) -> bool:
    """Whether the number ``now``, without a unit, is that of ``before`` in another unit of mass: to within a digit.

    A scale that only weighs something else keeps its decimals; where they did not change, the ratio has to be shown so
    finely that it is no chance.
    """
    if before.resolution is None or now.resolution is None:
        return False
    by_chance = before.resolution == now.resolution
    own = conversion(line_unit).factor
    for factor in {own / conversion(unit).factor for unit in _MASSES if unit != line_unit}:
        apart = now.resolution + before.resolution * factor
        if abs(now.value - before.value * factor) <= apart and (
            not by_chance or apart <= _FINE * abs(now.value)
        ):
            return True
    return False


def _pressed(agreed: Reading, newest: Reading) -> str:
    return tr(
        "its number changed as when a unit key is pressed, from {value:g} to {value_2:g}. "
        "Set the unit back on the scale; or end the program, write the unit it shows in the "
        "bench file, and resume. If nobody touched it, unplug the scale and plug it in again.",
        value=agreed.value,
        value_2=newest.value,
    )


def coarse_grid(values_g: Sequence[float], resolution_g: float) -> float:
    """The display step in grams on which all these values lie: ten, a hundred, a thousand last digits; 0 where there
    are too few of them to say, or none is that coarse."""
    counts = {round(value / resolution_g) for value in values_g}
    if len(counts) < _GRID_VALUES:
        return 0.0
    common = gcd(*counts)
    return max((n * resolution_g for n in (10, 100, 1000) if common % n == 0), default=0.0)


def _too_coarse(settings: DeviceSettings, grid_g: float) -> str:
    if settings.readability_g is None or grid_g <= settings.readability_g * _MOST_DIVISIONS * _SLACK:
        return ""
    return tr(
        "it moves only in steps of {grid_g:g} g; the bench file says {stated}. Correct readability there.",
        grid_g=grid_g,
        stated=_stated(settings),
    )


def _step(reading: Reading) -> str:
    step_g = f"{reading.resolution:.3g} g"
    if reading.unit in ("", "g") or reading.resolution is None:
        return step_g
    return f"{reading.resolution / conversion(reading.unit).factor:.3g} {reading.unit} ({step_g})"


def _stated(settings: DeviceSettings) -> str:
    return f"{(settings.readability_g or 0.0) / conversion(settings.readability_unit).factor:.6g} {settings.readability_unit}"


def _remedy(settings: DeviceSettings, reading: Reading) -> str:
    unit = reading.unit or "g"
    step = (reading.resolution or 0.0) / conversion(unit).factor
    return tr(
        'Set it back to {readability_unit} on the scale; or end the program, write readability = "{step} {unit}" in the bench file, and resume.',
        readability_unit=settings.readability_unit,
        step=f"{step:.6g}",
        unit=unit,
    )


# --- temperatures ------------------------------------------------------------------------------------------


def unit_jump(before_c: float, now_c: float, resolution: float) -> bool:
    """Whether the number now is what the number before is in °F: 60.1 and 140.1, each to within its last digit."""
    slack = 1.4 * resolution + 0.5  # half a digit of each, and what a pot may change meanwhile
    return abs(now_c - (1.8 * before_c + 32.0)) <= slack and abs(now_c - before_c) > NEAR_K


def temperature_disagreement(history: Sequence[Reading], line_unit: str, period_s: float) -> str:
    """Why the newest reading of a probe, of a line without a unit, is not one in ``line_unit``; "" where it may be.

    ``history`` as in ``disagreement``. What was refused stays so as long as it rests, or is hotter than any pot.
    """
    newest, before = history[-1], history[:-1]
    agreed = before[0] if before else None
    fine = newest.resolution is None or newest.resolution < 0.5  # those sensors show decimals
    if fine and newest.value == POWER_ON_C and (agreed is None or abs(agreed.value - POWER_ON_C) > NEAR_K):
        return tr(
            "it shows 85 °C at once, as sensors do that were just switched on. Wait for the next readings."
        )
    if agreed is None or newest.unit:
        return ""
    resting = [one for one in pairwise(history[1:]) if one[0].value != POWER_ON_C]
    if resting:
        still = abs(resting[-1][1].value - resting[-1][0].value) <= RESTING_K
        return _other_degrees(agreed, newest, line_unit) if still or _hot(newest, line_unit) else ""
    if newest.at_s - agreed.at_s > 2.0 * max(period_s, 1.0) or line_unit not in ("degC", "degF"):
        return ""
    low, high = (agreed, newest) if line_unit == "degC" else (newest, agreed)
    if unit_jump(low.value, high.value, newest.resolution or 0.1):
        return _other_degrees(agreed, newest, line_unit)
    return ""


def _hot(reading: Reading, line_unit: str) -> bool:
    return line_unit == "degC" and reading.value > HOTTEST_POT_C


def _other_degrees(before: Reading, now: Reading, line_unit: str) -> str:
    unit = shown(line_unit)
    return tr(
        "it went from {value:g} to {value_2:g} °C, as when it is switched to another unit. "
        "Set it back to {unit}; if nobody touched it, take the probe out for a moment.",
        value=before.value,
        value_2=now.value,
        unit=unit,
    )


class Agreement:
    """One device held against its settings, channel by channel; it remembers what it has to."""

    def __init__(self, settings: DeviceSettings, line_unit: str) -> None:
        self._settings = settings
        self._line_unit = line_unit or HOUSE_UNIT[Quantity.MASS]
        self._history: dict[str, tuple[Reading, ...]] = {}
        self._values: deque[float] = deque(maxlen=_GRID_WINDOW)
        self._grid_step: float | None = None
        self._in_a_row = (0.0, 0)

    def objection(self, reading: Reading) -> str:
        """Why this reading is not to be taken, in one sentence; "" where it is."""
        before = self._history.get(reading.channel, ())
        history = (*before, reading)
        if reading.quantity is Quantity.MASS:
            said = disagreement(self._settings, history, self._line_unit) or self._grid(reading)
        elif reading.quantity is Quantity.TEMPERATURE:
            said = temperature_disagreement(history, self._line_unit, self._settings.period_s)
        else:
            return ""
        if not said:
            self._history[reading.channel] = (reading,)
        elif before:
            self._history[reading.channel] = (*before[:2], reading)
        return said

    def reopened(self) -> None:
        """The device was plugged in again: only what agreed counts."""
        self._history = {channel: history[:1] for channel, history in self._history.items()}

    def gap(self, channel: str) -> None:
        """A probe was open: where it is now has nothing to do with where it was."""
        self._history.pop(channel, None)

    def _grid(self, reading: Reading) -> str:
        if not reading.resolution:
            return ""
        if reading.resolution != self._grid_step:
            self._grid_step = reading.resolution
            self._values.clear()
        value, times = self._in_a_row
        self._in_a_row = (reading.value, times + 1 if reading.value == value else 1)
        if self._in_a_row[1] == _REST_READINGS and reading.value not in self._values:
            self._values.append(reading.value)
        return _too_coarse(self._settings, coarse_grid(self._values, reading.resolution))
