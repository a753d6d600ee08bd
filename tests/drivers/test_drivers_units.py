"""Units at the edge, against published values."""

from __future__ import annotations

import pytest

from drivers.errors import DriverError
from drivers.units import conversion, read_mass_g, read_time_s


def in_house(value: float, unit: str) -> float:
    _, factor, offset = conversion(unit)
    return value * factor + offset


@pytest.mark.parametrize(
    ("value", "unit", "house"),
    [
        # NIST Handbook 44, Appendix C, exact
        (1.0, "oz", 28.349523125),
        (1.0, "lb", 453.59237),
        (1.0, "kg", 1000.0),
        (1.0, "mg", 0.001),
        # The fixed points of the Fahrenheit scale, and absolute zero (SI Brochure, 2.3.1: t/°C = T/K - 273.15)
        (32.0, "degF", 0.0),
        (212.0, "degF", 100.0),
        (-40.0, "degF", -40.0),
        (0.0, "K", -273.15),
        (71.3, "degC", 71.3),
        (5.43, "pH", 5.43),
    ],
)
def test_a_unit_becomes_the_house_unit(value: float, unit: str, house: float) -> None:
    assert in_house(value, unit) == pytest.approx(house, rel=1e-12, abs=1e-11)


def test_a_celsius_number_is_not_touched_at_all() -> None:
    assert in_house(71.3, "degC") == 71.3


@pytest.mark.parametrize("unit", ["coulomb", "gram", "", "delta_degC", "9**9**9"])
def test_only_the_whitelist_is_converted(unit: str) -> None:
    with pytest.raises(DriverError, match="not a unit"):
        conversion(unit)


@pytest.mark.parametrize(("text", "grams"), [("3000 g", 3000.0), ("3 kg", 3000.0), ("0.1g", 0.1)])
def test_a_written_mass(text: str, grams: float) -> None:
    assert read_mass_g(text) == grams


@pytest.mark.parametrize(("text", "seconds"), [("0.2 s", 0.2), ("200 ms", 0.2), ("1 min", 60.0)])
def test_a_written_time(text: str, seconds: float) -> None:
    assert read_time_s(text) == pytest.approx(seconds)


@pytest.mark.parametrize("text", ["", "3000", "1,5 kg", "1e3 g", "g", "3 C", "10 kg 5", "nan g", "3 g g"])
def test_what_is_not_a_mass_is_refused_in_a_sentence(text: str) -> None:
    with pytest.raises(DriverError, match="write"):
        read_mass_g(text)
