"""A scale by itself: rounding, settling, tare, zero, overload, drift and the habit of power-up."""

from random import Random

import pytest

from drivers.simulated.simulated_scale import SimulatedScale


class OnTheBench:
    """A scale moved in steps of 0.1 s under a given load."""

    def __init__(self, capacity_g: float = 3000.0, division_g: float = 0.1, seed: int = 1) -> None:
        self.scale = SimulatedScale("bench scale", capacity_g, division_g, Random(seed))
        self.now_s = 0.0

    def run(self, seconds: float, mass_g: float, restless: bool = False) -> None:
        for _ in range(round(seconds * 10)):
            self.now_s += 0.1
            self.scale.step(self.now_s, 0.1, mass_g, restless)

    def put(self, mass_g: float) -> None:
        self.scale.place("pot", mass_g, self.now_s)
        self.run(5.0, mass_g)


def test_it_settles_on_the_mass_and_says_so() -> None:
    bench = OnTheBench()
    bench.scale.place("pot", 250.0, bench.now_s)
    bench.run(0.8, 250.0)
    assert not bench.scale.stable
    assert bench.scale.seen_g() != 250.0
    bench.run(4.0, 250.0)
    assert bench.scale.stable
    assert bench.scale.seen_g() == pytest.approx(250.0)


def test_a_dropped_vessel_rings_past_its_mass_before_it_rests() -> None:
    bench = OnTheBench()
    bench.scale.place("pot", 250.0, bench.now_s)
    highest = 0.0
    for _ in range(30):
        bench.run(0.1, 250.0)
        highest = max(highest, bench.scale.gross_g)
    assert 250.3 < highest < 300.0


def test_a_steady_stream_is_shown_a_third_of_a_second_late() -> None:
    bench = OnTheBench()
    bench.put(100.0)
    mass_g = 100.0
    for _ in range(50):
        mass_g += 0.5
        bench.run(0.1, mass_g)
    behind_s = (mass_g - bench.scale.gross_g) / 5.0
    assert 0.25 < behind_s < 0.5


def test_every_reading_is_a_whole_number_of_divisions_with_noise_below_one() -> None:
    bench = OnTheBench(200.0, 0.01)
    bench.put(50.0037)
    readings = [bench.scale.display_g() or 0.0 for _ in range(500)]
    assert all(abs(r / 0.01 - round(r / 0.01)) < 1e-6 for r in readings)
    assert {round(r, 2) for r in readings} <= {49.99, 50.0, 50.01}


def test_tare_waits_for_rest_then_shows_net_zero() -> None:
    bench = OnTheBench()
    bench.scale.place("pot", 250.0, bench.now_s)
    bench.run(0.5, 250.0)
    bench.scale.ask("tare", bench.now_s)
    assert not bench.scale.net
    bench.run(5.0, 250.0)
    assert bench.scale.net
    assert bench.scale.seen_g() == pytest.approx(0.0)


def test_tare_on_a_pan_that_never_rests_is_done_in_the_end() -> None:
    bench = OnTheBench()
    bench.put(250.0)
    bench.scale.ask("tare", bench.now_s)
    bench.run(6.0, 250.0, restless=True)
    assert bench.scale.net
    assert not bench.scale.stable


def test_overload_shows_no_number() -> None:
    bench = OnTheBench(200.0, 0.01)
    bench.put(200.05)
    assert bench.scale.seen_g() == pytest.approx(200.05)
    bench.put(200.2)
    assert bench.scale.seen_g() is None
    assert bench.scale.display_g() is None


def test_zero_takes_what_is_there_and_forgets_the_tare() -> None:
    bench = OnTheBench()
    bench.put(250.0)
    bench.scale.ask("tare", bench.now_s)
    bench.run(2.0, 250.0)
    bench.scale.ask("zero", bench.now_s)
    bench.run(2.0, 250.0)
    assert not bench.scale.net
    assert bench.scale.seen_g() == pytest.approx(0.0)


def test_after_power_comes_back_it_has_zeroed_on_the_full_vessel() -> None:
    bench = OnTheBench()
    bench.put(250.0)
    bench.scale.ask("tare", bench.now_s)
    bench.run(2.0, 250.0)
    bench.run(5.0, 380.0)
    assert bench.scale.seen_g() == pytest.approx(130.0)
    bench.scale.power(False)
    bench.scale.power(True)
    bench.run(1.0, 380.0)
    assert bench.scale.seen_g() == pytest.approx(0.0)
    bench.scale.take_off(380.0, bench.now_s)
    bench.run(5.0, 0.0)
    assert bench.scale.seen_g() == pytest.approx(-380.0)


def test_drift_creeps_under_a_load_that_stands_still() -> None:
    bench = OnTheBench()
    bench.put(250.0)
    bench.scale.drift_g_min = 0.5
    bench.run(120.0, 250.0)
    assert bench.scale.seen_g() == pytest.approx(251.0, abs=0.11)
    assert bench.scale.stable


def test_the_same_seed_shows_the_same_noise() -> None:
    one, other = OnTheBench(seed=7), OnTheBench(seed=7)
    for bench in (one, other):
        bench.put(99.96)
    assert [one.scale.display_g() for _ in range(50)] == [other.scale.display_g() for _ in range(50)]
