"""A port over real ptys: partial lines, split lines, unplugging, replugging under another name, silence."""

from __future__ import annotations

import errno
import itertools
from collections.abc import Callable
from typing import Any

import pytest
import serial

from drivers.errors import PortBusy, PortDenied, PortMissing
from drivers.links import find_usb, why_not
from drivers.port_device import LONGEST_SILENCE_S, silent_after_s
from drivers.ports import Reopening
from drivers.readings import FaultKind
from drivers.settings import DeviceSettings, UsbIdentity

WAIT_S = 5.0
USB = UsbIdentity(0x1234, 0x5678, "A1")
#: Waits before a port is opened again, in seconds.
FAST_S = (0.0, 0.02)


def scale(port: str, **more: Any) -> DeviceSettings:
    return DeviceSettings("big scale", "scale", port, "number-unit", ("mass",), **more)


def test_the_first_partial_line_is_dropped_and_a_split_line_is_whole(far_end, start, ear, clock) -> None:
    start(scale(far_end.name))
    far_end.send(b"34 g\r\n12.")
    far_end.send(b"34 g\r\n")
    reading = ear.reading()
    assert (reading.value, reading.device, reading.channel, reading.at_s) == (
        12.34,
        "big scale",
        "mass",
        100.0,
    )
    ear.nothing_more()


def test_a_reading_carries_the_time_on_the_given_clock(far_end, start, ear, clock) -> None:
    start(scale(far_end.name))
    far_end.send(b"\r\n1 g\r\n")
    assert ear.reading().at_s == 100.0
    clock.pass_s(7.5)
    far_end.send(b"2 g\r\n")
    assert ear.reading().at_s == 107.5


def test_bytes_are_counted_after_their_lines_were_spoken(far_end, start, ear) -> None:
    device = start(scale(far_end.name))
    far_end.send(b"\r\n1 g\r\n2 g\r\n3")
    assert device.wait_received(13, WAIT_S)
    assert device.bytes_received == 13
    assert [reading.value for reading in ear.spoken] == [1.0, 2.0]
    assert not device.wait_received(14, 0.0)


def test_a_flood_without_an_end_is_one_fault(far_end, start, ear) -> None:
    device = start(scale(far_end.name))
    for _ in range(20):
        far_end.send(b"x" * 100)
    assert device.wait_received(2000, WAIT_S)
    assert "baud rate" in ear.fault(FaultKind.UNREADABLE).text
    ear.nothing_more()


def test_an_unplugged_port_is_one_fault_and_comes_back_under_another_name(plug_in, start, ear) -> None:
    first = plug_in()
    name = [first.name]

    def find(usb: UsbIdentity, named: str) -> str:
        assert usb == USB
        if not name:
            raise PortMissing("not plugged in")
        return name[0]

    device = start(scale(first.name, usb=USB), reopening=Reopening(find, FAST_S))
    first.send(b"\r\n1 g\r\n")
    assert ear.reading().value == 1.0
    name.clear()
    first.unplug()
    fault = ear.fault(FaultKind.UNPLUGGED)
    assert (
        fault.text == f"{first.name} went away. Check the plug of big scale; it is taken up again by itself."
    )

    second = plug_in()
    name.append(second.name)
    assert device.port.wait_open(WAIT_S)
    second.send(b"g\r\n2 g\r\n")
    assert ear.reading().value == 2.0
    ear.nothing_more()


def test_bytes_are_counted_anew_after_each_opening(plug_in, start, ear) -> None:
    first, second = plug_in(), plug_in()
    names = iter([first.name, second.name])
    device = start(scale(first.name, usb=USB), reopening=Reopening(lambda usb, named: next(names), FAST_S))
    first.send(b"\r\n1 g\r\n")
    assert device.wait_received(7, WAIT_S)
    first.unplug()
    ear.reading()
    ear.fault(FaultKind.UNPLUGGED)
    assert device.port.wait_open(WAIT_S)
    assert device.bytes_received == 0


def test_a_port_held_by_somebody_else_is_taken_when_they_let_go(far_end, start, ear) -> None:
    holder = serial.Serial(far_end.name, exclusive=True)
    device = start(scale(far_end.name), wait=False)
    assert "Another program holds" in ear.fault(FaultKind.BUSY).text
    holder.close()
    assert device.port.wait_open(WAIT_S)
    far_end.send(b"\r\n1 g\r\n")
    assert ear.reading().value == 1.0


def test_our_port_is_held_against_others(far_end, start) -> None:
    start(scale(far_end.name))
    with pytest.raises(serial.SerialException, match="exclusively lock"):
        serial.Serial(far_end.name, exclusive=True)


def test_a_missing_port_is_told_once_and_tried_again(tmp_path, far_end, start, ear) -> None:
    link = tmp_path / "scale"
    device = start(scale(str(link)), wait=False)
    assert "benchapp listen" in ear.fault(FaultKind.NO_PORT).text
    link.symlink_to(far_end.name)
    assert device.port.wait_open(WAIT_S)
    ear.nothing_more()


def test_silence_is_told_once_and_the_port_is_opened_again(far_end, start, ear, clock) -> None:
    device = start(scale(far_end.name, period_s=0.2))
    far_end.send(b"\r\n1 g\r\n")
    ear.reading()
    device.tend(clock.pass_s(1.6))
    ear.nothing_more()
    device.tend(clock.pass_s(0.2))
    fault = ear.fault(FaultKind.SILENT)
    assert fault.text.startswith("big scale has said nothing readable for 1.7 s.")
    with device.port._state:
        reopened = device.port._state.wait_for(lambda: device.port.opened_at_s == clock.now_s, WAIT_S)
    assert reopened


def test_garbage_is_silence_too(far_end, start, ear, clock) -> None:
    device = start(scale(far_end.name, period_s=0.2))
    far_end.send(b"\r\n")
    assert device.wait_received(2, WAIT_S)
    for _ in range(2):
        clock.pass_s(0.9)
        far_end.send(b"@@@\r\n")
        ear.fault(FaultKind.UNREADABLE)
    device.tend(clock.now_s)
    ear.fault(FaultKind.SILENT)


def test_an_overloaded_scale_is_not_silent(far_end, start, ear, clock) -> None:
    device = start(scale(far_end.name, period_s=0.2))
    far_end.send(b"\r\n")
    for _ in range(3):
        clock.pass_s(1.0)
        far_end.send(b"OL\r\n")
        ear.fault(FaultKind.OVERLOAD)
        device.tend(clock.now_s)
    ear.nothing_more()


def test_a_device_that_stays_silent_is_disturbed_ever_more_seldom(far_end, start, ear, clock) -> None:
    device = start(scale(far_end.name, period_s=0.2))
    reopened_at: list[float] = []
    for _ in range(2000):
        device.tend(clock.pass_s(0.1))
        if device.port._dropped.is_set():
            with device.port._state:
                assert device.port._state.wait_for(lambda: device.port.opened_at_s == clock.now_s, WAIT_S)
            reopened_at.append(clock.now_s)
    waits = [b - a for a, b in itertools.pairwise(reopened_at)]
    assert waits[0] == pytest.approx(3.4, abs=0.21)
    assert waits[1] == pytest.approx(6.8, abs=0.21)
    assert waits[-1] == pytest.approx(LONGEST_SILENCE_S, abs=0.21)
    ear.fault(FaultKind.SILENT)
    ear.nothing_more()


@pytest.mark.parametrize(
    ("period_s", "limit_s"), [(0.1, 1.6), (0.2, 1.7), (0.5, 2.0), (1.0, 2.5), (10.0, 11.5)]
)
def test_silence_is_judged_by_the_devices_own_pace(period_s: float, limit_s: float) -> None:
    assert silent_after_s(period_s) == pytest.approx(limit_s)


def test_stopping_twice_or_from_inside_the_sink_is_harmless(far_end, start, ear, clock) -> None:
    device = start(scale(far_end.name))
    device.port._on_line = lambda line, at_s: device.stop()
    far_end.send(b"\r\n1 g\r\n")
    assert device.wait_received(7, WAIT_S)
    device.stop()
    device.stop()


@pytest.mark.parametrize(
    ("trouble", "error", "says"),
    [
        (serial.SerialException(errno.EACCES, "no"), PortDenied, "usermod -a -G"),
        (serial.SerialException(errno.EBUSY, "busy"), PortBusy, "Another program holds"),
        (serial.SerialException(errno.ENOENT, "none"), PortMissing, "There is no"),
        (serial.SerialException("could not open: FileNotFoundError(2, 'x')"), PortMissing, "There is no"),
        (serial.SerialException(errno.ENOTTY, "x"), PortMissing, "does not open"),
    ],
)
def test_why_a_port_does_not_open(trouble: Exception, error: type[Exception], says: str) -> None:
    reason = why_not("/dev/ttyUSB9", trouble)
    assert isinstance(reason, error)
    assert says in str(reason)
    assert "/dev/ttyUSB9" in str(reason)


def test_permission_says_which_group_to_join() -> None:
    reason = why_not("/dev/ttyUSB9", serial.SerialException(errno.EACCES, "no"))
    assert "-G dialout $USER, then log out and in again" in str(reason)


class Listed:
    def __init__(self, device: str, vid: int | None, pid: int | None, serial_number: str | None) -> None:
        self.device, self.vid, self.pid, self.serial_number = device, vid, pid, serial_number


@pytest.fixture
def plugged(mocker) -> Callable[..., None]:
    """The list of USB adapters is the one edge here that a test machine cannot have."""

    def say(*ports: Listed) -> None:
        mocker.patch("drivers.links.list_ports.comports", return_value=list(ports))

    return say


def test_an_adapter_is_found_by_its_serial_number(plugged) -> None:
    plugged(Listed("/dev/ttyS0", None, None, None), Listed("COM7", 0x1234, 0x5678, "A1"))
    assert find_usb(USB, "COM3") == "COM7"


def test_the_port_of_another_device_is_never_taken(plugged) -> None:
    plugged(Listed("COM3", 0x1234, 0x5678, "B2"))
    with pytest.raises(PortMissing, match="1234:5678 A1 is not plugged in"):
        find_usb(USB, "COM3")


def test_two_adapters_that_look_the_same_are_told_apart_by_name_or_not_at_all(plugged) -> None:
    same = UsbIdentity(0x1234, 0x5678)
    plugged(Listed("COM3", 0x1234, 0x5678, None), Listed("COM4", 0x1234, 0x5678, None))
    assert find_usb(same, "COM4") == "COM4"
    with pytest.raises(PortMissing, match="several ports look like"):
        find_usb(same, "COM9")
