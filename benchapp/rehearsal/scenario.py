"""A scenario: what goes wrong in a rehearsal, where, and by which events a good hand is told from a bad one."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from benchapp import events as ev
from benchapp.make.view_model import ViewModel

#: What can be made to happen. All of it is done to the simulated bench or the invented store, nothing else.
IncidentKind = Literal[
    "pour on", "tare", "probe out", "set temperature", "cold bath", "bath dry", "power cut", "wrong lot",
    "too much dosed", "called away",
]  # fmt: skip


@dataclass(frozen=True, slots=True)
class Trigger:
    """A place in a make: a step by its key, optionally one act of it by how its key begins, optionally a stage,
    and limits in the unit shown, between which the first live value has to be."""

    step: str
    act: str = ""
    stage: str = ""
    above: float | None = None
    below: float | None = None

    def reached(self, view: ViewModel) -> bool:
        """Whether the moment is at this place."""
        if view.step_key != self.step or not act_of(view.prompt).startswith(self.act):
            return False
        if view.trouble is not None or (self.stage and view.act_view.stage != self.stage):
            return False
        if self.above is None and self.below is None:
            return True
        value = first_value(view)
        if value is None:
            return False
        return (self.above is None or value >= self.above) and (self.below is None or value <= self.below)


def first_value(view: ViewModel) -> float | None:
    """The first live value, in the unit shown; None where a device says none."""
    return view.act_view.live[0].value if view.act_view.live else None


def act_of(prompt: str) -> str:
    """The act's key in a prompt's name."""
    return prompt.rpartition("#")[0].partition("/")[2]


@dataclass(frozen=True, slots=True)
class Incident:
    """One thing that happens. ``thing``: the vessel, probe, scale, line or material it happens to, by its key;
    ``mass_g``, ``temp_c``, ``lasts_s`` as far as it needs them; ``says`` is what the maker is told, if anything."""

    what: IncidentKind
    thing: str = ""
    mass_g: float = 0.0
    temp_c: float = 0.0
    lasts_s: float = 0.0
    says: str = ""

    @property
    def stops(self) -> bool:
        """Whether it runs on while the make asks for pouring: then the order is to stop."""
        return self.what == "pour on"


Wanted = str | bool | float | tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Criterion:
    """Events that tell something: their kind, the values their fields have to have, at least ``least`` of them.
    ``held``: whether those count that fell into a hold. ``says``: what it means, in words; ``missed``: what it means that
    it never came, "" where nobody has said that."""

    event: type[ev.Event]
    where: tuple[tuple[str, Wanted], ...]
    says: str
    least: int = 1
    held: bool = True
    missed: str = ""

    def fits(self, event: ev.Event) -> bool:
        """Whether one event is of this kind with these values."""
        return isinstance(event, self.event) and all(
            _same(getattr(event, name), wanted) for name, wanted in self.where
        )


def _same(value: object, wanted: Wanted) -> bool:
    return value in wanted if isinstance(wanted, tuple) else value == wanted


@dataclass(frozen=True, slots=True)
class Scenario:
    """A rehearsal with a goal. ``begins`` and ``ends`` frame it: what is before is walked by the simulated hands,
    and nothing outside is scored. ``teaches`` are the kinds of step it is evidence for."""

    key: str
    title: str
    goal: str
    procedure: str
    batch_g: float
    teaches: tuple[str, ...]
    begins: Trigger
    ends: str
    happens: tuple[Incident, ...]
    good: tuple[Criterion, ...]
    bad: tuple[Criterion, ...]
    master: str
    text: str = ""
