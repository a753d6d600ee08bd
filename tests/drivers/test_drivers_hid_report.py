"""Reports of USB weighing devices: the layout from the descriptor, a table of frames, and a generator that shares
nothing with the parser."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hid_bus import DESCRIPTOR
from hypothesis import given
from hypothesis import strategies as st

from drivers.formats.channel_reading import ChannelReading, PossibleRange
from drivers.hid_descriptor import USUAL_LAYOUT, layout_of
from drivers.hid_report import read_report
from drivers.readings import FaultKind, Quantity

ANY_MASS = PossibleRange.of(Quantity.MASS)


def read(text: str, layout=USUAL_LAYOUT, limits: PossibleRange = ANY_MASS) -> ChannelReading:
    (reading,) = read_report(bytes.fromhex(text), layout, limits)
    return reading


def test_the_descriptor_of_the_tables_gives_the_usual_layout() -> None:
    layout = layout_of(DESCRIPTOR)
    assert layout is not None
    assert layout.others == {5}
    for part in ("report_id", "length", "weight", "unit", "unit_codes", "exponent", "status", "status_codes"):
        assert getattr(layout, part) == getattr(USUAL_LAYOUT, part), part


@pytest.mark.parametrize(
    ("report", "grams", "step", "stable", "unit"),
    [
        ("03 04 02 ff d204", 123.4, 0.1, True, "g"),
        ("03 04 02 00 7b00", 123.0, 1.0, True, "g"),
        ("03 04 02 fe 3930", 123.45, 0.01, True, "g"),
        ("03 04 02 01 0c00", 120.0, 10.0, True, "g"),
        ("03 03 02 ff d204", 123.4, 0.1, False, "g"),
        ("03 02 02 ff 0000", 0.0, 0.1, True, "g"),
        ("03 05 02 ff 0c00", -1.2, 0.1, None, "g"),
        ("03 04 03 fd d204", 1234.0, 1.0, True, "kg"),
        ("03 04 01 00 d204", 1.234, 0.001, True, "mg"),
        ("03 04 0b ff 2300", 3.5 * 28.349523125, 2.8349523125, True, "oz"),
        ("03 04 0c fe 6400", 453.59237, 4.5359237, True, "lb"),
        ("03 04 02 ff ffff", 6553.5, 0.1, True, "g"),
        ("03 04 02 ff d204 0000 00", 123.4, 0.1, True, "g"),
    ],
    ids=["tenths", "whole", "hundredths", "tens", "in motion", "zero", "negative", "kg", "mg", "oz", "lb", "all bits",
         "padded with zeros, as some systems do"],
)  # fmt: skip
def test_frames_that_are_weights(report, grams, step, stable, unit) -> None:
    reading = read(report)
    assert reading.value == pytest.approx(grams, rel=1e-12)
    assert reading.resolution == pytest.approx(step, rel=1e-9)
    assert (reading.channel, reading.stable, reading.unit, reading.net) == (0, stable, unit, None)


@pytest.mark.parametrize(
    ("report", "kind", "why"),
    [
        ("03 06 02 ff ffff", FaultKind.OVERLOAD, "above its range"),
        ("03 01 02 ff d204", FaultKind.DEVICE_ERROR, "reports an error"),
        ("03 07 02 ff d204", FaultKind.DEVICE_ERROR, "asks to be calibrated"),
        ("03 08 02 ff d204", FaultKind.DEVICE_ERROR, "empty its pan and press zero"),
        ("03 05 02 ff f4ff", FaultKind.UNDERLOAD, "below its range"),
        ("03 00 02 ff d204", FaultKind.UNREADABLE, "its status is 0, which means nothing"),
        ("03 09 02 ff d204", FaultKind.UNREADABLE, "its status is 9, which means nothing"),
        ("03 04 04 ff d204", FaultKind.WRONG_UNIT, "it shows carats: set it to g"),
        ("03 04 0a ff d204", FaultKind.WRONG_UNIT, "troy ounces"),
        ("03 04 00 ff d204", FaultKind.WRONG_UNIT, "a unit of number 0"),
        ("03 04 0d ff d204", FaultKind.WRONG_UNIT, "a unit of number 13"),
        ("03 04 02 ff d2", FaultKind.UNREADABLE, "5 of its 6 bytes"),
        ("03", FaultKind.UNREADABLE, "1 of its 6 bytes"),
        ("", FaultKind.UNREADABLE, "begins with nothing"),
        ("04 04 02 ff d204", FaultKind.UNREADABLE, "begins with 04"),
        ("03 04 02 ff d204 01", FaultKind.UNREADABLE, "more than its 6 bytes"),
        ("03 04 02 7f d204", FaultKind.OUT_OF_RANGE, "cannot be"),
    ],
)  # fmt: skip
def test_frames_that_are_none(report, kind, why) -> None:
    reading = read(report)
    assert (reading.value, reading.fault) == (None, kind)
    assert why in reading.why


def test_other_reports_of_the_device_are_neither_reading_nor_fault() -> None:
    layout = layout_of(DESCRIPTOR)
    assert layout is not None
    assert read_report(bytes.fromhex("050a"), layout, ANY_MASS) == ()


def test_more_than_the_scale_in_the_bench_file_weighs_is_no_weight() -> None:
    limits = PossibleRange.of(Quantity.MASS, 200.0)
    assert read("03 04 02 ff d204", limits=limits).value == 123.4
    assert read("03 04 02 00 d204", limits=limits).fault is FaultKind.OUT_OF_RANGE


@pytest.mark.parametrize(
    "descriptor",
    [b"", DESCRIPTOR[:9], bytes.fromhex("05010902a10185037508950109308102c0"), bytes.fromhex("fe")],
)
def test_a_descriptor_without_a_weight_has_no_layout(descriptor) -> None:
    assert layout_of(descriptor) is None


# --- a generator of its own ------------------------------------------------------------------------------

GRAMS = {
    1: Fraction(1, 1000),
    2: Fraction(1),
    3: Fraction(1000),
    11: Fraction("28.349523125"),
    12: Fraction("453.59237"),
}
STILL = {2: True, 3: False, 4: True}


def descriptor_of(
    order: list[str], report_id: int, weight_bits: int, units: list[int], signed: bool
) -> bytes:
    """A descriptor whose fields stand in that order, written as the bytes of each item."""
    written = {
        "status": "7508 1501 2508 1971 2978 8100",
        "unit": f"7508 1501 25{len(units):02x}" + "".join(f"09{0x50 + one:02x}" for one in units) + "8100",
        "exponent": "7508 1581 257f 0941 8102",
        "weight": f"75{weight_bits:02x} {'1581' if signed else '1500'} 0940 8102",
        "gap": "7508 8103",
    }
    number = f"85{report_id:02x}" if report_id else ""
    return bytes.fromhex(f"058d 0920 a101 {number} 9501 {' '.join(written[one] for one in order)} c0")


@given(
    order=st.permutations(["status", "unit", "exponent", "weight", "gap"]),
    report_id=st.integers(0, 9),
    weight_bytes=st.sampled_from([2, 3, 4]),
    units=st.permutations(sorted(GRAMS)),
    unit=st.sampled_from(sorted(GRAMS)),
    exponent=st.integers(-4, 2),
    status=st.sampled_from([2, 3, 4, 5]),
    signed=st.booleans(),
    raw=st.integers(0, 30_000),
)
def test_what_another_hand_writes_is_read_back(
    order, report_id, weight_bytes, units, unit, exponent, status, signed, raw
) -> None:
    negative = status == 5
    parts = {
        "status": bytes([status]),
        "unit": bytes([units.index(unit) + 1]),
        "exponent": bytes([exponent % 256]),
        "weight": (-raw if negative and signed else raw).to_bytes(weight_bytes, "little", signed=signed),
        "gap": b"\xaa",
    }
    report = (bytes([report_id]) if report_id else b"") + b"".join(parts[one] for one in order)
    layout = layout_of(descriptor_of(order, report_id, 8 * weight_bytes, units, signed))
    assert layout is not None
    (reading,) = read_report(report, layout, ANY_MASS)
    meant = (-raw if negative else raw) * Fraction(10) ** exponent * GRAMS[unit]
    if abs(meant) > 1_000_000:
        assert reading.fault is FaultKind.OUT_OF_RANGE
        return
    assert reading.value == pytest.approx(float(meant), rel=1e-12, abs=1e-12)
    assert reading.resolution == pytest.approx(float(Fraction(10) ** exponent * GRAMS[unit]), rel=1e-9)
    assert reading.stable is STILL.get(status)


@given(report=st.binary(max_size=12))
def test_no_bytes_whatever_break_it(report) -> None:
    layout = layout_of(DESCRIPTOR)
    assert layout is not None
    for reading in read_report(report, layout, ANY_MASS):
        assert (reading.value is None) is (reading.fault is not None)


@given(descriptor=st.binary(max_size=80))
def test_no_descriptor_whatever_breaks_it(descriptor) -> None:
    layout = layout_of(DESCRIPTOR[:6] + descriptor)
    assert layout is None or layout.length >= 1
