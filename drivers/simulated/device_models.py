"""The devices as they speak: what each one prints, how often, and what it prints when it is ill."""

from __future__ import annotations

from collections.abc import Mapping
from random import Random
from typing import TypeVar

from benchapp.foundation.numbers import decimals_of_step, exact
from drivers.settings import DeviceSettings
from drivers.simulated.displays import PH_LINES, SCALE_LINES, THERMOMETER_LINES, Display
from drivers.simulated.errors import SimulationError
from drivers.simulated.probes import PhProbe, TempProbe
from drivers.simulated.simulated_scale import SimulatedScale

MOVING_S, RESTING_S = 0.1, 1.0
OUNCE_G = 28.349523125

_Shape = TypeVar("_Shape")


class DeviceModel:
    """A device that speaks by itself at its rate. Subclasses say what."""

    def __init__(self, settings: DeviceSettings, rng: Random) -> None:
        self.settings, self._rng = settings, rng
        self.prompted = settings.format == "prompted-reply"
        self.silent = self.stuck = self.babbling = False
        self.garbage_lines = 0
        self.spike = 0.0
        self.odd_unit = ""  # printed instead of the right unit
        self._last_s, self._last_period_s = 0.0, RESTING_S
        self.steady_s: float | None = (
            None  # speaks at this pace whatever happens, in seconds; None: as it moves
        )
        self._last_line = b""

    def period_s(self) -> float:
        """Seconds between lines now."""
        return RESTING_S

    def alive(self) -> bool:
        """Whether it is switched on."""
        return True

    def line(self) -> str:
        """One line of what it measures now, without terminator."""
        raise NotImplementedError

    def answer(self, request: bytes) -> bytes:
        """What it sends back to a request line; nothing where it knows none."""
        return b""

    def due(self, now_s: float) -> bytes:
        """Every line due up to ``now_s``."""
        period = self.steady_s or self.period_s()
        if period != self._last_period_s:  # it has begun to move or come to rest, and says so at once
            self._last_s = now_s - period
        self._last_period_s = period
        said = b""
        while exact(self._last_s + period) <= now_s:
            self._last_s = exact(self._last_s + period)
            if self.alive() and not self.silent and not self.prompted:
                said += self.spoken()
        return said

    def spoken(self) -> bytes:
        """One line as its illness allows."""
        if self.babbling:
            return self._rng.randbytes(24).replace(b"\n", b"~").replace(b"\r", b"~")
        if self.garbage_lines > 0:
            self.garbage_lines -= 1
            return self._rng.randbytes(self._rng.randint(3, 18)).replace(b"\n", b"?") + b"\r\n"
        if not self.stuck or not self._last_line:
            self._last_line = self.line().encode("ascii") + b"\r\n"
        self.spike = 0.0
        return self._last_line


def _writer(shapes: Mapping[str, _Shape], settings: DeviceSettings) -> _Shape:
    if settings.format not in shapes:
        known = ", ".join(shapes)
        raise SimulationError(
            f"no simulated {settings.kind} writes {settings.format!r}; it can write: {known}"
        )
    return shapes[settings.format]


class ScaleModel(DeviceModel):
    """A scale; ten lines a second while anything moves, one at rest, or a line for each request."""

    def __init__(self, settings: DeviceSettings, rng: Random, scale: SimulatedScale) -> None:
        super().__init__(settings, rng)
        self._write = _writer(SCALE_LINES, settings)
        self.scale = scale

    def period_s(self) -> float:
        """By whether it moves."""
        return RESTING_S if self.scale.settled and not self.scale.rough else MOVING_S

    def alive(self) -> bool:
        """On, and done starting."""
        return self.scale.on

    def line(self) -> str:
        """The display in the shape of its format."""
        value, places = self.scale.display_g(), decimals_of_step(self.scale.division_g)
        if value is not None:
            value += self.spike
            if self.odd_unit == "oz":
                value, places = value / OUNCE_G, places + 1
        return self._write(Display(value, self.odd_unit or "g", places, self.scale.stable, self.scale.net))

    def answer(self, request: bytes) -> bytes:
        """S reads, and only where the shape is a prompted one."""
        if not self.scale.on or self.silent or not self.prompted:
            return b""
        return self.spoken() if request.strip().upper() == b"S" else b"ES\r\n"


class ThermometerModel(DeviceModel):
    """All its probes in one line, once a second."""

    def __init__(self, settings: DeviceSettings, rng: Random, probes: list[TempProbe]) -> None:
        super().__init__(settings, rng)
        self._write = _writer(THERMOMETER_LINES, settings)
        if len(probes) > 1 and settings.format != "multi-channel":
            raise SimulationError(
                f"{settings.name!r} has {len(probes)} probes; its format must be 'multi-channel'"
            )
        self.probes = probes

    def line(self) -> str:
        """Degrees to a tenth, or what a broken wire prints."""
        temps = [probe.reading_c() for probe in self.probes]
        temps = [None if t is None else t + self.spike for t in temps]
        if self.odd_unit == "F":
            temps = [None if t is None else t * 1.8 + 32.0 for t in temps]
        return self._write(temps, self.odd_unit or "C")


class PhMeterModel(DeviceModel):
    """One line a second."""

    def __init__(self, settings: DeviceSettings, rng: Random, probe: PhProbe) -> None:
        super().__init__(settings, rng)
        self._write = _writer(PH_LINES, settings)
        self.probe = probe

    def line(self) -> str:
        """The pH, or raw millivolts when somebody switched it over."""
        value = self.probe.reading() + self.spike
        if self.odd_unit:
            return f"{(7.0 - value) * 59.16:.1f} {self.odd_unit}"
        return self._write(min(max(value, -1.0), 15.0))
