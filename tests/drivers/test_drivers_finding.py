"""Finding: judging captured bytes, listening at real ports, asking, and the section proposed from it."""

from __future__ import annotations

import itertools
import os
import select
import threading
from collections.abc import Callable, Iterator, Mapping
from typing import Any

import pytest
import serial

from drivers.bench_file import read_bench, write_section
from drivers.errors import BadDevice
from drivers.finding import PortReport, Search, listen
from drivers.format_fit import judge, seven_bits
from drivers.formats import LineFormat, shipped_formats
from drivers.modbus import crc16
from drivers.proposal import proposed_section, undecided

FORMATS = shipped_formats()


@pytest.mark.parametrize(
    ("lines", "best", "kind", "reads"),
    [
        ([b"ST,GS,+00012.3,g", b"US,GS,+00012.9,g"], "status-headed", "scale", "12.3 g, stable, gross"),
        ([b"12.3 g", b"12.4 g"], "number-unit", "scale", "12.3 g"),
        ([b"N 12.3 g"] * 3, "labelled", "scale", "12.3 g, net"),
        ([b"+     12.3 g  ", b"+     12.9    "], "fixed-column", "scale", "12.3 g, stable"),
        ([b"71.3,68.9"] * 3, "multi-channel", "thermometer", "71.3 \N{DEGREE SIGN}C; 68.9 \N{DEGREE SIGN}C"),
        ([b"T1=+071.3C,T2=-----C"] * 3, "multi-channel", "thermometer", "71.3 \N{DEGREE SIGN}C; open probe"),
        ([b"71.3 \xb0C"] * 3, "number-unit", "thermometer", "71.3 \N{DEGREE SIGN}C"),
        ([b"pH 5.43"] * 3, "ph-line", "ph meter", "pH 5.43"),
        ([b"12.3"] * 3, "bare-number", "scale", "12.3 g"),
        ([b"12.3 g"] * 9 + [b"1\x82.3 g"], "number-unit", "scale", "12.3 g"),
    ],
)
def test_the_best_fit_is_the_format_that_takes_most_from_the_lines(
    lines: list[bytes], best: str, kind: str, reads: str
) -> None:
    fits, _ = judge(lines, FORMATS)
    assert (fits[0].format, fits[0].kind, fits[0].reads[0]) == (best, kind, reads)


def test_every_other_format_says_why_it_does_not_fit() -> None:
    fits, misfits = judge([b"12.3 g", b"12.4 g"], FORMATS)
    told = {misfit.format: misfit.why for misfit in misfits}
    assert {fit.format for fit in fits} | set(told) == {key for key in FORMATS if not FORMATS[key].is_modbus}
    assert told["bare-number"] == "'12.3 g' is not like {value} or {word}"
    assert "answers when asked" in told["prompted-reply"]
    assert all(told.values())


def test_a_bare_number_may_be_anything_and_all_of_it_is_offered() -> None:
    fits, _ = judge([b"12.3"] * 3, FORMATS)
    assert {(fit.format, fit.kind) for fit in fits} == {
        ("bare-number", "scale"),
        ("bare-number", "thermometer"),
        ("bare-number", "ph meter"),
        ("multi-channel", "thermometer"),
    }


@pytest.mark.parametrize(
    "lines", [[], [b"\x82\x91\xfe"] * 3, [b"hello"] * 3, [b"OL"] * 3, [b"12.3 g", b"junk"]]
)
def test_noise_fits_nothing(lines: list[bytes]) -> None:
    fits, misfits = judge(lines, FORMATS)
    assert fits == ()
    assert len(misfits) == len(FORMATS) - 1


def with_parity(data: bytes, odd: int) -> bytes:
    return bytes(byte | 0x80 if byte.bit_count() % 2 != odd else byte for byte in data)


@pytest.mark.parametrize(("odd", "parity"), [(0, "E"), (1, "O")])
def test_seven_bits_with_parity_are_recognised_by_every_byte(odd: int, parity: str) -> None:
    assert seven_bits(with_parity(b"3 g\r\n12.3 g\r\n", odd)) == (parity, (b"12.3 g",))
    assert seven_bits(with_parity(b"3 g\r\n12.3 g\r\n", odd) + with_parity(b"x", 1 - odd)) == (None, ())


class Device:
    """A device on the far end of a line, in a thread of its own: speaks by itself, or answers."""

    def __init__(self, far_end: Any, answer: Callable[[bytes], bytes], *, speaks: bytes = b"") -> None:
        self._fd, self._answer, self._speaks = far_end.fd, answer, speaks
        self._wake, self._stop = os.pipe()
        self.asked: list[bytes] = []
        self._thread = threading.Thread(target=self._live, daemon=True)
        self._thread.start()

    def _live(self) -> None:
        while True:
            ready, _, _ = select.select([self._fd, self._wake], [], [], 0.02 if self._speaks else None)
            if self._wake in ready:
                return
            if self._fd in ready:
                self.asked.append(os.read(self._fd, 1024))
                os.write(self._fd, self._answer(self.asked[-1]))
            elif self._speaks:
                os.write(self._fd, self._speaks)

    def stop(self) -> None:
        os.write(self._stop, b"x")
        self._thread.join(5.0)
        os.close(self._wake)
        os.close(self._stop)


@pytest.fixture
def connect(far_end) -> Iterator[Callable[..., str]]:
    made: list[Device] = []

    def run(answer: Callable[[bytes], bytes] = lambda asked: b"", *, speaks: bytes = b"") -> str:
        made.append(Device(far_end, answer, speaks=speaks))
        return far_end.name

    yield run
    for device in made:
        device.stop()


def heard_at(
    port: str,
    progress: Callable[[str], None] = lambda told: None,
    formats: Mapping[str, LineFormat] = FORMATS,
) -> PortReport:
    (heard,) = listen([port], search=Search((9600,), 0.4), formats=formats, progress=progress)
    return heard


def test_a_speaking_scale_is_found_and_its_section_opens_it(connect, tmp_path) -> None:
    port = connect(speaks=b"ST,GS,+00012.3,g\r\n")
    heard = heard_at(port)
    assert (heard.trouble, heard.baud, heard.asked) == ("", 9600, "")
    section = proposed_section(heard, "big scale")
    assert (section.kind, section.format, section.channels) == ("scale", "status-headed", ("mass",))
    assert (section.baud, section.readability_g, section.period_s) == (9600, 0.1, 0.1)
    write_section(tmp_path / "bench.toml", section)
    assert read_bench(tmp_path / "bench.toml").devices == (section,)


def test_a_thermometer_gets_one_probe_for_each_channel(connect) -> None:
    heard = heard_at(connect(speaks=b"71.3,68.9,20.1\r\n"))
    assert proposed_section(heard, "baths").channels == ("probe 1", "probe 2", "probe 3")


@pytest.mark.parametrize(
    ("lines", "kind", "unit", "says"),
    [
        ([b"12.3"] * 3, None, None, "ph meter or scale or thermometer. Say which with --kind"),
        ([b"12.3"] * 3, "scale", None, "Say with --unit which one its display shows"),
        ([b"12.3"] * 3, "scale", "oz", ""),
        ([b"71.3,68.9"] * 3, None, None, "Say with --unit"),
        ([b"71.3,68.9"] * 3, None, "F", ""),
        ([b"12.3 g"] * 3, None, None, ""),
        ([b"pH 5.43"] * 3, None, None, ""),
    ],
)
def test_what_the_lines_leave_open_the_maker_says(lines, kind, unit, says: str) -> None:
    fits, _ = judge(lines, FORMATS)
    open_question = undecided(fits, kind, unit)
    assert says in open_question
    assert bool(open_question) is bool(says)


@pytest.mark.parametrize(
    ("kind", "unit", "options", "readability_g"),
    [
        ("scale", "oz", {"unit": "oz"}, 2.8349523125),
        ("scale", "g", {}, 0.1),
        ("thermometer", "F", {"unit": "F"}, None),
    ],
)
def test_what_the_maker_said_stands_in_the_section(connect, kind, unit, options, readability_g) -> None:
    section = proposed_section(heard_at(connect(speaks=b"12.3\r\n")), "it", kind, unit)
    assert (section.kind, section.options) == (kind, options)
    assert section.readability_g == pytest.approx(readability_g)


def test_a_port_that_may_be_several_things_is_offered_as_each(connect) -> None:
    heard = heard_at(connect(speaks=b"12.3\r\n"))
    assert [one.fits[0].kind for one in heard.by_kind()] == ["scale", "thermometer", "ph meter"]
    assert all({fit.kind for fit in one.fits} == {one.fits[0].kind} for one in heard.by_kind())


def test_seven_bits_and_a_degree_sign_that_are_the_same_bytes_are_neither(connect) -> None:
    heard = heard_at(connect(speaks=b"7\xb0C\r"))
    assert heard.fits == ()
    assert heard.raw


def test_a_seven_bit_scale_is_found_with_its_parity(connect) -> None:
    heard = heard_at(connect(speaks=with_parity(b"12.3 g\r\n", 0)))
    section = proposed_section(heard, "old scale")
    assert (section.format, section.bits, section.parity) == ("number-unit", 7, "E")


def test_a_prompted_scale_is_asked_for_a_reading_and_nothing_else(connect) -> None:
    asked: list[bytes] = []

    def scale(request: bytes) -> bytes:
        asked.append(request)
        return b"S S 12.34 g\r\n" if request == b"S\r\n" else b"ES\r\n"

    heard = heard_at(connect(scale))
    assert (heard.asked, heard.fits[0].format) == ("S", "prompted-reply")
    assert set(asked) == {b"S\r\n"}
    assert proposed_section(heard, "fine scale").period_s == 0.5


def test_a_scpi_instrument_is_asked(connect) -> None:
    replies = {b"MEASure:TEMPerature?\n": b"+2.50000000E+01\n"}
    heard = heard_at(connect(lambda request: replies.get(request, b"")))
    assert (heard.fits[0].format, heard.fits[0].reads[0]) == ("scpi-temperature", "25 \N{DEGREE SIGN}C")


def test_a_modbus_device_is_asked_last(connect) -> None:
    told: list[str] = []
    body = b"\x01\x04\x02\x02\xc9"

    def device(request: bytes) -> bytes:
        return body + crc16(body) if request == bytes.fromhex("01 04 00 00 00 01 31 CA") else b""

    heard = heard_at(connect(device), told.append)
    assert heard.fits[0].format == "modbus-register"
    assert heard.fits[0].reads == ("register 0 holds 713",)
    assert [sentence.split(", ")[-1] for sentence in told] == [
        f"{heard.port}: listening at 9600 baud",
        "S",
        "MEASure:TEMPerature?",
        "register 0 of device 1",
    ]


def test_a_format_nobody_knows_is_said_with_reasons(connect) -> None:
    heard = heard_at(connect(speaks=b"hello there\r\n"))
    assert "in no format known here" in heard.trouble
    assert len(heard.misfits) == len(FORMATS) - 1
    with pytest.raises(BadDevice, match="no device was heard"):
        proposed_section(heard, "it")


def test_a_silent_a_busy_and_a_missing_port_are_sentences(far_end, tmp_path) -> None:
    assert "said nothing at 9600 baud" in heard_at(far_end.name, formats={}).trouble
    holder = serial.Serial(far_end.name, exclusive=True)
    assert "Another program holds" in heard_at(far_end.name, formats={}).trouble
    holder.close()
    assert "There is no" in heard_at(str(tmp_path / "nowhere")).trouble


def test_how_long_a_silent_port_takes_is_said_before_it_is_waited_for(far_end) -> None:
    told: list[str] = []
    every_second = itertools.count(0.0, 1.0)
    search = Search((9600, 19200), 3.0)
    listen(
        [far_end.name], search=search, formats=FORMATS, progress=told.append, clock=lambda: next(every_second)
    )
    assert told[0] == (
        f"{far_end.name}: waiting for a line. Where none comes, it is asked for one; a silent port takes about 12 s "
        "(2 speeds)."
    )
    assert told[1] == f"{far_end.name}: listening at 9600 baud"


def test_without_names_the_systems_own_ports_are_listened_to(far_end, mocker) -> None:
    port = mocker.Mock(device=far_end.name, vid=1, pid=2, serial_number="A", description="an adapter")
    mocker.patch("drivers.finding.list_ports.comports", return_value=[port])
    (heard,) = listen(None, search=Search((9600,), 0.1), formats={})
    assert (heard.port, heard.description, heard.usb.serial_number) == (far_end.name, "an adapter", "A")
