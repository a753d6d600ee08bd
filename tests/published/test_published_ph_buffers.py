"""pH of buffers by temperature: NBS (RP1690: phthalate 4.005 at 25 °C), JIS Z 8802 (within 0.01), secondary tables."""

from __future__ import annotations

import pytest

from benchapp.calculations.ph_buffers import buffer_ph

# (buffer, °C, pH) as printed in the tables; values between are a straight line.
PRINTED = [
    ("phthalate", 25, 4.005), ("phosphate", 25, 6.865), ("borax", 25, 9.180), ("7.00", 25, 7.000),
    ("10.01", 25, 10.012), ("phthalate", 0, 4.000), ("borax", 50, 9.010), ("7.00", 20, 7.016), ("10.01", 30, 9.966),
]  # fmt: skip
# JIS Z 8802 as remembered: phthalate 4.00, phosphate 6.88, tetraborate 9.22 at 20 °C.
JIS_20 = [("phthalate", 4.00), ("phosphate", 6.88), ("borax", 9.22)]


@pytest.mark.parametrize(("buffer", "temp_c", "ph"), PRINTED)
def test_printed_value(buffer: str, temp_c: float, ph: float) -> None:
    assert buffer_ph(buffer, temp_c) == pytest.approx(ph, abs=0.0005)


@pytest.mark.parametrize(("buffer", "ph"), JIS_20)
def test_within_a_hundredth_of_jis(buffer: str, ph: float) -> None:
    assert buffer_ph(buffer, 20) == pytest.approx(ph, abs=0.01)


def test_between_two_temperatures() -> None:
    assert 9.180 < buffer_ph("borax", 22.5) < 9.225


@pytest.mark.parametrize(("buffer", "temp_c"), [("7.00", -1), ("7.00", 51), ("8.00", 25)])
def test_refuses_what_is_not_in_the_table(buffer: str, temp_c: float) -> None:
    with pytest.raises(ValueError):
        buffer_ph(buffer, temp_c)
