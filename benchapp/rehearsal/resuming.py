"""An interrupted rehearsal taken up again, with its scenario where that can be done honestly."""

from __future__ import annotations

from collections.abc import Sequence

from benchapp import events as ev
from benchapp.make.inputs import Abandon
from benchapp.rehearsal.errors import ScenarioInvalid
from benchapp.rehearsal.run import Rehearsal, rehearse
from benchapp.rehearsal.scenario_reading import scenario_of
from benchapp.rehearsal.scoring import BROKEN_OFF, can_be_resumed
from benchapp.runtime.session import Session
from drivers.simulated import SimulatedBench


def resume_rehearsal(
    bench: SimulatedBench, session: Session, seed: int, before: Sequence[ev.Event]
) -> Rehearsal:
    """The rehearsal of a reopened session; ``before`` are its events so far. Where its scenario cannot be taken up
    again, the make is ended, and the record says why."""
    try:
        scenario = scenario_of(before)
    except ScenarioInvalid:  # kept by another version: nobody can say any more what was to happen
        scenario = None
        session.put(Abandon(session.clock(), BROKEN_OFF))
    if scenario is not None and not can_be_resumed(scenario, before):
        scenario = None
        session.put(Abandon(session.clock(), BROKEN_OFF))
    return rehearse(bench, session, seed, scenario=scenario, before=before)
