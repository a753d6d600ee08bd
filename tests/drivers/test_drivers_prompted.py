"""Devices that answer when asked: what is sent and what comes back, pair by pair, with nothing left over."""

from __future__ import annotations

from typing import Any

import pytest

from drivers.devices import LineDevice
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


def test_the_bench_file_may_word_the_request(far_end, start, clock, ear) -> None:
    device = start(scale(far_end.name, options={"request": "SI"}))
    device.tend(clock.pass_s(0.5))
    far_end.expect(b"SI\r\n")
