"""What can be practised: the shipped scenarios and the workshop's own."""

from __future__ import annotations

from pathlib import Path

from benchapp.foundation.language import tr
from benchapp.rehearsal.errors import RehearsalError, ScenarioInvalid
from benchapp.rehearsal.scenario_reading import find_scenario, scenarios
from benchapp.service.training_facts import Practice, Practices


def practices(own: Path | None) -> Practices:
    """Every scenario, those in the folder ``own`` first; a sentence for each that cannot be used."""
    found, broken = [], []
    known = scenarios(own)
    for name in sorted(known, key=lambda name: known[name].parent != own):
        try:
            one = find_scenario(name, own)
        except RehearsalError as error:
            broken.append(_sentence(error))
            continue
        found.append(Practice(name, one.title, one.goal, one.teaches))
    return Practices(tuple(found), tuple(broken))


def _sentence(error: RehearsalError) -> str:
    """The first problem of a file by its own name, line and column, and how many more there are."""
    if not isinstance(error, ScenarioInvalid):
        return str(error)
    first, more = error.problems[0], len(error.problems) - 1
    also = tr(" And {more} more.", more=more) if more else ""
    return f"{Path(first.file).name}:{first.line}:{first.column}: {first.what}. {first.instead}{also}"
