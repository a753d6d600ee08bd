"""Reading line formats from TOML: the shipped ones, and a maker's own from any folder."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from pathlib import Path
from typing import Literal

from pydantic import BaseModel, ConfigDict, Field, StrictBool

from benchapp.foundation.language import tr
from drivers import units
from drivers.errors import BadDevice, BadLineFormat
from drivers.file_problems import FileProblems
from drivers.formats.channel_reading import QUANTITY, ChannelReading
from drivers.formats.grammar import BadTemplate, NumberStyle, Template, compile_template
from drivers.formats.line_format import LineFormat, Meaning, Sentinel
from drivers.formats.parsing import LineParser
from drivers.framing import MAX_LINE, Frame, wire_bytes
from drivers.settings import DeviceKind

_TERMINATORS = {"CR": b"\r", "LF": b"\n", "CR LF": b"\r\n", "none": b""}


class _FormatTable(BaseModel):
    model_config = ConfigDict(extra="forbid", frozen=True)


class _Sentinel(_FormatTable):
    value: float = Field(allow_inf_nan=False)
    means: Meaning


class _Requests(_FormatTable):
    read: str = Field("", max_length=80)


class _Frame(_FormatTable):
    start: str = Field(min_length=1, max_length=20)
    end: str = Field("", max_length=20)
    length: int = Field(0, ge=0, le=MAX_LINE)


class _Example(_FormatTable):
    line: str = Field(max_length=256)
    reads: str
    kind: DeviceKind | None = None


class _FormatForm(_FormatTable):
    title: str
    kinds: tuple[DeviceKind, ...] = Field(min_length=1)
    lines: tuple[str, ...] = ()
    between: str = Field("", max_length=3)
    frame: _Frame | None = None
    terminator: Literal["CR", "LF", "CR LF", "none"] = "CR LF"
    decimal_mark: Literal[".", ","] = "."
    grouping: Literal["", ",", ".", " ", "'"] = ""
    exponent: StrictBool = False
    digits: Literal["reversed"] | None = None
    absent_unit: Literal["moving"] | None = None
    units: dict[str, str] = {}
    fixed_unit: dict[DeviceKind, str] = {}
    words: dict[str, dict[str, Meaning]] = {}
    sentinel: tuple[_Sentinel, ...] = ()
    requests: _Requests = _Requests(read="")
    modbus: dict[str, str] | None = None
    example: tuple[_Example, ...] = ()


@cache
def shipped_formats() -> Mapping[str, LineFormat]:
    """The formats that come with this room, by key."""
    return load_formats(Path(__file__).parent)


def formats_with(folder: str | Path | None) -> Mapping[str, LineFormat]:
    """The shipped formats, and those of a maker's own folder; an own format wins over a shipped one's name.

    Raises BadLineFormat with every problem of every file.
    """
    return shipped_formats() if folder is None else {**shipped_formats(), **load_formats(Path(folder))}


def load_formats(folder: Path) -> dict[str, LineFormat]:
    """Every ``*.toml`` of a folder; a file's name is its format's key.

    Raises BadLineFormat with every problem of every file, and when there is no such folder.
    """
    if not folder.is_dir():
        raise BadLineFormat(
            [
                tr(
                    "{folder}: no such folder; make it, or correct the line formats = in the bench file.",
                    folder=folder,
                )
            ]
        )
    formats: dict[str, LineFormat] = {}
    problems: list[str] = []
    for path in sorted(folder.glob("*.toml")):
        try:
            formats[path.stem] = read_format(path)
        except BadLineFormat as bad:
            problems.extend(bad.problems)
    if problems:
        raise BadLineFormat(problems)
    return formats


def read_format(path: Path) -> LineFormat:
    """One line format. Raises BadLineFormat with every problem as ``file:line: what; what to do``."""
    try:
        source = path.read_text(encoding="utf-8")
    except (OSError, UnicodeDecodeError) as trouble:
        raise BadLineFormat(
            [tr("{path}: {trouble}; correct the file, it must be text in UTF-8.", path=path, trouble=trouble)]
        ) from trouble
    problems = FileProblems(str(path), source)
    return _Builder(path.stem, problems.form(_FormatForm, BadLineFormat), problems).build()


class _Builder:
    """Turns a file of the right types into a format whose parts fit together, collecting every problem."""

    def __init__(self, key: str, file: _FormatForm, problems: FileProblems) -> None:
        self.key = key
        self.file = file
        self.problems = problems
        self.style = NumberStyle(file.decimal_mark, file.grouping, file.exponent, file.digits == "reversed")

    def build(self) -> LineFormat:
        file = self.file
        self._check_signs()
        self._check_units()
        built = LineFormat(
            key=self.key,
            title=file.title,
            kinds=file.kinds,
            style=self.style,
            lines=self._templates(file.lines, "lines"),
            between=file.between,
            frame=self._frame(),
            terminator=_TERMINATORS[file.terminator],
            units=dict(file.units),
            fixed_unit=dict(file.fixed_unit),
            absent_unit_moving=file.absent_unit == "moving",
            words={part: dict(table) for part, table in file.words.items()},
            sentinels=tuple(Sentinel(s.value, s.means) for s in file.sentinel),
            request=file.requests.read,
            modbus=file.modbus,
            examples=tuple((e.line, e.reads, e.kind or file.kinds[0]) for e in file.example),
        )
        if not self.problems.found:
            self._check_examples(built)
        if self.problems.found:
            raise BadLineFormat(self.problems.found)
        return built

    def _frame(self) -> Frame | None:
        frame = self.file.frame
        if frame is None:
            return None
        if bool(frame.end) == bool(frame.length):
            self.problems.add(tr("a frame has either an end or a length; write one of them"), "frame")
        start, end = self._wire(frame.start, "frame", "start"), self._wire(frame.end, "frame", "end")
        return Frame(start, end, frame.length)

    def _wire(self, text: str, *place: str) -> bytes:
        try:
            return wire_bytes(text)
        except ValueError as bad:
            self.problems.add(tr("{bad}; write a sign such as the start of text as <STX>", bad=bad), *place)
            return b""

    def _templates(self, texts: tuple[str, ...], *place: str) -> tuple[Template, ...]:
        templates = []
        for index, text in enumerate(texts):
            try:
                templates.append(compile_template(text, self.style, self.file.words))
            except BadTemplate as bad:
                self.problems.add(f"{text!r}: {bad}", *place, index)
        return tuple(templates)

    def _check_signs(self) -> None:
        file = self.file
        if not file.lines and file.modbus is None:
            self.problems.add(
                tr('there are no lines; give at least one template, such as "{value}{ }{unit}"'), "title"
            )
        if file.grouping and file.grouping == file.decimal_mark:
            self.problems.add(
                tr("grouping and decimal_mark are the same sign; one of them is wrong"), "grouping"
            )
        if file.digits and (file.grouping or file.exponent):
            self.problems.add(tr("reversed digits have no grouping and no exponent; take it out"), "digits")
        self._wire(file.requests.read, "requests", "read")
        if file.between and file.between.strip() in (file.decimal_mark, file.grouping or None):
            self.problems.add(
                tr("between is also a sign inside numbers; a line could be read two ways"), "between"
            )
        if file.between and any(file.between in text for text in file.lines):
            self.problems.add(
                tr("between also stands inside a channel's template; a line could be read two ways"),
                "between",
            )
        for sentinel, entry in enumerate(file.sentinel):
            if entry.means not in (Meaning.OVERLOAD, Meaning.UNDERLOAD, Meaning.OPEN_PROBE, Meaning.ERROR):
                self.problems.add(
                    tr("a sentinel means overload, underload, open probe or error"),
                    "sentinel",
                    sentinel,
                    "means",
                )

    def _check_units(self) -> None:
        file = self.file
        for word, unit in file.units.items():
            if unit not in units.UNITS:
                self.problems.add(
                    tr("{unit!r} is not a unit; use one of {names}", unit=unit, names=", ".join(units.UNITS)),
                    "units",
                    word,
                )
            elif units.SPELLINGS.get(word, unit) != unit:
                self.problems.add(
                    tr(
                        "{word!r} always means {spellings}; leave it out",
                        word=word,
                        spellings=units.SPELLINGS[word],
                    ),
                    "units",
                    word,
                )
        for kind in file.kinds:
            fixed = file.fixed_unit.get(kind)
            stated = all("{unit" in text for text in file.lines if "{value" in text)
            if fixed is None and not stated and file.modbus is None:
                self.problems.add(
                    tr("a line without a unit needs one: add fixed_unit.{kind!r}", kind=kind), "lines"
                )
            elif fixed is not None and units.UNITS.get(fixed) is not QUANTITY[kind]:
                self.problems.add(
                    tr("{fixed!r} is not a unit of a {kind}", fixed=fixed, kind=kind), "fixed_unit", kind
                )

    def _check_examples(self, built: LineFormat) -> None:
        if not built.examples and not built.is_modbus:
            self.problems.add(
                tr("there is no example; add at least one [[example]] with line and reads"), "title"
            )
        for index, (line, reads, kind) in enumerate(built.examples):
            channels = reads.count("; ") + 1
            try:
                readings = LineParser(built, kind, channels).read(line.encode("latin-1", "replace"))
            except BadDevice as bad:
                self.problems.add(str(bad), "example", index)
                continue
            told = describe(readings, kind)
            if told != reads:
                self.problems.add(
                    tr(
                        "{line!r} reads {told!r}, not {reads!r}; correct one of them",
                        line=line,
                        told=told,
                        reads=reads,
                    ),
                    "example",
                    index,
                    "reads",
                )


def describe(readings: tuple[ChannelReading, ...], kind: DeviceKind) -> str:
    """What a line says, as a maker would write it: ``12.3 g, stable, gross``; channels parted by ``; ``."""
    return "; ".join(_describe(reading, kind) for reading in readings) or "nothing"


def _describe(reading: ChannelReading, kind: DeviceKind) -> str:
    if reading.value is None:
        return str(reading.fault)
    unit = units.shown(units.HOUSE_UNIT[QUANTITY[kind]])
    said = (
        {True: "stable", False: "moving", None: ""}[reading.stable],
        {True: "net", False: "gross", None: ""}[reading.net],
    )
    number = f"{unit} {reading.value:.6g}" if unit == "pH" else f"{reading.value:.6g} {unit}"
    return ", ".join(part for part in (number, *said) if part)
