"""Modbus RTU: published checksums, frames, and a real server on a real serial line."""

from __future__ import annotations

import asyncio
import os
import select
import struct
import threading
from collections.abc import Callable, Iterator
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pymodbus import FramerType
from pymodbus.server import ModbusSerialServer
from pymodbus.simulator import DataType, SimData, SimDevice

from drivers.errors import BadDevice
from drivers.formats import describe
from drivers.modbus import Registers, crc16, registers_of
from drivers.readings import FaultKind
from drivers.settings import DeviceSettings

WAIT_S = 5.0


def settings(port: str = "COM1", probes: int = 1, **options: str) -> DeviceSettings:
    channels = tuple(f"probe {number}" for number in range(1, probes + 1))
    return DeviceSettings("oven probe", "thermometer", port, "modbus-register", channels, options=options)


def registers(probes: int = 1, **options: str) -> Registers:
    return registers_of(settings(probes=probes, **options), {})


def reply(*words: int, address: int = 1, function: int = 4) -> bytes:
    body = struct.pack(">BBB", address, function, 2 * len(words)) + struct.pack(f">{len(words)}H", *words)
    return body + crc16(body)


@pytest.mark.parametrize(
    ("data", "checksum"),
    [
        # MODBUS over Serial Line V1.02, 6.2.2, and three independent implementations
        ("02 07", "41 12"),
        ("01 03 00 00 00 02", "C4 0B"),
        ("01 04 00 00 00 0A", "70 0D"),
        # The check value 0x4B37 of CRC-16/MODBUS, low byte first
        ("31 32 33 34 35 36 37 38 39", "37 4B"),
    ],
)
def test_the_checksum_is_the_published_one(data: str, checksum: str) -> None:
    assert crc16(bytes.fromhex(data)) == bytes.fromhex(checksum)


def test_the_request_is_the_published_frame() -> None:
    request = registers(5, function="input", register="0", type="int32").request()
    assert request == bytes.fromhex("01 04 00 00 00 0A 70 0D")


@pytest.mark.parametrize(
    ("options", "words", "reads"),
    [
        ({"scale": "0.1"}, (713,), "71.3 \N{DEGREE SIGN}C"),
        ({"scale": "0.1"}, (0xFFCD,), "-5.1 \N{DEGREE SIGN}C"),
        ({"scale": "0.001", "type": "uint16"}, (0xFFFF,), "65.535 \N{DEGREE SIGN}C"),
        ({"scale": "0.1"}, (9999,), "open probe"),
        ({"scale": "0.1"}, (0xFB0A,), "open probe"),
        ({"scale": "0.1", "offset": "-40"}, (1113,), "71.3 \N{DEGREE SIGN}C"),
        ({"unit": "degF"}, (212,), "100 \N{DEGREE SIGN}C"),
        ({"type": "int32", "scale": "0.001"}, (0x0001, 0x1684), "71.3 \N{DEGREE SIGN}C"),
        (
            {"type": "int32", "scale": "0.001", "word_order": "low first"},
            (0x1684, 1),
            "71.3 \N{DEGREE SIGN}C",
        ),
        ({"type": "float32"}, (0x428E, 0x999A), "71.3 \N{DEGREE SIGN}C"),
        ({"type": "float32"}, (0x7FC0, 0x0000), "out of range"),
        ({"type": "float32"}, (0x7F80, 0x0000), "out of range"),
        ({"open_probe": "-32768", "scale": "0.1"}, (0x8000,), "open probe"),
        ({"scale": "0.1"}, (0x8000,), "out of range"),
    ],
)
def test_a_register_reads(options: dict[str, str], words: tuple[int, ...], reads: str) -> None:
    assert describe(registers(**options).read(reply(*words)), "thermometer") == reads


def test_registers_apart_are_read_in_one_request() -> None:
    map_ = registers(2, register="4, 9", scale="0.1")
    assert map_.request()[2:6] == struct.pack(">HH", 4, 6)
    assert [spoke.value for spoke in map_.read(reply(713, 0, 0, 0, 0, 689))] == [71.3, 68.9]


@pytest.mark.parametrize(
    ("frame", "kind", "why"),
    [
        (b"", FaultKind.UNREADABLE, "checksum"),
        (b"\x01\x04\x02\x02\xc9\x00\x00", FaultKind.UNREADABLE, "checksum"),
        (reply(713)[:-1], FaultKind.UNREADABLE, "checksum"),
        (reply(713, address=2), FaultKind.UNREADABLE, "from device 2"),
        (reply(713, 714), FaultKind.UNREADABLE, "4 bytes where 2"),
        (reply(713, function=3), FaultKind.UNREADABLE, "asked for"),
        (b"\x01\x84\x02" + crc16(b"\x01\x84\x02"), FaultKind.DEVICE_ERROR, "no such register"),
        (b"\x01\x84\x0b" + crc16(b"\x01\x84\x0b"), FaultKind.DEVICE_ERROR, "exception 11"),
    ],
)
def test_a_reply_that_is_no_reading_says_why(frame: bytes, kind: FaultKind, why: str) -> None:
    (spoke,) = registers().read(frame)
    assert (spoke.value, spoke.fault) == (None, kind)
    assert why in spoke.why


@given(st.binary(max_size=300), st.booleans())
def test_any_bytes_are_typed(data: bytes, with_checksum: bool) -> None:
    for spoke in registers(2).read(data + crc16(data) if with_checksum else data):
        assert (spoke.value is None) != (spoke.fault is None)


@given(st.floats(-50.0, 300.0))
def test_a_scaled_number_reads_back_to_within_its_resolution(value: float) -> None:
    raw = round(value * 10)
    (spoke,) = registers(scale="0.1").read(reply(raw & 0xFFFF))
    assert spoke.value is not None
    assert spoke.resolution == 0.1
    assert abs(spoke.value - value) <= 0.05 + 1e-9


@pytest.mark.parametrize(
    ("options", "says"),
    [
        ({"adress": "1"}, "adress is not an option"),
        ({"address": "0"}, "from 1 to 247"),
        ({"function": "coil"}, "one of holding, input"),
        ({"register": "-1"}, "a register number"),
        ({"register": "70000"}, "a register number"),
        ({"register": "0, 200"}, "within 125 of each other"),
        ({"register": "0, 1, 2"}, "one register, or 2 of them"),
        ({"type": "int8"}, "one of int16"),
        ({"scale": "0,1"}, "decimal point"),
        ({"unit": "g"}, "a unit of a thermometer"),
    ],
)
def test_an_option_that_cannot_be_is_a_sentence(options: dict[str, str], says: str) -> None:
    with pytest.raises(BadDevice, match=says):
        registers(2, **options)


class Cable:
    """Two far ends tied together, so that a server opens one serial port and the device another."""

    def __init__(self, one: Any, other: Any) -> None:
        self._ends = {one.fd: other.fd, other.fd: one.fd}
        self._wake, self._stop = os.pipe()
        self._thread = threading.Thread(target=self._carry, daemon=True)
        self._thread.start()

    def _carry(self) -> None:
        while True:
            ready, _, _ = select.select([*self._ends, self._wake], [], [])
            if self._wake in ready:
                return
            for fd in ready:
                os.write(self._ends[fd], os.read(fd, 1024))

    def cut(self) -> None:
        os.write(self._stop, b"x")
        self._thread.join(WAIT_S)
        os.close(self._wake)
        os.close(self._stop)


class Instrument:
    """A pymodbus RTU server on a serial port, in a thread with a loop of its own."""

    def __init__(self, port: str, device: SimDevice) -> None:
        self._port, self._device = port, device
        self._ready = threading.Event()
        self._thread = threading.Thread(target=lambda: asyncio.run(self._serve()), daemon=True)
        self._thread.start()
        assert self._ready.wait(WAIT_S)

    async def _serve(self) -> None:
        self._loop = asyncio.get_running_loop()
        server = ModbusSerialServer(self._device, framer=FramerType.RTU, port=self._port, baudrate=9600)
        await server.serve_forever(background=True)
        self._over = asyncio.Event()
        self._ready.set()
        await self._over.wait()
        await server.shutdown()

    def close(self) -> None:
        self._loop.call_soon_threadsafe(self._over.set)
        self._thread.join(WAIT_S)


@pytest.fixture
def bus(plug_in: Callable[[], Any]) -> Iterator[Callable[[SimDevice], str]]:
    made: list[Any] = []

    def connect(device: SimDevice) -> str:
        ours, theirs = plug_in(), plug_in()
        made.append(Cable(ours, theirs))
        made.append(Instrument(theirs.name, device))
        return ours.name

    yield connect
    for thing in reversed(made):
        thing.close() if isinstance(thing, Instrument) else thing.cut()


def test_a_real_modbus_server_on_a_serial_line_is_read(bus, start, ear, clock) -> None:
    raw = [713, 689, 0x8000]
    instrument = SimDevice(7, [SimData(100, values=raw, datatype=DataType.REGISTERS)])
    port = bus(instrument)
    options = {
        "address": "7",
        "function": "holding",
        "register": "100",
        "scale": "0.1",
        "open_probe": "-32768",
    }
    device = start(settings(port, 3, **options))
    device.tend(clock.pass_s(0.3))
    assert (ear.reading().value, ear.reading().value) == (71.3, 68.9)
    assert ear.fault(FaultKind.OPEN_PROBE).channel == "probe 3"
    device.tend(clock.pass_s(0.3))
    assert ear.reading().at_s == clock.now_s


def test_a_real_server_refuses_a_register_it_does_not_have(bus, start, ear, clock) -> None:
    port = bus(SimDevice(1, [SimData(0, values=[1], datatype=DataType.REGISTERS)]))
    device = start(settings(port, 1, function="holding", register="50"))
    device.tend(clock.pass_s(0.3))
    assert "exception 2: it has no such register" in ear.fault(FaultKind.DEVICE_ERROR).text
