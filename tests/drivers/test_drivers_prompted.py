"""Devices that answer when asked: what is sent and what comes back, pair by pair, with nothing left over."""

from __future__ import annotations

from typing import Any

import pytest

from drivers.devices import ACKNOWLEDGE_S, LineDevice
from drivers.errors import BadDevice
from drivers.readings import FaultKind
from drivers.settings import DeviceSettings


def scale(port: str, **more: Any) -> DeviceSettings:
    return DeviceSettings("fine scale", "scale", port, "prompted-reply", ("mass",), period_s=0.5, **more)


@pytest.fixture
def asked(far_end, start, clock) -> Any:
    """An open prompted scale: each call is one (sent, received) pair after the given time."""
    device = start(scale(far_end.name))

    def pair(sent: bytes, received: bytes, after_s: float = 0.5) -> LineDevice:
        before = device.bytes_received
        device.tend(clock.pass_s(after_s))
        far_end.expect(sent)
        far_end.send(received)
        assert device.wait_received(before + len(received), 5.0)
        return device

    yield pair
    far_end.nothing_left()


def test_the_first_reply_is_whole_and_is_a_reading(asked, ear) -> None:
    asked(b"S\r\n", b"S S     12.34 g\r\n")
    asked(b"S\r\n", b"S D     12.41 g\r\n")
    first, second = ear.reading(), ear.reading()
    assert (first.value, first.stable) == (12.34, True)
    assert (second.value, second.stable) == (12.41, False)


def test_nothing_is_asked_before_the_period_is_over(far_end, start, clock, ear) -> None:
    device = start(scale(far_end.name))
    device.tend(clock.pass_s(0.4))
    far_end.nothing_left()
    device.tend(clock.pass_s(0.2))
    far_end.expect(b"S\r\n")
    device.tend(clock.pass_s(0.05))
    far_end.nothing_left()


def test_one_lost_reply_is_asked_for_again_before_the_scale_counts_as_silent(
    far_end, start, clock, ear
) -> None:
    device = start(scale(far_end.name))
    device.tend(clock.pass_s(0.5))
    far_end.expect(b"S\r\n")
    device.tend(clock.pass_s(0.5))
    far_end.nothing_left()
    device.tend(clock.pass_s(0.8))
    far_end.expect(b"S\r\n")
    far_end.send(b"S S 1.0 g\r\n")
    assert ear.reading().value == 1.0
    device.tend(clock.pass_s(0.1))
    ear.nothing_more()


def test_a_scale_that_never_answers_is_silent(far_end, start, clock, ear) -> None:
    device = start(scale(far_end.name))
    for _ in range(21):
        device.tend(clock.pass_s(0.1))
    ear.fault(FaultKind.SILENT)


def test_a_tare_is_sent_and_its_acknowledgement_is_no_reading(asked, ear) -> None:
    device = asked(b"S\r\n", b"S S 85.00 g\r\n")
    assert device.can_tare
    device.tare()
    asked(b"T\r\n", b"T S 85.00 g\r\n", after_s=0.0)
    asked(b"S\r\n", b"S S 0.00 g\r\n")
    assert [ear.reading().value, ear.reading().value] == [85.0, 0.0]
    ear.nothing_more()


def test_a_zero_is_sent_and_acknowledged(asked, ear) -> None:
    asked(b"S\r\n", b"S S 0.03 g\r\n").zero()
    asked(b"Z\r\n", b"Z A\r\n", after_s=0.0)
    ear.reading()
    ear.nothing_more()


@pytest.mark.parametrize(("answer", "why"), [(b"T I\r\n", "refused"), (b"T +\r\n", "overload")])
def test_a_refused_tare_is_a_fault(asked, ear, answer: bytes, why: str) -> None:
    asked(b"S\r\n", b"S D 85.00 g\r\n").tare()
    asked(b"T\r\n", answer, after_s=0.0)
    ear.reading()
    assert ear.fault(FaultKind.DEVICE_ERROR).text == (
        f"fine scale refused to tare ({why}); let it come to rest and ask again."
    )


def test_no_reading_is_asked_for_while_a_tare_waits_and_no_answer_is_a_fault(
    far_end, start, clock, ear
) -> None:
    device = start(scale(far_end.name))
    device.tare()
    device.tend(clock.pass_s(0.1))
    far_end.expect(b"T\r\n")
    waited_s = 0.0
    while waited_s < ACKNOWLEDGE_S - 1.0:
        far_end.send(b"S D 1.0 g\r\n")  # the scale lives, but it is not at rest
        ear.reading()
        device.tend(clock.pass_s(0.5))
        waited_s += 0.5
    far_end.nothing_left()
    far_end.send(b"S D 1.0 g\r\n")
    ear.reading()
    device.tend(clock.pass_s(1.0))
    assert "did not answer the tare request" in ear.fault(FaultKind.DEVICE_ERROR).text
    far_end.expect(b"S\r\n")


def test_a_late_acknowledgement_is_neither_a_reading_nor_a_fault(asked, ear) -> None:
    asked(b"S\r\n", b"T S 85.00 g\r\nS S 0.00 g\r\n")
    assert ear.reading().value == 0.0
    ear.nothing_more()


def test_a_tare_never_outlives_the_connection(tmp_path, far_end, start, clock, ear) -> None:
    link = tmp_path / "scale"
    device = start(scale(str(link)), wait=False)
    ear.fault(FaultKind.NO_PORT)
    device.tare()
    device.tend(clock.pass_s(0.1))
    assert "is not connected, so tare was not done" in ear.fault(FaultKind.DEVICE_ERROR).text
    link.symlink_to(far_end.name)
    assert device.port.wait_open(5.0)
    device.tend(clock.pass_s(0.1))
    far_end.nothing_left()


def test_the_bench_file_may_word_the_requests(far_end, start, clock, ear) -> None:
    device = start(scale(far_end.name, options={"request": "SI", "tare": "TARE"}))
    device.tare()
    device.tend(clock.pass_s(0.5))
    far_end.expect(b"TARE\r\n")
    far_end.send(b"T A\r\n")
    assert device.wait_received(5, 5.0)
    device.tend(clock.pass_s(0.5))
    far_end.expect(b"SI\r\n")


def test_a_scale_that_cannot_be_asked_says_so(far_end, start) -> None:
    device = start(DeviceSettings("big scale", "scale", far_end.name, "number-unit", ("mass",)))
    assert not device.can_tare
    with pytest.raises(BadDevice, match="press the key on the device"):
        device.tare()
