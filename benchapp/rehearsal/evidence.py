"""Which kinds of step a finished rehearsal is evidence for."""

from __future__ import annotations

from collections.abc import Sequence

from benchapp import events as ev
from benchapp.rehearsal.errors import ScenarioInvalid
from benchapp.rehearsal.scenario_reading import read_scenario_text
from benchapp.rehearsal.scoring import judge


def goal_reached(events: Sequence[ev.Event]) -> tuple[str, ...]:
    """The kinds of step the rehearsed scenario teaches; () where its goal was missed, there was none, or the
    scenario is one this version cannot read: evidence nobody can check is none."""
    first = events[0]
    if not isinstance(first, ev.MakeStarted) or not first.scenario:
        return ()
    try:
        scenario = read_scenario_text(first.scenario)
    except ScenarioInvalid:
        return ()
    return scenario.teaches if judge(scenario, events).reached else ()
