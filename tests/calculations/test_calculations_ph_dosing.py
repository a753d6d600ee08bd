"""The short form of the comparison in tests/benchmarks/bench_ph.py: fixed seed, simulated phases, fewer of them."""

from __future__ import annotations

import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1] / "benchmarks"))

import pytest
from bench_ph import Outcome, add_and_look, by_estimate, quantile, tasks

PHASES, TRIALS, STRIPS = 16, 6, 30


def outcomes(count: int, *, trial: bool) -> list[Outcome]:
    return [by_estimate(t, i, trial=trial, told=True) for i, t in enumerate(tasks(count))]


def test_with_the_formula_stated_few_additions_and_far_fewer_than_the_rival() -> None:
    ours = outcomes(PHASES, trial=False)
    theirs = [add_and_look(t, i, 5.0) for i, t in enumerate(tasks(PHASES))]
    assert quantile([x.additions for x in ours], 0.5) <= 3
    assert quantile([x.additions for x in ours], 0.95) <= 6
    assert sum(x.past for x in ours) <= 1
    assert 3 * sum(x.additions for x in ours) < sum(x.additions for x in theirs)


def test_after_a_trial_one_or_two() -> None:
    ours = outcomes(TRIALS, trial=True)
    assert quantile([x.additions for x in ours], 0.5) <= 2
    assert quantile([x.additions for x in ours], 0.95) <= 3
    assert not any(x.past for x in ours)
    assert not any(x.unfinished for x in ours)


@pytest.mark.by_hand
def test_a_strip_that_is_known_as_one_seldom_carries_a_batch_past_the_far_edge() -> None:
    taken_for_a_meter, known = (
        [
            by_estimate(t, i, trial=False, told=True, step_ph=0.5, strip_known=k)
            for i, t in enumerate(tasks(STRIPS))
        ]
        for k in (False, True)
    )
    assert sum(x.past for x in taken_for_a_meter) >= 4
    assert sum(x.past for x in known) <= 1
