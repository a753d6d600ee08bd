"""What the glass says about a weight and what is taken are one rule: the band holds it, or it does not."""

from __future__ import annotations

import pytest
from bench_by_hand import SCALES, Bench
from hypothesis import given, settings
from hypothesis import strategies as st

from benchapp import events as ev
from benchapp.foundation.numbers import exact, to_division
from benchapp.make.vocabulary import ChoiceKey


def weighing_on_the_coarse_scale(batch_g: float = 400.0) -> tuple[Bench, float]:
    """A make on a 0.1 g scale alone, at its chelator's pour; and the vessel's mass."""
    bench = Bench(devices=(SCALES[0], SCALES[2]), batch_g=batch_g)
    pot_g = 420.0
    bench.to("02-weigh")
    bench.stand(0.0)
    bench.place(pot_g)
    bench.press("yes")
    bench.stand(pot_g)
    water = bench.make.plan.weighings["purified-water"]
    pot_g = exact(pot_g + to_division(water.target_g, 0.1))
    bench.stand(pot_g, 6.0)
    bench.press("yes")
    assert bench.make.act().key == "pour chelator-solution"
    bench.rest(pot_g)
    return bench, pot_g


def test_a_weight_on_its_lower_limit_is_called_in_band_and_announced_before_it_is_taken():
    bench, pot_g = weighing_on_the_coarse_scale()
    said = []
    for _ in range(60):
        bench.now = round(bench.now + 0.1, 3)
        out = bench.give(bench.grams(exact(pot_g + 0.7)))
        taken = [e for e in out if isinstance(e, ev.WeightTaken)]
        if taken:
            break
        act_view = bench.view.act_view
        said.append(
            (
                act_view.live[0].word,
                act_view.taking is not None,
                any(c.key == ChoiceKey.WAIT for c in act_view.choices),
            )
        )
    (weight,) = taken
    assert weight.net_g == 0.7
    assert (weight.low_g, weight.high_g) == (0.7, 0.9)
    assert said[-5:] == [("in band", True, True)] * 5, "it was announced, and could be objected to"


@settings(max_examples=25, deadline=None)
@given(st.integers(-4, 4))
def test_what_is_shown_as_outside_is_never_taken_by_itself(divisions: int):
    """Whatever the scale rests at: taken means it was shown in band; shown below or above means not taken."""
    bench, pot_g = weighing_on_the_coarse_scale()
    target = bench.make.plan.weighings["chelator-solution"].target_g
    bench.stand(exact(pot_g + target + 0.1 * divisions), 1.0)
    word = bench.view.act_view.live[0].word
    out = bench.rest(bench.shown["big"], 8.0)
    taken = any(isinstance(e, ev.WeightTaken) for e in out)
    assert not (taken and word != "in band")


@pytest.mark.parametrize("batch_g", [400.0, 410.0, 500.0, 630.0, 800.0])
def test_every_band_of_a_plan_stands_on_the_grid(batch_g):
    plan = Bench(devices=(SCALES[0], SCALES[2]), batch_g=batch_g).make.plan
    for w in plan.weighings.values():
        assert w.target.band.low == float(f"{w.target.band.low:.6f}")
        assert w.target.band.high == float(f"{w.target.band.high:.6f}")
