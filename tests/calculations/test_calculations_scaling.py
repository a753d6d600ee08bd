"""Percent to grams with the sum exact, which scale, how small, and what else where no scale will do."""

from __future__ import annotations

from decimal import Decimal
from random import Random

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from benchapp.calculations.minimum_weight import (
    LEAST_SPREAD_DIVISIONS,
    BiggerBatch,
    FinerScale,
    PremixWay,
    ScaleFacts,
    choose_scale,
    least_weight_g,
    make_premix,
    ways_out,
)
from benchapp.calculations.scaling import batch_for_bottles_g, bottles_from, scale_formula

POT = ScaleFacts("bench scale", 0.1, 5000.0)
FINE = ScaleFacts("fine scale", 0.01, 200.0)


@st.composite
def formulas(draw):
    count = draw(st.integers(2, 10))
    parts = draw(st.lists(st.integers(1, 1000), min_size=count, max_size=count))
    shares = {f"line {i}": round(100 * p / sum(parts), 2) for i, p in enumerate(parts)}
    shares["line 0"] = round(100 - sum(v for k, v in shares.items() if k != "line 0"), 2)
    steps = {k: draw(st.sampled_from([0.01, 0.1, 1.0])) for k in shares}
    ceilings = frozenset(draw(st.sets(st.sampled_from(sorted(set(shares) - {"line 0"})))))
    rest = draw(st.sampled_from(["line 0", None]))
    return shares, steps, ceilings, rest, draw(st.integers(50, 5000))


@settings(deadline=None)
@given(formulas())
def test_grams_add_up_stay_near_and_never_rise_above_a_ceiling(made):
    shares, steps, ceilings, rest, batch = made
    grams = {
        k: Decimal(repr(g)) for k, g in scale_formula(shares, float(batch), steps, rest, ceilings).items()
    }
    over = batch - sum(grams.values())
    for line, share in shares.items():
        step = Decimal(repr(steps[line]))
        exact = batch * Decimal(repr(share)) / 100
        assert grams[line] % step == 0
        if line in ceilings:
            assert exact - step < grams[line] <= exact
        elif line != rest:
            assert abs(grams[line] - exact) <= step / 2 + grams[line] * Decimal("0.006")
        # What is still over could not have been carried by this line, besides what it carries.
        part = over // step * step if over >= 0 else -(-over // step * step)
        carries = abs(grams[line] - (exact / step).to_integral_value() * step)
        full = min(carries + step, carries + abs(part)) > grams[line] * Decimal("0.0049")
        assert part == 0 or line in ceilings or full or line == rest


def test_what_one_line_may_not_carry_alone_is_carried_by_several():
    """0.19 g are over; no line may take more than half a percent of itself."""
    shares = {
        "rest": 0.06,
        "a": 14.79,
        "b": 14.84,
        "c": 0.05,
        "d": 1.76,
        "e": 8.43,
        "f": 32.6,
        "g": 4.61,
        "h": 4.96,
        "i": 17.9,
    }
    steps = dict.fromkeys(shares, 0.01) | {"rest": 1.0, "a": 0.1, "f": 1.0}
    grams = scale_formula(shares, 212.0, steps, "rest")
    assert sum(Decimal(repr(g)) for g in grams.values()) == 212
    assert (grams["i"], grams["b"]) == (38.13, 31.47)


@settings(deadline=None)
@given(formulas())
def test_a_rest_line_on_the_finest_scale_makes_the_sum_exact(made):
    shares, steps, ceilings, _, batch = made
    shares["line 0"], shares["line 1"] = max(shares["line 0"], 20.0), shares["line 1"]  # room for roundings
    total = sum(v for k, v in shares.items() if k != "line 0")
    if total > 80:
        shares = {k: round(v * 80 / total, 2) for k, v in shares.items()}
    grams = scale_formula(shares, float(batch), {**steps, "line 0": 0.01}, "line 0", ceilings)
    assert sum(Decimal(repr(g)) for g in grams.values()) == batch


def test_the_ceiling_rounds_down_and_the_rest_takes_it_up():
    grams = scale_formula(
        {"water": 99.0, "keeper": 1.0}, 777.7, {"water": 0.1, "keeper": 0.1}, "water", frozenset({"keeper"})
    )
    assert grams == {"water": 770.0, "keeper": 7.7}
    grams = scale_formula(
        {"water": 99.0, "keeper": 1.0}, 779.9, {"water": 0.1, "keeper": 0.1}, "water", frozenset({"keeper"})
    )
    assert grams == {"water": 772.2, "keeper": 7.7}


def test_what_a_coarse_rest_cannot_show_goes_to_the_largest_line_that_can():
    steps = {"water": 1.0, "oil": 0.1, "keeper": 0.1}
    grams = scale_formula({"water": 80.0, "oil": 19.0, "keeper": 1.0}, 633.0, steps, "water")
    assert grams == {"water": 506.0, "oil": 120.7, "keeper": 6.3}  # oil alone would be 120.3


@pytest.mark.parametrize(
    ("shares", "batch", "why"),
    [({"a": 100.0}, 0.0, "more than 0 g"), ({"a": 101.0, "b": 0.0}, 100.0, "lower a percentage")],
)
def test_impossible_batches_are_refused(shares, batch, why):
    with pytest.raises(ValueError, match=why):
        scale_formula(shares, batch, dict.fromkeys(shares, 0.1), "b" if "b" in shares else None)


def test_a_batch_for_bottles_covers_losses_and_no_less():
    assert batch_for_bottles_g(12, 100.0) == 1200.0
    assert batch_for_bottles_g(12, 100.0, loss_percent=4.2) == 1253.0  # 1200 / 0.958 = 1252.6
    for bad in ((0, 100.0, 0.0), (5, 0.0, 0.0), (5, 100.0, 100.0)):
        with pytest.raises(ValueError, match=r"bottles|loss"):
            batch_for_bottles_g(*bad)


@settings(deadline=None)
@example(6, 49, 21.6)  # 375 g, and 81.00000000000001 g of it lost
@given(st.integers(1, 200), st.integers(5, 1000), st.floats(0, 30))
def test_a_batch_for_bottles_fills_them(count, content, loss):
    loss = round(loss, 1)
    batch = batch_for_bottles_g(count, float(content), loss)
    assert bottles_from(batch, float(content), batch * loss / 100) >= count
    assert (batch - 1) * (1 - loss / 100) < count * content


def test_a_display_that_shows_nothing_is_refused():
    with pytest.raises(ValueError, match="above 0"):
        least_weight_g(0.0, 1.0)


def test_the_pot_stays_where_it_is_unless_its_scale_is_too_coarse():
    assert choose_scale(100.0, 1.0, 600.0, (POT, FINE)) == (POT, False)
    assert choose_scale(5.0, 1.0, 600.0, (POT, FINE)) == (FINE, True)
    assert choose_scale(5.0, 1.0, 20.0, (POT, FINE)) == (FINE, False)
    assert choose_scale(0.5, 1.0, 600.0, (POT, FINE)) == (None, False)
    assert choose_scale(100.0, 1.0, 4800.0, (POT, FINE)) == (POT, True)


def test_where_no_scale_will_do_there_are_three_ways_out():
    # 1 g at 1 % on 0.1 g: the smallest is 8.2 g. At 500 g the batch would have to be 4,100 g.
    ways = ways_out(1.0, 1.0, 500.0, 5000.0, POT, carrier_target_g=300.0)
    assert ways[0] == FinerScale(0.01)
    assert ways[1] == BiggerBatch(4100.0)
    premix = ways[2]
    assert isinstance(premix, PremixWay)
    # Each of its three weighings at least √3 × 8.2 = 14.2 g: a dose of 10 g would be too little.
    assert (premix.strength_percent, premix.dose_g) == (5.0, 20.0)
    assert premix.carrier_left_g == pytest.approx(281.0)
    assert ways_out(100.0, 1.0, 500.0, 5000.0, POT) == ()
    assert [type(w) for w in ways_out(1.0, 1.0, 500.0, 2000.0, POT)] == [FinerScale]


@settings(deadline=None)
@given(
    st.floats(0.02, 7.0), st.sampled_from([0.5, 1.0, 2.0]), st.sampled_from([POT, FINE]), st.floats(50, 900)
)
def test_every_way_out_weighs_within_the_tolerance(target, tolerance, scale, carrier):
    target, carrier = round(target, 2), round(carrier, 1)
    least = least_weight_g(scale.readability_g, tolerance)
    for way in ways_out(target, tolerance, 1000.0, 1e9, scale, carrier):
        if isinstance(way, FinerScale):
            assert least_weight_g(way.readability_g, tolerance) <= target * (1 + 1e-9)
            assert least_weight_g(way.readability_g * 2.51, tolerance) > target  # and no finer than need be
        elif isinstance(way, BiggerBatch):
            assert target * way.batch_g / 1000.0 >= least * (1 - 1e-6)
        else:
            assert min(way.material_g, way.carrier_g, way.dose_g) >= least * 3**0.5 * (1 - 1e-9)
            assert way.spare_g > 0.1 * way.dose_g
            strength = way.material_g / (way.material_g + way.carrier_g)
            assert strength == pytest.approx(way.strength_percent / 100, abs=scale.readability_g / way.dose_g)
            assert way.dose_g * way.strength_percent / 100 == pytest.approx(
                target, abs=scale.readability_g * way.strength_percent / 200 + 1e-9
            )
            there = way.dose_g * (1 - way.strength_percent / 100) + way.carrier_left_g
            assert there == pytest.approx(carrier, abs=scale.readability_g * 0.51)
            assert way.spare_g >= -1e-9


def test_a_premix_lands_in_its_tolerance_as_often_as_a_single_weighing_at_the_same_rule():
    """Both drawn as normal errors of 0.41 divisions, the least spread USP <41> allows for, plus the display's own rounding."""
    rng, tolerance, trials = Random(7), 2.0, 4000
    division = POT.readability_g
    least = least_weight_g(POT.readability_g, tolerance)

    def shown(true_g):
        return round((true_g + rng.gauss(0.0, LEAST_SPREAD_DIVISIONS * division)) / division) * division

    def in_it(true_g, target):
        return abs(true_g - target) <= tolerance / 100 * target

    single = sum(in_it(2 * least - shown(least), least) for _ in range(trials)) / trials
    for target in (0.3, 0.5, 1.0, 2.0):
        way = make_premix(target, least, division, 400.0)
        assert way is not None
        landed = 0
        for _ in range(trials):
            # What is shown is what the app knows; the truth lies as far beside it as that weighing erred.
            material, carrier = (2 * g - shown(g) for g in (way.material_g, way.carrier_g))
            known = way.material_g / (way.material_g + way.carrier_g)
            dose = target / known
            landed += in_it((2 * dose - shown(dose)) * material / (material + carrier), target)
        assert landed / trials >= single - 0.01, (target, landed / trials, single)
        assert landed / trials >= 0.94
