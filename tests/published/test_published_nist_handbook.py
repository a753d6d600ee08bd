"""Individuals and moving-range chart: NIST/SEMATECH e-Handbook of Statistical Methods, 6.3.2.2, worked example."""

from __future__ import annotations

import pytest

from benchapp.calculations.control_chart import individuals_chart, signals

FLOW = [49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4, 53.6, 52.1]


def test_worked_example() -> None:
    chart = individuals_chart(FLOW)
    assert chart.centre == pytest.approx(50.81)
    assert chart.mean_range == pytest.approx(1.8778, abs=5e-5)
    assert chart.upper == pytest.approx(55.8041, abs=5e-5)
    assert chart.lower == pytest.approx(45.8159, abs=5e-5)
    assert chart.provisional


def test_the_handbook_calls_it_in_control() -> None:
    assert not [s for s in signals(FLOW, individuals_chart(FLOW)) if s.rule == "beyond limits"]
