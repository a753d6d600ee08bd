"""What every device must do, whatever it speaks: one suite over every format, on a real serial line."""

from __future__ import annotations

import struct
from dataclasses import dataclass
from typing import Any

import pytest

from drivers.devices import open_bench, open_device
from drivers.errors import BadDevice
from drivers.formats import shipped_formats
from drivers.modbus import crc16
from drivers.readings import FaultKind, Quantity, Reading
from drivers.settings import Bench, DeviceKind, DeviceSettings


def register(raw: int) -> bytes:
    body = b"\x01\x04\x02" + struct.pack(">h", raw)
    return body + crc16(body)


@dataclass(frozen=True)
class Speech:
    """How one device says 12.3 (or pH 5.43), something unreadable, and what it must be asked first."""

    format: str
    kind: DeviceKind
    good: bytes
    bad: bytes = b"??\r\n"
    asked: bytes = b""
    value: float = 12.3
    options: tuple[tuple[str, str], ...] = ()


SPEECHES = [
    Speech("bare-number", "scale", b"12.3\r\n"),
    Speech("bare-number", "thermometer", b"12.3\r"),
    Speech("bare-number", "ph meter", b"5.43\n", value=5.43),
    Speech("number-unit", "scale", b"12.3 g\r\n"),
    Speech("number-unit", "thermometer", b"12.3 \xb0C\r\n"),
    Speech("number-unit", "ph meter", b"5.43 pH\r\n", value=5.43),
    Speech("status-headed", "scale", b"ST,GS,+00012.3,g\r\n"),
    Speech("prompted-reply", "scale", b"S S 12.3 g\r\n", asked=b"S\r\n"),
    Speech("fixed-column", "scale", b"+     12.3 g  \r\n"),
    Speech("labelled", "scale", b"N 12.3 g\r\n"),
    Speech("labelled-temperature", "thermometer", b"T1= 12.3 C\r\n"),
    Speech("multi-channel", "thermometer", b"12.3\r\n"),
    Speech("scpi-temperature", "thermometer", b"+1.23000000E+01\n", asked=b"MEASure:TEMPerature?\n"),
    Speech("ph-line", "ph meter", b"pH 5.43\r\n", value=5.43),
    Speech(
        "modbus-register",
        "thermometer",
        register(123),
        bad=b"\x01\x04\x02\x00\x00\x00\x00",
        asked=bytes.fromhex("01 04 00 00 00 01 31 CA"),
        options=(("scale", "0.1"),),
    ),
]
CHANNEL = {"scale": "mass", "thermometer": "probe 1", "ph meter": "ph"}
QUANTITY = {"scale": Quantity.MASS, "thermometer": Quantity.TEMPERATURE, "ph meter": Quantity.PH}


def settings(speech: Speech, port: str) -> DeviceSettings:
    return DeviceSettings(
        "it",
        speech.kind,
        port,
        speech.format,
        (CHANNEL[speech.kind],),
        period_s=0.5,
        options=dict(speech.options),
    )


@pytest.fixture(params=SPEECHES, ids=lambda speech: f"{speech.format}, {speech.kind}")
def speech(request: pytest.FixtureRequest) -> Any:
    return request.param


@pytest.fixture
def say(speech, far_end, start, clock) -> Any:
    """The device, and a way to make it say something; asked first where it must be."""
    device = start(settings(speech, far_end.name))
    if not speech.asked:
        far_end.send(b"\r\n")

    def speak(data: bytes) -> Any:
        device.tend(clock.pass_s(0.5))
        if speech.asked:
            far_end.expect(speech.asked)
        far_end.send(data)
        return device

    return speak


def test_every_shipped_format_is_in_this_suite() -> None:
    assert {speech.format for speech in SPEECHES} == set(shipped_formats())


def test_it_speaks_a_reading(speech, say, ear, clock) -> None:
    device = say(speech.good)
    reading = ear.reading()
    assert reading == Reading(
        "it",
        CHANNEL[speech.kind],
        QUANTITY[speech.kind],
        speech.value,
        clock.now_s,
        reading.stable,
        reading.net,
        reading.resolution,
        unit=reading.unit,
    )
    assert reading.resolution is not None
    assert reading.resolution <= 0.1
    assert device.name == "it"


def test_what_it_cannot_read_is_a_fault_and_passes_with_the_next_reading(speech, say, ear) -> None:
    say(speech.bad)
    fault = ear.fault(FaultKind.UNREADABLE)
    assert fault.text.startswith("it: ")
    assert fault.text.endswith(".")
    say(speech.good)
    ear.reading()


def test_it_falls_silent_once(speech, say, ear, clock) -> None:
    device = say(speech.good)
    ear.reading()
    device.tend(clock.pass_s(2.1))
    device.tend(clock.pass_s(0.0))
    ear.fault(FaultKind.SILENT)
    ear.nothing_more()


def test_it_tells_when_it_is_unplugged(speech, say, far_end, ear) -> None:
    say(speech.good)
    ear.reading()
    far_end.unplug()
    ear.fault(FaultKind.UNPLUGGED)


def test_it_counts_what_went_through(speech, say, far_end, ear) -> None:
    device = say(speech.good)
    expected = len(speech.good) + (0 if speech.asked else 2)
    assert device.wait_received(expected, 5.0)
    assert device.bytes_received == expected
    assert len(ear.spoken) == 1


def test_nothing_is_opened_before_start(speech) -> None:
    messages: list[object] = []
    device = open_device(settings(speech, "/nowhere/at/all"), lambda: 0.0, messages.append)
    device.tend(0.0)
    device.stop()
    assert not messages
    assert device.port.opened_at_s is None


def test_an_unknown_format_is_a_sentence(clock, ear) -> None:
    odd = DeviceSettings("it", "scale", "COM1", "gibberish", ("mass",))
    with pytest.raises(BadDevice, match="there is no format 'gibberish'; use one of bare-number, "):
        open_device(odd, clock, ear)


def test_an_option_the_format_does_not_have_is_a_sentence(clock, ear) -> None:
    odd = DeviceSettings("it", "scale", "COM1", "labelled", ("mass",), options={"register": "1"})
    with pytest.raises(BadDevice, match="register is not an option of labelled"):
        open_device(odd, clock, ear)


def test_a_bench_opens_all_its_devices_in_order(clock, ear) -> None:
    scale = DeviceSettings("scale", "scale", "COM1", "labelled", ("mass",))
    bath = DeviceSettings("bath", "thermometer", "COM2", "multi-channel", ("water", "oil"))
    assert [device.name for device in open_bench(Bench((scale, bath)), clock, ear)] == ["scale", "bath"]
