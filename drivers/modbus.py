"""Modbus RTU: reading registers of a thermometer or scale. Pure: frames in, numbers or typed faults out.

Sources: MODBUS Application Protocol V1.1b3 (6.3, 6.4, 7) and MODBUS over Serial Line V1.02 (2.5.1, 6.2.2).
"""

from __future__ import annotations

import struct
from collections.abc import Mapping
from dataclasses import dataclass
from typing import TypeVar

from benchapp.foundation.language import tr, tr_noop
from drivers import units
from drivers.errors import BadDevice
from drivers.formats.channel_reading import NO_PROBE, QUANTITY, ChannelReading, PossibleRange, unreadable
from drivers.readings import FaultKind
from drivers.settings import DeviceSettings

_T = TypeVar("_T")
_FUNCTIONS = {"holding": 3, "input": 4}
_TYPES = {"int16": "h", "uint16": "H", "int32": "i", "uint32": "I", "float32": "f"}
_MOST_REGISTERS = 125  # Application Protocol, 6.3
_EXCEPTIONS = {
    1: tr_noop('it does not know this function: try function = "holding" or "input"'),
    2: tr_noop("it has no such register: check register"),
    3: tr_noop("it does not accept this number of registers: check register and type"),
    4: tr_noop("it failed while answering: look at the device"),
    5: tr_noop("it needs longer to answer"),
    6: tr_noop("it is busy"),
}
#: Every option of a register device, with what it is when nobody says otherwise.
DEFAULTS = {
    "address": "1",
    "function": "input",
    "register": "0",
    "type": "int16",
    "word_order": "high first",
    "scale": "1",
    "offset": "0",
    "unit": "",
    "open_probe": "",
}


def crc16(data: bytes) -> bytes:
    """The two checksum bytes that follow ``data``, low byte first (polynomial 0xA001, start 0xFFFF)."""
    crc = 0xFFFF
    for byte in data:
        crc ^= byte
        for _ in range(8):
            crc = (crc >> 1) ^ 0xA001 if crc & 1 else crc >> 1
    return struct.pack("<H", crc)


@dataclass(frozen=True, slots=True)
class Registers:
    """Which registers of which device hold the channels, and what their numbers mean.

    ``firsts`` are the zero-based protocol addresses of each channel's first register. A raw number times
    ``scale`` plus ``offset`` is in ``unit``. ``open_probe`` is the raw number of a missing probe.
    """

    address: int
    function: int
    firsts: tuple[int, ...]
    form: str
    low_word_first: bool
    scale: float
    offset: float
    unit: str
    open_probe: float | None
    limits: PossibleRange

    @property
    def words(self) -> int:
        """Registers one number takes."""
        return struct.calcsize(">" + self.form) // 2

    @property
    def _count(self) -> int:
        return max(self.firsts) + self.words - min(self.firsts)

    def request(self) -> bytes:
        """The frame that asks for all channels at once."""
        frame = struct.pack(">BBHH", self.address, self.function, min(self.firsts), self._count)
        return frame + crc16(frame)

    def read(self, frame: bytes) -> tuple[ChannelReading, ...]:
        """What a reply says, one ChannelReading a channel. Never raises, for any bytes."""
        if len(frame) < 5 or crc16(frame[:-2]) != frame[-2:]:
            return (unreadable(tr("a reply with a wrong checksum: check baud rate, parity and cable")),)
        if frame[0] != self.address:
            return (
                unreadable(
                    tr(
                        "a reply from device {frame}, not {address}: check address",
                        frame=frame[0],
                        address=self.address,
                    )
                ),
            )
        if frame[1] == self.function | 0x80:
            why = _EXCEPTIONS.get(frame[2], "it answers with an exception")
            return (
                ChannelReading(
                    None,
                    None,
                    FaultKind.DEVICE_ERROR,
                    tr("exception {frame}: {why}", frame=frame[2], why=why),
                ),
            )
        data = frame[3:-2]
        if frame[1] != self.function or frame[2] != len(data) or len(data) != 2 * self._count:
            return (
                unreadable(
                    tr(
                        "a reply of {count} bytes where {count_2} were asked for",
                        count=len(data),
                        count_2=2 * self._count,
                    )
                ),
            )
        return tuple(self._channel(channel, data) for channel in range(len(self.firsts)))

    def _channel(self, channel: int, data: bytes) -> ChannelReading:
        start = 2 * (self.firsts[channel] - min(self.firsts))
        raw_bytes = data[start : start + 2 * self.words]
        if self.low_word_first and self.words == 2:
            raw_bytes = raw_bytes[2:] + raw_bytes[:2]
        raw = float(struct.unpack(">" + self.form, raw_bytes)[0])
        if self.open_probe is not None and raw == self.open_probe:
            return ChannelReading(channel, None, FaultKind.OPEN_PROBE, tr(NO_PROBE))
        step = None if self.form == "f" else abs(self.scale)
        # Rounded, so that 713 x 0.1 is 71.3 and not 71.30000000000001.
        value = float(f"{raw * self.scale + self.offset:.12g}")
        return self.limits.judge(ChannelReading(channel, None), value, step, self.unit)


def registers_of(settings: DeviceSettings, defaults: Mapping[str, str]) -> Registers:
    """The registers a bench file's section means, over the format's own defaults.

    Raises BadDevice naming the option that cannot be.
    """
    return _Options(settings, {**DEFAULTS, **defaults, **settings.options}).registers()


class _Options:
    def __init__(self, settings: DeviceSettings, options: Mapping[str, str]) -> None:
        self.settings = settings
        self.options = options
        for name in options:
            if name not in DEFAULTS:
                raise BadDevice(
                    tr(
                        "{name}: {name_2} is not an option of a register; use {names}.",
                        name=settings.name,
                        name_2=name,
                        names=", ".join(DEFAULTS),
                    )
                )

    def registers(self) -> Registers:
        kind = self.settings.kind
        limits = PossibleRange.of(QUANTITY[kind], self.settings.capacity_g)
        unit = self.options["unit"] or units.HOUSE_UNIT[limits.quantity]
        unit = units.SPELLINGS.get(unit, unit)
        if units.UNITS.get(unit) is not limits.quantity:
            raise self._bad("unit", tr("a unit of a {kind}", kind=kind))
        form = self._one_of("type", _TYPES)
        address = self._whole("address", 1, 247)
        firsts = self._firsts(1 if form in "hH" else 2)
        marked = self.options["open_probe"]
        return Registers(
            address=address,
            function=self._one_of("function", _FUNCTIONS),
            firsts=firsts,
            form=form,
            low_word_first=self._one_of("word_order", {"high first": False, "low first": True}),
            scale=self._scale(),
            offset=self._number("offset"),
            unit=unit,
            open_probe=self._number("open_probe") if marked else None,
            limits=limits,
        )

    def _firsts(self, words: int) -> tuple[int, ...]:
        """One register stands for the first channel, the others follow it; or one is given for each."""
        channels = len(self.settings.channels)
        written = self.options["register"].split(",")
        if not all(text.strip().isdecimal() and int(text) <= 0xFFFF for text in written):
            raise self._bad(
                "register", tr("a register number from 0 to 65535, or one for each channel with commas")
            )
        given = [int(text) for text in written]
        if len(given) == 1:
            given = [given[0] + words * channel for channel in range(channels)]
        if len(given) != channels:
            raise self._bad("register", tr("one register, or {channels} of them", channels=channels))
        if max(given) + words - min(given) > _MOST_REGISTERS or max(given) + words - 1 > 0xFFFF:
            raise self._bad(
                "register",
                tr(
                    "registers that lie within {most_registers} of each other, up to 65535",
                    most_registers=_MOST_REGISTERS,
                ),
            )
        return tuple(given)

    def _bad(self, option: str, wanted: str) -> BadDevice:
        return BadDevice(
            tr(
                "{name}: {option} = {options!r} is not {wanted}.",
                name=self.settings.name,
                option=option,
                options=self.options[option],
                wanted=wanted,
            )
        )

    def _one_of(self, option: str, choices: Mapping[str, _T]) -> _T:
        if self.options[option] not in choices:
            raise self._bad(option, tr("one of {names}", names=", ".join(choices)))
        return choices[self.options[option]]

    def _whole(self, option: str, low: int, high: int) -> int:
        text = self.options[option].strip()
        if not text.isdecimal() or not low <= int(text) <= high:
            raise self._bad(option, tr("a whole number from {low} to {high}", low=low, high=high))
        return int(text)

    def _scale(self) -> float:
        scale = self._number("scale")
        if scale == 0:  # every reading would be the offset
            raise self._bad("scale", tr("a number other than nought"))
        return scale

    def _number(self, option: str) -> float:
        match = units.NUMBER.fullmatch(self.options[option].strip())
        if match is None:
            raise self._bad(option, tr("a number with a decimal point"))
        return float(match[0])
