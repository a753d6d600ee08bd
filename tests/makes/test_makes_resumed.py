"""A make dropped at random moments and opened again from its journal, on a bench set up as it was left."""

from __future__ import annotations

import random

import pytest
from acting import to_the_end

from benchapp import events as ev
from benchapp.rehearsal.run import rehearse
from benchapp.runtime.session_start import reopen
from drivers.simulated import SimulatedBench
from procedures.reading import read_procedure
from procedures.shelf import find

RESTARTS = 6


@pytest.mark.parametrize(
    "name", ["tide-pool-gel", pytest.param("oat-hand-lotion", marks=pytest.mark.by_hand)]
)
def test_a_make_dropped_and_reopened_again_and_again_still_ends_well(name, make_rehearsal, journal):
    procedure = read_procedure(find(name)).procedure
    chance = random.Random(7)
    rehearsal = make_rehearsal(procedure)
    before: list[ev.Event] = []
    for restart in range(RESTARTS):
        for _ in range(chance.randint(200, 1500)):
            step_once(rehearsal)
        rehearsal.close()
        stored = journal.stored("b1")
        events = [s.event for s in stored]
        assert events[: len(before)] == before
        before = events
        rehearsal = again(journal, stored, restart)
        assert rehearsal.session.make.state.steps_done == [
            e.step for e in events if isinstance(e, ev.StepFinished | ev.StepSkipped)
        ]
    end = to_the_end(rehearsal, limit_s=24 * 3600.0)
    rehearsal.close()
    assert end.over == "finished"
    done = [e.step for e in journal.events("b1") if isinstance(e, ev.StepFinished)]
    assert sorted(done) == sorted(s.key for s in procedure.steps), "no step twice, none left out"


def again(journal, stored, seed):
    bench = SimulatedBench(seed=seed)
    base = stored[-1].event.at_s
    return rehearse(bench, reopen(journal, stored, 0.0, lambda: base + bench.now_s), seed)


def step_once(rehearsal) -> None:
    view = rehearsal.step()
    said = rehearsal.answers.at(view)
    if said is not None:
        rehearsal.session.put(said.given(rehearsal.session.clock(), view.prompt))
