"""The bench file: which device is where, as TOML; read with every problem at once, and added to."""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Literal

from pydantic import BaseModel, ConfigDict, Field

from benchapp.foundation.language import tr
from benchapp.foundation.name_likeness import likeness, unseen
from benchapp.foundation.text_files import NoTextFile, read_text_file, replace_text_file
from drivers.addresses import incomplete_address, one_port, refused_address, scheme_of
from drivers.devices import check_settings
from drivers.errors import BadBenchFile, BadDevice, BadLineFormat, DriverError
from drivers.file_problems import FileProblems
from drivers.formats import LineFormat, formats_with
from drivers.message_devices import FORMAT_OF
from drivers.settings import Bench, DeviceKind, DeviceSettings, UsbIdentity
from drivers.units import conversion, read_mass_g, read_mass_unit, read_time_s

CHANNEL: dict[DeviceKind, str] = {"scale": "mass", "ph meter": "ph"}


class _BenchTable(BaseModel):
    model_config = ConfigDict(extra="forbid", strict=True, frozen=True)


class _Usb(_BenchTable):
    vid: int = Field(ge=0, le=0xFFFF)
    pid: int = Field(ge=0, le=0xFFFF)
    serial_number: str | None = None


class _Device(_BenchTable):
    name: str = Field(min_length=1, max_length=40)
    kind: DeviceKind
    port: str = Field(min_length=1, max_length=200)
    format: str
    baud: int = Field(9600, ge=50, le=4_000_000)
    bits: Literal[7, 8] = 8
    parity: Literal["N", "E", "O"] = "N"
    stop_bits: Literal[1, 2] = 1
    period: str = "0.2 s"
    capacity: str | None = None
    readability: str | None = None
    probes: list[str] | None = None
    usb: _Usb | None = None
    options: dict[str, str | int | float] = {}


class _BenchForm(_BenchTable):
    formats: str | None = None
    device: list[_Device] = Field(min_length=1)


def read_bench(path: str | Path) -> Bench:
    """The bench a file describes.

    Raises BadBenchFile with every problem in it as ``file:line: what; what to do``, also when the file is
    missing or is not TOML; a maker's own line formats that cannot be read are among the problems.
    """
    try:
        source = read_text_file(Path(path))
    except FileNotFoundError as trouble:
        raise BadBenchFile(
            [tr("{path}: no such file; make one with benchapp listen.", path=path)]
        ) from trouble
    except (OSError, NoTextFile) as trouble:
        why = getattr(trouble, "strerror", None) or trouble
        raise BadBenchFile(
            [tr("{path}: cannot be read ({why}); correct that, or name another file.", path=path, why=why)]
        ) from trouble
    return _bench_of(source, Path(path))


def write_section(path: str | Path, settings: DeviceSettings, formats: str = "") -> None:
    """Add one device to the end of a bench file, which is made if there is none. ``formats``: the folder with formats of
    its own, beside the file, where the device has one and the file names none yet.

    What the file held before stays as it was, byte for byte; nothing is written unless the whole is a bench.
    Raises BadBenchFile when the file is not one already, when the new device does not go with it (a name or
    port used twice), or when the folder cannot be written to.
    """
    place = Path(path)
    before, named = "", None
    if place.exists():
        named = read_bench(place).formats_folder
        before = place.read_text(encoding="utf-8").rstrip("\n") + "\n\n"
    first = f"formats = {_toml(formats)}\n\n" if formats and named is None else ""
    whole = first + before + section(settings)
    _bench_of(whole, place)
    try:
        place.parent.stat()  # a folder that is not there was mistyped, and is not made
        replace_text_file(place, whole)
    except OSError as trouble:
        raise BadBenchFile(
            [
                tr(
                    "{path}: cannot be written ({strerror}); choose another folder.",
                    path=path,
                    strerror=trouble.strerror,
                )
            ]
        ) from trouble


def section(settings: DeviceSettings) -> str:
    """One device as its section of a bench file; what is as usual is left out."""
    lines: list[tuple[str, object]] = [
        ("name", settings.name),
        ("kind", settings.kind),
        ("port", settings.port),
        ("format", settings.format),
    ]
    if scheme_of(settings.port) not in FORMAT_OF:
        lines.append(("baud", settings.baud))
    usual = DeviceSettings(settings.name, settings.kind, settings.port, settings.format, settings.channels)
    for key in ("bits", "parity", "stop_bits"):
        if getattr(settings, key) != getattr(usual, key):
            lines.append((key, getattr(settings, key)))
    lines.append(("period", f"{settings.period_s:g} s"))
    if settings.capacity_g is not None:
        lines.append(("capacity", f"{settings.capacity_g:g} g"))
    if settings.readability_g is not None:
        unit = settings.readability_unit
        lines.append(("readability", f"{settings.readability_g / conversion(unit).factor:.6g} {unit}"))
    if settings.kind == "thermometer":
        lines.append(("probes", list(settings.channels)))
    written = [f"{key} = {_toml(value)}" for key, value in lines]
    if settings.usb is not None:
        usb = f"vid = 0x{settings.usb.vid:04x}, pid = 0x{settings.usb.pid:04x}"
        if settings.usb.serial_number is not None:
            usb += tr(", serial_number = {toml}", toml=_toml(settings.usb.serial_number))
        written.append(f"usb = {{ {usb} }}")
    if settings.options:
        options = ", ".join(f"{_toml(key)} = {_toml(value)}" for key, value in settings.options.items())
        written.append(f"options = {{ {options} }}")
    return "[[device]]\n" + "\n".join(written) + "\n"


def _toml(value: object) -> str:
    # JSON's strings, numbers and lists are TOML's, but for the delete sign.
    return json.dumps(value, ensure_ascii=False).replace("\x7f", "\\u007f")


def _bench_of(source: str, path: Path) -> Bench:
    problems = FileProblems(str(path), source)
    return _Checks(problems.form(_BenchForm, BadBenchFile), path, problems).bench()


class _Checks:
    """What goes beyond the types: units, names, ports, formats. Collects every problem."""

    def __init__(self, file: _BenchForm, path: Path, problems: FileProblems) -> None:
        self.file = file
        self.path = path
        self.problems = problems

    def bench(self) -> Bench:
        folder = None if self.file.formats is None else str(self.path.parent / self.file.formats)
        formats = self._formats(folder)
        devices = tuple(self._device(index, device, formats) for index, device in enumerate(self.file.device))
        for index, device in enumerate(self.file.device):
            if unseen(device.name):
                what = tr(
                    "name {name!r} is empty or holds signs that cannot be seen; type it anew",
                    name=device.name,
                )
                self.problems.add(what, "device", index, "name")
        self._twice("name", [device.name for device in devices], likeness)
        self._twice("port", [device.port for device in devices], one_port)
        if self.problems.found:
            raise BadBenchFile(self.problems.found)
        return Bench(devices, str(self.path), folder)

    def _formats(self, folder: str | None) -> Mapping[str, LineFormat] | None:
        if folder is not None and not Path(folder).is_dir():
            self.problems.add(
                tr("there is no folder {folder}; make it, or take the line out", folder=folder), "formats"
            )
            return None
        try:
            return formats_with(folder)
        except BadLineFormat as bad:
            self.problems.found.extend(bad.problems)
            return None

    def _device(
        self, index: int, device: _Device, formats: Mapping[str, LineFormat] | None
    ) -> DeviceSettings:
        place = ("device", index)
        settings = DeviceSettings(
            name=device.name,
            kind=device.kind,
            port=device.port,
            format=device.format,
            channels=self._channels(index, device),
            baud=device.baud,
            bits=device.bits,
            parity=device.parity,
            stop_bits=device.stop_bits,
            period_s=self._measure(read_time_s, device.period, *place, "period") or 1.0,
            capacity_g=self._measure(read_mass_g, device.capacity, *place, "capacity"),
            readability_g=self._measure(read_mass_g, device.readability, *place, "readability"),
            readability_unit=self._unit(device.readability),
            usb=None if device.usb is None else UsbIdentity(**device.usb.model_dump()),
            options={key: str(value) for key, value in device.options.items()},
        )
        self._check_address(index, device.port)
        if settings.capacity_g and (settings.readability_g or 0.0) >= settings.capacity_g:
            what = tr(
                "readability is {readability}, and the scale ends at {capacity}; correct one of them",
                readability=device.readability,
                capacity=device.capacity,
            )
            self.problems.add(what, *place, "readability")
        if formats is not None:
            try:
                check_settings(settings, formats)
            except BadDevice as bad:
                known = formats.get(device.format)
                at = "options" if known and device.kind in known.kinds and device.options else "format"
                self.problems.add(str(bad).rstrip("."), *place, at)
        return settings

    def _channels(self, index: int, device: _Device) -> tuple[str, ...]:
        probes = device.probes
        if device.kind != "thermometer":
            if probes is not None:
                self.problems.add(
                    tr("a {kind} has no probes; take probes out", kind=device.kind), "device", index, "probes"
                )
            if device.kind != "scale" and (device.capacity or device.readability):
                self.problems.add(
                    tr("only a scale has a capacity and a readability; take them out"), "device", index
                )
            return (CHANNEL[device.kind],)
        if not probes or any(map(unseen, probes)) or len(set(map(likeness, probes))) < len(probes):
            what = tr(
                'a thermometer needs probes with different names; write probes = ["probe 1"], one for each'
            )
            self.problems.add(what, "device", index, "probes")
        return tuple(probes or ("probe 1",))

    def _measure(self, read: Callable[[str], float], text: str | None, *place: str | int) -> float | None:
        if text is None:
            return None
        try:
            value = read(text)
        except DriverError as bad:
            self.problems.add(f"{place[-1]}: {str(bad).rstrip('.')}", *place)
            return None
        if value <= 0:
            self.problems.add(
                tr("{place} is {text}; write one above zero", place=place[-1], text=text), *place
            )
        return value

    def _unit(self, readability: str | None) -> str:
        try:
            return read_mass_unit(readability or "1 g")
        except DriverError:  # already among the problems
            return "g"

    def _check_address(self, index: int, port: str) -> None:
        wrong = refused_address(port) or incomplete_address(port)
        if wrong:
            self.problems.add(wrong, "device", index, "port")

    def _twice(self, key: str, values: list[str], same: Callable[[str], str]) -> None:
        firsts: dict[str, int] = {}
        for index, value in enumerate(values):
            first = firsts.setdefault(same(value), index)
            if first < index:
                there = self.problems.line("device", first, key)
                self.problems.add(
                    tr(
                        "{key} {value!r} already stands on line {there}; give each its own",
                        key=key,
                        value=value,
                        there=there,
                    ),
                    "device",
                    index,
                    key,
                )
