"""The power fails in the middle of an append, a short form. The long one: ``python tests/endurance/power.py 300``."""

from __future__ import annotations

import random

from power import fallen, lies, power_cuts


def test_whatever_had_returned_is_there_after_a_power_cut():
    assert power_cuts(25, seed=7) == []


def test_a_drive_that_lied_leaves_a_beginning_and_never_a_mixture():
    wrong, most = lies(15, seed=8)
    assert wrong == []
    assert most > 0, "something that was called written was lost, or nothing was tried"


def test_the_shim_does_drop_and_spoil_what_was_not_synced_and_nothing_else():
    before, after = b"a" * 1000, b"a" * 1000 + bytes(range(256)) * 40
    seen = [fallen(before, after, random.Random(n)) for n in range(50)]
    assert all(one[:1000] == before for one in seen)
    assert len(set(seen)) > 40
