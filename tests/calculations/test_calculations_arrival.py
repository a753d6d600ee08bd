"""When a target is reached, over all shapes, held against SciPy's log-normal distribution."""

from __future__ import annotations

from math import inf

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.stats import lognorm

from benchapp.calculations.arrival import CLOSE, Arrival

SHAPES = st.lists(
    st.tuples(st.floats(0.01, 1.0), st.floats(1.0, 20_000.0), st.floats(0.005, 0.8)), min_size=1, max_size=40
)


def arrival_of(shapes, never):
    whole = sum(w for w, _, _ in shapes)
    return Arrival(tuple((w / whole * (1.0 - never), t, sd) for w, t, sd in shapes), never)


def by_scipy(arrival, s):
    return sum(w * lognorm.cdf(s, sd, scale=t) for w, t, sd in arrival.parts)


@settings(deadline=None, max_examples=200)
@given(SHAPES, st.sampled_from((0.0, 0.05, 0.3)), st.sampled_from((0.1, 0.5, 0.9)))
def test_a_quantile_lies_where_scipy_has_that_probability(shapes, never, p):
    arrival = arrival_of(shapes, never)
    found = arrival.quantile_s(p)
    if p >= 1.0 - never:
        assert found == inf
        return
    # Within the closeness that is asked for, or within the width of what was still between.
    near = 0.001 * found + 0.03
    assert by_scipy(arrival, found - near) - CLOSE <= p <= by_scipy(arrival, found + near) + CLOSE


def test_what_arrives_to_the_second_is_found_to_the_second():
    sharp = Arrival(((0.4, 100.0, 0.0), (0.6, 300.0, 0.0)), 0.0)
    assert sharp.quantile_s(0.1) == pytest.approx(100.0, abs=0.3)
    assert sharp.quantile_s(0.9) == pytest.approx(300.0, abs=0.7)
    assert Arrival(((1.0, 0.0, 0.0),), 0.0).quantile_s(0.5) == 0.0
