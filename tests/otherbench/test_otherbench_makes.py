"""Whole makes on the independent bench: the record is what truly happened, and nobody is asked what nobody needed."""

from __future__ import annotations

import pytest

from otherbench.whole_make import PROCEDURES, make


def is_true_and_asked_nothing(found):
    assert found.outcome == "finished"
    assert found.questions == ()
    assert found.deviations == ()
    assert found.worst_divisions <= 2.0, found.worst_line
    assert found.worst_k <= 1.0, found.worst_where
    assert found.yield_off_percent <= 1.0
    assert found.lines.keys()


def test_a_faultless_lotion_is_recorded_as_it_was_made(tmp_path):
    is_true_and_asked_nothing(make(tmp_path, PROCEDURES[0]))


@pytest.mark.by_hand
@pytest.mark.parametrize("key", PROCEDURES[1:])
def test_every_shipped_procedure_is_recorded_as_it_was_made(tmp_path, key):
    is_true_and_asked_nothing(make(tmp_path, key))
