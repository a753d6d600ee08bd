"""The ledger of vessels: whatever is moved, lost or taken, nothing appears from nowhere."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchapp.make.ledger import Ledger

grams = st.floats(min_value=0.01, max_value=2000.0)


def test_gross_is_known_only_once_the_empty_vessel_is():
    ledger = Ledger()
    ledger.put("pot", "water", 300.0)
    assert ledger.of("pot").gross_g is None
    ledger.of("pot").empty_g = 420.0
    assert ledger.of("pot").gross_g == 720.0


@given(st.dictionaries(st.sampled_from(["water", "oil", "wax"]), grams, min_size=1), st.floats(0.0, 50.0))
def test_pouring_over_keeps_the_sum_of_every_line(contents, left):
    ledger = Ledger()
    for line, mass in contents.items():
        ledger.put("oil pot", line, mass)
    total = ledger.of("oil pot").content_g
    moved = ledger.move("oil pot", "water pot", left)
    assert moved == pytest.approx(total - min(left, total))
    for line, mass in contents.items():
        both = ledger.of("oil pot").contents_g[line] + ledger.of("water pot").contents_g[line]
        assert both == pytest.approx(mass)


@given(grams, grams, st.floats(0.0, 100.0))
def test_lost_water_comes_from_the_water_lines_only(water, oil, lost):
    ledger = Ledger()
    ledger.put("pot", "water", water)
    ledger.put("pot", "oil", oil)
    ledger.lose_water("pot", lost, frozenset({"water"}))
    assert ledger.of("pot").contents_g["oil"] == oil
    assert ledger.of("pot").contents_g["water"] == pytest.approx(max(water - lost, 0.0), abs=1e-9)


def test_a_sample_takes_of_everything_evenly():
    ledger = Ledger()
    ledger.put("pot", "water", 300.0)
    ledger.put("pot", "oil", 100.0)
    ledger.lose_evenly("pot", 40.0)
    assert ledger.of("pot").contents_g == pytest.approx({"water": 270.0, "oil": 90.0})


def test_looking_at_an_account_opens_none():
    ledger = Ledger()
    assert ledger.of("pot").content_g == 0.0
    assert ledger.vessels == {}
    ledger.put("pot", "water", 5.0)
    assert ledger.of("pot").content_g == 5.0
