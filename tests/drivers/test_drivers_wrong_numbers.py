"""Lines that were once read as a number they do not say. Each is read as what it says, or it is refused."""

from __future__ import annotations

import pytest

from drivers.format_fit import judge
from drivers.formats import LineParser, shipped_formats
from drivers.readings import FaultKind
from drivers.settings import DeviceKind

FORMATS = shipped_formats()
PH, WARM, SCALE = "ph meter", "thermometer", "scale"

#: The format, the kind, the line, its channels, and what it may be read as: nothing at all where that is empty.
LINES: list[tuple[str, DeviceKind, bytes, int, tuple[float, ...]]] = [
    ("ph-line", PH, b"pH1 5.43", 1, ()),  # the number of the electrode
    ("ph-line", PH, b"pH1", 1, ()),
    ("ph-line", PH, b"001 pH 5.43", 1, (5.43,)),  # a record number before it
    ("ph-line", PH, b"pH: 6.9 mV 24.8 C", 1, ()),
    ("ph-line", PH, b"pH 7.00 buffer", 1, ()),
    ("ph-line", PH, b"pH 4.01 CAL OK", 1, ()),
    ("ph-line", PH, b"4.01 pH CAL", 1, ()),
    ("ph-line", PH, b"pH 5 .43", 1, ()),
    ("ph-line", PH, b"pH 5. 43", 1, ()),
    ("ph-line", PH, b"pH - 1.43", 1, ()),  # a dash is not a sign
    ("ph-line", PH, b"pH 5.43 6.9 mV", 1, ()),
    ("ph-line", PH, b"pH 5.43 24.8 C", 1, (5.43,)),
    ("multi-channel", WARM, b"160.3,155.3 F", 2, ()),
    ("multi-channel", WARM, b"T1=160.3,T2=155.3F", 2, ()),
    ("multi-channel", WARM, b"T1=160.3,T2=-----F", 2, ()),
    ("multi-channel", WARM, b"71.3 C,68.9", 2, ()),
    ("multi-channel", WARM, b"71,3", 2, ()),
    ("multi-channel", WARM, b"71,3 C", 2, ()),
    ("multi-channel", WARM, b"1,71.3", 2, ()),
    ("multi-channel", WARM, b"1,OPEN", 2, ()),
    ("multi-channel", WARM, b"71,3,68,9", 4, ()),
    ("multi-channel", WARM, b"T1=71,3", 2, ()),
    ("number-unit", WARM, b"7\xb0C", 1, ()),  # 70C with odd parity
    ("number-unit", WARM, b"17\xb0C", 1, ()),
    ("labelled-temperature", WARM, b"T - 23.1 C", 1, ()),
    ("labelled", SCALE, b"N - 12.3 g", 1, ()),
    ("labelled", SCALE, b"N1 12.3 g", 1, ()),
    ("labelled", SCALE, b"N1 g", 1, ()),
    *(
        (key, WARM, code + unit, 1, ())
        for key, unit in (("bare-number", b""), ("number-unit", b" C"), ("number-unit", b" F"))
        for code in (b"999.9", b"-127.0", b"-127.00", b"850.0", b"9999", b"-999.9", b"3276.7", b"1372.0")
    ),
]  # fmt: skip


@pytest.mark.parametrize(("key", "kind", "line", "channels", "values"), LINES)
def test_a_line_gives_what_it_says_or_nothing(
    key: str, kind: DeviceKind, line: bytes, channels: int, values: tuple[float, ...]
) -> None:
    spokes = LineParser(FORMATS[key], kind, channels).read(line)
    assert tuple(spoke.value for spoke in spokes if spoke.value is not None) == values
    assert all(spoke.why for spoke in spokes if spoke.value is None)


@pytest.mark.parametrize("code", [b"999.9", b"-127.0", b"850.0"])
def test_the_code_of_an_open_probe_is_told_as_one(code: bytes) -> None:
    (spoke,) = LineParser(FORMATS["bare-number"], WARM).read(code)
    assert spoke.fault is FaultKind.OPEN_PROBE


@pytest.mark.parametrize(
    "line",
    [
        b"pH1 5.43",
        b"pH: 6.9 mV 24.8 C",
        b"pH 7.00 buffer",
        b"160.3,155.3 F",
        b"71,3",
        b"1,71.3",
        b"7\xb0C",
        b"999.9 C",
    ],
)
def test_listening_proposes_nothing_for_them(line: bytes) -> None:
    fits, _ = judge([line] * 4, FORMATS)
    assert fits == ()


@pytest.mark.parametrize("line", [b"71.3 \xb0C", b"70\xb0C", b"7\xc2\xb0C", b"71 \xc2\xb0C"])
def test_a_degree_sign_is_no_parity_bit_where_the_line_shows_it(line: bytes) -> None:
    (spoke,) = LineParser(FORMATS["number-unit"], WARM).read(line)
    assert spoke.value is not None
