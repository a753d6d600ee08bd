"""For any bytes only typed results; for any number what was printed is what is read."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from drivers.formats import LineParser, shipped_formats
from drivers.formats.grammar import NumberStyle, compile_template
from drivers.readings import FaultKind
from drivers.settings import DeviceKind

TEXT_FORMATS = {key: form for key, form in shipped_formats().items() if not form.is_modbus}
PIECES = st.sampled_from(
    b"ST|US|GS|,| |  |+|-|12.3|.|99999999999999|1e400|g|kg|\xb0C|S S|N|T1=|T9=|OL|NaN|{value}|\x00|\xff|pH|E+05|'".split(
        b"|"
    )
)
LINES = st.binary(max_size=300) | st.lists(PIECES, max_size=14).map(b"".join)


@pytest.mark.parametrize("key", TEXT_FORMATS)
@given(line=LINES, channels=st.integers(1, 3))
def test_any_bytes_give_typed_results_within_what_is_possible(key: str, line: bytes, channels: int) -> None:
    form = TEXT_FORMATS[key]
    parser = LineParser(form, form.kinds[0], channels if form.between else 1)
    spokes = parser.read(line)
    assert len(spokes) <= parser.channels
    for spoke in spokes:
        if spoke.value is None:
            assert spoke.fault in FaultKind
            assert spoke.why
        else:
            assert spoke.fault is None
            assert parser.limits.low <= spoke.value <= parser.limits.high
            assert spoke.channel in range(parser.channels)


PRINTED: dict[str, tuple[DeviceKind, str]] = {
    "bare-number": ("scale", "{0:.{1}f}"),
    "number-unit": ("scale", "{0:9.{1}f} g"),
    "status-headed": ("scale", "ST,GS,{0:+010.{1}f},g"),
    "prompted-reply": ("scale", "S S {0:10.{1}f} g"),
    "fixed-column": ("scale", "{0:+10.{1}f} g  "),
    "labelled": ("scale", "G {0:.{1}f} g"),
    "labelled-temperature": ("thermometer", "T1={0:.{1}f} C"),
    "multi-channel": ("thermometer", "T1={0:+06.{1}f}C"),
    "scpi-temperature": ("thermometer", "{0:+.8E}"),
}


@pytest.mark.parametrize("key", PRINTED)
@given(part=st.floats(0.0, 1.0), places=st.integers(0, 4))
def test_what_is_printed_is_read_to_within_its_resolution(key: str, part: float, places: int) -> None:
    kind, shape = PRINTED[key]
    low, high = (-99.0, 1999.0) if kind == "scale" else (-49.0, 299.0)
    value = round(low + part * (high - low), 6)
    line = shape.format(value, places)
    (spoke,) = LineParser(TEXT_FORMATS[key], kind).read(line.encode())
    assert spoke.value is not None, (line, spoke)
    assert spoke.resolution is not None
    assert abs(spoke.value - value) <= 0.5 * spoke.resolution + 1e-9
    if key != "scpi-temperature":
        assert spoke.resolution == pytest.approx(10.0**-places)


@pytest.mark.parametrize(
    ("mark", "grouping"), [(",", ""), (",", "."), (",", " "), (".", ","), (".", "'"), (".", " "), (".", "")]
)
@given(value=st.integers(-(10**9), 10**9))
def test_every_decimal_mark_and_grouping_reads_back(mark: str, grouping: str, value: int) -> None:
    printed = f"{value / 100:,.2f}".replace(",", "#").replace(".", mark).replace("#", grouping)
    style = NumberStyle(mark, grouping)
    match = compile_template("{value}", style, {}).match(printed)
    assert match is not None
    assert style.number(match["value"]) == (value / 100, -2)
