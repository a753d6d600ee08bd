"""Cables and devices that fail in every step of a make. All faults: ``python tests/endurance/cables.py``."""

from __future__ import annotations

import pytest
from cables import FAULTS, walk

BY_NAME = {f.name: f for f in FAULTS}


@pytest.mark.parametrize(
    ("name", "strikes"),
    [
        ("unplugged", 12),
        pytest.param("in ounces", 8, marks=pytest.mark.by_hand),
        pytest.param("babbling as at a wrong speed", 12, marks=pytest.mark.by_hand),
        pytest.param("cables of two scales swapped", 8, marks=pytest.mark.by_hand),
    ],
)
def test_a_fault_in_every_step_is_said_in_time_and_the_make_goes_on(name, strikes):
    over, found = walk(BY_NAME[name])
    assert [s for s in found if not s.fine] == []
    assert len(found) >= strikes
    assert over == "finished"
