"""Thermometers that Linux shows as files below /sys, hwmon and 1-wire: which there are, and one read when asked."""

from __future__ import annotations

import os
import re
import threading
from dataclasses import dataclass
from pathlib import Path

from benchapp.foundation.language import tr
from drivers.addresses import SYSFS, is_temperature, temperature_path
from drivers.errors import PortDenied, PortMissing
from drivers.formats.channel_reading import ChannelReading, PossibleRange, fault_of, unreadable
from drivers.formats.line_format import Meaning

#: Where the kernel shows its devices; a test stands another folder in its place.
SYSFS_ROOT = Path("/sys")
_MOST_BYTES = 4096
_PATTERNS = ("class/hwmon/hwmon*/temp*_input", "bus/w1/devices/*/temperature", "bus/w1/devices/*/w1_slave")

_MILLIDEGREES = re.compile(rb"-?[0-9]{1,7}")
_SCRATCHPAD = re.compile(
    rb"((?:[0-9a-f]{2} ){9}): crc=([0-9a-f]{2}) (YES|NO)\s+((?:[0-9a-f]{2} ){9})t=(-?[0-9]{1,7})"
)


class SysfsLink:
    """One file, read anew each time it is asked for (by ``write``), by the thread that reads."""

    in_waiting = 0

    def __init__(self, path: Path, wait_s: float) -> None:
        self.chip = chip_of(path)
        self._path = path
        self._wait_s = wait_s
        self._asked = threading.Event()
        self._cancelled = False

    def write(self, data: bytes) -> None:
        """Ask for a reading."""
        self._asked.set()

    def read(self, size: int) -> bytes:
        """What the file holds now, or nothing when it was not asked for. Raises OSError as the kernel does."""
        if not self._asked.wait(self._wait_s) or self._cancelled:
            return b""
        self._asked.clear()
        with self._path.open("rb", buffering=0) as file:
            return file.read(_MOST_BYTES) or b""

    def cancel_read(self) -> None:
        """End a read that waits; nothing is read any more."""
        self._cancelled = True
        self._asked.set()

    def close(self) -> None:
        """Nothing is held open between two readings."""


@dataclass(frozen=True, slots=True)
class TemperatureFile:
    """A thermometer's address and the name of its chip, "" where there is none."""

    address: str
    chip: str


def temperature_files(root: Path) -> tuple[TemperatureFile, ...]:
    """Every temperature the kernel shows; a 1-wire probe once, by the newer of its two files."""
    found: dict[Path, TemperatureFile] = {}
    for pattern in _PATTERNS:
        for path in sorted(root.glob(pattern)):
            one = TemperatureFile(f"{SYSFS}:/sys/{path.relative_to(root).as_posix()}", chip_of(path))
            found.setdefault(path if path.parent.parent.name == "hwmon" else path.parent, one)
    # The kernel shows 1-wire probes as hwmon chips too, under a number that another chip may have tomorrow.
    return tuple(one for one in found.values() if one.chip != "w1_slave_temp" or "/hwmon/" not in one.address)


def chip_of(path: Path) -> str:
    """What the kernel calls the chip beside whose name the file stands; "" where it does not say."""
    try:
        return (path.parent / "name").read_text(encoding="ascii", errors="replace").strip()
    except OSError:
        return ""


def open_temperature_file(url: str, wait_s: float, root: Path) -> SysfsLink:
    """A thermometer's file, links followed, and nothing that is not below ``root``.

    Raises ValueError for an address that is not permitted, PortMissing and PortDenied with one sentence.
    """
    path = Path(os.path.realpath(root / temperature_path(url)))
    if not path.is_relative_to(os.path.realpath(root)) or not is_temperature(path.as_posix()):
        raise PortMissing(
            tr(
                "{url} leads away from the kernel's thermometers. Correct the port in the bench file.",
                url=url,
            )
        )
    if not path.is_file():
        raise PortMissing(
            tr("There is no {url}. Plug the probe in; benchapp listen shows what there is.", url=url)
        )
    if not os.access(path, os.R_OK):
        raise PortDenied(
            tr("You may not read {url}. Look at its rights with: ls -l {path}", url=url, path=path)
        )
    return SysfsLink(path, wait_s)


def read_temperature(content: bytes, limits: PossibleRange) -> tuple[ChannelReading, ...]:
    """What a file says: thousandths of a degree Celsius, or the nine bytes of a 1-wire probe with their check."""
    text = content.strip()
    if _MILLIDEGREES.fullmatch(text):
        return (limits.judge(ChannelReading(0, None, unit="degC"), int(text) / 1000, None, "degC"),)
    match = _SCRATCHPAD.fullmatch(text)
    if match is None:
        return (unreadable(tr("its file holds no temperature")),)
    seen, kept = (bytes.fromhex(match[group].decode()) for group in (1, 4))
    if match[3] != b"YES" or seen != kept or crc_of(seen) or int(match[2], 16) != seen[-1]:
        return (unreadable(tr("what the probe sent fails its check: look at its cable")),)
    if not any(seen):
        return (fault_of(0, Meaning.OPEN_PROBE),)  # a shorted line: nine zeros pass their own check
    return (limits.judge(ChannelReading(0, None, unit="degC"), int(match[5]) / 1000, None, "degC"),)


def crc_of(data: bytes) -> int:
    """The check of 1-wire devices, x^8 + x^5 + x^4 + 1, least bit first; 0 over data with its own check behind."""
    crc = 0
    for byte in data:
        crc ^= byte
        for _ in range(8):
            crc = crc >> 1 ^ (0x8C if crc & 1 else 0)
    return crc
