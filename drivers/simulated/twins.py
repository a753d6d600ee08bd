"""The devices as they speak: what each one prints, how often, and what it prints when it is ill."""

from __future__ import annotations

from collections.abc import Callable
from random import Random

from drivers.settings import DeviceSettings
from drivers.simulated.errors import SimulationError
from drivers.simulated.probes import PhProbe, TempProbe
from drivers.simulated.scale import Scale

MOVING_S, RESTING_S = 0.1, 1.0
OUNCE_G = 28.349523125


class Twin:
    """A device that speaks by itself at its rate. Subclasses say what."""

    def __init__(self, settings: DeviceSettings, rng: Random) -> None:
        self.settings, self._rng = settings, rng
        self.prompted = settings.format == "prompted-reply"
        self.silent = self.stuck = self.babbling = False
        self.garbage_lines = 0
        self.spike = 0.0
        self.odd_unit = ""  # printed instead of the right unit
        self._last_s, self._last_period_s = 0.0, RESTING_S
        self._last_line = b""

    def period_s(self) -> float:
        """Seconds between lines now."""
        return RESTING_S

    def alive(self) -> bool:
        """Whether it is switched on."""
        return True

    def line(self) -> bytes:
        """One line of what it measures now, terminator included."""
        raise NotImplementedError

    def answer(self, request: bytes) -> bytes:
        """What it sends back to a request line; nothing where it knows none."""
        return b""

    def due(self, now_s: float) -> bytes:
        """Every line due up to ``now_s``."""
        period = self.period_s()
        if period < self._last_period_s:  # it has begun to move, and says so at once
            self._last_s = max(self._last_s, now_s - period)
        self._last_period_s = period
        said = b""
        while self._last_s + period <= now_s + 1e-9:
            self._last_s = round(self._last_s + period, 9)
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
            self._last_line = self.line()
        self.spike = 0.0
        return self._last_line


def _decimals(step: float) -> int:
    return max(0, len(f"{step:.6f}".rstrip("0").partition(".")[2]))


class ScaleTwin(Twin):
    """A scale; ten lines a second while anything moves, one at rest."""

    def __init__(self, settings: DeviceSettings, rng: Random, scale: Scale, now: Callable[[], float]) -> None:
        super().__init__(settings, rng)
        if settings.format not in _SCALE_LINES and not self.prompted:
            raise SimulationError(f"no simulated scale speaks the format {settings.format!r}")
        self.scale, self._now = scale, now
        self.booting_until_s = 0.0

    def period_s(self) -> float:
        """By whether it moves."""
        return RESTING_S if self.scale.settled and not self.scale.rough else MOVING_S

    def alive(self) -> bool:
        """On, and done starting."""
        return self.scale.on

    def line(self) -> bytes:
        """The display in the shape of its format."""
        shape = _SCALE_LINES.get(self.settings.format, _status_headed)
        return shape(self)

    def shown(self) -> tuple[float | None, str, int]:
        """Value, unit as printed and decimals; None when overloaded."""
        value = self.scale.display_g()
        places, unit = _decimals(self.scale.division_g), "g"
        if value is not None:
            value += self.spike
            if self.odd_unit == "oz":
                value, places = value / OUNCE_G, places + 1
        return value, self.odd_unit or unit, places

    def answer(self, request: bytes) -> bytes:
        """S reads, T tares, Z zeroes."""
        word = request.strip().upper()
        if not self.scale.on or self.silent:
            return b""
        if word in (b"T", b"Z"):
            self.scale.ask("tare" if word == b"T" else "zero", self._now())
            return word + b" A\r\n" if self.prompted else b""
        if word in (b"S", b"SI") and self.prompted:
            return _prompted(self) if not self.garbage_lines else self.spoken()
        return b"ES\r\n" if self.prompted else b""


def _status_headed(twin: ScaleTwin) -> bytes:
    value, unit, places = twin.shown()
    kind = "NT" if twin.scale.net else "GS"
    if value is None:
        return f"OL,{kind},+9999999,{unit}\r\n".encode()
    head = "ST" if twin.scale.stable else "US"
    return f"{head},{kind},{_signed(value, places)},{unit}\r\n".encode()


def _signed(value: float, places: int) -> str:
    text = f"{value:+08.{places}f}"
    return text.replace("-", "+") if float(text) == 0.0 else text


def _number_unit(twin: ScaleTwin) -> bytes:
    value, unit, places = twin.shown()
    return f"{value:.{places}f} {unit}\r\n".encode() if value is not None else b"OVER\r\n"


def _bare(twin: ScaleTwin) -> bytes:
    value, _, places = twin.shown()
    return f"{value:.{places}f}\r\n".encode() if value is not None else b"------\r\n"


def _labelled(twin: ScaleTwin) -> bytes:
    value, unit, places = twin.shown()
    label = "N" if twin.scale.net else "G"
    return f"{label} {value:.{places}f} {unit}\r\n".encode() if value is not None else b"OL\r\n"


def _prompted(twin: ScaleTwin) -> bytes:
    value, unit, places = twin.shown()
    if value is None:
        return b"S +\r\n"
    return f"S {'S' if twin.scale.stable else 'D'} {value:10.{places}f} {unit}\r\n".encode()


_SCALE_LINES: dict[str, Callable[[ScaleTwin], bytes]] = {
    "status-headed": _status_headed,
    "number-unit": _number_unit,
    "bare-number": _bare,
    "labelled": _labelled,
}


class ThermometerTwin(Twin):
    """All its probes in one line, once a second."""

    def __init__(self, settings: DeviceSettings, rng: Random, probes: list[TempProbe]) -> None:
        super().__init__(settings, rng)
        self.probes = probes

    def line(self) -> bytes:
        """``T1=+021.4C,T2=-----C``."""
        unit = self.odd_unit or "C"
        parts = []
        for number, probe in enumerate(self.probes, start=1):
            value = probe.reading_c()
            if value is not None:
                value += self.spike
                value = value * 1.8 + 32.0 if unit == "F" else value
            parts.append(f"T{number}=-----{unit}" if value is None else f"T{number}={value:+06.1f}{unit}")
        return (",".join(parts) + "\r\n").encode()


class PhTwin(Twin):
    """One labelled line a second."""

    def __init__(self, settings: DeviceSettings, rng: Random, probe: PhProbe) -> None:
        super().__init__(settings, rng)
        self.probe = probe

    def line(self) -> bytes:
        """``pH 5.43``, or the raw millivolts when somebody switched it over."""
        value = self.probe.reading() + self.spike
        if self.odd_unit:
            return f"{(7.0 - value) * 59.16:.1f} {self.odd_unit}\r\n".encode()
        return f"pH {min(max(value, -1.0), 15.0):.2f}\r\n".encode()
