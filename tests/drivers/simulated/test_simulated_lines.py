"""Every line a simulated device writes is read back to the same value by the shipped line formats."""

import pytest

from drivers.formats import LineParser, shipped_formats
from drivers.readings import FaultKind
from drivers.simulated.displays import PH_LINES, SCALE_LINES, THERMOMETER_LINES, Display

VALUES = [0.0, -0.0, 0.1, -0.1, 12.3, -12.3, 999.9, 3000.0, -250.0]


@pytest.mark.parametrize("shape", SCALE_LINES)
@pytest.mark.parametrize("value", VALUES)
def test_weights(shape: str, value: float) -> None:
    parser = LineParser(shipped_formats()[shape], "scale")
    for stable in (True, False):
        line = SCALE_LINES[shape](Display(value, "g", 1, stable, net=True)).encode("ascii")
        (spoke,) = parser.read(line, "g")
        assert spoke.fault is None, spoke
        assert spoke.value == pytest.approx(value)
        assert spoke.resolution == pytest.approx(0.1)
        assert spoke.stable in (stable, None)
        assert spoke.net in (True, None)


def test_the_status_headed_line_letter_by_letter() -> None:
    write = SCALE_LINES["status-headed"]
    assert write(Display(12.34, "g", 2, True, False)) == "ST,GS,+0012.34,g"
    assert write(Display(-1.5, "g", 1, False, True)) == "US,NT,-00001.5,g"
    assert write(Display(-0.04, "g", 1, True, True)) == "ST,NT,+00000.0,g"


@pytest.mark.parametrize("shape", SCALE_LINES)
def test_an_overload_is_never_a_number(shape: str) -> None:
    parser = LineParser(shipped_formats()[shape], "scale")
    (spoke,) = parser.read(SCALE_LINES[shape](Display(None, "g", 1, True, False)).encode("ascii"))
    assert spoke.fault is FaultKind.OVERLOAD
    assert spoke.value is None


@pytest.mark.parametrize("shape", ["status-headed", "number-unit", "labelled", "prompted-reply"])
def test_pieces_are_not_grams(shape: str) -> None:
    parser = LineParser(shipped_formats()[shape], "scale")
    (spoke,) = parser.read(SCALE_LINES[shape](Display(12.0, "pcs", 0, True, False)).encode("ascii"))
    assert spoke.fault is FaultKind.WRONG_UNIT


@pytest.mark.parametrize("shape", THERMOMETER_LINES)
def test_temperatures(shape: str) -> None:
    channels = 2 if shape == "multi-channel" else 1
    parser = LineParser(shipped_formats()[shape], "thermometer", channels)
    for temp_c in (-5.3, 0.0, 21.4, 71.0, 103.2):
        spokes = parser.read(THERMOMETER_LINES[shape]([temp_c] * channels, "C").encode("ascii"))
        assert [s.value for s in spokes] == [pytest.approx(temp_c)] * channels
    broken = parser.read(THERMOMETER_LINES[shape]([None] * channels, "C").encode("ascii"))
    assert [s.fault for s in broken] == [FaultKind.OPEN_PROBE] * channels


@pytest.mark.parametrize("shape", PH_LINES)
def test_ph(shape: str) -> None:
    parser = LineParser(shipped_formats()[shape], "ph meter")
    for ph in (0.0, 5.43, 12.0):
        (spoke,) = parser.read(PH_LINES[shape](ph).encode("ascii"))
        assert spoke.value == pytest.approx(ph)
