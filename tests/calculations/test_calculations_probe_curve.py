"""What leaves a vessel's curve faster than the vessel can, and what comes back to it."""

from __future__ import annotations

from math import exp

import pytest

from benchapp.calculations.probe_curve import HeatBalance, Jump, ProbeCurve, other_unit_c

AIR = HeatBalance(0.25, 0.02)
BATH = HeatBalance(0.25, 0.02, heated=True)


class Probe:
    """One reading a second of a vessel that changes steadily, or of something beside it."""

    def __init__(self, at_c: float, pace_k_s: float, balance: HeatBalance = AIR) -> None:
        self.now, self.vessel_c, self.pace, self.balance = 0.0, at_c, pace_k_s, balance
        self.shows, self.heard = at_c, ProbeCurve()

    def run(self, seconds: int, beside_c: float | None = None, lag_s: float = 6.0) -> ProbeCurve:
        for _ in range(seconds):
            self.now += 1.0
            self.vessel_c += self.pace
            goal = self.vessel_c if beside_c is None else beside_c
            self.shows += (goal - self.shows) * (1.0 - exp(-1.0 / lag_s))
            self.heard.hear(self.now, round(self.shows, 1), self.balance)
        return self.heard


def test_a_vessel_that_cools_or_warms_is_never_off_its_curve():
    for pace, balance in ((-0.05, AIR), (0.2, BATH), (0.0, AIR)):
        heard = Probe(50.0, pace, balance).run(600)
        assert heard.jump is None
        assert heard.settled


@pytest.mark.parametrize("beside_c", [21.0, 34.0, 90.0])
def test_a_probe_beside_its_vessel_is_off_its_curve_within_seconds(beside_c):
    probe = Probe(62.0, -0.02)
    probe.run(200)
    heard = probe.run(10, beside_c)
    assert heard.jump is not None
    assert heard.jump.from_c == pytest.approx(58.0, abs=0.3)
    assert heard.jump.pace_k_s == pytest.approx(-0.02, abs=0.005)


def test_back_in_the_vessel_it_is_back_on_its_curve_once_it_is_at_rest():
    probe = Probe(62.0, -0.02)
    probe.run(200)
    probe.run(25, 21.0)
    assert probe.run(8).jump is not None, "still on its way"
    assert probe.run(40).jump is None


def test_a_curve_that_comes_down_to_a_probe_that_lies_still_proves_nothing():
    probe = Probe(62.0, -0.05)
    probe.run(200)
    assert probe.run(900, 34.0).jump is not None
    assert probe.vessel_c < 34.0


def test_the_curve_widens_with_time():
    jump = Jump(100.0, 60.0, -0.02, AIR)
    widths = [high - low for low, high in (jump.expected_c(100.0 + s) for s in (0.0, 60.0, 300.0))]
    assert widths == sorted(widths)
    assert widths[0] == pytest.approx(4.4)
    assert all(
        low <= 60.0 - 0.02 * s <= high
        for s in (0.0, 60.0, 300.0)
        for low, high in [jump.expected_c(100.0 + s)]
    )


def test_what_was_poured_in_explains_a_step():
    probe = Probe(70.0, -0.01)
    probe.run(100)
    probe.vessel_c = probe.shows = 60.0
    probe.heard.hear(probe.now + 1.0, 60.0, AIR, explained=(55.0, 75.0))
    assert probe.heard.jump is None
    probe.heard.hear(probe.now + 2.0, 45.0, AIR, explained=(55.0, 75.0))
    assert probe.heard.jump is not None


@pytest.mark.parametrize("lag_s", [3.0, 8.0])
def test_a_warm_probe_put_into_a_cold_vessel_is_on_its_curve(lag_s):
    probe = Probe(21.0, 0.05, BATH)
    probe.shows = 42.0
    assert probe.run(300, lag_s=lag_s).jump is None
    assert probe.run(10, beside_c=90.0).jump is not None, "and then it is watched as any other"


def test_a_changed_unit_is_known_both_ways():
    assert other_unit_c(60.1, 140.1) == "°F"
    assert other_unit_c(140.1, 60.1) == "°C"
    assert other_unit_c(60.1, 90.0) == ""
