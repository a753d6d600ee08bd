"""How much a jug takes at once, and that the errors of portions add up to no more than the line may be off."""

from __future__ import annotations

import math
import random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchapp.calculations.portions import jug_loads, reading_error_g


def test_what_fits_goes_in_together_and_what_does_not_is_split():
    loads = jug_loads([("water", 8720.0), ("chelator", 30.0), ("glycerin", 2500.0)], 2400.0, 0.1)
    assert [[(p.line, p.grams, p.number, p.of) for p in load] for load in loads] == [
        [("water", 2180.0, 1, 4)], [("water", 2180.0, 2, 4)], [("water", 2180.0, 3, 4)],
        [("water", 2180.0, 4, 4), ("chelator", 30.0, 1, 1)],
        [("glycerin", 1250.0, 1, 2)], [("glycerin", 1250.0, 2, 2)],
    ]  # fmt: skip


def test_a_jug_that_takes_nothing_is_refused():
    with pytest.raises(ValueError, match="holds no portion"):
        jug_loads([("water", 10.0)], -3.0, 0.1)


@given(
    st.lists(st.integers(1, 100_000), min_size=1, max_size=12),
    st.integers(500, 30_000),
    st.sampled_from([0.01, 0.1, 1.0]),
)
def test_no_load_is_more_than_the_jug_takes_and_nothing_is_lost(tenths, most_tenths, division):
    most = most_tenths / 10
    lines = [(f"x{n}", x / 10) for n, x in enumerate(tenths)]
    loads = jug_loads(lines, most, division)
    for line, grams in lines:
        mine = [p for load in loads for p in load if p.line == line]
        assert sum(p.grams for p in mine) == pytest.approx(grams)
        assert [p.number for p in mine] == list(range(1, mine[0].of + 1))
    assert all(sum(p.grams for p in load) <= most + division for load in loads)


def test_the_readings_of_portions_add_in_quadrature():
    """Against a draw: four net masses, each of two readings rounded to 0.1 g."""
    chance = random.Random(7)
    errors = []
    for _ in range(20_000):
        total = 0.0
        for _ in range(4):
            empty, full = chance.uniform(200, 300), chance.uniform(2000, 2500)
            total += (round(full, 1) - round(empty, 1)) - (full - empty)
        errors.append(total)
    spread = math.sqrt(sum(e * e for e in errors) / len(errors))
    assert 2 * spread == pytest.approx(reading_error_g(0.1, 4), rel=0.02)
