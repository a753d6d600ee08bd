"""Sudden death, a short form. The long one: ``python tests/endurance/deaths.py 500``."""

from __future__ import annotations

import os

import pytest
from deaths import run

pytestmark = pytest.mark.skipif(os.name != "posix", reason="SIGKILL and fork are POSIX")


@pytest.mark.filterwarnings("ignore:.*fork.*:DeprecationWarning")
def test_a_dozen_kills_at_random_instants_lose_nothing_that_was_told():
    tally = run(12, seed=11)
    assert tally.faults == []
    assert tally.kills == 12
    assert tally.events > 100, "the kills met makes that were under way"
