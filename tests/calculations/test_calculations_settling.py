"""A display called still when it is, and not before; what leaves it alone and what does not."""

from __future__ import annotations

import numpy as np
import pytest
from draughty_pours import pour
from other_air import KINDS
from other_air import pour as other_pour
from settling_rivals import FiveEqual, OwnFlag, TwoDivisionsOneSecond
from settling_trial import least_taken_far, least_untaken, run, run_draughty

from benchapp.calculations.settling import Stillness


def fed(still: Stillness, values, rate_hz: float, start_s: float = 0.0, stable: bool | None = None) -> float:
    """Push values at a steady rate; returns the time of the next one."""
    for k, value in enumerate(values):
        still.push(start_s + k / rate_hz, value, stable)
    return start_s + len(values) / rate_hz


def test_simulated_pours_are_found_at_rest_soon_and_truly():
    # The full form, 30,000 pours, is tests/benchmarks/bench_settling.py. Simulated figures.
    found = run(
        {
            "ours": (Stillness, False),
            "flag": (OwnFlag, True),
            "five": (FiveEqual, False),
            "two": (TwoDivisionsOneSecond, False),
        },
        2000,
        seed=11,
    )
    ours = found["ours"]
    assert ours.never == 0
    assert np.median(ours.late_s) <= 0.6
    assert np.percentile(ours.late_s, 99) <= 1.2
    assert ours.shown_off == 0  # no verdict shows more than one division off
    assert ours.stands_off <= 4
    assert ours.taken_off <= 1
    for rival in ("flag", "two"):
        assert np.median(ours.late_s) < np.median(found[rival].late_s)
    assert np.percentile(ours.late_s, 99) < 0.5 * np.percentile(found["five"].late_s, 99)


def test_on_the_other_bench_too():
    # The full form is tests/benchmarks/bench_settling.py. Simulated figures.
    poured = [pour(seed, draught=False) for seed in range(20_001, 20_301)]
    found = run_draughty({"ours": Stillness, "five": FiveEqual}, poured)
    ours = found["ours"]
    assert (ours.never, ours.ever_far, ours.untaken, ours.means) == (0, 0, 0, 0)
    assert np.percentile(ours.late_s, 99) <= 1.2 < np.percentile(found["five"].late_s, 99)


def test_gusts_take_no_more_weights_off_than_who_knows_them_would():
    poured = [pour(seed, draught=True) for seed in range(20_001, 20_301)]
    found = run_draughty({"ours": Stillness, "two": TwoDivisionsOneSecond}, poured)
    ours = found["ours"]
    assert np.percentile(ours.late_s, 99) <= 1.2
    assert ours.ever_far < 0.2 * found["two"].ever_far
    assert ours.taken_far < least_taken_far(poured, 3.0)
    assert ours.untaken <= 9  # 3 %
    assert ours.explained >= 0.9 * ours.untaken
    assert ours.means_beyond == 0 < ours.means
    assert least_untaken(poured, 0.01)[1] > 9  # so sure could not even be who knows them


@pytest.mark.parametrize("kind", KINDS)
def test_in_air_of_another_kind_too(kind):
    poured = [other_pour(seed, kind) for seed in range(20_001, 20_101)]
    found = run_draughty({"ours": Stillness, "two": TwoDivisionsOneSecond}, poured)
    ours = found["ours"]
    assert np.percentile(ours.late_s, 99) <= 1.2
    assert ours.ever_far <= 0.4 * found["two"].ever_far
    assert ours.means_beyond <= 1


@pytest.mark.parametrize("rate_hz", [1.0, 2.0, 5.0, 10.0, 20.0])
def test_a_resting_scale_is_still_at_any_rate(rate_hz):
    still = Stillness(0.1)
    fed(still, [152.3] * int(4 * rate_hz), rate_hz)
    assert still.still
    assert still.rest_g == pytest.approx(152.3)


def test_what_sinks_slowly_after_it_came_to_rest_is_no_rest():
    """Air that lets go of the pan: no step is more than a division, and each rest begins anew."""
    still = Stillness(0.1)
    fed(still, [152.3] * 8, 10.0)
    assert still.still
    words = []
    for k, value in enumerate([152.3, 152.2, 152.3, 152.2, 152.3, 152.2, 152.2, 152.2, 152.2, 152.2]):
        still.push(0.8 + k / 10.0, value, None)
        words.append(still.still)
    assert not all(words)
    assert still.latest_at_s - still.still_since_s < 0.5


@pytest.mark.parametrize("rate_hz", [2.0, 5.0, 10.0, 20.0])
def test_a_last_digit_that_flickers_is_still_for_as_long_as_a_weight_needs(rate_hz):
    still = Stillness(0.1)
    fed(still, [152.3, 152.3, 152.4] * int(2 * rate_hz), rate_hz)
    assert still.still
    assert still.latest_at_s - still.still_since_s > 3.0


def test_a_rate_that_wanders_is_no_obstacle():
    still, at_s = Stillness(0.01), 0.0
    rng = np.random.default_rng(3)
    for _ in range(40):
        at_s += float(rng.uniform(0.05, 0.6))
        still.push(at_s, 12.34, None)
    assert still.still
    assert still.rest_g == pytest.approx(12.34)


def test_digits_dancing_between_two_numbers_are_still_and_stand_between_them():
    still = Stillness(0.1)
    fed(still, [5.0, 5.1, 5.1, 5.0] * 6, 10.0)
    assert still.still
    assert 5.0 <= still.rest_g <= 5.1


def test_a_single_reading_is_never_still():
    still = Stillness(0.1)
    still.push(0.0, 5.0, True)
    assert not still.still


def test_a_new_pour_ends_the_rest_at_its_first_reading():
    still = Stillness(0.1)
    at_s = fed(still, [5.0] * 20, 10.0)
    still.push(at_s, 5.5, None)
    assert not still.still


def test_a_slow_thread_into_a_resting_vessel_ends_the_rest_before_a_weight_is_taken():
    still = Stillness(0.1)
    at_s = fed(still, [5.0] * 30, 10.0)
    seen = []
    for k in range(20):
        still.push(at_s + k / 10, round(50 + 1.0 * k / 10) / 10, None)  # one division a second
        seen.append(still.still)
    assert not all(seen)


def test_drift_of_two_divisions_a_minute_keeps_the_rest_and_moves_its_level():
    still = Stillness(0.1)
    at_s = fed(still, [5.0] * 20, 10.0)
    for k in range(600):
        still.push(at_s + k / 10, round((5.0 + 0.2 * k / 600) / 0.1) * 0.1, None)
        assert still.still
    assert still.rest_g == pytest.approx(5.2)


def test_the_scales_own_word_makes_it_sooner_or_later_but_never_alone():
    said = {}
    for word in (True, None, False):
        still, values = Stillness(0.1), [3.0, 3.2, 3.4, 3.5, 3.6, *[3.6] * 20]
        for k, value in enumerate(values):
            still.push(k / 10, value, word)
            if still.still:
                said[word] = k / 10
                break
    assert said[True] <= said[None] <= said[False]
    moving = Stillness(0.1)
    fed(moving, [k * 0.5 for k in range(20)], 10.0, stable=True)
    assert not moving.still


def test_nothing_read_before_forgetting_or_a_long_silence_counts():
    still = Stillness(0.1)
    at_s = fed(still, [5.0] * 20, 10.0)
    still.forget()
    assert not still.still
    assert still.latest_g is None
    at_s = fed(still, [5.0] * 20, 10.0, at_s)
    assert still.still
    still.push(at_s + 60.0, 5.0, None)
    assert not still.still


def test_flow_is_the_rise_over_half_a_second():
    still = Stillness(0.1)
    fed(still, [0.4 * k for k in range(20)], 10.0)
    assert still.flow_g_s == pytest.approx(4.0)


def test_what_goes_to_and_fro_without_a_pour_is_said_to_sway():
    swaying = Stillness(0.1)
    at_s = fed(swaying, [round(50 + 0.4 * np.sin(0.21 * k), 1) for k in range(80)], 10.0)
    assert swaying.sways
    assert not swaying.still
    fed(swaying, [50.0] * 20, 10.0, at_s)
    assert not swaying.sways
    for moving in ([0.4 * k for k in range(80)], [50 + 0.12 * k for k in range(80)]):
        poured = Stillness(0.1)
        fed(poured, [round(v, 1) for v in moving], 10.0)
        assert not poured.sways


def swaying(by, seconds: float, far_g: float = 0.4) -> Stillness:
    still = Stillness(0.1)
    fed(still, [round(50 + far_g * np.sin(0.21 * k) + by(k), 1) for k in range(round(10 * seconds))], 10.0)
    return still


def test_what_goes_on_swaying_has_a_mean_and_says_how_far_it_went():
    assert swaying(lambda k: 0.0, 5.5).swing is None  # too short
    swing = swaying(lambda k: 0.0, 8.0).swing
    assert swing is not None
    assert swing.mean_g == pytest.approx(50.0, abs=0.1)
    assert swing.way_g == pytest.approx(0.8)
    assert 1.5 < swing.told_s < 2.0


def test_a_thread_into_what_sways_leaves_it_without_a_mean():
    assert swaying(lambda k: 0.008 * k, 8.0, 0.25).swing is None


def test_a_lull_after_a_gust_counts_later_than_a_rest_in_peace():
    peace, gust = Stillness(0.1), Stillness(0.1)
    fed(peace, [50.0] * 30, 10.0)
    at_s = fed(gust, [50.0, 50.3, 50.1, 49.9] * 5, 10.0)
    fed(gust, [50.0] * 30, 10.0, at_s)
    assert gust.still
    assert peace.rested_s == pytest.approx(peace.latest_at_s - peace.still_since_s)
    assert gust.rested_s == pytest.approx(gust.latest_at_s - gust.still_since_s - 1.0)


def test_a_division_of_nothing_is_refused():
    with pytest.raises(ValueError, match="division"):
        Stillness(0.0)
