"""Connecting a device step by step: which port is new, what is heard there, what its readings say of it."""

from __future__ import annotations

import queue
import time
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from benchapp.service.errors import CommandError
from drivers.bench_file import read_bench, write_section
from drivers.devices import open_device
from drivers.errors import BadLineFormat
from drivers.finding import AS_USUAL, PortReport, Search, listen, ports_here
from drivers.format_building import DIGITS, KnownLine, agrees, build_format
from drivers.formats import LineFormat, formats_with, read_format
from drivers.proposal import proposed_section
from drivers.readings import DeviceMessage, Quantity, Reading
from drivers.settings import DeviceKind, DeviceSettings
from drivers.units import UNITS, conversion

#: So many readings tell enough of a scale at rest; it is waited for them no longer than this, in seconds.
ENOUGH, WITHIN_S, TEND_S = 6, 8.0, 0.1
#: The folder of a maker's own formats, beside the bench file.
OWN_FORMATS = "formats"


@dataclass(frozen=True, slots=True)
class Rest:
    """What a scale said while nothing moved: the last number in grams, its finest step, the unit its lines named, and
    whether its lines tell rest from motion (None: they say nothing of it)."""

    grams: float
    step_g: float
    unit: str
    stable: bool | None


class Connecting:
    """One device on its way into ``bench``, a bench file that may not be there yet. Devices are asked for readings and
    nothing else. Raises CommandError and DriverError with a sentence."""

    def __init__(self, bench: Path, search: Search = AS_USUAL) -> None:
        self.bench, self._search = bench, search
        folder = read_bench(bench).formats_folder if bench.exists() else None
        own = bench.parent / OWN_FORMATS
        self._folder = Path(folder) if folder else own
        self.formats: Mapping[str, LineFormat] = formats_with(self._folder if self._folder.is_dir() else None)

    def ports(self) -> tuple[str, ...]:
        """Every port that is there now."""
        return ports_here(self._search)

    def hear(self, port: str, tell: Callable[[str], None], bauds: Sequence[int] = ()) -> PortReport:
        """What is said at a port; at these speeds alone where they are given."""
        search = replace(self._search, bauds=bauds) if bauds else self._search
        (heard,) = listen([port], search=search, formats=self.formats, progress=tell)
        return heard

    def section(
        self, heard: PortReport, name: str, kind: DeviceKind, unit: str | None = None
    ) -> DeviceSettings:
        """The device as its section would have it."""
        return proposed_section(heard, name, kind, unit)

    def readings(self, settings: DeviceSettings) -> tuple[DeviceMessage, ...]:
        """What the device says when it is opened as its section has it: the section itself is tried."""
        said: queue.SimpleQueue[DeviceMessage] = queue.SimpleQueue()
        device = open_device(settings, time.monotonic, said.put, self.formats)
        found: list[DeviceMessage] = []
        until = time.monotonic() + WITHIN_S
        device.start()
        try:
            while len(found) < ENOUGH and time.monotonic() < until:
                device.tend(time.monotonic())
                try:
                    found.append(said.get(timeout=TEND_S))
                except queue.Empty:
                    continue
        finally:
            device.stop()
        return tuple(found)

    def write(self, settings: DeviceSettings) -> None:
        """Into the bench file. Raises BadBenchFile."""
        own = settings.format in self.formats and (self._folder / f"{settings.format}.toml").is_file()
        write_section(self.bench, settings, OWN_FORMATS if own else "")

    def build(self, key: str, known: Sequence[KnownLine], shown: str) -> None:
        """Make a format of the device's own lines, prove it by them, and take it among the formats. Raises NoFormat and
        BadLineFormat."""
        text = build_format(key.replace("-", " "), known, shown)
        if key in self.formats:
            raise CommandError(f"There is a format {key} already. Choose another name.")
        file = self._folder / f"{key}.toml"
        try:
            self._folder.mkdir(parents=True, exist_ok=True)
            file.write_text(text, encoding="utf-8")
        except OSError as error:
            raise CommandError(
                f"{file} cannot be written ({error.strerror}). Choose another folder."
            ) from error
        try:
            self.formats = {**self.formats, key: read_format(file)}
        except BadLineFormat:
            file.unlink()
            raise


def at_rest(said: Sequence[DeviceMessage]) -> Rest | str:
    """What a scale shows at rest by its last readings, or the sentence why that cannot be said."""
    readings = [one for one in said if isinstance(one, Reading)]
    if not readings:
        return (
            said[-1].text
            if said and not isinstance(said[-1], Reading)
            else "Nothing came. Is it set to send?"
        )
    steps = [one.resolution for one in readings if one.resolution]
    step = min(steps, default=0.0)
    last = readings[-1]
    apart = max(abs(one.value - last.value) for one in readings[-3:])
    if last.stable is False or apart > DIGITS * step:
        return "It is not at rest yet. Keep your hands off it and wait until its display stands."
    marks = [one.stable for one in readings if one.stable is not None]
    return Rest(last.value, step, last.unit, marks[-1] if marks else None)


def units_meant(rest: Rest, known_g: float) -> tuple[str, ...]:
    """The units in which the number would be the weight that lies there, where its lines name none."""
    return tuple(
        unit
        for unit, quantity in UNITS.items()
        if quantity is Quantity.MASS
        and agrees(rest.grams * (factor := conversion(unit).factor), known_g, rest.step_g * factor)
    )


def unit_key_seen(before: Rest, said: Sequence[DeviceMessage]) -> bool | None:
    """Whether a pressed unit key shows: by the unit that the lines name, or by a reading that is refused for it; None
    where nothing changed."""
    now = at_rest(said)
    if isinstance(now, str):
        return True if said else None
    if now.unit != before.unit:
        return True
    return None if agrees(now.grams, before.grams, before.step_g) else False
