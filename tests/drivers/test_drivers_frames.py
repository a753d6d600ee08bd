"""Real frames of every shape: what each line reads, and fifty lines that are no reading."""

from __future__ import annotations

import pytest

from drivers.errors import BadDevice
from drivers.formats import LineParser, describe, shipped_formats
from drivers.readings import FaultKind
from drivers.settings import DeviceKind

SCALE: DeviceKind = "scale"
WARM: DeviceKind = "thermometer"
PH: DeviceKind = "ph meter"


def read(key: str, kind: DeviceKind, line: bytes, channels: int = 1) -> str:
    return describe(LineParser(shipped_formats()[key], kind, channels).read(line), kind)


@pytest.mark.parametrize(
    ("key", "kind", "line", "reads"),
    [
        ("bare-number", SCALE, b"123.4", "123.4 g"),
        ("bare-number", SCALE, b"  -  0.5 ", "-0.5 g"),
        ("bare-number", WARM, b"+071.3", "71.3 \N{DEGREE SIGN}C"),
        ("bare-number", PH, b"5.43", "pH 5.43"),
        ("bare-number", SCALE, b"OL", "overload"),
        ("number-unit", SCALE, b"123.4 g", "123.4 g"),
        ("number-unit", SCALE, b"1.2345kg", "1234.5 g"),
        ("number-unit", SCALE, b"500 mg", "0.5 g"),
        ("number-unit", SCALE, b"1.000 oz", "28.3495 g"),
        ("number-unit", SCALE, b"1.000 lb", "453.592 g"),
        ("number-unit", SCALE, b"UL", "underload"),
        ("number-unit", WARM, b"71.3 \xb0C", "71.3 \N{DEGREE SIGN}C"),
        ("number-unit", WARM, b"71.3 \xc2\xb0C", "71.3 \N{DEGREE SIGN}C"),
        ("number-unit", WARM, b"212.0 F", "100 \N{DEGREE SIGN}C"),
        ("number-unit", WARM, b"344.45 K", "71.3 \N{DEGREE SIGN}C"),
        ("number-unit", WARM, b"open", "open probe"),
        ("number-unit", WARM, b"12.3 g", "wrong unit"),
        ("number-unit", SCALE, b"12 pcs", "wrong unit"),
        ("number-unit", SCALE, b"12.3 %", "wrong unit"),
        ("number-unit", SCALE, b"71.3 C", "wrong unit"),
        ("status-headed", SCALE, b"ST,GS,+  123.4 g", "123.4 g, stable, gross"),
        ("status-headed", SCALE, b"ST,NT,+00123.4,g", "123.4 g, stable, net"),
        ("status-headed", SCALE, b"US,GS,-    0.3kg", "-300 g, moving, gross"),
        ("status-headed", SCALE, b"US,+00012.30  g", "12.3 g, moving"),
        ("status-headed", SCALE, b"OL,GS,+9999999,g", "overload"),
        ("status-headed", SCALE, b"OL,GS,+-------", "overload"),
        ("status-headed", SCALE, b"UL,GS,--------", "underload"),
        ("status-headed", SCALE, b"ST,GS,+  12.3 pcs", "wrong unit"),
        ("prompted-reply", SCALE, b"S S     123.45 g", "123.45 g, stable"),
        ("prompted-reply", SCALE, b"S D      -0.50 g", "-0.5 g, moving"),
        ("prompted-reply", SCALE, b"S +", "overload"),
        ("prompted-reply", SCALE, b"S -", "underload"),
        ("prompted-reply", SCALE, b"S I", "device error"),
        ("prompted-reply", SCALE, b"ES", "device error"),
        ("fixed-column", SCALE, b"+   123.45 g  ", "123.45 g, stable"),
        ("fixed-column", SCALE, b"+   123.45 g", "123.45 g, stable"),
        ("fixed-column", SCALE, b"-     0.50    ", "unreadable"),
        ("fixed-column", SCALE, b"+     1.25 kg ", "1250 g, stable"),
        ("fixed-column", SCALE, b"    OL        ", "overload"),
        ("fixed-column", SCALE, b"   Err 54", "device error"),
        ("labelled", SCALE, b"N 12.34 g", "12.34 g, net"),
        ("labelled", SCALE, b"GROSS:  1.250 kg", "1250 g, gross"),
        ("labelled", SCALE, b"T 85.00 g", "nothing"),
        ("labelled", SCALE, b"N OL", "overload"),
        ("labelled-temperature", WARM, b"T1= 71.3 C", "71.3 \N{DEGREE SIGN}C"),
        ("labelled-temperature", WARM, b"Temp: OPEN", "open probe"),
        ("ph-line", PH, b"pH 5.43", "pH 5.43"),
        ("ph-line", PH, b"pH=5.43 24.8 C", "pH 5.43"),
        ("ph-line", PH, b"5.43 pH 24.8 C", "pH 5.43"),
        ("ph-line", PH, b"92.9 mV", "wrong unit"),
        ("scpi-temperature", WARM, b"+2.50000000E+01", "25 \N{DEGREE SIGN}C"),
        ("scpi-temperature", WARM, b"-1.05E+01", "-10.5 \N{DEGREE SIGN}C"),
        ("scpi-temperature", WARM, b"+9.90000000E+37", "overload"),
        ("scpi-temperature", WARM, b"-9.90000000E+37", "underload"),
        ("scpi-temperature", WARM, b"9.91E37", "device error"),
        ("scpi-temperature", WARM, b"1e400", "out of range"),
        ("scpi-temperature", WARM, b"NAN", "device error"),
        ("scpi-temperature", WARM, b"-3.00E+02", "out of range"),
        ("bare-number", SCALE, b"1000000001", "out of range"),
        ("bare-number", WARM, b"-300", "out of range"),
        ("bare-number", PH, b"54.3", "out of range"),
    ],
)
def test_a_line_reads(key: str, kind: DeviceKind, line: bytes, reads: str) -> None:
    assert read(key, kind, line) == reads


@pytest.mark.parametrize(
    ("line", "reads"),
    [
        (b"71.3,68.9", "71.3 \N{DEGREE SIGN}C; 68.9 \N{DEGREE SIGN}C"),
        (b"71.3 C,155.3 F", "71.3 \N{DEGREE SIGN}C; 68.5 \N{DEGREE SIGN}C"),
        (b"71.3,OPEN", "71.3 \N{DEGREE SIGN}C; open probe"),
        (b"T1=+071.3C,T2=-----C", "71.3 \N{DEGREE SIGN}C; open probe"),
        (b"71.3 C,12.0 g", "71.3 \N{DEGREE SIGN}C; wrong unit"),
        (b"71.3", "unreadable"),
        (b"71.3,68.9,70.0", "unreadable"),
        (b"71.3,6x.9", "unreadable"),
        (b"T1=71.3C,T1=68.9C", "unreadable"),
        (b"T1=71.3C,T3=68.9C", "unreadable"),
    ],
)
def test_two_probes_in_one_line(line: bytes, reads: str) -> None:
    assert read("multi-channel", WARM, line, channels=2) == reads


def test_channels_are_told_by_their_number_where_the_line_gives_it() -> None:
    spokes = LineParser(shipped_formats()["multi-channel"], WARM, 2).read(b"T2=68.9C,T1=71.3C")
    assert {spoke.channel: spoke.value for spoke in spokes} == {0: 71.3, 1: 68.9}


MALFORMED = [
    ("bare-number", SCALE, b""),
    ("bare-number", SCALE, b"   "),
    ("bare-number", SCALE, b"1,5"),
    ("bare-number", SCALE, b"1.2.3"),
    ("bare-number", SCALE, b"12 34"),
    ("bare-number", SCALE, b"12."),
    ("bare-number", SCALE, b".5"),
    ("bare-number", SCALE, b"+-5"),
    ("bare-number", SCALE, b"--5"),
    ("bare-number", SCALE, b"5-"),
    ("bare-number", SCALE, b"1e3"),
    ("bare-number", SCALE, b"1e400"),
    ("bare-number", SCALE, b"0x1F"),
    ("bare-number", SCALE, b"nan"),
    ("bare-number", SCALE, b"inf"),
    ("bare-number", SCALE, b"1_000"),
    ("bare-number", SCALE, b"9**9**9"),
    ("bare-number", SCALE, b"12.3 g"),
    ("bare-number", SCALE, b"1" * 13),
    ("bare-number", SCALE, b"1" * 300),
    ("bare-number", SCALE, "\N{ARABIC-INDIC DIGIT ONE}\N{ARABIC-INDIC DIGIT TWO}".encode()),
    ("bare-number", SCALE, b"\xb9\xb2"),
    ("bare-number", SCALE, b"\x0012.3"),
    ("bare-number", SCALE, b"12\x073"),
    ("bare-number", SCALE, bytes(range(128, 160))),
    ("number-unit", SCALE, b"1,5 g"),
    ("number-unit", SCALE, b"10 kg 5"),
    ("number-unit", SCALE, b"12.34"),
    ("number-unit", SCALE, b"g"),
    ("number-unit", SCALE, b"g 12.34"),
    ("number-unit", SCALE, b"12.34 g g"),
    ("number-unit", SCALE, b"12.34 g 12.35 g"),
    ("number-unit", SCALE, b"1 2.34 g"),
    ("number-unit", SCALE, b"12.34 g;"),
    ("status-headed", SCALE, b"ST,GS,+  123.4"),
    ("status-headed", SCALE, b"ST,GS,"),
    ("status-headed", SCALE, b"ST"),
    ("status-headed", SCALE, b"S"),
    ("status-headed", SCALE, b"T,GS,+  123.4 g"),
    ("status-headed", SCALE, b"XX,GS,+  123.4 g"),
    ("status-headed", SCALE, b"ST,GS,1,5 g"),
    ("status-headed", SCALE, b"st,gs,+  123.4 g"),
    ("status-headed", SCALE, b"ST,GS,+  1ST,GS,+  123.4 g"),
    ("prompted-reply", SCALE, b"S S"),
    ("prompted-reply", SCALE, b"S S 123.45"),
    ("prompted-reply", SCALE, b"S X 123.45 g"),
    ("prompted-reply", SCALE, b"S"),
    ("fixed-column", SCALE, b"+     123.45 g  "),
    ("fixed-column", SCALE, b"   123.45 g  "),
    ("fixed-column", SCALE, b"+   12 .45 g  "),
    ("fixed-column", SCALE, b"+"),
    ("labelled", SCALE, b"X 12.34 g"),
    ("labelled", SCALE, b"N 12.34"),
    ("labelled", SCALE, b"N"),
    ("labelled-temperature", WARM, b"T 71.3"),
    ("labelled-temperature", WARM, b"T171.3 C"),
    ("scpi-temperature", WARM, b"+2.5E"),
    ("scpi-temperature", WARM, b"2.5E+01E+01"),
    ("scpi-temperature", WARM, b'-113,"Undefined header"'),
    ("multi-channel", WARM, b","),
    ("ph-line", PH, b"pH"),
    ("ph-line", PH, b"pH 5.43.1"),
    ("ph-line", PH, b"5.43"),
]


@pytest.mark.parametrize(("key", "kind", "line"), MALFORMED)
def test_a_malformed_line_is_unreadable_with_a_reason_and_never_a_number(
    key: str, kind: DeviceKind, line: bytes
) -> None:
    (spoke,) = LineParser(shipped_formats()[key], kind).read(line)
    assert spoke.value is None
    assert spoke.fault is FaultKind.UNREADABLE
    assert spoke.why


def test_there_are_fifty_malformed_lines() -> None:
    assert len(MALFORMED) >= 50


def test_a_comma_in_a_point_format_is_named() -> None:
    (spoke,) = LineParser(shipped_formats()["number-unit"], SCALE).read(b"1,5 g")
    assert spoke.why == "'1,5 g' has ',' in its number where this format has '.'"


def test_a_moving_line_is_in_the_unit_the_scale_last_printed() -> None:
    parser = LineParser(shipped_formats()["fixed-column"], SCALE)
    (spoke,) = parser.read(b"+     1.25    ", unit="kg")
    assert (spoke.value, spoke.stable) == (1250.0, False)


def test_the_unit_of_a_bare_number_is_what_the_bench_file_says() -> None:
    (spoke,) = LineParser(shipped_formats()["bare-number"], SCALE, unit="oz").read(b"2.0")
    # NIST Handbook 44, Appendix C: 1 oz = 28.349523125 g
    assert spoke.value == pytest.approx(2 * 28.349523125, rel=1e-12)
    assert spoke.resolution == pytest.approx(0.1 * 28.349523125, rel=1e-9)


def test_more_than_the_scale_can_weigh_is_out_of_range() -> None:
    parser = LineParser(shipped_formats()["number-unit"], SCALE, capacity=3000.0)
    assert parser.read(b"3000.0 g")[0].value == 3000.0
    assert parser.read(b"3400.0 g")[0].fault is FaultKind.OUT_OF_RANGE


@pytest.mark.parametrize(
    ("line", "resolution"), [(b"12.30 g", 0.01), (b"12 g", 1.0), (b"1.234 kg", 1.0), (b"5 mg", 0.001)]
)
def test_the_resolution_is_the_step_of_the_last_digit(line: bytes, resolution: float) -> None:
    assert LineParser(shipped_formats()["number-unit"], SCALE).read(line)[0].resolution == resolution


@pytest.mark.parametrize(
    ("key", "kind", "channels", "unit"),
    [
        ("status-headed", WARM, 1, None),
        ("number-unit", WARM, 2, None),
        ("bare-number", SCALE, 1, "degC"),
        ("bare-number", SCALE, 1, "stone"),
    ],
)
def test_a_format_that_does_not_suit_the_device_is_refused(
    key: str, kind: DeviceKind, channels: int, unit: str | None
) -> None:
    with pytest.raises(BadDevice):
        LineParser(shipped_formats()[key], kind, channels, unit=unit)
