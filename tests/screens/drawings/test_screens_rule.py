"""The long rule: the last grams of a pour are drawn wide enough to see the pointer in the band, and nothing jumps."""

from __future__ import annotations

from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from benchapp.make.pictures import VesselPicture

TARGETS, MARGINS = st.floats(0.5, 2000.0), st.floats(0.002, 0.4)


def rule(target_g, margin):
    from benchapp.screens.drawings.canvas import Canvas
    from benchapp.screens.drawings.rule_drawings import rule_of

    low, high = target_g * (1.0 - margin), target_g * (1.0 + margin)
    picture = VesselPicture("beaker", 0.0, target_g, low, high, 1.25 * high)
    return rule_of(Canvas(40.0, 0.0, 800.0, 90.0, 30), picture), picture


@settings(deadline=None)
@given(target_g=TARGETS, margin=MARGINS)
def test_more_poured_is_never_drawn_further_left_and_all_of_it_lies_on_the_rule(target_g, margin):
    drawn, picture = rule(target_g, margin)
    places = [drawn.at(picture.scale_top_g * n / 400.0) for n in range(401)]
    assert all(a <= b + 1e-9 for a, b in pairwise(places))
    assert (places[0], places[-1]) == pytest.approx((40.0, 840.0))
    assert drawn.at(-1.0) == 40.0, "a scale that shows less than nothing"
    assert drawn.at(10.0 * picture.scale_top_g) == 840.0


@settings(deadline=None)
@given(target_g=TARGETS, margin=MARGINS)
def test_a_band_has_a_tenth_of_the_rule_at_least_and_its_target_in_its_middle(target_g, margin):
    drawn, picture = rule(target_g, margin)
    low, middle, high = (drawn.at(g) for g in (picture.low_g, picture.target_g, picture.high_g))
    assert high - low >= 80.0
    assert middle == pytest.approx((low + high) / 2, abs=0.01)


def test_what_only_stood_there_before_it_was_heated_is_not_drawn():
    from benchapp.screens.drawings.temperature_drawings import rises_s

    stood = [(-1500.0 + 30.0 * n, 21.0) for n in range(31)]  # to -600 s
    rose = [(-600.0 + 30.0 * n, 21.0 + n) for n in range(1, 20)]
    assert rises_s((*stood, *rose)) == -540.0 - 60.0
    assert rises_s(tuple(stood)) == -60.0, "nothing has risen yet: where it stands is enough"
    assert rises_s(()) < 0.0
