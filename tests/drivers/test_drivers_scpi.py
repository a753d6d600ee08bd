"""SCPI over a real serial line, against an instrument that understands every form the standard allows."""

from __future__ import annotations

import re

import pytest

from drivers.readings import FaultKind
from drivers.settings import DeviceSettings

# SCPI-1999 Volume 1, 6.2.1: a header is accepted in its long form or its short form (the capitals), in any case,
# and in no other; IEEE 488.2-1992, 8.7.3: the reply of a query is an NR3 number.
HEADER = re.compile(rb"MEAS(URE)?:TEMP(ERATURE)?\?( RTD,PT100)?", re.IGNORECASE)


def instrument(command: bytes, celsius: float) -> bytes:
    return f"{celsius:+.8E}\n".encode() if HEADER.fullmatch(command) else b""


def thermometer(port: str, probes: tuple[str, ...] = ("probe 1",), **options: str) -> DeviceSettings:
    return DeviceSettings(
        "bath", "thermometer", port, "scpi-temperature", probes, period_s=1.0, options=options
    )


@pytest.mark.parametrize(
    "request_",
    [
        "",
        "MEASure:TEMPerature?",
        "MEAS:TEMP?",
        "measure:temperature?",
        "MEASure:TEMPerature? RTD,PT100",
        "meas:TEMPERATURE? rtd,pt100",
    ],
)
def test_the_temperature_is_asked_for_in_any_allowed_form(far_end, start, clock, ear, request_: str) -> None:
    options = {"request": request_} if request_ else {}
    device = start(thermometer(far_end.name, **options))
    device.tend(clock.pass_s(1.0))
    sent = (request_ or "MEASure:TEMPerature?").encode()
    far_end.expect(sent + b"\n")
    far_end.send(instrument(sent, 25.0))
    reading = ear.reading()
    assert (reading.value, reading.channel) == (25.0, "probe 1")
    far_end.nothing_left()


def test_the_published_reply_is_25_degrees(far_end, start, clock, ear) -> None:
    device = start(thermometer(far_end.name))
    device.tend(clock.pass_s(1.0))
    far_end.send(b"+2.50000000E+01\n")
    assert ear.reading().value == 25.0


def test_a_scanned_list_of_channels(far_end, start, clock, ear) -> None:
    device = start(thermometer(far_end.name, ("water", "oil"), request="MEAS:TEMP? (@101,102)"))
    device.tend(clock.pass_s(1.0))
    far_end.expect(b"MEAS:TEMP? (@101,102)\n")
    far_end.send(b"+7.13000000E+01,+9.90000000E+37\n")
    assert (ear.reading().channel, ear.fault(FaultKind.OVERLOAD).channel) == ("water", "oil")


def test_an_instrument_that_does_not_know_the_query_stays_silent_and_that_is_told(
    far_end, start, clock, ear
) -> None:
    device = start(thermometer(far_end.name, request="MEASU:TEMP?"))
    device.tend(clock.pass_s(1.0))
    far_end.send(instrument(b"MEASU:TEMP?", 25.0))
    device.tend(clock.pass_s(2.1))
    ear.fault(FaultKind.SILENT)
