"""A few makes with probes of another bench, left alone and meddled with; many by hand: ``python tests/endurance/thermal_trials.py 60``."""

from __future__ import annotations

import pytest
from thermal_trials import disturbed, undisturbed


@pytest.mark.by_hand
@pytest.mark.parametrize("seed", [2, 4])
def test_a_make_that_is_left_alone_is_asked_nothing(seed):
    found = undisturbed(seed)
    assert found.asked == (), found.words


@pytest.mark.by_hand
@pytest.mark.parametrize(("seed", "what"), [(4, "out"), (2, "frozen"), (3, "unit")])
def test_what_misleads_is_asked_about_and_not_accepted(seed, what):
    found = disturbed(seed)
    assert (found.what, found.wrong_k) == (what, 0.0), found.words
    assert found.asked
