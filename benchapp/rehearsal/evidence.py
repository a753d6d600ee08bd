"""What a rehearsal leaves behind: the kinds of step it is evidence for, and what is said of it in a list."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from benchapp import events as ev
from benchapp.foundation.language import tr
from benchapp.rehearsal.errors import ScenarioInvalid
from benchapp.rehearsal.scenario import Scenario
from benchapp.rehearsal.scenario_reading import scenario_of
from benchapp.rehearsal.scoring import Verdict, judge


def goal_reached(events: Sequence[ev.Event]) -> tuple[str, ...]:
    """The kinds of step the rehearsed scenario teaches; () where its goal was missed, there was none, or the
    scenario is one this version cannot read: evidence nobody can check is none."""
    scenario = _reached(events)
    return () if scenario is None else scenario.teaches


def title_reached(events: Sequence[ev.Event]) -> str:
    """The title of the scenario whose goal these events reach; "" where they reach none."""
    scenario = _reached(events)
    return "" if scenario is None else scenario.title


def _reached(events: Sequence[ev.Event]) -> Scenario | None:
    try:
        scenario = scenario_of(events)
    except ScenarioInvalid:
        return None
    return scenario if scenario is not None and judge(scenario, events).reached else None


class Practised(NamedTuple):
    """What was practised by its title, "" where that cannot be read; how it ended, in a few words; and whether its goal was reached,
    None where it did not come to that."""

    title: str
    how: str
    reached: bool | None = None

    @property
    def said(self) -> str:
        """Both, in one line."""
        return tr("{title}, {how}", title=self.title, how=self.how) if self.title else self.how


def practised(events: Sequence[ev.Event]) -> Practised | None:
    """What was practised; None for a make that rehearsed no scenario."""
    try:
        scenario = scenario_of(events)
    except ScenarioInvalid:
        return Practised("", tr("a scenario this version cannot read"))
    if scenario is None:
        return None
    if not any(isinstance(e, ev.MakeAbandoned | ev.MakeFinished) for e in events):
        return Practised(scenario.title, tr("unfinished"))
    verdict = judge(scenario, events)
    to_its_end = not verdict.broken_off and verdict.begun_at_s is not None
    return Practised(scenario.title, outcome(verdict), verdict.reached if to_its_end else None)


def outcome(verdict: Verdict) -> str:
    """The verdict in two or three words."""
    if verdict.broken_off:
        return tr("broken off")
    if verdict.begun_at_s is None:
        return tr("ended before it began")
    return tr("goal reached") if verdict.reached else tr("goal not reached")
