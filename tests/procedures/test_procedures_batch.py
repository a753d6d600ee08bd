"""One batch size against vessels, blender and scales."""

import dataclasses

import pytest

from benchapp.calculations.minimum_weight import least_weight_g
from procedures.batch import check_batch, gross_g
from procedures.reading import read_procedure
from procedures.shelf import find, shipped
from procedures.steps import Combine
from procedures.walk import walk

BENCH = [(3000.0, 0.1), (200.0, 0.01)]


def lotion():
    return read_procedure(find("oat-hand-lotion")).procedure


def rules(found):
    return {p.rule for p in found}


@pytest.mark.parametrize("name", shipped())
def test_shipped_usual_and_largest_batches_suit_the_usual_bench(name):
    p = read_procedure(find(name)).procedure
    for batch in (p.default_batch_g, p.batch_g.high):
        assert check_batch(p, batch, BENCH) == ()


@pytest.mark.parametrize("name", shipped())
def test_shipped_smallest_batch_can_be_made(name):
    p = read_procedure(find(name)).procedure
    assert all(x.grade == "warning" for x in check_batch(p, p.batch_g.low, BENCH))


def test_outside_the_bounds():
    assert "batch-size" in rules(check_batch(lotion(), 399.0, BENCH))
    assert "batch-size" not in rules(check_batch(lotion(), 400.0, BENCH))


def test_blender_depth_is_the_cylinder_of_the_pot():
    # pi/4 * 115 mm squared * 35 mm = 363.5 ml; what is in the pot then is 97.2 % of the batch
    found = [p for p in check_batch(lotion(), 365.0, BENCH) if p.rule == "blender-depth"]
    assert len(found) == 1
    assert "34 mm deep" in found[0].what
    assert not [p for p in check_batch(lotion(), 385.0, BENCH) if p.rule == "blender-depth"]


def test_gross_load_is_pot_and_all_that_is_in_it():
    p = lotion()
    step, bench = next((s, b) for s, b in walk(p) if isinstance(s, Combine))
    # 420 g of pot; 97.2 % of 500 g in it
    assert gross_g(step, bench, p, 500.0) == pytest.approx(420.0 + 0.972 * 500.0)


def test_load_above_the_largest_scale():
    (found,) = {p.what for p in check_batch(lotion(), 500.0, [(915.0, 0.1), (200.0, 0.01)])}
    assert found == "The vessel and its contents would weigh 920 g, and the largest scale carries 915 g"


def test_boat_above_the_finest_scale():
    found = [
        p for p in check_batch(lotion(), 900.0, [(3000.0, 0.1), (90.0, 0.01)]) if p.rule == "scale-capacity"
    ]
    assert [p.what for p in found] == [
        "The vessel and its contents would weigh 101 g, and the finest scale carries 90 g"
    ]


def test_headroom():
    found = [p for p in check_batch(lotion(), 1250.0, BENCH) if p.rule == "headroom"]
    assert any("water pot" in p.what and "four fifths of 1500 ml" in p.what for p in found)


def test_weight_too_small_for_the_only_scale_is_a_warning():
    found = check_batch(lotion(), 500.0, [(3000.0, 0.1)])
    assert {p.grade for p in found} == {"warning"}
    assert any("1.5 g of Xanthan gum is less than the 4.1 g" in p.what for p in found)


def test_problems_stand_at_their_step():
    p = lotion()
    found = check_batch(p, 100.0, BENCH)
    assert found
    assert {x.line for x in found} <= {s.line for s in p.steps}


def test_no_scale_known_says_nothing_of_scales():
    assert check_batch(lotion(), 500.0, []) == ()


@pytest.mark.parametrize(
    ("readability_g", "tolerance", "least_g"), [(0.1, 0.1, 82.0), (0.01, 1.0, 0.82), (0.1, 1.0, 8.2)]
)
def test_smallest_weighing_follows_usp_41(readability_g, tolerance, least_g):
    # USP <41>: 2 s / net <= 0.10 %, s at least 0.41 d: 820 d, hence 82 g for d = 0.1 g; 82 d at 1 %
    line = dataclasses.replace(lotion().formula.lines[0], tolerance_percent=tolerance)
    assert least_weight_g(readability_g, line.within_percent) == pytest.approx(least_g)
