"""How long each step of a make went on, from its events: without the time it was held or nobody watched it."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field

from benchapp.events.base import Event
from benchapp.events.walk import (
    ActTakenBack,
    HoldEnded,
    MakeAbandoned,
    MakeFinished,
    MakeHeld,
    MakeResumed,
    MakeStarted,
    StepBegan,
    StepFinished,
    SteppedAside,
    SteppedBack,
    StepSkipped,
)

#: What says where a make stands and how its time went.
KINDS = (
    MakeStarted, StepBegan, StepFinished, StepSkipped, SteppedAside, SteppedBack, ActTakenBack, MakeHeld, HoldEnded, MakeResumed,
    MakeFinished, MakeAbandoned,
)  # fmt: skip


@dataclass
class StepTimes:
    """Where a make stands, and its time so far. ``seconds`` stand by the steps that went on at once: one, two while something was
    weighed beside a wait, none between two; ``waiting`` is the wait stepped aside from. ``away_s``: held, or nobody watched."""

    seconds: dict[frozenset[str], float] = field(default_factory=dict)
    away_s: float = 0.0
    done: set[str] = field(default_factory=set)  # finished or left out
    left_out: set[str] = field(default_factory=set)
    here: str = ""
    waiting: str = ""
    held: bool = False
    until_s: float | None = None  # so far the time is counted

    @classmethod
    def of(cls, events: Iterable[Event]) -> StepTimes:
        """Of a make's events, in order."""
        times = cls()
        for event in events:
            times.hear(event)
        return times

    @property
    def active(self) -> frozenset[str]:
        """The steps that go on now."""
        return frozenset({self.here, self.waiting} - {""})

    def hear(self, event: Event) -> None:
        """Count up to an event, and go on as it says; most kinds say nothing of it."""
        if not isinstance(event, KINDS):
            return
        self._count(event)
        match event:
            case StepBegan() | SteppedBack() | ActTakenBack():
                self.here = event.step
                self.waiting = "" if isinstance(event, SteppedBack) else self.waiting
                self.done.discard(event.step)
                self.left_out.discard(event.step)
            case SteppedAside():
                self.here, self.waiting = event.into, event.step
            case StepFinished() | StepSkipped():
                self.done.add(event.step)
                self.left_out |= {event.step} if isinstance(event, StepSkipped) else set()
                self.here = "" if self.here == event.step else self.here
            case MakeHeld() | HoldEnded():
                self.held = isinstance(event, MakeHeld)

    def _count(self, event: Event) -> None:
        passed_s = 0.0 if self.until_s is None else max(event.at_s - self.until_s, 0.0)
        self.until_s = event.at_s
        gap_s = event.gap_s if isinstance(event, MakeResumed) else 0.0
        away_s = passed_s if self.held else min(gap_s, passed_s)
        self.away_s += away_s
        self.seconds[self.active] = self.seconds.get(self.active, 0.0) + passed_s - away_s

    def attended_s(self, now_s: float) -> float:
        """The make's time now, in seconds, without what of it was held or nobody watched: a clock of those who are there."""
        held_s = now_s - self.until_s if self.held and self.until_s is not None else 0.0
        return now_s - self.away_s - held_s

    def up_to(self, now_s: float) -> dict[frozenset[str], float]:
        """The seconds up to now."""
        on_s = 0.0 if self.held or self.until_s is None else max(now_s - self.until_s, 0.0)
        return self.seconds | {self.active: self.seconds.get(self.active, 0.0) + on_s}
