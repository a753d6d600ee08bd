"""Connecting a device step by step: which port is new, what is heard there, what its readings say of it."""

from __future__ import annotations

import time
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import chain, count
from pathlib import Path

from benchapp.foundation.language import tr, tr_noop
from benchapp.foundation.text_files import replace_text_file, said_as
from benchapp.runtime.bench_monitor import TEND_S, BenchMonitor, ChannelStatus
from benchapp.service.errors import CommandError
from drivers.bench_file import read_bench, write_section
from drivers.errors import BadLineFormat
from drivers.finding import listen, ports_here
from drivers.format_building import KnownLine, agrees, build_format
from drivers.formats import LineFormat, formats_with, read_format
from drivers.framing import LineFraming
from drivers.hearing import AS_USUAL, PortReport, Search
from drivers.ports import AS_USUAL as AGAIN
from drivers.ports import Port
from drivers.readings import FaultKind, Quantity
from drivers.settings import USUAL_BAUD, Bench, DeviceSettings
from drivers.units import UNITS, conversion

#: A scale is waited for to come to rest no longer than this, in seconds.
WITHIN_S = 8.0
#: So much of a line is shown that no format reads.
LONGEST_SHOWN = 48
#: What a scale of which the bench file knows the unit says once its unit key was pressed.
OTHER_UNIT = (FaultKind.DISAGREES, FaultKind.WRONG_UNIT)
#: The folder of a maker's own formats, beside the bench file.
OWN_FORMATS = "formats"


@dataclass(frozen=True, slots=True)
class AtRest:
    """What a scale said while nothing moved: the last number in grams, its finest step, the unit its lines named, and
    whether its lines tell rest from motion (None: they say nothing of it)."""

    grams: float
    step_g: float
    unit: str
    stable: bool | None

    def times(self, factor: float) -> AtRest:
        """The same, where what was taken for grams is a unit of so many."""
        return replace(self, grams=self.grams * factor, step_g=self.step_g * factor)


class Connecting:
    """One device on its way into ``bench``, a bench file that may not be there yet. Devices are asked for readings and
    nothing else. Raises CommandError and DriverError with a sentence."""

    def __init__(self, bench: Path, search: Search = AS_USUAL) -> None:
        self.bench, self._search = bench, search
        before = read_bench(bench) if bench.exists() else Bench(())
        self._taken = {device.port: device.name for device in before.devices}
        folder = before.formats_folder
        own = bench.parent / OWN_FORMATS
        self._folder = Path(folder) if folder else own
        self.formats: Mapping[str, LineFormat] = formats_with(self._folder if self._folder.is_dir() else None)
        self._monitor: BenchMonitor | None = None
        self._raw: Port | None = None
        self.line = ""  # the newest of a port that was opened raw
        self._watched: DeviceSettings | None = None

    def ports(self) -> tuple[str, ...]:
        """Every port that is there now."""
        return ports_here(self._search)

    def require_free(self, port: str) -> None:
        """Raises CommandError where a device of the bench is at that port."""
        if port in self._taken:
            raise CommandError(
                tr(
                    "{port} is the {taken} of the bench already: check that one, or plug in another device.",
                    port=port,
                    taken=self._taken[port],
                )
            )

    def hear(self, port: str, tell: Callable[[str], None], bauds: Sequence[int] = ()) -> PortReport:
        """What is said at a port; at these speeds alone where they are given."""
        self.close()
        search = replace(self._search, bauds=bauds) if bauds else self._search
        (heard,) = listen([port], search=search, formats=self.formats, progress=tell)
        return heard

    def open(self, settings: DeviceSettings) -> BenchMonitor:
        """The device, open as its section has it: the section itself is tried. Raises BadLineFormat."""
        if self._monitor is None or self._watched != settings:
            self.close()
            monitor = BenchMonitor([settings], str(self._folder) if self._folder.is_dir() else None)
            monitor.start()
            self._monitor, self._watched = monitor, settings
        return self._monitor

    def live(self) -> ChannelStatus | None:
        """The device that is open, as it reads now; any thread."""
        monitor = self._monitor
        return monitor.seen()[0] if monitor is not None else None

    def open_raw(self, heard: PortReport) -> None:
        """The port alone, at the speed at which lines were heard that no format reads."""
        self.close()
        settings = DeviceSettings(
            heard.port, "scale", heard.port, "", (), heard.baud or USUAL_BAUD, heard.bits, heard.parity
        )
        self._raw = Port(settings, time.monotonic, self._take, lambda fault: None, LineFraming(), AGAIN)
        self._raw.start()

    def _take(self, line: bytes, at_s: float) -> None:
        self.line = shown_line(line)

    def settled(self, settings: DeviceSettings) -> ChannelStatus:
        """A scale once it is at rest, by lines that began after this was asked; or as it stands after a while."""
        monitor, asked_s = self.open(settings), time.monotonic()
        while True:
            one, now_s = monitor.seen()[0], time.monotonic()
            newer = one.reading is not None and one.reading.at_s > asked_s + settings.period_s
            if (
                (newer and isinstance(at_rest(one), AtRest))
                or one.fault in OTHER_UNIT
                or now_s > asked_s + WITHIN_S
            ):
                return one
            with monitor.heard:
                monitor.heard.wait(TEND_S)

    def close(self) -> None:
        """Let go of the device."""
        raw, self._raw = self._raw, None
        if raw is not None:
            raw.stop()
        self.line = ""
        monitor, self._monitor = self._monitor, None
        if monitor is not None:
            monitor.stop()

    def write(self, settings: DeviceSettings) -> None:
        """Into the bench file. Raises BadBenchFile."""
        own = settings.format in self.formats and (self._folder / f"{settings.format}.toml").is_file()
        write_section(self.bench, settings, OWN_FORMATS if own else "")

    def free_key(self, name: str) -> str:
        """The key of a format for a device of that name, which no format has yet."""
        key = "".join(sign if sign.isalnum() else "-" for sign in name.lower()).strip("-") or "own-scale"
        return next(k for k in chain((key,), (f"{key}-{n}" for n in count(2))) if k not in self.formats)

    def build(self, key: str, known: Sequence[KnownLine], shown: str) -> None:
        """Make a format of the device's own lines, prove it by them, and take it among the formats. Raises NoFormat and
        BadLineFormat."""
        text = build_format(key.replace("-", " "), known, shown)
        file = self._folder / f"{key}.toml"
        not_written = tr_noop("{file} cannot be written ({strerror}). Choose another folder.")
        with said_as(CommandError, not_written, file=file):
            replace_text_file(file, text)
        try:
            self.formats = {**self.formats, key: read_format(file)}
        except BadLineFormat:
            file.unlink()
            raise


def shown_line(line: bytes) -> str:
    """A line as it is read by a person, not longer than needed to tell it from others."""
    text = line.decode("latin-1")
    return "".join(sign if sign.isprintable() else "·" for sign in text)[:LONGEST_SHOWN]


def at_rest(one: ChannelStatus) -> AtRest | str:
    """What a scale shows at rest, or the sentence why that cannot be said."""
    if one.trouble:
        return one.trouble
    if one.reading is None or not one.fresh:
        return tr("Nothing came. Is it set to send?")
    if one.rest is None or one.reading.stable is False:
        return tr("It is not at rest yet. Keep your hands off it and wait until its display stands.")
    return AtRest(one.rest, one.reading.resolution or 0.0, one.reading.unit, one.reading.stable)


def shows_weight(rest: AtRest, known_g: float) -> bool:
    """Whether it shows the weight that lies there, in grams or, where its lines name no unit, in one."""
    if rest.unit:
        return agrees(rest.grams, known_g, rest.step_g)
    return len(units_meant(rest, known_g)) == 1


def units_meant(rest: AtRest, known_g: float) -> tuple[str, ...]:
    """The units in which the number would be the weight that lies there, where its lines name none."""
    return tuple(
        unit
        for unit, quantity in UNITS.items()
        if quantity is Quantity.MASS
        and agrees(rest.grams * (factor := conversion(unit).factor), known_g, rest.step_g * factor)
    )


def unit_key_seen(before: AtRest, one: ChannelStatus) -> bool:
    """Whether a pressed unit key shows: by the unit that the lines name, or by a reading that is refused for it."""
    if one.fault in OTHER_UNIT:
        return True
    return one.fresh and one.reading is not None and one.reading.unit != before.unit


def line_sentence(heard: PortReport, settings: DeviceSettings) -> str:
    """Where a device is heard, how, and how often."""
    speed = tr(", {baud} baud", baud=heard.baud) if heard.baud else ""
    return tr(
        "{port}{speed}, {format}, a line every {period_s:g} s.",
        port=heard.port,
        speed=speed,
        format=settings.format,
        period_s=settings.period_s,
    )
