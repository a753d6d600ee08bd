"""Thousands of lines of an independent grammar through every shipped format and through listening: what is taken is
true, the rest is refused. And the same with parsers that were made worse, to show that it would be noticed."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import pytest
from line_grammar import ANY, Line, lines

import drivers.formats
from drivers import finding, units
from drivers.finding import PortReport, Search, listen
from drivers.formats import ChannelReading, LineFormat, LineParser, load_formats, parsing, shipped_formats
from drivers.formats import grammar as templates
from drivers.proposal import chosen_fit, undecided
from drivers.readings import Quantity

COUNT = 2800
SEED = 20261128
BARE = re.compile(rb"[-+ ]*[0-9]+[.]?[0-9]*")


@dataclass
class Tally:
    """What became of the lines, by how they were read; ``wrong`` in words.

    ``unknowable``: nothing but a number, read by a device of the other kind, which only the bench file could know.
    """

    right: Counter[str] = field(default_factory=Counter)
    refused: Counter[str] = field(default_factory=Counter)
    unknowable: Counter[str] = field(default_factory=Counter)
    wrong: list[str] = field(default_factory=list)

    def add(self, way: str, line: Line, kind: str, readings: tuple[ChannelReading, ...]) -> None:
        """Judge what a line was read as by a device of a kind."""
        read = {one.channel: one.value for one in readings if one.value is not None}
        if not read:
            self.refused[way] += 1
        elif line.kind not in (kind, ANY) and BARE.fullmatch(line.raw):
            self.unknowable[way] += 1
        elif line.kind in (kind, ANY) and all(_is(line, channel, value) for channel, value in read.items()):
            self.right[way] += 1
        else:
            self.wrong.append(
                f"{way}: {line.family}: {line.raw!r} is {line.kind} {line.values}, read as {kind} {read}"
            )


def _is(line: Line, channel: int | None, value: float) -> bool:
    return (
        channel is not None
        and channel < len(line.values)
        and abs(line.values[channel] - value) <= 1e-6 * max(1.0, abs(value))
    )


def every_format(count: int, formats: Mapping[str, LineFormat]) -> Tally:
    """Each line through each format, as each kind it is for, with as many channels as a bench may have."""
    tally = Tally()
    parsers = [
        LineParser(form, kind, channels)
        for form in formats.values()
        if not form.is_modbus
        for kind in form.kinds
        for channels in ((1, 2, 3, 4) if form.between else (1,))
    ]
    kinds = {Quantity.MASS: "scale", Quantity.TEMPERATURE: "thermometer", Quantity.PH: "ph meter"}
    for line in lines(SEED, count):
        for parser in parsers:
            tally.add(parser.format.key, line, kinds[parser.quantity], parser.read(line.raw))
    return tally


class Wire:
    """A port at which one device repeats its line."""

    def __init__(self, raw: bytes) -> None:
        self._raw = raw

    @property
    def in_waiting(self) -> int:
        return len(self._raw)

    def read(self, size: int) -> bytes:
        said, self._raw = self._raw[:size], self._raw[size:]
        return said

    def close(self) -> None:
        self._raw = b""


def end_of(line: Line) -> bytes:
    """The end of a line; a lone CR has the same bits with an odd parity bit as without."""
    return b"\r" if line.family == "parity left in" else b"\r\n"


def listening(count: int, formats: Mapping[str, LineFormat], monkeypatch: pytest.MonkeyPatch) -> Tally:
    """Each line as all that a port says: what listening would write into the bench file, read with that."""
    tally = Tally()
    monkeypatch.setattr(finding.list_ports, "comports", list)
    for line in lines(SEED + 1, count):
        raw = (line.raw + end_of(line)) * 5
        monkeypatch.setattr(finding, "open_link", lambda port, settings, raw=raw: Wire(raw))
        seconds = iter(range(10**6))
        (heard,) = listen(
            ["a port"], search=Search((9600,), 10.0), formats=formats, clock=lambda s=seconds: float(next(s))
        )
        judged(tally, line, heard, formats)
    return tally


def judged(tally: Tally, line: Line, heard: PortReport, formats: Mapping[str, LineFormat]) -> None:
    """The best guess, or the question in its place; and what each fit would show of its own kind."""
    if not heard.fits:
        tally.refused["listen"] += 1
        return
    if undecided(heard.fits, None, None):
        tally.right["listen asks"] += 1
        fits = [
            fit
            for kind in {fit.kind for fit in heard.fits}
            if (fit := chosen_fit(heard.fits, kind)) and kind == line.kind
        ]
    else:
        fits = [heard.fits[0]]
    for fit in fits:
        readings = LineParser(formats[fit.format], fit.kind, fit.channels).read(heard.lines[-1])
        tally.add("listen", line, fit.kind, readings)


def test_every_format_takes_the_true_value_or_refuses() -> None:
    tally = every_format(COUNT, shipped_formats())
    print(
        f"\nright {dict(tally.right)}\nrefused {sum(tally.refused.values())}, unknowable {sum(tally.unknowable.values())}, wrong {len(tally.wrong)}"
    )
    assert tally.wrong == []
    assert sum(tally.right.values()) > COUNT / 5, "it does not only refuse"
    assert set(tally.right) == {key for key, form in shipped_formats().items() if not form.is_modbus}


def test_the_formats_of_the_docs_take_the_true_value_or_refuse(tmp_path: Path) -> None:
    page = (Path(__file__).parents[2] / "docs" / "connect-a-scale.md").read_text(encoding="utf-8")
    for n, text in enumerate(re.findall(r"```toml\n(title = .*?)```", page, re.DOTALL)):
        (tmp_path / f"shown-{n}.toml").write_text(text, encoding="utf-8")
    shown = {key: form for key, form in load_formats(tmp_path).items() if form.frame is None}
    tally = every_format(COUNT, shown)
    assert tally.wrong == []
    assert len(tally.right) >= 2


def test_listening_proposes_the_truth_asks_or_proposes_nothing(monkeypatch: pytest.MonkeyPatch) -> None:
    tally = listening(COUNT // 2, shipped_formats(), monkeypatch)
    print(f"\nright {dict(tally.right)}, refused {dict(tally.refused)}, wrong {len(tally.wrong)}")
    assert tally.wrong == []
    assert tally.right["listen"] > COUNT / 30, "it does not only refuse"


def anew() -> dict[str, LineFormat]:
    """The shipped formats, read again."""
    return load_formats(Path(drivers.formats.__file__).parent)


def open_templates(monkeypatch: pytest.MonkeyPatch) -> None:
    """A template no longer has to fit the whole line."""
    monkeypatch.setattr(
        templates.Template, "match", lambda self, text: self.pattern.match(text.ljust(self.columns))
    )


MUTATIONS: dict[str, Any] = {
    "what follows is not looked at": open_templates,
    "channels are not held against each other": lambda m: m.setattr(LineParser, "_mixed", lambda self, found: ""),
    "a dash is a sign": lambda m: m.setattr(parsing, "_dash", lambda match: False),
    "degree signs are degree signs": lambda m: m.setattr(parsing, "_maybe_seven_bits", lambda line: False),
    "any temperature is possible": lambda m: m.setitem(units.POSSIBLE, Quantity.TEMPERATURE, (-1e9, 1e9)),
    "any unit is the house unit": lambda m: m.setattr(units, "conversion", lambda unit: (Quantity.MASS, 1.0, 0.0)),
    "the wrong decimal mark": lambda m: m.setattr(templates.NumberStyle, "number", lambda self, text: (float(text.replace(" ", "").replace(".", "")), 0)),
}  # fmt: skip


@pytest.mark.parametrize("mutation", MUTATIONS)
def test_a_worse_parser_is_noticed(mutation: str, monkeypatch: pytest.MonkeyPatch) -> None:
    formats = anew()
    MUTATIONS[mutation](monkeypatch)
    assert every_format(COUNT, formats).wrong


def test_a_worse_guess_is_noticed(monkeypatch: pytest.MonkeyPatch) -> None:
    """Without the rule that a degree sign may be a digit, listening proposes a tenth of a temperature."""
    monkeypatch.setattr(parsing, "_maybe_seven_bits", lambda line: False)
    assert listening(COUNT // 2, shipped_formats(), monkeypatch).wrong
